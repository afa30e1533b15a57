"""Roof geometry against printed slope tables and worked examples.

Source of the table and examples: geometry (Pythagoras); rows agree with a trade field guide on
asphalt shingles, looked-up, save its 7:12 hip factor 1.524, which is a printing slip (exact
1.5298).
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.trade.geometry import (
    area_from_plan,
    area_from_plan_size,
    slope_factor,
)

from .published import as_printed

TABLE = [
    (1, "1.0035", "1.4167", "4.76"),
    (2, "1.0138", "1.4240", "9.46"),
    (3, "1.0308", "1.4361", "14.04"),
    (4, "1.0541", "1.4530", "18.43"),
    (5, "1.0833", "1.4743", "22.62"),
    (6, "1.1180", "1.5000", "26.57"),
    (7, "1.1577", "1.5298", "30.26"),
    (8, "1.2019", "1.5635", "33.69"),
    (9, "1.2500", "1.6008", "36.87"),
    (10, "1.3017", "1.6415", "39.81"),
    (11, "1.3566", "1.6853", "42.51"),
    (12, "1.4142", "1.7321", "45.00"),
    (13, "1.4743", "1.7815", "47.29"),
    (14, "1.5366", "1.8333", "49.40"),
    (15, "1.6008", "1.8875", "51.34"),
    (16, "1.6667", "1.9437", "53.13"),
    (17, "1.7341", "2.0017", "54.78"),
    (18, "1.8028", "2.0616", "56.31"),
    (19, "1.8727", "2.1230", "57.72"),
    (20, "1.9437", "2.1858", "59.04"),
    (21, "2.0156", "2.2500", "60.26"),
    (22, "2.0883", "2.3154", "61.39"),
    (23, "2.1619", "2.3819", "62.45"),
    (24, "2.2361", "2.4495", "63.43"),
]

pitches = st.fractions(min_value=0, max_value=24, max_denominator=16)
feet = st.fractions(min_value=1, max_value=200, max_denominator=16)


@pytest.mark.parametrize(
    ("length", "width", "pitch", "area", "squares_printed"),
    [(40, 28, 6, "1252.2", "12.52"), (20, 40, 7, "926.2", "9.26"), (56, 29, 8, "1951.8", "19.52")],
)
def test_area_from_plan(
    length: int, width: int, pitch: int, area: str, squares_printed: str
) -> None:
    # Geometry; trade field guide, looked-up. A rounded 1.16 at 7:12 would give 928.0, 1.21 at 8:12
    # would give 1965.0.
    result = area_from_plan_size(length, width, pitch)
    assert as_printed(result.area_sqft, area)
    assert as_printed(result.squares, squares_printed)
    assert area_from_plan(length * width, pitch) == result


def test_working_shows_the_numbers() -> None:
    working = area_from_plan(1120, 6).working
    assert working.with_numbers == "1,120 sq ft × 1.118 = 1,252.2 sq ft"


@given(feet, feet, pitches, pitches)
def test_a_steeper_roof_never_has_less_area(
    length: Fraction, width: Fraction, one: Fraction, other: Fraction
) -> None:
    flat, steep = sorted((one, other))
    gentle = area_from_plan_size(length, width, flat).area_sqft
    assert gentle <= area_from_plan_size(length, width, steep).area_sqft
    assert gentle >= length * width


@pytest.mark.parametrize("pitch", [-1, Fraction(-1, 2)])
def test_a_pitch_below_zero_is_refused(pitch: Fraction) -> None:
    with pytest.raises(ValueError, match="pitch"):
        slope_factor(pitch)
