"""The index kept current: one job after a command, every job in a scan.

In: an open index, job folders. Out: rows written, and what was found. Must not know a command line. Jobs go in
in small groups, each group in one transaction, so that a kill leaves a whole index that is merely older.
"""

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from dossier.index.rows import JobRows, rows_of
from dossier.index.scan import changed, office_stamp, stamp_of
from dossier.index.sheets import Sheets
from dossier.index.unread import not_read, note_closed
from dossier.values import Progress, silent

GROUP = 200
"""Jobs a transaction: few enough that a writer of one job does not wait long behind it."""

_INSERT = {
    "owner": "INSERT INTO owner VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
    "product": "INSERT INTO product VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
    "lot": "INSERT INTO lot VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
    "registration": "INSERT INTO registration VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
    "item": "INSERT INTO item VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
    "deadline": "INSERT INTO deadline VALUES (?, ?, ?, ?, ?)",
    "entry": "INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?, ?)",
}
_DELETE = (
    "DELETE FROM owner WHERE job = ?",
    "DELETE FROM product WHERE job = ?",
    "DELETE FROM lot WHERE job = ?",
    "DELETE FROM registration WHERE job = ?",
    "DELETE FROM item WHERE job = ?",
    "DELETE FROM deadline WHERE job = ?",
    "DELETE FROM entry WHERE job = ?",
    "DELETE FROM said WHERE rowid = ?",
    "DELETE FROM street WHERE rowid = ?",
    "DELETE FROM job WHERE id = ?",
)


@dataclass(frozen=True)
class Kept:
    """What a scan came to. gone: folders that are no longer there.

    faults: the folder and the fault of whatever could not be read, or not whole.
    """

    jobs: int
    read: int
    gone: tuple[str, ...]
    faults: tuple[tuple[str, str], ...]


def update_all(
    connection: sqlite3.Connection, office: Path, *, anew: bool = False, progress: Progress = silent
) -> Kept:
    """Bring every job of the index up to its folder, and drop jobs whose folders are gone.

    anew: whether folders whose files look unchanged are read as well. Raises sqlite3.Error.
    """
    known = dict(connection.execute("SELECT folder, stamp FROM job"))
    found = changed(office, known, anew=anew)
    stale = found.stale
    sheets = Sheets(office)
    for start in range(0, len(stale), GROUP):
        with _transaction(connection):
            for folder, stamp in stale[start : start + GROUP]:
                write(connection, rows_of(office / folder, folder, sheets), stamp)
        progress("jobs", min(start + GROUP, len(stale)), len(stale))
    with _transaction(connection):
        for folder in found.gone:
            remove(connection, folder)
        note_closed(connection, found.unread)
        connection.execute("INSERT OR REPLACE INTO about VALUES ('complete', 'yes')")
    if len(stale) > 1_000:
        # Many small pieces of full text are merged into one, which every later question is quicker for.
        connection.execute("INSERT INTO said (said) VALUES ('optimize')")
        connection.execute("INSERT INTO street (street) VALUES ('optimize')")
        connection.execute("ANALYZE")
    return Kept(len(found.there), len(stale), found.gone, not_read(connection))


def update_one(connection: sqlite3.Connection, office: Path, folder: str) -> None:
    """Bring one job of the index up to its folder. folder: from the office. Raises sqlite3.Error."""
    stamp = stamp_of(office / folder, office_stamp(office))
    rows = rows_of(office / folder, folder, Sheets(office))
    with _transaction(connection):
        write(connection, rows, stamp)


def write(connection: sqlite3.Connection, rows: JobRows, stamp: str) -> None:
    """Put the rows of one job in the place of those that are there, inside the caller's transaction."""
    remove(connection, rows.folder)
    number = rows.id
    # Two folders whose names give the same number by chance stand beside each other.
    while connection.execute("SELECT 1 FROM job WHERE id = ?", (number,)).fetchone():
        number += 1
    connection.execute(
        "INSERT INTO job VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (number, rows.folder, stamp, *rows.job),
    )
    for table, lines in rows.tables.items():
        if lines:
            connection.executemany(
                _INSERT[table], [(number, place, *line) for place, line in enumerate(lines)]
            )
    connection.execute(
        "INSERT INTO said (rowid, number, address, owner, phone, permit, claim, product, lot, note) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (number, *rows.said),
    )
    connection.execute("INSERT INTO street (rowid, address) VALUES (?, ?)", (number, rows.address))


def remove(connection: sqlite3.Connection, folder: str) -> None:
    """Take one job out of the index, inside the caller's transaction."""
    for (number,) in connection.execute(
        "SELECT id FROM job WHERE folder = ?", (folder,)
    ).fetchall():
        for statement in _DELETE:
            connection.execute(statement, (number,))


def dump(connection: sqlite3.Connection) -> Iterator[str]:
    """Yield every row of the index as one line, in an order that does not depend on how it was filled.

    Two indexes of the same folders are equal when their dumps are.
    """
    tables: Iterable[str] = ("job", *_INSERT, "said", "street")
    for table in tables:
        lines = connection.execute(
            f"SELECT rowid, * FROM {table} ORDER BY rowid"
            if table in ("said", "street")
            else f"SELECT * FROM {table} ORDER BY 1, 2"
        )
        for line in lines:
            yield f"{table} {line!r}"


@contextmanager
def _transaction(connection: sqlite3.Connection) -> Iterator[None]:
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
