"""What the index could not read, for every answer that it could change.

In: an open index. Out: folders with the reason. Must not look at a folder: the last walk through the office left
word of those it could not look into.
"""

import sqlite3
from collections.abc import Sequence

_MARK = "unread "
"""How the names in the table `about` begin that tell of a folder."""


def not_read(connection: sqlite3.Connection) -> tuple[tuple[str, str], ...]:
    """Return each folder that could not be read, or not whole, with the reason. Raises sqlite3.Error."""
    partly = connection.execute("SELECT folder, fault FROM job WHERE fault <> '' ORDER BY folder")
    return (*closed(connection), *((folder, fault) for folder, fault in partly))


def closed(connection: sqlite3.Connection) -> tuple[tuple[str, str], ...]:
    """Return the folders that the last walk could not look into, with the reason. Raises sqlite3.Error."""
    rows = connection.execute(
        "SELECT substr(name, ?), value FROM about WHERE substr(name, 1, ?) = ? ORDER BY name",
        (len(_MARK) + 1, len(_MARK), _MARK),
    )
    return tuple((folder, reason) for folder, reason in rows)


def note_closed(connection: sqlite3.Connection, found: Sequence[tuple[str, str]]) -> None:
    """Keep the folders of a walk in place of those of the last one, inside the caller's transaction."""
    connection.execute("DELETE FROM about WHERE substr(name, 1, ?) = ?", (len(_MARK), _MARK))
    connection.executemany(
        "INSERT OR REPLACE INTO about VALUES (?, ?)",
        [(f"{_MARK}{folder}", reason) for folder, reason in found],
    )
