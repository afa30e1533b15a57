"""What differs between two PDFs, page by page and part by part, in sentences.

In: the parts of a document that somebody holds and of the one that was sealed. Out: `Differs`. Must not know a
job or a bag. Pages are paired before they are compared, so that one that was taken out, put in or moved is
named as such and does not make all that follow it different.
"""

import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher

from dossier.alike.parts import Page, Parts
from dossier.alike.pictures import Look, Looked, look
from dossier.values import clip, listed, plural

MOST_MORE_PAGES = 50
"""Pages beyond those of the sealed document that are read; of a longer one the number of its pages says enough."""

MOST_NAMED = 4
"""Pages that are named one by one for the same kind of difference; more are named together."""

_MM_PER_POINT = 25.4 / 72
_CARRIED = {
    "/Outlines": "the bookmarks are",
    "/AcroForm": "the form fields are",
    "/OpenAction": "what it does when it is opened is",
    "/AA": "what it does when it is opened or printed is",
    "/Names/JavaScript": "the programs in it (JavaScript) are",
    "/OCProperties": "its layers, which a reader can switch off, are",
    "/StructTreeRoot": "the order and the words in which it is read aloud are",
    "/MarkInfo": "the order and the words in which it is read aloud are",
    "/Lang": "the language it is read aloud in is",
    "/Dests": "the places in it that links lead to are",
    "/Names/Dests": "the places in it that links lead to are",
    "/PageLabels": "the page numbers a reader shows are",
    "/Collection": "the way its attachments are shown is",
}

_BY_PAGE = ("/Outlines", "/StructTreeRoot", "/PageLabels", "/Dests", "/Names/Dests")


@dataclass
class Differs:
    """What comparing came to. saved_anew: whether nothing differs but the way the file is written down.

    cut_short: whether time ran out before every page was compared.
    """

    differences: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    saved_anew: bool = False
    cut_short: bool = False


@dataclass(frozen=True)
class _Pair:
    """A page that somebody holds and the sealed one it stands for, each from 0 on."""

    theirs: int
    sealed: int


def compare_parts(theirs: Parts, sealed: Parts, seconds: float) -> Differs:
    """Return what differs. seconds: how long pages may be drawn; the rest is then not compared."""
    found = Differs()
    until = time.monotonic() + seconds
    most = sealed.count + MOST_MORE_PAGES
    pages, of = theirs.pages(most), sealed.pages(sealed.count)
    if theirs.count > most:
        found.differences.append(
            f"It has {theirs.count:,} pages, and the sealed document {sealed.count:,}."
        )
    if theirs.count != theirs.count_by_objects:
        found.differences.append(
            f"One way of reading it finds {plural(theirs.count, 'page')} and another "
            f"{theirs.count_by_objects:,}: what it shows depends on the program that opens it."
        )
    pairs, gone, come = _paired(pages, of)
    arranged = list(_arranged(pairs, gone, come, theirs.count > most))
    found.differences += arranged
    _compare_pages(found, theirs, sealed, (pages, of), pairs, until)
    found.differences += _attached(theirs.attached, sealed.attached)
    found.differences += _carried(theirs, sealed, all_there=not arranged)
    if not found.differences and not found.cut_short:
        same_inside = all(
            pages[pair.theirs].digest == of[pair.sealed].digest != "" for pair in pairs
        )
        found.saved_anew = True
        if not same_inside:
            found.notes.append(
                "Inside, some pages are written down in another way than they were sealed, which changes nothing "
                "that a page says or shows here."
            )
    return found


# --- which page stands for which ---------------------------------------------------------------


def _paired(pages: Sequence[Page], of: Sequence[Page]) -> tuple[list[_Pair], list[int], list[int]]:
    """Return the pages that belong together, the sealed ones that are gone, and the ones that came."""
    keys = [_key(page) for page in pages], [_key(page) for page in of]
    pairs: list[_Pair] = []
    come: list[int] = []
    gone: list[int] = []
    # Junk is never left aside: a page that is there many times is a page.
    matcher = SequenceMatcher(None, keys[1], keys[0], autojunk=False)
    for what, a, b, c, d in matcher.get_opcodes():
        if what == "equal" or (what == "replace" and b - a == d - c):
            pairs += [_Pair(c + step, a + step) for step in range(b - a)]
        else:
            gone += range(a, b)
            come += range(c, d)
    # What was taken out in one place and stands in another was moved; then what is most like it was changed.
    for alike in (_same, _much_alike):
        for at in list(gone):
            match = next((one for one in come if alike(pages[one], of[at])), None)
            if match is not None:
                pairs.append(_Pair(match, at))
                gone.remove(at)
                come.remove(match)
    return sorted(pairs, key=lambda pair: pair.theirs), gone, come


def _key(page: Page) -> tuple[str, str]:
    # A page without text is known by what it is made of.
    return page.words, "" if page.words else page.digest


def _same(one: Page, other: Page) -> bool:
    return _key(one) == _key(other)


def _much_alike(one: Page, other: Page) -> bool:
    words, of = set(one.text.split()), set(other.text.split())
    return len(words & of) * 2 > max(len(words | of), 1)


def _arranged(
    pairs: Sequence[_Pair], gone: Sequence[int], come: Sequence[int], cut: bool
) -> Iterator[str]:
    if gone:
        are = "is" if len(gone) == 1 else "are"
        yield f"{_pages(gone)} of the sealed document {are} missing."
    if come and not cut:
        was = "was" if len(come) == 1 else "were"
        yield f"{_pages(come)} {was} added; the sealed document has none such."
    # In the order they stand in, those off the longest rising row were moved.
    stands = [pair.sealed for pair in pairs]
    kept = set(_rising(stands))
    out = [pair for pair in pairs if pair.sealed not in kept]
    if out:
        where = [
            f"page {pair.theirs + 1} is page {pair.sealed + 1} of the sealed one" for pair in out
        ]
        more = f", and {len(where) - MOST_NAMED:,} more" if len(where) > MOST_NAMED else ""
        yield f"The pages are in another order: {listed(where[:MOST_NAMED])}{more}."


def _rising(numbers: Sequence[int]) -> list[int]:
    """Return one longest rising row among numbers that are all different."""
    rows: list[list[int]] = []
    for number in numbers:
        place = next((at for at, row in enumerate(rows) if row[-1] > number), len(rows))
        row = [*(rows[place - 1] if place else []), number]
        rows[place : place + 1] = [row]
    return rows[-1] if rows else []


def _pages(numbers: Sequence[int]) -> str:
    """Return page numbers in words, from 1 on: Page 3; Pages 3 and 5 to 7."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = []
    for run in runs:
        told += (
            [f"{run[0] + 1} to {run[-1] + 1}"] if len(run) > 2 else [str(one + 1) for one in run]
        )
    return f"{'Page' if len(numbers) == 1 else 'Pages'} {listed(told)}"


# --- one page and the one it stands for --------------------------------------------------------


def _compare_pages(
    found: Differs,
    theirs: Parts,
    sealed: Parts,
    pages: tuple[Sequence[Page], Sequence[Page]],
    pairs: Sequence[_Pair],
    until: float,
) -> None:
    told: dict[str, list[tuple[int, str]]] = {}
    edges: list[int] = []
    undrawn: list[int] = []

    def note(kind: str, number: int, says: str) -> None:
        told.setdefault(kind, []).append((number, says))

    for pair in pairs:
        page, of, number = pages[0][pair.theirs], pages[1][pair.sealed], pair.theirs
        if any(abs(a - b) > 0.5 for a, b in zip(page.size, of.size, strict=True)):
            note("size", number, f"{_size(page)} wide and high, sealed as {_size(of)}")
            looked = None
        elif time.monotonic() > until:
            undrawn.append(number)
            looked = None
        else:
            looked = look(theirs.picture(pair.theirs), sealed.picture(pair.sealed))
        differs = looked is not None and looked.look is Look.DIFFERENT
        if looked is not None and looked.look is Look.EDGES:
            edges.append(number)
        where = _where(looked, page) if looked is not None and differs else ""
        if page.words != of.words:
            kind = "says" if differs or looked is None else "hidden"
            note(kind, number, _changed_words(page.text, of.text) + (f", {where}" if where else ""))
        elif differs:
            note("over", number, where)
        for says in _notes(page, of):
            note("notes", number, says)
        for says in _links(page, of):
            note("links", number, says)
    found.differences += _page_sentences(told)
    if edges:
        found.notes.append(
            f"{_pages(edges)} {'is' if len(edges) == 1 else 'are'} drawn a hair’s breadth otherwise at the edges "
            "of letters or pictures, as a copy that another program made is; nothing wider than that differs."
        )
    if undrawn:
        found.cut_short = True
        found.notes.append(
            f"{_pages(undrawn)} could not be compared as a picture in the time there is; its text was."
        )


_KINDS: Mapping[str, tuple[str, str]] = {
    # For one page, with what was seen; and for many, without.
    "says": ("says something else: {}", "say something else"),
    "over": ("is drawn over or drawn otherwise: its text is the same, and it looks different {}",
             "are drawn over or drawn otherwise: their text is the same, and they look different"),
    "hidden": ("looks the same, but the text under it, which is searched and read aloud, is not: {}",
               "look the same, but the text under them, which is searched and read aloud, is not"),
    "size": ("has another size or is turned: {}", "have another size or are turned"),
    "notes": ("{}", "carry other notes, marks or fields than were sealed"),
    "links": ("{}", "lead to other places than were sealed"),
}  # fmt: skip


def _page_sentences(told: Mapping[str, Sequence[tuple[int, str]]]) -> Iterator[str]:
    for kind, (one, many) in _KINDS.items():
        rows = told.get(kind, ())
        if len(rows) > MOST_NAMED:
            yield f"{_pages(sorted({number for number, _ in rows}))} {many}."
            continue
        for number, says in rows:
            yield f"{_pages([number])} {one.format(says)}."


def _size(page: Page) -> str:
    width, height = (round(side * _MM_PER_POINT) for side in page.size)
    return f"{width} x {height} mm"


def _where(looked: Looked, page: Page) -> str:
    width, height = (side * _MM_PER_POINT for side in page.size)
    left, top, right, bottom = looked.box
    return (
        f"from {top * height:.0f} to {bottom * height:.0f} mm below the top edge and {left * width:.0f} to "
        f"{right * width:.0f} mm from the left"
    )


def _changed_words(text: str, of: str) -> str:
    """Return the first words that differ, as they stand and as they were sealed."""
    words, sealed = text.split(), of.split()
    if len(words) + len(sealed) > 20_000:
        return "some of its words"
    matcher = SequenceMatcher(None, sealed, words, autojunk=False)
    changes = [code for code in matcher.get_opcodes() if code[0] != "equal"]
    _, a, b, c, d = changes[0] if changes else ("", 0, 0, 0, 0)
    stood, stands = clip(" ".join(sealed[a:b]), 60), clip(" ".join(words[c:d]), 60)
    more = f", and {plural(len(changes) - 1, 'more place')}" if len(changes) > 1 else ""
    if not stood:
        return f"“{stands}” was added{more}"
    if not stands:
        return f"“{stood}” was taken out{more}"
    return f"“{stands}” where “{stood}” was sealed{more}"


def _notes(page: Page, of: Page) -> Iterator[str]:
    for digest, kind in page.notes.items():
        if digest not in of.notes:
            yield f"carries a mark or field ({clip(kind, 30)}) that was not sealed with it"
    for digest, kind in of.notes.items():
        if digest not in page.notes:
            yield f"lacks a mark or field ({clip(kind, 30)}) that was sealed with it"


def _links(page: Page, of: Page) -> Iterator[str]:
    left = list(of.links)
    come = []
    for link in page.links:
        if link in left:
            left.remove(link)
        else:
            come.append(link)
    if come:
        yield f"has a link to “{clip(come[0], 80)}” that was not sealed with it"
    elif left:
        yield f"lacks the link to “{clip(left[0], 80)}”"


# --- what is not on a page ---------------------------------------------------------------------


def _attached(
    theirs: Mapping[str, Sequence[str]], sealed: Mapping[str, Sequence[str]]
) -> Iterator[str]:
    def named(name: str) -> str:
        return (
            f"The attached record, {name},"
            if name == "job.yaml"
            else f"The attached {clip(name, 80)}"
        )

    gone = [name for name in sealed if name not in theirs]
    if len(gone) == len(sealed) > 1:
        yield f"None of the {len(sealed)} attached files is there, the record among them."
        gone = []
    if len(gone) > MOST_NAMED:
        yield f"{len(gone)} of the {len(sealed)} attached files are missing."
        gone = []
    for name in gone:
        yield f"{named(name)} is missing."
    changed = [
        name for name in sealed if name in theirs and list(theirs[name]) != list(sealed[name])
    ]
    for name in changed:
        yield f"{named(name)} is not the one that was sealed with it."
    come = [name for name in theirs if name not in sealed]
    for name in come[:MOST_NAMED]:
        yield f"{named(name)} was added; nothing of this name was sealed with it."
    if len(come) > MOST_NAMED:
        yield f"{len(come) - MOST_NAMED:,} more files were attached."


def _carried(theirs: Parts, sealed: Parts, *, all_there: bool) -> Iterator[str]:
    names = ("/Title", "/Author", "/Subject", "/Keywords")
    for name in dict.fromkeys((*names, *theirs.info, *sealed.info)):
        one, other = theirs.info.get(name, ""), sealed.info.get(name, "")
        if one != other:
            what = name.removeprefix("/").lower()
            is_now = f"is “{clip(one, 60)}”" if one else "is not there"
            was = f"as “{clip(other, 60)}”" if other else "without one"
            yield f"Its {clip(what, 30)} {is_now}; sealed {was}."
    ours, of = theirs.carried, sealed.carried
    said: list[str] = []
    for key in dict.fromkeys((*ours, *of)):
        if ours.get(key) == of.get(key):
            continue
        if not all_there and key in _BY_PAGE:
            # They name the pages that were taken out, put in or moved, which is said.
            continue
        what = _CARRIED.get(key, f"the part {clip(key.removeprefix('/'), 30)} is")
        how = "not there" if key not in ours else "new" if key not in of else "another"
        said.append(f"Besides pages and attachments, {what} {how}.")
    yield from dict.fromkeys(said)
