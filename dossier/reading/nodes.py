"""The bytes of one YAML file into a tree of text nodes that know their line and column.

In: a path and the name to print for it. Out: a `Reading`: a tree or the items that say why there is
none. Every scalar stays the text that was typed, since a plain loader turns pitch 4:12 into 252 and lot
0012345 into 5349. Must not know any field. Limits are enforced on the event stream, before a tree exists.
"""

import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.values import clip

MOST_BYTES = 2 * 1024 * 1024
MOST_LEVELS = 20
_BYTE_ORDER_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class Text:
    """A scalar as typed. blank: a field with nothing behind it, or an empty quoted text."""

    text: str
    line: int
    column: int

    @property
    def blank(self) -> bool:
        """Return whether nothing but space was typed."""
        return not self.text.strip()


@dataclass(frozen=True)
class Entry:
    """One field of a mapping: its value and where its name stands."""

    value: "Node"
    line: int
    column: int


@dataclass(frozen=True)
class Mapping:
    """Fields in the order in which they were typed."""

    entries: dict[str, Entry]
    line: int
    column: int


@dataclass(frozen=True)
class Sequence:
    """A list in the order in which it was typed."""

    items: tuple["Node", ...]
    line: int
    column: int


Node = Text | Mapping | Sequence


@dataclass(frozen=True)
class Reading:
    """What one file came to: a tree, or items that say why there is none."""

    file: str
    tree: Node | None
    items: tuple[Item, ...] = field(default=())


class _Refusal(Exception):
    def __init__(self, item: Item) -> None:
        self.item = item


def read_tree(path: Path, shown_as: str) -> Reading:
    """Return the tree of one YAML file, or the item that says why it cannot be read.

    shown_as: the name printed in sentences. Reads at most 2 MB, 20 levels, one document, no anchors,
    aliases or tags. Never raises for what a file may hold.
    """
    try:
        data = _read_bytes(path, shown_as)
        return parse_tree(data, shown_as)
    except _Refusal as refusal:
        return Reading(shown_as, None, (refusal.item,))


def parse_tree(data: bytes, shown_as: str) -> Reading:
    """Return the tree of these bytes, or the item that says why there is none."""
    try:
        text = _decode(data, shown_as)
        return Reading(shown_as, _build(text, shown_as))
    except _Refusal as refusal:
        return Reading(shown_as, None, (refusal.item,))


def _read_bytes(path: Path, shown_as: str) -> bytes:
    here = Where(shown_as)
    try:
        # O_NONBLOCK keeps a named pipe under this name from hanging the run.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except FileNotFoundError:
        raise _Refusal(shape.CANNOT_OPEN.at(here, f"{shown_as} is not there.")) from None
    except PermissionError:
        raise _Refusal(
            shape.CANNOT_OPEN.at(here, f"{shown_as} may not be read by this user.")
        ) from None
    except OSError as problem:
        says = f"{shown_as} cannot be opened: {problem.strerror}."
        raise _Refusal(shape.CANNOT_OPEN.at(here, says)) from None
    status = os.fstat(handle)
    if not stat.S_ISREG(status.st_mode):
        # A folder opens as a handle, but fdopen would raise for it.
        os.close(handle)
        kind = "a folder" if stat.S_ISDIR(status.st_mode) else "not an ordinary file"
        raise _Refusal(shape.CANNOT_OPEN.at(here, f"{shown_as} is {kind}; a file is needed."))
    with os.fdopen(handle, "rb") as file:
        data = b"" if status.st_size > MOST_BYTES else file.read(MOST_BYTES + 1)
    size = max(status.st_size, len(data))
    if size > MOST_BYTES:
        says = f"{shown_as} has {size:,} bytes; at most {MOST_BYTES:,} are read."
        raise _Refusal(shape.TOO_LARGE.at(here, says))
    return data


def _decode(data: bytes, shown_as: str) -> str:
    data = data.removeprefix(_BYTE_ORDER_MARK)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as problem:
        line = data.count(b"\n", 0, problem.start) + 1
        says = (
            f"{shown_as} line {line} holds the byte {data[problem.start]:#04x}, which is not UTF-8."
        )
        raise _Refusal(shape.NOT_UTF8.at(Where(shown_as, line), says)) from None
    for line, row in enumerate(text.split("\n"), start=1):
        _refuse_control(row.removesuffix("\r"), shown_as, line)
    if not text.strip():
        raise _Refusal(shape.EMPTY.at(Where(shown_as, 1), f"{shown_as} is empty."))
    return text


def _refuse_control(text: str, shown_as: str, line: int) -> None:
    bad = next((c for c in text if _is_control(c)), None)
    if bad is not None:
        says = f"{shown_as} line {line} holds the control character [U+{ord(bad):04X}]."
        raise _Refusal(shape.CONTROL_CHARACTER.at(Where(shown_as, line), says))


def _is_control(character: str) -> bool:
    code = ord(character)
    # Tab is left to YAML; U+2028 and U+2029 would break lines where nobody sees it, and the YAML
    # parser refuses U+FFFE and U+FFFF without saying on which line.
    return (
        (code < 32 and character != "\t")
        or 127 <= code < 160
        or code in (0x2028, 0x2029, 0xFEFF, 0xFFFE, 0xFFFF)
    )


def _build(text: str, shown_as: str) -> Node:
    # Carriage returns and the unseen extra keep line numbers equal to those an editor shows.
    events = _plain_events(text.replace("\r\n", "\n"), shown_as)
    try:
        root = next(events, None)
        if root is None:
            raise _Refusal(shape.EMPTY.at(Where(shown_as, 1), f"{shown_as} holds only comments."))
        tree = _node(root, events, shown_as, 1)
        more = next(events, None)
        if more is not None:
            line = more.start_mark.line + 1
            says = f"{shown_as} line {line} is in a second document, parted by a line of dashes."
            at = Where(shown_as, line)
            raise _Refusal(shape.NOT_YAML.at(at, says, "Keep one document a file."))
        return tree
    except yaml.YAMLError as problem:
        raise _Refusal(_not_yaml(problem, shown_as)) from None


def _not_yaml(problem: yaml.YAMLError, shown_as: str) -> Item:
    mark = getattr(problem, "problem_mark", None) or getattr(problem, "context_mark", None)
    line = mark.line + 1 if mark else 1
    what = getattr(problem, "problem", None) or "cannot be parsed"
    says = f"{shown_as} line {line} does not parse as YAML: {what}."
    return shape.NOT_YAML.at(Where(shown_as, line), says)


def _plain_events(text: str, shown_as: str) -> Iterator[Any]:
    """Yield node events only; refuse anchors, aliases and tags as soon as they are seen."""
    loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    frame = (
        yaml.StreamStartEvent,
        yaml.StreamEndEvent,
        yaml.DocumentStartEvent,
        yaml.DocumentEndEvent,
    )
    events: Iterator[Any] = yaml.parse(text, Loader=loader)
    for event in events:
        if isinstance(event, frame):
            continue
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            kind = "an alias (*)" if isinstance(event, yaml.AliasEvent) else "an anchor (&)"
        elif getattr(event, "tag", None):
            kind = "a tag (!)"
        else:
            yield event
            continue
        line = event.start_mark.line + 1
        says = f"{shown_as} line {line} uses {kind}; records are written out plainly."
        raise _Refusal(shape.NOT_PLAIN.at(Where(shown_as, line), says))


def _node(event: Any, events: Iterator[Any], shown_as: str, level: int) -> Node:
    mark: Any = event.start_mark
    line, column = mark.line + 1, mark.column + 1
    if isinstance(event, yaml.ScalarEvent):
        return Text(_seen(event.value, shown_as, line), line, column)
    if level > MOST_LEVELS:
        says = f"{shown_as} line {line} is nested more than {MOST_LEVELS} levels deep."
        raise _Refusal(shape.TOO_DEEP.at(Where(shown_as, line), says))
    if isinstance(event, yaml.SequenceStartEvent):
        items: list[Node] = []
        while not isinstance(part := next(events), yaml.SequenceEndEvent):
            items.append(_node(part, events, shown_as, level + 1))
        return Sequence(tuple(items), line, column)
    entries: dict[str, Entry] = {}
    while not isinstance(key := next(events), yaml.MappingEndEvent):
        key_mark: Any = key.start_mark
        at = key_mark.line + 1
        if not isinstance(key, yaml.ScalarEvent):
            says = f"{shown_as} line {at} has a list or group where the name of a field is needed."
            raise _Refusal(shape.NOT_YAML.at(Where(shown_as, at), says))
        _seen(key.value, shown_as, at)
        if key.value in entries:
            first = entries[key.value].line
            says = f"{shown_as} line {at} gives “{clip(key.value)}” again; line {first} has it too."
            raise _Refusal(shape.TWICE.at(Where(shown_as, at, key.value), says))
        value = _node(next(events), events, shown_as, level + 1)
        entries[key.value] = Entry(value, at, key_mark.column + 1)
    return Mapping(entries, line, column)


def _seen(text: str, shown_as: str, line: int) -> str:
    """Return the text; refuse a control character that a quoted escape such as "\\0" made."""
    _refuse_control(text.replace("\n", ""), shown_as, line)
    return text
