"""The plan of a roof by shapes, to scale, to be held against the house: slopes, and every edge with its length.

In: slopes as pieces in plan, edges with their kinds, in feet. Out: a page with shapes and words of a drawing, in
millimetres, as text. Must not work out a length. The front of the house is at the foot of the page.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from types import MappingProxyType

from dossier.compose.parts.shared import Head, PictureWanted
from dossier.compose.parts.type_width import width_mm
from dossier.values import clip, write_date, write_feet
from dossier.values import write_coordinate as _mm

_WIDE_MM, _TALL_MM, _MARGIN_MM = 160, 165, 6
_TYPE_MM, _SMALL_MM = Fraction(29, 10), Fraction(24, 10)
_LETTERS = 26
_LINE_MM = Fraction(7, 2)
_BAR_FT = 10

_Point = tuple[Fraction, Fraction]

LINES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "eave": ("heavy line", "1.1"),
        "rake": ("thin line", "0.4"),
        "ridge": ("line", "0.7"),
        "hip": ("line", "0.7"),
        "valley": ("dashes", "0.7"),
        "side wall": ("dots", "1.1"),
        "head wall": ("dots", "1.1"),
        "break": ("short dashes", "0.4"),
        "top": ("thin line", "0.4"),
    }
)
"""How each kind of edge is drawn, in words, and how wide in millimetres."""
_DASHES: Mapping[str, str] = MappingProxyType(
    {"dashes": "3 1.2", "dots": "0.6 1", "short dashes": "1.2 1.2"}
)


@dataclass(frozen=True)
class SlopeInPlan:
    """One slope to draw. pieces: convex, in feet, right and back positive. told: lines below its label."""

    label: str
    told: tuple[str, ...]
    pieces: tuple[tuple[_Point, ...], ...]


@dataclass(frozen=True)
class EdgeInPlan:
    """One edge to draw, with its true length in feet."""

    kind: str
    one: _Point
    other: _Point
    length_ft: Fraction


@dataclass(frozen=True)
class DrawnLine:
    """One edge as drawn. dashes: empty for a whole line."""

    path: str
    width: str
    dashes: str
    kind: str


@dataclass(frozen=True)
class DrawnText:
    """One line of words, its middle at x. room: of the white ground behind it, from left; empty for none."""

    x: str
    y: str
    text: str
    size: str
    weight: str
    left: str = ""
    room: str = ""


@dataclass(frozen=True)
class ShapePlan:
    """The page: the drawing, what its lines mean, the slopes and the sums."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    width: str
    height: str
    polygons: tuple[tuple[str, ...], ...]
    walls: tuple[str, ...]
    lines: tuple[DrawnLine, ...]
    texts: tuple[DrawnText, ...]
    bar: str
    bar_text: DrawnText
    key: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    sums: str
    taken: tuple[str, ...]


@dataclass(frozen=True)
class RoofInPlan:
    """A roof to draw. walls: outlines of walls. front: how the front is called at the foot. rows: of the table."""

    slopes: Sequence[SlopeInPlan]
    edges: Sequence[EdgeInPlan]
    walls: Sequence[tuple[_Point, ...]]
    front: str
    rows: Sequence[tuple[str, ...]]
    sums: str
    taken: Sequence[str]


def shape_plan(roof: RoofInPlan, number: str, company: str, today: date) -> ShapePlan:
    """Return the page of a roof. number: the job's. company: its name, empty where it could not be read."""
    corners = [point for slope in roof.slopes for piece in slope.pieces for point in piece]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    front, back = min(y for _, y in corners), max(y for _, y in corners)
    room = Fraction(_WIDE_MM - 2 * _MARGIN_MM), Fraction(_TALL_MM - 2 * _MARGIN_MM)
    scale = min(room[0] / (right - left), room[1] / (back - front))

    def at(point: _Point) -> tuple[Fraction, Fraction]:
        return _MARGIN_MM + (point[0] - left) * scale, _MARGIN_MM + (back - point[1]) * scale

    def outline(points: Sequence[_Point]) -> str:
        return " ".join(f"{_mm(x)},{_mm(y)}" for x, y in map(at, points))

    width, height = (right - left) * scale + 2 * _MARGIN_MM, (back - front) * scale
    foot = height + 2 * _MARGIN_MM + 4
    texts = [text for edge in roof.edges for text in _length(edge, at(edge.one), at(edge.other))]
    for number_of, slope in enumerate(roof.slopes, start=1):
        corners_mm = [[at(point) for point in piece] for piece in slope.pieces]
        texts += _label(slope, number_of, max(corners_mm, key=lambda one: abs(_twice(one))))
    texts.append(_words(width / 2, foot, clip(roof.front, 60), _TYPE_MM))
    bar = _BAR_FT * scale
    job = clip(number)
    return ShapePlan(
        template="roof-plan.html",
        title=f"Roof by shapes, job {job}",
        head=Head(clip(company), job, "office edition", write_date(today), ""),
        pictures=(),
        width=_mm(width),
        height=_mm(foot + 8),
        polygons=tuple(tuple(outline(piece) for piece in slope.pieces) for slope in roof.slopes),
        walls=tuple(outline(box) for box in roof.walls),
        lines=tuple(_line(edge, at(edge.one), at(edge.other)) for edge in roof.edges),
        texts=tuple(texts),
        bar=f"M{_MARGIN_MM} {_mm(foot + 3)} H{_mm(_MARGIN_MM + bar)}",
        bar_text=_words(_MARGIN_MM + bar / 2, foot + 6, f"{_BAR_FT} ft", _SMALL_MM),
        key=tuple(_key({edge.kind for edge in roof.edges})),
        rows=(
            ("", *roof.rows[0]),
            *((str(n), *row) for n, row in enumerate(roof.rows[1:], start=1)),
        ),
        sums=roof.sums,
        taken=tuple(roof.taken),
    )


def _key(kinds: set[str]) -> list[str]:
    words = {"side wall": "wall, stepped", "head wall": "wall, level", "break": "change of pitch"}
    known = [(kind, *LINES[kind]) for kind in LINES if kind in kinds]
    return [f"{words.get(kind, kind)}: {line}" for kind, line, _ in known]


def _line(edge: EdgeInPlan, one: _Point, other: _Point) -> DrawnLine:
    line, width = LINES[edge.kind]
    path = f"M{_mm(one[0])} {_mm(one[1])} L{_mm(other[0])} {_mm(other[1])}"
    return DrawnLine(path, width, _DASHES.get(line, ""), edge.kind)


def _length(edge: EdgeInPlan, one: _Point, other: _Point) -> list[DrawnText]:
    """Return the length beside an edge, where that is longer than the words; the table has it all the same."""
    told = write_feet(edge.length_ft)
    room = max(abs(one[0] - other[0]), abs(one[1] - other[1]))
    if room < width_mm(told, _SMALL_MM) + 1:
        return []
    x, y = (one[0] + other[0]) / 2, (one[1] + other[1]) / 2
    return [_words(x, y, told, _SMALL_MM, ground=True)]


def _label(slope: SlopeInPlan, number: int, piece: Sequence[_Point]) -> list[DrawnText]:
    """Return a slope's name and what is told of it, or its number alone where it is too small for them."""
    lines = [clip(slope.label, _LETTERS), *slope.told]
    wide, tall = (max(p[n] for p in piece) - min(p[n] for p in piece) for n in (0, 1))
    # A triangle is two thirds of its width where its words stand.
    if 3 * width_mm(lines[0], _TYPE_MM, bold=True) > 2 * wide or _LINE_MM * (len(lines) + 1) > tall:
        lines = [str(number)]
    middle = sum((point[0] for point in piece), Fraction(0)) / len(piece)
    below = sum((point[1] for point in piece), Fraction(0)) / len(piece)
    top = below - _LINE_MM * (len(lines) - 1) / 2 + 1
    return [
        _words(middle, top + _LINE_MM * n, line, _TYPE_MM if not n else _SMALL_MM, bold=not n)
        for n, line in enumerate(lines)
    ]


def _twice(piece: Sequence[_Point]) -> Fraction:
    return sum(
        (
            one[0] * other[1] - other[0] * one[1]
            for one, other in zip(piece, [*piece[1:], *piece[:1]], strict=True)
        ),
        Fraction(0),
    )


def _words(
    x: Fraction | int,
    y: Fraction,
    text: str,
    size: Fraction,
    *,
    bold: bool = False,
    ground: bool = False,
) -> DrawnText:
    room = width_mm(text, size, bold=bold) + 1
    return DrawnText(
        _mm(Fraction(x)),
        _mm(y + size * Fraction(7, 20) if ground else y),
        text,
        _mm(size),
        "700" if bold else "400",
        _mm(Fraction(x) - room / 2) if ground else "",
        _mm(room) if ground else "",
    )
