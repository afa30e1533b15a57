"""What papers say without a label that is read: at the head of an invoice, behind “please pay” or “signed”.

In: lines of a paper's text. Out: values beside their lines, in doubt where nothing says what they are. Must not
know the record. The wording is ordinary English of the trade: common practice, no published source.
"""

import re
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from itertools import takewhile

from dossier.evidence.text import TextLine
from dossier.gather.labels import (
    DAY,
    Beside,
    amount_in,
    day_doubt,
    month_first,
    number_in,
    written_day,
)
from dossier.gather.ticket_rows import key_of
from dossier.said import say

_NO = re.compile(r"(?:no|nr|number)\b[.:]?\s*|#\s*", re.I)
_ASKED = re.compile(r"\b(?:please pay|pay this amount|to be paid|amount to pay)\b", re.I)
_SIGNED = re.compile(r"signed(?:\s+by)?\b\W*", re.I)


def head_numbers(lines: Sequence[TextLine]) -> list[Beside[str]]:
    """Return the numbers at the head of an invoice that stand behind “No.” alone."""
    doubt = say("it stands behind “No.” alone, and nothing says of what it is the number")
    return [
        Beside(number, line, doubt)
        for line in _head(lines)
        for piece in line.pieces
        if (label := _NO.match(piece.text)) and (number := number_in(piece.text[label.end() :]))
    ]


def head_days(lines: Sequence[TextLine], today: date) -> list[Beside[date]]:
    """Return the days at the head of an invoice that stand there alone."""
    doubt = say("it is a day at the head of the paper, under no label")
    order = month_first(lines)
    return [
        Beside(written.day, line, day_doubt(written, order, today) or doubt)
        for line in _head(lines)
        for piece in line.pieces
        if (written := written_day(piece.text)) and written.text == piece.text.strip(" .,")
    ]


def asked_amounts(lines: Sequence[TextLine]) -> list[Beside[Decimal]]:
    """Return the amounts that an invoice asks for; it may come to more."""
    doubt = say("it is what is asked for, and the invoice may come to more")
    return [
        Beside(amount, line, doubt)
        for line in lines
        if _ASKED.search(line.text)
        for piece in line.pieces
        if (amount := amount_in(piece.text)) is not None
    ]


def _head(lines: Sequence[TextLine]) -> list[TextLine]:
    """Return the lines above the first amount."""
    return list(
        takewhile(lambda line: all(amount_in(piece.text) is None for piece in line.pieces), lines)
    )


def signed_days(
    lines: Sequence[TextLine], is_owner: Callable[[str], bool], today: date
) -> list[Beside[date]]:
    """Return each day behind “signed” and a name, in doubt where the name is not the owner's; his come first."""
    order = month_first(lines)
    found = []
    for line in lines:
        for number, piece in enumerate(line.pieces):
            label = _SIGNED.match(piece.text)
            if label is None:
                continue
            right = "".join(f", {other.text}" for other in line.pieces[number + 1 : number + 2])
            text = piece.text[label.end() :]
            day = DAY.search(text) or DAY.search(text := text + right)
            written = written_day(day[0]) if day else None
            if day is None or written is None:
                continue
            doubt = day_doubt(written, order, today)
            who = re.sub(r"\bon\s*$", "", text[: day.start()].strip(" ,;:.")).strip(" ,;:.")
            if not is_owner(who):
                doubt = say("nothing says that it was the owner who signed on it")
            found.append((not is_owner(who), Beside(written.day, line, doubt)))
    return [one for _, one in sorted(found, key=lambda pair: pair[0])]


def is_name_of(who: str, names: Sequence[str]) -> bool:
    """Return whether words are one of these names, or its first letter and its last word."""
    words = key_of(who).replace(".", ". ").split()
    for name in names:
        parts = key_of(name).split()
        short = [parts[0][0], parts[-1]] if len(parts) > 1 else parts
        if words == parts or [word.strip(".") for word in words] == short:
            return True
    return False
