"""A job with one fact of its record, or of its locality's sheet, left blank; and who notices.

In: a `Known`. Out: the places in which something is on record that may be blank, the job without one of them,
and what each rule says. Must not know any one rule.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, TypeVar

from dossier.assess.assess import assess
from dossier.case.read import fill_in
from dossier.punchlist import Item
from dossier.reading.model import Lines, Model, Read
from dossier.rules.book import rule_book
from dossier.rules.declare import Rule
from tests.known_good import Known

M = TypeVar("M", bound=Model)


def places(known: Known) -> Iterator[str]:
    """Yield every place with something on record that a person may leave blank, lists as a whole too."""
    for before, read in _reads(known):
        assert read.model is not None
        yield from _within(read.model, before)


def _reads(known: Known) -> Iterator[tuple[str, Read[Any]]]:
    assert known.reads.locality is not None
    yield "", known.reads.job
    yield "locality.", known.reads.locality
    yield "company.", known.reads.company
    yield "", known.reads.photo_list


def at(known: Known, address: str) -> Iterator[str]:
    """Yield every place of an address, such as `job.slopes.*.pitch`, with something on record."""
    kind, _, rest = address.partition(".")
    reads = known.reads
    assert reads.locality is not None
    models: dict[str, tuple[Model | None, str]] = {
        "job": (reads.job.model, ""),
        "photos": (reads.photo_list.model, ""),
        "locality": (reads.locality.model, "locality."),
        "company": (reads.company.model, "company."),
    }
    model, before = models[kind]
    inner = address if kind == "photos" else rest
    yield from (f"{before}{'.'.join(path)}" for path in _at(model, inner.split(".")))


def _at(value: Any, parts: list[str]) -> Iterator[list[str]]:
    if value is None or value == ():
        return
    if not parts:
        yield []
    elif parts[0] == "*":
        for number, one in enumerate(value):
            yield from ([str(number), *rest] for rest in _at(one, parts[1:]))
    else:
        assert isinstance(value, Model), parts
        inner = _at(getattr(value, parts[0]), parts[1:])
        yield from ([parts[0], *rest] for rest in inner)


def _within(model: Model, before: str) -> Iterator[str]:
    for name, info in type(model).model_fields.items():
        value, path = getattr(model, name), before + name
        if value == info.get_default() and not info.is_required():
            continue
        if isinstance(value, Model):
            yield from _within(value, f"{path}.")
        elif isinstance(value, tuple):
            for number, one in enumerate(value):
                if isinstance(one, Model):
                    yield from _within(one, f"{path}.{number}.")
        if not info.is_required() and not (isinstance(value, Model) and _all_optional(value)):
            yield path


def _all_optional(model: Model) -> bool:
    """Return whether every field of a group may be blank, so that its fields stand for it."""
    return not any(info.is_required() for info in type(model).model_fields.values())


def without(known: Known, path: str) -> Known:
    """Return the job with this place blank."""
    reads = known.reads
    kind, _, rest = path.partition(".")
    if kind == "locality":
        assert reads.locality is not None
        reads = replace(reads, locality=_blank(reads.locality, rest))
    elif kind == "company":
        reads = replace(reads, company=_blank(reads.company, rest))
    elif kind == "photos":
        reads = replace(reads, photo_list=_blank(reads.photo_list, path))
    else:
        reads = replace(reads, job=_blank(reads.job, path))
    case, items = fill_in(reads, *known.files)
    assert case is not None, items
    assessment = assess(case, known.facts, known.run)
    return replace(known, case=case, assessment=assessment, reads=reads)


def _blank(read: Read[M], path: str) -> Read[M]:
    assert read.model is not None
    lines = read.lines
    marks = {k: v for k, v in lines.marks.items() if not f"{k}.".startswith(f"{path}.")}
    kept = Lines(lines.file, marks, lines.not_applicable, lines.blank)
    return Read(_without(read.model, path.split(".")), read.items, kept)


def _without(model: M, parts: list[str]) -> M:
    name, rest = parts[0], parts[1:]
    value: Any = type(model).model_fields[name].get_default()
    if rest:
        value = getattr(model, name)
        if isinstance(value, tuple):
            number, inner = int(rest[0]), rest[1:]
            changed = _without(value[number], inner)
            value = (*value[:number], changed, *value[number + 1 :])
        else:
            value = _without(value, rest)
    return model.model_copy(update={name: value})


def said_by(rule: Rule, known: Known) -> tuple[Item, ...]:
    """Return what one rule says of a job."""
    return tuple(rule.items(known.case, known.facts, known.assessment, known.run))


Said = dict[str, frozenset[tuple[str, str, tuple[str, ...]]]]


def said(known: Known) -> Said:
    """Return what every rule says of a job, lines aside."""
    return {
        rule.id: frozenset(
            (item.verdict.value, str(item.says), tuple(sorted(item.holds)))
            for item in said_by(rule, known)
        )
        for rule in rule_book()
    }


def noticed(known: Known) -> Iterator[tuple[str, str]]:
    """Yield each place whose blank changes what a rule says, with that rule's id."""
    before = said(known)
    for path in places(known):
        after = said(without(known, path))
        yield from ((path, id_) for id_, found in after.items() if found != before[id_])
