"""`dossier build JOB`: the punch list, the handover and the registration packet, written whole."""

import argparse
from typing import TYPE_CHECKING

from dossier.commands.given import (
    Here,
    add_checked_job,
    add_fresh_sheets,
    asked_of,
    new_place,
)
from dossier.commands.show import code_of, heading, items_text, summary, to_stderr
from dossier.errors import ExitCode
from dossier.values import listed

if TYPE_CHECKING:
    from dossier.disk.standing import Said
    from dossier.steps.building import Built

SAYS = "write the punch list, the handover and the registration packet"
EXAMPLE = "dossier build my-office/2026-061-birch-road --out papers-for-the-maker"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job, its sheets, and where to write."""
    add_checked_job(command, waits=True)
    add_fresh_sheets(command)
    command.add_argument(
        "--out",
        type=new_place,
        metavar="FOLDER",
        help="write there instead of into the job's out/; an empty or new folder, outside every job",
    )


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Write the documents, print where they are, and return the exit code as `check` does."""
    said = None if given.fresh or given.fresh_sheets else _said_last_time(given, here)
    if said is not None:
        to_stderr(said.err)
        print(said.out)
        print(
            "Nothing has changed since; the documents were left as they are. To make them anew: --fresh"
        )
        return ExitCode(said.exit_code)
    # Asked before any of this is loaded, since a build with nothing to do should be over at once.
    from dossier.deeds.building import build_job

    done = build_job(asked_of(given, here), here.clock)
    said = _said(done.built)
    to_stderr(said.err)
    print(said.out)
    for sentence in done.of_index:
        to_stderr(sentence)
    done.built.remember(said)
    return ExitCode(said.exit_code)


def _said_last_time(given: argparse.Namespace, here: Here) -> "Said | None":
    """Return what the last build said if nothing has changed since, else None."""
    from dossier.disk.outputs import WORK
    from dossier.disk.standing import build_asked, still_stands

    asked = build_asked(given.job, given.office, given.out)
    return still_stands(given.job.resolve() / WORK, asked, given.today, here.clock)


def _said(built: "Built") -> "Said":
    from dossier.disk.standing import Said

    checked = built.checked
    out = [summary(checked.number, checked.punch_list, checked.readable)]
    if not checked.readable:
        out.insert(0, items_text(checked.punch_list))
        out.append("Nothing was built; what stood in the output folder before is still there.")
    else:
        out.append(f"Written to {checked.run.out_folder}:")
        out += [f"  {name}" for name in built.files]
    if checked.readable and built.kept_as_built:
        out.append(
            f"as-built/ was left as it is: {listed(checked.as_built_differs)} "
            f"{'says' if len(checked.as_built_differs) == 1 else 'say'} something else today, and these "
            "documents were made from today's sheets. To copy today's into as-built/ as well: --fresh-sheets"
        )
    return Said("\n".join(out), "\n".join(heading(checked)), int(code_of(checked)))
