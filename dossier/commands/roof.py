"""`dossier roof JOB`: slopes from a few shapes or a table, shown beside the record and written into it."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from dossier.commands.given import Here, add_job, add_office, add_today, add_wait, new_place
from dossier.commands.show import to_stderr
from dossier.errors import ExitCode, WrongCommand
from dossier.values import plural

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from dossier.deeds.slopes_into import Into, SlopeFigures

    Edges: TypeAlias = Mapping[str, object]

SAYS = "make the slopes of a roof from a few shapes or a table, shown first"
EXAMPLE = (
    'dossier roof my-office/2026-061-birch-road --shape "hip 40x28 6/12, overhang 16 in, front faces S" \\\n'
    '      --shape "gable garage 22x24 5/12 on east, wall"\n'
    "  dossier roof my-office/2026-061-birch-road shapes.yaml"
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job, the shapes, and what to do with them."""
    add_job(command)
    command.add_argument(
        "file", type=Path, nargs="?", metavar="SHAPES", help="a YAML list of shapes, one a line"
    )
    command.add_argument(
        "--shape", action="append", default=[], metavar="TEXT", help="one shape; may be given again"
    )
    command.add_argument(
        "--table", type=Path, metavar="FILE.csv", help="a table of slopes instead of shapes"
    )
    command.add_argument(
        "--shared",
        choices=("once", "both"),
        help="of a table: whether a ridge, hip or valley stands at one of its slopes or at both",
    )
    command.add_argument(
        "--over-typed",
        action="store_true",
        help="put the figures also in place of those typed otherwise; without it these stay",
    )
    command.add_argument(
        "--draw", type=new_place, metavar="FILE.pdf", help="also draw the plan, into a new file"
    )
    command.add_argument("--json", action="store_true", help="print it as data")
    command.add_argument(
        "--yes",
        metavar="MARK",
        help="write what was shown by this mark; without it nothing is written",
    )
    add_office(command)
    add_today(command, "the day printed on the drawing; without it today")
    add_wait(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Show the slopes beside the record, or write what was shown."""
    from dossier.deeds.slopes_into import write_slopes

    ways = [bool(given.file), bool(given.shape), given.table is not None]
    if sum(ways) != 1:
        raise WrongCommand(
            "Slopes come from a file of shapes, from --shape or from --table, one of the three.",
            f"An example is:\n  {EXAMPLE}",
        )
    if given.table is not None:
        slopes, before, said, into, edges = _of_table(given)
    else:
        slopes, before, said, into, edges = _of_shapes(given, here)
    if given.yes:
        write_slopes(into, given.yes, here.holder)
        print(f"Written to {into.shown.file}.")
    elif given.json:
        data = {**as_data(slopes, said, into), "edges": edges}
        print(json.dumps(data, indent=2, ensure_ascii=False))
    else:
        parts = [slopes_text(slopes), before, *said, into_text(into, over_typed=given.over_typed)]
        print("\n".join(part for part in parts if part))
    return ExitCode.ITEMS_HOLD if into.refused and not given.yes else ExitCode.NOTHING_HELD_UP


_Shown: TypeAlias = "tuple[Sequence[SlopeFigures], str, Sequence[str], Into, Sequence[Edges]]"
"""Slopes, what is said below them, further sentences, how they stand against the record, and edges as data."""


def _of_table(given: argparse.Namespace) -> _Shown:
    from dossier.deeds.roofing import tabled
    from dossier.deeds.slope_table import SharedEdges

    if given.draw is not None:
        raise WrongCommand("A table says nothing of where its slopes lie.", "Leave --draw away.")
    shared = SharedEdges(given.shared) if given.shared else None
    made = tabled(given.job, given.table, shared, over_typed=given.over_typed)
    return made.read.slopes, "", (*made.read.faults, *made.read.told), made.into, ()


def _of_shapes(given: argparse.Namespace, here: Here) -> _Shown:
    from dossier.deeds.roofing import lines_in, roofed

    if given.shared:
        raise WrongCommand("--shared says how a table counts.", "Leave it away with shapes.")
    lines = lines_in(given.file) if given.file else given.shape
    made = roofed(given.job, lines, over_typed=given.over_typed)
    if given.draw is not None and given.yes and given.draw.exists():
        # The line that was shown is given again, and it drew then.
        to_stderr(f"{given.draw} is there already and stays as it is.")
    elif given.draw is not None:
        from dossier.deeds.roof_drawing import draw

        draw(given.job, made, given.today or here.today, given.draw, given.office)
        to_stderr(f"Drawn in {given.draw}.")
    taken = [f"Not said, and taken to be so: {sentence}" for sentence in made.taken]
    return made.slopes, made.sums, (*taken, *made.unwritten), made.into, made.edges


def slopes_text(slopes: "Sequence[SlopeFigures]") -> str:
    """Return the slopes as a table for a terminal, each edge at the one slope that carries it."""
    from dossier.deeds.slopes_into import rows_of

    rows = rows_of(slopes)
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if n > 2 else cell.ljust(width)
            for n, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def into_text(into: "Into", *, over_typed: bool) -> str:
    """Return how the slopes stand against the record, and how to write them."""
    from dossier.deeds.slopes_into import WORDS, Stands

    lines = [
        f"  {one.slope}: {WORDS[one.field]} {one.typed or 'blank'} on record, {one.found} by this"
        for one in into.held
        if one.stands is Stands.DIFFERS
    ]
    if lines:
        stays = (
            "it is replaced" if over_typed else "it stays as typed, unless --over-typed is given"
        )
        lines.insert(0, f"Differs from the record; {stays}:")
    same = sum(one.stands is Stands.SAME for one in into.held)
    if same:
        lines.append(f"{plural(same, 'figure')} on record the same.")
    if into.untouched:
        lines.append(f"On record and none of these: {', '.join(into.untouched)}.")
    if into.refused:
        lines.append(f"It cannot be written: {into.refused}")
    elif into.draft is None:
        lines.append("Nothing to write.")
    else:
        lines += into.draft.difference(f"{into.shown.file} with these slopes")
        lines.append(
            "\nNothing is written yet. To write it as it is shown, the same line again, before anything "
            f"else changes in {into.shown.file}, with: --yes {into.mark}"
        )
    return "\n".join(["", *lines])


def as_data(
    slopes: "Sequence[SlopeFigures]", said: "Sequence[str]", into: "Into"
) -> dict[str, object]:
    """Return what is shown as data; lengths in feet, areas in square feet, None where nobody said."""
    from dossier.deeds.slopes_into import LENGTHS

    def number(value: "Fraction | None") -> float | None:
        return None if value is None else round(float(value), 4)

    return {
        "slopes": [
            {
                "label": slope.label,
                "faces": slope.faces,
                "rise_in_12": number(slope.rise_in_12),
                "plan_sqft": number(slope.plan_sqft),
                "area_sqft": number(slope.sloped_sqft),
                **{name: number(slope.length(name)) for name in LENGTHS},
            }
            for slope in slopes
        ],
        "said": list(said),
        "held": [
            {
                "slope": one.slope,
                "field": one.field,
                "on_record": one.typed,
                "found": one.found,
                "stands": one.stands.value,
            }
            for one in into.held
        ],
        "untouched": list(into.untouched),
        "refused": into.refused,
        "mark": into.mark if into.draft else "",
    }
