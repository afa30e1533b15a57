"""`dossier gather JOB SOURCE…`: a heap of files proposed and filed; a supplier's ticket into the record."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.archive.corrected import since_sealing, what_counts
from dossier.commands.show import items_text, to_stderr
from dossier.deeds.gathering import (
    InHand,
    LookedAt,
    contact_sheet,
    file_heap,
    in_hand,
    job_folder,
    keep_proposal,
    looked_at,
    undo_gather,
)
from dossier.deeds.ticketing import read_into, write_ticket
from dossier.disk.outputs import Holder, refuse_there, write_new_file
from dossier.errors import ExitCode, WrongCommand
from dossier.gather.choices import read_choices
from dossier.gather.filing import said_of
from dossier.gather.naming import place_of
from dossier.gather.proposal import Do, Proposal
from dossier.gather.slopeless import slopes_first, way_back
from dossier.index.answer import keep_current
from dossier.punchlist import PunchList
from dossier.record.read import JOB_FILE
from dossier.terms.read import find_office
from dossier.values import Clock, Progress, clip, plural, silent


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
    folder = job_folder(asked.job_folder)
    code = _undo(folder, asked.holder) if asked.undo else _gather(asked, folder, clock)
    # A ticket may have brought new lots into the record.
    keep_current(asked.office_folder or find_office(folder), folder, to_stderr)
    return code


def _gather(asked: Gathering, folder: Path, clock: Clock) -> ExitCode:
    since = since_sealing(folder)
    for sentence in what_counts(since) if since else ():
        to_stderr(sentence)
    with in_hand(
        folder,
        clock,
        office=asked.office_folder,
        today=asked.today,
        holder=asked.holder,
        progress=asked.progress,
    ) as at:
        if asked.supplier is not None:
            return _gather_ticket(asked, at, asked.supplier)
        choices = read_choices(asked.take) if asked.take else None
        with looked_at(at, asked.sources, choices) as heap:
            return _gather_heap(asked, at, heap)


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


# --- photos and papers --------------------------------------------------------------------------


def _gather_heap(asked: Gathering, at: InHand, heap: LookedAt) -> ExitCode:
    job, proposal, unnamed = asked.job_folder, heap.proposal, heap.unnamed
    print(proposal_table(proposal))
    if heap.lacking:
        print(way_back(heap.lacking, str(job)))
    if asked.sheet is not None:
        _write_sheet(asked.sheet, at, heap)
    if not asked.yes and not heap.chosen:
        path = keep_proposal(at, heap, asked.proposal)
        print(f"\nNothing was filed. The proposal is in {path}.")
        if unnamed:
            print(slopes_first(unnamed))
        print(f"File it as it is:    dossier gather {job} SOURCE… --yes")
        print(f"File it as edited:   dossier gather {job} --take {path}")
        return ExitCode.NOTHING_HELD_UP
    filed = file_heap(
        at, heap, received_from=asked.received_from, without_slopes=asked.without_slopes
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
        print(f"Take it back:  dossier gather {job} --undo")
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


def _write_sheet(path: Path, at: InHand, heap: LookedAt) -> None:
    refuse_there(path)
    sheet = contact_sheet(at, heap)
    for one in sheet.unread:
        to_stderr(f"{one.name} {one.why}")
    write_new_file(path, sheet.data)
    to_stderr(f"Contact sheet: {path}, {plural(sheet.page_count, 'page')}")


def _undo(folder: Path, holder: Holder | None) -> ExitCode:
    undone = undo_gather(folder, holder)
    for file in undone.removed:
        print(f"  removed {file}")
    for left in undone.left:
        print(f"  left {left.name}: it {left.why}")
    print(
        f"Undone: {plural(len(undone.removed), 'copy', 'copies')} removed, {len(undone.left)} left."
    )
    return ExitCode.NOTHING_HELD_UP


# --- a supplier's ticket ------------------------------------------------------------------------


def _gather_ticket(asked: Gathering, at: InHand, supplier: str) -> ExitCode:
    [source] = asked.sources
    read = read_into(at, source, supplier, asked.office_folder)
    if read.ticket.items:
        print(items_text(PunchList.of(read.ticket.items)))
    code = ExitCode.ITEMS_HOLD if read.ticket.items else ExitCode.NOTHING_HELD_UP
    if read.draft is None:
        print(f"No line of {source.name} can be written; {JOB_FILE} is as it was.")
        return code
    print("\n".join(read.draft.difference(f"{JOB_FILE} with the ticket")))
    told = " and ".join(
        f"ticket {delivery.ticket} with {plural(len(delivery.lines), 'line')}"
        for delivery in read.ticket.deliveries
    )
    if not asked.yes:
        print(f"Nothing was written. Add {told} with --yes.")
        return code
    write_ticket(read)
    print(f"Added {told} to {JOB_FILE}.")
    return code
