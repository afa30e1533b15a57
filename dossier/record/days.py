"""Every day that somebody typed in a record, with its place.

In: a group of the record. Out: dotted paths and days. Must not know what a day is for.
"""

from collections.abc import Iterator
from datetime import date
from typing import Any

from dossier.reading.model import Model

_MAY_COME = frozenset({"through"})
"""A waiver may run through a day to come."""


def days_in(group: Model, path: str = "") -> Iterator[tuple[str, date]]:
    """Yield every day of a group that says when something was done, with its dotted path.

    The days of the work log are spans with a phase, and not among them.
    """
    for name in type(group).model_fields:
        if name in _MAY_COME:
            continue
        value: Any = getattr(group, name)
        at = f"{path}.{name}" if path else name
        for number, one in enumerate(value if isinstance(value, tuple) else (value,)):
            inner = f"{at}.{number}" if isinstance(value, tuple) else at
            if isinstance(one, Model):
                yield from days_in(one, inner)
            elif isinstance(one, date):
                yield inner, one
