"""Whether sealed folders still are what was sealed: every byte hashed, every name compared.

In: one bag, a job's `sealed/`, or a job folder. Out: a `Verified`: a sentence for every difference, and what
could not be told. Must not write, nor trust size, time or any name in a manifest: a file is opened only
where the walk through the bag itself found it. Bytes are read in a stream, a few files at a time.
"""

import os
import stat
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import takewhile
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.archive.bags import (
    CHUNK_BYTES,
    DATA,
    DECLARATION,
    INFO,
    MANIFEST,
    READ_ONLY,
    TAG_MANIFEST,
    info_values,
    manifest_digests,
    manifest_text,
)
from dossier.archive.names import (
    BEFORE,
    CAME_AFTER,
    CLOSEOUT,
    DESCRIPTION,
    EVENT_DATE,
    JOB_NUMBER,
    NUMBERED,
    SIGNATURE,
    is_unfinished,
    own_name,
    shown,
    told_apart,
)
from dossier.errors import UnreadableInput
from dossier.reading.nodes import Mapping as Fields
from dossier.reading.nodes import Text, parse_tree
from dossier.record.places import ENTRY_FILE, SEALED

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

JOB_FILE = "job.yaml"
"""The record, in the job folder and in the closing."""

THREADS = 2
"""Hashing lets go of the interpreter's lock, so that two threads use two cores."""

TAKEN_FROM_THE_END = (
    "Whether later folders were taken away from the end cannot be told from the folder itself."
)
"""Said of every `sealed/`: each folder vouches for the one before it, and nothing for the last."""

_WORTH_THREADS_BYTES = 4 * 1024 * 1024
_REWRITE = (
    "a rewrite of the whole, manifests and all, cannot be ruled out, nor an entry put at the end by somebody "
    "else."
)
_MOST_RECORD_BYTES = 2 * 1024 * 1024
_MOST_TAG_BYTES = 64 * 1024 * 1024
_TAGS = (DECLARATION, INFO, MANIFEST, TAG_MANIFEST)


@dataclass(frozen=True)
class VerifiedBag:
    """One bag as it was found. differences: a sentence each, in the order of the names.

    digest: of its tag manifest, empty where that cannot be read. payload: file below `data/` → sha256 as it
    is now. signed: whether it carries a signature at all, checked or not.
    """

    folder: Path
    differences: tuple[str, ...]
    digest: str
    payload: Mapping[str, str] = field(default_factory=dict)
    size_bytes: int = 0
    signed: bool = False
    info: str = ""

    @property
    def name(self) -> str:
        """Return the folder's name on one line of text, whatever it holds."""
        return told_apart(self.folder.name)

    @property
    def job(self) -> str:
        """Return the job that it says it is of; blank where it says none."""
        return next(iter(info_values(self.info, JOB_NUMBER)), "")


@dataclass(frozen=True)
class Verified:
    """What verifying came to. chain: differences between bags. notes: what is said and is no difference."""

    bags: tuple[VerifiedBag, ...]
    chain: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def differences(self) -> tuple[str, ...]:
        """Return every difference, each with the name of its bag in front."""
        own = (f"{bag.name}: {says}" for bag in self.bags for says in bag.differences)
        return (*own, *self.chain)


def verify(
    folder: Path, key: "Ed25519PublicKey | None" = None, *, closing_signed: bool = True
) -> Verified:
    """Return whether these sealed folders are as they were sealed.

    folder: one bag, a `sealed/` folder, or a job folder. key: the office's public key. closing_signed: whether,
    with a key, a closing without a signature is a difference. Raises UnreadableInput where there is nothing
    sealed, or something cannot be read by this user.
    """
    home = _sealed_in(folder)
    if home is None:
        bag = verify_bag(folder, key, closing_signed=closing_signed)
        notes = [
            "This is one folder by itself; whether earlier and later ones belong to it was not looked at."
        ]
        return Verified((bag,), (), (*notes, *_unsigned_notes((bag,), key)))
    chain: list[str] = []
    notes = []
    bags: list[VerifiedBag] = []
    if home.is_symlink():
        chain.append(f"{home.name}: is a link, and what is sealed lies in the job folder itself.")
    for path in _listed(home):
        mode = path.lstat().st_mode
        if is_unfinished(path.name) and stat.S_ISDIR(mode) and is_whole(path):
            chain.append(
                f"{told_apart(path.name)}: is a whole sealed folder under the name of an unfinished one: a run "
                "was cut off in its last step, or somebody hid the folder. Give it its own name back: "
                f"{shown(own_name(path.name))}."
            )
        elif is_unfinished(path.name):
            notes.append(
                f"{told_apart(path.name)} was left by a run that was cut off before it was whole; it was never a "
                "part of what is sealed, and the next run takes it away."
            )
        elif stat.S_ISLNK(mode):
            chain.append(f"{told_apart(path.name)}: is a link, and a sealed folder holds no links.")
        elif not stat.S_ISDIR(mode) or not NUMBERED.fullmatch(path.name):
            chain.append(
                f"{told_apart(path.name)}: was added; it is no folder that dossier sealed."
            )
        else:
            bags.append(verify_bag(path, key, closing_signed=closing_signed))
    if not bags and not chain:
        # A first seal that was cut off leaves the same as somebody who took everything away.
        raise UnreadableInput(
            f"{home} holds no sealed folder; whether none was ever made or all were taken away cannot be told.",
            "Seal the job if it never was: dossier seal JOB. Else take the folders back from a copy.",
        )
    chain += (*_broken(bags), *_misnamed(bags), *_of_another_job(bags, home), *_unsigned(bags))
    return Verified(
        tuple(bags),
        tuple(chain),
        (*notes, *_unsigned_notes(tuple(bags), key), TAKEN_FROM_THE_END),
    )


def _sealed_in(folder: Path) -> Path | None:
    """Return the folder that holds the bags, None where the folder given is itself a bag."""
    try:
        if not folder.is_dir():
            what = "is a file" if folder.exists() else "is not there"
            raise UnreadableInput(
                f"{folder} {what}.", "Name a job folder, its sealed/ folder, or one folder in it."
            )
        if any(os.path.lexists(folder / name) for name in _TAGS):
            return None
        if (folder / SEALED).is_dir():
            return folder / SEALED
        bag_like = NUMBERED.fullmatch(folder.name) and folder.resolve().parent.name == SEALED
        if bag_like:
            return None
        if folder.resolve().name == SEALED or any(
            NUMBERED.fullmatch(path.name) and os.path.lexists(path / TAG_MANIFEST)
            for path in folder.iterdir()
        ):
            return folder
    except OSError as problem:
        raise _unreadable(folder, problem) from problem
    raise UnreadableInput(
        f"{folder} holds nothing that was sealed.", "Seal the job first: dossier seal JOB"
    )


def _listed(folder: Path) -> list[Path]:
    try:
        return sorted(folder.iterdir())
    except OSError as problem:
        raise _unreadable(folder, problem) from problem


def _broken(bags: list[VerifiedBag]) -> Iterator[str]:
    """Yield where the numbers have a gap, or a bag does not carry the digest of the one before."""
    before: VerifiedBag | None = None
    for place, bag in enumerate(bags, start=1):
        name, number = bag.name, int(bag.folder.name[:4])
        if place == 1 and bag.folder.name != CLOSEOUT:
            yield f"{CLOSEOUT}: is not there; the first folder is {name}."
        elif before is not None and number != int(before.folder.name[:4]) + 1:
            yield (
                f"{name}: does not follow on {before.name}; a folder between them is missing, or one "
                "was added."
            )
        if before is not None:
            carried = info_values(bag.info, BEFORE)
            if carried != (before.digest,):
                found = f"{carried[0][:16]}…" if carried else "none"
                yield (
                    f"{name}: carries the digest {found} of the folder before it, and {before.name} "
                    f"has {before.digest[:16] or 'none'}…; one of the two was changed after it was sealed."
                )
        before = bag


def is_whole(folder: Path) -> bool:
    """Return whether a folder is a bag with nothing missing, whatever its name."""
    return os.path.lexists(folder / TAG_MANIFEST) and not verify_bag(folder).differences


def _misnamed(bags: list[VerifiedBag]) -> Iterator[str]:
    """Yield the entries whose folders are not named by the day and the kind that they were sealed with."""
    for bag in bags:
        days, told = info_values(bag.info, EVENT_DATE), info_values(bag.info, DESCRIPTION)
        if len(days) != 1 or len(told) != 1 or not told[0].startswith(CAME_AFTER):
            continue
        kind = told[0].removeprefix(CAME_AFTER).replace("'", "").replace(" ", "-")
        name = f"{bag.folder.name[:4]}-{days[0]}-{kind}"
        if bag.folder.name != name:
            yield f"{bag.name}: was given another name; it was sealed as {shown(name)}."


def _of_another_job(bags: list[VerifiedBag], home: Path) -> Iterator[str]:
    """Yield where the number of the job is not the same wherever it stands."""
    first = bags[0] if bags else None
    if first is None or not first.job:
        return
    beside = _number_in(home.parent / JOB_FILE, ("job", "number"))
    if beside and beside != first.job:
        yield (
            f"{JOB_FILE}: in the job folder is of job {shown(beside)}, and what is sealed is of job "
            f"{shown(first.job)}; one of the two does not belong here."
        )
    for bag in bags:
        if bag.job != first.job:
            yield (
                f"{bag.name}: says that it is of job {shown(bag.job) or 'no number'}, and {first.name} that it is "
                f"of job {shown(first.job)}; one of the two does not belong here."
            )
        inside = (
            _number_in(bag.folder / DATA / JOB_FILE, ("job", "number"))
            if bag is first
            else _number_in(bag.folder / ENTRY_FILE, ("job",))
        )
        if bag.job and inside and inside != bag.job:
            yield (
                f"{bag.name}: {INFO} says that it is of job {shown(bag.job)}, and the record in it that it is of "
                f"job {shown(inside)}."
            )


def _number_in(path: Path, where: tuple[str, ...]) -> str:
    """Return the job's number as a record says it; blank where it cannot be read there."""
    try:
        with os.fdopen(os.open(path, READ_ONLY), "rb") as file:
            node = parse_tree(file.read(_MOST_RECORD_BYTES), path.name).tree
    except OSError:
        return ""
    for name in where:
        entry = node.entries.get(name) if isinstance(node, Fields) else None
        node = entry.value if entry is not None else None
    return " ".join(node.text.split()) if isinstance(node, Text) else ""


def _unsigned(bags: list[VerifiedBag]) -> Iterator[str]:
    """Yield the folders without a signature after one that has one: an office that signs signs them all."""
    signed: VerifiedBag | None = None
    for bag in bags:
        if bag.signed:
            signed = signed or bag
        elif signed is not None:
            yield (
                f"{bag.name}: carries no signature, and {signed.name} before it does: it was sealed without the "
                "office's key, or put here by somebody else."
            )


def _unsigned_notes(bags: tuple[VerifiedBag, ...], key: "Ed25519PublicKey | None") -> Iterator[str]:
    """Yield what the digests alone cannot tell."""
    if any(bag.signed for bag in bags):
        if key is None:
            yield (
                "A signature is there and was not checked; give the office's public key with --key. Without that, "
                f"{_REWRITE}"
            )
        else:
            for bag in takewhile(lambda bag: not bag.signed, bags):
                yield (
                    f"{bag.name} carries no signature. What is signed after it carries its digest, so that it "
                    "was as it is now when that was signed."
                )
        return
    yield f"No signature is there. Without one, {_REWRITE}"


# --- one bag ------------------------------------------------------------------------------------


@dataclass
class _Walk:
    """What lies in a bag: files by name with their size, and what should not be there at all."""

    files: dict[str, int] = field(default_factory=dict)
    odd: list[str] = field(default_factory=list)


def verify_bag(
    folder: Path, key: "Ed25519PublicKey | None" = None, *, closing_signed: bool = True
) -> VerifiedBag:
    """Return one bag as it is now, every file in it hashed. key, closing_signed: as `verify` has them."""
    walk = _Walk()
    _walk_in(folder, "", walk)
    payload = {name: size for name, size in walk.files.items() if name.startswith(f"{DATA}/")}
    tags = [name for name in walk.files if name not in payload]
    digests = _hash_all(folder, payload)
    texts = {name: _text_of(folder / name) for name in tags}
    differences = list(walk.odd)
    differences += _tag_differences(tags, texts)
    differences += _payload_differences(texts.get(MANIFEST), digests)
    if texts.get(DECLARATION, b"") not in (
        b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        b"",
    ):
        differences.append(f"{DECLARATION}: does not say BagIt 1.0 in UTF-8.")
    signed = SIGNATURE in walk.files
    if key is not None and (signed or (closing_signed and folder.name == CLOSEOUT)):
        # Imported here, since a check without a key needs none of it.
        from dossier.archive.keys import signature_fault

        fault = signature_fault(folder, key)
        if fault:
            differences.append(f"{SIGNATURE}: this folder {fault}.")
    listed = texts.get(TAG_MANIFEST)
    return VerifiedBag(
        folder,
        tuple(differences),
        sha256(listed).hexdigest() if listed is not None else "",
        digests,
        sum(payload.values()),
        signed,
        texts.get(INFO, b"").decode("utf-8", "replace"),
    )


def _walk_in(folder: Path, below: str, walk: _Walk) -> None:
    try:
        with os.scandir(folder) as scanned:
            entries = sorted(scanned, key=lambda entry: entry.name)
    except OSError as problem:
        raise _unreadable(folder, problem) from problem
    if not entries and below not in ("", f"{DATA}/"):
        walk.odd.append(f"{shown(below)}: an empty folder was added.")
    for entry in entries:
        name = f"{below}{entry.name}"
        status = entry.stat(follow_symlinks=False)
        if stat.S_ISDIR(status.st_mode):
            if not below and entry.name != DATA:
                walk.odd.append(f"{shown(name)}: a folder was added.")
            _walk_in(Path(entry.path), f"{name}/", walk)
        elif stat.S_ISREG(status.st_mode):
            walk.files[name] = status.st_size
        else:
            what = "a link" if stat.S_ISLNK(status.st_mode) else "neither a file nor a folder"
            walk.odd.append(f"{shown(name)}: is {what}, and a sealed folder holds none.")


def _tag_differences(tags: list[str], texts: Mapping[str, bytes]) -> Iterator[str]:
    """Yield what is wrong with the files beside `data/`, by the tag manifest."""
    listed = texts.get(TAG_MANIFEST)
    if listed is None:
        yield f"{TAG_MANIFEST}: is missing, so that nothing vouches for the other manifests."
        return
    wanted, bad = _parsed(listed)
    for line in bad:
        yield f"{TAG_MANIFEST} line {line}: was changed; it is no line of a manifest."
    # Nothing lists this file itself, so even a capital letter in it would go by unseen.
    if not bad and manifest_text(wanted).encode("utf-8", "surrogateescape") != listed:
        yield f"{TAG_MANIFEST}: was changed; it is not written as it was when it was sealed."
    for name in sorted({*wanted, *_TAGS} - {TAG_MANIFEST}):
        if name not in wanted:
            yield f"{TAG_MANIFEST}: does not list {name}, and so was changed."
        elif name not in texts:
            yield f"{shown(name)}: is missing."
        elif sha256(texts[name]).hexdigest() != wanted[name]:
            # Two files disagree, and which of them was touched cannot be told from the two.
            stands = " What is said of data/ stands on it." if name == MANIFEST else ""
            yield f"{shown(name)}: was changed, or its line in {TAG_MANIFEST} was.{stands}"
    for name in sorted(set(tags) - set(wanted) - {TAG_MANIFEST, SIGNATURE}):
        yield f"{shown(name)}: was added."


def _payload_differences(manifest: bytes | None, digests: Mapping[str, str]) -> Iterator[str]:
    if manifest is None:
        # That it is missing was said; without it nothing can be said of a single file.
        return
    wanted, bad = _parsed(manifest)
    for line in bad:
        yield f"{MANIFEST} line {line}: was changed; it is no line of a manifest."
    for name in sorted({*wanted, *digests}):
        if name not in digests:
            yield f"{shown(name)}: is missing."
        elif name not in wanted:
            yield f"{shown(name)}: was added."
        elif digests[name] != wanted[name]:
            yield f"{shown(name)}: was changed."


def _parsed(data: bytes) -> tuple[dict[str, str], tuple[int, ...]]:
    # A byte that is not UTF-8 makes a name that no file has; it then shows as missing.
    return manifest_digests(data.decode("utf-8", "surrogateescape"))


def _hash_all(folder: Path, sizes: Mapping[str, int]) -> dict[str, str]:
    """Return the digest of each file; a file that cannot be read raises UnreadableInput."""
    if sum(sizes.values()) < _WORTH_THREADS_BYTES:
        return {name: _hash(folder / name) for name in sizes}
    with ThreadPoolExecutor(THREADS) as pool:
        done = pool.map(lambda name: _hash(folder / name), sizes)
        return dict(zip(sizes, done, strict=True))


def _hash(path: Path) -> str:
    digest = sha256()
    buffer = memoryview(bytearray(CHUNK_BYTES))
    try:
        handle = os.open(path, READ_ONLY)
        with os.fdopen(handle, "rb", buffering=0) as file:
            while length := file.readinto(buffer):
                digest.update(buffer[:length])
    except OSError as problem:
        raise _unreadable(path, problem) from problem
    return digest.hexdigest()


def _text_of(path: Path) -> bytes:
    try:
        handle = os.open(path, READ_ONLY)
        with os.fdopen(handle, "rb") as file:
            data = file.read(_MOST_TAG_BYTES + 1)
    except OSError as problem:
        raise _unreadable(path, problem) from problem
    if len(data) > _MOST_TAG_BYTES:
        raise UnreadableInput(
            f"{path} holds more than {_MOST_TAG_BYTES:,} bytes, and no file beside data/ does.",
            "Look at what was put there, and take the sealed folder back from a copy.",
        )
    return data


def _unreadable(path: Path, problem: OSError) -> UnreadableInput:
    return UnreadableInput(
        f"{path} cannot be read: {problem.strerror}.",
        "Nothing can be said of it until it can. Give this user the right to read it; where the disk itself "
        "fails, take the folder back from a copy.",
    )
