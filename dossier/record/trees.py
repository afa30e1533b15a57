"""A record's tree taken apart and put together: short forms as groups, lists as the reader counts them.

In: nodes and the models they are read by. Out: nodes. Must not know a field by name, nor what a correction is.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from pydantic.fields import FieldInfo

from dossier.reading.as_on import is_as_on
from dossier.reading.declared import repeats
from dossier.reading.model import Model, is_list, is_not_applicable, kind_in, model_in
from dossier.reading.nodes import Entry as Field
from dossier.reading.nodes import Mapping as Group
from dossier.reading.nodes import Node, Text
from dossier.reading.nodes import Sequence as Row
from dossier.reading.typed import group_of
from dossier.record.files import PhotoList
from dossier.record.job import Job

JOB_FILE, PHOTO_FILE = "job.yaml", "photos.yaml"
MODELS: Mapping[str, type[Model]] = {JOB_FILE: Job, PHOTO_FILE: PhotoList}


def flat(node: Node | None) -> str:
    """Return what a node says on one line, blank for nothing."""
    if node is None:
        return ""
    if isinstance(node, Text):
        return " ".join(node.text.split())
    if isinstance(node, Row):
        return ", ".join(flat(part) for part in node.items if flat(part))
    return ", ".join(
        f"{name}: {said}" for name, field in node.entries.items() if (said := flat(field.value))
    )


def is_reason(node: Node | None) -> bool:
    """Return whether a field was answered with n/a and a reason."""
    return isinstance(node, Text) and is_not_applicable(node.text)


def put(tree: Node, file: str, path: Sequence[str], value: Node | None) -> Node:
    """Return the tree with one field set; None takes it away."""
    return _put_in_group(tree, MODELS[file], tuple(path), value)


def _put_in_group(
    node: Node | None, model: type[Model], path: tuple[str, ...], value: Node | None
) -> Group:
    group = as_group(node, model)
    name, *rest = path
    info = model.model_fields[name]
    old = group.entries[name].value if name in group.entries else None
    new: Node | None = value
    if rest and is_list(info.annotation):
        new = _put_in_list(listed_rows(old, info), info, tuple(rest), value)
    elif rest:
        inner = model_in(info.annotation)
        assert inner is not None
        new = _put_in_group(old, inner, tuple(rest), value)
    line = group.entries[name].line if name in group.entries else group.line
    entries = (
        {**group.entries, name: Field(new, line, 1)}
        if new is not None
        else {key: field for key, field in group.entries.items() if key != name}
    )
    return replace(group, entries=entries)


def _put_in_list(
    rows: Sequence[Node], info: FieldInfo, path: tuple[str, ...], value: Node | None
) -> Row:
    number, rest = int(path[0]), path[1:]
    kept = list(rows)
    old = kept[number] if number < len(kept) else None
    new = value
    if rest:
        inner = model_in(info.annotation)
        assert inner is not None
        new = _put_in_group(old, inner, rest, value)
    if new is None:
        kept[number : number + 1] = []
    elif old is None:
        kept.append(new)
    else:
        kept[number] = new
    return Row(tuple(kept), rows[0].line if rows else 1, 1)


def text_node(value: str | None) -> Text | None:
    """Return what is typed as a node, None for nothing."""
    return Text(value, 1, 1) if value is not None and value.strip() else None


def as_group(node: Node | None, model: type[Model]) -> Group:
    """Return a group, one line of text taken apart; without fields where it cannot be."""
    if isinstance(node, Group):
        return node
    if not isinstance(node, Text):
        return Group({}, node.line if node else 1, 1)
    try:
        fields = model.from_text(node.text)
    except ValueError:
        fields = {}
    return group_of(fields, node.line)


def rows_of(group: Group, name: str, model: type[Model]) -> tuple[Node, ...]:
    """Return the entries of one list of a group."""
    value = group.entries[name].value if name in group.entries else None
    return listed_rows(value, model.model_fields[name])


def listed_rows(node: Node | None, info: FieldInfo) -> tuple[Node, ...]:
    """Return the entries of a list as the reader counts them: blank ones left out, a lone one by itself."""
    if node is None or (isinstance(node, Text) and node.blank):
        return ()
    if isinstance(node, Row):
        return tuple(row for row in node.items if not (isinstance(row, Text) and row.blank))
    kind = kind_in(info)
    if (
        isinstance(node, Text)
        and kind is not None
        and kind.splits
        and model_in(info.annotation) is None
        and not (repeats(info) and is_as_on(node.text))
    ):
        parts = [part.strip() for part in node.text.replace(" + ", ",").split(",")]
        return tuple(Text(part, node.line, 1) for part in parts if part)
    return (node,)
