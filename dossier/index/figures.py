"""The figures an owner of the company looks at, over every job of the index.

In: an open index, today. Out: `OfficeFigures`. Each says of how many jobs it was worked out and for how many
the records cannot tell. Must not print, and must not judge a job: a record that lacks a day is not late.
"""

import sqlite3
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from statistics import median

from dossier.index.unread import not_read

MOST_RULES, MOST_LOST = 5, 15


@dataclass(frozen=True)
class Shared:
    """A share: so many of so many jobs. cannot_tell: jobs whose records lack what is needed.

    apart: jobs to which the question does not apply, or not yet.
    """

    part: int
    of: int
    cannot_tell: int
    apart: int = 0

    @property
    def share(self) -> Fraction | None:
        """Return the share, or None where it is of no job."""
        return Fraction(self.part, self.of) if self.of else None


@dataclass(frozen=True)
class Middle:
    """A median of days. of: jobs with both days. cannot_tell: jobs with one of the days missing."""

    days: Fraction | None
    of: int
    cannot_tell: int
    apart: int = 0


@dataclass(frozen=True)
class Missing:
    """One rule that finds something missing. jobs: on how many lists. says: one of its sentences."""

    rule: str
    jobs: int
    says: str


@dataclass(frozen=True)
class Lost:
    """A job whose last day to register has passed with no registration on record."""

    number: str
    address: str
    folder: str
    level: str
    due_on: date


@dataclass(frozen=True)
class OfYear:
    """The figures of the jobs whose last shingle was laid in one year."""

    year: int
    in_time: Shared
    days: Middle
    redecked: Shared


@dataclass(frozen=True)
class OfficeFigures:
    """Every figure. lists: jobs with a built punch list; missing counts those whose list names the rule.

    lost: at most 15 of lost_total, those that passed last first. no_year: jobs with no last shingle.
    """

    jobs: int
    in_time: Shared
    days: Middle
    redecked: Shared
    lists: int
    missing: tuple[Missing, ...]
    lost: tuple[Lost, ...]
    lost_total: int
    years: tuple[OfYear, ...]
    no_year: int
    unreadable: int


@dataclass(frozen=True)
class _Job:
    year: int | None
    state: str
    days: int | None
    asked: bool
    redecked: str


def office_figures(connection: sqlite3.Connection, today: date) -> OfficeFigures:
    """Return the figures of an office as of a day. Raises sqlite3.Error."""
    jobs = list(_jobs(connection, today))
    by_year: dict[int, list[_Job]] = {}
    for job in jobs:
        if job.year is not None:
            by_year.setdefault(job.year, []).append(job)
    lists = "SELECT count(*) FROM job WHERE punch_list NOT IN ('none', 'unreadable')"

    return OfficeFigures(
        jobs=len(jobs),
        in_time=_in_time(jobs),
        days=_days(jobs),
        redecked=_redecked(jobs),
        lists=int(connection.execute(lists).fetchone()[0]),
        missing=tuple(_missing(connection)),
        lost=tuple(_lost(connection, today)),
        lost_total=int(
            connection.execute(
                "SELECT count(DISTINCT job) FROM registration WHERE registered_on = '' "
                "AND needed = 'yes' AND due_on <> '' AND due_on < ?",
                (today.isoformat(),),
            ).fetchone()[0]
        ),
        years=tuple(
            OfYear(year, _in_time(of), _days(of), _redecked(of))
            for year, of in sorted(by_year.items())
        ),
        no_year=sum(job.year is None for job in jobs),
        unreadable=len(not_read(connection)),
    )


def _jobs(connection: sqlite3.Connection, today: date) -> Iterator[_Job]:
    rows = connection.execute(
        "SELECT job.id, job.last_shingle_on, job.redecked, registration.needed, registration.due_on, "
        "registration.registered_on FROM job LEFT JOIN registration ON registration.job = job.id "
        "ORDER BY job.id"
    )
    at: int | None = None
    group: list[tuple[str, str, str]] = []
    shingle_on = redecked = ""
    for job, shingle, decks, needed, due_on, registered_on in rows:
        if job != at:
            if at is not None:
                yield _job(shingle_on, redecked, group, today)
            at, shingle_on, redecked, group = job, shingle, decks, []
        if needed is not None:
            group.append((needed, due_on, registered_on))
    if at is not None:
        yield _job(shingle_on, redecked, group, today)


def _job(shingle_on: str, redecked: str, asked: list[tuple[str, str, str]], today: date) -> _Job:
    wanted = [one for one in asked if one[0] != "no"]
    states = [_state(one, today.isoformat()) for one in wanted]
    # A job with several warranties is as good as its worst.
    state = next(
        (word for word in ("late", "cannot tell", "open", "in time") if word in states),
        "none asked",
    )
    shingle = date.fromisoformat(shingle_on) if shingle_on else None
    registered = min((one[2] for one in wanted if one[2]), default="")
    days = (date.fromisoformat(registered) - shingle).days if shingle and registered else None
    return _Job(shingle.year if shingle else None, state, days, bool(registered), redecked)


def _state(asked: tuple[str, str, str], today: str) -> str:
    needed, due_on, registered_on = asked
    if needed == "cannot tell" or not due_on:
        return "cannot tell"
    if registered_on:
        return "in time" if registered_on <= due_on else "late"
    return "open" if today <= due_on else "late"


def _in_time(jobs: list[_Job]) -> Shared:
    states = Counter(job.state for job in jobs)
    return Shared(
        part=states["in time"],
        of=states["in time"] + states["late"],
        cannot_tell=states["cannot tell"],
        apart=states["open"] + states["none asked"],
    )


def _days(jobs: list[_Job]) -> Middle:
    counted = [job.days for job in jobs if job.days is not None]
    known = sum(job.asked for job in jobs)
    middle = Fraction(median(counted)) if counted else None
    return Middle(middle, len(counted), known - len(counted), len(jobs) - known)


def _redecked(jobs: list[_Job]) -> Shared:
    said = Counter(job.redecked for job in jobs)
    blank = said.pop("", 0)
    return Shared(said["whole"], sum(said.values()), blank)


def _missing(connection: sqlite3.Connection) -> Iterator[Missing]:
    rows = connection.execute(
        "SELECT rule, count(DISTINCT job) AS jobs, max(job) FROM item "
        "WHERE verdict = 'missing' AND weight <> 'note' GROUP BY rule ORDER BY jobs DESC, rule LIMIT ?",
        (MOST_RULES,),
    ).fetchall()
    for rule, jobs, newest in rows:
        says = connection.execute(
            "SELECT says FROM item WHERE job = ? AND rule = ? AND verdict = 'missing' ORDER BY place",
            (newest, rule),
        ).fetchone()
        yield Missing(rule, jobs, says[0])


def _lost(connection: sqlite3.Connection, today: date) -> Iterator[Lost]:
    rows = connection.execute(
        "SELECT job.number, job.address, job.folder, min(registration.level), max(registration.due_on) "
        "FROM registration JOIN job ON job.id = registration.job "
        "WHERE registered_on = '' AND needed = 'yes' AND due_on <> '' AND due_on < ? "
        "GROUP BY job.id ORDER BY 5 DESC, job.folder LIMIT ?",
        (today.isoformat(), MOST_LOST),
    )
    for number, address, folder, level, due_on in rows:
        yield Lost(number, address, folder, level, date.fromisoformat(due_on))
