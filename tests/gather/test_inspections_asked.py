"""A card's inspection is the one the locality asks for, or one on record, whatever words it is called by.

The wordings are those of an invented city's card: common practice, no published source.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from dossier import RECORD_VERSION
from dossier.evidence.text import read_texts
from dossier.gather.at_hand import ReadPaper
from dossier.gather.found import Found
from dossier.gather.found_closing import found_on_closing_papers
from dossier.record.closing import Inspection, Permit, inspection_asked
from dossier.record.job import Job
from dossier.record.read import read_job
from dossier.words import InspectionResult, PaperKind
from tests.drawn_papers import columns, drawn
from tests.gather.test_found_papers import at_hand, said
from tests.known_good import GOOD_JOB

Card = Callable[..., tuple[Found, ...]]


@pytest.fixture(scope="module")
def card() -> Card:
    """Return what finds on a card with one line, beside inspections on record and those asked for."""
    job = read_job(GOOD_JOB, RECORD_VERSION).model
    assert job is not None

    def read(line: str, *had: Inspection, asked: tuple[str, ...] = ("final",)) -> tuple[Found, ...]:
        [text] = read_texts(
            [drawn([(40, 40, "INSPECTION CARD"), *columns(X, 60, line.split(" | "))])]
        )
        paper = ReadPaper("papers/x.pdf", None, "", text, PaperKind.INSPECTION_CARD, None, True)
        return found_on_closing_papers(replace(at_hand(_with(job, had), paper), inspections=asked))

    return read


def _with(job: Job, had: tuple[Inspection, ...]) -> Job:
    return job.model_copy(update={"permit": Permit(inspections=had)})


FINAL = Inspection(
    kind="final", on=date(2026, 9, 25), result=InspectionResult.PASSED, by="T. Welsow"
)
LINE = "FINAL ROOF | 09/25/2026 | PASSED | T. Welsow"
X = (40, 200, 330, 450)


@pytest.mark.parametrize(
    ("kind", "asked", "wanted"),
    [
        ("FINAL ROOF", ("final",), "final"),
        ("Final re-roof inspection", ("Deck and ice barrier", "Final"), "Final"),
        ("final", ("roof final",), "roof final"),
        ("Final", ("roof final", "final"), "final"),
        ("ice barrier & deck", ("deck and ice barrier",), "deck and ice barrier"),
        ("final electrical", ("final",), None),
        ("roof", ("final", "deck"), None),
        ("deck", ("deck and ice barrier",), None),
        ("final", ("final roof", "roof final"), None),
    ],
)
def test_words_of_the_roof_alone_make_no_other_inspection(
    kind: str, asked: tuple[str, ...], wanted: str | None
) -> None:
    assert inspection_asked(kind, asked) == wanted


def test_an_inspection_is_proposed_in_the_locality_s_words(card: Card) -> None:
    assert said(card(LINE), doubted=False) == {
        "permit.inspections.0": "final, 2026-09-25, passed, T. Welsow"
    }
    assert said(card(LINE, asked=()), doubted=False) == {
        "permit.inspections.0": "final roof, 2026-09-25, passed, T. Welsow"
    }


@pytest.mark.parametrize("asked", [("final",), ()])
def test_an_inspection_of_that_day_and_inspector_is_known(
    card: Card, asked: tuple[str, ...]
) -> None:
    [one] = card(LINE, FINAL, asked=asked)
    assert one.known
    # Without an inspector on record it is still that day's, and the name is what the card adds.
    bare = FINAL.model_copy(update={"by": None})
    assert said(card(LINE, bare, asked=asked), doubted=False) == {
        "permit.inspections.0.by": "T. Welsow"
    }


def test_another_inspection_of_that_day_is_another(card: Card) -> None:
    deck = FINAL.model_copy(update={"kind": "deck"})
    assert list(said(card(LINE, deck), doubted=False)) == ["permit.inspections.1"]
    other = FINAL.model_copy(update={"by": "R. Lindmark"})
    [one] = card(LINE, other)
    assert str(one.doubt) == "the record has final, 2026-09-25, passed, R. Lindmark"
