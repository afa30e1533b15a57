"""The roof deck: board gaps, panel spans, moisture, clips, and what a repair measures and costs.

In: sizes in inches and feet, loads in pounds per square foot, money as Decimal. Out: verdicts,
quantities and sums. Must not know who found what where. A span beyond the table, or a live load
nobody stated, is for a licensed engineer: this module never calls a structure safe.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from dossier.said import Money, Number, Said, say
from dossier.trade.working import (
    Exact,
    Working,
    above_zero,
    blank,
    exact,
    inches,
    needed,
    not_below_zero,
    one_of,
)
from dossier.values import to_cents

FALLBACK_GAP_IN = Fraction(1, 2)
"""Where no terms or instructions give a limit: a gap this wide or wider holds no nail."""

LUMBER_MOISTURE_PCT = 19
PANEL_MOISTURE_PCT = 16
"""Wettest deck to shingle over (USDA Wood Handbook, general; trade practice; from memory)."""

ENGINEER = "a licensed engineer"


@dataclass(frozen=True)
class GapCheck:
    """Whether the widest gap of a board deck may stay."""

    verdict: Literal["accept", "overlay or replace", "cannot tell"]
    needs: tuple[str, ...]
    working: Working


def check_gap(largest_gap_in: Exact | None, limit_in: Exact | None = None) -> GapCheck:
    """Return whether the widest gap, in inches, is within the limit.

    limit_in: from terms or instructions, the widest gap allowed (1/4 in is common, 1/8 in met).
    None: the fallback, by which a gap of half an inch or wider fails because no nail holds in it.
    """
    by_terms = limit_in is not None
    limit = FALLBACK_GAP_IN if limit_in is None else not_below_zero(limit_in, "gap limit")
    formula = "widest gap ≤ limit" if by_terms else "widest gap < 1/2 in, as no terms give a limit"
    source = "The limit is the terms' or instructions'" if by_terms else "Trade practice"
    if largest_gap_in is None:
        line = Working(formula, "widest gap ?", source, "common practice")
        return GapCheck("cannot tell", ("widest gap between boards",), line)
    gap = not_below_zero(largest_gap_in, "gap")
    good = gap <= limit if by_terms else gap < limit
    return GapCheck(
        "accept" if good else "overlay or replace",
        (),
        Working(
            formula,
            say("{gap} against {limit}", gap=inches(gap, 4), limit=inches(limit, 4)),
            source,
            "common practice",
        ),
    )


@dataclass(frozen=True)
class PanelRow:
    """One span rating of roof sheathing, strength axis across two or more spans.

    live_loads_psf: support spacing → the live load carried there. The last is at the widest span, which is the
    only spacing that the code's table speaks of.
    """

    span_supported_in: int
    span_unsupported_in: int
    live_loads_psf: Mapping[int, int]

    def live_load_psf(self, spacing_in: Fraction) -> int:
        """Return the live load at a spacing, which is that of the next wider one of the table."""
        return self.live_loads_psf[min(s for s in self.live_loads_psf if s >= spacing_in)]


def _row(supported: int, unsupported: int, **loads: int) -> PanelRow:
    by_spacing = {int(name.removeprefix("at_")): psf for name, psf in loads.items()}
    return PanelRow(supported, unsupported, MappingProxyType(by_spacing))


PANEL_SPANS: Mapping[str, PanelRow] = MappingProxyType(
    {
        "16/0": _row(16, 16, at_12=70, at_16=30),
        "20/0": _row(20, 20, at_12=120, at_16=50, at_20=30),
        "24/0": _row(24, 20, at_12=190, at_16=100, at_20=60, at_24=30),
        "24/16": _row(24, 24, at_12=190, at_16=100, at_20=65, at_24=40),
        "32/16": _row(32, 28, at_12=325, at_16=180, at_20=120, at_24=70, at_32=30),
        "40/20": _row(40, 32, at_16=305, at_20=205, at_24=130, at_32=60, at_40=30),
        "48/24": _row(48, 36, at_20=280, at_24=175, at_32=95, at_40=45, at_48=35),
    }
)
"""IRC Table R503.2.1.1(1), whose loads are headed “at maximum span”, and for closer supports the uniform roof live
loads of APA form E30, at 10 psf dead load. Ratings with thickness, 24/0 with edge support, 24/16 without and its
40 psf at 24 in were seen; the other unsupported spans and loads are from memory."""

THICK_24_0_IN = Fraction(15, 32)
"""A 24/0 panel this thick spans 24 in without edge support too (table footnote, from memory)."""


@dataclass(frozen=True)
class SpanCheck:
    """Whether panels span their supports by the table."""

    verdict: Literal["within table", "over span", "cannot tell"]
    most_in: Fraction | None
    """The widest support spacing by the table; None when it cannot be told."""
    needs: tuple[str, ...]
    working: Working


def check_panel_span(
    span_rating: str | None,
    spacing_in: Exact | None,
    edge_support: bool | None,
    live_load_psf: Exact | None,
    thickness_in: Exact | None = None,
) -> SpanCheck:
    """Return whether rated panels may span their supports.

    spacing_in: rafters, centre to centre. edge_support: clips, blocking or tongue and groove; None:
    nobody said. live_load_psf: roof live or snow load, the larger. A load above what the rating carries at
    this spacing, a load not known, or a rating outside the table gives “cannot tell”: ask a licensed
    engineer. A spacing above the row's fails whatever the load. Strength axis across supports and two or
    more spans are taken as given.
    """
    formula = "support spacing ≤ span by rating, live load ≤ load by rating at that spacing"
    source = "IRC Table R503.2.1.1(1); APA form E30"

    def result(
        verdict: Literal["within table", "over span", "cannot tell"],
        most: Exact | None,
        needs: tuple[str, ...],
        numbers: Said,
    ) -> SpanCheck:
        widest = None if most is None else exact(most, "span")
        return SpanCheck(verdict, widest, needs, Working(formula, numbers, source, "from memory"))

    missing = blank(("span rating", span_rating), ("rafter spacing", spacing_in))
    if span_rating is None or spacing_in is None:
        return result("cannot tell", None, missing, needed(missing))
    row = PANEL_SPANS.get(span_rating)
    if row is None:
        return result(
            "cannot tell",
            None,
            (ENGINEER,),
            say("{rating} is not in the table", rating=span_rating),
        )
    spacing = above_zero(spacing_in, "rafter spacing")
    unsupported = row.span_unsupported_in
    if span_rating == "24/0" and thickness_in is not None:
        thick = above_zero(thickness_in, "thickness") >= THICK_24_0_IN
        unsupported = row.span_supported_in if thick else unsupported
    most = row.span_supported_in if edge_support else unsupported
    numbers = say(
        "{rating}: {spacing} against {most} in",
        rating=span_rating,
        spacing=inches(spacing),
        most=Number(most),
    )
    if spacing > most:
        if edge_support is None and spacing <= row.span_supported_in:
            return result("cannot tell", most, ("edge support between rafters",), numbers)
        return result("over span", most, (), numbers)
    if live_load_psf is None:
        numbers = say("{span}; live load ?", span=numbers)
        return result("cannot tell", most, ("roof live load",), numbers)
    load = not_below_zero(live_load_psf, "live load")
    allowed = row.live_load_psf(spacing)
    numbers = say(
        "{span}; live load {load} psf against {allowed} psf",
        span=numbers,
        load=Number(load, "", 2),
        allowed=allowed,
    )
    if load > allowed:
        return result("cannot tell", most, (ENGINEER,), numbers)
    return result("within table", most, (), numbers)


@dataclass(frozen=True)
class BoardCheck:
    """Whether lumber sheathing is thick enough for its supports."""

    verdict: Literal["within table", "cannot tell"]
    needs: tuple[str, ...]
    working: Working


def check_board_span(net_thickness_in: Exact | None, spacing_in: Exact | None) -> BoardCheck:
    """Return whether boards of a net thickness span their supports, both in inches.

    IRC Table R803.1: 5/8 in net at 24 in spacing. Anything else is not judged here.
    """
    good = (
        net_thickness_in is not None
        and spacing_in is not None
        and above_zero(net_thickness_in, "board thickness") >= Fraction(5, 8)
        and above_zero(spacing_in, "rafter spacing") <= 24
    )
    needs = blank(("board thickness", net_thickness_in), ("rafter spacing", spacing_in))
    thickness = "?" if net_thickness_in is None else Number(net_thickness_in, "", 3)
    spacing = "?" if spacing_in is None else Number(spacing_in, "", 2)
    return BoardCheck(
        "within table" if good else "cannot tell",
        () if good else needs or (ENGINEER,),
        Working(
            "net thickness ≥ 5/8 in at supports ≤ 24 in apart",
            say("{thickness} in at {spacing} in", thickness=thickness, spacing=spacing),
            "IRC 2018/2021 Table R803.1",
            "looked-up",
        ),
    )


@dataclass(frozen=True)
class MoistureCheck:
    """Whether the deck was dry enough to cover."""

    verdict: Literal["accept", "too wet", "cannot tell"]
    working: Working


def check_moisture(moisture_pct: Exact | None, kind: str) -> MoistureCheck:
    """Return whether a deck reading in percent moisture content is dry enough.

    kind: “board”, “plywood” or “OSB”. Boards to 19 percent, panels to 16. From memory: USDA Wood
    Handbook; trade practice.
    """
    one_of(kind, ("board", "plywood", "OSB"), "deck kind")
    most = LUMBER_MOISTURE_PCT if kind == "board" else PANEL_MOISTURE_PCT
    verdict: Literal["accept", "too wet", "cannot tell"] = "cannot tell"
    if moisture_pct is not None:
        wet = not_below_zero(moisture_pct, "moisture") > most
        verdict = "too wet" if wet else "accept"
    reading = "?" if moisture_pct is None else Number(moisture_pct)
    return MoistureCheck(
        verdict,
        Working(
            f"{kind} ≤ {most} %",
            say("{reading} % against {most} %", reading=reading, most=Number(most)),
            "USDA Forest Products Laboratory, Wood Handbook",
            "from memory",
        ),
    )


BARRED_COVERINGS = frozenset({"slate", "clay tile", "cement tile", "asbestos-cement"})
"""Old coverings that may not be covered over (R908.3.1.1, item 2, IRC 2015 and later)."""

MOST_LAYERS_LEFT = 1
"""Two or more applications of any covering bar a recover (IRC R908.3.1.1, item 3)."""


def tear_off_reasons(
    layers_left: int | None,
    covering: str | None = None,
    soaked: bool = False,
    decayed: bool = False,
    edition: int = 2021,
) -> tuple[Said, ...]:
    """Return why the model code bars laying over the old roof; empty where nothing that is known does.

    layers_left, covering: None where nobody said, which bars nothing by itself. Wood shakes were barred up to the
    2012 edition (R907.3); later ones allow metal and tile over them, and for the hidden space below ask for a
    cover (R908.4). Source: R908.3.1.1 of IRC 2018, 2021 and 2024; the list without wood shakes was seen in the
    sister building code of 2015 and later (IBC 1511.3.1.1), that with them in IBC 2009 and 2012, 1510.3.
    Some localities ask for tear-off every time.
    """
    reasons = []
    if layers_left is not None and not_below_zero(layers_left, "layers") > MOST_LAYERS_LEFT:
        reasons.append(say("{layers} layers stayed on", layers=layers_left))
    if covering in BARRED_COVERINGS or (covering == "wood shakes" and edition < 2015):
        reasons.append(say("the old roof is {covering}", covering=covering or ""))
    if soaked:
        reasons.append(say("the old roof is water-soaked"))
    if decayed:
        reasons.append(say("the old roof is too far gone to be a base"))
    return tuple(reasons)


LIGHT_SECOND_LAYER_PSF = 3
"""A second layer of covering up to this weight over a single one needs no look at the frame (International
Existing Building Code 2018, 706.2, exception 2; a licensed engineer decides)."""


@dataclass(frozen=True)
class PricedRepair:
    """One priced repair line: quantity in the unit of the price."""

    quantity: Exact
    unit_price: Decimal


@dataclass(frozen=True)
class PriceCheck:
    """Whether the repairs' total is what change orders and invoices say."""

    verdict: Literal["agrees", "differs", "cannot tell"]
    total: Decimal
    change_orders_less_total: Decimal | None
    invoiced_less_total: Decimal | None
    needs: tuple[str, ...]
    working: Working


def check_prices(
    repairs: Iterable[PricedRepair],
    change_orders: Decimal | None,
    invoiced: Decimal | None,
    tolerance: Decimal = Decimal(0),
) -> PriceCheck:
    """Return whether the priced repairs add up to the change orders and to the invoice.

    Each line is rounded to the cent, half up, as an invoice prints it. tolerance: a difference up
    to this amount agrees. A missing amount gives “cannot tell” unless the other already differs.
    """
    total = Decimal("0.00")
    for repair in repairs:
        amount = not_below_zero(repair.quantity, "quantity") * Fraction(repair.unit_price)
        total += to_cents(amount)
    ordered_gap = None if change_orders is None else change_orders - total
    invoiced_gap = None if invoiced is None else invoiced - total
    needs = blank(("change orders' sum", change_orders), ("invoiced sum", invoiced))
    differs = any(gap is not None and abs(gap) > tolerance for gap in (ordered_gap, invoiced_gap))
    verdict: Literal["agrees", "differs", "cannot tell"] = (
        "differs" if differs else "cannot tell" if needs else "agrees"
    )
    return PriceCheck(
        verdict,
        total,
        ordered_gap,
        invoiced_gap,
        needs,
        Working(
            "sum of quantity × unit price",
            say(
                "repairs {total}; change orders {ordered}, invoice {invoiced}",
                total=Money(total),
                ordered="?" if change_orders is None else Money(change_orders),
                invoiced="?" if invoiced is None else Money(invoiced),
            ),
            "Arithmetic",
            "looked-up",
        ),
    )
