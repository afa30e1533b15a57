"""Every coverage drawn on one axis of years: full pay dark, the prorated part light.

In: an assessment. Out: sizes of a drawing, as text. Must not word a term: the tables do.
"""

from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.results import Assessment
from dossier.compose import coverage_pages
from dossier.compose.coverage_pages import CoverageBlock
from dossier.compose.shared import Pair, capital
from dossier.terms.coverage import Part
from dossier.values import write_number
from dossier.words import Proration


@dataclass(frozen=True)
class Bar:
    """One part on the time line, in millimetres of the drawing, as text. Empty width: not drawn."""

    label: str
    text_y: str
    y: str
    full_width: str
    rest_x: str
    rest_width: str
    note: str


@dataclass(frozen=True)
class TimeLine:
    """The parts of one coverage on one axis of years. ticks: label and place."""

    title: str
    height: str
    axis_y: str
    ticks: tuple[Pair, ...]
    bars: tuple[Bar, ...]


_LABEL_MM, _AXIS_MM, _ROW_MM, _YEARS = 30, 128, 6, 50


def time_lines(assessment: Assessment) -> tuple[TimeLine, ...]:
    """Return one drawing for each coverage: full pay, then the prorated part, on an axis of 50 years."""
    drawn = []
    for block in coverage_pages.blocks(assessment):
        lines = [
            line
            for line in assessment.coverages
            if line.title == block.title and line.document == _facts(block)["Document"]
        ]
        bars = tuple(_bar(line.part, number) for number, line in enumerate(lines))
        axis = _ROW_MM * len(bars) + 1
        ticks = tuple(
            Pair(str(year), _mm(_LABEL_MM + Fraction(_AXIS_MM * year, _YEARS)))
            for year in range(0, _YEARS + 1, 10)
        )
        drawn.append(
            TimeLine(f"{block.title}: {block.state}", str(axis + 6), str(axis), ticks, bars)
        )
    return tuple(drawn)


def _facts(block: CoverageBlock) -> dict[str, str]:
    """Return a block's facts by their labels."""
    return {fact.label: fact.text for fact in block.facts}


def _bar(part: Part, number: int) -> Bar:
    whole = Fraction(_YEARS) if part.lifetime else min(part.term_years or 0, Fraction(_YEARS))
    full = whole if part.method is Proration.NONE else min(part.full_pay_years, whole)
    wide = Fraction(_AXIS_MM, _YEARS)
    return Bar(
        label=capital(part.part.value),
        text_y=f"{_ROW_MM * number + 4}",
        y=f"{_ROW_MM * number + 1}",
        full_width=_mm(full * wide),
        rest_x=_mm(_LABEL_MM + full * wide),
        rest_width=_mm((whole - full) * wide),
        note="lifetime" if part.lifetime else "",
    )


def _mm(number: Fraction) -> str:
    return write_number(number, 2).replace(",", "")
