"""Pieces that the places of a roof ask for, and the good jobs that can do without a new one."""

from typing import Any

import pytest

from dossier.assess.needed import Needed, needed_details, pipes_of, ridge_is_blank
from dossier.words import Role
from tests.known_good import known_good

BACK = {
    "label": "back",
    "faces": "N",
    "pitch": "6:12",
    "plan": "40 ft x 14 ft",
    "eave_ft": "40",
    "rake_ft": "31.3",
}


def needed(place: dict[str, Any], **edits: object) -> dict[Role, Needed]:
    """Return what is needed with this on the back slope; both demo pipes are left out of it."""
    front = "front, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, ridge 40 ft"
    address = {f"job.{name}": value for name, value in edits.items()}
    known = known_good({"job.slopes": [front, {**BACK, **place}], **address})
    return {one.role: one for one in needed_details(known.case)}


@pytest.mark.parametrize(
    ("place", "role", "because"),
    [
        # IRC R905.2.8.3: flashing along side walls.
        ({"step_flashing_ft": "12"}, Role.FLASHING, "12 ft of the roof run along walls"),
        # IRC R905.2.8.4: chimneys by the maker's instructions.
        ({"chimneys": {"width_in": "24"}}, Role.FLASHING, "the roof has 1 chimney"),
        # IRC R903.2.1: a diverter where an eave meets a wall.
        (
            {"eave_meets_wall": "yes"},
            Role.FLASHING,
            "an eave meets a wall, where a kick-out belongs",
        ),
        ({"skylights": "2"}, Role.SKYLIGHT_KIT, "the roof has 2 skylights"),
    ],
)
def test_a_place_asks_for_its_piece(place: dict[str, Any], role: Role, because: str) -> None:
    one = needed(place)[role]
    assert (str(one.because), one.on_record, one.known) == (because, False, True)


def test_several_places_ask_for_flashing_once() -> None:
    found = needed({"step_flashing_ft": "12", "chimneys": {"width_in": "24"}})
    assert str(found[Role.FLASHING].because) == (
        "12 ft of the roof run along walls and the roof has 1 chimney"
    )


@pytest.mark.parametrize("state", ["reused", "partly replaced"])
def test_flashing_that_was_kept_asks_for_nothing_new(state: str) -> None:
    place = {"step_flashing_ft": "12", "skylights": "1", "penetrations": "1"}
    assert needed(place, **{"installation.flashing": state}) == {}


def test_a_blank_state_of_the_flashing_is_a_question() -> None:
    assert not needed({"step_flashing_ft": "12"}, **{"installation.flashing": None})[
        Role.FLASHING
    ].known


@pytest.mark.parametrize(
    ("method", "asked"), [("open metal", True), ("closed cut", False), ("woven", False)]
)
def test_only_an_open_valley_has_metal(method: str, asked: bool) -> None:
    # IRC R905.2.8.2: a closed valley may be lined with self-adhered sheet to ASTM D1970.
    found = needed({"valley_ft": "18"}, **{"installation.valley_method": method})
    assert (Role.VALLEY in found) == asked


def _stock(product: str, role: str) -> dict[str, object]:
    line = {"product": product, "quantity": "1", "role": role, "maker": "Eavewright"}
    return {"deliveries.2": {"source": "own stock", "lines": [line]}}


@pytest.mark.parametrize(
    ("place", "line", "role", "satisfied"),
    [
        ({"valley_ft": "18"}, ("W metal", "valley"), Role.VALLEY, True),
        ({"valley_ft": "18"}, ("Valley flashing", "flashing"), Role.VALLEY, True),
        ({"valley_ft": "18"}, ("Step flashing", "flashing"), Role.VALLEY, False),
        ({"skylights": "1"}, ("Skylight flashing set", "flashing"), Role.SKYLIGHT_KIT, True),
        ({"skylights": "1"}, ("Step flashing", "flashing"), Role.SKYLIGHT_KIT, False),
        ({"step_flashing_ft": "8"}, ("Step flashing", "flashing"), Role.FLASHING, True),
    ],
)
def test_what_came_off_the_truck_will_do(
    place: dict[str, Any], line: tuple[str, str], role: Role, satisfied: bool
) -> None:
    method = {"installation.valley_method": "open metal"}
    assert needed(place, **method, **_stock(*line))[role].on_record == satisfied


def test_a_roof_whose_pipes_are_flues_and_ducts_needs_no_boot() -> None:
    # One flue and one duct are on record: their own collars and caps flash them.
    none = {"deliveries.0.lines.8": None}
    two, three = {"penetrations": "2"}, {"penetrations": "3"}
    cap = _stock("Flue cap", "duct or flue cap")
    assert not needed(two, **none)[Role.PIPE_BOOT].on_record
    assert needed(two, **none, **cap)[Role.PIPE_BOOT].on_record
    assert not needed(three, **none, **cap)[Role.PIPE_BOOT].on_record
    assert needed(three)[Role.PIPE_BOOT].on_record


def test_pipes_are_counted_over_the_roof() -> None:
    assert pipes_of(known_good().case) == 2


@pytest.mark.parametrize(
    ("front", "back", "blank"),
    [
        # Two slopes that face apart meet in something.
        ({"faces": "S"}, {"faces": "N"}, True),
        ({"faces": "S", "ridge_ft": "40"}, {"faces": "N"}, False),
        ({"faces": "S", "ridge_ft": "0"}, {"faces": "N"}, False),
        ({"faces": "S", "hip_ft": "21"}, {"faces": "N"}, False),
        # A shed above a shed has no ridge.
        ({"faces": "S"}, {"faces": "S"}, False),
    ],
)
def test_a_ridge_that_nobody_typed(
    front: dict[str, str], back: dict[str, str], blank: bool
) -> None:
    plain = {"pitch": "6:12", "plan": "40 ft x 14 ft", "eave_ft": "40", "rake_ft": "31.3"}
    slopes = [{"label": "front", **plain, **front}, {"label": "back", **plain, **back}]
    assert ridge_is_blank(known_good({"job.slopes": slopes}).case) == blank
