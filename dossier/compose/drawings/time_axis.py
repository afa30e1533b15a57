"""The axis that all coverages share: calendar years where every start is on record, else plain years.

In: the parts of every coverage. Out: where a year stands in the drawing, and the words on the axis. Must not
draw, and must not put a day to a year where a start is not on record.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from dossier.assess.results import CoverageLine
from dossier.terms.coverage import Part
from dossier.values import write_date

LEFT_MM, AXIS_MM = 32, 108
EDGE_MM = LEFT_MM + AXIS_MM
"""Left of it stand the labels, right of it the points of what runs on and the words beside them."""

_MOST_YEARS, _ROUND_YEARS = 50, 10
_STEPS_YEARS = (5, 10, 20, 50, 100, 200, 500, 1000, 2000)
_MOST_STEPS = 6

_DAYS_A_YEAR = Fraction(146097, 400)
"""Of the mean Gregorian year: 400 years are 146,097 days. Source: ISO 8601-1:2019 names that calendar."""


@dataclass(frozen=True)
class Axis:
    """start: the earliest start, None for an axis of plain years. years: from its left end to its right."""

    start: date | None
    years: Fraction
    ticks: tuple[int, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    """Each line of words at the ticks, with its name."""
    span_words: str

    def x(self, years: Fraction | int) -> Fraction:
        """Return where so many years from the left end stand, in mm of the drawing."""
        return LEFT_MM + AXIS_MM * Fraction(years) / self.years

    def offset(self, starts: date | None) -> Fraction:
        """Return the years from the left end to the start of a coverage; 0 on an axis of plain years."""
        if self.start is None or starts is None:
            return Fraction(0)
        return years_between(self.start, starts)

    def place(self, on: date | None) -> Fraction | None:
        """Return the years from the left end to a day; None where it has no place on this axis."""
        if self.start is None or on is None:
            return None
        found = years_between(self.start, on)
        return found if 0 <= found <= self.years else None


def years_between(earlier: date, later: date) -> Fraction:
    """Return the years from one day to another, by the mean length of a year; below zero where it is sooner."""
    return (later - earlier).days / _DAYS_A_YEAR


def axis_of(coverages: Sequence[CoverageLine]) -> Axis:
    """Return the axis on which all these parts are drawn, by the longest of them, at most 50 years long."""
    starts = [line.starts for line in coverages if line.starts is not None]
    start = min(starts) if starts and len(starts) == len(coverages) else None
    longest = max((_length_years(line.part) for line in coverages), default=Fraction(0))
    tens = -(-longest // _ROUND_YEARS) * _ROUND_YEARS
    span = min(max(tens, _ROUND_YEARS), _MOST_YEARS)
    later = years_between(start, max(starts)) if start is not None else Fraction(0)
    whole = span + later
    step = next(step for step in _STEPS_YEARS if whole / step < _MOST_STEPS + 1)
    ticks = tuple(range(0, int(whole) + 1, step))
    numbers = tuple(str(tick) for tick in ticks)
    if start is None:
        words = f"from 0 to {span} years after the start of each"
        return Axis(None, whole, ticks, (("Years from start", numbers),), words)
    calendar = tuple(str(start.year + tick) for tick in ticks)
    words = f"from {start.year} to {start.year + int(whole)}"
    return Axis(start, whole, ticks, ((_every(start), calendar), ("Years after", numbers)), words)


def _every(start: date) -> str:
    """Return the day of the year on which every tick stands."""
    # 29 February has an anniversary in one year of four; the terms' months end with the month then.
    if (start.month, start.day) == (2, 29):
        return "End of February"
    return write_date(start).removesuffix(f" {start.year}")


def _length_years(part: Part) -> Fraction:
    """Return the years after which nothing about a part changes any more."""
    if part.term_years is not None:
        return part.term_years
    steps = [Fraction(step.after_years) for step in part.table]
    return max([part.full_pay_years, part.proration_years or Fraction(0), *steps])
