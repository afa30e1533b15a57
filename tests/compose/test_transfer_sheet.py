"""The sheet for a sale: the list finds the same last day as the calendar, for every closing there is."""

import re
from datetime import date, timedelta

import pytest

from dossier.case.readers import for_reader
from dossier.compose.handover.transfer_sheet import day_rules, transfer_sheet
from dossier.words import Edition
from tests.compose.made import made, resale
from tests.known_good import known_good

MONTHS = [date(2025, month, 1).strftime("%B") for month in range(1, 13)]


def by_the_list(closing: date, days: int) -> date:
    """Return the last day as a person finds it: the row, the sum, and the sentence on leap years."""
    on = date(closing.year, 2, 28) if (closing.month, closing.day) == (2, 29) else closing
    [rule] = [
        rule
        for rule in day_rules(days)
        if rule.month == MONTHS[on.month - 1] and holds_day(rule.on, on.day)
    ]
    year = on.year + ("of the next year" in rule.last_month)
    month = MONTHS.index(rule.last_month.split()[0]) + 1
    number = {
        "plus": lambda n: on.day + n,
        "minus": lambda n: on.day - n,
        "it": lambda n: n,
        "the": lambda _: on.day,
    }[rule.sum.split()[0]](int("0" + "".join(re.findall(r"\d+", rule.sum))))
    last = date(year, month, number)
    leap = [date(y, 2, 29) for y in (on.year, year) if y % 4 == 0]
    # The sentence: the day written in is the closing itself, unless it is 29 February.
    return last - timedelta(days=1) if any(on < day <= last for day in leap) else last


def holds_day(text: str, day: int) -> bool:
    first, _, last = text.partition(" to ")
    return int(first) <= day <= int(last or first)


@pytest.mark.parametrize("days", [1, 10, 30, 45, 60, 90, 120, 180, 300])
def test_the_list_finds_the_last_day_of_every_closing(days: int) -> None:
    """Judge: Python's own calendar. The day after the closing is day 1 and the last one is included."""
    for number in range(4 * 366):
        closing = date(2026, 1, 1) + timedelta(days=number)
        extra = 0
        if (closing.month, closing.day) == (2, 29):
            # It counts like 28 February, by the sentence, and so never later than the terms allow.
            extra = 1
        wanted = closing + timedelta(days=days)
        assert wanted - by_the_list(closing, days) in (timedelta(0), timedelta(days=extra)), closing


def test_the_worked_example_on_the_sheet_is_right() -> None:
    assert by_the_list(date(2027, 1, 15), 60) == date(2027, 3, 16)


def test_a_buyer_reads_what_he_has_and_what_is_lost() -> None:
    sheet = resale(known_good()).transfer
    assert sheet is not None
    shingle, own, full = sheet.rows
    says = {pair.label: pair.text for pair in shingle.facts}
    assert says["If the notice is late"] == (
        "The buyer has no coverage. The terms say: “nothing; the coverage ends with the day of the sale”."
    )
    # Ten, five and twenty years from the day that completion was signed, 21 September 2026.
    assert "labour: to 21 September 2031" in says["The buyer then has"]
    assert "material: to 21 September 2046" in says["The buyer then has"]
    assert shingle.blank is not None
    assert "60 days after the closing of the sale" in shingle.blank.hint
    assert "(clause 5.1)" in shingle.blank.hint
    says = {pair.label: pair.text for pair in full.facts}
    assert says["Not after"] == "A closing after 21 September 2046 passes nothing on."
    assert says["If the notice is late"].startswith("Count on no coverage for the buyer.")
    assert "so none of this: material, labour" in says["If the notice is late"]
    assert says["Only for"] == "an owner who lives there or a landlord"
    assert own.title.startswith("Ormskar workmanship coverage")


def test_no_sheet_without_anything_that_passes_on() -> None:
    edits: dict[str, object] = {"job.warranties": None, "company.workmanship": None}
    assert resale(known_good(edits)).transfer is None
    assert made().handover.transfer is None


def test_only_words_for_a_time_longer_than_the_list() -> None:
    known = known_good({"company.workmanship.coverage.transfer.within_days": "400"})
    sheet = transfer_sheet(for_reader(known.case, Edition.RESALE), known.assessment)
    assert sheet is not None
    assert [rules.title for rules in sheet.rules] == ["60 days from the closing"]
    hints = [row.blank.hint for row in sheet.rows if row.blank]
    assert "400 days after the closing of the sale" in hints


def test_only_the_parts_that_fall_for_a_buyer_are_said_to_fall() -> None:
    """Judge: the demo's sheet. Full Assembly pays material in full for 50 years, longer than a buyer's 25."""
    sheet = resale(known_good()).transfer
    assert sheet is not None
    has = [{p.label: p.text for p in row.facts}["The buyer then has"] for row in sheet.rows]
    shingle, own, full = has
    assert shingle.endswith(
        " The share paid for material and algae falls as the coverage pages say."
    )
    assert "falls" not in own
    assert full.endswith(
        " The share paid for workmanship and algae falls as the coverage pages say."
    )


def test_a_copy_for_each_who_must_have_notice() -> None:
    sheet = resale(known_good()).transfer
    assert sheet is not None
    assert sheet.how.startswith(
        "Fill in one copy for each of the 2 who must have notice, and send it"
    )
    alone = resale(known_good({"company.workmanship": None})).transfer
    assert alone is not None
    assert alone.how.startswith("Fill in one copy, and send it")
    assert "holds what it asks for" not in sheet.how


def test_words_of_the_terms_that_leave_something_stay_their_own() -> None:
    edits: dict[str, object] = {
        "terms.kestrelmoor-2026.levels.0.coverage.transfer.if_late": "the material alone, for two years"
    }
    sheet = resale(known_good(edits)).transfer
    assert sheet is not None
    says = {pair.label: pair.text for pair in sheet.rows[0].facts}
    assert says["If the notice is late"] == "The terms say: “the material alone, for two years”."
