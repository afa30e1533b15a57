"""What is done already is held by nothing, and what cannot be true is not done."""

import pytest

from dossier.punchlist import Holds, Weight
from tests.known_good import known_good

LATE_PERMIT = {"job.permit.issued": "2026-09-15"}
"""Work began on 14 September: ORD-001, which holds the permit."""


def _holds(edits: dict[str, object], rule: str) -> frozenset[Holds]:
    [item] = [item for item in known_good(edits).punch_list if item.rule == rule]
    assert (item.weight is Weight.HOLDS) == bool(item.holds)
    return item.holds


def test_a_closed_permit_is_not_held() -> None:
    assert _holds(LATE_PERMIT, "ORD-001") == frozenset()


@pytest.mark.parametrize(
    "edits",
    [
        {"job.permit.closed_on": None},
        # A closing that cannot be true closes nothing: before the last day, to come, before or without its final.
        {"job.permit.closed_on": "2026-09-15"},
        {"job.permit.closed_on": "2026-10-21"},
        {"job.permit.closed_on": "2026-09-20"},
        {"job.permit.inspections.1": "final, 2026-09-21, failed, R. Lindmark"},
        {"job.permit.inspections.1": None},
    ],
)
def test_an_open_permit_is_held(edits: dict[str, object]) -> None:
    assert Holds.PERMIT in _holds({**LATE_PERMIT, **edits}, "ORD-001")


def test_a_permit_that_closes_by_photos_needs_no_final() -> None:
    edits = {
        "locality.closing": "photo affidavit",
        "locality.inspections": "deck and ice barrier",
        "job.permit.inspections.1": None,
    }
    assert _holds({**LATE_PERMIT, **edits}, "ORD-001") == frozenset()


NO_DECK_PHOTO = {"facts.photos/deck/back.jpg": None}


def test_a_deck_photo_holds_registration_only_where_a_clause_asks() -> None:
    # Clause 3.7 of the demo's sheet asks for photos; without that condition nothing does.
    assert _holds(NO_DECK_PHOTO, "DEC-006") == {Holds.REGISTRATION}
    conditions = known_good().case.asked[0].level
    assert conditions is not None
    asked = [n for n, one in enumerate(conditions.conditions) if one.photos_of]
    edits = {f"terms.kestrelmoor-2026.levels.2.conditions.{n}": None for n in reversed(asked)}
    assert _holds({**NO_DECK_PHOTO, **edits}, "DEC-006") == frozenset()


def test_a_level_that_needs_no_registration_is_not_held() -> None:
    edits = {"terms.kestrelmoor-2026.levels.2.registration": None}
    assert _holds({**NO_DECK_PHOTO, **edits}, "DEC-006") == frozenset()
