"""The deck against worked examples of code tables, lumber measure and trade figures."""

from decimal import Decimal
from fractions import Fraction

import pytest

from dossier.trade.deck import (
    PricedRepair,
    board_feet,
    check_board_span,
    check_gap,
    check_moisture,
    check_panel_span,
    check_prices,
    clips_per_span,
    gap_share,
    is_solid,
    panel_gap_note,
    share_replaced,
    sheets_for,
    tear_off_reasons,
)

from .published import as_printed


@pytest.mark.parametrize(("gap", "share"), [("0.625", "0.0943"), ("0.75", "0.1111")])
def test_share_of_nails_in_a_gap(gap: str, share: str) -> None:
    # Building-enclosure consultants' association series on roof decks, looked-up: 6 in boards.
    assert as_printed(gap_share(6, Fraction(gap)).share, share)


@pytest.mark.parametrize(
    ("gap", "limit", "verdict"),
    [
        # Makers' instructions and trade manuals, common practice.
        ("0.1875", "0.25", "accept"),
        ("0.5", "0.25", "overlay or replace"),
        # A stated limit is itself allowed.
        ("0.25", "0.25", "accept"),
        # Without one, half an inch holds no nail.
        ("0.4999", None, "accept"),
        ("0.5", None, "overlay or replace"),
    ],
)
def test_gap_limit(gap: str, limit: str | None, verdict: str) -> None:
    allowed = None if limit is None else Fraction(limit)
    assert check_gap(Fraction(gap), allowed).verdict == verdict


def test_an_unmeasured_gap_cannot_tell() -> None:
    check = check_gap(None)
    assert (check.verdict, check.needs) == ("cannot tell", ("widest gap between boards",))


@pytest.mark.parametrize(
    ("rating", "spacing", "clips", "load", "thickness", "verdict"),
    [
        # IRC Table R503.2.1.1(1); APA form E30; from memory.
        ("24/0", 24, False, 30, None, "over span"),
        ("24/0", 24, False, 30, Fraction(15, 32), "within table"),
        ("24/0", 24, True, 30, None, "within table"),
        ("24/16", 24, False, 30, None, "within table"),
        ("32/16", 24, False, 30, None, "within table"),
        ("32/16", 32, False, 30, None, "over span"),
        ("32/16", 33, True, 30, None, "over span"),
        # Nobody said whether there are clips.
        ("24/0", 24, None, 30, None, "cannot tell"),
        ("24/0", 20, None, 30, None, "within table"),
        # The live load has a column too; above it, or not known, an engineer answers.
        ("24/16", 24, False, 40, None, "within table"),
        ("24/16", 24, False, 41, None, "cannot tell"),
        ("24/16", 24, False, None, None, "cannot tell"),
        # Over span is over span, whatever the load.
        ("24/0", 24, False, None, None, "over span"),
        ("60/32", 24, False, 30, None, "cannot tell"),
        (None, 24, False, 30, None, "cannot tell"),
    ],
)
def test_panel_span(
    rating: str | None,
    spacing: int,
    clips: bool | None,
    load: int | None,
    thickness: Fraction | None,
    verdict: str,
) -> None:
    assert check_panel_span(rating, spacing, clips, load, thickness).verdict == verdict


def test_above_the_table_ask_an_engineer() -> None:
    assert check_panel_span("24/16", 24, True, 70).needs == ("a licensed engineer",)
    assert check_panel_span("24/16", 24, True, None).needs == (
        "roof live load",
        "a licensed engineer",
    )


@pytest.mark.parametrize(
    ("net", "spacing", "verdict"),
    [
        # IRC 2018/2021 Table R803.1, looked-up.
        ("0.625", 24, "within table"),
        ("0.624", 24, "cannot tell"),
        ("0.75", 25, "cannot tell"),
    ],
)
def test_boards(net: str, spacing: int, verdict: str) -> None:
    assert check_board_span(Fraction(net), spacing).verdict == verdict


@pytest.mark.parametrize(("spacing", "clips"), [(24, 1), (32, 1), (48, 2), (60, 2)])
def test_clips(spacing: int, clips: int) -> None:
    # APA E30 (2011), table for low-slope decks, looked-up: 1, 1, 2, 2.
    assert clips_per_span(spacing) == clips


def test_solid_sheathing() -> None:
    # IRC R905.2.1, looked-up.
    assert not is_solid(spaced=True, overlaid=False)
    assert is_solid(spaced=True, overlaid=True)
    assert is_solid(spaced=False, overlaid=False)


def test_panel_gap() -> None:
    # APA guidance E30, looked-up.
    assert panel_gap_note(Fraction(1, 8)) is None
    assert panel_gap_note(0) == "Panels 0 in apart; 1/8 in is advised so that they can swell."


@pytest.mark.parametrize(
    ("reading", "kind", "verdict"),
    [
        # USDA Wood Handbook (general) and trade practice, from memory.
        (15, "board", "accept"),
        (23, "board", "too wet"),
        (19, "board", "accept"),
        (17, "OSB", "too wet"),
        (16, "plywood", "accept"),
        (None, "board", "cannot tell"),
    ],
)
def test_moisture(reading: int | None, kind: str, verdict: str) -> None:
    assert check_moisture(reading, kind).verdict == verdict


@pytest.mark.parametrize(
    ("layers", "covering", "barred"),
    [
        # IRC 2018/2021 R908.3, R908.3.1.1, looked-up.
        (1, "asphalt", False),
        (2, "asphalt", True),
        (1, "wood shake", True),
    ],
)
def test_recover(layers: int, covering: str, barred: bool) -> None:
    assert bool(tear_off_reasons(layers, covering)) is barred


def test_a_soaked_or_decayed_base_bars_recover() -> None:
    assert tear_off_reasons(1, soaked=True, decayed=True) == (
        "old roof is water-soaked",
        "old roof is too far gone to be a base",
    )


def test_board_feet() -> None:
    # Lumber measure, common practice.
    assert board_feet(1, 6, 10) == 5
    assert board_feet(1, 8, 12, 8) == 64


def test_sheets() -> None:
    # Arithmetic, common practice: 4 by 8 ft sheets.
    assert sheets_for(150) == 5
    assert sheets_for(160) == 5
    assert sheets_for(161) == 6


def test_share_replaced() -> None:
    assert share_replaced(3 * 32, 1248) == Fraction(1, 13)


REPAIRS = [PricedRepair(3, Decimal("78.50")), PricedRepair(Fraction(25, 2), Decimal("6.25"))]
"""Three sheets for 235.50, and 12 1/2 board feet for 78.125, which rounds to 78.13."""


@pytest.mark.parametrize(
    ("ordered", "invoiced", "verdict"),
    [
        ("313.63", "313.63", "agrees"),
        ("313.62", "313.63", "differs"),
        ("313.63", None, "cannot tell"),
        (None, "300.00", "differs"),
    ],
)
def test_prices(ordered: str | None, invoiced: str | None, verdict: str) -> None:
    check = check_prices(
        REPAIRS,
        None if ordered is None else Decimal(ordered),
        None if invoiced is None else Decimal(invoiced),
    )
    assert check.total == Decimal("313.63")
    assert check.verdict == verdict


def test_price_differences_and_tolerance() -> None:
    check = check_prices(REPAIRS, Decimal(300), Decimal("313.63"))
    assert check.change_orders_less_total == Decimal("-13.63")
    assert check_prices(REPAIRS, Decimal(300), Decimal(300), Decimal(15)).verdict == "agrees"
