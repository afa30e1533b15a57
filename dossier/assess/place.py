"""What was built at one place of the roof, who did and checked it, and what lay below.

In: a case, facts, an assessment and a place. Out: a `PlaceAnswer`. Must not print, nor say why water came in:
that needs eyes on the roof. A lot is told for a slope only where the record ties it to one.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from dossier.assess.barrier import laid_on
from dossier.assess.results import Assessment, Met, Reference
from dossier.case.case import Case, Material, Work
from dossier.record.materials import Lot
from dossier.record.roof import Deck, Repair
from dossier.said import Inches, Said, say
from dossier.words import Backing, Phase, Redecked, Role

ROLES_THERE = (
    *(Role.DECK_PANEL, Role.ICE_BARRIER, Role.DRIP_EDGE, Role.UNDERLAYMENT),
    *(Role.LOW_SLOPE_MEMBRANE, Role.VALLEY, Role.STARTER, Role.FIELD_SHINGLE, Role.FASTENER),
    *(Role.FLASHING, Role.PIPE_BOOT, Role.SKYLIGHT_KIT, Role.DUCT_OR_FLUE_CAP),
    *(Role.EXHAUST_VENT, Role.HIP_AND_RIDGE, Role.SEALANT),
)
"""Roles a place on a slope may hold, from the deck up."""


class Tie(StrEnum):
    """How surely the lots of a product lie on a slope, by the record."""

    SLOPE = "recorded for this slope"
    ONLY = "the only lot that came to this roof"
    ROOF = "came to this roof; which lies here is not on record"
    NONE = "lot not on record"


@dataclass(frozen=True)
class PlaceAsked:
    """A place on the roof as somebody reported it.

    slope: a label of the record, None where nobody could tell. from_eave_ft, from_rake_ft: along the
    slope, from its edge. room: the room below.
    """

    slope: str | None
    from_eave_ft: Fraction | None = None
    from_rake_ft: Fraction | None = None
    room: str | None = None


@dataclass(frozen=True)
class LayerThere:
    """One product that may lie at the place. lots: those that may, `tie` telling how surely."""

    role: Role
    material: Material
    lots: tuple[Lot, ...]
    tie: Tie
    backing: Backing
    references: tuple[Reference, ...]


@dataclass(frozen=True)
class LookedAt:
    """Who did a phase on the slope and who looked at it before it was covered."""

    phase: Phase
    first: date
    last: date
    checked_by: str | None
    checked_on: date | None


@dataclass(frozen=True)
class PlaceAnswer:
    """Everything the record holds on one place.

    barrier: whether the ice barrier on record reaches the place, and barrier_because in a sentence. deck:
    None where no one deck of this slope is on record.
    """

    asked: PlaceAsked
    layers: tuple[LayerThere, ...]
    barrier: Met
    barrier_because: Said
    work: tuple[LookedAt, ...]
    deck: Deck | None
    deck_seen: Backing
    membrane_left: bool
    repairs: tuple[Repair, ...]
    slopes: tuple[str, ...]


def place_answer(case: Case, assessment: Assessment, asked: PlaceAsked) -> PlaceAnswer:
    """Return what the record holds on a place; of the whole roof where no slope is named."""
    barrier, because = _barrier(case, asked)
    slopes = tuple(slope.label for slope in case.job.slopes if asked.slope in (None, slope.label))
    seen = [assessment.statement(f"deck.{label}") for label in slopes]
    order = list(Backing)
    weakest = max((s.backing for s in seen if s), key=order.index, default=Backing.ABSENT)
    return PlaceAnswer(
        asked=asked,
        layers=tuple(_layers(case, assessment, asked)),
        barrier=barrier,
        barrier_because=because,
        work=tuple(_work(case, asked.slope)),
        deck=_deck(case, asked.slope),
        deck_seen=weakest,
        membrane_left=any(bool(s.old_membrane_left) for s in case.job.slopes if s.label in slopes),
        repairs=_repairs(case, asked.slope),
        slopes=slopes,
    )


def _layers(case: Case, assessment: Assessment, asked: PlaceAsked) -> Iterator[LayerThere]:
    for role in ROLES_THERE:
        if role is Role.DECK_PANEL and not _may_hold_new_deck(case, asked.slope):
            continue
        statement = assessment.statement(f"role.{role.value}")
        for material in case.materials_of(role):
            lots, tie = _lots(material, asked.slope)
            yield LayerThere(
                role=role,
                material=material,
                lots=lots,
                tie=tie,
                backing=statement.on(asked.slope) if statement else Backing.STATED,
                references=statement.references if statement else (),
            )


def _repairs(case: Case, slope: str | None) -> tuple[Repair, ...]:
    """Return the repairs of the deck on a slope, and those whose slope is not on record."""
    return tuple(one for one in case.job.repairs if slope is None or one.slope in (None, slope))


def _may_hold_new_deck(case: Case, slope: str | None) -> bool:
    """Return whether new panels may lie on a slope: not where its deck was kept and no repair is on record."""
    if slope is None or _repairs(case, slope):
        return True
    decks = [deck for deck in case.job.decks if not deck.slopes or slope in deck.slopes]
    return not decks or any(deck.redecked is not Redecked.NO for deck in decks)


def _lots(material: Material, slope: str | None) -> tuple[tuple[Lot, ...], Tie]:
    """Return the lots that may lie on a slope, and how surely they do by the record."""
    every = material.line.lots
    tied = tuple(lot for lot in every if slope is not None and slope in lot.slopes)
    loose = tuple(lot for lot in every if slope is None or not lot.slopes)
    if tied and not loose:
        return tied, Tie.SLOPE
    # A lot tied to other slopes alone does not lie here, by the record.
    if not tied and not loose:
        return (), Tie.NONE
    whole = material.line.quantity
    if len(every) == 1 and whole is not None and material.lot_quantity >= whole:
        return every, Tie.ONLY
    return tied + loose, Tie.ROOF


def _work(case: Case, slope: str | None) -> Iterator[LookedAt]:
    for phase in Phase:
        for work in case.work_on(phase, slope):
            yield _looked(work)


def _looked(work: Work) -> LookedAt:
    on = work.checked_on or (work.last if work.checked_by else None)
    return LookedAt(work.phase, work.first, work.last, work.checked_by, on)


def _deck(case: Case, slope: str | None) -> Deck | None:
    decks = [d for d in case.job.decks if slope is None or not d.slopes or slope in d.slopes]
    # A deck that names the slope goes before one that is told of all.
    named = [deck for deck in decks if slope is not None and slope in deck.slopes]
    found = named or decks
    return found[0] if len(found) == 1 else None


def _barrier(case: Case, asked: PlaceAsked) -> tuple[Met, Said]:
    """Return whether the ice barrier on record reaches the place reported."""
    if case.is_recover:
        return (
            Met.CANNOT_TELL,
            say("The roof was laid over the old one; what lies below it was not seen."),
        )
    slope = case.slope(asked.slope) if asked.slope else None
    if slope is None:
        return (
            Met.CANNOT_TELL,
            say("The slope is not known, so the ice barrier there cannot be told."),
        )
    if slope.ice_barrier_whole:
        return Met.MET, say("By the record ice barrier covers the whole of this slope.")
    laid = case.job.installation
    on_slope = laid_on(case, slope, "", None)
    reach_in = on_slope.reach_in
    if reach_in is None or not on_slope.measured:
        return (
            Met.CANNOT_TELL,
            say("How far the ice barrier reaches up this slope is not on record."),
        )
    wrap_in = (laid.fascia_wrap_in if laid else None) or Fraction(0)
    up_in = max(Fraction(0), reach_in - wrap_in)
    reach = say(
        "By the record ice barrier reaches {up} up the slope from the eave edge", up=Inches(up_in)
    )
    if asked.from_eave_ft is None:
        text = "{reach}; how far from the eave the place lies was not reported."
        return Met.CANNOT_TELL, say(text, reach=reach)
    at_in = asked.from_eave_ft * 12
    if at_in <= up_in:
        met, text = Met.MET, "{reach}; the place reported lies {at} from it, within that reach."
    else:
        met, text = Met.NOT_MET, "{reach}; the place reported lies {at} from it, above that reach."
    return met, say(text, reach=reach, at=Inches(at_in))
