"""A job folder through every room, in order: check and build.

In: a job folder and what the command line was told. Out: a `Checked`, and for build the documents on
disk. Read this file to see what the program does; each step is one call and logs its number.
"""

import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from dossier import RECORD_VERSION, __version__
from dossier.archive.corrected import Since, since_sealing, with_what_came_after
from dossier.assess.assess import assess
from dossier.assess.results import Assessment
from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.case.as_built import as_built_differs, as_built_files
from dossier.case.case import Case
from dossier.case.fill import fill
from dossier.disk.outputs import (
    OUT,
    WORK,
    Holder,
    job_lock,
    refuse_foreign,
    refuse_inside_a_job,
    replace_folders,
    sealed_around,
)
from dossier.disk.standing import LastBuild, Place, Said, build_asked
from dossier.errors import UnreadableInput, WrongCommand
from dossier.evidence import Facts, list_files, measure
from dossier.evidence.facts import OtherJob
from dossier.evidence.logo import logo_fault
from dossier.gather.filing import heal
from dossier.punchlist import Item, PunchList
from dossier.reading.model import Read
from dossier.record.entry import Entry
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.record.places import SEALED
from dossier.record.read import merge_files, read_job, read_photo_list
from dossier.rules.book import punch_list
from dossier.terms.office import Company, Locality
from dossier.terms.read import (
    COMPANY_FILE,
    need_office,
    read_catalogues,
    read_company,
    read_locality,
    read_sheet,
)
from dossier.terms.sheet import Catalogue, TermsSheet
from dossier.values import Clock, Progress, Run, silent

log = logging.getLogger("dossier")

_OWN_OUT = "Move them away, or choose another place with --out FOLDER."
_OWN_AS_BUILT = (
    "Move them out of the job folder: build keeps a copy there of the sheets the job was built by, and "
    "--out does not move it."
)


@dataclass(frozen=True)
class Asked:
    """What the command line was told of one job.

    today: None where the clock decides. fresh_sheets: whether build copies today's sheets into `as-built/`
    even where they say something else than those the job was built by. holder: who takes the job in hand.
    sheets_folder: where the sheets are read; the office folder where None. Logo and templates are the
    office's own in either case.
    """

    job_folder: Path
    office_folder: Path | None = None
    out_folder: Path | None = None
    today: date | None = None
    fresh: bool = False
    fresh_sheets: bool = False
    progress: Progress = silent
    holder: Holder | None = None
    sheets_folder: Path | None = None


@dataclass(frozen=True)
class Checked:
    """What checking one job came to. case, facts, assessment: None where the record is unreadable.

    as_built_differs: the sheets that no longer are as in `as-built/`. logo_fault: why the company's logo
    cannot be printed, beginning after its name. sheets_folder: where the sheets were read. since: of a sealed
    job, what was sealed and what came after; None of an open one.
    """

    number: str
    run: Run
    sheets_folder: Path
    case: Case | None
    facts: Facts | None
    assessment: Assessment | None
    punch_list: PunchList
    as_built_differs: tuple[str, ...] = ()
    logo_fault: str | None = None
    since: Since | None = None

    @property
    def readable(self) -> bool:
        """Return whether the record could be read at all."""
        return self.case is not None


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


def check(asked: Asked, clock: Clock) -> Checked:
    """Return the punch list of a job folder, and everything it was found from.

    Raises DossierError where the folder or its office folder cannot be used at all; whatever a person
    has to mend in a file is an item.
    """
    folder = job_folder_of(asked.job_folder)
    office = need_office(folder, asked.office_folder)
    log.info("step 1 of 6: reading the record in %s, the office in %s", folder, office)
    since = since_sealing(folder)
    # Of a sealed job what is sealed counts, as later entries leave it, by the sheets it was built by.
    record = since.data if since else folder
    built_by = record / AS_BUILT
    own = built_by if since and (built_by / COMPANY_FILE).is_file() else office
    sheets = asked.sheets_folder or own
    if since and asked.fresh_sheets:
        raise WrongCommand(
            "This job is sealed: what was promised counts, by the sheets that were sealed with it.",
            "Leave --fresh-sheets away.",
        )
    reads = read_all(record, sheets, since.entries if since else ())
    run = _run(asked, folder, office, reads, clock, since)
    number = reads.job.model.job.number if reads.job.model else folder.name

    log.info("step 2 of 6: filling in what is said once elsewhere")
    photo_files, paper_files = list_files(record, "photos"), list_files(record, "papers")
    case, unread = fill_in(reads, photo_files, paper_files)
    if case is None:
        return Checked(number, run, sheets, None, None, None, PunchList.of(unread), since=since)
    if since:
        case = with_what_came_after(case, since, office)

    log.info("step 3 of 6: measuring %s files", len(case.photos) + len(case.papers))
    facts = measure(
        record,
        [photo.file for photo in case.photos],
        [paper.file for paper in case.papers],
        # A cache written there would be a change of what was sealed.
        cache_folder=None
        if asked.fresh or sealed_around(folder) or run.work_folder.is_symlink()
        else run.work_folder,
        progress=run.progress,
        places=run.places,
    )
    facts = replace(facts, elsewhere=_elsewhere(case, folder, office))

    log.info("step 4 of 6: working out what follows")
    assessment = assess(case, facts, run)

    log.info("step 5 of 6: going through the rule book")
    items = punch_list(case, facts, assessment, run)
    return Checked(
        number,
        run,
        sheets,
        case,
        facts,
        assessment,
        items,
        () if since else as_built_differs(case, sheets, folder),
        logo_fault(office, case.company.logo),
        since,
    )


def _elsewhere(case: Case, folder: Path, office: Path) -> tuple[OtherJob, ...]:
    """Return the other jobs of the office with this one's number or permit, where an index knows them."""
    # Imported here, since most offices that check a first job have no index yet.
    from dossier.index.same import same_numbers

    head, permit = case.job.job, case.job.permit
    found = same_numbers(
        office, folder, head.number, permit.number if permit else None, head.locality
    )
    return tuple(OtherJob(same.folder, same.number, same.permit) for same in found)


@dataclass(frozen=True)
class Built:
    """What building one job came to. files: the names written, none where the record is unreadable.

    kept_as_built: whether an earlier `as-built/` was left alone, since today's sheets say something else.
    last: remembers what the build said, so that one with nothing to do is over at once.
    """

    checked: Checked
    files: tuple[str, ...]
    last: LastBuild
    kept_as_built: bool = False

    def remember(self, said: Said) -> None:
        """Keep what was said of this build, for as long as nothing it was made from changes."""
        run, case = self.checked.run, self.checked.case
        if not self.files or case is None:
            return
        wrote = [
            Place(str(run.out_folder), True),
            Place(str(run.work_folder.parent / AS_BUILT), True),
        ]
        if case.company.logo:
            wrote.append(Place(str(run.office_folder / case.company.logo), False))
        zone = case.locality.time_zone
        self.last.remember(said, run.today, zone, wrote)


def build(asked: Asked, clock: Clock) -> Built:
    """Write the documents of a job folder whole, or leave what stood there before.

    Raises DossierError where another run has the job, the layout library is missing, or an output
    cannot be written.
    """
    folder = job_folder_of(asked.job_folder)
    with job_lock(folder / WORK, asked.holder):
        heal(folder)
        last = LastBuild(
            folder / WORK,
            build_asked(folder, asked.office_folder, asked.out_folder),
            made_from(folder, need_office(folder, asked.office_folder)),
        )
        checked = check(asked, clock)
        if not checked.readable:
            return Built(checked, (), last)
        files, kept = write_documents(checked, folder, asked.fresh_sheets)
        return Built(checked, tuple(files), last, kept)


def write_documents(
    checked: Checked, folder: Path, fresh_sheets: bool
) -> tuple[Mapping[str, bytes], bool]:
    """Print a readable job and swap its documents in, and its sheets into `as-built/`; the lock is held.

    Returns the documents by name, and whether an earlier `as-built/` was left alone.
    """
    assert checked.case is not None
    assert checked.facts is not None
    assert checked.assessment is not None
    run = checked.run
    log.info("step 6 of 6: printing")
    # Imported here, since check must not load what lays out documents.
    from dossier.press.printing import Printer

    number, built_by = checked.case.job.job.number, folder / AS_BUILT
    own = folder / OUT
    refuse_inside_a_job(run.out_folder, own)
    elsewhere = run.out_folder.resolve() != own.resolve()
    refuse_foreign(run.out_folder, _OWN_OUT, job=number if elsewhere else None)
    refuse_foreign(built_by, _OWN_AS_BUILT)
    sheets = checked.sheets_folder
    printer = Printer(
        checked.case, checked.facts, checked.assessment, checked.punch_list, run, sheets
    )
    files = printer.files()
    folders: dict[Path, Mapping[str, bytes]] = {run.out_folder: files}
    # What was promised counts: the sheets of the first build stay until somebody says otherwise.
    keep = bool(checked.as_built_differs) and not fresh_sheets
    if not keep and sheets != built_by and checked.since is None:
        folders[built_by] = as_built_files(checked.case, sheets)
    replace_folders(number, folders)
    return files, keep


def made_from(folder: Path, office: Path) -> tuple[Place, ...]:
    """Return every place a build of this job reads, but for a logo that lies elsewhere.

    That no nearer folder has become an office since is part of it.
    """
    above = [parent for parent in folder.parents if parent != office and office in parent.parents]
    return (
        Place(str(folder), True, (WORK, OUT, AS_BUILT, SEALED)),
        # Once a job is sealed, that is what it is built from.
        Place(str(folder / SEALED), True),
        *(Place(str(office / name), True) for name in ("terms", "localities", "templates")),
        *(Place(str(place / COMPANY_FILE), False) for place in (*above, office)),
    )


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


def _run(
    asked: Asked, folder: Path, office: Path, reads: Reads, clock: Clock, since: Since | None
) -> Run:
    """Return the run; the day is the locality's where nobody set it, UTC where there is none."""
    locality = reads.locality.model if reads.locality else None
    zone = ZoneInfo(locality.time_zone if locality else "UTC")
    return Run(
        today=asked.today or clock(zone),
        time_zone=zone,
        version=__version__,
        job_folder=since.data if since else folder,
        office_folder=office,
        out_folder=asked.out_folder or folder / OUT,
        work_folder=folder / WORK,
        progress=asked.progress,
        fresh=asked.fresh,
        places=since.places if since else {},
    )


def job_folder_of(path: Path) -> Path:
    try:
        found = "" if path.is_dir() else "is a file" if path.exists() else "is not there"
    except OSError as problem:
        raise UnreadableInput(
            f"The job folder {path} cannot be looked at: {problem.strerror}.",
            "Give this user the right to read it and the folders above it.",
        ) from problem
    if found:
        raise UnreadableInput(
            f"The job folder {path} {found}.",
            "Name the folder that holds job.yaml, or make one with: dossier start FOLDER",
        )
    return path.resolve()
