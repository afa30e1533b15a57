"""Files of an office and of its jobs by their digests, each different one read into its model once a run.

In: the office folder, job folders. Out: bytes, digests, models. Must not judge. A sheet that cannot be read is
as good as none. This module loads no model by itself: whether a card still stands is told by digests alone.
"""

import os
import stat
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

OFFICE = "office/"
"""How places in the office folder begin; any other place is in the job folder."""

CATALOGUES = "*.catalogue.yaml"
"""The last part of a place that stands for the names of all catalogues in a folder."""

MOST_BYTES = 2 * 1024 * 1024
"""As the record's own reader has it; more is read of no file here."""


@dataclass
class Sheets:
    """The files of one office, and those of its jobs; what lies in the office is looked at once a run."""

    office: Path
    models: dict[Any, Any] = field(default_factory=dict)
    _of_office: dict[str, tuple[bytes | None, str]] = field(default_factory=dict)

    def look(self, job: Path | str, place: str) -> tuple[bytes | None, str]:
        """Return what lies at a place, and its digest; None and blank for nothing that can be read."""
        if not place.startswith(OFFICE):
            return _look(f"{job}/{place}")
        if place not in self._of_office:
            self._of_office[place] = _look(f"{self.office}/{place.removeprefix(OFFICE)}")
        return self._of_office[place]


def _look(path: str) -> tuple[bytes | None, str]:
    if not path.endswith(CATALOGUES):
        data = read_small(path)
    else:
        ending = CATALOGUES.removeprefix("*")
        names = names_in(path.removesuffix(CATALOGUES))
        data = "\n".join(name for name in names if name.endswith(ending)).encode(
            "utf-8", "surrogateescape"
        )
    return data, digest(data)


def digest(data: bytes | None) -> str:
    """Return the digest of a file, blank where there is none."""
    return "" if data is None else sha256(data).hexdigest()


def names_in(folder: str) -> list[str]:
    """Return the names in a folder, sorted; none where it cannot be looked into."""
    try:
        return sorted(os.listdir(folder))  # noqa: PTH208
    except OSError:
        return []


def read_small(path: Path | str, most: int = MOST_BYTES, flags: int = 0) -> bytes | None:
    """Return the bytes of an ordinary file of at most so many; None for any other."""
    try:
        # Opened so, a named pipe under this name does not hang the run.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | flags)
    except (OSError, ValueError):
        # A name of a sheet may be longer than the disk takes, or no text at all.
        return None
    try:
        status = os.fstat(handle)
        if not stat.S_ISREG(status.st_mode) or status.st_size > most:
            return None
        with os.fdopen(handle, "rb", closefd=False) as file:
            data = file.read(most + 1)
    except OSError:
        return None
    finally:
        os.close(handle)
    return data if len(data) <= most else None
