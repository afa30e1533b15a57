"""`dossier check JOB`: what is missing, who owes it, why, and by when."""

import argparse
import sys

from dossier.commands.given import Here, add_checked_job, asked_of
from dossier.commands.show import code_of, heading, items_text, summary, to_stderr
from dossier.errors import ExitCode

SAYS = "print what is missing, who owes it, why and by when"
EXAMPLE = "dossier check my-office/2026-061-birch-road --today 2026-10-20"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job, and the form of the list."""
    add_checked_job(command)
    command.add_argument("--json", action="store_true", help="print the list as JSON on stdout")


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Print the punch list and return the exit code it means."""
    from dossier.compose.punch_list.twins import punch_list_data
    from dossier.pipeline import check

    checked = check(asked_of(given, here), here.clock)
    for line in heading(checked):
        to_stderr(line)
    if given.json:
        import json

        data = punch_list_data(checked.number, checked.punch_list, checked.readable)
        json.dump(data, sys.stdout, indent=2, ensure_ascii=False)
        print()
    else:
        if len(checked.punch_list):
            print(items_text(checked.punch_list))
        print(summary(checked.number, checked.punch_list, checked.readable))
    return code_of(checked)
