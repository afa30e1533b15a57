"""Warranty levels: earned, still open, lost; and what each coverage runs to.

In: a case, facts, figures, today. Out: `AskedResult`s and `CoverageLine`s. Must not print.
"""

from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction

from dossier.assess.calendar import registration_deadline
from dossier.assess.conditions import cut_and_barred, judge
from dossier.assess.given import Given
from dossier.assess.results import (
    AskedResult,
    ConditionResult,
    CoverageLine,
    Deadline,
    Event,
    LevelResult,
    Met,
    SlopeResult,
    Standing,
)
from dossier.case.case import AskedWarranty, Case, Material
from dossier.evidence.facts import Facts
from dossier.terms.coverage import Coverage, Part, Transfer
from dossier.terms.sheet import Level, TermsSheet
from dossier.trade.months import add_months
from dossier.trade.ventilation import SpaceCheck
from dossier.words import Proration, StartEvent

_FIXED = (
    "same_maker",
    "counted_accessories",
    "certification",
    "full_tear_off",
    "nails_per_shingle",
    "starter_at",
)
"""Tests that nothing done after the roof is finished can change; the rest can still be mended."""


def asked_results(
    case: Case,
    facts: Facts,
    slopes: tuple[SlopeResult, ...],
    attics: tuple[SpaceCheck, ...],
    known: Mapping[StartEvent, Event],
    today: date,
) -> tuple[AskedResult, ...]:
    """Return every warranty the job asks for, with all levels of its sheet."""
    results: list[AskedResult] = []
    for asked in case.asked:
        if asked.level is None:
            continue
        given = Given(case, facts, asked, asked.sheet.maker, slopes, attics)
        levels = {
            level.level: _level(given, asked, level, number, known, today)
            for number, level in enumerate(asked.sheet.levels)
        }
        own = levels[asked.level.level]
        open_levels = [result for result in levels.values() if result.standing is not Standing.LOST]
        results.append(
            AskedResult(
                asked=asked,
                level=own,
                others=tuple(result for result in levels.values() if result is not own),
                in_force=_in_force(asked.sheet, asked.level, own),
                best=open_levels[-1] if open_levels else None,
            )
        )
    return tuple(results)


def _level(
    given: Given,
    asked: AskedWarranty,
    level: Level,
    number: int,
    known: Mapping[StartEvent, Event],
    today: date,
) -> LevelResult:
    conditions = judge(given, level.conditions, f"levels.{number}.conditions")
    deadline = (
        registration_deadline(asked, level.registration, known, today)
        if level.registration
        else None
    )
    return LevelResult(
        sheet=asked.sheet,
        file=asked.file,
        level=level,
        conditions=conditions,
        deadline=deadline,
        standing=_standing(conditions, deadline),
        to_do=to_do(conditions),
        spoiled_by=_spoilers(given, conditions),
    )


def _standing(conditions: tuple[ConditionResult, ...], deadline: Deadline | None) -> Standing:
    if deadline is not None and deadline.passed:
        return Standing.LOST
    if not all(can_still_be_met(condition) for condition in conditions):
        return Standing.LOST
    all_met = all(condition.met is Met.MET for condition in conditions)
    registered = deadline is None or deadline.met_on is not None
    return Standing.EARNED if all_met and registered else Standing.OPEN


def can_still_be_met(result: ConditionResult) -> bool:
    """Return whether a condition is met, or can be without taking the roof off again."""
    if result.met is not Met.NOT_MET:
        return True
    if result.parts:
        open_parts = sum(can_still_be_met(part) for part in result.parts)
        return open_parts >= _needed(result)
    return result.condition.test not in _FIXED


def _needed(result: ConditionResult) -> int:
    any_of = result.condition.any_of
    return any_of.at_least if any_of else len(result.parts)


def to_do(conditions: tuple[ConditionResult, ...]) -> tuple[ConditionResult, ...]:
    """Return the shortest list of single conditions that are still to be met.

    Of a group only as many members as it lacks, those first that are nearest: cannot tell before not met.
    """
    found: list[ConditionResult] = []
    for result in conditions:
        if result.met is Met.MET:
            continue
        if not result.parts:
            found.append(result)
            continue
        lacking = _needed(result) - sum(part.met is Met.MET for part in result.parts)
        nearest = sorted(
            (p for p in result.parts if p.met is not Met.MET and can_still_be_met(p)),
            key=lambda part: part.met is Met.NOT_MET,
        )
        found.extend(to_do(tuple(nearest[:lacking])))
    return tuple(found)


def _spoilers(given: Given, conditions: tuple[ConditionResult, ...]) -> tuple[Material, ...]:
    """Return the single products that keep a same-maker condition from being met: another's, or cut on site."""
    roles = {
        role
        for condition in conditions
        for leaf in condition.open_leaves
        if leaf.met is Met.NOT_MET
        for role in leaf.condition.same_maker
    }
    return tuple(
        material
        for material in given.case.materials
        if material.role in roles and not material.went_back and material.maker is not None
        if material.maker != given.maker or cut_and_barred(given.asked.sheet, material)
    )


def _in_force(sheet: TermsSheet, level: Level, result: LevelResult) -> Level:
    """Return the level that holds if nothing more is done."""
    if result.standing is Standing.EARNED or level.unregistered_falls_to is None:
        return level
    return sheet.level(level.unregistered_falls_to) or level


def coverage_lines(
    case: Case, asked: tuple[AskedResult, ...], known: Mapping[StartEvent, Event]
) -> tuple[CoverageLine, ...]:
    """Return the parts of every coverage: the asked level's, its fallback's, the company's own.

    A part of the asked level holds now only once the level is earned; until then its fallback's does.
    """
    lines: list[CoverageLine] = []
    for result in asked:
        level = result.level.level
        document = result.asked.sheet.title
        if result.level.standing is not Standing.LOST:
            now = result.in_force is level
            lines += _lines(level.coverage, f"{level.level} level", document, known, now)
        if result.in_force is not level:
            fallback = result.in_force
            lines += _lines(fallback.coverage, f"{fallback.level} level", document, known, True)
    if case.company.workmanship is not None:
        own = case.company.workmanship
        lines += _lines(own.coverage, own.title, own.title, known, True)
    return tuple(lines)


def _lines(
    coverage: Coverage,
    title: str,
    document: str,
    known: Mapping[StartEvent, Event],
    holds_now: bool,
) -> Iterator[CoverageLine]:
    start = known[coverage.starts].day
    transfer, last_sale_years = coverage.transfer, _last_sale_years(coverage)
    for part in coverage.parts:
        full = int(part.full_pay_years * 12)
        # A part that pays in full to its end has no separate full-pay day to print.
        to_the_end = part.method is Proration.NONE
        later = None
        if transfer is not None and transfer.passes:
            later = _next_owner_years(transfer, part)
        yield CoverageLine(
            title=title,
            promised_by=coverage.promised_by,
            part=part,
            starts=start,
            full_pay_until=None if start is None or to_the_end else add_months(start, full),
            ends=_after(start, part.term_years),
            holds_now=holds_now,
            document=document,
            transfer=transfer,
            start_event=coverage.starts,
            next_owner_ends=_after(start, later),
            last_sale=_after(start, last_sale_years),
            last_sale_years=last_sale_years,
            owner_kinds=coverage.owner_kinds,
        )


def _next_owner_years(transfer: Transfer, part: Part) -> Fraction | None:
    """Return the years from the start that a part runs for a buyer; None where the terms name no end.

    A buyer with no term of his own steps into the first owner's; a fixed one never outlasts it.
    """
    known = [one for one in (part.term_years, transfer.second_owner_years) if one is not None]
    return min(known) if known else None


def _last_sale_years(coverage: Coverage) -> Fraction | None:
    """Return the years from the start in which a sale passes anything on; None for nothing, or for no limit."""
    transfer = coverage.transfer
    if transfer is None or not transfer.passes:
        return None
    ends = [_next_owner_years(transfer, part) for part in coverage.parts]
    known = [one for one in ends if one is not None]
    # A part without an end, such as a lifetime with no term for the next owner, leaves no last day by itself.
    limits = [max(known)] if known and len(known) == len(ends) else []
    if transfer.roof_at_most_years is not None:
        limits.append(transfer.roof_at_most_years)
    return min(limits) if limits else None


def _after(start: date | None, years: Fraction | None) -> date | None:
    """Return the anniversary so many years after a start; None where one of both is not known."""
    if start is None or years is None:
        return None
    return add_months(start, int(years * 12))
