"""`dossier roof JOB`: slopes from a few shapes, shown beside the record and written into it."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.commands.given import Here, add_job, add_wait
from dossier.errors import ExitCode, WrongCommand
from dossier.values import plural, write_area, write_feet, write_number

if TYPE_CHECKING:
    from dossier.deeds.roofing import Roofed
    from dossier.deeds.slopes_into import Into, SlopeFigures
    from dossier.trade.roof_shapes import ShapedRoof

SAYS = "make the slopes of a roof from a few shapes, shown first"
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
        "--over-typed",
        action="store_true",
        help="put the figures also in place of those typed otherwise; without it these stay",
    )
    command.add_argument("--json", action="store_true", help="print it as data")
    command.add_argument(
        "--yes",
        metavar="MARK",
        help="write what was shown by this mark; without it nothing is written",
    )
    add_wait(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Show the slopes beside the record, or write what was shown."""
    from dossier.deeds.roofing import lines_in, roofed
    from dossier.deeds.slopes_into import write_slopes

    if bool(given.file) == bool(given.shape):
        raise WrongCommand(
            "Shapes come from a file or from --shape, one of the two.",
            "See docs/roof.md; an example is: " + EXAMPLE.partition("\n")[0].rstrip(" \\"),
        )
    made = roofed(
        given.job, lines_in(given.file) if given.file else given.shape, over_typed=given.over_typed
    )
    if given.yes:
        write_slopes(made.into, given.yes, here.holder)
        print(f"Written to {made.into.shown.file}.")
        return ExitCode.NOTHING_HELD_UP
    if given.json:
        print(json.dumps(as_data(made), indent=2, ensure_ascii=False))
        return ExitCode.NOTHING_HELD_UP
    print(slopes_text(made.slopes))
    print("\n" + sums_text(made.roof))
    if made.taken:
        print("\nNot said, and taken to be so:")
        print("\n".join(f"  {sentence}" for sentence in made.taken))
    print("\n" + into_text(made.into))
    return ExitCode.NOTHING_HELD_UP


def slopes_text(slopes: "tuple[SlopeFigures, ...]") -> str:
    """Return the slopes as a table, each edge at the one slope that carries it."""
    from dossier.deeds.slopes_into import LENGTHS, WORDS

    rows = [("slope", "faces", "pitch", "plan sq ft", "area sq ft", *(WORDS[n] for n in LENGTHS))]
    for slope in slopes:
        rise = slope.rise_in_12
        rows.append(
            (
                slope.label,
                slope.faces or "-",
                "-" if rise is None else f"{write_number(rise, 2)}:12",
                "-" if slope.plan_sqft is None else write_number(slope.plan_sqft, 1),
                "-" if slope.sloped_sqft is None else write_number(slope.sloped_sqft, 1),
                *(write_number(length, 2) if (length := slope.length(n)) else "-" for n in LENGTHS),
            )
        )
    return _table(rows, right_from=3)


def _table(rows: list[tuple[str, ...]], right_from: int) -> str:
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if n >= right_from else cell.ljust(width)
            for n, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def sums_text(roof: "ShapedRoof") -> str:
    """Return the sums over the whole roof, each shared edge once."""
    area = roof.area_sqft
    parts = [
        f"{plural(len(roof.slopes), 'slope')}, {write_area(area)} ({write_number(area / 100, 2)} squares) over "
        f"{write_area(roof.plan_sqft)} in plan"
    ]
    for word, kinds in (
        ("eaves", ("eave",)),
        ("rakes", ("rake",)),
        ("ridges", ("ridge",)),
        ("hips", ("hip",)),
        ("valleys", ("valley",)),
        ("step flashing", ("side wall",)),
        ("flashing at level walls", ("head wall",)),
        ("changes of pitch", ("break",)),
        ("high edges against nothing", ("top",)),
    ):
        length = roof.total_ft(*kinds)  # type: ignore[arg-type]
        if length:
            parts.append(f"{word} {write_feet(length)}")
    return "; ".join(parts) + ". An edge between two slopes is counted once."


def into_text(into: "Into") -> str:
    """Return how the slopes stand against the record, and how to write them."""
    from dossier.deeds.slopes_into import WORDS, Stands

    lines = []
    for one in into.held:
        if one.stands is Stands.DIFFERS:
            lines.append(
                f"  {one.slope}: {WORDS[one.field]} {one.typed or 'blank'} on record, {one.found} by this"
            )
    if lines:
        lines.insert(0, "Differs from the record, and stays as typed unless --over-typed is given:")
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
            f"\nNothing is written yet. To write it as it is shown, the same line again with: --yes {into.mark}"
        )
    return "\n".join(lines)


def as_data(made: "Roofed") -> dict[str, object]:
    """Return what is shown as data."""
    from dossier.deeds.slopes_into import LENGTHS

    def number(value: object) -> float | None:
        return None if value is None else round(float(value), 4)  # type: ignore[arg-type]

    into = made.into
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
            for slope in made.slopes
        ],
        "taken": list(made.taken),
        "held": [
            {
                "slope": one.slope,
                "field": one.field,
                "on_record": one.typed,
                "by_shapes": one.found,
                "stands": one.stands.value,
            }
            for one in into.held
        ],
        "untouched": list(into.untouched),
        "refused": into.refused,
        "mark": into.mark if into.draft else "",
    }
