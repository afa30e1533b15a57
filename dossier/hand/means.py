"""What a file says by the reader's own counting: short forms taken apart, a lone entry as a list of one.

In: a tree and the form by which it is read. Out: plain values, and what they are once one of them is set, added or
taken away. It is worked out on values alone, so that a new text can be held against it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from dossier.reading.as_on import is_as_on
from dossier.reading.model import (
    Model,
    is_list,
    is_not_applicable,
    kind_in,
    model_in,
)
from dossier.reading.nodes import Mapping as Group
from dossier.reading.nodes import Node, Text
from dossier.reading.nodes import Sequence as Row
from dossier.reading.typed import Value, node_of
from dossier.values import clip, plural


class NoPlace(ValueError):
    """A path that leads to no value; the message is the end of a sentence."""


@dataclass(frozen=True)
class Change:
    """What to do at one path: set the value there, or take it away where the value is None.

    path: names, and for entries of a list their numbers from 0 as the reader counts them. One more than there
    are adds an entry. more: further entries to add behind it.
    """

    path: tuple[str, ...]
    value: Value | None
    more: tuple[Value, ...] = ()


@dataclass(frozen=True)
class Form:
    """How a value is read. model: its group, None for a text or what is not known. splits: a list on one line."""

    model: type[Model] | None
    listed: bool = False
    splits: bool = False

    @property
    def entry(self) -> "Form":
        """Return how one entry of the list is read."""
        return Form(self.model)

    def field(self, name: str) -> "Form":
        """Return how a field of the group is read."""
        info = self.model.model_fields.get(name) if self.model else None
        if info is None:
            return Form(None)
        listed, model, kind = is_list(info.annotation), model_in(info.annotation), kind_in(info)
        return Form(model, listed, listed and model is None and kind is not None and kind.splits)


def meaning(node: Node, form: Form) -> Value:
    """Return what a node says."""
    if form.listed:
        if isinstance(node, Row):
            return [meaning(item, form.entry) for item in node.items]
        whole = isinstance(node, Text) and (
            is_answer(node.text) or (form.splits and is_as_on(node.text))
        )
        if isinstance(node, Text) and whole:
            return node.text
        return [meaning(part, form.entry) for part in _lone(node, form)]
    if isinstance(node, Row):
        return [meaning(item, Form(None)) for item in node.items]
    if isinstance(node, Group):
        return {
            name: meaning(entry.value, form.field(name)) for name, entry in node.entries.items()
        }
    if form.model is None or is_answer(node.text):
        return node.text
    try:
        fields = form.model.from_text(node.text)
    except ValueError:
        return node.text
    return meaning(node_of(fields), form)


def _lone(node: Node, form: Form) -> Sequence[Node]:
    """Return the entries that a text or group stands for where a list is read."""
    if isinstance(node, Text) and form.splits:
        parts = [part.strip() for part in node.text.replace(" + ", ",").split(",")]
        return [Text(part, 1, 1) for part in parts if part]
    return [node]


def is_answer(text: str) -> bool:
    """Return whether a text is a blank, or n/a: neither is taken apart."""
    return not text.strip() or is_not_applicable(text)


def changed(old: Value, form: Form, change: Change) -> Value:
    """Return what a value is with one change in it. Raises NoPlace."""
    if not change.path:
        assert change.value is not None
        return meaning(node_of(change.value), form)
    name, inner = change.path[0], replace(change, path=change.path[1:])
    if isinstance(old, str):
        if old.strip():
            raise NoPlace(f"“{clip(old)}” stands there")
        old = [] if form.listed or (form.model is None and name == "0") else {}
    takes_away = change.value is None and not inner.path
    if isinstance(old, Mapping):
        if change.value is None and name not in old:
            raise NoPlace("there is nothing")
        if takes_away:
            return {key: part for key, part in old.items() if key != name}
        return {**old, name: changed(old.get(name, ""), form.field(name), inner)}
    places = counted(old)
    number = number_in(name, len(places))
    rows = list(old)
    if number == len(places):
        if change.value is None:
            raise NoPlace("there is nothing")
        rows.append(changed("", form.entry, inner))
    elif takes_away:
        del rows[places[number]]
    else:
        rows[places[number]] = changed(rows[places[number]], form.entry, inner)
    # Further entries go into the list at the end of the path, and into none on the way to it.
    more = () if inner.path else change.more
    return rows + [meaning(node_of(value), form.entry) for value in more]


def counted(rows: Sequence[Value]) -> list[int]:
    """Return the places of the entries that the reader counts: blank ones are passed over."""
    return [at for at, row in enumerate(rows) if not (isinstance(row, str) and not row.strip())]


def number_in(name: str, count: int) -> int:
    """Return the number that a part of a path says, at most `count`; raises NoPlace."""
    if not (name.isascii() and name.isdigit() and len(name) < 7 and int(name) <= count):
        raise NoPlace(f"the list has {plural(count, 'entry', 'entries')}, and no “{clip(name)}”")
    return int(name)
