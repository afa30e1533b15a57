"""A record back into the text of its file, every field in its long form.

In: a record model such as `Job`. Out: block YAML in which every scalar is quoted text, written
exactly by its kind, so that reading it gives an equal record. Must not know any one field, nor keep
comments: this is for a record that a program made, never for one that a person typed.
"""

from typing import Any

from dossier.reading.as_on import as_on
from dossier.reading.kinds import Kind
from dossier.reading.model import Lines, Model, is_not_applicable, kind_in
from dossier.reading.typed import Value, block, quoted

_NO_LINES = Lines("")


def to_yaml(record: Model, lines: Lines = _NO_LINES) -> str:
    """Return the record as block YAML that reads back as an equal record.

    lines: where it was read; the reasons why fields do not apply, and the marks of what was taken over from
    another job, are written back as such. Fields that hold nothing are left out. Raises ValueError for a text that
    would be read as “not applicable”, and for a number without an exact written form; reading never gives either.
    """
    return "\n".join(block(typed_fields(record, lines), quoted)) + "\n"


def typed_fields(model: Model, lines: Lines = _NO_LINES, path: str = "") -> dict[str, Value]:
    """Return the fields of a group that hold something, as they would be typed."""
    found: dict[str, Value] = {}
    for name, info in type(model).model_fields.items():
        value = getattr(model, name)
        inner = f"{path}.{name}".lstrip(".")
        reason, over = lines.reason_not(inner), lines.from_another(inner)
        if reason is not None:
            found[name] = f"n/a, {reason}"
        elif over is not None:
            found[name] = as_on(over.value, over.job)
        elif value is None or (value == () and not info.is_required()):
            continue
        elif not isinstance(value, str) or value or value != info.default:
            found[name] = _typed(name, value, kind_in(info), inner, lines)
    return found


def _typed(name: str, value: Any, kind: Kind | None, path: str, lines: Lines) -> Value:
    if isinstance(value, Model):
        return typed_fields(value, lines, path)
    if isinstance(value, tuple):
        return [
            typed_fields(item, lines, f"{path}.{number}")
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
