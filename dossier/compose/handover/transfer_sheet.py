"""The sheet that a seller and a buyer fill in at the sale, so that coverage passes in time.

In: a case and its assessment. Out: a `TransferSheet` of ready-to-print strings, with blanks for what only the
day of the sale can tell. Must not promise: the printed terms and the warrantor decide. The last day for a notice
is counted from a day that nobody knows yet, so the sheet prints how to find it from the day written in.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from dossier.assess.results import Assessment, CoverageLine
from dossier.case.case import Case
from dossier.compose.parts.claims_and_sales import PassingOn, passing_on
from dossier.compose.parts.coverage_pages import falls_before, kinds_words, lines_of, lines_of_each
from dossier.compose.parts.first_page import keeps_nothing
from dossier.compose.parts.levels import event_words, registration_numbers
from dossier.compose.parts.shared import Label, Pair, day, in_clause
from dossier.terms.coverage import Transfer
from dossier.values import listed, plural, write_date
from dossier.words import MetBy, StartEvent

_LONGEST_DAYS = 300
"""A longer time for notice is told in words only: a list by months would run past the year."""

_A_COMMON_YEAR = 2025
"""Any year without a 29 February, before another such year; the list holds for every year."""

_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)

LEAP_YEARS = (
    "If a 29 February lies after the day written in and not after the last day found, the last day is one day "
    "earlier. A closing on 29 February counts like one on 28 February."
)

_MET = {
    MetBy.SENT: "Last day to send the notice",
    MetBy.RECEIVED: "Last day on which the notice must have come in",
    MetBy.ACCEPTED: "Last day on which the notice must have been accepted",
}


@dataclass(frozen=True)
class Blank:
    """A line to write on. label: what goes there. hint: how it is found, empty where that is plain."""

    label: str
    hint: str


@dataclass(frozen=True)
class TransferRow:
    """One coverage at the sale. blank: the last day, to be written in; None where no notice has a time."""

    title: str
    blank: Blank | None
    facts: tuple[Pair, ...]


@dataclass(frozen=True)
class DayRule:
    """How the last day follows from a closing in one month. sum: what is added to the day's number."""

    month: str
    on: str
    last_month: str
    sum: str


@dataclass(frozen=True)
class DayRules:
    """The list for one number of days, in two halves that stand side by side."""

    title: str
    halves: tuple[tuple[DayRule, ...], ...]


@dataclass(frozen=True)
class TransferSheet:
    """The sheet, ready to print but for its blanks."""

    how: str
    known: tuple[Pair, ...]
    blanks: tuple[Blank, ...]
    rows: tuple[TransferRow, ...]
    rules: tuple[DayRules, ...]
    leap_years: str


def transfer_sheet(
    case: Case, assessment: Assessment, closing: date | None = None
) -> TransferSheet | None:
    """Return the sheet of one roof; None where no coverage is on record that passes to a buyer.

    closing: the day of the sale where it is known; what ended before it is not offered to the buyer.
    """
    first = {key: lines[0] for key, lines in lines_of_each(assessment).items()}
    passing = passing_on(case, assessment)
    own = case.company.workmanship.title if case.company.workmanship else None
    rows = tuple(
        _row(
            one,
            first[one.title_key],
            assessment,
            closing,
            case.company.name if one.title_key == (own, own) else "the claims desk",
        )
        for one in passing
        if (transfer := first[one.title_key].transfer) is not None and transfer.passes
    )
    if not rows:
        return None
    counts = sorted(
        {
            line.transfer.within_days
            for line in assessment.coverages
            if line.transfer is not None and line.transfer.passes and line.transfer.within_days
        }
    )
    return TransferSheet(
        how=_how(rows),
        known=(
            Pair("House", case.job.job.address),
            Pair("Roof finished", day(case.last_day_of_work())),
            Pair("Laid by", f"{case.company.name}, job {case.job.job.number}"),
            Pair(
                "Registration number",
                registration_numbers(result.asked for result in assessment.asked),
            ),
        ),
        blanks=(
            Blank(Label.CLOSING, "the day on which the sale is completed"),
            Blank("Seller", ""),
            Blank("Buyer", ""),
            Blank("How to reach the buyer", ""),
            Blank("Signed by the seller", "with the day"),
            Blank("Signed by the buyer", "with the day"),
        ),
        rows=rows,
        rules=tuple(
            DayRules(f"{plural(days, 'day')} from the closing", _halves(day_rules(days)))
            for days in counts
            if days <= _LONGEST_DAYS
        ),
        leap_years=LEAP_YEARS,
    )


def _row(
    one: PassingOn, line: CoverageLine, assessment: Assessment, closing: date | None, ask: str
) -> TransferRow:
    transfer = line.transfer
    assert transfer is not None
    blank = None
    if transfer.within_days is not None:
        event = event_words(transfer.counted_from or StartEvent.CLOSING)
        found = f"{plural(transfer.within_days, 'day')} after {event}"
        hint = f"{found}, found in the list" if transfer.within_days <= _LONGEST_DAYS else found
        blank = Blank(_MET[transfer.met_by], f"{hint}{in_clause(transfer.clause)}")
    lines = [
        other
        for other in lines_of(assessment, (line.title, line.document))
        if not _over_by(other.next_owner_ends, closing)
    ]
    late = _late(transfer, [other.part.part.value for other in lines], ask)
    facts = _labelled(one.facts, Label.PASSES_ON)
    if line.owner_kinds:
        facts.append(Pair("Only for", kinds_words(line.owner_kinds)))
    # Where the sale is known and the terms let one pass, no later sale is left to speak of.
    if line.last_sale is not None and (closing is None or transfer.times != 1):
        facts.append(
            Pair("Not after", f"A closing after {write_date(line.last_sale)} passes nothing on.")
        )
    if lines:
        facts.append(Pair("The buyer then has", _next_owner(lines)))
    labels = (Label.GIVEN_BY, Label.NOTICE_HOLDS, Label.SEND_TO, Label.NOT_A_SALE, Label.COST)
    facts += [pair for label in labels for pair in _labelled(one.facts, label)]
    if lines:
        facts.append(Pair("If the notice is late", late))
    return TransferRow(one.title, blank, tuple(facts))


def _labelled(facts: Sequence[Pair], label: Label) -> list[Pair]:
    return [pair for pair in facts if pair.label is label]


def _over_by(ends: date | None, closing: date | None) -> bool:
    return ends is not None and closing is not None and ends < closing


def _next_owner(lines: list[CoverageLine]) -> str:
    """Return each part with its last day for a buyer, parts of one day counted together."""
    by_day: dict[date | None, list[str]] = {}
    for line in lines:
        by_day.setdefault(line.next_owner_ends, []).append(line.part.part.value)
    parts = [
        f"{listed(names)}: {f'to {write_date(ends)}' if ends else 'no last day on record'}"
        for ends, names in sorted(by_day.items(), key=lambda pair: pair[0] or date.max)
    ]
    fall = [line.part.part.value for line in lines if falls_before(line.part, line.transfer)]
    falls = f" The share paid for {listed(fall)} falls as the coverage pages say." if fall else ""
    return f"{'; '.join(parts)}.{falls}"


def _late(transfer: Transfer, parts: list[str], ask: str) -> str:
    """Return what a buyer is left with after a late notice; the terms' own words are quoted as theirs."""
    if not transfer.if_late:
        return (
            "Count on no coverage for the buyer. The terms as typed in here keep nothing without a notice in "
            f"time, so none of this: {listed(parts)}. Ask {ask} all the same, in writing."
        )
    if keeps_nothing(transfer):
        return f"The buyer has no coverage. The terms say: “{transfer.if_late}”."
    return f"The terms say: “{transfer.if_late}”."


def _how(rows: Sequence[TransferRow]) -> str:
    """Return how many copies the sheet needs: one for each who must have notice, and one to keep."""
    to = {pair.text for row in rows for pair in _labelled(row.facts, Label.SEND_TO)}
    copies = "one copy"
    if len(to) > 1:
        copies = f"one copy for each of the {len(to)} who must have notice"
    return (
        f"Fill in {copies}, and send it with what that notice must hold. Keep another, with the proof that each "
        "was sent. If the one who promises prints a form of its own, use that one."
    )


def day_rules(days: int) -> tuple[DayRule, ...]:
    """Return how the last day follows from each day of a year, a row for each run of days with one sum.

    days: from 1 to 300, the day after the closing being day 1 and the last one included. Holds for years
    without a 29 February in between; `LEAP_YEARS` says what changes there.
    """
    runs: list[tuple[date, date, int]] = []
    for number in range(365):
        closing = date(_A_COMMON_YEAR, 1, 1) + timedelta(days=number)
        last = closing + timedelta(days=days)
        more = last.day - closing.day
        begun = runs[-1] if runs else None
        alike = begun is not None and (begun[0].month, begun[2]) == (closing.month, more)
        if begun is not None and alike:
            runs[-1] = (begun[0], closing, more)
        else:
            runs.append((closing, closing, more))
    return tuple(_day_rule(first, last, more, days) for first, last, more in runs)


def _halves(rules: tuple[DayRule, ...]) -> tuple[tuple[DayRule, ...], ...]:
    second = _MONTHS[6:]
    return (
        tuple(rule for rule in rules if rule.month not in second),
        tuple(rule for rule in rules if rule.month in second),
    )


def _day_rule(first: date, last: date, more: int, days: int) -> DayRule:
    one_day = first == last
    falls = first + timedelta(days=days)
    word = "the same number" if more == 0 else f"{'plus' if more > 0 else 'minus'} {abs(more)}"
    if one_day:
        word = f"it is the {falls.day}{_ending(falls.day)}"
    next_year = " of the next year" if falls.year > first.year else ""
    return DayRule(
        month=_MONTHS[first.month - 1],
        on=str(first.day) if one_day else f"{first.day} to {last.day}",
        last_month=f"{_MONTHS[falls.month - 1]}{next_year}",
        sum=word,
    )


def _ending(number: int) -> str:
    if 10 < number < 14:
        return "th"
    return {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
