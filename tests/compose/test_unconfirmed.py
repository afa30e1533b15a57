"""What was taken over from another job is printed as no fact of this roof; what follows from a field says so."""

from datetime import date

import pytest

from dossier.assess.claim import coverages_then, notices
from dossier.assess.place import PlaceAsked, place_answer
from dossier.case.readers import for_reader
from dossier.compose.packet.form import form
from dossier.compose.packet.head import head_facts, more_facts
from dossier.compose.parts.coverage_pages import blocks
from dossier.compose.parts.levels import level_words
from dossier.compose.parts.next_steps import next_steps, registration_gaps
from dossier.compose.parts.roof_pages import how_laid, permit_pairs, who
from dossier.compose.parts.shared import NOT_CONFIRMED, NOT_ON_RECORD, NOT_SHOWN, Label
from dossier.compose.years_after.claim_answer import Claimed, claim_answer
from dossier.compose.years_after.maker_letter import maker_letter
from dossier.press.carried import carried_files, record_digest
from dossier.punchlist import Holds
from dossier.record.entry import Claim
from dossier.record.write import to_yaml
from dossier.words import Edition, EntryKind
from tests.compose.made import made, resale
from tests.compose.test_claim_pages import entry_with
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


UNSURE = {
    "job.job.locality": f"vintermark-2026, {MARK}",
    "job.warranties.0.sheet": f"kestrelmoor-2026, {MARK}",
    "job.warranties.0.level": f"Full Assembly, {MARK}",
}


@pytest.mark.parametrize("edition", [Edition.HOMEOWNER, Edition.RESALE, Edition.MAKER])
def test_the_carried_record_and_its_digest_keep_the_marks(edition: Edition) -> None:
    unsure, sure = known_good(UNSURE), known_good()
    case = for_reader(unsure.case, edition)
    files = carried_files(case, unsure.facts, edition, unsure.case, {}, "")
    assert files["job.yaml"].decode().count(f", {MARK}") == 3
    plain = for_reader(sure.case, edition)
    assert record_digest(case, unsure.facts) != record_digest(plain, sure.facts)


def test_terms_and_level_are_stated_nowhere_as_this_roofs() -> None:
    known = known_good(UNSURE)
    printed = made(known=known)
    first_page = {pair.label: pair.text for pair in printed.handover.cover.summary}
    assert NOT_CONFIRMED in first_page[Label.WARRANTY]
    assert (
        "if these terms are this roof’s, the Shingle level holds now" in first_page[Label.WARRANTY]
    )
    assert NOT_CONFIRMED in first_page["Permit"]
    assert Label.MAKERS_COVERAGE not in first_page
    case = for_reader(known.case, Edition.MAKER)
    [result] = known.assessment.asked
    rows = {pair.label: pair.text for pair in form(case, known.assessment, result)}
    assert rows["Level"] == f"Full Assembly ({NOT_CONFIRMED})"
    for pairs in (head_facts(result, known.punch_list, known.run), more_facts(result)):
        told = {pair.label: pair.text for pair in pairs}
        for label in told.keys() & {"Level asked for", "Terms"}:
            assert NOT_CONFIRMED in told[label], label
    for sentence in (
        *next_steps(known.case, known.assessment, Edition.HOMEOWNER, known.run),
        *registration_gaps(known.assessment),
    ):
        assert NOT_CONFIRMED in sentence
    kestrelmoor = [one for one in blocks(known.assessment) if "Kestrelmoor" in one.document]
    assert kestrelmoor
    assert all(one.state == NOT_CONFIRMED and not one.sure for one in kestrelmoor)


def test_a_level_that_the_maker_accepted_holds_only_if_it_was_asked_for_here() -> None:
    accepted = {"accepted_on": "2026-10-15", "confirmation": "TH-88213"}
    edits = {f"job.warranties.0.{name}": value for name, value in accepted.items()}
    sure = known_good(edits)
    [level] = level_words(sure.case, sure.assessment)
    assert level.short == "the Full Assembly level holds now"
    known = known_good({**edits, "job.warranties.0.level": f"Full Assembly, {MARK}"})
    [level] = level_words(known.case, known.assessment)
    assert level.short == "if this level was asked for here, the Full Assembly level holds now"
    assert not any(
        sentence.startswith("The Full Assembly level holds") for sentence in level.sentences
    )
    assert NOT_CONFIRMED in level.registration
    states = {one.title: one.state for one in blocks(known.assessment)}
    assert states["Full Assembly level"] == NOT_CONFIRMED


def test_answers_of_later_years_say_so_too() -> None:
    known = known_good({**UNSURE, "run.today": "2040-03-02"})
    claim = Claim(slope="back")
    day = date(2040, 3, 2)
    claimed = Claimed(
        entry=entry_with(EntryKind.CLAIM, claim=claim),
        claim=claim,
        coverages=coverages_then(known.case, known.assessment, (), day),
        place=place_answer(known.case, known.assessment, PlaceAsked("back")),
        looks=(),
        notices=notices(known.assessment, day),
        digest="0" * 64,
        seal=(),
        age_months=None,
    )
    maker, owner = (for_reader(known.case, one) for one in (Edition.MAKER, Edition.HOMEOWNER))
    (letter,) = maker_letter(maker, known.facts, claimed, known.run, sale=None).letters
    told = {pair.label: pair.text for pair in letter.subject}
    assert NOT_CONFIRMED in told["Terms"]
    assert NOT_CONFIRMED in told["Level asked for"]
    answer = claim_answer(owner, known.facts, claimed, known.run, edition=Edition.HOMEOWNER)
    assert NOT_CONFIRMED in answer.in_short[0].text


def test_what_follows_is_in_no_carried_record_and_changes_no_digest() -> None:
    said = {"job.money.payments": "2026-09-29, in full"}
    known = known_good(said)
    assert known.case.derived
    assert known.case.job.money is not None
    assert known.case.job.money.paid() == 15052
    carried = to_yaml(known.case.as_typed)
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
