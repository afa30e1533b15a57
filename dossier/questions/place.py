"""A place of the record by its dotted path: its field, what stands there, and the groups around it.

In: a record or a sheet, and a path in numbers counted from 0. Out: a `Place`, or None where the path leads to no
field. Must not know any one field.
"""

from dataclasses import dataclass, replace
from typing import Any

from pydantic.fields import FieldInfo

from dossier.reading.declared import unit_of
from dossier.reading.kinds import Kind
from dossier.reading.model import Model, is_list, kind_in, model_in
from dossier.record.fields import NAMED_BY, ONE_OF
from dossier.values import clip

_HEAD = "job"
"""The group whose fields are said of the job itself."""

_UNIT_ENDINGS = ("_in", "_ft", "_sqft", "_sqin", "_psf", "_pct", "_mph", "_f")
"""How the names of fields with a unit end; whoever is asked reads the unit beside it."""


@dataclass(frozen=True)
class Place:
    """One field, or one entry of a list. path: in numbers. info: of the field; of its list for an entry.

    value: what stands there, None where nothing does. is_entry: whether it is one entry of a list. around: what
    each group on the way is known by, the outermost first.
    """

    path: tuple[str, ...]
    info: FieldInfo
    value: Any
    is_entry: bool = False
    around: tuple[str, ...] = ()

    @property
    def dotted(self) -> str:
        """Return the path as it is printed."""
        return ".".join(self.path)

    @property
    def model(self) -> type[Model] | None:
        """Return the group that stands here, None for a single value."""
        return model_in(self.info.annotation)

    @property
    def kind(self) -> Kind | None:
        """Return the kind of a single value, None for a group."""
        return None if self.model else kind_in(self.info)

    @property
    def holds_entries(self) -> bool:
        """Return whether it is a whole list."""
        return is_list(self.info.annotation) and not self.is_entry

    @property
    def name(self) -> str:
        """Return what it is called, without the unit its name ends in."""
        leaf = self.path[-2] if self.is_entry else self.path[-1]
        ending = next((end for end in _UNIT_ENDINGS if leaf.endswith(end)), "")
        bare = leaf.removesuffix(ending) if unit_of(self.info) else leaf
        return bare.replace("_", " ")

    def field(self, name: str) -> "Place":
        """Return the place of a field of the group that stands here."""
        assert self.model is not None
        return replace(
            self, path=(*self.path, name), info=self.model.model_fields[name], is_entry=False
        )


def place_of(form: type[Model], whole: Model | None, path: str) -> Place | None:
    """Return the place that a path leads to; one more than a list has is the place of a new entry.

    whole: the record or sheet, None where it cannot be read. form: what it is.
    """
    nowhere = Place((), FieldInfo(), None)
    return _in_group(form, whole, path.split("."), nowhere)


def written(value: Any, kind: Kind | None = None) -> str:
    """Return what stands in a place on one line, blank for nothing."""
    if isinstance(value, Model):
        fields = type(value).model_fields.items()
        parts = ((getattr(value, name), info) for name, info in fields)
        said = [written(part, kind_in(info)) for part, info in parts if part not in (None, ())]
        return ", ".join(said)
    if isinstance(value, tuple):
        return ", ".join(written(part, kind) for part in value)
    return "" if value is None else kind.write(value) if kind else str(value)


def _in_group(
    model: type[Model], group: Model | None, parts: list[str], way: Place
) -> Place | None:
    name, *rest = parts
    info = model.model_fields.get(name)
    if info is None:
        return None
    value = _typed(group, name)
    here = replace(way, path=(*way.path, name), info=info, value=value, is_entry=False)
    inner = model_in(info.annotation)
    if rest and is_list(info.annotation):
        rows = value or ()
        number, *rest = rest
        if number not in map(str, range(len(rows) + 1)):
            return None
        value = rows[int(number)] if int(number) < len(rows) else None
        here = replace(here, path=(*here.path, number), value=value, is_entry=True)
        if rest:
            here = replace(here, around=(*here.around, _called(name, value, int(number))))
    if not rest:
        return here
    if inner is None:
        return None
    if not here.is_entry and name != _HEAD:
        here = replace(here, around=(*here.around, here.name))
    return _in_group(inner, value if isinstance(value, Model) else None, rest, here)


def _typed(group: Model | None, name: str) -> Any:
    """Return what somebody typed in a field; None for a blank, also where a default stands in for it."""
    if group is None or name not in group.model_fields_set:
        return None
    value = getattr(group, name)
    if isinstance(value, Model) and not value.model_fields_set:
        return None
    return None if value == () else value


def _called(list_name: str, row: Any, number: int) -> str:
    """Return what one entry of a list is known by."""
    one = ONE_OF.get(list_name, list_name.removesuffix("s").replace("_", " "))
    said = next((str(v) for name in NAMED_BY if (v := getattr(row, name, None))), "")
    return f"{one} {clip(said)}".strip() if said else f"{one} {number + 1}"
