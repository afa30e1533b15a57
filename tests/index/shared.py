"""What the tests of the index share: an index filled from an office, and its dump."""

import sqlite3
from pathlib import Path

from dossier.index.keep import dump, update_all
from dossier.index.store import index_path, open_index


def filled(office: Path) -> sqlite3.Connection:
    """Return the open index of an office, every folder looked at."""
    connection = open_index(office).connection
    update_all(connection, office)
    return connection


def dumped(office: Path) -> list[str]:
    """Return every row of the index that an office has on disk."""
    connection = sqlite3.connect(index_path(office))
    try:
        return list(dump(connection))
    finally:
        connection.close()


def rebuilt(office: Path) -> list[str]:
    """Return every row of an index made from the folders alone, in memory."""
    from dossier.index.store import in_memory

    connection = in_memory().connection
    try:
        update_all(connection, office)
        return list(dump(connection))
    finally:
        connection.close()
