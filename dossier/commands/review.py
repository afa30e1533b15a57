"""`dossier review JOB`: which files wait for a look, and a look noted in the record."""

import argparse
import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.commands.given import Here, add_job, add_office, add_today, add_wait, asked_of, day
from dossier.commands.show import to_stderr, unreadable_text
from dossier.errors import ExitCode, WrongCommand
from dossier.values import listed, plural

if TYPE_CHECKING:
    from dossier.deeds.looking import Note, Waiting
    from dossier.hand.file import Draft

SAYS = "list the photos and papers that wait for somebody's look, or note a look in the record"
EXAMPLE = (
    "dossier review my-office/2026-061-birch-road\n"
    "  dossier review my-office/2026-061-birch-road --file photos/field/front-nails.jpg \\\n"
    '      --by "Ida Torvik" --on 2026-09-20 --shows "six nails in each shingle" --yes\n'
    "  dossier review my-office/2026-061-birch-road --list > review.yaml\n"
    "  dossier review my-office/2026-061-birch-road --take review.yaml --yes"
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job, and the look to note."""
    add_job(command)
    command.add_argument(
        "--file", metavar="FILE", help="the photo or paper looked at, by its path in the job folder"
    )
    command.add_argument("--by", metavar="NAME", help="who looked")
    command.add_argument("--on", type=day, metavar="YYYY-MM-DD", help="on which day")
    command.add_argument("--shows", metavar="TEXT", help="what is to be seen, in a few words")
    command.add_argument(
        "--list", action="store_true", help="print what waits as YAML, to be filled in"
    )
    command.add_argument(
        "--take", type=Path, metavar="YAML", help="note the looks of a list that was filled in"
    )
    command.add_argument(
        "--yes", action="store_true", help="write it; without this the change is only shown"
    )
    add_office(command)
    add_today(
        command,
        "no look may be dated after this day; without it after today in the locality's time zone",
    )
    add_wait(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """List what waits for a look, or note looks; raises DossierError where a note does not fit."""
    from dossier.archive.corrected import what_counts
    from dossier.deeds.looking import drafted, list_text, note_looks, waiting
    from dossier.pipeline import check

    _refuse_mixed(given)
    asked = asked_of(given, here)
    checked = check(asked, here.clock)
    to_stderr(f"Office folder: {checked.run.office_folder}")
    for sentence in what_counts(checked.since) if checked.since else ():
        to_stderr(sentence)
    if not checked.readable:
        print(unreadable_text(checked))
        return ExitCode.UNREADABLE_INPUT
    if given.file is None and given.take is None:
        text = list_text if given.list else waiting_text
        print(text(waiting(checked)), end="")
        return ExitCode.NOTHING_HELD_UP
    notes = _notes(given)
    drafts = drafted(checked, notes)
    if not drafts:
        says = "The record says so already; nothing to write."
        print(says if notes else "No file says what it shows; nothing to note.")
        return ExitCode.NOTHING_HELD_UP
    _show(drafts)
    count, names = plural(len(notes), "look"), listed([one.shown.file for one in drafts])
    if not given.yes:
        print(f"\nNothing is written yet. Run this again with --yes to note {count} in {names}.")
        return ExitCode.NOTHING_HELD_UP
    note_looks(drafts, asked.holder)
    print(f"\nNoted {count} in {names}.")
    return ExitCode.NOTHING_HELD_UP


def _refuse_mixed(given: argparse.Namespace) -> None:
    ways = [given.list, given.file is not None, given.take is not None]
    if sum(ways) > 1:
        raise WrongCommand(
            "--list, --file and --take are three ways to go about it.", "Give one of them."
        )
    if given.file is not None and (not given.by or given.on is None):
        raise WrongCommand(
            "A look needs who and when.", 'Add --by "NAME" --on YYYY-MM-DD to --file.'
        )
    if given.file is None and (given.by or given.on or given.shows):
        raise WrongCommand("--by, --on and --shows say how a file was looked at.", "Add --file.")


def _notes(given: argparse.Namespace) -> "tuple[Note, ...]":
    from dossier.deeds.looking import Note, notes_in

    if given.file is None:
        return notes_in(given.take)
    shows = (given.shows or "").strip()
    return (Note(given.file.strip(), given.by.strip(), given.on, shows),)


def _show(drafts: "Sequence[Draft]") -> None:
    for one in drafts:
        print("\n".join(one.difference(f"{one.shown.file}, noted")))


def waiting_text(waits: "Waiting") -> str:
    """Return what waits for a look as text for a terminal."""
    lines = [
        f"Job {waits.number}: {plural(len(waits.files), 'file waits', 'files wait')} for a look, "
        f"{plural(waits.reviewed, 'file is', 'files are')} reviewed."
    ]
    for file, backs in waits.files.items():
        lines.append(f"\n{file}")
        lines += [f"  {text}" for text in backs]
    if waits.files:
        example = next(iter(waits.files))
        lines.append(
            f"\nOpen a file, look, and note who saw what:\n"
            f'  dossier review JOB --file {shlex.quote(example)} --by "NAME" '
            f'--on {waits.today.isoformat()} --shows "WHAT IT SHOWS"\n'
            "For many files: --list prints them to be filled in, --take reads that back."
        )
    return "\n".join(lines) + "\n"
