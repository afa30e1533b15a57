"""A finished job folder into its first sealed bag, `sealed/0001-closeout/`.

In: a job folder, and the digests that its files had when they were looked at. Out: a bag with every file
of the folder under its own path. Must not know what any file says. A file that changed, came or went since
it was looked at is caught, and then nothing is sealed.
"""

import os
import stat
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from dossier.archive.bags import Bag
from dossier.archive.keys import sign
from dossier.archive.names import CLOSEOUT
from dossier.archive.supplements import Step, nowhere, put_back, sealed_folders, write_bag
from dossier.disk.outputs import WORK
from dossier.errors import CannotWrite
from dossier.record.places import SEALED
from dossier.values import Progress, silent

LEFT_OUT = frozenset({SEALED, WORK})
"""What lies in a job folder and is not sealed with it: earlier bags, and cache, lock and temporaries."""

_BESIDE = (".dossier-new", ".dossier-old")


@dataclass(frozen=True)
class Listing:
    """What a job folder holds. empty: folders without a file below them, which no manifest can list."""

    files: tuple[str, ...]
    empty: tuple[str, ...]


def list_job(job_folder: Path) -> Listing:
    """Return every file of a job folder that is sealed with it, by sorted paths with forward slashes.

    Raises CannotWrite where something is a link, or neither a file nor a folder: a sealed folder holds the
    things themselves.
    """
    files: list[str] = []
    empty: list[str] = []
    try:
        _walk(job_folder, "", files, empty)
    except OSError as problem:
        raise CannotWrite(
            f"{problem.filename or job_folder} cannot be looked into: {problem.strerror}.",
            "Give this user the right to read all of the job folder.",
        ) from problem
    return Listing(tuple(sorted(files)), tuple(sorted(empty)))


def _walk(folder: Path, below: str, files: list[str], empty: list[str]) -> bool:
    """Note what lies below a folder; return whether there was any file."""
    found = False
    for entry in _sorted_entries(folder):
        path = f"{below}{entry.name}"
        if not below and (
            entry.name in LEFT_OUT or (entry.name[0] == "." and entry.name.endswith(_BESIDE))
        ):
            continue
        mode = entry.stat(follow_symlinks=False).st_mode
        if stat.S_ISDIR(mode):
            inside = _walk(Path(entry.path), f"{path}/", files, empty)
            if not inside:
                empty.append(path)
            found = found or inside
        elif stat.S_ISREG(mode):
            files.append(path)
            found = True
        else:
            what = "a link" if stat.S_ISLNK(mode) else "neither a file nor a folder"
            raise CannotWrite(
                f"{path} in the job folder is {what}.",
                "Nothing was sealed. Put the file itself there in place of it, or take it away.",
            )
    return found


def _sorted_entries(folder: Path) -> Iterator[os.DirEntry[str]]:
    with os.scandir(folder) as entries:
        yield from sorted(entries, key=lambda entry: entry.name)


def refuse_sealed(job_folder: Path) -> None:
    """Raise CannotWrite where a job is sealed already. The job's lock is held."""
    put_back(job_folder / SEALED)
    bags = sealed_folders(job_folder / SEALED)
    if bags:
        raise CannotWrite(
            f"This job is sealed already, in {SEALED}/{bags[0].name}, and is sealed once.",
            "What comes later is an entry of its own beside it; what was sealed is not changed.",
        )


def seal_closeout(
    job_folder: Path,
    looked_at: Listing,
    expected: Mapping[str, str],
    info: Callable[[Listing], Sequence[tuple[str, str]]],
    *,
    key: Ed25519PrivateKey | None = None,
    progress: Progress = silent,
    at: Step = nowhere,
) -> Path:
    """Write the first bag of a job, whole or not at all, and return its folder. The job's lock is held.

    looked_at: what the folder held when the job was checked, without what was written since. expected: file
    → sha256 as it was then or as it was written since. info: the lines of `bag-info.txt` for what is
    sealed. Raises CannotWrite with nothing sealed.
    """
    refuse_sealed(job_folder)
    listing = list_job(job_folder)
    _refuse_come_or_gone(listing, looked_at, expected)

    def fill(bag: Bag) -> Sequence[tuple[str, str]]:
        for number, file in enumerate(listing.files):
            progress(file, number, len(listing.files))
            bag.add_file(file, job_folder / file)
            if expected.get(file, bag.digests[file]) != bag.digests[file]:
                raise _moved(f"{file} is not what it was when the job was checked.")
            at("one file copied")
        progress("", len(listing.files), len(listing.files))
        # Somebody may have put a file there, or taken one away, while the copies were made.
        _refuse_come_or_gone(list_job(job_folder), looked_at, expected)
        return info(listing)

    def signed(bag: Path) -> None:
        if key is not None:
            sign(bag, key)
            at("signed")

    return write_bag(job_folder / SEALED, CLOSEOUT, fill, at, signed)


def _refuse_come_or_gone(now: Listing, looked_at: Listing, expected: Mapping[str, str]) -> None:
    before = set(looked_at.files) | set(expected)
    for file in sorted(set(now.files) ^ before):
        what = "came into the job folder" if file in set(now.files) else "went from the job folder"
        raise _moved(f"{file} {what} after the job was checked.")


def _moved(says: str) -> CannotWrite:
    return CannotWrite(says, "Nothing was sealed. Run this again when nobody works in the folder.")
