"""The days of one job: registrations and their last days, sales, the punch list.

In: a record's plain fields, its later entries, the office's sheets, the punch list as last built. Out: rows, and
the deadlines that are not met. Must not know SQL, nor today.
"""

import json
import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from dossier.assess.calendar import day_that_meets, last_day, paid_up_on
from dossier.index.entries import Noted
from dossier.index.fields import Making, Reader, Row, iso, shown
from dossier.index.plain import Plain
from dossier.index.scan import JOB_FILE, PHOTO_FILE, PUNCH_LIST, entry_times, open_times
from dossier.index.sheets import LevelFacts, Sheets, read_small
from dossier.record.closing import MoneyRecord, Warranty
from dossier.words import StartEvent

MOST_ITEMS = 2_000

DayOf = Callable[[StartEvent], date | None]


@dataclass(frozen=True)
class AskedLevel:
    """One warranty asked for.

    falls_to: name and facts of the level that holds where it was not registered; None where it is known to
    be registered, or where nothing holds then.
    """

    level: str
    sheet: str
    facts: LevelFacts
    falls_to: tuple[str, LevelFacts] | None


def sales(noted: tuple[Noted, ...], reader: Reader) -> dict[str, Plain]:
    """Return each sale by its day. A later entry of the same day adds to the earlier one.

    One that corrects an earlier day takes what was told of that sale to its own.
    """
    sales: dict[str, Plain] = {}
    for one in noted:
        sale = one.fields.get("sale")
        if isinstance(sale, dict):
            day = iso(reader.day(sale, "closing_on")) or iso(reader.day(one.fields, "on"))
            wrong = sales.pop(iso(reader.day(sale, "corrects")), {})
            sales[day] = {**wrong, **sales.get(day, {}), **sale}
    return sales


def registrations(
    job: Path,
    record: Plain,
    reader: Reader,
    sheets: Sheets,
    sealed: bool,
    noted: tuple[Noted, ...],
    day_of: DayOf,
    making: Making,
) -> list[AskedLevel]:
    """Make the rows of registrations and their deadlines, and return the levels that were asked for."""
    asked = list(reader.groups(record, "warranties", Warranty))
    confirmed = [c for one in noted if isinstance(c := one.fields.get("registration"), dict)]
    levels = []
    for warranty in asked:
        sheet, level = reader.text(warranty, "sheet"), reader.text(warranty, "level")
        facts = sheets.level(job, sheet, level, as_built=sealed)
        received = [
            reader.day(warranty, name) for name in ("submitted_on", "received_on", "accepted_on")
        ]
        confirmation = reader.text(warranty, "confirmation")
        certificate = reader.text(warranty, "certificate_file")
        for later in confirmed:
            if _is_of(later, sheet, level, len(asked)):
                received[2] = received[2] or reader.day(later, "confirmed_on")
                confirmation = confirmation or reader.text(later, "confirmation")
                certificate = certificate or reader.text(later, "certificate_file")
        due_on = met_on = None
        needed = "cannot tell"
        if facts is not None:
            within = facts.registration
            falls = None
            if within is not None and not (received[2] or confirmation or certificate):
                falls = sheets.level(job, sheet, facts.falls_to, as_built=sealed)
            levels.append(
                AskedLevel(level, sheet, facts, (facts.falls_to, falls) if falls else None)
            )
            needed = "no" if within is None else "yes"
            if within is not None:
                started = day_of(within.counted_from)
                due_on = last_day(started, within.days) if started else None
                met_on = day_that_meets(within.met_by, received[0], received[1], received[2])
        else:
            met_on = received[2]
        making.registrations.append((sheet, level, needed, iso(due_on), iso(met_on), confirmation))
        if due_on is not None and met_on is None:
            making.deadlines.append((iso(due_on), "registration", f"register {level}, {sheet}"))
    return levels


def _is_of(later: Plain, sheet: str, level: str, asked: int) -> bool:
    """Return whether a confirmation is of this warranty; one that names none is of the only one."""
    named = [(name, later.get(name)) for name in ("sheet", "level") if later.get(name)]
    if not named:
        return asked == 1
    mine = {"sheet": sheet, "level": level}
    return all(
        isinstance(said, str) and said.strip().lower() == mine[name].lower() for name, said in named
    )


def day_finder(days: dict[StartEvent, date | None], record: Plain, reader: Reader) -> DayOf:
    """Return what finds the day of an event. days: those that the record says outright.

    The days of money are worked out only where a deadline asks for them.
    """
    asked = reader.groups(record, "warranties", Warranty)
    ordered = [day for one in asked if (day := reader.day(one, "ordered_on"))]
    known = {**days, StartEvent.ORDER: min(ordered, default=None)}

    def day_of(event: StartEvent) -> date | None:
        if event not in (StartEvent.FINAL_INVOICE, StartEvent.PAID_IN_FULL):
            return known.get(event)
        try:
            money = MoneyRecord.model_validate(record.get("money") or {})
        except ValueError:
            reader.fault("money", "cannot be read in full, so its day is not known")
            return None
        if event is StartEvent.PAID_IN_FULL:
            return paid_up_on(money)
        final = money.final_invoice()
        return final.on if final else None

    return day_of


def punch_list(job: Path, reader: Reader, making: Making, *, sealed: bool) -> str:
    """Make the rows of items and their deadlines, and return how the list stands to the record."""
    path = f"{job}/{PUNCH_LIST}"
    data = read_small(path)
    if data is None:
        return "none"
    try:
        items = json.loads(data)["items"]
        rows = [_item(item) for item in items[:MOST_ITEMS]]
        for row in rows:
            if row[5]:
                date.fromisoformat(row[5])
    except (ValueError, KeyError, TypeError, RecursionError):
        reader.faults.append(f"{PUNCH_LIST} cannot be read; build the job again.")
        return "unreadable"
    making.items += rows
    # The day of a registration is known from the record itself, which is never older than the list.
    known = {str(row[3]) for row in making.registrations}
    for day in sorted({row[5] for row in rows if row[5]} - known):
        making.deadlines.append((day, "punch list", ""))
    return _standing(str(job), sealed)


def _standing(job: str, sealed: bool) -> str:
    """Return how the list stands to the record, by times of files; a closed job is compared with its entries."""
    try:
        built_ns = os.stat(f"{job}/{PUNCH_LIST}").st_mtime_ns  # noqa: PTH116
        if sealed:
            # What is typed after the seal does not count; an entry that came since does.
            later = max(entry_times(job), default=0)
            return "older than the record" if built_ns < later else "current"
        if built_ns < os.stat(f"{job}/{JOB_FILE}").st_mtime_ns:  # noqa: PTH116
            return "older than the record"
    except OSError:
        return "current"
    newer = [name for name, at_ns in open_times(job) if built_ns < at_ns]
    if PHOTO_FILE in newer:
        return "older than the record"
    return "older than the photos or papers" if newer else "current"


def _item(item: Any) -> Row:
    return (
        str(item["rule"]),
        str(item["weight"]),
        str(item["verdict"]),
        str(item["owed_by"]),
        ", ".join(str(held) for held in item["holds"]),
        str(item["due"] or ""),
        shown(str(item["says"])),
        shown(str(item["remedy"])),
    )
