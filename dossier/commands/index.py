"""`dossier index`: every job folder of the office looked at, and the index brought up to date."""

import argparse

from dossier.commands.given import Here
from dossier.commands.office_answer import add_the_office, office_asked
from dossier.commands.tables import line
from dossier.errors import ExitCode
from dossier.values import plural

SAYS = "look at every job folder of the office and bring the index up to date"
EXAMPLE = "dossier index --office my-office"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add whether all is read anew, and the office."""
    command.add_argument(
        "--rebuild", action="store_true", help="read every job again, changed or not"
    )
    add_the_office(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Bring the index up to date and print what was found.

    Returns 3 where a folder could not be read, or not whole: a job is in the index all the same, as far as it
    could be, and one in a folder that cannot be looked into stays as it was last read.
    """
    from dossier.deeds.office_index import bring_up_to_date
    from dossier.index.store import index_path

    office = office_asked(given)
    kept = bring_up_to_date(office, anew=given.rebuild)
    print(
        f"{plural(kept.jobs, 'job')} in {index_path(office.folder)}: {kept.read:,} read, "
        f"{len(kept.gone):,} gone, {kept.jobs - kept.read:,} unchanged."
    )
    for folder in kept.gone:
        print(f"  {line(folder)} is no longer there.")
    for folder, fault in kept.faults:
        print(f"  {line(folder)}: {line(fault)}")
    return ExitCode.UNREADABLE_INPUT if kept.faults else ExitCode.NOTHING_HELD_UP
