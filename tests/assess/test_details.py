"""Crickets, valleys, steep slopes and moisture of a case, against the code's few sizes."""

import pytest

from tests.known_good import Known, known_good

PLAIN = {
    "label": "back",
    "pitch": "6:12",
    "plan": "40 ft x 14 ft",
    "eave_ft": "40",
    "rake_ft": "31.3",
}


def with_chimney(**chimney: str) -> Known:
    return known_good({"job.slopes.1": {**PLAIN, "chimneys": chimney}})


@pytest.mark.parametrize(
    ("chimney", "needed"),
    [
        # IRC R903.2.2: wider than 30 in, on its ridge side; at the ridge nothing drains onto it.
        ({"width_in": "30"}, False),
        ({"width_in": "31"}, True),
        ({"width_in": "31", "at_ridge": "no"}, True),
        ({"width_in": "48", "at_ridge": "yes"}, False),
        ({}, False),
    ],
)
def test_which_chimneys_need_a_cricket(chimney: dict[str, str], needed: bool) -> None:
    crickets = with_chimney(**chimney, cricket="no").assessment.details.crickets
    assert crickets == ({"slopes.1.chimneys.0"} if needed else set())


@pytest.mark.parametrize(
    ("method", "width", "faults"),
    [
        # IRC R905.2.8.2: 24 in of open metal, 36 in below closed valleys.
        ("open metal", "24", 0),
        ("open metal", "23", 1),
        ("closed cut", "36", 0),
        ("woven", "24", 1),
    ],
)
def test_valley_lining(method: str, width: str, faults: int) -> None:
    edits = {
        "job.slopes.1": {**PLAIN, "valley_ft": "16"},
        "job.installation.valley_method": method,
        "job.installation.valley_lining_in": width,
    }
    assert len(known_good(edits).assessment.details.valley_faults) == faults


@pytest.mark.parametrize(("pitch", "steep"), [("21:12", ()), ("22:12", ("back",))])
def test_steep_slopes(pitch: str, steep: tuple[str, ...]) -> None:
    # IRC 2012 on, R905.2.6: above 21:12.
    slope = {"label": "back", "pitch": pitch, "area_sqft": "600", "eave_ft": "40"}
    assert known_good({"job.slopes.1": slope}).assessment.details.steep == steep
