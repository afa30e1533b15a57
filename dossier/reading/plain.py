"""A YAML file written again without its comments, every value as it was typed.

In: bytes that this tool has read. Out: bytes that read as the same tree. Must not know any field. It is for
copies that leave the house: a comment was meant for the office.
"""

import json
from collections.abc import Iterator

from dossier.reading.nodes import Mapping, Node, Text, parse_tree


def without_comments(data: bytes, shown_as: str) -> bytes:
    """Return the file with comments left out and every value quoted; raises ValueError if unreadable."""
    tree = parse_tree(data, shown_as).tree
    if tree is None:
        raise ValueError(f"{shown_as} cannot be read")
    return ("\n".join(_rows(tree)) + "\n").encode()


def _rows(node: Node) -> Iterator[str]:
    if isinstance(node, Text):
        yield json.dumps(node.text, ensure_ascii=False)
    elif isinstance(node, Mapping):
        for name, entry in node.entries.items():
            yield from _under(f"{json.dumps(name, ensure_ascii=False)}:", entry.value)
        if not node.entries:
            yield "{}"
    else:
        for item in node.items:
            first, *rest = _rows(item)
            yield f"- {first}"
            yield from (f"  {row}" for row in rest)
        if not node.items:
            yield "[]"


def _under(head: str, node: Node) -> Iterator[str]:
    rows = list(_rows(node))
    if isinstance(node, Text) or rows in (["{}"], ["[]"]):
        yield f"{head} {rows[0]}"
    else:
        yield head
        yield from (f"  {row}" for row in rows)
