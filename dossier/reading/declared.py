"""What the declaration of a field says of it beside its type: who may read it, its unit, whether it repeats.

In: the information that `told` leaves with a field. Out: plain values. Must not know any model.
"""

from pydantic.fields import FieldInfo

from dossier.words import Edition


def readers_of(info: FieldInfo) -> frozenset[Edition] | None:
    """Return the editions that may show a field, or None where it does not say."""
    extra = info.json_schema_extra
    if not isinstance(extra, dict) or "readers" not in extra:
        return None
    named = extra["readers"]
    assert isinstance(named, list)
    return frozenset(Edition(str(name)) for name in named)


def unit_of(info: FieldInfo) -> str:
    """Return the unit a field declares, or an empty text."""
    extra = info.json_schema_extra
    return str(extra.get("unit", "")) if isinstance(extra, dict) else ""


def repeats(info: FieldInfo) -> bool:
    """Return whether a new job may take over what stands in a field of another."""
    extra = info.json_schema_extra
    return isinstance(extra, dict) and bool(extra.get("repeats"))


def is_shared(info: FieldInfo) -> bool:
    """Return whether two entries of a list have a field in common, written at one of them."""
    extra = info.json_schema_extra
    return isinstance(extra, dict) and bool(extra.get("shared"))
