"""A section through the eave as shapes: lengths to scale, layers drawn apart and thicker than they are.

In: the edge of one slope in inches and the layers to draw, from the deck up. Out: polygons, lines and words
in millimetres of the drawing, as text. Must not know a record, judge a reach or word a note.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.results import RoofEdge
from dossier.compose.parts.type_width import lines as lines_of
from dossier.compose.parts.type_width import width_mm
from dossier.values import (
    write_coordinate as _mm,
)
from dossier.values import (
    write_inches,
)
from dossier.words import WallDatum

SCALES = (8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256, 384)
"""Inches on the roof to one inch of paper, in the steps of an architect's rule and their doubles."""

_MM_PER_IN = Fraction(254, 10)
_WIDE_MM, _TALL_MM = 95, 58
_LEFT_MM, _FAN_MM, _KEY_MM = 9, 8, 55
_WALL_BELOW_MM, _NO_WALL_BELOW_MM = 16, 9
_KEY_LINES, _TYPE_MM = 2, Fraction(28, 10)
_DECK_MM = 3
_GAP_MM = Fraction(9, 10)
_THICK_MM = Fraction(16, 10)
_COURSE_IN, _LEDGE_MM = 6, Fraction(9, 10)
"""Shingles are drawn as steps of six inches: schematic, since no exposure is read from the record."""
_STARTER_IN = 9
_WHOLE_IN = 240
"""A slope that is covered whole is drawn no further than this, and broken off."""
_WALL_IN = 6
"""Where the broken inside face of a wall of unknown thickness is drawn; only to show that it has one."""
_FLANGE_IN = 2

LETTERS = {
    "deck": "A",
    "drip": "B",
    "barrier": "C",
    "sheet": "D",
    "starter": "E",
    "shingles": "F",
    "membrane": "G",
    "wall": "W",
}
"""The letter of each layer, the same in every section of a document."""

Point = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Drawn:
    """One layer to draw. kind: deck, barrier, sheet, membrane, drip, starter or shingles.

    name, product: of the key. to_in: how far it runs up the slope; None for as far as is drawn. broken: the
    record does not say how it lies, so that it is drawn in broken lines, a sheet up to broken_to_in.
    """

    kind: str
    name: str
    product: str
    to_in: Fraction | None = None
    broken: bool = False
    broken_to_in: Fraction = Fraction(0)


@dataclass(frozen=True)
class EdgeShape:
    """What is drawn.

    asked_in: reach asked for along the slope, None where it cannot be told or nobody asks. at_least: whether
    that is the least it can be, since a length is not on record.
    """

    edge: RoofEdge
    asked_in: Fraction | None
    at_least: bool
    layers: tuple[Drawn, ...]

    @property
    def inside_line(self) -> bool:
        """Return whether the wall line is the wall's inside face."""
        return self.edge.wall_line == WallDatum.INSIDE_FACE.value

    @property
    def walled(self) -> bool:
        """Return whether the wall can be drawn: it stands under this slope, at a place on record."""
        edge = self.edge
        if not edge.wall or edge.overhang_in is None:
            return False
        level = edge.overhang_in + (edge.wall_in or _WALL_IN)
        return edge.length_in is None or level * edge.slope_factor <= edge.length_in


@dataclass(frozen=True)
class Area:
    """One closed shape. tone: wood, dark, mid, light or wall."""

    points: str
    tone: str
    broken: bool = False


@dataclass(frozen=True)
class Stroke:
    """One open line. kind: thin, measure, drop (of a reach), broken, wall, metal or line (the wall line)."""

    path: str
    kind: str


@dataclass(frozen=True)
class Words:
    """One line of words. anchor: start, middle or end. turn: the first four numbers of an SVG matrix."""

    x: str
    y: str
    text: str
    anchor: str = "start"
    bold: bool = False
    turn: str = ""


@dataclass(frozen=True)
class EdgeDrawing:
    """The shapes of one section, sizes in millimetres as text. scale: such as “1 to 16”."""

    width: str
    height: str
    scale: str
    areas: tuple[Area, ...]
    strokes: tuple[Stroke, ...]
    words: tuple[Words, ...]


def edge_drawing(shape: EdgeShape) -> EdgeDrawing:
    """Return the section drawn at the largest scale that has room for it."""
    return _Drawer(shape).drawing()


def drawn_to_in(shape: EdgeShape) -> Fraction:
    """Return how far up the slope the section is drawn, in inches: past all that is measured on it."""
    edge = shape.edge
    level = (edge.overhang_in or 0) + (edge.wall_in or 0)
    known = [level * edge.slope_factor + 18, Fraction(36)]
    for reach in (edge.laid_in, shape.asked_in):
        if reach is not None:
            whole = edge.length_in is not None and reach >= edge.length_in
            known.append(min(reach, Fraction(_WHOLE_IN)) if whole else reach + 10)
    most = max(known)
    return most if edge.length_in is None else min(most, edge.length_in)


class _Drawer:
    """Collects the shapes of one section. s: inches up the slope; n: millimetres above the deck."""

    def __init__(self, shape: EdgeShape) -> None:
        self._shape, self._edge = shape, shape.edge
        edge = shape.edge
        self._factor = edge.slope_factor
        self._rise = edge.pitch_in_12 / 12
        self._to = drawn_to_in(shape)
        self._above = self._stack_mm() + 14
        self._denominator = self._scale()
        self._per_in = _MM_PER_IN / self._denominator
        self._open = edge.length_in is None or self._to < edge.length_in
        self._areas: list[Area] = []
        self._strokes: list[Stroke] = []
        self._words: list[Words] = []
        self._top = max(
            self._rise_mm(self._to) + self._above / self._factor + 3,
            Fraction(10),
        )
        self._base = self._top + (_WALL_BELOW_MM if shape.walled else _NO_WALL_BELOW_MM)
        self._eave: Point = (Fraction(_LEFT_MM) + self._lean(), self._top)

    def _scale(self) -> int:
        level_in, rise_in = self._to / self._factor, self._to / self._factor * self._rise
        room = _WIDE_MM - _LEFT_MM - self._lean()
        for scale in SCALES:
            per_in = _MM_PER_IN / scale
            if level_in * per_in <= room and rise_in * per_in <= _TALL_MM:
                return scale
        return SCALES[-1]

    def _stack_mm(self) -> Fraction:
        above = sum(1 for layer in self._shape.layers if layer.kind not in ("deck", "drip"))
        return (_THICK_MM + _GAP_MM) * above + _GAP_MM

    def _rise_mm(self, s: Fraction) -> Fraction:
        return s * self._per_in * self._rise / self._factor

    def _lean(self) -> Fraction:
        """Return how far what is drawn above the eave leans out to its left, in millimetres."""
        return self._above * self._rise / self._factor

    def _at(self, s: Fraction | int, n: Fraction | int) -> Point:
        """Return the point s inches up the slope and n millimetres above the deck, square to it."""
        along = s * self._per_in / self._factor
        x, y = self._eave
        return (
            x + along - n * self._rise / self._factor,
            y - along * self._rise - n / self._factor,
        )

    def drawing(self) -> EdgeDrawing:
        """Return everything drawn."""
        self._wall()
        self._layers()
        self._reaches()
        self._levels(self._base)
        height = self._scale_bar(self._base + (7 if self._shape.walled else 0))
        return EdgeDrawing(
            width=_mm(_WIDE_MM + _FAN_MM + 8 + _KEY_MM),
            height=_mm(height),
            scale=f"1 to {self._denominator}",
            areas=tuple(self._areas),
            strokes=tuple(self._strokes),
            words=tuple(self._words),
        )

    def _wall(self) -> None:
        """Draw the wall below the deck; its inside face is broken where nobody measured the wall."""
        shape, edge = self._shape, self._edge
        if not shape.walled or edge.overhang_in is None:
            return
        outside = self._eave[0] + edge.overhang_in * self._per_in
        thick = edge.wall_in if edge.wall_in is not None else Fraction(_WALL_IN)
        inside = outside + thick * self._per_in
        base = self._base - 1
        corners = [
            (outside, self._under(outside)),
            (inside, self._under(inside)),
            (inside, base),
            (outside, base),
        ]
        if edge.wall_in is None:
            self._line([corners[0], corners[3]], "wall")
            self._line([corners[1], corners[2]], "broken")
        else:
            self._areas.append(Area(_points(corners), "wall"))
            self._line([corners[0], corners[3]], "wall")
            self._line([corners[1], corners[2]], "wall")
        line = inside if shape.inside_line else outside
        if not shape.inside_line or edge.wall_in is not None:
            top = max(self._over(line) - 3, Fraction(1))
            self._line([(line, base + 1), (line, top)], "line")
        self._say(self._clear_of_end(inside + 2), self._top + 10, LETTERS["wall"], bold=True)

    def _clear_of_end(self, x: Fraction) -> Fraction:
        """Return x, or the next place to its right that the line below the barrier's end leaves free."""
        if self._edge.laid_in is None or self._edge.laid_in > self._to:
            return x
        end = self._at(self._edge.laid_in, 0)[0]
        return end + 2 if x - 1 < end < x + 4 else x

    def _under(self, x: Fraction) -> Fraction:
        """Return where the deck's underside is at this x."""
        return self._top - (x - self._eave[0]) * self._rise + _DECK_MM * self._factor

    def _over(self, x: Fraction) -> Fraction:
        """Return where the uppermost layer is at this x."""
        return self._top - (x - self._eave[0]) * self._rise - self._stack_mm() * self._factor

    def _layers(self) -> None:
        low = Fraction(_GAP_MM)
        ends: list[tuple[str, Point]] = []
        for layer in self._shape.layers:
            letter = LETTERS[layer.kind]
            if layer.kind == "deck":
                self._band(Fraction(0), self._to, Fraction(-_DECK_MM), Fraction(0), "wood")
                ends.append((letter, self._at(self._to, -Fraction(_DECK_MM, 2))))
            elif layer.kind == "drip":
                self._drip(low - _GAP_MM / 2, broken=layer.broken)
                x, y = self._at(0, 0)
                self._say(x - 3, y + 7, letter, anchor="end", bold=True)
            else:
                ends += self._sheet(layer, letter, low)
                low += _THICK_MM + _GAP_MM
        self._fan(ends)
        self._key()
        if self._open:
            self._break()

    def _sheet(self, layer: Drawn, letter: str, low: Fraction) -> list[tuple[str, Point]]:
        """Draw one layer above the deck; return where its letter points, if that is at its upper end."""
        high, middle = low + _THICK_MM, low + _THICK_MM / 2
        end = self._to if layer.to_in is None else min(layer.to_in, self._to)
        if layer.kind == "shingles":
            self._shingles(low, high)
        elif layer.kind == "starter":
            end = min(Fraction(_STARTER_IN), self._to)
            self._band(Fraction(0), end, low, high, "mid")
            x, y = self._at(0, middle)
            self._say(x - 3, y + 1, letter, anchor="end", bold=True)
            return []
        else:
            tone = "dark" if layer.kind == "barrier" else "light"
            if layer.broken_to_in:
                start = min(layer.broken_to_in, end)
                self._band(Fraction(0), start, low, high, tone, broken=True)
                if start < end:
                    self._band(start, end, low, high, tone)
            else:
                self._band(Fraction(0), end, low, high, tone)
        return [(letter, self._at(end, middle))]

    def _band(
        self,
        start: Fraction,
        end: Fraction,
        low: Fraction,
        high: Fraction,
        tone: str,
        *,
        broken: bool = False,
    ) -> None:
        corners = [
            self._at(start, low),
            self._at(end, low),
            self._at(end, high),
            self._at(start, high),
        ]
        self._areas.append(Area(_points(corners), tone, broken))

    def _shingles(self, low: Fraction, high: Fraction) -> None:
        corners = [self._at(0, low), self._at(self._to, low)]
        tops: list[Point] = []
        s = Fraction(0)
        while s < self._to:
            tops.append(self._at(s, high + _LEDGE_MM))
            s = min(s + _COURSE_IN, self._to)
            tops.append(self._at(s, high))
        self._areas.append(Area(_points([*corners, *reversed(tops)]), "mid"))

    def _drip(self, n: Fraction, *, broken: bool) -> None:
        flange = self._at(Fraction(_FLANGE_IN), n)
        nose = self._at(0, n)
        x, y = nose[0] - Fraction(6, 10), nose[1]
        self._line([flange, nose], "broken" if broken else "metal")
        foot = self._at(0, -_DECK_MM)[1] + 5
        self._line([nose, (x, y), (x, foot), (x - Fraction(12, 10), foot + 1)], "metal")

    def _fan(self, ends: Sequence[tuple[str, Point]]) -> None:
        """Put a letter to the right of each layer's upper end, spread so that none covers another."""
        at_end = sorted(ends, key=lambda end: end[1][1])
        middle = sum((end[1][1] for end in at_end), Fraction(0)) / max(len(at_end), 1)
        x = max((end[1][0] for end in at_end), default=Fraction(0)) + _FAN_MM
        first = middle - Fraction(9, 4) * (len(at_end) - 1)
        first = max(first, Fraction(3))
        for number, (letter, (end_x, end_y)) in enumerate(at_end):
            y = first + Fraction(9, 2) * number
            self._line([(end_x + Fraction(4, 10), end_y), (x - 1, y)], "thin")
            self._say(x, y + 1, letter, bold=True)

    def _key(self) -> None:
        """Name the layers at the right, the uppermost first, as they lie."""
        x, y = Fraction(_WIDE_MM + _FAN_MM + 8), Fraction(3)
        named = [(LETTERS[one.kind], one.name, one.product) for one in self._shape.layers]
        named.reverse()
        if self._shape.walled:
            face = "inside" if self._shape.inside_line else "outside"
            named.append((LETTERS["wall"], "Exterior wall", f"wall line: its {face} face"))
        for letter, name, product in named:
            self._say(x, y, letter, bold=True)
            self._say(x + 4, y, name, bold=True)
            for line in lines_of(product, _KEY_MM - 4, _TYPE_MM, _KEY_LINES):
                y += Fraction(37, 10)
                self._say(x + 4, y, line)
            y += Fraction(48, 10)
        self._key_end = y

    def _break(self) -> None:
        """Draw a break line across the upper end: the slope goes on."""
        low, high = Fraction(-_DECK_MM - 2), self._stack_mm() + 2
        step = (high - low) / 4
        offset = Fraction(2) / self._per_in
        points = [
            self._at(self._to, low),
            self._at(self._to, low + step),
            self._at(self._to + offset / 2, low + step * Fraction(3, 2)),
            self._at(self._to - offset / 2, low + step * Fraction(5, 2)),
            self._at(self._to, low + step * 3),
            self._at(self._to, high),
        ]
        self._line(points, "thin")

    def _reaches(self) -> None:
        """Draw how far the barrier was asked for and laid, along the slope."""
        n = self._stack_mm() + 4
        asked = "asked for: at least" if self._shape.at_least else "asked for:"
        for word, reach in ((asked, self._shape.asked_in), ("laid:", self._edge.laid_in)):
            if reach is None or reach <= 0:
                continue
            end = min(reach, self._to)
            self._line([self._at(0, n), self._at(end, n)], "measure")
            for s in (Fraction(0), end):
                self._line([self._at(s, n - 1), self._at(s, n + 1)], "measure")
            if word == asked:
                self._line([self._at(end, 0), self._at(end, n - 1)], "drop")
            whole = self._edge.length_in is not None and reach >= self._edge.length_in
            far = "the whole slope" if whole else write_inches(reach)
            if word == "laid:" and not self._edge.measured:
                far += " at most"
            self._say_along(end / 2, n + 1, f"{word} {far}")
            n += 6

    def _levels(self, base: Fraction) -> None:
        """Draw the level lengths below: overhang, wall, and how far inside the wall line the barrier ends."""
        shape, edge, x0 = self._shape, self._edge, self._eave[0]
        if not shape.walled or edge.overhang_in is None:
            return
        outside, taken = x0 + edge.overhang_in * self._per_in, x0
        if edge.overhang_in > 0:
            self._measure(x0, outside, base + 3)
            self._line([(x0, self._top + 9), (x0, base + 4)], "thin")
            figure = write_inches(edge.overhang_in)
            self._say((x0 + outside) / 2, base + 7, figure, "middle")
            taken = (x0 + outside) / 2 + width_mm(figure, _TYPE_MM) / 2 + 1
        line = outside
        if shape.inside_line and edge.wall_in is not None:
            line = outside + edge.wall_in * self._per_in
        if edge.inside_wall_in is None or edge.inside_wall_in <= 0 or edge.laid_in is None:
            return
        if not edge.measured:
            return
        if edge.laid_in > self._to:
            return
        end = self._at(edge.laid_in, 0)
        self._line([end, (end[0], base + 4)], "thin")
        self._measure(line, end[0], base + 3)
        text = f"{write_inches(edge.inside_wall_in)} inside the wall line"
        middle = max((line + end[0]) / 2, taken + width_mm(text, _TYPE_MM) / 2)
        self._say(middle, base + 7, text, "middle")

    def _measure(self, start: Fraction, end: Fraction, y: Fraction) -> None:
        self._line([(start, y), (end, y)], "measure")
        for x in (start, end):
            self._line([(x, y - 1), (x, y + 1)], "measure")

    def _scale_bar(self, y: Fraction) -> Fraction:
        """Draw a bar of whole feet below the key, for a copy of another size; return where all ends."""
        feet = 1 if self._denominator <= 16 else 2 if self._denominator <= 48 else 5
        x, wide = Fraction(_WIDE_MM + _FAN_MM + 8), feet * 12 * self._per_in
        y = max(y, self._key_end)
        self._measure(x, x + wide, y)
        self._say(x + wide + 2, y + 1, f"{feet} ft")
        return y + 2

    def _line(self, points: Iterable[Point], kind: str) -> None:
        path = " L".join(f"{_mm(x)} {_mm(y)}" for x, y in points)
        self._strokes.append(Stroke(f"M{path}", kind))

    def _say(
        self, x: Fraction, y: Fraction, text: str, anchor: str = "start", *, bold: bool = False
    ) -> None:
        self._words.append(Words(_mm(x), _mm(y), text, anchor, bold))

    def _say_along(self, s: Fraction, n: Fraction, text: str) -> None:
        """Write a line of words along the slope, its middle at s."""
        x, y = self._at(s, n)
        level, upright = _mm(1 / self._factor, 5), _mm(self._rise / self._factor, 5)
        turn = f"{level} -{upright} {upright} {level}"
        self._words.append(Words(_mm(x), _mm(y), text, "middle", turn=turn))


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{_mm(x)},{_mm(y)}" for x, y in points)
