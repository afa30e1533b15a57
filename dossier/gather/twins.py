"""Which files of a heap show the same picture, byte for byte or nearly.

In: files with their digests and difference hashes, and those that the job already has. Out: for each
file that repeats another, that other and in what way. Must not decide what is done about it.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from dossier.evidence import PhotoFact
from dossier.gather.heap import Seen

MOST_BITS_APART = 4
"""Bits of 64 in which two difference hashes of one picture may differ. Common practice, no published
source: resizing and saving again changes a few, another view changes twenty or more."""

LEAST_EDGES = 6
"""Hashes with fewer bits of either kind come of a picture with hardly an edge, such as sky; they are
alike without being of the same thing."""

_CHUNKS = 5
_CHUNK_BITS = 13


@dataclass(frozen=True)
class Twin:
    """That a file repeats another. of: the other's name. same: byte for byte. moments: whether their
    cameras say different times, so that they are two pictures that look alike.
    """

    of: str
    same: bool
    moments: bool = False
    larger: bool = False


def same_bytes(files: Sequence[Seen], trust: Mapping[str, int]) -> dict[str, Twin]:
    """Return the files whose bytes another has, each with the one that is kept.

    trust: by name, how well each is placed; the best placed is kept, then the first.
    """
    by_digest: dict[str, list[Seen]] = defaultdict(list)
    for file in files:
        by_digest[file.sha256].append(file)
    found: dict[str, Twin] = {}
    for group in by_digest.values():
        kept = max(group, key=lambda one: trust.get(one.file.name, 0))
        for one in group:
            if one is not kept:
                found[one.file.name] = Twin(kept.file.name, same=True)
    return found


def alike(facts: Sequence[PhotoFact], known: Sequence[PhotoFact]) -> dict[str, Twin]:
    """Return the pictures that nearly repeat a larger one, each with that one.

    facts: of the heap, no two of the same bytes. known: of the job; one as large as the heap's is
    the one kept. Where the heap's is larger than the job's, `larger` is set on its twin.
    """
    in_heap = {fact.file for fact in facts}
    order = sorted(known, key=_size, reverse=True) + sorted(facts, key=_size, reverse=True)
    table: dict[tuple[int, int], list[PhotoFact]] = defaultdict(list)
    found: dict[str, Twin] = {}
    for fact in order:
        bits = telling_hash(fact)
        if bits is None:
            continue
        twin = None
        for other in _candidates(bits, table):
            if fact.file not in in_heap:
                break
            if (bits ^ (telling_hash(other) or 0)).bit_count() > MOST_BITS_APART:
                continue
            larger = other.file not in in_heap and _size(fact) > _size(other)
            moments = _apart(fact.taken_at_local, other.taken_at_local)
            one = Twin(other.file, same=False, moments=moments, larger=larger)
            # A true repeat is named before one that only looks alike.
            if twin is None or (twin.moments and not one.moments):
                twin = one
        if twin is not None:
            found[fact.file] = twin
        if twin is None or twin.moments or twin.larger:
            for key in _keys(bits):
                table[key].append(fact)
    return found


def telling_hash(fact: PhotoFact) -> int | None:
    """Return the difference hash of a picture, None where it has none or hardly an edge."""
    bits = fact.dhash
    if bits is None or not LEAST_EDGES <= bits.bit_count() <= 64 - LEAST_EDGES:
        return None
    return bits


def _size(fact: PhotoFact) -> tuple[int, int]:
    width, height = fact.size_px or (0, 0)
    return width * height, fact.size_bytes or 0


def _keys(bits: int) -> list[tuple[int, int]]:
    # Four bits cannot fall into all of five chunks, so hashes that near share at least one chunk.
    mask = (1 << _CHUNK_BITS) - 1
    return [(number, bits >> (_CHUNK_BITS * number) & mask) for number in range(_CHUNKS)]


def _candidates(bits: int, table: Mapping[tuple[int, int], list[PhotoFact]]) -> Iterator[PhotoFact]:
    seen: set[str] = set()
    for key in _keys(bits):
        for fact in table.get(key, ()):
            if fact.file not in seen:
                seen.add(fact.file)
                yield fact


def _apart(one: datetime | None, other: datetime | None) -> bool:
    return one is not None and other is not None and one != other
