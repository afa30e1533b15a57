"""What is typed on a command line into values, and the arguments that several commands share.

In: text, a parser. Out: a value, or the arguments added. Must not know what a command does with them.
"""

import argparse
from datetime import date
from pathlib import Path

from dossier.values import parse_date

WAIT_S, MOST_WAIT_S = 2, 86_400
"""How long a command waits for a job that another run has, where nothing was said; and the most that may be."""


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
