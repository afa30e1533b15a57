"""Which edition of a sealed record a document prints: what was put right since the seal, and on which day.

In: a case as its reader may see it. Out: ready-to-print strings. Must not show a value or a name that the case of
this reader has lost.
"""

from dataclasses import dataclass

from dossier.case.case import Case, PutRight
from dossier.compose.parts.shared import Pair
from dossier.values import clip, listed, plural, write_date
from dossier.words import EntryKind

LABEL = "Edition"
_VERB = {
    EntryKind.CORRECTION: "corrected",
    EntryKind.LATE_PAPER: "paper added",
    EntryKind.LATE_PHOTO: "photo added",
    EntryKind.REGISTRATION_CONFIRMED: "registration confirmed",
}
_MOST_LETTERS = 80
_MOST_PARTS = 3


@dataclass(frozen=True)
class EditionRow:
    """One later edition: its number, what began it and when, and what it changed."""

    number: str
    when: str
    what: str


def edition_pairs(case: Case) -> tuple[Pair, ...]:
    """Return every later edition on one line, the newest first; nothing where the record is as it was closed."""
    told = [f"{row.number}, {row.when}: {row.what}" for row in reversed(edition_rows(case))]
    left = len(told) - _MOST_PARTS
    more = f"; and {plural(left, 'earlier one')}" if left > 0 else ""
    return (Pair(LABEL, f"{'; '.join(told[:_MOST_PARTS])}{more}"),) if told else ()


def edition_number(case: Case) -> str:
    """Return what stands behind the word edition: its number, blank where the record is as it was closed."""
    rows = edition_rows(case)
    return f" {rows[-1].number}" if rows else ""


def edition_since(case: Case) -> str:
    """Return since when and by what, on one short line; blank where the record is as it was closed.

    The first page is full as it is: of a field only its own end is named, and its values stand further in.
    """
    rows = edition_rows(case)
    if not rows:
        return ""
    newest = [one for one in case.put_right if one.edition == int(rows[-1].number)]
    if newest[0].kind is EntryKind.REGISTRATION_CONFIRMED:
        return rows[-1].when
    more = f" and {len(newest) - 1} more" if len(newest) > 1 else ""
    return f"{rows[-1].when}: {clip(newest[0].where.rpartition(', ')[2], 36)}{more}"


def edition_rows(case: Case) -> tuple[EditionRow, ...]:
    """Return every later edition, oldest first."""
    rows = []
    for number in sorted({one.edition for one in case.put_right}):
        of_this = [one for one in case.put_right if one.edition == number]
        said = list(dict.fromkeys(put_right_words(one) for one in of_this))
        more = len(said) - _MOST_PARTS
        parts = [*said[:_MOST_PARTS], *([f"{more} more"] if more > 0 else [])]
        when = f"{_VERB[of_this[0].kind]} {write_date(of_this[0].on)}"
        rows.append(EditionRow(str(number), when, listed(parts)))
    return tuple(rows)


def put_right_words(one: PutRight) -> str:
    """Return what was put right, in words: the field, what is right, what stood there."""
    if one.where.startswith(("paper ", "photo ")) and one.kind is not EntryKind.CORRECTION:
        return one.where if one.right is not None else "a paper that is kept at the office"
    if one.right is None:
        return f"{one.where}, whose value is not shown in this document"
    now = f"“{clip(one.right, _MOST_LETTERS)}”" if one.right else "blank"
    if not one.was:
        return f"{one.where} {now}, blank before"
    return f"{one.where} {now}, not “{clip(one.was, _MOST_LETTERS)}”"
