"""Good jobs with one value changed into another of its own type, by a seed, and what the program says of each.

In: the known-good job of the demo and the good jobs of this folder, in their long form. Out: mutants, as many of
every field as of any other, and for each an `Outcome`: unreadable, told as an item, shown in documents only, or
nothing at all. Must not judge whether an outcome is right: `test_mutants.py` does.

Nearly every mutant can be read: a day becomes another day, a word of a closed list another of that list, a name
another that stands on record, a blank the field's own example. `tests/mutations.py` makes those that cannot.
"""

import json
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import cache
from itertools import zip_longest
from typing import Any

from pydantic.fields import FieldInfo

from dossier.case.read import Reads
from dossier.case.readers import for_reader
from dossier.compose.handover.handover import handover
from dossier.compose.office.scope_comparison import scope_comparison
from dossier.compose.packet.registration import registration
from dossier.compose.packet.twins import registration_data
from dossier.punchlist import Holds, Item
from dossier.reading import kinds
from dossier.reading.kinds import Kind
from dossier.reading.model import (
    Lines,
    Model,
    is_list,
    is_not_applicable,
    kind_in,
    model_in,
    read_model,
)
from dossier.reading.nodes import Mapping, Node, Sequence, Text, parse_tree
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.record.read import read_photo_list
from dossier.record.write import to_yaml
from dossier.values import Days, Pitch, Place
from dossier.words import Edition
from tests import known_good as demo
from tests.compose.made import everything
from tests.jobs import made_up as folder
from tests.jobs.made_up import loaded
from tests.known_good import DEMO, GOOD_JOB, Known, Unreadable, edited

DEMO_JOB = "plover-lane"
JOBS = (
    DEMO_JOB,
    "board-deck-of-1948",
    "cape-with-dormers",
    "gable-ranch",
    "insurance-job",
    "porch-of-3-in-12",
    "recover-over-one-layer",
    "sold-twice",
)
"""The jobs that are good but for a note or two: a mutant of a faulty one could hide behind its fault."""


class Came(StrEnum):
    """What came of a mutant, the loudest first."""

    UNREADABLE = "cannot be read"
    ITEM = "an item"
    SHOWN = "documents only"
    NOTHING = "nothing"


WILD = frozenset(
    {
        *("ten years earlier", "ten years later", "a year earlier", "a year later"),
        *("nought", "a tenth", "tenfold", "across the world"),
        *("a row doubled", "all rows dropped", "n/a"),
        "a file that is not there",
    }
)
"""Ways that leave what no good job could have, or switch off what is asked; the others may well be true."""


@dataclass(frozen=True)
class Mutant:
    """One changed value. address: as an Example's edit has it. field: the same with `*` for numbers.

    way: the kind of change, in a few words. value: what is typed; None takes the place away.
    """

    job: str
    address: str
    field: str
    way: str
    value: Any

    def __str__(self) -> str:
        return f"{self.job}: {self.address} → {self.value!r} ({self.way})"


@dataclass(frozen=True)
class Outcome:
    """What came of one mutant. new, gone: items that the unchanged job has not, and those it has."""

    mutant: Mutant
    came: Came
    new: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    readier: bool = False
    """Whether it keeps fewer things from being done than the unchanged job does."""


# The jobs, every field in its long form.


@dataclass(frozen=True)
class Trees:
    """A job's record, and what is noted of its photos."""

    job: Node
    photos: Node

    def changed(self, address: str, value: Any) -> "Trees":
        """Return the trees with one place changed."""
        root, _, path = address.partition(".")
        if root == "photos":
            inner = ["photos", *path.split(".")] if path else ["photos"]
            return Trees(self.job, edited(self.photos, inner, value))
        return Trees(edited(self.job, path.split("."), value), self.photos)


_SEEN = {"by": "Ida Torvik", "on": "2026-09-16", "note": "seen from the ladder"}
_MORE: dict[str, dict[str, Any]] = {
    DEMO_JOB: {
        **{
            f"job.after_work.{look}": _SEEN
            for look in ("boots", "baffles", "magnet_sweep", "spring_bond_check")
        },
        "job.slopes.1.chimneys": [{"width_in": "24 in", "cricket": "no", "at_ridge": "no"}],
        "job.papers": [
            {
                "file": "papers/permit-R-2026-1187.pdf",
                **{"kind": "permit", "on": "2026-09-02", "backs": "the permit", "reviewed": _SEEN},
            }
        ],
    },
    "insurance-job": {"job.money.prices": [{"role": "starter", "amount": "210.00"}]},
    "board-deck-of-1948": {
        "job.building.lead_dust.pamphlet": {
            "by": "Aslaug Brekke",
            "on": "2026-09-01",
            "note": "by hand",
        }
    },
}
"""What no good job says of itself, so that every field of the record has a value to change."""


@cache
def trees(name: str) -> Trees:
    """Return a job as it stands, in its long form."""
    if name == DEMO_JOB:
        read = read_model(demo._tree("job"), "job.yaml", Job)
        photos = read_photo_list(GOOD_JOB)
        assert photos.model is not None
        noted = _long(photos.model, photos.lines)
    else:
        read, noted = read_model(folder.job_tree(name), "job.yaml", Job), Mapping({}, 1, 1)
    assert read.model is not None
    given = Trees(_long(read.model, read.lines), noted)
    for address, value in _MORE.get(name, {}).items():
        given = given.changed(address, value)
    return given


def _long(model: Model, lines: Lines) -> Node:
    tree = parse_tree(to_yaml(model, lines).encode(), "job.yaml").tree
    assert tree is not None
    return tree


@cache
def day_of(name: str) -> date:
    """Return the day on which a job is looked at."""
    if name == DEMO_JOB:
        return demo.TODAY
    return date.fromisoformat(loaded(name, "expected.yaml")["days"][-1]["today"])


def _known(name: str, given: Trees) -> Known:
    if name != DEMO_JOB:
        return folder.worked_out(name, day_of(name), given.job)
    job = read_model(given.job, "job.yaml", Job)
    sheets = {w.sheet for w in job.model.warranties} if job.model else set()
    reads = Reads(
        job=job,
        photo_list=read_model(given.photos, "photos.yaml", PhotoList),
        company=folder._company(DEMO),
        locality=folder._locality(DEMO, job.model.job.locality) if job.model else None,
        sheets={sheet: folder._sheet(DEMO, sheet) for sheet in sorted(sheets)},
        catalogues=folder._catalogues(DEMO),
    )
    return demo.worked_out(reads, {}, demo.TODAY)


# What the program says.

_UNPLACED = ("why", "source", "where")


def _told(item: Item) -> str:
    """Return an item without its line and its number in a list, which a change elsewhere may move."""
    holds = ", ".join(sorted(item.holds)) or "nothing"
    due = item.due.isoformat() if item.due else "no day"
    return f"{item.rule} {item.verdict.value}: {str(item.says)!s} [{item.owed_by.value}; {due}; holds {holds}]"


def documents(known: Known) -> str:
    """Return every figure and statement, and every word of the documents that leave the office."""
    case, facts, done, run, items = (
        *(known.case, known.facts, known.assessment, known.run),
        known.punch_list,
    )
    maker = for_reader(case, Edition.MAKER)
    packet = registration(maker, facts, done, items, run)
    parts = [
        *(f"{figure.id} {figure.result}" for figure in done.figures),
        *(f"{one.id} {one.text} {one.backing.value}" for one in done.statements),
        everything(handover(for_reader(case, Edition.HOMEOWNER), facts, done, items, run)),
        everything(packet),
        json.dumps(registration_data(maker, done, packet, run)),
    ]
    if case.job.money and case.job.money.scope_lines:
        insurer = for_reader(case, Edition.INSURER)
        parts.append(everything(scope_comparison(insurer, facts, done, run)))
    return "\n".join(parts)


@cache
def _unchanged(name: str) -> tuple[frozenset[str], frozenset[Holds], str]:
    known = _known(name, trees(name))
    return (
        frozenset(_told(item) for item in known.punch_list),
        frozenset(held for item in known.punch_list for held in item.holds),
        documents(known),
    )


def outcome(mutant: Mutant, tree_of: Callable[[str], Trees] = trees) -> Outcome:
    """Return what the program says of a mutant; documents are composed only where no item tells of it."""
    before, held, shown = _unchanged(mutant.job)
    try:
        known = _known(mutant.job, tree_of(mutant.job).changed(mutant.address, mutant.value))
    except Unreadable as unread:
        return Outcome(mutant, Came.UNREADABLE, new=tuple(str(item.says) for item in unread.items))
    items = frozenset(_told(item) for item in known.punch_list)
    if items != before:
        now = frozenset(held for item in known.punch_list for held in item.holds)
        new, gone = tuple(sorted(items - before)), tuple(sorted(before - items))
        return Outcome(mutant, Came.ITEM, new, gone, readier=now < held)
    return Outcome(mutant, Came.SHOWN if documents(known) != shown else Came.NOTHING)


# The mutants.


def mutants(count: int, seed: int) -> tuple[Mutant, ...]:
    """Return so many different mutants, or all there are; every field in turn, and every way of it in turn."""
    by_field: dict[str, dict[str, list[Mutant]]] = {}
    for name in JOBS:
        for mutant in _of_job(name):
            by_field.setdefault(mutant.field, {}).setdefault(mutant.way, []).append(mutant)
    drawn: list[list[Mutant]] = []
    for field, ways in sorted(by_field.items()):
        chance = random.Random(f"{seed} {field}")
        order = sorted(ways)
        chance.shuffle(order)
        columns = [chance.sample(ways[way], len(ways[way])) for way in order]
        drawn.append([m for row in zip_longest(*columns) for m in row if m is not None])
    random.Random(seed).shuffle(drawn)
    found = [m for row in zip_longest(*drawn) for m in row if m is not None]
    return tuple(found[:count])


def fields_of_the_record() -> set[str]:
    """Return every field of the record, as a mutant names it."""

    def inside(model: type[Model], path: str) -> Iterator[str]:
        for name, info in model.model_fields.items():
            here, inner = f"{path}.{name}", model_in(info.annotation)
            yield here
            if inner is not None:
                yield from inside(inner, f"{here}.*" if is_list(info.annotation) else here)

    noted = {field.replace("photos.photos", "photos", 1) for field in inside(PhotoList, "photos")}
    return {*inside(Job, "job"), *noted} - {"photos"}


def _of_job(name: str) -> Iterator[Mutant]:
    given = trees(name)
    yield from _of_group(name, Job, given.job, "job", "job")
    if isinstance(given.photos, Mapping) and given.photos.entries:
        rows = given.photos.entries["photos"].value
        yield from _of_rows(
            name, model_in(PhotoList.model_fields["photos"].annotation), rows, "photos", "photos"
        )


def _of_group(
    name: str, model: type[Model], node: Mapping | Node, address: str, field: str
) -> Iterator[Mutant]:
    assert isinstance(node, Mapping)
    for one, info in model.model_fields.items():
        entry = node.entries.get(one)
        at, kind_of = f"{address}.{one}", f"{field}.{one}"
        inner, listed = model_in(info.annotation), is_list(info.annotation)
        make = _maker(name, at, kind_of)
        value = entry.value if entry else None
        if value is None:
            yield from (make("filled in", v) for v in _fillings(info, inner, listed))
            continue
        yield make("blank", None)
        if isinstance(value, Text) and is_not_applicable(value.text):
            yield from (make("filled in", v) for v in _fillings(info, inner, listed))
            continue
        yield make("n/a", "n/a, said so by somebody")
        if inner is not None and listed:
            yield from _of_rows(name, inner, value, at, kind_of)
        elif inner is not None:
            yield from _of_group(name, inner, value, at, kind_of)
        elif listed:
            yield from _of_words(name, info, value, at, kind_of)
        else:
            assert isinstance(value, Text)
            yield from (make(way, v) for way, v in _others(name, one, info, value.text))


def _maker(name: str, address: str, field: str) -> Callable[[str, Any], Mutant]:
    return lambda way, value: Mutant(name, address, field, way, value)


def _of_rows(
    name: str, model: type[Model] | None, rows: Node, address: str, field: str
) -> Iterator[Mutant]:
    assert isinstance(rows, Sequence)
    assert model is not None
    make = _maker(name, address, field)
    for number, row in enumerate(rows.items):
        yield Mutant(name, f"{address}.{number}", field, "a row dropped", None)
        yield Mutant(name, f"{address}.{len(rows.items)}", field, "a row doubled", row)
        yield from _of_group(name, model, row, f"{address}.{number}", f"{field}.*")
    yield make("all rows dropped", [])


def _of_words(
    name: str, info: FieldInfo, words: Node, address: str, field: str
) -> Iterator[Mutant]:
    assert isinstance(words, Sequence)
    kind = kind_in(info)
    assert kind is not None
    own = [word.text for word in words.items if isinstance(word, Text)]
    for number, word in enumerate(own):
        if len(own) > 1:
            yield Mutant(name, f"{address}.{number}", field, "a word dropped", None)
        for other in kind.choices or _labels(name):
            if other not in own:
                yield Mutant(name, f"{address}.{number}", field, "another word", other)
        yield Mutant(name, f"{address}.{len(own)}", field, "a word doubled", word)


def _fillings(info: FieldInfo, inner: type[Model] | None, listed: bool) -> Iterator[Any]:
    """Yield what may stand in a blank field: every word of a closed list, else the field's own example."""
    if inner is not None:
        group = {
            name: value
            for name, one in inner.model_fields.items()
            if (
                value := next(
                    iter(_fillings(one, model_in(one.annotation), is_list(one.annotation))), None
                )
            )
        }
        yield [group] if listed else group
        return
    kind = kind_in(info)
    assert kind is not None
    given = info.examples[0] if info.examples else kind.example
    values = kind.choices or (("yes", "no") if kind.type is bool else (given,))
    for value in values:
        yield [value] if listed else value


# Other values of the same type.

_PEOPLE = (
    "by",
    "name",
    "checked_by",
    "crew_lead",
    "supervised_by",
    "renovator",
    "given_by",
    "registered_by",
)
_ALSO: dict[str, tuple[str, ...]] = {
    "faces": ("N", "E", "S", "W"),
    "span_rating": ("24/16", "16/0"),
    "new_span_rating": ("32/16", "16/0"),
    "sheet": ("kestrelmoor-2026", "tarnholt-2026"),
    "level": ("Full Assembly", "Assembly", "Counted", "Shingle", "Complete"),
    "locality": ("vintermark-2026", "port-ismere-2025"),
    "crew": ("north", "lakeside"),
    "unit": ("bundles", "rolls", "pieces", "boxes"),
    "product": ("Fenwright 40", "Ridgeback caps", "Dryfell underlayment", "something unknown"),
}
_CREW = ("Ida Torvik", "Jens Aberg", "Piet Halden", "R. Lindmark")


def _labels(name: str) -> tuple[str, ...]:
    return tuple(sorted(_texts_named(trees(name).job, "label")))


@cache
def _pool(name: str) -> tuple[str, ...]:
    """Return the files that a job has."""
    if name == DEMO_JOB:
        photos, papers, _ = demo._measured()
        return (*photos, *papers)
    listing = folder.files(name)
    return (*listing.photos, *listing.papers)


def _texts_named(node: Node, key: str) -> Iterator[str]:
    if isinstance(node, Mapping):
        for name, entry in node.entries.items():
            if name == key and isinstance(entry.value, Text):
                yield entry.value.text
            yield from _texts_named(entry.value, key)
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _texts_named(item, key)


@cache
def _same_field(name: str, field: str) -> tuple[str, ...]:
    return tuple(sorted(set(_texts_named(trees(name).job, field))))


@cache
def _days_on_record(name: str) -> tuple[date, ...]:
    found = set()
    for key in (
        "on",
        "contract_on",
        "issued",
        "closed_on",
        "completion_signed_on",
        "days",
        "accepted_on",
    ):
        for text in _same_field(name, key):
            found.add(Days.parse(text).first)
    return tuple(sorted(found))


def _others(name: str, one: str, info: FieldInfo, text: str) -> Iterator[tuple[str, str]]:
    """Yield other values for a field that holds this text, each with the way in which it differs."""
    kind = kind_in(info)
    assert kind is not None
    value = kind.parse(text)
    if kind.choices:
        yield from (("another word", word) for word in kind.choices if word != text)
    elif kind.type is bool:
        yield "the other", "no" if value else "yes"
    elif kind.type is date:
        yield from _other_days(name, value)
    elif isinstance(value, Days):
        yield from _other_work_days(name, value)
    elif isinstance(value, Pitch):
        yield from (
            ("another pitch", f"{rise}:12")
            for rise in (0, 1, 3, 4, 7, 13, 24)
            if f"{rise}:12" != text
        )
    elif isinstance(value, Place):
        yield (
            "a mile away",
            f"{float(value.latitude_deg) + 0.02:.4f}, {float(value.longitude_deg):.4f}",
        )
        yield (
            "across the world",
            f"{-float(value.latitude_deg):.4f}, {-float(value.longitude_deg):.4f}",
        )
    elif kind.parse is kinds._parse_file:
        yield from (("another file", file) for file in _pool(name) if file != text)
        yield "a file that is not there", f"{text.rpartition('/')[0]}/not-there.pdf"
    elif kind.type is str:
        yield from _other_texts(name, one, text)
    else:
        yield from _other_numbers(kind, value)


def _other_days(name: str, day: date) -> Iterator[tuple[str, str]]:
    for way, days in (("a day", 1), ("a month", 30), ("a year", 365), ("ten years", 3653)):
        yield f"{way} earlier", (day - timedelta(days)).isoformat()
        yield f"{way} later", (day + timedelta(days)).isoformat()
    yield from (("another day on record", o.isoformat()) for o in _days_on_record(name) if o != day)


def _other_work_days(name: str, days: Days) -> Iterator[tuple[str, str]]:
    for way, by in (("a day", 1), ("a month", 30), ("a year", 365)):
        for word, step in (("earlier", -by), ("later", by)):
            moved = Days(days.first + timedelta(step), days.last + timedelta(step))
            yield f"{way} {word}", str(moved)
    yield "a week longer", str(Days(days.first, days.last + timedelta(7)))


def _other_texts(name: str, one: str, text: str) -> Iterator[tuple[str, str]]:
    pool = (*_same_field(name, one), *_ALSO.get(one, ()))
    if one in _PEOPLE:
        pool = (*pool, *_CREW, *_same_field(name, "name"))
    if one in ("slope", "label"):
        pool = _labels(name)
    yield from (("another on record", other) for other in sorted(set(pool)) if other != text)
    yield "other words", f"{text} or so"
    yield "other words", "something else"


def _other_numbers(kind: Kind, value: Any) -> Iterator[tuple[str, str]]:
    number = Fraction(value)
    ways = (
        *(("nought", number * 0), ("a tenth", number / 10), ("half", number / 2)),
        *(("a tenth less", number * 9 / 10), ("a tenth more", number * 11 / 10)),
        *(("double", number * 2), ("tenfold", number * 10), ("one more", number + 1)),
        *((("one less", number - 1),) if number >= 1 else ()),
    )
    seen = {number}
    for way, changed in ways:
        exact = Fraction(round(changed)) if kind.type is int else changed
        if exact in seen:
            continue
        seen.add(exact)
        yield way, _written(kind, exact)


def _written(kind: Kind, number: Fraction) -> str:
    if kind.type is int:
        return str(int(number))
    if kind.type is Decimal:
        return f"{float(number):.2f}"
    hundredths = Fraction(round(number * 1000), 1000)
    return kind.write(hundredths)


__all__ = [
    "DEMO_JOB",
    "JOBS",
    "Came",
    "Mutant",
    "Outcome",
    "fields_of_the_record",
    "mutants",
    "outcome",
]
