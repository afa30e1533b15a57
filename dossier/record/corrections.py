"""What entries after close-out change in the record: corrections, late papers and photos, confirmations.

In: the tree of `job.yaml` or `photos.yaml` as it was sealed, and the entries, oldest first. Out: the tree as they
leave it, and what each changed. This is the one place where a correction is applied, before any model is read,
so that everything reads the corrected state by the record's own reader. Must not write: what was sealed stays.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

from pydantic.fields import FieldInfo

from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.model import Model, is_list, kind_in, model_in, readers_of
from dossier.reading.nodes import Entry as Field
from dossier.reading.nodes import Mapping as Group
from dossier.reading.nodes import Node, Text
from dossier.reading.nodes import Sequence as Row
from dossier.record.entry import Correction, Entry, Registration
from dossier.record.files import PhotoList, longest_start, placed_paper, placed_photo
from dossier.record.job import Job
from dossier.values import clip, listed
from dossier.words import Edition, EntryKind, PaperKind

JOB_FILE, PHOTO_FILE = "job.yaml", "photos.yaml"
MODELS: Mapping[str, type[Model]] = {JOB_FILE: Job, PHOTO_FILE: PhotoList}

_FOLDERS = ("photos/", "papers/")

FIXED = {
    "record": "it is the version of the form, and follows from what was typed",
    "job.number": "the sealed folders and every entry go by it",
}
"""Fields that no correction may change, with the reason as the end of a sentence."""

CHANGING = frozenset(
    {
        EntryKind.CORRECTION,
        EntryKind.LATE_PAPER,
        EntryKind.LATE_PHOTO,
        EntryKind.REGISTRATION_CONFIRMED,
    }
)
"""The kinds of entry that change what the record says; each makes a new edition of the handover."""

_NAMED_BY = (
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

_ONE_OF = {
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


@dataclass(frozen=True)
class Change:
    """What one entry changed. edition: the number of the handover after it; the closing's own is 1.

    was, right: one line each, blank for nothing. readers: who may see those two.
    """

    edition: int
    entry: Entry
    file: str
    path: str
    words: str
    anybody: str
    was: str
    right: str
    readers: frozenset[Edition]


@dataclass(frozen=True)
class Applied:
    """The tree after the entries. items: why an entry does not fit what was sealed; the tree is then not used."""

    tree: Node
    changes: tuple[Change, ...] = ()
    items: tuple[Item, ...] = ()


def changes_record(entry: Entry) -> bool:
    """Return whether an entry changes what the record says."""
    return entry.kind in CHANGING


def file_of(path: str) -> str:
    """Return the file in which a field stands."""
    return PHOTO_FILE if path.partition(".")[0] == "photos" else JOB_FILE


def late_places(entry: Entry) -> dict[str, str]:
    """Return where in the record the late files of an entry stand, each with its name beside the entry."""
    found = {f"papers/{_name(paper.file)}": paper.file for paper in entry.papers}
    found |= {
        f"photos/{photo.phase.slug}/{_name(photo.file)}": photo.file for photo in entry.photos
    }
    if entry.registration and entry.registration.certificate_file:
        file = entry.registration.certificate_file
        found[f"papers/{_name(file)}"] = file
    return found


def _name(file: str) -> str:
    return file.removeprefix("files/").replace("/", "-")


def apply(tree: Node, file: str, entries: Sequence[Entry]) -> Applied:
    """Return the tree of one of the two files as the entries leave it, and what each changed in it.

    entries: all of the job, oldest first, since editions are counted over both files.
    """
    changes: list[Change] = []
    edition = 1
    for entry in entries:
        if not changes_record(entry):
            continue
        edition += 1
        try:
            for spot, right in _puts(tree, file, entry):
                if spot.new_file:
                    tree = _put(tree, file, spot.path[:2], _group_of({"file": spot.new_file}))
                tree = _put(tree, file, spot.path, right)
                said = flat(right)
                changes.append(
                    Change(
                        edition,
                        entry,
                        file,
                        ".".join(spot.path),
                        spot.words,
                        spot.anybody,
                        spot.text,
                        said,
                        spot.readers,
                    )
                )
        except NoSuchField as problem:
            name = f"the entry of {entry.noted_on.isoformat()} ({entry.kind})"
            where, says = Where(name, 1, ""), f"In {name}: {problem}"
            remedy = (
                "What is sealed was changed since, or the entry was not made by dossier add; dossier verify says "
                "which. Put a changed folder back from a copy."
            )
            return Applied(tree, tuple(changes), (shape.UNREADABLE_VALUE.at(where, says, remedy),))
    return Applied(tree, tuple(changes))


def _puts(tree: Node, file: str, entry: Entry) -> Iterator[tuple[Spot, Node | None]]:
    """Yield what an entry sets in this file; each is looked up in the tree as the ones before left it."""
    if entry.correction is not None and file_of(entry.correction.field) == file:
        yield _corrected(tree, file, entry.correction)
    if file == JOB_FILE:
        papers = [
            {
                "file": f"papers/{_name(paper.file)}",
                "kind": paper.kind.value if paper.kind else "",
                "on": paper.on.isoformat() if paper.on else "",
                "backs": paper.backs or "",
            }
            for paper in entry.papers
        ]
        if entry.registration is not None:
            yield from _confirmed(tree, entry.registration)
            if entry.registration.certificate_file:
                name = _name(entry.registration.certificate_file)
                kind = PaperKind.CERTIFICATE.value
                papers.append({"file": f"papers/{name}", "kind": kind})
        yield from _added(tree, file, "papers", papers)
    else:
        photos = [
            {
                "file": place,
                "phase": photo.phase.value,
                "slope": photo.slope or "",
                "caption": photo.caption or "",
                "received_from": photo.received_from or "",
                "received_on": entry.noted_on.isoformat(),
            }
            for photo, place in zip(entry.photos, late_places(entry), strict=False)
        ]
        yield from _added(tree, file, "photos", photos)


def _corrected(tree: Node, file: str, said: Correction) -> tuple[Spot, Node | None]:
    spot = find(tree, file, said.field, None)
    if not stands(spot, said.was):
        raise NoSuchField(
            f"it says that {spot.words} was “{clip(said.was or 'blank')}”, and there stands "
            f"“{clip(spot.text or 'nothing')}”"
        )
    return replace(spot, node=spot.node or _text(said.was)), _text(said.right)


def _added(
    tree: Node, file: str, name: str, rows: Sequence[Mapping[str, str]]
) -> Iterator[tuple[Spot, Node | None]]:
    count = len(_rows(_as_group(tree, MODELS[file]), name, MODELS[file]))
    for number, row in enumerate(rows, start=count):
        fields = {key: Field(Text(value, 1, 1), 1, 1) for key, value in row.items() if value}
        words = f"{name[:-1]} {row['file']}"
        info = MODELS[file].model_fields[name]
        readers = readers_of(info) or frozenset()
        yield (
            Spot(file, (name, str(number)), None, words, words, readers, info),
            Group(fields, 1, 1),
        )


def _confirmed(tree: Node, one: Registration) -> Iterator[tuple[Spot, Node | None]]:
    """Yield what a maker's confirmation fills in, where it can be of one warranty alone.

    A confirmation that fits several says of none of them that it was registered.
    """
    group = _as_group(tree, Job)
    rows = _rows(group, "warranties", Job)
    model = model_in(Job.model_fields["warranties"].annotation)
    assert model is not None
    fits = []
    for number, row in enumerate(rows):
        fields = {name: flat(field.value) for name, field in _as_group(row, model).entries.items()}
        same_sheet = one.sheet is None or one.sheet == fields.get("sheet", "")
        level = one.level
        if same_sheet and (level is None or level.lower() == fields.get("level", "").lower()):
            fits.append((number, fields))
    if len(fits) != 1:
        return
    number, fields = fits[0]
    certificate = one.certificate_file and f"papers/{_name(one.certificate_file)}"
    told = {
        "accepted_on": one.confirmed_on.isoformat() if one.confirmed_on else None,
        "confirmation": one.confirmation,
        "certificate_file": certificate,
    }
    for name, value in told.items():
        if value and not fields.get(name):
            yield find(tree, JOB_FILE, f"warranties.{number}.{name}"), Text(value, 1, 1)


# --- where a field stands ------------------------------------------------------------------------


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
        word = _ONE_OF.get(name, name[:-1].replace("_", " ") if name.endswith("s") else name)
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
        near = get_close_matches(name, model.model_fields, n=1, cutoff=0.5)
        hint = f" The nearest known field is “{near[0]}”." if near else ""
        raise NoSuchField(f"“{clip(name)}” is not a field {here}.{hint}")
    entries = _as_group(node, model).entries
    value = entries[name].value if name in entries else None
    value = None if isinstance(value, Text) and value.blank else value
    inner = model_in(info.annotation)
    if not dot:
        return way.on(name, info).spot(value, info)
    here = ".".join((*way.path, name))
    if _is_odd(value):
        raise NoSuchField(f"“{here}” says “{clip(flat(value))}”; correct that itself first.")
    if is_list(info.annotation):
        return _in_list(_listed(value, info), info, name, rest, way.on(name, info, silent=True))
    if inner is None:
        raise NoSuchField(f"“{here}” is one value, and holds no field.")
    return _in_group(value, inner, rest, way.on(name, info))


def _in_list(rows: Sequence[Node], info: FieldInfo, name: str, text: str, way: _Way) -> Spot:
    inner = model_in(info.annotation)
    number, rest = _entry_named(rows, inner, text, way)
    row = rows[number] if number < len(rows) else None
    file = _new_file(text, inner, way) if row is None else ""
    if file:
        row = _group_of({"file": file})
    way = way.at(number, name, row, inner)
    if not rest:
        return way.spot(row if number < len(rows) else None, info)
    if inner is None:
        raise NoSuchField(f"“{'.'.join(way.path)}” is one value, and holds no field.")
    spot = _in_group(row, inner, rest, way)
    if not file:
        return spot
    # By its place in the folder the file may say so already.
    node = spot.node or _text(_by_place(file, rest))
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
    entries = _as_group(row, model).entries
    values = [flat(entries[name].value) for name in _NAMED_BY if name in entries]
    return tuple(value for value in values if value)


def _called(row: Node, model: type[Model] | None, edition: Edition = Edition.OFFICE) -> str:
    """Return what one entry is known by; blank where by nothing, or by nothing this edition may show."""
    if model is None:
        return clip(flat(row), 60)
    entries = _as_group(row, model).entries
    for name in _NAMED_BY:
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
        return longest_start(stem, [told]) is not None
    kind = kind_in(spot.info)
    if is_list(spot.info.annotation) and spot.path[-1:] and not spot.path[-1].isdigit():
        return _parts(spot.node, spot.info) == _parts(_text(told), spot.info)
    if not here or not told or kind is None or model_in(spot.info.annotation) is not None:
        return False
    try:
        return bool(kind.read(here) == kind.read(told))
    except ValueError:
        return False


def _parts(node: Node | None, info: FieldInfo) -> list[str]:
    return [flat(part) for part in _listed(node, info)]


# --- trees ---------------------------------------------------------------------------------------


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


def leaves(tree: Node, file: str) -> Iterator[Spot]:
    """Yield every single value of a file, short forms taken apart, in the order in which it stands there."""
    yield from _leaves(tree, MODELS[file], _Way(file, ()))


def _leaves(node: Node, model: type[Model], way: _Way) -> Iterator[Spot]:
    for name, field in _as_group(node, model).entries.items():
        info = model.model_fields.get(name)
        if info is None:
            continue
        inner = model_in(info.annotation)
        if is_list(info.annotation):
            for number, row in enumerate(_listed(field.value, info)):
                here = way.on(name, info, silent=True).at(number, name, row, inner)
                if inner is None:
                    yield here.spot(row, info)
                else:
                    yield from _leaves(row, inner, here)
        elif inner is not None and not _is_reason(field.value):
            yield from _leaves(field.value, inner, way.on(name, info))
        elif flat(field.value):
            yield way.on(name, info).spot(field.value, info)


def _is_reason(node: Node) -> bool:
    return isinstance(node, Text) and node.text.strip().lower().startswith(
        ("n/a", "not applicable")
    )


def differences(old: Node, new: Node, file: str) -> Iterator[tuple[Spot, str]]:
    """Yield each field of the old tree that the new one says otherwise, with what it says there.

    Entries of lists are paired by what they are known by, the rest by their order.
    """
    yield from _differ(old, new, MODELS[file], _Way(file, ()))


def _differ(
    old: Node | None, new: Node | None, model: type[Model], way: _Way
) -> Iterator[tuple[Spot, str]]:
    before, after = _as_group(old, model).entries, _as_group(new, model).entries
    for name, info in model.model_fields.items():
        one = before[name].value if name in before else None
        other = after[name].value if name in after else None
        if flat(one) == flat(other):
            continue
        inner = model_in(info.annotation)
        if inner is None or _is_odd(one) or _is_odd(other):
            spot = way.on(name, info).spot(one, info)
            if not stands(spot, flat(other)):
                yield spot, flat(other)
        elif is_list(info.annotation):
            yield from _rows_differ(one, other, info, name, way.on(name, info, silent=True))
        else:
            yield from _differ(one, other, inner, way.on(name, info))


def _is_odd(node: Node | None) -> bool:
    """Return whether a group was answered with n/a and a reason."""
    return node is not None and _is_reason(node)


def _rows_differ(
    old: Node | None, new: Node | None, info: FieldInfo, name: str, way: _Way
) -> Iterator[tuple[Spot, str]]:
    inner = model_in(info.annotation)
    assert inner is not None
    before, after = _listed(old, info), _listed(new, info)
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


def _put(tree: Node, file: str, path: Sequence[str], value: Node | None) -> Node:
    """Return the tree with one field set; None takes it away."""
    return _put_in_group(tree, MODELS[file], tuple(path), value)


def _put_in_group(
    node: Node | None, model: type[Model], path: tuple[str, ...], value: Node | None
) -> Group:
    group = _as_group(node, model)
    name, *rest = path
    info = model.model_fields[name]
    old = group.entries[name].value if name in group.entries else None
    new: Node | None = value
    if rest and is_list(info.annotation):
        new = _put_in_list(_listed(old, info), info, tuple(rest), value)
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


def _text(value: str | None) -> Text | None:
    return Text(value, 1, 1) if value is not None and value.strip() else None


def _as_group(node: Node | None, model: type[Model]) -> Group:
    """Return a group, one line of text taken apart; without fields where it cannot be."""
    if isinstance(node, Group):
        return node
    if not isinstance(node, Text):
        return Group({}, node.line if node else 1, 1)
    try:
        fields = model.from_text(node.text)
    except ValueError:
        fields = {}
    return _group_of(fields, node.line)


def _group_of(fields: Mapping[str, Any], line: int = 1) -> Group:
    return Group(
        {name: Field(_node(value, line), line, 1) for name, value in fields.items()}, line, 1
    )


def _node(value: Any, line: int) -> Node:
    if isinstance(value, Mapping):
        return _group_of(value, line)
    if isinstance(value, list | tuple):
        return Row(tuple(_node(part, line) for part in value), line, 1)
    return Text(str(value), line, 1)


def _rows(group: Group, name: str, model: type[Model]) -> tuple[Node, ...]:
    value = group.entries[name].value if name in group.entries else None
    return _listed(value, model.model_fields[name])


def _listed(node: Node | None, info: FieldInfo) -> tuple[Node, ...]:
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
    ):
        parts = [part.strip() for part in node.text.replace(" + ", ",").split(",")]
        return tuple(Text(part, node.line, 1) for part in parts if part)
    return (node,)
