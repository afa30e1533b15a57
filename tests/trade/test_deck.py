"""The deck against worked examples of code tables, lumber measure and trade figures."""

from decimal import Decimal
from fractions import Fraction

import pytest

from dossier.trade.deck import (
    PricedRepair,
    check_board_span,
    check_gap,
    check_moisture,
    check_panel_span,
    check_prices,
    tear_off_reasons,
)


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
        # The code's loads are headed “at maximum span”; at closer supports the panel carries more: APA form E30
        # gives 70 psf for 32/16 at 24 in, 30 psf only at 32 in; from memory.
        ("32/16", 24, False, 40, None, "within table"),
        ("32/16", 24, False, 70, None, "within table"),
        ("32/16", 24, False, 71, None, "cannot tell"),
        ("32/16", 32, True, 31, None, "cannot tell"),
        # Between two spacings of the table the wider one's load holds.
        ("32/16", Fraction(96, 5), False, 121, None, "cannot tell"),
        ("24/0", 16, False, 100, None, "within table"),
        ("24/16", 24, False, None, None, "cannot tell"),
        # Over span is over span, whatever the load.
        ("24/0", 24, False, None, None, "over span"),
        ("60/32", 24, False, 30, None, "cannot tell"),
        (None, 24, False, 30, None, "cannot tell"),
    ],
)
def test_panel_span(
    rating: str | None,
    spacing: int | Fraction,
    clips: bool | None,
    load: int | None,
    thickness: Fraction | None,
    verdict: str,
) -> None:
    assert check_panel_span(rating, spacing, clips, load, thickness).verdict == verdict


def test_above_the_table_ask_an_engineer() -> None:
    assert check_panel_span("24/16", 24, True, 70).needs == ("a licensed engineer",)
    assert check_panel_span("24/16", 24, True, None).needs == ("roof live load",)


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
    ("layers", "covering", "edition", "barred"),
    [
        # IRC 2018, 2021 and 2024 R908.3.1.1, items 2 and 3.
        (1, "asphalt shingles", 2021, False),
        (2, "asphalt shingles", 2021, True),
        (1, "slate", 2021, True),
        (1, "clay tile", 2018, True),
        (1, "cement tile", 2024, True),
        (1, "asbestos-cement", 2018, True),
        # Wood shakes stood in the list of R907.3 up to 2012 and are not in that of 2015 and later.
        (1, "wood shakes", 2012, True),
        (1, "wood shakes", 2018, False),
        # What nobody said bars nothing by itself; that it is not known is the caller's to say.
        (None, None, 2021, False),
    ],
)
def test_recover(layers: int | None, covering: str | None, edition: int, barred: bool) -> None:
    assert bool(tear_off_reasons(layers, covering, edition=edition)) is barred


def test_a_soaked_or_decayed_base_bars_recover() -> None:
    # IRC R908.3.1.1, item 1.
    assert [str(one) for one in tear_off_reasons(1, soaked=True, decayed=True)] == [
        "the old roof is water-soaked",
        "the old roof is too far gone to be a base",
    ]


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
