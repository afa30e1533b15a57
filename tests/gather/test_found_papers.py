"""Permits, cards, invoices in several wordings: what is proposed, what is in doubt, what is not said.

The expected values were written down before the papers were read. Wordings: common practice, no published source.
"""

import io
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from dossier import RECORD_VERSION
from dossier.evidence.text import read_texts
from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.doubts import doubted
from dossier.gather.found import Found
from dossier.gather.found_closing import found_on_closing_papers
from dossier.gather.found_kinds import found_kinds
from dossier.gather.found_money import found_on_money_papers
from dossier.gather.remarks import remarked
from dossier.gather.titles import title_of
from dossier.record.job import Job
from dossier.record.read import read_job
from dossier.words import PaperKind
from tests.drawn_papers import Placed, by_hand, drawn
from tests.known_good import GOOD_JOB

TODAY = date(2026, 10, 20)
COMPANY = "Ormskar Roofing"


@dataclass(frozen=True)
class Sample:
    """A paper, the kind it is, and what it says: sure, in doubt by the path. job: changes of the record first."""

    name: str
    kind: PaperKind
    rows: tuple[tuple[str, ...], ...]
    sure: dict[str, str]
    doubt: tuple[str, ...] = ()
    title: PaperKind | None = None
    x: tuple[float, ...] = (40, 200, 330, 450)


P = PaperKind
SAMPLES = (
    Sample(
        "a permit in two columns",
        P.PERMIT,
        (
            ("Vintermark County Building Office",),
            ("555-0120",),
            ("BUILDING PERMIT",),
            ("Permit No.", "R-2026-1190", "Date Issued:", "09/02/2026"),
            ("Property address", "118 Plover Lane, Halvorsted", "Expires", "03/01/2027"),
            ("Permit fee", "$85.00", "Receipt No.", "44718"),
            ("This permit becomes void if work is not begun within 180 days.",),
        ),
        {"permit.number": "R-2026-1190"},
        doubt=("permit.issued",),
        title=P.PERMIT,
    ),
    Sample(
        "a permit in running words, its days told by another above the 12th",
        P.PERMIT,
        (
            ("City of Halvorsted",),
            ("Residential Roofing Permit",),
            ("Permit #: BP26-00418   Issued: 9/2/2026   Expires: 3/15/2027",),
            ("Job address: 118 PLOVER LANE",),
        ),
        {"permit.number": "BP26-00418", "permit.issued": "2026-09-02"},
        title=P.PERMIT,
    ),
    Sample(
        "a permit with the values below their labels",
        P.PERMIT,
        (
            ("PERMIT",),
            ("Permit Number", "Issue Date", "Finaled"),
            ("2026-1187-R", "Sep 2, 2026", "September 21, 2026"),
        ),
        {
            "permit.number": "2026-1187-R",
            "permit.issued": "2026-09-02",
            "permit.closed_on": "2026-09-21",
        },
        title=P.PERMIT,
    ),
    Sample(
        "an application is no permit",
        P.PERMIT,
        (
            ("Building permit application",),
            ("Applicant", "Ormskar Roofing"),
            ("Date", "2026-08-20"),
        ),
        {},
        title=None,
    ),
    Sample(
        "an inspection card as a table",
        P.INSPECTION_CARD,
        (
            ("INSPECTION RECORD", "", "", "Permit No. R-2026-1187"),
            ("Inspection", "Date", "Result", "Inspector"),
            ("Deck and ice barrier", "09/14/2026", "Passed", "R. Lindmark"),
            ("Final", "09/21/2026", "APPROVED", "R. Lindmark"),
            ("Call 555-0120 before noon for an inspection on the next working day.",),
        ),
        {
            "permit.number": "R-2026-1187",
            "permit.inspections.0": "deck and ice barrier, 2026-09-14, passed, R. Lindmark",
            "permit.inspections.1": "final, 2026-09-21, passed, R. Lindmark",
        },
        title=P.INSPECTION_CARD,
    ),
    Sample(
        "an inspection with the day first, and one that was not passed",
        P.INSPECTION_CARD,
        (
            ("Inspection Card",),
            ("2026-09-13  Final inspection - NOT APPROVED - R. Lindmark",),
            ("2026-09-21  Final inspection - approved - R. Lindmark",),
        ),
        {
            "permit.inspections.0": "final, 2026-09-13, failed, R. Lindmark",
            "permit.inspections.1": "final, 2026-09-21, passed, R. Lindmark",
        },
        title=P.INSPECTION_CARD,
    ),
    Sample(
        "an inspection by labels",
        P.INSPECTION_CARD,
        (
            ("Inspection Report",),
            ("Type of inspection:", "Ice barrier"),
            ("Date inspected:", "September 14, 2026"),
            ("Result:", "Corrections required"),
            ("Inspected by:", "R. Lindmark"),
        ),
        {"permit.inspections.0": "ice barrier, 2026-09-14, corrections asked, R. Lindmark"},
        title=P.INSPECTION_CARD,
    ),
    Sample(
        "boxes to tick say nothing",
        P.INSPECTION_CARD,
        (("Inspection Card",), ("Final", "2026-09-21", "[ ] Passed  [ ] Failed", "R. Lindmark")),
        {},
        doubt=("permit.inspections.0",),
        title=P.INSPECTION_CARD,
    ),
    Sample(
        "our invoice",
        P.INVOICE,
        (
            ("Ormskar Roofing", "", "", "INVOICE"),
            ("14 Millrace Yard", "", "Invoice #:", "2026-041"),
            ("", "", "Invoice date:", "09/22/2026"),
            ("Bill to: Marit Ekdahl", "", "Due date:", "10/22/2026"),
            ("Description", "", "", "Amount"),
            ("Roof as by contract", "", "", "$14,860.00"),
            ("Subtotal", "", "", "$14,860.00"),
            ("Sub total", "", "", "$14,860.00"),
            ("Change order 1", "", "", "$192.00"),
            ("Total", "", "", "$15,052.00"),
        ),
        {
            "money.invoices.0.number": "2026-041",
            "money.invoices.0.on": "2026-09-22",
            "money.invoices.0.amount": "15,052.00",
        },
        title=P.INVOICE,
    ),
    Sample(
        "an invoice with a deposit has two totals",
        P.INVOICE,
        (
            ("Ormskar Roofing",),
            ("Final Invoice",),
            ("Invoice No. 2026-041B   Date: 2026-09-22",),
            ("Total", "$15,052.00"),
            ("Deposit received", "$5,000.00"),
            ("Amount due", "$10,052.00"),
        ),
        {"money.invoices.0.number": "2026-041B", "money.invoices.0.on": "2026-09-22"},
        doubt=("money.invoices.0.amount",),
        title=P.INVOICE,
    ),
    Sample(
        "the supplier's invoice to us is not ours",
        P.INVOICE,
        (
            ("Fjordgate Building Supply",),
            ("INVOICE", "No. 88121"),
            ("Invoice No:", "88121"),
            ("Sold to:", "Ormskar Roofing"),
            ("Total", "$6,210.40"),
        ),
        {},
        title=P.INVOICE,
    ),
    Sample(
        "an invoice to us whose head names us first",
        P.INVOICE,
        (
            ("INVOICE 88122",),
            ("Bill to: Ormskar Roofing", "", "From: Fjordgate Building Supply"),
            ("Total", "$210.40"),
        ),
        {},
        title=P.INVOICE,
    ),
    Sample(
        "a waiver in the words of a statute",
        P.WAIVER,
        (
            ("CONDITIONAL WAIVER AND RELEASE ON PROGRESS PAYMENT",),
            ("Name of Claimant:", "Fjordgate Building Supply"),
            ("Name of Customer:", "Ormskar Roofing"),
            ("Job Location:", "118 Plover Lane, Halvorsted"),
            ("Through Date:", "September 30, 2026"),
            ("Amount of Check: $6,210.40",),
        ),
        {
            "money.waivers.0.kind": "conditional progress",
            "money.waivers.0.given_by": "Fjordgate Building Supply",
            "money.waivers.0.through": "2026-09-30",
        },
        title=P.WAIVER,
    ),
    Sample(
        "a final waiver",
        P.WAIVER,
        (
            ("Unconditional final waiver of lien", "", "", "2026-09-30"),
            ("Given by", "Ormskar crew north"),
            ("Through", "2026-09-30"),
        ),
        {
            "money.waivers.0.kind": "unconditional final",
            "money.waivers.0.given_by": "Ormskar crew north",
            "money.waivers.0.through": "2026-09-30",
        },
        title=P.WAIVER,
    ),
    Sample(
        "a registration confirmed",
        P.REGISTRATION_CONFIRMATION,
        (
            ("Kestrelmoor",),
            ("Registration Confirmation",),
            ("Registration number: KM-771204",),
            ("Registration date: 10/15/2026",),
            ("Installed: 09/16/2026", "", "Telephone: 555-0177"),
        ),
        {"warranties.0.confirmation": "KM-771204", "warranties.0.accepted_on": "2026-10-15"},
        title=P.REGISTRATION_CONFIRMATION,
    ),
    Sample(
        "a certificate has a number of its own",
        P.CERTIFICATE,
        (
            ("WARRANTY CERTIFICATE", "Kestrelmoor"),
            ("Certificate No.", "C-0091"),
            ("Registered on", "10/25/2026"),
        ),
        {"warranties.0.certificate_file": "papers/x.pdf"},
        doubt=("warranties.0.confirmation", "warranties.0.accepted_on"),
        title=P.CERTIFICATE,
    ),
    Sample(
        "a completion sheet signed below",
        P.COMPLETION,
        (
            ("Certificate of Completion",),
            ("Printed 2026-09-18",),
            ("All work is complete.",),
            ("M. Ekdahl", "", "9/21/2026"),
            ("Homeowner's signature, owner", "", "Date"),
        ),
        {"job.completion_signed_on": "2026-09-21"},
        title=P.COMPLETION,
    ),
    Sample(
        "a completion sheet with no day beside the owner",
        P.COMPLETION,
        (
            ("Completion certificate", "", "", "2026-09-21"),
            ("All work is complete.",),
            ("Owner", "", "Date"),
        ),
        {},
        doubt=("job.completion_signed_on",),
        title=P.COMPLETION,
    ),
    Sample(
        "a permit full of things that are no inspection and no number",
        P.PERMIT,
        (
            ("Building permit", "", "", "sheet 1 of 2"),
            ("Permit 2 of 3", "", "Permit fee: $85.00"),
            ("Contractor registration number 44718", "", "Parcel No. 12-3345"),
            ("Plan review approved 2026-08-28 by R. Lindmark",),
            ("Approved by R. Lindmark 2026-09-02",),
            ("Roofing permit approved 2026-09-02",),
            ("Inspections: deck and ice barrier before cover, final.",),
            ("Status: approved", "", "Date: 2026-09-02"),
        ),
        {},
        title=P.PERMIT,
    ),
    Sample(
        "a confirmation with other numbers about",
        P.REGISTRATION_CONFIRMATION,
        (
            ("Warranty Registration 2026", "Kestrelmoor"),
            ("Contractor registration number", "44718"),
            ("Account No.", "9917"),
            ("Confirmation", "KM-771204"),
        ),
        {"warranties.0.confirmation": "KM-771204"},
    ),
    Sample(
        "an invoice that shows what is left of a paid one",
        P.INVOICE,
        (
            ("Ormskar Roofing",),
            ("Invoice", "2026-041"),
            ("Total squares", "24.00"),
            ("Total", "$15,052.00"),
            ("Balance due", "$0.00"),
            ("Due date: 2026-10-22",),
        ),
        {"money.invoices.0.number": "2026-041"},
        doubt=("money.invoices.0.amount",),
        title=P.INVOICE,
    ),
    Sample(
        "a permit for another house",
        P.PERMIT,
        (
            ("Building permit",),
            ("Permit No.", "R-2026-2000"),
            ("Site address", "7 Mill Race Road, Halvorsted"),
        ),
        {},
        doubt=("permit.number",),
        title=P.PERMIT,
    ),
)


def rows(sample: Sample) -> list[Placed]:
    """Return the words of a sample, each row a line."""
    return [
        (sample.x[at], 60 + 20 * number, words)
        for number, row in enumerate(sample.rows)
        for at, words in enumerate(row)
        if words
    ]


@pytest.fixture(scope="module")
def bare() -> Job:
    """Return the known-good job before anything of its papers was typed."""
    job = read_job(GOOD_JOB, RECORD_VERSION).model
    assert job is not None
    [warranty] = job.warranties
    return job.model_copy(
        update={
            "permit": None,
            "money": None,
            "warranties": (warranty,),
            "job": job.job.model_copy(update={"completion_signed_on": None}),
        }
    )


@pytest.fixture(scope="module")
def papers() -> dict[tuple[str, bool], ReadPaper]:
    """Return every sample as each of two means draws it, read at once."""
    both = [(sample, hand) for sample in SAMPLES for hand in (False, True)]
    texts = read_texts(
        [by_hand(rows(one), size=7) if hand else drawn(rows(one)) for one, hand in both]
    )
    return {
        (one.name, hand): ReadPaper("papers/x.pdf", None, "", text, one.kind, None, True)
        for (one, hand), text in zip(both, texts, strict=True)
    }


def at_hand(job: Job, *papers: ReadPaper) -> AtHand:
    """Return these papers of the job at hand."""
    return AtHand(Path("/nowhere"), job, TODAY, COMPANY, papers)


def found(at: AtHand) -> tuple[Found, ...]:
    """Return what every finder of papers finds."""
    each = (found_kinds, found_on_closing_papers, found_on_money_papers)
    return doubted(at, [one for finder in each for one in finder(at)])


def said(facts: tuple[Found, ...], *, doubted: bool) -> dict[str, str]:
    """Return path and value of what would change, of those in doubt or of the others."""
    return {
        ".".join(change.path): ", ".join(change.value.values())
        if isinstance(change.value, dict)
        else str(change.value)
        for one in facts
        if (one.doubt is not None) is doubted
        for change in one.changes
    }


@pytest.mark.parametrize("hand", [False, True], ids=["reportlab", "by hand"])
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda sample: sample.name)
def test_each_paper_says_what_it_says_and_no_more(
    sample: Sample, hand: bool, bare: Job, papers: dict[tuple[str, bool], ReadPaper]
) -> None:
    paper = papers[sample.name, hand]
    facts = found(at_hand(bare, paper))
    assert said(facts, doubted=False) == sample.sure
    assert tuple(said(facts, doubted=True)) == sample.doubt
    title = title_of(paper.text)
    assert (title.kind if title else None) is sample.title
    for one in facts:
        line = next(
            line for line in paper.text.lines if (line.page, line.line) == (one.page, one.line)
        )
        assert line.text == one.stands


def test_what_the_record_says_is_known_and_what_it_says_otherwise_is_in_doubt(
    papers: dict[tuple[str, bool], ReadPaper],
) -> None:
    job = read_job(GOOD_JOB, RECORD_VERSION).model
    assert job is not None
    card = papers["an inspection card as a table", False]
    facts = found(at_hand(job, card))
    assert [one.known for one in facts] == [True, True, True]
    permit = papers["a permit in running words, its days told by another above the 12th", False]
    number, issued = found(at_hand(job, permit))
    assert issued.known
    assert str(number.doubt) == "the record has R-2026-1187"
    assert number.changes[0].value == "BP26-00418"


def test_the_doubt_of_a_day_says_how_it_was_taken(
    bare: Job, papers: dict[tuple[str, bool], ReadPaper]
) -> None:
    at = at_hand(bare, papers["a permit in two columns", False])
    [doubt] = [one.doubt for one in found(at) if one.doubt]
    assert str(doubt) == (
        "“09/02/2026” is taken as month and day, 2 September 2026; it may be day and month"
    )
    at = at_hand(bare, papers["a certificate has a number of its own", False])
    doubts = [str(one.doubt) for one in found(at) if one.doubt]
    assert doubts[1] == "25 October 2026 is later than today, 20 October 2026"


def test_a_kind_is_proposed_where_neither_name_nor_record_says_one(
    bare: Job, papers: dict[tuple[str, bool], ReadPaper]
) -> None:
    paper = replace(papers["our invoice", True], file="papers/scan 12.pdf", listed=False)
    [kind] = found_kinds(at_hand(bare, paper))
    assert (kind.stands, str(kind.what)) == ("Ormskar Roofing  INVOICE", "kind of paper: invoice")
    assert kind.changes[0].value == {"file": "papers/scan 12.pdf", "kind": "invoice"}


def test_what_is_not_proposed_is_said(bare: Job, papers: dict[tuple[str, bool], ReadPaper]) -> None:
    other = remarked(at_hand(bare, papers["the supplier's invoice to us is not ours", False]))
    assert "our name is not at its head" in str(other.papers[0].remarks[0])
    two = bare.model_copy(update={"warranties": bare.warranties * 2})
    both = remarked(at_hand(two, papers["a registration confirmed", False]))
    assert found(both) == ()
    assert "cannot be told which warranty" in str(both.papers[0].remarks[0])


def test_two_papers_that_say_different_things_are_both_in_doubt(
    bare: Job, papers: dict[tuple[str, bool], ReadPaper]
) -> None:
    one = papers["a permit in running words, its days told by another above the 12th", False]
    other = replace(
        papers["a permit with the values below their labels", False], file="papers/y.pdf"
    )
    facts = found(at_hand(bare, one, other))
    numbers = [fact for fact in facts if fact.changes[0].path == ("permit", "number")]
    assert [fact.doubt is not None for fact in numbers] == [True, True]
    issued = [fact for fact in facts if fact.changes[0].path == ("permit", "issued")]
    assert [fact.doubt for fact in issued] == [None, None]


def test_a_stamp_across_a_paper_puts_all_in_doubt(bare: Job) -> None:
    target = io.BytesIO()
    canvas = Canvas(target)
    canvas.drawString(40, 700, "Building permit")
    canvas.drawString(40, 680, "Permit No. R-2026-1187")
    canvas.rotate(35)
    canvas.drawString(400, 200, "VOID")
    canvas.save()
    [text] = read_texts([target.getvalue()])
    assert text.across == "VOID"
    [number] = found(at_hand(bare, ReadPaper("papers/x.pdf", None, "", text, P.PERMIT, None, True)))
    assert str(number.doubt) == "“VOID” is stamped across the paper"
