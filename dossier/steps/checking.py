"""Where one job is read and by which day, what of it is measured, and what checking it came to.

In: what is asked. Out: `Sources` and `Run` of a walk, its `Facts`, and the `Checked` at its end. Must not judge.
"""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import ClassVar, Literal
from zoneinfo import ZoneInfo

from dossier import __version__
from dossier.archive.corrected import Since, since_sealing
from dossier.assess.results import Assessment
from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.case.case import Case
from dossier.case.read import Reads
from dossier.disk.outputs import OUT, WORK, sealed_around
from dossier.errors import WrongCommand
from dossier.evidence import Facts, measure
from dossier.evidence.facts import OtherJob
from dossier.punchlist import PunchList
from dossier.record.entry import Entry
from dossier.steps.asked import Asked
from dossier.terms.place import COMPANY_FILE
from dossier.values import Clock, Run


@dataclass(frozen=True)
class Unreadable:
    """A job that could not be read, and the items that say why. since: as of a job that could."""

    readable: ClassVar[Literal[False]] = False
    number: str
    run: Run
    punch_list: PunchList
    since: Since | None = None


@dataclass(frozen=True)
class Checked:
    """What checking one job came to.

    as_built_differs: the sheets that no longer are as in `as-built/`. logo_fault: why the company's logo
    cannot be printed, beginning after its name. sheets_folder: where the sheets were read. since: of a sealed
    job, what was sealed and what came after; None of an open one.
    """

    readable: ClassVar[Literal[True]] = True
    number: str
    run: Run
    sheets_folder: Path
    case: Case
    facts: Facts
    assessment: Assessment
    punch_list: PunchList
    as_built_differs: tuple[str, ...] = ()
    logo_fault: str | None = None
    since: Since | None = None


@dataclass(frozen=True)
class Sources:
    """Where one job is read. folder: of the job. record, sheets: the folders whose record and sheets count.

    since: of a sealed job, what was sealed and what came after; None of an open one.
    """

    folder: Path
    office: Path
    record: Path
    sheets: Path
    since: Since | None

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Return the entries after close-out, none of an open job."""
        return self.since.entries if self.since else ()


def sources_of(asked: Asked, folder: Path, office: Path) -> Sources:
    """Return where a job is read; raises WrongCommand where a sealed one is to take today's sheets."""
    since = since_sealing(folder)
    # Of a sealed job what is sealed counts, as later entries leave it, by the sheets it was built by.
    record = since.data if since else folder
    built_by = record / AS_BUILT
    own = built_by if since and (built_by / COMPANY_FILE).is_file() else office
    if since and asked.fresh_sheets:
        raise WrongCommand(
            "This job is sealed: what was promised counts, by the sheets that were sealed with it.",
            "Leave --fresh-sheets away.",
        )
    return Sources(folder, office, record, asked.sheets_folder or own, since)


def run_of(asked: Asked, sources: Sources, reads: Reads, clock: Clock) -> Run:
    """Return the run; the day is the locality's where nobody set it, UTC where there is none."""
    locality = reads.locality.model if reads.locality else None
    folder, since = sources.folder, sources.since
    zone = ZoneInfo(locality.time_zone if locality else "UTC")
    return Run(
        today=asked.today or clock(zone),
        time_zone=zone,
        version=__version__,
        job_folder=sources.record,
        office_folder=sources.office,
        out_folder=asked.out_folder or folder / OUT,
        work_folder=folder / WORK,
        progress=asked.progress,
        fresh=asked.fresh,
        places=since.places if since else {},
    )


def measured(case: Case, sources: Sources, run: Run) -> Facts:
    """Return what the files of a case say, and which other jobs of the office have its numbers."""
    # A cache written there would be a change of what was sealed.
    no_cache = run.fresh or sealed_around(sources.folder) or run.work_folder.is_symlink()
    facts = measure(
        sources.record,
        [photo.file for photo in case.photos],
        [paper.file for paper in case.papers],
        cache_folder=None if no_cache else run.work_folder,
        progress=run.progress,
        places=run.places,
    )
    return replace(facts, elsewhere=_elsewhere(case, sources.folder, sources.office))


def _elsewhere(case: Case, folder: Path, office: Path) -> tuple[OtherJob, ...]:
    """Return the other jobs of the office with this one's number or permit, where an index knows them."""
    # Imported here, since most offices that check a first job have no index yet.
    from dossier.index.same import same_numbers

    head, permit = case.job.job, case.job.permit
    found = same_numbers(
        office, folder, head.number, permit.number if permit else None, head.locality
    )
    return tuple(OtherJob(same.folder, same.number, same.permit) for same in found)
