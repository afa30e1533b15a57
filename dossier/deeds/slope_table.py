"""A table of slopes as many people write one by hand, read into slopes: one row for each area and each edge.

In: CSV with the columns slope, rise_in_12, faces, part, amount, unit. Out: slopes, and a sentence with its line
for every row that fits nothing. A ridge, hip or valley lies between two slopes and is written at one, as in the
record; where a table may name it at both, somebody has to say how it counts.
"""

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType

from dossier.deeds.slopes_into import LENGTHS, MEASURED, SAME_FT, SHARED, WORDS, SlopeFigures
from dossier.errors import UnreadableInput
from dossier.values import (
    Pitch,
    clip,
    listed,
    parse_area_sqft,
    parse_length_ft,
    parse_number,
    write_area,
)

COLUMNS = ("slope", "rise_in_12", "faces", "part", "amount", "unit")
PARTS: Mapping[str, str] = MappingProxyType(
    {
        **{"plan area": "plan_sqft", "sloped area": "area_sqft"},
        **{"eave": "eave_ft", "rake": "rake_ft", "ridge": "ridge_ft", "hip": "hip_ft"},
        **{"valley": "valley_ft", "wall": "step_flashing_ft"},
    }
)
_LENGTH_UNITS, _AREA_UNITS = ("ft", "in"), ("sq ft", "squares")
_COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
_MOST_BYTES, _MOST_ROWS = 2_000_000, 2_000


class SharedEdges(StrEnum):
    """How a table writes an edge between two slopes."""

    ONCE = "once"
    BOTH = "both"


@dataclass(frozen=True)
class TableRow:
    """One row that could be read. field: of a slope. amount: in feet or square feet."""

    line: int
    slope: str
    rise_in_12: Fraction | None
    faces: str
    field: str
    amount: Fraction


@dataclass(frozen=True)
class TableRead:
    """Slopes of a table. faults: a sentence for each row that fits nothing. asks: what has to be said first."""

    slopes: tuple[SlopeFigures, ...]
    faults: tuple[str, ...]
    asks: str = ""
    told: tuple[str, ...] = field(default=())


def table_slopes(file: Path, shared: SharedEdges | None = None) -> TableRead:
    """Return the slopes of a table. shared: how it writes an edge between two slopes, where somebody said.

    Raises UnreadableInput for a file that is no such table.
    """
    faults: list[str] = []
    rows = list(_rows(file, faults))
    asks, told = "", []
    named = {name: [row for row in rows if row.field == name] for name in SHARED}
    doubtful = [name for name, those in named.items() if len({row.slope for row in those}) > 1]
    if shared is SharedEdges.BOTH:
        halves = {name: _once(those) for name, those in named.items()}
        alone = [sentence for name in SHARED if (sentence := _alone(name, halves[name].alone))]
        if alone:
            asks = f"{' '.join(alone)} Give each edge at both its slopes, or say that the table writes each once."
        again = {row.line for half in halves.values() for row in half.again}
        rows = [row for row in rows if alone or row.line not in again]
        if again and not alone:
            told.append(
                "Each ridge, hip and valley is named at two slopes and counted at the first."
            )
    elif doubtful and shared is None:
        words = listed([WORDS[name] for name in doubtful])
        asks = (
            f"Several slopes have {words} in this table. Say whether it writes an edge between two slopes "
            "once, or at both of them: the record counts it once."
        )
    slopes = tuple(_slopes(rows, faults))
    told += [sentence for one in slopes if (sentence := _two_areas(one))]
    return TableRead(slopes, tuple(faults), asks, tuple(told))


def _two_areas(slope: SlopeFigures) -> str:
    """Return how a slope's measured area differs from that by its plan and pitch; empty where it does not."""
    measured, by_plan = slope.area_sqft, replace(slope, area_sqft=None).sloped_sqft
    if measured is None or by_plan is None or abs(measured - by_plan) <= MEASURED * by_plan:
        return ""
    return (
        f"{clip(slope.label)}: {write_area(measured)} as measured along the slope, {write_area(by_plan)} by plan "
        "and pitch; the measured one is taken."
    )


def _rows(file: Path, faults: list[str]) -> Iterator[TableRow]:
    try:
        data = file.read_bytes()
    except OSError as problem:
        raise UnreadableInput(
            f"{file} cannot be read: {problem.strerror}.", "Name the table of slopes."
        ) from None
    try:
        if len(data) > _MOST_BYTES:
            raise ValueError(f"it has {len(data):,} bytes, and at most {_MOST_BYTES:,} are read")
        text = data.decode("utf-8-sig")
        read = csv.reader(text.splitlines(), strict=True)
        head = tuple(cell.strip().lower() for cell in next(read, []))
        if head != COLUMNS:
            raise ValueError(f"its first line is not {','.join(COLUMNS)}")
        lines = [(read.line_num, [cell.strip() for cell in cells]) for cells in read]
    except (ValueError, csv.Error) as problem:
        raise UnreadableInput(
            f"{file.name} is no table of slopes: {problem}.",
            "Write it as CSV in UTF-8, with that first line; docs/roof.md has an example.",
        ) from None
    if len(lines) > _MOST_ROWS:
        raise UnreadableInput(
            f"{file.name} has {len(lines):,} rows; at most {_MOST_ROWS:,} are read.",
            "Take away what is no slope.",
        )
    for line, cells in lines:
        if not any(cells):
            continue
        try:
            yield _row(line, cells)
        except ValueError as problem:
            faults.append(f"Line {line}: {problem}.")


def _row(line: int, cells: Sequence[str]) -> TableRow:
    if len(cells) != len(COLUMNS):
        raise ValueError(f"found {len(cells)} columns, needed {len(COLUMNS)}")
    slope, rise, faces, part, amount, unit = cells
    if not slope:
        raise ValueError("found no slope's name")
    known = PARTS.get(part.lower())
    if known is None:
        raise ValueError(f"found the part “{clip(part)}”, needed {listed(list(PARTS), 'or')}")
    if faces and faces.upper() not in _COMPASS:
        raise ValueError(f"found “{clip(faces)}”, needed {listed(list(_COMPASS), 'or')}")
    is_length = known in LENGTHS
    units = _LENGTH_UNITS if is_length else _AREA_UNITS
    if unit.lower() not in units:
        needed = listed(list(units), "or")
        raise ValueError(f"found the unit “{clip(unit)}” for {part.lower()}, needed {needed}")
    parse_number(amount)
    words = f"{amount} {unit.lower()}"
    value = parse_length_ft(words) if is_length else parse_area_sqft(words)
    pitch = Pitch.parse(f"{rise}:12").rise_in_12 if rise else None
    return TableRow(line, slope, pitch, faces.upper(), known, value)


@dataclass(frozen=True)
class _Half:
    """again: rows that name an edge a second time. alone: rows for which no second can be found."""

    again: tuple[TableRow, ...] = ()
    alone: tuple[TableRow, ...] = ()


def _once(rows: Sequence[TableRow]) -> _Half:
    """Return which rows of edges of one kind, each named at two slopes, are left out to count each once.

    Rows are paired by length, so that every row has its second at another slope; else one slope has the edges of
    all the others. Either way what stays is half the sum.
    """
    alike: list[list[TableRow]] = []
    for row in sorted(rows, key=lambda row: row.amount):
        if alike and row.amount - alike[-1][0].amount <= SAME_FT:
            alike[-1].append(row)
        else:
            alike.append([row])
    again: list[TableRow] = []
    alone: list[TableRow] = []
    for group in alike:
        by_slope = sorted(group, key=lambda row: row.slope)
        half = len(group) // 2
        # Half the group apart, two rows are of two slopes, unless one slope has more than half of them.
        pairs = list(zip(by_slope[:half], by_slope[half:], strict=False))
        if len(group) % 2 or any(one.slope == other.slope for one, other in pairs):
            alone += group
        else:
            again += [max(pair, key=lambda row: row.line) for pair in pairs]
    if not alone:
        return _Half(tuple(again))
    for slope in dict.fromkeys(row.slope for row in rows):
        own = [row for row in rows if row.slope == slope]
        # By how much its edges are longer than those of all others; nothing where it has a share in each.
        over = sum((row.amount if row in own else -row.amount for row in rows), Fraction(0))
        if abs(over) <= SAME_FT * len(rows):
            first = min(rows, key=lambda row: row.line).slope == slope
            return _Half(tuple(row for row in rows if (row in own) is not first))
    return _Half(alone=tuple(sorted(alone, key=lambda row: row.line)))


def _alone(name: str, rows: Sequence[TableRow]) -> str:
    if not rows:
        return ""
    lines = f"{'Line' if len(rows) == 1 else 'Lines'} {listed([str(row.line) for row in rows])}"
    return f"{lines}: each {_word(name)} needs a second of its length at another slope."


def _word(name: str) -> str:
    return next(part for part, known in PARTS.items() if known == name)


def _slopes(rows: Sequence[TableRow], faults: list[str]) -> Iterator[SlopeFigures]:
    for label in dict.fromkeys(row.slope for row in rows):
        rise: Fraction | None = None
        faces = ""
        found: dict[str, Fraction] = {}
        for row in (row for row in rows if row.slope == label):
            at, name = f"Line {row.line}: {clip(label)}", _word(row.field)
            if None not in (rise, row.rise_in_12) and rise != row.rise_in_12:
                faults.append(f"{at} has another rise in 12 above.")
            if "" not in (faces, row.faces) and faces != row.faces:
                faults.append(f"{at} faces another way above.")
            rise, faces = row.rise_in_12 if rise is None else rise, faces or row.faces
            if row.field not in LENGTHS and row.field in found:
                faults.append(f"{at} has its {name} already.")
            else:
                found[row.field] = found.get(row.field, Fraction(0)) + row.amount
        yield SlopeFigures(
            label,
            faces,
            rise,
            plan_sqft=found.get("plan_sqft"),
            area_sqft=found.get("area_sqft"),
            lengths_ft=MappingProxyType({n: x for n, x in found.items() if n in LENGTHS}),
        )
