"""The fields of a record by their paths: found, said in words, listed, and held against another record.

In: the tree of `job.yaml` or `photos.yaml`, and a path as a person types it. Out: `Spot`s. Must not change a tree.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from pydantic.fields import FieldInfo

from dossier.reading.declared import readers_of
from dossier.reading.model import Model, is_list, kind_in, model_in, near_field
from dossier.reading.nodes import Node, Text
from dossier.reading.typed import group_of
from dossier.record.files import longest_start, name_part, placed_paper, placed_photo
from dossier.record.trees import (
    JOB_FILE,
    MODELS,
    PHOTO_FILE,
    as_group,
    flat,
    is_reason,
    listed_rows,
    text_node,
)
from dossier.values import clip, listed
from dossier.words import Edition

_FOLDERS = ("photos/", "papers/")

FIXED = {
    "record": "it is the version of the form, and follows from what was typed",
    "job.number": "the sealed folders and every entry go by it",
}
"""Fields that no correction may change, with the reason as the end of a sentence."""

NAMED_BY = (
    *(
        "label",
        "ticket",
        "product",
        "mark",
        "file",
        "level",
        "space",
        "number",
        "slope",
        "name",
        "kind",
    ),
    *("days", "by", "on"),
)
"""Fields by which somebody would name one entry of a list, the best first."""

_DAYS = ("days", "on")

ONE_OF = {
    "deliveries": "ticket",
    "lines": "",
    "lots": "lot",
    "photos": "photo",
    "papers": "paper",
    "work": "work",
    "warranties": "warranty",
    "repairs": "repair on",
    "intake": "intake vent",
    "exhaust": "exhaust vent",
}
"""How one entry of a list is called where it is not the list's name without its last letter."""


class NoSuchField(ValueError):
    """A path that leads to no field; the message is the sentence."""


@dataclass(frozen=True)
class Spot:
    """One field. path: in numbers, counted from 0. node: what stands there, None where nothing does.

    words: the field as a person would say it; anybody: the same with no name that a buyer may not see. readers:
    who may see its value. info: of the field itself; of its list for one entry of a list. new_file: the photo or
    paper that lies in its folder and gets an entry in the list by this; blank for any other field.
    """

    file: str
    path: tuple[str, ...]
    node: Node | None
    words: str
    anybody: str
    readers: frozenset[Edition]
    info: FieldInfo
    new_file: str = ""

    @property
    def dotted(self) -> str:
        """Return the path as an entry holds it: in numbers, but for a file that no list names yet."""
        named, *rest = self.path
        return ".".join((named, self.new_file, *rest[1:]) if self.new_file else self.path)

    @property
    def text(self) -> str:
        """Return what stands there on one line, blank where nothing does."""
        return flat(self.node)


def file_of(path: str) -> str:
    """Return the file in which a field stands."""
    return PHOTO_FILE if path.partition(".")[0] == "photos" else JOB_FILE


def find(tree: Node, file: str, text: str, known_files: Iterable[str] | None = ()) -> Spot:
    """Return the field that a path names. Raises NoSuchField with a sentence where it names none.

    text: names parted by dots; one entry of a list by its number from 0, or by what it is known by, such as a
    label, a ticket, a product or a mark. known_files: photos or papers that lie in the job and that no list
    names; a field of one of them makes its entry in the list. None takes any, since the entry was held against
    the job when it was made.
    """
    text = text.strip()
    if text in FIXED:
        raise NoSuchField(f"“{text}” cannot be corrected: {FIXED[text]}.")
    model = MODELS[file]
    known = None if known_files is None else tuple(known_files)
    return _in_group(tree, model, text, _Way(file, known))


@dataclass(frozen=True)
class _Way:
    """The way so far: path and words, and who may see what lies on it."""

    file: str
    known_files: tuple[str, ...] | None
    path: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    anybody: tuple[str, ...] = ()
    readers: frozenset[Edition] = frozenset(Edition)

    def on(self, part: str, info: FieldInfo, *, silent: bool = False) -> "_Way":
        """Return the way into a field. silent: where the list itself is not said, only its entry."""
        words = () if silent else (part.replace("_", " "),)
        return replace(
            self,
            path=(*self.path, part),
            words=self.words + words,
            anybody=self.anybody + words,
            readers=self.readers & (readers_of(info) or frozenset()),
        )

    def at(self, number: int, name: str, row: Node | None, model: type[Model] | None) -> "_Way":
        """Return the way into one entry of a list. row: None where it is a new one."""
        word = ONE_OF.get(name, name[:-1].replace("_", " ") if name.endswith("s") else name)
        said, shown = "new entry", "new entry"
        if row is not None:
            said = _called(row, model) or f"no. {number + 1}"
            shown = _called(row, model, Edition.RESALE) or f"no. {number + 1}"
        return replace(
            self,
            path=(*self.path, str(number)),
            words=(*self.words, f"{word} {said}".strip()),
            anybody=(*self.anybody, f"{word} {shown}".strip()),
        )

    def spot(self, node: Node | None, info: FieldInfo) -> Spot:
        """Return the field at the end of the way."""
        words, anybody = _phrase(self.words), _phrase(self.anybody)
        return Spot(self.file, self.path, node, words, anybody, self.readers, info)


def _phrase(words: tuple[str, ...]) -> str:
    *around, leaf = words or ("",)
    return f"{', '.join(around)}: {leaf}" if around else leaf


def _in_group(node: Node | None, model: type[Model], text: str, way: _Way) -> Spot:
    name, dot, rest = text.partition(".")
    info = model.model_fields.get(name)
    if info is None:
        here = f"of “{'.'.join(way.path)}”" if way.path else f"of {way.file}"
        hint = near_field(name, list(model.model_fields))
        raise NoSuchField(f"“{clip(name)}” is not a field {here}.{hint}")
    entries = as_group(node, model).entries
    value = entries[name].value if name in entries else None
    value = None if isinstance(value, Text) and value.blank else value
    inner = model_in(info.annotation)
    if not dot:
        return way.on(name, info).spot(value, info)
    here = ".".join((*way.path, name))
    if is_reason(value):
        raise NoSuchField(f"“{here}” says “{clip(flat(value))}”; correct that itself first.")
    if is_list(info.annotation):
        return _in_list(listed_rows(value, info), info, name, rest, way.on(name, info, silent=True))
    if inner is None:
        raise NoSuchField(f"“{here}” is one value, and holds no field.")
    return _in_group(value, inner, rest, way.on(name, info))


def _in_list(rows: Sequence[Node], info: FieldInfo, name: str, text: str, way: _Way) -> Spot:
    inner = model_in(info.annotation)
    number, rest = _entry_named(rows, inner, text, way)
    row = rows[number] if number < len(rows) else None
    file = _new_file(text, inner, way) if row is None else ""
    if file:
        row = group_of({"file": file})
    way = way.at(number, name, row, inner)
    if not rest:
        return way.spot(row if number < len(rows) else None, info)
    if inner is None:
        raise NoSuchField(f"“{'.'.join(way.path)}” is one value, and holds no field.")
    spot = _in_group(row, inner, rest, way)
    if not file:
        return spot
    # By its place in the folder the file may say so already.
    node = spot.node or text_node(_by_place(file, rest))
    return replace(spot, node=node, new_file=file)


def _by_place(file: str, field: str) -> str | None:
    placed = placed_paper(file) if file.startswith("papers/") else placed_photo(file, ())
    value = getattr(placed, field, None)
    return None if value is None else str(value)


def _new_file(text: str, model: type[Model] | None, way: _Way) -> str:
    """Return the file that the text begins with and that no list names; blank where it begins with none."""
    if model is None or "file" not in model.model_fields or not text.startswith(_FOLDERS):
        return ""
    for at, letter in enumerate(text):
        file, rest = text[:at], text[at + 1 :]
        if letter == "." and rest.partition(".")[0] in model.model_fields:
            known = way.known_files is None or file in way.known_files
            return file if known else ""
    return ""


def _entry_named(
    rows: Sequence[Node], model: type[Model] | None, text: str, way: _Way
) -> tuple[int, str]:
    """Return the number of the entry that the text begins with, and what is left of the text."""
    head, _, rest = text.partition(".")
    if head.isascii() and head.isdigit() and len(head) < 7 and int(head) <= len(rows):
        by_name = [n for n, row in enumerate(rows) if head in _names(row, model)]
        # A ticket or a mark may be a number too; what an entry is known by comes first.
        if len(by_name) != 1:
            return int(head), rest
    fits: dict[int, str] = {}
    for number, row in enumerate(rows):
        for named in sorted(_names(row, model), key=len, reverse=True):
            if text.lower() == named.lower() or text.lower().startswith(f"{named.lower()}."):
                fits.setdefault(number, named)
    longest = max((len(named) for named in fits.values()), default=0)
    best = [number for number, named in fits.items() if len(named) == longest]
    where = ".".join(way.path)
    if len(best) == 1:
        return best[0], text[longest:].removeprefix(".")
    if best:
        numbers = listed([f"{where}.{number}" for number in best], "or")
        raise NoSuchField(
            f"{clip(fits[best[0]])} names several: say which by its number, {numbers}."
        )
    if file := _new_file(text, model, way):
        return len(rows), text[len(file) :].removeprefix(".")
    known = [_called(row, model) or str(number) for number, row in enumerate(rows)]
    has = (
        f"it has {listed(known[:12])}{' and others' if len(known) > 12 else ''}"
        if known
        else "it is empty"
    )
    raise NoSuchField(f"“{where}” has no “{clip(text)}”; {has}.")


def _names(row: Node, model: type[Model] | None) -> tuple[str, ...]:
    if model is None:
        return (flat(row),) if flat(row) else ()
    entries = as_group(row, model).entries
    values = [flat(entries[name].value) for name in NAMED_BY if name in entries]
    return tuple(value for value in values if value)


def _called(row: Node, model: type[Model] | None, edition: Edition = Edition.OFFICE) -> str:
    """Return what one entry is known by; blank where by nothing, or by nothing this edition may show."""
    if model is None:
        return clip(flat(row), 60)
    entries = as_group(row, model).entries
    for name in NAMED_BY:
        info = model.model_fields.get(name)
        if info is None or name not in entries or edition not in (readers_of(info) or ()):
            continue
        if said := flat(entries[name].value):
            return f"of {said}" if name in _DAYS else clip(said, 60)
    return ""


def stands(spot: Spot, said: str | None) -> bool:
    """Return whether that is what stands in a field: the same text, or another way of writing the same value."""
    here, told = " ".join(spot.text.split()), " ".join((said or "").split())
    if here == told:
        return True
    if spot.new_file and not here:
        # A photo's slope by its place is how its name begins.
        stem = spot.new_file.rpartition("/")[2].rpartition(".")[0].lower()
        return longest_start(stem, [told, name_part(told)]) is not None
    kind = kind_in(spot.info)
    if is_list(spot.info.annotation) and spot.path[-1:] and not spot.path[-1].isdigit():
        return _parts(spot.node, spot.info) == _parts(text_node(told), spot.info)
    if not here or not told or kind is None or model_in(spot.info.annotation) is not None:
        return False
    try:
        return bool(kind.read(here) == kind.read(told))
    except ValueError:
        return False


def _parts(node: Node | None, info: FieldInfo) -> list[str]:
    return [flat(part) for part in listed_rows(node, info)]


def leaves(tree: Node, file: str) -> Iterator[Spot]:
    """Yield every single value of a file, short forms taken apart, in the order in which it stands there."""
    yield from _leaves(tree, MODELS[file], _Way(file, ()))


def _leaves(node: Node, model: type[Model], way: _Way) -> Iterator[Spot]:
    for name, field in as_group(node, model).entries.items():
        info = model.model_fields.get(name)
        if info is None:
            continue
        inner = model_in(info.annotation)
        if is_list(info.annotation):
            for number, row in enumerate(listed_rows(field.value, info)):
                here = way.on(name, info, silent=True).at(number, name, row, inner)
                if inner is None:
                    yield here.spot(row, info)
                else:
                    yield from _leaves(row, inner, here)
        elif inner is not None and not is_reason(field.value):
            yield from _leaves(field.value, inner, way.on(name, info))
        elif flat(field.value):
            yield way.on(name, info).spot(field.value, info)


def differences(old: Node, new: Node, file: str) -> Iterator[tuple[Spot, str]]:
    """Yield each field of the old tree that the new one says otherwise, with what it says there.

    Entries of lists are paired by what they are known by, the rest by their order.
    """
    yield from _differ(old, new, MODELS[file], _Way(file, ()))


def _differ(
    old: Node | None, new: Node | None, model: type[Model], way: _Way
) -> Iterator[tuple[Spot, str]]:
    before, after = as_group(old, model).entries, as_group(new, model).entries
    for name, info in model.model_fields.items():
        one = before[name].value if name in before else None
        other = after[name].value if name in after else None
        if flat(one) == flat(other):
            continue
        inner = model_in(info.annotation)
        if inner is None or is_reason(one) or is_reason(other):
            spot = way.on(name, info).spot(one, info)
            if not stands(spot, flat(other)):
                yield spot, flat(other)
        elif is_list(info.annotation):
            yield from _rows_differ(one, other, info, name, way.on(name, info, silent=True))
        else:
            yield from _differ(one, other, inner, way.on(name, info))


def _rows_differ(
    old: Node | None, new: Node | None, info: FieldInfo, name: str, way: _Way
) -> Iterator[tuple[Spot, str]]:
    inner = model_in(info.annotation)
    assert inner is not None
    before, after = listed_rows(old, info), listed_rows(new, info)
    left = list(range(len(after)))
    pairs: list[tuple[int, int | None]] = []
    for number, row in enumerate(before):
        same = [n for n in left if flat(after[n]) == flat(row)]
        same = same or [n for n in left if _names(after[n], inner)[:1] == _names(row, inner)[:1]]
        pairs.append((number, same[0] if same else None))
        if same:
            left.remove(same[0])
    for number, found in pairs:
        if found is None and left:
            found = left.pop(0)
        here = way.at(number, name, before[number], inner)
        if found is None:
            yield here.spot(before[number], info), ""
        else:
            yield from _differ(before[number], after[found], inner, here)
    for shift, number in enumerate(left):
        here = way.at(len(before) + shift, name, None, inner)
        yield here.spot(None, info), flat(after[number])
