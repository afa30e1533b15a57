"""How to reach the owners of jobs, as far as the records say.

In: an open index, jobs. Out: names and how to reach them. Office data: none of it leaves the office by itself.
"""

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Reach:
    """One owner. from_on, till_on: bought and sold on; blank for the first and for today's."""

    name: str
    phone: str
    email: str
    mailing_address: str
    from_on: str
    till_on: str


def owners_of(connection: sqlite3.Connection, job: int) -> tuple[Reach, ...]:
    """Return every owner of a job there has been, the first of them first."""
    rows = connection.execute(
        "SELECT name, phone, email, mailing_address, from_on, till_on FROM owner "
        "WHERE job = ? ORDER BY place",
        (job,),
    )
    return tuple(Reach(*row) for row in rows)


def owners_today(
    connection: sqlite3.Connection, jobs: Iterable[int]
) -> dict[int, tuple[Reach, ...]]:
    """Return the owners of each job as far as the record knows of sales."""
    return {
        job: tuple(owner for owner in owners_of(connection, job) if not owner.till_on)
        for job in dict.fromkeys(jobs)
    }
