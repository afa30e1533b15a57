"""A job as it was sealed at close-out, read back with the entries after it.

In: a job folder. Out: a `SealedJob`. Must not read today's record or sheets: what was promised is what counts, so
all rests on the folder sealed at close-out, with its as-built sheets, and on the entries after it. Of today's
office only the letterhead is taken. Nothing that was sealed is written to.
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from dossier import __version__
from dossier.archive.corrected import Since, refuse, since_sealing, with_what_came_after
from dossier.archive.supplements import CLOSEOUT, WORK, finish_cut_off, previous_digest
from dossier.archive.verify import verify
from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.case.case import Case
from dossier.case.read import fill_in, read_all
from dossier.disk.outputs import Holder
from dossier.errors import UnreadableInput
from dossier.evidence import Facts, list_files, measure
from dossier.punchlist import Item
from dossier.record.entry import Entry
from dossier.record.places import SEALED
from dossier.terms.read import find_office
from dossier.values import Clock, Progress, Run, silent

_DIFFERENCES_SHOWN = 3


@dataclass(frozen=True)
class SealedJob:
    """A job as it was sealed, with the entries after it.

    digest: of the newest sealed folder. seal: sentences on whether anything sealed was changed since.
    changed: whether it was.
    """

    folder: Path
    case: Case
    facts: Facts
    entries: tuple[Entry, ...]
    run: Run
    digest: str
    since: Since
    seal: tuple[str, ...] = ()
    changed: bool = False
    holder: Holder | None = None

    @property
    def printed_digest(self) -> str:
        """Return the digest as documents print it, with a word where what is sealed was changed since."""
        return f"{self.digest}; what is sealed was changed since" if self.changed else self.digest


def open_sealed(
    job_folder: Path,
    clock: Clock,
    today: date | None,
    *,
    as_found: bool = False,
    holder: Holder | None = None,
    progress: Progress = silent,
) -> SealedJob:
    """Return a job as it was sealed at close-out.

    as_found: whether to go on where something sealed was changed since, which the documents then say.
    holder: who takes the job in hand while the entry is sealed. Raises UnreadableInput where nothing is
    sealed, it was changed since, or it cannot be read.
    """
    finish_cut_off(job_folder, holder)
    data = job_folder / SEALED / CLOSEOUT / "data"
    digest = previous_digest(job_folder) if data.is_dir() else None
    if digest is None:
        raise UnreadableInput(
            f"{job_folder} holds no {SEALED}/{CLOSEOUT}: what comes after close-out stands on what was sealed.",
            "Seal the job first: dossier seal JOB",
        )
    seal, changed = _as_sealed(job_folder, as_found)
    since = since_sealing(job_folder)
    if since is None:
        refuse(f"The record sealed in {data} cannot be read", ())
    office = data / AS_BUILT
    case, items = read_sealed(since)
    if case is None:
        refuse(f"The record sealed in {data} cannot be read", items)
    zone = ZoneInfo(case.locality.time_zone)
    run = Run(
        today=today or clock(zone),
        time_zone=zone,
        version=__version__,
        job_folder=data,
        office_folder=find_office(job_folder) or office,
        out_folder=job_folder / SEALED,
        work_folder=job_folder / WORK,
        progress=progress,
        places=since.places,
    )
    facts = measure(
        data,
        [photo.file for photo in case.photos],
        [paper.file for paper in case.papers],
        progress=progress,
        places=since.places,
    )
    case = with_what_came_after(case, since, run.office_folder)
    return SealedJob(
        job_folder, case, facts, since.entries, run, digest, since, seal, changed, holder
    )


def read_sealed(since: Since) -> tuple[Case | None, tuple[Item, ...]]:
    """Return the case of a sealed job as its entries leave it, by the sheets it was built by."""
    data = since.data
    reads = read_all(data, data / AS_BUILT, since.entries)
    return fill_in(reads, list_files(data, "photos"), list_files(data, "papers"))


def _as_sealed(job_folder: Path, as_found: bool) -> tuple[tuple[str, ...], bool]:
    """Return in sentences whether what is sealed is as it was, and whether it was changed.

    Every byte is read for it.
    """
    found = verify(job_folder)
    if not found.differences:
        whole = "Every sealed file was read on the day this was printed and is as it was sealed."
        return (whole, *found.notes), False
    shown = found.differences[:_DIFFERENCES_SHOWN]
    more = len(found.differences) - len(shown)
    says = f"{' '.join(shown)}{f' And {more} more.' if more else ''}"
    if not as_found:
        raise UnreadableInput(
            f"What is sealed in {job_folder} was changed since: {says}",
            "Put the sealed folder back from a copy; dossier verify names every difference. To answer from it "
            "as it is found, which the documents then say: --as-found",
        )
    return (f"What is sealed was changed since it was sealed: {says}",), True
