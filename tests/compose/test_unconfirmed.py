"""What was taken over from another job is printed as no fact of this roof; what follows from a field says so."""

import pytest

from dossier.case.readers import for_reader
from dossier.compose.parts.levels import level_words
from dossier.compose.parts.roof_pages import how_laid, permit_pairs, who
from dossier.compose.parts.shared import NOT_CONFIRMED, NOT_ON_RECORD, NOT_SHOWN
from dossier.press.carried import record_digest
from dossier.punchlist import Holds
from dossier.record.write import to_yaml
from dossier.words import Edition
from tests.compose.made import made, resale
from tests.known_good import known_good

MARK = "as on 2026-035"


@pytest.mark.parametrize(
    ("field", "typed", "row"),
    [
        ("nails_per_shingle", "6", "Nails"),
        ("underlayment_layers", "1", "Underlayment"),
        ("drip_edge_at", "eaves, rakes", "Drip edge at"),
        ("starter_at", "eaves, rakes", "Starter at"),
    ],
)
def test_how_it_was_laid_is_not_said_by_another_roof(field: str, typed: str, row: str) -> None:
    address = f"job.installation.{field}"
    for value, printed in ((f"{typed}, {MARK}", NOT_CONFIRMED), (None, NOT_ON_RECORD)):
        [said] = [
            pair.text for pair in how_laid(known_good({address: value}).case) if pair.label == row
        ]
        assert said == printed


def test_an_unconfirmed_habit_meets_no_condition_and_one_item_names_all() -> None:
    edits = {
        "job.installation.nails_per_shingle": f"6, {MARK}",
        "job.installation.starter_at": f"eaves, rakes, {MARK}",
    }
    known = known_good(edits)
    blank = known_good(dict.fromkeys(edits))
    told = [item for item in known.punch_list.items if item.rule == "IDN-024"]
    assert len(told) == 1
    assert not told[0].holds
    # All else is as though the fields were blank.
    others = [str(item.says) for item in known.punch_list.items if item.rule != "IDN-024"]
    assert sorted(others) == sorted(str(item.says) for item in blank.punch_list.items)


def test_crew_permit_office_and_level_say_that_they_are_not_confirmed() -> None:
    known = known_good(
        {
            "job.job.crew": f"north, {MARK}",
            "job.job.locality": f"vintermark-2026, {MARK}",
            "job.warranties.0.level": f"Full Assembly, {MARK}",
        }
    )
    case = known.case
    rows = {pair.label: pair.text for pair in (*who(case, frozenset()), *permit_pairs(case))}
    for name in ("Supervised by", "Crew lead", "Permit office", "Code"):
        assert NOT_CONFIRMED in rows[name], name
    [level] = level_words(case, known.assessment)
    assert any(NOT_CONFIRMED in sentence for sentence in level.sentences)
    [told] = [item for item in known.punch_list.items if item.rule == "IDN-024"]
    assert told.holds == {Holds.HANDOVER, Holds.REGISTRATION}


def test_another_jobs_price_is_shown_to_no_other_reader() -> None:
    case = known_good({"job.money.sheet_price": f"77.77, {MARK}"}).case
    assert case.lines.from_another("money.sheet_price")
    assert not for_reader(case, Edition.HOMEOWNER).lines.taken_over
    assert for_reader(case, Edition.INSURER).lines.taken_over


def test_what_follows_is_in_no_carried_record_and_changes_no_digest() -> None:
    said = {"job.money.payments": "2026-09-29, in full"}
    known = known_good(said)
    assert known.case.derived
    assert known.case.job.money is not None
    assert known.case.job.money.paid() == 15052
    carried = to_yaml(known.case.as_typed, {})
    assert "in_full" in carried
    assert carried.count("15052.00") == 1
    assert record_digest(known.case, known.facts) != record_digest(known_good().case, known.facts)


def test_an_agreement_by_the_change_order_says_so_and_a_buyer_sees_no_name() -> None:
    edits = {
        "job.repairs.0.approved": None,
        "job.money.change_orders": "1, deck repairs, approved by Marit Ekdahl on 2026-09-14",
    }
    known = known_good(edits)
    for printed, said in (
        (made(known=known).handover, "Marit Ekdahl, 14 September 2026, by the change order"),
        (resale(known), NOT_SHOWN),
    ):
        rows = [pair for repair in printed.repairs for pair in repair.pairs]
        assert [pair.text for pair in rows if pair.label.startswith("Agreed")] == [said]
