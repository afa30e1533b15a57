"""Every deadline that is not met, soonest first, with what is missing for it.

In: an open index, today, the last day that is asked for. Out: deadlines with days left. Must not know how a
day was worked out: days are kept, days left are counted when they are asked for.
"""

import sqlite3
from dataclasses import dataclass
from datetime import date, timedelta

RECENT_DAYS = 30
"""A deadline passed so lately is still shown: a maker or an office may take it late. Our habit."""

MOST_MISSING = 6


@dataclass(frozen=True)
class Due:
    """One deadline. days_left: below zero once it has passed. missing: sentences of the punch list.

    more: how many sentences are not repeated here. punch_list: how the list stands to the record.
    """

    due_on: date
    days_left: int
    what: str
    kind: str
    number: str
    address: str
    folder: str
    punch_list: str
    missing: tuple[str, ...]
    more: int


@dataclass(frozen=True)
class Undated:
    """One registration whose last day cannot be told, since the record lacks the day it counts from."""

    number: str
    address: str
    folder: str
    level: str


@dataclass(frozen=True)
class DueList:
    """What is due. passed: older deadlines that are not shown. undated: at most `most` of undated_total."""

    rows: tuple[Due, ...]
    passed: int
    undated: tuple[Undated, ...]
    undated_total: int


def due_list(
    connection: sqlite3.Connection,
    today: date,
    until: date | None = None,
    *,
    passed: bool = False,
    most_undated: int = 20,
) -> DueList:
    """Return what is due up to a day, every day where it is None. Raises sqlite3.Error.

    passed: whether deadlines that passed more than 30 days ago are wanted as well.
    """
    since = "" if passed else (today - timedelta(days=RECENT_DAYS)).isoformat()
    rows = connection.execute(
        "SELECT deadline.job, deadline.due_on, deadline.what, deadline.what_kind, job.number, job.address, "
        "job.folder, job.punch_list FROM deadline JOIN job ON job.id = deadline.job "
        "WHERE deadline.due_on >= ? AND deadline.due_on <= ? "
        "ORDER BY deadline.due_on, job.folder, deadline.place",
        (since, (until or date.max).isoformat()),
    ).fetchall()
    older = connection.execute(
        "SELECT count(*) FROM deadline WHERE due_on < ?", (since,)
    ).fetchone()[0]
    undated = connection.execute(
        "SELECT job.number, job.address, job.folder, registration.level FROM registration "
        "JOIN job ON job.id = registration.job "
        "WHERE registration.registered_on = '' AND registration.needed = 'yes' AND registration.due_on = '' "
        "ORDER BY job.folder",
    ).fetchall()
    return DueList(
        tuple(_due(connection, row, today) for row in rows),
        int(older),
        tuple(Undated(*row) for row in undated[:most_undated]),
        len(undated),
    )


def _due(
    connection: sqlite3.Connection, row: tuple[int, str, str, str, str, str, str, str], today: date
) -> Due:
    job, due_on, _, kind = row[:4]
    holding = "registration" if kind == "registration" else ""
    items = connection.execute(
        "SELECT says FROM item WHERE job = ? AND weight <> 'note' "
        "AND (due_on = ? OR (? <> '' AND instr(holds, ?) > 0)) ORDER BY place",
        (job, due_on, holding, holding),
    ).fetchall()
    says = (
        tuple(dict.fromkeys(item[0] for item in items))
        if kind in ("registration", "punch list")
        else ()
    )
    day = date.fromisoformat(due_on)
    more = max(0, len(says) - MOST_MISSING)
    return Due(day, (day - today).days, *row[2:], says[:MOST_MISSING], more)
