"""A proposal into copies in the job folder and entries in `photos.yaml`: all of it, or nothing.

In: the job folder, the proposal as accepted, an `Opener`. Out: what was filed. Must not decide where a
file belongs. The caller holds the lock of the job.

Copies are made and verified out of sight first, then moved into place, then one rename of `photos.yaml`
makes them true. A journal names what is being done, so that the next run clears away what a killed
one left; `heal` is that run's first step. Where `photos.yaml` already names the copies, they stay.
"""

import hashlib
import os
import shutil
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.disk.whole import bytes_of, replace, sync_folder, write_synced
from dossier.errors import CannotWrite
from dossier.gather.heap import Opener
from dossier.gather.journal import (
    COPYING,
    PLACING,
    Copy,
    Journal,
    Places,
    journal_of,
    read_journal,
    write_journal,
)
from dossier.gather.naming import UNSORTED, entry_of, name_in_job
from dossier.gather.photo_entries import is_listed, photo_list, with_entries, without_entries
from dossier.gather.proposal import Do, Proposal, Proposed
from dossier.gather.zips import NotReadable, Refused
from dossier.record.read import JOB_FILE, PHOTO_FILE
from dossier.values import Progress, plural, silent

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
    places = Places(job)
    with _whole_or_nothing(job):
        _refuse_links(job, proposal)
        places.home.mkdir(parents=True, exist_ok=True)
        before = bytes_of(places.list)
        photo_list(before)
        write_journal(places, journal_of(job, COPYING, (), before, None))
        at("journal begun")
        copies, made_from, refused = _stage(
            places, proposal, opened, today, received_from, progress, at
        )
        if not copies:
            # An empty run must not take the place of the last one, which may still be undone.
            heal(job)
            return Filed((), 0, (*proposal.refused, *refused))
        entries = [copy.entry for copy in copies if copy.entry]
        after = with_entries(before, entries) if entries else before
        write_journal(places, journal_of(job, PLACING, copies, before, after))
        at("journal complete")
        _place(places, copies, at)
        at("all copies in place")
        if entries:
            if bytes_of(places.list) != before:
                raise CannotWrite(
                    f"{PHOTO_FILE} was changed while the copies were being made.",
                    "Nothing was filed. Run this again.",
                )
            replace(places.list, after, places.fresh_list)
        at("photos.yaml renamed")
        _close(places)
        at("journal closed")
    pairs = tuple(zip((copy.file for copy in copies), made_from, strict=True))
    return Filed(pairs, len(entries), (*proposal.refused, *refused))


def scratch_in(job: Path) -> Path:
    """Return an empty folder of this job for what is unpacked to be looked at; `heal` clears it."""
    places = Places(job)
    with _as_cannot_write(job):
        _remove(places.scratch)
        places.scratch.mkdir(parents=True)
    return places.scratch


def heal(job: Path) -> None:
    """Clear away what a killed run left, or finish what had become true; costs nothing otherwise."""
    places = Places(job)
    with _as_cannot_write(job):
        _remove(places.scratch)
        if places.undoing.exists():
            _finish_undo(places, _nowhere)
        if not places.journal.exists():
            _remove_stage(places)
            return
        journal = read_journal(places.journal)
        if journal.state == PLACING and is_listed(bytes_of(places.list), journal):
            _close(places)
            return
        _take_back(places, journal)
        _remove_stage(places)
        places.journal.unlink()


def undo(job: Path, *, at: At = _nowhere) -> Undone:
    """Put `photos.yaml` back and remove the copies that the last gather made.

    A copy that has changed since, or that something else lists by now, is left and named; entries that
    somebody has edited since are left with their files. Raises CannotWrite where there is nothing to
    undo.
    """
    heal(job)
    places = Places(job)
    if not places.last.exists():
        raise CannotWrite(
            "There is no gather to undo in this job.", "Only the last one can be undone, once."
        )
    with _as_cannot_write(job):
        put_back = without_entries(bytes_of(places.list), read_journal(places.last))
        places.last.replace(places.undoing)
        at("undo begun")
        _put_list(places, put_back)
        at("photos.yaml put back")
        return _finish_undo(places, at)


# --- making the copies --------------------------------------------------------------------------


def _stage(
    places: Places,
    proposal: Proposal,
    opened: Opener,
    today: date,
    received_from: str | None,
    progress: Progress,
    at: At,
) -> tuple[list[Copy], list[str], list[Refused]]:
    """Make and verify every copy in the stage; a file that cannot be read any more is passed by."""
    _remove_stage(places)
    places.stage.mkdir()
    taken: set[str] = set()
    copies: list[Copy] = []
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
        write_synced(staged, data)
        if hashlib.sha256(staged.read_bytes()).hexdigest() != one.seen.sha256:
            raise CannotWrite(
                f"The copy of {one.name} does not read back as it was written.",
                "Nothing was filed. The disk may be failing; look at it first.",
            )
        copies.append(Copy(file, one.seen.sha256, entry_of(one, file, today, received_from)))
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


def _place(places: Places, copies: Sequence[Copy], at: At) -> None:
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
        sync_folder(folder)


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


# --- undoing and healing ------------------------------------------------------------------------


def _finish_undo(places: Places, at: At) -> Undone:
    """Remove the copies of an undo that has begun, once the photo list no longer names them."""
    journal = read_journal(places.undoing)
    _put_list(places, without_entries(bytes_of(places.list), journal))
    removed, left = _take_back(places, journal, at)
    places.undoing.unlink()
    at("undo closed")
    return Undone(tuple(removed), tuple(left))


def _take_back(
    places: Places, journal: Journal, at: At = _nowhere
) -> tuple[list[str], list[Refused]]:
    """Remove copies that are still what was copied and that nothing lists, and folders left empty."""
    removed: list[str] = []
    left: list[Refused] = []
    listed = {photo.file for photo in photo_list(bytes_of(places.list)).photos}
    # Any mention keeps a file: the job may name it as a paper, a ticket or a certificate.
    job_text = (bytes_of(places.job / JOB_FILE) or b"").decode("utf-8", "replace")
    for copy in journal.copies:
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
    for folder in sorted(journal.folders, key=len, reverse=True):
        # A folder that holds something by now stays, and so does one that is no longer there.
        with suppress(OSError):
            (places.job / folder).rmdir()
    return removed, left


def _close(places: Places) -> None:
    """Turn the journal into what an undo needs; before this rename the run is unfinished."""
    places.journal.replace(places.last)
    sync_folder(places.home)
    _remove_stage(places)


def _remove_stage(places: Places) -> None:
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


def _put_list(places: Places, data: bytes | None) -> None:
    if data != bytes_of(places.list):
        replace(places.list, data, places.fresh_list)


def said_of(filed: Filed) -> str:
    """Return one sentence about what was filed."""
    photos = sum(file.startswith("photos/") for file, _ in filed.copies)
    papers = len(filed.copies) - photos
    unsorted = sum(file.startswith(f"photos/{UNSORTED}/") for file, _ in filed.copies)
    tail = f", {unsorted} of the photos in photos/{UNSORTED}/ without a phase" if unsorted else ""
    return f"Filed {plural(photos, 'photo')} and {plural(papers, 'paper')}{tail}."
