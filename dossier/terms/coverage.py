"""What a coverage pays, for how long, how it prorates and how it passes on, as data.

In: nodes by way of `reading`. Out: frozen models. Must not compute what is left on a day.
"""

from fractions import Fraction
from typing import Self

from pydantic import model_validator

from dossier.reading.kinds import (
    CapWord,
    Count,
    CoveragePartWord,
    DayCount,
    Line,
    MetByWord,
    MonthRoundingWord,
    OwnerKindWord,
    ProrationWord,
    Share,
    StartEventWord,
    WindSpeed,
    YearCount,
    Years,
    YesNo,
)
from dossier.reading.model import Model, told
from dossier.trade.coverage import CoveragePart, Step
from dossier.words import Cap, MetBy, MonthRounding, Proration


class TableStep(Model):
    """One step of a table of shares."""

    after_years: YearCount = told("Once so many years have gone by.", example="15", default=...)
    share: Share = told("Share paid from then on.", example="60 %", default=...)


class Part(Model):
    """One part of a coverage."""

    part: CoveragePartWord = told("Which part.", example="material", default=...)
    clause: Line = told("Clause in the printed document.", example="2.1", default="")
    full_pay_years: Years = told(
        "Years during which all of it is paid.", example="10", unit="years", default=0
    )
    term_years: Years | None = told(
        "Years from the start to its end; blank for a lifetime term.", example="25", unit="years"
    )
    lifetime: YesNo = told(
        "Whether it lasts as long as the owner owns the house.", example="no", default=False
    )
    method: ProrationWord = told(
        "How it falls after the full-pay years.", example="whole term", default=Proration.NONE
    )
    rounding: MonthRoundingWord = told(
        "How months are counted.",
        example="started month counts",
        default=MonthRounding.STARTED,
    )
    proration_years: Years | None = told(
        "Years over which it prorates, where a lifetime term prorates as if it were so long.",
        example="40",
        unit="years",
    )
    table: tuple[TableStep, ...] = told("The table, where the method is a table.", default=())
    floor: Share = told("It never falls below this share.", example="20 %", default=0)
    cap: CapWord = told(
        "What payment is measured by.", example="original price", default=Cap.ORIGINAL_PRICE
    )
    wind_mph: WindSpeed | None = told("Wind speed up to which it holds.", example="110", unit="mph")
    pays: Line = told(
        "What it pays, in a few plain words.",
        example="New shingles in place of failed ones.",
        default="",
    )

    @model_validator(mode="after")
    def _can_hold(self) -> Self:
        if self.term_years is None and not self.lifetime:
            raise ValueError("found neither term_years nor lifetime, needed one of them")
        if self.term_years is not None and self.lifetime:
            raise ValueError("found both term_years and lifetime, needed one of them")
        self.on_the_calendar()
        return self

    @property
    def cap_is_typed(self) -> bool:
        """Return whether the sheet says what payment is measured by; else the field's default stands."""
        return "cap" in self.model_fields_set

    @property
    def rounding_is_typed(self) -> bool:
        """Return whether the sheet says how months are counted; else the field's default stands."""
        return "rounding" in self.model_fields_set

    def on_the_calendar(self, fixed_years: Fraction | None = None) -> CoveragePart:
        """Return the part as the sums of `trade.coverage` take it.

        fixed_years: a second owner's fixed term, in place of the first owner's. Raises ValueError for
        terms that cannot hold, such as a term shorter than its full-pay years.
        """
        term = self.term_years if fixed_years is None else fixed_years
        full = self.full_pay_years if term is None else min(self.full_pay_years, term)
        falls = self.proration_years
        if falls is None and fixed_years is not None and self.method is not Proration.NONE:
            # A shorter term of the second owner's falls along the first owner's line.
            falls = self.term_years
        return CoveragePart(
            name=self.part.value,
            full_pay_months=_months(self.full_pay_years if fixed_years is None else full),
            term_months=None if term is None else _months(term),
            method=self.method.value,
            month_rounding=self.rounding.value,
            prorates_over_months=None if falls is None else _months(falls),
            steps=tuple(Step(_months(step.after_years), step.share) for step in self.table),
            floor_share=self.floor,
            cap=self.cap.value,
        )


def _months(years: Fraction | int) -> int:
    return int(years * 12)


class Transfer(Model):
    """How a coverage passes to a second owner."""

    clause: Line = told("Clause in the printed document.", example="5.1", default="")
    allowed: YesNo = told("Whether it passes at all.", example="yes", default=True)
    times: Count | None = told("How many times; blank for no limit.", example="1")
    within_days: DayCount | None = told(
        "Days in which notice must be given.", example="60", unit="days"
    )
    counted_from: StartEventWord | None = told(
        "The event from which those days count.", example="closing"
    )
    met_by: MetByWord = told("What meets the deadline.", example="received", default=MetBy.RECEIVED)
    roof_at_most_years: Years | None = told(
        "Only while the roof is at most this old.", example="20", unit="years"
    )
    second_owner_years: Years | None = told(
        "Term of the second owner, from the original date; blank where he steps into the first's.",
        example="20",
        unit="years",
    )
    family_is_no_sale: YesNo | None = told(
        "Whether spouse, heir and own trust count as the same owner.", example="yes"
    )
    fee: Line = told("What it costs, as printed.", example="no fee", default="")
    given_by: Line = told(
        "Who has to give the notice, as printed.", example="the new owner", default=""
    )
    asks_for: Line = told(
        "What the notice must hold.",
        example="the completed notice and a copy of the deed",
        default="",
    )
    if_late: Line = told(
        "What the terms say is left where the notice comes late.",
        example="nothing; the coverage ends with the day of the sale",
        default="",
    )

    @property
    def passes(self) -> bool:
        """Return whether a sale passes the coverage on at all, by its terms as typed in."""
        return self.allowed and self.times != 0


class Coverage(Model):
    """One coverage as somebody promises it."""

    promised_by: Line = told("Who promises it.", example="the maker", default="the maker")
    starts: StartEventWord = told(
        "The event from which its terms count.", example="completion signed", default=...
    )
    owner_kinds: tuple[OwnerKindWord, ...] = told(
        "Kinds of owner it is for; all where blank.", default=()
    )
    parts: tuple[Part, ...] = told("Its parts.", default=...)
    transfer: Transfer | None = told("How it passes on.")
