"""Ice barrier and underlayment of a slope, as the record and the locality give them, worked out by hand."""

from fractions import Fraction

import pytest

from dossier.assess.results import SlopeResult
from tests.known_good import known_good

HALF_A_HUNDREDTH = Fraction(1, 200)
SLOPE = {
    "label": "back",
    "pitch": "6:12",
    "plan": "40 ft x 14 ft",
    "eave_ft": "40",
    "rake_ft": "31.3",
}
FELT = {
    "product": "No. 15 felt",
    "quantity": "4",
    "unit": "rolls",
    "role": "underlayment",
    "standard": "ASTM D226 Type I",
    "covers_sqft": "408 sq ft",
}


def back(edits: dict[str, object]) -> SlopeResult:
    result = known_good(edits).assessment.slope("back")
    assert result is not None
    return result


@pytest.mark.parametrize(
    ("eave", "detached", "status"),
    [
        # IRC R905.1.2, exception (from memory): detached accessory structures without conditioned floor area.
        ("yes", "no", "required"),
        ("no", "no", "required"),
        ("no", "yes", "not required"),
        ("yes", "yes", "required"),
    ],
)
def test_only_what_stands_alone_without_heat_needs_no_barrier(
    eave: str, detached: str, status: str
) -> None:
    slope = {**SLOPE, "detached": detached, "eaves": {"heated_below": eave}}
    reach = back({"job.slopes.1": slope}).reach
    assert reach is not None
    assert reach.status == status


def test_of_a_building_that_stands_alone_heat_is_asked() -> None:
    edits: dict[str, object] = {
        "job.slopes.1": {**SLOPE, "detached": "yes"},
        "job.installation.ice_barrier_reach_in": "30",
    }
    check = back(edits).reach_check
    assert check is not None
    assert check.needs == ("whether the space below the eave is heated",)


def test_an_attached_garage_needs_as_much_as_the_house() -> None:
    # (12 + 24) in x sqrt(1.25) = 40.25 in.
    reach = back({"job.slopes.1": {**SLOPE, "eaves": {"heated_below": "no"}}}).reach
    assert reach is not None
    assert reach.required_in is not None
    assert abs(reach.required_in - Fraction("40.25")) < HALF_A_HUNDREDTH


@pytest.mark.parametrize(
    ("edits", "asked", "short"),
    [
        # Table R905.1.1(2), from memory: 2 in, 4 in from 140 mph, for felt.
        ({"job.deliveries.0.lines.3": FELT, "job.installation.head_lap_in": "1"}, 2, 1),
        ({"job.deliveries.0.lines.3": FELT, "job.installation.head_lap_in": "2"}, 2, 0),
        (
            {
                "job.deliveries.0.lines.3": FELT,
                "job.installation.head_lap_in": "3",
                "job.building.design_wind_mph": "140",
            },
            4,
            1,
        ),
        # A synthetic laps by its label.
        ({"job.installation.head_lap_in": "1"}, None, 0),
    ],
)
def test_laps(edits: dict[str, object], asked: int | None, short: int) -> None:
    result = back(edits)
    assert result.underlayment is not None
    assert result.underlayment_check is not None
    assert (result.underlayment.head_lap_in, result.underlayment_check.lap_short_in) == (
        asked,
        short,
    )


def test_one_lap_on_record_speaks_of_the_steep_slopes() -> None:
    # Below 4:12 felt laps 19 in; the 4 in on record are those of the single layer on the front.
    low = {**SLOPE, "pitch": "3:12", "rake_ft": "28.9", "underlayment_layers": "2"}
    edits: dict[str, object] = {
        "job.slopes.1": low,
        "job.deliveries.0.lines.3": FELT,
        "job.installation.head_lap_in": "4",
    }
    check = back(edits).underlayment_check
    assert check is not None
    assert check.lap_short_in == 0
    both = known_good({**edits, "job.slopes.0": {**low, "label": "front"}}).assessment.slope("back")
    assert both is not None
    assert both.underlayment_check is not None
    assert both.underlayment_check.lap_short_in == 15
