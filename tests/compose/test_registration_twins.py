"""The packet as data: days, numbers and words that a program reads, and the manual that promises them."""

import json
from datetime import date
from pathlib import Path
from typing import Any

from dossier.case.readers import for_reader
from dossier.compose.packet.registration import registration
from dossier.compose.packet.twins import registration_csv, registration_data
from dossier.words import Edition
from tests.known_good import known_good

MANUAL = Path(__file__).parents[2] / "docs" / "registration-json.md"


def data_of(edits: dict[str, object] | None = None) -> dict[str, Any]:
    known = known_good(edits)
    case = for_reader(known.case, Edition.MAKER)
    packet = registration(case, known.facts, known.assessment, known.punch_list, known.run)
    return registration_data(case, known.assessment, packet, known.run)


def test_days_are_days_and_numbers_numbers() -> None:
    """60 days after 21 September 2026 is 20 November 2026; 42 bundles came in lots of 30 and 12."""
    data = data_of()
    [one] = data["warranties"]
    assert date.fromisoformat(one["deadline"]["last_day"]) == date(2026, 11, 20)
    assert one["deadline"]["within_days"] == 60
    [shingles] = [p for p in data["products"] if p["role"] == "field shingle"]
    assert (shingles["delivered"], shingles["unit"]) == ("42", "bundles")
    assert [(lot["mark"], lot["quantity"]) for lot in shingles["lots"]] == [
        ("0012345", "30"),
        ("0012346", "12"),
    ]
    # A lot keeps its leading noughts, for it is a mark and no number.
    assert json.loads(json.dumps(data)) == data


def test_a_blank_is_null_and_never_a_word() -> None:
    data = data_of({"job.owners": "Marit Ekdahl", "job.job.completion_signed_on": None})
    assert data["owners"][0]["phone"] is None
    assert data["warranties"][0]["deadline"]["last_day"] is None
    assert data["state"] == "not ready"


def test_no_warranty_and_no_product_still_give_a_table() -> None:
    data = data_of({"job.warranties": None, "job.deliveries": None})
    assert data["warranties"] == []
    assert registration_csv(data).splitlines()[0].startswith("part,warranty,name")


def test_a_cell_that_a_spreadsheet_would_run_is_made_harmless() -> None:
    data = data_of({"job.deliveries.0.lines.1": "2 bundles =cmd()"})
    assert "'=cmd()" in registration_csv(data)


def test_the_manual_shows_the_demo_job_with_the_two_gaps_it_names() -> None:
    """Its example is the data to the letter, with the first entry of each list."""
    manual = MANUAL.read_text("utf-8")
    assert "`permit.closed_on` and `installation.nails_per_shingle` blank" in manual
    example = json.loads(manual.split("```json\n")[1].split("```")[0])

    def firsts(value: object) -> object:
        if isinstance(value, dict):
            return {key: firsts(inner) for key, inner in value.items()}
        if isinstance(value, list):
            return [firsts(one) for one in value[:1]]
        return value

    data = data_of({"job.permit.closed_on": None, "job.installation.nails_per_shingle": None})
    assert example == firsts(data)
