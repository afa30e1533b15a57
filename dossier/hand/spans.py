"""Where each value of a YAML text stands, from its first character to its last.

In: a text that our reader reads. Out: a tree of spans, offsets counted in characters. Must not know any field.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from dossier.errors import UnreadableInput

_COLON = re.compile(r"[ \t]*:")


@dataclass(frozen=True)
class Scalar:
    """One text. style: its quote, | or > where it stands below its name, empty for none."""

    start: int
    end: int
    text: str
    style: str

    @property
    def nothing(self) -> bool:
        """Return whether nothing was typed, not even quotes."""
        return self.start == self.end


@dataclass(frozen=True)
class Pair:
    """One field. after: behind the colon of its name."""

    name: str
    start: int
    after: int
    value: "Span"

    @property
    def end(self) -> int:
        """Return where the field ends."""
        return max(self.value.end, self.after)


@dataclass(frozen=True)
class Group:
    """Fields in braces (flow), or with a line for each."""

    start: int
    end: int
    flow: bool
    pairs: tuple[Pair, ...]


@dataclass(frozen=True)
class Row:
    """A list in brackets (flow), or with a dash for each entry.

    dashes: where they stand; where each entry begins in a flow.
    """

    start: int
    end: int
    flow: bool
    items: tuple["Span", ...]
    dashes: tuple[int, ...]


Span = Scalar | Group | Row


class _Reader:
    def __init__(self, text: str, file: str) -> None:
        self.text, self.file = text, file
        self.starts = [0]
        for line in text.split("\n"):
            self.starts.append(self.starts[-1] + len(line) + 1)
        loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
        # A carriage return ends its line, so that columns are the same without it.
        events: Iterator[Any] = yaml.parse(text.replace("\r\n", "\n"), Loader=loader)
        frame = (yaml.StreamStartEvent, yaml.DocumentStartEvent)
        self.events = (event for event in events if not isinstance(event, frame))

    def at(self, mark: Any) -> int:
        place: int = self.starts[mark.line] + mark.column
        return min(place, len(self.text))

    def span(self, event: Any) -> Span:
        start = self.at(event.start_mark)
        if isinstance(event, yaml.ScalarEvent):
            end = self.at(event.end_mark)
            end = start + len(self.text[start:end].rstrip())
            return Scalar(start, end, event.value, event.style or "")
        if isinstance(event, yaml.SequenceStartEvent):
            return self.row(event, start)
        pairs = []
        while not isinstance(key := next(self.events), yaml.MappingEndEvent):
            pairs.append(self.pair(key, bool(event.flow_style)))
        end = self.at(key.end_mark) if event.flow_style else pairs[-1].end
        return Group(start, end, bool(event.flow_style), tuple(pairs))

    def pair(self, key: Any, in_flow: bool) -> Pair:
        start, end = self.at(key.start_mark), self.at(key.end_mark)
        value = self.span(next(self.events))
        colon = _COLON.match(self.text, end)
        if colon is None and not in_flow:
            line = key.start_mark.line + 1
            raise UnreadableInput(
                f"{self.file} line {line} does not have the colon behind the name on the same line.",
                "Write “name: value” there, or change the file by hand.",
            )
        return Pair(key.value, start, colon.end() if colon else end, value)

    def row(self, event: Any, start: int) -> Row:
        items: list[Span] = []
        dashes: list[int] = []
        column, end = event.start_mark.column, start
        while not isinstance(part := next(self.events), yaml.SequenceEndEvent):
            item = self.span(part)
            dashes.append(item.start if event.flow_style else start)
            if items and not event.flow_style:
                dashes[-1] = self.dash(part.start_mark.line, column)
            items.append(item)
            end = max(item.end, dashes[-1] + 1)
        end = self.at(part.end_mark) if event.flow_style else end
        return Row(start, end, bool(event.flow_style), tuple(items), tuple(dashes))

    def dash(self, line: int, column: int) -> int:
        """Return where the dash of an entry stands that begins on this line, or below its dash."""
        while True:
            at = self.starts[line] + column
            if self.text[at : at + 1] == "-" and not self.text[self.starts[line] : at].strip():
                return at
            line -= 1


def spans_of(text: str, file: str) -> Span:
    """Return where everything stands. Raises UnreadableInput for a name with its colon on another line."""
    reader = _Reader(text, file)
    return reader.span(next(reader.events))
