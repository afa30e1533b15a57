"""Reasons behind “n/a” beside what asks for the fact all the same."""

import pytest

from dossier.rules.what_asks import OTHER, SAFETY, excused
from tests.known_good import known_good
from tests.rules.test_rests_on import is_field


@pytest.mark.parametrize("address", [*SAFETY, *OTHER])
def test_every_fact_that_is_looked_for_is_a_field(address: str) -> None:
    assert is_field(address)


def _doubts(edits: dict[str, object]) -> list[tuple[str, str]]:
    return [
        (item.rule, item.where.field)
        for item in known_good(edits).punch_list
        if item.rule in ("IDN-014", "SAF-011")
    ]


def test_a_lone_group_is_found_at_its_number() -> None:
    # A list of one may be typed without its dash: then no number stands in the typed path.
    deck = {"kind": "plywood", "thickness_in": "n/a, nobody looked", "rafter_spacing_in": "24"}
    assert _doubts({"job.decks": deck}) == [("IDN-014", "decks.0.thickness_in")]
    assert _doubts({"job.decks": [deck]}) == [("IDN-014", "decks.0.thickness_in")]


def test_the_reasons_of_the_known_good_job_are_believed() -> None:
    known = known_good({"job.installation.valley_method": "n/a, no valleys on this roof"})
    paths = [one.path for one in excused(known.case, known.assessment)]
    assert "installation.valley_method" in paths
    assert _doubts({}) == []


def test_a_doubt_holds_nothing_and_quotes_the_reason() -> None:
    before = known_good().punch_list
    after = known_good({"job.permit.inspections": "n/a, the clerk was away"}).punch_list
    [item] = [item for item in after if item.rule == "IDN-014"]
    assert "“n/a, the clerk was away”" in str(item.says)
    assert not item.holds
    assert [one.rule for one in after if one.holds] == [one.rule for one in before if one.holds]


@pytest.mark.parametrize(
    ("edits", "doubted"),
    [
        ({"locality.permit_needed": "no"}, False),
        ({"locality.closing": "no permit needed"}, False),
        ({}, True),
    ],
)
def test_the_locality_decides_whether_a_permit_is_asked_for(
    edits: dict[str, object], doubted: bool
) -> None:
    found = _doubts({"job.permit.issued": "n/a, not asked for here", **edits})
    assert found == ([("IDN-014", "permit.issued")] if doubted else [])
