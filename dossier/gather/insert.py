"""Lines put into a hand-written YAML file at their place, every other byte kept.

In: the bytes of a file, its node tree, the lines to add. Out: the new bytes. Must not know what the
lines say. The node tree knows each line, so nothing has to be parsed and written again: comments,
order and layout stay because they are never touched. Whoever calls reads the result back and compares.
"""

from collections.abc import Sequence as SequenceOf

from dossier.errors import UnreadableInput
from dossier.reading.nodes import Mapping, Node, Sequence, Text


def append_to_list(
    data: bytes, tree: Node, name: str, items: SequenceOf[str], file: str, later: SequenceOf[str]
) -> bytes:
    """Return the file with items added at the end of a list that stands at its outermost level.

    items: each one item of the list as unindented lines, the first beginning with a dash. later: names
    of fields before the first of which the list is put where the file does not have it. Raises
    UnreadableInput where the list is written on one line or as a lone entry.
    """
    end = "\r\n" if b"\r\n" in data else "\n"
    lines = data.decode("utf-8").split("\n")
    if not isinstance(tree, Mapping) or _is_flow(tree, lines):
        raise _not_a_list(name, file)
    entry = tree.entries.get(name)
    if entry is None:
        at = min((tree.entries[one].line for one in later if one in tree.entries), default=None)
        at = _end_of_file(lines) if at is None else _above_comments(lines, at - 1)
        return _joined(lines, at, [f"{name}:", *_indented(items, 2)], end)
    at = _end_of_entry(lines, tree, name)
    if isinstance(entry.value, Text) and entry.value.blank and not _has_value(lines, entry.line):
        return _joined(lines, at, _indented(items, 2), end)
    if not isinstance(entry.value, Sequence) or not _is_block(entry.value, lines):
        raise _not_a_list(name, file)
    return _joined(lines, at, _indented(items, entry.value.column - 1), end)


def _not_a_list(name: str, file: str) -> UnreadableInput:
    return UnreadableInput(
        f"{file} does not write “{name}” as a list with a line and a dash for each entry.",
        "Write it so; then lines can be added without touching yours.",
    )


def _is_flow(tree: Mapping, lines: SequenceOf[str]) -> bool:
    return lines[tree.line - 1].lstrip("\ufeff")[tree.column - 1 :].startswith("{")


def _is_block(found: Sequence, lines: SequenceOf[str]) -> bool:
    # A byte-order mark takes a column that the node tree does not count.
    return lines[found.line - 1].lstrip("\ufeff")[found.column - 1 :].startswith("-")


def _has_value(lines: SequenceOf[str], line: int) -> bool:
    """Return whether something such as an empty quoted text stands behind the name."""
    behind = lines[line - 1].partition(":")[2].strip()
    return bool(behind) and not behind.startswith("#")


def _end_of_entry(lines: SequenceOf[str], tree: Mapping, name: str) -> int:
    """Return the number of lines up to the end of a field; comments indented under it belong to it."""
    starts = sorted(entry.line for entry in tree.entries.values())
    own = tree.entries[name].line
    following = next((line - 1 for line in starts if line > own), None)
    at = _end_of_file(lines) if following is None else following
    while at > own and _is_not_its_own(lines[at - 1]):
        at -= 1
    return at


def _is_not_its_own(line: str) -> bool:
    return not line.strip() or line.startswith("#")


def _end_of_file(lines: SequenceOf[str]) -> int:
    at = len(lines)
    while at and not lines[at - 1].strip():
        at -= 1
    return at


def _above_comments(lines: SequenceOf[str], at: int) -> int:
    while at and lines[at - 1].startswith("#"):
        at -= 1
    return at


def _indented(items: SequenceOf[str], indent: int) -> list[str]:
    return [f"{' ' * indent}{line}" for item in items for line in item.split("\n")]


def _joined(lines: SequenceOf[str], at: int, added: SequenceOf[str], end: str) -> bytes:
    before, after = "\n".join(lines[:at]), "\n".join(lines[at:])
    if before and at < len(lines):
        before += "\n"
    elif before:
        # The last line had no end of its own; it gets one, and nothing else of it changes.
        before += end
    return (before + end.join(added) + end + after).encode("utf-8")
