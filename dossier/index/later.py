"""The deadlines that a sale or a claim starts, by the terms of every coverage that a job may have.

In: later entries, the coverages asked for, the days of the job. Out: deadlines that nothing on record meets. Must
not know SQL, nor today. Whether a level's conditions are met is not looked at: that takes the whole job. So
a level whose registration nobody confirmed stands beside the level that holds without it.
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import get_args

from dossier.assess.calendar import last_day
from dossier.assess.passed_on import HouseSale
from dossier.assess.sale_notice import notices_open
from dossier.index.days import AskedLevel, DayOf, sales
from dossier.index.entries import Noted
from dossier.index.fields import Making, Reader, iso
from dossier.index.plain import Plain
from dossier.index.sheets import Sheets
from dossier.reading.kinds import YesNo
from dossier.terms.coverage import Coverage
from dossier.words import StartEvent

_YES_NO = get_args(YesNo)[1]


@dataclass
class _Claim:
    """All that is noted of one claim. is_told: whether notice of it was given as the terms ask."""

    seen_on: date | None = None
    is_told: bool = False


def later_deadlines(
    job: Path,
    noted: tuple[Noted, ...],
    reader: Reader,
    asked: list[AskedLevel],
    sheets: Sheets,
    day_of: DayOf,
    making: Making,
    *,
    sealed: bool,
) -> None:
    """Make the deadlines of sales and claims. day_of: the day of an event, None where not on record."""
    sold = [_sale(day, sale, reader) for day, sale in sorted(sales(noted, reader).items()) if day]
    if sold:
        for one in asked:
            _sale_of_level(one, sold, day_of, making)
        # The company's own coverage is a promise to the next owner as well.
        own = sheets.workmanship(job, as_built=sealed)
        if own is not None:
            for _, due_on in _open(own[1], sold, day_of):
                _deadline(making, due_on, own[0])
    _claims(noted, reader, asked, day_of, making)


def _sale(day: str, fields: Plain, reader: Reader) -> HouseSale:
    in_family = fields.get("in_family")
    family = None if in_family is None else reader.parsed("in_family", in_family, _YES_NO.read)
    return HouseSale(
        closing_on=date.fromisoformat(day),
        notice_sent_on=reader.day(fields, "notice_sent_on"),
        notice_received_on=reader.day(fields, "notice_received_on"),
        notice_accepted_on=reader.day(fields, "notice_accepted_on"),
        in_family=bool(family),
    )


def _sale_of_level(one: AskedLevel, sold: list[HouseSale], day_of: DayOf, making: Making) -> None:
    fallback, falls = one.falls_to or ("", None)
    mine = _open(one.facts.coverage, sold, day_of)
    others = _open(falls.coverage if falls else None, sold, day_of)
    for sale, due_on in mine:
        is_same = (sale, due_on) in others
        also = f" or, where it was not registered, {fallback}" if is_same else ""
        _deadline(making, due_on, f"{one.level}{also}, {one.sheet}")
    for sale, due_on in others:
        if (sale, due_on) not in mine:
            name = f"{fallback}, which holds where {one.level} was not registered"
            _deadline(making, due_on, f"{name}, {one.sheet}")


def _open(
    coverage: Coverage | None, sold: list[HouseSale], day_of: DayOf
) -> list[tuple[HouseSale, date]]:
    return list(notices_open(coverage, day_of(coverage.starts), sold)) if coverage else []


def _deadline(making: Making, due_on: date, name: str) -> None:
    row = (iso(due_on), "transfer", f"give notice of the sale, {name}")
    if row not in making.deadlines:
        making.deadlines.append(row)


def _claims(
    noted: tuple[Noted, ...],
    reader: Reader,
    asked: list[AskedLevel],
    day_of: DayOf,
    making: Making,
) -> None:
    claims: dict[str, _Claim] = {}
    for one in noted:
        fields = one.fields.get("claim")
        if isinstance(fields, dict):
            # Entries of one number are one claim; one without a number is a claim of its own.
            claim = claims.setdefault(reader.text(fields, "number") or one.folder, _Claim())
            seen = reader.day(fields, "seen_on") or reader.day(one.fields, "on")
            claim.seen_on = claim.seen_on or seen
            claim.is_told = claim.is_told or reader.day(fields, "maker_told_on") is not None
    for number, claim in claims.items():
        for level in asked:
            within = level.facts.claim
            if within is None or claim.is_told:
                continue
            is_seen = within.counted_from is StartEvent.DISCOVERY
            started = claim.seen_on if is_seen else day_of(within.counted_from)
            if started is not None:
                what = f"give notice of claim {number}, {level.level}, {level.sheet}"
                making.deadlines.append((iso(last_day(started, within.days)), "claim", what))
