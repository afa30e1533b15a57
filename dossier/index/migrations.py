"""The forms that the index has had, as an ordered list, and how an older file is brought to the newest.

In: an open connection. Out: the same file in the newest form, each step in one transaction with its own
record. Must not know what a job is. A step changes the form only; after any step every job is read anew,
since the folders are the truth. Where rows are made otherwise than before, a step without SQL says so: cards
of an older form are not believed.
"""

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path


@dataclass(frozen=True)
class Step:
    """One change of the form. number: from 1, without gaps. sql: one text of statements."""

    number: int
    name: str
    sql: str


_CORRECTED_LOTS = "ALTER TABLE lot ADD COLUMN corrected TEXT NOT NULL DEFAULT '';"


@cache
def schema_text() -> str:
    """Return the commented SQL that makes an empty index, as shipped beside this module."""
    return Path(__file__).with_name("schema.sql").read_text(encoding="utf-8")


def steps() -> tuple[Step, ...]:
    """Return every step there has been, oldest first; the last one's number is the form of today."""
    return (
        Step(1, "the first form", schema_text()),
        Step(2, "since when a lot's mark stands", _CORRECTED_LOTS),
        Step(3, "read by the record's own reader", ""),
    )


def form_of(connection: sqlite3.Connection) -> int:
    """Return the number of the last step this file has been through; 0 for an empty file."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def migrate(connection: sqlite3.Connection, asked: Sequence[Step]) -> tuple[Step, ...]:
    """Bring the file to the last of these steps, and return the steps that were taken.

    Each is one transaction: a kill between two leaves the file at a known form. Raises sqlite3.Error.
    """
    taken: list[Step] = []
    for step in asked:
        connection.execute("BEGIN IMMEDIATE")
        try:
            # Read again inside the transaction, since another run may have taken the step meanwhile.
            if form_of(connection) >= step.number:
                connection.execute("ROLLBACK")
                continue
            for statement in statements(step.sql):
                connection.execute(statement)
            connection.execute(
                "CREATE TABLE IF NOT EXISTS migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL)"
            )
            connection.execute("INSERT INTO migration VALUES (?, ?)", (step.number, step.name))
            if step.number > 1:
                connection.execute("UPDATE job SET stamp = ''")
                connection.execute("DELETE FROM about")
            # A pragma takes no parameters; the number is our own and whole.
            connection.execute(f"PRAGMA user_version = {int(step.number)}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise
        taken.append(step)
    return tuple(taken)


def statements(sql: str) -> list[str]:
    """Return the single statements of a text, comments and all."""
    found: list[str] = []
    open_text = ""
    for line in sql.splitlines(keepends=True):
        open_text += line
        if sqlite3.complete_statement(open_text):
            found.append(open_text)
            open_text = ""
    if open_text.strip():
        found.append(open_text)
    return found
