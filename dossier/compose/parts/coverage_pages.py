"""Every coverage in plain words: what holds now, what holds once confirmed, what ends it.

In: a case and its assessment. Out: frozen rows of ready-to-print strings. Must not promise: the printed
terms and the warrantor decide, and a level that is not confirmed is never said to hold.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dossier.assess.claim import Basis
from dossier.assess.results import AskedResult, Assessment, CoverageLine, Met, Standing
from dossier.assess.shares import falling
from dossier.case.case import Case
from dossier.compose.parts.shared import (
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
from dossier.words import Cap, MonthRounding, OwnerKind, Proration, StartEvent

DECIDES = "By the printed terms and this record; the warrantor decides."

_EVENTS = {
    StartEvent.CONTRACT: "the day of the contract",
    StartEvent.ORDER: "the day the warranty was ordered",
    StartEvent.LAST_SHINGLE: "the day the last shingle was laid",
    StartEvent.COMPLETION_SIGNED: "the day the owner signed that the work is complete",
    StartEvent.FINAL_INVOICE: "the day of the final invoice",
    StartEvent.PAID_IN_FULL: "the day the job was paid in full",
    StartEvent.CLOSING: "the closing of the sale",
    StartEvent.DISCOVERY: "the day the damage is found",
}

_TO_COME = {
    StartEvent.ORDER: "the day the warranty is ordered",
    StartEvent.LAST_SHINGLE: "the day the last shingle is laid",
    StartEvent.COMPLETION_SIGNED: "the day the owner signs that the work is complete",
    StartEvent.PAID_IN_FULL: "the day the job is paid in full",
}


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

_WOULD = {
    "Adds": "Would add",
    "Covers": "Would cover",
    "Extends": "Would extend",
    "Gives": "Would give",
    "Pays": "Would pay",
    "Promises": "Would promise",
}
"""First words of a level's summary, and what they become where the level does not hold."""


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
    """One coverage. state: a few words on whether it holds now. refs: its number, where there is an index."""

    title: str
    document: str
    state: str
    holds_now: bool
    facts: tuple[Pair, ...]
    rows: tuple[PartRow, ...]
    refs: tuple[Ref, ...] = ()


@dataclass(frozen=True)
class LevelWords:
    """Where the warranty asked for stands. short: for the first page. sentences: in full.

    name: of the statement that it is registered. refs: its number, where the document has an index and it is.
    """

    maker: str
    level: str
    document: str
    short: str
    registration: str
    sentences: tuple[str, ...]
    name: str
    refs: tuple[Ref, ...] = ()


@dataclass(frozen=True)
class EndsGroup:
    """What, by one document, ends coverage."""

    document: str
    says: tuple[Pair, ...]


def event_words(event: StartEvent) -> str:
    """Return an event as a reader would say it."""
    return _EVENTS[event]


def event_to_come(event: StartEvent) -> str:
    """Return an event as a reader would say it while the record does not show that it has been."""
    return _TO_COME.get(event, _EVENTS[event])


def level_words(case: Case, assessment: Assessment) -> tuple[LevelWords, ...]:
    """Return, for every warranty asked for, where it stands."""
    return tuple(_level(case, result, assessment) for result in assessment.asked)


def confirmed(result: AskedResult) -> bool:
    """Return whether the level is earned and nothing of its registration is open, by the record."""
    warranty = result.asked.warranty
    told = warranty.accepted_on or warranty.confirmation or warranty.certificate_file
    registered = result.level.level.registration is None or bool(told)
    return result.level.standing is Standing.EARNED and registered


def _level(case: Case, result: AskedResult, assessment: Assessment) -> LevelWords:
    sheet, level = result.asked.sheet, result.level.level
    fallback = result.in_force if result.in_force is not level else None
    begins = result.in_force.coverage.starts
    begun = assessment.events[begins].day is not None
    sentences = [_summary(level.summary, holds=confirmed(result))] if level.summary else []
    sentences.append(_asked_words(result))
    against = _stands_against(result)
    sentences += [against] if against else []
    if fallback is not None:
        holds = "What holds now is"
        if not begun:
            holds = f"From {event_to_come(begins)} ({NOT_ON_RECORD}), what holds is"
        if result.level.standing is Standing.UNCONFIRMED:
            holds = "If it was not registered, what holds is"
        sentences.append(f"{holds} the {fallback.level} level. {DECIDES}")
        if not _all_met(result, fallback.level):
            sentences.append(
                f"The record does not show that every condition of the {fallback.level} level is met."
            )
    kinds = level.coverage.owner_kinds
    owner = case.job.owners[0].kind if case.job.owners else None
    if kinds and owner is not None and owner not in kinds:
        meant = listed([kind.value for kind in kinds], "or")
        sentences.append(
            f"The terms write this level for owners of the kind {meant}; the owner on record is of the "
            f"kind {owner.value}."
        )
    return LevelWords(
        maker=sheet.maker,
        level=level.level,
        document=f"{sheet.title}, {document_words(sheet)}",
        short=_short(result, begun),
        registration=registration_words(result),
        sentences=tuple(sentences),
        name=f"registration.{result.asked.path}",
    )


def _summary(says: str, *, holds: bool) -> str:
    """Return what a level is for; said as what it would be, where it does not hold."""
    text = sentence(says)
    if holds:
        return text
    first, _, rest = text.partition(" ")
    return f"{_WOULD[first]} {rest}" if first in _WOULD else f"If it holds: {text}"


def _short(result: AskedResult, begun: bool) -> str:
    """Return what holds in a few words, for the first page. begun: its start is on record."""
    level = result.level.level
    if result.level.standing is Standing.UNCONFIRMED:
        other = f", else the {result.in_force.level} level" if result.in_force is not level else ""
        return f"the {level.level} level if {result.asked.sheet.maker} has it registered{other}"
    if result.in_force is not level:
        held = result.in_force.level
        return f"the {held} level holds now" if begun else f"the {held} level, once it has started"
    if confirmed(result):
        return f"the {level.level} level holds now"
    if result.level.standing is Standing.EARNED:
        return f"the {level.level} level is met on record, and its confirmation is not on record"
    return f"the {level.level} level is not confirmed, and the terms name none in its place"


def _asked_words(result: AskedResult) -> str:
    """Return in a sentence or two whether the level asked for can be counted on."""
    maker, level = result.asked.sheet.maker, result.level.level.level
    if confirmed(result):
        return f"The {level} level holds now. {DECIDES}"
    if result.level.standing is Standing.EARNED:
        return (
            f"Every condition of the {level} level is met on record, and the record holds no "
            f"confirmation by {maker} yet. {DECIDES}"
        )
    if result.level.standing is Standing.LOST:
        return (
            f"The {level} level was asked for. The record does not show that its conditions and its "
            "deadline were kept, so this document does not count on it."
        )
    if result.level.standing is Standing.UNCONFIRMED:
        return (
            f"The {level} level holds only if {maker} has this address registered, which this record does "
            f"not show. Ask {maker}."
        )
    return (
        f"The {level} level is asked for and not confirmed. It holds once {maker} confirms it; until "
        "then this document does not count on it."
    )


_NOT_TO_BE_MENDED = (
    "same_maker",
    "counted_accessories",
    "certification",
    "full_tear_off",
    "nails_per_shingle",
    "starter_at",
)
"""Tests of how the roof was built. Those of papers and payments stay out of an owner's sentences: they may
tell what is withheld."""


def _stands_against(result: AskedResult) -> str:
    """Return what of the roof as built a lost level fails by, in a sentence; empty where nothing does."""
    if result.level.standing is not Standing.LOST:
        return ""
    found = [
        leaf.because
        for condition in result.level.conditions
        for leaf in condition.leaves
        if leaf.met is Met.NOT_MET and leaf.condition.test in _NOT_TO_BE_MENDED
    ]
    return f"What stands against it: {'; '.join(map(str, dict.fromkeys(found)))}." if found else ""


def document_words(sheet: TermsSheet) -> str:
    """Return the number and edition of a terms sheet's printed document."""
    number = f"document {sheet.document}, " if sheet.document else ""
    return f"{number}edition {sheet.edition}"


def _all_met(result: AskedResult, level: str) -> bool:
    judged = next((other for other in result.others if other.level.level == level), None)
    return judged is None or all(condition.met is Met.MET for condition in judged.conditions)


def was_due(result: AskedResult) -> str:
    """Return the last day of a registration as the end of a sentence; empty where it cannot be told."""
    deadline = result.level.deadline
    if deadline is None or deadline.last_day is None:
        return ""
    return f"; its last day was {write_date(deadline.last_day)}"


def registration_words(result: AskedResult) -> str:
    """Return where the registration stands, in one or two plain sentences."""
    warranty, sheet = result.asked.warranty, result.asked.sheet
    deadline = result.level.deadline
    if result.level.level.registration is None:
        return "By its terms this level need not be registered."
    if warranty.accepted_on or warranty.confirmation:
        number = f", confirmation number {warranty.confirmation}" if warranty.confirmation else ""
        when = f" on {write_date(warranty.accepted_on)}" if warranty.accepted_on else ""
        return f"Registered: {sheet.maker} accepted it{when}{number}."
    if warranty.received_on:
        return (
            f"{sheet.maker} received the registration on {write_date(warranty.received_on)}; "
            "no confirmation is on record."
        )
    if warranty.submitted_on:
        return (
            f"The registration was sent on {write_date(warranty.submitted_on)}; "
            "no confirmation is on record."
        )
    if result.level.standing is Standing.UNCONFIRMED:
        return f"No confirmation that it was registered is on record{was_due(result)}."
    if deadline is None or deadline.last_day is None:
        return "Not registered on the day this was printed; its last day cannot be told yet."
    if result.level.standing is Standing.LOST:
        passed = f" Its last day was {write_date(deadline.last_day)}." if deadline.passed else ""
        return f"Not registered on the day this was printed.{passed}"
    word = {"sent": "be sent to", "accepted": "be accepted by"}.get(deadline.met_by, "reach")
    return (
        f"Not registered on the day this was printed. The registration must {word} "
        f"{sheet.maker} by {write_date(deadline.last_day)}."
    )


def blocks(assessment: Assessment) -> tuple[CoverageBlock, ...]:
    """Return every coverage, those that hold now first."""
    groups: dict[tuple[str, str], list[CoverageLine]] = {}
    for line in assessment.coverages:
        groups.setdefault((line.title, line.document), []).append(line)
    found = []
    for (title, document), lines in groups.items():
        first = lines[0]
        state, now = _state(assessment, title, document)
        if now and first.starts is None:
            state = "its start is not on record"
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
        found.append(CoverageBlock(title, document, state, now, facts, rows))
    return tuple(sorted(found, key=lambda block: not block.holds_now))


def _state(assessment: Assessment, title: str, document: str) -> tuple[str, bool]:
    for result in assessment.asked:
        if result.asked.sheet.title == document and title == f"{result.level.level.level} level":
            if confirmed(result):
                return "holds now", True
            if result.level.standing is Standing.EARNED:
                return "met on record, confirmation not on record", True
            if result.level.standing is Standing.UNCONFIRMED:
                return Basis.IF_REGISTERED.value, False
            return f"only once {result.asked.sheet.maker} confirms it", False
        if (
            result.level.standing is Standing.UNCONFIRMED
            and result.asked.sheet.title == document
            and title == f"{result.in_force.level} level"
        ):
            return Basis.IF_NOT_REGISTERED.value, False
    return "holds now", True


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
            groups.append(EndsGroup(f"{sheet.title}, {document_words(sheet)}", says))
    own = case.company.workmanship
    if own is not None and own.ends_coverage:
        says = tuple(Pair("", sentence(text)) for text in own.ends_coverage)
        groups.append(EndsGroup(own.title, says))
    return tuple(groups)


def sheets_of(assessment: Assessment) -> tuple[TermsSheet, ...]:
    """Return the terms sheets of the warranties asked for, each once."""
    seen: dict[tuple[str, str], TermsSheet] = {}
    for result in assessment.asked:
        sheet = result.asked.sheet
        seen.setdefault((sheet.title, sheet.edition), sheet)
    return tuple(seen.values())
