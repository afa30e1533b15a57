"""A clause about a thing that not every roof has: asked for where there is a place for it, and nowhere else."""

from typing import Any

import pytest

from dossier.assess.results import ConditionResult, Met
from tests.known_good import known_good

LEVEL = "terms.kestrelmoor-2026.levels.2.conditions"
NO_BARRIER: dict[str, Any] = {
    "locality.ice_barrier.required": "no",
    "job.installation.ice_barrier_courses": None,
    "job.installation.ice_barrier_reach_in": None,
    "job.deliveries.0.lines.4": None,
}


def judged(condition: dict[str, Any], edits: dict[str, Any]) -> ConditionResult:
    said = {"clause": "9.9", "says": "A thing.", **condition}
    known = known_good({**edits, LEVEL: [said]})
    (result,) = known.assessment.asked[0].level.conditions
    return result


@pytest.mark.parametrize(
    "condition",
    [
        {"same_maker": ["ice barrier"]},
        {"photos_of": ["ice barrier"]},
        {"lots_of": ["ice barrier"]},
    ],
)
class TestIceBarrier:
    def photos_gone(self) -> dict[str, Any]:
        found = known_good().case.photos
        return {
            f"facts.{photo.file}": None
            for photo in found
            if photo.phase is not None and photo.phase.value == "ice barrier"
        }

    def test_is_not_asked_for_where_the_locality_asks_for_none(self, condition: Any) -> None:
        result = judged(condition, {**NO_BARRIER, **self.photos_gone()})
        assert result.met is Met.MET
        assert result.because == (
            "ice barrier is not asked for: Vintermark County asks for no ice barrier"
        )

    def test_is_asked_for_wherever_the_sheet_says_so(self, condition: Any) -> None:
        edits = {**NO_BARRIER, **self.photos_gone()}
        result = judged({**condition, "wherever": "yes"}, edits)
        assert result.met is not Met.MET

    def test_is_asked_for_where_the_locality_asks(self, condition: Any) -> None:
        edits = {**NO_BARRIER, **self.photos_gone()}
        del edits["locality.ice_barrier.required"]
        assert judged(condition, edits).met is not Met.MET

    def test_a_reason_that_it_does_not_apply_answers_every_clause(self, condition: Any) -> None:
        edits = {**NO_BARRIER, **self.photos_gone()}
        del edits["locality.ice_barrier.required"]
        edits["job.installation.ice_barrier_courses"] = "n/a, a garage that stands alone"
        result = judged(condition, edits)
        assert result.met is Met.MET
        assert "a garage that stands alone" in result.because


def test_another_maker_s_barrier_spoils_also_where_nobody_asked_for_it() -> None:
    edits = {**NO_BARRIER, "job.deliveries.0.lines.4": "3 rolls Tarnseal ice barrier"}
    assert judged({"same_maker": ["ice barrier"]}, edits).met is Met.NOT_MET


@pytest.mark.parametrize(
    ("role", "place"),
    [
        ("valley", {"valley_ft": "16"}),
        ("flashing", {"step_flashing_ft": "12"}),
        ("flashing", {"chimneys": {"width_in": "20"}}),
        ("skylight kit", {"skylights": "1"}),
    ],
)
def test_a_role_is_asked_for_where_the_roof_has_its_place(role: str, place: dict[str, Any]) -> None:
    condition = {"same_maker": ["starter", role]}
    slope = {
        "label": "back",
        "pitch": "6:12",
        "plan": "40 ft x 14 ft",
        "eave_ft": "40",
        "rake_ft": "31.3",
        "penetrations": "1",
    }
    without = judged(condition, {"job.slopes.1": slope})
    assert without.met is Met.MET
    assert without.because.startswith(f"all made by Kestrelmoor; {role} is not asked for: ")
    with_place = judged(condition, {"job.slopes.1": {**slope, **place}})
    assert with_place.met is Met.CANNOT_TELL


def test_a_deck_that_no_photo_can_show_is_not_asked_of_one() -> None:
    slopes = [
        {
            "label": label,
            "pitch": "6:12",
            "plan": "40 ft x 14 ft",
            "eave_ft": "40",
            "old_membrane_left": "yes",
        }
        for label in ("front", "back")
    ]
    gone = {
        f"facts.{photo.file}": None
        for photo in known_good().case.photos
        if photo.phase is not None and photo.phase.value == "deck"
    }
    result = judged({"photos_of": ["deck"]}, {"job.slopes": slopes, **gone})
    assert result.met is Met.MET
    assert result.because == "no slope where it could be seen"
