"""What an assessment is made of: figures with working, results of conditions, statements.

In: nothing; built by the other modules of this room. Out: frozen values. Must not compute. No figure is
computed a second time by a rule or a document; they all read it here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

from dossier.assess.barrier import Laid
from dossier.case.case import AskedWarranty, Material
from dossier.punchlist import Where
from dossier.said import Listed, Said, Value, say
from dossier.terms.conditions import Condition
from dossier.terms.coverage import Part, Transfer
from dossier.terms.sheet import Level, TermsSheet
from dossier.trade.deck import BoardCheck, GapCheck, PriceCheck, SpanCheck
from dossier.trade.fasteners import NailingCheck, NailLengthCheck
from dossier.trade.ice_barrier import Reach, ReachCheck
from dossier.trade.roof import CrossCheck, RoofTotals
from dossier.trade.takeoff import Need, TakeOff
from dossier.trade.underlayment import UnderlaymentCheck, UnderlaymentRule
from dossier.trade.ventilation import SpaceCheck
from dossier.trade.wind import Conditions, WindCheck
from dossier.trade.working import Working
from dossier.values import Pitch
from dossier.words import Backing, OwnerKind, Phase, Role, StartEvent

if TYPE_CHECKING:
    from dossier.assess.details import Details


class Met(StrEnum):
    """What a condition came to."""

    MET = "met"
    NOT_MET = "not met"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True)
class Reference:
    """Something that backs a statement: a photo, a paper, a record line or a sheet's line.

    paper: what kind of paper it is, in a word, so that it can be told where its file is kept back.
    """

    kind: str
    text: str
    where: Where
    paper: str = ""


Input = tuple[str, Value, Where]
"""What a figure was worked out from: its name, its value, its place."""


@dataclass(frozen=True)
class Figure:
    """One computed figure with its working and where each input came from. id: dotted name, stable."""

    id: str
    title: Said
    result: Value
    working: Working
    inputs: tuple[Input, ...]


@dataclass(frozen=True)
class Event:
    """A day from which terms count, and where it was said. day: None where the record is blank."""

    event: StartEvent
    day: date | None
    where: Where


@dataclass(frozen=True)
class RoofEdge:
    """The eave of a slope, as its ice barrier depends on it. Lengths in inches; None where not on record.

    slope_factor: length along the slope to one level. overhang_in, wall_in: the widest and the thickest of
    its eaves. wall: whether a wall stands below. wall_line: the face of it that the rule counts from.
    length_in: of the slope, eave to top. laid_in: barrier along the slope, fascia wrap taken off.
    inside_wall_in: how far level its upper edge lies inside the wall line, below zero where it falls short.
    whole: whether the barrier covers the slope. measured: whether its reach is on record itself or it covers the
    slope; False where the reach was worked out from courses and a roll's width, and where nothing is on record.
    """

    pitch_in_12: Fraction
    slope_factor: Fraction
    overhang_in: Fraction | None
    wall_in: Fraction | None
    wall: bool
    wall_line: str
    length_in: Fraction | None
    laid_in: Fraction | None
    inside_wall_in: Fraction | None
    whole: bool
    measured: bool


@dataclass(frozen=True)
class SlopeResult:
    """One slope's figures. None where an input is missing; edge: also where the slope has no eave."""

    label: str
    path: str
    pitch: Pitch | None
    area_sqft: Fraction | None
    length_ft: Fraction | None
    eave_ft: Fraction | None
    rake_ft: Fraction | None
    edge: RoofEdge | None
    reach: Reach | None
    reach_check: ReachCheck | None
    barrier_courses: int | None
    barrier: Laid
    underlayment: UnderlaymentRule | None
    underlayment_check: UnderlaymentCheck | None
    edge_checks: tuple[tuple[str, CrossCheck], ...]


@dataclass(frozen=True)
class RoleResult:
    """One role's need against what was delivered and kept."""

    role: Role
    need: Need
    take_off: TakeOff
    materials: tuple[Material, ...]


@dataclass(frozen=True)
class DeckResult:
    """One deck's figures."""

    path: str
    gap: GapCheck | None
    span: SpanCheck | None
    boards: BoardCheck | None


@dataclass(frozen=True)
class WindResult:
    """The field shingle's wind class against the site."""

    check: WindCheck
    conditions: Conditions
    material: Material | None

    @property
    def verdict(self) -> str:
        """Return the verdict for this site: the class holds only within the test's conditions."""
        if self.check.verdict == "enough" and self.outside_its_test:
            return "cannot tell"
        return self.check.verdict

    @property
    def outside_its_test(self) -> bool:
        """Return whether the site lies outside the conditions that ASTM D7158 sets for its classes."""
        return self.by_d7158 and self.conditions.verdict == "outside"

    @property
    def by_d7158(self) -> bool:
        """Return whether the shingle is one that D7158 classes; D3161, a fan test, sets no such conditions."""
        product = self.material.product if self.material else None
        return product is None or product.self_sealing is not False

    @property
    def because(self) -> Said | None:
        """Return why the class says nothing here, or None."""
        if self.verdict == self.check.verdict:
            return None
        outside = Listed(tuple(self.conditions.outside.values()), ", ")
        return say("outside the test's standard conditions: {outside}", outside=outside)


BySlope = tuple[tuple[Backing, tuple[str, ...]], ...]
"""How far something is backed, the strongest first, each with the slopes on which it is; empty where it is the
same on all, or where slopes are not what it speaks of."""


@dataclass(frozen=True)
class ConditionResult:
    """One condition of a level: met, not met, cannot tell, and why.

    needs: what would have to be known, None for nothing. reserve: what a condition that is met leaves open;
    in_part: whether that is a part of what it asks for. parts: the members of a group, in printed order. by_slope:
    how far it is backed on each slope, where it speaks of slopes.
    """

    condition: Condition
    met: Met
    because: Said
    needs: Said | None
    path: str
    references: tuple[Reference, ...]
    parts: tuple["ConditionResult", ...] = ()
    by_slope: BySlope = ()
    reserve: Said | None = None
    in_part: bool = False

    @property
    def leaves(self) -> tuple["ConditionResult", ...]:
        """Return the single conditions within, or this one alone."""
        if not self.parts:
            return (self,)
        return tuple(leaf for part in self.parts for leaf in part.leaves)

    @property
    def open_leaves(self) -> tuple["ConditionResult", ...]:
        """Return the single conditions that are not met and count: the members of a met group are at rest."""
        if self.met is Met.MET:
            return ()
        if not self.parts:
            return (self,)
        return tuple(leaf for part in self.parts for leaf in part.open_leaves)


class Standing(StrEnum):
    """Where a level stands for this job."""

    EARNED = "earned"
    OPEN = "still open"
    LOST = "lost"
    UNCONFIRMED = "not confirmed on record"
    """Years after the closing: it may have been registered, and this record does not show it."""


@dataclass(frozen=True)
class Deadline:
    """One registration deadline. last_day: None where the event's day is not on record."""

    event: Event
    within_days: int
    last_day: date | None
    met_on: date | None
    met_by: str
    clause: str
    passed: bool


@dataclass(frozen=True)
class LevelResult:
    """One level of one sheet for this job."""

    sheet: TermsSheet
    file: str
    level: Level
    conditions: tuple[ConditionResult, ...]
    deadline: Deadline | None
    standing: Standing
    to_do: tuple[ConditionResult, ...]
    """The shortest list of single conditions still to be met."""
    spoiled_by: tuple[Material, ...]

    @property
    def open_leaves(self) -> tuple[ConditionResult, ...]:
        """Return the single conditions that keep the level from being earned."""
        return tuple(leaf for condition in self.conditions for leaf in condition.open_leaves)


@dataclass(frozen=True)
class AskedResult:
    """A warranty the job asks for: its level, the other levels of the sheet, its registration."""

    asked: AskedWarranty
    level: LevelResult
    others: tuple[LevelResult, ...]
    in_force: Level
    """The level that holds if nothing more is done: the asked one once registered, else its fallback."""
    best: LevelResult | None
    """The highest level of the sheet that this job has earned or can still earn; None where all are lost."""


class LeftBySale(StrEnum):
    """What a sale left of a coverage for the new owner."""

    NOTHING = "nothing"
    IF_NOTICE = "it, if notice comes in time"
    SOMETHING = "some of it, or all"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True)
class CoverageLine:
    """One part of one coverage, on the calendar.

    starts: None where the event's day is not on record. ends: None for a lifetime term or where the
    start is not known. next_owner_ends: where it ends for a buyer to whom it passes, None where it does not
    pass or no end is known. last_sale: the last day on which a sale passes anything of the whole coverage on, by
    the roof's age and by the last end that a buyer could still have; None where nothing passes, or no such day
    follows from the terms and a start on record. last_sale_years: the same in years from the start, which the
    terms tell without one. owner_kinds: the kinds of owner it is for, all where empty. left: what a sale on record
    left of the whole coverage, None where none is counted.
    """

    title: str
    promised_by: str
    part: Part
    starts: date | None
    full_pay_until: date | None
    ends: date | None
    holds_now: bool
    document: str
    transfer: Transfer | None
    start_event: StartEvent
    next_owner_ends: date | None = None
    last_sale: date | None = None
    last_sale_years: Fraction | None = None
    owner_kinds: tuple[OwnerKind, ...] = ()
    left: LeftBySale | None = None

    @property
    def title_key(self) -> tuple[str, str]:
        """Return what tells one coverage from another: its title and its document."""
        return self.title, self.document


@dataclass(frozen=True)
class Statement:
    """One thing the papers say about this roof, and how far it is backed.

    slope: the one it is about alone. backing: of the weakest slope, where it speaks of several. by_slope: how far
    it is backed on each; empty where it is the same on all, or where it does not speak of slopes.
    """

    id: str
    text: Said
    backing: Backing
    references: tuple[Reference, ...]
    by_slope: BySlope = ()
    slope: str | None = None

    def on(self, slope: str | None) -> Backing:
        """Return how far it is backed on one slope; as a whole where it does not speak of that slope by itself."""
        found = (one for one, slopes in self.by_slope if slope in slopes)
        return next(found, self.backing)


@dataclass(frozen=True)
class Assessment:
    """Everything that follows from one case and its facts on one day."""

    events: Mapping[StartEvent, Event]
    slopes: tuple[SlopeResult, ...]
    totals: RoofTotals
    roof_kind: str
    roles: tuple[RoleResult, ...]
    attics: tuple[SpaceCheck, ...]
    decks: tuple[DeckResult, ...]
    wind: WindResult | None
    nailing: NailingCheck
    nail_length: NailLengthCheck
    prices: PriceCheck | None
    asked: tuple[AskedResult, ...]
    coverages: tuple[CoverageLine, ...]
    statements: tuple[Statement, ...]
    details: "Details"
    figures: tuple[Figure, ...]

    def slope(self, label: str) -> SlopeResult | None:
        """Return one slope's figures, or None."""
        return next((slope for slope in self.slopes if slope.label == label), None)

    def role(self, role: Role) -> RoleResult | None:
        """Return one role's take-off, or None where the roof does not need it."""
        return next((result for result in self.roles if result.role is role), None)

    def statement(self, id_: str) -> Statement | None:
        """Return one statement, or None."""
        return next((statement for statement in self.statements if statement.id == id_), None)


PHASES_PER_SLOPE = (Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT, Phase.FIELD)
"""Phases whose photos are asked for slope by slope; all others once a roof. Common practice, no
published source."""
