"""What the questions about a whole office share: which office is asked, and what an answer may lack.

In: what was parsed; the folders that could not be read, with the reason. Out: the office; lines, and an exit code.
"""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.commands.given import add_office, add_today
from dossier.commands.show import progress_on, to_stderr
from dossier.commands.tables import line
from dossier.errors import ExitCode
from dossier.terms.place import need_office_around
from dossier.values import plural

if TYPE_CHECKING:
    from dossier.deeds.office_index import OfficeAsked

MOST_NAMED = 40
"""Folders that an answer names; `dossier index` names every one."""


def add_the_office(command: argparse.ArgumentParser) -> None:
    """Add which office is asked."""
    add_office(command, "the nearest at or above the current one")


def add_own_today(command: argparse.ArgumentParser) -> None:
    """Add the day counted from: an office may look after roofs of several time zones."""
    add_today(command, "count from this day; without it from the machine's own today")


def office_asked(given: argparse.Namespace) -> "OfficeAsked":
    """Return the office that is asked. Raises UnreadableInput where there is none."""
    from dossier.deeds.office_index import OfficeAsked

    office = need_office_around(Path.cwd(), given.office)
    return OfficeAsked(office, to_stderr, progress_on(sys.stderr))


def not_read_lines(folders: Sequence[tuple[str, str]]) -> list[str]:
    """Return the lines to print below an answer; none where all was read."""
    if not folders:
        return []
    count = plural(len(folders), "folder")
    found = [
        "",
        f"{count} could not be read, or not whole, and this answer may lack something for it:",
    ]
    found += [f"  {line(folder)}: {line(reason)}" for folder, reason in folders[:MOST_NAMED]]
    if len(folders) > MOST_NAMED:
        found.append(f"  and {len(folders) - MOST_NAMED:,} more; dossier index names them all")
    return found


def code_of(folders: Sequence[tuple[str, str]]) -> ExitCode:
    """Return the exit code of an answer that may lack something, or of one that does not."""
    return ExitCode.UNREADABLE_INPUT if folders else ExitCode.NOTHING_HELD_UP
