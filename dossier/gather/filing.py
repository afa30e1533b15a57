"""A proposal into copies in the job folder and entries in `photos.yaml`: all of it, or nothing.

In: the job folder, the proposal as accepted, an `Opener`. Out: what was filed. Must not decide where a
file belongs. The caller holds the lock of the job.

Copies are made and verified out of sight first, then moved into place, then one rename of `photos.yaml`
makes them true. A journal names what is being done, so that the next run clears away what a killed
one left; `heal` is that run's first step. Where `photos.yaml` already names the copies, they stay.
"""

import hashlib
import json
import os
import shutil
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from dossier.errors import CannotWrite, UnreadableInput
from dossier.gather.choices import yaml_text
from dossier.gather.heap import Opener
from dossier.gather.insert import append_to_list
from dossier.gather.placing import KINDS, moment_by_name, split_name
from dossier.gather.proposal import Do, Proposal, Proposed
from dossier.gather.zips import NotReadable, Refused
from dossier.reading.model import Read, read_model
from dossier.reading.nodes import parse_tree
from dossier.record.files import Photo, PhotoList
from dossier.record.read import JOB_FILE, PHOTO_FILE
from dossier.values import Progress, plural, silent
from dossier.words import Phase

STEPS = (
    "journal begun",
    "one copy made",
    "journal complete",
    "one copy in place",
    "all copies in place",
    "photos.yaml renamed",
    "journal closed",
)
"""The boundaries at which `file_in` calls its `at`, in order; two are called once a copy."""

UNDO_STEPS = ("undo begun", "photos.yaml put back", "one copy removed", "undo closed")

UNSORTED = "unsorted"

_ENDINGS = {"jpeg": "jpg", "png": "png", "heic": "heic", "tiff": "tif", "webp": "webp"}
_FRESH_PHOTO_LIST = "photos:\n"

At = Callable[[str], None]


def _nowhere(step: str) -> None:
    """Do nothing at a step; a test stops the process here."""


@dataclass(frozen=True)
class Filed:
    """What one run filed: the copies by path with the file each was made from, and what it passed by."""

    copies: tuple[tuple[str, str], ...]
    listed: int
    refused: tuple[Refused, ...]


@dataclass(frozen=True)
class Undone:
    """What an undo removed, and what it left because somebody has changed or listed it since."""

    removed: tuple[str, ...]
    left: tuple[Refused, ...]


@dataclass(frozen=True)
class _Copy:
    """One copy: its path in the job, its digest, and its entry in `photos.yaml` (empty for none)."""

    file: str
    sha256: str
    entry: str


class _Places:
    """Where the state of a gather lies below the job's own `.dossier/`."""

    def __init__(self, job: Path) -> None:
        self.job = job
        self.home = job / ".dossier" / "gather"
        self.stage = self.home / "stage"
        self.scratch = self.home / "looked-at"
        self.journal = self.home / "journal.json"
        self.last = self.home / "last.json"
        self.undoing = self.home / "undoing.json"
        self.fresh_list = self.home / "photos.yaml.new"
        self.list = job / PHOTO_FILE


def file_in(
    job: Path,
    proposal: Proposal,
    opened: Opener,
    *,
    today: date,
    received_from: str | None = None,
    progress: Progress = silent,
    at: At = _nowhere,
) -> Filed:
    """Copy what the proposal says into the job and list its photos; returns what was filed.

    today: written as the day received where a camera's time is lost. received_from: who sent those.
    Every copy is read back and its digest compared. Raises CannotWrite or UnreadableInput, leaving the
    job as it was; so does an interrupt.
    """
    heal(job)
    places = _Places(job)
    with _whole_or_nothing(job):
        _refuse_links(job, proposal)
        places.home.mkdir(parents=True, exist_ok=True)
        before = _bytes_of(places.list)
        _photo_list(before)
        _write_journal(places, "copying", (), before, None)
        at("journal begun")
        copies, made_from, refused = _stage(
            places, proposal, opened, today, received_from, progress, at
        )
        if not copies:
            # An empty run must not take the place of the last one, which may still be undone.
            heal(job)
            return Filed((), 0, (*proposal.refused, *refused))
        entries = [copy.entry for copy in copies if copy.entry]
        after = _with_entries(before, entries) if entries else before
        _write_journal(places, "placing", copies, before, after)
        at("journal complete")
        _place(places, copies, at)
        at("all copies in place")
        if entries:
            if _bytes_of(places.list) != before:
                raise CannotWrite(
                    f"{PHOTO_FILE} was changed while the copies were being made.",
                    "Nothing was filed. Run this again.",
                )
            assert after is not None
            _write_synced(places.fresh_list, after, like=places.list)
            os.replace(places.fresh_list, places.list)  # noqa: PTH105 - the name says what it does.
            _sync_folder(job)
        at("photos.yaml renamed")
        _close(places)
        at("journal closed")
    pairs = tuple(zip((copy.file for copy in copies), made_from, strict=True))
    return Filed(pairs, len(entries), (*proposal.refused, *refused))


def scratch_in(job: Path) -> Path:
    """Return an empty folder of this job for what is unpacked to be looked at; `heal` clears it."""
    places = _Places(job)
    with _as_cannot_write(job):
        _remove(places.scratch)
        places.scratch.mkdir(parents=True)
    return places.scratch


def heal(job: Path) -> None:
    """Clear away what a killed run left, or finish what had become true; costs nothing otherwise."""
    places = _Places(job)
    with _as_cannot_write(job):
        _remove(places.scratch)
        if places.undoing.exists():
            _finish_undo(places, _nowhere)
        if not places.journal.exists():
            _remove_stage(places)
            return
        journal = _read_journal(places.journal)
        copies, before, after = _of_journal(journal)
        if journal["state"] == "placing" and _is_true(places, copies, before, after):
            _close(places)
            return
        _take_back(places, copies, journal["folders"])
        _remove_stage(places)
        places.journal.unlink()


def undo(job: Path, *, at: At = _nowhere) -> Undone:
    """Put `photos.yaml` back and remove the copies that the last gather made.

    A copy that has changed since, or that something else lists by now, is left and named; entries that
    somebody has edited since are left with their files. Raises CannotWrite where there is nothing to
    undo.
    """
    heal(job)
    places = _Places(job)
    if not places.last.exists():
        raise CannotWrite(
            "There is no gather to undo in this job.", "Only the last one can be undone, once."
        )
    with _as_cannot_write(job):
        copies, before, after = _of_journal(_read_journal(places.last))
        put_back = _list_put_back(places, copies, before, after)
        os.replace(places.last, places.undoing)  # noqa: PTH105 - the name says what it does.
        at("undo begun")
        if put_back is not None:
            _replace_list(places, put_back)
        at("photos.yaml put back")
        return _finish_undo(places, at)


# --- making the copies --------------------------------------------------------------------------


def _stage(
    places: _Places,
    proposal: Proposal,
    opened: Opener,
    today: date,
    received_from: str | None,
    progress: Progress,
    at: At,
) -> tuple[list[_Copy], list[str], list[Refused]]:
    """Make and verify every copy in the stage; a file that cannot be read any more is passed by."""
    _remove_stage(places)
    places.stage.mkdir()
    taken: set[str] = set()
    copies: list[_Copy] = []
    made_from: list[str] = []
    refused: list[Refused] = []
    wanted = [one for one in proposal.files if one.do is not Do.LEAVE_OUT]
    for number, one in enumerate(wanted, start=1):
        try:
            data = opened.read(one.seen.file)
        except NotReadable as problem:
            refused.append(Refused(one.name, problem.why))
            continue
        if hashlib.sha256(data).hexdigest() != one.seen.sha256:
            refused.append(Refused(one.name, "has changed since it was looked at."))
            continue
        file = _free_name(places.job, one, taken)
        taken.add(file.casefold())
        staged = places.stage / str(len(copies))
        _write_synced(staged, data)
        if hashlib.sha256(staged.read_bytes()).hexdigest() != one.seen.sha256:
            raise CannotWrite(
                f"The copy of {one.name} does not read back as it was written.",
                "Nothing was filed. The disk may be failing; look at it first.",
            )
        copies.append(_Copy(file, one.seen.sha256, _entry(one, file, today, received_from)))
        made_from.append(one.name)
        progress(f"copying {one.name}", number, len(wanted))
        at("one copy made")
    return copies, made_from, refused


def _free_name(job: Path, one: Proposed, taken: set[str]) -> str:
    for letters in (8, 16, 64):
        file = name_in_job(one, letters)
        if file.casefold() not in taken and not os.path.lexists(job / file):
            return file
    raise CannotWrite(
        f"{one.name} is already filed as {file}.", "Write do: leave out for one of the two."
    )


def name_in_job(one: Proposed, digest_letters: int = 8) -> str:
    """Return the path a file gets in the job: readable, and named by its content.

    A photo: photos/PHASE/SLOPE-YYYYMMDD-HHMMSS-DIGEST.jpg, for a deck repair with “before” or “after”
    behind it, since repairs find their two photos by that word; a paper: papers/KIND-WORDS-DIGEST.pdf, where
    the words are those of its own name, such as a ticket's number. The ending follows the content.
    """
    digest = one.seen.sha256[:digest_letters]
    kind = str(one.seen.fact.kind)
    if one.do is Do.PAPER:
        stem, _ = split_name(one.name)
        start = one.kind.slug if one.kind else f"{UNSORTED}/paper"
        parts = [start, _words(KINDS.rest(stem)), digest]
        return f"papers/{'-'.join(part for part in parts if part)}.{_ENDINGS.get(kind, 'pdf')}"
    taken = one.seen.fact.taken_at_local
    when = "undated" if taken is None else taken.strftime("%Y%m%d-%H%M%S")
    moment = moment_by_name(one.name) if one.phase is Phase.DECK_REPAIR else ""
    parts = [_slug(one.slope) if one.slope else "", when, digest, moment]
    folder = one.phase.slug if one.phase else UNSORTED
    return f"photos/{folder}/{'-'.join(part for part in parts if part)}.{_ENDINGS[kind]}"


def _slug(text: str) -> str:
    letters = (char if char.isalnum() else "-" for char in text.lower())
    return "-".join(part for part in "".join(letters).split("-") if part)


def _words(text: str) -> str:
    """Return a text as part of a file name; a ticket's number stays as it was written."""
    kept = "".join(char if char.isalnum() or char in "._-" else "-" for char in text)
    return "-".join(part for part in kept.split("-") if part.strip("._"))[:60].strip("-._")


def _entry(one: Proposed, file: str, today: date, received_from: str | None) -> str:
    """Return the photo's entry as the lines of one list item; empty for a paper or an unplaced photo."""
    if one.do is not Do.PHOTO or one.phase is None:
        return ""
    rows = [f"- file: {yaml_text(file)}", f"  phase: {one.phase.value}"]
    if one.slope:
        rows.append(f"  slope: {yaml_text(one.slope)}")
    if one.caption:
        rows.append(f"  caption: {yaml_text(one.caption)}")
    if one.seen.fact.taken_at_local is None:
        if received_from:
            rows.append(f"  received_from: {yaml_text(received_from)}")
        rows.append(f"  received_on: {today.isoformat()}")
    return "\n".join(rows)


def _place(places: _Places, copies: Sequence[_Copy], at: At) -> None:
    for number, copy in enumerate(copies):
        target = places.job / copy.file
        target.parent.mkdir(parents=True, exist_ok=True)
        if os.path.lexists(target):
            raise CannotWrite(
                f"{copy.file} was put there while the copies were being made.",
                "Nothing was filed. Run this again.",
            )
        (places.stage / str(number)).rename(target)
        at("one copy in place")
    for folder in sorted({(places.job / copy.file).parent for copy in copies}):
        _sync_folder(folder)


def _refuse_links(job: Path, proposal: Proposal) -> None:
    """Raise CannotWrite where a folder to file into, or the photo list, is a link."""
    folders = {
        parent
        for one in proposal.files
        if one.do is not Do.LEAVE_OUT
        for parent in Path(name_in_job(one)).parents
    }
    for place in sorted({*folders, Path(PHOTO_FILE)}):
        if (job / place).is_symlink():
            raise CannotWrite(
                f"{place} in the job folder is a link to another place.",
                "Put the folder or file itself there in place of the link.",
            )


# --- the photo list -----------------------------------------------------------------------------


def _photo_list(data: bytes | None) -> PhotoList:
    """Return the photo list these bytes hold; raises UnreadableInput with the first fault."""
    if data is None:
        return PhotoList()
    reading = parse_tree(data, PHOTO_FILE)
    read: Read[PhotoList] | None = None
    if reading.tree is not None:
        read = read_model(reading.tree, PHOTO_FILE, PhotoList)
        if read.model is not None:
            return read.model
    item = (read.items if read else reading.items)[0]
    raise UnreadableInput(item.says, item.remedy)


def _with_entries(before: bytes | None, entries: Sequence[str]) -> bytes:
    """Return the photo list with these entries at its end, read back and compared."""
    data = _FRESH_PHOTO_LIST.encode() if before is None else before
    old = _photo_list(before)
    tree = parse_tree(data, PHOTO_FILE).tree
    assert tree is not None
    after = append_to_list(data, tree, "photos", entries, PHOTO_FILE, later=())
    new = _photo_list(("photos:\n" + "\n".join(entries) + "\n").encode())
    if _photo_list(after).photos != (*old.photos, *new.photos):
        raise UnreadableInput(
            f"Entries added to {PHOTO_FILE} would not be read back as they were written.",
            "Write its list with a line and a dash for each photo, and run this again.",
        )
    return after


def _is_true(
    places: _Places, copies: Sequence[_Copy], before: bytes | None, after: bytes | None
) -> bool:
    """Return whether the rename of `photos.yaml` came to pass, even if somebody edited it since."""
    now = _bytes_of(places.list)
    if now == before:
        return False
    if now == after:
        return True
    ours = {copy.file for copy in copies if copy.entry}
    return any(photo.file in ours for photo in _photo_list(now).photos)


def _list_put_back(
    places: _Places, copies: Sequence[_Copy], before: bytes | None, after: bytes | None
) -> bytes | None:
    """Return the photo list without the last gather's entries, None where it needs no change.

    Empty bytes stand for no file. Entries that somebody has edited since stay.
    """
    now = _bytes_of(places.list)
    if before == after or now == before or now is None:
        return None
    if now == after:
        return b"" if before is None else before
    listed = _photo_list(now).photos
    text = now.decode("utf-8")
    gone: list[Photo] = []
    for copy in copies:
        if not copy.entry:
            continue
        [ours] = _photo_list(f"photos:\n{copy.entry}\n".encode()).photos
        block = _entry_lines(text, copy.entry)
        if ours in listed and block is not None:
            text = text[: block[0]] + text[block[1] :]
            gone.append(ours)
    left = tuple(photo for photo in listed if photo not in gone)
    back = text.encode("utf-8")
    if _photo_list(back).photos != left:
        raise CannotWrite(
            f"{PHOTO_FILE} was changed since, among the entries that gather wrote.",
            "Nothing was undone. Take those entries out by hand.",
        )
    return back


def _entry_lines(text: str, entry: str) -> tuple[int, int] | None:
    """Return where the lines of an entry stand in a text, at any indent; None unless just once."""
    wanted = entry.split("\n")
    lines = text.splitlines(keepends=True)
    starts = [0]
    for line in lines:
        starts.append(starts[-1] + len(line))
    found = [
        (starts[at], starts[at + len(wanted)])
        for at in range(len(lines) - len(wanted) + 1)
        if lines[at].strip() == wanted[0].strip()
        and all(lines[at + n].strip() == wanted[n].strip() for n in range(len(wanted)))
    ]
    return found[0] if len(found) == 1 else None


def _replace_list(places: _Places, data: bytes) -> None:
    if data:
        _write_synced(places.fresh_list, data, like=places.list)
        os.replace(places.fresh_list, places.list)  # noqa: PTH105 - the name says what it does.
    else:
        places.list.unlink(missing_ok=True)
    _sync_folder(places.job)


# --- undoing and healing ------------------------------------------------------------------------


def _finish_undo(places: _Places, at: At) -> Undone:
    """Remove the copies of an undo that has begun, once the photo list no longer names them."""
    journal = _read_journal(places.undoing)
    copies, before, after = _of_journal(journal)
    put_back = _list_put_back(places, copies, before, after)
    if put_back is not None:
        _replace_list(places, put_back)
    removed, left = _take_back(places, copies, journal["folders"], at)
    places.undoing.unlink()
    at("undo closed")
    return Undone(tuple(removed), tuple(left))


def _take_back(
    places: _Places, copies: Sequence[_Copy], folders: Sequence[str], at: At = _nowhere
) -> tuple[list[str], list[Refused]]:
    """Remove copies that are still what was copied and that nothing lists, and folders left empty."""
    removed: list[str] = []
    left: list[Refused] = []
    listed = {photo.file for photo in _photo_list(_bytes_of(places.list)).photos}
    # Any mention keeps a file: the job may name it as a paper, a ticket or a certificate.
    job_text = (_bytes_of(places.job / JOB_FILE) or b"").decode("utf-8", "replace")
    for copy in copies:
        path = places.job / copy.file
        if path.is_symlink() or not path.is_file():
            continue
        if copy.file in listed or copy.file in job_text:
            left.append(Refused(copy.file, "is listed by the record by now."))
        elif hashlib.sha256(path.read_bytes()).hexdigest() != copy.sha256:
            left.append(Refused(copy.file, "has changed since it was filed."))
        else:
            path.unlink()
            removed.append(copy.file)
            at("one copy removed")
    for folder in sorted(folders, key=len, reverse=True):
        # A folder that holds something by now stays, and so does one that is no longer there.
        with suppress(OSError):
            (places.job / folder).rmdir()
    return removed, left


def _close(places: _Places) -> None:
    """Turn the journal into what an undo needs; before this rename the run is unfinished."""
    os.replace(places.journal, places.last)  # noqa: PTH105 - the name says what it does.
    _sync_folder(places.home)
    _remove_stage(places)


def _remove_stage(places: _Places) -> None:
    _remove(places.stage)
    with suppress(OSError):
        places.fresh_list.unlink(missing_ok=True)


def _remove(folder: Path) -> None:
    if folder.is_dir() and not folder.is_symlink():
        shutil.rmtree(folder)


@contextmanager
def _whole_or_nothing(job: Path) -> Iterator[None]:
    """Clear everything away again where the block does not end by itself, an interrupt included."""
    try:
        with _as_cannot_write(job):
            yield
    except BaseException:
        heal(job)
        raise


@contextmanager
def _as_cannot_write(job: Path) -> Iterator[None]:
    try:
        yield
    except OSError as problem:
        raise CannotWrite(
            f"The job folder {job} could not be written: {problem.strerror or problem}.",
            "Free some space or give this user the right to write there, and run this again.",
        ) from problem


# --- the journal --------------------------------------------------------------------------------


def _write_journal(
    places: _Places,
    state: str,
    copies: Sequence[_Copy],
    before: bytes | None,
    after: bytes | None,
) -> None:
    folders = {
        parent.as_posix()
        for copy in copies
        for parent in Path(copy.file).parents
        if parent != Path() and not (places.job / parent).exists()
    }
    whole = {
        "format": 1,
        "state": state,
        "copies": [[copy.file, copy.sha256, copy.entry] for copy in copies],
        "folders": sorted(folders),
        "before": _as_text(before),
        "after": _as_text(after),
    }
    fresh = places.journal.with_suffix(".new")
    _write_synced(fresh, json.dumps(whole, ensure_ascii=True).encode("ascii"))
    os.replace(fresh, places.journal)  # noqa: PTH105 - the name says what it does.
    _sync_folder(places.home)


def _as_text(data: bytes | None) -> str | None:
    # A photo list that was read is UTF-8, byte-order mark and line ends included.
    return None if data is None else data.decode("utf-8")


def _read_journal(path: Path) -> dict[str, Any]:
    try:
        whole = json.loads(path.read_bytes())
        if whole["format"] != 1 or whole["state"] not in ("copying", "placing"):
            raise ValueError("another form")
        _of_journal(whole)
        for folder in whole["folders"]:
            _refuse_outside(folder)
    except (ValueError, TypeError, KeyError, AttributeError) as problem:
        raise CannotWrite(
            f"{path} is not what gather wrote there ({problem}).",
            "Nothing was changed. Look at photos/ and papers/ by hand, then take that file away.",
        ) from None
    return dict(whole)


def _of_journal(
    journal: dict[str, Any],
) -> tuple[list[_Copy], bytes | None, bytes | None]:
    copies = [_Copy(*(str(part) for part in row)) for row in journal["copies"]]
    for copy in copies:
        _refuse_outside(copy.file)
    before, after = journal["before"], journal["after"]
    return (
        copies,
        None if before is None else str(before).encode("utf-8"),
        None if after is None else str(after).encode("utf-8"),
    )


def _refuse_outside(file: str) -> None:
    parts = file.split("/")
    if parts[0] not in ("photos", "papers") or ".." in parts:
        raise ValueError(f"{file} lies outside photos/ and papers/")


def _bytes_of(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _write_synced(path: Path, data: bytes, like: Path | None = None) -> None:
    """Write a file and wait until the disk has it. like: a file whose rights it takes over."""
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if like is not None and like.exists():
        path.chmod(like.stat().st_mode & 0o7777)


def _sync_folder(folder: Path) -> None:
    # Without this a power cut may keep the later of two renames and lose the earlier.
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def said_of(filed: Filed) -> str:
    """Return one sentence about what was filed."""
    photos = sum(file.startswith("photos/") for file, _ in filed.copies)
    papers = len(filed.copies) - photos
    unsorted = sum(file.startswith(f"photos/{UNSORTED}/") for file, _ in filed.copies)
    tail = f", {unsorted} of the photos in photos/{UNSORTED}/ without a phase" if unsorted else ""
    return f"Filed {plural(photos, 'photo')} and {plural(papers, 'paper')}{tail}."
