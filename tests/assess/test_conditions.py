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
        assert str(result.because) == (
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
        assert "a garage that stands alone" in str(result.because)


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
    assert str(without.because).startswith(f"all made by Kestrelmoor; {role} is not asked for: ")
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
    assert str(result.because) == "no slope where it could be seen"


CUT_CAPS = {"product": "Fenwright 40", "quantity": "2", "role": "hip and ridge", "covers_ft": "25"}


@pytest.mark.parametrize(
    "condition",
    [
        {"same_maker": ["hip and ridge"]},
        {"counted_accessories": {"at_least": "1", "of": "hip and ridge"}},
    ],
)
def test_caps_cut_on_site_are_not_the_maker_s_own_unless_the_sheet_lets_them(
    condition: dict[str, Any],
) -> None:
    # Terms that ask for a maker's own caps mean a product of that name (reading of such clauses, from memory).
    cut = {"job.deliveries.0.lines.2": CUT_CAPS}
    assert judged(condition, {}).met is Met.MET
    assert judged(condition, cut).met is Met.NOT_MET
    allowed = {**cut, "terms.kestrelmoor-2026.cut_from_shingles": "hip and ridge"}
    assert judged(condition, allowed).met is Met.MET


def test_a_product_that_all_went_back_spoils_nothing() -> None:
    other = {"product": "Ridgeback caps", "quantity": "2", "returned": "2"}
    edits = {"job.deliveries.0.lines.10": other}
    assert judged({"same_maker": ["hip and ridge"]}, edits).met is Met.MET
    kept = {"job.deliveries.0.lines.10": {**other, "returned": "1"}}
    assert judged({"same_maker": ["hip and ridge"]}, kept).met is Met.NOT_MET


def test_a_deck_below_one_slope_says_nothing_of_the_other() -> None:
    result = judged(
        {"deck": {"kinds": "plywood"}}, {"job.decks": {"slopes": "front", "kind": "plywood"}}
    )
    assert (result.met, str(result.needs)) == (Met.CANNOT_TELL, "the deck of slope back")


@pytest.mark.parametrize(
    ("front", "back", "met"),
    [
        # A gable has rakes, typed or not.
        ({"ridge_ft": "40"}, {}, Met.NOT_MET),
        ({"ridge_ft": "40", "rake_ft": "31.3"}, {"rake_ft": "31.3"}, Met.NOT_MET),
        ({"rake_ft": "0"}, {"rake_ft": "0"}, Met.MET),
        # A hip roof has none, and its hips are on record.
        ({"hip_ft": "42"}, {"hip_ft": "42"}, Met.MET),
    ],
)
def test_starter_at_rakes_is_asked_for_unless_the_roof_has_none(
    front: dict[str, str], back: dict[str, str], met: Met
) -> None:
    plain = {"pitch": "6:12", "area_sqft": "626", "eave_ft": "40"}
    slopes = [{"label": "front", **plain, **front}, {"label": "back", **plain, **back}]
    edits = {"job.slopes": slopes, "job.installation.starter_at": "eaves"}
    assert judged({"starter_at": "eaves, rakes"}, edits).met is met


@pytest.mark.parametrize(
    ("payments", "met", "needs"),
    [
        ("2026-09-29, 15,052.00", Met.MET, ""),
        ("2026-09-29, 15,051.99", Met.NOT_MET, ""),
        ({"amount": "15,052.00"}, Met.CANNOT_TELL, "the day of every payment"),
        ({"amount": "15,051.99"}, Met.NOT_MET, ""),
        ({"on": "2026-09-29"}, Met.CANNOT_TELL, "the amount of every payment"),
    ],
)
def test_paid_in_full(payments: Any, met: Met, needs: str) -> None:
    # Contract 14,860.00 and change order 192.00: 15,052.00.
    result = judged({"paid_in_full": "yes"}, {"job.money.payments": payments})
    assert (result.met, str(result.needs or "")) == (met, needs)


@pytest.mark.parametrize(
    ("first", "last", "met"),
    [
        # The work ran from 14 to 16 September 2026.
        ("2026-09-14", "2026-09-16", Met.MET),
        ("2026-09-15", "2026-12-31", Met.NOT_MET),
        ("2026-01-01", "2026-09-15", Met.NOT_MET),
    ],
)
def test_a_certification_covers_every_day_of_the_work(first: str, last: str, met: Met) -> None:
    held = {"maker": "Kestrelmoor", "level": "Assembly Installer"}
    edits = {"company.certifications": [{**held, "valid_from": first, "valid_to": last}]}
    assert judged({"certification": "Assembly Installer"}, edits).met is met


_NAILS_AND_FEE = [{"nails_per_shingle": "9"}, {"fee": "75.00"}, {"full_tear_off": "yes"}]


@pytest.mark.parametrize(
    ("group", "met", "open_"),
    [
        ({"any_of": {"at_least": "1", "of": _NAILS_AND_FEE}}, Met.MET, []),
        (
            {"any_of": {"at_least": "2", "of": _NAILS_AND_FEE}},
            Met.NOT_MET,
            ["nails_per_shingle", "fee"],
        ),
        ({"all_of": _NAILS_AND_FEE}, Met.NOT_MET, ["nails_per_shingle", "fee"]),
        # A group within a group is at rest by itself.
        (
            {"all_of": [{"fee": "75.00"}, {"any_of": {"at_least": "1", "of": _NAILS_AND_FEE}}]},
            Met.NOT_MET,
            ["fee"],
        ),
    ],
)
def test_members_of_a_met_group_are_at_rest(group: Any, met: Met, open_: list[str]) -> None:
    result = judged(group, {})
    assert result.met is met
    assert [leaf.condition.test for leaf in result.open_leaves] == open_
