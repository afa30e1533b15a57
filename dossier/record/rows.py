"""Rows of a record that say the same as an earlier row of their list.

In: a group of the record. Out: dotted paths and places. Must not judge whether two rows are one thing.
"""

from collections.abc import Iterator
from typing import Any

from dossier.reading.model import Model

_COUNTED = frozenset(
    {
        *("owners", "attics", "decks", "repairs", "deliveries", "lines", "lots"),
        *("warranties", "change_orders", "invoices", "payments"),
    }
)
"""Lists whose rows are counted, added up or named one by one.

Two chimneys, eaves or runs of vent of one size are common, a waiver twice waives no more, and slopes, inspections
and photos have rules of their own.
"""


def rows_twice(group: Model, path: str = "") -> Iterator[tuple[str, int, int]]:
    """Yield the list, the first row and the later one, each counted from 0, of rows that say the same."""
    for name in type(group).model_fields:
        value: Any = getattr(group, name)
        at = f"{path}.{name}" if path else name
        listed = isinstance(value, tuple)
        for number, row in enumerate(value if listed else (value,)):
            if not isinstance(row, Model):
                continue
            first = value.index(row) if listed else number
            if first < number and name in _COUNTED:
                yield at, first, number
            yield from rows_twice(row, f"{at}.{number}" if listed else at)
