"""Where each warranty level asked for stands, in plain words, and the days its coverage starts from.

In: a case and its assessment. Out: frozen rows of ready-to-print strings. Must not promise: the printed
terms and the warrantor decide, and a level that is not confirmed is never said to hold.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from dossier.assess.results import AskedResult, Assessment, Met, Standing
from dossier.case.case import AskedWarranty, Case
from dossier.compose.parts.shared import NOT_CONFIRMED, NOT_ON_RECORD, Ref, sentence
from dossier.terms.sheet import TermsSheet
from dossier.values import listed, write_date
from dossier.words import StartEvent

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
    told = warranty.is_accepted or bool(warranty.certificate_file)
    registered = result.level.level.registration is None or told
    return result.level.standing is Standing.EARNED and registered


def _level(case: Case, result: AskedResult, assessment: Assessment) -> LevelWords:
    sheet, level = result.asked.sheet, result.level.level
    fallback = result.in_force if result.in_force is not level else None
    begins = result.in_force.coverage.starts
    begun = assessment.events[begins].day is not None
    sentences = (
        [_summary(level.summary, holds=confirmed(result) and not result.asked.taken_over)]
        if level.summary
        else []
    )
    sentences.append(_asked_words(result))
    over = doubt(result.asked)
    sentences += [over.strip()] if over else []
    against = _stands_against(result)
    sentences += [against] if against else []
    if fallback is not None:
        holds = "What holds now is"
        if not begun:
            holds = f"From {event_to_come(begins)} ({NOT_ON_RECORD}), what holds is"
        if result.level.standing is Standing.UNCONFIRMED:
            holds = "If it was not registered, what holds is"
        sentences.append(f"{_if_so(result, holds)} the {fallback.level} level. {DECIDES}")
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
        document=sheet_words(sheet),
        short=_if_so(result, _short(result, begun), begins="if"),
        registration=registration_words(result) + over,
        sentences=tuple(sentences),
        name=f"registration.{result.asked.path}",
    )


_IF = {"sheet": " these terms are this roof’s", "level": " this level was asked for here"}


def _if_so(result: AskedResult, says: str, begins: str = "If") -> str:
    """Return a clause, with the condition it hangs on where terms or level were taken over from another job."""
    if not result.asked.taken_over:
        return says
    return f"{begins}{_IF[result.asked.taken_over[0]]}, {says[:1].lower()}{says[1:]}"


def unsure(asked: AskedWarranty) -> str:
    """Return, for behind a level or its terms, that nobody confirmed them on this roof; else empty."""
    return f" ({NOT_CONFIRMED})" if asked.taken_over else ""


def doubt(asked: AskedWarranty) -> str:
    """Return the same as a sentence, for behind another; else empty."""
    return f" That this level is asked for here was {NOT_CONFIRMED}." if asked.taken_over else ""


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
        return f"{_if_so(result, f'The {level} level holds now')}. {DECIDES}"
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


def sheet_words(sheet: TermsSheet) -> str:
    """Return a terms sheet's printed document by its title, number and edition."""
    return f"{sheet.title}, {document_words(sheet)}"


def registration_numbers(asked: Iterable[AskedWarranty]) -> str:
    """Return the makers' numbers of these warranties, or the words for a blank."""
    return listed([n for one in asked if (n := one.warranty.confirmation)]) or NOT_ON_RECORD


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
    if warranty.is_accepted:
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
