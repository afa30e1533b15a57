"""A heap of files looked at, and filed in a job as proposed or as somebody chose.

In: a job folder and where the files lie. Out: what is proposed for each, to be shown; then what was filed. The job
is in hand from the first look to the last copy; who shows a proposal and comes back later looks again, and each
file's mark says whether it is still the one that was shown.
"""

import os
import shlex
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from dossier import __version__
from dossier.archive.corrected import since_sealing
from dossier.disk.outputs import OUT, WORK, Holder, job_lock, write_new_file
from dossier.disk.whole import replace
from dossier.errors import CannotWrite, UnreadableInput, WrongCommand
from dossier.gather.asked import Asking
from dossier.gather.choices import Choices, choices_text, chosen
from dossier.gather.filing import Filed, Undone, file_in, heal, scratch_in, undo
from dossier.gather.heap import PICTURES, Opener, opener, read_heap
from dossier.gather.heap_titles import titles_in
from dossier.gather.known import read_known, readable_job
from dossier.gather.naming import place_of
from dossier.gather.proposal import Do, Known, Proposal, propose
from dossier.gather.run_words import run_titles
from dossier.gather.slopeless import could_be_slopes, filed_without, slopes_first
from dossier.gather.zips import NotReadable, Refused
from dossier.punchlist import Where
from dossier.reading.model import Read
from dossier.record.job import Job
from dossier.record.read import JOB_FILE
from dossier.terms.own_words import read_own_words
from dossier.terms.read import COMPANY_FILE, find_office, need_office, read_locality
from dossier.values import Clock, Progress, Run, silent
from dossier.words import Phase

PROPOSAL_FILE = "gather-proposal.yaml"
EARLIER_PROPOSAL_FILE = "gather-proposal-before.yaml"


@dataclass(frozen=True)
class InHand:
    """A job that is gathered into: its record, and by which day and office it is."""

    folder: Path
    job: Read[Job]
    run: Run


@dataclass(frozen=True)
class LookedAt:
    """A heap as it was looked at. chosen: whether a person went over the proposal.

    unnamed: words in its names that could be slopes, where the record has none. lacking: photos of the job without
    a slope that a name in the heap says, each with that slope. proposed: what was proposed before anybody chose.
    """

    proposal: Proposal
    known: Known
    sources: tuple[Path, ...]
    opened: Opener
    chosen: bool
    unnamed: tuple[str, ...]
    lacking: tuple[tuple[str, str], ...]
    proposed: Proposal


@dataclass(frozen=True)
class ContactSheet:
    """A heap as small pictures. unread: those that could not be drawn, and why."""

    data: bytes
    page_count: int
    unread: tuple[Refused, ...]


def job_folder(folder: Path) -> Path:
    """Return the whole path of a job folder; raises UnreadableInput where there is none."""
    if not folder.is_dir():
        raise UnreadableInput(
            f"The job folder {folder} is not there.",
            "Name the folder that holds job.yaml, or make one with: dossier start FOLDER",
        )
    return folder.resolve()


@contextmanager
def in_hand(
    folder: Path,
    clock: Clock,
    *,
    office: Path | None = None,
    today: date | None = None,
    holder: Holder | None = None,
    progress: Progress = silent,
) -> Iterator[InHand]:
    """Hold a job while it is gathered into, once what a killed run left is cleared away.

    Raises CannotWrite for a sealed one, JobTaken where another run has it.
    """
    with job_lock(folder / WORK, holder):
        _refuse_sealed(folder)
        heal(folder)
        job = readable_job(folder)
        yield InHand(folder, job, _run(folder, job, clock, office, today, progress))


def _refuse_sealed(folder: Path) -> None:
    if since_sealing(folder) is None:
        return
    job = shlex.quote(str(folder))
    raise CannotWrite(
        "Nothing was gathered: what is filed in the folder of a sealed job does not count.",
        f"Add what came late beside the seal: dossier add late-photo {job} FILE --phase PHASE, or dossier add "
        f"late-paper {job} FILE; lines of a late ticket are corrections.",
    )


def _run(
    folder: Path,
    job: Read[Job],
    clock: Clock,
    named_office: Path | None,
    today: date | None,
    progress: Progress,
) -> Run:
    """Return the run; the day is the locality's where it can be read, UTC's where it cannot."""
    office = need_office(folder, named_office) if named_office else find_office(folder)
    zone = ZoneInfo("UTC")
    if office is not None and job.model is not None:
        locality = read_locality(office, job.model.job.locality, Where(JOB_FILE))
        if locality.model is not None:
            zone = ZoneInfo(locality.model.time_zone)
    return Run(
        today=today or clock(zone),
        time_zone=zone,
        version=__version__,
        job_folder=folder,
        office_folder=office or folder.parent,
        out_folder=folder / OUT,
        work_folder=folder / WORK,
        progress=progress,
    )


@contextmanager
def looked_at(
    at: InHand, sources: Sequence[Path], choices: Choices | None = None
) -> Iterator[LookedAt]:
    """Hold a heap and what is proposed for it. choices: a proposal that a person went over.

    sources: where the files lie; none for those that the choices name.
    """
    own = read_own_words(at.run.office_folder).words
    known = read_known(
        at.folder,
        at.job,
        at.run.progress,
        {one.word: one.phase for one in own if one.phase},
        {one.word: one.slope for one in own if one.slope},
    )
    if choices is not None and not sources:
        sources = [Path(source) for source in choices.sources]
    places = tuple(source.resolve() for source in sources)
    with opener() as opened:
        heap = read_heap(places, opened, scratch_in(at.folder), at.run.progress)
        proposal = proposed = propose(heap, known, titles_in(heap, opened))
        if choices is not None:
            proposal = chosen(proposal, choices, [slope.label for slope in known.job.slopes])
        yield LookedAt(
            proposal,
            known,
            places,
            opened,
            choices is not None,
            could_be_slopes(proposal, known),
            filed_without(proposal, known),
            proposed,
        )


def file_heap(
    at: InHand,
    heap: LookedAt,
    *,
    received_from: str | None = None,
    without_slopes: bool = False,
) -> Filed:
    """File a heap as it is proposed; returns what was filed, or raises with the job as it was.

    without_slopes: whether photos are filed although their names could say slopes that the record does not have
    yet; what a person chose is filed in any case.
    """
    if heap.unnamed and not heap.chosen and not without_slopes:
        raise WrongCommand(
            slopes_first(heap.unnamed),
            "Nothing was filed. Write the slopes and gather again; or, where no photo is to get a "
            "slope, add --without-slopes.",
        )
    return file_in(
        at.folder,
        heap.proposal,
        heap.opened,
        today=at.run.today,
        received_from=received_from,
        progress=at.run.progress,
    )


def undo_gather(folder: Path, holder: Holder | None = None) -> Undone:
    """Take the last gather of a job back; raises CannotWrite where there is none."""
    with job_lock(folder / WORK, holder):
        return undo(folder)


def keep_proposal(
    at: InHand,
    heap: LookedAt,
    path: Path | None = None,
    asking: Asking | None = None,
    *,
    ours: bool = False,
) -> Path:
    """Write the proposal as a file to be edited, and return its place.

    path: a new file; None for its usual place, where one that stood there before is kept beside it unless it is
    ours: written by this asking, or taken up by it. asking: the photos in runs.
    """
    text = choices_text(heap.proposal, heap.sources, asking).encode()
    if path is not None:
        write_new_file(path, text)
        return path
    path = at.folder / WORK / PROPOSAL_FILE
    try:
        if path.is_file() and not ours and path.read_bytes() != text:
            # Somebody may have edited it and forgotten --take.
            os.replace(path, path.with_name(EARLIER_PROPOSAL_FILE))  # noqa: PTH105 - it says so.
        replace(path, text, path.with_suffix(".new"))
    except OSError as problem:
        raise CannotWrite(
            f"{path} could not be written: {problem.strerror or problem}.",
            "Nothing was changed. Free some space, or give this user the right to write there.",
        ) from problem
    return path


def contact_sheet(at: InHand, heap: LookedAt, asking: Asking | None = None) -> ContactSheet:
    """Return the pictures of a heap with what is proposed for each, as a PDF.

    asking: the photos in runs, to be shown run by run; None to show them by where they would go.
    """
    # Imported here, since a gather without a sheet must work where no layout library is installed.
    from dossier.compose.office.contact_sheet import THUMBNAIL_MM, SheetRow
    from dossier.compose.office.contact_sheet import contact_sheet as pages_of
    from dossier.press.press import moment, print_one
    from dossier.render.engine import Asset
    from dossier.render.pictures import reduce
    from dossier.terms.read import read_company

    run, files = at.run, heap.proposal.files
    unread: list[Refused] = []
    pictures: dict[str, Asset] = {}
    for done, one in enumerate(files, start=1):
        run.progress(f"drawing {one.name}", done, len(files))
        fact = one.seen.fact
        if fact.kind not in PICTURES or fact.fault is not None:
            continue
        try:
            pictures[f"p{one.number}"] = reduce(
                heap.opened.read(one.seen.file), width_mm=THUMBNAIL_MM, dpi=100
            )
        except NotReadable as problem:
            unread.append(Refused(one.name, problem.why))
    in_run = {} if asking is None else run_titles(asking)
    rows = [
        SheetRow(
            number=one.number,
            name=one.name,
            place=in_run.get(one.number, place_of(one))
            if one.do is not Do.LEAVE_OUT
            else "leave out",
            taken=one.taken,
            reason=one.reason,
            shows=f"p{one.number}" in pictures,
            left_out=one.do is Do.LEAVE_OUT,
        )
        for one in files
    ]
    places = list(dict.fromkeys(in_run.values()))
    places += sorted({row.place for row in rows} - set(places), key=_place_order)
    office = run.office_folder
    company = read_company(office).model if (office / COMPANY_FILE).is_file() else None
    pages = pages_of(heap.known.job.job.number, company.name if company else "", rows, places, run)
    made = print_one(pages, company, office, moment(run.today, run.time_zone), pictures)
    return ContactSheet(made.data, made.page_count, tuple(unread))


def _place_order(place: str) -> tuple[int, str]:
    phase = place.partition(",")[0]
    order = [one.value for one in Phase]
    return (order.index(phase) if phase in order else len(order), place)
