"""`dossier office`: the figures an owner of the company looks at, as text, as CSV and on one page."""

import argparse
from datetime import date
from typing import TYPE_CHECKING

from dossier.commands.given import Here, new_place
from dossier.commands.office_answer import (
    add_own_today,
    add_the_office,
    code_of,
    not_read_lines,
    office_asked,
)
from dossier.commands.show import to_stderr
from dossier.commands.tables import line
from dossier.errors import ExitCode
from dossier.values import plural

if TYPE_CHECKING:
    from dossier.index.figures import OfficeFigures

SAYS = "print the figures of the office: registered in time, days it took, re-decked, missing most"
EXAMPLE = "dossier office --pdf office-2026-10.pdf"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the form of the figures, the day they are of, and the office."""
    command.add_argument(
        "--pdf", type=new_place, metavar="FILE", help="also write them on one page, into a new file"
    )
    command.add_argument("--csv", action="store_true", help="print CSV on stdout")
    add_own_today(command)
    add_the_office(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Print the figures, write the page where one is asked for, and return the exit code.

    3 where a folder that could not be read may have changed a figure.
    """
    from dossier.compose.office.office_page import COLUMNS, csv_rows
    from dossier.compose.parts.safe_csv import safe_csv
    from dossier.deeds.office_index import figures

    office, today = office_asked(given), given.today or here.today
    told = figures(office, today)
    unread = not_read_lines(told.unread)
    if given.pdf is not None:
        from dossier.deeds.figures_page import write_figures

        # Written before anything is printed: a page that fails leaves no half-said result.
        write_figures(office.folder, told.answer, today, given.pdf)
        to_stderr(f"Written to {given.pdf}.")
    if given.csv:
        print(safe_csv(COLUMNS, csv_rows(told.answer)), end="")
        for sentence in unread:
            to_stderr(sentence)
    else:
        print("\n".join([office_text(told.answer, today), *unread]))
    return code_of(told.unread)


def office_text(figures: "OfficeFigures", today: date) -> str:
    """Return the figures as text."""
    from dossier.compose.office.office_page import figure_rows, missing_note, notes_on

    parts = [f"{plural(figures.jobs, 'job')} in the index on {today.isoformat()}."]
    for row in figure_rows(figures):
        parts.append(
            f"\n{row.what}: {row.value}\n  {row.note}; {row.of}; cannot tell: {row.cannot_tell}; "
            f"not counted: {row.apart}"
        )
    parts.append("\nMissing most:")
    parts += [f"  {m.rule}, {plural(m.jobs, 'job')}: {line(m.says)}" for m in figures.missing]
    parts.append(f"  {missing_note(figures)}")
    parts.append(
        "\nCan no longer be registered in time (the last day has passed, no registration on record): "
        f"{plural(figures.lost_total, 'job')}"
    )
    parts += [
        f"  {line(one.number)} · {line(one.address)} · {line(one.level)}, last day {one.due_on.isoformat()}"
        for one in figures.lost
    ]
    if figures.lost_total > len(figures.lost):
        parts.append(f"  and {figures.lost_total - len(figures.lost):,} more; dossier due --passed")
    return "\n".join([*parts, "", *notes_on(figures)])
