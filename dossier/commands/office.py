"""`dossier office`: the figures an owner of the company looks at, as text, as CSV and on one page."""

from datetime import UTC, date
from pathlib import Path

from dossier.commands.not_read import code_of, not_read_lines
from dossier.commands.tables import line
from dossier.compose.office.office_page import (
    COLUMNS,
    csv_rows,
    figure_rows,
    missing_note,
    notes_on,
    office_page,
)
from dossier.compose.parts.safe_csv import safe_csv
from dossier.disk.outputs import write_new_file
from dossier.errors import ExitCode, UnreadableInput
from dossier.index.answer import Say, ask
from dossier.index.figures import OfficeFigures, office_figures
from dossier.index.unread import not_read
from dossier.terms.read import read_company
from dossier.values import Progress, plural, silent


def run_office(
    office: Path,
    today: date,
    as_csv: bool,
    pdf: Path | None,
    say: Say,
    progress: Progress = silent,
) -> ExitCode:
    """Print the figures, write the page where one is asked for, and return the exit code.

    3 where a folder that could not be read may have changed a figure.
    """
    figures, unread = ask(
        office,
        lambda connection: (office_figures(connection, today), not_read(connection)),
        say,
        progress,
    )
    if pdf is not None:
        # Written before anything is printed: a page that fails leaves no half-said result.
        write_new_file(pdf, _page(office, figures, today))
        say(f"Written to {pdf}.")
    if as_csv:
        print(safe_csv(COLUMNS, csv_rows(figures)), end="")
        for sentence in not_read_lines(unread):
            say(sentence)
    else:
        print("\n".join([office_text(figures, today), *not_read_lines(unread)]))
    return code_of(unread)


def office_text(figures: OfficeFigures, today: date) -> str:
    """Return the figures as text."""
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


def _page(office: Path, figures: OfficeFigures, today: date) -> bytes:
    from dossier.press.press import moment, print_one, with_logo_that_opens

    read = read_company(office)
    if read.model is None:
        raise UnreadableInput(read.items[0].says, read.items[0].remedy)
    company = with_logo_that_opens(read.model, office)
    page = office_page(figures, company, today)
    return print_one(page, company, office, moment(today, UTC)).data
