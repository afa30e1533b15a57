"""Whole roofs: forms against worked examples, totals, and stated figures against computed ones."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.trade.roof import (
    SlopeMeasure,
    cross_check,
    roof_kind,
    roof_totals,
)

FRONT = SlopeMeasure("front", 6, 626, 40, 31, 40)
BACK = SlopeMeasure("back", 6, 626, 40, 31, 0)


def test_totals() -> None:
    totals = roof_totals([FRONT, BACK])
    assert (totals.area_sqft, totals.eave_ft, totals.ridge_ft) == (1252, 80, 40)
    assert totals.squares == Fraction(1252, 100)
    assert totals.needs == ()


def test_edges_listed_on_both_slopes_are_halved() -> None:
    totals = roof_totals([FRONT, replace(BACK, ridge_ft=40)], "listed on both slopes")
    assert (totals.ridge_ft, totals.eave_ft) == (40, 80)


def test_a_missing_figure_leaves_the_total_open() -> None:
    totals = roof_totals([FRONT, replace(BACK, area_sqft=None)])
    assert totals.area_sqft is None
    assert totals.squares is None
    assert totals.eave_ft == 80
    assert [str(need) for need in totals.needs] == ["area of slope back"]


def test_no_slopes_give_no_totals() -> None:
    assert roof_totals([]).area_sqft is None


edges = st.one_of(st.none(), st.fractions(min_value=0, max_value=500, max_denominator=16))


@given(st.lists(st.tuples(edges, edges, edges), max_size=6), st.randoms())
def test_the_order_of_slopes_never_changes_totals(
    rows: list[tuple[Fraction | None, ...]], random: object
) -> None:
    slopes = [
        SlopeMeasure(f"S{n}", 6, area, eave, rake) for n, (area, eave, rake) in enumerate(rows)
    ]
    shuffled = list(slopes)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert roof_totals(shuffled) == roof_totals(slopes)


@pytest.mark.parametrize(
    ("slopes", "kind"),
    [
        ([FRONT, BACK], "gable"),
        ([FRONT], "shed"),
        ([replace(FRONT, ridge_ft=0), BACK], "shed"),
        ([FRONT, replace(BACK, hip_ft=21)], "hip"),
        ([replace(FRONT, valley_ft=12), replace(BACK, hip_ft=21)], "cut-up"),
        ([FRONT, replace(BACK, valley_ft=None)], "cannot tell"),
    ],
)
def test_roof_kind(slopes: list[SlopeMeasure], kind: str) -> None:
    # Common practice, no published source.
    assert roof_kind(slopes) == kind


def test_cross_check_at_the_tolerance() -> None:
    computed = 1000
    at = cross_check("area", 1020, computed, Fraction(2, 100), "sq ft")
    beyond = cross_check("area", 1021, computed, Fraction(2, 100), "sq ft")
    assert (at.verdict, at.differs_by) == ("agrees", 20)
    assert (beyond.verdict, beyond.differs_share) == ("differs", Fraction(21, 1000))
    below = cross_check("area", 979, computed, Fraction(2, 100), "sq ft")
    assert (below.verdict, below.differs_by) == ("differs", -21)


def test_cross_check_without_a_figure_cannot_tell() -> None:
    check = cross_check("area", None, 1000, Fraction(2, 100), "sq ft")
    assert (check.verdict, check.needs) == ("cannot tell", ("stated area",))
    both = cross_check("area", None, None, 0, "sq ft")
    assert both.needs == ("stated area", "computed area")


def test_cross_check_against_nothing() -> None:
    check = cross_check("valley", 12, 0, Fraction(2, 100), "ft")
    assert (check.verdict, check.differs_share) == ("differs", None)
