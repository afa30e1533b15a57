"""What invoices, waivers and completion sheets say, as facts to agree to.

In: what is at hand. Out: `Found`. Must not write. The wording of labels is ordinary English of the trade: common
practice, no published source.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import takewhile

from dossier.evidence.text import TextLine
from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.bare_papers import (
    asked_amounts,
    head_days,
    head_numbers,
    is_name_of,
    signed_days,
)
from dossier.gather.found import Found
from dossier.gather.labels import (
    Beside,
    amount_in,
    day_doubt,
    days_beside,
    is_label,
    month_first,
    name_in,
    number_in,
    valued,
    words_of,
    written_day,
)
from dossier.gather.settling import settled
from dossier.gather.ticket_rows import key_of
from dossier.record.closing import Invoice, MoneyRecord, Waiver
from dossier.said import Money, say
from dossier.words import PaperKind, WaiverKind

_INVOICE_NUMBER = ("Invoice No", "Invoice Number", "Invoice ID", "Invoice")
_INVOICE_DAY = ("Invoice date", "Date of invoice", "Dated", "Date")
_AMOUNT = (
    "Invoice total", "Grand total", "Total amount due", "Total due", "Total amount", "Total", "Amount due",
    "Balance due",
)  # fmt: skip
_GIVEN_BY = ("Given by", "Name of claimant", "Claimant", "Waived by", "Undersigned")
_THROUGH = ("Through date", "Through the date of", "Through")
_SIGNED = ("Date signed", "Signed on", "Signature date")

_OWNER = re.compile(r"\b(?:home ?owners?|owners?|customer|client)\b")
_OTHERS = re.compile(
    r"\b(?:contractor|company|roofer|foreman|installer|crew|inspector|representative|agent|witness|sales\w*|manager"
    r"|supervisor|supplier|notary)\b"
)
"""Who signs a completion sheet, and who else does. Common practice, no published source."""

_NAMES_NOBODY = re.compile(r"\b(?:invoice|page|no|number|date|copy|original)\b|^[\W\d]+$", re.I)
"""Pieces of a letterhead that say what the paper is, and not whose."""

_ENDS_NAME = re.compile(r"$|\W*(?:llc|inc|ltd|co|\d+)\b|\s*[^\w\s]")
"""What stands behind a whole name: “Ormskar Roofing Supply” is another's."""

_HEAD_LINES = 3
"""Lines of a letterhead. Our habit."""


def found_on_money_papers(at: AtHand) -> tuple[Found, ...]:
    """Return what these papers say, in their order."""
    found: list[Found] = []
    had = at.job.money or MoneyRecord()
    for paper in at.papers:
        if paper.kind is PaperKind.INVOICE and is_ours(at, paper):
            found += _invoice(at, paper, had)
        elif paper.kind is PaperKind.WAIVER:
            found += _waiver(at, paper, had)
        elif paper.kind is PaperKind.COMPLETION:
            found += _completion(at, paper)
    return tuple(found)


# --- invoice ------------------------------------------------------------------------------------


def is_ours(at: AtHand, paper: ReadPaper) -> bool:
    """Return whether the company wrote a paper: its name is the first at the head."""
    name = key_of(at.company)
    for line in paper.text.lines[:_HEAD_LINES] if name else ():
        pieces = [
            key_of(piece.text) for piece in line.pieces if not _NAMES_NOBODY.search(piece.text)
        ]
        if not pieces:
            continue
        # Whoever else is named first wrote it; behind him our name is whom it is to.
        behind = pieces[0].removeprefix(name)
        return behind != pieces[0] and _ENDS_NAME.match(behind) is not None
    return False


def _invoice(at: AtHand, paper: ReadPaper, had: MoneyRecord) -> Iterator[Found]:
    lines = paper.text.lines
    numbers = valued(lines, _INVOICE_NUMBER, number_in, within=True)
    days = days_beside(lines, _INVOICE_DAY, lines, at.today)
    if not days and numbers:
        # A title such as “Final invoice 2026-041” has its day at the other end of the line.
        days = _days_on(numbers[0].line, lines, at.today)
    amounts = [_alone(one) for one in valued(lines, _AMOUNT, amount_in)]
    numbers = numbers or head_numbers(lines)
    days = days or head_days(lines, at.today)
    amounts = amounts or asked_amounts(lines)
    said = {key_of(one.value) for one in numbers}
    place = next(
        (n for n, one in enumerate(had.invoices) if key_of(one.number or "") in said), None
    )
    old = had.invoices[place] if place is not None else Invoice()
    path = ("money", "invoices", str(len(had.invoices) if place is None else place))
    yield from settled(paper, (*path, "number"), "invoice number", numbers, old.number)
    yield from settled(paper, (*path, "on"), "invoice dated", days, old.on)
    yield from settled(paper, (*path, "amount"), "invoice amount", amounts, old.amount)


def _alone(one: Beside[Decimal]) -> Beside[Decimal]:
    """Return an amount, in doubt where its line says another one too."""
    others = [other for piece in one.line.pieces if (other := amount_in(piece.text)) is not None]
    other = next((other for other in others if other != one.value), None)
    if other is None:
        return one
    return replace(one, doubt=say("its line says {other} too", other=Money(other)))


def _days_on(line: TextLine, lines: Sequence[TextLine], today: date) -> list[Beside[date]]:
    written = [day for piece in line.pieces if (day := written_day(piece.text))]
    order = month_first(lines)
    return [Beside(one.day, line, day_doubt(one, order, today)) for one in written]


# --- waiver -------------------------------------------------------------------------------------


def _waiver(at: AtHand, paper: ReadPaper, had: MoneyRecord) -> Iterator[Found]:
    lines = paper.text.lines
    givers = valued(lines, _GIVEN_BY, name_in)
    kinds = list(_waiver_kinds(lines))
    through = days_beside(lines, _THROUGH, lines, at.today)
    said = {key_of(one.value) for one in givers}
    alike = [n for n, one in enumerate(had.waivers) if key_of(one.given_by or "") in said]
    # A progress waiver and a final one of one giver are two.
    fitting = [
        n for n in alike if not kinds or had.waivers[n].kind in (None, WaiverKind(kinds[0].value))
    ]
    place = next(iter(fitting), None)
    old = had.waivers[place] if place is not None else Waiver()
    path = ("money", "waivers", str(len(had.waivers) if place is None else place))
    was = old.kind.value if old.kind else None
    yield from settled(paper, (*path, "kind"), "waiver", kinds, was)
    yield from settled(paper, (*path, "given_by"), "waiver given by", givers, old.given_by)
    yield from settled(paper, (*path, "through"), "waiver through", through, old.through)


def _waiver_kinds(lines: Sequence[TextLine]) -> Iterator[Beside[str]]:
    """Yield the kind that each of the first lines names whole: conditional or not, progress or final."""
    seen = set()
    for line in lines[:12]:
        text = line.text.casefold()
        bare = re.search(r"\bconditional\b", text) is not None
        without = re.search(r"\bunconditional\b|\bun-conditional\b", text) is not None
        part = re.search(r"\b(?:progress|partial)\b", text) is not None
        final = re.search(r"\bfinal\b", text) is not None
        if (bare and "un-conditional" not in text) != without and part != final:
            kind = f"{'unconditional' if without else 'conditional'} {'final' if final else 'progress'}"
            if kind not in seen:
                seen.add(kind)
                yield Beside(kind, line)


# --- completion ---------------------------------------------------------------------------------


def _completion(at: AtHand, paper: ReadPaper) -> Iterator[Found]:
    lines = paper.text.lines
    names = [owner.name for owner in at.job.owners if owner.name]
    days = _signed(at, lines) or signed_days(lines, lambda who: is_name_of(who, names), at.today)
    if not days:
        doubt = say("it is a day on the paper; nothing says that the owner signed on it")
        each = [
            Beside(one.value, one.line, doubt)
            for line in lines
            for one in _days_on(line, lines, at.today)
        ]
        days = [*days_beside(lines, _SIGNED, lines, at.today), *each][:1]
        days = [replace(one, doubt=doubt) for one in days]
    path = ("job", "completion_signed_on")
    yield from settled(paper, path, "completion signed", days, at.job.job.completion_signed_on)


def _signed(at: AtHand, lines: Sequence[TextLine]) -> list[Beside[date]]:
    """Return each day beside or over a “date” whose nearest name on its line is the owner's, and nobody else's."""
    owners = [key_of(owner.name) for owner in at.job.owners if owner.name]
    order = month_first(lines)
    found = []
    for above, line in zip((None, *lines), lines, strict=False):
        for number, piece in enumerate(line.pieces):
            before = [_party(at, owners, other.text) for other in line.pieces[: number + 1]]
            whose = [party for party in before if party is not None]
            label = piece.text.partition(":")[0]
            if not {"date", *map(str.casefold, _SIGNED)} & {*words_of(label), label.casefold()}:
                continue
            if len(words_of(label)) > 4 or not whose or not whose[-1]:
                continue
            right = [other.text for other in line.pieces[number + 1 :]]
            pieces = above.pieces if above else ()
            over = [
                other.text
                for other in pieces
                if other.left < piece.right
                and piece.left < other.right
                and not any(_party(at, owners, one.text) is False for one in pieces)
            ]
            values = (piece.text.partition(":")[2], *takewhile(_is_value, right[:1]), *over)
            day = next((day for text in values if (day := written_day(text))), None)
            if day is not None:
                found.append(Beside(day.day, line, day_doubt(day, order, at.today)))
    return found


def _is_value(text: str) -> bool:
    return not is_label(text)


def _party(at: AtHand, owners: Sequence[str], text: str) -> bool | None:
    """Return whether words name the owner and nobody else; None where they name nobody."""
    words = key_of(text)
    if _OTHERS.search(words) or (at.company and key_of(at.company) in words):
        return False
    owner = _OWNER.search(words) or any(name in words for name in owners)
    return True if owner else None
