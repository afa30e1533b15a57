"""The punch list into questions: each fact that would settle an item is asked for once, of whoever knows it.

In: a punch list and its case. Out: `Question`s, soonest loss first. Must not know any one rule nor any one field:
what is blank is the item's to say, and how it is answered is what its field declares.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache

from dossier.case.case import Case
from dossier.punchlist import Item, Verdict
from dossier.questions.place import Place, place_of
from dossier.questions.question import ONE_LINE, Question
from dossier.reading.kinds import FileInJob, Label, YesNo
from dossier.reading.model import unit_of
from dossier.record.trees import JOB_FILE
from dossier.rules.book import rule_book
from dossier.rules.declare import ASKED
from dossier.rules.facts import FACTS, address_of
from dossier.rules.untold import in_order
from dossier.said import write

_SLOPES = "slopes"


def questions(items: Iterable[Item], case: Case) -> tuple[Question, ...]:
    """Return the questions of these items, in the items' own order; each fact is asked for once."""
    asked: dict[str, Question] = {}
    for item in items:
        for place in _wanted(item, case):
            key = _key(place)
            one = _question(place, item, case)
            known = asked.get(key)
            asked[key] = one if known is None else _both(known, one)
    return tuple(asked.values())


def _key(place: Place) -> str:
    """Return what tells a question from others: the same field of several slopes is one."""
    if place.path[0] == _SLOPES and len(place.path) == 3:
        return address_of(place.dotted)
    return place.dotted


def _both(one: Question, other: Question) -> Question:
    slopes = dict(zip(one.fields + other.fields, one.slopes + other.slopes, strict=False))
    fields = tuple(sorted({*one.fields, *other.fields}, key=in_order))
    items = tuple(dict.fromkeys((*one.items, *other.items)))
    in_turn = tuple(slopes[field] for field in fields if field in slopes)
    return replace(one, fields=fields, slopes=in_turn, items=items)


def _wanted(item: Item, case: Case) -> Iterator[Place]:
    """Yield the places whose facts would settle an item."""
    if item.verdict is Verdict.WRONG:
        return
    for path in item.lacks:
        place = place_of(case.job, path) if address_of(path).startswith("job.") else None
        if place is not None:
            yield from _asked_at(place, case)
    if not item.lacks and item.where.file == JOB_FILE and item.where.field:
        place = place_of(case.job, item.where.field)
        if place is not None and place.value is None and not _reason(place, case):
            yield from _asked_at(place, case)


def _asked_at(place: Place, case: Case) -> Iterator[Place]:
    """Yield the place itself, or where it is a group without a form on one line, what to begin it with."""
    model = place.model
    if model is None:
        if place.value is None:
            yield place
        return
    if place.holds_entries and not _reason(place, case):
        new = str(len(place.value or ()))
        place = replace(place, path=(*place.path, new), value=None, is_entry=True)
    if place.value is not None:
        return
    if model.short_form:
        yield place
        return
    needed = [name for name, info in model.model_fields.items() if info.is_required()]
    begins = needed or [
        name for name in model.model_fields if address_of(f"{place.dotted}.{name}") in _asked_for()
    ]
    for name in needed or begins[:1]:
        yield from _asked_at(place.field(name), case)


@cache
def _asked_for() -> frozenset[str]:
    """Return the addresses of facts that some rule asks for."""
    return frozenset(
        address
        for rule in rule_book()
        for address, blank in rule.rests_on.items()
        if blank == ASKED or blank.startswith("Asked ")
    )


def _reason(place: Place, case: Case) -> str:
    return case.reason_not(place.dotted) or ""


def _question(place: Place, item: Item, case: Case) -> Question:
    path, kind, info = place.dotted, place.kind, place.info
    fact = FACTS.get(address_of(path))
    in_row = any(part.isdigit() for part in place.path[:-1])
    of_slope = place.path[0] == _SLOPES and len(place.path) > 2
    slopes = (case.job.slopes[int(place.path[1])].label,) if of_slope else ()
    short = place.model.short_form if place.model else ""
    return Question(
        file=JOB_FILE,
        fields=(path,),
        field=write(fact.name) if fact else place.name,
        meaning=(info.description or "").strip(),
        kind=kind.name if kind else ONE_LINE,
        known_by=fact.known_by if fact else item.owed_by,
        items=(item,),
        around=() if fact and not in_row else place.around,
        slopes=slopes,
        choices=_choices(place, case),
        several=kind is not None and place.holds_entries,
        takes_more=place.model is not None and place.is_entry,
        may_not_apply=not info.is_required() and not (place.is_entry and path[-1] != "0"),
        unit=unit_of(info),
        example=short or next(map(str, info.examples or ()), kind.example if kind else ""),
        reason=_reason(place, case),
    )


def _choices(place: Place, case: Case) -> tuple[str, ...]:
    kind = place.kind
    if kind is None or kind.choices:
        return kind.choices if kind else ()
    if kind.name == _name_of(YesNo):
        return ("yes", "no")
    if kind.name == _name_of(Label):
        return tuple(slope.label for slope in case.job.slopes)
    if kind.name == _name_of(FileInJob):
        return tuple(paper.file for paper in case.papers)
    return ()


def _name_of(annotated: object) -> str:
    [kind] = annotated.__metadata__  # type: ignore[attr-defined]
    return str(kind.name)
