"""Convex pieces of a plan: cut, taken off, measured; exact.

In: points in feet, left to right and front to back, as Fractions. Out: pieces, areas, the parts of a segment
within a piece. Must not know what a piece is part of.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

Point = tuple[Fraction, Fraction]
Piece = tuple[Point, ...]
"""A convex polygon, its corners counter-clockwise (right, then back); never without area."""


@dataclass(frozen=True)
class Half:
    """The half of the plan where a·x + b·y + c is zero or more."""

    a: Fraction
    b: Fraction
    c: Fraction

    def at(self, point: Point) -> Fraction:
        """Return how far a point lies within, in no unit; below zero outside."""
        return self.a * point[0] + self.b * point[1] + self.c

    def other(self) -> "Half":
        """Return the other half; the line between belongs to both."""
        return Half(-self.a, -self.b, -self.c)


@dataclass(frozen=True)
class Box:
    """A rectangle along the sides of the house."""

    left: Fraction
    front: Fraction
    right: Fraction
    back: Fraction

    @property
    def piece(self) -> Piece:
        """Return it as a piece."""
        return (
            (self.left, self.front),
            (self.right, self.front),
            (self.right, self.back),
            (self.left, self.back),
        )

    def halves(self) -> tuple[Half, ...]:
        """Return the four halves that meet in it."""
        one, none = Fraction(1), Fraction(0)
        return (
            Half(one, none, -self.left),
            Half(-one, none, self.right),
            Half(none, one, -self.front),
            Half(none, -one, self.back),
        )


def area_sqft(pieces: Iterable[Piece]) -> Fraction:
    """Return the area of pieces that do not lie on one another."""
    return sum((_twice(piece) for piece in pieces), Fraction(0)) / 2


def _twice(piece: Sequence[Point]) -> Fraction:
    return sum(
        (
            one[0] * other[1] - other[0] * one[1]
            for one, other in zip(piece, [*piece[1:], *piece[:1]], strict=True)
        ),
        Fraction(0),
    )


def within(piece: Piece, halves: Iterable[Half]) -> Piece | None:
    """Return what of a piece lies in all of these halves; None where that has no area."""
    corners: list[Point] = list(piece)
    for half in halves:
        cut: list[Point] = []
        for one, other in zip(corners, [*corners[1:], *corners[:1]], strict=True):
            here, there = half.at(one), half.at(other)
            if here >= 0:
                cut.append(one)
            if here * there < 0:
                share = here / (here - there)
                cut.append(
                    (one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share)
                )
        corners = [point for n, point in enumerate(cut) if point != cut[n - 1] or len(cut) == 1]
        if len(corners) < 3 or _twice(corners) == 0:
            return None
    return tuple(corners)


def without(pieces: Iterable[Piece], halves: Sequence[Half]) -> list[Piece]:
    """Return what of these pieces lies outside the region in which all halves meet."""
    left: list[Piece] = []
    for piece in pieces:
        rest: Piece | None = piece
        if within(piece, halves) is None:
            left.append(piece)
            continue
        for half in halves:
            if rest is None or not (half.a or half.b):
                # What lies everywhere cuts nothing off, and its other half lies everywhere too.
                continue
            outside = within(rest, [half.other()])
            if outside is not None:
                left.append(outside)
            rest = within(rest, [half])
    return left


def part_within(one: Point, other: Point, piece: Piece) -> tuple[Fraction, Fraction] | None:
    """Return the part of a segment in a piece or on its edge, as shares of its length; None for no length."""
    first, last = Fraction(0), Fraction(1)
    for corner, following in zip(piece, [*piece[1:], *piece[:1]], strict=True):
        edge = (following[0] - corner[0], following[1] - corner[1])

        def inside(point: Point, corner: Point = corner, edge: Point = edge) -> Fraction:
            return edge[0] * (point[1] - corner[1]) - edge[1] * (point[0] - corner[0])

        here, there = inside(one), inside(other)
        if here < 0 and there < 0:
            return None
        if here < 0 or there < 0:
            share = here / (here - there)
            first, last = (max(first, share), last) if here < 0 else (first, min(last, share))
        if first >= last:
            return None
    return first, last


def halves_of(piece: Piece) -> tuple[Half, ...]:
    """Return the halves that meet in a piece, one for each of its sides."""
    return tuple(
        Half(one[1] - other[1], other[0] - one[0], one[0] * other[1] - other[0] * one[1])
        for one, other in zip(piece, [*piece[1:], *piece[:1]], strict=True)
    )
