"""Every coverage drawn on one axis of years: full pay dark, the prorated part light.

In: an assessment. Out: sizes of a drawing, as text. Must not word a term: the tables do. A lifetime part
has no end, so its bar runs on beyond the axis into an arrow.
"""

from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.results import Assessment
from dossier.compose import coverage_pages
from dossier.compose.shared import capital
from dossier.terms.coverage import Part
from dossier.values import write_number
from dossier.words import Proration


@dataclass(frozen=True)
class Bar:
    """One part on the time line, in millimetres of the drawing, as text. Empty width: not drawn.

    arrow: path of the open end of a part that runs on beyond the axis, empty for one that ends on it.
    open_full: whether that end is still paid in full. note: words at the end of the bar. note_on_dark:
    whether they stand on its dark part.
    """

    label: str
    text_y: str
    y: str
    full_width: str
    rest_x: str
    rest_width: str
    arrow: str
    open_full: bool
    note: str
    note_on_dark: bool


@dataclass(frozen=True)
class Tick:
    """One line of the axis: years from the start, the calendar year where the start is on record."""

    x: str
    years: str
    calendar: str


@dataclass(frozen=True)
class TimeLine:
    """The parts of one coverage on one axis of years. years_y, calendar_y: of the words below it."""

    title: str
    height: str
    axis_y: str
    years_y: str
    calendar_y: str
    ticks: tuple[Tick, ...]
    bars: tuple[Bar, ...]


_LABEL_MM, _AXIS_MM, _ROW_MM, _YEARS = 32, 124, 6, 50
_ARROW_MM = 4


def time_lines(assessment: Assessment) -> tuple[TimeLine, ...]:
    """Return one drawing for each coverage: full pay, then the prorated part, on an axis of 50 years."""
    drawn = []
    for block in coverage_pages.blocks(assessment):
        lines = [
            line
            for line in assessment.coverages
            if line.title == block.title and line.document == block.document
        ]
        bars = tuple(_bar(line.part, number) for number, line in enumerate(lines))
        axis = _ROW_MM * len(bars) + 1
        starts = lines[0].starts
        ticks = tuple(
            Tick(
                _mm(_LABEL_MM + Fraction(_AXIS_MM * year, _YEARS)),
                str(year),
                "" if starts is None else str(starts.year + year),
            )
            for year in range(0, _YEARS + 1, 10)
        )
        low = axis + 4 if starts is None else axis + 8
        drawn.append(
            TimeLine(
                title=f"{block.title}: {block.state}",
                height=str(low + 1),
                axis_y=str(axis),
                years_y=str(axis + 4),
                calendar_y="" if starts is None else str(axis + 8),
                ticks=ticks,
                bars=bars,
            )
        )
    return tuple(drawn)


def _bar(part: Part, number: int) -> Bar:
    whole = Fraction(_YEARS) if part.lifetime else min(part.term_years or 0, Fraction(_YEARS))
    full = whole if part.method is Proration.NONE else min(part.full_pay_years, whole)
    wide = Fraction(_AXIS_MM, _YEARS)
    top, end = _ROW_MM * number + 1, _mm(_LABEL_MM + whole * wide)
    tip = _mm(_LABEL_MM + whole * wide + _ARROW_MM)
    # A part that ends beyond the axis is cut at its edge, and says when it ends.
    beyond = part.term_years is not None and part.term_years > _YEARS
    note = "for life" if part.lifetime else ""
    if beyond and part.term_years is not None:
        note = f"to year {write_number(part.term_years, 2)}"
    return Bar(
        label=capital(part.part.value),
        text_y=f"{top + 3}",
        y=str(top),
        full_width=_mm(full * wide),
        rest_x=_mm(_LABEL_MM + full * wide),
        rest_width=_mm((whole - full) * wide),
        arrow=f"M{end} {top} L{tip} {top + 2} L{end} {top + 4} Z" if note else "",
        open_full=part.method is Proration.NONE or part.full_pay_years > _YEARS,
        note=note,
        note_on_dark=full == whole,
    )


def _mm(number: Fraction | int) -> str:
    return write_number(number, 2).replace(",", "")
