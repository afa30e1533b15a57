"""Folders, zips and single files into one list of files with what each says about itself.

In: paths that somebody named. Out: a `Heap`: files with their facts, and every file that was passed by
with the reason. Nothing in a source is changed, no link in a folder is followed. Must not know the job.
"""

import tempfile
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from dossier.errors import UnreadableInput
from dossier.evidence import PhotoFact, measure
from dossier.evidence.files import LEFT_OUT, all_files, read
from dossier.gather.zips import (
    MOST_BYTES,
    MOST_BYTES_IN_ALL,
    MOST_FILES,
    NotReadable,
    Refused,
    is_zip,
    members,
    open_zip,
    read_member,
)
from dossier.reading.model import is_not_applicable
from dossier.values import Progress, clip, silent

PICTURES = frozenset({"jpeg", "png", "heic", "tiff", "webp"})
"""Kinds of file that can be a photo, by content, in the words of `dossier.evidence`."""

GATHERED = PICTURES | {"pdf"}


@dataclass(frozen=True)
class HeapFile:
    """One file of a heap.

    name: as shown, unique in its heap, beginning with its folder or zip. home: the folder that
    `inside` is a path in, or the zip that it is a member of.
    """

    name: str
    home: Path
    inside: str
    in_zip: bool


@dataclass(frozen=True)
class Seen:
    """One file and what it says about itself. sha256: of its bytes, always there."""

    file: HeapFile
    fact: PhotoFact
    sha256: str


@dataclass(frozen=True)
class Heap:
    """What the sources hold, in the order in which it was found, and what was passed by."""

    files: tuple[Seen, ...]
    refused: tuple[Refused, ...]


class Opener:
    """Reads files of a heap, keeping one zip open at a time; a context manager closes it."""

    def __init__(self) -> None:
        """Hold nothing open yet."""
        self._path: Path | None = None
        self._zip: zipfile.ZipFile | None = None

    def read(self, file: HeapFile) -> bytes:
        """Return the bytes of a file; raises NotReadable."""
        if file.in_zip:
            return read_member(self.zip(file.home), file.inside)
        contents = read(file.home, file.inside, MOST_BYTES)
        if contents.data is None:
            raise NotReadable(contents.look.fault or "cannot be read.")
        return contents.data

    def zip(self, path: Path) -> zipfile.ZipFile:
        """Return this zip, opened; raises NotReadable."""
        if self._zip is None or self._path != path:
            self.close()
            self._zip, self._path = open_zip(path), path
        return self._zip

    def close(self) -> None:
        """Close the zip that is open, if one is."""
        if self._zip is not None:
            self._zip.close()
        self._zip = self._path = None


@contextmanager
def opener() -> Iterator[Opener]:
    """Hold an `Opener` while the block runs."""
    made = Opener()
    try:
        yield made
    finally:
        made.close()


def read_heap(
    sources: Sequence[Path], opened: Opener, scratch: Path, progress: Progress = silent
) -> Heap:
    """Return what these folders, zips and files hold, every file measured.

    scratch: a folder for one member of a zip at a time while it is measured; it is left empty.
    Raises UnreadableInput where a source itself is not there.
    """
    listed: list[HeapFile] = []
    refused: list[Refused] = []
    used: set[str] = set()
    for source in sources:
        for file in _files_of(source, used):
            problem = _why_unprintable(file.name)
            if problem:
                refused.append(Refused(clip(ascii(file.name)), problem))
            elif not file.in_zip and file.name.lower().endswith(".zip") and _zip_at(file):
                _list_zip(file, opened, listed, refused)
            else:
                listed.append(file)
    over = len(listed) - MOST_FILES
    if over > 0:
        why = f"and {over - 1:,} after it are beyond the {MOST_FILES:,} files of one run."
        refused.append(Refused(listed[MOST_FILES].name, why))
        listed = listed[:MOST_FILES]
    return _measured(listed, refused, opened, scratch, progress)


def _files_of(source: Path, used: set[str]) -> Iterator[HeapFile]:
    """Yield the files a source holds; a zip as one file."""
    if not source.exists():
        raise UnreadableInput(
            f"The source {source} is not there.", "Name a folder, a zip or a file that is."
        )
    # The person named the source, so a link in its place is meant; links inside it are not followed.
    path = source.resolve()
    label, number = path.name or "disk", 1
    while label in used:
        number += 1
        label = f"{path.name} ({number})"
    used.add(label)
    if not path.is_dir():
        yield HeapFile(label, path.parent, path.name, in_zip=False)
        return
    for inside in all_files(path.parent, path.name):
        below = inside[len(path.name) :]
        yield HeapFile(label + below, path.parent, inside, in_zip=False)


def _why_unprintable(name: str) -> str:
    if not name.isprintable():
        return "has a character in its name that cannot be printed. Rename it."
    try:
        name.encode()
    except UnicodeEncodeError:
        return "has a name that is not text. Rename it."
    if name.strip() != name or is_not_applicable(name):
        return "has a name that a record would not keep as it is. Rename it."
    return ""


def _zip_at(file: HeapFile) -> bool:
    path = file.home / file.inside
    # A link among the files of a folder is not followed, whatever it leads to.
    return path.is_file() and not path.is_symlink() and is_zip(path)


def _list_zip(
    file: HeapFile, opened: Opener, listed: list[HeapFile], refused: list[Refused]
) -> None:
    path = file.home / file.inside
    try:
        for name, why in members(opened.zip(path)):
            shown = f"{file.name}/{name}"
            if problem := why or _why_unprintable(shown):
                # A name that may mean harm is shown in a form that cannot steer a terminal.
                refused.append(Refused(shown if shown.isprintable() else ascii(shown), problem))
            elif name.rpartition("/")[2].lower() not in LEFT_OUT:
                listed.append(HeapFile(shown, path, name, in_zip=True))
    except NotReadable as problem:
        refused.append(Refused(file.name, problem.why))


def _measured(
    listed: Sequence[HeapFile],
    refused: list[Refused],
    opened: Opener,
    scratch: Path,
    progress: Progress,
) -> Heap:
    facts: dict[str, PhotoFact] = {}
    done = 0

    def show(what: str, *_: int) -> None:
        nonlocal done
        done += 1
        progress(what, done, len(listed))

    homes = dict.fromkeys(file.home for file in listed if not file.in_zip)
    for home in homes:
        here = {file.inside: file for file in listed if file.home == home and not file.in_zip}
        measured = measure(home, list(here), [], progress=show)
        facts.update({here[inside].name: fact for inside, fact in measured.photos.items()})
    total, files = 0, []
    for file in listed:
        if file.in_zip:
            try:
                facts[file.name] = _measure_member(file, opened, scratch)
            except NotReadable as problem:
                refused.append(Refused(file.name, problem.why))
            show(file.name)
        fact = facts.get(file.name)
        if fact is None:
            continue
        total += fact.size_bytes or 0
        if total > MOST_BYTES_IN_ALL:
            why = f"and all after it are beyond the {MOST_BYTES_IN_ALL // 10**9} GB of one run."
            refused.append(Refused(file.name, why))
            break
        if fact.sha256 is None or not fact.size_bytes:
            refused.append(Refused(file.name, fact.fault or "cannot be read."))
        elif fact.kind not in GATHERED:
            refused.append(Refused(file.name, _not_gathered(file, fact)))
        else:
            files.append(Seen(file, replace(fact, file=file.name), fact.sha256))
    progress("", len(listed), len(listed))
    return Heap(tuple(files), tuple(refused))


def _measure_member(file: HeapFile, opened: Opener, scratch: Path) -> PhotoFact:
    data = opened.read(file)
    with tempfile.TemporaryDirectory(dir=scratch) as folder:
        (Path(folder) / "member").write_bytes(data)
        return measure(Path(folder), ["member"], []).photos["member"]


def _not_gathered(file: HeapFile, fact: PhotoFact) -> str:
    if file.name.lower().endswith(".csv"):
        return "is a table. Gather a supplier's ticket by itself, with --supplier NAME."
    found = "text" if fact.kind == "text" else "of a kind that is not gathered"
    return f"is {found}; JPEG, HEIC, PNG, TIFF, WebP and PDF are."
