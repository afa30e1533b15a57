"""`dossier answer JOB`: what a typed fact would settle, asked one by one and saved at once."""

import argparse
import json
import sys
from typing import TYPE_CHECKING, Any

from dossier.commands.given import Here, add_job, add_office, add_today, add_wait, asked_of
from dossier.commands.show import to_stderr
from dossier.commands.tables import table
from dossier.errors import ExitCode, WrongCommand
from dossier.values import listed

if TYPE_CHECKING:
    from dossier.deeds.asking import Asking
    from dossier.punchlist import Party
    from dossier.questions.question import Question

SAYS = (
    "ask for the facts that the punch list lacks, one by one, and write each answer into job.yaml"
)
EXAMPLE = (
    "dossier answer my-office/2026-061-birch-road\n"
    "  dossier answer my-office/2026-061-birch-road --only crew --list\n"
    "  dossier answer my-office/2026-061-birch-road --field slopes.0.pitch 6:12 \\\n"
    '      --field after_work.flues "Ida Torvik, 2026-09-16"'
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job, who is asked, and answers given at once."""
    add_job(command)
    command.add_argument(
        "--only",
        metavar="PARTY",
        help="only what this party knows: crew, office, supplier, permit office, homeowner, maker or insurer",
    )
    command.add_argument(
        "--ask",
        action="store_true",
        help="ask also where nobody sits at a terminal: each line that comes in is an answer",
    )
    command.add_argument("--list", action="store_true", help="print the questions as a table")
    command.add_argument("--json", action="store_true", help="print the questions as JSON")
    command.add_argument(
        "--field",
        nargs=2,
        action="append",
        default=[],
        metavar=("PATH", "ANSWER"),
        help="answer one question and ask nothing; with * for a number in PATH, of all slopes alike",
    )
    add_office(command)
    add_today(
        command, "count deadlines from this day; without it from today in the locality's time zone"
    )
    add_wait(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Ask, or answer what is given; raises DossierError for a sealed job or an answer that cannot be read."""
    from dossier.commands.ask_one import Talk, change_text
    from dossier.deeds.asking import answer, named, questions

    if sum(map(bool, (given.field, given.list or given.json, given.ask))) > 1:
        raise WrongCommand(
            "--field and --ask answer; --list and --json only show.", "Give one of them."
        )
    only = _party(given.only)
    asked = asked_of(given, here)
    asking = questions(asked, here.clock)
    for field, text in given.field:
        done = answer(asked, here.clock, asking, named(asking, field), text)
        asking = done.asking
        print(change_text(done.draft))
    if given.field:
        return ExitCode.NOTHING_HELD_UP
    if given.json:
        json.dump(_data(asking, only), sys.stdout, indent=2, ensure_ascii=False)
        print()
    elif given.list or not (given.ask or sys.stdin.isatty()):
        print(_table(asking, only))
        if not given.list:
            to_stderr(
                "Nobody sits at a terminal, so nothing was asked. --ask takes answers line by line."
            )
    else:
        Talk(asked, here.clock, only).hold(asking, input)
    return ExitCode.NOTHING_HELD_UP


def _party(text: str | None) -> "Party | None":
    from dossier.punchlist import Party

    if text is None or text.lower() in list(Party):
        return None if text is None else Party(text.lower())
    raise WrongCommand(
        f"“{text}” is nobody who is asked.", f"Name one of them: {listed(list(Party), 'or')}."
    )


def _wanted(asking: "Asking", only: "Party | None") -> "list[Question]":
    return [one for one in asking.questions if only in (None, one.known_by)]


def _table(asking: "Asking", only: "Party | None") -> str:
    headings = ("asked for", "of", "by", "holds", "as in", "field")
    rows = [
        (
            one.name,
            one.known_by.value,
            one.due.isoformat() if one.due else "",
            ", ".join(held.value for held in one.holds),
            one.example,
            one.path,
        )
        for one in _wanted(asking, only)
    ]
    return table(headings, rows) if rows else "Nothing is asked for."


def _data(asking: "Asking", only: "Party | None") -> dict[str, Any]:
    from dossier.questions.data import questions_data

    return questions_data(asking.checked.number, asking.digests, _wanted(asking, only))
