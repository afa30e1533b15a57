"""`dossier check JOB`: what is missing, who owes it, why, and by when."""

import json
import sys
from collections.abc import Iterator

from dossier.archive.corrected import what_counts
from dossier.commands.show import items_text, summary, to_stderr
from dossier.compose.punch_list.twins import punch_list_data
from dossier.errors import ExitCode
from dossier.pipeline import check
from dossier.steps.asked import Asked
from dossier.steps.checking import Checked
from dossier.values import Clock, clip, listed


def run_check(asked: Asked, clock: Clock, as_json: bool) -> ExitCode:
    """Print the punch list and return the exit code it means."""
    checked = check(asked, clock)
    to_stderr(f"Office folder: {checked.run.office_folder}")
    for line in notes(checked):
        to_stderr(line)
    if as_json:
        data = punch_list_data(checked.number, checked.punch_list, checked.readable)
        json.dump(data, sys.stdout, indent=2, ensure_ascii=False)
        print()
    else:
        if len(checked.punch_list):
            print(items_text(checked.punch_list))
        print(summary(checked.number, checked.punch_list, checked.readable))
    return code_of(checked)


def notes(checked: Checked) -> Iterator[str]:
    """Yield what concerns no field of the record and still has to be said, a sentence each."""
    if checked.since is not None:
        yield from what_counts(checked.since)
    if checked.as_built_differs:
        yield (
            "as-built/ holds the sheets this job was built by. Not the same today: "
            f"{listed(checked.as_built_differs)}."
        )
    if checked.case is not None and checked.logo_fault is not None:
        logo = clip(checked.case.company.logo or "")
        yield f"Documents are printed without the company's logo: {logo} {checked.logo_fault}"


def code_of(checked: Checked) -> ExitCode:
    """Return 3 for an unreadable record, 1 where something is held up, else 0."""
    if not checked.readable:
        return ExitCode.UNREADABLE_INPUT
    return ExitCode.ITEMS_HOLD if checked.punch_list.holds_anything else ExitCode.NOTHING_HELD_UP
