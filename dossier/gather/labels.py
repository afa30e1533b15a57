"""Values that stand beside a label on a paper: a number, a day, an amount, a name.

In: lines of a paper's text. Out: each value with the line it stands on, and why it may be misread. Must not know
what a label means. The wording of labels is ordinary English of the trade: common practice, no published source.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import takewhile
from typing import Generic, TypeVar

from dossier.evidence.text import Piece, TextLine
from dossier.said import Said, say
from dossier.values import FIRST_YEAR, LAST_YEAR, parse_money

T = TypeVar("T")

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_NAMES = (
    r"jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?"
    r"|nov(?:ember)?|dec(?:ember)?"
)
DAY = re.compile(
    rf"""(?<![\w/.-])(?:
    (?P<y>\d{{4}})-(?P<m>\d\d)-(?P<d>\d\d)
    |(?P<one>\d\d?)(?P<by>[/.-])(?P<two>\d\d?)(?P=by)(?P<year>\d{{4}}|\d\d)
    |(?P<name>{_NAMES})\.?\s+(?P<nd>\d\d?)(?:st|nd|rd|th)?,?\s+(?P<ny>\d{{4}})
    |(?P<dn>\d\d?)(?:st|nd|rd|th)?[\s-]+(?P<named>{_NAMES})\.?,?[\s-]+(?P<yn>\d{{4}})
    )(?![\w/-])""",
    re.I | re.X,
)
"""A day as papers write it; in numbers with the month first, as is the habit in the United States."""

_AMOUNT = re.compile(r"\(?[-−]?(?:USD\s*)?\$?\s*\d[\d,]*\.\d\d(?!\d)\)?|\$\s*\d[\d,]*(?![\d.])")
_OF_OTHERS = frozenset(
    (
        "contractor", "contractors", "contractor's", "license", "licence", "dealer", "account", "tax", "member",
        "vendor", "customer", "vehicle", "business", "state", "parcel", "previous", "old", "due", "sub",
        "mechanical", "electrical", "plumbing", "policy", "claim",
    )
)  # fmt: skip
"""Words before a label by which it is another's: “contractor registration number”. Common practice, no published
source."""

_LABEL_WORDS = frozenset(
    (
        "date", "day", "dated", "issued", "issue", "closed", "closing", "finaled", "signed", "signature",
        "expires", "expiration", "due", "through", "no", "number", "id", "po", "ref", "reference",
        "invoice", "permit", "customer", "client", "owner", "owners", "owner's", "homeowner",
        "homeowner's", "contractor", "contractor's", "inspector", "inspected", "inspection", "result",
        "results", "status", "disposition", "type", "by", "on", "of", "to", "from", "bill", "sold",
        "ship", "site", "job", "project", "address", "amount", "total", "subtotal", "tax", "name",
        "claimant", "phone", "telephone", "page", "terms", "order", "account", "registration",
        "registered", "confirmation", "warranty", "certificate", "supplier", "description", "quantity",
        "valuation", "fee", "received", "printed", "title", "initials", "remarks", "notes",
    )
)  # fmt: skip
"""Words of which labels and heads of columns are made. Common practice, no published source."""

_LEAST_LETTERS = 4
"""Letters of a number behind a label of one word, such as “permit”; “permit 2 of 3” names none. Our habit."""

_PHONE = re.compile(r"(?:\(?\d{3}\)?[\s.-]*)?\d{3}[.-]\d{4}")


@dataclass(frozen=True)
class Beside(Generic[T]):
    """A value and the line it stands on. doubt: why it may be misread."""

    value: T
    line: TextLine
    doubt: Said | None = None


# --- labels -------------------------------------------------------------------------------------


def words_of(text: str) -> list[str]:
    """Return the words of a label as they are compared."""
    return [word.strip(".:#").casefold() for word in text.split()]


def is_label(text: str) -> bool:
    """Return whether a text is a label or the head of a column itself, and so no value of another."""
    words = words_of(text)
    return text.rstrip().endswith(":") or (bool(words) and all(w in _LABEL_WORDS for w in words))


def beside(
    lines: Sequence[TextLine],
    label: str,
    *,
    past: bool = False,
    within: bool = True,
    first: bool = False,
) -> Iterator[tuple[list[str], TextLine]]:
    """Yield, for each place of a label, what may be its value, with the line: likeliest first.

    First what stands behind it in its piece, up to the next label; where nothing does, the piece right of it,
    then the piece below it. A piece that is a label itself ends the search. past: all the pieces right of it, also
    where something stands behind it. A label in the middle of a piece has its value right behind it.
    within: whether one word stands for itself behind other words; “date” does not, as in “due date”, unless these
    are a value. first: the first word behind it too, as of a number.
    """
    wanted = words_of(label)
    for at, line in enumerate(lines):
        for number, piece in enumerate(line.pieces):
            split = [
                part
                for word in piece.words
                for part in re.split(r"(?<=[A-Za-z.#]):(?=[\w$])", word.text)
            ]
            texts = [part.strip(".:#").casefold() for part in split]
            for start in range(len(texts) - len(wanted) + 1):
                if texts[start : start + len(wanted)] != wanted:
                    continue
                before = texts[start - 1] if start else ""
                if before in _OF_OTHERS or (
                    start and not within and not any(map(str.isdigit, before))
                ):
                    continue
                rest = _up_to_label(split[start + len(wanted) :])
                values = [" ".join(rest), *rest[: int(first)]] if rest else []
                if start == 0 and (past or not rest):
                    right = [other.text.lstrip(":# ") for other in line.pieces[number + 1 :]]
                    right = list(takewhile(lambda text: not is_label(text), right))
                    values += right if past else right[:1]
                if start == 0 and not rest:
                    below = [other.text for other in _below(piece, lines[at + 1 : at + 2])]
                    values += takewhile(lambda text: not is_label(text), below)
                yield values, line


def _up_to_label(words: Sequence[str]) -> list[str]:
    """Return words up to a label that ends with a colon among them."""
    bare = [word.lstrip(":#") for word in words]
    end = next((n for n, word in enumerate(bare) if n and word.endswith(":")), len(bare))
    if end < len(bare):
        while end > 1 and bare[end - 1].strip(".#").casefold() in _LABEL_WORDS:
            end -= 1
    return [word for word in bare[:end] if word]


def _below(piece: Piece, lines: Iterable[TextLine]) -> Iterator[Piece]:
    for line in lines:
        for other in line.pieces:
            if other.left < piece.right and piece.left < other.right:
                yield other


def valued(
    lines: Sequence[TextLine],
    labels: Sequence[str],
    read: Callable[[str], T | None],
    *,
    within: bool = False,
) -> list[Beside[T]]:
    """Return what stands beside any of these labels and reads as it should, each value once, in their order.

    within: as for `beside`; a number is its first word too.
    """
    found: dict[T, Beside[T]] = {}
    for label in labels:
        for values, line in beside(lines, label, within=within, first=within):
            value = next((one for one in map(read, values) if one is not None), None)
            if value is not None and not (within and _is_weak(label, value)):
                found.setdefault(value, Beside(value, line))
    return list(found.values())


def _is_weak(label: str, value: object) -> bool:
    return len(label.split()) == 1 and isinstance(value, str) and len(value) < _LEAST_LETTERS


def number_in(text: str) -> str | None:
    """Return a text that is a number of a paper: one word with a digit, no day, amount or telephone."""
    word = text.strip(".,;:")
    if len(word.split()) != 1 or not any(map(str.isdigit, word)) or len(word) > 30:
        return None
    if (
        re.fullmatch(r"(?:19|20)\d\d", word)
        or DAY.match(word)
        or _AMOUNT.fullmatch(word)
        or _PHONE.fullmatch(word)
    ):
        return None
    return word


_GROUPED = re.compile(
    r"(?:(?:(?i:no|number|nr)\b|[.:#])\s*)*(?P<number>(?P<letters>[A-Z]{1,3})\s(?P<rest>\S{4,})|\d{1,3}\s\d{3,}$)?"
)
_NO_LETTERS = frozenset(
    ("at", "for", "in", "via", "per", "and", "the", "job", "qty", "not", *_MONTHS)
)
"""Words of a few capitals with which no number begins. Common practice, no published source."""


def ticket_number_in(text: str) -> str | None:
    """Return the number that a text begins with: one word, or two where a blank stands behind its first part."""
    match = _GROUPED.match(text)
    assert match is not None
    letters, rest = (match["letters"] or "").casefold(), match["rest"]
    if letters and letters not in _LABEL_WORDS | _NO_LETTERS and (number := number_in(rest)):
        return f"{match['letters']} {number}"
    if match["number"] and not letters:
        return match["number"]
    return number_in(text[match.start("number") if match["number"] else match.end() :])


def amount_in(text: str) -> Decimal | None:
    """Return the amount that a text is, with its cents or a dollar sign; “24.00 squares” is none."""
    match = _AMOUNT.fullmatch(text.strip(" .,:"))
    if match is None:
        return None
    try:
        amount = parse_money(match[0].replace("USD", "").strip("() "))
    except ValueError:
        return None
    return -amount if match[0].startswith("(") else amount


def name_in(text: str) -> str | None:
    """Return a text that may be a name: some words without a digit, the first with a capital, and no label."""
    words = text.strip(" .:_")
    plain = 2 < len(words) <= 60 and not re.search(r"[\d_]", words)
    return words if plain and words[0].isupper() and not is_label(words) else None


# --- days ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Written:
    """A day as it is written. month_first: whether that had to be supposed; None where it is beyond doubt."""

    day: date
    text: str
    numbers: tuple[int, int] | None = None

    @property
    def named(self) -> bool:
        """Return whether its month stands there by name."""
        return re.search(r"[A-Za-z]{3}", self.text) is not None


def in_form(day: date, form: str) -> str:
    """Return a day as it is written in a form such as MM/DD/YYYY or DD MMM YYYY."""
    named = re.sub("MMMM?", _MONTHS[day.month - 1], form.replace("YYYY", f"{day.year}"))
    return named.replace("MM", f"{day.month:02}").replace("DD", f"{day.day:02}")


def written_day(text: str, *, anywhere: bool = False) -> Written | None:
    """Return the day that a text begins with, or holds; None where it holds none that a calendar has."""
    match = DAY.search(text) if anywhere else DAY.match(text.strip())
    if match is None:
        return None
    numbers = None
    if match["y"]:
        year, month, day = int(match["y"]), int(match["m"]), int(match["d"])
    elif match["one"]:
        year, month, day = int(match["year"]), int(match["one"]), int(match["two"])
        # A paper of this trade is of this century.
        year += 2000 if year < 100 else 0
        numbers = (month, day)
        if month > 12:
            month, day = day, month
    elif match["name"]:
        year, month, day = int(match["ny"]), _month(match["name"]), int(match["nd"])
    else:
        year, month, day = int(match["yn"]), _month(match["named"]), int(match["dn"])
    try:
        made = date(year, month, day)
    except ValueError:
        return None
    return Written(made, match[0], numbers) if FIRST_YEAR <= year <= LAST_YEAR else None


def _day_in(text: str) -> Written | None:
    """Return the day that a text is; nothing stands behind it but an hour or who wrote it."""
    day = written_day(text)
    behind = text.strip()[len(day.text) :] if day else ""
    return (
        day
        if re.fullmatch(r"[\s.,;)]*(?:(?:at\s+)?\d{1,2}:\d\d.*|(?:by|at)\b.*)?", behind, re.I)
        else None
    )


def _month(name: str) -> int:
    return _MONTHS.index(name[:3].casefold()) + 1


def days_beside(
    lines: Sequence[TextLine], labels: Sequence[str], all_lines: Sequence[TextLine], today: date
) -> list[Beside[date]]:
    """Return the days beside any of these labels, each once, with why one may be misread.

    all_lines: of the paper, whose other days tell how it writes them. today: no day on a paper lies after it.
    """
    order = month_first(all_lines)
    found: dict[date, Beside[date]] = {}
    for one in valued(lines, labels, _day_in):
        doubt = day_doubt(one.value, order, today)
        found.setdefault(one.value.day, Beside(one.value.day, one.line, doubt))
    return list(found.values())


def month_first(lines: Iterable[TextLine]) -> bool | None:
    """Return whether a paper writes the month first, by a day above the 12th; None where none tells."""
    seen = set()
    for line in lines:
        for match in DAY.finditer(line.text):
            if match["one"]:
                one, two = int(match["one"]), int(match["two"])
                if one > 12 or two > 12:
                    seen.add(two > 12)
    return seen.pop() if len(seen) == 1 else None


def day_doubt(written: Written, order: bool | None, today: date) -> Said | None:
    """Return why a day may be misread: day and month may be changed about, or it lies after today."""
    numbers = written.numbers
    if numbers and max(numbers) <= 12 and numbers[0] != numbers[1] and order is not True:
        return say(
            "“{text}” is taken as month and day, {day}; it may be day and month",
            text=written.text,
            day=written.day,
        )
    if written.day > today:
        return say("{day} is later than today, {today}", day=written.day, today=today)
    return None
