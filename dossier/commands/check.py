"""`dossier check JOB`: what is missing, who owes it, why, and by when."""

import json
import sys

from dossier.commands.show import items_text, summary, to_stderr
from dossier.compose.twins import punch_list_data
from dossier.errors import ExitCode
from dossier.pipeline import Asked, Checked, Clock, check


def run_check(asked: Asked, clock: Clock, as_json: bool) -> ExitCode:
    """Print the punch list and return the exit code it means."""
    checked = check(asked, clock)
    to_stderr(f"Office folder: {checked.run.office_folder}")
    if as_json:
        data = punch_list_data(checked.number, checked.punch_list, checked.readable)
        json.dump(data, sys.stdout, indent=2, ensure_ascii=False)
        print()
    else:
        if len(checked.punch_list):
            print(items_text(checked.punch_list))
        print(summary(checked.number, checked.punch_list, checked.readable))
    return code_of(checked)


def code_of(checked: Checked) -> ExitCode:
    """Return 3 for an unreadable record, 1 where something is held up, else 0."""
    if not checked.readable:
        return ExitCode.UNREADABLE_INPUT
    return ExitCode.ITEMS_HOLD if checked.punch_list.holds_anything else ExitCode.NOTHING_HELD_UP
