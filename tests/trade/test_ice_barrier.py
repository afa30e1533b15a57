"""Ice-barrier reach against worked examples of the code's rule applied by geometry."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.trade.ice_barrier import (
    Eave,
    check_reach,
    courses_for,
    covered_by,
    inside_wall_in,
    local_reach,
    model_code_reach,
)

from .published import as_printed


@pytest.mark.parametrize(
    ("overhang", "pitch", "required", "courses", "covered"),
    [
        (0, 4, "25.30", 1, 36),
        (12, 4, "37.95", 2, 68),
        (12, 6, "40.25", 2, 68),
        (12, 8, "43.27", 2, 68),
        (12, 12, "50.91", 2, 68),
        (18, 6, "46.96", 2, 68),
        (24, 6, "53.67", 2, 68),
        (24, 9, "60.00", 2, 68),
        (24, 12, "67.88", 2, 68),
        (30, 12, "76.37", 3, 100),
    ],
)
def test_reach_and_courses_from_the_outside_face(
    overhang: int, pitch: int, required: str, courses: int, covered: int
) -> None:
    # IRC R905.1.2 applied by geometry; a trade journal's answer on ice-dam membrane, looked-up.
    # 36 in rolls, 4 in lap (the lap is common practice).
    reach = model_code_reach(Eave(pitch, overhang), 2024)
    assert reach.status == "required"
    assert reach.required_in is not None
    assert as_printed(reach.required_in, required)
    laid = courses_for(reach.required_in)
    assert (laid.count, laid.covered_in) == (courses, covered)


def test_reach_from_the_inside_face() -> None:
    # IRC R905.1.2 applied by geometry, looked-up: wall 6 1/2 in.
    reach = model_code_reach(Eave(6, 12, Fraction(13, 2)), 2024, "inside face")
    assert reach.required_in is not None
    assert as_printed(reach.required_in, "47.52")
    assert courses_for(reach.required_in).count == 2


@pytest.mark.parametrize(
    ("edition", "pitch", "overhang", "required"),
    [
        # IRC 2015/2018/2021 R905.1.2, looked-up; the 36 in sentence was removed in IRC 2024.
        (2021, 8, 0, "36"),
        (2024, 8, 0, "28.84"),
        (2018, 12, 12, "50.91"),
        # Just below 8:12 the sentence does not hold.
        (2021, Fraction(79, 10), 0, "28.73"),
        (2015, 8, 0, "36"),
        (2012, 8, 0, "28.84"),
    ],
)
def test_the_steep_rule_by_edition(
    edition: int, pitch: Fraction, overhang: int, required: str
) -> None:
    reach = model_code_reach(Eave(pitch, overhang), edition)
    assert reach.required_in is not None
    assert as_printed(reach.required_in, required)


def test_one_course_at_twelve_inches_of_overhang_is_short() -> None:
    # IRC 2018/2021/2024 R905.1.2, looked-up: 36 in laid, 40.25 in needed at 6:12.
    check = check_reach(model_code_reach(Eave(6, 12), 2021), 36)
    assert check.verdict == "short"
    assert check.short_in is not None
    assert as_printed(check.short_in, "4.25")
    assert str(check.working.with_numbers) == "36 in - 0 in = 36 in < 40.25 in; short by 4.25 in"


def test_local_rule() -> None:
    # Wis. Admin. Code SPS 321.28(4)(b), looked-up as a quotation only: 30 in up the slope and 12 in
    # beyond the inner face.
    eave = Eave(6, 12, Fraction(13, 2))
    reach = local_reach(eave, 30, 12, "Wis. Admin. Code SPS 321.28(4)(b)")
    assert reach.required_in is not None
    assert as_printed(reach.required_in, "32.68")
    assert local_reach(Eave(2, 0, 4), 30, 12, "same").required_in == 30
    assert local_reach(replace(eave, wall_in=None), 30, 12, "same").needs == ("wall thickness",)


def test_the_reach_never_exceeds_the_slope() -> None:
    reach = model_code_reach(Eave(6, 12, slope_length_in=30), 2021)
    assert (reach.status, reach.required_in, reach.capped) == ("required", 30, True)
    assert check_reach(reach, 30).verdict == "reaches"
    assert not model_code_reach(Eave(6, 12, slope_length_in=200), 2021).capped


def test_the_cap_holds_for_the_steep_rule_too() -> None:
    assert model_code_reach(Eave(8, 0, slope_length_in=33), 2021).required_in == 33


def test_fascia_wrap_is_taken_off() -> None:
    reach = model_code_reach(Eave(9, 24), 2024)
    assert check_reach(reach, 60).verdict == "reaches"
    check = check_reach(reach, 62, fascia_wrap_in=4)
    assert (check.verdict, check.installed_in, check.short_in) == ("short", 58, 2)
    assert check_reach(reach, 62, fascia_wrap_in=4, tolerance_in=2).verdict == "reaches"


def test_nothing_measured_cannot_tell() -> None:
    check = check_reach(model_code_reach(Eave(6, 12), 2021), None)
    assert (check.verdict, check.needs) == ("cannot tell", ("installed reach",))


@pytest.mark.parametrize(
    ("eave", "needs"),
    [
        (Eave(6, None), "overhang"),
        (Eave(6, 12, heated_below=None), "whether the space below the eave is heated"),
        (
            Eave(6, 12, heated_below="no wall"),
            "the permit office's word on an eave with no wall below",
        ),
    ],
)
def test_an_eave_that_cannot_be_judged(eave: Eave, needs: str) -> None:
    reach = model_code_reach(eave, 2021)
    assert (reach.status, reach.needs) == ("cannot tell", (needs,))
    assert check_reach(reach, 36).verdict == "cannot tell"
    # Over the whole slope, every reading is satisfied.
    whole = model_code_reach(replace(eave, slope_length_in=40), 2021)
    assert check_reach(whole, 40).verdict == "reaches"


def test_wall_thickness_is_needed_for_the_inside_face_only() -> None:
    assert model_code_reach(Eave(6, 12), 2021, "inside face").needs == ("wall thickness",)
    assert model_code_reach(Eave(6, 12), 2021).needs == ()


def test_an_unheated_garage_that_is_attached_needs_as_much_as_the_house() -> None:
    # IRC R905.1.2 leaves out detached accessory structures only, from memory.
    garage = model_code_reach(Eave(6, 12, heated_below="no"), 2021)
    assert (garage.status, garage.required_in) == (
        "required",
        model_code_reach(Eave(6, 12), 2021).required_in,
    )


def test_a_detached_unheated_structure_is_left_out() -> None:
    # IRC R905.1.2, exception, from memory.
    reach = model_code_reach(Eave(6, 12, detached_unheated=True), 2021)
    assert reach.status == "not required"
    assert check_reach(reach, None).verdict == "not required"


def test_whole_low_slopes_where_asked() -> None:
    eave = Eave(3, 12, slope_length_in=120)
    assert model_code_reach(eave, 2021, whole_slope_below_pitch=4).required_in == 120
    assert (
        model_code_reach(replace(eave, pitch_in_12=4), 2021, whole_slope_below_pitch=4).required_in
        != 120
    )
    unmeasured = model_code_reach(Eave(3, 12), 2021, whole_slope_below_pitch=4)
    assert (unmeasured.status, unmeasured.needs) == ("cannot tell", ("slope length",))


inches = st.fractions(min_value=0, max_value=60, max_denominator=16)
pitches = st.fractions(min_value=0, max_value=24, max_denominator=16)


@given(inches, inches, pitches, st.sampled_from([2012, 2015, 2018, 2021, 2024]))
def test_more_overhang_never_needs_less_barrier(
    one: Fraction, other: Fraction, pitch: Fraction, edition: int
) -> None:
    less, more = sorted((one, other))
    short = model_code_reach(Eave(pitch, less), edition).required_in
    long = model_code_reach(Eave(pitch, more), edition).required_in
    assert short is not None
    assert long is not None
    assert short <= long
    assert courses_for(short).count <= courses_for(long).count


@given(st.fractions(min_value=1, max_value=400, max_denominator=16))
def test_the_courses_cover_the_reach_and_one_fewer_does_not(reach: Fraction) -> None:
    laid = courses_for(reach)
    assert laid.covered_in >= reach
    assert laid.count == 1 or covered_by(laid.count - 1).covered_in < reach


def test_a_lap_as_wide_as_the_roll_is_refused() -> None:
    with pytest.raises(ValueError, match="lap"):
        courses_for(40, 36, 36)


@pytest.mark.parametrize(
    ("overhang", "wall", "laid", "datum", "inside"),
    [
        # 3:4:5 by geometry: 9:12 makes 5 along the slope of 4 level.
        (10, None, 50, "outside face", 30),
        (10, 6, 50, "inside face", 24),
        (40, None, 25, "outside face", -20),
        (0, None, 0, "outside face", 0),
        (10, None, 50, "inside face", None),
        (None, 6, 50, "outside face", None),
        (10, 6, None, "outside face", None),
    ],
)
def test_how_far_the_barrier_ends_inside_the_wall_line(
    overhang: int | None, wall: int | None, laid: int | None, datum: str, inside: int | None
) -> None:
    eave = Eave(9, overhang, wall)
    assert inside_wall_in(eave, laid, datum) == inside
    assert inside_wall_in(replace(eave, heated_below="no wall"), laid, datum) is None


def test_a_reach_that_is_required_ends_24_inches_inside() -> None:
    """Source: IRC R905.1.2, the wall's outside face as the exterior wall line."""
    eave = Eave(9, 12)
    required = model_code_reach(eave, 2024).required_in
    assert inside_wall_in(eave, required) == 24
