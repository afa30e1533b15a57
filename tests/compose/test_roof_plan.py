"""The schematic plan: every slope once, on the side it faces, each repair in its slope."""

from fractions import Fraction

import pytest

from dossier.compose.drawings.roof_plan import RoofPlan, roof_plan
from dossier.compose.parts.photographs import Album
from dossier.compose.parts.type_width import width_mm
from dossier.values import write_runs
from tests.known_good import known_good

FOUR = {
    f"job.slopes.{number}": line
    for number, line in enumerate(
        (
            "north, faces N, 6:12, area 407 sq ft, eave 40 ft, hips 42 ft, ridge 12 ft",
            "south, faces S, 6:12, area 407 sq ft, eave 40 ft, hips 42 ft",
            "east, faces E, 6:12, area 219 sq ft, eave 28 ft",
            "west, faces W, 6:12, area 219 sq ft, eave 28 ft",
        )
    )
}


TURNED = "east, faces E, 6:12, area 407 sq ft, eave 60 ft"


def drawn(edits: dict[str, object] | None = None) -> RoofPlan:
    known = known_good(edits)
    plan = roof_plan(known.case, known.assessment, Album(known.case, known.facts))
    assert plan is not None
    return plan


def corners(plan: RoofPlan) -> dict[str, list[tuple[float, float]]]:
    return {
        plane.texts[0].text: [
            (float(x), float(y)) for x, y in (point.split(",") for point in plane.points.split())
        ]
        for plane in plan.planes
    }


def shoelace(points: list[tuple[float, float]]) -> float:
    """Return the area of a polygon (the surveyor's formula)."""
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


def middle(points: list[tuple[float, float]]) -> tuple[float, float]:
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)


def test_a_gable_is_two_planes_along_one_ridge() -> None:
    found = corners(drawn())
    assert middle(found["back"])[1] < middle(found["front"])[1], "north is up"
    assert len(set(found["back"]) & set(found["front"])) == 2


@pytest.mark.parametrize("turned", [False, True])
def test_a_hip_fills_its_outline_with_no_gap_and_no_overlap(turned: bool) -> None:
    edits: dict[str, object] = dict(FOUR)
    if turned:
        edits["job.slopes.2"] = TURNED
    plan = drawn(edits)
    found = corners(plan)
    every = [point for points in found.values() for point in points]
    wide = max(x for x, _ in every) - min(x for x, _ in every)
    tall = max(y for _, y in every) - min(y for _, y in every)
    assert sum(shoelace(points) for points in found.values()) == pytest.approx(wide * tall)
    sides = {label: len(points) for label, points in found.items()}
    triangles = {"north", "south"} if turned else {"east", "west"}
    assert {label for label, count in sides.items() if count == 3} == triangles
    for label, side in (("north", 1), ("west", 0)):
        other = {"north": "south", "west": "east"}[label]
        assert middle(found[label])[side] < middle(found[other])[side]


@pytest.mark.parametrize(
    "facings",
    [("S",), ("E", "W", "E"), ("N", "N"), ("NE", "SW"), ("N", None, "up the hill"), (None,)],
)
def test_any_other_roof_is_a_box_a_slope(facings: tuple[str | None, ...]) -> None:
    lines = [
        f"s{number}{f', faces {facing}' if facing else ''}, 6:12, area 100 sq ft"
        for number, facing in enumerate(facings)
    ]
    plan = drawn({"job.slopes": lines, "job.repairs": None})
    found = corners(plan)
    assert set(found) == {f"s{number}" for number in range(len(facings))}
    boxes = list(found.values())
    for number, one in enumerate(boxes):
        for other in boxes[number + 1 :]:
            apart_x = max(x for x, _ in one) <= min(x for x, _ in other)
            apart_x |= max(x for x, _ in other) <= min(x for x, _ in one)
            apart_y = max(y for _, y in one) <= min(y for _, y in other)
            apart_y |= max(y for _, y in other) <= min(y for _, y in one)
            assert apart_x or apart_y
    known = [facing for facing in facings if facing in ("N", "S", "E", "W", "NE", "SW")]
    assert bool(plan.north_x) is bool(known)
    assert max(float(plan.width), 0) <= 170, "it fits the printed width of Letter and A4"


def test_a_repair_stands_in_its_slope() -> None:
    plan = drawn()
    (mark,) = plan.marks
    back = corners(plan)["back"]
    assert mark.number == "1"
    assert min(x for x, _ in back) < float(mark.x) < max(x for x, _ in back)
    assert min(y for _, y in back) < float(mark.y) < max(y for _, y in back)


def test_a_repair_on_no_known_slope_is_told() -> None:
    plan = drawn({"job.repairs.0.slope": "shed"})
    assert plan.marks == ()
    assert plan.notes[-1] == "Not drawn, since the slope is not on record: repair 1."


def test_it_says_that_it_is_not_to_scale_and_names_every_slope() -> None:
    plan = drawn()
    assert "not to scale" in plan.title
    assert "slope front, faces south, 6:12, 626 sq ft (58.2 m²)" in plan.title
    assert "no survey" in plan.notes[0]


@pytest.mark.parametrize(
    ("facing", "down"),
    [
        ("N", (0, -1)),
        ("NE", (1, -1)),
        ("E", (1, 0)),
        ("SE", (1, 1)),
        ("S", (0, 1)),
        ("SW", (-1, 1)),
        ("W", (-1, 0)),
        ("NW", (-1, -1)),
    ],
)
def test_the_arrow_points_to_the_side_that_the_slope_faces(
    facing: str, down: tuple[int, int]
) -> None:
    plan = drawn({"job.slopes": [f"s0, faces {facing}, 6:12, area 100 sq ft"]})
    (plane,) = plan.planes
    tail, tip = arrow(plane.fall)[:2]
    went = tip[0] - tail[0], tip[1] - tail[1]
    assert [round(one / max(map(abs, went))) for one in went] == list(down), "north is up"


def arrow(path: str) -> list[tuple[float, float]]:
    return [
        (float(x), float(y))
        for x, y in (pair.split() for pair in path.removeprefix("M").split(" L"))
    ]


@pytest.mark.parametrize("edits", [{}, FOUR, {**FOUR, "job.slopes.2": TURNED}])
def test_an_arrow_lies_in_its_slope_and_clear_of_its_words(edits: dict[str, object]) -> None:
    plan = drawn(edits)
    for plane in plan.planes:
        outline = [
            (float(x), float(y)) for x, y in (pair.split(",") for pair in plane.points.split())
        ]
        # A point is inside where the triangles to every edge add up to the shape (it is convex).
        for point in arrow(plane.fall):
            pairs = zip(outline, [*outline[1:], outline[0]], strict=True)
            parts = sum(shoelace([point, one, other]) for one, other in pairs)
            assert parts == pytest.approx(shoelace(outline), rel=1e-3)
            for words in plane.texts:
                # Half a line of words is at most 0.8 mm a letter at this size.
                beside = abs(point[0] - float(words.x)) > 0.8 * len(words.text)
                above = not -2.5 < point[1] - float(words.y) < 1
                assert beside or above, words.text


def test_a_slope_of_unknown_side_has_no_arrow() -> None:
    plan = drawn({"job.slopes": ["s0, 6:12, area 100 sq ft"]})
    assert plan.planes[0].fall == ""
    assert not any("arrow" in note for note in plan.notes)


def test_photos_stand_in_their_slope_by_the_number_below_them() -> None:
    known = known_good()
    plan = drawn()
    for label in ("front", "back"):
        numbers = [known.case.photo_numbers[p.file] for p in known.case.photos if p.slope == label]
        (plane,) = (one for one in plan.planes if one.texts[0].text == label)
        assert plane.texts[-1].text == f"photos {write_runs(numbers)}"
        assert f"photos {write_runs(numbers)}" in plan.title


def test_photos_that_have_no_room_are_told_below() -> None:
    edits = {"job.slopes": ["front, faces E, 6:12", "other, faces N, 6:12", "back, faces N, 6:12"]}
    plan = drawn(edits)
    (plane,) = (one for one in plan.planes if one.texts[0].text == "front")
    assert plane.texts[-1].text.endswith(" more")
    assert any(note.startswith("All photos of ") and "front " in note for note in plan.notes)
    (none,) = (one for one in plan.planes if one.texts[0].text == "other")
    assert none.texts[-1].text == "no photo"


@pytest.mark.parametrize("facings", [("N", "N"), ("E", "W", "E"), ("S",), (None,)])
def test_words_stay_in_their_slope(facings: tuple[str | None, ...]) -> None:
    """Widths by type_width, which other tests hold to the fonts' own advance widths."""
    lines = [
        f"{'WM' * 14}{n}{f', faces {facing}' if facing else ''}, 6:12, area 100 sq ft"
        for n, facing in enumerate(facings)
    ]
    plan = drawn({"job.slopes": lines, "job.repairs": None})
    for plane in plan.planes:
        xs = [float(pair.split(",")[0]) for pair in plane.points.split()]
        for words in plane.texts:
            half = float(width_mm(words.text, Fraction(29, 10), bold=words.weight == "700")) / 2
            assert min(xs) <= float(words.x) - half, words
            assert float(words.x) + half <= max(xs), words


def test_no_slope_no_plan() -> None:
    known = known_good({"job.slopes": None})
    assert roof_plan(known.case, known.assessment, Album(known.case, known.facts)) is None
