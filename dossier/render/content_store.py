"""Finished pieces kept by content, so that a photo is reduced and a document laid out once and not once a run.

In: a folder for keeping, keys, bytes. Out: the same bytes on a later run, or nothing. Must not know how a piece is
made. The folder is a convenience: a file in it that is damaged, not ours, or cannot be read is passed over, and
one that cannot be written is left. Each file is named for what it was made from and for its own bytes, so that a
changed one is found out.
"""

import contextlib
import hashlib
import os
import re
import secrets
from dataclasses import dataclass, field
from pathlib import Path

LIMIT_BYTES = 100_000_000
"""Most that is kept for one job in one folder: about 500 photos at two widths."""

_NAME = re.compile(r"([0-9a-f]{32})-([0-9a-f]{32})\.(?:jpg|kept)")


@dataclass
class ContentStore:
    """The kept pieces of one job. folder: None where nothing is kept. limit_bytes: see `LIMIT_BYTES`. ending: of
    the files, “.jpg” or “.kept”."""

    folder: Path | None
    limit_bytes: int = LIMIT_BYTES
    ending: str = ".jpg"
    _names: dict[str, str] = field(default_factory=dict)
    _used: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        """Look once which pieces there are."""
        for name in _listed(self.folder):
            if (match := _NAME.fullmatch(name)) is not None:
                self._names[match[1]] = name

    def has(self, key: str) -> bool:
        """Return whether a piece is kept under this key; whether it is whole shows when it is taken."""
        return key in self._names

    def take(self, key: str) -> bytes | None:
        """Return the piece kept under this key; None where there is none that is whole."""
        name = self._names.get(key)
        if name is None or self.folder is None:
            return None
        try:
            data = (self.folder / name).read_bytes()
        except OSError:
            data = b""
        if name != self._name(key, data):
            # A changed file is found by its own name. It is made again under the name it ought to have.
            del self._names[key]
            return None
        self._used.add(name)
        return data

    def keep(self, key: str, data: bytes) -> bool:
        """Keep a piece under this key, whole or not at all; return whether it is now kept."""
        if self.folder is None:
            return False
        name = self._name(key, data)
        if self.folder.is_symlink():
            return False
        temporary = self.folder / f"{secrets.token_hex(8)}.tmp"
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with temporary.open("xb") as file:
                file.write(data)
            os.replace(temporary, self.folder / name)  # noqa: PTH105 - the name says what it does.
        except OSError:
            with contextlib.suppress(OSError):
                temporary.unlink()
            return False
        before = self._names.get(key, name)
        self._names[key] = name
        self._used.add(name)
        if before != name:
            with contextlib.suppress(OSError):
                (self.folder / before).unlink()
        return True

    def _name(self, key: str, data: bytes) -> str:
        return f"{key}-{hashlib.sha256(data).hexdigest()[:32]}{self.ending}"

    def tidy(self) -> None:
        """Take away what a killed run left half, and the longest kept pieces above the limit.

        Pieces used in this run go last.
        """
        if self.folder is None:
            return
        folder = self.folder
        kept: list[tuple[bool, int, str, int]] = []
        for name in _listed(folder):
            path = folder / name
            with contextlib.suppress(OSError):
                if name.endswith(".tmp"):
                    path.unlink()
                elif _NAME.fullmatch(name):
                    status = path.stat()
                    kept.append((name in self._used, status.st_mtime_ns, name, status.st_size))
        left_bytes = sum(size_bytes for *_, size_bytes in kept)
        for _, _, name, size_bytes in sorted(kept):
            if left_bytes <= self.limit_bytes:
                break
            with contextlib.suppress(OSError):
                (folder / name).unlink()
            left_bytes -= size_bytes


def _listed(folder: Path | None) -> list[str]:
    if folder is None:
        return []
    try:
        with os.scandir(folder) as entries:
            return sorted(entry.name for entry in entries if entry.is_file(follow_symlinks=False))
    except OSError:
        return []
