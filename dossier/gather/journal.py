"""What a gather is doing, kept on disk, so that the next run clears away what a killed one left.

In: the job folder, the copies and the photo list before and after. Out: a `Journal` as a file below the job's own
`.dossier/`, and back. Must not copy, move or remove a photo or paper.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from dossier.disk.outputs import WORK
from dossier.disk.whole import replace
from dossier.errors import CannotWrite
from dossier.reading.typed import Value
from dossier.record.read import PHOTO_FILE

COPYING, PLACING = "copying", "placing"


class Places:
    """Where the state of a gather lies below the job's own `.dossier/`."""

    def __init__(self, job: Path) -> None:
        self.job = job
        self.home = job / WORK / "gather"
        self.stage = self.home / "stage"
        self.scratch = self.home / "looked-at"
        self.journal = self.home / "journal.json"
        self.last = self.home / "last.json"
        self.undoing = self.home / "undoing.json"
        self.fresh_list = self.home / "photos.yaml.new"
        self.list = job / PHOTO_FILE


@dataclass(frozen=True)
class Copy:
    """One copy: its path in the job, its digest, and its entry in `photos.yaml` (without fields for none)."""

    file: str
    sha256: str
    entry: dict[str, Value]


@dataclass(frozen=True)
class Journal:
    """What is being done. state: COPYING until every copy is made. folders: those made for the copies.

    before, after: the photo list, None for no file.
    """

    state: str
    copies: tuple[Copy, ...]
    folders: tuple[str, ...]
    before: bytes | None
    after: bytes | None

    @property
    def entries(self) -> list[dict[str, Value]]:
        """Return what is listed of the copies."""
        return [copy.entry for copy in self.copies if copy.entry]


def journal_of(
    job: Path, state: str, copies: Sequence[Copy], before: bytes | None, after: bytes | None
) -> Journal:
    """Return the journal of copies that are not in their places yet."""
    folders = {
        parent.as_posix()
        for copy in copies
        for parent in Path(copy.file).parents
        if parent != Path() and not (job / parent).exists()
    }
    return Journal(state, tuple(copies), tuple(sorted(folders)), before, after)


def write_journal(places: Places, journal: Journal) -> None:
    """Write the journal of the run that has begun."""
    whole = {
        "format": 2,
        "state": journal.state,
        "copies": [[copy.file, copy.sha256, copy.entry] for copy in journal.copies],
        "folders": journal.folders,
        "before": _as_text(journal.before),
        "after": _as_text(journal.after),
    }
    data = json.dumps(whole, ensure_ascii=True).encode("ascii")
    replace(places.journal, data, places.journal.with_suffix(".new"))


def _as_text(data: bytes | None) -> str | None:
    # A photo list that was read is UTF-8, byte-order mark and line ends included.
    return None if data is None else data.decode("utf-8")


def read_journal(path: Path) -> Journal:
    """Return a journal; raises CannotWrite for one that is not as gather writes it."""
    try:
        whole = json.loads(path.read_bytes())
        if whole["format"] != 2 or whole["state"] not in (COPYING, PLACING):
            raise ValueError("another form")
        copies = tuple(
            Copy(str(file), str(sha256), {str(name): str(text) for name, text in entry.items()})
            for file, sha256, entry in whole["copies"]
        )
        folders = tuple(str(folder) for folder in whole["folders"])
        for place in (*folders, *(copy.file for copy in copies)):
            _refuse_outside(place)
        before, after = whole["before"], whole["after"]
        return Journal(
            whole["state"],
            copies,
            folders,
            None if before is None else str(before).encode("utf-8"),
            None if after is None else str(after).encode("utf-8"),
        )
    except (ValueError, TypeError, KeyError, AttributeError) as problem:
        raise CannotWrite(
            f"{path} is not what gather wrote there ({problem}).",
            "Nothing was changed. Look at photos/ and papers/ by hand, then take that file away.",
        ) from None


def _refuse_outside(file: str) -> None:
    parts = file.split("/")
    if parts[0] not in ("photos", "papers") or ".." in parts:
        raise ValueError(f"{file} lies outside photos/ and papers/")
