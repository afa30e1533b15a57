"""Every coverage of one roof on one day, after the sales on record, and the deadlines of a claim.

In: a case and its assessment on that day, sales, the day the damage was seen. Out: frozen values. Must not
print, and must not decide: by the printed terms and this record; the warrantor decides. Where the record
does not show whether a level was registered, the answer is given both ways.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from dossier.assess.levels import can_still_be_met, coverage_lines
from dossier.assess.passed_on import CoverageAnswer, HouseSale, answer_on_day
from dossier.assess.results import AskedResult, Assessment, Met, Standing
from dossier.case.case import Case
from dossier.said import Listed, Said, say
from dossier.terms.coverage import Coverage
from dossier.terms.sheet import Contact, TermsSheet
from dossier.trade.deadlines import deadline
from dossier.trade.months import whole_months
from dossier.words import MetBy, StartEvent


class Basis(StrEnum):
    """On what a coverage rests."""

    RECORD = "by this record"
    IF_REGISTERED = "only if the maker has it registered"
    IF_NOT_REGISTERED = "if it was not registered"


@dataclass(frozen=True)
class CoverageThen:
    """One coverage on the day asked about.

    warrantor: whom to ask, by name. sheet: None for the company's own. starts: None where not on record.
    notes: sentences on its basis. not_shown: on conditions that the record does not show as met; for the
    office alone.
    """

    title: str
    warrantor: str
    document: str
    sheet: TermsSheet | None
    coverage: Coverage
    basis: Basis
    starts: date | None
    start_event: StartEvent
    answer: CoverageAnswer
    notes: tuple[Said, ...]
    not_shown: tuple[Said, ...] = ()


@dataclass(frozen=True)
class Notice:
    """One deadline for notice of a claim.

    last_day: None where the terms name no days or the event's day is not on record. met_by: None where the
    sheet does not say.
    """

    maker: str
    document: str
    event: StartEvent
    event_on: date | None
    within_days: int | None
    last_day: date | None
    met_by: MetBy | None
    clause: str
    asks_for: str
    desk: Contact | None


def coverages_then(
    case: Case, assessment: Assessment, sales: Iterable[HouseSale], day: date
) -> tuple[CoverageThen, ...]:
    """Return every coverage on a day: of each warranty asked for, then the company's own.

    assessment: of that same day.
    """
    chain = tuple(sales)
    found: list[CoverageThen] = []
    for result in assessment.asked:
        for coverage, title, basis, notes, not_shown in _levels(result):
            start = assessment.events[coverage.starts].day
            found.append(
                CoverageThen(
                    title=title,
                    warrantor=result.asked.sheet.maker,
                    document=result.asked.sheet.title,
                    sheet=result.asked.sheet,
                    coverage=coverage,
                    basis=basis,
                    starts=start,
                    start_event=coverage.starts,
                    answer=answer_on_day(coverage, start, chain, day, result.asked.sheet.maker),
                    notes=(*notes, *_kind_notes(case, coverage, chain)),
                    not_shown=not_shown,
                )
            )
    own = case.company.workmanship
    if own is not None:
        start = assessment.events[own.coverage.starts].day
        found.append(
            CoverageThen(
                title=own.title,
                warrantor=case.company.name,
                document=own.title,
                sheet=None,
                coverage=own.coverage,
                basis=Basis.RECORD,
                starts=start,
                start_event=own.coverage.starts,
                answer=answer_on_day(own.coverage, start, chain, day, case.company.name),
                notes=_kind_notes(case, own.coverage, chain),
            )
        )
    return tuple(found)


def _levels(
    result: AskedResult,
) -> Iterator[tuple[Coverage, str, Basis, tuple[Said, ...], tuple[Said, ...]]]:
    """Yield the level asked for and the one that holds without it, each with what it rests on."""
    level, maker = result.level.level, result.asked.sheet.maker
    title = f"{level.level} level"
    fallback = result.asked.sheet.level(level.unregistered_falls_to or "")
    warranty = result.asked.warranty
    told = warranty.accepted_on or warranty.confirmation or warranty.certificate_file
    lacking = _lacking(result)
    if level.registration is None or told:
        yield level.coverage, title, Basis.RECORD, (_registered(result),), lacking
        return
    if result.level.standing is Standing.EARNED:
        says = say(
            "The registration was in time by this record; no confirmation by {maker} is on record.",
            maker=maker,
        )
        yield level.coverage, title, Basis.RECORD, (says,), lacking
        return
    fails = not _could_be_earned(result)
    if not fails:
        says = say(
            "No confirmation by {maker} that this level was registered is on record. Ask {maker} whether it "
            "has this address registered.",
            maker=maker,
        )
        yield level.coverage, title, Basis.IF_REGISTERED, (says,), lacking
    if fallback is not None:
        basis = Basis.RECORD if fails else Basis.IF_NOT_REGISTERED
        says = say(
            "Holds where the {level} level does not (by the terms of {maker}).",
            level=level.level,
            maker=maker,
        )
        yield (
            fallback.coverage,
            f"{fallback.level} level",
            basis,
            (says,),
            lacking if fails else (),
        )


def _could_be_earned(result: AskedResult) -> bool:
    return all(can_still_be_met(condition) for condition in result.level.conditions)


def told_both_ways(case: Case, assessment: Assessment) -> Assessment:
    """Return the assessment with a level that may have been registered, unknown to this record, left open.

    Years after the closing the silence of a record on a registration is no proof that there was none: what
    holds if there was, and what holds if not, both stand in the coverages then.
    """
    asked = tuple(_left_open(result) for result in assessment.asked)
    lines = coverage_lines(case, asked, assessment.events)
    return replace(assessment, asked=asked, coverages=lines)


def _left_open(result: AskedResult) -> AskedResult:
    warranty, level = result.asked.warranty, result.level
    told = warranty.accepted_on or warranty.confirmation or warranty.certificate_file
    decided = level.level.registration is None or told or level.standing is Standing.EARNED
    if decided or not _could_be_earned(result):
        return result
    return replace(result, level=replace(level, standing=Standing.UNCONFIRMED))


def _registered(result: AskedResult) -> Said:
    warranty, maker = result.asked.warranty, result.asked.sheet.maker
    if result.level.level.registration is None:
        return say("By its terms this level need not be registered.")
    number = warranty.confirmation
    numbered: Said | str = say(", confirmation number {number}", number=number) if number else ""
    if warranty.accepted_on:
        return say(
            "{maker} accepted the registration on {day}{numbered}.",
            maker=maker,
            day=warranty.accepted_on,
            numbered=numbered,
        )
    if number:
        return say("{maker} confirmed the registration{numbered}.", maker=maker, numbered=numbered)
    return say("A certificate of {maker} is on file.", maker=maker)


def _lacking(result: AskedResult) -> tuple[Said, ...]:
    """Return which conditions the record does not show as met, in a sentence; none where all are."""
    leaves = [leaf for condition in result.level.conditions for leaf in condition.leaves]
    shown = tuple(
        say("{one} ({met})", one=leaf.condition.clause or say("a condition"), met=leaf.met)
        for leaf in leaves
        if leaf.met is not Met.MET
    )
    if not shown:
        return ()
    return (say("Conditions that this record does not show as met: {shown}.", shown=Listed(shown)),)


def _kind_notes(case: Case, coverage: Coverage, sales: tuple[HouseSale, ...]) -> tuple[Said, ...]:
    owner = case.job.owners[0].kind if case.job.owners else None
    if sales or not coverage.owner_kinds or owner is None or owner in coverage.owner_kinds:
        return ()
    return (
        say(
            "The terms write it for owners of the kind {meant}; the owner on record is of the kind {kind}.",
            meant=Listed(coverage.owner_kinds, "or"),
            kind=owner,
        ),
    )


def roof_age_months(assessment: Assessment, day: date) -> int | None:
    """Return the whole months since the last shingle, or since completion; None where neither is on record."""
    events = assessment.events
    laid = events[StartEvent.LAST_SHINGLE].day or events[StartEvent.COMPLETION_SIGNED].day
    return None if laid is None or day < laid else whole_months(laid, day)


def notices(assessment: Assessment, seen_on: date | None) -> tuple[Notice, ...]:
    """Return the deadline for notice of a claim by each terms sheet of this roof, once a sheet."""
    sheets: dict[tuple[str, str], TermsSheet] = {}
    for result in assessment.asked:
        sheet = result.asked.sheet
        sheets.setdefault((sheet.title, sheet.edition), sheet)
    found = []
    for sheet in sheets.values():
        claim = sheet.claim
        event = (claim.counted_from if claim else None) or StartEvent.DISCOVERY
        event_on = seen_on if event is StartEvent.DISCOVERY else assessment.events[event].day
        within = claim.within_days if claim else None
        last = deadline(event_on, within).due_on if event_on and within is not None else None
        found.append(
            Notice(
                maker=sheet.maker,
                document=sheet.title,
                event=event,
                event_on=event_on,
                within_days=within,
                last_day=last,
                met_by=claim.met_by if claim else None,
                clause=claim.clause if claim else "",
                asks_for=claim.asks_for if claim else "",
                desk=sheet.claims_desk,
            )
        )
    return tuple(found)
