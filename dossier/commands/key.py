"""`dossier key NEWFILE`: the office's own key pair, to sign what it seals."""

import argparse

from dossier.commands.given import Here, new_place
from dossier.errors import ExitCode
from dossier.terms.place import COMPANY_FILE

SAYS = "make the office's own key pair, to sign what it seals"
EXAMPLE = "dossier key keys/office"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add where to write it."""
    command.add_argument("file", type=new_place, metavar="NEWFILE", help="the private key to write")


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Make a key pair and say what to do with it."""
    from dossier.archive.keys import OFFICE_KEY, make_keys

    public = make_keys(given.file)
    file = given.file.resolve()
    office = file.parent.parent
    if file == office / OFFICE_KEY and (office / COMPANY_FILE).is_file():
        print(f"From now on what is sealed in {office} is signed with this key.")
    print(f"Private key, for dossier seal --sign: {given.file}")
    print(
        "  Keep it where few people can read it, with one copy elsewhere, and never in a job folder."
    )
    print(f"Public key, for dossier verify --key: {public}")
    print("  Give it to whoever may want to check, and keep a copy off this disk.")
    return ExitCode.NOTHING_HELD_UP
