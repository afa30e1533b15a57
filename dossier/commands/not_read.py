"""What an answer about the office may lack, since a folder could not be read.

In: the folders with the reason. Out: lines, and the exit code of the answer. Must not ask the index.
"""

from collections.abc import Sequence

from dossier.commands.tables import line
from dossier.errors import ExitCode
from dossier.values import plural

MOST_NAMED = 40
"""Folders that an answer names; `dossier index` names every one."""


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
