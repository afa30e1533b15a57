"""`dossier review JOB`: which files wait for a look, and a look noted in the record."""

import shlex
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.archive.corrected import what_counts
from dossier.commands.show import items_text, summary, to_stderr
from dossier.deeds.looking import Note, Waiting, drafted, list_text, note_looks, notes_in, waiting
from dossier.errors import ExitCode, WrongCommand
from dossier.hand.file import Draft
from dossier.pipeline import check
from dossier.steps.asked import Asked
from dossier.values import Clock, listed, plural


@dataclass(frozen=True)
class ReviewAsked:
    """What the command line was told. note, take: at most one of them; write: whether to write at all."""

    job: Asked
    as_list: bool = False
    file: str | None = None
    by: str | None = None
    on: date | None = None
    shows: str | None = None
    take: Path | None = None
    write: bool = False


def run_review(asked: ReviewAsked, clock: Clock) -> ExitCode:
    """List what waits for a look, or note looks; raises DossierError where a note does not fit."""
    _refuse_mixed(asked)
    checked = check(asked.job, clock)
    to_stderr(f"Office folder: {checked.run.office_folder}")
    for sentence in what_counts(checked.since) if checked.since else ():
        to_stderr(sentence)
    if not checked.readable:
        print(items_text(checked.punch_list))
        print(summary(checked.number, checked.punch_list, checked.readable))
        return ExitCode.UNREADABLE_INPUT
    if asked.file is None and asked.take is None:
        text = list_text if asked.as_list else waiting_text
        print(text(waiting(checked)), end="")
        return ExitCode.NOTHING_HELD_UP
    notes = _notes(asked)
    drafts = drafted(checked, notes)
    if not drafts:
        says = "The record says so already; nothing to write."
        print(says if notes else "No file says what it shows; nothing to note.")
        return ExitCode.NOTHING_HELD_UP
    _show(drafts)
    count, names = plural(len(notes), "look"), listed([one.shown.file for one in drafts])
    if not asked.write:
        print(f"\nNothing is written yet. Run this again with --yes to note {count} in {names}.")
        return ExitCode.NOTHING_HELD_UP
    note_looks(drafts, asked.job.holder)
    print(f"\nNoted {count} in {names}.")
    return ExitCode.NOTHING_HELD_UP


def _refuse_mixed(asked: ReviewAsked) -> None:
    ways = [asked.as_list, asked.file is not None, asked.take is not None]
    if sum(ways) > 1:
        raise WrongCommand(
            "--list, --file and --take are three ways to go about it.", "Give one of them."
        )
    if asked.file is not None and (not asked.by or asked.on is None):
        raise WrongCommand(
            "A look needs who and when.", 'Add --by "NAME" --on YYYY-MM-DD to --file.'
        )
    if asked.file is None and (asked.by or asked.on or asked.shows):
        raise WrongCommand("--by, --on and --shows say how a file was looked at.", "Add --file.")


def _notes(asked: ReviewAsked) -> tuple[Note, ...]:
    if asked.file is None:
        assert asked.take is not None
        return notes_in(asked.take)
    assert asked.by is not None
    assert asked.on is not None
    shows = (asked.shows or "").strip()
    return (Note(asked.file.strip(), asked.by.strip(), asked.on, shows),)


def _show(drafts: Sequence[Draft]) -> None:
    for one in drafts:
        print("\n".join(one.difference(f"{one.shown.file}, noted")))


def waiting_text(waits: Waiting) -> str:
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
