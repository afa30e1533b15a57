"""`dossier recover HANDOVER.pdf NEWFOLDER`: the record that a document carries, back out of it."""

from pathlib import Path

from dossier.errors import ExitCode
from dossier.press.carried import recover


def run_recover(document: Path, folder: Path) -> ExitCode:
    """Write what the document carries, and print what was written, withheld and left."""
    done = recover(document, folder)
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
