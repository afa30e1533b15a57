"""`dossier review JOB` on the command line: its words, and the call of what it does."""

import argparse
from pathlib import Path

from dossier.commands.given import Here, add_job, add_office, add_today, add_wait, asked_of, day
from dossier.errors import ExitCode

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
    """List what waits, or note looks."""
    from dossier.commands.review import ReviewAsked, run_review

    look = ReviewAsked(
        job=asked_of(given, here),
        as_list=given.list,
        file=given.file,
        by=given.by,
        on=given.on,
        shows=given.shows,
        take=given.take,
        write=given.yes,
    )
    return run_review(look, here.clock)
