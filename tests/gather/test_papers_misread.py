"""Papers that are easily misread: what is not surely so is in doubt or not proposed at all.

The expected values were written down before the papers were read. Wordings: common practice, no published source.
"""

import io
from collections.abc import Callable, Sequence

import pytest
from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas

from dossier import RECORD_VERSION
from dossier.evidence.text import read_texts
from dossier.gather.at_hand import ReadPaper
from dossier.gather.found import Found
from dossier.record.job import Job
from dossier.record.read import read_job
from dossier.words import PaperKind
from tests.drawn_papers import drawn
from tests.gather.test_found_papers import at_hand, bare, found, said
from tests.known_good import GOOD_JOB

__all__ = ["bare"]

P = PaperKind
X = (50, 200, 330, 450)


def paper(kind: PaperKind, *rows: str | tuple[str, ...], file: str = "papers/x.pdf") -> ReadPaper:
    """Return a paper with these rows, each a line."""
    placed = [
        (X[at], 60 + 18 * number, words)
        for number, row in enumerate(rows)
        for at, words in enumerate([row] if isinstance(row, str) else row)
        if words
    ]
    [text] = read_texts([drawn(placed)])
    return ReadPaper(file, None, "", text, kind, None, True)


def read(job: Job, kind: PaperKind, *rows: str | tuple[str, ...]) -> tuple[Found, ...]:
    """Return what a paper with these rows is found to say."""
    return found(at_hand(job, paper(kind, *rows)))


def sure(facts: Sequence[Found]) -> dict[str, str]:
    """Return what is proposed without a doubt."""
    return said(tuple(facts), doubted=False)


# --- results of inspections ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("Passed", "passed"),
        ("PASS.", "passed"),
        ("Approved", "passed"),
        ("Did not pass", "failed"),
        ("NOT APPROVED", "failed"),
        ("Fail", "failed"),
        ("Corrections required", "corrections asked"),
        ("Not yet approved", None),
        ("Cannot be approved", None),
        ("Pass withheld", None),
        ("No pass", None),
        ("To be passed", None),
        ("Approved with conditions", None),
        ("Approved with corrections required", None),
        ("Conditionally approved", None),
        ("Passed if flashing is redone", None),
        ("Pass / Fail", None),
        ("Pass Fail X", None),
        ("[ ] Passed", None),
        ("Passed ____", None),
    ],
)
@pytest.mark.parametrize("form", ["colon", "cells", "row", "line"])
def test_a_result_is_sure_only_where_its_words_are_nothing_else(
    words: str, expected: str | None, form: str, bare: Job
) -> None:
    rows: dict[str, Sequence[str | tuple[str, ...]]] = {
        "colon": ("Inspection: Final", "Inspection date: 2026-09-18", f"Result: {words}"),
        "cells": (
            ("Inspection", "Final"),
            ("Inspection date", "2026-09-18"),
            ("Result", words),
        ),
        "row": (("Inspection", "Date", "Result"), ("Final", "2026-09-18", words)),
        "line": (f"Final inspection 2026-09-18 {words}",),
    }
    facts = read(bare, P.INSPECTION_CARD, "Inspection card", *rows[form])
    if expected is None:
        assert sure(facts) == {}
        assert not [one for one in facts if "passed" in str(one.what)]
    else:
        assert sure(facts) == {"permit.inspections.0": f"final, 2026-09-18, {expected}"}


def test_a_result_that_is_not_sure_is_never_known() -> None:
    job = read_job(GOOD_JOB, RECORD_VERSION).model
    assert job is not None
    for words in ("Not yet approved", "Did not pass"):
        [fact] = read(
            job,
            P.INSPECTION_CARD,
            "Inspection card",
            "Inspection: Final",
            "Inspection date: 2026-09-21",
            f"Result: {words}",
        )
        assert not fact.known
        assert "the record has final, 2026-09-21, passed, R. Lindmark" in str(fact.doubt)


@pytest.mark.parametrize(
    "line",
    [
        "Ice barrier inspection scheduled for 2026-09-15, to be passed",
        "Final inspection 2026-09-18 passed - Pending Paperwork",
        "Final inspection 2026-09-18 passed Only In Part",
        "Re-inspection of final 2026-09-18 passed subject to a fee",
    ],
)
def test_a_line_with_anything_more_on_it_is_in_doubt(line: str, bare: Job) -> None:
    assert sure(read(bare, P.INSPECTION_CARD, "Inspection card", line)) == {}


def test_words_below_a_result_that_take_it_back_put_it_in_doubt(bare: Job) -> None:
    below = "Passed subject to the correction of the flashing"
    for rows in (
        ("Final inspection 2026-09-18 passed", "Subject to correction of the flashing"),
        ("Inspection: Final", "Inspection date: 2026-09-18", "Result: Passed", below),
    ):
        assert sure(read(bare, P.INSPECTION_CARD, "Inspection card", *rows)) == {}


# --- told twice ---------------------------------------------------------------------------------

INVOICE = ("Ormskar Roofing", "Invoice 2026-077", "118 Plover Lane", "Date: 2026-09-22")
CARD = ("Inspection card", "Final inspection    2026-09-21    Passed    R. Lindmark")
WAIVER = (
    "Unconditional waiver and release on final payment",
    "Claimant: Fjordgate Building Supply",
    "Through date: 2026-09-30",
)


def entries(job: Job, *papers: ReadPaper) -> list[tuple[str, str]]:
    """Return list and paper of each new entry of which something is sure."""
    facts = [one for one in found(at_hand(job, *papers)) if one.doubt is None]
    each = [(".".join(change.path[:2]), one.file) for one in facts for change in one.changes]
    return sorted(set(each))


def test_what_two_papers_tell_alike_is_proposed_once(bare: Job) -> None:
    for rows, kind, entry in (
        ((*INVOICE, "Total $15,052.00"), P.INVOICE, "money.invoices"),
        (CARD, P.INSPECTION_CARD, "permit.inspections"),
        (WAIVER, P.WAIVER, "money.waivers"),
    ):
        one, two = (paper(kind, *rows, file=f"papers/{n}.pdf") for n in "ab")
        assert entries(bare, one, two) == [(entry, "papers/a.pdf")]
    card = paper(P.INSPECTION_CARD, *CARD, file="papers/a.pdf")
    permit = paper(P.PERMIT, "Building permit", CARD[1], file="papers/b.pdf")
    assert entries(bare, card, permit) == [("permit.inspections", "papers/a.pdf")]


def test_what_two_papers_tell_differently_is_sure_on_neither(bare: Job) -> None:
    one, two = (
        paper(P.INVOICE, *INVOICE, f"Total {total}", file=f"papers/{total}.pdf")
        for total in ("$15,052.00", "$15,862.00")
    )
    facts = found(at_hand(bare, one, two))
    amounts = [fact for fact in facts if fact.changes[0].path[-1] == "amount"]
    assert [str(fact.doubt) for fact in amounts] == [
        "papers/$15,862.00.pdf says otherwise: invoice amount: $15,862.00",
        "papers/$15,052.00.pdf says otherwise: invoice amount: $15,052.00",
    ]


def test_two_invoices_and_two_progress_waivers_are_two(bare: Job) -> None:
    other = paper(
        P.INVOICE, INVOICE[0], "Invoice 2026-078", INVOICE[3], "Total $192.00", file="papers/b.pdf"
    )
    assert len(entries(bare, paper(P.INVOICE, *INVOICE), other)) == 2
    part = "Conditional waiver and release on progress payment"
    one, two = (
        paper(P.WAIVER, part, WAIVER[1], f"Through date: {day}", file=f"papers/{day}.pdf")
        for day in ("2026-08-31", "2026-09-30")
    )
    assert len(entries(bare, one, two)) == 2


def test_one_inspection_with_two_results_on_a_card_is_sure_of_neither(bare: Job) -> None:
    rows = ("Final inspection 2026-09-21 failed", "Final inspection 2026-09-21 passed")
    facts = read(bare, P.INSPECTION_CARD, "Inspection card", *rows)
    assert len(facts) == 2
    assert sure(facts) == {}


# --- whose value it is --------------------------------------------------------------------------

OURS = ("Ormskar Roofing", "Invoice 2026-077", "118 Plover Lane")
NUMBER = {"money.invoices.0.number": "2026-077"}


@pytest.mark.parametrize(
    ("kind", "rows", "expected"),
    [
        (
            P.PERMIT,
            (("Date closed", "Date issued", "2026-09-02"),),
            {"permit.issued": "2026-09-02"},
        ),
        (P.PERMIT, ("Date closed:", "2026-09-02 this permit was paid"), {}),
        (
            P.PERMIT,
            (("Permit No", "Issued", "Closed", "Expires"), ("R-2026-1187", "", "", "2026-10-02")),
            {"permit.number": "R-2026-1187"},
        ),
        (P.INVOICE, (*OURS, ("Total", "24.00", "$15,052.00")), NUMBER),
        (P.INVOICE, (*OURS, "Total 24.00 squares"), NUMBER),
        (P.INVOICE, (OURS[0], ("Invoice No", "Customer PO", "PO-8871")), {}),
        (
            P.WAIVER,
            ("Claimant: Fjordgate Building Supply",),
            {"money.waivers.0.given_by": "Fjordgate Building Supply"},
        ),
        (P.WAIVER, ("Undersigned hereby waives all rights",), {}),
        (P.WAIVER, ("Claimant: ____________", "Through date:"), {}),
        (
            P.INSPECTION_CARD,
            (
                "Inspection: Deck and ice barrier",
                "Inspection date: 2026-09-14",
                "Result: Passed",
                "Inspector: Sverre Holt",
            ),
            {"permit.inspections.0": "deck and ice barrier, 2026-09-14, passed, Sverre Holt"},
        ),
        (P.COMPLETION, (("Owner", "Date signed", "Contractor", "2026-09-19"),), {}),
        (
            P.COMPLETION,
            (
                ("Contractor: Ormskar", "Date signed: 2026-09-19"),
                ("Owner: ____", "Date signed: ____"),
            ),
            {},
        ),
        (P.COMPLETION, (("Ormskar", "2026-09-19"), ("Contractor for the owner", "Date")), {}),
        (P.COMPLETION, (("Ormskar Roofing", "2026-09-19"), ("Owner", "Date")), {}),
        (P.COMPLETION, ("Date signed: 2026-09-19",), {}),
        (
            P.COMPLETION,
            (("Owner: M. Ekdahl", "Date signed: 2026-09-19"),),
            {"job.completion_signed_on": "2026-09-19"},
        ),
        (
            P.COMPLETION,
            (("Contractor", "Date", "2026-09-18"), ("Owner", "Date", "2026-09-19")),
            {"job.completion_signed_on": "2026-09-19"},
        ),
    ],
)
def test_a_label_takes_its_own_value_whole_and_no_other(
    kind: PaperKind, rows: Sequence[str | tuple[str, ...]], expected: dict[str, str], bare: Job
) -> None:
    assert sure(read(bare, kind, "Page 1", *rows)) == expected


# --- whose paper it is --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("site", "ours"),
    [
        ("118 Plover Lane", True),
        ("118 PLOVER LANE, HALVORSTED", True),
        ("118 Plover Lane Halvorsted 01234", True),
        ("2118 Plover Lane, Halvorsted", False),
        ("118 Plover Lane, Otherby", False),
        ("118 Plover Lane, Unit 2, Halvorsted", False),
        ("18 Plover Lane", False),
        ("118 Plover Lanes End", False),
        ("Lot 4, 99 Other Road", False),
        ("99 Other Road, Otherby", False),
    ],
)
def test_a_paper_of_another_house_is_in_doubt(site: str, ours: bool, bare: Job) -> None:
    rows = ("Building permit", f"Site address: {site}", "Permit No: R-2026-7777")
    assert bool(sure(read(bare, P.PERMIT, *rows))) == ours


@pytest.mark.parametrize(
    ("head", "ours"),
    [
        (("Ormskar Roofing", "Invoice FG-90021"), True),
        (("INVOICE", "Ormskar Roofing LLC, 14 Millrace Yard"), True),
        (("Fjordgate Building Supply", "Invoice FG-90021", "Ormskar Roofing"), False),
        (("Invoice FG-90021", "Fjordgate Building Supply", "Ormskar Roofing"), False),
        (("Ormskar Roofing Supply", "Invoice FG-90021"), False),
    ],
)
def test_an_invoice_is_ours_where_our_name_is_the_first(
    head: tuple[str, ...], ours: bool, bare: Job
) -> None:
    assert bool(read(bare, P.INVOICE, *head, "Total $210.40")) == ours


@pytest.mark.parametrize(
    ("head", "ours"),
    [("Kestrelmoor", True), ("Full Assembly warranty", True), ("Solbrand Skylights", False)],
)
def test_a_certificate_of_nobody_we_know_is_in_doubt(head: str, ours: bool, bare: Job) -> None:
    rows = (head, "Warranty certificate", "Registration number: SK-88213")
    facts = read(bare, P.CERTIFICATE, *rows)
    assert len(facts) == 2
    assert bool(sure(facts)) == ours


# --- what nobody sees ---------------------------------------------------------------------------

SEEN = ("Building permit", "118 Plover Lane", "Permit No: R-2026-1187")


def drawing(draw: Callable[[Canvas], None]) -> ReadPaper:
    """Return a permit with three lines of print, and what else is drawn on it."""
    target = io.BytesIO()
    canvas = Canvas(target, invariant=True)
    canvas.setFont("Helvetica", 9)
    for number, words in enumerate(SEEN):
        canvas.drawString(50, 700 - 20 * number, words)
    draw(canvas)
    canvas.save()
    [text] = read_texts([target.getvalue()])
    return ReadPaper("papers/x.pdf", None, "", text, P.PERMIT, None, True)


def white(canvas: Canvas) -> None:
    """Print a day in the paper's own colour."""
    canvas.setFillColorRGB(1, 1, 1)
    canvas.drawString(50, 600, "Date issued: 2026-09-02")


def white_on_its_box(canvas: Canvas) -> None:
    """Print a dark day in a box of its own colour."""
    canvas.setFillColorRGB(0.2, 0.2, 0.2)
    canvas.rect(40, 590, 300, 30, stroke=0, fill=1)
    canvas.drawString(50, 600, "Date issued: 2026-09-02")


def covered(canvas: Canvas) -> None:
    """Draw a white box over the number."""
    canvas.setFillColorRGB(1, 1, 1)
    canvas.rect(40, 655, 400, 16, stroke=0, fill=1)


def display(canvas: Canvas) -> None:
    """Print VOID upright and large."""
    canvas.setFont("Helvetica-Bold", 60)
    canvas.drawString(60, 300, "V O I D")


def small(canvas: Canvas) -> None:
    """Print a stamp's word alone on a line."""
    canvas.drawString(300, 400, "CANCELLED")


@pytest.mark.parametrize("draw", [white, white_on_its_box, covered, display, small])
def test_print_that_nobody_sees_and_stamps_of_any_angle_put_all_in_doubt(
    draw: Callable[[Canvas], None], bare: Job
) -> None:
    facts = found(at_hand(bare, drawing(draw)))
    assert facts
    assert sure(facts) == {}


def head_in_white(canvas: Canvas) -> None:
    """Print in white on a dark band, as heads of tables are."""
    canvas.setFillColorRGB(0.1, 0.2, 0.4)
    canvas.rect(40, 590, 300, 30, stroke=0, fill=1)
    canvas.setFillColorRGB(1, 1, 1)
    canvas.drawString(50, 600, "Inspections")


def shaded(canvas: Canvas) -> None:
    """Print on a light band, and mark the number with a colour one can see through."""
    canvas.setFillColorRGB(0.9, 0.9, 0.9)
    canvas.rect(40, 590, 300, 30, stroke=0, fill=1)
    canvas.setFillColorRGB(0, 0, 0)
    canvas.drawString(50, 600, "This permit becomes void if no work is begun within 180 days.")
    canvas.setFillColor(Color(1, 1, 0, alpha=0.4))
    canvas.rect(40, 655, 400, 16, stroke=0, fill=1)
    canvas.rect(30, 500, 500, 250, stroke=1, fill=0)


@pytest.mark.parametrize("draw", [head_in_white, shaded])
def test_print_that_is_seen_is_not_in_doubt(draw: Callable[[Canvas], None], bare: Job) -> None:
    assert sure(found(at_hand(bare, drawing(draw)))) == {"permit.number": "R-2026-1187"}
