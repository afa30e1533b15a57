"""Whole roofs: forms against worked examples, totals, and stated figures against computed ones."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.trade.geometry import area_from_plan, hip_or_valley_length, slope_factor
from dossier.trade.roof import (
    SlopeMeasure,
    cross_check,
    gable_dormer,
    gable_roof,
    hip_roof,
    mixed_roof,
    roof_kind,
    roof_totals,
    shed_roof,
)

from .published import as_printed


def test_gable_roof() -> None:
    # Geometry; trade field guide, looked-up: eave 40 ft, run 14 ft, 6:12.
    roof = gable_roof(40, 14, 6)
    assert as_printed(roof.area_sqft, "1252.2")
    assert as_printed(roof.rake_ft / 4, "15.65")
    assert (roof.eave_ft, roof.ridge_ft, roof.hip_ft) == (80, 40, 0)


def test_hip_roof() -> None:
    # Geometry; trade field guide, looked-up: 40 by 28 ft, 6:12.
    roof = hip_roof(40, 28, 6)
    assert roof.ridge_ft == 12
    assert roof.hip_ft == 84
    assert roof.eave_ft == 2 * (40 + 28)
    assert as_printed(roof.area_sqft, "1252.2")
    assert hip_roof(28, 40, 6) == roof


def test_shed_roof_is_half_a_gable() -> None:
    assert 2 * shed_roof(40, 14, 6).area_sqft == gable_roof(40, 14, 6).area_sqft


def test_dormer_of_the_main_pitch_has_the_common_valley() -> None:
    # With equal pitches the valley lies at 45 degrees in plan, so the hip and valley factor holds.
    dormer = gable_dormer(8, 5, 6, 6)
    assert dormer.valley_ft == 2 * hip_or_valley_length(4, 6).length_ft
    assert dormer.ridge_ft == 9
    assert (dormer.eave_ft, dormer.rake_ft) == (10, 8 * slope_factor(6))
    # In plan each side is a trapezium of 5 and 9 ft, 4 ft wide.
    assert dormer.area_sqft == 2 * area_from_plan(28, 6).area_sqft


def test_dormer_steeper_than_the_main_slope_runs_back_further() -> None:
    dormer = gable_dormer(8, 5, 12, 4)
    assert dormer.ridge_ft == 5 + 12
    # Half width 4, back 12, rise 4: 16 + 144 + 16 = 176.
    assert as_printed(dormer.valley_ft, str(round(2 * 176**0.5, 4)))


def test_mixed_roof_sums_its_parts() -> None:
    parts = [gable_roof(40, 14, 6), shed_roof(10, 6, 4), gable_dormer(8, 5, 6, 6)]
    mixed = mixed_roof(parts)
    assert mixed.area_sqft == sum(part.area_sqft for part in parts)
    assert mixed.valley_ft == parts[2].valley_ft


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
    assert totals.needs == ("area of slope back",)


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


def test_a_hip_roof_of_any_pitch_has_the_plan_times_the_factor() -> None:
    assert hip_roof(40, 28, 9).area_sqft == 40 * 28 * slope_factor(9)
