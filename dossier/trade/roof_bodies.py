"""Bodies of a roof laid out in plan: planes over a rectangle, and which body goes over which.

In: bodies with their walls, roof edges and planes. Out: each plane's visible pieces, and the edges where they end,
every edge between two planes once. Must not know which shapes a roof is made of.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import gcd
from typing import Literal

from dossier.trade.flat_pieces import (
    Box,
    Half,
    Piece,
    Point,
    area_sqft,
    part_within,
    within,
    without,
)
from dossier.trade.working import root

Side = Literal["front", "back", "left", "right"]
EdgeKind = Literal[
    "eave", "rake", "ridge", "hip", "valley", "break", "side wall", "head wall", "top", "gutter"
]
"""What an edge is. break: a level change of pitch, as on a gambrel. side wall: step flashing. head wall: a
level edge at a wall. top: the high edge of a shed roof against nothing. gutter: two planes that fall to one level
line."""


@dataclass(frozen=True)
class Plane:
    """One plane: its height over the plan is a·x + b·y + c feet. side: to which it falls."""

    label: str
    side: Side
    rise_in_12: Fraction
    a: Fraction
    b: Fraction
    c: Fraction

    def at(self, point: Point) -> Fraction:
        """Return the height at a point, in feet above the house's eave edges."""
        return self.a * point[0] + self.b * point[1] + self.c

    def above(self, other: "Plane") -> Half:
        """Return where it is as high as another or higher."""
        return Half(self.a - other.a, self.b - other.b, self.c - other.c)

    @property
    def flat(self) -> tuple[Fraction, Fraction, Fraction]:
        """Return what two planes have alike that are one."""
        return self.a, self.b, self.c


@dataclass(frozen=True)
class Body:
    """A body under its own planes, the lowest of which counts at every place.

    over: what its planes cover, overhangs included. at_wall: a side that ends at a wall, and the stretch of that
    wall. lies_in: bodies, by number, with which it meets in valleys. sits_on: the body on which it stands as a
    dormer does. open_at: the side at which it runs into another and may not end. nowhere: regions of the plan in
    which it is not.
    """

    walls: Box
    over: Box
    planes: tuple[Plane, ...]
    at_wall: tuple[Side, tuple[Fraction, Fraction]] | None = None
    lies_in: frozenset[int] = frozenset()
    sits_on: int | None = None
    open_at: Side | None = None
    nowhere: tuple[tuple[Half, ...], ...] = ()


@dataclass(frozen=True)
class Edge:
    """One stretch of edge. planes: by number, the one that carries it first; two where it is shared."""

    kind: EdgeKind
    planes: tuple[int, ...]
    one: Point
    other: Point
    rise_ft: Fraction

    @property
    def plan_ft(self) -> Fraction:
        """Return its length as seen from above."""
        return root(_square(self.one, self.other))

    @property
    def length_ft(self) -> Fraction:
        """Return its true length."""
        return root(_square(self.one, self.other) + self.rise_ft**2)


@dataclass(frozen=True)
class Laid:
    """A plane with the pieces of it that are seen. bodies: by number, those of which it is a plane."""

    plane: Plane
    bodies: tuple[int, ...]
    pieces: tuple[Piece, ...]

    @property
    def plan_sqft(self) -> Fraction:
        """Return its area as seen from above."""
        return area_sqft(self.pieces)


@dataclass(frozen=True)
class Layout:
    """A whole roof: planes that are seen, and every edge."""

    planes: tuple[Laid, ...]
    edges: tuple[Edge, ...]
    loose: tuple[Edge, ...] = field(default=())
    """Edges that end in nothing: the bodies do not make a roof."""


def _square(one: Point, other: Point) -> Fraction:
    return (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2


def lay_out(bodies: Sequence[Body]) -> Layout:
    """Return the roof that these bodies make; the first that names a plane keeps its label."""
    seen = _joined(
        bodies,
        [
            Laid(plane, (number,), tuple(pieces))
            for number, body in enumerate(bodies)
            for plane in body.planes
            if (pieces := _seen(bodies, number, plane))
        ],
    )
    edges: list[Edge] = []
    loose: list[Edge] = []
    shared: dict[tuple[_Line, tuple[int, int]], list[tuple[Fraction, Fraction, Edge]]] = {}
    for number, laid in enumerate(seen):
        for line, first, last, inward in _bounds(laid.pieces):
            rest = [(first, last)]
            for other, beside in enumerate(seen):
                if other == number or not _meet(bodies, laid, beside):
                    continue
                for start, end in _meets(line, first, last, laid.plane, beside):
                    kind = _kind_between(laid.plane, beside.plane, line, inward)
                    pair = (min(number, other), max(number, other))
                    made = _edge(kind, pair, line, start, end, laid.plane)
                    shared.setdefault((line, pair), []).append((start, end, made))
                    rest = _less(rest, start, end)
            for start, end in rest:
                for made in _free(bodies, laid, number, line, (start, end), inward):
                    (loose if made.kind == "gutter" else edges).append(made)
    edges += _once(shared, seen)
    return Layout(tuple(seen), tuple(edges), tuple(loose))


# --- what is seen ---------------------------------------------------------------------------------


def _seen(bodies: Sequence[Body], number: int, plane: Plane) -> list[Piece]:
    body = bodies[number]
    lowest = [other.above(plane) for other in body.planes if other is not plane]
    own = within(body.over.piece, lowest)
    pieces = [] if own is None else [own]
    for region in body.nowhere:
        pieces = without(pieces, region)
    for at, other in enumerate(bodies):
        if at == number:
            continue
        higher = [one.above(plane) for one in other.planes]
        if other.sits_on == number:
            pieces = without(pieces, [*other.walls.halves(), *higher])
        elif body.sits_on == at or at in body.lies_in or number in other.lies_in:
            if at > number and any(one.flat == plane.flat for one in other.planes):
                # Two planes that are one: the earlier body keeps what both cover.
                continue
            pieces = without(pieces, [*other.over.halves(), *higher])
    return pieces


def _meet(bodies: Sequence[Body], one: Laid, other: Laid) -> bool:
    """Return whether two planes are known to lie at heights of one measure: a garage at a wall is not."""
    pairs = [sorted((first, second)) for first in one.bodies for second in other.bodies]
    return any(
        first == second or first in bodies[second].lies_in or bodies[second].sits_on == first
        for first, second in pairs
    )


def _joined(bodies: Sequence[Body], laid: Sequence[Laid]) -> list[Laid]:
    """Return planes with those joined that are one plane and lie side by side."""
    joined: list[Laid] = []
    for one in laid:
        for at, before in enumerate(joined):
            alike = before.plane.flat == one.plane.flat and _meet(bodies, before, one)
            if alike and _touch(before.pieces, one.pieces):
                joined[at] = Laid(
                    before.plane,
                    (*before.bodies, *one.bodies),
                    (*before.pieces, *one.pieces),
                )
                break
        else:
            joined.append(one)
    return joined


def _touch(some: Sequence[Piece], others: Sequence[Piece]) -> bool:
    return any(
        part_within(one, other, beside) is not None
        for piece in some
        for one, other in zip(piece, [*piece[1:], *piece[:1]], strict=True)
        for beside in others
    )


# --- where it ends --------------------------------------------------------------------------------


@dataclass(frozen=True, order=True)
class _Line:
    """A line of the plan: its direction in whole numbers without a common part, and how far it is off."""

    x: int
    y: int
    off: Fraction

    def place(self, along: Fraction) -> Point:
        size = self.x**2 + self.y**2
        return (
            (self.x * along - self.y * self.off) / size,
            (self.y * along + self.x * self.off) / size,
        )


def _line(one: Point, other: Point) -> _Line:
    x, y = other[0] - one[0], other[1] - one[1]
    scale = x.denominator * y.denominator // gcd(x.denominator, y.denominator)
    across, back = int(x * scale), int(y * scale)
    common = gcd(across, back)
    across, back = across // common, back // common
    if (across, back) < (0, 0):
        across, back = -across, -back
    return _Line(across, back, across * one[1] - back * one[0])


def _along(line: _Line, point: Point) -> Fraction:
    return line.x * point[0] + line.y * point[1]


def _bounds(pieces: Sequence[Piece]) -> Iterator[tuple[_Line, Fraction, Fraction, int]]:
    """Yield each stretch in which these pieces end; the last is 1 where they lie to its left, else -1."""
    found: dict[_Line, dict[int, list[tuple[Fraction, Fraction]]]] = {}
    for piece in pieces:
        for one, other in zip(piece, [*piece[1:], *piece[:1]], strict=True):
            line = _line(one, other)
            start, end = _along(line, one), _along(line, other)
            sides = found.setdefault(line, {1: [], -1: []})
            sides[1 if start < end else -1].append((min(start, end), max(start, end)))
    for line, sides in sorted(found.items()):
        for inward, stretches in sides.items():
            rest = stretches
            for start, end in sides[-inward]:
                rest = _less(rest, start, end)
            yield from ((line, start, end, inward) for start, end in _merged(rest))


def _less(
    stretches: Sequence[tuple[Fraction, Fraction]], first: Fraction, last: Fraction
) -> list[tuple[Fraction, Fraction]]:
    """Return stretches without what lies between two places."""
    left = []
    for start, end in stretches:
        parts = ((start, min(end, first)), (max(start, last), end))
        left += [(a, b) for a, b in parts if a < b]
    return left


def _merged(stretches: Sequence[tuple[Fraction, Fraction]]) -> list[tuple[Fraction, Fraction]]:
    joined: list[tuple[Fraction, Fraction]] = []
    for start, end in sorted(stretches):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return joined


def _meets(
    line: _Line, first: Fraction, last: Fraction, plane: Plane, beside: Laid
) -> Iterator[tuple[Fraction, Fraction]]:
    """Yield where another plane lies along a stretch at the same height."""
    one, other = line.place(first), line.place(last)
    if plane.at(one) != beside.plane.at(one) or plane.at(other) != beside.plane.at(other):
        return
    found = []
    for piece in beside.pieces:
        part = part_within(one, other, piece)
        if part is not None:
            found.append((first + (last - first) * part[0], first + (last - first) * part[1]))
    yield from _merged(found)


def _climb(plane: Plane, line: _Line, inward: int) -> Fraction:
    """Return how the plane climbs, going from the line to one side of it."""
    return inward * (plane.b * line.x - plane.a * line.y)


def _kind_between(plane: Plane, beside: Plane, line: _Line, inward: int) -> EdgeKind:
    here, there = _climb(plane, line, inward), _climb(beside, line, -inward)
    if plane.a * line.x + plane.b * line.y:
        return "hip" if here + there < 0 else "valley"
    if here < 0 and there < 0:
        return "ridge"
    return "gutter" if here > 0 and there > 0 else "break"


def _edge(
    kind: EdgeKind,
    planes: tuple[int, ...],
    line: _Line,
    start: Fraction,
    end: Fraction,
    plane: Plane,
) -> Edge:
    one, other = line.place(start), line.place(end)
    return Edge(kind, planes, one, other, abs(plane.at(one) - plane.at(other)))


def _once(
    shared: dict[tuple[_Line, tuple[int, int]], list[tuple[Fraction, Fraction, Edge]]],
    seen: Sequence[Laid],
) -> Iterator[Edge]:
    """Yield edges between two planes, which each of the two has found, once."""
    for (line, pair), found in sorted(shared.items(), key=lambda item: (item[0][1], item[0][0])):
        for start, end in _merged([(start, end) for start, end, _ in found]):
            yield _edge(found[0][2].kind, pair, line, start, end, seen[pair[0]].plane)


# --- edges of one plane alone ---------------------------------------------------------------------


def _free(
    bodies: Sequence[Body],
    laid: Laid,
    number: int,
    line: _Line,
    stretch: tuple[Fraction, Fraction],
    inward: int,
) -> Iterator[Edge]:
    """Yield what a stretch is that no other plane shares; a gutter stands for one that ends in nothing."""
    plane, own = laid.plane, [bodies[at] for at in laid.bodies]
    level = not (plane.a * line.x + plane.b * line.y)
    rest = [stretch]
    walls = [_side_of(other.walls, line) for other in bodies if other.sits_on in laid.bodies]
    for body in own:
        if body.at_wall is not None and _line_of(body.over, body.at_wall[0]) == line:
            walls.append(body.at_wall[1])
    for wall in walls:
        if wall is None:
            continue
        for start, end in rest:
            a, b = max(start, wall[0]), min(end, wall[1])
            if a < b:
                kind: EdgeKind = "head wall" if level else "side wall"
                yield _edge(kind, (number,), line, a, b, plane)
        rest = _less(rest, *wall)
    climb = _climb(plane, line, inward)
    outer: EdgeKind = "rake" if not level else "eave" if climb > 0 else "top"
    for start, end in rest:
        kind = outer if any(_ends_here(body, line) for body in own) else "gutter"
        yield _edge(kind, (number,), line, start, end, plane)


def _ends_here(body: Body, line: _Line) -> bool:
    """Return whether a line is where the body itself ends."""
    sides: tuple[Side, ...] = ("front", "back", "left", "right")
    return any(side != body.open_at and _line_of(body.over, side) == line for side in sides)


def _corners(box: Box, side: Side) -> tuple[Point, Point]:
    one, two, three, four = box.piece
    return {"front": (one, two), "right": (two, three), "back": (four, three), "left": (one, four)}[
        side
    ]


def _line_of(box: Box, side: Side) -> _Line:
    return _line(*_corners(box, side))


def _side_of(box: Box, line: _Line) -> tuple[Fraction, Fraction] | None:
    """Return the stretch of a line that is a side of a box; None where it is none."""
    sides: tuple[Side, ...] = ("front", "back", "left", "right")
    for side in sides:
        one, other = _corners(box, side)
        if _line(one, other) == line:
            start, end = sorted((_along(line, one), _along(line, other)))
            return start, end
    return None
