"""Values into the YAML text that a person would type, or into text with every value in quotes.

In: plain values: texts, lists of them and groups by name. Out: scalars and lines. Must not know any field, nor
the file into which the lines go.
"""

import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any, Union

from dossier.reading.nodes import Entry, Node, Text, parse_tree
from dossier.reading.nodes import Mapping as Group
from dossier.reading.nodes import Sequence as Row

Value = Union[str, "Sequence[Value]", "Mapping[str, Value]"]

_ODD = re.compile(
    r"(?:y|n|yes|no|on|off|true|false|null|~|[-+]?\d[\d_]*(?::[0-5]?\d)+(?:\.\d*)?)$", re.I | re.A
)
"""What another reader would take for a yes, a nothing or a number to the base 60 (YAML 1.1, yaml.org/type)."""


def plain_of(node: Node) -> Value:
    """Return what a tree says, without its lines."""
    if isinstance(node, Text):
        return node.text
    if isinstance(node, Row):
        return [plain_of(item) for item in node.items]
    return {name: plain_of(entry.value) for name, entry in node.entries.items()}


def node_of(value: Any, line: int = 1) -> Node:
    """Return plain values as a node; what is no text, group or list is written as one."""
    if isinstance(value, Mapping):
        return group_of(value, line)
    if isinstance(value, list | tuple):
        return Row(tuple(node_of(part, line) for part in value), line, 1)
    return Text(str(value), line, 1)


def group_of(fields: Mapping[str, Any], line: int = 1) -> Group:
    """Return plain fields as a group."""
    entries = {name: Entry(node_of(value, line), line, 1) for name, value in fields.items()}
    return Group(entries, line, 1)


def quoted(text: str) -> str:
    """Return a text in double quotes; characters outside ASCII stay readable."""
    # A JSON text is a double-quoted YAML text (YAML 1.2.2, section 1.3).
    return json.dumps(text, ensure_ascii=False)


def scalar(text: str, *, in_flow: bool = False) -> str:
    """Return a text as it is where every reader takes it as just this text, else in quotes.

    in_flow: whether it goes between braces or brackets.
    """
    plain = not _ODD.match(text) and stands_plain(text, in_flow=in_flow)
    return text if plain else quoted(text)


@lru_cache(maxsize=65_536)
def stands_plain(text: str, *, in_flow: bool = False) -> bool:
    """Return whether our reader takes a text without quotes as it is, as a value and as a name; a blank does."""
    if not text:
        return not in_flow
    # The two parsers that may read this (C, and Python where that is not there) differ on these in braces.
    if in_flow and any(mark in text for mark in "?:"):
        return False
    if "\n" in text or text.startswith(("---", "...", "%")):
        return False
    wanted: Value
    place, wanted = (f"- [{text}, {{{text}: {text}}}]\n", [[text, {text: text}]])
    if not in_flow:
        place, wanted = (f"- {text}\n- {text}: {text}\n", [text, {text: text}])
    tree = parse_tree(place.encode("utf-8", "surrogatepass"), "").tree
    return tree is not None and plain_of(tree) == wanted


def name_of(text: str) -> str:
    """Return the name of a field as it is typed."""
    return text if text and stands_plain(text) else quoted(text)


Write = Callable[[str], str]
"""Returns how a text is written."""


def block(value: Value, write: Write = scalar, name: Write = name_of) -> Iterator[str]:
    """Yield a value as lines. write, name: how texts and names of fields are written."""
    if isinstance(value, str):
        yield write(value)
    elif not value:
        yield flow(value)
    elif isinstance(value, Mapping):
        for key, part in value.items():
            yield from field(key, part, write, name)
    else:
        for part in value:
            first, *rest = block(part, write, name)
            yield f"- {first}".rstrip()
            yield from (f"  {row}" for row in rest)


def field(key: str, value: Value, write: Write = scalar, name: Write = name_of) -> Iterator[str]:
    """Yield a field of a group as lines."""
    rows = list(block(value, write, name))
    if isinstance(value, str) or not value:
        yield f"{name(key)}: {rows[0]}".rstrip()
    else:
        yield f"{name(key)}:"
        yield from (f"  {row}" for row in rows)


def flow(value: Value) -> str:
    """Return a value on one line."""
    if isinstance(value, str):
        return scalar(value, in_flow=True)
    if isinstance(value, Mapping):
        return "{" + ", ".join(_flow_field(*part) for part in value.items()) + "}"
    return "[" + ", ".join(flow(part) for part in value) + "]"


def _flow_field(name: str, value: Value) -> str:
    head = name if stands_plain(name, in_flow=True) else quoted(name)
    return f"{head}: {flow(value)}"


def without_comments(data: bytes, shown_as: str) -> bytes:
    """Return the file with comments left out and every value quoted; raises ValueError if unreadable.

    It is for copies that leave the house: a comment was meant for the office.
    """
    tree = parse_tree(data, shown_as).tree
    if tree is None:
        raise ValueError(f"{shown_as} cannot be read")
    return ("\n".join(block(plain_of(tree), quoted, quoted)) + "\n").encode()
