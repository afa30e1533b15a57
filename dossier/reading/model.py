"""Nodes into models, every fault into an item with its line; and the base of all models.

In: the tree of one file and a model class. Out: a `Read`: the model (or None), the items, and the
`Lines` that know where each field stands. Must not know what any field means. Pydantic's errors are
keyed on their type and place, never on their English.
"""

import re
from collections.abc import Mapping as MappingOf
from collections.abc import Sequence as SequenceOf
from dataclasses import dataclass, field
from types import NoneType, UnionType
from typing import Annotated, Any, ClassVar, Generic, TypeVar, Union, get_args, get_origin

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    ValidationError,
    model_validator,
)
from pydantic.fields import FieldInfo
from pydantic_core import CoreSchema, ErrorDetails

from dossier.errors import UnreadableInput
from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.as_on import TakenOver, marked_as_on
from dossier.reading.declared import repeats
from dossier.reading.kinds import Kind, LeavesFolderError
from dossier.reading.near import nearest
from dossier.reading.nodes import Node, Reading, Sequence, Text
from dossier.values import clip, counted_from_one, listed
from dossier.words import Edition

ALL = frozenset(Edition)
OFFICE_ONLY = frozenset({Edition.OFFICE})
PRICES = frozenset({Edition.OFFICE, Edition.INSURER})
PERSONAL = ALL - {Edition.RESALE}

_NOT_APPLICABLE = re.compile(r"^(?:n/a|not applicable)(?P<rest>$|[\s,;:.—–-].*$)", re.I | re.S)
"""How a value is marked that was taken over from another job and that nobody has said to hold here."""

M = TypeVar("M", bound="Model")


class AtFieldError(ValueError):
    """A value that does not fit the rest of its file. at: the field within the model that found it."""

    def __init__(self, at: tuple[str, ...], problem: str) -> None:
        """problem: what was found and what was needed, without a full stop."""
        super().__init__(problem)
        self.at = at


class Model(BaseModel):
    """A frozen group of fields that refuses a field it does not know.

    A subclass with a short form may also be given as one line of text, see `from_text`.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    short_form: ClassVar[str] = ""
    """An example of the one-line form; empty where there is none."""

    short_words: ClassVar[MappingOf[str, str]] = {}
    """The words that stand for fields in the one-line form, where they are not the fields' own names."""

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields that one line of text stands for; raises ValueError."""
        raise ValueError(
            f"found “{clip(text)}”, needed named fields below it, such as {next(iter(cls.model_fields))}"
        )

    @model_validator(mode="before")
    @classmethod
    def _unfold(cls, given: Any) -> Any:
        fields = cls.from_text(given) if isinstance(given, str) else given
        if not isinstance(fields, dict):
            return fields
        return {name: cls._as_list(name, value) for name, value in fields.items()}

    @classmethod
    def _as_list(cls, name: str, value: Any) -> Any:
        """Return a list of one for a lone value in a list field; words parted by commas for several."""
        info = cls.model_fields.get(name)
        if info is None or not is_list(info.annotation) or not isinstance(value, str | dict):
            return value
        kind = kind_in(info)
        if isinstance(value, str) and kind is not None and kind.splits:
            return [part for part in re.split(r",\s*|\s+\+\s+", value.strip()) if part]
        return [value]

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        group = handler(schema)
        if not cls.short_form:
            return group
        return {"anyOf": [{"type": "string", "examples": [cls.short_form]}, group]}


def is_not_applicable(text: str) -> bool:
    """Return whether a field with this text is read as one that does not apply."""
    return _NOT_APPLICABLE.match(text.strip()) is not None


def short_parts(text: str) -> list[str]:
    """Return the parts of a one-line form, parted by a comma and a space; 1,240.50 stays whole."""
    return [part.strip() for part in re.split(r",\s+", text.strip())]


def told(
    meaning: str,
    *,
    example: str = "",
    unit: str = "",
    readers: frozenset[Edition] | None = None,
    default: Any = None,
    repeats: bool = False,
    shared: bool = False,
) -> Any:
    """Return the declaration of one field: what it means, an example, its unit, who may read it.

    readers: the editions that may show it; every field of the record names them. default: Ellipsis
    where the field is needed. A list or a group carries no example of its own. repeats: whether an office does or
    chooses the same on its next job, so that a new job may take it over; never what is seen or measured on a roof.
    shared: whether two entries of a list have it in common, so that it is written at one of them.
    """
    extra: dict[str, Any] = {"repeats": True} if repeats else {}
    if shared:
        extra["shared"] = True
    if unit:
        extra["unit"] = unit
    if readers is not None:
        extra["readers"] = sorted(edition.value for edition in readers)
    return Field(
        default=default,
        description=meaning,
        examples=[example] if example else None,
        json_schema_extra=extra or None,
    )


@dataclass(frozen=True)
class Lines:
    """Where each field of one file stands, and which fields were said not to apply.

    marks: dotted path → line. not_applicable: dotted path → the reason given. blank: the fields that stand
    there with nothing behind them. taken_over: dotted path, entries of lists by their numbers, → what stands there
    from another job.
    """

    file: str
    marks: MappingOf[str, int] = field(default_factory=dict)
    not_applicable: MappingOf[str, str] = field(default_factory=dict)
    blank: frozenset[str] = frozenset()
    taken_over: MappingOf[str, TakenOver] = field(default_factory=dict)

    def where(self, path: str) -> Where:
        """Return the place of a field; of the group around it where the field was not typed."""
        known = self._as_typed(path)
        while known and known not in self.marks:
            known = known.rpartition(".")[0]
        return Where(self.file, self.marks.get(known, 1), path)

    def reason_not(self, path: str) -> str | None:
        """Return the reason a field was said not to apply, or None where it was not."""
        return self.not_applicable.get(self._as_typed(path))

    def from_another(self, path: str) -> TakenOver | None:
        """Return what stands at a field from another job, unconfirmed; None where nothing does."""
        return self.taken_over.get(path)

    def _as_typed(self, path: str) -> str:
        """Return the path as somebody typed it: a lone group in a list has no number of its own."""
        parts = path.split(".")
        for number, part in enumerate(parts):
            if part == "0" and ".".join(parts[: number + 1]) not in self.marks:
                return self._as_typed(".".join((*parts[:number], *parts[number + 1 :])))
        return path

    def has(self, path: str) -> bool:
        """Return whether somebody typed a value for this field."""
        typed = path in self.marks and path not in self.blank
        return typed and path not in self.not_applicable and path not in self.taken_over


@dataclass(frozen=True)
class Read(Generic[M]):
    """What reading one file into a model came to."""

    model: M | None
    items: tuple[Item, ...]
    lines: Lines

    @property
    def needed(self) -> M:
        """The model; raises UnreadableInput with the first fault where there is none."""
        if self.model is None:
            raise UnreadableInput(self.items[0].says, self.items[0].remedy)
        return self.model


def needed(reading: Reading, model: type[M]) -> M:
    """Return the model of one file; raises UnreadableInput with its first fault where there is none."""
    if reading.tree is None:
        raise UnreadableInput(reading.items[0].says, reading.items[0].remedy)
    return read_model(reading.tree, reading.file, model).needed


def read_model(tree: Node, file: str, model: type[M]) -> Read[M]:
    """Return the model read from a tree, or None with an item for every fault in it."""
    found = _Found(file, model)
    data = _plain(tree, (), found)
    items = found.items
    lines = Lines(file, found.marks, found.not_applicable, frozenset(found.blank), found.taken_over)
    # A field that is blank or does not apply is left out of the data, so the model never sees a misspelt
    # one.
    for loc in found.left_out:
        around = _fields_at(model, loc[:-1])
        if around and loc[-1] not in around:
            items.append(_unknown(loc, model, lines.where(_dotted(loc))))
    made: M | None = None
    if not isinstance(data, dict):
        says = f"{file} holds {_kind(data)}; named fields are needed."
        items.append(shape.UNREADABLE_VALUE.at(Where(file, 1), says))
        return Read(None, tuple(items), lines)
    try:
        made = model.model_validate(data)
    except ValidationError as error:
        # An n/a without a reason was dropped above and named there; do not also call it missing.
        named = {item.where.field for item in items}
        items.extend(
            item
            for detail in error.errors(include_url=False)
            if (item := _item(detail, model, lines)).where.field not in named
        )
    return Read(None if items else made, tuple(items), lines)


@dataclass
class _Found:
    """What is noted of a tree while it is turned into plain values."""

    file: str
    model: type[Model]
    marks: dict[str, int] = field(default_factory=dict)
    not_applicable: dict[str, str] = field(default_factory=dict)
    taken_over: dict[str, TakenOver] = field(default_factory=dict)
    blank: set[str] = field(default_factory=set)
    left_out: list[tuple[str, ...]] = field(default_factory=list)
    items: list[Item] = field(default_factory=list)


def _dotted(loc: SequenceOf[str]) -> str:
    """Return the path of a field as it is printed and looked up.

    A name that is empty or holds a dot is quoted, so that no field is taken for another or for the whole.
    """
    return ".".join(
        part if part and "." not in part else f"“{part.replace('.', '·')}”" for part in loc
    )


def _plain(node: Node, loc: tuple[str, ...], found: _Found) -> Any:
    """Return dicts, lists and texts; blank fields and fields that do not apply are left out."""
    found.marks.setdefault(_dotted(loc), node.line)
    if isinstance(node, Text):
        return node.text
    if isinstance(node, Sequence):
        rows = [row for row in node.items if not (isinstance(row, Text) and row.blank)]
        return [_plain(row, (*loc, str(number)), found) for number, row in enumerate(rows)]
    group: dict[str, Any] = {}
    for name, entry in node.entries.items():
        inner = (*loc, name)
        path = _dotted(inner)
        found.marks[path] = entry.line
        if isinstance(entry.value, Text):
            if entry.value.blank:
                found.blank.add(path)
                found.left_out.append(inner)
                continue
            reason = _NOT_APPLICABLE.match(entry.value.text.strip())
            if reason:
                found.left_out.append(inner)
                _take_reason(name, path, entry.line, reason["rest"], found)
                continue
            over = _taken_over(entry.value.text, inner, found.model)
            if over is not None:
                found.taken_over[_dotted(_counted(inner, found.model))] = over
                if over.held:
                    group[name] = over.value
                else:
                    found.left_out.append(inner)
                continue
        group[name] = _plain(entry.value, inner, found)
    return group


def _take_reason(name: str, path: str, line: int, rest: str, found: _Found) -> None:
    said = rest.lstrip(" ,;:.—–-").strip()
    if said:
        found.not_applicable[path] = said
        return
    says = f"{found.file} line {line}: “{clip(name)}” is not applicable, without a reason."
    found.items.append(shape.NO_REASON.at(Where(found.file, line, path), says))


def _taken_over(text: str, loc: SequenceOf[str], model: type[Model]) -> TakenOver | None:
    """Return what a text says to be as on another job; None where it, or its field, says no such thing."""
    marked = marked_as_on(text)
    group = _group_at(model, loc[:-1]) if marked else None
    info = group.model_fields.get(loc[-1]) if group else None
    if marked is None or info is None or not repeats(info) or model_in(info.annotation):
        return None
    return TakenOver(*marked, info.is_required())


def _counted(loc: SequenceOf[str], model: type[Model]) -> tuple[str, ...]:
    """Return a path with the number 0 for a lone group where a list is read."""
    parts: list[str] = []
    for at, part in enumerate(loc):
        parts.append(part)
        around = None if part.isdigit() else _group_at(model, loc[:at])
        info = around.model_fields.get(part) if around else None
        if info and is_list(info.annotation) and at + 1 < len(loc) and not loc[at + 1].isdigit():
            parts.append("0")
    return tuple(parts)


def _kind(data: Any) -> str:
    if isinstance(data, dict | MappingOf):
        return "a group of fields"
    if isinstance(data, str):
        return f"the text “{clip(data)}”"
    return "a list" if isinstance(data, SequenceOf) else "something else"


def _item(detail: ErrorDetails, model: type[Model], lines: Lines) -> Item:
    loc = [str(part) for part in detail["loc"]]
    problem = detail.get("ctx", {}).get("error", "")
    if isinstance(problem, AtFieldError):
        loc += problem.at
    path = _dotted(loc)
    where = lines.where(path)
    label = f"{lines.file} line {where.line}"
    name = counted_from_one(path) or "the file as a whole"
    if detail["type"] == "extra_forbidden":
        return _unknown(loc, model, where)
    if detail["type"] == "missing":
        reason = lines.not_applicable.get(path)
        if reason is not None:
            says = f"{label}: “{name}” is needed on every job and cannot be n/a."
        else:
            says = f"{label}: “{name}” is blank or not there."
        return shape.FIELD_MISSING.at(where, says)
    several = _several(detail.get("input"), _info_at(model, loc))
    if several:
        says = f"{label}: “{name}” found {several}, needed one value."
        return shape.UNREADABLE_VALUE.at(where, says, _write_one(loc[-1], _info_at(model, loc)))
    if detail["type"] == "value_error":
        leaves = isinstance(problem, LeavesFolderError)
        fault = shape.LEAVES_FOLDER if leaves else shape.UNREADABLE_VALUE
        return fault.at(where, f"{label}: “{name}” {problem}.")
    found = _kind(detail.get("input"))
    wanted = "a list" if "tuple" in detail["type"] or "list" in detail["type"] else "named fields"
    return shape.UNREADABLE_VALUE.at(where, f"{label}: “{name}” found {found}, needed {wanted}.")


def _several(given: Any, info: FieldInfo | None) -> str:
    """Return how several values stand where a field takes one, as a sentence names them; empty where not."""
    kind = kind_in(info) if info is not None and not is_list(info.annotation) else None
    if kind is None:
        return ""
    if isinstance(given, list | tuple):
        return f"a list of {len(given)}"
    parts = re.split(r",\s+|\s+\+\s+", given.strip()) if isinstance(given, str) else []
    return (
        f"{len(parts)} values, “{clip(given)}”"
        if len(parts) > 1 and all(map(kind.reads, parts))
        else ""
    )


def _write_one(name: str, info: FieldInfo | None) -> str:
    kind = kind_in(info) if info is not None else None
    if kind is not None and kind.choices:
        return f"Write one behind its name: {name}: {listed(list(kind.choices), 'or')}."
    example = info.examples[0] if info is not None and info.examples else ""
    return (
        f"Write one behind its name, such as {name}: {example}." if example else "Write one value."
    )


def _unknown(loc: SequenceOf[str], model: type[Model], where: Where) -> Item:
    hint = near_field(loc[-1], _fields_at(model, loc[:-1]))
    says = f"{where.file} line {where.line}: “{clip(loc[-1])}” is not a known field here.{hint}"
    return shape.UNKNOWN_FIELD.at(where, says)


_FEW_FIELDS = 12
"""So many names are read at a glance; a longer list is looked up in the manual."""


def near_field(name: str, known: SequenceOf[str]) -> str:
    """Return, for the end of a sentence, the field that was meant, or all of them where they are few."""
    near = nearest(name, known)
    if near:
        return f" The nearest known field is “{near}”."
    return f" Known here: {listed(list(known))}." if 0 < len(known) <= _FEW_FIELDS else ""


def _info_at(model: type[Model], loc: SequenceOf[str]) -> FieldInfo | None:
    """Return the field at a place, None for an entry of a list and for a place that is not there."""
    *around, name = loc or ("",)
    here: type[Model] | None = model
    for part in around:
        if here is not None and not part.isdigit():
            info = here.model_fields.get(part)
            here = model_in(info.annotation) if info else None
    return here.model_fields.get(name) if here else None


def _fields_at(model: type[Model], loc: SequenceOf[str]) -> list[str]:
    here = _group_at(model, loc)
    return list(here.model_fields) if here else []


def _group_at(model: type[Model], loc: SequenceOf[str]) -> type[Model] | None:
    """Return the group that a path leads into, None where it leads into none."""
    here: type[Model] | None = model
    for part in loc:
        if here is None:
            return None
        if part.isdigit():
            continue
        info = here.model_fields.get(part)
        here = model_in(info.annotation) if info else None
    return here


def model_in(annotation: Any) -> type[Model] | None:
    """Return the model class inside an annotation such as `tuple[Slope, ...] | None`, or None."""
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return annotation
    if get_origin(annotation) in (Union, UnionType, tuple, Annotated, dict, list):
        for part in get_args(annotation):
            found = model_in(part)
            if found:
                return found
    return None


def kind_in(info: FieldInfo) -> Kind | None:
    """Return the kind of value a field holds, or None for a group."""
    for part in info.metadata:
        if isinstance(part, Kind):
            return part
    return _kind_in(info.annotation)


def _kind_in(annotation: Any) -> Kind | None:
    if get_origin(annotation) is Annotated:
        for part in get_args(annotation)[1:]:
            if isinstance(part, Kind):
                return part
    for part in get_args(annotation):
        if part is not NoneType and part is not Ellipsis:
            found = _kind_in(part)
            if found:
                return found
    return None


def is_list(annotation: Any) -> bool:
    """Return whether a field holds a list."""
    if get_origin(annotation) is tuple:
        return True
    return any(get_origin(part) is tuple for part in get_args(annotation))
