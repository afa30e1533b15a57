"""Values of a record as the index keeps them: text in one line, blank for nothing.

In: values. Out: text. Must not know what a field means.
"""

from datetime import date
from fractions import Fraction

MOST_LETTERS = 2_000
"""Longer texts are cut in the index; the record keeps the whole."""


def one_line(text: str | None) -> str:
    """Return a text in one line, blank for none."""
    return " ".join((text or "")[: MOST_LETTERS * 2].split())[:MOST_LETTERS]


def number(value: Fraction | None) -> str:
    """Return a quantity as an exact number, blank for none."""
    return "" if value is None else str(value)


def iso(day: date | None) -> str:
    """Return a day, blank for none."""
    return "" if day is None else day.isoformat()
