"""Single fields set in a hand-written YAML file, with every comment and every other line as it was.

In: the bytes of a file, and what to set where. Out: the new bytes. Must not know what a field means.
The file goes through a round-trip parser twice, once as it is and once with the change; the lines in
which the two differ are then put into the file itself. So whatever that parser would lay out anew stays
as it was typed. Every scalar stays text, as in `nodes.py`. Whoever calls reads the result back.
"""

import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import ScalarNode
from ruamel.yaml.resolver import VersionedResolver
from ruamel.yaml.tag import Tag

from dossier.errors import UnreadableInput
from dossier.reading.nodes import parse_tree

_MARK = b"\xef\xbb\xbf"
_NEVER_FOLD = 2**30
_TEXT = Tag(suffix="tag:yaml.org,2002:str")


@dataclass(frozen=True)
class Put:
    """A group of fields to set in one entry of a list: where `key` is `value`, `field` becomes `group`.

    An entry that is not there is added at the end of the list, with `key` and `field`.
    """

    key: str
    value: str
    field: str
    group: Mapping[str, str]


class _TextOnly(VersionedResolver):
    """Takes every scalar for text, so that 0012345 and 1E5 are written as they were typed."""

    def resolve(self, kind: Any, value: Any, implicit: Any) -> Any:
        return _TEXT if kind is ScalarNode else super().resolve(kind, value, implicit)


def put_in_list(data: bytes | None, file: str, name: str, puts: Sequence[Put]) -> bytes:
    """Return the file with these groups set in the list `name` at its outermost level.

    data: None where there is no file yet. Line ends, a byte-order mark and all lines that are not
    concerned stay. The same bytes where there is nothing to change. Raises UnreadableInput where the
    file cannot be read, or the list is written in a way that cannot be added to.
    """
    data = f"{name}:\n".encode() if data is None else data
    read = parse_tree(data, file)
    if read.tree is None:
        raise UnreadableInput(read.items[0].says, read.items[0].remedy)
    mark = _MARK if data.startswith(_MARK) else b""
    text = data.removeprefix(_MARK).decode("utf-8")
    end = "\r" if "\r\n" in text else ""
    lines = text.split("\n")
    if lines[-1]:
        # The last line had no end of its own; it gets one, and nothing else of it changes.
        lines[-1:] = [lines[-1] + end, ""]
    bare = [line.removesuffix("\r") for line in lines]
    try:
        plain, edited, wanted = _round_trips("\n".join(bare), file, name, puts)
    except YAMLError:
        raise _cannot(file, name) from None
    if plain == edited:
        return data
    # What looks like a comment may be the last line of a text over several lines; then the new lines
    # have to go below it.
    for above_comments in (True, False):
        changes = _carried_over(bare, plain, edited, above_comments)
        if changes is not None and _reads_as(_with(bare, changes, ""), wanted):
            return mark + "\n".join(_with(lines, changes, end)).encode("utf-8")
    raise _cannot(file, name)


def _with(
    lines: Sequence[str], changes: Sequence[tuple[int, int, list[str]]], end: str
) -> list[str]:
    changed = list(lines)
    # From the end upward, so that the numbers of the lines above stay right.
    for first, last, new in reversed(changes):
        changed[first:last] = [line + end for line in new]
    return changed


def _reads_as(lines: Sequence[str], wanted: CommentedMap) -> bool:
    try:
        return bool(_yaml().load("\n".join(lines)) == wanted)
    except YAMLError:
        return False


def _cannot(file: str, name: str) -> UnreadableInput:
    return UnreadableInput(
        f"{file} writes its list “{name}” in a way in which nothing can be added by itself.",
        "Write it with a line and a dash for each entry, or add the lines by hand.",
    )


def _round_trips(
    text: str, file: str, name: str, puts: Sequence[Put]
) -> tuple[list[str], list[str], CommentedMap]:
    """Return the lines of the text written anew, without and with the change, and what it then says."""
    yaml = _yaml()
    whole = yaml.load(text)
    if not isinstance(whole, CommentedMap):
        raise _cannot(file, name)
    found = whole.get(name)
    if isinstance(found, CommentedSeq) and len(found):
        dash = found.lc.col
        first = next((one.lc.col for one in found if isinstance(one, CommentedMap)), dash + 2)
        if not found.fa.flow_style():
            yaml.indent(mapping=2, sequence=first, offset=dash)
    plain = _written(yaml, whole)
    for put in puts:
        _put(whole, file, name, put)
    return plain, _written(yaml, whole), whole


def _yaml() -> YAML:
    yaml = YAML(typ="rt", pure=True)
    yaml.Resolver = _TextOnly
    yaml.preserve_quotes = True
    yaml.width = _NEVER_FOLD
    yaml.allow_unicode = True
    yaml.indent(mapping=2, sequence=4, offset=2)
    return yaml


def _written(yaml: YAML, whole: CommentedMap) -> list[str]:
    target = io.StringIO()
    yaml.dump(whole, target)
    return target.getvalue().split("\n")


def _put(whole: CommentedMap, file: str, name: str, put: Put) -> None:
    found = whole.get(name)
    if isinstance(found, str) and not found.strip():
        found = None
    if found is None:
        found = whole[name] = CommentedSeq()
    entries = [found] if isinstance(found, CommentedMap) else found
    if not isinstance(entries, list):
        raise _cannot(file, name)
    of_this = [
        entry
        for entry in entries
        if isinstance(entry, CommentedMap) and str(entry.get(put.key, "")).strip() == put.value
    ]
    if of_this:
        # Where a file is listed twice, the reader takes the later entry.
        entry = of_this[-1]
    elif isinstance(found, CommentedMap):
        raise _cannot(file, name)
    else:
        entry = CommentedMap({put.key: put.value})
        found.append(entry)
    if entry.get(put.field) != put.group:
        entry[put.field] = CommentedMap(put.group)


def _carried_over(
    original: Sequence[str], plain: Sequence[str], edited: Sequence[str], above_comments: bool
) -> list[tuple[int, int, list[str]]] | None:
    """Return what separates `edited` from `plain` as changes of `original`: first, last, new lines.

    above_comments: whether comments and gaps behind an entry stay behind its new lines. None where a
    changed line has no counterpart in the original.
    """
    line_of = dict(_counterparts(original, plain))
    changes: list[tuple[int, int, list[str]]] = []
    for kind, first, last, new_first, new_last in _steps(plain, edited):
        if kind == "equal":
            continue
        new = list(edited[new_first:new_last])
        if kind == "insert":
            above, below = line_of.get(first - 1), line_of.get(first)
            if above is None and below is None:
                return None
            at = above + 1 if above is not None else below or 0
            at = _above_comments(original, at) if above_comments else at
            changes.append((at, at, new))
            continue
        places = [line_of.get(number) for number in range(first, last)]
        start = places[0]
        if start is None or places != list(range(start, start + len(places))):
            return None
        changes.append((start, start + len(places), new))
    return changes


def _above_comments(lines: Sequence[str], at: int) -> int:
    """Return where a new line goes that stands above the comments and gaps before this line."""
    while at and (not lines[at - 1].strip() or lines[at - 1].lstrip().startswith("#")):
        at -= 1
    return at


def _counterparts(original: Sequence[str], plain: Sequence[str]) -> Iterator[tuple[int, int]]:
    """Yield the number of a line of `plain` and of the line of `original` that it came from."""
    for kind, first, last, new_first, new_last in _steps(original, plain):
        # A line that was only laid out anew, such as a wider space, still is that line.
        if kind == "equal" or (kind == "replace" and last - first == new_last - new_first):
            yield from zip(range(new_first, new_last), range(first, last), strict=True)


def _steps(old: Sequence[str], new: Sequence[str]) -> Iterator[tuple[str, int, int, int, int]]:
    """Yield the steps from one list of lines to another, what they begin and end with set aside.

    Without that, two long files that differ in one place would take minutes.
    """
    most = min(len(old), len(new))
    head = next((n for n in range(most) if old[n] != new[n]), most)
    tail = next((n for n in range(most - head) if old[-1 - n] != new[-1 - n]), most - head)
    if head:
        yield "equal", 0, head, 0, head
    inner = SequenceMatcher(None, old[head : len(old) - tail], new[head : len(new) - tail])
    for kind, first, last, new_first, new_last in inner.get_opcodes():
        yield kind, first + head, last + head, new_first + head, new_last + head
    if tail:
        yield "equal", len(old) - tail, len(old), len(new) - tail, len(new)
