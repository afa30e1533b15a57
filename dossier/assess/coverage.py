"""What each coverage comes to on a day: for the first owner, or after a chain of sales.

In: a coverage's terms, the day it starts, sales, a day. Out: `PartOnDay`s and figures. Must not print, and
must not decide a claim: by the printed terms and this record; the warrantor decides.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from dossier.assess.results import CoverageLine, Figure, Input
from dossier.case.case import Case
from dossier.punchlist import Where
from dossier.said import Share, Value, say
from dossier.terms.coverage import Coverage, Part
from dossier.trade.coverage import Share as ShareOnDay
from dossier.trade.coverage import share_on_day
from dossier.trade.owners import OwnerTerms, Sale, Standing, TransferRule, owner_share_on_day
from dossier.words import Proration

_BY_MONTHS = (Proration.WHOLE_TERM, Proration.PRORATED_PART)
_UNTYPED_MONTHS = (
    "a month that has begun counts as a whole one; the terms as typed in do not say, "
    "and the other way pays more"
)


@dataclass(frozen=True)
class PartOnDay:
    """One part on one day. share: 0 where nothing is in force. stage: in the words of `trade.coverage`."""

    part: Part
    promised_by: str
    share: Fraction
    standing: Standing
    in_force: ShareOnDay | None


def transfer_rule(coverage: Coverage) -> TransferRule:
    """Return how a coverage passes on; one that says nothing of a transfer passes to nobody."""
    transfer = coverage.transfer
    if transfer is None or not transfer.allowed:
        return TransferRule(max_transfers=0, notice_days=None)
    years = transfer.roof_at_most_years
    return TransferRule(
        max_transfers=transfer.times,
        notice_days=transfer.within_days,
        within_roof_age_months=None if years is None else int(years * 12),
    )


def owner_terms(coverage: Coverage, part: Part) -> OwnerTerms:
    """Return one part for the first owner and for those after."""
    transfer = coverage.transfer
    years = transfer.second_owner_years if transfer else None
    first = part.on_the_calendar()
    # A fixed second term never outlasts the first owner's own.
    shorter = years is not None and (part.term_years is None or years < part.term_years)
    later = part.on_the_calendar(Fraction(years)) if shorter and years is not None else None
    return OwnerTerms(first=first, later=later, rule=transfer_rule(coverage))


def coverage_on_day(
    coverage: Coverage, start: date, sales: Iterable[Sale], day: date
) -> tuple[PartOnDay, ...]:
    """Return what every part of a coverage comes to on a day, after these sales."""
    chain = tuple(sales)
    found: list[PartOnDay] = []
    for part in coverage.parts:
        terms = owner_terms(coverage, part)
        result = owner_share_on_day(terms, None, True, start, chain, day)
        assert result is not None
        found.append(
            PartOnDay(part, coverage.promised_by, result.fraction, result.standing, result.share)
        )
    return tuple(found)


def coverage_figures(case: Case, lines: Iterable[CoverageLine], today: date) -> Iterator[Figure]:
    """Yield what each part comes to for the first owner on the run's day."""
    for line in lines:
        if line.starts is None or today < line.starts:
            continue
        share = share_on_day(line.part.on_the_calendar(), line.starts, today)
        title: Value = line.title
        if not line.holds_now:
            title = say("{title}, once the maker confirms it", title=title)
        counted: tuple[Input, ...] = ()
        if line.part.method in _BY_MONTHS and not line.part.rounding_is_typed:
            # Months gone by rounded up never promise more than the other way.
            counted = (("months", _UNTYPED_MONTHS, Where(line.document)),)
        slug = f"{line.title} {line.part.part.value}".lower().replace(" ", "_")
        yield Figure(
            f"coverage.{slug}",
            say(
                "{title}: {part}, first owner, on {day}",
                title=title,
                part=line.part.part,
                day=today,
            ),
            say("{share}, {stage}", share=Share(share.share), stage=say(share.stage)),
            share.working,
            (
                ("start", line.starts, _start_where(case, line)),
                ("clause", line.part.clause or say("none printed"), Where(line.document)),
                *counted,
            ),
        )


def _start_where(case: Case, line: CoverageLine) -> Where:
    field = {"completion signed": "job.completion_signed_on", "contract": "job.contract_on"}
    return case.where(field.get(line.start_event.value, "work"))
