"""The figures of an office on one page, written into a new file.

In: an office folder, its figures. Out: a PDF. Must not work out a figure.
"""

from datetime import UTC, date, datetime, time
from pathlib import Path

from dossier.bind.conformance import conform
from dossier.compose.office.office_page import office_page
from dossier.compose.parts.shared import look_of
from dossier.disk.outputs import write_new_file
from dossier.errors import UnreadableInput
from dossier.evidence.logo import logo_fault
from dossier.index.figures import OfficeFigures
from dossier.press.printing import OWN_TEMPLATES
from dossier.render.document import render_document
from dossier.render.pictures import reduce
from dossier.terms.read import read_company


def write_figures(office: Path, figures: OfficeFigures, today: date, pdf: Path) -> None:
    """Write the page; raises UnreadableInput or CannotWrite, and then leaves nothing."""
    read = read_company(office)
    if read.model is None:
        raise UnreadableInput(read.items[0].says, read.items[0].remedy)
    company = read.model
    if logo_fault(office, company.logo):
        company = company.model_copy(update={"logo": None})
    page = office_page(figures, company, today)
    pictures = {
        wanted.name: reduce((office / wanted.file).read_bytes(), width_mm=wanted.width_mm)
        for wanted in page.pictures
    }
    own = office / OWN_TEMPLATES
    printed = render_document(
        page,
        look_of(company),
        pictures,
        (),
        datetime.combine(today, time(12), tzinfo=UTC),
        finisher=conform,
        overrides=own if own.is_dir() else None,
    )
    write_new_file(pdf, printed.data)
