"""One file written so that the disk has it, and put in place of another in one step.

In: a path and bytes. Out: the file. Must not know what the bytes say. Errors of the system pass through: who calls
knows what is left as it was.
"""

import errno
import os
from contextlib import suppress
from pathlib import Path


def bytes_of(path: Path) -> bytes | None:
    """Return what a file holds, None where there is none."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def write_synced(path: Path, data: bytes, like: Path | None = None) -> None:
    """Write a file and wait until the disk has it. like: a file whose rights it takes over."""
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if like is not None and like.exists():
        path.chmod(like.stat().st_mode & 0o7777)


def replace(path: Path, data: bytes | None, by_way_of: Path) -> None:
    """Put these bytes in place of a file in one step, its rights kept; None takes the file away.

    by_way_of: where they are written first, on the same disk; what a killed run left there is written over.
    """
    if data is None:
        path.unlink(missing_ok=True)
    else:
        try:
            by_way_of.unlink(missing_ok=True)
            write_synced(by_way_of, data, like=path)
            if by_way_of.read_bytes() != data:
                raise OSError(errno.EIO, "it does not read back as it was written")
            by_way_of.replace(path)
        finally:
            by_way_of.unlink(missing_ok=True)
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Wait until the disk has the names in a folder."""
    # Without this a power cut may keep the later of two renames and lose the earlier.
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
