"""What somebody typed of a roof stays until it is asked for, and no edge or area is counted twice beside it."""

import re
from fractions import Fraction
from pathlib import Path

import pytest

from dossier import RECORD_VERSION
from dossier.deeds.roofing import Roofed, roofed, tabled
from dossier.deeds.slope_table import SharedEdges, table_slopes
from dossier.deeds.slopes_into import Into, Stands, write_slopes
from dossier.errors import CannotWrite
from dossier.record.read import read_job
from dossier.record.roof import Slope
from tests.conftest import copy_office

GOOD = "2026-041-plover-lane"
GABLE = "gable 40x28 6/12, overhang 16 in, front faces S"
PLAIN = "gable 40x28 6/12, overhang 0 in, front faces S"
WING = "gable wing 20x12 6/12 on front"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return copy_office(tmp_path, GOOD) / GOOD


def retyped(job: Path, slopes: str) -> None:
    """Put other slopes into the record."""
    text = (job / "job.yaml").read_text("utf-8")
    new = re.sub(r"^slopes:\n(  .*\n)*", slopes, text, flags=re.M)
    assert new != text
    (job / "job.yaml").write_text(new, "utf-8")


def slopes_of(job: Path) -> dict[str, Slope]:
    return {slope.label: slope for slope in read_job(job, RECORD_VERSION).needed.slopes}


def written(job: Path, *lines: str, over_typed: bool = False) -> Roofed:
    made = roofed(job, lines, over_typed=over_typed)
    write_slopes(made.into, made.into.mark)
    return made


def differing(into: Into) -> dict[tuple[str, str], tuple[str, str]]:
    return {
        (one.slope, one.field): (one.typed, one.found)
        for one in into.held
        if one.stands is Stands.DIFFERS and one.field != "overhang_in"
    }


# --- what was typed -------------------------------------------------------------------------------

TYPED = """\
slopes:
  - label: front
    faces: n/a, turned house
    plan: 40 ft x 14 ft
  - label: back
    faces: N
    pitch: n/a, two pitches here
    plan_area_sqft: 560
"""


def test_a_typed_plan_and_a_reason_stay_and_are_told(job: Path) -> None:
    retyped(job, TYPED)
    before = slopes_of(job)
    made = written(job, GABLE)
    # By hand: 42 2/3 by 15 1/3 ft is 654.2 sq ft.
    assert differing(made.into) == {
        ("front", "faces"): ("n/a, turned house", "S"),
        ("front", "area"): ("560 sq ft in plan", "654 sq ft in plan"),
        ("back", "pitch"): ("n/a, two pitches here", "6:12"),
        ("back", "area"): ("560 sq ft in plan", "654 sq ft in plan"),
    }
    after = slopes_of(job)
    assert after["front"].plan == before["front"].plan
    assert after["back"].plan_area_sqft == 560
    lines = read_job(job, RECORD_VERSION).lines
    assert lines.reason_not("slopes.0.faces") == "turned house"
    assert lines.reason_not("slopes.1.pitch") == "two pitches here"
    # A blank pitch is filled beside the plan.
    assert after["front"].pitch is not None


def test_a_typed_plan_is_replaced_once_that_is_asked_for(job: Path) -> None:
    retyped(job, TYPED)
    written(job, GABLE, over_typed=True)
    for slope in slopes_of(job).values():
        assert (slope.plan is not None, slope.plan_area_sqft, slope.area_sqft) == (True, None, None)
        assert str(slope.pitch) == "6:12"
    assert {slope.faces for slope in slopes_of(job).values()} == {"S", "N"}


def test_the_same_plan_without_a_pitch_is_the_same(job: Path) -> None:
    retyped(job, TYPED.replace("n/a, turned house", "S").replace("n/a, two pitches here", "6:12"))
    assert differing(roofed(job, [PLAIN]).into) == {}


@pytest.mark.parametrize("field", ["area_sqft", "plan_area_sqft", "plan"])
def test_an_area_that_does_not_apply_gets_no_plan_beside_it(job: Path, field: str) -> None:
    typed = f"slopes:\n  - label: front\n    faces: S\n    pitch: '6:12'\n    {field}: n/a, see report\n"
    retyped(job, typed)
    into = roofed(job, [PLAIN]).into
    assert differing(into)["front", "area"] == ("n/a, see report", "626 sq ft")
    write_slopes(into, into.mark)
    front = slopes_of(job)["front"]
    assert (front.plan, front.plan_area_sqft, front.area_sqft) == (None, None, None)
    written(job, PLAIN, over_typed=True)
    assert slopes_of(job)["front"].plan is not None
    assert "see report" not in (job / "job.yaml").read_text("utf-8")


def test_a_table_without_a_pitch_is_compared_in_plan(job: Path, tmp_path: Path) -> None:
    retyped(job, "slopes:\n  - front, 6:12, plan 40 ft x 14 ft\n")
    file = tmp_path / "slopes.csv"
    file.write_text(
        "slope,rise_in_12,faces,part,amount,unit\nfront,,,plan area,560,sq ft\n", "utf-8"
    )
    assert differing(tabled(job, file).into) == {}
    file.write_text(file.read_text("utf-8").replace("560", "600"), "utf-8")
    assert differing(tabled(job, file).into) == {
        ("front", "area"): ("560 sq ft in plan", "600 sq ft in plan")
    }


# --- an edge or an area counted once --------------------------------------------------------------

WHOLE = """\
slopes:
  - front, faces S, 6:12, {area}, eave 20 ft, ridge 40 ft, {valleys}rakes 31.3 ft
  - back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft
"""
CUT = "area 514.3 sq ft"
"""By hand: 560 sq ft in plan less a triangle of 20 by 10 ft, by √5 / 2."""


def valleys(job: Path) -> Fraction:
    return sum((slope.valley_ft or Fraction(0) for slope in slopes_of(job).values()), Fraction(0))


def test_valleys_that_the_record_has_at_the_house_are_not_written_at_a_new_wing(job: Path) -> None:
    # By hand: a wing of 20 ft runs 10 ft into the slope; two valleys of √(10² + 10² + 5²) = 15 ft.
    retyped(job, WHOLE.format(area=CUT, valleys="valleys 30 ft, "))
    made = written(job, PLAIN, WING)
    assert float(made.roof.total_ft("valley")) == pytest.approx(30)
    assert valleys(job) == 30
    assert slopes_of(job)["wing-left"].ridge_ft == 22
    assert differing(made.into) == {}
    assert ("wing-left", "valley_ft") not in {(one.slope, one.field) for one in made.into.held}
    # The record as it is now is the roof.
    assert roofed(job, [PLAIN, WING]).into.draft is None


def test_valleys_that_nobody_typed_are_written_at_a_new_wing(job: Path) -> None:
    retyped(job, WHOLE.format(area=CUT, valleys=""))
    written(job, PLAIN, WING)
    assert valleys(job) == 30


def test_no_slope_is_added_while_the_record_has_more_of_an_edge(job: Path) -> None:
    retyped(job, WHOLE.format(area=CUT, valleys="valleys 34 ft, "))
    into = roofed(job, [PLAIN, WING]).into
    assert into.draft is None
    assert into.refused == (
        "The record has more valleys at slopes that stand there than these have; wing-left and wing-right may "
        "be counted in it already. Put that right first, or let these figures take its place."
    )
    with pytest.raises(CannotWrite):
        write_slopes(into, into.mark)
    written(job, PLAIN, WING, over_typed=True)
    assert valleys(job) == 30


def test_no_slope_is_added_while_one_it_touches_has_more_area(job: Path) -> None:
    retyped(job, WHOLE.format(area="plan 40 ft x 14 ft", valleys="valleys 30 ft, "))
    into = roofed(job, [PLAIN, WING]).into
    assert into.draft is None
    assert into.refused.startswith("The record has more area at front than these have; ")
    written(job, PLAIN, WING, over_typed=True)
    assert slopes_of(job)["front"].plan_area_sqft == 460


def test_an_area_typed_larger_bars_no_slope_that_touches_it_nowhere(job: Path) -> None:
    retyped(job, WHOLE.format(area="area 700 sq ft", valleys="").replace("eave 20", "eave 40"))
    written(job, PLAIN, "gable garage 22x24 5/12 on right, wall")
    assert slopes_of(job)["front"].area_sqft == 700
    assert "garage-front" in slopes_of(job)


def test_a_table_with_new_slopes_counts_no_valley_again(job: Path, tmp_path: Path) -> None:
    retyped(job, WHOLE.format(area=CUT, valleys="valleys 30 ft, "))
    file = tmp_path / "slopes.csv"
    rows = "front,6,S,ridge,40,ft\nback,6,N,eave,40,ft\n" + "".join(
        f"wing-{side},6,,{row}\n"
        for side in ("left", "right")
        for row in ("plan area,170,sq ft", "valley,15,ft")
    )
    file.write_text("slope,rise_in_12,faces,part,amount,unit\n" + rows, "utf-8")
    into = tabled(job, file, SharedEdges.ONCE).into
    write_slopes(into, into.mark)
    assert valleys(job) == 30


# --- a table that writes each edge at both slopes -------------------------------------------------


def of_rows(tmp_path: Path, *rows: str) -> Path:
    file = tmp_path / "slopes.csv"
    head = "slope,rise_in_12,faces,part,amount,unit"
    file.write_text("\n".join([head, *(f"{row},ft" for row in rows), ""]), "utf-8")
    return file


WINGS = ("wing-left,6,,valley,17", "wing-right,6,,valley,17")
EAVES = ("front,6,,eave,20", "wing-left,6,,eave,12")


@pytest.mark.parametrize(
    "rows",
    [
        (*WINGS, "front,6,,valley,17", "front,6,,valley,17"),
        (*WINGS, "front,6,,valley,34"),
        ("front,6,,valley,34", *WINGS),
        ("front,6,,valley,17", WINGS[0], "front,6,,valley,17", WINGS[1]),
        # Two people's readings of one valley, less apart than a tape reads.
        (*WINGS, "front,6,,valley,17.02", "front,6,,valley,16.98"),
    ],
)
def test_two_valleys_at_both_their_slopes_are_two(tmp_path: Path, rows: tuple[str, ...]) -> None:
    # By hand: two valleys of 17 ft; a wing's two slopes share none with each other.
    read = table_slopes(of_rows(tmp_path, *EAVES, *rows), SharedEdges.BOTH)
    assert sum(one.length("valley_ft") or 0 for one in read.slopes) == pytest.approx(34, abs=0.05)
    assert (read.faults, read.asks) == ((), "")


@pytest.mark.parametrize(
    ("rows", "lines"),
    [
        (WINGS[:1], "4"),
        ((*WINGS, "front,6,,valley,9"), "6"),
        (("front,6,,valley,17", "front,6,,valley,17"), "4 and 5"),
        ((*WINGS, "front,6,,valley,33"), "6"),
        ((*WINGS, "front,6,,valley,17", "front,6,,valley,17", "front,6,,valley,17"), "4, 5, 6, 7 and 8"),
    ],
)  # fmt: skip
def test_rows_without_a_second_are_asked_for_and_not_written(
    job: Path, tmp_path: Path, rows: tuple[str, ...], lines: str
) -> None:
    retyped(job, "slopes:\n")
    made = tabled(job, of_rows(tmp_path, EAVES[0], EAVES[1], *rows), SharedEdges.BOTH)
    assert made.into.draft is None
    word = "Line" if len(lines) == 1 else "Lines"
    assert made.into.refused == (
        f"{word} {lines}: each valley needs a second of its length at another slope. Give each edge at both its "
        "slopes, or say that the table writes each once."
    )
    # The rows stand as they are, for whoever looks for the one that lacks.
    assert len(made.read.slopes) >= 2


# --- the overhang ---------------------------------------------------------------------------------


@pytest.mark.parametrize("blank", ["  overhang_in:\n", ""])
def test_the_overhang_of_the_house_is_written_where_the_record_has_none(
    job: Path, blank: str
) -> None:
    text = (job / "job.yaml").read_text("utf-8")
    (job / "job.yaml").write_text(re.sub(r"^  overhang_in:.*\n", blank, text, flags=re.M), "utf-8")
    made = written(job, GABLE, "gable garage 22x24 5/12 on right, wall, overhang 12 in")
    building = read_job(job, RECORD_VERSION).needed.building
    assert building is not None
    assert building.overhang_in == 16
    [said] = made.unwritten
    assert said.startswith("The overhang of the garage, 12 in, is not written")


def test_a_building_that_is_not_there_takes_the_overhang(job: Path) -> None:
    text = (job / "job.yaml").read_text("utf-8")
    text = re.sub(r"^building:\n(  .*\n)*", "", text, flags=re.M)
    (job / "job.yaml").write_text(text, "utf-8")
    written(job, GABLE)
    building = read_job(job, RECORD_VERSION).needed.building
    assert building is not None
    assert building.overhang_in == 16


def test_an_overhang_on_record_stays_unless_it_is_to_be_replaced(job: Path) -> None:
    kept = roofed(job, [GABLE])
    assert ("12 in", "16 in") in [(one.typed, one.found) for one in kept.into.held]
    assert all(change.path[0] != "building" for change in kept.into.changes)
    written(job, GABLE, over_typed=True)
    building = read_job(job, RECORD_VERSION).needed.building
    assert building is not None
    assert building.overhang_in == 16
