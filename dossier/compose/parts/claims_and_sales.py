"""How to claim and how coverage passes to a buyer, by the terms of this roof.

In: a case and its assessment. Out: frozen rows of ready-to-print strings. Must not promise: the printed
terms and the warrantor decide. No fee is printed, since this document is kept for decades.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dossier.assess.results import Assessment, CoverageLine
from dossier.case.case import Case
from dossier.compose.parts import care
from dossier.compose.parts.coverage_pages import blocks, lines_of, sheet_titled, sheets_of
from dossier.compose.parts.levels import (
    event_words,
    registration_numbers,
    sheet_words,
)
from dossier.compose.parts.shared import (
    NOT_ON_RECORD,
    Label,
    Pair,
    capital,
    company_lines,
    contact_lines,
    day,
    desk_for_sales,
    in_clause,
    said,
    sentence,
    years,
)
from dossier.terms.coverage import Transfer
from dossier.terms.sheet import TermsSheet
from dossier.values import listed
from dossier.words import MetBy, StartEvent

NOT_SAID = "The terms as typed in do not say"
SETTLE = "settle between seller and buyer who does, and keep the proof"

_MET_BY = {
    MetBy.SENT: "must be sent",
    MetBy.RECEIVED: "must be received",
    MetBy.ACCEPTED: "must be accepted",
}


@dataclass(frozen=True)
class PassingOn:
    """How one coverage passes to a buyer. title_key: the coverage's own title and its document."""

    title: str
    facts: tuple[Pair, ...]
    title_key: tuple[str, str]


@dataclass(frozen=True)
class ClaimDesk:
    """Where and how to claim from one warrantor."""

    title: str
    lines: tuple[str, ...]
    facts: tuple[Pair, ...]


def claim_steps(assessment: Assessment) -> tuple[str, ...]:
    """Return the steps of a claim, the notice with the days that the terms give for it."""
    notices = [
        f"to {sheet.maker} {within}"
        for sheet in sheets_of(assessment)
        if (within := notice_days(sheet, "finding the damage"))
    ]
    when = f", {listed(notices)}" if notices else " in time"
    notice = (
        f"Send the notice to the claims desk{when}, with a copy of this record. Keep a copy and the proof "
        "that it was sent."
    )
    return (*care.CLAIM_STEPS_BEFORE, notice, *care.CLAIM_STEPS_AFTER)


def notice_days(sheet: TermsSheet, discovery: str) -> str:
    """Return the days for a claim's notice with their clause; empty where the terms name none.

    discovery: what that event is called here.
    """
    if sheet.claim is None or sheet.claim.within_days is None:
        return ""
    event = sheet.claim.counted_from or StartEvent.DISCOVERY
    counted = discovery if event is StartEvent.DISCOVERY else event_words(event)
    clause = in_clause(sheet.claim.clause)
    return f"within {sheet.claim.within_days} days of {counted}{clause}"


def company_gone(case: Case) -> tuple[str, ...]:
    """Return what an owner can do where the company is no more, with what this record can show a claims desk."""
    permit = case.job.permit
    lines = [line for delivery in case.job.deliveries for line in delivery.lines]
    holds = {
        "the products": bool(lines),
        "their lots" if all(line.lots for line in lines) else "some lots": any(
            line.lots for line in lines
        ),
        "the days of the work": bool(case.job.work),
        "the permit": permit is not None and permit.number is not None,
        "the registration": any(one.warranty.confirmation for one in case.asked),
    }
    named = [what for what, there in holds.items() if there]
    send = f"Send a copy of this record: it names {listed(named)}." if named else ""
    return tuple(filter(None, (care.COMPANY_GONE_FIRST, send, *care.COMPANY_GONE)))


def claim_desks(case: Case, assessment: Assessment) -> tuple[ClaimDesk, ...]:
    """Return where to claim: the company first, then each maker."""
    company = case.company
    desks = []
    if company.workmanship is not None:
        own = [Pair("For", company.workmanship.title)]
        if company.workmanship.claim:
            own.append(Pair("How", sentence(company.workmanship.claim)))
        desks.append(ClaimDesk("The company’s own promise", company_lines(company), tuple(own)))
    for sheet in sheets_of(assessment):
        asked = [one.asked for one in assessment.asked if one.asked.sheet is sheet]
        notice = notice_days(sheet, event_words(StartEvent.DISCOVERY))
        facts = (
            Pair("For", sheet_words(sheet)),
            Pair("Notice", notice or NOT_ON_RECORD),
            Pair("What to send", said(sheet.claim.asks_for) if sheet.claim else NOT_ON_RECORD),
            Pair("Registration number", registration_numbers(asked)),
        )
        desks.append(
            ClaimDesk(f"What {sheet.maker} promises", contact_lines(sheet.claims_desk), facts)
        )
    return tuple(desks)


def passing_on(case: Case, assessment: Assessment) -> tuple[PassingOn, ...]:
    """Return, for each coverage, how it passes to a buyer of the house; what holds now first."""
    found = []
    for block in blocks(assessment):
        lines = lines_of(assessment, (block.title, block.document))
        line = lines[0]
        title = f"{line.title}, {line.promised_by}: {block.state}"
        own = case.company.workmanship
        ask = case.company.name if own and line.title == own.title else "the claims desk"
        facts = (*_transfer(lines, ask), *_send_to(case, assessment, line))
        found.append(PassingOn(title, facts, (block.title, block.document)))
    return tuple(found)


def _send_to(case: Case, assessment: Assessment, line: CoverageLine) -> Iterator[Pair]:
    """Yield where the notice goes: the company for its own coverage, else the maker's claims desk."""
    if line.transfer is None or not line.transfer.passes:
        return
    own = case.company.workmanship
    if own is not None and line.title == own.title:
        yield Pair(Label.SEND_TO, ", ".join(company_lines(case.company)))
        return
    if (sheet := sheet_titled(assessment, line.document)) is not None:
        yield Pair(Label.SEND_TO, ", ".join(desk_for_sales(sheet)) or NOT_ON_RECORD)


def _transfer(lines: Sequence[CoverageLine], ask: str) -> Iterator[Pair]:
    line, transfer = lines[0], lines[0].transfer
    if transfer is None:
        yield Pair(Label.PASSES_ON, "The terms as typed in here do not say; ask before the sale.")
        return
    clause = in_clause(transfer.clause)
    if not transfer.passes:
        yield Pair(Label.PASSES_ON, f"No, by its terms{clause}.")
        return
    yield Pair(Label.PASSES_ON, f"Yes{_times(transfer)}{clause}.")
    yield Pair("Deadline", _deadline(transfer))
    yield Pair(Label.GIVEN_BY, sentence(transfer.given_by) or f"{NOT_SAID}: {SETTLE}.")
    if transfer.asks_for:
        yield Pair(Label.NOTICE_HOLDS, sentence(transfer.asks_for))
    counted = f"counted from {day(line.starts, 'its start')}"
    if transfer.roof_at_most_years is not None:
        yield Pair(
            "Only while",
            f"the roof is at most {years(transfer.roof_at_most_years)} old, {counted}.",
        )
    if transfer.second_owner_years is not None:
        own = f"{years(transfer.second_owner_years)}, {counted} and not from the sale."
        yield Pair("Next owner has", own)
    else:
        has, unnamed = _steps_into(lines)
        if has:
            has = (
                f"{capital(has)} as long as the first owner would, {counted} and not from the sale."
            )
        yield Pair("Next owner has", f"{has} {unnamed}".strip())
    if transfer.family_is_no_sale:
        yield Pair(Label.NOT_A_SALE, "Passing to a spouse, an heir or the owner’s own trust.")
    if transfer.fee:
        yield Pair(Label.COST, _fee(transfer, ask))


def _fee(transfer: Transfer, ask: str) -> str:
    # No amount is printed here: the maker may change it, and this document is kept for decades.
    if any(letter.isdigit() for letter in transfer.fee):
        return f"The terms name a fee; ask {ask} for today’s."
    return sentence(transfer.fee)


def _deadline(transfer: Transfer) -> str:
    if transfer.within_days is None:
        return "The terms as typed in here name none; give notice at the sale."
    event = event_words(transfer.counted_from or StartEvent.CLOSING)
    return f"The notice {_MET_BY[transfer.met_by]} within {transfer.within_days} days of {event}."


def _times(transfer: Transfer) -> str:
    """Return how often a coverage passes on, after a comma; empty for no limit."""
    if transfer.times is None:
        return ""
    return ", once" if transfer.times == 1 else f", {transfer.times} times"


def ends_sooner(line: CoverageLine) -> bool:
    """Return whether a part ends sooner for the next owner than for the first."""
    transfer = line.transfer
    if transfer is None or not transfer.passes or transfer.second_owner_years is None:
        return False
    term = line.part.term_years
    return term is None or transfer.second_owner_years < term


def _steps_into(lines: Sequence[CoverageLine]) -> tuple[str, str]:
    """Return what a next owner has as long as the first, and a sentence on what has no term for him.

    For a coverage that names no term of his own. A lifetime is the first owner's, and none to step into.
    """
    lifetimes = [one.part.part.value for one in lines if one.part.lifetime]
    has = listed([one.part.part.value for one in lines if not one.part.lifetime])
    if not lifetimes:
        return has, ""
    return has, (
        f"For {listed(lifetimes)} the terms name no term for the next owner in place of a lifetime; ask "
        "before the sale."
    )


def next_owner_words(lines: Sequence[CoverageLine]) -> str:
    """Return for how long the next owner has a coverage, in a sentence or two.

    lines: the parts of one coverage that passes on, one or more.
    """
    transfer = lines[0].transfer
    assert transfer is not None
    sooner = [one for one in lines if ends_sooner(one)]
    if sooner and sooner[0].next_owner_ends is not None:
        return f"The next owner then has it to {day(sooner[0].next_owner_ends)} at most."
    if sooner and transfer.second_owner_years is not None:
        return f"The next owner then has it for at most {years(transfer.second_owner_years)} from its start."
    has, unnamed = _steps_into(lines) if transfer.second_owner_years is None else ("", "")
    if unnamed and has:
        return f"The next owner then has {has} as long as the first owner would. {unnamed}"
    return unnamed or "The next owner then has it as long as the first owner would."


def sale_words(lines: Sequence[CoverageLine]) -> str:
    """Return in which years a sale passes a coverage on, until when its notice is due, and for how long.

    lines: the parts of one coverage, one or more.
    """
    line, transfer = lines[0], lines[0].transfer
    if transfer is None:
        return "Whether it passes on at a sale the terms as typed in here do not say; ask before the sale."
    if not transfer.passes:
        return "Does not pass on at a sale, by its terms."
    return f"{_in_which_years(line, transfer)} {_deadline(transfer)} {next_owner_words(lines)}"


def _in_which_years(line: CoverageLine, transfer: Transfer) -> str:
    times = _times(transfer)
    if line.last_sale is not None:
        return f"A sale up to {day(line.last_sale)} passes it on{times}."
    if line.last_sale_years is not None:
        return f"A sale passes it on{times}, up to {years(line.last_sale_years)} from its start."
    return f"A sale passes it on{times}, as long as it runs."
