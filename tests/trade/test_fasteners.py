"""Fasteners against worked examples of the code and of common shingle formats."""

from fractions import Fraction

import pytest

from dossier.trade.fasteners import (
    check_nail_length,
    check_nailing,
    nail_faults,
    nail_length_asked,
    nailing_asked,
)

from .published import as_printed


@pytest.mark.parametrize(
    ("maker", "installed", "pitch", "verdict"),
    [
        # IRC 2018 R905.2.6 (2021/2024 same), looked-up.
        (6, 4, 6, "short"),
        (4, 4, 10, "enough"),
        (4, 4, 22, "cannot tell"),
        (4, 4, 21, "enough"),
        # Never fewer than four per strip, whatever the maker prints.
        (3, 3, 6, "short"),
        (None, 4, 6, "enough"),
        (4, None, 6, "cannot tell"),
    ],
)
def test_nailing(maker: int | None, installed: int | None, pitch: int, verdict: str) -> None:
    assert check_nailing(nailing_asked(maker, pitch), installed).verdict == verdict


def test_steep_slopes_need_the_steep_method() -> None:
    assert nailing_asked(4, 22).steep_method
    assert not nailing_asked(4, 21).steep_method
    assert check_nailing(nailing_asked(4, 22), 6, steep_method_shown=True).verdict == "enough"


def test_the_steep_threshold_before_2012() -> None:
    # IRC 2009 had 20:12, looked-up.
    assert nailing_asked(4, 21, edition=2009).steep_method


def test_individual_shingles_and_high_wind() -> None:
    # IRC R905.2.6: two per individual shingle. Six in high wind is common practice.
    assert nailing_asked(None, 6, "individual").per_shingle == 2
    assert nailing_asked(4, 6, high_wind_count=6).per_shingle == 6
    assert check_nailing(nailing_asked(4, 6, high_wind_count=6), 4).short_per_shingle == 2


@pytest.mark.parametrize(
    ("deck", "nail", "required", "verdict"),
    [
        # IRC 2018/2021/2024 R905.2.5, looked-up; 0.35 in of roofing above the deck. The first row
        # prints 0.79 for an exact 0.7875.
        ("0.4375", "1.25", "0.79", "enough"),
        ("0.75", "1", "1.1", "short"),
        ("0.75", "1.1", "1.10", "enough"),
        # Flush with the underside of a thin deck is not through it.
        ("0.5", "0.85", "0.85", "short"),
    ],
)
def test_nail_length(deck: str, nail: str, required: str, verdict: str) -> None:
    asked = nail_length_asked(Fraction(deck), Fraction("0.35"))
    assert as_printed(asked.required_in, required)
    assert check_nail_length(asked, Fraction(nail)).verdict == verdict


def test_a_projection_asked_for_is_met_exactly() -> None:
    # 1/8 in below a thin deck is trade practice; the code gives no figure.
    asked = nail_length_asked(Fraction(1, 2), Fraction(1, 4), Fraction(1, 8))
    assert asked.required_in == Fraction(7, 8)
    assert check_nail_length(asked, Fraction(7, 8)).verdict == "enough"


def test_an_unknown_nail_cannot_tell() -> None:
    check = check_nail_length(nail_length_asked(Fraction(1, 2), 0), None)
    assert (check.verdict, check.needs) == ("cannot tell", ("nail length",))


def test_shank_and_head() -> None:
    # IRC 2018/2021/2024 R905.2.5: 12 gage is 0.105 in, head 3/8 in.
    assert nail_faults(Fraction(105, 1000), Fraction(3, 8)) == ()
    assert [str(one) for one in nail_faults(Fraction(99, 1000), Fraction(5, 16))] == [
        "shank 0.099 in, 0.105 in needed",
        "head 0.313 in, 0.375 in needed",
    ]


@pytest.mark.parametrize(
    ("kind", "faults"),
    [
        # IRC 2018/2021/2024 R905.2.5, looked-up: roofing nails of galvanized or stainless steel, aluminum, copper.
        ("16 gage staples", 1),
        ("bright roofing nail", 1),
        ("galvanized coil nail", 0),
        ("galvanized coil nails, no staples", 0),
        ("nails instead of staples", 0),
        ("stainless ring shank nail", 0),
        ("", 0),
    ],
)
def test_what_the_fastener_is(kind: str, faults: int) -> None:
    assert len(nail_faults(None, None, kind)) == faults
