"""`dossier gather JOB SOURCE…`: a heap of files proposed and filed; a supplier's ticket into the record."""

import difflib
import os
import secrets
import shlex
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from dossier import __version__
from dossier.archive.corrected import since_sealing, what_counts
from dossier.commands.show import items_text, to_stderr
from dossier.disk.outputs import OUT, WORK, Holder, job_lock
from dossier.errors import CannotWrite, ExitCode, UnreadableInput, WrongCommand
from dossier.gather.choices import choices_text, chosen, read_choices
from dossier.gather.filing import file_in, heal, said_of, scratch_in, undo
from dossier.gather.heap import PICTURES, Opener, opener, read_heap
from dossier.gather.known import read_known, readable_job
from dossier.gather.proposal import Do, Proposal, Proposed, propose
from dossier.gather.slopeless import could_be_slopes, filed_without, slopes_first, way_back
from dossier.gather.tickets import TicketForm, is_job_with, read_ticket, with_deliveries
from dossier.gather.zips import NotReadable
from dossier.index.answer import keep_current
from dossier.punchlist import PunchList, Where
from dossier.reading.model import Read
from dossier.record.job import Job
from dossier.record.materials import Delivery
from dossier.record.read import JOB_FILE
from dossier.terms.read import (
    COMPANY_FILE,
    find_office,
    need_office,
    read_catalogues,
    read_locality,
)
from dossier.terms.suppliers import Supplier, read_supplier
from dossier.values import Clock, Progress, Run, clip, plural, silent
from dossier.words import Phase

PROPOSAL_FILE = "gather-proposal.yaml"
_EARLIER_PROPOSAL_FILE = "gather-proposal-before.yaml"

_PART_MARKS = {"comma": ",", "semicolon": ";", "tab": "\t"}


@dataclass(frozen=True)
class Gathering:
    """What the command line was told of one gather. today: None where the clock decides."""

    job_folder: Path
    sources: tuple[Path, ...] = ()
    office_folder: Path | None = None
    today: date | None = None
    yes: bool = False
    without_slopes: bool = False
    take: Path | None = None
    undo: bool = False
    proposal: Path | None = None
    sheet: Path | None = None
    received_from: str | None = None
    supplier: str | None = None
    progress: Progress = silent
    holder: Holder | None = None


def run_gather(asked: Gathering, clock: Clock) -> ExitCode:
    """Propose, file or undo as asked, print what was done, and return the exit code it means."""
    _refuse_contradictions(asked)
    if not asked.job_folder.is_dir():
        raise UnreadableInput(
            f"The job folder {asked.job_folder} is not there.",
            "Name the folder that holds job.yaml, or make one with: dossier start FOLDER",
        )
    folder = asked.job_folder.resolve()
    with job_lock(folder / WORK, asked.holder):
        code = _gather(asked, folder, clock)
    # A ticket may have brought new lots into the record.
    keep_current(asked.office_folder or find_office(folder), folder, to_stderr)
    return code


def _gather(asked: Gathering, folder: Path, clock: Clock) -> ExitCode:
    if asked.undo:
        return _undo(folder)
    _refuse_sealed(folder)
    heal(folder)
    job = readable_job(folder)
    run = _run(asked, folder, job, clock)
    if asked.supplier is not None:
        return _gather_ticket(asked, folder, job, asked.supplier, run)
    return _gather_heap(asked, folder, job, run)


def _refuse_sealed(folder: Path) -> None:
    """Raise CannotWrite for a sealed job, once what counts of it has been said."""
    since = since_sealing(folder)
    if since is None:
        return
    for sentence in what_counts(since):
        to_stderr(sentence)
    job = shlex.quote(str(folder))
    raise CannotWrite(
        "Nothing was gathered: what is filed in the folder of a sealed job does not count.",
        f"Add what came late beside the seal: dossier add late-photo {job} FILE --phase PHASE, or dossier add "
        f"late-paper {job} FILE; lines of a late ticket are corrections.",
    )


def _refuse_contradictions(asked: Gathering) -> None:
    one_of = [asked.yes, asked.take is not None, asked.undo]
    if sum(one_of) > 1:
        raise WrongCommand("--yes, --take and --undo are three ways.", "Give one of them.")
    if asked.undo and (asked.sources or asked.supplier):
        raise WrongCommand("--undo takes no sources.", "Run: dossier gather JOB --undo")
    if not asked.sources and not asked.undo and asked.take is None:
        raise WrongCommand(
            "There is nothing to gather.", "Name folders, zips or files behind the job folder."
        )
    if asked.proposal is not None and sum(one_of):
        raise WrongCommand(
            "--proposal writes what would be filed, instead of filing it.",
            "Leave it away with --yes, --take and --undo.",
        )
    if asked.supplier is not None and (len(asked.sources) != 1 or asked.take or asked.sheet):
        raise WrongCommand(
            "--supplier reads one table at a time, without --take and --sheet.",
            "Run: dossier gather JOB ticket.csv --supplier NAME",
        )


def _run(asked: Gathering, folder: Path, job: Read[Job], clock: Clock) -> Run:
    """Return the run; the day is the locality's where it can be read, UTC's where it cannot."""
    office = need_office(folder, asked.office_folder) if asked.office_folder else None
    office = office or find_office(folder)
    zone = ZoneInfo("UTC")
    if office is not None and job.model is not None:
        locality = read_locality(office, job.model.job.locality, Where(JOB_FILE))
        if locality.model is not None:
            zone = ZoneInfo(locality.model.time_zone)
    return Run(
        today=asked.today or clock(zone),
        time_zone=zone,
        version=__version__,
        job_folder=folder,
        office_folder=office or folder.parent,
        out_folder=folder / OUT,
        work_folder=folder / WORK,
        progress=asked.progress,
    )


# --- photos and papers --------------------------------------------------------------------------


def _gather_heap(asked: Gathering, folder: Path, job: Read[Job], run: Run) -> ExitCode:
    known = read_known(folder, job, run.progress)
    choices = read_choices(asked.take) if asked.take else None
    sources = asked.sources
    if choices is not None and not sources:
        sources = tuple(Path(source) for source in choices.sources)
    sources = tuple(source.resolve() for source in sources)
    with opener() as opened:
        heap = read_heap(sources, opened, scratch_in(folder), run.progress)
        proposal = propose(heap, known)
        if choices is not None:
            proposal = chosen(proposal, choices, [slope.label for slope in known.job.slopes])
        print(proposal_table(proposal))
        unnamed = could_be_slopes(proposal, known)
        lacking = filed_without(proposal, known)
        if lacking:
            print(way_back(lacking, str(asked.job_folder)))
        if asked.sheet is not None:
            _write_sheet(asked.sheet, proposal, known.job, opened, run)
        if unnamed and asked.yes and not asked.without_slopes:
            raise WrongCommand(
                slopes_first(unnamed),
                "Nothing was filed. Write the slopes and gather again; or, where no photo is to get a "
                "slope, add --without-slopes.",
            )
        if not asked.yes and choices is None:
            path = _write_proposal(asked, folder, proposal, sources)
            print(f"\nNothing was filed. The proposal is in {path}.")
            if unnamed:
                print(slopes_first(unnamed))
            print(f"File it as it is:    dossier gather {asked.job_folder} SOURCE… --yes")
            print(f"File it as edited:   dossier gather {asked.job_folder} --take {path}")
            return ExitCode.NOTHING_HELD_UP
        filed = file_in(
            folder,
            proposal,
            opened,
            today=run.today,
            received_from=asked.received_from,
            progress=run.progress,
        )
    print()
    for file, made_from in filed.copies:
        print(f"  {file}  from {made_from}")
    for refused in filed.refused[len(proposal.refused) :]:
        print(f"  not filed: {refused.name} {refused.why}")
    print(said_of(filed))
    if unnamed and filed.copies:
        print(slopes_first(unnamed).replace("no photo gets one", "no photo has one"))
    if filed.copies:
        print(f"Take it back:  dossier gather {asked.job_folder} --undo")
    return ExitCode.NOTHING_HELD_UP


def proposal_table(proposal: Proposal) -> str:
    """Return the proposal as a table for a terminal, with what was passed by and a sum below it."""
    rows = [("no", "do", "place", "taken", "file", "why")]
    rows += [
        (str(one.number), one.do.value, place_of(one), one.taken, clip(one.name, 44), one.reason)
        for one in proposal.files
    ]
    widths = [max(len(row[column]) for row in rows) for column in range(5)]
    lines = []
    for row in rows:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=False)]
        lines.append("  ".join([*cells, row[5]]).rstrip())
    lines += [f"passed by: {refused.name} {refused.why}" for refused in proposal.refused]
    counts = [(do, sum(one.do is do for one in proposal.files)) for do in Do]
    told = ", ".join(f"{count} {do.value}" for do, count in counts)
    unknown = sum(one.do is Do.PHOTO and one.phase is None for one in proposal.files)
    lines.append(
        f"{plural(len(proposal.files), 'file')}: {told}; {unknown} without a phase; "
        f"{len(proposal.refused)} passed by."
    )
    return "\n".join(lines)


def place_of(one: Proposed) -> str:
    """Return where one file would go, in words: ice barrier, front; or the kind of paper."""
    if one.do is Do.PAPER:
        return one.kind.value if one.kind else "unknown paper"
    parts = [one.phase.value if one.phase else "unknown phase", one.slope or ""]
    return ", ".join(part for part in parts if part)


def _write_proposal(
    asked: Gathering, folder: Path, proposal: Proposal, sources: Sequence[Path]
) -> Path:
    """Write the proposal; one that stood in its usual place before is kept beside it."""
    text = choices_text(proposal, sources).encode()
    if asked.proposal is not None:
        _write_new(asked.proposal, text)
        return asked.proposal
    path = folder / WORK / PROPOSAL_FILE
    if path.is_file() and path.read_bytes() != text:
        # Somebody may have edited it and forgotten --take.
        os.replace(path, path.with_name(_EARLIER_PROPOSAL_FILE))  # noqa: PTH105 - it says so.
    _replace(path, text)
    return path


def _write_sheet(path: Path, proposal: Proposal, job: Job, opened: Opener, run: Run) -> None:
    # Imported here, since a gather without a sheet must work where no layout library is installed.
    from dossier.compose.office.contact_sheet import THUMBNAIL_MM, SheetRow, contact_sheet
    from dossier.press.press import moment, print_one
    from dossier.render.engine import Asset
    from dossier.render.pictures import reduce
    from dossier.terms.read import read_company

    if path.exists():
        raise _is_there(path)
    pictures: dict[str, Asset] = {}
    for done, one in enumerate(proposal.files, start=1):
        run.progress(f"drawing {one.name}", done, len(proposal.files))
        fact = one.seen.fact
        if fact.kind not in PICTURES or fact.fault is not None:
            continue
        try:
            pictures[f"p{one.number}"] = reduce(
                opened.read(one.seen.file), width_mm=THUMBNAIL_MM, dpi=100
            )
        except NotReadable as problem:
            to_stderr(f"{one.name} {problem.why}")
    rows = [
        SheetRow(
            number=one.number,
            name=one.name,
            place=place_of(one) if one.do is not Do.LEAVE_OUT else "leave out",
            taken=one.taken,
            reason=one.reason,
            shows=f"p{one.number}" in pictures,
            left_out=one.do is Do.LEAVE_OUT,
        )
        for one in proposal.files
    ]
    places = sorted({row.place for row in rows}, key=_place_order)
    office = run.office_folder
    company = read_company(office).model if (office / COMPANY_FILE).is_file() else None
    pages = contact_sheet(job.job.number, company.name if company else "", rows, places, run)
    made = print_one(pages, company, office, moment(run.today, run.time_zone), pictures)
    _write_new(path, made.data)
    to_stderr(f"Contact sheet: {path}, {plural(made.page_count, 'page')}")


def _place_order(place: str) -> tuple[int, str]:
    phase = place.partition(",")[0]
    order = [one.value for one in Phase]
    return (order.index(phase) if phase in order else len(order), place)


def _undo(folder: Path) -> ExitCode:
    undone = undo(folder)
    for file in undone.removed:
        print(f"  removed {file}")
    for left in undone.left:
        print(f"  left {left.name}: it {left.why}")
    print(
        f"Undone: {plural(len(undone.removed), 'copy', 'copies')} removed, {len(undone.left)} left."
    )
    return ExitCode.NOTHING_HELD_UP


# --- a supplier's ticket ------------------------------------------------------------------------


def _gather_ticket(
    asked: Gathering, folder: Path, job: Read[Job], supplier: str, run: Run
) -> ExitCode:
    assert job.model is not None
    office = need_office(folder, asked.office_folder)
    sheet = read_supplier(office, supplier)
    [source] = asked.sources
    ticket = read_ticket(_table(source), source.name, _form(sheet), _catalogue(office))
    if len(ticket.items):
        print(items_text(PunchList.of(ticket.items)))
    code = ExitCode.ITEMS_HOLD if ticket.items else ExitCode.NOTHING_HELD_UP
    if not ticket.deliveries:
        print(f"No line of {source.name} can be written; {JOB_FILE} is as it was.")
        return code
    path = folder / JOB_FILE
    if path.is_symlink():
        raise CannotWrite(f"{path} is a link to another place.", "Put the file itself there.")
    before = path.read_bytes()
    after = with_deliveries(before, job.model, ticket.deliveries)
    print(_difference(before, after))
    told = " and ".join(
        f"ticket {delivery.ticket} with {plural(len(delivery.lines), 'line')}"
        for delivery in ticket.deliveries
    )
    if not asked.yes:
        print(f"Nothing was written. Add {told} with --yes.")
        return code
    _replace_job(path, after, before, job.model, ticket.deliveries)
    print(f"Added {told} to {JOB_FILE}.")
    return code


def _table(source: Path) -> bytes:
    try:
        return source.read_bytes()
    except OSError as problem:
        raise UnreadableInput(
            f"{source} cannot be read: {problem.strerror}.", "Name the supplier's table."
        ) from None


def _form(sheet: Supplier) -> TicketForm:
    columns = sheet.columns.model_dump()
    return TicketForm(
        supplier=sheet.supplier,
        columns={name: str(column) for name, column in columns.items() if column is not None},
        delimiter=_PART_MARKS[sheet.parted_by],
        dates=sheet.dates,
        products={one.code: one.product for one in sheet.products},
        units={one.code: one.unit for one in sheet.units},
    )


def _catalogue(office: Path) -> Mapping[str, tuple[str, Sequence[str]]]:
    """Return each product's unit and colours; raises UnreadableInput for a catalogue with a fault."""
    known: dict[str, tuple[str, Sequence[str]]] = {}
    for read in read_catalogues(office):
        if read.model is None:
            raise UnreadableInput(read.items[0].says, read.items[0].remedy)
        for product in read.model.products:
            known.setdefault(product.product, (product.unit, product.colours))
    return known


def _difference(before: bytes, after: bytes) -> str:
    old, new = (data.decode("utf-8").splitlines() for data in (before, after))
    rows = difflib.unified_diff(old, new, JOB_FILE, f"{JOB_FILE} with the ticket", lineterm="")
    return "\n".join(rows)


def _replace_job(
    path: Path, after: bytes, before: bytes, job: Job, deliveries: Sequence[Delivery]
) -> None:
    """Put the record's new text in place of the old, once what the disk holds has been read back."""
    # Under a name of its own, so that what a kill leaves there is written over by the next run.
    fresh = path.parent / WORK / f"{path.name}.new"
    try:
        try:
            fresh.unlink(missing_ok=True)
            _write_synced(fresh, after)
            fresh.chmod(path.stat().st_mode & 0o7777)
            if not is_job_with(fresh.read_bytes(), job, deliveries):
                raise CannotWrite(
                    f"{path.name} does not read back as it was written.",
                    "Nothing was changed. The disk may be failing; look at it first.",
                )
            if path.read_bytes() != before:
                raise CannotWrite(
                    f"{path.name} was changed at this very moment.", "Run this again."
                )
            fresh.replace(path)
        finally:
            fresh.unlink(missing_ok=True)
    except OSError as problem:
        raise _not_written(path, problem) from problem


def _write_new(path: Path, data: bytes) -> None:
    """Write a file that is not there yet, whole or not at all."""
    if os.path.lexists(path):
        raise _is_there(path)
    _replace(path, data)


def _replace(path: Path, data: bytes) -> None:
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(4)}.new")
    try:
        try:
            _write_synced(fresh, data)
            fresh.replace(path)
        finally:
            fresh.unlink(missing_ok=True)
    except OSError as problem:
        raise _not_written(path, problem) from problem


def _write_synced(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _is_there(path: Path) -> CannotWrite:
    return CannotWrite(f"{path} is there already.", "Name a new file, or take that one away.")


def _not_written(path: Path, problem: OSError) -> CannotWrite:
    return CannotWrite(
        f"{path} could not be written: {problem.strerror or problem}.",
        "Nothing was changed. Free some space, or give this user the right to write there.",
    )
