"""Finished bytes into folders on disk, whole or not at all; and the lock of a job.

In: file names and bytes. Out: folders swapped in whole. Must not know what the files say. A folder swap
takes two renames, so a kill between them leaves the old folder under a known name; the next run puts it
back. A folder that this tool did not write, or wrote for another job, is never replaced.
"""

import errno
import os
import shutil
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from dossier.errors import CannotWrite, JobTaken

OUT, WORK = "out", ".dossier"
"""Names in a job folder: the built documents; cache, lock and temporary files."""

MARKER = ".dossier-wrote-this"
_MARKER_TEXT = (
    "dossier wrote this folder and replaces it whole; keep nothing of your own in it.\njob: {job}\n"
)
_MOST_MARKER_BYTES = 100_000
_MOST_HOLDER_BYTES = 1000
# The files by which a BagIt folder is known (RFC 8493, sections 2.1.1 and 2.2.1).
_OF_A_BAG = ("bagit.txt", "tagmanifest-sha256.txt")
_BETWEEN_TRIES_S = 0.1
_RECORD = "job.yaml"
_ELSEWHERE = "Choose another place with --out FOLDER."


def replace_folders(job: str, folders: Mapping[Path, Mapping[str, bytes]]) -> None:
    """Put folders with exactly these files in their places, in this order, all of them or none.

    job: its number, kept in each folder's marker. folders: the files of each, by names relative to it, with
    forward slashes. Every folder is written beside its place before the first is swapped in. Raises
    CannotWrite, leaving what stood there before.
    """
    for folder in folders:
        heal(folder)
        refuse_foreign(folder)
    marker = _MARKER_TEXT.format(job=_in_one_line(job)).encode()
    swapped: list[Path] = []
    folder = next(iter(folders))
    try:
        for folder, files in folders.items():
            folder.parent.mkdir(parents=True, exist_ok=True)
            _write_all(_beside(folder, "new"), {**files, MARKER: marker})
        for folder in folders:
            _swap_in(folder)
            swapped.append(folder)
    except OSError as problem:
        _put_back(swapped)
        _tidy(folders, "new")
        raise CannotWrite(
            f"{folder} could not be written: {problem.strerror or problem}.",
            "Nothing was changed. Free some space, or give this user the right to write there.",
        ) from problem
    _tidy(folders, "old")


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


def refuse_foreign(folder: Path, remedy: str = _ELSEWHERE, job: str | None = None) -> None:
    """Raise CannotWrite for a folder that holds anything this tool did not write.

    remedy: what to do about it. job: the number that the folder's marker must name as well, None where
    the folder's place already says whose it is.
    """
    try:
        if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
            raise CannotWrite(f"{folder} is not a folder of its own.", remedy)
        if not folder.is_dir() or not any(folder.iterdir()):
            return
        marker = folder / MARKER
        if marker.is_symlink() or not marker.is_file():
            raise CannotWrite(
                f"{folder} holds files that dossier did not write, and would be replaced whole.",
                f"Move them away. {remedy}" if remedy == _ELSEWHERE else remedy,
            )
        named = None if job is None else _job_in(marker)
    except OSError as problem:
        raise CannotWrite(f"{folder} cannot be looked into: {problem.strerror}.", remedy) from None
    if job is not None and named != _in_one_line(job):
        whose = f"the papers of job {named}" if named else "papers that name no job"
        raise CannotWrite(f"{folder} holds {whose}, and this is job {_in_one_line(job)}.", remedy)


def refuse_inside_a_job(out: Path, own: Path) -> None:
    """Raise CannotWrite for an output folder that lies in a job folder, unless it is `own`.

    own: the one place in its job folder that is written anew anyway. Both may be relative; links on the
    way are followed.
    """
    try:
        place = out.resolve()
        if place == own.resolve():
            return
        home = next(
            (above for above in (place, *place.parents) if os.path.lexists(above / _RECORD)), None
        )
    except (OSError, RuntimeError) as problem:
        # Path.resolve raises RuntimeError for links that lead round in a circle.
        raise CannotWrite(f"{out} cannot be looked at: {problem}.", _ELSEWHERE) from None
    if home is not None:
        raise CannotWrite(
            f"{out} lies in the job folder {home}, whose own files would be mixed with what is built.",
            "Leave --out away to write into the job's own out/, or name a folder outside every job.",
        )


def _in_one_line(text: str) -> str:
    return " ".join(text.split())


def _job_in(marker: Path) -> str | None:
    with marker.open("rb") as file:
        text = file.read(_MOST_MARKER_BYTES).decode("utf-8", "replace")
    named = [line.removeprefix("job: ") for line in text.splitlines() if line.startswith("job: ")]
    return named[0] if named else None


def _beside(folder: Path, what: str) -> Path:
    return folder.with_name(f".{folder.name}.dossier-{what}")


def _write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.mkdir()
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())


def _swap_in(folder: Path) -> None:
    """Put the new folder in its place; what stood there waits beside it until all are swapped."""
    old = _beside(folder, "old")
    if folder.exists():
        folder.rename(old)
    try:
        _beside(folder, "new").rename(folder)
    except OSError:
        if old.exists():
            old.rename(folder)
        raise


def _put_back(swapped: list[Path]) -> None:
    """Undo these swaps. What cannot be put back is left beside its place, and whole."""
    for folder in reversed(swapped):
        old = _beside(folder, "old")
        try:
            folder.rename(_beside(folder, "new"))
            if old.exists():
                old.rename(folder)
        except OSError:
            continue


def _tidy(folders: Mapping[Path, object], what: str) -> None:
    # What cannot be cleared now is cleared by the next run; the folders themselves are in their places.
    for folder in folders:
        shutil.rmtree(_beside(folder, what), ignore_errors=True)


def _remove(folder: Path) -> None:
    if folder.is_dir() and not folder.is_symlink():
        shutil.rmtree(folder)


def sealed_around(path: Path) -> Path | None:
    """Return the sealed folder in which a path lies, None where it lies in none."""
    place = path.resolve()
    return next(
        (
            above
            for above in place.parents
            if all(os.path.lexists(above / name) for name in _OF_A_BAG)
        ),
        None,
    )


def refuse_link(work: Path) -> None:
    """Raise CannotWrite where the folder for cache and lock is a link: what it leads to is not ours."""
    if work.is_symlink():
        raise CannotWrite(
            f"{work} is a link, and what is kept there is never written through a link.",
            "Take the link away; the folder is made again where it is needed.",
        )


def refuse_there(path: Path) -> None:
    """Raise CannotWrite for a place where something stands already."""
    if os.path.lexists(path):
        raise CannotWrite(f"{path} is there already.", "Name a new file, or take that one away.")


def write_new_file(path: Path, data: bytes) -> None:
    """Write one file that is not there yet, whole or not at all. Raises CannotWrite."""
    fresh = path.with_name(f".{path.name}.dossier-new")
    try:
        refuse_there(path)
        try:
            fresh.unlink(missing_ok=True)
            with fresh.open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            # A link refuses a name that somebody has taken meanwhile; a rename would replace it.
            os.link(fresh, path)
        finally:
            fresh.unlink(missing_ok=True)
    except FileExistsError:
        raise CannotWrite(
            f"{path} is there already.", "Name a new file, or take that one away."
        ) from None
    except OSError as problem:
        raise CannotWrite(
            f"{path} could not be written: {problem.strerror or problem}.",
            "Free some space, name another place, or give this user the right to write there.",
        ) from problem


def _no_news(sentence: str) -> None:
    """Say nothing."""


@dataclass(frozen=True)
class Holder:
    """Who takes a job in hand, as others are told, and how long to wait for one who has it.

    since: the moment, as printed. said: is given one sentence where there is a wait. Empty texts are left out.
    """

    user: str = ""
    host: str = ""
    command: str = ""
    since: str = ""
    wait_s: float = 0.0
    said: Callable[[str], None] = _no_news


@contextmanager
def job_lock(work: Path, holder: Holder | None = None) -> Iterator[None]:
    """Hold a job for one writing run; raises JobTaken where another run holds it, after the holder's wait.

    The operating system lets go of the lock when a run ends in any way, so none can go stale; what the file
    says of an earlier holder is written over. It holds between the users of one machine, and over a
    network only as far as the shared disk passes such locks on.
    """
    holder = holder or Holder()
    bag = sealed_around(work)
    if bag is not None:
        raise CannotWrite(
            f"{work.parent} lies in the sealed folder {bag}, which is not changed any more.",
            "Copy its data/ to a new place in an office folder, and work on the copy.",
        )
    refuse_link(work)
    try:
        work.mkdir(parents=True, exist_ok=True)
        handle = os.open(
            work / "lock", os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o644
        )
    except OSError as problem:
        raise CannotWrite(
            f"{work} could not be written: {problem.strerror}.",
            "Give this user the right to write in the job folder.",
        ) from problem
    try:
        _take(handle, holder)
        # What others are told is a courtesy: a full disk must not keep anybody from the lock itself.
        with suppress(OSError):
            _write_holder(handle, _holder_text(holder))
        try:
            yield
        finally:
            with suppress(OSError):
                os.ftruncate(handle, 0)
    finally:
        os.close(handle)


def _take(handle: int, holder: Holder) -> None:
    try:
        import fcntl
    except ImportError:  # Windows has no such locks; there the swap alone keeps outputs whole.
        return
    tries = max(0, round(holder.wait_s / _BETWEEN_TRIES_S))
    for left in range(tries, -1, -1):
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return
        except OSError as problem:
            if problem.errno not in (errno.EWOULDBLOCK, errno.EACCES):
                raise CannotWrite(
                    f"The job cannot be locked: {problem.strerror}.",
                    "Work on a disk that knows file locks, or ask whoever keeps this one.",
                ) from problem
            who = _held_by(handle)
            if not left:
                raise JobTaken(
                    f"{who} has this job in hand at this moment.",
                    "Wait until it is done, or give --wait SECONDS.",
                ) from None
            if left == tries:
                holder.said(f"{who} has this job in hand; waiting for up to {holder.wait_s:g} s.")
            time.sleep(_BETWEEN_TRIES_S)


def _holder_text(holder: Holder) -> str:
    """Return who has the job, as one line."""
    where = f" on {holder.host}" if holder.host else ""
    what = f": {holder.command}" if holder.command else ""
    since = f", since {holder.since}" if holder.since else ""
    return _in_one_line(
        f"{holder.user or 'Another run'}{where} (process {os.getpid()}){what}{since}"
    )


def _write_holder(handle: int, text: str) -> None:
    os.ftruncate(handle, 0)
    os.lseek(handle, 0, os.SEEK_SET)
    os.write(handle, text.encode("utf-8", "replace")[:_MOST_HOLDER_BYTES])


def _held_by(handle: int) -> str:
    """Return who has the lock, as the file says; it may be empty for a moment, or hold anything."""
    try:
        os.lseek(handle, 0, os.SEEK_SET)
        text = os.read(handle, _MOST_HOLDER_BYTES).decode("utf-8", "replace")
    except OSError:
        text = ""
    seen = "".join(letter if letter.isprintable() else " " for letter in text)
    return _in_one_line(seen) or "Another run"
