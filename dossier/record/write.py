"""A record back into the text of its file, every field in its long form.

In: a record model such as `Job`. Out: block YAML in which every scalar is quoted text, written
exactly by its kind, so that reading it gives an equal record. Must not know any one field, nor keep
comments: this is for a record that a program made, never for one that a person typed.
"""

import json
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from dossier.reading.kinds import Kind
from dossier.reading.model import Model, is_not_applicable, kind_in

_STEP = "  "
_NO_REASONS: Mapping[str, str] = MappingProxyType({})


def to_yaml(record: Model, not_applicable: Mapping[str, str] = _NO_REASONS) -> str:
    """Return the record as block YAML that reads back as an equal record.

    not_applicable: dotted field → the reason it does not apply, written back as such. Fields that hold
    nothing are left out. Raises ValueError for a text that would be read as “not applicable”, and for a
    number without an exact written form; reading never gives either.
    """
    return "\n".join(_group(record, "", not_applicable)) + "\n"


def _group(model: Model, path: str, reasons: Mapping[str, str]) -> Iterator[str]:
    """Yield the lines of a group's fields; one pair of braces where it has none to write."""
    written = False
    for name, info in type(model).model_fields.items():
        value = getattr(model, name)
        inner = f"{path}.{name}".lstrip(".")
        if inner in reasons:
            written = True
            yield f"{name}: {_quoted(f'n/a, {reasons[inner]}')}"
            continue
        if value is None or (value == () and not info.is_required()):
            continue
        if isinstance(value, str) and not value and value == info.default:
            continue
        written = True
        yield from _field(name, value, kind_in(info), inner, reasons)
    if not written:
        yield "{}"


def _field(
    name: str, value: Any, kind: Kind | None, path: str, reasons: Mapping[str, str]
) -> Iterator[str]:
    if isinstance(value, tuple):
        rows = [
            row
            for number, item in enumerate(value)
            for row in _list_item(item, kind, f"{path}.{number}", reasons)
        ]
        yield f"{name}:" if rows else f"{name}: []"
        yield from (_STEP + row for row in rows)
    elif isinstance(value, Model):
        rows = list(_group(value, path, reasons))
        if rows == ["{}"]:
            yield f"{name}: {{}}"
        else:
            yield f"{name}:"
            yield from (_STEP + row for row in rows)
    else:
        text = _text(value, kind)
        if is_not_applicable(text):
            raise ValueError(f"{name} holds “{text}”, which would be read as not applicable")
        yield f"{name}: {_quoted(text)}"


def _list_item(
    item: Any, kind: Kind | None, path: str, reasons: Mapping[str, str]
) -> Iterator[str]:
    rows = (
        list(_group(item, path, reasons))
        if isinstance(item, Model)
        else [_quoted(_text(item, kind))]
    )
    for number, row in enumerate(rows):
        yield f"{_STEP if number else '- '}{row}"


def _text(value: Any, kind: Kind | None) -> str:
    assert kind is not None, "a field is a list, a group or a value of a kind"
    return kind.write(value)


def _quoted(text: str) -> str:
    # A JSON text is a double-quoted YAML text (YAML 1.2.2, section 1.3); characters outside ASCII
    # stay readable.
    return json.dumps(text, ensure_ascii=False)
