"""The punch list into questions: each fact that would settle an item is asked for once, of whoever knows it.

In: a punch list and its case. Out: `Question`s, soonest loss first. Must not know any one rule nor any one field:
where a fact is wanted is the item's to say, and how it is answered is what its field declares.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from itertools import accumulate
from typing import Any

from dossier.case.case import Case
from dossier.punchlist import Item, SettledBy, Verdict, Weight
from dossier.questions.place import Place, place_of, written
from dossier.questions.question import ONE_LINE, Part, Question
from dossier.reading.declared import is_shared, unit_of
from dossier.reading.kinds import FileInJob, Label, YesNo
from dossier.reading.model import Lines, Model, short_parts
from dossier.reading.shape import FIELD_MISSING
from dossier.record.closing import Inspection
from dossier.record.job import Job
from dossier.record.signed import Signed
from dossier.record.trees import JOB_FILE
from dossier.rules.book import rule_book
from dossier.rules.declare import ASKED
from dossier.rules.facts import FACTS, address_of
from dossier.rules.untold import in_order
from dossier.said import write
from dossier.terms.office import Company, Locality

_SLOPES = "slopes"
_MOST_FILES = 20
"""More than these are not listed to choose from; a name is typed sooner than found."""

Offers = Mapping[str, tuple[str, ...]]
"""Words that the office's own sheets offer for a field, by its address, such as the names of its crews."""


@dataclass(frozen=True)
class _Sheet:
    """One typed file: its form, what it says and its lines. prefix: how an address in it begins.

    prefix: blank for the job's own. whole: None where it cannot be read.
    """

    prefix: str
    form: type[Model]
    whole: Model | None
    lines: Lines

    def place(self, path: str) -> Place | None:
        """Return the place of a path in this file."""
        return place_of(self.form, self.whole, path)

    def reason(self, place: Place) -> tuple[str, str]:
        """Return the reason that stands at a place or a group around it, and where; blanks for none."""
        for path in accumulate(place.path, lambda one, part: f"{one}.{part}"):
            reason = self.lines.reason_not(path)
            if reason is not None:
                return reason, path
        return "", ""


def questions(
    items: Iterable[Item], case: Case, offers: Offers | None = None
) -> tuple[Question, ...]:
    """Return the questions of these items, soonest loss first; each fact is asked for once.

    items: in their own order.
    """
    asked: dict[tuple[object, ...], Question] = {}
    for item in items:
        for sheet, place in _wanted(item, case):
            one = _question(sheet, place, item, case, offers or {})
            key = one.file, *_key(place, one)
            known = asked.get(key)
            asked[key] = one if known is None else _both(known, one)
    return tuple(sorted(asked.values(), key=_in_turn))


def needed_first(items: Iterable[Item], offers: Offers | None = None) -> tuple[Question, ...]:
    """Return the questions for the fields without which a job cannot be read; none where more is amiss."""
    sheet = _Sheet("", Job, None, Lines(JOB_FILE))
    found = []
    for item in items:
        is_blank = item.rule == FIELD_MISSING.id and item.where.file == JOB_FILE
        place = sheet.place(item.where.field) if is_blank else None
        if place is None:
            return ()
        found.append(_question(sheet, place, item, None, offers or {}))
    return tuple(found)


def _in_turn(one: Question) -> tuple[bool, int, date, bool]:
    """Return what sorts questions: as the items are, but a list that is blank before what may follow from it."""
    begins_list = one.takes_more and one.fields[0].endswith(".0")
    weight = list(Weight).index(one.weight)
    return not one.life_safety, weight, one.due or date.max, not begins_list


def _key(place: Place, one: Question) -> tuple[object, ...]:
    """Return what tells a question from others: the same field of several slopes is one.

    An edge where two slopes meet is written at one of them, and so is asked for one by one; and so are slopes of
    which the record says something else, since one answer would be written over it.
    """
    if place.path[0] == _SLOPES and len(place.path) == 3 and not is_shared(place.info):
        stands = one.says_now, address_of(one.reason_at), one.may_not_apply
        return address_of(place.dotted), *stands
    return (place.dotted,)


def _both(one: Question, other: Question) -> Question:
    slopes = dict(zip(one.fields + other.fields, one.slopes + other.slopes, strict=False))
    fields = tuple(sorted({*one.fields, *other.fields}, key=in_order))
    items = tuple(dict.fromkeys((*one.items, *other.items)))
    in_turn = tuple(slopes[field] for field in fields if field in slopes)
    return replace(one, fields=fields, slopes=in_turn, items=items)


def _sheets(case: Case) -> Iterator[_Sheet]:
    yield _Sheet("locality.", Locality, case.locality, case.locality_lines)
    yield _Sheet("company.", Company, case.company, case.company_lines)
    yield _Sheet("", Job, case.job, case.lines)


def _wanted(item: Item, case: Case) -> Iterator[tuple[_Sheet, Place]]:
    """Yield the places whose facts would settle an item, each with the file in which it stands."""
    if item.verdict is Verdict.WRONG or item.settled_by is not SettledBy.FACT:
        return
    sheets = tuple(_sheets(case))
    for path in item.lacks:
        sheet = next(one for one in sheets if path.startswith(one.prefix))
        place = sheet.place(path.removeprefix(sheet.prefix))
        if place is not None:
            yield from ((sheet, one) for one in _asked_at(place, sheet))
    if item.lacks:
        return
    for sheet in sheets:
        if item.where.file != sheet.lines.file or not item.where.field:
            continue
        place = sheet.place(item.where.field)
        if place is not None and place.value is None and not sheet.reason(place)[1]:
            yield from ((sheet, one) for one in _asked_at(place, sheet))


def _asked_at(place: Place, sheet: _Sheet) -> Iterator[Place]:
    """Yield the place itself, or where it is a group without a form on one line, what to begin it with."""
    model = place.model
    if model is not None and place.holds_entries:
        new = str(len(place.value or ()))
        place = replace(place, path=(*place.path, new), value=None, is_entry=True)
    if model is None or model.short_form:
        yield place
        return
    fields = model.model_fields
    needed = [name for name, info in fields.items() if info.is_required()]
    start = f"{sheet.prefix}{place.dotted}"
    asked = [name for name in fields if address_of(f"{start}.{name}") in _asked_for()]
    for name in needed or (asked or list(fields))[:1]:
        yield from _asked_at(place.field(name), sheet)


@cache
def _asked_for() -> frozenset[str]:
    """Return the addresses of facts that some rule asks for."""
    return frozenset(
        address
        for rule in rule_book()
        for address, blank in rule.rests_on.items()
        if blank == ASKED or blank.startswith("Asked ")
    )


def _question(
    sheet: _Sheet, place: Place, item: Item, case: Case | None, offers: Offers
) -> Question:
    path, kind, info = place.dotted, place.kind, place.info
    address = address_of(f"{sheet.prefix}{path}")
    fact = FACTS.get(address)
    in_row = any(part.isdigit() for part in place.path[:-1])
    of_slope = not sheet.prefix and place.path[0] == _SLOPES and len(place.path) > 2
    slopes = (case.job.slopes[int(place.path[1])].label,) if case and of_slope else ()
    short = place.model.short_form if place.model else ""
    reason, reason_at = sheet.reason(place)
    choices = offers.get(address, ()) or _choices(place, case)
    parts = tuple(_parts(place, case))
    # What is chosen is named by its field; its name within a sentence says that a word is wanted.
    fact_named = fact if not choices else None
    return Question(
        file=sheet.lines.file,
        fields=(path,),
        field=write(fact_named.name) if fact_named else place.name,
        meaning=(info.description or "").strip(),
        kind=kind.name if kind else ONE_LINE,
        known_by=fact.known_by if fact else item.owed_by,
        items=(item,),
        around=() if fact_named and not in_row else place.around,
        slopes=slopes,
        choices=choices,
        parts=parts,
        leads=_leads(place, parts, case),
        several=kind is not None and place.holds_entries,
        takes_more=place.model is not None and place.is_entry,
        may_not_apply=not (reason or info.is_required())
        and not (place.is_entry and place.path[-1] != "0"),
        begins_list=case is not None
        and in_row
        and place.path[1] == "0"
        and not getattr(case.job, place.path[0], True),
        unit=unit_of(info),
        example=short or next(map(str, info.examples or ()), kind.example if kind else ""),
        says_now=f"n/a, {reason}" if reason else written(place.value, kind),
        reason_at=reason_at,
    )


def _parts(place: Place, case: Case | None) -> Iterator[Part]:
    model = place.model
    for name, info in model.model_fields.items() if model else ():
        part = place.field(name)
        kind = part.kind
        if kind is None:
            continue
        # Whoever looked is most often one of those whom the job and the company name.
        is_person = model is not None and issubclass(model, Signed) and name == "by"
        choices = _people(case) if is_person else _choices(part, case)
        yield Part(
            name,
            part.name,
            (info.description or "").strip(),
            kind.name,
            choices,
            unit_of(info),
            next(map(str, info.examples or ()), kind.example),
            info.is_required(),
        )


def _leads(place: Place, parts: tuple[Part, ...], case: Case | None) -> tuple[str, ...]:
    """Return the choices of the field that is the whole first part of a group's line; none where none is."""
    if place.model is None:
        return ()
    if case is not None and place.model is Inspection:
        return case.locality.inspections
    example = place.model.short_form
    name, value = next(iter(place.model.from_text(example).items()))
    first = next((part for part in parts if part.field == name), None)
    return first.choices if first and short_parts(example)[0] == value else ()


def _people(case: Case | None) -> tuple[str, ...]:
    """Return the people whom the job and the company name, those of the job first."""
    if case is None:
        return ()
    mine = case.job.job.crew
    crews = sorted(case.company.crews, key=lambda crew: crew.name not in mine)
    people = [name for name in (case.job.job.supervised_by, case.job.job.crew_lead) if name]
    people += [name for crew in crews for name in (crew.supervisor, crew.lead) if name]
    return tuple(dict.fromkeys(people))


def _choices(place: Place, case: Case | None) -> tuple[str, ...]:
    kind = place.kind
    if kind is None or kind.choices:
        return kind.choices if kind else ()
    if kind.name == _name_of(YesNo):
        return ("yes", "no")
    if case is None:
        return ()
    if kind.name == _name_of(Label):
        return tuple(slope.label for slope in case.job.slopes)
    if kind.name == _name_of(FileInJob):
        papers = tuple(paper.file for paper in case.papers)
        return papers if len(papers) <= _MOST_FILES else ()
    return ()


def _name_of(annotated: Any) -> str:
    [kind] = annotated.__metadata__
    return str(kind.name)
