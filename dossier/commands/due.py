"""`dossier due`: every deadline that is not met, soonest first, with what is missing for it."""

import argparse
from datetime import date
from typing import TYPE_CHECKING

from dossier.commands.given import Here, day
from dossier.commands.office_answer import (
    add_own_today,
    add_the_office,
    code_of,
    not_read_lines,
    office_asked,
)
from dossier.commands.tables import line
from dossier.errors import ExitCode
from dossier.values import plural

if TYPE_CHECKING:
    from dossier.index.due import Due, DueList

SAYS = "list every deadline across all jobs, soonest first, with what is missing for it"
EXAMPLE = "dossier due --until 2026-12-31"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add which deadlines, from which day, and the office."""
    command.add_argument(
        "--until", type=day, metavar="YYYY-MM-DD", help="only what is due up to this day"
    )
    command.add_argument(
        "--passed", action="store_true", help="also deadlines that passed more than 30 days ago"
    )
    add_own_today(command)
    add_the_office(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Print the deadlines, and return the exit code: 0 also where nothing is due.

    3 where a folder that could not be read may have changed the answer.
    """
    from dossier.deeds.office_index import deadlines

    today = given.today or here.today
    found = deadlines(office_asked(given), today, given.until, passed=given.passed)
    print("\n".join([due_text(found.answer, today, given.until), *not_read_lines(found.unread)]))
    return code_of(found.unread)


def due_text(found: "DueList", today: date, until: date | None) -> str:
    """Return the deadlines as text."""
    from dossier.index.due import RECENT_DAYS

    within = f" until {until.isoformat()}" if until else ""
    count = plural(len(found.rows), "deadline") if found.rows else "Nothing"
    parts = [f"{count} to meet{within}, counted from {today.isoformat()}."]
    parts += [f"\n{_due(row)}" for row in found.rows]
    if found.passed:
        parts.append(
            f"\n{plural(found.passed, 'deadline')} passed more than {RECENT_DAYS} days ago and "
            "nothing on record meets them; --passed lists them."
        )
    if found.undated_total:
        parts.append(
            f"\nNo day can be told for {plural(found.undated_total, 'registration')}, since the record lacks "
            "the day it counts from:"
        )
        parts += [
            f"  {line(u.number)} · {line(u.address)} · {line(u.level)}" for u in found.undated
        ]
        if found.undated_total > len(found.undated):
            parts.append(f"  and {found.undated_total - len(found.undated):,} more")
    return "\n".join(parts)


def _due(row: "Due") -> str:
    left = plural(abs(row.days_left), "day")
    left = (
        "today is the last day"
        if row.days_left == 0
        else f"{left} {'left' if row.days_left > 0 else 'past'}"
    )
    what = line(row.what) or "clear what the punch list names"
    lines = [
        f"{row.due_on.isoformat()} · {left} · {line(row.number)} · {line(row.address)}",
        f"  {what}",
    ]
    lines += [f"  - {line(says)}" for says in row.missing]
    if row.more:
        lines.append(f"  - and {plural(row.more, 'more item')}; dossier check {line(row.folder)}")
    if row.kind in ("registration", "punch list"):
        lines += [f"  {says}" for says in _of_list(row)]
    return "\n".join(lines)


def _of_list(row: "Due") -> list[str]:
    if row.punch_list == "none":
        return [
            f"no punch list was built yet, so what is missing cannot be told: dossier build {line(row.folder)}"
        ]
    if row.punch_list == "older than the record":
        return [
            f"by the punch list as last built, which is older than the record: dossier build {line(row.folder)}"
        ]
    if row.punch_list == "older than the photos or papers":
        return [
            "by the punch list as last built, which by the times of the folders is older than the photos or "
            f"papers: dossier build {line(row.folder)}"
        ]
    if row.punch_list == "unreadable":
        return [f"the punch list cannot be read: dossier build {line(row.folder)}"]
    return [] if row.missing else ["the punch list names nothing that is missing for it"]
