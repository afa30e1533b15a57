"""`dossier start FOLDER`: a new job folder to fill in, and an office folder where there is none."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.commands.given import Here, add_wait, new_place
from dossier.errors import ExitCode, WrongCommand
from dossier.values import plural

if TYPE_CHECKING:
    from dossier.deeds.taking_over import Unconfirmed

SAYS = "make a new job folder with a commented record to fill in; an office folder too if there is none"
EXAMPLE = (
    "dossier start my-office/2026-061-birch-road\n"
    "  dossier start my-office/2026-062-alder-row --like my-office/2026-061-birch-road\n"
    "  dossier start my-office/2026-062-alder-row --confirm --yes"
)

_FOR_THE_OFFICE = (
    "First, once for the office, since no job can be judged before:",
    "  1. company.yaml: your name, telephone, crews and certifications",
    "  2. localities/: copy blank.yaml.txt to NAME-YEAR.yaml and fill in what the permit office asks",
    "  3. terms/: copy blank.yaml.txt to MAKER-YEAR.yaml and blank.catalogue.yaml.txt to MAKER.catalogue.yaml,",
    "     and type in the maker's terms and products; docs/terms.md walks through them",
    "  4. suppliers/: only where a supplier's tickets come as CSV",
    "Then the job:",
)
"""In the order in which the office needs them: a check without a locality sheet judges nothing."""

_FOR_THE_JOB = (
    "Fill in job.yaml, its slopes before you gather photos, put photos and papers in, then run:",
    "  dossier check {folder}",
)


_LIKE = "Taken over from job {job}, each marked “as on {job}”; look whether it holds on this roof:"
_WHERE_IT_HOLDS = (
    "Where one does not hold, write over it. Those that do: dossier start {folder} --confirm"
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the folder, the job to be like, and what is confirmed of it."""
    command.add_argument("folder", type=new_place, metavar="FOLDER", help="the job folder to make")
    command.add_argument(
        "--like",
        type=Path,
        metavar="JOB",
        help="take over what the office does alike on its next job: crew, level, how it lays, products to order; "
        "never what is seen or measured on a roof",
    )
    command.add_argument(
        "--locality", metavar="NAME", help="the permit office's sheet, by its name in localities/"
    )
    command.add_argument(
        "--confirm",
        nargs="*",
        metavar="FIELD",
        help="say of a job that is there that what it took over holds on its roof: these fields, or all",
    )
    command.add_argument(
        "--yes", action="store_true", help="with --confirm: write it; without this it is only shown"
    )
    add_wait(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Make the folder and print what was made; or confirm what was taken over."""
    from dossier.deeds.starting import start
    from dossier.deeds.taking_over import job_like, unconfirmed

    if given.confirm is not None:
        return _confirm(given, here)
    if given.yes:
        raise WrongCommand("--yes says that what was taken over holds.", "Add --confirm.")
    like = job_like(given.like) if given.like else None
    done = start(given.folder, like, given.locality)
    print("Made:")
    for path in done.made:
        print(f"  {path}")
    if like is not None:
        print(_LIKE.format(job=like.number))
        print("\n".join(_values(unconfirmed(given.folder))))
        print(_WHERE_IT_HOLDS.format(folder=given.folder))
    for line in (*(_FOR_THE_OFFICE if done.new_office else ()), *_FOR_THE_JOB):
        print(line.format(folder=given.folder))
    return ExitCode.NOTHING_HELD_UP


def _confirm(given: argparse.Namespace, here: Here) -> ExitCode:
    from dossier.deeds.taking_over import confirm, unconfirmed

    if given.like or given.locality:
        raise WrongCommand(
            "--like and --locality make a new job; --confirm is for one that is there.",
            "Give one of them.",
        )
    standing = unconfirmed(given.folder)
    if given.confirm:
        standing = standing.only(given.confirm)
    if not standing.values:
        print("Nothing stands there that was taken over from another job.")
        return ExitCode.NOTHING_HELD_UP
    print("\n".join(_values(standing)))
    if not given.yes:
        print("Nothing is written yet. If all of this holds on this roof, again with --yes.")
        return ExitCode.NOTHING_HELD_UP
    confirm(given.folder, standing, here.holder)
    count = plural(len(standing.values), "value")
    print(f"{count} confirmed: from now on the record says so itself.")
    return ExitCode.NOTHING_HELD_UP


def _values(standing: "Unconfirmed") -> list[str]:
    return [f"  {path}: {one.value}" for path, one in standing.values.items()]
