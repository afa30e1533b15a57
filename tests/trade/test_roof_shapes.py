"""Roofs by shapes against closed forms, printed examples, and a height field that is sampled and never cut.

The height field of `Sampled` knows nothing of pieces and edges: it is written from the sizes alone, the highest
of a few bodies, each the lowest of its planes; what lies between two planes is counted by lines laid across the
plan. An edge is met once for each step of the grid that it goes over, so that counts both ways give its length.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import hypot, isclose, sqrt
from types import MappingProxyType

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from dossier.trade.geometry import slope_factor
from dossier.trade.roof_bodies import Side
from dossier.trade.roof_shapes import ShapedRoof, shaped_roof
from dossier.trade.shapes import NotDetermined, Shape

from .published import as_printed

F = Fraction


def house(form: str, along: float, deep: float, pitch: float, overhang: float = 0) -> Shape:
    return Shape(
        "house",
        form,  # type: ignore[arg-type]
        F(along),
        F(deep),
        F(pitch),
        eave_overhang_ft=F(overhang),
        rake_overhang_ft=F(overhang),
    )


def wing(form: str, along: float, out: float, pitch: float, on: str = "front") -> Shape:
    return Shape("wing", form, F(along), F(out), F(pitch), on=on, joint="valley")  # type: ignore[arg-type]


def lengths(roof: ShapedRoof) -> dict[str, Fraction]:
    """Return the sums over slopes, which are not the sums over edges from which they came."""
    sums: Counter[str] = Counter()
    for slope in roof.slopes:
        for kind, length in slope.lengths_ft.items():
            sums[kind] += length  # type: ignore[assignment]
    return dict(sums)  # type: ignore[arg-type]


def slope(roof: ShapedRoof, label: str) -> dict[str, Fraction]:
    [found] = [one for one in roof.slopes if one.label == label]
    return dict(found.lengths_ft)  # type: ignore[arg-type]


def near(value: Fraction) -> object:
    """Return what equals a value but for where the roots in both are cut off."""
    return pytest.approx(float(value), rel=1e-14)


# --- printed examples -----------------------------------------------------------------------------


def test_gable_as_printed() -> None:
    # Geometry; trade field guide, looked-up: eave 40 ft, run 14 ft, 6:12: rake 15.65 ft, 1,252.2 sq ft.
    roof = shaped_roof([house("gable", 40, 28, 6)])
    assert as_printed(roof.area_sqft, "1252.2")
    assert as_printed(lengths(roof)["rake"] / 4, "15.65")
    assert (lengths(roof)["eave"], lengths(roof)["ridge"]) == (80, 40)
    assert [one.size_ft for one in roof.slopes] == [(40, 14), (40, 14)]


def test_hip_as_printed() -> None:
    # Geometry; trade field guide, looked-up: 40 by 28 ft, 6:12: ridge 12 ft, hips 84 ft, 1,252.2 sq ft.
    roof = shaped_roof([house("hip", 40, 28, 6)])
    assert lengths(roof) == {"eave": 136, "ridge": 12, "hip": 84}
    assert as_printed(roof.area_sqft, "1252.2")


def test_a_square_hip_comes_to_a_point() -> None:
    # Trade field guide table, looked-up: a hip over a run of 12 ft at 12:12 is 20.78 ft.
    roof = shaped_roof([house("hip", 24, 24, 12)])
    assert "ridge" not in lengths(roof)
    assert as_printed(lengths(roof)["hip"] / 4, "20.78")


def test_a_valley_as_printed() -> None:
    # Trade field guide table, looked-up: a valley over a run of 10 ft at 4:12 is 14.53 ft.
    roof = shaped_roof([house("gable", 40, 28, 4), wing("gable", 20, 12, 4)])
    assert as_printed(lengths(roof)["valley"] / 2, "14.53")
    # The wing's ridge runs on into the slope as far as its half width: 12 + 10.
    assert slope(roof, "wing-left")["ridge"] == 22
    assert slope(roof, "front")["eave"] == 20


@pytest.mark.parametrize(
    ("along", "deep", "pitch", "printed"),
    # Worked areas of plans with their overhangs, looked-up: 20 by 40 ft at 7:12, 56 by 29 ft at 8:12.
    [(40, 20, 7, "926.2"), (56, 29, 8, "1951.8")],
)
@pytest.mark.parametrize("form", ["gable", "hip"])
def test_areas_as_printed(form: str, along: int, deep: int, pitch: int, printed: str) -> None:
    assert as_printed(shaped_roof([house(form, along, deep, pitch)]).area_sqft, printed)


def test_overhangs_move_the_edges_and_leave_the_walls() -> None:
    shape = replace(house("gable", 40, 28, 6), eave_overhang_ft=F(4, 3), rake_overhang_ft=F(2, 3))
    roof = shaped_roof([shape])
    # By hand: eaves 40 + 2 × 8 in; run 14 ft + 16 in.
    assert [one.size_ft for one in roof.slopes] == [(F(124, 3), F(46, 3))] * 2
    assert (roof.outlines[0].right, roof.outlines[0].back) == (40, 28)
    hip = shaped_roof([house("hip", 40, 28, 6, 1)])
    # A hip roof's overhang makes the plan larger each way, and the ridge is still length less width.
    assert lengths(hip) == {"eave": 2 * (42 + 30), "ridge": 12, "hip": 4 * 15 * F(3, 2)}


# --- closed forms ---------------------------------------------------------------------------------


def test_gambrel() -> None:
    roof = shaped_roof([replace(house("gambrel", 40, 28, 20), upper_in_12=F(6), break_ft=F(5))])
    # By hand: lower 5 ft in plan, upper 9 ft, each 40 ft long.
    by_hand = 2 * 40 * (5 * slope_factor(20) + 9 * slope_factor(6))
    assert roof.area_sqft == near(by_hand)
    assert lengths(roof)["rake"] == near(4 * (5 * slope_factor(20) + 9 * slope_factor(6)))
    assert (lengths(roof)["eave"], lengths(roof)["break"], lengths(roof)["ridge"]) == (80, 80, 40)


def test_shed() -> None:
    roof = shaped_roof([replace(house("shed", 20, 12, 3), falls_to="back")])
    [plane] = roof.slopes
    assert plane.side == "back"
    # The high edge of a shed roof against nothing is no ridge.
    assert lengths(roof) == {
        "eave": 20,
        "top": 20,
        "rake": near(24 * slope_factor(3)),
    }


def test_a_gable_of_two_pitches_has_its_ridge_off_the_middle() -> None:
    shape = replace(house("gable", 40, 28, 6), pitches=MappingProxyType({"back": F(8)}))
    roof = shaped_roof([shape])
    # Eaves at one height: runs as 8 to 6, 16 and 12 ft; both rise 8 ft.
    assert [one.size_ft for one in roof.slopes] == [(40, 16), (40, 12)]


def test_a_hip_of_two_pitches_leans_its_hips() -> None:
    ends: dict[Side, Fraction] = {"left": F(9), "right": F(9)}
    roof = shaped_roof([replace(house("hip", 42, 30, 6), pitches=MappingProxyType(ends))])
    # By hand: rise 7.5 ft at the ridge, reached from an end in 10 ft; ridge 42 - 20, hip √(15² + 10² + 7.5²).
    assert lengths(roof)["ridge"] == 22
    assert isclose(lengths(roof)["hip"], 4 * sqrt(15**2 + 10**2 + 7.5**2))
    assert roof.area_sqft == 2 * 480 * slope_factor(6) + 2 * 150 * slope_factor(9)


def test_l_of_two_hips() -> None:
    first = replace(wing("hip", 20, 12, 6), from_end_ft=("left", F(0)))
    roof = shaped_roof([house("hip", 40, 28, 6), first])
    # The outer planes are one plane, and one slope. By hand: hips 4 × 21 of the house, less 15 at the corner that
    # the wing goes over; 2 × 15 of the wing; a valley of 15.
    assert [one.label for one in roof.slopes] == [
        *("front", "back", "left", "right"),
        *("wing-right", "wing-front"),
    ]
    assert lengths(roof)["hip"] == 4 * 21 - 15 + 2 * 15
    assert lengths(roof)["valley"] == 15
    assert lengths(roof)["eave"] == 2 * (40 + 28) + 2 * 12


def test_a_gable_end_of_a_wing_flush_with_a_hip_is_a_rake_of_one_long_slope() -> None:
    flush = replace(wing("gable", 14, 10, 6, "left"), from_end_ft=("back", F(0)))
    roof = shaped_roof([house("hip", 40, 28, 6), flush])
    # The back of both is one plane, 50 ft along its eave; its rake is that of a run of 7 ft.
    assert slope(roof, "back")["eave"] == 50
    assert slope(roof, "back")["rake"] == near(7 * slope_factor(6))
    assert lengths(roof)["rake"] == near(14 * slope_factor(6))


def test_a_dormer_stands_on_the_wings_part_of_a_joined_slope() -> None:
    flush = replace(wing("hip", 20, 16, 6), from_end_ft=("left", F(0)))
    dormer = Shape("dormer", "gable", F(4), F(3), F(6), on="wing-left", back_ft=F(2))
    roof = shaped_roof([house("hip", 40, 28, 6), flush, dormer])
    assert lengths(roof)["valley"] == 15 + 2 * 2 * F(3, 2)
    assert slope(roof, "left")["side wall"] == near(6 * slope_factor(6))


def test_cross_of_equal_ridges() -> None:
    wings = [wing("gable", 28, 10, 6, side) for side in ("front", "back")]
    roof = shaped_roof([house("gable", 60, 28, 6), *wings])
    # Four valleys of a 14 ft run at 6:12 meet in one point: 4 × 21. Ridges: 60 across, 2 × (10 + 14).
    assert lengths(roof)["valley"] == 84
    assert lengths(roof)["ridge"] == 60 + 2 * 24


def test_garage_at_a_wall_and_porch() -> None:
    garage = Shape("garage", "gable", F(22), F(24), F(5), on="right", joint="wall")
    porch = Shape("porch", None, F(16), F(8), F(3), on="front")
    roof = shaped_roof([house("hip", 40, 28, 6), garage, porch])
    assert slope(roof, "garage-front") == {
        "eave": 24,
        "rake": near(11 * slope_factor(5)),
        "side wall": near(11 * slope_factor(5)),
        "ridge": 24,
    }
    assert slope(roof, "porch") == {"eave": 16, "rake": near(16 * slope_factor(3)), "head wall": 16}
    # What stands against a wall takes nothing off the house's own roof.
    alone = shaped_roof([house("hip", 40, 28, 6)])
    assert [one.plan_sqft for one in roof.slopes[:4]] == [one.plan_sqft for one in alone.slopes]


def test_a_garage_flush_with_the_house_shares_nothing_with_its_eave() -> None:
    # Its height is not told, so that planes that look like one are not.
    flush = Shape(
        *("garage", "gable", F(22), F(24), F(6)),
        on="right",
        joint="wall",
        from_end_ft=("front", F(0)),
    )
    roof = shaped_roof([house("hip", 40, 28, 6, 1), flush])
    assert "break" not in lengths(roof)
    assert [one.label for one in roof.slopes[4:]] == ["garage-front", "garage-back"]
    # Past the house's corner the eave overhang of 1 ft has a rake and no wall.
    assert slope(roof, "garage-front")["side wall"] == near(11 * slope_factor(6))
    assert slope(roof, "garage-front")["rake"] == near(13 * slope_factor(6))


def test_an_overhang_past_the_corner_meets_no_wall() -> None:
    porch = Shape("porch", "shed", F(40), F(8), F(3), on="front", joint="wall")
    roof = shaped_roof([house("gable", 40, 28, 6, 1), porch])
    assert slope(roof, "porch")["head wall"] == 40
    assert slope(roof, "porch")["top"] == 2
    assert slope(roof, "porch")["eave"] == 42


def test_gable_dormer() -> None:
    dormer = Shape(
        *("dormer", "gable", F(8), F(5), F(6)),
        on="front",
        back_ft=F(4),
    )
    roof = shaped_roof([house("gable", 40, 28, 6), dormer])
    # At the main pitch the valley lies at 45° in plan: 4 ft of run, factor 1.5 (trade field guide table).
    assert lengths(roof)["valley"] == 2 * 4 * F(3, 2)
    assert slope(roof, "d1-left")["ridge"] == 5 + 4
    # Side walls stand along the main slope, the face across it.
    assert slope(roof, "front")["side wall"] == near(10 * slope_factor(6))
    assert slope(roof, "front")["head wall"] == 8
    # Opening: 8 by 5 ft and the triangle behind; the dormer's own plan is as large without overhangs.
    assert roof.slopes[0].plan_sqft == 560 - (40 + 16)
    assert roof.plan_sqft == 40 * 28


def test_a_dormers_overhang_lies_over_the_main_slope() -> None:
    dormer = Shape(
        *("dormer", "gable", F(8), F(5), F(8)),
        eave_overhang_ft=F(1),
        rake_overhang_ft=F(1),
        on="front",
        back_ft=F(4),
    )
    roof = shaped_roof([house("gable", 40, 32, 6), dormer])
    # By hand: its ridge is 4 × 8/12 = 8/3 ft above its wall tops and meets the main slope 16/3 ft behind them.
    assert roof.slopes[0].plan_sqft == 640 - 40 - F(1, 2) * 8 * F(16, 3)
    # An eave edge 1 ft out lies 2/3 ft lower and meets the main slope 4/3 ft sooner: 1 + 5 - 4/3.
    assert slope(roof, "d1-left")["eave"] == F(14, 3)
    # The valley goes over 5 ft across, 5 × 8/6 ft back and 10/3 ft up.
    valley = sqrt(5**2 + (5 * 8 / 6) ** 2 + (10 / 3) ** 2)
    assert isclose(slope(roof, "d1-left")["valley"], valley)


def test_shed_dormer() -> None:
    dormer = Shape("dormer", "shed", F(16), F(9), F(3), on="back", back_ft=F(3))
    roof = shaped_roof([house("gable", 40, 28, 9), dormer])
    assert slope(roof, "back")["side wall"] == near(18 * slope_factor(9))
    assert slope(roof, "back")["head wall"] == 16
    assert roof.slopes[1].plan_sqft == 40 * 14 - 16 * 9
    [made] = [one for one in roof.slopes if one.label == "d1"]
    assert made.size_ft == (16, 9)


def test_dormers_stand_where_told_or_evenly_and_move_no_length() -> None:
    dormer = Shape("dormer", "gable", F(6), F(4), F(8), on="front", back_ft=F(4))
    evenly = shaped_roof([house("gable", 40, 28, 6), dormer, dormer])
    told = [replace(dormer, from_end_ft=("left", F(at))) for at in (2, 30)]
    assert lengths(shaped_roof([house("gable", 40, 28, 6), *told])) == lengths(evenly)


# --- what is not determined -----------------------------------------------------------------------

GABLE = house("gable", 40, 28, 6, 1)


DORMER = Shape("dormer", "gable", F(8), F(5), F(8), on="front", back_ft=F(4))


def dormer_at(left: int, **other: Fraction) -> Shape:
    return replace(DORMER, out_ft=F(4), from_end_ft=("left", F(left)), **other)  # type: ignore[arg-type]


REFUSED: dict[str, list[Shape]] = {
    "0 houses are named, and one is needed.": [],
    "2 houses are named, and one is needed.": [GABLE, GABLE],
    "It is not said which roof the house has.": [replace(GABLE, form=None)],
    "The overhang of the house is not said, at its eaves and at its rakes.": [
        replace(GABLE, rake_overhang_ft=None)
    ],
    "A size or a pitch of the house is zero.": [replace(GABLE, along_ft=F(0))],
    "It is not said to which side the shed roof falls.": [house("shed", 20, 12, 3)],
    "Of a gambrel the upper pitch and the place of the break are needed.": [
        house("gambrel", 40, 28, 20)
    ],
    "On the left the house has a gable wall and no slope to run into.": [
        GABLE,
        wing("gable", 20, 12, 6, "left"),
    ],
    "The ridge of wing would stand 1.25 ft above that of the house.": [
        GABLE,
        wing("gable", 28, 12, 7),
    ],
    "The wing is 41 ft wide, and the front of the house 40 ft.": [GABLE, wing("gable", 41, 12, 3)],
    "A shed roof meets no roof in valleys.": [GABLE, wing("shed", 20, 12, 3)],
    "It is not said how the roof of the garage meets the house.": [
        GABLE,
        Shape("garage", "gable", F(20), F(12), F(3), on="front"),
    ],
    "It is not said which roof the garage has.": [
        GABLE,
        Shape("garage", None, F(20), F(12), F(3), on="front", joint="wall"),
    ],
    "It is not said on which side of the house the wing stands.": [GABLE, wing("hip", 8, 8, 3, "")],
    "wing2 would stand where wing stands.": [
        GABLE,
        wing("gable", 20, 12, 6),
        wing("hip", 20, 12, 6),
    ],
    "It is not said where the face of the dormer stands.": [GABLE, replace(DORMER, back_ft=None)],
    "A dormer needs the slope on which it stands.": [GABLE, replace(DORMER, on="roof")],
    "The roof does not close at d1-left and d1-right.": [GABLE, replace(DORMER, out_ft=F(12))],
    "d1-left does not fit on slope front.": [GABLE, dormer_at(0, eave_overhang_ft=F(3))],
    "d2-left does not fit on slope front.": [GABLE, dormer_at(2), dormer_at(8)],
    "A shed dormer is flatter than the slope on which it stands.": [
        GABLE,
        replace(DORMER, form="shed", pitch_in_12=F(6)),
    ],
}


@pytest.mark.parametrize("says", REFUSED)
def test_what_is_not_determined_is_refused_in_a_sentence(says: str) -> None:
    with pytest.raises(NotDetermined) as refused:
        shaped_roof(REFUSED[says])
    assert str(refused.value.says) == says
    assert str(refused.value.needed)


# --- a sampled height field -----------------------------------------------------------------------

Flat = tuple[float, float, float]
"""A plane: rise per foot to the right, rise per foot to the back, height at nothing."""
Rectangle = tuple[float, float, float, float]
Mass = tuple[Rectangle, Sequence[Flat]]


def mass(over: Rectangle, pitches: dict[str, float]) -> Mass:
    """Return a body over a rectangle (left, front, right, back) with slopes from its edges at height 0."""
    left, front, right, back = over
    rise = {side: pitch / 12 for side, pitch in pitches.items()}
    planes = {
        "left": lambda p: (p, 0.0, -p * left),
        "right": lambda p: (-p, 0.0, p * right),
        "front": lambda p: (0.0, p, -p * front),
        "back": lambda p: (0.0, -p, p * back),
    }
    return over, [planes[side](p) for side, p in rise.items()]


class Sampled:
    """Area in plan and along the slope, and the length between planes, counted on a grid over the highest body."""

    def __init__(self, masses: Sequence[Mass], step: float = 0.1) -> None:
        self.masses, self.step = masses, step
        left, front = (min(over[n] for over, _ in masses) for n in (0, 1))
        right, back = (max(over[n] for over, _ in masses) for n in (2, 3))
        # An odd offset keeps the lines of the grid off walls, ridges and valleys.
        xs = [left - 1 + step * (n + 0.377) for n in range(int((right - left + 2) / step))]
        ys = [front - 1 + step * (n + 0.391) for n in range(int((back - front + 2) / step))]
        rows = [[self.plane(x, y) for x in xs] for y in ys]
        cells = Counter(plane for row in rows for plane in row if plane is not None)
        self.plan = sum(cells.values()) * step**2
        self.area = sum(n * hypot(1, p[0], p[1]) for p, n in cells.items()) * step**2
        self._across: Counter[frozenset[Flat | None]] = Counter()
        self._back: Counter[frozenset[Flat | None]] = Counter()
        for row in rows:
            self._back.update(frozenset(pair) for pair in pairwise(row))
        for column in zip(*rows, strict=True):
            self._across.update(frozenset(pair) for pair in pairwise(column))
        self.between = {kind: self._length(kind) for kind in ("ridge", "hip", "valley")}

    def plane(self, x: float, y: float) -> Flat | None:
        best: tuple[float, Flat] | None = None
        for (left, front, right, back), planes in self.masses:
            if left < x < right and front < y < back:
                low = min((p[0] * x + p[1] * y + p[2], p) for p in planes)
                best = low if best is None else max(best, low)
        return best[1] if best else None

    def _length(self, kind: str) -> float:
        total = 0.0
        for pair in {*self._across, *self._back}:
            if len(pair) != 2 or None in pair:
                continue
            one, other = pair  # type: ignore[assignment]
            assert one is not None
            assert other is not None
            # Two planes meet over a line at right angles to the difference of their slopes.
            across, back = other[1] - one[1], one[0] - other[0]
            size = hypot(across, back)
            climb = abs(one[0] * across + one[1] * back) / size
            plan = hypot(self._across[pair] * self.step, self._back[pair] * self.step)
            if self._kind(one, other, climb) == kind:
                total += plan * hypot(1, climb)
        return total

    def _kind(self, one: Flat, other: Flat, climb: float) -> str:
        """Return what lies between two planes: those of one body meet in ridges and hips, of two in valleys."""
        together = any(one in planes and other in planes for _, planes in self.masses)
        if not together:
            return "valley"
        return "hip" if climb > 1e-9 else "ridge"


def both(side: float) -> dict[str, float]:
    return {"left": side, "right": side}


FOUR = {"front": 6.0, "back": 6.0, "left": 6.0, "right": 6.0}
GABLE_6 = {"front": 6.0, "back": 6.0}


@pytest.mark.parametrize(
    ("shapes", "masses"),
    [
        # A lower gable wing of another pitch, off the middle, its inner end well inside the house.
        (
            [house("gable", 40, 28, 6, 1), replace(wing("gable", 16, 11, 8), from_end_ft=("left", F(5)))],
            [mass((-1, -1, 41, 29), GABLE_6), mass((4, -12, 22, 14), both(8))],
        ),
        # An L of two gables, flush at the right end.
        (
            [house("gable", 40, 28, 6, 1), replace(wing("gable", 20, 12, 6), from_end_ft=("right", F(0)))],
            [mass((-1, -1, 41, 29), GABLE_6), mass((19, -13, 41, 14), both(6))],
        ),
        # A hip with a hip wing near a corner.
        (
            [house("hip", 40, 28, 6, 1), replace(wing("hip", 18, 10, 6), from_end_ft=("right", F(3)))],
            [mass((-1, -1, 41, 29), FOUR), mass((18, -11, 38, 14), {**both(6), "front": 6})],
        ),
        # A hip of two pitches with a steeper gable wing on its short side.
        (
            [
                replace(house("hip", 40, 28, 6, 1), pitches=MappingProxyType({"left": F(9), "right": F(9)})),
                wing("gable", 12, 9, 10, "right"),
            ],
            [
                mass((-1, -1, 41, 29), {**GABLE_6, **both(9)}),
                mass((31, 7, 50, 21), {"front": 10, "back": 10}),
            ],
        ),
    ],
)  # fmt: skip
def test_against_a_sampled_height_field(shapes: list[Shape], masses: list[Mass]) -> None:
    roof, sampled = shaped_roof(shapes), Sampled(masses)
    assert float(roof.plan_sqft) == pytest.approx(sampled.plan, rel=3e-3)
    assert float(roof.area_sqft) == pytest.approx(sampled.area, rel=3e-3)
    for kind in ("ridge", "hip", "valley"):
        length = float(roof.total_ft(kind))  # type: ignore[arg-type]
        assert length == pytest.approx(sampled.between[kind], abs=0.8), kind


def test_the_sampled_field_finds_a_valley_that_is_a_foot_off() -> None:
    sampled = Sampled([mass((0, 0, 40, 28), GABLE_6), mass((10, -12, 30, 14), both(6))], 0.1)
    assert sampled.between["valley"] == pytest.approx(30, abs=0.4)
    assert sampled.between["valley"] != pytest.approx(31, abs=0.4)


# --- what holds for every roof --------------------------------------------------------------------

sizes = st.integers(8, 60).map(F)
rises = st.sampled_from([F(3), F(4), F(6), F(15, 2), F(8), F(12)])
overhangs = st.sampled_from([F(0), F(1, 2), F(1), F(4, 3)])


@st.composite
def roofs(draw: st.DrawFn) -> list[Shape]:
    """A house of one pitch and up to three wings of that pitch that fit on it."""
    form = draw(st.sampled_from(["gable", "hip"]))
    along, deep, rise, over = draw(sizes), draw(sizes), draw(rises), draw(overhangs)
    shapes = [house(form, along, deep, rise, over)]
    sides = ["front", "back"] if form == "gable" else ["front", "back", "left", "right"]
    for side in draw(st.lists(st.sampled_from(sides), max_size=3, unique=True)):
        wall = along if side in ("front", "back") else deep
        wide = draw(st.integers(4, max(4, int(wall)))) * F(1)
        shapes.append(
            wing(draw(st.sampled_from(["gable", "hip"])), wide, draw(sizes) / 2, rise, side)
        )
    return shapes


def _covered_sqft(roof: ShapedRoof, over: Fraction, shapes: list[Shape]) -> Fraction:
    """Return the area of the union of the roof's rectangles, cut into strips by their edges."""
    boxes = []
    for box in roof.outlines:
        boxes.append((box.left - over, box.front - over, box.right + over, box.back + over))
    xs = sorted({x for box in boxes for x in (box[0], box[2])})
    ys = sorted({y for box in boxes for y in (box[1], box[3])})
    total = F(0)
    for x, right in pairwise(xs):
        for y, back in pairwise(ys):
            middle = ((x + right) / 2, (y + back) / 2)
            if any(b[0] < middle[0] < b[2] and b[1] < middle[1] < b[3] for b in boxes):
                total += (right - x) * (back - y)
    return total


@settings(max_examples=30, deadline=None)
@given(roofs())
def test_one_pitch_has_the_plan_times_its_factor_whatever_the_shape(shapes: list[Shape]) -> None:
    try:
        roof = shaped_roof(shapes)
    except NotDetermined:
        # A wing may be too wide for its house; that it is said so is tested above.
        return
    rise, over = shapes[0].pitch_in_12, shapes[0].eave_overhang_ft
    assert over is not None
    assert roof.plan_sqft == _covered_sqft(roof, over, shapes)
    assert roof.area_sqft == pytest.approx(roof.plan_sqft * slope_factor(rise))
    # Each edge at one slope: what slopes carry together is what edges measure together.
    for kind, length in lengths(roof).items():
        assert length == pytest.approx(roof.total_ft(kind))  # type: ignore[arg-type]
    # At one pitch every hip and valley lies at 45° in plan.
    for edge, _ in roof.edges:
        if edge.kind in ("hip", "valley"):
            across, back = (abs(edge.one[n] - edge.other[n]) for n in (0, 1))
            assert across == back


@settings(max_examples=30, deadline=None)
@given(roofs())
def test_every_edge_closes_a_slope_and_the_count_of_faces_is_eulers(shapes: list[Shape]) -> None:
    try:
        roof = shaped_roof(shapes)
    except NotDetermined:
        return
    house_ft = min(shapes[0].along_ft, shapes[0].out_ft)
    # A wing of the house's own width cuts a slope of it in two, which stays one slope.
    assume(all(one.along_ft < house_ft for one in shapes[1:]))
    ends = Counter(point for edge, _ in roof.edges for point in (edge.one, edge.other))
    points = set(ends)
    # An edge that runs past a point where another begins is two edges there.
    pieces = 0
    for edge, _ in roof.edges:
        on = [
            p
            for p in points
            if p not in (edge.one, edge.other) and _between(p, edge.one, edge.other)
        ]
        pieces += 1 + len(on)
    # A plane roof without holes: corners - edges + slopes = 1 (Euler, one region outside left out).
    assert len(points) - pieces + len(roof.slopes) == 1


def _between(point: tuple[F, F], one: tuple[F, F], other: tuple[F, F]) -> bool:
    cross = (other[0] - one[0]) * (point[1] - one[1]) - (other[1] - one[1]) * (point[0] - one[0])
    if cross:
        return False
    dot = (point[0] - one[0]) * (other[0] - one[0]) + (point[1] - one[1]) * (other[1] - one[1])
    size = (other[0] - one[0]) ** 2 + (other[1] - one[1]) ** 2
    return 0 < dot < size


@settings(max_examples=40, deadline=None)
@given(sizes, sizes, rises, overhangs)
def test_a_hip_roof_has_its_closed_forms(
    along: Fraction, deep: Fraction, rise: Fraction, over: Fraction
) -> None:
    roof = shaped_roof([house("hip", along, deep, rise, over)])
    run = (min(along, deep) + 2 * over) / 2
    assert roof.total_ft("ridge") == abs(along - deep)
    # A hip over equal pitches: √(run² + run² + rise²).
    assert float(roof.total_ft("hip")) == pytest.approx(
        4 * sqrt(2 * run**2 + (run * rise / 12) ** 2)
    )


@settings(max_examples=20, deadline=None)
@given(roofs())
def test_left_for_right_is_the_same_roof(shapes: list[Shape]) -> None:
    turned = [
        replace(one, on={"left": "right", "right": "left"}.get(one.on, one.on)) for one in shapes
    ]
    try:
        roof, other = shaped_roof(shapes), shaped_roof(turned)
    except NotDetermined:
        return
    assert roof.area_sqft == other.area_sqft
    assert {k: round(v, 9) for k, v in lengths(roof).items()} == {
        k: round(v, 9) for k, v in lengths(other).items()
    }
