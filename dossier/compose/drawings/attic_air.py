"""How each attic space breathes: a schematic section, and high and low vents as bars on one scale.

In: a case for one reader, its assessment and the numbers of its index. Out: an `AtticAir` for each space, sizes
and words as text. Must not judge, nor draw what is not on record: an arrow stands only where a vent does.
"""

from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.compose.parts.attic_words import Side, Space, mark_of
from dossier.compose.parts.references import Index
from dossier.compose.parts.shared import NOT_ON_RECORD, Ref, capital
from dossier.compose.parts.type_width import lines as lines_of
from dossier.compose.parts.type_width import width_mm
from dossier.values import (
    write_coordinate as _mm,
)
from dossier.values import (
    write_number,
)

WIDE_MM = 165
"""Width of the drawing, that of the printed column."""

_SECTION_TALL_MM = 44
_BARS_MM, _LONG_MM, _BAR_MM, _OVER_MM, _CLEAR_MM = 68, 94, 5, Fraction(12, 10), Fraction(7, 10)
"""Where the bars begin, how long the scale is, how high a bar, how far a mark stands over it, and the air
between a mark and its label."""

_SMALL_MM, _BOLD_MM, _LINE_MM = Fraction(29, 10), Fraction(3), Fraction(39, 10)
_PRODUCT_LINES, _MOST_TICKS = 2, 5
_ONLY_SPACE = "main"
"""What the record calls a space that nobody named; where it is the only one, it needs no heading."""

_MOST_SQIN = 10**6
"""Above this a figure is a slip of the pen: it is told in words, since its scale would say nothing."""

_HALF_SHAFT_MM = Fraction(6, 10)


@dataclass(frozen=True)
class AirText:
    """One line of words. weight: 400 or 700; anchor: start, middle or end; size: in millimetres; all as text."""

    x: str
    y: str
    text: str
    weight: str
    anchor: str
    size: str


@dataclass(frozen=True)
class AirBar:
    """One bar. width: empty where the figure is not known, and then the ground is drawn dashed."""

    y: str
    width: str


@dataclass(frozen=True)
class AtticAir:
    """One attic space. title: what is drawn, in words; empty where nothing is. heading: empty for one main space.

    roof, house, marks, axis: paths; arrows: outlines. ground: x and width of the scale behind each bar. finding:
    the verdict in words, with the number of its working. sentences: what the code asks for.
    """

    heading: str
    title: str
    width: str
    height: str
    roof: str
    house: str
    arrows: tuple[str, ...]
    ground: tuple[str, str]
    bars: tuple[AirBar, ...]
    marks: str
    axis: str
    texts: tuple[AirText, ...]
    finding: str
    refs: tuple[Ref, ...]
    sentences: tuple[str, ...]


def attic_air(case: Case, assessment: Assessment, numbers: Index) -> tuple[AtticAir, ...]:
    """Return every attic space on record, in its order.

    One that is unvented by design, or of which nothing is known, has words only.
    """
    attics = case.job.building.attics if case.job.building else ()
    found = []
    for number in range(len(attics)):
        space = Space(case, assessment, number)
        drawer = _Drawer()
        if space.drawn:
            drawer.section(space)
            drawer.sides(space.high, space.low)
        found.append(
            AtticAir(
                heading=""
                if len(attics) == 1 and attics[0].space == _ONLY_SPACE
                else capital(space.name),
                title=space.title if space.drawn else "",
                width=str(WIDE_MM),
                height=_mm(max(drawer.bottom, Fraction(_SECTION_TALL_MM))),
                roof=drawer.roof,
                house=drawer.house,
                arrows=tuple(drawer.arrows),
                ground=(str(_BARS_MM), str(_LONG_MM)),
                bars=tuple(drawer.bars),
                marks=" ".join(drawer.marks),
                axis=drawer.axis,
                texts=tuple(drawer.texts),
                finding=space.finding,
                refs=numbers.of(f"attic.{number}"),
                sentences=tuple(space.sentences()),
            )
        )
    return tuple(found)


class _Drawer:
    """Collects the lines, bars and words of one space."""

    def __init__(self) -> None:
        self.bottom = Fraction(0)
        self.roof = self.house = self.axis = ""
        self.arrows: list[str] = []
        self.bars: list[AirBar] = []
        self.marks: list[str] = []
        self.texts: list[AirText] = []

    def _text(
        self,
        x: Fraction | int,
        y: Fraction | int,
        text: str,
        anchor: str = "start",
        *,
        bold: bool = False,
    ) -> None:
        weight, size = ("700", _BOLD_MM) if bold else ("400", _SMALL_MM)
        self.texts.append(AirText(_mm(x), _mm(y), text, weight, anchor, _mm(size)))

    def section(self, space: Space) -> None:
        """Draw the gable, open along the ridge and under the eaves only where vents are on record."""
        high, low = space.high, space.low
        self.roof = "M3 33 L28.2 12.4 M31.8 12.4 L57 33" if high.lets_air else "M3 33 L30 11 L57 33"
        eaves = "M3 33 H6.2 M9.8 33 H50.2 M53.8 33 H57" if low.lets_air else "M3 33 H57"
        self.house = f"{eaves} M12 33 V43 M48 33 V43"
        (name,) = lines_of(space.name, 28, _BOLD_MM, 1, bold=True)
        self._text(30, 26, name, "middle", bold=True)
        known = space.size != NOT_ON_RECORD
        floor = f"floor {space.size}" if known else "floor not on record"
        self._text(30, 30, lines_of(floor, 38, _SMALL_MM, 1)[0], "middle")
        if high.lets_air:
            self.arrows.append(_arrow(30, Fraction(17), Fraction(4)))
            self._text(34, 8, "air out, high")
        else:
            self._text(30, 8, f"high: {high.figure}", "middle")
        if low.lets_air:
            self.arrows += [_arrow(x, Fraction(42), Fraction(305, 10)) for x in (8, 52)]
            self._text(30, 40, "air in, low", "middle")
        else:
            self._text(30, 40, f"low: {low.figure}", "middle")

    def sides(self, *sides: Side) -> None:
        """Draw the bars below one another, with their marks, on one scale."""
        figures = [side.sqin for side in sides if side.sqin is not None]
        figures += [sqin for side in sides for _, sqin in side.asked]
        most = max(figures, default=Fraction(0))
        if most > _MOST_SQIN:
            most = Fraction(0)
        step = _step(most)
        scale = _LONG_MM / (step * -(-most // step)) if most else Fraction(0)
        y = Fraction(3)
        if scale:
            self._text(_BARS_MM, y, "Net free area in square inches, both on one scale")
            y += _LINE_MM + 1
        for side in sides:
            y = self._side(side, y, scale) + 1
        if scale:
            y = self._axis(y, scale, step)
        self.bottom = y

    def _side(self, side: Side, y: Fraction, scale: Fraction) -> Fraction:
        """Draw one side from y down; return where the next may begin."""
        (heading,) = lines_of(f"{side.name}: {side.figure}", _LONG_MM, _BOLD_MM, 1, bold=True)
        self._text(_BARS_MM, y, heading, bold=True)
        for line in lines_of(side.told, _LONG_MM, _SMALL_MM, _PRODUCT_LINES):
            y += _LINE_MM
            self._text(_BARS_MM, y, line)
        if not scale:
            return y + _LINE_MM
        below = side.asked[:1]
        for ratio, sqin in side.asked[1:]:
            y += _LINE_MM
            self._mark_label(y, ratio, sqin, scale)
        y += _OVER_MM + _CLEAR_MM
        width = "" if side.sqin is None else _mm(side.sqin * scale)
        self.bars.append(AirBar(_mm(y), width))
        for _, sqin in side.asked:
            top, down = y - _OVER_MM, _BAR_MM + 2 * _OVER_MM
            self.marks.append(f"M{_mm(_BARS_MM + sqin * scale)} {_mm(top)} v{_mm(down)}")
        y += _BAR_MM
        for ratio, sqin in below:
            y += _LINE_MM + _CLEAR_MM
            self._mark_label(y, ratio, sqin, scale)
        return y + _LINE_MM + 1

    def _mark_label(self, y: Fraction, ratio: int, sqin: Fraction, scale: Fraction) -> None:
        x = _BARS_MM + sqin * scale
        label = f"at least {write_number(sqin)} ({mark_of(ratio)})"
        side = width_mm(label, _SMALL_MM) / 2
        anchor = "middle"
        if x < _BARS_MM + side:
            anchor, x = "start", x - 1
        elif x > _BARS_MM + _LONG_MM - side:
            anchor, x = "end", x + 1
        self._text(x, y, label, anchor)

    def _axis(self, y: Fraction, scale: Fraction, step: Fraction) -> Fraction:
        y -= 3
        parts = [f"M{_BARS_MM} {_mm(y)} h{_LONG_MM}"]
        for number in range(int(_LONG_MM / (step * scale)) + 1):
            x = _BARS_MM + number * step * scale
            parts.append(f"M{_mm(x)} {_mm(y)} v1")
            anchor = "middle" if number else "start"
            if x + 3 > _BARS_MM + _LONG_MM:
                anchor = "end"
            self._text(x, y + 4, write_number(number * step), anchor)
        self.axis = " ".join(parts)
        return y + 5


def _arrow(x: int, tail: Fraction, tip: Fraction) -> str:
    """Return the outline of an arrow that points up, in millimetres."""
    half, neck = _HALF_SHAFT_MM, tip + 3
    return (
        f"M{_mm(x - half)} {_mm(tail)} V{_mm(neck)} H{x - 2} L{x} {_mm(tip)} L{x + 2} {_mm(neck)} "
        f"H{_mm(x + half)} V{_mm(tail)} Z"
    )


def _step(most: Fraction) -> Fraction:
    """Return the round number that parts a scale up to `most` into at most five: 1, 2 or 5 by a power of ten."""
    step = Fraction(1, 1000)
    while True:
        for round_number in (1, 2, 5):
            if most <= step * round_number * _MOST_TICKS:
                return step * round_number
        step *= 10
