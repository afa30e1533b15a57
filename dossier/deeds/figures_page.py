"""The figures of an office on one page, written into a new file.

In: an office folder, its figures. Out: a PDF. Must not work out a figure.
"""

from datetime import UTC, date
from pathlib import Path

from dossier.compose.office.office_page import office_page
from dossier.disk.outputs import write_new_file
from dossier.errors import UnreadableInput
from dossier.index.figures import OfficeFigures
from dossier.press.press import moment, print_one, with_logo_that_opens
from dossier.terms.read import read_company


def write_figures(office: Path, figures: OfficeFigures, today: date, pdf: Path) -> None:
    """Write the page; raises UnreadableInput or CannotWrite, and then leaves nothing."""
    read = read_company(office)
    if read.model is None:
        raise UnreadableInput(read.items[0].says, read.items[0].remedy)
    company = with_logo_that_opens(read.model, office)
    page = office_page(figures, company, today)
    write_new_file(pdf, print_one(page, company, office, moment(today, UTC)).data)
