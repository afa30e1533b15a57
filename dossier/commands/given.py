"""What several commands share: how a command is declared, where it runs, and the arguments of more than one.

In: text, a parser. Out: a value, or the arguments added. Must not know what a command does with them, and must
load next to nothing, as every command module: each imports what it runs when it runs.
"""

import argparse
import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Protocol

from dossier.commands.show import progress_on
from dossier.disk.outputs import Holder
from dossier.errors import ExitCode
from dossier.steps.asked import Asked
from dossier.values import Clock, parse_date

WAIT_S, MOST_WAIT_S = 2, 86_400
"""How long a command waits for a job that another run has, where nothing was said; and the most that may be."""


@dataclass(frozen=True)
class Here:
    """Where a command runs. today: the machine's own day. holder: who runs it."""

    clock: Clock
    today: date
    holder: Holder


class Command(Protocol):
    """A command module: what it does, an example, its arguments, and its run."""

    SAYS: str
    EXAMPLE: str

    def add_arguments(self, command: argparse.ArgumentParser) -> None:
        """Add what the command is told."""

    def run(self, given: argparse.Namespace, here: Here) -> ExitCode:
        """Do it, print what came of it, and return the exit code it means."""


def asked_of(given: argparse.Namespace, here: Here) -> Asked:
    """Return what is asked of one job; what the command has no argument for is as where nothing is said."""
    return Asked(
        job_folder=given.job,
        office_folder=given.office,
        out_folder=getattr(given, "out", None),
        today=given.today,
        fresh=getattr(given, "fresh", False),
        fresh_sheets=getattr(given, "fresh_sheets", False),
        progress=progress_on(sys.stderr),
        holder=here.holder,
    )


def day(text: str) -> date:
    """Return a date; argparse prints the sentence where it is none."""
    try:
        return parse_date(text)
    except ValueError as problem:
        raise argparse.ArgumentTypeError(str(problem)) from None


def new_place(text: str) -> Path:
    """Return the place of something to write, which no step leads to by way of a folder that is not there.

    To make `a/../../b` the folder a would be made first, a place nobody asked for.
    """
    path = Path(text)
    for number, part in enumerate(path.parts):
        before = Path(*path.parts[:number])
        if part == ".." and number and not before.is_dir():
            raise argparse.ArgumentTypeError(
                f"“{text}” leads back out of {before}, which is not there; name the place itself"
            )
    return path


def seconds(text: str) -> int:
    """Return whole seconds up to a day."""
    if not text.isascii() or not text.isdigit() or int(text) > MOST_WAIT_S:
        raise argparse.ArgumentTypeError(
            f"found “{text}”, needed whole seconds up to {MOST_WAIT_S}"
        )
    return int(text)


def add_job(command: argparse.ArgumentParser) -> None:
    """Add the job folder."""
    command.add_argument("job", type=Path, metavar="JOB", help="the job folder, with its job.yaml")


def add_checked_job(command: argparse.ArgumentParser, *, waits: bool = False) -> None:
    """Add what every command is told that checks a job. waits: whether it takes the job in hand."""
    add_job(command)
    add_office(command)
    add_today(
        command, "count deadlines from this day; without it from today in the locality's time zone"
    )
    command.add_argument(
        "--fresh",
        action="store_true",
        help="measure and reduce every file again, using nothing kept from earlier runs",
    )
    if waits:
        add_wait(command)
    command.add_argument("--verbose", action="store_true", help="log each step on stderr")


def add_fresh_sheets(command: argparse.ArgumentParser) -> None:
    """Add whether today's sheets are to be those the job was built by."""
    command.add_argument(
        "--fresh-sheets",
        action="store_true",
        help="copy today's sheets into as-built/ though they differ from those the job was built by",
    )


def add_office(
    command: argparse.ArgumentParser, otherwise: str = "the nearest one above the job"
) -> None:
    """Add the office folder. otherwise: which is taken where none is named."""
    command.add_argument(
        "--office",
        type=Path,
        metavar="FOLDER",
        help=f"the office folder; without it {otherwise} with a company.yaml",
    )


def add_today(command: argparse.ArgumentParser, says: str) -> None:
    """Add the day a command works by. says: what for, and what is taken where none is given."""
    command.add_argument("--today", type=day, metavar="YYYY-MM-DD", help=says)


def add_wait(command: argparse.ArgumentParser) -> None:
    """Add how long to wait for a job in hand."""
    command.add_argument(
        "--wait",
        type=seconds,
        default=WAIT_S,
        metavar="SECONDS",
        help=f"how long to wait where another run has the job; {WAIT_S} where not said",
    )
