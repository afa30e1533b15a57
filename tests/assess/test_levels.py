"""Where each level stands, what still has to be done for it, and which holds meanwhile, worked out by hand."""

from typing import Any

import pytest

from dossier.assess.levels import can_still_be_met, to_do
from dossier.assess.results import AskedResult, Standing
from tests.known_good import known_good

LEVELS = "terms.kestrelmoor-2026.levels"


def asked(edits: dict[str, Any]) -> AskedResult:
    return known_good(edits).assessment.asked[0]


RECEIVED = {
    "job.warranties.0.submitted_on": "2026-09-25",
    "job.warranties.0.received_on": "2026-09-28",
}


@pytest.mark.parametrize(
    ("edits", "standing", "in_force", "best"),
    [
        # Completion on 21 September, 60 days: 20 November. All conditions met, nothing sent.
        ({}, Standing.OPEN, "Shingle", "Full Assembly"),
        (RECEIVED, Standing.EARNED, "Full Assembly", "Full Assembly"),
        ({"run.today": "2026-11-20"}, Standing.OPEN, "Shingle", "Full Assembly"),
        ({"run.today": "2026-11-21"}, Standing.LOST, "Shingle", "Shingle"),
        # A roof that is finished keeps its nails; the lower level asks for four.
        ({"job.installation.nails_per_shingle": "4"}, Standing.LOST, "Shingle", "Assembly"),
        # What is blank, or can still be handed in, leaves the level open, and a packet does not earn it.
        (
            {**RECEIVED, "job.installation.nails_per_shingle": None},
            Standing.OPEN,
            "Shingle",
            "Full Assembly",
        ),
        ({**RECEIVED, "job.permit.closed_on": None}, Standing.OPEN, "Shingle", "Full Assembly"),
        # Received on day 61 is late though it was met.
        (
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.received_on": "2026-11-21",
                "run.today": "2026-11-22",
            },
            Standing.LOST,
            "Shingle",
            "Shingle",
        ),
    ],
)
def test_where_the_asked_level_stands(
    edits: dict[str, Any], standing: Standing, in_force: str, best: str
) -> None:
    result = asked(edits)
    assert result.level.standing is standing
    assert result.in_force.level == in_force
    assert result.best is not None
    assert result.best.level.level == best


@pytest.mark.parametrize(
    ("group", "edits", "still", "names"),
    [
        # One of two is enough and neither is met: the one that can still be handed in is the way.
        (
            {"any_of": {"at_least": "1", "of": [{"nails_per_shingle": "9"}, {"fee": "75.00"}]}},
            {},
            True,
            ["fee"],
        ),
        ({"all_of": [{"nails_per_shingle": "9"}, {"fee": "75.00"}]}, {}, False, ["fee"]),
        # What nobody told is nearer than what is not there.
        (
            {"any_of": {"at_least": "1", "of": [{"fee": "75.00"}, {"full_tear_off": "yes"}]}},
            {"job.job.scope": None},
            True,
            ["full_tear_off"],
        ),
        ({"fee": "75.00"}, {}, True, ["fee"]),
        ({"full_tear_off": "yes"}, {}, True, []),
    ],
)
def test_the_shortest_way_to_a_level(
    group: dict[str, Any], edits: dict[str, Any], still: bool, names: list[str]
) -> None:
    conditions = asked({**edits, f"{LEVELS}.2.conditions": [group]}).level.conditions
    assert can_still_be_met(conditions[0]) == still
    assert [one.condition.test for one in to_do(conditions)] == names


def test_what_spoils_a_level_is_another_maker_s_or_cut_on_site() -> None:
    only = {f"{LEVELS}.2.conditions": [{"same_maker": "hip and ridge"}]}
    cut = {"product": "Fenwright 40", "quantity": "2", "role": "hip and ridge"}

    def spoilers(line: object) -> list[str]:
        level = asked({**only, "job.deliveries.0.lines.2": line}).level
        return [material.name for material in level.spoiled_by]

    assert spoilers("2 bundles Crownline hip and ridge, lot 1 x 2") == []
    assert spoilers("2 bundles Ridgeback caps, lot 1 x 2") == ["Ridgeback caps"]
    assert spoilers(cut) == ["Fenwright 40"]


def test_a_part_holds_now_only_once_its_level_is_earned() -> None:
    def now(edits: dict[str, Any]) -> set[tuple[str, bool]]:
        lines = known_good(edits).assessment.coverages
        return {(line.title, line.holds_now) for line in lines if line.title.endswith("level")}

    assert now({}) == {("Full Assembly level", False), ("Shingle level", True)}
    assert now(RECEIVED) == {("Full Assembly level", True)}
    # A level that is lost promises nothing.
    assert now({"run.today": "2026-11-21"}) == {("Shingle level", True)}
