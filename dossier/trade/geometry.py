"""Roof geometry: factors, areas and edge lengths of planes of even pitch.

In: pitch as rise in 12, plan lengths in feet, plan areas in square feet. Out: slope areas and edge
lengths. Must not know of materials or code, nor of how slopes make a roof. Factors are computed,
never looked up: printed tables round, and one trade table is 0.4 percent low at 7:12.
"""

from dataclasses import dataclass
from fractions import Fraction

from dossier.trade.working import (
    Exact,
    Traced,
    Working,
    above_zero,
    given,
    not_below_zero,
    root,
)
from dossier.values import write_number

SQFT_PER_SQUARE = 100
"""Square feet of finished roof in a square (trade definition; Army engineer course EN5156)."""

_PYTHAGORAS = "Geometry (Pythagoras)"
_TRAPEZIUM = "Geometry (trapezium)"


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
    return traced_slope_factor(pitch_in_12).value


def traced_slope_factor(pitch_in_12: Exact) -> Traced:
    """Return slope length per plan length, as a formula has it."""
    return _root(1 + _rise(pitch_in_12) ** 2, "√(1 + (pitch/12)²)")


def _rise(pitch_in_12: Exact) -> Fraction:
    return not_below_zero(pitch_in_12, "pitch") / 12


def _root(square: Fraction, formula: str) -> Traced:
    value = root(square)
    return Traced(value, formula, write_number(value, 4))


def area_from_plan(plan_sqft: Exact, pitch_in_12: Exact) -> Area:
    """Return the slope area over a plan area in square feet, overhangs included.

    Right for any plane of even pitch, hip or gable alike. Source: Pythagoras.
    """
    return _area(given(plan_sqft, "plan area", "sq ft") * traced_slope_factor(pitch_in_12))


def area_from_plan_size(length_ft: Exact, width_ft: Exact, pitch_in_12: Exact) -> Area:
    """Return the slope area over a rectangle in plan, sides in feet, overhangs included."""
    return area_from_plan(
        not_below_zero(length_ft, "plan length") * not_below_zero(width_ft, "plan width"),
        pitch_in_12,
    )


def rake_length(run_ft: Exact, pitch_in_12: Exact) -> Length:
    """Return the length of one rake from the plan run in feet, measured to the eave edge."""
    return _length(given(run_ft, "run", "ft") * traced_slope_factor(pitch_in_12))


def length_of_edge(plan_ft: Exact, rise_ft: Exact) -> Length:
    """Return the true length of an edge from its length in plan and what it rises, in feet."""
    plan, rise = given(plan_ft, "length in plan", "ft"), given(rise_ft, "rise", "ft")
    if not rise.value:
        return _length(plan)
    value = root(plan.value**2 + rise.value**2)
    formula, numbers = (
        f"√({one}² + {other}²)"
        for one, other in ((plan.formula, rise.formula), (plan.numbers, rise.numbers))
    )
    return _length(Traced(value, formula, numbers))


def slope_length_from_area(area_sqft: Exact, eave_ft: Exact, top_ft: Exact | None = None) -> Length:
    """Return the slope's length from eave to top along the slope, in feet, from its area and eave.

    top_ft: the upper level edge; None for a rectangle, 0 for a triangle.
    """
    eave = given(above_zero(eave_ft, "eave"), "eave", "ft")
    top = given(eave_ft if top_ft is None else top_ft, "top edge", "ft")
    return _length(2 * given(area_sqft, "area", "sq ft") / (eave + top), _TRAPEZIUM)


def _area(area: Traced, source: str = _PYTHAGORAS) -> Area:
    return Area(area.value, area.working("sq ft", source, places=1))


def _length(length: Traced, source: str = _PYTHAGORAS) -> Length:
    return Length(length.value, length.working("ft", source))
