"""`dossier recover HANDOVER.pdf NEWFOLDER`: the record that a document carries, back out of it."""

import argparse
from pathlib import Path

from dossier.commands.given import Here, new_place
from dossier.errors import ExitCode

SAYS = "get the record back out of a handover document, into a new folder"
EXAMPLE = "dossier recover handover.pdf recovered-record"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the document, and where to write."""
    command.add_argument(
        "document", type=Path, metavar="PDF", help="the document as it was handed over"
    )
    command.add_argument(
        "folder", type=new_place, metavar="NEWFOLDER", help="a folder that is not there yet"
    )


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Write what the document carries, and print what was written, withheld and left."""
    from dossier.press.carried import recover

    done = recover(given.document, given.folder)
    print(f"Written to {done.folder}:")
    for name in done.files:
        print(f"  {name}")
    if done.withheld:
        print("Withheld from this edition's reader, by name:")
        for name in done.withheld:
            print(f"  {name}")
    if done.left:
        print("Left in the document, since their names are not ours:")
        for name in done.left:
            print(f"  {name}")
    print(
        "Photos and papers are not inside; the .sha256 files tell whether copies of them are unchanged."
    )
    return ExitCode.NOTHING_HELD_UP
