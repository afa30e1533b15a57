"""What this roof carries, line by line, beside the insurer's scope.

In: a case, facts, an assessment. Out: `ScopeRow`s. Must not say what a policy covers or owes, nor negotiate:
a row states a measured quantity, whether the scope has a line for it, which clause asks for it, and what
shows it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from dossier.assess.backing import good_photos
from dossier.assess.results import Assessment, RoleResult
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.record.closing import ScopeLine
from dossier.values import write_number
from dossier.words import Phase, Role

_WORDS: tuple[tuple[Role, str], ...] = (
    (Role.STARTER, r"starter"),
    (Role.HIP_AND_RIDGE, r"\b(hip|ridge)\b(?!\s*vent)|ridge ?cap"),
    (Role.ICE_BARRIER, r"\bice\b"),
    (Role.UNDERLAYMENT, r"underlayment|\bfelt\b"),
    (Role.DRIP_EDGE, r"drip ?edge|edge metal|gutter apron"),
    (Role.VALLEY, r"valley"),
    (Role.FLASHING, r"flashing"),
    (Role.EXHAUST_VENT, r"ridge vent|box vent|exhaust"),
    (Role.INTAKE_VENT, r"soffit|intake"),
    (Role.PIPE_BOOT, r"boot|pipe jack"),
    (Role.DECK_PANEL, r"deck|sheathing"),
    (Role.FIELD_SHINGLE, r"shingle"),
)
"""Words by which adjusters' scopes usually name a role; common practice, no published source. A scope line may
name its role itself, which then holds."""

_CODE: dict[Role, str] = {
    Role.ICE_BARRIER: "R905.1.2 of the code",
    Role.UNDERLAYMENT: "R905.1.1 of the code",
    Role.DRIP_EDGE: "R905.2.8.5 of the code",
    Role.VALLEY: "R905.2.8.2 of the code",
    Role.FLASHING: "R903.2.1 of the code",
    Role.FIELD_SHINGLE: "R905.2.4 of the code",
}
"""The clause of the International Residential Code that asks for a role."""

_PHASE: dict[Role, Phase] = {
    Role.STARTER: Phase.STARTER,
    Role.HIP_AND_RIDGE: Phase.HIP_AND_RIDGE,
    Role.ICE_BARRIER: Phase.ICE_BARRIER,
    Role.UNDERLAYMENT: Phase.UNDERLAYMENT,
    Role.DRIP_EDGE: Phase.DRIP_EDGE,
    Role.FIELD_SHINGLE: Phase.FIELD,
    Role.FASTENER: Phase.FIELD,
}


@dataclass(frozen=True)
class ScopeRow:
    """One role of this roof beside the insurer's scope.

    on_scope: None where no scope is on record. clause: who asks for it. photo: a file, or None.
    """

    role: Role
    quantity: str
    delivered: str
    on_scope: bool | None
    scope_says: str
    scope_amount: Decimal | None
    clause: str
    photo: str | None


def scope_rows(case: Case, facts: Facts, assessment: Assessment) -> tuple[ScopeRow, ...]:
    """Return a row for every role whose quantity this roof gives and which a clause asks for."""
    return tuple(_rows(case, facts, assessment))


def _rows(case: Case, facts: Facts, assessment: Assessment) -> Iterator[ScopeRow]:
    lines = case.job.money.scope_lines if case.job.money else ()
    for result in assessment.roles:
        clause = clause_for(result.role, assessment)
        if clause is None or not result.need.at_zero_waste:
            continue
        matching = [line for line in lines if result.role in roles_of(line)]
        amounts = [line.amount for line in matching if line.amount is not None]
        phase = _PHASE.get(result.role)
        photos = good_photos(case, facts, phase) if phase else []
        yield ScopeRow(
            role=result.role,
            quantity=_quantity(result),
            delivered=_delivered(result),
            on_scope=bool(matching) if lines else None,
            scope_says="; ".join(_line_text(line) for line in matching),
            scope_amount=sum(amounts, Decimal(0)) if amounts else None,
            clause=clause,
            photo=photos[0].file if photos else None,
        )


def _quantity(result: RoleResult) -> str:
    needed = result.need.at_zero_waste
    if result.need.unit == "pieces":
        needed = Fraction(ceil(needed))
    return f"{write_number(needed)} {result.need.unit}"


def _delivered(result: RoleResult) -> str:
    supplied = result.take_off.supplied
    if not result.materials:
        return "none on record"
    return "not on record" if supplied is None else f"{write_number(supplied)} {result.need.unit}"


def _line_text(line: ScopeLine) -> str:
    return ", ".join(part for part in (line.what, line.quantity) if part)


def roles_of(line: ScopeLine) -> frozenset[Role]:
    """Return the roles a scope line pays for: the one it names, else those its words name."""
    if line.role is not None:
        return frozenset({line.role})
    text = (line.what or "").lower()
    return frozenset(role for role, words in _WORDS if re.search(words, text))


def clause_for(role: Role, assessment: Assessment) -> str | None:
    """Return the clause that asks for a role on this roof: the code, else the maker's terms."""
    if role in _CODE:
        return _CODE[role]
    own = [
        leaf.condition
        for result in assessment.asked
        for condition in result.level.conditions
        for leaf in condition.leaves
    ]
    for one in own:
        if role is Role.STARTER and one.starter_at:
            return f"{one.clause} of the maker's terms"
    for one in own:
        counted = one.counted_accessories.of if one.counted_accessories else ()
        if role in one.same_maker or role in counted:
            return f"{one.clause} of the maker's terms"
    return None
