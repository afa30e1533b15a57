"""Smaller sums that single rules rest on: permit, lead record, moisture, valleys, chimneys, steep slopes.

In: a case and the known events. Out: `Details` and figures. Must not know a rule.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from dossier.assess.old_roof import OldRoof, old_roof
from dossier.assess.results import Event, Figure
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.said import Count, Number, Said, say
from dossier.trade import deck
from dossier.trade.deadlines import (
    Deadline,
    PermitCheck,
    check_pamphlet,
    check_permit_gap,
    lead_record_due,
)
from dossier.trade.fasteners import STEEP_ABOVE_PITCH_IN_12
from dossier.trade.flashing import cricket_required, valley_faults
from dossier.trade.places import distance
from dossier.words import DeckKind, InspectionResult, PermitClosing, StartEvent


@dataclass(frozen=True)
class Moisture:
    """One deck's reading against the most it may hold when it is covered."""

    path: str
    kind: DeckKind
    reading_pct: Fraction
    most_pct: int
    check: deck.MoistureCheck


@dataclass(frozen=True)
class Details:
    """What single rules rest on.

    permit_from: the day the permit's time counts from. permit_closed: whether the permit is closed and the record
    of that can be true: after the work, not to come, its final inspection passed by then. pamphlet: whether the
    lead pamphlet came in time; None where a day is not on record. crickets: paths of the chimneys that need one.
    steep: labels of the slopes above 21:12.
    """

    permit_from: date | None
    permit_gap: PermitCheck | None
    permit_closed: bool
    pamphlet: str | None
    old_roof: OldRoof
    lead_due: Deadline | None
    moisture: tuple[Moisture, ...]
    valley_faults: tuple[Said, ...]
    crickets: frozenset[str]
    steep: tuple[str, ...]


def details(case: Case, events: Mapping[StartEvent, Event], today: date) -> Details:
    """Return the smaller sums of one case."""
    counted, gap = _permit(case)
    completed = events[StartEvent.COMPLETION_SIGNED].day or case.last_day_of_work()
    invoiced = events[StartEvent.FINAL_INVOICE].day
    installation = case.job.installation
    method = installation.valley_method if installation else None
    width = installation.valley_lining_in if installation else None
    return Details(
        permit_from=counted,
        permit_gap=gap,
        permit_closed=_permit_closed(case, today),
        pamphlet=_pamphlet(case),
        old_roof=old_roof(case),
        lead_due=lead_record_due(completed, invoiced) if completed else None,
        moisture=tuple(_moisture(case)),
        valley_faults=valley_faults(method.value, width) if method and width else (),
        crickets=frozenset(_crickets(case)),
        steep=tuple(
            slope.label
            for slope in case.job.slopes
            if slope.pitch is not None and slope.pitch.rise_in_12 > STEEP_ABOVE_PITCH_IN_12
        ),
    )


def _permit(case: Case) -> tuple[date | None, PermitCheck | None]:
    permit, began = case.job.permit, case.first_day_of_work()
    if permit is None or permit.issued is None or began is None:
        return None, None
    counted = permit.issued
    if permit.extended_on is not None and permit.extended_on <= began:
        counted = max(counted, permit.extended_on)
    return counted, check_permit_gap(counted, began, case.locality.lapses_after_days)


def _permit_closed(case: Case, today: date) -> bool:
    permit, last = case.job.permit, case.last_day_of_work()
    closed = permit.closed_on if permit else None
    if permit is None or closed is None or closed > today or (last is not None and closed < last):
        return False
    finals = [one for one in permit.inspections if "final" in one.kind.lower().split()]
    asked = case.locality.closing is PermitClosing.INSPECTION and any(
        "final" in kind.lower().split() for kind in case.locality.inspections
    )
    passed = [one for one in finals if one.result is InspectionResult.PASSED]
    in_time = any(one.on is None or one.on <= closed for one in passed)
    return in_time or (not asked and not finals)


def _pamphlet(case: Case) -> str | None:
    dust = case.job.building.lead_dust if case.job.building else None
    given = dust.pamphlet.on if dust and dust.pamphlet else None
    began = case.first_day_of_work()
    return None if given is None or began is None else check_pamphlet(given, began)


def _moisture(case: Case) -> Iterator[Moisture]:
    for number, one in enumerate(case.job.decks):
        kind = one.kind_now
        if one.moisture_pct is None or kind is None:
            continue
        board = kind is DeckKind.BOARD
        yield Moisture(
            path=f"decks.{number}.moisture_pct",
            kind=kind,
            reading_pct=one.moisture_pct,
            most_pct=deck.LUMBER_MOISTURE_PCT if board else deck.PANEL_MOISTURE_PCT,
            check=deck.check_moisture(one.moisture_pct, kind.value),
        )


def _crickets(case: Case) -> Iterator[str]:
    for number, slope in enumerate(case.job.slopes):
        for index, chimney in enumerate(slope.chimneys):
            width = chimney.width_in
            if width is not None and cricket_required(width, bool(chimney.at_ridge)):
                yield f"slopes.{number}.chimneys.{index}"


def feet_from_house(case: Case, facts: Facts) -> Mapping[str, Fraction]:
    """Return how far from the house each photo was taken, in feet, where both places are on record."""
    house = case.job.job.place
    if house is None:
        return {}
    at = (house.latitude_deg, house.longitude_deg)
    return {
        file: distance(at, fact.place).feet
        for file, fact in facts.photos.items()
        if fact.place is not None
    }


def detail_figures(case: Case, found: Details) -> Iterator[Figure]:
    """Yield the smaller sums that are figures."""
    gap = found.permit_gap
    if gap is not None and found.permit_from is not None:
        issued = case.where("permit.issued")
        result = say(gap.verdict)
        if gap.days is not None and gap.days < 0:
            early = Count(-gap.days, "day")
            result = say("work began {early} before the permit was issued", early=early)
        elif gap.days is not None:
            result = say("{days}, {verdict}", days=Count(gap.days, "day"), verdict=result)
        yield Figure(
            "permit.gap",
            say("Days from the permit to the work"),
            result,
            gap.working,
            (("permit counted from", found.permit_from, issued),),
        )
    for one in found.moisture:
        yield Figure(
            one.path,
            say("Moisture of the deck, {kind}", kind=one.kind),
            say(one.check.verdict),
            one.check.working,
            (("reading", Number(one.reading_pct, "%"), case.where(one.path)),),
        )
    dust = case.job.building.lead_dust if case.job.building else None
    if dust is not None and dust.painted_sqft and found.lead_due is not None:
        where = case.where("building.lead_dust")
        yield Figure(
            "lead.due",
            say("Last day to give the owner the renovation-dust record"),
            found.lead_due.due_on,
            found.lead_due.working,
            (("painted surface", Number(dust.painted_sqft, "sq ft"), where),),
        )
