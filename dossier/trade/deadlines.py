"""Deadlines and releases: days from an event, lapsing permits, money held back, lien waivers.

In: days, counts of days, money as Decimal. Out: due days, verdicts, sums. Must
not know today's date unless it is handed in, nor which paper a day came from.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

from dossier.said import Money as Dollars
from dossier.said import Said, say
from dossier.trade.working import Working, day_of

PERMIT_LAPSE_DAYS = 180
"""A permit lapses when work has not begun, or has stopped, for more than this (IRC R105.5)."""

OWNER_COPY_DAYS = 30
"""The owner's copy of the lead record is due within this of completion (40 CFR 745.86(c))."""


PAMPHLET_DAYS = 60
"""The lead pamphlet is given at most this long before the work (40 CFR 745.84(a))."""


@dataclass(frozen=True)
class Deadline:
    """The last day on which something is in time."""

    due_on: date
    working: Working


def deadline(event_on: date, days: int, last_day_counts: bool = True) -> Deadline:
    """Return the last day of a period of calendar days from an event.

    The day after the event is day 1 and the last day is included; last_day_counts False where a
    document says that it is not. days: zero or more. General trade practice; the terms decide.
    """
    if days < 0:
        raise ValueError(f"{days} days, needed zero or more")
    due = event_on + timedelta(days=days if last_day_counts else days - 1)
    return Deadline(
        due,
        Working(
            "event + days, the day after the event being day 1",
            say(
                "{event} + {days} days = {due}"
                if last_day_counts
                else "{event} + {days} days = {due}, last day left out",
                event=day_of(event_on),
                days=days,
                due=day_of(due),
            ),
            "General trade practice; date arithmetic",
            "common practice",
        ),
    )


@dataclass(frozen=True)
class PermitCheck:
    """Whether a permit lapsed between two days."""

    verdict: Literal["within limit", "lapsed unless extended", "work came first", "cannot tell"]
    days: int | None
    lapses_after: date
    """The last day of the period."""
    working: Working


def check_permit_gap(
    from_on: date, next_work_on: date | None, limit_days: int = PERMIT_LAPSE_DAYS
) -> PermitCheck:
    """Return whether the time from issue, or from a stop, to the next work is within the limit.

    next_work_on: the day work began or went on; None: not known, “cannot tell”. Work on the very
    last day is in time. Source: IRC R105.5, 180 days; localities change it. Work before
    the first day gives days below zero and “work came first”: nothing has lapsed, and nothing was in time either.
    """
    last = from_on + timedelta(days=limit_days)
    formula = say("days without work ≤ {limit}", limit=limit_days)
    start = day_of(from_on)
    if next_work_on is None:
        numbers = say("from {start}, next work ?", start=start)
        line = Working(formula, numbers, "IRC R105.5", "looked-up")
        return PermitCheck("cannot tell", None, last, line)
    days = (next_work_on - from_on).days
    if days < 0:
        numbers = say("work on {day}, before {start}", day=day_of(next_work_on), start=start)
        line = Working(formula, numbers, "IRC R105.5", "looked-up")
        return PermitCheck("work came first", days, last, line)
    return PermitCheck(
        "within limit" if days <= limit_days else "lapsed unless extended",
        days,
        last,
        Working(
            formula,
            say("{start} to {end} = {days} days", start=start, end=day_of(next_work_on), days=days),
            "IRC R105.5",
            "looked-up",
        ),
    )


def lead_record_due(completed_on: date, final_invoice_on: date | None) -> Deadline:
    """Return the day by which the owner must have the lead record's copy.

    With the final invoice or within 30 days of completion, whichever comes first; final_invoice_on
    None while there is no invoice. Source: 40 CFR 745.86(c).
    """
    latest = completed_on + timedelta(days=OWNER_COPY_DAYS)
    due = latest if final_invoice_on is None else min(final_invoice_on, latest)
    invoice = say("none yet") if final_invoice_on is None else day_of(final_invoice_on)
    return Deadline(
        due,
        Working(
            "the earlier of final invoice and completion + 30 days",
            say(
                "invoice {invoice}; {completed} + 30 days = {latest}; due {due}",
                invoice=invoice,
                completed=day_of(completed_on),
                latest=day_of(latest),
                due=day_of(due),
            ),
            "40 CFR 745.86(c)",
            "looked-up",
        ),
    )


def check_pamphlet(given_on: date, began_on: date) -> Literal["in time", "too early", "too late"]:
    """Return whether the owner had the lead pamphlet before the work, and not long before.

    At most 60 days before the renovation begins, and before it does; on the very day the record does not say
    the hour, which is taken as in time. Source: 40 CFR 745.84(a) and (d)(1).
    """
    if given_on > began_on:
        return "too late"
    return "too early" if (began_on - given_on).days > PAMPHLET_DAYS else "in time"


@dataclass(frozen=True)
class Money:
    """A sum of money."""

    amount: Decimal
    working: Working


def _not_negative(**amounts: Decimal) -> None:
    for name, amount in amounts.items():
        if amount < 0:
            raise ValueError(f"{name.replace('_', ' ')} is {amount}, needed zero or more")


def recoverable_depreciation(
    cost: Decimal,
    replacement_value: Decimal,
    deductible: Decimal,
    paid_first: Decimal,
    not_recoverable: Decimal = Decimal(0),
) -> Money:
    """Return the depreciation still to be released.

    max(0, min(cost, replacement value) - deductible - first payment). cost: what the work came to.
    not_recoverable: depreciation that the policy does not pay back, taken off too; 0 where the
    policy has none. Says nothing about what a policy owes.
    """
    _not_negative(
        cost=cost,
        replacement_value=replacement_value,
        deductible=deductible,
        first_payment=paid_first,
        not_recoverable=not_recoverable,
    )
    base = min(cost, replacement_value)
    release = max(Decimal(0), base - deductible - paid_first - not_recoverable)
    less: Said | str = ""
    if not_recoverable:
        less = say(" - {amount} not recoverable", amount=Dollars(not_recoverable))
    return Money(
        release,
        Working(
            "max(0, min(cost, replacement value) - deductible - first payment)",
            say(
                "{base} - {deductible} - {paid}{less} = {release}",
                base=Dollars(base),
                deductible=Dollars(deductible),
                paid=Dollars(paid_first),
                less=less,
                release=Dollars(release),
            ),
            "Insurance practice; the policy decides",
            "common practice",
        ),
    )
