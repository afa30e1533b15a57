"""The order of the punch list: what is lost soonest, life safety before all."""

import random
from dataclasses import replace
from datetime import date

from dossier.punchlist import Holds, Item, Party, PunchList, Verdict, Weight, Where
from dossier.said import Said
from tests.known_good import known_good

_NOTE = Item(
    rule="TST-001",
    weight=Weight.NOTE,
    verdict=Verdict.MISSING,
    says=Said("note"),
    why=Said(""),
    source="",
    owed_by=Party.CREW,
    remedy=Said(""),
    holds=frozenset(),
    due=None,
    where=Where("job.yaml"),
)
_HOLDS = replace(
    _NOTE, weight=Weight.HOLDS, holds=frozenset({Holds.PERMIT}), says=Said("holds, no day")
)
_IN_ORDER = (
    replace(_NOTE, says=Said("danger, a note"), life_safety=True),
    replace(_HOLDS, says=Said("holds, past"), due=date(2026, 10, 1)),
    replace(_HOLDS, says=Said("holds, soon"), due=date(2026, 10, 22)),
    replace(_HOLDS, says=Said("holds, late"), due=date(2027, 1, 1)),
    _HOLDS,
    replace(_NOTE, weight=Weight.WEAKENS, says=Said("weakens, a day"), due=date(2026, 10, 21)),
    replace(_NOTE, weight=Weight.WEAKENS, says=Said("weakens, no day")),
    replace(_NOTE, says=Said("note, a day"), due=date(2026, 10, 21)),
    _NOTE,
)


def test_items_stand_by_what_is_lost_soonest_however_they_were_found() -> None:
    shuffled = list(_IN_ORDER)
    random.Random(3).shuffle(shuffled)
    assert PunchList.of(shuffled).items == _IN_ORDER


def test_two_days_before_it_is_lost_the_registration_stands_first_and_holds() -> None:
    edits: dict[str, object] = {
        "run.today": "2026-11-18",
        "job.installation": None,
        "job.permit.closed_on": None,
    }
    first = known_good(edits).punch_list.items[0]
    assert (first.rule, first.due, bool(first.holds)) == ("REG-002", date(2026, 11, 20), True)
    danger, second, *_ = known_good({**edits, "job.after_work": None}).punch_list
    assert (danger.rule, second.rule) == ("SAF-001", "REG-002")


def test_a_packet_that_is_ready_may_be_sent_on_its_last_day() -> None:
    known = known_good({"run.today": "2026-11-20"})
    assert known.punch_list.is_ready(Holds.REGISTRATION)
    assert not known.punch_list.is_ready(Holds.HANDOVER)
    assert known_good({"run.today": "2026-11-06"}).punch_list.is_ready(Holds.HANDOVER)


def test_only_what_puts_people_in_danger_is_life_safety() -> None:
    early = {
        "job.after_work.flues": "Ida Torvik, 2026-09-15",
        "job.after_work.ducts": "Ida Torvik, 2026-09-15",
    }
    danger = {item.where.field: item.life_safety for item in known_good(early).punch_list}
    assert danger["after_work.flues"]
    assert not danger["after_work.ducts"]
