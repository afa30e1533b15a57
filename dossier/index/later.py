"""The deadlines that a sale or a claim starts, by the terms of every coverage that a job may have.

In: later entries, the coverages asked for, the days of the job. Out: deadlines that nothing on record meets. Must
not know SQL, nor today. Whether a level's conditions are met is not looked at: that takes the whole job. So
a level whose registration nobody confirmed stands beside the level that holds without it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from dossier.assess.calendar import last_day
from dossier.assess.passed_on import HouseSale
from dossier.assess.sale_notice import notices_open
from dossier.assess.since import sales_of
from dossier.index.card import Row
from dossier.index.days import AskedLevel
from dossier.index.terms import JobSheets
from dossier.index.text import iso, one_line
from dossier.record.entry import Entry
from dossier.terms.coverage import Coverage
from dossier.words import StartEvent

Days = Mapping[StartEvent, date | None]


@dataclass
class _Claim:
    """All that is noted of one claim. is_told: whether notice of it was given as the terms ask."""

    seen_on: date | None = None
    is_told: bool = False


def later_deadlines(
    noted: Sequence[tuple[str, Entry]],
    asked: Sequence[AskedLevel],
    own: JobSheets,
    days: Days,
    tables: dict[str, list[Row]],
) -> None:
    """Make the deadlines of sales and claims. noted: entries with their folders. days: blank ones are None."""
    sold = sales_of(entry for _, entry in noted)
    found: dict[tuple[date, str], None] = {}
    if sold:
        for one in asked:
            _sale_of_level(one, sold, days, found)
        # The company's own coverage is a promise to the next owner as well.
        workmanship = own.workmanship()
        if workmanship is not None:
            for _, due_on in _open(workmanship.coverage, sold, days):
                found[due_on, one_line(workmanship.title)] = None
    tables["deadline"] += [
        (iso(due_on), "transfer", f"give notice of the sale, {name}") for due_on, name in found
    ]
    _claims(noted, asked, days, tables)


def _sale_of_level(
    one: AskedLevel, sold: Sequence[HouseSale], days: Days, found: dict[tuple[date, str], None]
) -> None:
    falls = one.falls_to
    fallback = one_line(one.level.unregistered_falls_to)
    mine = _open(one.level.coverage, sold, days)
    others = _open(falls.coverage, sold, days) if falls else []
    for sale, due_on in mine:
        is_same = (sale, due_on) in others
        also = f" or, where it was not registered, {fallback}" if is_same else ""
        found[due_on, f"{one.name}{also}, {one.sheet}"] = None
    for sale, due_on in others:
        if (sale, due_on) not in mine:
            name = f"{fallback}, which holds where {one.name} was not registered"
            found[due_on, f"{name}, {one.sheet}"] = None


def _open(
    coverage: Coverage, sold: Sequence[HouseSale], days: Days
) -> list[tuple[HouseSale, date]]:
    return list(notices_open(coverage, days.get(coverage.starts), sold))


def _claims(
    noted: Sequence[tuple[str, Entry]],
    asked: Sequence[AskedLevel],
    days: Days,
    tables: dict[str, list[Row]],
) -> None:
    claims: dict[str, _Claim] = {}
    for folder, entry in noted:
        if entry.claim is not None:
            # Entries of one number are one claim; one without a number is a claim of its own.
            claim = claims.setdefault(one_line(entry.claim.number) or folder, _Claim())
            claim.seen_on = claim.seen_on or entry.claim.seen_on or entry.on
            claim.is_told = claim.is_told or entry.claim.maker_told_on is not None
    for number, claim in claims.items():
        for one in asked:
            terms = one.claim
            if terms is None or terms.within_days is None or terms.counted_from is None:
                continue
            is_seen = terms.counted_from is StartEvent.DISCOVERY
            started = claim.seen_on if is_seen else days.get(terms.counted_from)
            if started is not None and not claim.is_told:
                what = f"give notice of claim {number}, {one.name}, {one.sheet}"
                due_on = last_day(started, terms.within_days)
                tables["deadline"].append((iso(due_on), "claim", what))
