"""`dossier gather JOB SOURCE…`: a heap of files proposed and filed; a supplier's ticket into the record."""

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.commands.given import Here, add_job, add_office, add_today, add_wait, new_place
from dossier.commands.show import items_text, progress_on, to_stderr
from dossier.disk.outputs import Holder, refuse_there, write_new_file
from dossier.errors import ExitCode, WrongCommand
from dossier.terms.place import find_office
from dossier.values import clip, plural

if TYPE_CHECKING:
    from dossier.deeds.gathering import InHand, LookedAt
    from dossier.gather.proposal import Proposal

SAYS = "file photos and papers out of folders, zips and files; or a supplier's ticket"
EXAMPLE = (
    "dossier gather my-office/2026-061-birch-road crew-phone.zip mail-attachments --sheet look.pdf\n"
    "  dossier gather my-office/2026-061-birch-road ticket.csv --supplier fjordgate"
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job, the sources, and what to do with them."""
    add_job(command)
    command.add_argument(
        "sources", type=Path, nargs="*", metavar="SOURCE", help="a folder, a zip or a file"
    )
    command.add_argument(
        "--yes", action="store_true", help="file it as proposed; without it nothing is filed"
    )
    command.add_argument(
        "--without-slopes",
        action="store_true",
        help="with --yes, file photos although the record has no slopes for the words in their names",
    )
    for option, metavar, says in (
        ("--take", "FILE", "file it as this edited proposal says"),
        ("--proposal", "FILE", "write the proposal there instead of into the job's .dossier/"),
        ("--sheet", "FILE.pdf", "also write a contact sheet, every picture with its number"),
    ):
        kind = Path if option == "--take" else new_place
        command.add_argument(option, type=kind, metavar=metavar, help=says)
    add_office(command)
    command.add_argument(
        "--undo", action="store_true", help="take the last gather of this job back"
    )
    command.add_argument(
        "--from",
        dest="received_from",
        metavar="WHO",
        help="who sent the photos whose camera time is lost, such as “crew phone 2”",
    )
    command.add_argument(
        "--supplier",
        metavar="NAME",
        help="read one ticket, a table or a PDF, by suppliers/NAME.yaml of the office",
    )
    add_today(
        command,
        "the day it is received; without it today in the locality's time zone",
    )
    add_wait(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Propose, file or undo as asked, print what was done, and return the exit code it means."""
    from dossier.deeds.gathering import job_folder
    from dossier.deeds.office_index import kept_current

    _refuse_contradictions(given)
    folder = job_folder(given.job)
    code = _undo(folder, here.holder) if given.undo else _gather(given, here, folder)
    # A ticket may have brought new lots into the record.
    for sentence in kept_current(given.office or find_office(folder), folder):
        to_stderr(sentence)
    return code


def _gather(given: argparse.Namespace, here: Here, folder: Path) -> ExitCode:
    from dossier.archive.corrected import since_sealing, what_counts
    from dossier.deeds.gathering import in_hand, looked_at
    from dossier.gather.choices import read_choices

    since = since_sealing(folder)
    for sentence in what_counts(since) if since else ():
        to_stderr(sentence)
    with in_hand(
        folder,
        here.clock,
        office=given.office,
        today=given.today,
        holder=here.holder,
        progress=progress_on(sys.stderr),
    ) as at:
        if given.supplier is not None:
            return _gather_ticket(given, at, given.supplier)
        choices = read_choices(given.take) if given.take else None
        with looked_at(at, given.sources, choices) as heap:
            return _gather_heap(given, at, heap)


def _refuse_contradictions(given: argparse.Namespace) -> None:
    one_of = [given.yes, given.take is not None, given.undo]
    if sum(one_of) > 1:
        raise WrongCommand("--yes, --take and --undo are three ways.", "Give one of them.")
    if given.undo and (given.sources or given.supplier):
        raise WrongCommand("--undo takes no sources.", "Run: dossier gather JOB --undo")
    if not given.sources and not given.undo and given.take is None:
        raise WrongCommand(
            "There is nothing to gather.", "Name folders, zips or files behind the job folder."
        )
    if given.proposal is not None and sum(one_of):
        raise WrongCommand(
            "--proposal writes what would be filed, instead of filing it.",
            "Leave it away with --yes, --take and --undo.",
        )
    if given.supplier is not None and (len(given.sources) != 1 or given.take or given.sheet):
        raise WrongCommand(
            "--supplier reads one ticket at a time, without --take and --sheet.",
            "Run: dossier gather JOB ticket.csv --supplier NAME",
        )


# --- photos and papers --------------------------------------------------------------------------


def _gather_heap(given: argparse.Namespace, at: "InHand", heap: "LookedAt") -> ExitCode:
    from dossier.deeds.gathering import file_heap, keep_proposal
    from dossier.gather.filing import said_of
    from dossier.gather.slopeless import slopes_first, way_back

    job, proposal, unnamed = given.job, heap.proposal, heap.unnamed
    print(proposal_table(proposal))
    if heap.lacking:
        print(way_back(heap.lacking, str(job)))
    if given.sheet is not None:
        _write_sheet(given.sheet, at, heap)
    if not given.yes and not heap.chosen:
        path = keep_proposal(at, heap, given.proposal)
        print(f"\nNothing was filed. The proposal is in {path}.")
        if unnamed:
            print(slopes_first(unnamed))
        print(f"File it as it is:    dossier gather {job} SOURCE… --yes")
        print(f"File it as edited:   dossier gather {job} --take {path}")
        return ExitCode.NOTHING_HELD_UP
    filed = file_heap(
        at, heap, received_from=given.received_from, without_slopes=given.without_slopes
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


def proposal_table(proposal: "Proposal") -> str:
    """Return the proposal as a table for a terminal, with what was passed by and a sum below it."""
    from dossier.gather.naming import place_of
    from dossier.gather.proposal import Do

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


def _write_sheet(path: Path, at: "InHand", heap: "LookedAt") -> None:
    from dossier.deeds.gathering import contact_sheet

    refuse_there(path)
    sheet = contact_sheet(at, heap)
    for one in sheet.unread:
        to_stderr(f"{one.name} {one.why}")
    write_new_file(path, sheet.data)
    to_stderr(f"Contact sheet: {path}, {plural(sheet.page_count, 'page')}")


def _undo(folder: Path, holder: Holder) -> ExitCode:
    from dossier.deeds.gathering import undo_gather

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


def _gather_ticket(given: argparse.Namespace, at: "InHand", supplier: str) -> ExitCode:
    from dossier.deeds.ticketing import read_into, write_ticket
    from dossier.punchlist import PunchList
    from dossier.record.trees import JOB_FILE

    [source] = given.sources
    read = read_into(at, source, supplier, given.office)
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
    if not given.yes:
        print(f"Nothing was written. Add {told} with --yes.")
        return code
    write_ticket(at, read)
    print(f"Added {told} to {JOB_FILE}.")
    if read.file:
        print(f"Filed {read.file}.")
    return code
