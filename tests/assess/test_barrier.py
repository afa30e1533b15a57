"""What is said of an ice barrier and of a slope's area: what somebody measured, and no more."""

from dataclasses import replace
from fractions import Fraction

import pytest

from dossier.assess.barrier import barrier_words, roll_width
from dossier.assess.results import Figure, RoofEdge
from dossier.case.case import Material
from dossier.words import Role
from tests.compose.made import everything, made
from tests.known_good import Known, known_good

ONE_COURSE = {
    "job.installation.ice_barrier_reach_in": None,
    "job.installation.ice_barrier_courses": "1",
}
"""The record counts one course and nobody measured it; the catalogue has the roll at 36 in."""

BACK = "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, pipes 1"


def figure(known: Known, name: str) -> Figure:
    return next(one for one in known.assessment.figures if one.id == name)


def edge(known: Known, slope: str = "back") -> RoofEdge:
    result = known.assessment.slope(slope)
    assert result is not None
    assert result.edge is not None
    return result.edge


def test_a_reach_worked_out_from_courses_names_them_and_the_roll() -> None:
    known = known_good(ONE_COURSE)
    inputs = figure(known, "slope.back.ice_barrier_laid").inputs
    assert [(name, str(text), where.field) for name, text, where in inputs] == [
        (
            "laid",
            "1 course of a 36 in roll, so 36 in at most; not measured",
            "installation.ice_barrier_courses",
        ),
        ("roll width", "36 in, by the catalogue", "deliveries.0.lines.4"),
    ]
    assert (edge(known).laid_in, edge(known).measured) == (36, False)


def test_a_reach_on_record_is_measured_and_names_its_field() -> None:
    ((name, text, where),) = figure(known_good(), "slope.back.ice_barrier_laid").inputs
    assert (name, str(text), where.field) == ("laid", "68 in", "installation.ice_barrier_reach_in")
    assert edge(known_good()).measured


def test_a_slope_s_own_courses_are_named_before_the_roof_s_reach() -> None:
    slope = {
        "label": "back",
        "pitch": "6:12",
        "plan": "40 ft x 14 ft",
        "eave_ft": "40 ft",
        "ice_barrier_courses": "2",
    }
    known = known_good({"job.slopes.1": slope})
    (_, text, where), _ = figure(known, "slope.back.ice_barrier_laid").inputs
    # Two rolls of 36 in that lap by 4 in: 36 + 32.
    assert str(text) == "2 courses of a 36 in roll, so 68 in at most; not measured"
    assert where.field == "slopes.1.ice_barrier_courses"


def test_courses_of_a_roll_of_no_known_width_have_no_reach() -> None:
    known = known_good({**ONE_COURSE, "job.deliveries.0.lines.4": "3 rolls Sheet of no catalogue"})
    assert (edge(known).laid_in, edge(known).measured) == (None, False)


def test_handover_and_packet_say_that_nobody_measured() -> None:
    doc = made(ONE_COURSE)
    said = "1 course of a 36 in roll, so 36 in at most; not measured"
    for pairs in (doc.handover.laid, doc.registration.building):
        assert [pair.text for pair in pairs if pair.label == "Ice barrier"] == [said]
    (row,) = [row for row in doc.handover.backed if row.text.startswith("Ice barrier at")]
    assert row.text == f"Ice barrier at the eaves, {said}"
    assert row.where.startswith("record: installation, ice barrier courses")
    assert "ice_barrier_reach_in" not in everything(doc.registration)


@pytest.mark.parametrize("wrap", ["0 in", "4 in"])
def test_a_slope_covered_whole_loses_nothing_to_the_fascia(wrap: str) -> None:
    """By geometry the deck is as long as the slope, so that what lies on the fascia is not of it."""
    slope = {
        "label": "back",
        "pitch": "3:12",
        "plan": "40 ft x 14 ft",
        "eave_ft": "40 ft",
        "ice_barrier_whole": "yes",
    }
    known = known_good({"job.slopes.1": slope, "job.installation.fascia_wrap_in": wrap})
    result = known.assessment.slope("back")
    assert result is not None
    assert result.length_ft is not None
    assert edge(known).laid_in == edge(known).length_in == result.length_ft * 12
    assert edge(known).measured
    assert result.reach_check is not None
    assert result.reach_check.verdict == "reaches"


@pytest.mark.parametrize(
    ("slope", "inputs"),
    [
        (BACK, [("pitch", "slopes.1.pitch"), ("plan", "slopes.1.plan")]),
        (
            "back, faces N, 6:12, area 620 sq ft, eave 40 ft",
            [("area, measured", "slopes.1.area_sqft")],
        ),
        (
            {"label": "back", "pitch": "6:12", "plan_area_sqft": "560 sq ft", "eave_ft": "40 ft"},
            [("pitch", "slopes.1.pitch"), ("area of the plan", "slopes.1.plan_area_sqft")],
        ),
    ],
)
def test_an_area_cites_what_is_on_record(slope: object, inputs: list[tuple[str, str]]) -> None:
    found = figure(known_good({"job.slopes.1": slope}), "slope.back.area").inputs
    assert [(name, where.field) for name, _, where in found] == inputs


def test_an_area_over_its_measure_is_the_measure() -> None:
    known = known_good({"job.slopes.1": "back, faces N, 6:12, area 620 sq ft, eave 40 ft"})
    result = known.assessment.slope("back")
    assert result is not None
    assert result.area_sqft == Fraction(620)


def test_no_course_is_an_answer_and_needs_no_roll() -> None:
    """Nought courses reach nought inches, whatever the roll: nobody has to measure what was not laid."""
    none = {
        "job.installation.ice_barrier_courses": "0",
        "job.installation.ice_barrier_reach_in": None,
    }
    for edits in (none, {**none, "job.deliveries.0.lines.4": "3 rolls Sheet of no catalogue"}):
        known = known_good(edits)
        assert (edge(known).laid_in, edge(known).measured) == (0, True)
        assert str(barrier_words(known.case)) == "0 courses"


def test_two_widths_of_roll_are_no_width() -> None:
    """Which of the two lies at the eaves nobody wrote down."""
    roll = known_good().case.materials_of(Role.ICE_BARRIER)[0]
    assert roll.product is not None
    narrow = replace(roll, product=roll.product.model_copy(update={"roll_width_in": Fraction(18)}))
    blank = replace(roll, product=roll.product.model_copy(update={"roll_width_in": None}))
    case = known_good().case

    def width(*materials: Material) -> Fraction | None:
        found = roll_width(replace(case, materials=materials))
        return None if found is None else found[0]

    assert width(roll) == width(roll, roll, blank) == 36
    assert width(narrow, roll) is None
    assert width(blank) is None
    assert width() is None
