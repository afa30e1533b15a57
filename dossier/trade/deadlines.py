"""Deadlines and releases: days from an event, lapsing permits, money held back, lien waivers.

In: days, counts of days, money as Decimal, kinds of waiver. Out: due days, verdicts, sums. Must
not know today's date unless it is handed in, nor which paper a day came from.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from types import MappingProxyType
from typing import Literal

from dossier.trade.working import Working, one_of

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
            f"{event_on} + {days} days = {due}"
            + ("" if last_day_counts else ", last day left out"),
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
    formula = f"days without work ≤ {limit_days}"
    if next_work_on is None:
        line = Working(formula, f"from {from_on}, next work ?", "IRC R105.5", "looked-up")
        return PermitCheck("cannot tell", None, last, line)
    days = (next_work_on - from_on).days
    if days < 0:
        numbers = f"work on {next_work_on}, before {from_on}"
        line = Working(formula, numbers, "IRC R105.5", "looked-up")
        return PermitCheck("work came first", days, last, line)
    return PermitCheck(
        "within limit" if days <= limit_days else "lapsed unless extended",
        days,
        last,
        Working(formula, f"{from_on} to {next_work_on} = {days} days", "IRC R105.5", "looked-up"),
    )


def lead_record_due(completed_on: date, final_invoice_on: date | None) -> Deadline:
    """Return the day by which the owner must have the lead record's copy.

    With the final invoice or within 30 days of completion, whichever comes first; final_invoice_on
    None while there is no invoice. Source: 40 CFR 745.86(c).
    """
    latest = completed_on + timedelta(days=OWNER_COPY_DAYS)
    due = latest if final_invoice_on is None else min(final_invoice_on, latest)
    invoice = "none yet" if final_invoice_on is None else str(final_invoice_on)
    return Deadline(
        due,
        Working(
            "the earlier of final invoice and completion + 30 days",
            f"invoice {invoice}; {completed_on} + 30 days = {latest}; due {due}",
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


def actual_cash_value(replacement_value: Decimal, depreciation: Decimal) -> Decimal:
    """Return the actual cash value: replacement value less depreciation, never below zero."""
    _not_negative(replacement_value=replacement_value, depreciation=depreciation)
    return max(Decimal(0), replacement_value - depreciation)


def first_payment(replacement_value: Decimal, depreciation: Decimal, deductible: Decimal) -> Money:
    """Return an insurer's first payment: actual cash value less deductible, never below zero."""
    _not_negative(deductible=deductible)
    cash_value = actual_cash_value(replacement_value, depreciation)
    payment = max(Decimal(0), cash_value - deductible)
    return Money(
        payment,
        Working(
            "max(0, replacement value - depreciation - deductible)",
            f"${replacement_value:,.2f} - ${depreciation:,.2f} - ${deductible:,.2f}"
            f" = ${payment:,.2f}",
            "Insurance practice; the policy decides",
            "common practice",
        ),
    )


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
    less = f" - ${not_recoverable:,.2f} not recoverable" if not_recoverable else ""
    return Money(
        release,
        Working(
            "max(0, min(cost, replacement value) - deductible - first payment)",
            f"${base:,.2f} - ${deductible:,.2f} - ${paid_first:,.2f}{less} = ${release:,.2f}",
            "Insurance practice; the policy decides",
            "common practice",
        ),
    )


WAIVER_SECTIONS: Mapping[str, int] = MappingProxyType(
    {
        "conditional progress": 8132,
        "unconditional progress": 8134,
        "conditional final": 8136,
        "unconditional final": 8138,
    }
)
"""Sections of the California Civil Code that give each form, as a worked model; states differ."""


@dataclass(frozen=True)
class WaiverCheck:
    """Whether a lien waiver fits what was paid."""

    verdict: Literal["in order", "ask for unconditional", "signed before payment", "cannot tell"]
    next_kind: str | None
    """The waiver to ask for next; None when there is none to ask for."""
    working: Working


def check_waiver(kind: str, payment_received: bool | None) -> WaiverCheck:
    """Return whether a waiver fits the payment it speaks of.

    kind: one of `WAIVER_SECTIONS`. payment_received: whether that payment has arrived; None: not
    known. A conditional waiver takes effect when the payment arrives, an unconditional one when it
    is signed: so the first is answered by the second, and the second comes after the money.
    Source: Cal. Civ. Code 8120 to 8138, as a worked model; not legal advice.
    """
    one_of(kind, WAIVER_SECTIONS, "waiver")
    conditional = kind.startswith("conditional")
    next_kind = f"un{kind}" if conditional and payment_received else None
    verdict: Literal["in order", "ask for unconditional", "signed before payment", "cannot tell"]
    if payment_received is None:
        verdict = "cannot tell"
    elif conditional:
        verdict = "ask for unconditional" if payment_received else "in order"
    else:
        verdict = "in order" if payment_received else "signed before payment"
    received = {True: "received", False: "not received", None: "not known"}[payment_received]
    return WaiverCheck(
        verdict,
        next_kind,
        Working(
            "conditional until paid, unconditional after",
            f"{kind}, payment {received}",
            f"Cal. Civ. Code {WAIVER_SECTIONS[kind]}, as a worked model",
            "looked-up",
        ),
    )
