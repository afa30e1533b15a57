"""Until when notice of a sale must be given, and of which sale it still must be.

Judge: general trade practice, where transfer notice counts from the closing: calendar days, the day after the
closing is day 1, the last day counts. 60 days from 15 May 2031: 16 of May, 30 of June, 14 of July. Common
practice, no published source.
"""

from dataclasses import replace
from datetime import date

import pytest

from dossier.assess.passed_on import HouseSale, answer_on_day
from dossier.assess.sale_notice import nothing_left, notices_open, passes_by_notice
from dossier.terms.coverage import Coverage

START, SOLD, DUE = date(2026, 9, 21), date(2031, 5, 15), date(2031, 7, 14)
SALE = HouseSale(SOLD)
TEN = {"part": "workmanship", "full_pay_years": "10", "term_years": "10"}
PASSES = {
    **{"allowed": "yes", "times": "1", "within_days": "60", "counted_from": "closing"},
    **{"met_by": "received", "roof_at_most_years": "20", "family_is_no_sale": "yes"},
}


def coverage(**transfer: str | None) -> Coverage:
    told = {name: value for name, value in {**PASSES, **transfer}.items() if value is not None}
    return Coverage.model_validate(
        {"starts": "completion signed", "parts": [TEN], "transfer": told}
    )


def open_now(
    one: Coverage, *sales: HouseSale, start: date | None = START
) -> list[tuple[date, date]]:
    return [(sale.closing_on, due) for sale, due in notices_open(one, start, sales)]


def test_a_sale_without_a_notice_is_open_to_its_last_day() -> None:
    assert open_now(coverage(), SALE) == [(SOLD, DUE)]
    assert open_now(coverage()) == []


@pytest.mark.parametrize(
    ("met_by", "told", "still_open"),
    [
        ("received", {"notice_sent_on": DUE}, True),
        ("received", {"notice_received_on": DUE}, False),
        ("received", {"notice_accepted_on": DUE}, False),
        ("sent", {"notice_sent_on": DUE}, False),
        ("sent", {"notice_received_on": DUE}, False),
        ("accepted", {"notice_received_on": DUE}, True),
        ("accepted", {"notice_accepted_on": DUE}, False),
    ],
)
def test_what_meets_it_closes_it(met_by: str, told: dict[str, date], still_open: bool) -> None:
    found = open_now(coverage(met_by=met_by), replace(SALE, **told))
    assert bool(found) is still_open


def test_no_notice_is_asked_for_where_nothing_would_be_left() -> None:
    # The ten years ran out in 2036; the roof was over 20 years in 2047.
    assert open_now(coverage(), HouseSale(date(2036, 9, 21))) != []
    assert open_now(coverage(), HouseSale(date(2036, 9, 22))) == []
    assert open_now(coverage(roof_at_most_years="3"), SALE) == []
    assert open_now(coverage(allowed="no"), SALE) == []
    assert open_now(coverage(times="0"), SALE) == []
    assert open_now(coverage(within_days=None), SALE) == []
    silent = coverage().model_copy(update={"transfer": None})
    assert open_now(silent, SALE) == []


def test_a_second_sale_where_one_is_allowed_asks_for_nothing() -> None:
    first = replace(SALE, notice_received_on=date(2031, 6, 1))
    second = HouseSale(date(2033, 3, 1))
    assert open_now(coverage(), first, second) == []
    # Told the other way round, the first is still the one that may pass.
    assert open_now(coverage(), second, SALE) == [(SOLD, DUE)]
    # 60 days from 1 March 2033: 30 of March, 30 of April. Told in whatever order.
    assert open_now(coverage(times="2"), second, first) == [(second.closing_on, date(2033, 4, 30))]


def test_a_sale_within_the_family_asks_for_none_where_it_does_not_count() -> None:
    family = replace(SALE, in_family=True)
    assert open_now(coverage(), family) == []
    assert open_now(coverage(family_is_no_sale="no"), family) == [(SOLD, DUE)]
    assert open_now(coverage(family_is_no_sale=None), family) == [(SOLD, DUE)]


def test_days_that_count_from_something_else_have_no_last_day_here() -> None:
    assert open_now(coverage(counted_from="last shingle"), SALE) == []
    assert open_now(coverage(counted_from=None), SALE) == [(SOLD, DUE)]


def test_without_a_start_the_last_day_counts_from_the_closing_all_the_same() -> None:
    assert open_now(coverage(), SALE, start=None) == [(SOLD, DUE)]


def test_before_the_terms_began_nothing_was_there_to_pass_on() -> None:
    assert open_now(coverage(), HouseSale(date(2026, 9, 1))) == []


def test_nothing_is_left_only_where_every_part_has_ended() -> None:
    two = Coverage.model_validate(
        {
            "starts": "completion signed",
            "parts": [TEN, {"part": "labour", "full_pay_years": "4", "term_years": "4"}],
            "transfer": PASSES,
        }
    )
    for day, left in ((date(2031, 5, 15), True), (date(2037, 1, 1), False)):
        answer = answer_on_day(two, START, (), day)
        assert nothing_left(answer) is not left
        assert passes_by_notice(two, answer) is left
    never = two.model_copy(update={"transfer": None})
    assert passes_by_notice(never, answer_on_day(never, START, (), SOLD)) is False
