"""The office's figures against sums done by hand, and its page against the outside judge."""

import csv
import io
from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path

import pypdfium2
import pytest

from dossier.bind.conformance import conform
from dossier.cli import main
from dossier.commands.office import office_text
from dossier.compose.office.office_page import csv_rows, office_page
from dossier.compose.parts.shared import PLAIN_LOOK
from dossier.errors import ExitCode
from dossier.index.figures import (
    Lost,
    Middle,
    Missing,
    OfficeFigures,
    OfYear,
    Shared,
    office_figures,
)
from dossier.render.document import render_document
from dossier.terms.office import Company
from tests.bind.test_conformance import PROFILES, faults
from tests.conftest import copy_office
from tests.index.conftest import MakeOffice
from tests.index.test_lots_and_due import TODAY, WARRANTY, index_of, item, put, signed

FIELD = "work:\n  - 2026-08-20, field\n"


def by_hand(tmp_path: Path) -> OfficeFigures:
    """Return the figures of seven jobs; the last day is 60 days after the completion, by clause 4.2."""
    office = copy_office(tmp_path / "office")
    # In time: 2026-09-01 + 60 days = 2026-10-31; received 20 days after the last shingle.
    put(
        office,
        "a",
        signed("2026-09-01") + WARRANTY + "    received_on: 2026-09-09\n" + FIELD,
        [
            item("PHO-001", "No photo.", None),
            item("PHO-001", "No photo there.", None),
        ],
    )
    # In time on the very last day, 2026-10-20; 61 days after the last shingle.
    put(
        office,
        "b",
        signed("2026-08-21")
        + WARRANTY
        + "    received_on: 2026-10-20\n"
        + FIELD
        + "decks: plywood, redecked whole\n",
        [item("PHO-001", "No photo.", None), item("A-1", "x", None)],
    )
    # Late by one day.
    put(
        office,
        "c",
        signed("2026-08-20")
        + WARRANTY
        + "    received_on: 2026-10-20\n"
        + "decks: plywood, redecked no\n",
        [item("A-1", "x", None, weight="note")],
    )
    # Never sent, and past.
    put(office, "d", signed("2020-01-01") + WARRANTY + "decks: plywood, redecked part\n")
    # Not due yet.
    put(office, "e", signed("2026-10-01") + WARRANTY)
    # No completion: cannot tell.
    put(office, "f", signed("") + WARRANTY)
    # Nothing asked for.
    put(office, "g", signed("2026-08-20"))
    return office_figures(index_of(office), TODAY)


def test_the_figures_are_those_of_a_sum_by_hand(tmp_path: Path) -> None:
    figures = by_hand(tmp_path)
    assert figures.jobs == 7
    assert figures.in_time == Shared(part=2, of=4, cannot_tell=1, apart=2)
    # Of 20 and 61 days the middle is 40.5; job c is registered but has no last shingle.
    assert figures.days == Middle(Fraction(81, 2), of=2, cannot_tell=1, apart=4)
    assert figures.redecked == Shared(part=1, of=3, cannot_tell=4)
    assert figures.lists == 3
    assert figures.missing == (Missing("PHO-001", 2, "No photo."), Missing("A-1", 1, "x"))
    assert [(lost.folder, lost.due_on) for lost in figures.lost] == [("d", date(2020, 3, 1))]
    assert figures.lost_total == 1
    assert [year.year for year in figures.years] == [2026]
    assert figures.no_year == 5
    text = office_text(figures, TODAY)
    assert "Registered in time: 50 %" in text
    assert "2 of 4 jobs; cannot tell: 1" in text
    assert "Last shingle to registration: 40.5 days" in text
    rows = csv_rows(figures)
    assert rows[0] == {
        "figure": "registered in time",
        "year": "",
        "value": "50",
        "unit": "%",
        "of_jobs": "4",
        "cannot_tell": "1",
        "not_counted": "2",
    }


def test_an_office_of_nothing_has_no_share(tmp_path: Path) -> None:
    figures = office_figures(index_of(copy_office(tmp_path / "office")), TODAY)
    assert figures.in_time.share is None
    assert "Registered in time: cannot tell" in office_text(figures, TODAY)


def pages_of(data: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(data)
    try:
        return [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()


def worst() -> OfficeFigures:
    """Return figures that need the most room on the page."""
    shared, middle = (
        Shared(99_999, 100_000, 99_999, 99_999),
        Middle(Fraction(333), 99_999, 99_999, 99_999),
    )
    long = (
        "Ice barrier of the north slope over the kitchen: no lot is on record for any of its rolls; "
        * 3
    )
    return OfficeFigures(
        jobs=100_000,
        in_time=shared,
        days=middle,
        redecked=shared,
        lists=100_000,
        missing=tuple(Missing(f"PHO-{n:03}", 99_999, long) for n in range(5)),
        lost=tuple(
            Lost(
                "2026-000001-b-and-more",
                "1,234 Upper Ploverdale Meadow Crossing, Unit 12, Port Ismere",
                "f",
                "Full Assembly with Everything",
                date(2026, 9, 30),
            )
            for _ in range(15)
        ),
        lost_total=99_999,
        years=tuple(
            OfYear(year, replace(shared, part=0, of=0) if year == 2010 else shared, middle, shared)
            for year in range(2000, 2027)
        ),
        no_year=99_999,
        unreadable=99_999,
    )


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_the_page_is_one_page_whatever_it_holds_and_conforms(paper: str) -> None:
    company = Company(name="Ormskar Roofing and Sheet Metal Works of Vintermark County")
    page = office_page(worst(), company, TODAY)
    made_at = datetime(2026, 10, 20, 12, tzinfo=UTC)
    made = render_document(
        page, replace(PLAIN_LOOK, paper=paper), {}, (), made_at, finisher=conform
    )
    assert made.page_count == 1
    text = " ".join(pages_of(made.data)[0].split())
    assert "99,999 of 100,000 jobs" in text
    assert [fault for profile in PROFILES for fault in faults(made.data, profile)] == []


def test_the_page_takes_the_offices_own_templates(make_office: MakeOffice) -> None:
    office = make_office(3)
    (office / "templates").mkdir()
    (office / "templates" / "office.html").write_text(
        '{% extends "shipped/office.html" %}{% block top %}<p>Above all.</p>{% endblock %}'
        "{% block end %}<p>Below all.</p>{% endblock %}"
    )
    to = office.parent / "figures.pdf"
    command = ["office", "--office", str(office), "--today", "2026-10-20", "--pdf", str(to)]
    assert main(command) == 0
    text = " ".join(pages_of(to.read_bytes()))
    assert text.index("Above all.") < text.index("The office in figures") < text.index("Below all.")


def test_a_mistake_in_the_offices_own_template_is_told_and_nothing_is_written(
    make_office: MakeOffice, capsys: pytest.CaptureFixture[str]
) -> None:
    office = make_office(3)
    (office / "templates").mkdir()
    (office / "templates" / "office.html").write_text("<p>\n{{ doc.titel }}</p>")
    to = office.parent / "figures.pdf"
    command = ["office", "--office", str(office), "--today", "2026-10-20", "--pdf", str(to)]
    assert main(command) == ExitCode.UNREADABLE_INPUT
    told = capsys.readouterr()
    assert "templates/office.html, line 2" in told.err
    assert told.out == ""
    assert not to.exists()


def test_the_command_writes_a_new_file_and_never_over_another(
    make_office: MakeOffice, capsys: pytest.CaptureFixture[str]
) -> None:
    office = make_office(30)
    to = office.parent / "figures.pdf"
    command = ["office", "--office", str(office), "--today", "2026-10-20", "--pdf", str(to)]
    assert main(command) == 0
    assert len(pages_of(to.read_bytes())) == 1
    first = to.read_bytes()
    capsys.readouterr()
    assert main(command) == 4
    assert "is there already" in capsys.readouterr().err
    to.unlink()
    assert main([*command, "--csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert rows[0]["figure"] == "registered in time"
    assert to.read_bytes() == first
