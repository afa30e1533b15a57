"""What a condition is judged from, what it came to, and the references that both rest on.

In: a case, facts, figures. Out: `Given`, `Verdict`, references. Must not judge a condition.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from dossier.assess.backing import (
    RECORD,
    good_papers,
    good_photos,
    names_ticket,
    paper_reference,
    photo_reference,
)
from dossier.assess.has_place import why_no_place
from dossier.assess.results import (
    BySlope,
    Met,
    Reference,
    SlopeResult,
)
from dossier.case.case import AskedWarranty, Case, Material
from dossier.evidence.facts import Facts
from dossier.said import Listed, Said, joined, say
from dossier.terms.conditions import Condition
from dossier.trade.ventilation import SpaceCheck
from dossier.words import PaperKind, Phase, Role

RECORD_SILENT, NOT_SIGNED = Said("the record does not say"), Said("no day of signature on record")


@dataclass(frozen=True)
class Given:
    """What a condition is judged from. maker: of the sheet."""

    case: Case
    facts: Facts
    asked: AskedWarranty
    maker: str
    slopes: tuple[SlopeResult, ...]
    attics: tuple[SpaceCheck, ...]


@dataclass(frozen=True)
class Verdict:
    """What a condition came to. reserve: what it leaves open, though it is met.

    in_part: whether what it leaves open is a part of what it asks for. by_slope: as of `ConditionResult`.
    """

    met: Met
    because: Said
    references: tuple[Reference, ...]
    needs: Said | None = None
    reserve: Said | None = None
    in_part: bool = False
    by_slope: BySlope = ()


def of_record(given: Given, path: str) -> tuple[Reference, ...]:
    where = given.case.where(path)
    return (Reference(RECORD, str(where), where),)


def of_role(given: Given, role: Role) -> tuple[Material, ...]:
    return given.case.materials_of(role)


def line_for(role: Role) -> Said:
    return say("a material line for {role}", role=role)


def not_on_record(needs: Sequence[Said], references: tuple[Reference, ...]) -> Verdict:
    lacking = say("{needs}", needs=Listed(tuple(needs)))
    because = say("not on record: {needs}", needs=Listed(tuple(needs)))
    return Verdict(Met.CANNOT_TELL, because, references, lacking)


_Thing = TypeVar("_Thing", Role, Phase)


def with_place(
    given: Given, condition: Condition, things: Sequence[_Thing]
) -> tuple[list[_Thing], Said | None]:
    """Return the things that this roof has a place for, and of the others why it has none; None for none such.

    All of them where the sheet says that the clause holds wherever.
    """
    why = {} if condition.wherever else {one: why_no_place(given.case, one) for one in things}
    none = {one: reason for one, reason in why.items() if reason}
    left = [one for one in things if one not in none]
    told = [
        say("{thing} is not asked for: {reason}", thing=one, reason=reason)
        for one, reason in none.items()
    ]
    return left, joined(told, "; ") if told else None


def and_elsewhere(because: Said, elsewhere: Said | None) -> Said:
    return because if elsewhere is None else joined((because, elsewhere), "; ")


def nowhere(elsewhere: Said | None) -> Verdict:
    """Return that a clause is met where it asks for nothing that this roof has a place for."""
    because = elsewhere or Said("it asks for nothing")
    return Verdict(Met.MET, because, (), reserve=elsewhere)


def line_references(given: Given, lines: Sequence[Material]) -> tuple[Reference, ...]:
    """Return where these material lines stand on record."""
    wheres = [given.case.where(line.path) for line in lines]
    return tuple(Reference(RECORD, str(where), where) for where in wheres)


def photo_references(given: Given, phase: Phase, word: str = "") -> tuple[Reference, ...]:
    """Return the photos of a phase that open, those whose name holds the word where one is given."""
    return tuple(
        photo_reference(given.case, photo)
        for photo in good_photos(given.case, given.facts, phase)
        if word in photo.file.lower()
    )


def paper_references(given: Given, kind: PaperKind) -> tuple[Reference, ...]:
    """Return the papers of a kind that open."""
    return tuple(
        paper_reference(given.case, paper) for paper in good_papers(given.case, given.facts, kind)
    )


def ticket_references(given: Given, lines: Sequence[Material]) -> tuple[Reference, ...]:
    """Return the tickets on file by which these lines came."""
    numbers = {line.delivery.ticket for line in lines if line.delivery.ticket}
    tickets = paper_references(given, PaperKind.TICKET)
    return tuple(
        ref for ref in tickets if any(names_ticket(ref.text, number) for number in numbers)
    )
