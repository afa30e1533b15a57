"""One BagIt folder (RFC 8493, version 1.0): names and manifests, written and read.

In: named bytes and named files. Out: a folder with `data/`, sha256 manifests and `bag-info.txt`. Must not
know what a job or an entry is. Bytes are hashed as they are copied, and a file that changes meanwhile is
caught; size and time are never trusted.
"""

import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from hashlib import sha256
from pathlib import Path

from dossier.disk.whole import sync_folder
from dossier.errors import CannotWrite

DECLARATION = "bagit.txt"
INFO = "bag-info.txt"
MANIFEST = "manifest-sha256.txt"
TAG_MANIFEST = "tagmanifest-sha256.txt"
PLAIN_NAMES = "sha256sum.txt"
"""Beside the manifest, only where it has to write a name in another way; see `Bag.finish`."""

DATA = "data"
CHUNK_BYTES = 1024 * 1024

READ_ONLY = (
    os.O_RDONLY
    | getattr(os, "O_NOFOLLOW", 0)
    | getattr(os, "O_NONBLOCK", 0)
    | getattr(os, "O_BINARY", 0)
)
"""How a file is opened: no link at its own name is followed, and a pipe does not make the run wait."""

_DECLARED = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_LINE = re.compile(r"(?P<digest>[0-9A-Fa-f]{64})[ \t]+\*?(?P<name>[^ \t].*)", re.S)
_ESCAPED = {"%": "%25", "\r": "%0D", "\n": "%0A"}


def encoded(name: str) -> str:
    """Return a file's name as a manifest writes it: CR, LF and the percent sign, and only those, encoded.

    Source: RFC 8493, section 2.1.3.
    """
    return "".join(_ESCAPED.get(character, character) for character in name)


def decoded(name: str) -> str:
    """Return the name that a manifest means; any other percent sign stands for itself."""
    return re.sub(
        "%(25|0[Dd]|0[Aa])", lambda match: chr(int(match[1], 16)), name, flags=re.IGNORECASE
    )


def manifest_text(digests: Mapping[str, str]) -> str:
    """Return the lines of a manifest, sorted by name. digests: name → sha256 in hex."""
    return "".join(f"{digest}  {encoded(name)}\n" for name, digest in sorted(digests.items()))


def manifest_digests(text: str) -> tuple[dict[str, str], tuple[int, ...]]:
    """Return what a manifest lists, name → sha256 in small letters, and the lines that are none of its form.

    A name that is listed again, with another digest, is a line that is not of its form.
    """
    digests: dict[str, str] = {}
    bad: list[int] = []
    # Only LF and CR end a line (RFC 8493, section 2.1.3); a name may hold what else Python takes for one.
    for number, line in enumerate(re.split("\r\n|\n|\r", text), start=1):
        if not line:
            continue
        match = _LINE.fullmatch(line)
        if match is None:
            bad.append(number)
            continue
        name, digest = decoded(match["name"]), match["digest"].lower()
        if digests.setdefault(name, digest) != digest:
            bad.append(number)
    return digests, tuple(bad)


def info_text(info: Sequence[tuple[str, str]]) -> str:
    """Return `bag-info.txt`; a value over several lines becomes one (RFC 8493, section 2.2.2)."""
    return "".join(f"{label}: {' '.join(value.split())}\n" for label, value in info)


def info_values(text: str, label: str) -> tuple[str, ...]:
    """Return every value of a label in `bag-info.txt`, folded lines joined."""
    joined = re.sub(r"(?:\r\n|\n|\r)[ \t]+", " ", text)
    found = []
    for line in re.split("\r\n|\n|\r", joined):
        name, colon, value = line.partition(":")
        if colon and name.strip().lower() == label.lower():
            found.append(value.strip())
    return tuple(found)


class Bag:
    """A bag that is being written into a folder that is not there yet.

    Nothing reads it until `finish`; whoever calls gives the folder its true name after that.
    """

    def __init__(self, folder: Path) -> None:
        """Make the folder. Raises OSError where it cannot be made or is there."""
        self.folder = folder
        self.digests: dict[str, str] = {}
        self.size_bytes = 0
        folder.mkdir(parents=True)
        (folder / DATA).mkdir()

    def add_bytes(self, name: str, data: bytes) -> None:
        """Write one file of the payload. name: below `data/`, with forward slashes."""
        target = self._place(name)
        with target.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        self._note(name, sha256(data).hexdigest(), len(data))

    def add_file(self, name: str, source: Path) -> None:
        """Copy one file into the payload, hashing the bytes on their way.

        Raises CannotWrite where the file is a link or no ordinary file, or changes while it is copied.
        """
        target = self._place(name)
        try:
            handle = os.open(source, READ_ONLY)
        except OSError as problem:
            raise CannotWrite(
                f"{source} cannot be read: {problem.strerror}.",
                "A sealed folder holds the files themselves: put the file there in place of a link, and give "
                "this user the right to read it.",
            ) from problem
        with os.fdopen(handle, "rb") as reading, target.open("xb") as writing:
            before = _state(reading.fileno())
            digest, length = sha256(), 0
            while chunk := reading.read(CHUNK_BYTES):
                digest.update(chunk)
                writing.write(chunk)
                length += len(chunk)
            writing.flush()
            os.fsync(writing.fileno())
            self._refuse_changed(source, digest.hexdigest(), before, _state(reading.fileno()))
        self._note(name, digest.hexdigest(), length)

    def _refuse_changed(
        self, source: Path, digest: str, before: tuple[int, ...], after: tuple[int, ...]
    ) -> None:
        # The time of a file can be set back, so the bytes are read once more where it matters; that the
        # state moved is enough to say so at once.
        if before != after or _digest_of(source) != digest:
            raise CannotWrite(
                f"{source} changed while it was copied.",
                "Nothing was sealed. Close the program that writes it, and run this again.",
            )

    def finish(self, info: Sequence[tuple[str, str]]) -> str:
        """Write the manifests and `bag-info.txt`; return the sha256 of the tag manifest.

        info: label and value, in the order in which they are to stand there. Where the manifest has to
        write a name in another way than it is, `sha256sum.txt` lists all files in the way of that program.
        """
        payload = {f"{DATA}/{name}": digest for name, digest in self.digests.items()}
        size = ("Payload-Oxum", f"{self.size_bytes}.{len(payload)}")
        tags = {
            DECLARATION: _DECLARED,
            INFO: info_text([*info, size]).encode(),
            MANIFEST: manifest_text(payload).encode(),
        }
        if any(encoded(name) != name for name in payload):
            tags[PLAIN_NAMES] = _sha256sum_text(payload).encode()
        digests = {name: sha256(data).hexdigest() for name, data in tags.items()}
        last = manifest_text(digests).encode()
        for name, data in {**tags, TAG_MANIFEST: last}.items():
            with (self.folder / name).open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
        for folder in [path for path in self.folder.rglob("*") if path.is_dir()]:
            sync_folder(folder)
        sync_folder(self.folder)
        return sha256(last).hexdigest()

    def _place(self, name: str) -> Path:
        parts = name.split("/")
        if any(part in ("", ".", "..") for part in parts) or "\0" in name or name in self.digests:
            raise CannotWrite(f"“{name}” is no name for a file in a bag.", "Rename the file.")
        try:
            name.encode("utf-8")
        except UnicodeEncodeError:
            raise CannotWrite(
                f"The name of {name!r} is not text in UTF-8, and a manifest could not list it.",
                "Rename the file.",
            ) from None
        target = self.folder / DATA / name
        target.parent.mkdir(parents=True, exist_ok=True)
        return target

    def _note(self, name: str, digest: str, length: int) -> None:
        self.digests[name] = digest
        self.size_bytes += length


def _state(handle: int) -> tuple[int, ...]:
    status = os.fstat(handle)
    return (status.st_size, status.st_mtime_ns, status.st_ctime_ns, status.st_nlink)


def _digest_of(path: Path) -> str:
    digest = sha256()
    with path.open("rb") as file:
        while chunk := file.read(CHUNK_BYTES):
            digest.update(chunk)
    return digest.hexdigest()


def _sha256sum_text(digests: Mapping[str, str]) -> str:
    """Return the lines that `sha256sum` of GNU coreutils writes (manual, section on md5sum's output)."""
    return "".join(_sha256sum_lines(sorted(digests.items())))


def _sha256sum_lines(digests: Iterable[tuple[str, str]]) -> Iterator[str]:
    for name, digest in digests:
        plain = name.replace("\\", "\\\\").replace("\n", "\\n").replace("\r", "\\r")
        # A backslash before the digest says that the name is written in this way.
        mark = "\\" if plain != name else ""
        yield f"{mark}{digest}  {plain}\n"
