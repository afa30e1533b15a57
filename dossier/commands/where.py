"""Where a question about a whole office looks: the folder it was given, or the one around the current one."""

from pathlib import Path

from dossier.terms.place import need_office_around


def office_of(current: Path, given: Path | None) -> Path:
    """Return the office folder. current: the folder the command was run in. Raises UnreadableInput."""
    return need_office_around(current, given)
