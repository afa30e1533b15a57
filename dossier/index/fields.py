"""Plain fields into texts and days, with a sentence for each that cannot be read.

In: plain values as typed. Out: text for a row, blank where nothing is said. Must not know what a field
means. A value that cannot be read is left blank in the index and is named: nothing is taken in silence.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from dossier.index.plain import Plain
from dossier.reading.model import Model
from dossier.values import clip, parse_date, parse_number

MOST_LETTERS = 2_000
"""Longer texts are cut in the index; the record keeps the whole."""

_PARTED = re.compile(r",\s*|\s+\+\s+")


@dataclass
class Reader:
    """Reads fields of one file and keeps the faults. file: its name, for sentences."""

    file: str
    faults: list[str] = field(default_factory=list)

    def fault(self, name: str, problem: object) -> None:
        """Keep one fault as a sentence."""
        self.faults.append(f"{self.file}: “{name}” {problem}.")

    def text(self, fields: Plain, name: str) -> str:
        """Return a text in one line, or blank."""
        value = fields.get(name)
        if value is None:
            return ""
        if not isinstance(value, str):
            self.fault(name, "found a group or a list, needed text")
            return ""
        if len(value) > MOST_LETTERS:
            value = value[: MOST_LETTERS * 2]
        return " ".join(value.split())[:MOST_LETTERS]

    def day(self, fields: Plain, name: str) -> date | None:
        """Return a day, or None."""
        value = fields.get(name)
        return None if value is None else self.parsed(name, value, parse_date)

    def number(self, fields: Plain, name: str) -> str:
        """Return a quantity as an exact number, or blank."""
        value = fields.get(name)
        if value is None:
            return ""
        if isinstance(value, str) and value.isdecimal() and value.isascii() and len(value) < 10:
            # Most quantities; a fraction would come to the same and takes ten times as long.
            return str(int(value))
        parsed = self.parsed(name, value, parse_number)
        return "" if parsed is None else str(parsed)

    def parsed(self, name: str, value: Any, parse: Callable[[str], Any]) -> Any:
        """Return what the parser makes of a text; None, and a fault, where it makes nothing."""
        if not isinstance(value, str):
            self.fault(name, "found a group or a list, needed one value")
            return None
        try:
            return parse(value)
        except ValueError as problem:
            self.fault(name, problem)
            return None

    def group(self, name: str, value: Any, model: type[Model]) -> Plain:
        """Return the fields of a group, from its one-line form where it is one; none where it is neither."""
        if isinstance(value, dict):
            return value
        if not isinstance(value, str):
            if value is not None:
                self.fault(name, "found a list, needed named fields")
            return {}
        try:
            return model.from_text(value)
        except ValueError as problem:
            self.fault(name, problem)
            return {}

    def groups(self, fields: Plain, name: str, model: type[Model]) -> Iterator[Plain]:
        """Yield the fields of each entry of a list, or of the one that stands there alone."""
        value = fields.get(name)
        for part in value if isinstance(value, list) else () if value is None else (value,):
            yield self.group(name, part, model)


Row = tuple[Any, ...]


@dataclass
class Making:
    """The rows of one job while they are made."""

    owners: list[Row]
    products: list[Row]
    lots: list[Row]
    registrations: list[Row]
    items: list[Row]
    deadlines: list[Row]
    entries: list[Row]


def words_in(value: Any) -> list[str]:
    """Return the words of a list of words or labels, which may stand on one line."""
    if isinstance(value, list):
        return [part for part in value if isinstance(part, str)]
    return [part for part in _PARTED.split(value.strip()) if part] if isinstance(value, str) else []


def iso(day: date | None) -> str:
    """Return a day as text, blank for none."""
    return "" if day is None else day.isoformat()


def shown(text: str) -> str:
    """Return a text clipped for a sentence."""
    return clip(text, 120)
