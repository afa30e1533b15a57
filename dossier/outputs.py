"""Finished bytes into folders on disk, whole or not at all; and the lock of a job.

In: file names and bytes. Out: a folder swapped in whole. Must not know what the files say. A folder swap
takes two renames, so a kill between them leaves the old folder under a known name; the next run puts it
back. A folder that this tool did not write is never replaced.
"""

import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from dossier.errors import CannotWrite, JobTaken

MARKER = ".dossier-wrote-this"
_MARKER_TEXT = b"dossier wrote this folder and replaces it whole; keep nothing of your own in it.\n"


def replace_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put a folder with exactly these files where `folder` is, replacing an earlier one of ours.

    files: names relative to the folder, with forward slashes. Raises CannotWrite, leaving what stood there
    before.
    """
    heal(folder)
    refuse_foreign(folder)
    fresh = _beside(folder, "new")
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        _remove(fresh)
        _write_all(fresh, {**files, MARKER: _MARKER_TEXT})
        _swap(folder, fresh)
    except OSError as problem:
        _remove(fresh)
        heal(folder)
        raise CannotWrite(
            f"{folder} could not be written: {problem.strerror or problem}.",
            "Nothing was changed. Free some space or choose another place with --out FOLDER.",
        ) from problem


def heal(folder: Path) -> None:
    """Put back an earlier folder that a killed run had moved aside, and clear what it left behind."""
    old = _beside(folder, "old")
    try:
        if old.exists() and not folder.exists():
            old.rename(folder)
        _remove(old)
        _remove(_beside(folder, "new"))
    except OSError as problem:
        raise CannotWrite(
            f"What an interrupted run left beside {folder} cannot be cleared: {problem.strerror}.",
            "Give this user the right to write there.",
        ) from problem


def _beside(folder: Path, what: str) -> Path:
    return folder.with_name(f".{folder.name}.dossier-{what}")


def refuse_foreign(folder: Path) -> None:
    """Raise CannotWrite for a folder that holds anything this tool did not write."""
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise CannotWrite(
            f"{folder} is not a folder of its own.", "Choose another place with --out FOLDER."
        )
    if folder.is_dir() and any(folder.iterdir()) and not (folder / MARKER).is_file():
        raise CannotWrite(
            f"{folder} holds files that dossier did not write, and would be replaced whole.",
            "Move them away, or choose another place with --out FOLDER.",
        )


def _write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.mkdir()
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())


def _swap(folder: Path, fresh: Path) -> None:
    old = _beside(folder, "old")
    if folder.exists():
        folder.rename(old)
    fresh.rename(folder)
    _remove(old)


def _remove(folder: Path) -> None:
    if folder.is_dir() and not folder.is_symlink():
        shutil.rmtree(folder)


@contextmanager
def job_lock(work: Path) -> Iterator[None]:
    """Hold a job for one writing run; raises JobTaken where another run holds it.

    The operating system lets go of the lock when a run ends in any way, so none can go stale.
    """
    try:
        work.mkdir(parents=True, exist_ok=True)
        handle = os.open(work / "lock", os.O_RDWR | os.O_CREAT, 0o644)
    except OSError as problem:
        raise CannotWrite(
            f"{work} could not be written: {problem.strerror}.",
            "Give this user the right to write in the job folder.",
        ) from problem
    try:
        _take(handle)
        yield
    finally:
        os.close(handle)


def _take(handle: int) -> None:
    try:
        import fcntl
    except ImportError:  # Windows has no such locks; there the swap alone keeps outputs whole.
        return
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        raise JobTaken(
            "Another run has this job in hand at this moment.", "Wait until it is done."
        ) from None
