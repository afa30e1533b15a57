"""Papers of offices that print few labels: what stands there is proposed, in doubt where nothing says what it is.

The expected values were written down before the papers were read. Wordings: common practice, no published source.
"""

from collections.abc import Sequence

import pytest

from dossier.gather.remarks import remarked
from dossier.record.job import Job
from dossier.words import PaperKind
from tests.gather.test_found_papers import at_hand, bare, found, said
from tests.gather.test_papers_misread import paper

__all__ = ["bare"]

P = PaperKind
HEAD = ("INVOICE", ("Ormskar Roofing", "No. R2026-0331"), ("555-0125", "13 Oct 2026"))


@pytest.mark.parametrize(
    ("kind", "rows", "sure", "doubted"),
    [
        (
            P.INVOICE,
            (
                *HEAD,
                ("Roof, per contract 3 Sep 2026", "21,460.00"),
                ("Final invoice - please pay", "21,730.00"),
                "within 14 days",
            ),
            {},
            {
                "money.invoices.0.number": "R2026-0331",
                "money.invoices.0.on": "2026-10-13",
                "money.invoices.0.amount": "21,730.00",
            },
        ),
        (
            # What stands below the first amount is no head: another paper's number, another day.
            P.INVOICE,
            (
                ("Ormskar Roofing", "INVOICE"),
                ("Roof", "21,460.00"),
                ("No. 4471", "3 Sep 2026"),
            ),
            {},
            {},
        ),
        (
            P.INVOICE,
            (("Ormskar Roofing", "INVOICE"), "Invoice No: 2026-077", ("Total", "21,460.00")),
            {"money.invoices.0.number": "2026-077", "money.invoices.0.amount": "21,460.00"},
            {},
        ),
        (
            P.COMPLETION,
            (
                "Ormskar Roofing",
                "Done slip",
                ("signed M. Ekdahl, 09-19-2026", "for Ormskar: I. T."),
            ),
            {"job.completion_signed_on": "2026-09-19"},
            {},
        ),
        (
            P.COMPLETION,
            ("Done slip", ("Signed by Marit Ekdahl", "19 September 2026")),
            {"job.completion_signed_on": "2026-09-19"},
            {},
        ),
        (
            P.COMPLETION,
            ("Done slip", "signed M. Ekdahl, 10-08-2026"),
            {},
            {"job.completion_signed_on": "2026-10-08"},
        ),
        (
            P.COMPLETION,
            ("Done slip", "signed T. Ekdahl, 09-19-2026"),
            {},
            {"job.completion_signed_on": "2026-09-19"},
        ),
        (P.COMPLETION, ("The work of our contract of 09-03-2026 is done.",), {}, {}),
        (P.COMPLETION, ("To be signed by M. Ekdahl before 09-19-2026",), {}, {}),
    ],
)
def test_what_stands_under_no_label_is_in_doubt(
    kind: PaperKind,
    rows: Sequence[str | tuple[str, ...]],
    sure: dict[str, str],
    doubted: dict[str, str],
    bare: Job,
) -> None:
    facts = found(at_hand(bare, paper(kind, *rows)))
    assert said(facts, doubted=False) == sure
    assert said(facts, doubted=True) == doubted


def test_a_certificate_gives_its_number_and_day_in_doubt(bare: Job) -> None:
    [warranty] = bare.warranties
    warranty = warranty.model_copy(update={"confirmation": None, "accepted_on": None})
    job = bare.model_copy(update={"warranties": (warranty,)})
    rows = (
        f"Certificate of the {warranty.level}",
        ("Certificate", "LS-40-22817"),
        ("Given on", "13 October 2026"),
        ("Installation ended", "7 October 2026"),
    )
    facts = said(found(at_hand(job, paper(P.CERTIFICATE, *rows))), doubted=True)
    assert facts["warranties.0.confirmation"] == "LS-40-22817"
    assert facts["warranties.0.accepted_on"] == "2026-10-13"


@pytest.mark.parametrize(
    ("kind", "rows", "words"),
    [
        (P.INVOICE, ("Ormskar Roofing", "Thank you."), "no number, day or amount"),
        (P.COMPLETION, ("Done slip", "All is swept."), "no day on which the owner signed"),
        (P.PERMIT, ("Permit", "Keep posted."), "no number or day"),
        (P.PERMIT, ("Permit R-2026-1187",), ""),
        (P.CONTRACT, ("Contract",), ""),
    ],
)
def test_a_paper_of_which_nothing_is_read_says_what_was_looked_for(
    kind: PaperKind, rows: Sequence[str], words: str, bare: Job
) -> None:
    more = ("Keep this paper with the others of the house.",) * 3
    remarks = remarked(at_hand(bare, paper(kind, *rows, *more))).papers[0].remarks
    assert [str(one) for one in remarks] == (
        [f"{words} was found on it by its label"] if words else []
    )
