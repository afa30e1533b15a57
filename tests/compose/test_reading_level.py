"""The homeowner's handover stays readable, and the page in docs/ says what is measured."""

import pytest

from tests.bench.reading_level import MOST_GRADE, PAGE, grade, page, parts, syllables_of


def test_the_whole_document_is_at_about_ninth_grade_or_below() -> None:
    assert grade([one for _, sentences in parts() for one in sentences]) <= MOST_GRADE


def test_no_part_is_above_tenth_grade() -> None:
    assert {title for title, found in parts() if grade(found) > 10} == set()


def test_the_formula_is_the_published_one() -> None:
    """By hand: 8 words, 1 sentence, 10 syllables give 0.39 × 8 + 11.8 × 10 / 8 - 15.59 = 2.28."""
    assert grade(["The roof is new and water runs off."]) == pytest.approx(
        2.28 - 11.8 / 8, abs=0.01
    )


@pytest.mark.parametrize(
    ("word", "count"),
    [("roof", 1), ("water", 2), ("registration", 4), ("made", 1), ("looked", 1), ("eave", 1)],
)
def test_syllables(word: str, count: int) -> None:
    assert syllables_of(word) == count


def test_a_hard_text_is_found_hard() -> None:
    hard = (
        "Notwithstanding aforementioned considerations, transferability necessitates documentation."
    )
    assert grade([hard]) > MOST_GRADE


def test_the_page_in_docs_is_what_is_measured() -> None:
    assert PAGE.read_text("utf-8") == page(), "run: python -m tests.bench.reading_level"
