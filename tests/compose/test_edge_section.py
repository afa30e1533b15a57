"""The section through the eave: lengths to scale, this roof's layers, and nothing that is not on record."""

import math
from fractions import Fraction

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.case.readers import for_reader
from dossier.compose.drawings.edge_drawing import EdgeDrawing, Stroke
from dossier.compose.drawings.edge_section import MOST_SECTIONS, EdgeSection, edge_sections
from dossier.compose.drawings.roof_plan import roof_plan
from dossier.compose.parts.layers import section
from dossier.compose.parts.photographs import Album
from dossier.resources import resource
from dossier.words import Edition
from tests.known_good import known_good

MM_PER_IN = 25.4
"""Exact since 1959. Source: NIST Special Publication 811, appendix B."""

OTHER_EAVE = "back, faces N, {}:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft"


def sections(edits: dict[str, object] | None = None) -> tuple[EdgeSection, ...]:
    known = known_good(edits)
    return edge_sections(known.case, known.assessment)


def front_only(pitch: str, **edits: object) -> EdgeSection:
    every: dict[str, object] = {
        "job.slopes.0": f"front, faces S, {pitch}, eave 40 ft, rakes 31 ft",
        "job.slopes.1": None,
    }
    every.update({address.replace("__", "."): value for address, value in edits.items()})
    (one,) = sections(every)
    return one


def points(stroke: Stroke) -> list[tuple[float, float]]:
    pairs = stroke.path.removeprefix("M").split(" L")
    return [(float(x), float(y)) for x, y in (pair.split() for pair in pairs)]


def corners(drawing: EdgeDrawing, tone: str) -> list[tuple[float, float]]:
    (area,) = (one for one in drawing.areas if one.tone == tone)
    return [(float(x), float(y)) for x, y in (pair.split(",") for pair in area.points.split())]


def on_the_roof_in(drawing: EdgeDrawing, mm: float) -> float:
    """Return inches on the roof for millimetres of paper, by the scale that is printed."""
    return mm / MM_PER_IN * int(drawing.scale.removeprefix("1 to "))


def measured(drawing: EdgeDrawing) -> list[tuple[float, float]]:
    """Return level and upright inches of every measuring line that is longer than its end ticks."""
    spans = []
    for stroke in drawing.strokes:
        if stroke.kind == "measure":
            (x1, y1), (x2, y2) = points(stroke)
            if math.hypot(x2 - x1, y2 - y1) > 2.01:
                spans.append((on_the_roof_in(drawing, x2 - x1), on_the_roof_in(drawing, y1 - y2)))
    return spans


@pytest.mark.parametrize(
    ("pitch", "overhang", "asked_in"),
    # IRC R905.1.2: 24 in inside the exterior wall line, measured level; along the slope that is
    # (overhang + 24) × √(1 + (pitch/12)²), by geometry.
    [(4, 12, 37.947), (6, 12, 40.249), (12, 12, 50.912), (6, 24, 53.666)],
)
def test_reaches_and_overhang_are_drawn_to_the_printed_scale(
    pitch: int, overhang: int, asked_in: float
) -> None:
    drawing = front_only(f"{pitch}:12", job__building__overhang_in=f"{overhang} in").drawing
    along = sorted(math.hypot(*span) for span in measured(drawing) if span[1] > 0.5)
    within = on_the_roof_in(drawing, 0.015)
    assert along == pytest.approx([asked_in, 68], abs=within)
    for level, upright in measured(drawing):
        if upright > 0.5:
            assert upright / level == pytest.approx(pitch / 12, rel=0.002)
    flat = sorted(span[0] for span in measured(drawing) if span[1] < 0.5)
    laid_level = 68 / math.sqrt(1 + (pitch / 12) ** 2)
    assert overhang == pytest.approx(min(flat, key=lambda one: abs(one - overhang)), abs=within)
    inside = laid_level - overhang
    assert inside == pytest.approx(min(flat, key=lambda one: abs(one - inside)), abs=within)


def test_the_reach_asked_for_ends_24_inches_inside_the_wall_line() -> None:
    """Source: IRC R905.1.2, with the wall's outside face as the exterior wall line."""
    drawing = front_only("6:12").drawing
    (wall_line,) = (points(one) for one in drawing.strokes if one.kind == "line")
    # The line that drops from the reach asked for ends on the deck.
    ((foot, _),) = (points(one) for one in drawing.strokes if one.kind == "drop")
    level_in = on_the_roof_in(drawing, foot[0] - wall_line[0][0])
    assert level_in == pytest.approx(24, abs=on_the_roof_in(drawing, 0.02))


def test_the_barrier_ends_where_it_was_laid() -> None:
    drawing = front_only("6:12").drawing
    low, high, *_ = corners(drawing, "dark")
    assert on_the_roof_in(drawing, math.dist(low, high)) == pytest.approx(
        68, abs=on_the_roof_in(drawing, 0.02)
    )


def test_a_reach_that_nobody_measured_is_drawn_as_at_most() -> None:
    one = front_only("6:12", job__installation__ice_barrier_reach_in=None)
    assert not any(area.tone == "dark" and not area.broken for area in one.drawing.areas)
    assert any(words.text == "laid: 68 in at most" for words in one.drawing.words)
    assert not any("inside the wall line" in words.text for words in one.drawing.words)
    # Two courses of 36 in with a lap of 4 in are 68 in; nobody put a tape to them.
    note = "Ice barrier laid: 2 courses of the roll on record, so 68 in at most; not measured."
    assert note in one.notes
    assert "where the ice barrier ends" in " ".join(one.notes)


def test_slopes_with_the_same_eave_share_a_section_and_others_do_not() -> None:
    assert [one.title for one in sections()] == ["At the eave of slopes front and back"]
    two = sections({"job.slopes.1": OTHER_EAVE.format(9)})
    assert [one.title for one in two] == ["At the eave of slope front", "At the eave of slope back"]


def test_more_kinds_of_eave_than_have_room_are_named() -> None:
    edits: dict[str, object] = {
        f"job.slopes.{n}": f"s{n}, faces S, {n + 3}:12, eave 40 ft, rakes 31 ft" for n in range(6)
    }
    every = sections(edits)
    assert len(every) == MOST_SECTIONS
    assert "Not drawn, for room: the eave of slopes s4 and s5." in every[-1].notes


def test_products_stand_in_the_order_in_which_they_lie() -> None:
    says = sections()[0].says
    named = ["Plywood, 1/2 in", "Icehold ice barrier", "Dryfell underlayment", "Firstrow starter"]
    at = [says.index(name) for name in (*named, "Fenwright 40")]
    assert at == sorted(at)


class TestNotOnRecord:
    def test_without_an_overhang_no_wall_is_drawn(self) -> None:
        one = front_only("6:12", job__building__overhang_in=None)
        assert not any(stroke.kind in ("line", "wall") for stroke in one.drawing.strokes)
        assert "The overhang is not on record, so the wall is not drawn." in one.notes

    def test_without_a_reach_no_barrier_is_drawn(self) -> None:
        one = front_only(
            "6:12",
            job__installation__ice_barrier_reach_in=None,
            job__installation__ice_barrier_courses=None,
        )
        assert not any(area.tone == "dark" for area in one.drawing.areas)
        assert "Not on record, and so not drawn: how far the ice barrier reaches." in one.notes

    def test_starter_and_drip_edge_are_drawn_only_where_the_record_has_them_at_eaves(self) -> None:
        one = front_only(
            "6:12", job__installation__starter_at="rakes", job__installation__drip_edge_at="rakes"
        )
        assert not any(stroke.kind == "metal" for stroke in one.drawing.strokes)
        assert "Starter" not in one.says.partition(" Ice barrier laid")[0]
        note = "Not on record, and so not drawn: drip edge at the eave and starter at the eave."
        assert note in one.notes

    def test_a_wall_of_unknown_thickness_has_a_broken_inside_face(self) -> None:
        one = front_only("6:12")
        assert not any(area.tone == "wall" for area in one.drawing.areas)
        known = front_only("6:12", job__building__wall_in="6 in")
        (outside, inside, *_) = corners(known.drawing, "wall")
        assert on_the_roof_in(known.drawing, inside[0] - outside[0]) == pytest.approx(
            6, abs=on_the_roof_in(known.drawing, 0.02)
        )

    def test_without_a_pitch_the_layers_are_drawn_without_a_scale(self) -> None:
        known = known_good(
            {
                "job.slopes.0": "front, faces S, eave 40 ft",
                "job.slopes.1": "back, faces N, eave 40 ft",
            }
        )
        assert edge_sections(known.case, known.assessment) == ()
        stair = section(known.case)
        assert "not to scale" in stair.title
        assert [band.label for band in stair.bands][:2] == [
            "Deck: Plywood, 1/2 in",
            "Ice barrier: Icehold ice barrier",
        ]


class TestOrder:
    """The code wants the underlayment over the drip edge at eaves (R905.2.8.5); the record may not say it was."""

    @staticmethod
    def order(barrier: int, underlayment: int, drip: int) -> tuple[list[str], list[str]]:
        """Return the layers between deck and starter as told, in order and apart. Days of September 2026."""
        one = front_only(
            "6:12",
            job__work=[
                f"2026-09-{barrier:02}, ice barrier",
                f"2026-09-{underlayment:02}, underlayment",
                f"2026-09-{drip:02}, drip edge",
            ],
        )
        inside, _, apart = one.says.partition("deck up: ")[2].partition("Also: ")
        names = ("Ice barrier,", "Underlayment,", "Drip edge,")
        told = sorted((inside.index(name), name) for name in names if name in inside)
        return [name[:-1] for _, name in told], [n[:-1] for n in names if n in apart[:60]]

    @pytest.mark.parametrize(
        ("days", "between"),
        [
            ((10, 11, 9), ["Drip edge", "Ice barrier", "Underlayment"]),
            ((10, 12, 11), ["Ice barrier", "Drip edge", "Underlayment"]),
            ((10, 11, 12), ["Ice barrier", "Underlayment", "Drip edge"]),
            ((11, 10, 12), ["Underlayment", "Ice barrier", "Drip edge"]),
        ],
    )
    def test_days_apart_tell_it(self, days: tuple[int, int, int], between: list[str]) -> None:
        assert self.order(*days) == (between, [])

    @pytest.mark.parametrize("days", [(10, 11, 10), (10, 11, 11), (10, 10, 10), (11, 11, 10)])
    def test_the_same_day_does_not(self, days: tuple[int, int, int]) -> None:
        between, apart = self.order(*days)
        if days == (11, 11, 10):
            assert (between[0], apart) == ("Drip edge", [])
        else:
            assert "Drip edge" not in between
            assert apart == ["Drip edge"]

    def test_an_order_not_on_record_is_a_broken_line_and_a_note(self) -> None:
        one = front_only("6:12", job__work__1="2026-09-14, drip edge + underlayment")
        assert "where the drip edge lies among the layers" in " ".join(one.notes)
        flange = [s for s in one.drawing.strokes if s.kind == "metal" and len(points(s)) == 2]
        assert flange == []


class TestWhichProduct:
    def test_a_product_whose_lots_lie_on_other_slopes_is_left_out(self) -> None:
        lots = {
            "job.deliveries.0.lines.0": {
                "product": "Fenwright 40",
                "quantity": "21",
                "unit": "bundles",
                "lots": {"mark": "A1", "quantity": "21", "slopes": "front"},
            },
            "job.deliveries.0.lines.1": {
                "product": "Othershingle 30",
                "role": "field shingle",
                "quantity": "21",
                "unit": "bundles",
                "lots": {"mark": "B1", "quantity": "21", "slopes": "back"},
            },
        }
        front, back = sections(lots)
        assert "Fenwright 40" in front.says
        assert "Othershingle 30" not in front.says
        assert "Othershingle 30" in back.says

    def test_a_rake_edge_does_not_lie_at_the_eave(self) -> None:
        assert "Eavewright rake edge" not in sections()[0].says
        only = front_only("6:12", job__deliveries__0__lines__5=None)
        assert "Eavewright rake edge" in only.says, "the only drip edge on record is still named"

    def test_letters_are_the_same_in_every_section(self) -> None:
        first = front_only("6:12")
        second = front_only("6:12", job__installation__underlayment_layers=None)
        for one in (first, second):
            key = {
                one.drawing.words[number - 1].text: words.text
                for number, words in enumerate(one.drawing.words)
                if words.bold and len(words.text) > 1
            }
            assert key["A"] == "Deck"
            assert key["F"] == "Field shingle"
            assert key["W"] == "Exterior wall"


def test_a_slope_named_after_an_owner_is_drawn_for_a_buyer_too() -> None:
    known = known_good(
        {
            "job.slopes.0": "Marit Ekdahl wing, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft",
            "job.slopes.1": None,
        }
    )
    shown = for_reader(known.case, Edition.RESALE)
    (one,) = edge_sections(shown, known.assessment)
    assert "Ekdahl" not in one.title + one.says
    plan = roof_plan(shown, known.assessment, Album(shown, known.facts))
    assert plan is not None
    assert "626 sq ft" in plan.title


def test_none_on_record_is_not_the_same_as_not_on_record() -> None:
    one = front_only(
        "6:12",
        job__installation__ice_barrier_reach_in="0 in",
        job__installation__underlayment_layers="0",
    )
    assert "Ice barrier laid: none at this eave, by the record." in one.notes
    assert not any("Not on record" in note for note in one.notes)


def test_a_barrier_short_of_the_wall_is_said_to_be() -> None:
    one = front_only("6:12", job__installation__ice_barrier_reach_in="10 in")
    # 10 in along 6:12 is 8.94 in level; 12 in of overhang leave 3.06 in.
    assert "its end is 3.06 in short of the wall line, measured level" in " ".join(one.notes)


def test_no_course_on_record_is_none_laid() -> None:
    one = front_only(
        "6:12",
        job__installation__ice_barrier_reach_in=None,
        job__installation__ice_barrier_courses="0",
    )
    assert "Ice barrier laid: none at this eave, by the record." in one.notes
    assert not any("how far the ice barrier reaches" in note for note in one.notes)


def test_a_reach_longer_than_the_slope_is_told_and_no_distance_is_made_of_it() -> None:
    (one,) = sections({"job.installation.ice_barrier_reach_in": "5000 in"})
    # 14 ft level at 6:12 is 187.83 in along the slope.
    note = "Ice barrier laid: 5,000 in by the record, more than the 187.83 in of the slope itself."
    assert note in one.notes
    assert not any("the wall line, measured level" in note for note in one.notes)


def test_a_wall_line_inside_a_wall_nobody_measured_asks_for_at_least() -> None:
    one = front_only(
        "6:12",
        job__building__wall_datum="inside face",
        job__installation__ice_barrier_reach_in="36 in",
    )
    assert "Asked for: at least 40.25 in up the slope" in " ".join(one.notes)
    assert not any(stroke.kind == "line" for stroke in one.drawing.strokes)


_WIDTHS = {
    weight: TTFont(resource("fonts", name))
    for weight, name in ((False, "NotoSans-Regular.ttf"), (True, "NotoSans-Bold.ttf"))
}


def width_mm(text: str, *, bold: bool, size_mm: float = 2.8) -> float:
    """Return how wide the words are printed, by the font's own advance widths."""
    font = _WIDTHS[bold]
    advances, known = font["hmtx"].metrics, font.getBestCmap()
    units = sum(advances[known[ord(one)]][0] for one in text if ord(one) in known)
    return float(units) / font["head"].unitsPerEm * size_mm


@settings(max_examples=60, deadline=None)
@given(
    pitch=st.integers(1, 24),
    overhang=st.one_of(st.none(), st.integers(0, 48)),
    wall=st.one_of(st.none(), st.integers(2, 24)),
    reach=st.one_of(st.none(), st.integers(1, 300)),
    plan=st.one_of(st.none(), st.integers(2, 60)),
    inside=st.booleans(),
    long_name=st.booleans(),
)
def test_nothing_runs_out_of_the_drawing(
    pitch: int,
    overhang: int | None,
    wall: int | None,
    reach: int | None,
    plan: int | None,
    inside: bool,
    long_name: bool,
) -> None:
    size = f", plan 40 ft x {plan} ft" if plan else ""
    edits: dict[str, object] = {
        "job.slopes.0": f"front, faces S, {pitch}:12, eave 40 ft{size}",
        "job.slopes.1": None,
        "job.building.overhang_in": None if overhang is None else f"{overhang} in",
        "job.building.wall_datum": "inside face" if inside else "outside face",
        "job.installation.ice_barrier_reach_in": None if reach is None else f"{reach} in",
        "job.installation.ice_barrier_courses": None,
    }
    if wall is not None:
        edits["job.building.wall_in"] = f"{wall} in"
    if long_name:
        edits["job.deliveries.0.lines.3"] = {
            "product": "WMWM" * 20,
            "role": "underlayment",
            "quantity": "2",
            "unit": "rolls",
        }
    (one,) = sections(edits)
    drawing = one.drawing
    wide, tall = float(drawing.width), float(drawing.height)
    every = [point for stroke in drawing.strokes for point in points(stroke)]
    for area in drawing.areas:
        every += [(float(x), float(y)) for x, y in (p.split(",") for p in area.points.split())]
    assert all(0 <= x <= wide and 0 <= y <= tall for x, y in every)
    level_words: list[tuple[float, float, float, str]] = []
    for words in drawing.words:
        x, y, long = float(words.x), float(words.y), width_mm(words.text, bold=words.bold)
        left = x - {"start": 0, "middle": long / 2, "end": long}[words.anchor]
        if words.turn:
            level = float(words.turn.split()[0])
            left, long = x - long * level / 2, long * level
        else:
            level_words.append((left, left + long, y, words.text))
        assert left >= 0, words
        assert left + long <= wide, words
        assert 2 <= y <= tall, words
    for number, (left, right, y, text) in enumerate(level_words):
        for other_left, other_right, other_y, other in level_words[number + 1 :]:
            assert right < other_left or other_right < left or abs(y - other_y) > 2.6, (text, other)
    # The line below the barrier's end strikes no word through.
    for stroke in drawing.strokes:
        if stroke.kind == "thin" and points(stroke)[0][0] == points(stroke)[-1][0]:
            (x, one_y), (_, two_y) = points(stroke)
            for left, right, y, text in level_words:
                assert not (left < x < right and one_y < y - 1 < two_y), text


def test_the_whole_of_a_porch_is_drawn_without_a_wall() -> None:
    one = front_only(
        "3:12",
        job__slopes__0={
            "label": "porch",
            "pitch": "3:12",
            "plan": "16 ft x 8 ft",
            "eave_ft": "16",
            "ice_barrier_whole": "yes",
            "eaves": {"overhang_in": "8", "heated_below": "no wall"},
        },
    )
    assert "No wall stands below this eave." in one.notes
    assert not any(stroke.kind in ("line", "wall") for stroke in one.drawing.strokes)
    assert any(words.text == "laid: the whole slope" for words in one.drawing.words)
    # 8 ft level at 3:12 is 98.95 in along the slope.
    low, high, *_ = corners(one.drawing, "dark")
    within = on_the_roof_in(one.drawing, 0.02)
    assert on_the_roof_in(one.drawing, math.dist(low, high)) == pytest.approx(98.95, abs=within)
    assert "Whether underlayment lies over the ice barrier here is not on record." in one.notes


def test_the_scale_is_one_of_an_architects_rule() -> None:
    scale = Fraction(1, int(sections()[0].drawing.scale.removeprefix("1 to ")))
    # Scales of 1/8, 3/16, 1/4, 3/8, 1/2, 3/4, 1 and 1-1/2 in to the foot; common practice.
    rule = (1, 1.5, 2, 3, 4, 6, 8, 12)
    assert scale * 12 in {Fraction(one) / 8 for one in rule}
