"""Where the wind is high for an underlayment, and what is then asked of it."""

import pytest

from dossier.assess.high_wind import fastening, high_wind
from tests.known_good import known_good


@pytest.mark.parametrize(
    ("edits", "high"),
    [
        # IRC 2018 Table R905.1.1: from 140 mph; 2021: where Figure R301.2.1.1 asks for wind design (from memory).
        ({"locality.code": "IRC 2018", "locality.design_wind_mph": "139"}, False),
        ({"locality.code": "IRC 2018", "locality.design_wind_mph": "140"}, True),
        ({"locality.design_wind_mph": "135"}, None),
        ({"locality.design_wind_mph": "135", "locality.wind_design_required": "no"}, False),
        ({"locality.wind_design_required": "yes"}, True),
        # Between two layers of shingles lies none.
        ({"locality.design_wind_mph": "140", "job.job.scope": "recover"}, False),
    ],
)
def test_where_the_wind_is_high(edits: dict[str, object], high: bool | None) -> None:
    known = known_good(edits)
    assert high_wind(known.case, known.assessment.slopes) is high


def test_caps_that_were_delivered_need_not_be_asked_for() -> None:
    caps = {"product": "Cap nails", "quantity": "1", "role": "cap fastener"}
    assert "installation.underlayment_caps" in fastening(known_good().case).needs
    found = fastening(known_good({"job.deliveries.0.lines.10": caps}).case)
    assert list(found.needs) == [
        "installation.caps_along_laps_in",
        "installation.caps_between_laps_in",
    ]
