"""A job as it was sealed at close-out, read back with the entries after it.

In: a job folder. Out: a `SealedJob`. Must not read today's record or sheets: what was promised is what counts, so
all rests on the folder sealed at close-out, with its as-built sheets, and on the entries after it. Of today's
office only the letterhead is taken. Nothing that was sealed is written to.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import NoReturn
from zoneinfo import ZoneInfo

from dossier import __version__
from dossier.archive.supplements import CLOSEOUT, WORK, finish_cut_off, previous_digest
from dossier.archive.verify import verify
from dossier.as_built import FOLDER as AS_BUILT
from dossier.assess.since import registered_since
from dossier.case.case import Case
from dossier.errors import UnreadableInput
from dossier.evidence import Facts, list_files, measure
from dossier.evidence.logo import logo_fault
from dossier.outputs import Holder
from dossier.pipeline import fill_in, read_all
from dossier.punchlist import Item
from dossier.record.entry import Entry, entries_of
from dossier.record.places import SEALED
from dossier.terms.read import find_office, read_company
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
            f"{job_folder} holds no {SEALED}/{CLOSEOUT}: a claim or a sale is answered from what was sealed.",
            "Seal the job first: dossier seal JOB",
        )
    seal, changed = _as_sealed(job_folder, as_found)
    office = data / AS_BUILT
    reads = read_all(data, office)
    case, items = fill_in(reads, list_files(data, "photos"), list_files(data, "papers"))
    if case is None:
        _refuse(f"The record sealed in {data} cannot be read", items)
    entries = _entries(job_folder)
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
    )
    facts = measure(
        data,
        [photo.file for photo in case.photos],
        [paper.file for paper in case.papers],
        progress=progress,
    )
    case = registered_since(_letterhead(case, run.office_folder), entries)
    return SealedJob(job_folder, case, facts, entries, run, digest, seal, changed, holder)


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


def _entries(job_folder: Path) -> tuple[Entry, ...]:
    found: list[Entry] = []
    for _, read in entries_of(job_folder):
        if read.model is None:
            _refuse("An entry sealed after close-out cannot be read", read.items)
        found.append(read.model)
    return tuple(found)


def _refuse(what: str, items: Sequence[Item]) -> NoReturn:
    says = [item.says for item in items][:3]
    more = f" And {len(items) - 3} more." if len(items) > 3 else ""
    raise UnreadableInput(
        f"{what}: {' '.join(says) or 'it is not there.'}{more}",
        "Sealed files are never mended in place. dossier verify says whether they are as they were sealed; "
        "put a damaged one back from a copy.",
    )


def _letterhead(case: Case, office: Path) -> Case:
    """Return the case with today's way to reach the company; its name and promises stay as built."""
    company = case.company
    today = read_company(office).model
    if today is not None:
        logo = None if logo_fault(office, today.logo) else today.logo
        fields = ("address", "phone", "email", "colours", "paper")
        told = {name: getattr(today, name) for name in fields}
        company = company.model_copy(update={**told, "logo": logo})
    elif logo_fault(office, company.logo):
        company = company.model_copy(update={"logo": None})
    return replace(case, company=company)
