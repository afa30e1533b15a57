"""The figures of an office on one page: what was registered in time, how fast, what is missing most.

In: the figures, the company, today. Out: `OfficePage` of ready-to-print strings, and the same as rows of CSV.
Must not compute a figure. Each says of how many jobs it was worked out, and how many records cannot tell.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from dossier.compose.parts.shared import Head, PictureWanted, logo_wanted
from dossier.index.figures import Middle, OfficeFigures, OfYear, Shared
from dossier.terms.office import Company
from dossier.values import (
    clip,
    plural,
    write_date,
    write_number,
    write_share,
)
from dossier.values import (
    write_coordinate as _mm,
)

MOST_YEARS, MOST_LOST, MOST_MISSING = 20, 5, 5
_WIDE, _HIGH, _LEFT, _TOP = 52, 26, 9, 3
_BAR_WIDE = 20
COLUMNS = ("figure", "year", "value", "unit", "of_jobs", "cannot_tell", "not_counted")


@dataclass(frozen=True)
class FigureRow:
    """One figure: what, its value, of how many jobs, how many cannot tell, how many do not come into it."""

    what: str
    note: str
    value: str
    of: str
    cannot_tell: str
    apart: str


@dataclass(frozen=True)
class Bar:
    """One bar of a plot, in millimetres of the drawing, as text. height 0: nothing can be told of that year."""

    x: str
    y: str
    width: str
    height: str
    is_known: bool


@dataclass(frozen=True)
class Line:
    """One level line of a plot with its figure."""

    y: str
    text_y: str
    text: str


@dataclass(frozen=True)
class YearMark:
    """One year below a plot."""

    x: str
    text: str


@dataclass(frozen=True)
class Plot:
    """One small plot by years. title: what a reader who cannot see it is told."""

    heading: str
    title: str
    bars: tuple[Bar, ...]
    lines: tuple[Line, ...]
    years: tuple[YearMark, ...]


@dataclass(frozen=True)
class MissingRow:
    """One rule that finds something missing, with its bar."""

    rule: str
    says: str
    jobs: str
    share: str
    bar: str


@dataclass(frozen=True)
class LostRow:
    """One job whose last day has passed with no registration on record."""

    job: str
    address: str
    level: str
    day: str


@dataclass(frozen=True)
class OfficePage:
    """The page. notes: sentences below the table of figures."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    summary: str
    rows: tuple[FigureRow, ...]
    notes: tuple[str, ...]
    plots: tuple[Plot, ...]
    plots_note: str
    missing: tuple[MissingRow, ...]
    missing_note: str
    lost: tuple[LostRow, ...]
    lost_note: str


def office_page(figures: OfficeFigures, company: Company, today: date) -> OfficePage:
    """Return the page of an office as of a day."""
    years = figures.years[-MOST_YEARS:]
    more = figures.lost_total - min(figures.lost_total, MOST_LOST)
    return OfficePage(
        template="office.html",
        title=f"The office in figures, {write_date(today)}",
        head=Head(
            clip(company.name),
            "",
            "office edition",
            write_date(today),
            "logo" if company.logo else "",
        ),
        pictures=logo_wanted(company),
        summary=f"{clip(company.name)}: {plural(figures.jobs, 'job')} on {write_date(today)}",
        rows=figure_rows(figures),
        notes=notes_on(figures),
        plots=_plots(years) if years else (),
        plots_note=_plots_note(figures, len(years)),
        missing=tuple(
            MissingRow(
                rule=one.rule,
                says=clip(one.says, 60),
                jobs=plural(one.jobs, "job"),
                share=write_share(Fraction(one.jobs, figures.lists)) if figures.lists else "",
                bar=write_number(Fraction(_BAR_WIDE * one.jobs, max(figures.lists, 1)), 2),
            )
            for one in figures.missing[:MOST_MISSING]
        ),
        missing_note=missing_note(figures),
        lost=tuple(
            LostRow(
                clip(one.number, 12),
                clip(one.address, 34),
                clip(one.level, 20),
                write_date(one.due_on),
            )
            for one in figures.lost[:MOST_LOST]
        ),
        lost_note=f"{plural(more, 'more job')} not shown here." if more else "",
    )


def figure_rows(figures: OfficeFigures) -> tuple[FigureRow, ...]:
    """Return the figures as rows, in their one order."""
    return (
        FigureRow(
            "Registered in time",
            "by the last day the terms give",
            share_text(figures.in_time),
            _of(figures.in_time.part, figures.in_time.of),
            f"{figures.in_time.cannot_tell:,}",
            f"{figures.in_time.apart:,} not due, or none",
        ),
        FigureRow(
            "Last shingle to registration",
            "median",
            days_text(figures.days),
            plural(figures.days.of, "job"),
            f"{figures.days.cannot_tell:,}",
            f"{figures.days.apart:,} not registered",
        ),
        FigureRow(
            "Re-decked whole",
            "one deck or more of the job",
            share_text(figures.redecked),
            _of(figures.redecked.part, figures.redecked.of),
            f"{figures.redecked.cannot_tell:,}",
            "none",
        ),
    )


def _of(part: int, of: int) -> str:
    return f"{part:,} of {plural(of, 'job')}"


def share_text(one: Shared) -> str:
    """Return a share as printed."""
    return "cannot tell" if one.share is None else write_share(one.share)


def days_text(one: Middle) -> str:
    """Return a median of days as printed."""
    if one.days is None:
        return "cannot tell"
    return f"{write_number(one.days, 1)} {'day' if one.days == 1 else 'days'}"


def notes_on(figures: OfficeFigures) -> tuple[str, ...]:
    """Return what a reader has to know of the figures."""
    notes = [
        "“Cannot tell” counts jobs whose record lacks a day, a sheet or a word; they are in no share."
    ]
    if figures.unreadable:
        notes.append(
            f"{plural(figures.unreadable, 'folder')} could not be read, or not whole, and may lack in what is "
            "counted; “dossier index” names them."
        )
    return tuple(notes)


def missing_note(figures: OfficeFigures) -> str:
    """Return of how many lists the commonest missing items were counted."""
    without = figures.jobs - figures.lists
    unbuilt = f"; {plural(without, 'job')} without a list cannot tell" if without else ""
    return f"Counted on {plural(figures.lists, 'punch list')} as last built{unbuilt}."


def _plots_note(figures: OfficeFigures, shown: int) -> str:
    parts = ["By the year of the last shingle; hollow: no job of that year can tell."]
    if len(figures.years) > shown:
        parts.append(f"The last {shown} years.")
    if figures.no_year:
        parts.append(f"{plural(figures.no_year, 'job')} without one on record.")
    return " ".join(parts)


def _plots(years: Sequence[OfYear]) -> tuple[Plot, ...]:
    hundred = Fraction(1)
    days = [year.days.days for year in years if year.days.days is not None]
    top = _round_up(max(days, default=Fraction(0)))

    def share(one: Shared) -> str:
        return "cannot tell" if one.share is None else write_share(one.share)

    redecked = max(
        (y.redecked.share for y in years if y.redecked.share is not None), default=Fraction(0)
    )
    most = next(
        step
        for step in (Fraction(1, 10), Fraction(1, 5), Fraction(1, 2), hundred)
        if redecked <= step
    )
    return (
        _plot(
            "Registered in time",
            years,
            lambda y: y.in_time.share,
            hundred,
            _percent,
            lambda y: share(y.in_time),
        ),
        _plot(
            "Days to registration, median",
            years,
            lambda y: y.days.days,
            top,
            lambda value: write_number(value, 0),
            lambda y: days_text(y.days),
        ),
        _plot(
            "Re-decked whole",
            years,
            lambda y: y.redecked.share,
            most,
            _percent,
            lambda y: share(y.redecked),
        ),
    )


def _percent(share: Fraction) -> str:
    return f"{write_number(share * 100, 1)} %"


def _round_up(days: Fraction) -> Fraction:
    """Return the next round figure, for the top of a scale."""
    for step in (10, 20, 40, 60, 100, 200, 400, 1000):
        if days <= step:
            return Fraction(step)
    return Fraction(days)


def _plot(
    heading: str,
    years: Sequence[OfYear],
    value: Callable[[OfYear], Fraction | None],
    top: Fraction,
    write: Callable[[Fraction], str],
    say: Callable[[OfYear], str],
) -> Plot:
    step = Fraction(_WIDE - _LEFT, max(len(years), 8))
    floor = Fraction(_TOP + _HIGH)
    bars, marks = [], []
    for place, year in enumerate(years):
        x, known = _LEFT + step * place, value(year)
        height = max(Fraction(0), known or Fraction(0)) / top * _HIGH if top else Fraction(0)
        bars.append(
            Bar(
                _mm(x + step / 8),
                _mm(floor - height),
                _mm(step * 3 / 4),
                _mm(height),
                known is not None,
            )
        )
        if (
            place == 0
            or place == len(years) - 1
            or (year.year % 5 == 0 and 4 < place < len(years) - 4)
        ):
            marks.append(YearMark(_mm(x + step / 2), str(year.year)))
    lines = tuple(
        Line(_mm(floor - _HIGH * part), _mm(floor - _HIGH * part + 1), write(top * part))
        for part in (Fraction(0), Fraction(1, 2), Fraction(1))
    )
    told = ", ".join(f"{year.year}: {say(year)}" for year in years)
    return Plot(heading, f"{heading} by year. {told}", tuple(bars), lines, tuple(marks))


def csv_rows(figures: OfficeFigures) -> list[dict[str, str]]:
    """Return every figure as a row of CSV: of all jobs first, then by year, rules and lost jobs."""
    rows = _of_group(figures.in_time, figures.days, figures.redecked, "")
    for year in figures.years:
        rows += _of_group(year.in_time, year.days, year.redecked, str(year.year))
    for one in figures.missing:
        value, of = str(one.jobs), str(figures.lists)
        without = str(figures.jobs - figures.lists)
        rows.append(_csv(f"missing: {one.rule}", "", value, "jobs", of, without, ""))
    rows.append(
        _csv(
            "can no longer be registered in time",
            "",
            str(figures.lost_total),
            "jobs",
            str(figures.jobs),
            "",
            "",
        )
    )
    return rows


def _of_group(in_time: Shared, days: Middle, redecked: Shared, year: str) -> list[dict[str, str]]:
    def share(one: Shared) -> str:
        return "" if one.share is None else write_number(one.share * 100, 1)

    middle = "" if days.days is None else write_number(days.days, 1)
    return [
        _csv("registered in time", year, share(in_time), "%", *_counts(in_time)),
        _csv("last shingle to registration, median", year, middle, "days", *_counts(days)),
        _csv("re-decked whole", year, share(redecked), "%", *_counts(redecked)),
    ]


def _counts(one: Shared | Middle) -> tuple[str, str, str]:
    return str(one.of), str(one.cannot_tell), str(one.apart)


def _csv(*cells: str) -> dict[str, str]:
    return dict(zip(COLUMNS, cells, strict=True))
