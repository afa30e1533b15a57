"""What the record shows at each place to look: only what it says, and nothing where it says nothing.

Judge: the record as typed, spot by spot. Order and groups of the places are common practice, no published source,
and are judged in `test_place.py`.
"""

import pytest

from dossier.assess.look_first import NotedLater, Spot, look_first
from dossier.assess.place import PlaceAsked, place_answer
from dossier.words import Backing, EntryKind
from tests.known_good import Known, known_good

BACK = {
    "label": "back",
    "faces": "N",
    "pitch": "6:12",
    "plan": "40 ft x 14 ft",
    "eave_ft": "40 ft",
    "rake_ft": "31.3 ft",
    "penetrations": "1",
}


def found(
    spot: Spot, edits: dict[str, object] | None = None, slope: str | None = "back"
) -> list[tuple[str, Backing, bool]]:
    known: Known = known_good(edits)
    place = place_answer(known.case, known.assessment, PlaceAsked(slope=slope))
    (look,) = [
        look
        for look in look_first(known.case, known.facts, known.assessment, place, ())
        if look.spot is spot
    ]
    return [(str(one.text), one.backing, one.judges) for one in look.findings]


def texts(
    spot: Spot, edits: dict[str, object] | None = None, slope: str | None = "back"
) -> list[str]:
    return [text for text, *_ in found(spot, edits, slope)]


def back(**fields: object) -> dict[str, object]:
    return {"job.slopes.1": {**BACK, **fields}}


# Flashing.


def test_flashing_of_a_slope_without_wall_or_chimney() -> None:
    assert texts(Spot.FLASHING) == [
        "No wall or chimney that meets this slope is on record.",
        "Flashing, by the record: replaced.",
    ]


def test_walls_chimneys_and_crickets_of_the_slopes_asked_about() -> None:
    chimneys = [{"width_in": "32 in", "cricket": "yes"}, {"width_in": "20 in"}]
    edits = back(step_flashing_ft="8 ft", chimneys=chimneys, eave_meets_wall="yes")
    said = texts(Spot.FLASHING, edits)
    assert said[:4] == [
        "Slope back: 8 ft along walls and chimneys, as measured.",
        "2 chimneys on record, 1 with a cricket.",
        "Flashing, by the record: replaced.",
        "An eave meets a wall here; kick-out: not on record.",
    ]
    # The other slope has none of them, and the whole roof has them all.
    assert texts(Spot.FLASHING, edits, "front")[0].startswith("No wall or chimney")
    assert texts(Spot.FLASHING, edits, None)[:2] == said[:2]


def test_a_chimney_alone_is_something_to_flash() -> None:
    said = texts(Spot.FLASHING, back(chimneys=[{"width_in": "20 in"}]))
    assert said[0] == "1 chimney on record, 0 with a cricket."
    assert not any(text.startswith("No wall or chimney") for text in said)
    assert any("of flashing" in text for text in said)


@pytest.mark.parametrize(("typed", "word"), [("yes", "set"), ("no", "not set")])
def test_the_kick_out_as_typed(typed: str, word: str) -> None:
    edits = {**back(eave_meets_wall="yes"), "job.installation.kick_out": typed}
    assert f"An eave meets a wall here; kick-out: {word}." in texts(Spot.FLASHING, edits)


def test_blank_flashing_is_absent_and_not_a_word() -> None:
    text, backing, _ = found(Spot.FLASHING, {"job.installation.flashing": None})[1]
    assert text == "Whether flashing was replaced or kept is not on record."
    assert backing is Backing.ABSENT
    assert found(Spot.FLASHING, {"job.installation": None})[1][0] == text


# Pipes and vents.


def test_pipes_skylights_boots_and_flues() -> None:
    edits = {
        **back(penetrations="3", skylights="2"),
        "job.after_work.boots": "Ida Torvik, 2026-09-16",
    }
    said = texts(Spot.PENETRATION, edits)
    assert said[:3] == [
        "Slope back: 3 pipes or vents and 2 skylights on record.",
        "Pipe boots delivered: Eavewright pipe boot.",
        "Boots seated: seen by Ida Torvik on 16 September 2026.",
    ]
    assert said[-1] == "Flues connected and open: seen by Sverre Holt on 16 September 2026."


def test_no_pipe_is_a_count_and_a_blank_is_none() -> None:
    nought = found(Spot.PENETRATION, back(penetrations="0"))[0]
    assert nought[:2] == ("Slope back: 0 pipes or vents on record.", Backing.STATED)
    blank = found(Spot.PENETRATION, back(penetrations=""))[0]
    assert blank[:2] == (
        "How many pipes and vents go through this slope is not on record.",
        Backing.ABSENT,
    )


def test_a_look_without_a_name_is_nobody_s_and_one_without_a_day_says_so() -> None:
    nobody = {"job.after_work.flues": {"on": "2026-09-16"}}
    text, backing, _ = found(Spot.PENETRATION, nobody)[-1]
    assert (text, backing) == (
        "Flues connected and open: nobody’s look is on record.",
        Backing.ABSENT,
    )
    undated = {"job.after_work.flues": {"by": "Ida Torvik", "note": "a new cap"}}
    assert texts(Spot.PENETRATION, undated)[-1] == (
        "Flues connected and open: seen by Ida Torvik, day not on record (a new cap)."
    )


# Valleys.


def test_a_roof_without_valleys_asks_nothing_of_them() -> None:
    assert texts(Spot.VALLEY) == ["No valley is measured at this slope."]


def test_a_valley_measured_at_the_neighbour_may_lie_between() -> None:
    edits = {
        **back(valley_ft="12 ft"),
        "job.installation.valley_method": "open metal",
        "job.installation.valley_lining_in": "24 in",
    }
    laid = "Valleys, by the record: open metal, lining 24 in wide."
    assert texts(Spot.VALLEY, edits) == ["Slope back: 12 ft of valley.", laid]
    assert texts(Spot.VALLEY, edits, "front") == [
        "No valley is measured at this slope; a valley is measured at another slope, and may lie between the two.",
        laid,
    ]


def test_what_is_blank_of_a_valley_is_said_to_be() -> None:
    edits = {**back(valley_ft="12 ft"), "job.installation.valley_method": "closed cut"}
    assert texts(Spot.VALLEY, edits)[1] == (
        "Valleys, by the record: closed cut, width of the lining not on record."
    )
    assert (
        texts(Spot.VALLEY, back(valley_ft="12 ft"))[1] == "How valleys were laid is not on record."
    )


# Ice dams, wind, nails.


def test_the_reach_is_a_verdict_and_stands_beside_what_is_asked() -> None:
    """IRC 2021 R905.1.2: 12 in overhang and 24 in, times sqrt(5)/2 on 6:12, is 40.25 in."""
    said = found(Spot.ICE_DAM)
    judged = [text for text, _, judges in said if judges]
    assert len(judged) == 1
    assert judged[0].startswith("Slope back: reach against the code on the locality’s sheet: ")
    assert judged[0].endswith("reaches, 40.25 in asked for.")
    assert said[-1][0].endswith("of ice barrier on file, not reviewed.")
    assert len([one for one in found(Spot.ICE_DAM, slope=None) if one[2]]) == 2


def test_a_photo_of_another_slope_is_told_and_shows_nothing_here() -> None:
    text, backing, _ = found(Spot.ICE_DAM, {"facts.photos/ice-barrier/back.jpg": None})[-1]
    assert text == "No photo of ice barrier on this slope is on file; 1 photo of other slopes."
    assert backing is Backing.ABSENT
    neither = {f"facts.photos/ice-barrier/{slope}.jpg": None for slope in ("front", "back")}
    assert found(Spot.ICE_DAM, neither)[-1][0] == (
        "No photo of ice barrier on this slope is on file."
    )


def test_a_reviewed_photo_is_told_in_the_words_of_who_saw_it() -> None:
    review = {"by": "Ida Torvik", "on": "2026-09-17", "note": "two courses, tape beside"}
    edits = {"photos.0": {"file": "photos/ice-barrier/back.jpg", "reviewed": review}}
    text, backing, _ = found(Spot.ICE_DAM, edits)[-1]
    assert text == (
        "1 photo of ice barrier on file; a named person noted: two courses, tape beside."
    )
    assert backing is Backing.REVIEWED
    for missing in ("by", "on", "note"):
        bare = {name: value for name, value in review.items() if name != missing}
        edits = {"photos.0": {"file": "photos/ice-barrier/back.jpg", "reviewed": bare}}
        assert found(Spot.ICE_DAM, edits)[-1][1] is Backing.ON_FILE


@pytest.mark.parametrize(("typed", "sealed"), [("yes", "yes"), ("no", "no"), ("", "not on record")])
def test_wind_by_the_wrapper_the_starter_and_the_cold(typed: str, sealed: str) -> None:
    said = found(
        Spot.WIND_LIFTED,
        {"job.installation.hand_sealed": typed, "job.installation.lowest_air_f": "38"},
    )
    assert said[0][0].startswith("Wind class on the wrapper: D7158 ")
    assert [judges for *_, judges in said] == [False, True, False, False]
    assert said[2][0] == "Starter at eaves and rakes, by the record."
    assert said[3][0] == f"Coldest air while laying 38 °F; sealed by hand: {sealed}."


def test_a_class_that_says_nothing_at_this_shore_says_why() -> None:
    """ASTM D7158 classes hold in exposure B and C; in D they say nothing."""
    (judged,) = [
        text
        for text, _, judges in found(Spot.WIND_LIFTED, {"job.building.exposure": "D"})
        if judges
    ]
    assert judged.startswith("Wind class for this site: cannot tell (outside the test's standard")
    assert "exposure D" in judged


def test_what_is_blank_of_wind_and_nails_is_absent() -> None:
    bare = {"job.installation": None, "job.deliveries": None}
    said = found(Spot.WIND_LIFTED, bare)
    assert [text for text, *_ in said] == [
        "The shingle’s wind class is not on record.",
        "Where starter was laid is not on record.",
        "The air temperature while laying is not on record.",
    ]
    assert {backing for _, backing, _ in said} == {Backing.ABSENT}
    assert found(Spot.EXPOSED_NAIL, bare)[0][:2] == (
        "How many nails hold each shingle is not on record.",
        Backing.ABSENT,
    )
    told = "6 nails in each shingle."
    assert found(Spot.EXPOSED_NAIL)[0][:2] == (told, Backing.STATED)
    assert found(Spot.EXPOSED_NAIL, slope="front")[0][:2] == (told, Backing.ON_FILE)


# Condensation, later work, the maker's lots.


def test_every_attic_its_verdict_and_its_soffits() -> None:
    second = {
        **{"space": "wing", "floor_area_sqft": "196", "vapour_retarder": "class II"},
        **{"intake": "13 ft Strip soffit vent", "exhaust": "6 ft Highdraft ridge vent"},
    }
    said = found(Spot.CONDENSATION, {"job.building.attics.1": second})
    assert [text for text, *_ in said][:4] == [
        "Attic main: net free area against the code: pass.",
        "Attic main, openings under the eaves clear: seen by Ida Torvik on 16 September 2026.",
        "Attic wing: net free area against the code: pass.",
        "Attic wing, openings under the eaves clear: nobody’s look is on record.",
    ]
    assert [judges for *_, judges in said][:4] == [True, False, True, False]
    assert said[-1][0] == "Baffles in place: not noted separately."


def test_an_unvented_attic_is_not_judged_and_no_attic_is_said() -> None:
    unvented = found(Spot.CONDENSATION, {"job.building.attics.0.kind": "unvented"})
    assert unvented[0] == (
        "Attic main: unvented by its design, by the record.",
        Backing.STATED,
        False,
    )
    assert not any(judges for *_, judges in unvented)
    for gone in ({"job.building": None}, {"job.building.attics": None}):
        assert texts(Spot.CONDENSATION, gone)[0] == "No attic space is on record."


def test_no_later_work_is_said_to_be_unknown() -> None:
    text, backing, _ = found(Spot.FOOT_TRAFFIC)[0]
    assert text.startswith("The record holds nothing on anybody on this roof since")
    assert backing is Backing.ABSENT
    known = known_good()
    place = place_answer(known.case, known.assessment, PlaceAsked(slope="back"))
    noted = NotedLater(known.run.today, EntryKind.REPAIR, None)
    (look,) = [
        one
        for one in look_first(known.case, known.facts, known.assessment, place, (noted,))
        if one.spot is Spot.FOOT_TRAFFIC
    ]
    assert [str(one.text) for one in look.findings] == ["20 October 2026, repair."]


def test_lots_and_the_spare_that_was_left() -> None:
    line = {
        **{"quantity": "42", "unit": "bundles", "product": "Fenwright 40"},
        "left_with_owner": "1 bundle, in the garage",
    }
    one = {"job.deliveries.0.lines.0": {**line, "lots": "0012345 x 42"}}
    said = texts(Spot.MANUFACTURING, one)
    assert said[0].startswith("Fenwright 40: lot 0012345; ")
    assert said[1] == "Spare left with the owner: 1 bundle, in the garage."
    assert texts(Spot.MANUFACTURING)[0].startswith("Fenwright 40: lots 0012345 and 0012346; ")
    without = found(Spot.MANUFACTURING, {"job.deliveries.0.lines.0": line})[0]
    assert without[:2] == (
        "Fenwright 40: no lot that lies here is on record.",
        Backing.ABSENT,
    )
    assert texts(Spot.MANUFACTURING, {"job.deliveries": None}) == ["No field shingle is on record."]
