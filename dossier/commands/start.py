"""`dossier start FOLDER`: a new job folder to fill in, and an office folder where there is none."""

import argparse

from dossier.commands.given import Here, new_place
from dossier.errors import ExitCode

SAYS = "make a new job folder with a commented record to fill in; an office folder too if there is none"
EXAMPLE = "dossier start my-office/2026-061-birch-road"

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


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the folder."""
    command.add_argument("folder", type=new_place, metavar="FOLDER", help="the job folder to make")


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Make the folder and print what was made."""
    from dossier.deeds.starting import start

    done = start(given.folder)
    print("Made:")
    for path in done.made:
        print(f"  {path}")
    for line in (*(_FOR_THE_OFFICE if done.new_office else ()), *_FOR_THE_JOB):
        print(line.format(folder=given.folder))
    return ExitCode.NOTHING_HELD_UP
