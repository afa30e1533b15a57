"""Every word of a shape means something where it stands, or is refused in a sentence."""

from fractions import Fraction

import pytest

from dossier.deeds.shape_words import shapes_told
from dossier.errors import WrongCommand
from dossier.trade.roof_shapes import ShapedRoof, shaped_roof
from dossier.trade.shapes import NotDetermined

RIDGE_ACROSS = "The ridge of the garage runs left to right."
WIDE = "A roof at a wall that is wider than twice its depth may have its ends at either side."
GABLE = "gable 40x28 6/12, overhang 1 ft"
DORMER = "dormer 6x4 6/12 on front, set back 3 ft"
HIP = "hip 40x28 6/12, overhang 1 ft"


def roof(*lines: str) -> ShapedRoof:
    return shaped_roof(shapes_told(lines).shapes)


def pitches(made: ShapedRoof) -> dict[str, Fraction]:
    return {slope.label: slope.rise_in_12 for slope in made.slopes}


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ([f"{GABLE}, on front"], "“on” means nothing for a gable house."),
        ([f"{GABLE}, wall"], "“wall” or “valley” means nothing for a gable house."),
        ([f"{GABLE}, from left 4 ft"], "“from” or “flush” means nothing for a gable house."),
        ([f"{GABLE}, flush left"], "“from” or “flush” means nothing for a gable house."),
        ([f"{GABLE}, set back 3 ft"], "“set back” means nothing for a gable house."),
        ([f"{GABLE}, break 5 ft"], "“break” means nothing for a gable house."),
        ([f"{GABLE}, upper 4/12"], "“upper” means nothing for a gable house."),
        ([f"{GABLE}, falls to back"], "“falls to” means nothing for a gable house."),
        ([f"{GABLE}, ends 9/12"], "“ends” means nothing for a gable house."),
        # With the ridge turned, left and right have slopes and are no ends all the same.
        ([f"{GABLE}, ridge front to back, ends 9/12"], "“ends” means nothing for a gable house."),
        ([f"{HIP}, ridge left to right"], "“ridge” means nothing for a hip house."),
        ([HIP, "porch 16x8 3/12 on front, set back 3 ft"], "“set back” means nothing for a shed porch."),
        ([HIP, "porch 16x8 3/12 on front, ridge left to right"], "“ridge” means nothing for a shed porch."),
        ([HIP, "hip garage 9x9 5/12, rake overhang 3"], "“rake overhang” means nothing for a hip garage."),
        ([HIP, f"gable {DORMER}, left 4/12"], "A pitch of one side means nothing for a gable dormer."),
        ([HIP, f"hip {DORMER}, ends 4/12"], "“ends” means nothing for a hip dormer."),
        ([HIP, f"gable {DORMER}, wall"], "“wall” or “valley” means nothing for a gable dormer."),
        ([HIP, "shed garage 20x14 2/12 on front, wall, falls to right"], "The garage falls to the front."),
        ([HIP, "gable garage 9x9 5/12 on right wall ridge front to back"], RIDGE_ACROSS),
        ([HIP, "gable wing 9x9 6/12 on front, ridge left to right"], "The ridge of the wing runs front to back."),
        ([HIP, "shed dormer 6x4 2/12 on front, set back 3 ft, falls to left"], "The dormer falls to the front."),
        ([HIP, f"gable {DORMER}, ridge left to right"], "The ridge of the dormer runs front to back."),
        (["hip 28x28 6/12, ends 9/12, overhang 1 ft"], "A square hip has no short sides to be its ends."),
        ([HIP, "hip porch 30x8 3/12 on front, ends 6/12"], WIDE),
        ([f"{HIP}, ends 9/12, left 8/12"], "The pitch of left is said twice."),
    ],
)  # fmt: skip
def test_a_word_that_means_nothing_there_is_refused(lines: list[str], says: str) -> None:
    told = shapes_told(lines).shapes
    with pytest.raises(NotDetermined) as refused:
        shaped_roof(told)
    assert str(refused.value.says) == says


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (f"{HIP}, left 8/12, left 9/12", "LINE says left more than once."),
        (f"{HIP}, front S, front N", "The front faces N and S."),
        ("0 gable dormers 6x4 6/12", "There are 0 dormers in LINE."),
        ("999999 gable dormers 6x4 6/12", "There are 999,999 dormers in LINE."),
        ("porch 9x9 3/12, from left 4 ft, flush right", "LINE says from and flush."),
        (
            "hip 9x9 6/12, overhang 1, eave overhang 2, rake overhang 1",
            "LINE says three overhangs.",
        ),
    ],
)
def test_a_word_said_beside_another_is_refused(line: str, says: str) -> None:
    with pytest.raises(WrongCommand) as refused:
        shapes_told([HIP, line] if "hip" not in line else [line])
    assert refused.value.message == says.replace("LINE", f"“{line}”")


def test_words_that_say_what_is_so_anyway_are_read() -> None:
    made = roof(
        HIP,
        "shed porch 16x8 3/12 on front, falls to front",
        "gable garage 22x24 5/12 on right, wall, ridge left to right",
    )
    assert len(made.slopes) == 7
    named = roof(f"{GABLE}, called main", "2 gable dormers 4x4 8/12 on main-front, set back 4 ft")
    assert [slope.label for slope in named.slopes][:2] == ["main-front", "main-back"]


def test_the_ends_of_a_hip_are_its_short_sides() -> None:
    # By hand: over all 30 2/3 by 42 2/3 ft; half the width rises 7 2/3 ft at 6:12, which ends at 9:12 reach
    # in 10 2/9 ft each: the ridge is 42 2/3 less twice that, 22 2/9 ft.
    deep = roof("hip 28x40 6/12, ends 9/12, overhang 16 in")
    assert pitches(deep) == {"front": 9, "back": 9, "left": 6, "right": 6}
    assert deep.total_ft("ridge") == Fraction(200, 9)
    # The same house turned by a quarter.
    wide = roof("hip 40x28 6/12, ends 9/12, overhang 16 in")
    assert pitches(wide) == {"front": 6, "back": 6, "left": 9, "right": 9}
    assert wide.total_ft("ridge") == Fraction(200, 9)


def test_a_wing_and_a_garage_have_the_end_that_stands_out() -> None:
    made = roof(
        HIP,
        "hip wing 20x12 6/12 on front, ends 9/12",
        "hip garage 22x24 6/12 on right, wall, ends 9/12",
    )
    assert {label for label, rise in pitches(made).items() if rise == 9} == {
        "wing-front",
        "garage-right",
    }
