"""A place on the roof, and where to look first: what the record shows, and one order for every roof."""

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from dossier.assess.look_first import Look, NotedLater, Spot, look_first
from dossier.assess.place import PlaceAnswer, PlaceAsked, Tie, place_answer
from dossier.assess.results import Met
from dossier.said import say
from dossier.words import Backing, DeckKind, EntryKind, Phase, Role
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
    found = {look.spot: [str(one.text) for one in look.findings] for look in looks(known_good())}
    assert any("photo of flashing" in text for text in found[Spot.PENETRATION])
    assert not any("photo" in text for text in found[Spot.FLASHING])
    walled = known_good(
        {"job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, walls 8 ft, pipes 1"}
    )
    found = {look.spot: [str(one.text) for one in look.findings] for look in looks(walled)}
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
        photos = [one for one in backed if "photo" in str(one.text)]
        assert backed == photos, "only a photo may back what the record leaves blank"


def test_no_finding_weighs_a_cause() -> None:
    for edits in ({}, EMPTIED):
        for look in looks(known_good(edits)):
            text = " ".join(str(one.text) for one in look.findings).lower()
            for word in ("likely", "probabl", "because of", "caused by", "fault of", "liable"):
                assert word not in text


def test_a_verdict_against_a_rule_is_marked_as_one() -> None:
    """So that the homeowner's edition can leave it out and print the figure alone."""
    judged = [str(one.text) for look in looks(known_good()) for one in look.findings if one.judges]
    plain = [
        str(one.text) for look in looks(known_good()) for one in look.findings if not one.judges
    ]
    assert len(judged) == 3
    for word in ("reaches", "enough", "pass."):
        assert any(word in text for text in judged)
        assert not any(text.endswith(f": {word}") for text in plain)


def test_later_work_is_told_where_it_belongs() -> None:
    note = NotedLater(date(2035, 5, 1), EntryKind.WORK_BY_OTHERS, say("a dish mounted, slope back"))
    (look,) = [one for one in looks(known_good(), note) if one.spot is Spot.FOOT_TRAFFIC]
    assert [str(one.text) for one in look.findings] == [
        "1 May 2035, work by others: a dish mounted, slope back."
    ]


# A slope's own words go before those on the whole roof, in every room alike.

BACK = {"label": "back", "faces": "N", "pitch": "6:12", "plan": "40 ft x 14 ft", "eave_ft": "40 ft"}


@pytest.mark.parametrize(
    ("own", "met"),
    [
        ({}, Met.MET),
        ({"ice_barrier_reach_in": "36 in"}, Met.MET),
        ({"ice_barrier_reach_in": "35 in"}, Met.NOT_MET),
        # None was laid on this slope, whatever holds of the others.
        ({"ice_barrier_reach_in": "0 in"}, Met.NOT_MET),
        ({"ice_barrier_courses": "0"}, Met.NOT_MET),
        # Its own courses were counted and not measured: the others' measure says nothing of it.
        ({"ice_barrier_courses": "1"}, Met.CANNOT_TELL),
        ({"ice_barrier_whole": "yes"}, Met.MET),
    ],
)
def test_the_barrier_of_a_slope_is_by_its_own_words(own: dict[str, str], met: Met) -> None:
    edits = {"job.slopes.1": {**BACK, **own}}
    assert at(known_good(edits), from_eave_ft=Fraction(3)).barrier is met


def test_a_slope_s_own_deck_goes_before_one_that_is_told_of_all() -> None:
    every = {"kind": "plywood", "thickness_in": "1/2 in"}
    own = {"kind": "board", "thickness_in": "3/4 in", "slopes": ["back"]}
    for decks in ([every, own], [own, every]):
        known = known_good({"job.decks": decks})
        deck, other = at(known).deck, at(known, slope="front").deck
        assert deck is not None
        assert (deck.kind, deck.slopes) == (DeckKind.BOARD, ("back",))
        assert other is not None
        assert other.kind is DeckKind.PLYWOOD
        assert at(known, slope=None).deck is None
    # Of two that both say they lie here, neither is told.
    assert at(known_good({"job.decks": [own, {**own, "kind": "OSB"}]})).deck is None
    assert at(known_good({"job.decks": None})).deck is None


def test_who_did_a_phase_on_the_slope_and_who_looked() -> None:
    edits = {
        "job.work.0": "2026-09-14, tear-off + deck, on back, checked by Ida Torvik",
        "job.work.4": "2026-09-15, deck, on front, checked by Jens Aberg on 2026-09-16",
        "job.work.5": "2026-09-15, deck repair, on back",
    }
    known = known_good(edits)

    def decks(slope: str | None) -> list[tuple[str | None, date | None]]:
        looked = [work for work in at(known, slope=slope).work if work.phase is Phase.DECK]
        return [(work.checked_by, work.checked_on) for work in looked]

    back, front = ("Ida Torvik", date(2026, 9, 14)), ("Jens Aberg", date(2026, 9, 16))
    assert (decks("back"), decks("front"), decks(None)) == ([back], [front], [back, front])
    (repair,) = [work for work in at(known).work if work.phase is Phase.DECK_REPAIR]
    assert (repair.checked_by, repair.checked_on) == (None, None)


def test_a_deck_is_seen_as_far_as_the_weakest_slope_asked_about() -> None:
    gone = known_good({"facts.photos/deck/front.jpg": None})
    assert at(gone).deck_seen is Backing.ON_FILE
    assert at(gone, slope="front").deck_seen is Backing.STATED
    assert at(gone, slope=None).deck_seen is Backing.STATED
    left = known_good({"job.slopes.1": {**BACK, "old_membrane_left": "yes"}})
    assert [at(left, slope=one).membrane_left for one in ("back", "front", None)] == [
        *(True, False, True)
    ]


def test_a_repair_whose_slope_nobody_typed_may_lie_here() -> None:
    repair = {"kind": "sheets replaced", "sheets": "2"}
    known = known_good({"job.repairs": [repair]})
    assert len(at(known, slope="front").repairs) == 1
    named = known_good({"job.repairs": [{**repair, "slope": "back"}]})
    assert [len(at(named, slope=one).repairs) for one in ("back", "front", None)] == [1, 0, 1]


def test_a_lot_of_this_slope_beside_one_of_no_slope_is_not_the_only_one_here() -> None:
    line = "42 bundles Fenwright 40, colour Slate Grey, lots 0012345 x 30 on front; 0012346 x 12"
    known = known_good({"job.deliveries.0.lines.0": line})
    (shingles,) = [one for one in at(known, slope="front").layers if one.role is Role.FIELD_SHINGLE]
    assert (shingles.tie, [lot.mark for lot in shingles.lots]) == (
        Tie.ROOF,
        ["0012345", "0012346"],
    )


def test_panels_of_a_slope_that_was_redecked_lie_on_no_other() -> None:
    deck = {"kind": "plywood", "thickness_in": "1/2 in"}
    decks = [
        {**deck, "slopes": ["front"], "redecked": "no"},
        {**deck, "slopes": ["back"], "redecked": "whole"},
    ]
    known = known_good({"job.decks": decks, "job.repairs": None})
    assert Role.DECK_PANEL in roles(known, "back")
    assert Role.DECK_PANEL not in roles(known, "front")
