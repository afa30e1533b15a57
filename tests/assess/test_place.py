"""A place on the roof, and where to look first: what the record shows, and one order for every roof."""

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from dossier.assess.look_first import Look, NotedLater, Spot, look_first
from dossier.assess.place import PlaceAnswer, PlaceAsked, Tie, place_answer
from dossier.assess.results import Met
from dossier.words import Backing, Role
from tests.compose.made import EMPTIED
from tests.known_good import Known, known_good

ORDER = (
    *("flashing", "penetration", "valley", "ice dam", "wind-lifted shingle", "exposed nail"),
    *("condensation", "foot traffic and later work", "manufacturing"),
)
"""The fixed order of the claim's own list; common practice, no published source."""


def at(known: Known, **place: Any) -> PlaceAnswer:
    return place_answer(known.case, known.assessment, PlaceAsked(**{"slope": "back", **place}))


def looks(known: Known, *later: NotedLater, **place: Any) -> tuple[Look, ...]:
    return look_first(known.case, known.facts, known.assessment, at(known, **place), later)


@pytest.mark.parametrize(
    ("from_eave_ft", "edits", "met"),
    [
        (Fraction(3), {}, Met.MET),
        (Fraction(68, 12), {}, Met.MET),
        (Fraction(69, 12), {}, Met.NOT_MET),
        # Two inches of the first course go down the fascia, so that 66 in are left on the slope.
        (Fraction(67, 12), {"job.installation.fascia_wrap_in": "2 in"}, Met.NOT_MET),
        (None, {}, Met.CANNOT_TELL),
        (Fraction(3), {"job.installation.ice_barrier_reach_in": None}, Met.CANNOT_TELL),
    ],
)
def test_whether_the_ice_barrier_reaches_the_place(
    from_eave_ft: Fraction | None, edits: dict[str, object], met: Met
) -> None:
    assert at(known_good(edits), from_eave_ft=from_eave_ft).barrier is met


def test_an_unknown_slope_takes_in_the_whole_roof() -> None:
    answer = at(known_good(), slope=None, from_eave_ft=Fraction(3))
    assert answer.slopes == ("front", "back")
    assert answer.barrier is Met.CANNOT_TELL


@pytest.mark.parametrize(
    ("lots", "tie", "marks"),
    [
        ("0012345 x 30; 0012346 x 12", Tie.ROOF, ["0012345", "0012346"]),
        ("0012345 x 30 on front; 0012346 x 12 on back", Tie.SLOPE, ["0012346"]),
        ("0012345 x 30 on front; 0012346 x 12", Tie.ROOF, ["0012346"]),
        ("0012345 x 42", Tie.ONLY, ["0012345"]),
        ("0012345 x 30", Tie.ROOF, ["0012345"]),
        ("0012345 x 42 on front", Tie.NONE, []),
    ],
)
def test_a_lot_is_told_for_a_slope_only_as_surely_as_the_record_ties_it(
    lots: str, tie: Tie, marks: list[str]
) -> None:
    line = f"42 bundles Fenwright 40, colour Slate Grey, lots {lots}"
    known = known_good({"job.deliveries.0.lines.0": line})
    (layer,) = [one for one in at(known).layers if one.role is Role.FIELD_SHINGLE]
    assert (layer.tie, [lot.mark for lot in layer.lots]) == (tie, marks)


def test_only_repairs_of_the_slope_are_near() -> None:
    assert [one.slope for one in at(known_good()).repairs] == ["back"]
    assert at(known_good(), slope="front").repairs == ()
    # One whose slope nobody wrote down may lie here as well.
    unknown = known_good({"job.repairs.0.slope": None})
    assert len(at(unknown, slope="front").repairs) == 1


def roles(known: Known, slope: str) -> set[Role]:
    return {one.role for one in at(known, slope=slope).layers}


@pytest.mark.parametrize(
    ("edits", "there"),
    [
        ({}, False),
        ({"job.decks": "plywood 1/2 in, redecked part"}, True),
        ({"job.decks": "plywood 1/2 in, redecked whole"}, True),
        ({"job.decks": "plywood 1/2 in"}, True),
        ({"job.repairs.0.slope": None}, True),
        ({"job.decks": None}, True),
    ],
)
def test_new_panels_are_listed_only_where_they_may_lie(
    edits: dict[str, object], there: bool
) -> None:
    """The demo's two sheets went on the back slope; the deck of the front was kept."""
    known = known_good(edits)
    assert Role.DECK_PANEL in roles(known_good(), "back")
    assert (Role.DECK_PANEL in roles(known, "front")) is there


def test_flashing_photos_stand_where_the_slope_has_something_to_flash() -> None:
    """The back slope has one pipe, and no wall or chimney on record."""
    found = {look.spot: [one.text for one in look.findings] for look in looks(known_good())}
    assert any("photo of flashing" in text for text in found[Spot.PENETRATION])
    assert not any("photo" in text for text in found[Spot.FLASHING])
    walled = known_good(
        {"job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, walls 8 ft, pipes 1"}
    )
    found = {look.spot: [one.text for one in look.findings] for look in looks(walled)}
    assert any("photo of flashing" in text for text in found[Spot.FLASHING])
    assert any("photo of flashing" in text for text in found[Spot.PENETRATION])
    assert "Boots seated: not noted separately." in found[Spot.PENETRATION]


@pytest.mark.parametrize("edits", [{}, EMPTIED, {"job.slopes": None}])
@pytest.mark.parametrize("slope", ["back", None])
def test_the_order_is_the_same_on_every_roof_and_no_place_is_left_out(
    edits: dict[str, object], slope: str | None
) -> None:
    found = looks(known_good(edits), slope=slope)
    assert tuple(look.spot.value for look in found) == ORDER
    assert all(look.findings for look in found)


def test_an_emptied_record_shows_nothing_and_says_so() -> None:
    for look in looks(known_good(EMPTIED), slope=None):
        backed = [
            one for one in look.findings if one.backing in (Backing.REVIEWED, Backing.ON_FILE)
        ]
        photos = [one for one in backed if "photo" in one.text]
        assert backed == photos, "only a photo may back what the record leaves blank"


def test_no_finding_weighs_a_cause() -> None:
    for edits in ({}, EMPTIED):
        for look in looks(known_good(edits)):
            text = " ".join(one.text for one in look.findings).lower()
            for word in ("likely", "probabl", "because of", "caused by", "fault of", "liable"):
                assert word not in text


def test_a_verdict_against_a_rule_is_marked_as_one() -> None:
    """So that the homeowner's edition can leave it out and print the figure alone."""
    judged = [one.text for look in looks(known_good()) for one in look.findings if one.judges]
    plain = [one.text for look in looks(known_good()) for one in look.findings if not one.judges]
    assert len(judged) == 3
    for word in ("reaches", "enough", "pass."):
        assert any(word in text for text in judged)
        assert not any(text.endswith(f": {word}") for text in plain)


def test_later_work_is_told_where_it_belongs() -> None:
    note = NotedLater(date(2035, 5, 1), "work by others", "a dish mounted, slope back")
    (look,) = [one for one in looks(known_good(), note) if one.spot is Spot.FOOT_TRAFFIC]
    assert [one.text for one in look.findings] == [
        "1 May 2035, work by others: a dish mounted, slope back."
    ]
