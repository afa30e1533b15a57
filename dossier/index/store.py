"""The index file: opened, made, brought up to date in its form, and made anew where it is damaged.

In: the office folder. Out: an open connection and what had to be done to get it. Must not know a query or a
job. Readers never wait for a writer (write-ahead log) and a writer waits for another at most five seconds.
"""

import os
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from dossier.index.migrations import Step, form_of, migrate, steps

WORK, FILE = ".dossier", "index.sqlite"
APPLICATION_ID = 0x646F7373
"""“doss” in ASCII; the file format keeps four bytes for it (SQLite file format, section 1.3.14)."""

_WAIT_S = 5.0
_CACHE_KIB = 16_384
_REBUILD = "It is made again from the folders."


@dataclass(frozen=True)
class Opened:
    """An open index. empty: it holds no job yet, so every folder must be looked at.

    said: a sentence for whoever waits, where something had to be done. in_memory: nothing could be kept
    on disk, so the index lives as long as this run.
    """

    connection: sqlite3.Connection
    said: tuple[str, ...]
    in_memory: bool
    read_only: bool


def index_path(office: Path) -> Path:
    """Return where the index of an office lies."""
    return office / WORK / FILE


def open_index(office: Path, asked: Sequence[Step] | None = None) -> Opened:
    """Return the open index of an office; made, mended or replaced where that is needed.

    asked: the steps to the newest form, None for the shipped ones. Raises sqlite3.OperationalError where
    another run keeps the file locked for longer than is waited. Where the folder cannot be written, the
    file that is there is read as it is; where there is none, an empty index in memory stands in.
    """
    wanted = steps() if asked is None else tuple(asked)
    path = index_path(office)
    said: list[str] = []
    for attempt in (1, 2):
        try:
            if not _may_write(path):
                break
            return _open_file(path, wanted, said)
        except sqlite3.DatabaseError as problem:
            if is_busy(problem):
                raise
            if not is_damage(problem) or attempt == 2:
                break
            said.append(f"The index {path} was damaged ({problem}). {_REBUILD}")
            if not replace(path):
                break
        except OSError:
            break
    found = _open_read_only(path, wanted)
    if found is not None:
        return Opened(found, tuple(said), False, True)
    said.append(
        f"The index {path} cannot be kept on disk, so it is made for this one question, in memory."
    )
    return in_memory(tuple(said), wanted)


def as_it_is(office: Path) -> sqlite3.Connection | None:
    """Return the index that is there, to be read only and never changed; None where none can be read."""
    return _open_read_only(index_path(office), steps())


def in_memory(said: tuple[str, ...] = (), asked: Sequence[Step] | None = None) -> Opened:
    """Return an empty index that lives as long as this run."""
    connection = _connect(":memory:")
    migrate(connection, steps() if asked is None else asked)
    return Opened(connection, said, True, False)


@contextmanager
def opened(office: Path) -> Iterator[Opened]:
    """Open the index of an office for the length of a block."""
    found = open_index(office)
    try:
        yield found
    finally:
        found.connection.close()


def _open_file(path: Path, wanted: Sequence[Step], said: list[str]) -> Opened:
    path.parent.mkdir(parents=True, exist_ok=True)
    is_new = not path.exists() or path.stat().st_size == 0
    connection = _connect(path)
    try:
        # Where a disk cannot share memory between processes, as over a network, SQLite keeps its older log.
        connection.execute("PRAGMA journal_mode = WAL").fetchone()
        connection.execute("PRAGMA synchronous = NORMAL")
        form = form_of(connection)
        if form > wanted[-1].number:
            raise sqlite3.DatabaseError(f"its form {form} is of a newer dossier")
        if form == 0 and connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            raise sqlite3.DatabaseError("it is not an index of dossier")
        if form < wanted[-1].number:
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            migrate(connection, wanted)
            if form:
                said.append(f"The index {path} was of an older form. {_REBUILD}")
        if is_new:
            said.append(f"There was no index at {path}. It is made from the folders.")
        _look_through(connection)
    except BaseException:
        connection.close()
        raise
    return Opened(connection, tuple(said), False, False)


def _may_write(path: Path) -> bool:
    """Return whether this user may write the index, or make it; a folder above may still be missing."""
    if path.parent.is_symlink() or path.is_symlink():
        # What a link leads to is not this office's.
        return False
    if path.exists():
        return os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    return os.access(path.parent if path.parent.exists() else path.parent.parent, os.W_OK)


def _look_through(connection: sqlite3.Connection) -> None:
    """Raise sqlite3.DatabaseError where a table cannot be begun to be read; cheap at any size."""
    for table in (
        "about",
        "job",
        "owner",
        "product",
        "lot",
        "registration",
        "item",
        "deadline",
        "entry",
    ):
        # The names are the schema's own, and no name of a table can be a parameter.
        connection.execute(f"SELECT 1 FROM {table} LIMIT 1").fetchone()
    for table in ("said", "street"):
        connection.execute(f"SELECT rowid FROM {table} LIMIT 1").fetchone()


def _connect(path: Path | str) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=_WAIT_S, isolation_level=None)
    connection.execute(f"PRAGMA cache_size = -{_CACHE_KIB}")
    return connection


def _open_read_only(path: Path, wanted: Sequence[Step]) -> sqlite3.Connection | None:
    """Return the index that is there, to be read only; None where there is none that can be read."""
    if not path.exists() or path.parent.is_symlink() or path.is_symlink():
        return None
    # Without the right to write beside it there is no log to share; whoever could write has closed it.
    log = path.with_name(f"{FILE}-wal")
    immutable = "" if log.exists() and log.stat().st_size else "&immutable=1"
    try:
        connection = sqlite3.connect(
            f"{path.resolve().as_uri()}?mode=ro{immutable}",
            uri=True,
            timeout=_WAIT_S,
            isolation_level=None,
        )
        if form_of(connection) == wanted[-1].number:
            _look_through(connection)
            return connection
        connection.close()
    except sqlite3.Error:
        return None
    return None


def replace(path: Path) -> bool:
    """Take a damaged index away with its logs; return whether that could be done."""
    try:
        for ending in ("", "-wal", "-shm", "-journal"):
            with suppress(FileNotFoundError):
                os.unlink(path.with_name(path.name + ending))  # noqa: PTH108
    except OSError:
        return False
    return True


def is_busy(problem: sqlite3.Error) -> bool:
    """Return whether another run has the file at this moment."""
    return getattr(problem, "sqlite_errorcode", 0) & 0xFF in (
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_LOCKED,
    )


def is_damage(problem: sqlite3.Error) -> bool:
    """Return whether the file itself is at fault, so that a new one has to be made.

    A full disk, a missing right or a file in use is no damage: nothing may be thrown away for those.
    """
    code = getattr(problem, "sqlite_errorcode", None)
    # What is raised here without a code found the wrong tables; a table that is missing has the plain code.
    return code is None or code & 0xFF in (
        sqlite3.SQLITE_CORRUPT,
        sqlite3.SQLITE_NOTADB,
        sqlite3.SQLITE_ERROR,
    )
