"""What is added to a sealed job: the next bag in `sealed/`, tied to the one before by its digest.

In: an entry, its documents and files, as bytes. Out: `sealed/NNNN-DATE-KIND/`, whole or not at all. Must
not know what a document says. What was sealed earlier is never touched: each new bag's `bag-info.txt`
carries the digest of the bag before it, so that a later change of either shows.
"""

import shutil
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from dossier import __version__
from dossier.archive.bags import INFO, TAG_MANIFEST, Bag, info_values
from dossier.archive.keys import sign
from dossier.archive.names import (
    BEFORE,
    CAME_AFTER,
    CLOSEOUT,
    DESCRIPTION,
    EVENT_DATE,
    JOB_NUMBER,
    NUMBERED,
    is_unfinished,
    own_name,
    unfinished,
)
from dossier.archive.verify import is_whole
from dossier.disk.outputs import WORK, Holder, job_lock
from dossier.disk.whole import sync_folder
from dossier.errors import CannotWrite, UnreadableInput
from dossier.reading.nodes import parse_tree
from dossier.record.entry import ENTRY_FILE, Entry, entry_in, read_entry
from dossier.record.places import SEALED
from dossier.words import EntryKind

__all__ = ["BEFORE", "CLOSEOUT", "WORK", "add_supplement", "previous_digest", "sealed_folders"]

Step = Callable[[str], None]
"""Called at each named step; a test stops the run there."""


def nowhere(step: str) -> None:
    """Do nothing at a step."""


def sealed_folders(sealed: Path) -> tuple[Path, ...]:
    """Return the bags of a job in the order of their numbers; links and other names are left out."""
    try:
        found = [
            path
            for path in sealed.iterdir()
            if NUMBERED.fullmatch(path.name) and not path.is_symlink() and path.is_dir()
        ]
    except (FileNotFoundError, NotADirectoryError):
        return ()
    except OSError as problem:
        raise UnreadableInput(
            f"{sealed} cannot be looked into: {problem.strerror}.",
            "Give this user the right to read it.",
        ) from problem
    return tuple(sorted(found))


def digest_of(bag: Path) -> str:
    """Return the digest of a bag: the sha256 of its tag manifest, which covers all the rest of it."""
    try:
        return sha256((bag / TAG_MANIFEST).read_bytes()).hexdigest()
    except OSError as problem:
        raise UnreadableInput(
            f"{bag}/{TAG_MANIFEST} cannot be read: {problem.strerror}.",
            "Run dossier verify on the job to see what else is amiss, and put the file back from a copy.",
        ) from problem


def previous_digest(job_folder: Path) -> str | None:
    """Return the digest of the newest bag of a job, None where nothing is sealed.

    It is what a document of the next entry prints. Raises UnreadableInput where that bag is damaged.
    """
    bags = sealed_folders(job_folder / SEALED)
    return digest_of(bags[-1]) if bags else None


def newest_bag(job_folder: Path) -> Path:
    """Return the newest bag of a sealed job; there is one."""
    return sealed_folders(job_folder / SEALED)[-1]


def next_name(job_folder: Path, on: date, kind: EntryKind) -> str:
    """Return the name that the next entry's folder gets. on: the day it happened."""
    return f"{len(sealed_folders(job_folder / SEALED)) + 1:04}-{on.isoformat()}-{kind.slug}"


@dataclass(frozen=True)
class Sealing:
    """Who seals an entry, on which day, and after what.

    bagged_on: the day of the run; the day it was noted where None. previous: the digest that the documents
    print, where they print one. key: to sign it with.
    """

    organization: str = ""
    bagged_on: date | None = None
    previous: str | None = None
    key: Ed25519PrivateKey | None = None


_BY_NOBODY = Sealing()


def add_supplement(
    job_folder: Path,
    entry_yaml: bytes,
    documents: Mapping[str, bytes],
    files: Mapping[str, bytes],
    sealing: Sealing = _BY_NOBODY,
    *,
    holder: Holder | None = None,
    at: Step = nowhere,
) -> Path:
    """Seal one entry beside what is sealed already; return its folder, named for the day it happened.

    documents, files: by name, below `data/documents/` and `data/files/`. holder: who takes the job's lock. Raises
    CannotWrite, with nothing added, where nothing is sealed yet, a bag is missing between the others, or
    another entry came in since `sealing.previous` was asked for; UnreadableInput where the entry would not be
    read back or is of another job.
    """
    entry = _readable(entry_yaml)
    payload = {
        "entry.yaml": entry_yaml,
        **{f"documents/{name}": data for name, data in documents.items()},
        **{f"files/{name}": data for name, data in files.items()},
    }
    with job_lock(job_folder / WORK, holder):
        return _add(job_folder, entry, payload, sealing, at)


def _add(
    job_folder: Path, entry: Entry, payload: Mapping[str, bytes], sealing: Sealing, at: Step
) -> Path:
    sealed = job_folder / SEALED
    put_back(sealed)
    bags = sealed_folders(sealed)
    refuse_gaps(sealed, bags)
    _refuse_another_job(entry, bags[0])
    before = digest_of(bags[-1])
    if sealing.previous is not None and sealing.previous != before:
        raise CannotWrite(
            f"Another entry was sealed meanwhile: {bags[-1].name}.",
            "Nothing was added. Run this again, so that the documents print the digest of that one.",
        )

    def fill(bag: Bag) -> Sequence[tuple[str, str]]:
        for file, data in payload.items():
            bag.add_bytes(file, data)
            at("one file copied")
        return [
            ("Source-Organization", sealing.organization or "not on file"),
            (JOB_NUMBER, entry.job),
            (DESCRIPTION, f"{CAME_AFTER}{entry.kind.value}"),
            (EVENT_DATE, entry.on.isoformat()),
            ("Bagging-Date", (sealing.bagged_on or entry.noted_on).isoformat()),
            ("Bag-Software-Agent", f"dossier {__version__}"),
            (BEFORE, before),
        ]

    def signed(bag: Path) -> None:
        if sealing.key is not None:
            sign(bag, sealing.key)

    return write_bag(sealed, next_name(job_folder, entry.on, entry.kind), fill, at, signed)


def refuse_again(newest: Path, entry: Entry, payload: Mapping[str, bytes]) -> None:
    """Raise CannotWrite where the newest folder holds just this entry: a command sent twice is one thing.

    It is said before anything is shown: when it is sealed, the newest folder still has to be the one that was
    looked at. payload: the entry's files, by names below `data/`. Who noted it and on which
    day makes no other entry of it.
    """
    read = read_entry(newest / ENTRY_FILE)
    if read.model is None:
        return
    noted = {"noted_by": entry.noted_by, "noted_on": entry.noted_on}
    if read.model.model_copy(update=noted) != entry:
        return
    files = [name for name in payload if name.startswith("files/")]
    folder = newest / "data" / "files"
    there = [f"files/{path.relative_to(folder).as_posix()}" for path in folder.rglob("*")]
    if sorted(files) == sorted(
        name for name in there if (newest / "data" / name).is_file()
    ) and all((newest / "data" / name).read_bytes() == payload[name] for name in files):
        raise CannotWrite(
            f"The newest entry, {newest.name}, says just this already.",
            "Nothing was added. If it happened once more, say what is different, such as the day.",
        )


def _refuse_another_job(entry: Entry, closing: Path) -> None:
    """Raise UnreadableInput where an entry is of another job than the one that was closed here."""
    try:
        info = (closing / INFO).read_text(encoding="utf-8", errors="replace")
    except OSError as problem:
        raise UnreadableInput(
            f"{closing}/{INFO} cannot be read: {problem.strerror}.",
            "Run dossier verify on the job to see what else is amiss, and put the file back from a copy.",
        ) from problem
    numbers = info_values(info, JOB_NUMBER)
    if numbers and " ".join(entry.job.split()) not in numbers:
        raise UnreadableInput(
            f"entry.yaml is of job {entry.job}, and {closing.parent} is of job {numbers[0]}.",
            "Correct the number in the entry, or name the other job folder.",
        )


def refuse_gaps(sealed: Path, bags: Sequence[Path]) -> None:
    """Raise CannotWrite unless the bags are numbered from the closing on, one by one."""
    if not bags or bags[0].name != CLOSEOUT:
        raise CannotWrite(
            f"{sealed} holds no {CLOSEOUT}: the job is not sealed, and nothing can be added to it.",
            "Seal the job first: dossier seal JOB",
        )
    for number, bag in enumerate(bags, start=1):
        if not bag.name.startswith(f"{number:04}-"):
            raise CannotWrite(
                f"{sealed} holds {bag.name} where {number:04} would be next.",
                "Nothing was added. Put the missing folder back from a copy, or take the doubled one "
                "away; dossier verify says which holds what.",
            )


def _unsigned(bag: Path) -> None:
    """Leave a bag without a signature."""


def write_bag(
    sealed: Path,
    name: str,
    fill: Callable[[Bag], Sequence[tuple[str, str]]],
    at: Step,
    signed: Callable[[Path], None] = _unsigned,
) -> Path:
    """Write a bag under a temporary name, then give it its own; return it. The job's lock is held.

    fill: puts the payload in and returns the lines of `bag-info.txt`. signed: may add a signature to the
    whole bag. Raises CannotWrite with nothing left.
    """
    target = sealed / name
    fresh = sealed / unfinished(name)
    try:
        clear_unfinished(sealed)
        at("cleared")
        bag = Bag(fresh)
        at("begun")
        bag.finish(fill(bag))
        signed(fresh)
        sync_folder(fresh)
        at("written")
        fresh.rename(target)
        sync_folder(sealed)
        at("renamed")
    except OSError as problem:
        _drop(fresh)
        raise CannotWrite(
            f"{target} could not be written: {problem.strerror or problem}.",
            "Nothing was added. Free some space, or give this user the right to write there.",
        ) from problem
    except BaseException:
        _drop(fresh)
        raise
    return target


def finish_cut_off(job_folder: Path, holder: Holder | None = None) -> None:
    """Put back what a run left that was cut off in its last step, before a sealed job is read.

    The job is taken in hand only where there is such a leftover: another run may be just at that step.
    """
    sealed = job_folder / SEALED
    left = False
    # What cannot be looked into is said by whoever reads it next.
    with suppress(OSError):
        left = any(is_unfinished(path.name) for path in sealed.iterdir())
    if left:
        with job_lock(job_folder / WORK, holder):
            put_back(sealed)


def put_back(sealed: Path) -> None:
    """Give every whole bag that has the name of an unfinished one its own name. The job's lock is held.

    A run that was cut off in its last step leaves one, and so does whoever hides a sealed folder: it must not
    be taken away as a leftover. Raises CannotWrite where one does not belong in its place.
    """
    if not sealed.is_dir():
        return
    for path in sorted(sealed.iterdir()):
        if not is_unfinished(path.name) or path.is_symlink() or not path.is_dir():
            continue
        if not is_whole(path):
            continue
        target = sealed / own_name(path.name)
        info = (path / INFO).read_text(encoding="utf-8", errors="replace")
        number = int(target.name[:4]) if NUMBERED.fullmatch(target.name) else 0
        before = [bag for bag in sealed_folders(sealed) if int(bag.name[:4]) == number - 1]
        carried = info_values(info, BEFORE)
        fits = carried == tuple(digest_of(bag) for bag in before) and bool(before) == (number > 1)
        if target.exists() or number == 0 or not fits:
            raise CannotWrite(
                f"{path} is a whole sealed folder under the name of an unfinished one, and does not belong in "
                f"{target.name}.",
                "Nothing was added. Look at what it is: dossier verify on it names its job and its digest; then "
                "put it elsewhere.",
            )
        path.rename(target)
        sync_folder(sealed)


def clear_unfinished(sealed: Path) -> None:
    """Take away what interrupted runs left behind; raises OSError where it cannot be taken away."""
    if not sealed.is_dir():
        return
    for path in sealed.iterdir():
        if is_unfinished(path.name) and path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)


def _drop(folder: Path) -> None:
    # What cannot be cleared now is cleared by the next run.
    shutil.rmtree(folder, ignore_errors=True)
    with suppress(OSError):
        # Only where nothing was sealed before.
        folder.parent.rmdir()


def _readable(entry_yaml: bytes) -> Entry:
    """Return the entry; raises UnreadableInput where it would not be read back."""
    read = entry_in(parse_tree(entry_yaml, "entry.yaml"))
    if read.model is None:
        raise UnreadableInput(read.items[0].says, read.items[0].remedy)
    entry: Entry = read.model
    return entry
