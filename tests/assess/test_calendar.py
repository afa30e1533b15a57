"""Days from which terms count, what is owed and when it was paid, and deadlines met or passed.

Judges: the calendar by hand; general trade practice for deadlines (the day after the event is day 1, the last
day counts): 14 March 2025 and 30, 45, 60, 90 days give 13 April, 28 April, 13 May and 12 June 2025. Common
practice, no published source.
"""

from datetime import date
from decimal import Decimal

import pytest

from dossier.assess.calendar import (
    amount_agreed,
    amount_due,
    day_that_meets,
    deadline_figure,
    last_day,
    paid_in_full_on,
    paid_up_on,
)
from dossier.assess.results import Deadline
from dossier.record.closing import MoneyRecord
from dossier.said import Count
from dossier.words import MetBy, StartEvent
from tests.known_good import known_good

SENT, RECEIVED, ACCEPTED = date(2026, 9, 28), date(2026, 10, 1), date(2026, 10, 9)


@pytest.mark.parametrize(
    ("days", "last"),
    [
        (30, date(2025, 4, 13)),
        (45, date(2025, 4, 28)),
        (60, date(2025, 5, 13)),
        (90, date(2025, 6, 12)),
    ],
)
def test_the_last_day_of_a_deadline(days: int, last: date) -> None:
    assert last_day(date(2025, 3, 14), days) == last


def test_every_event_has_its_own_day_and_its_place_in_the_record() -> None:
    """Field on the 15th, hip and ridge on the 16th of September: the last shingle is the later of both."""
    known = known_good({"job.warranties.0.ordered_on": "2026-08-20"})
    found = {event: (one.day, one.where.field) for event, one in known.assessment.events.items()}
    assert found == {
        StartEvent.CONTRACT: (date(2026, 8, 18), "job.contract_on"),
        StartEvent.ORDER: (date(2026, 8, 20), "warranties"),
        StartEvent.LAST_SHINGLE: (date(2026, 9, 16), "work"),
        StartEvent.COMPLETION_SIGNED: (date(2026, 9, 21), "job.completion_signed_on"),
        StartEvent.FINAL_INVOICE: (date(2026, 9, 22), "money.invoices"),
        StartEvent.PAID_IN_FULL: (date(2026, 9, 29), "money.payments"),
        StartEvent.CLOSING: (None, "job"),
        StartEvent.DISCOVERY: (None, "job"),
    }


def test_the_last_shingle_may_be_of_the_field_and_clean_up_is_none() -> None:
    turned = {
        "job.work.2": "2026-09-16, starter + hip and ridge, checked by Jens Aberg",
        "job.work.3": "2026-09-17, field, checked by Ida Torvik",
        "job.work.4": "2026-09-18, flashing + ventilation + clean-up, checked by Ida Torvik",
    }
    events = known_good(turned).assessment.events
    assert events[StartEvent.LAST_SHINGLE].day == date(2026, 9, 17)


def test_of_several_orders_the_first_counts_and_a_blank_record_has_no_days() -> None:
    row = {"sheet": "kestrelmoor-2026", "level": "Shingle", "ordered_on": "2026-08-25"}
    two = {"job.warranties.0.ordered_on": "2026-08-30", "job.warranties.1": row}
    assert known_good(two).assessment.events[StartEvent.ORDER].day == date(2026, 8, 25)
    blank = known_good({"job.money": None, "job.work": None, "job.job.contract_on": None})
    for event in (*(StartEvent.CONTRACT, StartEvent.ORDER, StartEvent.LAST_SHINGLE),):
        assert blank.assessment.events[event].day is None
    assert blank.assessment.events[StartEvent.PAID_IN_FULL].day is None
    assert blank.assessment.events[StartEvent.FINAL_INVOICE].day is None


# Money. 14,860.00 and a change order of 192.00 make 15,052.00.


def money(**fields: object) -> MoneyRecord:
    return MoneyRecord.model_validate({"contract": "14,860.00", **fields})


def test_what_was_agreed_is_the_contract_and_every_change_order() -> None:
    assert amount_due(known_good().case) == Decimal("15052.00")
    orders = ["1, 192.00", "2, 8.50"]
    assert amount_agreed(money(change_orders=orders)) == Decimal("15060.50")
    assert amount_agreed(money()) == Decimal("14860.00")


def test_a_blank_amount_leaves_the_sum_unknown() -> None:
    unknown = [{"number": "1", "amount": "192.00"}, {"number": "2"}]
    assert amount_agreed(money(change_orders=unknown)) is None
    assert amount_agreed(MoneyRecord()) is None
    assert amount_agreed(None) is None
    assert paid_up_on(None) is None


@pytest.mark.parametrize(
    ("payments", "day"),
    [
        (["2026-09-29, 14,860.00"], date(2026, 9, 29)),
        (["2026-09-29, 14,859.99"], None),
        # Typed last and paid first: the day counts, not the line; the second payment reaches the sum.
        (["2026-10-05, 7,430.00", "2026-09-25, 7,430.00"], date(2026, 10, 5)),
        (["2026-09-25, 5,000.00", "2026-09-30, 9,860.00", "2026-10-07, 100.00"], date(2026, 9, 30)),
    ],
)
def test_paid_in_full_on_the_day_the_payments_reach_it(
    payments: list[str], day: date | None
) -> None:
    assert paid_up_on(money(payments=payments)) == day


def test_a_payment_without_its_day_or_amount_pays_nothing() -> None:
    assert paid_up_on(money(payments=[{"amount": "14,860.00"}])) is None
    assert paid_up_on(money(payments=[{"on": "2026-09-29"}])) is None


@pytest.mark.parametrize(
    ("invoices", "paid", "day"),
    [
        # The only invoice covers everything, whatever the contract says.
        (["7, 2026-09-22, 15,000.00"], "15,000.00", date(2026, 9, 29)),
        (["7, 2026-09-22, 15,000.00"], "14,860.00", None),
        # Two invoices, the second the last: the sum of both is owed, 10,000 + 4,000.
        (
            ["7, 2026-09-01, 10,000.00", "8, 2026-09-22, 4,000.00, final"],
            "14,000.00",
            date(2026, 9, 29),
        ),
        (["7, 2026-09-01, 10,000.00", "8, 2026-09-22, 4,000.00, final"], "4,000.00", None),
        # None of two is the last: what was agreed is owed, since more invoices may come.
        (["7, 2026-09-01, 10,000.00", "8, 2026-09-22, 4,000.00"], "14,000.00", None),
        (["7, 2026-09-01, 10,000.00", "8, 2026-09-22, 4,000.00"], "14,860.00", date(2026, 9, 29)),
    ],
)
def test_what_is_owed_by_the_invoices(invoices: list[str], paid: str, day: date | None) -> None:
    record = money(invoices=invoices, payments=[f"2026-09-29, {paid}"])
    assert paid_up_on(record) == day


def test_an_invoice_without_its_amount_falls_back_on_what_was_agreed() -> None:
    blank = [{"number": "7", "on": "2026-09-22"}]
    assert paid_up_on(money(invoices=blank, payments=["2026-09-29, 14,859.00"])) is None
    assert paid_up_on(money(invoices=blank, payments=["2026-09-29, 14,860.00"])) is not None


def test_the_demo_was_paid_on_the_day_of_its_payment() -> None:
    assert paid_in_full_on(known_good().case) == date(2026, 9, 29)


# Deadlines.


@pytest.mark.parametrize(
    ("met_by", "sent", "received", "accepted", "day"),
    [
        (MetBy.SENT, SENT, RECEIVED, ACCEPTED, SENT),
        (MetBy.SENT, None, RECEIVED, ACCEPTED, RECEIVED),
        (MetBy.SENT, None, None, ACCEPTED, ACCEPTED),
        (MetBy.RECEIVED, SENT, RECEIVED, ACCEPTED, RECEIVED),
        (MetBy.RECEIVED, SENT, None, ACCEPTED, ACCEPTED),
        # That it was sent shows no receipt, and a receipt no acceptance.
        (MetBy.RECEIVED, SENT, None, None, None),
        (MetBy.ACCEPTED, SENT, RECEIVED, None, None),
        (MetBy.ACCEPTED, SENT, RECEIVED, ACCEPTED, ACCEPTED),
    ],
)
def test_the_day_that_meets_a_deadline(
    met_by: MetBy, sent: date | None, received: date | None, accepted: date | None, day: date | None
) -> None:
    assert day_that_meets(met_by, sent, received, accepted) == day


def deadline(edits: dict[str, object]) -> Deadline:
    (asked,) = known_good(edits).assessment.asked
    assert asked.level.deadline is not None
    return asked.level.deadline


@pytest.mark.parametrize(
    ("edits", "passed"),
    [
        # Completed on 21 September and 60 days: 9 of September, 31 of October, 20 of November.
        ({"run.today": "2026-11-20"}, False),
        ({"run.today": "2026-11-21"}, True),
        ({"run.today": "2026-12-01", "job.warranties.0.received_on": "2026-11-20"}, False),
        ({"run.today": "2026-12-01", "job.warranties.0.received_on": "2026-11-21"}, True),
        # Sent in time is not received in time.
        ({"run.today": "2026-12-01", "job.warranties.0.submitted_on": "2026-11-01"}, True),
        # Without the event's day no deadline can have passed.
        ({"run.today": "2030-01-01", "job.job.completion_signed_on": None}, False),
    ],
)
def test_a_registration_is_late_only_after_its_last_day(
    edits: dict[str, object], passed: bool
) -> None:
    assert deadline(edits).passed is passed


def test_a_deadline_carries_what_it_was_counted_from() -> None:
    found = deadline({"job.warranties.0.received_on": "2026-10-01"})
    assert (found.event.event, found.event.day) == (
        StartEvent.COMPLETION_SIGNED,
        date(2026, 9, 21),
    )
    assert (found.within_days, found.last_day, found.met_on) == (
        *(60, date(2026, 11, 20)),
        date(2026, 10, 1),
    )
    assert (found.met_by, found.clause) == ("received", "4.2")


def test_a_deadline_is_a_figure_only_where_its_event_has_a_day() -> None:
    (asked,) = known_good().assessment.asked
    assert asked.level.deadline is not None
    (figure,) = deadline_figure(asked.asked, asked.level.deadline)
    assert figure.result == date(2026, 11, 20)
    assert [name for name, *_ in figure.inputs] == ["completion signed", "days"]
    assert figure.inputs[1][1] == Count(60, "day")
    (blank,) = known_good({"job.job.completion_signed_on": None}).assessment.asked
    assert blank.level.deadline is not None
    assert deadline_figure(blank.asked, blank.level.deadline) == ()
