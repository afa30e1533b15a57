"""Whose terms hold on a day: sales, transfer notices, and what a later owner gets.

In: the terms of first and later owners, the rule for passing them on, dated sales. Out: the part
in force on a day and why. Must not know names or papers. Looks at a day as it was: a notice sent
later than the day asked about is not yet known on it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from typing import Literal

from dossier.said import Said, say
from dossier.trade.coverage import CoveragePart, Share, share_on_day
from dossier.trade.months import add_months
from dossier.trade.working import Working, day_of, one_of


@dataclass(frozen=True)
class TransferRule:
    """How a coverage passes to a new owner, as the terms print it."""

    max_transfers: int | None
    """None: as often as the house is sold; 0: never."""
    notice_days: int | None
    """Days from the sale, the day after it being day 1, the last one included; None: no notice."""
    within_roof_age_months: int | None = None
    """A sale after this age of the roof passes nothing on; None: at any age."""
    late_notice: str = "ends"
    """“ends”: a late notice is worth nothing; “counts from notice”: coverage comes back with it."""


@dataclass(frozen=True)
class OwnerTerms:
    """One part of a coverage for the first owner and for those after."""

    first: CoveragePart
    later: CoveragePart | None
    """What a later owner gets, a fixed term counted from the original start; None: the same as the
    first."""
    rule: TransferRule


@dataclass(frozen=True)
class Sale:
    """One change of owner."""

    sold_on: date
    notice_on: date | None
    """The day that counts by the terms (sent, received or accepted); None: no notice on record."""
    exempt: bool = False
    """By the terms no sale: to spouse, heir or the owner's own trust. The same owner goes on."""


@dataclass(frozen=True)
class Standing:
    """Which terms hold on a day."""

    status: Literal["in force", "notice still open", "ended"]
    """“notice still open”: the new owner has not given notice and still has time to."""
    part: CoveragePart | None
    """None when nothing is left. While notice is open, what the owner has if it comes in time."""
    transfers: int
    """Sales that counted up to the day; 0: the first owner."""
    notice_due_on: date | None
    """Last day for notice of the latest sale, or of the first still open; None where none is
    due."""
    reason: Said
    working: Working


def notice_due(sold_on: date, rule: TransferRule) -> date | None:
    """Return the last day for notice of a sale; None when the terms ask for none."""
    return None if rule.notice_days is None else sold_on + timedelta(days=rule.notice_days)


def standing_on_day(
    terms: OwnerTerms,
    start: date,
    sales: Iterable[Sale],
    day: date,
    anniversary: str = "Feb 28",
) -> Standing:
    """Return whose terms hold on a day, after the sales up to that day, in date order.

    start: the original start. Once a sale has failed to pass coverage on, it is gone for every
    later owner. On the day of a sale the new owner already holds the house.
    """
    rule = terms.rule
    one_of(rule.late_notice, ("ends", "counts from notice"), "late_notice")
    later = terms.first if terms.later is None else terms.later
    transfers, due = 0, None

    def result(
        status: Literal["in force", "notice still open", "ended"],
        part: CoveragePart | None,
        reason: Said,
    ) -> Standing:
        line = Working(
            "each sale in turn: number of transfers, roof's age, notice in time",
            reason,
            "The printed terms; general trade practice",
            "common practice",
        )
        return Standing(status, part, transfers, due, reason, line)

    counted = sorted(
        (sale for sale in sales if start <= sale.sold_on <= day and not sale.exempt),
        key=lambda sale: sale.sold_on,
    )
    open_until: date | None = None
    for sale in counted:
        transfers += 1
        due = notice_due(sale.sold_on, rule)
        if rule.max_transfers is not None and transfers > rule.max_transfers:
            reason = say(
                "sale {number} on {sold}; {most} allowed",
                number=transfers,
                sold=day_of(sale.sold_on),
                most=rule.max_transfers,
            )
            return result("ended", None, reason)
        if rule.within_roof_age_months is not None:
            oldest = add_months(start, rule.within_roof_age_months, anniversary)
            if sale.sold_on > oldest:
                sold = day_of(sale.sold_on)
                reason = say("sold on {sold}, after {oldest}", sold=sold, oldest=day_of(oldest))
                return result("ended", None, reason)
        if due is None:
            continue
        if sale.notice_on is not None and sale.notice_on <= day:
            if sale.notice_on > due and rule.late_notice == "ends":
                given = day_of(sale.notice_on)
                reason = say("notice on {given}, due on {due}", given=given, due=day_of(due))
                return result("ended", None, reason)
        elif day > due:
            reason = say(
                "no notice on record by {due} of the sale on {sold}",
                due=day_of(due),
                sold=day_of(sale.sold_on),
            )
            return result("ended", None, reason)
        else:
            # A house can be sold again while notice of the first sale is still open: the earliest
            # open day is the one that matters.
            open_until = due if open_until is None else min(open_until, due)
    if open_until is not None:
        due = open_until
        reason = say("notice of a sale due on {due}", due=day_of(due))
        return result("notice still open", later, reason)
    if transfers:
        reason = say("passed on; sales that counted: {number}", number=transfers)
        return result("in force", later, reason)
    return result("in force", terms.first, say("first owner"))


@dataclass(frozen=True)
class OwnerShare:
    """What the owner of a day has on it."""

    standing: Standing
    share: Share | None
    """None when nothing is in force."""

    @property
    def fraction(self) -> Fraction:
        """Return the share, 0 when nothing is in force."""
        return Fraction(0) if self.share is None else self.share.share


def owner_share_on_day(
    registered: OwnerTerms,
    unregistered: OwnerTerms | None,
    is_registered: bool,
    start: date,
    sales: Iterable[Sale],
    day: date,
    anniversary: str = "Feb 28",
) -> OwnerShare | None:
    """Return what the owner of a day has, by the registered terms or by the fallback.

    unregistered: the terms without registration, which the caller chooses; None: none are given,
    and an unregistered roof then has no answer, so None comes back. is_registered: the caller
    decides it for the day; “cannot tell” is asked twice, once with each.
    """
    terms = registered if is_registered else unregistered
    if terms is None:
        return None
    standing = standing_on_day(terms, start, sales, day, anniversary)
    share = None
    if standing.part is not None:
        share = share_on_day(standing.part, start, day, anniversary)
    return OwnerShare(standing, share)
