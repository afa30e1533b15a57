"""Every group of a record, with its place.

In: a group of the record. Out: dotted paths and groups. Must not know what a field means.
"""

from collections.abc import Iterator
from typing import Any

from dossier.reading.model import Model


def groups_in(group: Model, path: str = "") -> Iterator[tuple[str, Model]]:
    """Yield a group and every group within it, each with its dotted path; the outermost has an empty one."""
    yield path, group
    for name in type(group).model_fields:
        value: Any = getattr(group, name)
        at = f"{path}.{name}" if path else name
        if isinstance(value, Model):
            yield from groups_in(value, at)
        elif isinstance(value, tuple):
            for number, row in enumerate(value):
                if isinstance(row, Model):
                    yield from groups_in(row, f"{at}.{number}")
