"""One job's record as a whole.

In: nodes by way of `reading`. Out: `Job`, frozen. Must not know any other job, the company or the terms.
"""

from dossier.reading.kinds import (
    Count,
    Day,
    Line,
    MapPlace,
    Name,
    Number,
    OldCoveringWord,
    OldStateWord,
    ScopeWord,
)
from dossier.reading.model import ALL, PRICES, Model, told
from dossier.record.closing import MoneyRecord, Permit, Warranty
from dossier.record.files import Paper
from dossier.record.materials import Delivery
from dossier.record.people import Building, Insurance, Owner
from dossier.record.roof import Deck, Repair, Slope
from dossier.record.signed import Signed
from dossier.record.work import AfterWork, Installation, OffAndOn, WorkDay
from dossier.words import Edition

_AT_THE_HOUSE = frozenset({Edition.OFFICE, Edition.MAKER, Edition.INSURER})


class JobHead(Model):
    """What the job is: where, for how much, on what terms, by whom."""

    number: Line = told("The office's number.", example="2026-041", readers=ALL, default=...)
    address: Line = told(
        "Address of the house.", example="118 Plover Lane, Halvorsted", readers=ALL, default=...
    )
    place: MapPlace | None = told(
        "Latitude and longitude of the house.", example="47.7000, -87.1000", readers=_AT_THE_HOUSE
    )
    locality: Line = told(
        "The permit office's sheet, by the name of its file.",
        example="vintermark-2026",
        readers=ALL,
        default=...,
        repeats=True,
    )
    contract_on: Day | None = told(
        "Day of the contract.", example="2026-08-18", unit="date", readers=ALL
    )
    scope: ScopeWord | None = told(
        "Full tear-off, partial, or laid over.", example="full tear-off", readers=ALL
    )
    scope_reason: Line | None = told(
        "Why it was not a full tear-off.", example="sound single layer", readers=ALL
    )
    layers_found: Count | None = told("Layers of old covering found.", example="1", readers=ALL)
    layers_removed: Count | None = told(
        "Layers of old covering taken off.", example="1", readers=ALL
    )
    old_covering: Line | None = told(
        "What the old covering was.", example="three-tab shingles", readers=ALL
    )
    old_covering_kind: OldCoveringWord | None = told(
        "Kind of the old covering; a recover and old asbestos-cement depend on it.",
        example="asphalt shingles",
        readers=ALL,
    )
    old_covering_state: OldStateWord | None = told(
        "State of the old covering, where the new one lies on it.", example="sound", readers=ALL
    )
    old_covering_psf: Number | None = told(
        "Weight of the old covering that stayed, where it is not one layer of asphalt shingles.",
        example="3",
        unit="psf",
        readers=ALL,
    )
    asbestos_survey: Signed | None = told(
        "Who surveyed the old covering for asbestos before it was touched, and when.", readers=ALL
    )
    supervised_by: Line | None = told(
        "Who supervised; from the company's crews where blank.", example="Ida Torvik", readers=ALL
    )
    crew: tuple[Name, ...] = told(
        "The crews that did the work, by their names at the company, parted by commas.",
        readers=ALL,
        default=(),
        repeats=True,
    )
    crew_lead: Line | None = told(
        "Who led the crew; from the company's crews where blank.",
        example="Jens Aberg",
        readers=ALL,
    )
    completion_signed_on: Day | None = told(
        "When the owner signed that the work is complete.",
        example="2026-09-21",
        unit="date",
        readers=ALL,
    )


class Job(Model):
    """The record of one job, as typed in `job.yaml`."""

    record: Count = told("Version of this record form.", example="1", readers=ALL, default=...)
    job: JobHead = told("The job.", readers=ALL, default=...)
    owners: tuple[Owner, ...] = told("The owners.", readers=ALL, default=())
    insurance: Insurance | None = told("The insurer.", readers=PRICES)
    building: Building | None = told("The building.", readers=ALL)
    slopes: tuple[Slope, ...] = told("The slopes.", readers=ALL, default=())
    decks: tuple[Deck, ...] = told("The decks.", readers=ALL, default=())
    repairs: tuple[Repair, ...] = told("Repairs of the deck.", readers=ALL, default=())
    deliveries: tuple[Delivery, ...] = told("Deliveries.", readers=ALL, default=())
    work: tuple[WorkDay, ...] = told("The work log, day by day.", readers=ALL, default=())
    off_and_on: tuple[OffAndOn, ...] = told(
        "What stood on the roof and was taken off for the work.", readers=ALL, default=()
    )
    installation: Installation | None = told("The installation.", readers=ALL)
    after_work: AfterWork | None = told("What was looked at after the work.", readers=ALL)
    permit: Permit | None = told("The permit.", readers=ALL)
    warranties: tuple[Warranty, ...] = told(
        "The maker's warranties.", readers=ALL, default=(), repeats=True
    )
    money: MoneyRecord | None = told("The money.", readers=PRICES)
    papers: tuple[Paper, ...] = told(
        "Papers whose file name does not say what they are.", readers=ALL, default=()
    )
    notes: tuple[Line, ...] = told(
        "Notes for the office.", readers=frozenset({Edition.OFFICE}), default=()
    )
