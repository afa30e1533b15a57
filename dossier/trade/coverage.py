"""Coverage on a day: the share that one part of a coverage pays, by the method its terms print.

In: a part's terms as numbers and words, the day coverage started, the day asked about. Out: an
exact share from 0 to 1, and amounts. Must not know makers, owners or what is covered; `owners`
says whose terms hold. For one owner in one registration state the share never rises with time.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from dossier.said import Said, say
from dossier.said import Share as Percent
from dossier.trade.months import add_months, started_months, whole_months
from dossier.trade.working import Exact, Working, day_of, exact, one_of

METHODS = ("whole term", "prorated part", "table", "none")
"""How a share falls: counted over the whole term, over what follows the full-pay period, by
steps, or not at all. General trade practice: the printed terms say which."""

MONTH_ROUNDINGS = ("started month counts", "whole months only")

FORMULAS: Mapping[str, str] = MappingProxyType(
    {
        "whole term": "1 - months ÷ term",
        "prorated part": "1 - (months - full-pay months) ÷ (term - full-pay months)",
        "table": "share of the last step that the day lies beyond",
        "none": "full to the end of the term",
    }
)


@dataclass(frozen=True)
class Step:
    """One step of a table: the share once more than so many months have gone by."""

    after_months: int
    share: Exact


@dataclass(frozen=True)
class CoveragePart:
    """One part of a coverage, as its terms print it; ValueError where the terms cannot hold."""

    name: str
    full_pay_months: int
    term_months: int | None
    """None for a lifetime term, which has no printed end."""
    method: str
    month_rounding: str = "started month counts"
    prorates_over_months: int | None = None
    """Where the share falls over another length than the term, as under a lifetime term; counted
    from the start. None: the term's own length."""
    steps: tuple[Step, ...] = ()
    floor_share: Exact = 0
    """Least share while the term runs."""
    cap: str | None = None
    """What a payment is measured by, “original price” or “price today”; carried along."""

    def __post_init__(self) -> None:
        """Refuse terms under which a share could rise, leave 0 to 1, or not be worked out."""
        one_of(self.method, METHODS, "method")
        one_of(self.month_rounding, MONTH_ROUNDINGS, "month rounding")
        if self.full_pay_months < 0:
            raise ValueError(f"{self.name}: full-pay period is below zero")
        if self.term_months is not None and self.term_months < max(1, self.full_pay_months):
            raise ValueError(f"{self.name}: the term is shorter than its full-pay period")
        if not 0 <= exact(self.floor_share, "floor") <= 1:
            raise ValueError(f"{self.name}: the floor lies outside 0 to 1")
        if bool(self.steps) != (self.method == "table"):
            raise ValueError(f"{self.name}: steps belong to the method “table”, and it needs them")
        previous, share_before = self.full_pay_months - 1, Fraction(1)
        for step in self.steps:
            share = exact(step.share, "share of a step")
            if step.after_months <= previous or not 0 <= share <= share_before:
                raise ValueError(f"{self.name}: steps must come later and not rise, from full pay")
            previous, share_before = step.after_months, share
        if self.method in ("whole term", "prorated part"):
            if self.fall_months is None:
                raise ValueError(f"{self.name}: a lifetime term needs the months it prorates over")
            if self.fall_months < max(1, self.full_pay_months):
                raise ValueError(f"{self.name}: prorates over less than its full-pay period")

    @property
    def fall_months(self) -> int | None:
        """Return the months from the start over which the share falls; None for neither given."""
        if self.prorates_over_months is not None:
            return self.prorates_over_months
        return self.term_months

    def last_day(self, start: date, anniversary: str = "Feb 28") -> date | None:
        """Return the last day of the term, the anniversary itself; None for a lifetime term."""
        if self.term_months is None:
            return None
        return add_months(start, self.term_months, anniversary)

    def last_full_pay_day(self, start: date, anniversary: str = "Feb 28") -> date | None:
        """Return the last day of full pay; None when that is a lifetime."""
        if self.method == "none":
            return self.last_day(start, anniversary)
        return add_months(start, self.full_pay_months, anniversary)


Stage = Literal["not started", "full pay", "prorated", "ended"]


@dataclass(frozen=True)
class Share:
    """What one part pays on one day."""

    share: Fraction
    stage: Stage
    months: int | None
    """Months gone by, rounded as the terms round; None before the start."""
    working: Working


def share_after_months(part: CoveragePart, months: int) -> Fraction:
    """Return the share after a count of months, already rounded as the terms round.

    Full while months do not exceed the full-pay period, zero once they exceed the term, never below
    the floor between. months: zero or more.
    """
    if months < 0:
        raise ValueError(f"{months} months, needed zero or more")
    if part.term_months is not None and months > part.term_months:
        return Fraction(0)
    if part.method == "none" or months <= part.full_pay_months:
        return Fraction(1)
    return _fallen(part, months, months)


def _fallen(part: CoveragePart, months: int, months_begun: int) -> Fraction:
    """Return the share past full pay and within the term.

    months: rounded as the terms round. months_begun: for the steps of a table, which change with
    the anniversary and not with a month's rounding.
    """
    share = Fraction(1)
    if part.method == "table":
        for step in part.steps:
            if months_begun > step.after_months:
                share = exact(step.share, "share of a step")
    else:
        fall = part.fall_months or 0
        start = part.full_pay_months if part.method == "prorated part" else 0
        # Full pay over the whole length leaves no part to prorate: nothing but the floor follows.
        share = 1 - Fraction(months - start, fall - start) if fall > start else Fraction(0)
    return min(Fraction(1), max(share, exact(part.floor_share, "floor"), Fraction(0)))


def share_on_day(part: CoveragePart, start: date, day: date, anniversary: str = "Feb 28") -> Share:
    """Return the share that a part pays on a day, exact, from 0 to 1.

    start: the day from which the terms count, always the first owner's. Full pay and term run to
    their anniversary and include it; both go by the date, so that rounding months down cannot
    stretch them. anniversary: see `months.add_months`.
    """
    source = "The printed terms; general trade practice"

    def result(share: Fraction, stage: Stage, months: int | None, numbers: Said) -> Share:
        line = Working(FORMULAS[part.method], numbers, source, "common practice")
        return Share(share, stage, months, line)

    if day < start:
        early = say("{day} is before {start}", day=day_of(day), start=day_of(start))
        return result(Fraction(0), "not started", None, early)
    begun = started_months(start, day, anniversary)
    count_started = part.month_rounding == "started month counts"
    months = begun if count_started else whole_months(start, day, anniversary)
    last = part.last_day(start, anniversary)
    if last is not None and day > last:
        return result(Fraction(0), "ended", months, say("term ended on {last}", last=day_of(last)))
    full_until = part.last_full_pay_day(start, anniversary)
    if full_until is None or day <= full_until:
        full = say("full pay for the lifetime")
        if full_until is not None:
            full = say("full pay to {until}", until=day_of(full_until))
        return result(Fraction(1), "full pay", months, full)
    share = _fallen(part, months, begun)
    numbers = say(
        "{months} months ({rounding}): {share}",
        months=months,
        rounding=say(part.month_rounding),
        share=Percent(share, 2),
    )
    if part.method in ("whole term", "prorated part"):
        numbers = say(
            "{numbers} over {fall} months, full pay {full}",
            numbers=numbers,
            fall=part.fall_months or 0,
            full=part.full_pay_months,
        )
    if part.floor_share:
        floor = Percent(exact(part.floor_share, "floor"), 2)
        numbers = say("{numbers}, floor {floor}", numbers=numbers, floor=floor)
    return result(share, "prorated", months, numbers)
