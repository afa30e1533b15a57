"""`dossier verify FOLDER`: whether what was sealed still is what it was."""

import argparse
from pathlib import Path

from dossier.commands.given import Here
from dossier.errors import ExitCode
from dossier.values import plural

SAYS = "name every file of a sealed folder that was changed, is missing or was added"
EXAMPLE = (
    "dossier verify my-office/2026-061-birch-road --against handover.pdf --key keys/office.pub"
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the folder, and what to hold against it."""
    command.add_argument(
        "folder", type=Path, metavar="FOLDER", help="a job folder, its sealed/, or one folder in it"
    )
    command.add_argument(
        "--against",
        type=Path,
        metavar="FILE.pdf",
        help="compare this document, page by page, with the sealed one that it is a copy of",
    )
    command.add_argument(
        "--key",
        type=Path,
        metavar="PUBLIC",
        help="check the signatures with this public key; without it with keys/office.pub of the office, if there",
    )
    command.add_argument(
        "--digest",
        metavar="HEX",
        help="compare the newest folder with its digest, as it was printed when that was sealed",
    )


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Print every difference, what cannot be told, and one line at the end; 5 where anything differs."""
    from dossier.archive.names import shown
    from dossier.deeds.verifying import compared, seals_of

    seals = seals_of(given.folder, given.key, given.digest)
    found = seals.found
    if found.bags and found.bags[0].job:
        print(f"Sealed as job {shown(found.bags[0].job)}")
    for bag in found.bags:
        signed = "signed" if bag.signed else "not signed"
        if seals.by_key and bag.signed and not bag.differences:
            signed = "signed with this key"
        count = plural(len(bag.payload), "file")
        state = "as it was sealed" if not bag.differences else "NOT as it was sealed"
        print(f"{bag.name}: {count}, {bag.size_bytes:,} bytes, {signed}, {state}")
        print(f"  digest {bag.digest or 'cannot be told'}")
    held = compared(seals, given.against)
    for mark, sentences in (("=", held.same), ("#", held.differences), (".", held.notes)):
        for line in sentences:
            print(f"{mark} {line}")
    if held.differences:
        print(f"{plural(len(held.differences), 'difference')}: this is not what was sealed.")
        return ExitCode.VERIFY_DIFFERS
    print("No difference found.")
    return ExitCode.NOTHING_HELD_UP
