"""A roof by its shapes: each slope with its area and its edges, every edge between two slopes once.

In: shapes. Out: slopes in feet and square feet, sums, and the plan of the roof. Must not know of materials, code
or the record.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from dossier.said import Listed, Said, say
from dossier.trade.flat_pieces import Box, Piece, area_sqft, halves_of, within
from dossier.trade.geometry import Area, Length, area_from_plan, length_of_edge
from dossier.trade.roof_bodies import Edge, EdgeKind, Laid, Layout, Side, lay_out
from dossier.trade.shape_bodies import Bodies
from dossier.trade.shapes import NotDetermined, Shape


@dataclass(frozen=True)
class ShapedSlope:
    """One slope. pieces: convex, in plan. size_ft: along the eave and up the run where it is a rectangle in plan.

    lengths_ft: by kind of edge; an edge between two slopes stands at one of them only.
    """

    label: str
    side: Side
    rise_in_12: Fraction
    pieces: tuple[Piece, ...]
    plan_sqft: Fraction
    area: Area
    size_ft: tuple[Fraction, Fraction] | None
    lengths_ft: Mapping[EdgeKind, Fraction]


@dataclass(frozen=True)
class ShapedRoof:
    """A whole roof. outlines: walls of all but dormers. taken: what was not said and taken to be so."""

    slopes: tuple[ShapedSlope, ...]
    edges: tuple[tuple[Edge, Length], ...]
    outlines: tuple[Box, ...]
    taken: tuple[Said, ...]

    def total_ft(self, *kinds: EdgeKind) -> Fraction:
        """Return the length of all edges of these kinds, each once."""
        lengths = (length.length_ft for edge, length in self.edges if edge.kind in kinds)
        return sum(lengths, Fraction(0))

    @property
    def area_sqft(self) -> Fraction:
        """Return the area of all slopes."""
        return sum((slope.area.area_sqft for slope in self.slopes), Fraction(0))

    @property
    def plan_sqft(self) -> Fraction:
        """Return the plan area of all slopes."""
        return sum((slope.plan_sqft for slope in self.slopes), Fraction(0))


def shaped_roof(shapes: Sequence[Shape]) -> ShapedRoof:
    """Return the roof that these shapes make, the house first; raises NotDetermined where they make none."""
    made = Bodies(shapes)
    layout = lay_out(made.bodies)
    _refuse_misplaced_dormers(made, layout)
    loose = sorted({layout.planes[edge.planes[0]].plane.label for edge in layout.loose})
    if loose:
        raise NotDetermined(
            say("The roof does not close at {slopes}.", slopes=Listed(tuple(loose))),
            say(
                "Look at sizes, pitches and places there; what these shapes cannot say has to be measured."
            ),
        )
    if any(edge.kind == "gutter" for edge in layout.edges):
        raise NotDetermined(
            say("Two slopes fall towards one level line."),
            say("Measure that roof; a gutter between two roofs is none of these shapes."),
        )
    return ShapedRoof(
        tuple(_slopes(layout)),
        tuple((edge, length_of_edge(edge.plan_ft, edge.rise_ft)) for edge in layout.edges),
        tuple(body.walls for body in made.bodies if body.sits_on is None),
        tuple(made.taken),
    )


def _refuse_misplaced_dormers(made: Bodies, layout: Layout) -> None:
    """Raise NotDetermined for a dormer that reaches past its slope, or into another one."""
    if not made.hosts:
        return
    bare = lay_out(made.bodies[: min(made.hosts)])
    for number, laid in enumerate(layout.planes):
        main = made.hosts.get(laid.bodies[0])
        if main is None:
            continue
        below = [
            piece for one in bare.planes if one.plane.flat == main.flat for piece in one.pieces
        ]
        beside = [
            piece
            for one in layout.planes[:number]
            if one.bodies[0] in made.hosts and one.bodies != laid.bodies
            for piece in one.pieces
        ]
        if _shared_sqft(laid.pieces, below) != laid.plan_sqft or _shared_sqft(laid.pieces, beside):
            raise NotDetermined(
                say(
                    "{name} does not fit on slope {slope}.", name=laid.plane.label, slope=main.label
                ),
                say(
                    "Look at its width, the length of its side walls, where it stands and how far back, "
                    "and at its overhang."
                ),
            )


def _slopes(layout: Layout) -> Iterator[ShapedSlope]:
    for number, laid in enumerate(layout.planes):
        lengths: dict[EdgeKind, Fraction] = {}
        for edge in layout.edges:
            if _carrier(edge) == number:
                lengths[edge.kind] = lengths.get(edge.kind, Fraction(0)) + edge.length_ft
        plane = laid.plane
        yield ShapedSlope(
            plane.label,
            plane.side,
            plane.rise_in_12,
            laid.pieces,
            laid.plan_sqft,
            area_from_plan(laid.plan_sqft, plane.rise_in_12),
            _rectangle(laid),
            lengths,
        )


def _carrier(edge: Edge) -> int:
    """Return the slope that carries an edge: of a valley the later, so that a house's slope stays as it is."""
    return edge.planes[-1] if edge.kind == "valley" else edge.planes[0]


def _rectangle(laid: Laid) -> tuple[Fraction, Fraction] | None:
    across = [x for piece in laid.pieces for x, _ in piece]
    back = [y for piece in laid.pieces for _, y in piece]
    wide, deep = max(across) - min(across), max(back) - min(back)
    if wide * deep != laid.plan_sqft:
        return None
    return (wide, deep) if laid.plane.side in ("front", "back") else (deep, wide)


def _shared_sqft(some: Sequence[Piece], others: Sequence[Piece]) -> Fraction:
    parts = [within(piece, halves_of(other)) for piece in some for other in others]
    return area_sqft([part for part in parts if part is not None])
