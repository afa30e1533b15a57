"""What was noted about a job after its close-out: registrations confirmed, sales, claims, and so on.

In: a job folder. Out: plain fields of each entry, oldest first. Must not know what follows from one.
"""

import os
import re
from dataclasses import dataclass
from pathlib import Path

from dossier.index.plain import NotPlain, Plain, plain_fields
from dossier.index.scan import CLOSEOUT
from dossier.index.sheets import read_small
from dossier.record.entry import ENTRY_FILE, SEALED

_FOLDER = re.compile(r"(?!0001)[0-9]{4}-.+", re.S)


@dataclass(frozen=True)
class Noted:
    """One entry. folder: its name in `sealed/`. fault: why it cannot be read; fields are empty then."""

    folder: str
    fields: Plain
    fault: str = ""


def noted_in(job: Path) -> tuple[bool, tuple[Noted, ...]]:
    """Return whether a job's close-out is sealed, and its later entries in the order of their folders."""
    try:
        names = sorted(os.listdir(f"{job}/{SEALED}"))  # noqa: PTH208
    except OSError:
        return False, ()
    found = []
    for name in names:
        folder = job / SEALED / name
        # The same folders that the record's own reader of entries takes.
        if _FOLDER.fullmatch(name) is None or folder.is_symlink() or not folder.is_dir():
            continue
        shown = f"{SEALED}/{name}/{ENTRY_FILE}"
        data = read_small(folder / ENTRY_FILE)
        try:
            if data is None:
                raise NotPlain(f"{shown} cannot be opened, or is too large.")
            found.append(Noted(name, plain_fields(data, shown)))
        except NotPlain as problem:
            found.append(Noted(name, {}, str(problem)))
    return CLOSEOUT in names, tuple(found)
