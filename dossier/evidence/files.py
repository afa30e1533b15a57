"""A path in a listing into bytes, without ever leaving the job folder.

In: the job folder and a path somebody typed. Out: the bytes with their stamp, or the reason there
are none. Must not know what kind of file it is. Every folder on the way is opened by itself, links
refused, so that no link put in place between looking and opening can lead outside.
"""

import errno
import os
import stat
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath

from dossier.values import clip

LEFT_OUT = frozenset(("thumbs.db", "desktop.ini"))
"""What a desktop puts beside pictures by itself, in lower case; so are names with a first dot."""

_HAS_DIR_FD = os.open in os.supports_dir_fd and os.scandir in os.supports_fd
_NO_FOLLOW = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
_FOLDER = os.O_RDONLY | _NO_FOLLOW | getattr(os, "O_DIRECTORY", 0)
# A pipe put in place after it was looked at must not make the run wait for a writer.
_FILE = os.O_RDONLY | _NO_FOLLOW | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0)

_NOTHING_THERE = (errno.ENOENT, errno.ENOTDIR, errno.ENAMETOOLONG)
_NO_TEXT = frozenset(("Cc", "Cs", "Zl", "Zp"))
"""Control characters, lone surrogates and unseen line breaks, by their category in Unicode."""

_OUTSIDE = "File it inside the job folder and list it by its path there."
_LINK = "Put the file itself there in place of the link."


@dataclass(frozen=True)
class Stamp:
    """What a look at a file costs nothing to learn; any change to the file changes it.

    The change time is kept beside the modification time because only the latter can be set by hand.
    """

    size_bytes: int
    mtime_ns: int
    ctime_ns: int
    inode: int


@dataclass(frozen=True)
class Look:
    """What lies at a path: whether anything does, why it cannot be used, and its stamp."""

    exists: bool
    fault: str | None
    stamp: Stamp | None


@dataclass(frozen=True)
class Contents:
    """The bytes of a file (None with a fault), and the stamp they belong to.

    lasting: the file did not change while it was read, so that what is measured may be kept.
    """

    look: Look
    data: bytes | None
    lasting: bool


class _RefusedError(Exception):
    """A path that is not opened; caught in this module and turned into a `Look`.

    barred: whether something may well lie there, and this account may not look.
    """

    def __init__(
        self, exists: bool, fault: str, stamp: Stamp | None = None, barred: bool = False
    ) -> None:
        super().__init__(fault)
        self.look = Look(exists, fault, stamp)
        self.barred = barred


def look_at(job_folder: Path, file: str, limit_bytes: int) -> Look:
    """Return what lies at this path, without opening it. Costs one stat and its folders."""
    try:
        with _parent_of(job_folder, _parts_of(file)) as place:
            return Look(True, None, _stamp_of(place.look(), limit_bytes))
    except _RefusedError as refused:
        return refused.look


def read(job_folder: Path, file: str, limit_bytes: int) -> Contents:
    """Return the bytes at this path, at most `limit_bytes`, or the fault that forbids it."""
    try:
        with _parent_of(job_folder, _parts_of(file)) as place:
            seen = place.look()
            _stamp_of(seen, limit_bytes)
            with os.fdopen(place.open(_FILE), "rb") as opened:
                before = os.fstat(opened.fileno())
                if (before.st_dev, before.st_ino) != (seen.st_dev, seen.st_ino):
                    raise _RefusedError(True, _changing())
                stamp = _stamp_of(before, limit_bytes)
                data = opened.read(limit_bytes + 1)
                after = _stamp_of(os.fstat(opened.fileno()), limit_bytes)
            if len(data) > limit_bytes:
                raise _RefusedError(True, _changing())
            lasting = stamp == after and len(data) == stamp.size_bytes
            return Contents(Look(True, None, stamp), data, lasting)
    except _RefusedError as refused:
        return Contents(refused.look, None, False)
    except OSError as error:
        exists = error.errno not in _NOTHING_THERE
        return Contents(Look(exists, _fault_of(error), None), None, False)


def list_files(job_folder: Path, below: str) -> tuple[str, ...]:
    """Return every file below this folder of the job folder, as sorted paths parted by /.

    Hidden files, hidden folders and what a desktop puts there by itself are left out. A link is
    listed and not followed; so is a folder that cannot be read, lest its files be missed in
    silence. A file that `unnameable_files` shows is left out. Empty where the folder does not exist.
    """
    return tuple(file for file in all_files(job_folder, below) if _nameable(file))


def unnameable_files(job_folder: Path, below: str) -> tuple[str, ...]:
    """Return every file below this folder that no record can name, as a sentence shows it, sorted.

    Its name, or a folder's on the way, holds bytes that are no UTF-8, or a control character. Such a file
    is never opened; it has to be renamed first, and the text says so.
    """
    return tuple(
        f"{printable(file)} (to be renamed: its name is not plain text)"
        for file in all_files(job_folder, below)
        if not _nameable(file)
    )


def printable(name: str) -> str:
    """Return a file's name with each character that is no text as its code: [byte E9], [U+000A]."""
    return "".join(_coded(letter) if _is_no_text(letter) else letter for letter in name)


def _coded(letter: str) -> str:
    code = ord(letter)
    # Python stands in for a byte that is no UTF-8 with a lone surrogate (PEP 383).
    return f"[byte {code - 0xDC00:02X}]" if 0xDC80 <= code <= 0xDCFF else f"[U+{code:04X}]"


def _is_no_text(letter: str) -> bool:
    return unicodedata.category(letter) in _NO_TEXT or letter in "\ufeff\ufffe\uffff"


def _nameable(file: str) -> bool:
    return not any(map(_is_no_text, file))


def all_files(job_folder: Path, below: str) -> tuple[str, ...]:
    """Return what `list_files` does, and also files whose names are no text, as the system has them."""
    try:
        start = _parts_of(below)
    except _RefusedError:
        return ()
    found: list[str] = []
    waiting = [start]
    while waiting:
        parts = waiting.pop()
        try:
            with _parent_of(job_folder, parts) as place:
                if not stat.S_ISDIR(place.look().st_mode):
                    continue
                entries = place.entries()
        except _RefusedError as refused:
            # Where nothing barred the way it went off while the folders were read, or was never there.
            if refused.barred:
                found.append("/".join(parts))
            continue
        except OSError:
            found.append("/".join(parts))
            continue
        for name, is_folder in entries:
            if name.startswith(".") or name.lower() in LEFT_OUT:
                continue
            if is_folder:
                waiting.append((*parts, name))
            else:
                found.append("/".join((*parts, name)))
    return tuple(sorted(found))


def same_path(file: str) -> str:
    """Return the path with doubled and idle parts taken out, to compare listings with folders."""
    return PurePosixPath(file).as_posix()


def _parts_of(file: str) -> tuple[str, ...]:
    path = PurePosixPath(file)
    if not path.parts or "\0" in file or not _can_be_a_name(file):
        raise _RefusedError(False, "names no file. Write its path within the job folder.")
    if path.is_absolute() or PureWindowsPath(file).drive:
        raise _RefusedError(False, f"starts at a disk and not at the job folder. {_OUTSIDE}")
    if "\\" in file:
        raise _RefusedError(
            False, "has a backslash in its path. Part folders by / and rename the file."
        )
    if ".." in path.parts:
        raise _RefusedError(False, f"leads out of a folder by “..”. {_OUTSIDE}")
    return path.parts


def _can_be_a_name(file: str) -> bool:
    try:
        os.fsencode(file)
    except UnicodeEncodeError:
        return False
    return True


@dataclass(frozen=True)
class _Place:
    """A name in an opened folder; on a system without opened folders, a whole path."""

    name: str
    folder_fd: int | None

    def look(self) -> os.stat_result:
        try:
            return os.stat(self.name, dir_fd=self.folder_fd, follow_symlinks=False)
        except OSError as error:
            raise _refused(error) from error

    def open(self, flags: int) -> int:
        return os.open(self.name, flags, dir_fd=self.folder_fd)

    def entries(self) -> list[tuple[str, bool]]:
        """Return each name in this folder and whether it is a folder, links not followed."""
        if self.folder_fd is None:
            with os.scandir(self.name) as found:
                return [(entry.name, entry.is_dir(follow_symlinks=False)) for entry in found]
        opened = self.open(_FOLDER)
        try:
            with os.scandir(opened) as found:
                return [(entry.name, entry.is_dir(follow_symlinks=False)) for entry in found]
        finally:
            os.close(opened)


@contextmanager
def _parent_of(job_folder: Path, parts: tuple[str, ...]) -> Iterator[_Place]:
    if not _HAS_DIR_FD:
        # Without opened folders a link can still slip in between the look and the opening; `read`
        # compares the file's identity before and after, and such systems let only administrators
        # make links.
        path = job_folder
        for part in parts[:-1]:
            path = path / part
            _must_be_folder(_Place(str(path), None).look())
        yield _Place(str(path / parts[-1]), None)
        return
    try:
        folder_fd = os.open(job_folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    except OSError as error:
        raise _refused(error) from error
    try:
        for part in parts[:-1]:
            place = _Place(part, folder_fd)
            _must_be_folder(place.look())
            try:
                inner_fd = place.open(_FOLDER)
            except OSError as error:
                raise _refused(error) from error
            os.close(folder_fd)
            folder_fd = inner_fd
        yield _Place(parts[-1], folder_fd)
    finally:
        os.close(folder_fd)


def _must_be_folder(seen: os.stat_result) -> None:
    if stat.S_ISLNK(seen.st_mode):
        raise _RefusedError(
            False, "lies behind a link to another folder. Put the folder itself there."
        )
    if not stat.S_ISDIR(seen.st_mode):
        raise _RefusedError(False, "is not there: a part of its path is a file and not a folder.")


def _stamp_of(seen: os.stat_result, limit_bytes: int) -> Stamp:
    if stat.S_ISLNK(seen.st_mode):
        raise _RefusedError(True, f"is a link to another place and not a file. {_LINK}")
    if stat.S_ISDIR(seen.st_mode):
        raise _RefusedError(True, "is a folder and not a file. List the files in it one by one.")
    if not stat.S_ISREG(seen.st_mode):
        raise _RefusedError(
            True, "is a pipe or a device and not a file. Put the file itself there."
        )
    stamp = Stamp(seen.st_size, seen.st_mtime_ns, seen.st_ctime_ns, seen.st_ino)
    if seen.st_size > limit_bytes:
        found = (
            f"is {_megabytes(seen.st_size)} MB, above the limit of {_megabytes(limit_bytes)} MB."
        )
        raise _RefusedError(True, f"{found} Save a smaller copy.", stamp)
    return stamp


def _megabytes(size_bytes: int) -> str:
    # Rounded up, so that a file just above the limit never reads as if it were at the limit.
    tenths = -(-size_bytes // 100_000)
    return f"{tenths // 10}.{tenths % 10}"


def _changing() -> str:
    return "was changing while it was read. Wait until the copying has ended and run this again."


def _refused(error: OSError) -> _RefusedError:
    barred = error.errno in (errno.EACCES, errno.EPERM)
    return _RefusedError(False, _fault_of(error), barred=barred)


def _fault_of(error: OSError) -> str:
    """Return what to tell the person about a call the system refused."""
    if error.errno in _NOTHING_THERE:
        return "is not there. Put the file in, or correct its name in the listing."
    if error.errno in (errno.EACCES, errno.EPERM):
        return "cannot be read: this account has no permission. Give it leave to read the file."
    if error.errno == errno.ELOOP:
        return f"is a link to another place and not a file. {_LINK}"
    reason = clip(os.strerror(error.errno)) if error.errno else "no reason given"
    return f"cannot be read ({reason}). Copy it again from where it came from."
