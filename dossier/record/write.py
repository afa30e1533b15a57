"""A record back into the text of its file, every field in its long form.

In: a record model such as `Job`. Out: block YAML in which every scalar is quoted text, written
exactly by its kind, so that reading it gives an equal record. Must not know any one field, nor keep
comments: this is for a record that a program made, never for one that a person typed.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from dossier.reading.kinds import Kind
from dossier.reading.model import Model, is_not_applicable, kind_in
from dossier.reading.typed import Value, block, quoted

_NO_REASONS: Mapping[str, str] = MappingProxyType({})


def to_yaml(record: Model, not_applicable: Mapping[str, str] = _NO_REASONS) -> str:
    """Return the record as block YAML that reads back as an equal record.

    not_applicable: dotted field → the reason it does not apply, written back as such. Fields that hold
    nothing are left out. Raises ValueError for a text that would be read as “not applicable”, and for a
    number without an exact written form; reading never gives either.
    """
    return "\n".join(block(typed_fields(record, not_applicable), quoted)) + "\n"


def typed_fields(
    model: Model, reasons: Mapping[str, str] = _NO_REASONS, path: str = ""
) -> dict[str, Value]:
    """Return the fields of a group that hold something, as they would be typed."""
    found: dict[str, Value] = {}
    for name, info in type(model).model_fields.items():
        value = getattr(model, name)
        inner = f"{path}.{name}".lstrip(".")
        if inner in reasons:
            found[name] = f"n/a, {reasons[inner]}"
        elif value is None or (value == () and not info.is_required()):
            continue
        elif not isinstance(value, str) or value or value != info.default:
            found[name] = _typed(name, value, kind_in(info), inner, reasons)
    return found


def _typed(
    name: str, value: Any, kind: Kind | None, path: str, reasons: Mapping[str, str]
) -> Value:
    if isinstance(value, Model):
        return typed_fields(value, reasons, path)
    if isinstance(value, tuple):
        return [
            typed_fields(item, reasons, f"{path}.{number}")
            if isinstance(item, Model)
            else _text(item, kind)
            for number, item in enumerate(value)
        ]
    text = _text(value, kind)
    if is_not_applicable(text):
        raise ValueError(f"{name} holds “{text}”, which would be read as not applicable")
    return text


def _text(value: Any, kind: Kind | None) -> str:
    assert kind is not None, "a field is a list, a group or a value of a kind"
    return kind.write(value)
