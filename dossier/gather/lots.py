"""The lots in one cell of a ticket, and whatever else of its cells goes into a record as it stands.

In: the text of a cell. Out: values; `NotPlaced` for what cannot be one. Must not know a line's other cells.
"""

import re
from fractions import Fraction

from dossier.gather.labels import DAY
from dossier.reading.kinds import MOST_CHARACTERS
from dossier.reading.model import is_not_applicable
from dossier.record.materials import Lot
from dossier.said import Said, say
from dossier.values import clip, parse_number

_NO_LOT = frozenset(("-", "--", "–", "—"))

LOT_LABEL = re.compile(
    r"\W*(?:lots?|batch(?:es)?)(?:\s*(?:nos?|numbers?|codes?|marks?)\b)?(?:\s*[.:#]+\s*|\s+)(?=\S)",
    re.I,
)
"""What stands before a lot on a row of its own. Common practice, no published source."""

_NO_MARK = re.compile(
    r"\D*|(?:tbd|tba|none|unknown|pending|see|various|mixed)\W*\d*"
    r"|\d+\s+(?:-|–|to|thru|through)\s+\d+|\d{4,}[-–]\d{4,}",
    re.I,
)
"""What stands in the place of a mark and is none: words, marks from one to another. Common practice, no published
source."""

_LOT = re.compile(
    r"(?P<mark>\S.*?)(?:\s+(?:[x×=]|qty\b[.:]?|quantity\b:?|count\b:?)\s*(?P<times>[\d.,/]+)(?:\s*[A-Za-z]+\.?)?"
    r"|\s*\((?P<held>[\d.,/]+)(?:\s*[A-Za-z]+\.?)?\))?\Z",
    re.I,
)
"""A mark, and how many units carried it, in the ways tickets write it. Common practice, no published source."""


ASK = "Ask the supplier what was delivered; then type the line in."


class NotPlaced(Exception):
    """One line of a ticket that cannot become a line of material; says: found and needed."""

    def __init__(self, says: Said, remedy: str) -> None:
        super().__init__(says)
        self.says = says
        self.remedy = remedy


def lots_in(text: str) -> list[Lot]:
    """Return the lots in one cell: marks parted by comma, semicolon, & or “and”, some with a quantity."""
    if text.strip(" .") in _NO_LOT:
        return []
    parts = re.split(r"\s*[,;&]\s*|\s+(?:and|/)\s+", text)
    lots = []
    for part in parts:
        label = LOT_LABEL.match(part)
        part = part[label.end() :] if label else part
        words = part.split()
        # Two long marks beside each other are two; “77 031” may be one that is printed in two groups.
        each = words if len(words) > 1 and all(_is_mark(word) for word in words) else [part]
        for one in each:
            match = _LOT.match(one)
            # “0012345 bundles” is no mark; “77 031” may well be.
            if (
                match is None
                or re.search(r"\s[^\W\d]{2,}|^[^\W\d]{2,}\s", match["mark"])
                or (_NO_MARK.fullmatch(match["mark"]) and not is_not_applicable(match["mark"]))
                or DAY.fullmatch(match["mark"])
            ):
                raise NotPlaced(say("the lot “{words}” cannot be read", words=clip(text)), ASK)
            times = match["times"] or match["held"]
            lots.append(
                Lot(
                    mark=plain("lot", match["mark"]), quantity=quantity_of(times) if times else None
                )
            )
    return lots


def _is_mark(word: str) -> bool:
    return len(word) >= 5 and any(map(str.isdigit, word)) and not re.search(r"[()×]", word)


def quantity_of(given: str) -> Fraction:
    """Return a quantity above zero."""
    try:
        quantity = parse_number(given)
    except ValueError as problem:
        raise NotPlaced(
            say("the quantity cannot be read: {problem}", problem=str(problem)),
            "A line below zero is a return: write it as “returned” at the line it belongs to.",
        ) from None
    if not quantity:
        raise NotPlaced(say("the quantity is zero"), "Nothing came; nothing has to be written.")
    return quantity


def plain(what: str, given: str) -> str:
    """Return a text that can stand in a record."""
    if not given.isprintable() or is_not_applicable(given) or len(given) > MOST_CHARACTERS:
        raise NotPlaced(
            say(
                "the {what} “{given}” cannot stand in a record", what=what, given=clip(ascii(given))
            ),
            "Type the line in.",
        )
    return given
