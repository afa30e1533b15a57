"""One value of a hand-written file set, added or taken away, and every other character left where it stands.

In: the bytes of a file, the model it is read by, changes. Out: the new bytes. Must not know what a field means.
The place is found by the spans and the text is cut there; then the new text is read by the record's own reader and
held against what was asked for, worked out on values alone. Where the two differ nothing is returned.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import pairwise

from dossier.errors import UnreadableInput, WrongCommand
from dossier.hand.means import (
    Change,
    Form,
    NoPlace,
    changed,
    counted,
    is_answer,
    meaning,
    number_in,
)
from dossier.hand.spans import Group, Pair, Row, Scalar, Span, spans_of
from dossier.punchlist import Item
from dossier.reading import shape
from dossier.reading.model import Model, read_model
from dossier.reading.nodes import MOST_BYTES, Node, Text, parse_tree
from dossier.reading.nodes import Mapping as Fields
from dossier.reading.typed import Value, block, field, flow, quoted, scalar, stands_plain

_MARK = b"\xef\xbb\xbf"
_HEADER_COMMENT = re.compile(r"[|>][^\s#]*([ \t]+#[^\n]*)?")
_NUMBER = re.compile(r"\.\d+(?=\.|$)")
_STEP = 2


def with_changes(
    data: bytes | None, file: str, model: type[Model], changes: Sequence[Change]
) -> bytes:
    """Return the file with these changes made, one after the other; the same bytes where it says so already.

    data: None where there is no file yet. file: the name printed in sentences. Raises UnreadableInput where the
    file cannot be read, a value does not read, or the file is written in a way that cannot be changed at this
    place; WrongCommand where a path leads nowhere.
    """
    before = data or b""
    mark = _MARK if before.startswith(_MARK) else b""
    text = before.removeprefix(_MARK).decode("utf-8", "replace")
    first = _tree(before, file)
    form = Form(model)
    said = [meaning(first, form)]
    made = []
    for change in changes:
        with _named(file, change):
            wanted = changed(said[-1], form, change)
        if wanted != said[-1]:
            made.append(change)
            said.append(wanted)
    if not made:
        return before
    try:
        text, tree = _written(text, file, model, made, said[-1])
    except (NoPlace, UnreadableInput):
        # Where one change rests on another, or two meet in one place, they go one after the other.
        for change, wanted in zip(made, said[1:], strict=True):
            with _named(file, change):
                text, tree = _written(text, file, model, [change], wanted)
    after = mark + text.encode("utf-8")
    if len(after) > MOST_BYTES:
        raise UnreadableInput(
            f"{file} would have {len(after):,} bytes; at most {MOST_BYTES:,} are read.",
            "Nothing was written.",
        )
    _refuse_new_faults(first, tree, file, model, changes)
    return after


def _tree(data: bytes, file: str) -> Node:
    """Return the tree of a file; a group without fields for one that holds nothing, or only comments."""
    read = parse_tree(data, file)
    if read.tree is not None:
        return read.tree
    if read.items[0].rule == shape.EMPTY.id:
        return Fields({}, 1, 1)
    raise UnreadableInput(read.items[0].says, read.items[0].remedy)


@contextmanager
def _named(file: str, change: Change) -> Iterator[None]:
    """Raise WrongCommand with the path of a change where it leads nowhere."""
    try:
        yield
    except NoPlace as problem:
        path = ".".join(change.path)
        raise WrongCommand(
            f"“{path}” in {file} leads to no value: {problem}.", "Look at the file again."
        ) from None


def _written(
    text: str, file: str, model: type[Model], changes: Sequence[Change], wanted: Value
) -> tuple[str, Node]:
    """Return the text with these changes, and its tree; raises UnreadableInput where it says anything else."""
    text = _cut(text, file, Form(model), changes)
    reading = parse_tree(text.encode("utf-8", "surrogatepass"), file)
    tree = reading.tree
    if tree is None and not _plain_text(changes):
        raise UnreadableInput(str(reading.items[0].says), f"Nothing was written. {_PLAIN}")
    if tree is None or meaning(tree, Form(model)) != wanted:
        raise _cannot(file)
    return text, tree


_PLAIN = "Type the value without signs that no keyboard has."


def _plain_text(changes: Sequence[Change]) -> bool:
    """Return whether every text that is to be set can stand in a file at all."""
    return all(text.isprintable() for change in changes for text in _texts(change.value))


def _texts(value: Value | None) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for part in value.values():
            yield from _texts(part)
    elif value is not None:
        for part in value:
            yield from _texts(part)


def _cannot(file: str) -> UnreadableInput:
    return UnreadableInput(
        f"{file} is written in a way in which this place cannot be changed by itself.",
        "Nothing was written. Write a line for each field, with a line and a dash for each entry of a list, or "
        "change it by hand.",
    )


def _refuse_new_faults(
    before: Node, after: Node, file: str, model: type[Model], changes: Sequence[Change]
) -> None:
    """Raise UnreadableInput for a fault that was not there, or that lies in what was set."""
    known = Counter(map(_fault, read_model(before, file, model).items))
    given = [".".join(change.path) for change in changes if change.value is not None]
    for item in read_model(after, file, model).items:
        known[_fault(item)] -= 1
        asked = any(f"{item.where.field}.".startswith(f"{path}.") for path in given)
        if asked or known[_fault(item)] < 0:
            raise UnreadableInput(item.says, f"Nothing was written. {item.remedy}")


def _fault(item: Item) -> tuple[str, str]:
    """Return what a fault is known by; entries of a list may have other numbers by now."""
    return item.rule, _NUMBER.sub(".", item.where.field)


@dataclass(frozen=True)
class _Spot:
    """What a value hangs on. after: behind its colon or dash. column: of its name or dash."""

    after: int
    column: int
    flow: bool


_Cut = tuple[int, int, str]
"""The first and the last place that go, and the text that comes there."""


def _cut(text: str, file: str, form: Form, changes: Sequence[Change]) -> str:
    """Return the text with these changes in it; raises UnreadableInput where two meet in one place."""
    end = "\r\n" if "\r\n" in text else "\n"
    if not any(line.strip() and line.lstrip()[0] != "#" for line in text.split("\n")):
        [change] = changes[:1]
        rows = end.join(block(_nested(change, form)))
        lead = text if not text or text.endswith("\n") else text + end
        return f"{lead}{rows}{end}"
    whole, surgeon = spans_of(text, file), _Surgeon(text, file)
    cuts = sorted(surgeon.at(whole, _Spot(0, -_STEP, False), form, change) for change in changes)
    for before, behind in pairwise(cuts):
        if before[1] > behind[0] or before[0] == behind[0]:
            raise _cannot(file)
    # From the end upward, so that the places above stay right.
    for first, last, new in reversed(cuts):
        if last == len(text) and text[first:last].strip() == "" and "\n" in new:
            # The last line had no end of its own; it gets one, and nothing else of it changes.
            new += "\n"
        text = text[:first] + new.replace("\n", end) + text[last:]
    return text


def _nested(change: Change, form: Form) -> Value:
    """Return the value of a change with the groups and lists around it that are not there yet."""
    if not change.path:
        if change.value is None:
            raise NoPlace("there is nothing")
        return change.value
    name, inner = change.path[0], replace(change, path=change.path[1:])
    if form.listed or (form.model is None and name == "0"):
        number_in(name, 0)
        return [_nested(inner, form.entry), *_more(change)]
    return {name: _nested(inner, form.field(name))}


def _more(change: Change) -> Sequence[Value]:
    """Return the further entries of the list here: those of one further in are none of it."""
    return () if len(change.path) > 1 else change.more


class _Surgeon:
    """Finds the place of a change in a text, and says what is cut there."""

    def __init__(self, text: str, file: str) -> None:
        self.text, self.file = text, file

    # --- the way to the place -----------------------------------------------------------------------

    def at(self, span: Span, spot: _Spot, form: Form, change: Change) -> _Cut:
        """Return the cut for a change of the value that stands here, or of one within it."""
        if not change.path:
            assert change.value is not None
            return self.put(span, spot, change.value)
        name, inner = change.path[0], replace(change, path=change.path[1:])
        if isinstance(span, Scalar):
            if is_answer(span.text):
                if span.text.strip():
                    raise NoPlace(f"“{span.text}” stands there")
                return self.put(span, spot, _nested(change, form))
            return self.in_short_form(span, spot, form, change)
        if isinstance(span, Row):
            return self.in_row(span, spot, form.entry, change)
        if form.listed:
            if name == "0" and not _more(change) and (inner.path or change.value is not None):
                return self.at(span, spot, form.entry, inner)
            if name == "0" and change.value is None:
                return self.put(span, spot, [])
            raise _cannot(self.file)
        return self.in_group(span, spot, form, change)

    def in_group(self, group: Group, spot: _Spot, form: Form, change: Change) -> _Cut:
        name, inner = change.path[0], replace(change, path=change.path[1:])
        found = next((n for n, pair in enumerate(group.pairs) if pair.name == name), None)
        if found is None:
            return self.added_field(group, form, name, _nested(inner, form.field(name)))
        pair = group.pairs[found]
        if change.value is None and not inner.path:
            return self.without_field(group, spot, found)
        own = _Spot(pair.after, self.column(pair.start), group.flow)
        return self.at(pair.value, own, form.field(name), inner)

    def in_row(self, row: Row, spot: _Spot, form: Form, change: Change) -> _Cut:
        inner = replace(change, path=change.path[1:])
        places = counted([item.text if isinstance(item, Scalar) else [""] for item in row.items])
        number = number_in(change.path[0], len(places))
        if number == len(places):
            return self.added_entries(row, spot, [_nested(inner, form), *_more(change)])
        if _more(change):
            raise _cannot(self.file)
        at = places[number]
        if change.value is None and not inner.path:
            return self.without_entry(row, spot, at)
        item, dash = row.items[at], row.dashes[at]
        after = dash if row.flow else dash + 1
        return self.at(item, _Spot(after, self.column(dash), row.flow), form, inner)

    def in_short_form(self, span: Scalar, spot: _Spot, form: Form, change: Change) -> _Cut:
        """Return the cut in a line that stands for a group or list: kept as one where that says it."""
        old = meaning(Text(span.text, 1, 1), form)
        wanted = changed(old, form, change)
        if form.listed and not form.splits and change.path[0] == "1":
            added = _nested(replace(change, path=change.path[1:]), form.entry)
            return self.put(span, spot, [span.text, added, *_more(change)])
        for line in _other_lines(span.text, old, change):
            if meaning(Text(line, 1, 1), form) == wanted:
                return self.put(span, spot, line)
        name, inner = change.path[0], replace(change, path=change.path[1:])
        if isinstance(old, Mapping) and change.value is not None and name not in old:
            # What is new stays as it was typed, on one line where it was.
            return self.put(span, spot, {**old, name: _nested(inner, form.field(name))})
        return self.put(span, spot, wanted)

    # --- one value in place of another --------------------------------------------------------------

    def put(self, old: Span, spot: _Spot, value: Value) -> _Cut:
        """Return the cut that puts a value in place of another; a comment behind it stays."""
        stands_below = not isinstance(old, Scalar) and not old.flow
        if spot.flow or isinstance(value, str) or not value:
            new = self.on_one_line(old, spot, value)
            if isinstance(old, Scalar) and old.nothing:
                return spot.after, spot.after + self.spare(spot.after, new), f" {new}".rstrip()
            line = self.line_start(old.start)
            if stands_below and line > spot.after:
                between = self.text[spot.after : line].rstrip("\r\n")
                return spot.after, old.end, f" {new}{between}".rstrip(" ")
            if not new and not self.text[old.end : self.line_end(old.end)].strip():
                return self.gap_before(old.start), old.end, ""
            return old.start, old.end, new + self.header_comment(old)
        rows = list(block(value))
        if stands_below:
            pad = "\n" + " " * self.column(old.start)
            return old.start, old.end, pad.join(rows)
        end = self.line_end(old.end)
        tail = (self.header_comment(old) or self.text[old.end : end]).rstrip("\r")
        if self.text[spot.after - 1] == ":":
            pad = "\n" + " " * (spot.column + _STEP)
            return self.gap_before(max(old.start, spot.after)), end, tail + pad + pad.join(rows)
        # Behind a dash the first line goes on, and the others stand below it.
        gap = "" if old.start > spot.after else " "
        pad = "\n" + " " * (self.column(old.start) + len(gap))
        return old.start, end, gap + rows[0] + tail + "".join(pad + row for row in rows[1:])

    def on_one_line(self, old: Span, spot: _Spot, value: Value) -> str:
        if not isinstance(value, str):
            return flow(value)
        in_flow = spot.flow
        if not isinstance(old, Scalar) or old.style in ("|", ">") or old.nothing:
            return scalar(value, in_flow=in_flow) if value else ""
        if old.style == '"':
            return quoted(value)
        if old.style == "'" and value.isprintable():
            return "'" + value.replace("'", "''") + "'"
        return value if not value or stands_plain(value, in_flow=in_flow) else quoted(value)

    def spare(self, at: int, new: str) -> int:
        """Return how much of the gap before a comment a new value takes, so that the comment keeps its column."""
        rest = self.text[at : self.line_end(at)]
        gap = len(rest) - len(rest.lstrip(" "))
        return max(min(gap - 1, len(new) + 1), 0) if rest.lstrip(" ").startswith("#") else 0

    def header_comment(self, old: Span) -> str:
        if not isinstance(old, Scalar) or old.style not in ("|", ">"):
            return ""
        found = _HEADER_COMMENT.match(self.text, old.start)
        return (found[1] or "").rstrip("\r") if found else ""

    # --- what is added ------------------------------------------------------------------------------

    def added_field(self, group: Group, form: Form, name: str, value: Value) -> _Cut:
        if group.flow:
            new = flow({name: value})[1:-1]
            if not group.pairs:
                return group.start + 1, group.start + 1, new
            return group.pairs[-1].end, group.pairs[-1].end, f", {new}"
        column = self.column(group.start)
        pad = "\n" + " " * column
        at = self.below(self._before(group, form, name).end, column)
        return at, at, pad + pad.join(field(name, value))

    def _before(self, group: Group, form: Form, name: str) -> Pair:
        """Return the field behind which a new one goes: as the form has them, else the last."""
        names = list(form.model.model_fields) if form.model else []
        earlier = names[: names.index(name)] if name in names else []
        return next((p for p in reversed(group.pairs) if p.name in earlier), group.pairs[-1])

    def added_entries(self, row: Row, spot: _Spot, values: Sequence[Value]) -> _Cut:
        if row.flow:
            if not row.items and not spot.flow:
                return self.put(row, spot, list(values))
            at = row.items[-1].end if row.items else row.start + 1
            lead = ", " if row.items else ""
            return at, at, lead + ", ".join(flow(value) for value in values)
        column = self.column(row.start)
        at = self.below(row.end, column)
        pad = "\n" + " " * column
        return at, at, pad + pad.join(block(list(values)))

    def below(self, end: int, column: int) -> int:
        """Return the end of the line that a new one goes below: comments further in belong to what they follow."""
        at = self.line_end(end)
        while (feed := self.text.find("\n", at)) >= 0:
            start = feed + 1
            line = self.text[start : self.line_end(start)]
            if not line.lstrip(" ").startswith("#") or len(line) - len(line.lstrip(" ")) <= column:
                break
            at = self.line_end(start)
        return at

    # --- what is taken away -------------------------------------------------------------------------

    def without_field(self, group: Group, spot: _Spot, number: int) -> _Cut:
        if len(group.pairs) == 1:
            return self.put(group, spot, {})
        parts = [(pair.start, pair.end) for pair in group.pairs]
        return self.without(parts, number, in_flow=group.flow)

    def without_entry(self, row: Row, spot: _Spot, number: int) -> _Cut:
        if len(row.items) == 1:
            return self.put(row, spot, [])
        ends = [max(item.end, at + 1) for item, at in zip(row.items, row.dashes, strict=True)]
        if row.flow:
            ends = [item.end for item in row.items]
        return self.without(list(zip(row.dashes, ends, strict=True)), number, in_flow=row.flow)

    def without(self, parts: Sequence[tuple[int, int]], number: int, *, in_flow: bool) -> _Cut:
        start, end = parts[number]
        if in_flow:
            if number:
                # What somebody noted of the one before stands between them, and stays.
                before = parts[number - 1][1]
                between = self.text[before:start]
                kept = re.sub(r"^[ ]*,", "", between) if "#" in between else ""
                return before, end, kept
            return start, parts[1][0], ""
        first = self.line_start(start)
        if self.text[first:start].strip():
            # The first one goes on behind a dash, and so does the next one then.
            following = parts[number + 1][0]
            if not self.text[self.line_end(end) : following].strip():
                return start, following, ""
            return start, end, ""
        last = self.text.find("\n", self.below(end, start - first))
        if last < 0:
            return max(first - 1, 0), len(self.text), ""
        return first, last + 1, ""

    # --- places in the text -------------------------------------------------------------------------

    def line_start(self, at: int) -> int:
        return self.text.rfind("\n", 0, at) + 1

    def line_end(self, at: int) -> int:
        """Return where the line ends, before its carriage return and line feed."""
        end = self.text.find("\n", at)
        end = len(self.text) if end < 0 else end
        return end - 1 if end > at and self.text[end - 1] == "\r" else end

    def column(self, at: int) -> int:
        return at - self.line_start(at)

    def gap_before(self, at: int) -> int:
        while self.text[at - 1] in " \t":
            at -= 1
        return at


def _other_lines(line: str, old: Value, change: Change) -> Iterator[str]:
    """Yield other ways of writing a one-line form that may say the change; each is tried by the reader."""
    here: Value = old
    for part in change.path:
        if isinstance(here, Mapping):
            here = here.get(part, "")
        elif isinstance(here, str) or not part.isdigit() or int(part) >= len(here):
            here = ""
        else:
            here = here[int(part)]
    if not isinstance(here, str) or not (change.value is None or isinstance(change.value, str)):
        return
    new, word = change.value or "", change.path[-1].replace("_", " ")
    if here:
        wholes = [here] if new else [f", {word} {here}", f", {here}", f"{here}, ", f" {here}", here]
        for whole in wholes:
            for found in re.finditer(re.escape(whole), line):
                yield line[: found.start()] + new + line[found.end() :]
    elif new:
        *_, around, last = ("", *change.path)
        if last == "0" and all(isinstance(one, str) for one in change.more):
            entries = "; ".join((new, *map(str, change.more)))
            yield f"{line}, {around} {entries}"
        yield from (f"{line}, {new}", f"{line}, {word} {new}", f"{line} {new}", f"{line} + {new}")
        # A line names a length without its unit, and several in the plural: “rakes 31.3 ft” is `rake_ft`.
        bare = re.sub(r" (ft|in|sqft)$", "", word)
        yield from (f"{line}, {bare} {new}", f"{line}, {bare}s {new}")
