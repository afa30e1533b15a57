"""Every file of one job and of the office that it names into the case.

In: the folder of the record and that of the sheets. Out: what was read, and the case it fills; or the items of
what cannot be read. Must not judge.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.case.case import Case
from dossier.case.fill import fill
from dossier.punchlist import Item
from dossier.reading.model import Read
from dossier.record.entry import Entry
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.record.read import merge_files, read_job, read_photo_list
from dossier.terms.office import Company, Locality
from dossier.terms.read import read_catalogues, read_company, read_locality, read_sheet
from dossier.terms.sheet import Catalogue, TermsSheet


@dataclass(frozen=True)
class Reads:
    """Every file that was read for one job, before anything is filled in."""

    job: Read[Job]
    photo_list: Read[PhotoList]
    company: Read[Company]
    locality: Read[Locality] | None
    sheets: Mapping[str, Read[TermsSheet]]
    catalogues: tuple[Read[Catalogue], ...]

    @property
    def items(self) -> tuple[Item, ...]:
        """Return the items of every file that could not be read."""
        locality = (self.locality,) if self.locality else ()
        reads = (self.job, self.photo_list, self.company, *locality, *self.sheets.values())
        found = (item for read in (*reads, *self.catalogues) for item in read.items)
        # A folder that cannot be read is found by whatever is sought in it, and is said once.
        return tuple(dict.fromkeys(found))


def read_all(folder: Path, office: Path, entries: Sequence[Entry] = ()) -> Reads:
    """Return every file of the job and of the office that this job names, read.

    entries: of a sealed job; its record is returned as they leave it.
    """
    job = read_job(folder, RECORD_VERSION, entries=entries)
    locality = None
    sheets: dict[str, Read[TermsSheet]] = {}
    if job.model is not None:
        where = job.lines.where
        locality = read_locality(office, job.model.job.locality, where("job.locality"))
        for number, warranty in enumerate(job.model.warranties):
            if warranty.sheet not in sheets:
                at = where(f"warranties.{number}.sheet")
                sheets[warranty.sheet] = read_sheet(office, warranty.sheet, at)
    return Reads(
        job,
        read_photo_list(folder, entries),
        read_company(office),
        locality,
        sheets,
        read_catalogues(office),
    )


def fill_in(
    reads: Reads, photo_files: Sequence[str], paper_files: Sequence[str]
) -> tuple[Case | None, tuple[Item, ...]]:
    """Return the case; None with the items of every unreadable file, or of a name leading nowhere."""
    if reads.items or reads.locality is None:
        return None, reads.items
    files = merge_files(reads.job, reads.photo_list, photo_files, paper_files)
    return fill(
        reads.job,
        reads.photo_list,
        files,
        reads.company,
        reads.locality,
        reads.sheets,
        reads.catalogues,
    )
