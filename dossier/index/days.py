"""The days of one job: registrations and their last days, what a sale or a claim starts, the punch list.

In: a record's plain fields, its later entries, the office's sheets, the punch list as last built. Out: rows, and
the deadlines that are not met. Must not know SQL, nor today.
"""

import json
import os
from datetime import date
from pathlib import Path
from typing import Any

from dossier.assess.calendar import day_that_meets, last_day, paid_up_on
from dossier.index.entries import Noted
from dossier.index.fields import Making, Reader, Row, iso, shown
from dossier.index.plain import Plain
from dossier.index.scan import JOB_FILE, PUNCH_LIST
from dossier.index.sheets import LevelFacts, Sheets, Within, read_small
from dossier.record.closing import MoneyRecord, Warranty
from dossier.words import StartEvent

MOST_ITEMS = 2_000


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
    days: dict[StartEvent, date | None],
    making: Making,
) -> list[tuple[str, LevelFacts]]:
    """Make the rows of registrations and their deadlines, and return the levels that were asked for."""
    asked = list(reader.groups(record, "warranties", Warranty))
    confirmed = [c for one in noted if isinstance(c := one.fields.get("registration"), dict)]
    ordered = [day for one in asked if (day := reader.day(one, "ordered_on"))]
    days = {**days, StartEvent.ORDER: min(ordered, default=None)}
    levels = []
    for warranty in asked:
        sheet, level = reader.text(warranty, "sheet"), reader.text(warranty, "level")
        facts = sheets.level(job, sheet, level, as_built=sealed)
        received = [
            reader.day(warranty, name) for name in ("submitted_on", "received_on", "accepted_on")
        ]
        confirmation = reader.text(warranty, "confirmation")
        for later in confirmed:
            if _is_of(later, sheet, level, len(asked)):
                received[2] = received[2] or reader.day(later, "confirmed_on")
                confirmation = confirmation or reader.text(later, "confirmation")
        due_on = met_on = None
        needed = "cannot tell"
        if facts is not None:
            levels.append((f"{level}, {sheet}", facts))
            within = facts.registration
            needed = "no" if within is None else "yes"
            if within is not None:
                started = _started(within, days, record, reader)
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


def _started(
    within: Within, days: dict[StartEvent, date | None], record: Plain, reader: Reader
) -> date | None:
    if within.counted_from not in (StartEvent.FINAL_INVOICE, StartEvent.PAID_IN_FULL):
        return days.get(within.counted_from)
    try:
        money = MoneyRecord.model_validate(record.get("money") or {})
    except ValueError:
        reader.fault("money", "cannot be read in full, so its day is not known")
        return None
    if within.counted_from is StartEvent.PAID_IN_FULL:
        return paid_up_on(money)
    final = money.final_invoice()
    return final.on if final else None


def later_deadlines(
    noted: tuple[Noted, ...],
    reader: Reader,
    levels: list[tuple[str, LevelFacts]],
    making: Making,
) -> None:
    """Make the deadlines that a sale or a claim starts, by the terms of each level asked for."""
    for day, sale in sales(noted, reader).items():
        for name, facts in levels:
            within = facts.transfer
            if within is None or not day or within.counted_from is not StartEvent.CLOSING:
                continue
            sent, received = (
                reader.day(sale, "notice_sent_on"),
                reader.day(sale, "notice_received_on"),
            )
            accepted = reader.day(sale, "notice_accepted_on")
            if day_that_meets(within.met_by, sent, received, accepted) is None:
                due_on = last_day(date.fromisoformat(day), within.days)
                making.deadlines.append(
                    (iso(due_on), "transfer", f"give notice of the sale, {name}")
                )
    seen_on: dict[str, date] = {}
    for one in noted:
        claim = one.fields.get("claim")
        if isinstance(claim, dict):
            seen = reader.day(claim, "seen_on") or reader.day(one.fields, "on")
            if seen is not None:
                # Entries of one number are one claim; one without a number is a claim of its own.
                seen_on.setdefault(reader.text(claim, "number") or one.folder, seen)
    for number, seen in seen_on.items():
        for name, facts in levels:
            if facts.claim is not None and facts.claim.counted_from is StartEvent.DISCOVERY:
                due_on = last_day(seen, facts.claim.days)
                what = f"give notice of claim {number}, {name}"
                making.deadlines.append((iso(due_on), "claim", what))


def punch_list(job: Path, reader: Reader, making: Making) -> str:
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
    try:
        is_older = os.stat(path).st_mtime_ns < os.stat(f"{job}/{JOB_FILE}").st_mtime_ns  # noqa: PTH116
    except OSError:
        is_older = False
    return "older than the record" if is_older else "current"


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
