"""A roof by shapes: what was told made into slopes, drawn, and held against the record.

In: shapes in plain words, a file of them, or a table of slopes; a job folder. Out: slopes beside the record; then
the record on disk. A browser asks the same way as a command does, so no sentence names a flag.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from dossier.deeds.by_hand import shown
from dossier.deeds.shape_words import ShapesTold, shapes_told, with_overhang
from dossier.deeds.slope_table import SharedEdges, TableRead, table_slopes
from dossier.deeds.slopes_into import Into, SlopeFigures, held_against, roof_typed
from dossier.errors import UnreadableInput, WrongCommand
from dossier.reading.nodes import Mapping as Group
from dossier.reading.nodes import Node, Text, parse_tree
from dossier.reading.nodes import Sequence as Row
from dossier.record.trees import JOB_FILE
from dossier.trade.roof_bodies import EdgeKind
from dossier.trade.roof_shapes import ShapedRoof, ShapedSlope, shaped_roof
from dossier.trade.shapes import NotDetermined
from dossier.values import plural, write_area, write_feet, write_inches, write_number

_FIELD_OF: dict[EdgeKind, str] = {
    "eave": "eave_ft",
    "rake": "rake_ft",
    "ridge": "ridge_ft",
    "hip": "hip_ft",
    "valley": "valley_ft",
    "side wall": "step_flashing_ft",
    "head wall": "step_flashing_ft",
}
"""The field of the record in which each kind of edge is counted; what has none is drawn alone."""


_SUMMED: tuple[tuple[str, EdgeKind], ...] = (
    ("eaves", "eave"),
    ("rakes", "rake"),
    ("ridges", "ridge"),
    ("hips", "hip"),
    ("valleys", "valley"),
    ("step flashing", "side wall"),
    ("flashing at level walls", "head wall"),
    ("changes of pitch", "break"),
    ("high edges against nothing", "top"),
)


@dataclass(frozen=True)
class Roofed:
    """A roof by shapes and how it stands against the record. taken: what was not said and taken to be so.

    unwritten: what was said and has to be typed by hand.
    """

    told: ShapesTold
    roof: ShapedRoof
    slopes: tuple[SlopeFigures, ...]
    taken: tuple[str, ...]
    into: Into
    unwritten: tuple[str, ...] = ()

    @property
    def edges(self) -> tuple[Mapping[str, object], ...]:
        """Return every edge once, as data: its kind, the slopes it lies between, its length and the working."""
        return tuple(
            {
                "kind": edge.kind,
                "slopes": [self.roof.slopes[number].label for number in edge.planes],
                "length_ft": round(float(length.length_ft), 4),
                "working": f"{length.working.formula}: {length.working.with_numbers}",
            }
            for edge, length in self.roof.edges
        )

    @property
    def sums(self) -> str:
        """Return the sums over the whole roof as a sentence, each shared edge counted once."""
        roof, area = self.roof, self.roof.area_sqft
        squares = write_number(area / 100, 2)
        parts = [
            f"{plural(len(roof.slopes), 'slope')}, {write_area(area)} ({squares} squares) over "
            f"{write_area(roof.plan_sqft)} in plan"
        ]
        for word, kind in _SUMMED:
            length = roof.total_ft(kind)
            if length:
                parts.append(f"{word} {write_feet(length)}")
        return "; ".join(parts) + ". An edge between two slopes is counted once."


def roofed(folder: Path, lines: Sequence[str], *, over_typed: bool = False) -> Roofed:
    """Return the roof of these shapes beside the record of a job; nothing is written.

    Raises WrongCommand where the shapes cannot be read or make no one roof.
    """
    told = shapes_told(lines)
    taken: list[str] = []
    said_in = {
        one.part: 12 * one.eave_overhang_ft
        for one in reversed(told.shapes)
        if one.eave_overhang_ft is not None
    }
    overhang = _overhang_in(folder)
    if overhang is not None and any(
        shape.part == "house" and shape.eave_overhang_ft is None for shape in told.shapes
    ):
        told = with_overhang(told, overhang)
        taken.append(f"The overhang of the eaves is that of the record, {write_inches(overhang)}.")
    try:
        roof = shaped_roof(told.shapes)
    except NotDetermined as problem:
        raise WrongCommand(problem.says, problem.needed) from None
    slopes = tuple(_figures(told, slope, _touching(roof, n)) for n, slope in enumerate(roof.slopes))
    taken += [str(sentence) for sentence in roof.taken]
    if not told.front_faces:
        taken.append("Which way the front faces is not said, so no slope gets a direction.")
    own_in = said_in.pop("house", None)
    into = held_against(folder, slopes, over_typed=over_typed, overhang_in=own_in)
    unwritten = tuple(
        f"The overhang of the {part}, {write_inches(inches)}, is not written: type it under eaves of its slopes."
        for part, inches in said_in.items()
        if inches != (overhang if own_in is None else own_in)
    )
    return Roofed(told, roof, slopes, tuple(taken), into, unwritten)


@dataclass(frozen=True)
class Tabled:
    """A table of slopes and how it stands against the record."""

    read: TableRead
    into: Into


def tabled(
    folder: Path, file: Path, shared: SharedEdges | None = None, *, over_typed: bool = False
) -> Tabled:
    """Return the slopes of a table beside the record of a job; nothing is written.

    shared: how the table writes an edge between two slopes; where that has to be said first, nothing can be
    written. Raises DossierError where the table or the record cannot be read.
    """
    read = table_slopes(file, shared)
    into = held_against(folder, read.slopes, over_typed=over_typed)
    if read.asks:
        into = replace(into, draft=None, refused=read.asks)
    return Tabled(read, into)


def _touching(roof: ShapedRoof, number: int) -> frozenset[str]:
    """Return the slopes with which one has an edge."""
    pairs = [edge.planes for edge, _ in roof.edges if number in edge.planes]
    return frozenset(roof.slopes[n].label for pair in pairs for n in pair if n != number)


def _figures(told: ShapesTold, slope: ShapedSlope, touches: frozenset[str]) -> SlopeFigures:
    lengths = dict.fromkeys(_FIELD_OF.values(), Fraction(0))
    for kind, length in slope.lengths_ft.items():
        if kind in _FIELD_OF:
            lengths[_FIELD_OF[kind]] += length
    return SlopeFigures(
        label=slope.label,
        faces=told.faces(slope.side),
        rise_in_12=slope.rise_in_12,
        size_ft=slope.size_ft,
        plan_sqft=slope.plan_sqft,
        lengths_ft=lengths,
        no_eave=not lengths["eave_ft"],
        touches=touches,
    )


def _overhang_in(folder: Path) -> Fraction | None:
    building = roof_typed(shown(folder, JOB_FILE)).needed.building
    return building.overhang_in if building else None


def lines_in(file: Path) -> tuple[str, ...]:
    """Return the shapes of a file, one a line: a YAML list, or a group “shapes” with one."""
    try:
        data = file.read_bytes()
    except OSError as problem:
        raise UnreadableInput(
            f"{file} cannot be read: {problem.strerror}.", "Name the file with the shapes."
        ) from None
    read = parse_tree(data, file.name)
    if read.tree is None:
        raise UnreadableInput(read.items[0].says, read.items[0].remedy)
    tree: Node = read.tree
    if isinstance(tree, Group) and set(tree.entries) == {"shapes"}:
        tree = tree.entries["shapes"].value
    rows = tree.items if isinstance(tree, Row) else (tree,)
    lines = [row.text for row in rows if isinstance(row, Text)]
    if len(lines) != len(rows) or not lines:
        raise UnreadableInput(
            f"{file.name} is no list of shapes.",
            "Write one shape a line with a dash before it, such as - hip 40x28 6/12, overhang 16 in.",
        )
    return tuple(lines)
