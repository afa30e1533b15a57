"""What a first page copied by itself says of coverage: what is left of it, and what a sale asks for.

In: a case and its assessment, the day of printing. Out: pairs of ready-to-print strings. Must not promise: a level
that is not confirmed is not counted, and what the terms as typed in do not say is said to be unsaid.
"""

import re
from collections.abc import Iterator, Mapping
from datetime import date

from dossier.assess.results import Assessment, CoverageLine
from dossier.case.case import Case
from dossier.compose.parts.claims_and_sales import SETTLE, notice_days
from dossier.compose.parts.coverage_pages import blocks, falls_before, sheet_titled, sheets_of
from dossier.compose.parts.levels import event_to_come, event_words
from dossier.compose.parts.shared import NOT_ON_RECORD, Label, Pair, desk_for_sales
from dossier.terms.coverage import Transfer
from dossier.values import listed, plural, write_date
from dossier.words import Edition, MetBy, StartEvent

_GIVEN = {
    MetBy.SENT: "sent within {} of {} to",
    MetBy.RECEIVED: "received within {} of {} by",
    MetBy.ACCEPTED: "accepted within {} of {} by",
}


def coverage_left(
    case: Case, assessment: Assessment, edition: Edition, today: date
) -> tuple[Pair, ...]:
    """Return what is left of the makers' coverage that holds now; a buyer reads what a buyer would have.

    Empty where no maker's warranty is asked for, or where which level holds hangs on an answer of the maker.
    """
    own = _own_title(case)
    found = [
        _left(lines, state, edition, today)
        for lines, state, now in _coverages(assessment)
        if now and lines[0].title_key != own
    ]
    return (Pair(Label.MAKERS_COVERAGE, " ".join(found)),) if found else ()


def _own_title(case: Case) -> tuple[str, str] | None:
    own = case.company.workmanship
    return None if own is None else (own.title, own.title)


def _coverages(assessment: Assessment) -> Iterator[tuple[list[CoverageLine], str, bool]]:
    """Yield the parts of each coverage, its state in words, and whether it holds now."""
    for block in blocks(assessment):
        lines = [
            line for line in assessment.coverages if line.title_key == (block.title, block.document)
        ]
        yield lines, block.state, block.holds_now


def _left(lines: list[CoverageLine], state: str, edition: Edition, today: date) -> str:
    first = lines[0]
    if first.starts is None:
        event = event_to_come(first.start_event)
        return f"By this record none has begun: the {first.title} starts with {event} ({NOT_ON_RECORD})."
    named = first.title if state == "holds now" else f"{first.title} ({state})"
    if first.starts > today:
        return f"{named}: begins {write_date(first.starts)}."
    if edition is Edition.RESALE:
        if first.transfer is None:
            return f"{named}: whether a buyer has any of it the terms as typed in do not say; ask."
        if not first.transfer.passes:
            return f"{named}: does not pass to a buyer, by its terms."
        named += ", for a buyer who gives notice in time"
    spans = [(line, *_span(line, edition)) for line in lines]
    running = [(line, full, ends) for line, full, ends in spans if ends is None or ends >= today]
    if not running:
        return f"{named}: nothing of it is left."
    days = {day for _, full, ends in running for day in (full, ends) if day is not None}
    # Years counted from one start end on one day of the year, which is then said once.
    alike = len({(day.month, day.day) for day in days}) == 1
    parts = "; ".join(_part(line, full, ends, alike) for line, full, ends in running)
    each = ""
    if alike:
        each = f", each to {write_date(min(days)).rpartition(' ')[0]} of its year"
    return f"{named}: {parts}{each}."


def _span(line: CoverageLine, edition: Edition) -> tuple[date | None, date | None]:
    """Return the last day of full pay where a fall follows, and the last day of all; None for none."""
    ends = line.next_owner_ends if edition is Edition.RESALE else line.ends
    later = falls_before(line.part, line.transfer if edition is Edition.RESALE else None)
    return (line.full_pay_until if later else None), ends


def _part(line: CoverageLine, full: date | None, ends: date | None, alike: bool) -> str:
    def until(day: date) -> str:
        return str(day.year) if alike else write_date(day)

    name = line.part.part.value
    to = f" to {until(ends)}" if ends else ""
    if full is None:
        return f"{name}{to}" if to else f"{name} with no last day on record"
    return f"{name} in full to {until(full)}, then less{to}"


def at_a_sale(case: Case, assessment: Assessment, today: date) -> tuple[Pair, ...]:
    """Return who must have notice of a sale, by when, and what a late one costs; empty where none is promised."""
    own = _own_title(case)
    asked: dict[str, dict[str, list[str]]] = {}
    late: dict[str, list[str]] = {}
    givers: dict[str, list[str]] = {}
    others: list[str] = []
    for lines, _, _ in _coverages(assessment):
        first, transfer = lines[0], lines[0].transfer
        if transfer is None:
            others.append(
                f"Whether the {first.title} passes on the terms as typed in do not say; ask."
            )
            continue
        if not transfer.passes or (first.last_sale is not None and first.last_sale < today):
            others.append(f"The {first.title} does not pass on.")
            continue
        mine = first.title_key == own
        to = f"{case.company.name} (address below)" if mine else _desk(assessment, first)
        asked.setdefault(_given(transfer), {}).setdefault(to, []).append(first.title)
        late.setdefault(_late(transfer), []).append(first.title)
        givers.setdefault(transfer.given_by.rstrip("."), []).append(first.title)
    says = [f"Notice must be {given} {_to(given, desks)}." for given, desks in asked.items()]
    for text, names in late.items():
        whose = "" if len(late) == 1 else f" for the {listed(names)}"
        says.append(f"If it is late{whose}, {text}.")
    says += [_by_whom(givers)] if givers else []
    says += others
    return (Pair(Label.AT_A_SALE, " ".join(says)),) if says else ()


def _by_whom(givers: Mapping[str, list[str]]) -> str:
    """Return who gives the notice, by the terms; where they do not say, that somebody has to."""
    told = [
        f"{who} for the {listed(names)}" if len(givers) > 1 else who
        for who, names in givers.items()
        if who
    ]
    found = [f"It is given by {listed(told)}."] if told else []
    if "" in givers:
        whose = f" for the {listed(givers[''])}" if told else ""
        found.append(f"Who gives it{whose} the terms as typed in do not say: {SETTLE}.")
    return " ".join(found)


def if_damage_is_found(assessment: Assessment) -> tuple[Pair, ...]:
    """Return by when a maker is told of damage; empty where no terms of this roof name days for it."""
    told = [
        f"{sheet.maker} must have notice {within}"
        for sheet in sheets_of(assessment)
        if (within := notice_days(sheet, "finding it"))
    ]
    return (Pair(Label.IF_DAMAGED, f"{listed(told)}."),) if told else ()


def _to(given: str, desks: dict[str, list[str]]) -> str:
    word = given.rpartition(" ")[2]
    return listed([f"{to} for the {listed(names)}" for to, names in desks.items()], f"and {word}")


def _given(transfer: Transfer) -> str:
    event = event_words(transfer.counted_from or StartEvent.CLOSING)
    if transfer.within_days is None:
        return "given, with no last day in the terms as typed in, to"
    return _GIVEN[transfer.met_by].format(plural(transfer.within_days, "day"), event)


def _late(transfer: Transfer) -> str:
    if not transfer.if_late or keeps_nothing(transfer):
        return "count on no coverage for the buyer"
    return f"the terms say: “{transfer.if_late}”"


def keeps_nothing(transfer: Transfer) -> bool:
    """Return whether the terms say of a late notice that nothing is left."""
    return (
        re.match(r"nothing( is left| remains)?\s*([;,.]|$)", transfer.if_late, re.IGNORECASE)
        is not None
    )


def _desk(assessment: Assessment, line: CoverageLine) -> str:
    sheet = sheet_titled(assessment, line.document)
    if sheet is None:
        return line.promised_by
    lines = desk_for_sales(sheet)
    told = [one for one in lines if "@" not in one]
    return ", ".join(told or lines) or f"{sheet.maker}, whose address is {NOT_ON_RECORD}"
