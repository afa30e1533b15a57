"""The days from which terms count, and the deadlines that follow.

In: a case and today. Out: events, deadlines and their figures. Must not know what is printed of them.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from dossier.assess.results import Deadline, Event, Figure
from dossier.case.case import AskedWarranty, Case
from dossier.punchlist import Where
from dossier.record.closing import MoneyRecord
from dossier.record.job import Job
from dossier.said import Count, say
from dossier.terms.sheet import Registration
from dossier.trade import deadlines
from dossier.words import MetBy, Phase, StartEvent

_SHINGLES = frozenset({Phase.FIELD, Phase.HIP_AND_RIDGE})
_PLACES = {
    StartEvent.CONTRACT: "job.contract_on",
    StartEvent.ORDER: "warranties",
    StartEvent.LAST_SHINGLE: "work",
    StartEvent.COMPLETION_SIGNED: "job.completion_signed_on",
    StartEvent.FINAL_INVOICE: "money.invoices",
    StartEvent.PAID_IN_FULL: "money.payments",
}


def events(case: Case) -> Mapping[StartEvent, Event]:
    """Return every event the record knows a day for, or could."""
    days = days_on_record(case.job)
    return {
        event: Event(event, day, case.where(_PLACES.get(event, "job")))
        for event, day in days.items()
    }


def days_on_record(job: Job) -> dict[StartEvent, date | None]:
    """Return the day of every event from which terms may count; None where the record does not say."""
    final = job.money.final_invoice() if job.money else None
    shingles = [work.days.last for work in job.work if _SHINGLES.intersection(work.phases)]
    ordered = [asked.ordered_on for asked in job.warranties if asked.ordered_on]
    return {
        StartEvent.CONTRACT: job.job.contract_on,
        StartEvent.ORDER: min(ordered, default=None),
        StartEvent.LAST_SHINGLE: max(shingles, default=None),
        StartEvent.COMPLETION_SIGNED: job.job.completion_signed_on,
        StartEvent.FINAL_INVOICE: final.on if final else None,
        StartEvent.PAID_IN_FULL: paid_up_on(job.money),
        StartEvent.CLOSING: None,
        StartEvent.DISCOVERY: None,
    }


def amount_due(case: Case) -> Decimal | None:
    """Return contract and change orders together; None where an amount is not on record."""
    return amount_agreed(case.job.money)


def amount_agreed(money: MoneyRecord | None) -> Decimal | None:
    """Return contract and change orders together; None where an amount is not on record."""
    if money is None or money.contract is None:
        return None
    amounts = [order.amount for order in money.change_orders]
    if any(amount is None for amount in amounts):
        return None
    return money.contract + sum((a for a in amounts if a is not None), Decimal(0))


def paid_in_full_on(case: Case) -> date | None:
    """Return the day on which payments reached the final invoice, or what was agreed; else None."""
    return paid_up_on(case.job.money)


def paid_up_on(money: MoneyRecord | None) -> date | None:
    """Return the day on which payments reached the final invoice, or what was agreed; else None."""
    if money is None:
        return None
    final = money.final_invoice()
    # The only invoice covers everything; with several, the sum of all is what is owed.
    invoiced = [invoice.amount for invoice in money.invoices]
    owed = (
        sum((a for a in invoiced if a is not None), Decimal(0))
        if final and None not in invoiced
        else amount_agreed(money)
    )
    if owed is None:
        return None
    total = Decimal(0)
    dated = [p for p in money.payments if p.amount is not None and p.on is not None]
    for payment in sorted(dated, key=lambda p: p.on or date.min):
        total += payment.amount or Decimal(0)
        if total >= owed:
            return payment.on
    return None


def blank_in_payments(money: MoneyRecord | None) -> str:
    """Return what payments or invoices do not say that may be all that payment in full lacks; else empty."""
    if money is None:
        return ""
    if any(payment.amount is None for payment in money.payments):
        return "the amount of every payment"
    if any(invoice.amount is None for invoice in money.invoices):
        return "the amount of every invoice"
    owed = sum((one.amount or Decimal(0) for one in money.invoices), Decimal(0))
    if not money.invoices or money.final_invoice() is None:
        agreed = amount_agreed(money)
        if agreed is None:
            return "the final invoice"
        owed = agreed
    undated = any(payment.on is None for payment in money.payments)
    return "the day of every payment" if undated and money.paid() >= owed else ""


def day_that_meets(
    met_by: MetBy, submitted_on: date | None, received_on: date | None, accepted_on: date | None
) -> date | None:
    """Return the day on which a registration met its deadline, by what the terms ask; None for not yet."""
    received = received_on or accepted_on
    return {
        MetBy.SENT: submitted_on or received,
        MetBy.RECEIVED: received,
        MetBy.ACCEPTED: accepted_on,
    }[met_by]


def last_day(started_on: date, within_days: int) -> date:
    """Return the last day of a deadline that is counted in days from an event."""
    return deadlines.deadline(started_on, within_days).due_on


def registration_deadline(
    asked: AskedWarranty, registration: Registration, known: Mapping[StartEvent, Event], today: date
) -> Deadline:
    """Return a level's registration deadline and whether it has been met or has passed."""
    event = known[registration.counted_from]
    warranty = asked.warranty
    met_on = day_that_meets(
        registration.met_by, warranty.submitted_on, warranty.received_on, warranty.accepted_on
    )
    due_on = last_day(event.day, registration.within_days) if event.day else None
    late = due_on is not None and (met_on > due_on if met_on else today > due_on)
    return Deadline(
        event=event,
        within_days=registration.within_days,
        last_day=due_on,
        met_on=met_on,
        met_by=registration.met_by.value,
        clause=registration.clause,
        passed=late,
    )


def deadline_figure(asked: AskedWarranty, deadline: Deadline) -> tuple[Figure, ...]:
    """Return a registration deadline as a figure, where its event has a day."""
    if deadline.last_day is None or deadline.event.day is None:
        return ()
    made = deadlines.deadline(deadline.event.day, deadline.within_days)
    inputs = (
        (deadline.event.event.value, deadline.event.day, deadline.event.where),
        ("days", Count(deadline.within_days, "day"), Where(asked.file)),
    )
    return (
        Figure(
            f"deadline.{asked.path}",
            say(
                "Last day to register {level}, {document}, clause {clause}",
                level=asked.warranty.level or "",
                document=asked.sheet.title,
                clause=deadline.clause,
            ),
            deadline.last_day,
            made.working,
            inputs,
        ),
    )
