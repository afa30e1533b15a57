"""`dossier due`: every deadline that is not met, soonest first, with what is missing for it."""

from datetime import date
from pathlib import Path

from dossier.commands.not_read import code_of, not_read_lines
from dossier.commands.tables import line
from dossier.errors import ExitCode
from dossier.index.answer import Say, ask
from dossier.index.due import RECENT_DAYS, Due, DueList, due_list
from dossier.index.unread import not_read
from dossier.values import Progress, plural, silent


def run_due(
    office: Path,
    today: date,
    until: date | None,
    passed: bool,
    say: Say,
    progress: Progress = silent,
) -> ExitCode:
    """Print the deadlines, and return the exit code: 0 also where nothing is due.

    3 where a folder that could not be read may have changed the answer.
    """
    found, unread = ask(
        office,
        lambda connection: (
            due_list(connection, today, until, passed=passed),
            not_read(connection),
        ),
        say,
        progress,
    )
    print("\n".join([due_text(found, today, until), *not_read_lines(unread)]))
    return code_of(unread)


def due_text(found: DueList, today: date, until: date | None) -> str:
    """Return the deadlines as text."""
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


def _due(row: Due) -> str:
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


def _of_list(row: Due) -> list[str]:
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
