"""The bytes of one YAML file into plain dicts, lists and texts, as fast as the C parser gives them.

In: bytes. Out: the plain values a model would be made from, blank fields and fields that do not apply left
out; or the sentence that says why there are none. Must not know any field. What the strict reader refuses
is refused here, and in its words: anything out of the ordinary is handed to it.
"""

import re
from typing import Any

import yaml

from dossier.reading.model import is_not_applicable
from dossier.reading.nodes import MOST_BYTES, MOST_LEVELS, Mapping, Node, Text, parse_tree

Plain = dict[str, Any]

_ODD = re.compile(
    # Marks that may begin an anchor, an alias or a tag, an escape that may stand for a control character, a
    # control character itself, and the few others that the strict reader refuses.
    r"(?:^|[\s\[\]{},:-])[&*!]|\\|[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]|\r(?!\n)",
    re.M,
)

_ORDINARY = bytes(set(range(0x20, 0x7F)) - set(b"&*!\\")) + b"\t\n"
"""Bytes that cannot be odd, taken away at once: most files are nothing else, and need no closer look."""


_CParser: Any = getattr(yaml, "cyaml", None) and yaml.cyaml.CParser  # type: ignore[attr-defined]
"""None where PyYAML was installed without its C library; then every file goes the strict way."""


class _Loader(_CParser or object):  # type: ignore[misc]
    """The C parser, with nothing resolved: every scalar is text, and tags were refused before."""

    def resolve(self, *_: object) -> str:
        return "text"

    def descend_resolver(self, *_: object) -> None:
        pass

    def ascend_resolver(self) -> None:
        pass


class NotPlain(ValueError):
    """The file cannot be read; the message is the sentence to print."""


def plain_fields(data: bytes, shown_as: str) -> Plain:
    """Return the fields of one file of a job or an office. Raises NotPlain.

    shown_as: the name printed in sentences.
    """
    if len(data) > MOST_BYTES:
        raise NotPlain(f"{shown_as} has {len(data):,} bytes; at most {MOST_BYTES:,} are read.")
    try:
        text = data.removeprefix(b"\xef\xbb\xbf").decode()
    except UnicodeDecodeError:
        return _strictly(data, shown_as)
    if _CParser is None or (data.translate(None, _ORDINARY) and _ODD.search(text)):
        return _strictly(data, shown_as)
    loader: Any = _Loader(text)
    try:
        root = loader.get_single_node()
        fields = _plain(root, 1)
    except (yaml.YAMLError, _Odd):
        return _strictly(data, shown_as)
    finally:
        loader.dispose()
    if not isinstance(fields, dict):
        return _strictly(data, shown_as)
    return fields


class _Odd(Exception):
    """Something for the strict reader to judge."""


def _plain(node: Any, level: int) -> Any:
    kind = type(node)
    if kind is yaml.ScalarNode:
        return node.value
    if level > MOST_LEVELS:
        raise _Odd
    if kind is yaml.MappingNode:
        fields: Plain = {}
        seen = set()
        for key, value in node.value:
            if type(key) is not yaml.ScalarNode or key.value in seen:
                raise _Odd
            seen.add(key.value)
            if type(value) is yaml.ScalarNode:
                if _says(value.value):
                    fields[key.value] = value.value
            else:
                fields[key.value] = _plain(value, level + 1)
        return fields
    if kind is yaml.SequenceNode:
        return [
            _plain(part, level + 1)
            for part in node.value
            if type(part) is not yaml.ScalarNode or part.value.strip()
        ]
    raise _Odd


def _says(text: str) -> bool:
    """Return whether a field with this text answers anything."""
    if not text or text.isspace():
        return False
    return not (text[0] in "nN" or text[0].isspace()) or not is_not_applicable(text)


def _strictly(data: bytes, shown_as: str) -> Plain:
    reading = parse_tree(data, shown_as)
    if reading.tree is None:
        raise NotPlain(reading.items[0].says)
    return plain_of(reading.tree, shown_as)


def plain_of(tree: Node, shown_as: str) -> Plain:
    """Return the fields of a tree that the strict reader made. Raises NotPlain where it holds none."""
    fields = _of_tree(tree)
    if not isinstance(fields, dict):
        raise NotPlain(f"{shown_as} holds no named fields.")
    return fields


def _of_tree(node: Node) -> Any:
    if isinstance(node, Text):
        return node.text
    if isinstance(node, Mapping):
        return {
            name: _of_tree(entry.value)
            for name, entry in node.entries.items()
            if not isinstance(entry.value, Text) or _says(entry.value.text)
        }
    return [_of_tree(part) for part in node.items if not isinstance(part, Text) or not part.blank]
