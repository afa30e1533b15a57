"""Every coverage on one time line: what each part pays as the years go by, and what a sale passes on.

In: an assessment. Out: shapes and words of one drawing, or of several where one page does not hold it, in
millimetres, as text. Must not word a term: the composers of coverage and of sales do. Where a start is not
on record the axis is one of years, since a day in the drawing would then be made up.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from dossier.assess.results import Assessment, CoverageLine
from dossier.assess.shares import course
from dossier.compose import claims_and_sales, coverage_pages
from dossier.compose.shared import capital, years
from dossier.compose.time_axis import AXIS_MM, EDGE_MM, LEFT_MM, Axis, axis_of
from dossier.compose.time_registration import Dated, dated
from dossier.compose.type_width import lines as lines_of
from dossier.compose.type_width import width_mm
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

_BAR_MM, _PITCH_MM = Fraction(42, 10), Fraction(58, 10)
_BAND_MM, _HATCH_MM = Fraction(24, 10), 2
_ARROW_MM, _LEAST_ARROW_MM = 4, Fraction(18, 10)
_TYPE_MM, _HEADING_MM = Fraction(29, 10), Fraction(33, 10)
_LINE_MM = 4
_MOST_BARS = 22
_HEADING_LINES, _WORD_LINES = 4, 4
_BAND_LABEL = "At a sale"
_KEY = {
    "full": "pays in full",
    "part": "pays in part, as high as the share",
    "open": "runs on beyond this line",
    "next": "next owner’s last day",
    "band": "a sale then passes it on",
    "due": "last day to register",
    "done": "registered or sent",
}


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
    """One coverage, or a part of a long one. starts: years from the start of the axis."""

    heading: str
    lines: tuple[CoverageLine, ...]
    starts: Fraction
    sale: str


def time_lines(assessment: Assessment) -> tuple[TimeLine, ...]:
    """Return the one drawing of every coverage; more than one only where a page does not hold them all."""
    axis = axis_of(assessment.coverages)
    groups = list(_groups(assessment, axis))
    if not groups:
        return ()
    registered = tuple(dated(assessment))
    drawers = [_Drawer(axis)]
    drawers[0].registrations(registered)
    for group in groups:
        drawer = drawers[-1]
        if drawer.holds_bars and drawer.height_mm + _tall_mm(group) > _TALLEST_MM:
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


def _groups(assessment: Assessment, axis: Axis) -> Iterator[_Group]:
    for block in coverage_pages.blocks(assessment):
        lines = tuple(
            line
            for line in assessment.coverages
            if line.title == block.title and line.document == block.document
        )
        first = lines[0]
        # A long name gives way to the state, which says whether the coverage can be counted on.
        named = f"{block.title}, {first.promised_by}"
        (named, *_) = lines_of(named, Fraction(_WIDE_MM - 4), _HEADING_MM, 1, bold=True)
        title = f"{named}: {block.state}"
        if first.starts is not None and first.starts != axis.start:
            title += f"; starts {write_date(first.starts)}"
        elif first.starts is None and "start" not in block.state:
            title += "; its start is not on record"
        sale = claims_and_sales.sale_words(lines)
        for at in range(0, len(lines), _MOST_BARS):
            piece, last = lines[at : at + _MOST_BARS], at + _MOST_BARS >= len(lines)
            heading = f"{title}, continued" if at else title
            yield _Group(heading, piece, axis.offset(first.starts), sale if last else "")


def _heading_lines(group: _Group) -> tuple[str, ...]:
    return lines_of(group.heading, Fraction(_WIDE_MM), _HEADING_MM, _HEADING_LINES, bold=True)


def _sale_lines(group: _Group) -> tuple[str, ...]:
    return lines_of(group.sale, Fraction(_WIDE_MM - LEFT_MM), _TYPE_MM, _WORD_LINES)


def _band_years(lines: Sequence[CoverageLine]) -> Fraction | None:
    """Return the years from the start over which a sale passes something on; None where they do not end."""
    transfer = lines[0].transfer
    assert transfer is not None
    own = transfer.second_owner_years
    ends = []
    for line in lines:
        terms = [one for one in (line.part.term_years, own) if one is not None]
        ends.append(min(terms) if terms else None)
    known = [one for one in ends if one is not None]
    limits = [max(known)] if len(known) == len(ends) else []
    if transfer.roof_at_most_years is not None:
        limits.append(transfer.roof_at_most_years)
    return min(limits) if limits else None


def _tall_mm(group: _Group) -> Fraction:
    tall = (
        Fraction(82, 10)
        + (len(_heading_lines(group)) - 1) * _LINE_MM
        + _PITCH_MM * len(group.lines)
    )
    if group.sale:
        tall += _LINE_MM * len(_sale_lines(group)) + 2
    if group.sale and claims_and_sales.passes_on(group.lines[0].transfer):
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

    def __post_init__(self) -> None:
        """Draw the axis at the top."""
        for name, texts in self.axis.rows:
            self._y += _LINE_MM
            self._axis_words(name, texts)
        self._y += Fraction(12, 10)
        self._line("axis", f"M{LEFT_MM} {_mm(self._y)} H{EDGE_MM}")
        for year in self.axis.ticks:
            self._line("axis", f"M{_mm(self.axis.x(year))} {_mm(self._y)} v1.4")
        self._y += 2

    @property
    def height_mm(self) -> Fraction:
        """Return how tall the drawing is with the key and the axis below, which are still to come."""
        return self._y + 8 + _LINE_MM * len(self.axis.rows) + 2 * _LINE_MM

    @property
    def holds_bars(self) -> bool:
        """Return whether a coverage has been drawn already."""
        return bool(self._bars)

    def registrations(self, found: Sequence[Dated]) -> None:
        """Draw a row for each registration: its day on the axis, and the words beside it."""
        for number, one in enumerate(found):
            at = self.axis.place(one.on)
            self._y += _PITCH_MM
            foot, middle = self._y, self._y - 1
            if number == 0:
                self._word(Fraction(0), foot, "Registration")
            x = Fraction(LEFT_MM + 6)
            if at is not None:
                x = max(x, self.axis.x(at) + 4)
            # A day far along the line leaves its words more room on its left.
            left = x > LEFT_MM + Fraction(AXIS_MM, 2)
            room = self.axis.x(at) - 4 - LEFT_MM if left and at is not None else _WIDE_MM - x
            if left and at is not None:
                x = self.axis.x(at) - 3
            texts = lines_of(one.says, Fraction(room), _TYPE_MM, 3)
            for text in texts:
                self._word(x, self._y, text, anchor="end" if left else "start")
                self._y += _LINE_MM
            self._y -= _LINE_MM
            if at is None:
                continue
            here = self.axis.x(at)
            self._line("axis", f"M{_mm(here)} {_mm(foot - 5)} V{_mm(middle)}")
            if not left:
                self._line("leader", f"M{_mm(here)} {_mm(middle)} H{_mm(x - 1)}")
            self._line("done" if one.done else "due", _diamond(here, middle))
        self._y += 1 if found else 0

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
            below += self._bar(line, group.starts)
            self._y += _PITCH_MM
        if group.sale and claims_and_sales.passes_on(group.lines[0].transfer):
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
        for name, texts in self.axis.rows:
            self._y += _LINE_MM
            self._axis_words(name, texts)
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

    def _bar(self, line: CoverageLine, starts: Fraction) -> Iterator[tuple[str, str]]:
        part, axis, top = line.part, self.axis, self._y
        foot = top + _BAR_MM
        room_months = int((axis.years - starts) * 12)
        corners = course(part, max(room_months, 1))
        full = next((at for at, share in corners[1:] if share < 1), corners[-1][0])
        points = [(axis.x(starts + Fraction(at, 12)), share) for at, share in corners]
        begin, until, end = points[0][0], axis.x(starts + Fraction(full, 12)), points[-1][0]
        # A step stands at one month twice, so that the fall begins at the last corner still paid in full.
        full_at = max(x for x, share in points if share == 1)
        until = max(until, full_at) if points[-1][1] < 1 and full_at > until else full_at
        last = points[-1][1]
        rest = ""
        if last < 1:
            fall = [(x, share) for x, share in points if share < 1]
            path = " ".join(f"L{_mm(x)} {_mm(foot - share * _BAR_MM)}" for x, share in fall)
            rest = f"M{_mm(until)} {_mm(foot)} V{_mm(top)} {path} V{_mm(foot)} Z"
            yield "frame", f"M{_mm(until)} {_mm(top)} H{_mm(end)} V{_mm(foot)}"
        cut = part.term_years is not None and int(part.term_years * 12) > room_months
        arrow = ""
        if (part.lifetime or cut) and last:
            tall = max(last * _BAR_MM, _LEAST_ARROW_MM)
            tip = f"L{_mm(end + _ARROW_MM)} {_mm(foot - tall / 2)}"
            arrow = f"M{_mm(end)} {_mm(foot - tall)} {tip} L{_mm(end)} {_mm(foot)} Z"
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
        yield "full", bar.full
        yield "part", bar.rest
        yield ("open" if bar.open_full else "open-part"), bar.arrow
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
        return _flag(self.axis.x(at), top)

    def _band(self, group: _Group) -> Iterator[tuple[str, str]]:
        """Yield the band over the years in which a sale passes the coverage on."""
        length = _band_years(group.lines)
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

    def _axis_words(self, name: str, texts: Iterable[str]) -> None:
        self._word(Fraction(0), self._y, name)
        for year, text in zip(self.axis.ticks, texts, strict=True):
            self._word(self.axis.x(year), self._y, text, anchor="middle")

    def _key(self) -> None:
        """Draw what each kind of shape means, for the kinds that occur."""
        seen = {"open" if shape.kind == "open-part" else shape.kind for shape in self._shapes}
        x = Fraction(0)
        self._y += _LINE_MM
        for kind, text in _KEY.items():
            if kind not in seen:
                continue
            wide = 8 + width_mm(text, _TYPE_MM)
            if x and x + wide > _WIDE_MM:
                x, self._y = Fraction(0), self._y + _LINE_MM + 1
            for drawn, path in _sample(kind, x, self._y):
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


def _sample(kind: str, x: Fraction, foot: Fraction) -> Iterator[tuple[str, str]]:
    """Yield the shapes of one kind as the key shows them, 6 mm wide, on the foot of its words."""
    left, right, top = _mm(x), _mm(x + 6), _mm(foot - 3)
    whole = f"M{left} {top} H{right} V{_mm(foot)} H{left} Z"
    match kind:
        case "part":
            yield "part", f"M{left} {_mm(foot)} V{top} L{right} {_mm(foot - 1)} V{_mm(foot)} Z"
        case "open":
            tip = f"L{right} {_mm(foot - Fraction(3, 2))}"
            yield "open", f"M{_mm(x + 2)} {top} {tip} L{_mm(x + 2)} {_mm(foot)} Z"
        case "next":
            yield "next", _flag(x + 3, foot - 3)
        case "band":
            yield "band", whole
            yield (
                "hatch",
                " ".join(f"M{_mm(x + at)} {_mm(foot)} l2 -3" for at in (0, 2, 4)),
            )
        case "due" | "done":
            yield kind, _diamond(x + 3, foot - Fraction(11, 10))
        case _:
            yield kind, whole


def _diamond(x: Fraction, y: Fraction) -> str:
    half = Fraction(16, 10)
    right, left = f"L{_mm(x + half)} {_mm(y)}", f"L{_mm(x - half)} {_mm(y)}"
    return f"M{_mm(x)} {_mm(y - half)} {right} L{_mm(x)} {_mm(y + half)} {left} Z"


def _flag(x: Fraction, top: Fraction) -> str:
    """Return a small triangle that stands on a bar with its point down, and a line from it through the bar."""
    left, right = _mm(x - Fraction(14, 10)), _mm(x + Fraction(14, 10))
    low = _mm(top + Fraction(12, 10))
    return f"M{left} {_mm(top - 1)} H{right} L{_mm(x)} {low} Z M{_mm(x)} {_mm(top - 1)} V{_mm(top + _BAR_MM)}"
