"""What a finding holds: where the terms asked for need a thing, and where a record cannot be true."""

from collections.abc import Iterator

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds
from dossier.terms.conditions import Condition, flat
from dossier.words import Phase, Role

REGISTRATION = frozenset({Holds.REGISTRATION})


NOTHING = frozenset[Holds]()


NOT_TRUE = frozenset({Holds.HANDOVER, Holds.REGISTRATION})
"""What a record holds that cannot be true: no paper may be printed of it. A house rule."""


def phases_terms_ask(assessment: Assessment) -> frozenset[Phase]:
    """Return the phases of which a clause that is not met yet wants a photo.

    A clause that falls away on this roof, and a member of a group of which enough is met, want none.
    """
    return frozenset(
        phase
        for result in assessment.asked
        for leaf in result.level.open_leaves
        for phase in leaf.condition.photos_of
    )


def terms_ask(assessment: Assessment, test: str) -> bool:
    """Return whether a condition of this kind keeps an asked level from being earned."""
    return any(
        leaf.condition.test == test
        for result in assessment.asked
        for leaf in result.level.open_leaves
    )


def conditions_asked(case: Case) -> Iterator[Condition]:
    for asked in case.asked:
        if asked.level:
            yield from flat(asked.level.conditions)


def held_by_terms(case: Case, role: Role | None) -> frozenset[Holds]:
    """Return registration where a clause of a level asked for names the role, or any where it is not known.

    The field shingle is what every level covers. Else nothing is held: that a roof has a starter is our business
    with the crew, and no maker's who does not ask.
    """
    named = {Role.FIELD_SHINGLE} if case.asked else set()
    for condition in conditions_asked(case):
        counted = condition.counted_accessories
        named |= {*condition.same_maker, *condition.lots_of, *(counted.of if counted else ())}
        if condition.starter_at:
            named.add(Role.STARTER)
        if condition.nails_per_shingle:
            named.add(Role.FASTENER)
    return REGISTRATION if role in named or (role is None and named) else frozenset()


def if_terms_ask(assessment: Assessment, test: str) -> frozenset[Holds]:
    """Return what a gap holds that only a clause of this kind makes one."""
    return REGISTRATION if terms_ask(assessment, test) else NOTHING
