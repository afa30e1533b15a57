"""The punch list on paper: who owes what, soonest first, and what it prints of an unreadable record."""

from dataclasses import replace
from datetime import date

from dossier.compose.punch_list.pages import CAUTION, PunchListPages, punch_list_pages
from dossier.punchlist import Holds, Item, Party, PunchList, Sends, Verdict, Weight, Where
from tests.compose.made import everything, made
from tests.known_good import known_good

ITEM = Item(
    rule="TST-001",
    weight=Weight.HOLDS,
    verdict=Verdict.MISSING,
    says="One thing is missing.",
    why="A reason.",
    source="A source",
    owed_by=Party.CREW,
    remedy="Do it.",
    holds=frozenset({Holds.PERMIT, Holds.HANDOVER}),
    due=None,
    where=Where("job.yaml", 3, "job"),
)


def composed(*items: Item) -> PunchListPages:
    return punch_list_pages(None, "2026-041", PunchList.of(items), known_good().run)


def test_groups_by_party_and_what_is_lost_soonest_first() -> None:
    late = replace(ITEM, rule="TST-002", says="Late.", due=date(2026, 12, 1))
    soon = replace(ITEM, rule="TST-003", says="Soon.", due=date(2026, 10, 25), weight=Weight.NOTE)
    office = replace(ITEM, owed_by=Party.OFFICE, says="Office.")
    doc = composed(ITEM, late, soon, office)
    assert [group.title for group in doc.groups] == ["Owed by the crew", "Owed by the office"]
    assert [row.says[0] for row in doc.groups[0].rows] == [
        "Late.",
        "One thing is missing.",
        "Soon.",
    ]
    assert doc.groups[0].rows[2].due == "25 October 2026, 5 days left"
    assert doc.groups[0].rows[1].due == "no date"
    assert doc.parties == (("crew", "3", "25 October 2026"), ("office", "1", "no date"))


def test_parties_go_by_what_each_loses_soonest() -> None:
    note = replace(ITEM, owed_by=Party.CREW, holds=frozenset(), weight=Weight.NOTE)
    holding = replace(ITEM, owed_by=Party.OFFICE)
    dated = replace(note, owed_by=Party.MAKER, due=date(2026, 12, 1))
    danger = replace(note, owed_by=Party.HOMEOWNER, life_safety=True)
    titles = [group.title for group in composed(note, holding, dated, danger).groups]
    assert titles == [
        "Owed by the homeowner",
        "Owed by the office",
        "Owed by the maker",
        "Owed by the crew",
    ]


def test_each_block_says_whom_to_reach() -> None:
    job = known_good({"job.deliveries.0.supplier": "Fjordgate Building Supply"})
    items = PunchList.of(replace(ITEM, owed_by=party) for party in Party)
    doc = punch_list_pages(job.case, "2026-041", items, job.run)
    reach = {group.title.removeprefix("Owed by the "): group.reach for group in doc.groups}
    assert reach["permit office"] == (
        "Vintermark County Building Office, 2 Court Square, Halvorsted, 555-0120, building@example.com"
    )
    assert reach["homeowner"] == "Marit Ekdahl, 555-0141, m.ekdahl@example.com"
    assert "555-0181" in reach["maker"]
    assert reach["supplier"] == "Fjordgate Building Supply"
    assert reach["crew"] == "Jens Aberg"
    assert reach["insurer"] == ""


def test_a_due_day_says_what_day_it_is_where_its_rule_has_one() -> None:
    named = replace(ITEM.manner, due_is="last day to register")
    soon = replace(ITEM, manner=named, due=date(2026, 10, 25))
    (group,) = composed(soon).groups
    assert group.rows[0].due == "25 October 2026, 5 days left: last day to register"


def test_a_due_day_that_is_past_says_so() -> None:
    (group,) = composed(replace(ITEM, due=date(2026, 10, 19))).groups
    assert group.rows[0].due == "19 October 2026, 1 day past"


def test_items_alike_share_their_reason_and_are_all_counted() -> None:
    other = replace(ITEM, says="Another is missing.", where=Where("job.yaml", 9, "job"))
    doc = composed(ITEM, other)
    (group,) = doc.groups
    assert group.count == "2 items"
    (row,) = group.rows
    assert set(row.says) == {ITEM.says, other.says}
    assert row.where == ("job.yaml:3", "job", "job.yaml:9")


def test_what_is_held_is_printed_in_one_order() -> None:
    (group,) = composed(ITEM).groups
    assert group.rows[0].holds == "handover, permit"
    ready = {row.what: (row.ready, row.word, row.count) for row in composed(ITEM).ready}
    assert ready["Permit"] == (False, "not ready", "1 item to clear")
    assert ready["Payment"] == (True, "ready", "nothing holds it")


def test_an_unreadable_record_prints_its_items_alone() -> None:
    doc = composed(replace(ITEM, rule="SHP-005", holds=frozenset(Holds)))
    assert not doc.readable
    assert doc.pictures == ()
    assert all(not row.ready for row in doc.ready)


def test_every_item_of_a_job_is_printed() -> None:
    job = made({"job.permit": None, "job.installation": None, "job.work": None})
    text = everything(job.punch_list)
    items = job.known.punch_list
    assert len(items) > 10
    for item in items:
        assert item.says in text
        assert item.remedy in text
        assert item.rule in text


def test_the_caution_stands_where_an_item_sends_somebody_up() -> None:
    assert composed(ITEM).caution == ""
    up = replace(ITEM.manner, sends=Sends.UP)
    assert composed(replace(ITEM, manner=up)).caution == CAUTION
