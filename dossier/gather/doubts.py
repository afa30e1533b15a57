"""Why facts of a paper may be wrong whatever it says: another house, a stamp, unseen words, other papers.

In: what is at hand, facts. Out: the same facts with their doubts. Must not find a fact.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from dossier.evidence.text import TextLine
from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.found import Found
from dossier.gather.labels import beside
from dossier.gather.ticket_rows import key_of
from dossier.reading.typed import Value
from dossier.said import Said, say
from dossier.values import clip

_SITE = (
    "Site address", "Site", "Job site", "Job address", "Project address", "Property address", "Property",
    "Delivered to", "Deliver to", "Ship to", "Location",
)  # fmt: skip
"""Labels of the house a paper is about. Common practice, no published source."""

_LARGE = 2.0
"""How much higher than most of it print is that is large. Our habit."""

_STREET = re.compile(r"\d+\w?\s+[^\W\d]")
"""A number with a street behind it."""

_STAMPS = re.compile(
    r"\b(?:void|cancel\w*|draft|estimate|quot\w+|specimen|sample|not valid)\b", re.I
)
"""Words across a page by which it does not count. Common practice, no published source."""


_NEW_BY: Mapping[tuple[str, ...], Sequence[tuple[str, ...]]] = {
    ("permit", "inspections"): (("kind", "on"),),
    ("money", "invoices"): (("number",), ("on", "amount")),
    ("money", "waivers"): (("kind", "given_by", "through"),),
}
"""What makes two new entries of a list one, whoever tells them; a giver's progress waivers differ by day."""

_Entry = tuple[tuple[str, ...], tuple[str, ...]]
"""A list of the record and what tells one of its entries from the others."""

_Place = tuple[str, tuple[str, ...]]
"""A paper, and the place of an entry as this paper counts."""


def doubted(at: AtHand, facts: Sequence[Found]) -> tuple[Found, ...]:
    """Return the facts, in doubt where their paper may not count, or where they are told twice or differently."""
    doubts = {paper.file: _doubt(at, paper) for paper in at.papers}
    entries = _entries(at, facts)
    first: dict[_Entry, tuple[_Place, Found]] = {}
    told: dict[tuple[tuple[str, ...], ...], list[tuple[Found, Value]]] = {}
    for one in facts:
        for path, value in _values(one):
            entry = entries.get((one.file, path[:3]))
            if entry is not None:
                first.setdefault(entry, ((one.file, path[:3]), one))
            key = (*entry, path[3:]) if entry else _own(one, path)
            told.setdefault(key, []).append((one, value))
    made = []
    for one in facts:
        doubt = one.doubt or doubts.get(one.file) or _otherwise(one, told.values())
        for path, _ in _values(one):
            place = (one.file, path[:3])
            entry = entries.get(place)
            if doubt is None and entry is not None and entry[1][0] and first[entry][0] != place:
                before = first[entry][1]
                doubt = say("{file} tells it too: {what}", file=before.file, what=before.what)
        made.append(one if one.known else replace(one, doubt=doubt))
    return tuple(made)


def _values(one: Found) -> Iterator[tuple[tuple[str, ...], Value]]:
    """Yield each value that a fact would set, with its place."""
    for change in one.changes:
        if isinstance(change.value, Mapping):
            yield from (((*change.path, name), value) for name, value in change.value.items())
        elif change.value is not None:
            yield change.path, change.value


def _entries(at: AtHand, facts: Sequence[Found]) -> dict[_Place, _Entry]:
    """Return which entry of its list each place on a paper is about: an old one by its number, or a new one."""
    money, permit = at.job.money, at.job.permit
    had: dict[tuple[str, ...], int] = {
        ("permit", "inspections"): len(permit.inspections) if permit else 0,
        ("money", "invoices"): len(money.invoices) if money else 0,
        ("money", "waivers"): len(money.waivers) if money else 0,
    }
    said: dict[_Place, dict[str, str]] = {}
    for one in facts:
        for path, value in _values(one):
            if path[:2] in had and len(path) > 3:
                said.setdefault((one.file, path[:3]), {})[path[3]] = key_of(str(value))
    found: dict[_Place, _Entry] = {}
    for (file, path), fields in said.items():
        names = next((names for names in _NEW_BY[path[:2]] if names[0] in fields), ())
        which: tuple[str, ...] = (
            (names[0], *(fields.get(name, "") for name in names)) if names else ("", file, path[2])
        )
        if int(path[2]) < had[path[:2]]:
            which = ("", path[2])
        found[file, path] = path[:2], which
    return found


def _own(one: Found, path: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """Return a place of the record itself; the number of a new entry means another one on each paper."""
    shared = path[0] == "warranties" or not any(map(str.isdigit, path))
    return (path,) if shared else (path, (one.file,))


def _doubt(at: AtHand, paper: ReadPaper) -> Said | None:
    if stamp := _STAMPS.search(paper.text.across):
        return say("“{word}” is stamped across the paper", word=stamp[0])
    if stamp_words := _stamped(paper.text.lines):
        return say("“{word}” stands on it by itself or in large print", word=stamp_words)
    if paper.text.unseen:
        return say(
            "some of its words are not seen: behind a picture, as a scanner's program took them, under a box, or "
            "in the colour of the paper; look at it"
        )
    return _other_house(at, paper)


def _stamped(lines: Sequence[TextLine]) -> str | None:
    """Return the word by which a paper does not count, alone on a line or in print far larger than the rest."""
    heights = sorted(word.height for line in lines for word in line.words)
    large = _LARGE * heights[len(heights) // 2] if heights else 0
    for line in lines:
        whole = _joined([word.text for word in line.words])
        big = _joined([word.text for word in line.words if word.height >= large])
        found = _STAMPS.fullmatch(whole.strip(" .*!-")) or _STAMPS.search(big)
        if found:
            return found[0]
    return None


def _joined(words: Sequence[str]) -> str:
    """Return words as a text; letters set apart, as in “V O I D”, are one word."""
    return ("" if all(len(word) == 1 for word in words) else " ").join(words)


def _other_house(at: AtHand, paper: ReadPaper) -> Said | None:
    """Return that a paper names the site of another house; None where one of those it names is ours."""
    ours = at.job.job.address
    sites = [
        site
        for label in _SITE
        for values, _ in beside(paper.text.lines, label, within=False)
        if (site := next((value for value in values if _STREET.search(value)), None)) is not None
    ]
    if not sites or any(_is_ours(site, ours) for site in sites):
        return None
    return say("it names “{site}”, and this job is at {ours}", site=clip(sites[0]), ours=ours)


def _is_ours(site: str, ours: str) -> bool:
    """Return whether a site is our house: number and street, behind a name or none, and no other town."""
    whole = ours.partition(",")
    street, town = _words(whole[0]), _words(whole[2])
    said = _words(site)
    # A name may stand before it: “Ship to: PELLOW, 31 Sallow Street”.
    while said and not said[0][0].isdigit() and said[: len(street)] != street:
        said = said[1:]
    # Behind the town may stand a state and a code that the record does not have.
    behind = zip(said[len(street) :], town, strict=False)
    return said[: len(street)] == street and all(one == other for one, other in behind)


def _words(text: str) -> list[str]:
    return re.findall(r"\w+", key_of(text))


def _otherwise(one: Found, told: Iterable[Sequence[tuple[Found, Value]]]) -> Said | None:
    """Return that another fact sets another value in the same place."""
    for place in told:
        for own in [value for fact, value in place if fact is one]:
            for other, value in place:
                if other is not one and key_of(str(value)) != key_of(str(own)):
                    return say("{file} says otherwise: {what}", file=other.file, what=other.what)
    return None
