"""Every coverage on one time line: what each part pays as the years go by, and what a sale passes on.

In: an assessment. Out: shapes and words of one drawing, or of several where one page does not hold it, in
millimetres, as text. Must not word a term: the composers of coverage and of sales do. Where a start is not
on record the axis is one of years, since a day in the drawing would then be made up.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from dossier.assess.results import Assessment, CoverageLine
from dossier.assess.shares import course
from dossier.compose.drawings.time_axis import AXIS_MM, EDGE_MM, LEFT_MM, Axis, axis_of
from dossier.compose.drawings.time_marks import (
    BAR_MM,
    KEY,
    LEAST_POINT_MM,
    diamond,
    flag,
    point,
    sample,
)
from dossier.compose.drawings.time_registration import Dated, dated
from dossier.compose.parts import claims_and_sales, coverage_pages
from dossier.compose.parts.shared import capital, years
from dossier.compose.parts.type_width import lines as lines_of
from dossier.compose.parts.type_width import width_mm
from dossier.values import (
    write_coordinate as _mm,
)
from dossier.values import (
    write_date,
    write_number,
)

_WIDE_MM = 165
_TALLEST_MM = 205
"""A Letter page between its margins is 235 mm tall; what is left holds the heading and the lines under it."""

_PITCH_MM = Fraction(58, 10)
_BAND_MM, _HATCH_MM = Fraction(24, 10), 2
_ARROW_MM = 4
_TYPE_MM, _HEADING_MM = Fraction(29, 10), Fraction(33, 10)
_LINE_MM = 4
_KEY_PITCH_MM, _KEY_ROWS = 5, 3
_MOST_BARS = 20
_HEADING_LINES, _WORD_LINES = 4, 5
"""So many bars, lines and rows of the key stand below each other in less than `_TALLEST_MM`."""

_BAND_LABEL = "At a sale"

_SAME_IN_KEY = {"open-part": "open", "open-if": "open", "part-if": "full-if"}


@dataclass(frozen=True)
class Shape:
    """One path. kind: what it stands for; the template knows how that looks."""

    kind: str
    path: str


@dataclass(frozen=True)
class Words:
    """One line of words. y: of its foot. weight: 400 or 700. anchor: start, middle or end. size: in mm."""

    x: str
    y: str
    text: str
    size: str
    weight: str = "400"
    anchor: str = "start"


@dataclass(frozen=True)
class Bar:
    """One part of a coverage, from its start to its end or to the edge of the line.

    full: its outline while it pays in full. rest: while it pays in part, empty where it never does. arrow: of the
    open end, empty for one that ends on the line. open_full: whether that end still is paid in full. note: its end
    in words. next_owner: of the mark at the next owner's last day, empty where he has it as long.
    """

    label: str
    full: str
    rest: str
    arrow: str
    open_full: bool
    note: str
    next_owner: str


@dataclass(frozen=True)
class TimeLine:
    """One drawing. heading: above it. title: the same for somebody who hears it."""

    heading: str
    title: str
    describes: str
    width: str
    height: str
    bars: tuple[Bar, ...]
    shapes: tuple[Shape, ...]
    words: tuple[Words, ...]


@dataclass(frozen=True)
class _Group:
    """One coverage, or a part of a long one. starts: years from the start of the axis.

    sure: whether it holds by this record; else its bars are only outlined. sale: what a sale passes on, or left.
    band: whether the years in which one passes it on are drawn.
    """

    heading: str
    lines: tuple[CoverageLine, ...]
    starts: Fraction
    sure: bool
    sale: str
    band: bool


@dataclass(frozen=True)
class _Registration:
    """One row of a registration.

    at: years from the left end, None where its day has no place. left: whether its words stand left of it.
    """

    texts: tuple[str, ...]
    at: Fraction | None
    x: Fraction
    left: bool
    done: bool

    @property
    def tall_mm(self) -> Fraction:
        """Return how far down the row reaches, with the room below the last one."""
        return _PITCH_MM + (len(self.texts) - 1) * _LINE_MM + 1


def time_lines(
    assessment: Assessment, left: Mapping[tuple[str, str], str] | None = None
) -> tuple[TimeLine, ...]:
    """Return the one drawing of every coverage; more than one only where a page does not hold them all.

    left: after a sale on record, what it left of each coverage, by title and document; None where none is. A
    band over the years in which a sale would pass it on then says nothing that still holds, and is left out.
    """
    axis = axis_of(assessment.coverages)
    groups = list(_groups(assessment, axis, left))
    if not groups:
        return ()
    drawers = [_Drawer(axis)]
    for row in _registrations(dated(assessment), axis):
        if drawers[-1].height_mm + row.tall_mm > _TALLEST_MM:
            drawers.append(_Drawer(axis))
        drawers[-1].registration(row)
    for group in groups:
        drawer = drawers[-1]
        if drawer.holds_rows and drawer.height_mm + _tall_mm(group) > _TALLEST_MM:
            drawers.append(_Drawer(axis))
        drawers[-1].coverage(group)
    drawn = [drawer.drawing() for drawer in drawers]
    if len(drawn) == 1:
        return tuple(drawn)
    return tuple(_numbered(one, number, len(drawn)) for number, one in enumerate(drawn, start=1))


def _numbered(one: TimeLine, number: int, of: int) -> TimeLine:
    part = f"part {number} of {of}"
    heading = f"{one.heading}{', continued' if number > 1 else ''}, {part}"
    return replace(one, heading=heading, title=f"{capital(part)}: {one.title}")


def _registrations(found: Iterable[Dated], axis: Axis) -> Iterator[_Registration]:
    for one in found:
        at = axis.place(one.on)
        x = Fraction(LEFT_MM + 6)
        if at is not None:
            x = max(x, axis.x(at) + 4)
        # A day far along the line leaves its words more room on its left.
        left = x > LEFT_MM + Fraction(AXIS_MM, 2)
        room = axis.x(at) - 4 - LEFT_MM if left and at is not None else _WIDE_MM - x
        if left and at is not None:
            x = axis.x(at) - 3
        yield _Registration(lines_of(one.says, Fraction(room), _TYPE_MM, 3), at, x, left, one.done)


def _groups(
    assessment: Assessment, axis: Axis, left: Mapping[tuple[str, str], str] | None
) -> Iterator[_Group]:
    for block in coverage_pages.blocks(assessment):
        key = (block.title, block.document)
        lines = coverage_pages.lines_of(assessment, key)
        first = lines[0]
        # A long name gives way to the state, which says whether the coverage can be counted on.
        named = f"{block.title}, {first.promised_by}"
        (named, *_) = lines_of(named, Fraction(_WIDE_MM - 4), _HEADING_MM, 1, bold=True)
        title = f"{named}: {block.state}"
        if first.starts is not None and first.starts != axis.start:
            title += f"; starts {write_date(first.starts)}"
        elif first.starts is None and "start" not in block.state:
            title += "; its start is not on record"
        sale = claims_and_sales.sale_words(lines) if left is None else left.get(key, "")
        passes = first.transfer is not None and first.transfer.passes
        for at in range(0, len(lines), _MOST_BARS):
            piece, last = lines[at : at + _MOST_BARS], at + _MOST_BARS >= len(lines)
            heading = f"{title}, continued" if at else title
            yield _Group(
                heading,
                piece,
                axis.offset(first.starts),
                block.sure,
                sale if last else "",
                band=last and passes and left is None,
            )


def _heading_lines(group: _Group) -> tuple[str, ...]:
    return lines_of(group.heading, Fraction(_WIDE_MM), _HEADING_MM, _HEADING_LINES, bold=True)


def _sale_lines(group: _Group) -> tuple[str, ...]:
    return lines_of(group.sale, Fraction(_WIDE_MM - LEFT_MM), _TYPE_MM, _WORD_LINES)


def _tall_mm(group: _Group) -> Fraction:
    tall = (
        Fraction(82, 10)
        + (len(_heading_lines(group)) - 1) * _LINE_MM
        + _PITCH_MM * len(group.lines)
    )
    if group.sale:
        tall += _LINE_MM * len(_sale_lines(group)) + 2
    if group.band:
        tall += _PITCH_MM
    return Fraction(tall)


@dataclass
class _Drawer:
    """Collects shapes and words from the top of one drawing down."""

    axis: Axis
    _y: Fraction = Fraction(0)
    _bars: list[Bar] = field(default_factory=list)
    _shapes: list[Shape] = field(default_factory=list)
    _words: list[Words] = field(default_factory=list)
    _told: list[str] = field(default_factory=list)
    _registered: bool = False

    def __post_init__(self) -> None:
        """Draw the axis at the top."""
        self._axis_rows()
        self._y += Fraction(12, 10)
        self._line("axis", f"M{LEFT_MM} {_mm(self._y)} H{EDGE_MM}")
        for year in self.axis.ticks:
            self._line("axis", f"M{_mm(self.axis.x(year))} {_mm(self._y)} v1.4")
        self._y += 2

    @property
    def height_mm(self) -> Fraction:
        """Return how tall the drawing is with the key and the axis below, which are still to come."""
        key = _LINE_MM + (_KEY_ROWS - 1) * _KEY_PITCH_MM
        return self._y + 1 + _LINE_MM * len(self.axis.rows) + 2 + key + 2

    @property
    def holds_rows(self) -> bool:
        """Return whether a coverage or a registration has been drawn already."""
        return bool(self._bars) or self._registered

    def registration(self, row: _Registration) -> None:
        """Draw the row of a registration: its day on the axis, and the words beside it."""
        self._y += _PITCH_MM - (1 if self._registered else 0)
        foot, middle = self._y, self._y - 1
        if not self._registered:
            self._word(Fraction(0), foot, "Registration")
        self._registered = True
        for number, text in enumerate(row.texts):
            self._word(row.x, foot + number * _LINE_MM, text, anchor="end" if row.left else "start")
        self._y += (len(row.texts) - 1) * _LINE_MM + 1
        if row.at is None:
            return
        here = self.axis.x(row.at)
        self._line("axis", f"M{_mm(here)} {_mm(foot - 5)} V{_mm(middle)}")
        if not row.left:
            self._line("leader", f"M{_mm(here)} {_mm(middle)} H{_mm(row.x - 1)}")
        self._line("done" if row.done else "due", diamond(here, middle))

    def coverage(self, group: _Group) -> None:
        """Draw one coverage: its heading, a bar for each part, and what a sale passes on."""
        texts = _heading_lines(group)
        self._y += 2
        for text in texts:
            self._y += _LINE_MM
            self._word(Fraction(0), self._y, text, _HEADING_MM, weight="700")
        self._y += Fraction(22, 10)
        top = self._y
        below: list[tuple[str, str]] = []
        for line in group.lines:
            below += self._bar(line, group.starts, "" if group.sure else "-if")
            self._y += _PITCH_MM
        if group.band:
            below += self._band(group)
            self._y += _PITCH_MM
        for year in self.axis.ticks:
            self._line(
                "grid",
                f"M{_mm(self.axis.x(year))} {_mm(top - Fraction(4, 10))} V{_mm(self._y - 1)}",
            )
        for kind, path in below:
            self._line(kind, path)
        for text in _sale_lines(group):
            self._word(Fraction(LEFT_MM), self._y + Fraction(22, 10), text)
            self._y += _LINE_MM
        self._told.append(f"{group.heading}. {group.sale}".strip())

    def drawing(self) -> TimeLine:
        """Return the drawing, closed by its axis and its key."""
        self._y += 1
        self._line("axis", f"M{LEFT_MM} {_mm(self._y)} H{EDGE_MM}")
        for year in self.axis.ticks:
            self._line("axis", f"M{_mm(self.axis.x(year))} {_mm(self._y)} v-1.4")
        self._axis_rows()
        self._y += 2
        self._key()
        days = self.axis.span_words
        return TimeLine(
            heading="Every coverage on one line of years",
            title=f"Time line of every coverage, {days}. {' '.join(self._told)}",
            describes="The tables above say when each part ends and how much of it is paid until then.",
            width=str(_WIDE_MM),
            height=_mm(self._y + 2),
            bars=tuple(self._bars),
            shapes=tuple(self._shapes),
            words=tuple(self._words),
        )

    def _bar(self, line: CoverageLine, starts: Fraction, sure: str) -> Iterator[tuple[str, str]]:
        part, axis, top = line.part, self.axis, self._y
        foot = top + BAR_MM
        room_months = int((axis.years - starts) * 12)
        corners = course(part, max(room_months, 1))
        points = [(axis.x(starts + Fraction(at, 12)), share) for at, share in corners]
        # A step stands at one month twice, so that the fall begins at the last corner still paid in full.
        until = max(x for x, share in points if share == 1)
        begin, (end, last) = points[0][0], points[-1]
        rest = ""
        if last < 1:
            fall = [(x, share) for x, share in points if share < 1]
            path = " ".join(f"L{_mm(x)} {_mm(foot - share * BAR_MM)}" for x, share in fall)
            rest = f"M{_mm(until)} {_mm(foot)} V{_mm(top)} {path} V{_mm(foot)} Z"
            yield "frame", f"M{_mm(until)} {_mm(top)} H{_mm(end)} V{_mm(foot)}"
        cut = part.term_years is not None and int(part.term_years * 12) > room_months
        arrow = ""
        if (part.lifetime or cut) and last:
            tall = max(last * BAR_MM, LEAST_POINT_MM)
            arrow = point(end, foot, tall, Fraction(_ARROW_MM))
        outline = f"M{_mm(begin)} {_mm(top)} H{_mm(until)} V{_mm(foot)} H{_mm(begin)} Z"
        bar = Bar(
            label=capital(part.part.value),
            full=outline,
            rest=rest,
            arrow=arrow,
            open_full=last == 1,
            note=self._note(line, cut, last),
            next_owner=self._next_owner(line, starts, top),
        )
        self._bars.append(bar)
        self._word(Fraction(0), foot - 1, bar.label)
        x = end + (_ARROW_MM + 1 if arrow else Fraction(12, 10))
        self._word(x, foot - 1, bar.note)
        yield f"full{sure}", bar.full
        yield f"part{sure}", bar.rest
        yield f"open{sure}" if sure or bar.open_full else "open-part", bar.arrow
        yield "next", bar.next_owner

    def _note(self, line: CoverageLine, cut: bool, last: Fraction) -> str:
        """Return the end of a part in a word or two, for the place beside its bar."""
        part = line.part
        if part.lifetime:
            return "for life" if last else "pays nothing"
        assert part.term_years is not None
        if cut:
            return f"to year {write_number(part.term_years, 2)}"
        if self.axis.start is None or line.ends is None:
            return years(part.term_years)
        return str(line.ends.year)

    def _next_owner(self, line: CoverageLine, starts: Fraction, top: Fraction) -> str:
        """Return the mark at the last day of the next owner, where that comes sooner and lies on the axis."""
        if not claims_and_sales.ends_sooner(line) or line.transfer is None:
            return ""
        at = starts + Fraction(line.transfer.second_owner_years or 0)
        if at > self.axis.years:
            return ""
        return flag(self.axis.x(at), top)

    def _band(self, group: _Group) -> Iterator[tuple[str, str]]:
        """Yield the band over the years in which a sale passes the coverage on."""
        length = group.lines[0].last_sale_years
        begin, top = self.axis.x(group.starts), self._y + Fraction(6, 10)
        over = length is None or group.starts + length > self.axis.years
        end = Fraction(EDGE_MM) if over or length is None else self.axis.x(group.starts + length)
        foot = top + _BAND_MM
        self._word(Fraction(0), foot, _BAND_LABEL)
        tip = f"L{_mm(end + 2)} {_mm(top + _BAND_MM / 2)} L{_mm(end)} {_mm(foot)}"
        right = tip if over else f"V{_mm(foot)}"
        yield "band", f"M{_mm(begin)} {_mm(top)} H{_mm(end)} {right} H{_mm(begin)} Z"
        strokes = []
        x = begin + _HATCH_MM
        while x + _BAND_MM / 2 <= end:
            strokes.append(
                f"M{_mm(x - _BAND_MM / 2)} {_mm(foot)} L{_mm(x + _BAND_MM / 2)} {_mm(top)}"
            )
            x += _HATCH_MM
        yield "hatch", " ".join(strokes)

    def _axis_rows(self) -> None:
        for name, texts in self.axis.rows:
            self._y += _LINE_MM
            self._word(Fraction(0), self._y, name)
            for year, text in zip(self.axis.ticks, texts, strict=True):
                self._word(self.axis.x(year), self._y, text, anchor="middle")

    def _key(self) -> None:
        """Draw what each kind of shape means, for the kinds that occur."""
        drawn_kinds = {shape.kind for shape in self._shapes}
        seen = {_SAME_IN_KEY.get(kind, kind) for kind in drawn_kinds}
        x = Fraction(0)
        self._y += _LINE_MM
        for kind, text in KEY.items():
            if kind not in seen:
                continue
            wide = 8 + width_mm(text, _TYPE_MM)
            if x and x + wide > _WIDE_MM:
                x, self._y = Fraction(0), self._y + _KEY_PITCH_MM
            for drawn, path in sample(kind, x, self._y, drawn_kinds):
                self._line(drawn, path)
            self._word(x + 8, self._y, text)
            x += wide + 4

    def _line(self, kind: str, path: str) -> None:
        if path:
            self._shapes.append(Shape(kind, path))

    def _word(
        self,
        x: Fraction,
        y: Fraction,
        text: str,
        size: Fraction = _TYPE_MM,
        *,
        weight: str = "400",
        anchor: str = "start",
    ) -> None:
        self._words.append(Words(_mm(x), _mm(y), text, _mm(size), weight, anchor))
