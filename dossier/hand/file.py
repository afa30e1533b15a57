"""A hand-written file as it was shown, and its new text in place of just that one; undone once.

In: a folder, the name of a file in it, and changes. Out: a `Draft` to be shown, then the file on disk. Must not
know what a field means. A file that is no longer the one that was shown is left alone. What stood there before is
kept below `.dossier/` until the next writing.
"""

import hashlib
import json
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from difflib import unified_diff
from pathlib import Path

from dossier.disk.outputs import WORK, Holder, job_lock, refuse_link
from dossier.disk.whole import bytes_of, replace
from dossier.errors import CannotWrite, DossierError, UnreadableInput
from dossier.hand.means import Change
from dossier.hand.text import with_changes
from dossier.reading.model import Model
from dossier.reading.nodes import MOST_BYTES

Move = tuple[str, str]
"""A file of the folder that is put elsewhere in it: from and to."""

_LAST = "hand-last.json"
_NEW = "hand-new"


@dataclass(frozen=True)
class Shown:
    """A file as somebody saw it. folder: the job's or the office's. data: None where there was no file."""

    folder: Path
    file: str
    data: bytes | None

    @property
    def digest(self) -> str:
        """Return what tells these bytes from any others: SHA-256; empty for no file."""
        return "" if self.data is None else hashlib.sha256(self.data).hexdigest()


@dataclass(frozen=True)
class Draft:
    """A file as it was shown and as it would be."""

    shown: Shown
    after: bytes

    @property
    def changes(self) -> bool:
        """Return whether anything would be written."""
        return self.after != self.shown.data

    def difference(self, title: str) -> list[str]:
        """Return the lines that change, each with a few around it. title: of the file as it would be."""
        before, after = (
            (data or b"").decode("utf-8").removeprefix("\ufeff").replace("\r\n", "\n").splitlines()
            for data in (self.shown.data, self.after)
        )
        return list(unified_diff(before, after, self.shown.file, title, lineterm=""))


def look(folder: Path, file: str) -> Shown:
    """Return a file as it is now. Raises CannotWrite for a link, UnreadableInput for what is no file to read."""
    for part in (folder / file, *(folder / above for above in Path(file).parents[:-1])):
        if part.is_symlink():
            raise CannotWrite(
                f"{part} is a link.", "Put the file itself there in place of the link."
            )
    path = folder / file
    try:
        # A named pipe would never be read to its end.
        if path.exists() and not path.is_file():
            raise UnreadableInput(f"{path} is not an ordinary file.", "Put the record there.")
        data = bytes_of(path)
    except OSError as problem:
        raise UnreadableInput(
            f"{path} cannot be read: {problem.strerror}.", "Give this user the right to read it."
        ) from problem
    if data is not None and len(data) > MOST_BYTES:
        raise UnreadableInput(
            f"{file} has {len(data):,} bytes; at most {MOST_BYTES:,} are read.",
            "Put the record back under this name.",
        )
    return Shown(folder, file, data)


def look_again(folder: Path, file: str, digest: str) -> Shown:
    """Return a file that is still the one that was shown by this digest; raises CannotWrite for another."""
    shown = look(folder, file)
    if shown.digest != digest:
        raise _other(file)
    return shown


def draft(shown: Shown, model: type[Model], changes: Sequence[Change]) -> Draft:
    """Return what a file would be with these changes; raises as `with_changes` does."""
    return Draft(shown, with_changes(shown.data, shown.file, model, changes))


def write(drafts: Sequence[Draft], holder: Holder | None = None) -> None:
    """Put drafts in their places under the lock of their folder, all of them or none.

    drafts: of one folder. Raises CannotWrite, leaving every file as it was, where one is no longer as it was
    shown; JobTaken where another run has the folder in hand.
    """
    if drafts:
        with job_lock(drafts[0].shown.folder / WORK, holder):
            write_locked(drafts)


def write_locked(drafts: Sequence[Draft], moves: Sequence[Move] = ()) -> None:
    """Do as `write` does, for one who holds the lock already. moves: files that are moved with it, and undone."""
    drafts = [one for one in drafts if one.changes]
    if not drafts:
        return
    folder = drafts[0].shown.folder
    for one in drafts:
        look_again(folder, one.shown.file, one.shown.digest)
    kept = [
        {
            "file": one.shown.file,
            "before": None if one.shown.data is None else one.shown.data.decode("utf-8"),
            "after": hashlib.sha256(one.after).hexdigest(),
        }
        for one in drafts
    ]
    earlier = bytes_of(folder / WORK / _LAST)
    _put(folder, _LAST, json.dumps({"format": 1, "files": kept, "moved": moves}).encode("ascii"))
    done: list[Move] = []
    try:
        for move in moves:
            _move(folder, *move)
            done.append(move)
        _replace_all(folder, [(one.shown.file, one.shown.data, one.after) for one in drafts])
    except DossierError:
        for before, after in done:
            _move(folder, after, before)
        # What could be undone before is what can be undone still.
        _put(folder, _LAST, earlier)
        raise


def undo(folder: Path, holder: Holder | None = None) -> tuple[str, ...]:
    """Put back what stood before the last writing; returns the names of the files.

    Raises CannotWrite where there is nothing to undo, or a file has been changed since.
    """
    with job_lock(folder / WORK, holder):
        return undo_locked(folder)


def undo_locked(folder: Path, refuse: Callable[[str], None] = lambda _: None) -> tuple[str, ...]:
    """Do as `undo` does, for one who holds the lock already. refuse: raises for a file that may not change."""
    backs = []
    files, moves = _last(folder)
    for file, before, after in files:
        refuse(file)
        shown = look(folder, file)
        if shown.digest == after:
            backs.append((file, shown.data, before))
        elif shown.data != before:
            raise CannotWrite(
                f"{file} was changed since it was last written here.",
                "Nothing was undone. Change it back by hand.",
            )
    if not backs:
        raise CannotWrite(
            "What was last written here stands as it did before.", "There is nothing to undo."
        )
    _replace_all(folder, backs)
    for was, now in moves:
        # What somebody has put elsewhere since is left there.
        if (folder / now).is_file() and not (folder / was).exists():
            _move(folder, now, was)
    (folder / WORK / _LAST).unlink()
    return tuple(file for file, _, _ in backs)


def _replace_all(folder: Path, files: Sequence[tuple[str, bytes | None, bytes | None]]) -> None:
    """Replace each file, named with what stands there and what comes; put all back where one cannot be."""
    done: list[tuple[str, bytes | None]] = []
    for file, before, after in files:
        try:
            done.append((file, before))
            _put(folder, file, after)
        except DossierError:
            for name, old in done:
                if bytes_of(folder / name) != old:
                    _put(folder, name, old)
            raise


def _move(folder: Path, before: str, after: str) -> None:
    target = folder / after
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        # A link refuses a name that is taken; a rename would replace it.
        os.link(folder / before, target)
        (folder / before).unlink()
    except FileExistsError:
        raise CannotWrite(
            f"{target} is there already.", "Nothing was written. Take one of the two away."
        ) from None
    except OSError as problem:
        raise CannotWrite(
            f"{folder / before} could not be moved to {after}: {problem.strerror or problem}.",
            "Nothing was written. Give this user the right to write there.",
        ) from problem


def _put(folder: Path, file: str, data: bytes | None) -> None:
    home = folder / WORK
    refuse_link(home)
    place = home / file if file == _LAST else folder / file
    try:
        replace(place, data, home / _NEW)
    except OSError as problem:
        raise CannotWrite(
            f"{place} could not be written: {problem.strerror or problem}.",
            "Nothing was changed. Free some space, or give this user the right to write there.",
        ) from problem


def _last(folder: Path) -> tuple[list[tuple[str, bytes | None, str]], list[Move]]:
    """Return what the last writing left to undo: each file, what stood there, the digest of what came; moves."""
    path = folder / WORK / _LAST
    data = bytes_of(path)
    if data is None:
        raise CannotWrite(
            "There is nothing to undo in this folder.", "Only the last writing can be, once."
        )
    try:
        whole = json.loads(data)
        if whole["format"] != 1:
            raise ValueError("another form")
        found = []
        for one in whole["files"]:
            file, before = str(one["file"]), one["before"]
            if not _is_inside(file) or not file.endswith(".yaml"):
                raise ValueError(f"{file} is no file of this folder")
            old = None if before is None else str(before).encode("utf-8")
            found.append((file, old, str(one["after"])))
        moves = [(str(was), str(now)) for was, now in whole.get("moved", ())]
        if not all(_is_inside(file) for move in moves for file in move):
            raise ValueError("a file of another folder")
    except (ValueError, TypeError, KeyError) as problem:
        raise CannotWrite(
            f"{path} is not what was written there ({problem}).",
            "Nothing was changed. Take that file away.",
        ) from None
    return found, moves


def _is_inside(file: str) -> bool:
    return not Path(file).is_absolute() and ".." not in Path(file).parts


def _other(file: str) -> CannotWrite:
    return CannotWrite(
        f"{file} was changed since it was shown.", "Nothing was written. Look at it again."
    )
