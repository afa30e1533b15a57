"""Take-off against worked examples, and the verdict at its edges."""

from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.trade.takeoff import (
    WASTE_BANDS,
    LotCheck,
    SuppliedLine,
    check_lots,
    compare,
    drip_edge_need,
    field_need,
    hip_and_ridge_need,
    ice_barrier_need,
    nail_need,
    pieces_for,
    starter_need,
    underlayment_need,
    waste_band,
)

GABLE = WASTE_BANDS["gable"]
THIRD = Fraction(100, 3)
"""Square feet that a bundle covers at three to the square."""


def test_hip_and_ridge_four_cover_it_five_is_an_order() -> None:
    # Trade range, common practice: 12 ft of ridge and 84 ft of hips at 25 ft a bundle. Four bundles
    # cover 96 ft; five is what one orders with 5 percent waste.
    need = hip_and_ridge_need(12, 84, WASTE_BANDS["hip"])
    assert compare(need, [SuppliedLine(4, 25)]).verdict == "plausible"
    assert compare(need, [SuppliedLine(5, 25)]).verdict == "plausible"
    short = compare(need, [SuppliedLine(3, 25)])
    assert (short.verdict, short.short_by) == ("short", 21)


@pytest.mark.parametrize(("run", "pieces"), [("40", 5), ("142.6", 15), ("10", 1), ("15.65", 2)])
def test_drip_edge_along_one_run(run: str, pieces: int) -> None:
    # IRC R905.2.8.5 for the 2 in lap; trade practice for the count.
    assert pieces_for(Fraction(run)).pieces == pieces


EDGES = [Fraction(40), Fraction(40), *[Fraction("15.65")] * 4]


@pytest.mark.parametrize(
    ("pieces", "verdict"), [(14, "short"), (15, "plausible"), (18, "plausible"), (19, "over")]
)
def test_drip_edge_by_edge(pieces: int, verdict: str) -> None:
    # Common practice, no published source: 142.6 ft in six edges; 15 pieces is the least as one
    # run, 18 the top of the band edge by edge.
    need = drip_edge_need(EDGES)
    assert need.likely == 15
    assert need.upper == 18
    assert compare(need, [SuppliedLine(pieces, 1)]).verdict == verdict


def test_many_short_edges_share_a_piece() -> None:
    need = drip_edge_need([2] * 10)
    assert need.upper == 10
    # 20 ft as one run is 2.02 pieces: two are within the tolerance, one is not.
    assert compare(need, [SuppliedLine(1, 1)]).verdict == "short"
    assert compare(need, [SuppliedLine(2, 1)]).verdict == "plausible"


@pytest.mark.parametrize(
    ("kind", "low", "high"),
    [
        ("gable", 5, 10),
        ("hip", 10, 15),
        ("cut-up", 15, 20),
        ("shed", 5, 10),
        ("cannot tell", 5, 20),
    ],
)
def test_waste_bands(kind: str, low: int, high: int) -> None:
    # Trade rule of thumb, common practice.
    band = waste_band(kind)
    assert (band.low_share * 100, band.high_share * 100) == (low, high)


def test_the_need_shows_the_whole_band() -> None:
    need = field_need(1200, GABLE)
    assert (need.at_zero_waste, need.likely, need.upper) == (1200, 1260, 1320)


def test_a_woven_valley_takes_more_before_a_count_is_over() -> None:
    # Trade magazine estimating guide: one bundle more per 16 ft, so 48 ft take 3 bundles, 100 sq ft.
    assert field_need(1200, GABLE, 48).upper == 1420
    assert compare(field_need(1200, GABLE), [SuppliedLine(43, THIRD)]).verdict == "over"
    assert compare(field_need(1200, GABLE, 48), [SuppliedLine(43, THIRD)]).verdict == "plausible"


@pytest.mark.parametrize(
    ("bundles", "verdict"),
    [
        # 1,200 sq ft are 36 bundles; 2 percent less is 35.28; 10 percent more is 39.6, so 40. The plainest
        # roof cuts 5 percent away: 35.28 x 1.05 = 37.04 bundles.
        (35, "short"),
        (36, "tight"),
        (37, "tight"),
        (38, "plausible"),
        (40, "plausible"),
        (41, "over"),
    ],
)
def test_field_at_the_edges_of_the_band(bundles: int, verdict: str) -> None:
    result = compare(field_need(1200, GABLE), [SuppliedLine(bundles, THIRD)])
    assert result.verdict == verdict


def test_the_tolerance_belongs_to_the_caller() -> None:
    need, lines = field_need(1200, GABLE), [SuppliedLine(35, THIRD)]
    assert compare(need, lines, Fraction(3, 100)).verdict == "tight"
    assert compare(need, lines, 0).short_by == THIRD


def test_exactly_the_least_is_not_short() -> None:
    line = SuppliedLine(1, 1176)
    assert compare(field_need(1200, GABLE), [line]).verdict == "tight"
    assert compare(starter_need(1200, 0, GABLE), [line]).verdict == "plausible"


def test_a_waste_of_two_in_a_thousand_is_not_plausible() -> None:
    # Nobody lays a roof without a cut: 1,202.4 sq ft for 1,200 leave 2.4 sq ft (common practice).
    need = field_need(1200, GABLE)
    assert compare(need, [SuppliedLine(1, Fraction("1202.4"))]).verdict == "tight"
    # 1,200 x 0.98 x 1.05 = 1,234.8, to the tenth of a square foot.
    assert compare(need, [SuppliedLine(1, Fraction("1234.7"))]).verdict == "tight"
    assert compare(need, [SuppliedLine(1, Fraction("1234.8"))]).verdict == "plausible"


def test_caps_starter_and_metal_may_come_out_to_the_foot() -> None:
    # Whole caps are not cut: 96 ft of hip and ridge by 4 bundles of 25 ft, or by 96 ft of them.
    need = hip_and_ridge_need(12, 84, WASTE_BANDS["hip"])
    assert compare(need, [SuppliedLine(96, 1)]).verdict == "plausible"


def test_returns_are_taken_off() -> None:
    need = field_need(1200, GABLE)
    assert compare(need, [SuppliedLine(45, THIRD, 6)]).verdict == "plausible"
    assert compare(need, [SuppliedLine(45, THIRD, 10)]).verdict == "short"


def test_over_says_by_how_much_and_allows_spares() -> None:
    need, lines = field_need(1200, GABLE), [SuppliedLine(42, THIRD)]
    assert compare(need, lines).over_by == 2 * THIRD
    assert compare(need, lines, spare_packages=2).verdict == "plausible"


@pytest.mark.parametrize(
    ("lines", "needs"),
    [
        ([], "a material line"),
        ([SuppliedLine(None, THIRD)], "quantity delivered"),
        ([SuppliedLine(36, None)], "coverage per package"),
        ([SuppliedLine(3, THIRD, 4)], "a return that is not above the delivery"),
    ],
)
def test_what_is_missing_is_named(lines: list[SuppliedLine], needs: str) -> None:
    result = compare(field_need(1200, GABLE), lines)
    assert (result.verdict, result.needs, result.supplied) == ("cannot tell", (needs,), None)


@given(
    st.fractions(min_value=1, max_value=5000, max_denominator=4),
    st.lists(st.integers(min_value=0, max_value=300), min_size=1, max_size=4),
)
def test_a_line_from_stock_never_makes_a_role_short_or_over(
    area: Fraction, counts: list[int]
) -> None:
    lines = [SuppliedLine(count, THIRD) for count in counts]
    stock = [*lines, SuppliedLine(0, THIRD, from_stock=True)]
    with_stock = compare(field_need(area, GABLE), stock)
    assert with_stock.verdict in ("plausible", "cannot tell")
    ticket_only = compare(field_need(area, GABLE), lines)
    assert (ticket_only.verdict == "short") == (with_stock.verdict == "cannot tell")


@given(
    st.fractions(min_value=1, max_value=5000, max_denominator=4),
    st.sampled_from(sorted(WASTE_BANDS)),
)
def test_what_one_orders_for_the_roof_is_always_plausible(area: Fraction, kind: str) -> None:
    band = WASTE_BANDS[kind]
    for waste in (band.low_share, band.high_share):
        ordered = ceil(area / 100 * (1 + waste) * 3)
        assert (
            compare(field_need(area, band), [SuppliedLine(ordered, THIRD)]).verdict == "plausible"
        )


def test_starter_shortfall_is_in_feet() -> None:
    need = starter_need(80, Fraction("62.6"), GABLE)
    result = compare(need, [SuppliedLine(1, 105)])
    assert (result.verdict, result.short_by) == ("short", Fraction("37.6"))
    assert "short by 37.6 ft" in str(result.working.with_numbers)


def test_underlayment_leaves_out_what_the_ice_barrier_covers() -> None:
    need = underlayment_need(1252, GABLE, under_ice_barrier_sqft=252)
    assert need.at_zero_waste == 1000
    # That underlayment runs on over the barrier is common practice, no published source: it is no surplus.
    assert need.upper == underlayment_need(1252, GABLE).upper
    assert underlayment_need(1252, GABLE, layers=2).at_zero_waste == 2504
    some = underlayment_need(1252, GABLE, most_layers=2)
    assert (some.at_zero_waste, some.upper) == (
        1252,
        underlayment_need(1252, GABLE, layers=2).upper,
    )
    assert underlayment_need(100, GABLE, under_ice_barrier_sqft=200).at_zero_waste == 0


def test_ice_barrier_in_feet_of_roll() -> None:
    assert ice_barrier_need([(40, 2), (40, 2)], 24, GABLE).at_zero_waste == 184


def test_nails() -> None:
    # 80 shingles a square at four nails is 320 a square: common practice, geometry.
    assert nail_need(1252, 320, GABLE).at_zero_waste == Fraction("4006.4")


def test_lots() -> None:
    # Trade magazine estimating guide, looked-up: record the lot of each bundle.
    assert check_lots(42, [42]) == LotCheck(Fraction(42), Fraction(0), Fraction(0))
    assert check_lots(42, [30, 10]) == LotCheck(Fraction(40), Fraction(2), Fraction(0))
    assert check_lots(42, [43]) == LotCheck(Fraction(43), Fraction(0), Fraction(1))


def test_a_lot_that_nobody_counted_hides_no_lot_of_too_many() -> None:
    assert check_lots(42, [30, None]) == LotCheck(Fraction(30), Fraction(0), Fraction(0))
    assert check_lots(42, [50, None]).beyond_count == 8
