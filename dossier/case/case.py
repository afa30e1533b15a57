"""The case: one job with everything that was said once elsewhere filled in.

In: nothing; built by `fill.py`. Out: frozen values that rules, sums and documents read. Must not judge.
Each value that may come from two places is `Told`: the value, where it was said, and whether somebody
typed it in the job or it was filled in from a sheet.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Generic, TypeVar

from dossier.case.private import NOBODY, Private
from dossier.punchlist import Where
from dossier.reading.model import Lines
from dossier.record.closing import Warranty
from dossier.record.derived import as_typed
from dossier.record.files import Paper, Photo
from dossier.record.job import Job
from dossier.record.materials import Delivery, MaterialLine
from dossier.record.roof import Slope
from dossier.said import Value
from dossier.terms.office import Certification, Company, Crew, Locality
from dossier.terms.sheet import Level, Product, TermsSheet
from dossier.values import spelt
from dossier.words import (
    Edition,
    EntryKind,
    Exposure,
    PaperKind,
    Phase,
    Role,
    Scope,
    Source,
    WallDatum,
)

T = TypeVar("T")


@dataclass(frozen=True)
class Told(Generic[T]):
    """One value, where it was said, and whether it was filled in rather than typed in the job."""

    value: T
    where: Where
    filled_in: bool


@dataclass(frozen=True)
class Override:
    """A field that the job says otherwise than the sheet it would have come from."""

    field: str
    job_says: Value
    sheet_says: Value
    where: Where
    sheet: Where


@dataclass(frozen=True)
class Material:
    """One material line with what the catalogue knows of its product.

    role, maker, product: None where neither the line nor a catalogue says. quantity: delivered less
    returned, None where no quantity was typed. path: dotted field of the line.
    """

    line: MaterialLine
    delivery: Delivery
    product: Product | None
    role: Role | None
    maker: str | None
    covers_sqft: Fraction | None
    covers_ft: Fraction | None
    standard: str | None
    wind_class: str | None
    carries_lot: bool | None
    quantity: Fraction | None
    path: str

    @property
    def name(self) -> str:
        """Return the product's name as typed."""
        return self.line.product

    @property
    def is_stock(self) -> bool:
        """Return whether it came off the truck or from another job rather than on a ticket."""
        return self.delivery.source is not Source.TICKET

    @property
    def went_back(self) -> bool:
        """Return whether all of it was returned, so that none of it is on the roof."""
        return self.quantity == 0

    @property
    def is_cut(self) -> bool:
        """Return whether starter or caps were cut from a field shingle rather than made as what they are."""
        if self.role not in (Role.STARTER, Role.HIP_AND_RIDGE):
            return False
        made_as_field = self.product is not None and self.product.role is Role.FIELD_SHINGLE
        return made_as_field or bool(re.search(r"\bcut\b", self.name.lower()))

    @property
    def lot_quantity(self) -> Fraction:
        """Return the units whose lot is on record."""
        return sum((lot.quantity or Fraction(0) for lot in self.line.lots), Fraction(0))


@dataclass(frozen=True)
class Work:
    """One phase on one line of the work log."""

    phase: Phase
    slopes: tuple[str, ...]
    first: date
    last: date
    checked_by: str | None
    checked_on: date | None
    path: str


@dataclass(frozen=True)
class AskedWarranty:
    """A warranty the job asks for, with its sheet and level. level: None where the sheet has none.

    taken_over: which of “sheet” and “level” stand here as on another job, and nobody has said to hold here.
    """

    warranty: Warranty
    sheet: TermsSheet
    level: Level | None
    file: str
    path: str
    taken_over: tuple[str, ...] = ()


@dataclass(frozen=True)
class PutRight:
    """One thing that an entry after close-out changed in the record, and the edition of the handover it began.

    where: the field, or the paper or photo, in words; anybody: the same with no name a buyer may not see. was,
    right: one line, blank for nothing, None where this reader may not see them.
    """

    edition: int
    on: date
    kind: EntryKind
    where: str
    anybody: str
    was: str | None
    right: str | None
    readers: frozenset[Edition]


@dataclass(frozen=True)
class Case:
    """Everything known of one job before anything is computed or judged."""

    job: Job
    lines: Lines
    photo_lines: Lines
    company: Company
    company_lines: Lines
    locality: Locality
    locality_lines: Lines
    asked: tuple[AskedWarranty, ...]
    materials: tuple[Material, ...]
    work: tuple[Work, ...]
    photos: tuple[Photo, ...]
    papers: tuple[Paper, ...]
    photo_wheres: Mapping[str, Where]
    paper_wheres: Mapping[str, Where]
    photo_numbers: Mapping[str, int]
    """Each photo's number, from 1 in the order in which a roof is built: the same in every document."""
    supervised_by: Told[str] | None
    crew_lead: Told[str] | None
    crews: tuple[Crew, ...]
    """The company's crews that the job names."""
    design_wind_mph: Told[int] | None
    exposure: Told[Exposure]
    climate_zone: Told[str] | None
    wall_datum: Told[WallDatum]
    overrides: tuple[Override, ...]
    listed_again: tuple[tuple[str, Where, Where], ...]
    """Files listed more than once: the file, where first, where again."""
    products: Mapping[str, Product]
    """Every catalogue product by its name in lower case."""
    derived: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """What `job` holds though nobody typed it: the path of the field → those it follows from."""
    put_right: tuple[PutRight, ...] = ()
    """What entries after close-out changed, oldest first; none of an open job."""
    kept_from_reader: Private = NOBODY
    """The words of former owners that were taken out for this reader, and that nothing worked out or found
    from the whole record may bring back; nobody's where nothing was."""

    @property
    def sub_crews(self) -> tuple[str, ...]:
        """Return the companies of the crews that are not the company's own, each once."""
        return tuple(dict.fromkeys(crew.company for crew in self.crews if crew.company))

    @property
    def as_typed(self) -> Job:
        """Return the job without what follows from other fields of it."""
        return as_typed(self.job, self.derived)

    def product(self, name: str) -> Product | None:
        """Return the catalogue product of a name, read without regard to case and spaces, or None."""
        return self.products.get(spelt(name))

    @property
    def is_recover(self) -> bool:
        """Return whether the new roof was laid over the old one.

        Then no ice barrier and no underlayment lie between the two: common practice, no published source.
        """
        return self.job.job.scope is Scope.RECOVER

    def where(self, path: str) -> Where:
        """Return where a field of the job stands, or the group around it where it is blank."""
        return self.lines.where(path)

    def reason_not(self, path: str) -> str | None:
        """Return the reason a field was said not to apply, or None where it was not."""
        return self.lines.reason_not(path)

    def photo_where(self, file: str) -> Where:
        """Return where a photo is listed, or the file itself where its place lists it."""
        return self.photo_wheres.get(file, Where(file))

    def paper_where(self, file: str) -> Where:
        """Return where a paper is listed, or the file itself where its name lists it."""
        return self.paper_wheres.get(file, Where(file))

    def photos_of(self, phase: Phase, slope: str | None = None) -> tuple[Photo, ...]:
        """Return the photos filed under a phase, and under a slope where one is given."""
        return tuple(
            photo
            for photo in self.photos
            if photo.phase is phase and (slope is None or photo.slope == slope)
        )

    def papers_of(self, kind: PaperKind) -> tuple[Paper, ...]:
        """Return the papers of one kind."""
        return tuple(paper for paper in self.papers if paper.kind is kind)

    def materials_of(self, role: Role) -> tuple[Material, ...]:
        """Return the material lines of one role, but for those that went back whole."""
        return tuple(m for m in self.materials if m.role is role and not m.went_back)

    def work_on(self, phase: Phase, slope: str | None = None) -> tuple[Work, ...]:
        """Return the work log's entries of a phase, those that touched the slope where one is given."""
        return tuple(
            work
            for work in self.work
            if work.phase is phase and (slope is None or not work.slopes or slope in work.slopes)
        )

    def last_day_of(self, phase: Phase) -> date | None:
        """Return the last day of a phase, or None where the log does not say."""
        return max((work.last for work in self.work_on(phase)), default=None)

    def first_day_of_work(self) -> date | None:
        """Return the first day on which anything was done to the roof."""
        return min((w.first for w in self.work if w.phase is not Phase.BEFORE), default=None)

    def last_day_of_work(self) -> date | None:
        """Return the last day on which anything was done to the roof."""
        looks = (Phase.BEFORE, Phase.FINISHED)
        return max((w.last for w in self.work if w.phase not in looks), default=None)

    def slope(self, label: str) -> Slope | None:
        """Return the slope of that label, or None."""
        return next((slope for slope in self.job.slopes if slope.label == label), None)

    def certification(
        self,
        maker: str,
        level: str | None = None,
        first: date | None = None,
        last: date | None = None,
    ) -> Certification | None:
        """Return the company's certification by a maker, at a level where one is given.

        Of several, as after a renewal, the one that covers the days; else the one that ran last.
        """
        rows = [
            held
            for held in self.company.certifications
            if held.maker == maker and (level is None or held.level == level)
        ]
        if first is not None and last is not None:
            covering = [h for h in rows if h.valid_from <= first and last <= h.valid_to]
            rows = covering or rows
        return max(rows, key=lambda held: held.valid_to, default=None)
