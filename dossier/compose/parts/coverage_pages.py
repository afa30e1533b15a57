"""Every coverage in plain words: whether it holds now, what each part pays and until when, what ends it.

In: a case and its assessment. Out: frozen rows of ready-to-print strings. Must not promise: the printed
terms and the warrantor decide, and a level that is not confirmed is never said to hold.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.claim import Basis
from dossier.assess.results import Assessment, CoverageLine, LeftBySale, Standing
from dossier.assess.shares import falling
from dossier.case.case import Case
from dossier.compose.parts.levels import confirmed, event_to_come, event_words, sheet_words
from dossier.compose.parts.shared import (
    NOT_CONFIRMED,
    NOT_ON_RECORD,
    Pair,
    Ref,
    capital,
    miles_per_hour,
    sentence,
    share_words,
    years,
)
from dossier.terms.coverage import Part, Transfer
from dossier.terms.sheet import TermsSheet
from dossier.values import listed, write_date
from dossier.words import Cap, MonthRounding, OwnerKind, Proration

UNSAID = "the terms as typed in do not say; ask"

_PRICES = {
    Cap.ORIGINAL_PRICE: "what it cost when the roof was laid, even if it costs more by then",
    Cap.PRICE_TODAY: "what it costs on the day of the claim",
}

_MONTHS = {
    MonthRounding.STARTED: "a month that has begun counts as a whole one",
    MonthRounding.WHOLE: "only whole months that have gone by count",
    None: "the terms as typed in do not say; here a month that has begun counts as a whole one, which "
    "pays less",
}

_KINDS = {
    OwnerKind.LIVING_THERE: "an owner who lives there",
    OwnerKind.LANDLORD: "a landlord",
    OwnerKind.COMPANY: "a company",
    OwnerKind.TRUST: "a trust",
    OwnerKind.ASSOCIATION: "an association",
}


@dataclass(frozen=True)
class PartRow:
    """One part of a coverage."""

    part: str
    pays: str
    full_until: str
    ends: str
    falls: str
    clause: str


@dataclass(frozen=True)
class CoverageBlock:
    """One coverage. state: a few words on whether it holds now. refs: its number, where there is an index.

    sure: whether it holds by this record whatever the maker has registered, from a start that is on record.
    """

    title: str
    document: str
    state: str
    holds_now: bool
    sure: bool
    facts: tuple[Pair, ...]
    rows: tuple[PartRow, ...]
    refs: tuple[Ref, ...] = ()


@dataclass(frozen=True)
class EndsGroup:
    """What, by one document, ends coverage."""

    document: str
    says: tuple[Pair, ...]


_AFTER_SALE = {
    LeftBySale.NOTHING: ("nothing of it is left after the sale", False, False),
    LeftBySale.IF_NOTICE: ("for the new owner if notice comes in time", True, False),
    LeftBySale.SOMETHING: ("for the new owner", True, True),
    LeftBySale.CANNOT_TELL: ("whether the new owner has it cannot be told", False, False),
}
"""After a sale on record: the state in words, whether it holds now, and whether that is sure."""


def blocks(assessment: Assessment) -> tuple[CoverageBlock, ...]:
    """Return every coverage, those that hold now first."""
    found = []
    for (title, document), lines in lines_of_each(assessment).items():
        first = lines[0]
        state, now, sure = _state(assessment, title, document)
        if first.left is not None:
            words, holds, certain = _AFTER_SALE[first.left]
            # What hangs on a registration or a confirmation that nobody has hangs on it after a sale too.
            hangs = not sure and first.left is not LeftBySale.NOTHING
            state = f"{words}, {state}" if hangs else words
            now, sure = holds and now, certain and sure
        if now and first.starts is None:
            state, sure = "its start is not on record", False
        start = (
            f"{write_date(first.starts)}, {event_words(first.start_event)}"
            if first.starts
            else f"{event_to_come(first.start_event)}, which is {NOT_ON_RECORD}"
        )
        facts = (
            Pair("Promised by", first.promised_by),
            Pair("Starts", start),
            Pair("Document", document),
            *_shared_terms(lines),
        )
        rows = tuple(_part(line) for line in lines)
        found.append(CoverageBlock(title, document, state, now, sure, facts, rows))
    return tuple(sorted(found, key=lambda block: not block.holds_now))


def lines_of(assessment: Assessment, key: tuple[str, str]) -> tuple[CoverageLine, ...]:
    """Return the parts of one coverage. key: its title and its document."""
    return tuple(line for line in assessment.coverages if (line.title, line.document) == key)


def lines_of_each(assessment: Assessment) -> dict[tuple[str, str], list[CoverageLine]]:
    """Return the lines of each coverage, by its title and its document."""
    groups: dict[tuple[str, str], list[CoverageLine]] = {}
    for line in assessment.coverages:
        groups.setdefault((line.title, line.document), []).append(line)
    return groups


def _state(assessment: Assessment, title: str, document: str) -> tuple[str, bool, bool]:
    """Return the state of a coverage in words, whether it holds now, and whether that is sure."""
    for result in assessment.asked:
        own = title == f"{result.level.level.level} level"
        over = result.asked.taken_over
        if result.asked.sheet.title == document and ("sheet" in over or (over and own)):
            return NOT_CONFIRMED, False, False
        if result.asked.sheet.title == document and own:
            if confirmed(result):
                return "holds now", True, True
            if result.level.standing is Standing.EARNED:
                return "met on record, confirmation not on record", True, False
            if result.level.standing is Standing.UNCONFIRMED:
                return Basis.IF_REGISTERED.value, False, False
            return f"only once {result.asked.sheet.maker} confirms it", False, False
        if (
            result.level.standing is Standing.UNCONFIRMED
            and result.asked.sheet.title == document
            and title == f"{result.in_force.level} level"
        ):
            return Basis.IF_NOT_REGISTERED.value, False, False
    return "holds now", True, True


def _part(line: CoverageLine) -> PartRow:
    part = line.part
    pays = sentence(part.pays)
    if part.wind_mph:
        pays += f"{' ' if pays else ''}Wind up to {miles_per_hour(part.wind_mph)}."
    return PartRow(
        part=capital(part.part.value),
        pays=pays,
        full_until=_full_until(line),
        ends=_ends(line),
        falls=falls(part),
        clause=part.clause,
    )


def _full_until(line: CoverageLine) -> str:
    if line.part.method is Proration.NONE:
        return _ends(line)
    if line.full_pay_until is not None:
        return write_date(line.full_pay_until)
    return f"{years(line.part.full_pay_years)} from its start"


def _ends(line: CoverageLine) -> str:
    if line.part.lifetime:
        return "lifetime: for as long as the first owner owns the house"
    if line.ends is not None:
        return write_date(line.ends)
    term = line.part.term_years
    return NOT_ON_RECORD if term is None else f"{years(term)} from its start"


def falls(part: Part) -> str:
    """Return in words how a part's share falls after its full-pay years, with its share at some years."""
    if part.method is Proration.NONE:
        return "In full until it ends."
    if part.method is Proration.TABLE:
        steps = [f"after {s.after_years} years {share_words(s.share)}" for s in part.table]
        least = f" Never under {share_words(part.floor)}." if part.floor else ""
        return f"Falls by steps: {'; '.join(steps)}.{least}"
    fall = falling(part)
    if fall is None:
        return "In full until it ends."
    floor = share_words(fall.floor) if fall.floor else ""
    if floor and fall.drops_to <= fall.floor:
        return f"Falls to {floor} at once and stays there."
    text = f"Falls to {share_words(fall.drops_to)} at once, then month by month"
    if part.method is Proration.PRORATED_PART:
        text = "Falls month by month"
    points = [f"{share_words(share)} after {_plain_years(year)}" for year, share in fall.samples]
    if fall.ends_at_years is not None and part.method is Proration.PRORATED_PART and not floor:
        points.append(f"nothing after {years(fall.ends_at_years)}")
    told = f"{text}: {', '.join(points)}" if points else text
    if floor and fall.floor_years is not None:
        told += f"; never under {floor}, which it reaches after {years(fall.floor_years)}"
    elif floor:
        told += f"; never under {floor}"
    return f"{told}."


def falls_before(part: Part, transfer: Transfer | None) -> bool:
    """Return whether a part's share falls before it ends.

    transfer: how it passes to the next owner, whose own term may end before the fall; None for the first owner.
    """
    if part.method is Proration.NONE:
        return False
    ends = [part.term_years, transfer.second_owner_years if transfer else None]
    falls_from = part.full_pay_years
    if part.method is Proration.TABLE:
        falls_from = max(falls_from, Fraction(part.table[0].after_years))
    return all(end is None or falls_from < end for end in ends)


def _plain_years(year: int) -> str:
    return "1 year" if year == 1 else f"{year} years"


def _shared_terms(lines: list[CoverageLine]) -> Iterator[Pair]:
    """Yield for whom a coverage is, by which price it pays and how months count, said once for all its parts.

    What no sheet typed is said to be unsaid where a part falls, and left out where none does.
    """
    kinds = lines[0].owner_kinds
    if kinds:
        yield Pair("Only for", kinds_words(kinds))
    prices: dict[str, list[str]] = {}
    for line in lines:
        if line.part.cap_is_typed:
            prices.setdefault(_PRICES[line.part.cap], []).append(line.part.part.value)
        elif line.part.method is not Proration.NONE:
            prices.setdefault(UNSAID, []).append(line.part.part.value)
    if len(prices) == 1 and (UNSAID in prices or len(prices[next(iter(prices))]) == len(lines)):
        yield Pair("Price that counts", next(iter(prices)))
    elif prices:
        told = "; ".join(f"{listed(names)}: {says}" for says, names in prices.items())
        yield Pair("Price that counts", told)
    prorated = {
        line.part.rounding if line.part.rounding_is_typed else None
        for line in lines
        if line.part.method in (Proration.WHOLE_TERM, Proration.PRORATED_PART)
    }
    if prorated:
        counted = _MONTHS[prorated.pop()] if len(prorated) == 1 else "in more than one way"
        yield Pair("Counting months", counted)


def kinds_words(kinds: tuple[OwnerKind, ...]) -> str:
    """Return the kinds of owner that a coverage is for, as a reader would say them."""
    return listed([_KINDS[kind] for kind in kinds], "or")


def ends_coverage(case: Case, assessment: Assessment) -> tuple[EndsGroup, ...]:
    """Return what each document says ends coverage, with its clauses."""
    groups = []
    for sheet in sheets_of(assessment):
        if sheet.ends_coverage:
            says = tuple(Pair(one.clause, sentence(one.says)) for one in sheet.ends_coverage)
            groups.append(EndsGroup(sheet_words(sheet), says))
    own = case.company.workmanship
    if own is not None and own.ends_coverage:
        says = tuple(Pair("", sentence(text)) for text in own.ends_coverage)
        groups.append(EndsGroup(own.title, says))
    return tuple(groups)


def sheet_titled(assessment: Assessment, title: str) -> TermsSheet | None:
    """Return the terms sheet of that title, None for a promise that rests on none."""
    return next((one for one in sheets_of(assessment) if one.title == title), None)


def sheets_of(assessment: Assessment) -> tuple[TermsSheet, ...]:
    """Return the terms sheets of the warranties asked for, each once."""
    seen: dict[tuple[str, str], TermsSheet] = {}
    for result in assessment.asked:
        sheet = result.asked.sheet
        seen.setdefault((sheet.title, sheet.edition), sheet)
    return tuple(seen.values())
