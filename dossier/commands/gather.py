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
    from datetime import timedelta

    from dossier.deeds.gathering import InHand, LookedAt
    from dossier.gather.asked import Asking
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
    command.add_argument(
        "--ask",
        action="store_true",
        help="go through the photos run by run, ask where each belongs, then file it",
    )
    command.add_argument(
        "--clock",
        action="append",
        default=[],
        type=_clock,
        metavar="'PHONE: +1h'",
        help="what to add to the times of a phone whose clock was wrong, such as “phone 2: +1h”; its number, its "
        "folder or its model",
    )
    command.add_argument(
        "--json", action="store_true", help="print the photos in runs as JSON; nothing is written"
    )
    command.add_argument(
        "--keep-words",
        action="store_true",
        help="with --take or --ask, keep in the office's words.yaml what your choices say of words in names",
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


def _clock(text: str) -> "tuple[str, timedelta]":
    from dossier.gather.phones import parse_clock

    try:
        return parse_clock(text)
    except ValueError as problem:
        raise argparse.ArgumentTypeError(str(problem)) from None


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Propose, file or undo as asked, print what was done, and return the exit code it means."""
    from dossier.commands.gather_runs import offer_facts
    from dossier.deeds.gathering import job_folder
    from dossier.deeds.office_index import kept_current

    _refuse_contradictions(given)
    folder = job_folder(given.job)
    if given.undo:
        code = _undo(folder, here.holder)
    else:
        code = _gather(given, here, folder)
        if given.ask and code is ExitCode.NOTHING_HELD_UP:
            offer_facts(folder, here.holder)
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
            if given.json:
                return _print_runs(given, at, heap)
            return (_ask if given.ask else _gather_heap)(given, at, heap)


def _refuse_contradictions(given: argparse.Namespace) -> None:
    one_of = [given.yes, given.take is not None, given.undo]
    if sum(one_of) > 1:
        raise WrongCommand("--yes, --take and --undo are three ways.", "Give one of them.")
    if given.json and (given.ask or given.supplier or sum(one_of)):
        raise WrongCommand(
            "--json prints the runs of sources.", "Run: dossier gather JOB SOURCE… --json"
        )
    if given.ask and (given.take or given.undo or given.supplier):
        raise WrongCommand(
            "--ask goes through sources; --take, --undo and --supplier are other ways.",
            "Run: dossier gather JOB SOURCE… --ask",
        )
    if given.undo and (given.sources or given.supplier):
        raise WrongCommand("--undo takes no sources.", "Run: dossier gather JOB --undo")
    if not (given.sources or given.undo or given.take):
        raise WrongCommand(
            "There is nothing to gather.", "Name folders, zips or files behind the job folder."
        )
    if given.proposal is not None and (given.ask or sum(one_of)):
        raise WrongCommand(
            "--proposal writes what would be filed, instead of filing it.",
            "Leave it away with --ask, --yes, --take and --undo.",
        )
    if given.supplier is not None and (len(given.sources) != 1 or given.take or given.sheet):
        raise WrongCommand(
            "--supplier reads one ticket at a time, without --take and --sheet.",
            "Run: dossier gather JOB ticket.csv --supplier NAME",
        )


# --- photos and papers --------------------------------------------------------------------------


def _gather_heap(given: argparse.Namespace, at: "InHand", heap: "LookedAt") -> ExitCode:
    from dossier.commands.gather_runs import offer_words
    from dossier.deeds.gathering import keep_proposal
    from dossier.deeds.photo_runs import runs_asked
    from dossier.gather.slopeless import slopes_first, way_back

    job, proposal, unnamed = given.job, heap.proposal, heap.unnamed
    print(proposal_table(proposal))
    if heap.lacking:
        print(way_back(heap.lacking, str(job)))
    if given.sheet is not None:
        _write_sheet(given.sheet, at, heap)
    if not given.yes and not heap.chosen:
        asking = runs_asked(at, heap, dict(given.clock))
        path = keep_proposal(at, heap, given.proposal, asking)
        for doubt in asking.doubts:
            print(doubt)
        print(f"\nNothing was filed. The proposal is in {path}.")
        if unnamed:
            print(slopes_first(unnamed))
        print(f"Go through its runs: dossier gather {job} SOURCE… --ask")
        print(f"File it as it is:    dossier gather {job} SOURCE… --yes")
        print(f"File it as edited:   dossier gather {job} --take {path}")
        return ExitCode.NOTHING_HELD_UP
    code = _file(given, at, heap)
    if heap.chosen:
        offer_words(at, heap, None, keep=given.keep_words)
    return code


def _print_runs(given: argparse.Namespace, at: "InHand", heap: "LookedAt") -> ExitCode:
    import json

    from dossier.deeds.photo_runs import kept_choices, runs_asked
    from dossier.gather.run_words import runs_data

    kept = kept_choices(at, heap)
    asking = runs_asked(at, heap, dict(given.clock), kept.choices if kept else None)
    print(json.dumps(runs_data(asking), ensure_ascii=False, indent=2))
    return ExitCode.NOTHING_HELD_UP


def _file(given: argparse.Namespace, at: "InHand", heap: "LookedAt") -> ExitCode:
    from dossier.deeds.gathering import file_heap
    from dossier.gather.filing import said_of
    from dossier.gather.slopeless import slopes_first

    job, proposal, unnamed = given.job, heap.proposal, heap.unnamed
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


def _ask(given: argparse.Namespace, at: "InHand", heap: "LookedAt") -> ExitCode:
    from dossier.commands.gather_runs import ask_runs, is_yes, offer_words, typed_lines
    from dossier.deeds.gathering import keep_proposal
    from dossier.deeds.photo_runs import chosen_heap, kept_choices, runs_asked
    from dossier.gather.slopeless import slopes_first

    if heap.unnamed and not given.without_slopes:
        raise WrongCommand(
            slopes_first(heap.unnamed), "Write the slopes first; or add --without-slopes."
        )
    kept = kept_choices(at, heap)
    asking = runs_asked(at, heap, dict(given.clock), kept.choices if kept else None)
    if given.sheet is not None:
        _write_sheet(given.sheet, at, heap, asking)
    ours = kept is not None and kept.here

    def keep(asking: "Asking") -> Path:
        nonlocal ours
        path = keep_proposal(at, chosen_heap(heap, asking), None, asking, ours=ours)
        ours = True
        return path

    lines = typed_lines()
    agreed, whole = False, True
    while whole and not agreed:
        asking, whole = ask_runs(asking, lines, keep)
        chosen, path = chosen_heap(heap, asking), keep(asking)
        if not whole:
            break
        print(f"\n{proposal_table(chosen.proposal)}")
        print("File this? yes, no, or the number of a run to ask about it again\n> ", end="")
        said = "yes" if given.yes else next(lines, "no").strip()
        agreed = is_yes(said)
        again = next((at for at in range(len(asking.runs)) if said == str(at + 1)), None)
        if again is not None:
            asking = asking.answered(again, None)
        else:
            break
    if not agreed:
        print(
            f"Nothing was filed. What was said is in {path}; the same command goes on from there."
        )
        return ExitCode.NOTHING_HELD_UP
    code = _file(given, at, chosen)
    offer_words(at, chosen, lines, keep=given.keep_words)
    return code


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


def _write_sheet(
    path: Path, at: "InHand", heap: "LookedAt", asking: "Asking | None" = None
) -> None:
    from dossier.deeds.gathering import contact_sheet

    refuse_there(path)
    sheet = contact_sheet(at, heap, asking)
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
    for was, now in read.moved:
        print(f"Moved {was} to {now}.")
    return code
