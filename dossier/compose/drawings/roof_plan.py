"""A schematic plan of the roof: each slope a labelled plane on its side of the house.

In: a case and its assessment. Out: shapes and words of a drawing, in millimetres, as text. Must not look
like a survey: nothing in it is to scale, and it is said so. Slopes are placed by the side they face, which
is all the record knows of where they lie.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.compose.parts.photographs import Album
from dossier.compose.parts.roof_pages import facing
from dossier.compose.parts.shared import NOT_ON_RECORD, area, said
from dossier.compose.parts.type_width import lines as lines_of
from dossier.compose.parts.type_width import width_mm
from dossier.record.roof import Slope
from dossier.values import (
    clip,
    listed,
    plural,
    write_area,
    write_runs,
)
from dossier.values import (
    write_coordinate as _mm,
)

_SIDES: dict[str, tuple[int, int]] = {
    "north": (0, -1),
    "north-east": (1, -1),
    "east": (1, 0),
    "south-east": (1, 1),
    "south": (0, 1),
    "south-west": (-1, 1),
    "west": (-1, 0),
    "north-west": (-1, -1),
}
"""Column and row of each side of the house, north up."""

_WIDE_MM, _BOX_MM, _TALL_MM, _GAP_MM = 150, 48, 32, 3
_HIP_END_MM, _HIP_TALL_MM = 38, 64
_TURNED_WIDE_MM, _TURNED_TALL_MM, _TURNED_END_MM = 110, 92, 28
_LEFT_MM, _TOP_MM = 1, 1
_LABEL_LETTERS = 26
_MARKS_IN_A_PLANE = 6
_TYPE_MM = Fraction(29, 10)
_HIP_ROOM_MM, _HIP_END_ROOM_MM = 48, 22
"""Room for a line of words in the long and in the short slopes of a hip roof."""
_ARROW_MM, _HEAD_MM = 10, 2
_DIAGONAL = Fraction(7071, 10000)
"""Half the square root of two."""

_Box = tuple[Fraction, Fraction, Fraction, Fraction]


@dataclass(frozen=True)
class PlanText:
    """One line of words. weight: 400 or 700, as text."""

    x: str
    y: str
    text: str
    weight: str


@dataclass(frozen=True)
class Plane:
    """One slope: its outline, the path of its lower edge, an arrow down it. Empty where its side is not known."""

    points: str
    eave: str
    fall: str
    texts: tuple[PlanText, ...]


@dataclass(frozen=True)
class Mark:
    """One deck repair. x, y: middle of the circle; text_y: of its number."""

    x: str
    y: str
    text_y: str
    number: str


@dataclass(frozen=True)
class RoofPlan:
    """The drawing. north_x: of the arrow that points north, empty where no side is known."""

    title: str
    width: str
    height: str
    planes: tuple[Plane, ...]
    marks: tuple[Mark, ...]
    north_x: str
    notes: tuple[str, ...]


def roof_plan(case: Case, assessment: Assessment, album: Album) -> RoofPlan | None:
    """Return the schematic plan, or None where no slope is on record.

    album: of the document, whose photos are named by number in their slope.
    """
    slopes = case.job.slopes
    if not slopes:
        return None
    drawer = _Drawer(case, assessment, album)
    sides = [_SIDES.get(facing(slope.faces)) for slope in slopes]
    if assessment.roof_kind == "hip" and sorted(sides, key=str) == sorted(
        [(0, -1), (0, 1), (-1, 0), (1, 0)], key=str
    ):
        drawer.hip({side: slope for side, slope in zip(sides, slopes, strict=True) if side})
    elif len(slopes) == 2 and None not in sides and _opposite(sides):
        drawer.gable({side: slope for side, slope in zip(sides, slopes, strict=True) if side})
    else:
        drawer.boxes(sides, slopes)
    return drawer.plan(any(sides))


def _opposite(sides: Sequence[tuple[int, int] | None]) -> bool:
    one, other = sides
    if one is None or other is None or 0 not in one:
        return False
    return (one[0] + other[0], one[1] + other[1]) == (0, 0)


class _Drawer:
    """Collects the planes, marks and size of one drawing."""

    def __init__(self, case: Case, assessment: Assessment, album: Album) -> None:
        self._case, self._album = case, album
        # By place and not by label, which may read otherwise for this reader than in the assessment.
        self._results = {
            id(slope): result
            for slope, result in zip(case.job.slopes, assessment.slopes, strict=True)
        }
        self._cut: list[Slope] = []
        self._planes: list[Plane] = []
        self._marks: list[Mark] = []
        self._right = self._bottom = Fraction(0)

    def plan(self, north: bool) -> RoofPlan:
        told = listed([self._words(slope) for slope in self._case.job.slopes])
        repairs = plural(len(self._case.job.repairs), "deck repair")
        width = self._right + (14 if north else 2)
        return RoofPlan(
            title=f"Schematic plan of the roof, not to scale: {told}; {repairs} on record",
            width=_mm(width),
            height=_mm(self._bottom + 1),
            planes=tuple(self._planes),
            marks=tuple(self._marks),
            north_x=_mm(self._right + 7) if north else "",
            notes=tuple(self._notes()),
        )

    def _words(self, slope: Slope) -> str:
        parts = [f"slope {clip(slope.label, _LABEL_LETTERS)}", *self._lines(slope)]
        numbers = self._repair_numbers(slope)
        if numbers:
            parts.append(f"deck {'repair' if len(numbers) == 1 else 'repairs'} {listed(numbers)}")
        return ", ".join([*parts, self._photos(slope)])

    def _notes(self) -> Iterator[str]:
        yield (
            "Schematic, not to scale and no survey: each slope is drawn on the side of the house that it "
            "faces. The heavy line is its lower edge."
        )
        if any(plane.fall for plane in self._planes):
            yield "The arrow points down the slope."
        repairs = self._case.job.repairs
        if repairs:
            yield (
                "A number in a circle is a deck repair told under “What we found under the old roof”; it "
                "stands in its slope, not at its place."
            )
        if any(self._photo_numbers(slope) for slope in self._case.job.slopes):
            yield "Photos are named by their number in this document."
        if self._cut:
            told = [
                f"{clip(slope.label, _LABEL_LETTERS)} {write_runs(self._photo_numbers(slope))}"
                for slope in self._cut
            ]
            yield f"All photos of {'; '.join(told)}."
        known = {slope.label for slope in self._case.job.slopes}
        lost = [str(n) for n, one in enumerate(repairs, start=1) if one.slope not in known]
        if lost:
            word = "repair" if len(lost) == 1 else "repairs"
            yield f"Not drawn, since the slope is not on record: {word} {listed(lost)}."

    def _lines(self, slope: Slope) -> list[str]:
        size = self._results[id(slope)].area_sqft
        pitch = str(slope.pitch) if slope.pitch else f"pitch {NOT_ON_RECORD}"
        faces = facing(slope.faces)
        faces = f"faces {faces}" if faces in _SIDES else f"facing {clip(said(slope.faces), 16)}"
        return [f"{faces}, {pitch}", f"area {NOT_ON_RECORD}" if size is None else area(size)]

    def _photos(self, slope: Slope, room_mm: Fraction | int | None = None) -> str:
        """Return the photos of the slope by number, as many as the room holds; all where no room is given."""
        numbers = self._photo_numbers(slope)
        if not numbers:
            return "no photo"
        word = "photo" if len(numbers) == 1 else "photos"
        every = f"{word} {write_runs(numbers)}"
        if room_mm is None or width_mm(every, _TYPE_MM) <= room_mm:
            return every
        self._cut.append(slope)
        for most in range(len(numbers), 1, -1):
            shorter = f"{word} {write_runs(numbers, most)}"
            if width_mm(shorter, _TYPE_MM) <= room_mm:
                return shorter
        return plural(len(numbers), "photo")

    def _repair_numbers(self, slope: Slope) -> list[str]:
        repairs = enumerate(self._case.job.repairs, start=1)
        return [str(number) for number, one in repairs if one.slope == slope.label]

    def _photo_numbers(self, slope: Slope) -> list[int]:
        """Return the numbers of the photos filed under the slope that open."""
        return [
            self._case.photo_numbers[photo.file]
            for photo in self._case.photos
            if photo.slope == slope.label and self._album.opens(photo.file)
        ]

    def _short_lines(self, slope: Slope) -> list[str]:
        size = self._results[id(slope)].area_sqft
        pitch = str(slope.pitch) if slope.pitch else "no pitch"
        return [pitch, "no area" if size is None else write_area(size)]

    def _plane(
        self,
        slope: Slope,
        points: Sequence[tuple[Fraction, Fraction]],
        eave: str,
        middle: tuple[Fraction, Fraction],
        *,
        room_mm: Fraction | int,
        fall: str = "",
        short: bool = False,
    ) -> None:
        x, y = middle
        told = [
            slope.label,
            *(self._short_lines(slope) if short else self._lines(slope)),
            self._photos(slope, room_mm),
        ]
        lines = [lines_of(line, room_mm, _TYPE_MM, 1, bold=not n)[0] for n, line in enumerate(told)]
        numbers = self._repair_numbers(slope)
        top = y - 6 - (2 if numbers else 0)
        texts = tuple(
            PlanText(_mm(x), _mm(top + 4 * n), line, "400" if n else "700")
            for n, line in enumerate(lines)
        )
        shown = numbers[:_MARKS_IN_A_PLANE]
        if len(numbers) > _MARKS_IN_A_PLANE:
            shown = [*shown[:-1], "+"]
        start = x - Fraction(6 * (len(shown) - 1), 2)
        for n, number in enumerate(shown):
            mark_y = top + 5 + 4 * (len(lines) - 1)
            self._marks.append(
                Mark(_mm(start + 6 * n), _mm(mark_y), _mm(mark_y + Fraction(9, 10)), number)
            )
        outline = " ".join(f"{_mm(px)},{_mm(py)}" for px, py in points)
        self._planes.append(Plane(outline, eave, fall, texts))
        self._right = max(self._right, *(px for px, _ in points))
        self._bottom = max(self._bottom, *(py for _, py in points))

    def _box(self, slope: Slope, box: _Box, side: tuple[int, int] | None) -> None:
        left, top, right, bottom = box
        edges = []
        if side:
            if side[0]:
                x = right if side[0] > 0 else left
                edges.append(f"M{_mm(x)} {_mm(top)} V{_mm(bottom)}")
            if side[1]:
                y = bottom if side[1] > 0 else top
                edges.append(f"M{_mm(left)} {_mm(y)} H{_mm(right)}")
        corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
        middle = ((left + right) / 2, (top + bottom) / 2)
        # An arrow up or down the page stands at the left edge; the words keep clear of it on both sides.
        upright = side is not None and not side[0]
        room = right - left - (14 if upright else 4)
        fall = self._fall_in(box, side)
        self._plane(slope, corners, " ".join(edges), middle, room_mm=room, fall=fall)

    @staticmethod
    def _fall_in(box: _Box, side: tuple[int, int] | None) -> str:
        """Return an arrow down the slope, at the edge of the box that its words leave free."""
        left, top, right, bottom = box
        if side is None:
            return ""
        if not side[0]:
            return _arrow((left + 4, (top + bottom) / 2), side)
        if not side[1]:
            return _arrow(((left + right) / 2, top + 3), side)
        corner_x = right if side[0] > 0 else left
        corner_y = bottom if side[1] > 0 else top
        reach = Fraction(_ARROW_MM, 2) * _DIAGONAL + 1
        return _arrow((corner_x - side[0] * reach, corner_y - side[1] * reach), side)

    def gable(self, slopes: dict[tuple[int, int], Slope]) -> None:
        """Draw two slopes that share a ridge."""
        upright = (1, 0) in slopes
        for side, slope in slopes.items():
            left, top = Fraction(_LEFT_MM), Fraction(_TOP_MM)
            wide = Fraction(_WIDE_MM, 2) if upright else Fraction(_WIDE_MM)
            tall = Fraction(44 if upright else 26)
            left += wide if side == (1, 0) else 0
            top += tall if side == (0, 1) else 0
            self._box(slope, (left, top, left + wide, top + tall), side)

    def hip(self, slopes: dict[tuple[int, int], Slope]) -> None:
        """Draw four slopes, the two with the longer eaves meeting in the ridge."""
        lengths = {side: self._eave_ft(slope) for side, slope in slopes.items()}
        turned = lengths[(1, 0)] + lengths[(-1, 0)] > lengths[(0, 1)] + lengths[(0, -1)]
        wide, tall, end = (
            (_TURNED_WIDE_MM, _TURNED_TALL_MM, _TURNED_END_MM)
            if turned
            else (_WIDE_MM, _HIP_TALL_MM, _HIP_END_MM)
        )
        l, t = Fraction(_LEFT_MM), Fraction(_TOP_MM)  # noqa: E741
        r, b = l + wide, t + tall
        mid_x, mid_y = (l + r) / 2, (t + b) / 2
        one, other = (
            ((mid_x, t + end), (mid_x, b - end)) if turned else ((l + end, mid_y), (r - end, mid_y))
        )
        north, south = [(l, t), (r, t)], [(r, b), (l, b)]
        west, east = [(l, b), (l, t)], [(r, t), (r, b)]
        ridge = [one, other]
        if turned:
            outlines = {
                (0, -1): ([*north, one], (mid_x, t + 10)),
                (0, 1): ([*south, other], (mid_x, b - 9)),
                (-1, 0): ([*west, one, other], (l + Fraction(wide, 4), mid_y)),
                (1, 0): ([*east, other, one], (r - Fraction(wide, 4), mid_y)),
            }
            falls = {
                (0, -1): (mid_x - 18, t + 7),
                (0, 1): (mid_x - 18, b - 7),
                (-1, 0): (l + Fraction(wide, 4), mid_y + 17),
                (1, 0): (r - Fraction(wide, 4), mid_y + 17),
            }
        else:
            outlines = {
                (0, -1): ([*north, *reversed(ridge)], (mid_x, t + 15)),
                (0, 1): ([*south, *ridge], (mid_x, b - 13)),
                (-1, 0): ([*west, one], (l + 14, mid_y)),
                (1, 0): ([*east, other], (r - 14, mid_y)),
            }
            falls = {
                (0, -1): (mid_x - 34, t + 15),
                (0, 1): (mid_x - 34, b - 15),
                (-1, 0): (l + 9, mid_y + 15),
                (1, 0): (r - 9, mid_y + 15),
            }
        for side, slope in slopes.items():
            points, middle = outlines[side]
            (x1, y1), (x2, y2) = points[:2]
            eave = f"M{_mm(x1)} {_mm(y1)} L{_mm(x2)} {_mm(y2)}"
            fall, short = _arrow(falls[side], side), (side[1] != 0) is turned
            room = _HIP_END_ROOM_MM if short else _HIP_ROOM_MM
            self._plane(slope, points, eave, middle, room_mm=room, fall=fall, short=short)

    def _eave_ft(self, slope: Slope) -> Fraction:
        return self._results[id(slope)].eave_ft or Fraction(0)

    def boxes(self, sides: Sequence[tuple[int, int] | None], slopes: Sequence[Slope]) -> None:
        """Draw a box for each slope, on its side of a square of nine; the rest in a row below."""
        cells: dict[tuple[int, int], list[Slope]] = {}
        for side, slope in zip(sides, slopes, strict=True):
            if side:
                cells.setdefault(side, []).append(slope)
        columns = sorted({column for column, _ in cells})
        top = Fraction(_TOP_MM)
        for row in sorted({row for _, row in cells}):
            here = {column: cells[(column, row)] for column in columns if (column, row) in cells}
            most = max(len(stack) for stack in here.values())
            tall = Fraction(_TALL_MM * most + _GAP_MM * (most - 1))
            for column, stack in here.items():
                left = Fraction(_LEFT_MM + columns.index(column) * (_BOX_MM + _GAP_MM))
                each = (tall - _GAP_MM * (len(stack) - 1)) / len(stack)
                for n, slope in enumerate(stack):
                    y = top + n * (each + _GAP_MM)
                    self._box(slope, (left, y, left + _BOX_MM, y + each), (column, row))
            top += tall + _GAP_MM
        rest = [slope for side, slope in zip(sides, slopes, strict=True) if side is None]
        for n, slope in enumerate(rest):
            left = Fraction(_LEFT_MM + (n % 3) * (_BOX_MM + _GAP_MM))
            y = top + (n // 3) * (_TALL_MM + _GAP_MM)
            self._box(slope, (left, y, left + _BOX_MM, y + _TALL_MM), None)


def _arrow(middle: tuple[Fraction, Fraction], side: tuple[int, int]) -> str:
    """Return the path of an arrow about its middle, towards the side that the slope faces."""
    x, y = middle
    share = _DIAGONAL if side[0] and side[1] else Fraction(1)
    dx, dy = side[0] * share, side[1] * share
    half, head = Fraction(_ARROW_MM, 2), Fraction(_HEAD_MM)
    tip_x, tip_y = x + dx * half, y + dy * half
    base_x, base_y = tip_x - dx * head, tip_y - dy * head
    wide = head / 2
    points = [
        (x - dx * half, y - dy * half),
        (tip_x, tip_y),
        (base_x - dy * wide, base_y + dx * wide),
        (base_x + dy * wide, base_y - dx * wide),
        (tip_x, tip_y),
    ]
    return "M" + " L".join(f"{_mm(px)} {_mm(py)}" for px, py in points)
