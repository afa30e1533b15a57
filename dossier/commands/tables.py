"""Rows as a table on a terminal, and as CSV.

In: headings and rows of text. Out: text. Must not know what the rows say.
"""

import unicodedata
from collections.abc import Sequence

MOST_WIDE = 44
"""Letters in one cell of a table; CSV carries the whole."""


def table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return rows under headings, columns parted by two spaces; long cells are cut with an ellipsis."""
    cells = [[_cell(text) for text in row] for row in (headings, *rows)]
    widths = [max(_width(row[place]) for row in cells) for place in range(len(headings))]
    lines = [
        "  ".join(
            cell + " " * (width - _width(cell)) for cell, width in zip(row, widths, strict=True)
        ).rstrip()
        for row in cells
    ]
    lines.insert(1, "  ".join("-" * width for width in widths))
    return "\n".join(lines)


def _cell(text: str) -> str:
    plain = line(text)
    return plain if len(plain) <= MOST_WIDE else plain[: MOST_WIDE - 1] + "…"


def line(text: str) -> str:
    """Return a text from a record as one line that no terminal takes for a command."""
    return "".join(letter if letter.isprintable() else "?" for letter in " ".join(text.split()))


def _width(text: str) -> int:
    """Return the columns a text takes: none for a combining sign, two for a wide letter."""
    return sum(
        0
        if unicodedata.combining(letter)
        else 2
        if unicodedata.east_asian_width(letter) in "WF"
        else 1
        for letter in text
    )
