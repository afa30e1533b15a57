"""What one part of a coverage pays as the years go by, for words and tables.

In: a part of a coverage as its terms print it. Out: exact shares of the first owner. Must not word a
sentence, and must not know on which day a coverage started: the shares follow from the terms alone.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from dossier.terms.coverage import Part
from dossier.trade.coverage import CoveragePart, share_after_months, share_on_day
from dossier.trade.months import add_months
from dossier.words import Proration

_ANY_START = date(2001, 1, 1)
"""A day to count from. Every month has this day and no anniversary of it is moved, so that the shares
are those of any other start."""

_STEPS_YEARS = (10, 5)
"""Round numbers of years at which a share is told; the first that falls between is taken."""


@dataclass(frozen=True)
class Falling:
    """How a part falls after its full-pay years.

    drops_to: the share on the day after full pay. samples: whole years from the start and the share on
    that anniversary, rising in years. floor_years: years from the start until the floor holds for good;
    None where the share never comes down to it within the term. ends_at_years: None for a lifetime term.
    """

    drops_to: Fraction
    samples: tuple[tuple[int, Fraction], ...]
    floor: Fraction
    floor_years: Fraction | None
    ends_at_years: Fraction | None


def falling(part: Part) -> Falling | None:
    """Return how a part falls after its full-pay years, or None where it pays in full to its end.

    None too for a table, whose steps the terms print themselves, and where no day lies after full pay.
    """
    terms = part.on_the_calendar()
    if part.method not in (Proration.WHOLE_TERM, Proration.PRORATED_PART):
        return None
    after = _day_after(terms)
    last = terms.last_day(_ANY_START)
    if last is not None and after > last:
        return None
    floor = Fraction(part.floor)
    floor_months = _floor_months(terms, floor)
    return Falling(
        drops_to=_on_the_day_after(terms),
        samples=tuple(_samples(terms, floor_months)),
        floor=floor,
        floor_years=None if floor_months is None else Fraction(floor_months, 12),
        ends_at_years=None if terms.term_months is None else Fraction(terms.term_months, 12),
    )


def shares_at(part: Part, years: tuple[int, ...]) -> tuple[tuple[int, Fraction], ...]:
    """Return the share on each of these anniversaries of the start. years: zero or more each."""
    terms = part.on_the_calendar()
    return tuple((year, share_after_months(terms, year * 12)) for year in years)


def course(part: Part, most_months: int) -> tuple[tuple[int, Fraction], ...]:
    """Return the corners of the line along which a part's share falls: months from the start, and the share.

    From the start to the end of the term, or to most_months where that is sooner. Two corners at one month are
    a step. Between corners the share falls evenly, but for the steps of single months. most_months: above zero.
    """
    terms = part.on_the_calendar()
    end = most_months if terms.term_months is None else min(terms.term_months, most_months)
    full = end if part.method is Proration.NONE else min(terms.full_pay_months, end)
    corners = [(0, Fraction(1)), (full, Fraction(1))]
    if full == end:
        return tuple(corners)
    if part.method is Proration.TABLE:
        share = Fraction(1)
        for step in terms.steps:
            if step.after_months < end:
                corners.append((step.after_months, share))
                share = share_after_months(terms, step.after_months + 1)
                corners.append((step.after_months, share))
        return (*corners, (end, share))
    # The day after full pay already counts as a month more, or as none: the share it has stands at the step.
    corners.append((full, _on_the_day_after(terms)))
    turns = {_floor_months(terms, Fraction(part.floor)), terms.fall_months, end}
    for months in sorted(turn for turn in turns if turn is not None and full < turn <= end):
        corners.append((months, share_after_months(terms, months)))
    return tuple(corners)


def _day_after(terms: CoveragePart) -> date:
    return add_months(_ANY_START, terms.full_pay_months) + timedelta(days=1)


def _on_the_day_after(terms: CoveragePart) -> Fraction:
    """Return the share on the day after full pay."""
    return share_on_day(terms, _ANY_START, _day_after(terms)).share


def _floor_months(terms: CoveragePart, floor: Fraction) -> int | None:
    """Return the months after which the floor holds; None without a floor or where it is not reached."""
    last = terms.term_months if terms.term_months is not None else terms.fall_months
    if not floor or last is None:
        return None
    for months in range(terms.full_pay_months + 1, last + 1):
        if share_after_months(terms, months) <= floor:
            return months
    return None


def _samples(terms: CoveragePart, floor_months: int | None) -> Iterator[tuple[int, Fraction]]:
    """Yield at most three anniversaries between full pay and the end of the fall, with their shares."""
    fall = terms.fall_months or 0
    end = min(fall, terms.term_months or fall, floor_months or fall)
    years: list[int] = []
    for step in _STEPS_YEARS:
        years = years or [
            year
            for year in range(step, end // 12 + 1, step)
            if terms.full_pay_months < year * 12 < end
        ]
    if not years:
        middle = (terms.full_pay_months + end) // 24
        years = [middle] if terms.full_pay_months < middle * 12 < end else []
    if len(years) > 3:
        years = [years[0], years[len(years) // 2], years[-1]]
    for year in years:
        yield year, share_after_months(terms, year * 12)
