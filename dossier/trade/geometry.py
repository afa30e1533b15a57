"""Roof geometry: factors, areas and edge lengths of planes of even pitch.

In: pitch as rise in 12, plan lengths in feet, plan areas in square feet. Out: slope areas and edge
lengths. Must not know of materials or code, nor of how slopes make a roof. Factors are computed,
never looked up: printed tables round, and one trade table is 0.4 percent low at 7:12.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import atan, degrees

from dossier.trade.working import (
    Exact,
    Working,
    above_zero,
    not_below_zero,
    root,
    show,
)

SQFT_PER_SQUARE = 100
"""Square feet of finished roof in a square (trade definition; Army engineer course EN5156)."""

_PYTHAGORAS = "Geometry (Pythagoras)"


@dataclass(frozen=True)
class Area:
    """An area of roof surface, measured along the slope."""

    area_sqft: Fraction
    working: Working

    @property
    def squares(self) -> Fraction:
        """Return the area in roofing squares of 100 square feet."""
        return self.area_sqft / SQFT_PER_SQUARE


@dataclass(frozen=True)
class Length:
    """A true length, measured along the edge."""

    length_ft: Fraction
    working: Working


def slope_factor(pitch_in_12: Exact) -> Fraction:
    """Return slope length per plan length, sqrt(1 + (pitch/12)^2). Source: Pythagoras."""
    rise = not_below_zero(pitch_in_12, "pitch") / 12
    return root(1 + rise * rise)


def hip_valley_factor(pitch_in_12: Exact) -> Fraction:
    """Return hip or valley length per common-rafter run, sqrt(2 + (pitch/12)^2).

    Holds where two planes of the same pitch meet at a square corner. Source: Pythagoras.
    """
    rise = not_below_zero(pitch_in_12, "pitch") / 12
    return root(2 + rise * rise)


def slope_angle_deg(pitch_in_12: Exact) -> Fraction:
    """Return the slope's angle above the level in degrees, arctan(pitch/12), to six decimals."""
    # The arctangent has no exact value; six decimals hide the last binary digit, which differs
    # between machines.
    rise = not_below_zero(pitch_in_12, "pitch") / 12
    return Fraction(round(degrees(atan(rise)) * 10**6), 10**6)


def squares(area_sqft: Exact) -> Fraction:
    """Return roofing squares of 100 square feet each, not rounded."""
    return not_below_zero(area_sqft, "area") / SQFT_PER_SQUARE


def area_from_plan(plan_sqft: Exact, pitch_in_12: Exact) -> Area:
    """Return the slope area over a plan area in square feet, overhangs included.

    Right for any plane of even pitch, hip or gable alike. Source: Pythagoras.
    """
    plan = not_below_zero(plan_sqft, "plan area")
    factor = slope_factor(pitch_in_12)
    area = plan * factor
    return Area(
        area,
        Working(
            "plan area × √(1 + (pitch/12)²)",
            f"{show(plan)} sq ft × {show(factor, 4)} = {show(area, 1)} sq ft",
            _PYTHAGORAS,
            "looked-up",
        ),
    )


def area_from_plan_size(length_ft: Exact, width_ft: Exact, pitch_in_12: Exact) -> Area:
    """Return the slope area over a rectangle in plan, sides in feet, overhangs included."""
    return area_from_plan(
        not_below_zero(length_ft, "plan length") * not_below_zero(width_ft, "plan width"),
        pitch_in_12,
    )


def area_from_edges(eave_ft: Exact, top_ft: Exact, slope_length_ft: Exact) -> Area:
    """Return the area of a slope with level eave and top, in square feet.

    eave_ft, top_ft: the two level edges; top equal to eave for a rectangle, 0 for a hip's triangle.
    slope_length_ft: from eave to top, at right angles to the eave, along the slope.
    """
    eave = not_below_zero(eave_ft, "eave")
    top = not_below_zero(top_ft, "top edge")
    slope_length = not_below_zero(slope_length_ft, "slope length")
    area = (eave + top) / 2 * slope_length
    return Area(
        area,
        Working(
            "(eave + top edge) ÷ 2 × slope length",
            f"({show(eave)} ft + {show(top)} ft) ÷ 2 × {show(slope_length)} ft"
            f" = {show(area, 1)} sq ft",
            "Geometry (trapezium)",
            "looked-up",
        ),
    )


def hip_or_valley_length(run_ft: Exact, pitch_in_12: Exact) -> Length:
    """Return the true length of a hip or valley from the common-rafter run in feet.

    Equal pitches meeting at a square corner. The run is the common rafter's, never the plan
    diagonal.
    """
    run = not_below_zero(run_ft, "run")
    factor = hip_valley_factor(pitch_in_12)
    length = run * factor
    return Length(
        length,
        Working(
            "run × √(2 + (pitch/12)²)",
            f"{show(run)} ft × {show(factor, 4)} = {show(length)} ft",
            _PYTHAGORAS,
            "looked-up",
        ),
    )


def hip_or_valley_from_diagonal(diagonal_ft: Exact, pitch_in_12: Exact) -> Length:
    """Return the true length of a hip or valley from its length in plan, the diagonal, in feet."""
    diagonal = not_below_zero(diagonal_ft, "plan diagonal")
    rise = not_below_zero(pitch_in_12, "pitch") / 12
    factor = root(1 + rise * rise / 2)
    length = diagonal * factor
    return Length(
        length,
        Working(
            "plan diagonal × √(1 + (pitch/12)² ÷ 2)",
            f"{show(diagonal, 3)} ft × {show(factor, 4)} = {show(length)} ft",
            _PYTHAGORAS,
            "looked-up",
        ),
    )


def rake_length(run_ft: Exact, pitch_in_12: Exact) -> Length:
    """Return the length of one rake from the plan run in feet, measured to the eave edge."""
    run = not_below_zero(run_ft, "run")
    factor = slope_factor(pitch_in_12)
    length = run * factor
    return Length(
        length,
        Working(
            "run × √(1 + (pitch/12)²)",
            f"{show(run)} ft × {show(factor, 4)} = {show(length)} ft",
            _PYTHAGORAS,
            "looked-up",
        ),
    )


def slope_length_from_area(area_sqft: Exact, eave_ft: Exact, top_ft: Exact | None = None) -> Length:
    """Return the slope's length from eave to top along the slope, in feet, from its area and eave.

    top_ft: the upper level edge; None for a rectangle, 0 for a triangle.
    """
    area = not_below_zero(area_sqft, "area")
    eave = above_zero(eave_ft, "eave")
    top = eave if top_ft is None else not_below_zero(top_ft, "top edge")
    length = 2 * area / (eave + top)
    return Length(
        length,
        Working(
            "2 × area ÷ (eave + top edge)",
            f"2 × {show(area)} sq ft ÷ ({show(eave)} ft + {show(top)} ft) = {show(length)} ft",
            "Geometry (trapezium)",
            "looked-up",
        ),
    )


def plan_run(
    area_sqft: Exact, eave_ft: Exact, pitch_in_12: Exact, top_ft: Exact | None = None
) -> Length:
    """Return the level run from eave to top in feet, from the slope's area, eave and pitch.

    top_ft: the upper level edge; None for a rectangle, 0 for a triangle.
    """
    along = slope_length_from_area(area_sqft, eave_ft, top_ft)
    factor = slope_factor(pitch_in_12)
    run = along.length_ft / factor
    return Length(
        run,
        Working(
            "2 × area ÷ (eave + top edge) ÷ √(1 + (pitch/12)²)",
            f"{show(along.length_ft)} ft ÷ {show(factor, 4)} = {show(run)} ft",
            _PYTHAGORAS,
            "looked-up",
        ),
    )
