"""What somebody typed of a roof stays until it is asked for, and no edge or area is counted twice beside it."""

import re
from pathlib import Path

import pytest

from dossier import RECORD_VERSION
from dossier.deeds.roofing import Roofed, roofed, tabled
from dossier.deeds.slopes_into import Into, Stands, write_slopes
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
        if one.stands is Stands.DIFFERS
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
