"""Take-off: what the measured roof needs of each role, against what was delivered less returned.

In: areas in square feet, edges in feet, package coverage, counts. Out: the need at zero waste and
at the top of the waste band, whole packages, and a verdict. Must not know products or who
delivered them. Short means less than the measured roof at zero waste, less a measuring tolerance;
tight, less waste than any roof has; the waste band only parts plausible from over, since a count
within it accuses nobody.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from dossier.said import Feet, Number, Said, Share, say
from dossier.trade.working import (
    Exact,
    Traced,
    Working,
    above_zero,
    ceiling,
    given,
    needed,
    not_below_zero,
    one_of,
)

DEFAULT_TOLERANCE_SHARE = Fraction(2, 100)
"""Measuring tolerance when the caller states none; common practice, no published source."""

LEAST_WASTE_SHARE = Fraction(5, 100)
"""Waste of field shingles on the plainest roof at its leanest: every rake, hip and valley leaves an offcut.
Common practice, no published source: the low end of the plain gable's band, on any roof."""

WOVEN_VALLEY_FT_PER_BUNDLE = 16
"""A woven valley takes one more bundle per 16 ft (trade magazine estimating guide)."""

_BUNDLE_SQFT = Fraction(100, 3)
"""What a bundle covers at three to the square, as that guide counts them."""

_HABIT = "Trade rule of thumb; no published source"


@dataclass(frozen=True)
class WasteBand:
    """The usual waste for a kind of roof, as shares of the measured quantity."""

    low_share: Fraction
    high_share: Fraction


_GABLE = WasteBand(Fraction(5, 100), Fraction(10, 100))
WASTE_BANDS: Mapping[str, WasteBand] = MappingProxyType(
    {
        "shed": _GABLE,
        "gable": _GABLE,
        "hip": WasteBand(Fraction(10, 100), Fraction(15, 100)),
        "cut-up": WasteBand(Fraction(15, 100), Fraction(20, 100)),
    }
)
"""Waste by kind of roof; common practice, no published source. Shed counts as gable."""


def waste_band(kind: str) -> WasteBand:
    """Return the waste band of a kind of roof; “cannot tell” gets the widest, 5 to 20 percent."""
    one_of(kind, (*WASTE_BANDS, "cannot tell"), "kind of roof")
    # When the kind is not known, only a count beyond every band is called over.
    return WASTE_BANDS.get(kind, WasteBand(Fraction(5, 100), Fraction(20, 100)))


@dataclass(frozen=True)
class Need:
    """What the measured roof needs of one role."""

    role: str
    unit: str
    """The unit that a package covers: sq ft, ft, pieces, nails."""
    at_zero_waste: Fraction
    likely: Fraction
    """At the low end of the waste band."""
    upper: Fraction
    """At the high end of the waste band, before whole packages."""
    working: Working
    least_waste_share: Fraction = Fraction(0)
    """Waste without which the role cannot be laid; below it a count is tight. Zero where there is no such."""


def _banded(role: str, unit: str, zero: Traced, band: WasteBand) -> Need:
    low, high = zero.value * (1 + band.low_share), zero.value * (1 + band.high_share)
    waste = say(
        "; with {low_share} to {high_share} waste {low} to {high}",
        low_share=Share(Fraction(band.low_share), 2),
        high_share=Share(Fraction(band.high_share), 2),
        low=Number(low),
        high=Number(high, unit),
    )
    working = zero.working(unit, _HABIT, "common practice", 1, waste)
    return Need(role, unit, zero.value, low, high, working)


def field_need(area_sqft: Exact, band: WasteBand, woven_valley_ft: Exact = 0) -> Need:
    """Return the need of field shingles in square feet of roof.

    woven_valley_ft: both slopes' shingles cross there, so that the top of the band is higher.
    """
    area = not_below_zero(area_sqft, "area")
    need = _banded("field shingle", "sq ft", Traced(area, "measured roof", "roof"), band)
    woven = not_below_zero(woven_valley_ft, "valleys") / WOVEN_VALLEY_FT_PER_BUNDLE * _BUNDLE_SQFT
    return replace(need, upper=need.upper + woven, least_waste_share=LEAST_WASTE_SHARE)


def starter_need(eave_ft: Exact, rake_ft: Exact, band: WasteBand) -> Need:
    """Return the need of starter in feet; rake_ft is 0 where none was laid along the rakes."""
    edges = given(eave_ft, "eaves", "ft", 1) + given(rake_ft, "rakes", "ft", 1)
    return _banded("starter", "ft", edges, band)


def hip_and_ridge_need(ridge_ft: Exact, hip_ft: Exact, band: WasteBand) -> Need:
    """Return the need of hip and ridge caps in feet."""
    edges = given(ridge_ft, "ridges", "ft", 1) + given(hip_ft, "hips", "ft", 1)
    return _banded("hip and ridge", "ft", edges, band)


def underlayment_need(
    area_sqft: Exact,
    band: WasteBand,
    layers: int = 1,
    under_ice_barrier_sqft: Exact = 0,
    most_layers: int | None = None,
) -> Need:
    """Return the need of underlayment in square feet of laid surface; at most it lies over the barrier too.

    layers: 2 where the slope is double and the roll's coverage is counted single; 1 where the half
    lap is already in the roll's net coverage. under_ice_barrier_sqft: area where ice barrier takes
    the underlayment's place. most_layers: where some slopes have more layers than others.
    """
    barrier = given(under_ice_barrier_sqft, "ice barrier area", places=1)
    open_area = given(area_sqft, "roof", places=1) - barrier
    open_area = replace(open_area, value=max(Fraction(0), open_area.value))
    zero = open_area * given(above_zero(layers, "layers"), "layers")
    # That it runs on over the barrier is common practice, no published source.
    most = not_below_zero(area_sqft, "roof") * (most_layers or layers)
    need = _banded("underlayment", "sq ft", zero, band)
    return replace(need, upper=max(zero.value, most) * (1 + band.high_share))


def ice_barrier_need(
    eaves: Iterable[tuple[Exact, int]], valleys_ft: Exact, band: WasteBand
) -> Need:
    """Return the need of ice barrier in running feet of roll: eaves by courses, and valleys."""
    runs = [(not_below_zero(feet, "eave"), not_below_zero(n, "courses")) for feet, n in eaves]
    along = given(sum(feet * count for feet, count in runs), "eaves × courses", "ft", 1)
    return _banded("ice barrier", "ft", along + given(valleys_ft, "valleys", "ft", 1), band)


def nail_need(area_sqft: Exact, nails_per_square: Exact, band: WasteBand) -> Need:
    """Return the need of shingle nails; starter and caps are left to the waste band."""
    area = not_below_zero(area_sqft, "area")
    squares = given(area / 100, "squares", "squares")
    return _banded("fastener", "nails", squares * given(nails_per_square, "nails per square"), band)


@dataclass(frozen=True)
class Pieces:
    """Whole pieces laid with laps along one run."""

    pieces: int
    working: Working


def pieces_for(run_ft: Exact, piece_ft: Exact = 10, lap_in: Exact = 2) -> Pieces:
    """Return the whole pieces along one unbroken run in feet; lap_in is at each joint.

    Source of the 2 in lap: IRC R905.2.8.5.
    """
    run, (piece, lap) = given(run_ft, "run", "ft"), _piece(piece_ft, lap_in)
    steps = (run - lap) / (piece - lap)
    count = ceiling(steps.value if run.value > piece.value else run.value / piece.value)
    source = "IRC R905.2.8.5 for the lap; arithmetic"
    return Pieces(count, steps.working("", source, also=say(", so {count}", count=count)))


def _piece(piece_ft: Exact, lap_in: Exact) -> tuple[Traced, Traced]:
    """Return piece and lap in feet."""
    piece = given(above_zero(piece_ft, "piece"), "piece", "ft")
    lap = given(not_below_zero(lap_in, "lap") / 12, "lap", "ft")
    if lap.value >= piece.value:
        raise ValueError(f"the lap {lap.numbers} is not below the piece {piece.numbers}")
    return piece, lap


def drip_edge_need(edges_ft: Iterable[Exact], piece_ft: Exact = 10, lap_in: Exact = 2) -> Need:
    """Return the need of drip edge in pieces: one run at zero waste, edge by edge at the top.

    As one run is the least that can cover the edges; edge by edge, each offcut thrown away, is the
    most that a careful crew uses, so no further waste is added.
    """
    edges = sorted(not_below_zero(edge, "edge") for edge in edges_ft)
    piece, lap = (one.value for one in _piece(piece_ft, lap_in))
    total = sum(edges, Fraction(0))
    zero = (total - lap) / (piece - lap) if total > piece else total / piece
    edge_by_edge = sum(pieces_for(edge, piece, lap_in).pieces for edge in edges)
    return Need(
        "drip edge",
        "pieces",
        zero,
        Fraction(ceiling(zero)),
        # A single piece can serve several short edges, so the one run is never above the edges.
        Fraction(max(ceiling(zero), edge_by_edge)),
        Working(
            "least: all edges as one run; most: each edge for itself",
            say(
                "{total} as one run: {least} pieces; edge by edge: {most}",
                total=Feet(total),
                least=ceiling(zero),
                most=edge_by_edge,
            ),
            "IRC R905.2.8.5 for the lap; common practice for the band",
            "common practice",
        ),
    )


@dataclass(frozen=True)
class SuppliedLine:
    """One material line of a role."""

    delivered: Exact | None
    """Packages; None when the record does not say."""
    covers: Exact | None
    """What one package covers, in the need's unit, from the wrapper; None when not known."""
    returned: Exact = 0
    from_stock: bool = False
    """Own stock or moved from another job: what went back on the truck is on no ticket."""


Verdict = Literal["short", "tight", "plausible", "over", "cannot tell"]
"""Tight: enough for the measured roof, and too little for what falls away in cutting."""


@dataclass(frozen=True)
class TakeOff:
    """Whether what was delivered and not returned fits the measured roof, for one role."""

    verdict: Verdict
    supplied: Fraction | None
    """Delivered less returned, in the need's unit; None when it cannot be told."""
    short_by: Fraction
    """Left uncovered at zero waste, in the need's unit; zero unless short."""
    over_by: Fraction
    """Beyond the top of the band in whole packages, in the need's unit; zero unless over."""
    needs: tuple[str, ...]
    working: Working


def compare(
    need: Need,
    lines: Iterable[SuppliedLine],
    tolerance_share: Exact = DEFAULT_TOLERANCE_SHARE,
    spare_packages: int = 0,
) -> TakeOff:
    """Return the verdict on one role.

    lines: all material lines of the role; an empty list gives “cannot tell”, since a missing role
    is another matter than a short one. tolerance_share: measuring tolerance, 0 to 1.
    spare_packages: bundles left with the owner or kept for repairs, allowed on top of the band. A
    role with any line from stock is plausible or cannot tell, never short and never over.
    """
    tolerance = not_below_zero(tolerance_share, "tolerance")
    supplied_lines = list(lines)
    needs: list[str] = [] if supplied_lines else ["a material line"]
    supplied, largest = Fraction(0), Fraction(0)
    for line in supplied_lines:
        if line.delivered is None:
            needs.append("quantity delivered")
        if line.covers is None:
            needs.append("coverage per package")
        if line.delivered is not None and line.covers is not None:
            covers = above_zero(line.covers, "coverage per package")
            used = not_below_zero(line.delivered, "delivered") - not_below_zero(
                line.returned, "returned"
            )
            if used < 0:
                needs.append("a return that is not above the delivery")
            supplied += used * covers
            largest = max(largest, covers)
    stock = any(line.from_stock for line in supplied_lines)
    least = need.at_zero_waste * (1 - tolerance)
    formula = (
        "delivered - returned, against the need at zero waste less tolerance and at full waste"
    )

    def result(
        verdict: Verdict,
        numbers: Said,
        short: Fraction = Fraction(0),
        over: Fraction = Fraction(0),
    ) -> TakeOff:
        known = None if needs else supplied
        missing = tuple(dict.fromkeys(needs))
        line = Working(formula, numbers, need.working.source, need.working.confidence)
        return TakeOff(verdict, known, short, over, missing, line)

    if needs:
        return result("cannot tell", needed(needs))
    # The top of the band is bought in whole packages, so the last one is never a surplus.
    most = (ceiling(need.upper / largest) + spare_packages) * largest
    unit = need.unit
    numbers = say(
        "{supplied}; least {least}, most {most}",
        supplied=Number(supplied, unit),
        least=Number(least),
        most=Number(most, unit),
    )
    if supplied < least:
        short = need.at_zero_waste - supplied
        if stock:
            needs.append("how much came from stock")
            partly = say("{numbers}; part of it came from stock", numbers=numbers)
            return result("cannot tell", partly)
        numbers = say("{numbers}; short by {short}", numbers=numbers, short=Number(short, unit))
        return result("short", numbers, short=short)
    if supplied < least * (1 + need.least_waste_share) and not stock:
        # Even with the tape's tolerance in its favour hardly anything is left for cuts.
        return result("tight", numbers)
    if supplied > most and not stock:
        over = supplied - most
        numbers = say("{numbers}; over by {over}", numbers=numbers, over=Number(over, unit))
        return result("over", numbers, over=over)
    return result("plausible", numbers)


@dataclass(frozen=True)
class LotCheck:
    """Lots against the count of packages."""

    known: Fraction
    """Packages that the lots account for."""
    without_lot: Fraction
    """Packages that no lot accounts for; zero where a lot is not counted and may have them all."""
    beyond_count: Fraction
    """Packages in the lots beyond the count; zero when there are none."""


def check_lots(count: Exact, lots: Iterable[Exact | None]) -> LotCheck:
    """Return how the quantities of the lots stand to the packages counted. lots: None for one not counted."""
    quantities = list(lots)
    known = [not_below_zero(number, "lot") for number in quantities if number is not None]
    total = sum(known, Fraction(0))
    gap = not_below_zero(count, "count") - total
    without = gap if len(known) == len(quantities) else Fraction(0)
    return LotCheck(total, max(Fraction(0), without), max(Fraction(0), -gap))
