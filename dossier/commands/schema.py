"""`dossier schema`: the record's form as JSON Schema."""

import argparse

from dossier.commands.given import Here
from dossier.errors import ExitCode

SAYS = "print the record's form as JSON Schema"
EXAMPLE = "dossier schema > record.schema.json"


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add nothing."""


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Print the schema."""
    from dossier.commands.record_schema import schema_text

    print(schema_text(), end="")
    return ExitCode.NOTHING_HELD_UP
