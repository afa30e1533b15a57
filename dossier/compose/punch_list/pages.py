"""The punch list on paper: what the office chases, grouped by who owes it, what is lost soonest first.

In: the case, or None where the record cannot be read, the job's number, the items, the run. Out:
`PunchListPages` of ready-to-print strings. Must not decide what an item weighs or holds.
"""

from dataclasses import dataclass

from dossier.case.case import Case
from dossier.compose.parts.shared import (
    Head,
    PictureWanted,
    contact_lines,
    head_of,
    headline,
    logo_wanted,
)
from dossier.compose.punch_list.tear_off import CAUTION, TearOff, sends_up, tear_off
from dossier.punchlist import Holds, Item, Party, PunchList, Weight
from dossier.values import Run, clip, days_between, plural, write_date

_READY_FOR = (
    (Holds.HANDOVER, "Handover"),
    (Holds.REGISTRATION, "Registration"),
    (Holds.PERMIT, "Permit"),
    (Holds.PAYMENT, "Payment"),
)


@dataclass(frozen=True)
class ItemRow:
    """Items of one rule that share why, what to do and by when: printed once, each with its sentence."""

    weight: str
    due: str
    says: tuple[str, ...]
    why: str
    remedy: str
    holds: str
    where: tuple[str, ...]
    rule: str
    source: str


@dataclass(frozen=True)
class PartyGroup:
    """What one party owes, what is lost soonest first. reach: how to reach it, empty where nobody knows."""

    title: str
    count: str
    reach: str
    rows: tuple[ItemRow, ...]


@dataclass(frozen=True)
class ReadyRow:
    """Whether one thing can be done, and how many items hold it."""

    what: str
    ready: bool
    word: str
    count: str


@dataclass(frozen=True)
class PunchListPages:
    """The punch list, page by page. caution: empty where no item sends anybody up."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    address: str
    readable: bool
    ready: tuple[ReadyRow, ...]
    weights: tuple[tuple[str, str], ...]
    parties: tuple[tuple[str, str, str], ...]
    groups: tuple[PartyGroup, ...]
    caution: str
    tear_offs: tuple[TearOff, ...]


def punch_list_pages(
    case: Case | None, number: str, punch_list: PunchList, run: Run
) -> PunchListPages:
    """Return the punch list of one job. case: None where the record cannot be read."""
    job = clip(number)
    head = Head("", job, "office edition", write_date(run.today), "")
    if case is not None:
        head = head_of(case, "office edition", run)
    parties = _in_order(punch_list)
    groups = tuple(_group(party, case, punch_list, run) for party in parties)
    return PunchListPages(
        template="punch-list.html",
        title=f"Punch list, job {job}",
        head=head,
        pictures=logo_wanted(case.company) if case is not None else (),
        address=headline(case.job.job.address) if case is not None else "",
        readable=case is not None,
        ready=tuple(_ready(held, what, punch_list) for held, what in _READY_FOR),
        weights=tuple(
            (weight.value, str(sum(item.weight is weight for item in punch_list)))
            for weight in Weight
        ),
        parties=tuple(
            (party.value, str(len(_owed(party, punch_list))), _soonest(_owed(party, punch_list)))
            for party in parties
        ),
        groups=groups,
        caution=CAUTION if any(sends_up(item) for item in punch_list) else "",
        tear_offs=_tear_offs(parties, case, punch_list, run),
    )


def _tear_offs(
    parties: tuple[Party, ...], case: Case | None, punch_list: PunchList, run: Run
) -> tuple[TearOff, ...]:
    if case is None:
        return ()
    pages = (tear_off(party, punch_list, case, run) for party in parties)
    return tuple(page for page in pages if page is not None)


def _ready(held: Holds, what: str, punch_list: PunchList) -> ReadyRow:
    holding = punch_list.holding(held)
    word = "not ready" if holding else "ready"
    count = f"{plural(len(holding), 'item')} to clear" if holding else "nothing holds it"
    return ReadyRow(what, not holding, word, count)


def _owed(party: Party, punch_list: PunchList) -> list[Item]:
    return [item for item in punch_list if item.owed_by is party]


def _in_order(punch_list: PunchList) -> tuple[Party, ...]:
    """Return the parties that owe something, in the order in which the list first names each."""
    return tuple(dict.fromkeys(item.owed_by for item in punch_list))


def _reach(party: Party, case: Case | None) -> str:
    """Return whom to reach for a party, from the record and the sheets; empty where nobody is known."""
    if case is None:
        return ""
    if party is Party.HOMEOWNER:
        return "; ".join(
            ", ".join(part for part in (owner.name, owner.phone, owner.email) if part)
            for owner in case.job.owners
        )
    if party is Party.PERMIT_OFFICE:
        return ", ".join(contact_lines(case.locality.permit_office))
    if party is Party.MAKER:
        desks = [", ".join(contact_lines(asked.sheet.registration_desk)) for asked in case.asked]
        return "; ".join(dict.fromkeys(desk for desk in desks if desk))
    if party is Party.SUPPLIER:
        names = [one.supplier for one in case.job.deliveries if one.supplier]
        return ", ".join(dict.fromkeys(names))
    if party is Party.CREW:
        lead = (case.crew_lead.value,) if case.crew_lead else ()
        return ", ".join((*lead, *case.sub_crews))
    if party is Party.INSURER and case.job.insurance:
        insurance = case.job.insurance
        claim = f"claim {insurance.claim}" if insurance.claim else ""
        return ", ".join(part for part in (insurance.insurer, claim, insurance.adjuster) if part)
    return ""


def _soonest(items: list[Item]) -> str:
    due = [item.due for item in items if item.due]
    return write_date(min(due)) if due else "no date"


def _group(party: Party, case: Case | None, punch_list: PunchList, run: Run) -> PartyGroup:
    items = _owed(party, punch_list)
    alike: dict[tuple[object, ...], list[Item]] = {}
    for item in items:
        key = (item.rules, item.weight, item.due, item.holds, item.why, item.remedy, item.source)
        alike.setdefault(key, []).append(item)
    rows = tuple(_row(group, run) for group in alike.values())
    return PartyGroup(
        title=f"Owed by the {party.value}",
        count=plural(len(items), "item"),
        reach=_reach(party, case),
        rows=rows,
    )


def _row(items: list[Item], run: Run) -> ItemRow:
    item = items[0]
    holds = [held.value for held in Holds if held in item.holds]
    return ItemRow(
        weight=item.weight.value,
        due=_due(item, run),
        says=tuple(str(one.says) for one in items),
        why=str(item.why),
        remedy=str(item.remedy),
        holds=", ".join(holds) or "nothing",
        where=tuple(
            dict.fromkeys(
                text
                for one in items
                for text in (str(one.where), *(one.spots or one.fields))
                if text
            )
        ),
        rule=", ".join(item.rules),
        source=item.source,
    )


def _due(item: Item, run: Run) -> str:
    """Return an item's day with the days left or past, and what day it is where its rule has one."""
    if item.due is None:
        return "no date"
    left = days_between(run.today, item.due)
    count = f"{plural(-left, 'day')} past" if left < 0 else f"{plural(left, 'day')} left"
    what = item.manner.due_is
    return f"{write_date(item.due)}, {count}{f': {what}' if what else ''}"
