"""The whole rule book, in one import, and the punch list it makes.

In: a case, facts, an assessment, a run. Out: a `PunchList`. Must not know any one rule.
"""

from collections.abc import Iterable
from dataclasses import replace

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.case.spots import spot
from dossier.evidence.facts import Facts
from dossier.punchlist import PunchList, Where
from dossier.rules import (  # noqa: F401 - importing a module declares its rules.
    accessories,
    certificates,
    code,
    cold,
    conditions,
    counts,
    days,
    deck,
    deck_repairs,
    deck_spans,
    deliveries,
    edges,
    identity,
    insurance,
    invoices,
    left_over,
    listing,
    lots,
    measures,
    nails,
    named_files,
    not_applicable,
    off_the_scale,
    old_paint,
    order,
    paper_files,
    people,
    permit,
    photo_days,
    photo_files,
    photo_likeness,
    registration,
    release,
    roles_needed,
    safety,
    slope_names,
    take_off,
    taken_over,
    tear_off,
    twice,
    undated,
    vents,
    views,
    warranty_asked,
    wind,
    work_days,
)
from dossier.rules.declare import Book, Rule, declared
from dossier.rules.facts import address_of
from dossier.rules.untold import one_item_a_fact
from dossier.values import Run


def rule_book() -> Book:
    """Return every declared rule."""
    return declared()


def punch_list(
    case: Case,
    facts: Facts,
    assessment: Assessment,
    run: Run,
    rules: Iterable[Rule] | None = None,
) -> PunchList:
    """Return the punch list of one job, one item a missing fact; the order of the rules does not change it."""
    book = rule_book() if rules is None else rules
    found = (item for rule in book for item in rule.items(case, facts, assessment, run))
    items = one_item_a_fact(found, lambda path: place_of(case, path))
    return PunchList.of(
        replace(item, spots=tuple(spot(case.job, path) for path in item.fields)) for item in items
    )


def place_of(case: Case, path: str) -> Where | None:
    """Return where a fact of the job's record stands; None for one of another file."""
    return case.where(path) if address_of(path).startswith("job.") else None
