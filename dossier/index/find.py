"""Words into jobs: full-text search over addresses, owners, permits, telephones, claims, products and notes.

In: an open index and words as typed. Out: the jobs that carry all of them, newest first. Must not raise for
any words. A word that no record has is taken for a misspelt street, by edit distance among the words of
addresses, and what it was taken for is said.
"""

import sqlite3
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from dossier.index.people import Reach, owners_of

MOST_WORDS, MOST_LETTERS = 12, 64
MOST_SHOWN = 20
LEAST_BEGINNING = 3
"""Letters from which on the beginning of a word is enough."""

_MOST_NEAR = 6


@dataclass(frozen=True)
class Registered:
    """One warranty asked for. Blank: not on record."""

    level: str
    sheet: str
    due_on: str
    registered_on: str
    confirmation: str


@dataclass(frozen=True)
class Later:
    """One entry after close-out."""

    on_day: str
    kind: str
    number: str
    says: str


@dataclass(frozen=True)
class Found:
    """One job, with what an office looks for first when the telephone rings."""

    folder: str
    number: str
    address: str
    permit: str
    contract_on: str
    last_shingle_on: str
    completion_on: str
    is_sealed: bool
    fault: str
    owners: tuple[Reach, ...]
    registrations: tuple[Registered, ...]
    entries: tuple[Later, ...]
    shingles: str


@dataclass(frozen=True)
class Answer:
    """What was found. total: jobs that match; taken: a word → the words it was taken for.

    unknown: words that nothing was found for. apart: where no job has all words, how many have each.
    """

    found: tuple[Found, ...]
    total: int
    taken: tuple[tuple[str, tuple[str, ...]], ...]
    unknown: tuple[str, ...]
    apart: tuple[tuple[str, int], ...]


def find_jobs(connection: sqlite3.Connection, text: str, most: int = MOST_SHOWN) -> Answer:
    """Return the jobs that carry every word of the text, at most `most` of them. Raises sqlite3.Error only
    where the file itself is at fault."""
    words = words_of(text)
    if not words:
        return Answer((), 0, (), (), ())
    options: dict[str, tuple[str, ...]] = {}
    taken: list[tuple[str, tuple[str, ...]]] = []
    unknown: list[str] = []
    for word in words:
        if _count(connection, [(word,)], most=1):
            options[word] = (word,)
            continue
        near = near_streets(connection, word)
        if near:
            taken.append((word, near))
        else:
            unknown.append(word)
        options[word] = near
    if unknown:
        return Answer((), 0, tuple(taken), tuple(unknown), _apart(connection, words, unknown))
    total = _count(connection, options.values())
    if not total:
        # Each word is somewhere, but never together: one of them may be another street's name.
        wider = {
            w: tuple(dict.fromkeys((*o, *near_streets(connection, w)))) for w, o in options.items()
        }
        total = _count(connection, wider.values())
        if total:
            taken += [(w, wider[w]) for w in words if len(wider[w]) > len(options[w])]
            options = wider
    if not total:
        return Answer((), 0, tuple(taken), (), _apart(connection, words, ()))
    ids = _ids(connection, options.values(), most)
    return Answer(tuple(_load(connection, ids)), total, tuple(taken), (), ())


def words_of(text: str) -> list[str]:
    """Return the words to look for, each once: parted by spaces, with a letter or digit in each."""
    clean = text.encode("utf-8", "replace").decode().replace("\0", " ")
    words = [word.strip("()[]{},;“”\"'") for word in clean.split()]
    wanted = [word for word in words if any(letter.isalnum() for letter in word)]
    # Nothing on record has a word longer than this; cut, it would match what it should not.
    return list(dict.fromkeys(wanted))[:MOST_WORDS]


def near_streets(connection: sqlite3.Connection, word: str) -> tuple[str, ...]:
    """Return the words of addresses nearest to a misspelt one, nearest first; none where none is near.

    Nearness is the optimal string alignment distance: letters added, left out, changed, or two neighbours
    swapped (Damerau, Communications of the ACM 7(3), 1964). One slip in four or five letters, two in more.
    """
    plain = _folded(word)
    if not 4 <= len(plain) <= MOST_LETTERS or not plain.isalpha():
        return ()
    # Loaded here, since most questions need no guess.
    from rapidfuzz.distance import OSA

    most = 1 if len(plain) < 6 else 2
    near: list[tuple[int, str]] = []
    lengths = range(len(plain) - most, len(plain) + most + 1)
    for (term,) in connection.execute("SELECT term FROM street_word"):
        if len(term) in lengths:
            distance = OSA.distance(plain, term, score_cutoff=most)
            if distance <= most:
                near.append((distance, term))
    near.sort()
    best = near[0][0] if near else 0
    return tuple(term for distance, term in near[:_MOST_NEAR] if distance <= best)


def _folded(word: str) -> str:
    """Return a word as the index keeps it: lower case, no accents."""
    apart = unicodedata.normalize("NFD", word.lower())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def _query(options: Iterable[tuple[str, ...]], *, whole: bool = False) -> str:
    """Return a full-text query: every word of one group or another, each as a quoted text.

    In quotes nothing is an operator (SQLite, FTS5, section 3.1). whole: whether a word must be whole, as one
    of one or two letters always must: house number 2 is not 26, and its beginning would be in every job.
    """
    groups = []
    for group in options:
        quoted = []
        for word in group:
            star = "" if whole or sum(map(str.isalnum, word)) < LEAST_BEGINNING else "*"
            text = word[: MOST_LETTERS * 4].replace('"', '""')
            quoted.append(f'"{text}"{star}')
        groups.append(f"({' OR '.join(quoted)})")
    return " AND ".join(groups)


def _count(
    connection: sqlite3.Connection, options: Iterable[tuple[str, ...]], most: int = -1
) -> int:
    query = "SELECT count(*) FROM (SELECT 1 FROM said WHERE said MATCH ? LIMIT ?)"
    return int(connection.execute(query, (_query(options), most)).fetchone()[0])


def _ids(
    connection: sqlite3.Connection, options: Iterable[tuple[str, ...]], most: int
) -> list[int]:
    """Return jobs with the words whole, then with words that begin so; the newest of each first."""
    groups, query = (
        list(options),
        "SELECT rowid FROM said WHERE said MATCH ? ORDER BY rowid DESC LIMIT ?",
    )
    ids: dict[int, None] = {}
    for whole in (True, False):
        if len(ids) < most:
            rows = connection.execute(query, (_query(groups, whole=whole), most))
            ids.update(dict.fromkeys(row[0] for row in rows))
    return list(ids)[:most]


def _apart(
    connection: sqlite3.Connection, words: list[str], unknown: Iterable[str]
) -> tuple[tuple[str, int], ...]:
    known = [word for word in words if word not in set(unknown)]
    counts = [(word, _count(connection, [(word,)])) for word in known]
    return tuple((word, count) for word, count in counts if count)


def _load(connection: sqlite3.Connection, ids: list[int]) -> Iterable[Found]:
    for number in ids:
        row = connection.execute(
            "SELECT folder, number, address, permit, contract_on, last_shingle_on, completion_on, "
            "is_sealed, fault FROM job WHERE id = ?",
            (number,),
        ).fetchone()
        if row is None:
            continue
        registrations = connection.execute(
            "SELECT level, sheet, due_on, registered_on, confirmation FROM registration "
            "WHERE job = ? ORDER BY place",
            (number,),
        )
        entries = connection.execute(
            "SELECT on_day, kind, number, says FROM entry WHERE job = ? ORDER BY on_day, place",
            (number,),
        )
        shingles = connection.execute(
            "SELECT product, colour FROM product WHERE job = ? AND role = 'field shingle' ORDER BY place",
            (number,),
        )
        yield Found(
            folder=row[0],
            number=row[1],
            address=row[2],
            permit=row[3],
            contract_on=row[4],
            last_shingle_on=row[5],
            completion_on=row[6],
            is_sealed=bool(row[7]),
            fault=row[8],
            owners=owners_of(connection, number),
            registrations=tuple(Registered(*one) for one in registrations),
            entries=tuple(Later(*one) for one in entries),
            shingles="; ".join(
                dict.fromkeys(", ".join(part for part in one if part) for one in shingles)
            ),
        )
