"""`dossier roof JOB`: slopes from a few shapes, shown beside the record and written into it."""

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.commands.given import Here, add_job, add_office, add_today, add_wait, new_place
from dossier.commands.show import to_stderr
from dossier.errors import ExitCode, WrongCommand
from dossier.values import plural

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dossier.deeds.roofing import Roofed
    from dossier.deeds.slopes_into import Into, SlopeFigures

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
    if given.draw is not None:
        from dossier.deeds.roof_drawing import draw

        draw(given.job, made, given.today or here.today, given.draw, given.office)
        to_stderr(f"Drawn in {given.draw}.")
    if given.yes:
        write_slopes(made.into, given.yes, here.holder)
        print(f"Written to {made.into.shown.file}.")
        return ExitCode.NOTHING_HELD_UP
    if given.json:
        print(json.dumps(as_data(made), indent=2, ensure_ascii=False))
        return ExitCode.NOTHING_HELD_UP
    print(slopes_text(made.slopes))
    print(f"\n{made.sums}")
    if made.taken:
        print("\nNot said, and taken to be so:")
        print("\n".join(f"  {sentence}" for sentence in made.taken))
    print("\n" + into_text(made.into))
    return ExitCode.NOTHING_HELD_UP


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
