"""A roof by shapes in plain words, held against a record, written, and read back."""

import json
import re
from fractions import Fraction
from pathlib import Path

import pytest
from pypdf import PdfReader

from dossier import RECORD_VERSION
from dossier.cli import main
from dossier.deeds.roofing import Roofed, lines_in, roofed, tabled
from dossier.deeds.shape_words import shapes_told
from dossier.deeds.slope_table import SharedEdges, table_slopes
from dossier.deeds.slopes_into import Stands, write_slopes
from dossier.errors import CannotWrite, ExitCode, UnreadableInput, WrongCommand
from dossier.record.read import read_job
from dossier.record.roof import Slope
from tests.conftest import copy_office

GOOD = "2026-041-plover-lane"
GABLE = "gable 40x26 6/12, eave overhang 12 in, rake overhang 0 in, front faces S"
GARAGE = "gable garage 22x24 5/12 on east, wall"
HIP = "hip 40x28 6/12, overhang 0 in, front faces S"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return copy_office(tmp_path, GOOD) / GOOD


def slopes_of(job: Path) -> dict[str, Slope]:
    return {slope.label: slope for slope in read_job(job, RECORD_VERSION).needed.slopes}


def retyped(job: Path, slopes: str) -> None:
    """Put other slopes into the record."""
    text = (job / "job.yaml").read_text("utf-8")
    new = re.sub(r"^slopes:\n(  .*\n)*", slopes, text, flags=re.M)
    assert new != text
    (job / "job.yaml").write_text(new, "utf-8")


def written(job: Path, *lines: str, over_typed: bool = False) -> Roofed:
    made = roofed(job, lines, over_typed=over_typed)
    write_slopes(made.into, made.into.mark)
    return made


# --- words ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        "hip 40x28 6/12 overhang 16 in front S",
        "Hip house, 40 ft x 28 ft, 6:12, overhang 16 in, front faces south",
        "hipped 40' x 28' 6 in 12, overhang 1 ft 4 in; front faces S",
        '40 by 28 ft hip, 6/12, overhang 16", front faces S',
        "hip 40 x 336 in 6/12 eave overhang 16 in, rake overhang 1'-4\" front s",
    ],
)
def test_ways_to_say_one_house(line: str) -> None:
    told = shapes_told([line])
    [shape] = told.shapes
    assert (shape.part, shape.form) == ("house", "hip")
    assert (shape.along_ft, shape.out_ft, shape.pitch_in_12) == (40, 28, 6)
    assert shape.eave_overhang_ft == shape.rake_overhang_ft == Fraction(4, 3)
    assert told.front_faces == "S"


def test_a_pitch_behind_a_size_is_no_part_of_it() -> None:
    # 28 6/12 could be read as twenty-eight and a half.
    [shape] = shapes_told(["gable 40-1/2 x 28 6/12"]).shapes
    assert (shape.along_ft, shape.out_ft, shape.pitch_in_12) == (Fraction(81, 2), 28, 6)


def test_compass_words_name_sides_once_the_front_is_said() -> None:
    told = shapes_told([HIP, GARAGE, "porch 10x6 3/12 on north, from west 4 ft"])
    assert [shape.on for shape in told.shapes] == ["", "right", "back"]
    assert told.shapes[2].from_end_ft == ("left", 4)
    # Left and right are those of somebody who looks at the front: it faces S, so left is W.
    assert [told.faces(side) for side in ("front", "left", "back", "right")] == list("SWNE")


def test_dormers_by_number_and_every_word_for_their_place() -> None:
    told = shapes_told([GABLE, "2 gable dormers 6x4 8/12 on front, set back 4 ft, overhang 6 in"])
    assert len(told.shapes) == 3
    assert told.shapes[1] == told.shapes[2]
    assert (told.shapes[1].back_ft, told.shapes[1].eave_overhang_ft) == (4, Fraction(1, 2))
    [gambrel] = shapes_told(["gambrel 40x28 20/12, upper 6/12, break 5 ft, overhang 0"]).shapes
    assert (gambrel.upper_in_12, gambrel.break_ft, gambrel.pitch_in_12) == (6, 5, 20)
    [shed] = shapes_told(["shed 20x12 3/12 overhang 1 ft falls to back called lean-to"]).shapes
    assert (shed.falls_to, shed.name) == ("back", "lean-to")
    [other] = shapes_told(["hip 40x28 6/12 ends 9/12 back 8/12 overhang 1 ft"]).shapes
    assert (dict(other.pitches), other.ends_in_12) == ({"back": 8}, 9)
    [turned] = shapes_told(["gable 40x28 6/12 ridge front to back overhang 1 ft"]).shapes
    assert turned.ridge_across is False


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (["hip 40x28 6/12 slate"], "“slate” in “hip 40x28 6/12 slate” is not understood."),
        (["hip 40x28"], "“hip 40x28” says no pitch."),
        (["hip 6/12"], "“hip 6/12” says no size."),
        (["hip 40x28 6/12 8/12"], "“hip 40x28 6/12 8/12” says pitch more than once."),
        (["hip 40x28 61/12"], "“hip 40x28 61/12”: found “61/12”, needed a pitch no steeper than 60:12."),
        ([HIP, "gable 9x9 6/12"], "“gable 9x9 6/12”: found a second house, needed wing, garage, porch or dormer."),
        ([HIP, "porch 9x9 3/12, front faces N"], "The front faces N and S."),
        ([HIP, "porch 9x9 3/12 on NE"], "No side of the house faces NE."),
        (["hip 40x28 6/12", GARAGE], "“on east” needs to know which way the front faces."),
    ],
)  # fmt: skip
def test_what_is_not_understood_is_named(lines: list[str], says: str) -> None:
    with pytest.raises(WrongCommand) as refused:
        shapes_told(lines)
    assert refused.value.message == says


def test_shapes_in_a_file(tmp_path: Path) -> None:
    file = tmp_path / "shapes.yaml"
    file.write_text(f"# as measured on 2 September\n- {HIP}\n- {GARAGE}\n", "utf-8")
    assert lines_in(file) == (HIP, GARAGE)
    file.write_text(f"shapes:\n  - {HIP}\n", "utf-8")
    assert lines_in(file) == (HIP,)
    file.write_text("house: {}\n", "utf-8")
    with pytest.raises(UnreadableInput, match="is no list of shapes"):
        lines_in(file)


# --- against the record ---------------------------------------------------------------------------


def test_what_the_record_says_already_is_the_same(job: Path) -> None:
    # The known-good job was typed slope by slope; its roof is 40 by 26 ft with 1 ft of eaves.
    into = roofed(job, [GABLE]).into
    assert {one.stands for one in into.held} == {Stands.SAME}
    assert into.draft is None
    with pytest.raises(CannotWrite):
        write_slopes(into, into.mark)


def test_new_slopes_stand_below_those_on_record(job: Path) -> None:
    before = (job / "job.yaml").read_text("utf-8")
    written(job, GABLE, GARAGE)
    after = (job / "job.yaml").read_text("utf-8")
    added = [line for line in after.splitlines() if line not in before.splitlines()]
    assert added == [
        "  - garage-front, faces S, 5:12, plan 24 ft x 12 ft, eave 24 ft, rakes 13 ft, ridge 24 ft, walls 13 ft",
        "  - garage-back, faces N, 5:12, plan 24 ft x 12 ft, eave 24 ft, rakes 13 ft, walls 13 ft",
    ]


def test_a_job_without_slopes_gets_the_slopes_that_were_typed_before(job: Path) -> None:
    typed = slopes_of(job)
    retyped(job, "slopes:\n")
    written(job, GABLE)
    made = slopes_of(job)
    for label, slope in typed.items():
        # What lies in a slope is nothing that its shape tells.
        assert made[label] == slope.model_copy(
            update={"penetrations": None, "rake_ft": made[label].rake_ft}
        )
        assert made[label].rake_ft == pytest.approx(slope.rake_ft, abs=0.01)


def test_a_hip_with_a_garage_reads_back_and_counts_each_edge_once(job: Path) -> None:
    retyped(job, "slopes:\n")
    made = written(job, HIP, "hip garage 22x24 6/12 on east, valley")
    slopes = slopes_of(job).values()
    for field, kind in (("hip_ft", "hip"), ("ridge_ft", "ridge"), ("valley_ft", "valley")):
        total = sum(getattr(slope, field) or 0 for slope in slopes)
        assert total == pytest.approx(made.roof.total_ft(kind), abs=0.02)  # type: ignore[arg-type]
    assert {slope.faces for slope in slopes} == {"S", "N", "W", "E"}


def test_what_was_typed_otherwise_stays_until_it_is_asked_for(job: Path) -> None:
    text = (job / "job.yaml").read_text("utf-8")
    (job / "job.yaml").write_text(
        text.replace("eave 40 ft, rakes 31.3 ft, ridge", "eave 41 ft, ridge"), "utf-8"
    )
    kept = roofed(job, [GABLE])
    [differs] = [one for one in kept.into.held if one.stands is Stands.DIFFERS]
    assert (differs.slope, differs.field, differs.typed, differs.found) == (
        "front",
        "eave_ft",
        "41 ft",
        "40 ft",
    )
    write_slopes(kept.into, kept.into.mark)
    # The blank is filled, on the one line, and the typed figure stays.
    assert (slopes_of(job)["front"].eave_ft, slopes_of(job)["front"].rake_ft) == (
        41,
        Fraction(313, 10),
    )
    assert "eave 41 ft, ridge 40 ft, pipes 1, rakes 31.3 ft" in (job / "job.yaml").read_text(
        "utf-8"
    )
    written(job, GABLE, over_typed=True)
    assert slopes_of(job)["front"].eave_ft == 40


def test_an_edge_that_the_record_carries_elsewhere_is_not_written_twice(job: Path) -> None:
    text = (job / "job.yaml").read_text("utf-8")
    moved = text.replace(", ridge 40 ft", "").replace("faces N, 6:12", "faces N, 6:12, ridge 40 ft")
    (job / "job.yaml").write_text(moved, "utf-8")
    into = roofed(job, [GABLE]).into
    assert into.draft is None
    assert [one.field for one in into.held if one.stands is not Stands.SAME] == []


def test_slopes_by_other_names_are_told_by_the_way_they_face(job: Path) -> None:
    text = (job / "job.yaml").read_text("utf-8")
    (job / "job.yaml").write_text(text.replace("- front, faces", "- street, faces"), "utf-8")
    into = roofed(job, [GABLE]).into
    assert "street" in {one.slope for one in into.held}
    assert not into.untouched
    # Without a direction nothing tells which it is, and a second one is not added beside it.
    into = roofed(job, [GABLE.replace(", front faces S", "")]).into
    assert into.untouched == ("street",)
    assert into.draft is None
    assert "front" in into.refused


def test_the_overhang_on_record_need_not_be_said_again(job: Path) -> None:
    made = roofed(job, ["gable 40x26 6/12, rake overhang 0 in, front faces S"])
    assert {one.stands for one in made.into.held} == {Stands.SAME}
    assert made.taken[0] == "The overhang of the eaves is that of the record, 12 in."


def test_a_gambrels_upper_slope_says_that_it_has_no_eave(job: Path) -> None:
    retyped(job, "slopes:\n")
    written(job, "gambrel 40x28 20/12, upper 6/12, break 5 ft, overhang 0, front faces E")
    read = read_job(job, RECORD_VERSION)
    assert read.lines.reason_not("slopes.1.eave_ft") == "no eave on this slope"
    assert [slope.label for slope in read.needed.slopes][:2] == ["front-lower", "front-upper"]


def test_a_record_changed_since_it_was_shown_is_left_alone(job: Path) -> None:
    made = roofed(job, [GABLE, GARAGE])
    with pytest.raises(CannotWrite):
        write_slopes(made.into, "000000-000000")
    (job / "job.yaml").write_text((job / "job.yaml").read_text("utf-8") + "# later\n", "utf-8")
    with pytest.raises(CannotWrite, match="changed since it was shown"):
        write_slopes(made.into, made.into.mark)


def test_why_a_mark_holds_no_more_is_said(job: Path) -> None:
    made = roofed(job, [GABLE, GARAGE])
    other = roofed(job, [GABLE, GARAGE.replace("24", "26")])
    with pytest.raises(CannotWrite, match="not the slopes that were shown"):
        write_slopes(other.into, made.into.mark)
    (job / "job.yaml").write_text((job / "job.yaml").read_text("utf-8") + "# later\n", "utf-8")
    again = roofed(job, [GABLE, GARAGE])
    with pytest.raises(CannotWrite, match=r"job\.yaml was changed since these slopes were shown"):
        write_slopes(again.into, made.into.mark)


def test_the_same_line_again_writes_whatever_it_drew(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A drawing that stands is no reason not to write, and its head names the job and not the folder."""
    moved = job.rename(job.with_name("a-folder"))
    plan = tmp_path / "plan.pdf"
    line = ["roof", str(moved), "--shape", GABLE, "--shape", GARAGE, "--draw", str(plan)]
    assert main(line) == ExitCode.NOTHING_HELD_UP
    (mark,) = re.findall(r"--yes (\S+)", capsys.readouterr().out)
    first = plan.read_bytes()
    assert main([*line, "--yes", mark]) == ExitCode.NOTHING_HELD_UP
    assert "garage-front" in slopes_of(moved)
    assert plan.read_bytes() == first
    text = PdfReader(plan).pages[0].extract_text()
    assert "2026-041" in text
    assert "a-folder" not in text


def test_a_sealed_job_is_left_alone(sealed: Path) -> None:
    made = roofed(sealed, [GABLE, GARAGE])
    with pytest.raises(CannotWrite, match="sealed already"):
        write_slopes(made.into, made.into.mark)


def test_a_new_job_has_slopes_before_anything_else_is_typed(tmp_path: Path) -> None:
    assert main(["start", str(tmp_path / "office" / "2026-061")]) == 0
    job = tmp_path / "office" / "2026-061"
    written(job, HIP)
    assert "  - label: front\n    faces: S\n" in (job / "job.yaml").read_text("utf-8")


# --- a table --------------------------------------------------------------------------------------

TABLE = """\
slope,rise_in_12,faces,part,amount,unit
front,6,S,plan area,560,sq ft
front,6,S,eave,40,ft
front,6,S,rake,15.65,ft
front,6,S,rake,15.65,ft
front,6,S,ridge,40,ft
back,6,N,sloped area,6.26,squares
back,6,N,eave,480,in
back,6,N,rake,31.3,ft
back,6,N,ridge,40,ft
"""


def table(tmp_path: Path, text: str = TABLE) -> Path:
    file = tmp_path / "slopes.csv"
    file.write_text(text, "utf-8")
    return file


def test_a_table_is_read_and_held_against_the_record(job: Path, tmp_path: Path) -> None:
    made = tabled(job, table(tmp_path), SharedEdges.BOTH)
    assert {one.stands for one in made.into.held} == {Stands.SAME}
    assert made.read.slopes[1].area_sqft == 626
    assert made.read.slopes[1].length("eave_ft") == 40
    assert [one.length("ridge_ft") for one in made.read.slopes] == [40, None]


def test_how_a_table_counts_a_shared_edge_is_asked_for(job: Path, tmp_path: Path) -> None:
    retyped(job, "slopes:\n")
    made = tabled(job, table(tmp_path))
    assert made.into.draft is None
    assert made.into.refused.startswith("Several slopes have ridge in this table.")
    # Where only one slope has any, there is nothing to ask.
    once = table(tmp_path, TABLE.replace("back,6,N,ridge,40,ft\n", ""))
    assert tabled(job, once).into.draft is not None


def test_an_edge_named_at_both_slopes_needs_its_second(tmp_path: Path) -> None:
    # A hip roof of 40 by 28 ft at 6:12 has four hips of 21 ft, each between two slopes: 84 ft, not 168.
    rows = "".join(f"{side},6,,hip,21,ft\n" * 2 for side in ("front", "back", "left", "right"))
    head = TABLE.partition("\n")[0] + "\n"
    read = table_slopes(table(tmp_path, head + rows), SharedEdges.BOTH)
    assert sum(one.length("hip_ft") or 0 for one in read.slopes) == 84
    assert read.faults == ()
    assert read.asks == ""


_PARTS = "plan area, sloped area, eave, rake, ridge, hip, valley or wall"


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("front,6,S,gutter,40,ft", f"Line 11: found the part “gutter”, needed {_PARTS}."),
        ("front,6,S,wall,3,m", "Line 11: found the unit “m” for wall, needed ft or in."),
        ("front,6,S,sloped area,3,ft", "Line 11: found the unit “ft” for sloped area, needed sq ft or squares."),
        ("front,6,S,wall,some,ft", "Line 11: found “some”, needed a number, not below zero, such as 12 or 5/8."),
        ("front,6,up,wall,3,ft", "Line 11: found “up”, needed N, NE, E, SE, S, SW, W or NW."),
        (",6,S,wall,3,ft", "Line 11: found no slope's name."),
        ("front,6,S,wall,3", "Line 11: found 5 columns, needed 6."),
        ("front,7,S,wall,3,ft", "Line 11: front has another rise in 12 above."),
        ("front,6,S,plan area,561,sq ft", "Line 11: front has its plan area already."),
        ("front,six,S,wall,3,ft", "Line 11: found “six:12”, needed a pitch such as 6:12."),
    ],
)  # fmt: skip
def test_each_row_that_fits_nothing_is_named_by_its_line(
    tmp_path: Path, row: str, says: str
) -> None:
    read = table_slopes(table(tmp_path, f"{TABLE}{row}\n"), SharedEdges.BOTH)
    assert read.faults == (says,)


def test_two_areas_of_a_slope_that_differ_are_told(tmp_path: Path) -> None:
    row = "front,6,S,sloped area,700,sq ft\n"
    read = table_slopes(table(tmp_path, TABLE + row), SharedEdges.BOTH)
    assert read.told[1:] == (
        "front: 700 sq ft as measured along the slope, 626 sq ft by plan and pitch; the measured one is taken.",
    )


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n", TABLE.replace("unit", "units"), "\x00"])
def test_what_is_no_table_is_refused(tmp_path: Path, text: str) -> None:
    file = table(tmp_path, text)
    with pytest.raises(UnreadableInput, match="is no table of slopes"):
        table_slopes(file)


# --- the command ----------------------------------------------------------------------------------


def test_the_command_shows_then_writes_by_the_mark(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["roof", str(job), "--shape", GABLE, "--shape", GARAGE]
    before = (job / "job.yaml").read_bytes()
    assert main(asked) == ExitCode.NOTHING_HELD_UP
    shown = capsys.readouterr().out
    assert (job / "job.yaml").read_bytes() == before
    assert "4 slopes, 1,876 sq ft (18.76 squares) over 1,696 sq ft in plan; eaves 128 ft;" in shown
    assert "Not said, and taken to be so: The garage stands in the middle of the right." in shown
    mark = shown.rpartition("--yes ")[2].strip()
    assert main([*asked, "--yes", mark]) == ExitCode.NOTHING_HELD_UP
    assert list(slopes_of(job)) == ["front", "back", "garage-front", "garage-back"]
    # The mark is of what was shown, once.
    assert main([*asked, "--yes", mark]) == ExitCode.CANNOT_WRITE


def test_as_data_every_edge_stands_once_with_its_working(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["roof", str(job), "--json", "--shape", HIP]) == ExitCode.ITEMS_HOLD
    data = json.loads(capsys.readouterr().out)
    hips = [edge for edge in data["edges"] if edge["kind"] == "hip"]
    assert [edge["length_ft"] for edge in hips] == [21] * 4
    # Trade field guide, looked-up: from a plan diagonal of 19.799 ft at 6:12 a hip of 21 ft.
    assert {edge["working"] for edge in hips} == {
        "√(length in plan² + rise²): √(19.8 ft² + 7 ft²) = 21 ft"
    }
    # The gable's rakes on record are none of a hip's, which is told and left as it was typed.
    differing = {(one["slope"], one["field"]) for one in data["held"] if one["stands"] == "differs"}
    assert ("front", "rake_ft") in differing
    assert [one["hip_ft"] for one in data["slopes"]] == [42, 42, 0, 0]
    # Its area at front and back holds that of the hip's ends.
    assert data["refused"].startswith("The record has more area at front and back than these have")
    assert not data["mark"]


def test_the_drawing_names_every_slope(job: Path, tmp_path: Path) -> None:
    pdf = tmp_path / "roof.pdf"
    porch = "porch 12x8 3/12 on south from east 2 ft"
    asked = ["roof", str(job), "--over-typed", "--shape", HIP, "--shape", GARAGE, "--shape", porch]
    assert main([*asked, "--draw", str(pdf)]) == ExitCode.NOTHING_HELD_UP
    [page] = PdfReader(pdf).pages
    text = page.extract_text()
    for words in (
        "front",
        "left",
        "garage-back",
        "porch",
        "21 ft",
        "Front, faces S",
        "10 ft",
        "wall, level",
    ):
        assert words in text
    assert main([*asked, "--draw", str(pdf)]) == ExitCode.CANNOT_WRITE


def test_a_command_with_nothing_to_go_by_says_so(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["roof", str(job)]) == ExitCode.WRONG_COMMAND
    assert "one of the three" in capsys.readouterr().err
    garage = "garage 22x24 5/12 on right"
    assert main(["roof", str(job), "--shape", HIP, "--shape", garage]) == ExitCode.WRONG_COMMAND
    assert "It is not said which roof the garage has." in capsys.readouterr().err


def test_a_roof_by_shapes_leaves_a_good_job_good(job: Path) -> None:
    retyped(job, "slopes:\n")
    written(job, GABLE)
    assert main(["check", str(job), "--today", "2026-10-20"]) == ExitCode.NOTHING_HELD_UP
