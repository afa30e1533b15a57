"""What this roof carries, line by line, beside the insurer's scope.

In: a case, facts, an assessment. Out: `ScopeRow`s. Must not say what a policy covers or owes, nor negotiate:
a row states a measured quantity, whether the scope has a line for it, which clause asks for it, and what
shows it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import ceil

from dossier.assess.backing import good_photos
from dossier.assess.needed import needed_details
from dossier.assess.results import Assessment, RoleResult
from dossier.assess.scope_words import has_permit_fee, quantity_of, read_line
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.record.closing import ScopeLine
from dossier.said import NOT_ON_RECORD, Listed, Number, Said, Value, say
from dossier.terms.conditions import Condition
from dossier.trade.takeoff import DEFAULT_TOLERANCE_SHARE
from dossier.values import unit_for
from dossier.words import Phase, Role

_CODE: dict[Role, str] = {
    Role.ICE_BARRIER: "R905.1.2",
    Role.UNDERLAYMENT: "R905.1.1",
    Role.DRIP_EDGE: "R905.2.8.5",
    Role.VALLEY: "R905.2.8.2",
    Role.FLASHING: "R903.2.1",
    Role.PIPE_BOOT: "R905.2.8.4",
    Role.FIELD_SHINGLE: "R905.2.4",
}
"""The section of the International Residential Code that asks for a role."""

_PHASE: dict[Role, Phase] = {
    Role.STARTER: Phase.STARTER,
    Role.HIP_AND_RIDGE: Phase.HIP_AND_RIDGE,
    Role.ICE_BARRIER: Phase.ICE_BARRIER,
    Role.UNDERLAYMENT: Phase.UNDERLAYMENT,
    Role.DRIP_EDGE: Phase.DRIP_EDGE,
    Role.FIELD_SHINGLE: Phase.FIELD,
    Role.FASTENER: Phase.FIELD,
    Role.VALLEY: Phase.FLASHING,
    Role.FLASHING: Phase.FLASHING,
    Role.PIPE_BOOT: Phase.FLASHING,
    Role.EXHAUST_VENT: Phase.VENTILATION,
    Role.INTAKE_VENT: Phase.VENTILATION,
}


@dataclass(frozen=True)
class ScopeRow:
    """One role of this roof beside the insurer's scope.

    on_scope: None where no scope is on record. clause: the section of the code or the clause of the terms that
    asks for it. photo: a file, or None. short_by: how much less the scope's quantities are than the measured
    roof, in the need's unit; zero where they are not, or where a line gives none in that unit.
    """

    role: Role
    quantity: Number
    delivered: Value
    on_scope: bool | None
    scope_says: Listed
    scope_amount: Decimal | None
    clause: Said
    photo: str | None
    short_by: Fraction = Fraction(0)
    unit: str = ""


def scope_rows(case: Case, facts: Facts, assessment: Assessment) -> tuple[ScopeRow, ...]:
    """Return a row for every role whose quantity this roof gives and which a clause asks for."""
    return tuple(_rows(case, facts, assessment))


@dataclass(frozen=True)
class _Measured:
    role: Role
    quantity: Fraction
    unit: str
    delivered: Value


def _rows(case: Case, facts: Facts, assessment: Assessment) -> Iterator[ScopeRow]:
    lines = case.job.money.scope_lines if case.job.money else ()
    for one in (*_counted(assessment), *_details(case)):
        clause = clause_for(one.role, assessment)
        if clause is None or not one.quantity:
            continue
        matching = [line for line in lines if one.role in read_line(line).pays]
        named = [line for line in lines if one.role in roles_of(line)]
        amounts = [line.amount for line in matching if line.amount is not None]
        phase = _PHASE.get(one.role)
        photos = good_photos(case, facts, phase) if phase else []
        yield ScopeRow(
            role=one.role,
            quantity=Number(one.quantity, one.unit),
            delivered=one.delivered,
            on_scope=bool(matching) if lines else None,
            scope_says=Listed(tuple(map(_line_text, named)), "; "),
            scope_amount=sum(amounts, Decimal(0)) if amounts else None,
            clause=clause,
            photo=photos[0].file if photos else None,
            short_by=_short_by(matching, one),
            unit=one.unit,
        )


def _counted(assessment: Assessment) -> Iterator[_Measured]:
    for result in assessment.roles:
        needed = result.need.at_zero_waste
        if result.need.unit == "pieces":
            needed = Fraction(ceil(needed))
        yield _Measured(result.role, needed, result.need.unit, _delivered(result))


def _details(case: Case) -> Iterator[_Measured]:
    """Yield what stands on record of the roof's details where a new piece was needed or came."""
    needed = {one.role for one in needed_details(case) if one.known}
    slopes = case.job.slopes
    lengths = {
        Role.VALLEY: sum((s.valley_ft or Fraction(0) for s in slopes), Fraction(0)),
        Role.FLASHING: sum((s.step_flashing_ft or Fraction(0) for s in slopes), Fraction(0)),
    }
    for role, length in lengths.items():
        if role in needed:
            yield _Measured(role, length, "ft", _kept(case, role))
    boots = case.materials_of(Role.PIPE_BOOT)
    if Role.PIPE_BOOT in needed and boots:
        # Some of the pipes are flues and ducts with collars of their own, so the boots are counted themselves.
        known = [line.quantity for line in boots if line.quantity is not None]
        yield _Measured(
            Role.PIPE_BOOT, sum(known, Fraction(0)), "pieces", _kept(case, Role.PIPE_BOOT)
        )
    for role in (Role.EXHAUST_VENT, Role.INTAKE_VENT):
        lines = case.materials_of(role)
        feet = [m.quantity * m.covers_ft for m in lines if m.quantity and m.covers_ft]
        if lines and len(feet) == len(lines):
            yield _Measured(role, sum(feet, Fraction(0)), "ft", _kept(case, role))


def _kept(case: Case, role: Role) -> Value:
    lines = case.materials_of(role)
    if not lines:
        return say("none on record")
    if any(line.quantity is None for line in lines):
        return NOT_ON_RECORD
    kept = (
        Number(line.quantity or 0, unit_for(line.quantity or 0, line.line.unit)) for line in lines
    )
    return Listed(tuple(kept), "; ")


def _short_by(lines: Sequence[ScopeLine], one: _Measured) -> Fraction:
    """Return how far these lines' quantities fall short of the measured roof, beyond the tape's tolerance."""
    read = [quantity_of(line.quantity) for line in lines]
    known = [quantity for quantity in read if quantity is not None and quantity[1] == one.unit]
    if not known or len(known) < len(read):
        return Fraction(0)
    total = sum((amount for amount, _ in known), Fraction(0))
    least = one.quantity * (1 - DEFAULT_TOLERANCE_SHARE)
    return one.quantity - total if total < least else Fraction(0)


def _delivered(result: RoleResult) -> Value:
    supplied = result.take_off.supplied
    if not result.materials:
        return say("none on record")
    return NOT_ON_RECORD if supplied is None else Number(supplied, result.need.unit)


def _line_text(line: ScopeLine) -> Value:
    return Listed(tuple(part for part in (line.what, line.quantity) if part), ", ")


def roles_of(line: ScopeLine) -> frozenset[Role]:
    """Return the roles that a scope line pays for or leaves out in so many words."""
    read = read_line(line)
    return read.pays | read.leaves_out


def permit_fee_left_out(case: Case) -> bool:
    """Return whether a permit is needed here and the scope, which has lines, has none for its fee."""
    lines = case.job.money.scope_lines if case.job.money else ()
    return bool(lines) and case.locality.permit_needed and not has_permit_fee(lines)


def clause_for(role: Role, assessment: Assessment) -> Said | None:
    """Return what asks for a role on this roof: a section of the code, else a clause of the maker's terms."""
    if role in _CODE:
        return say("section {section} of the code", section=_CODE[role])
    own = [
        leaf.condition
        for result in assessment.asked
        for condition in result.level.conditions
        for leaf in condition.leaves
    ]
    asked: list[Condition] = []
    if role is Role.STARTER:
        asked = [one for one in own if one.starter_at]
    elif role in (Role.EXHAUST_VENT, Role.INTAKE_VENT):
        asked = [one for one in own if one.ventilation]
    for one in own:
        counted = one.counted_accessories.of if one.counted_accessories else ()
        if role in one.same_maker or role in counted:
            asked.append(one)
    return say("clause {clause} of the maker's terms", clause=asked[0].clause) if asked else None
