"""Facts measured before, kept so that a second look costs one stat a file.

In: the cache folder. Out: facts whose file still bears the stamp they were measured under. Must not
know how anything is measured. The file is a convenience: one that is damaged, from another version
or not ours to read is ignored, and one that cannot be written is left. What is read back equals
what would be measured again.
"""

import contextlib
import hashlib
import json
import os
import secrets
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from datetime import datetime, timedelta
from fractions import Fraction
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from dossier.evidence.facts import PaperFact, PhotoFact
from dossier.evidence.files import Stamp

FILE_NAME = "facts-v1.json"

CACHE_LIMIT_BYTES = 50_000_000
"""A cache file above this is not ours and is ignored."""

_HEAD_KEYS = {"made_with", "check", "entries"}

_EXACT_FIELDS = ("sharpness", "mean_luma", "dark_share", "bright_share")


@dataclass
class Cache:
    """The facts of one job folder by file, with the stamps they were measured under.

    made_with: what the facts depend on beside the files; facts made with anything else are not
    used.
    """

    made_with: str
    known_photos: Mapping[str, tuple[Stamp, PhotoFact]] = field(default_factory=dict)
    known_papers: Mapping[str, tuple[Stamp, PaperFact]] = field(default_factory=dict)
    photos: dict[str, tuple[Stamp, PhotoFact]] = field(default_factory=dict)
    papers: dict[str, tuple[Stamp, PaperFact]] = field(default_factory=dict)

    def photo(self, file: str, stamp: Stamp | None) -> PhotoFact | None:
        """Return the fact measured under this very stamp, None if there is none."""
        known = self.known_photos.get(file)
        if known is None or known[0] != stamp:
            return None
        self.photos[file] = known
        return known[1]

    def paper(self, file: str, stamp: Stamp | None) -> PaperFact | None:
        """Return the fact measured under this very stamp, None if there is none."""
        known = self.known_papers.get(file)
        if known is None or known[0] != stamp:
            return None
        self.papers[file] = known
        return known[1]

    @property
    def is_new(self) -> bool:
        """Return whether this run's facts differ from what was loaded."""
        return self.photos != self.known_photos or self.papers != self.known_papers


def load(cache_folder: Path, made_with: str) -> Cache:
    """Return the cache of this folder, empty where none can be used."""
    try:
        with (cache_folder / FILE_NAME).open("rb") as opened:
            raw = opened.read(CACHE_LIMIT_BYTES + 1)
        if len(raw) > CACHE_LIMIT_BYTES:
            return Cache(made_with)
        whole = json.loads(raw)
        if not isinstance(whole, dict) or set(whole) != _HEAD_KEYS:
            return Cache(made_with)
        if whole["made_with"] != made_with or whole["check"] != _check(made_with, whole["entries"]):
            return Cache(made_with)
        entries = whole["entries"]
        return Cache(
            made_with,
            {file: (Stamp(*e["stamp"]), _photo(file, e)) for file, e in entries["photos"].items()},
            {file: (Stamp(*e["stamp"]), _paper(file, e)) for file, e in entries["papers"].items()},
        )
    except (
        OSError,
        ValueError,
        TypeError,
        KeyError,
        AttributeError,
        ArithmeticError,
        RecursionError,
    ):
        return Cache(made_with)


def save(cache_folder: Path, cache: Cache) -> None:
    """Write this run's facts, whole or not at all; facts of files no longer listed are dropped."""
    if not cache.is_new:
        return
    entries = {
        "photos": {file: _plain(*known) for file, known in sorted(cache.photos.items())},
        "papers": {file: _plain(*known) for file, known in sorted(cache.papers.items())},
    }
    whole = {
        "made_with": cache.made_with,
        "check": _check(cache.made_with, entries),
        "entries": entries,
    }
    temporary = cache_folder / f"{FILE_NAME}.{secrets.token_hex(8)}.tmp"
    # A cache that cannot be written costs time and nothing else, so that no failure here stops a
    # run.
    try:
        cache_folder.mkdir(parents=True, exist_ok=True)
        with temporary.open("x", encoding="ascii") as opened:
            opened.write(json.dumps(whole))
        os.replace(temporary, cache_folder / FILE_NAME)  # noqa: PTH105 - the name says what it does.
    except OSError:
        with contextlib.suppress(OSError):
            temporary.unlink()


def _check(made_with: str, entries: Any) -> str:
    text = json.dumps([made_with, entries], sort_keys=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _plain(stamp: Stamp, fact: PhotoFact | PaperFact) -> dict[str, Any]:
    plain = asdict(fact)
    del plain["file"]
    if isinstance(fact, PhotoFact):
        taken, offset = fact.taken_at_local, fact.taken_offset
        plain["taken_at_local"] = None if taken is None else taken.isoformat()
        plain["taken_offset"] = None if offset is None else offset // timedelta(seconds=1)
        plain["place"] = None if fact.place is None else [str(degrees) for degrees in fact.place]
        for name in _EXACT_FIELDS:
            plain[name] = None if plain[name] is None else str(plain[name])
    stamp_plain = [stamp.size_bytes, stamp.mtime_ns, stamp.ctime_ns, stamp.inode]
    return {"stamp": stamp_plain, "fact": plain}


def _photo(file: str, entry: dict[str, Any]) -> PhotoFact:
    plain = dict(entry["fact"])
    taken, offset, place = plain["taken_at_local"], plain["taken_offset"], plain["place"]
    plain["taken_at_local"] = None if taken is None else datetime.fromisoformat(taken)
    plain["taken_offset"] = None if offset is None else timedelta(seconds=offset)
    plain["place"] = None if place is None else (Fraction(place[0]), Fraction(place[1]))
    plain["size_px"] = None if plain["size_px"] is None else tuple(plain["size_px"])
    for name in _EXACT_FIELDS:
        plain[name] = None if plain[name] is None else Fraction(plain[name])
    return PhotoFact(file=file, **plain)


def _paper(file: str, entry: dict[str, Any]) -> PaperFact:
    plain = dict(entry["fact"])
    plain["active_content"] = tuple(plain["active_content"])
    plain["size_px"] = None if plain["size_px"] is None else tuple(plain["size_px"])
    return PaperFact(file=file, **plain)


def made_with(ours: str, libraries: tuple[str, ...]) -> str:
    """Return what kept things depend on: a number of ours, and the libraries with their versions."""
    parts = [ours]
    for library in libraries:
        try:
            parts.append(f"{library} {version(library)}")
        except PackageNotFoundError:
            parts.append(f"{library} absent")
    return ", ".join(parts)
