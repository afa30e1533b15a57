"""The members of a zip that may be gathered, and their bytes, without anything being unpacked by name.

In: a zip file somebody sent. Out: names that are safe to show, bytes, and a sentence for each member
that is refused. Must not know what a member is for. A member's name is never used as a path.
"""

import stat
import struct
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

MOST_FILES = 5_000
"""Files looked at in one run, from all sources together."""

MOST_BYTES = 100_000_000
"""Bytes of one file, as `dossier.evidence` reads them."""

MOST_BYTES_IN_ALL = 4_000_000_000
"""Bytes of all files of one run together, unpacked."""

MOST_RATIO = 200
"""Unpacked bytes for each packed one. Deflate itself ends near 1,030 to 1 (zlib.net, technical
details); photos and papers are packed already and stay near 1 to 1."""

MOST_DIRECTORY_BYTES = 800 * MOST_FILES
"""Bytes of a zip's own list of members, read before any member is. 800 a member leaves room for a
long name; a longer list is of more members than are read."""

_END_BYTES = 22
_END_MARK = b"PK\x05\x06"
_MOST_COMMENT_BYTES = 65_535
_DESKTOP_FOLDER = "__MACOSX"


@dataclass(frozen=True)
class Refused:
    """One file that is not gathered: its name as shown, and why, as the end of a sentence."""

    name: str
    why: str


class NotReadable(Exception):
    """A file that cannot be read after all; says: why, as the end of a sentence."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


def is_zip(path: Path) -> bool:
    """Return whether this is a zip by name and by content; a text document of an office is none."""
    if path.suffix.lower() != ".zip":
        return False
    with path.open("rb") as file:
        return file.read(4) in (b"PK\x03\x04", _END_MARK)


def open_zip(path: Path) -> zipfile.ZipFile:
    """Return the opened zip; raises NotReadable where its list of members is damaged or too long."""
    try:
        _refuse_long_directory(path)
        return zipfile.ZipFile(path)
    except (zipfile.BadZipFile, OSError, ValueError, struct.error, NotImplementedError) as problem:
        raise NotReadable(f"is a zip that cannot be read ({problem}). Ask for it again.") from None


def _refuse_long_directory(path: Path) -> None:
    """Raise NotReadable before a list of members too long to hold is read.

    Source of the form: APPNOTE.TXT 6.3.10, section 4.3.16, end of central directory record.
    """
    size = path.stat().st_size
    with path.open("rb") as file:
        file.seek(max(0, size - _END_BYTES - _MOST_COMMENT_BYTES))
        tail = file.read()
    at = tail.rfind(_END_MARK)
    if at < 0 or at + _END_BYTES > len(tail):
        raise NotReadable("is a zip cut short: its end is not there. Ask for it again.")
    (directory_bytes,) = struct.unpack_from("<L", tail, at + 12)
    # The largest number stands for “see the longer record”, which only zips above every cap need.
    if directory_bytes > MOST_DIRECTORY_BYTES:
        raise NotReadable(
            f"lists more members than the {MOST_FILES:,} that are read. Send it in parts."
        )


def members(opened: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    """Yield each member by its name and the reason it is refused, empty where it may be read.

    Folders, hidden files and what a desktop adds by itself are passed over. Sizes are as the zip
    claims them; `read_member` holds the zip to its claim.
    """
    seen: set[str] = set()
    for info in opened.infolist():
        # `filename` has been mended by the library; the name as sent is the one to judge.
        name = info.orig_filename
        parts = name.split("/")
        why = _why_refused(info, seen)
        hidden = any(part.startswith(".") for part in parts) or _DESKTOP_FOLDER in parts
        if not info.is_dir() and (why or not hidden):
            yield name, why
            seen.add(name)


def _why_refused(info: zipfile.ZipInfo, seen: set[str]) -> str:
    name = info.orig_filename
    parts = name.split("/")
    mode = info.external_attr >> 16
    if name.startswith("/") or "\\" in name or (len(name) > 1 and name[1] == ":"):
        return "has a path that starts at a disk."
    if any(part in ("", ".", "..") for part in parts):
        return "has a path that leads out of the zip."
    if stat.S_ISLNK(mode):
        return "is a link and not a file."
    if stat.S_IFMT(mode) not in (0, stat.S_IFREG):
        return "is a device or a pipe and not a file."
    if name in seen:
        return "stands in the zip twice under one name; the first is read."
    if info.flag_bits & 0x1:
        return "is locked by a password. Unpack it and gather the folder."
    if name.lower().endswith(".zip"):
        return "is a zip inside a zip. Unpack it and gather the folder."
    if info.file_size > MOST_BYTES:
        return f"is above the limit of {MOST_BYTES // 1_000_000} MB."
    if info.file_size > MOST_RATIO * max(1, info.compress_size):
        return f"unpacks to more than {MOST_RATIO} times its size, as no photo or paper does."
    return ""


def read_member(opened: zipfile.ZipFile, name: str) -> bytes:
    """Return the bytes of a member that `members` let through; raises NotReadable."""
    try:
        info = next(info for info in opened.infolist() if info.orig_filename == name)
        with opened.open(info) as file:
            data = file.read(MOST_BYTES + 1)
    except StopIteration:
        raise NotReadable("is no longer in the zip.") from None
    except (zipfile.BadZipFile, OSError, EOFError, zlib.error, ValueError) as problem:
        raise NotReadable(f"is damaged in the zip ({problem}). Ask for it again.") from None
    except (NotImplementedError, RuntimeError) as problem:
        raise NotReadable(f"cannot be unpacked here ({problem}). Unpack it first.") from None
    if len(data) > MOST_BYTES or len(data) > MOST_RATIO * max(1, info.compress_size):
        raise NotReadable("unpacks to more than the zip claims.")
    if data.startswith(b"PK\x03\x04"):
        raise NotReadable("is a zip inside a zip, or a file of that form.")
    return data
