"""What one field of a record says by way of another: filled in, and told apart from what was typed.

In: a job as typed. Out: the job with these fields filled in, and from where each follows. Only what follows on
every real job: a payment “in full” is what was open on its day; a change order for the deck repairs is their
price, and whoever agreed to it agreed to them. Must not fill in a field that somebody typed, or said not to apply.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from dossier.reading.model import Lines, Model
from dossier.record.closing import ChangeOrder, MoneyRecord
from dossier.record.job import Job
from dossier.record.roof import Repair
from dossier.values import to_cents
from dossier.words import Phase, RepairKind

_OPENS_DECK = frozenset({Phase.TEAR_OFF, Phase.DECK_REPAIR})


@dataclass(frozen=True)
class SaidOnce:
    """A job with what its fields say by way of others. sources: path of a filled-in field → whence it follows."""

    job: Job
    sources: Mapping[str, tuple[str, ...]]


def said_once(job: Job, lines: Lines) -> SaidOnce:
    """Return the job with what follows from what it says elsewhere."""
    sources: dict[str, tuple[str, ...]] = {}
    money = job.money
    if money is None:
        return SaidOnce(job, sources)
    repairs = _approved(job, money, lines, sources)
    money = _orders_priced(job, money, lines, sources)
    money = _paid_in_full(money, lines, sources)
    return SaidOnce(job.model_copy(update={"repairs": repairs, "money": money}), sources)


def as_typed(job: Job, sources: Mapping[str, tuple[str, ...]]) -> Job:
    """Return a job without what was filled in: only what somebody typed."""
    for path in sources:
        job = _blanked(job, path.split("."))
    return job


def _blanked(value: Any, path: list[str]) -> Any:
    if not path:
        return None
    name, *rest = path
    if isinstance(value, tuple):
        at = int(name)
        if at >= len(value):
            return value
        return (*value[:at], _blanked(value[at], rest), *value[at + 1 :])
    # A reader's edition may be without the list or the group.
    if not isinstance(value, Model):
        return value
    return value.model_copy(update={name: _blanked(getattr(value, name), rest)})


def _for_repairs(money: MoneyRecord) -> tuple[int, ChangeOrder] | None:
    """Return the one change order that is for the deck repairs alone; None where there are none or several."""
    found = [(n, one) for n, one in enumerate(money.change_orders) if one.for_deck_repairs]
    return found[0] if len(found) == 1 else None


def _approved(
    job: Job, money: MoneyRecord, lines: Lines, sources: dict[str, tuple[str, ...]]
) -> tuple[Repair, ...]:
    order = _for_repairs(money)
    if order is None or order[1].approved is None or not order[1].approved.is_whole:
        return job.repairs
    # Before the deck is opened nobody knows what it needs: an order without a sum says only how it is priced.
    opened_on = min(
        (w.days.first for w in job.work if _OPENS_DECK.intersection(w.phases)), default=None
    )
    signed_on = order[1].approved.on
    if order[1].amount is None and opened_on and signed_on and signed_on < opened_on:
        return job.repairs
    repairs = list(job.repairs)
    for number, repair in enumerate(repairs):
        path = f"repairs.{number}.approved"
        if repair.approved is None and lines.reason_not(path) is None:
            # A note on the order may speak of money, which not every reader of a repair may see.
            agreed = order[1].approved.model_copy(update={"note": None})
            repairs[number] = repair.model_copy(update={"approved": agreed})
            sources[path] = (f"money.change_orders.{order[0]}.approved",)
    return tuple(repairs)


def price_of(repair: Repair, money: MoneyRecord | None) -> Decimal | None:
    """Return what a repair costs: as typed, else by the agreed price; None where neither says.

    Of one in sheets and in board feet nobody can tell whether they are the same wood.
    """
    if repair.price is not None or money is None:
        return repair.price
    if repair.kind is RepairKind.REFASTENED:
        return Decimal(0)
    counted = (
        (repair.sheets, money.sheet_price),
        (repair.board_feet, money.board_foot_price),
    )
    known = [(many, each) for many, each in counted if many is not None]
    if len(known) != 1:
        return None
    [(many, each)] = known
    return None if each is None else to_cents(many * Fraction(each))


def _orders_priced(
    job: Job, money: MoneyRecord, lines: Lines, sources: dict[str, tuple[str, ...]]
) -> MoneyRecord:
    order = _for_repairs(money)
    if order is None or order[1].amount is not None:
        return money
    number, path = order[0], f"money.change_orders.{order[0]}.amount"
    prices = [price_of(repair, money) for repair in job.repairs]
    known = [price for price in prices if price is not None]
    if not known or len(known) < len(prices) or lines.reason_not(path) is not None:
        return money
    sources[path] = tuple(f"repairs.{n}.price" for n in range(len(prices)))
    return _with_amount(money, "change_orders", number, sum(known, Decimal(0)))


def _paid_in_full(
    money: MoneyRecord, lines: Lines, sources: dict[str, tuple[str, ...]]
) -> MoneyRecord:
    full = [n for n, one in enumerate(money.payments) if one.in_full]
    blank = [n for n, one in enumerate(money.payments) if one.amount is None]
    if len(full) != 1 or blank != full or money.final_invoice() is None:
        return money
    on, path = money.payments[full[0]].on, f"money.payments.{full[0]}.amount"
    days = (*(one.on for one in money.invoices), *(one.on for one in money.payments))
    if on is None or None in days or lines.reason_not(path) is not None:
        return money
    # What was invoiced after the payment was not open then.
    open_then = {n: one.amount for n, one in enumerate(money.invoices) if one.on and one.on <= on}
    known = [amount for amount in open_then.values() if amount is not None]
    paid = [one.amount for one in money.payments if one.amount and one.on and one.on <= on]
    rest = sum(known, Decimal(0)) - sum(paid, Decimal(0))
    if len(known) < len(open_then) or rest <= 0:
        return money
    sources[path] = tuple(f"money.invoices.{n}.amount" for n in open_then)
    return _with_amount(money, "payments", full[0], rest)


def _with_amount(money: MoneyRecord, name: str, number: int, amount: Decimal) -> MoneyRecord:
    rows = list(getattr(money, name))
    rows[number] = rows[number].model_copy(update={"amount": amount})
    return money.model_copy(update={name: tuple(rows)})
