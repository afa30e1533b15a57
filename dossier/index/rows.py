"""One job folder into the rows that the index keeps of it.

In: a job folder, its record, its later entries, its punch list as last built, the office's sheets. Out:
`JobRows`, plain text in the order of the schema's columns. Must not know SQL, nor today. What cannot be read
is left blank and said in the row's fault: a job is never left out, and never taken in silence.
"""

import json
import os
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any, get_args
from zlib import crc32

from dossier.assess.calendar import day_that_meets, last_day, paid_up_on
from dossier.index.entries import Noted, noted_in
from dossier.index.fields import Reader, iso, shown, words_in
from dossier.index.lots import mark_key
from dossier.index.plain import NotPlain, Plain, plain_fields
from dossier.index.scan import JOB_FILE, PUNCH_LIST
from dossier.index.sheets import LevelFacts, Sheets, Within, key_of, read_small, role_of
from dossier.reading.kinds import PhaseWord, RedeckedWord
from dossier.reading.nodes import MOST_BYTES
from dossier.record.closing import MoneyRecord, Warranty
from dossier.record.entry import Buyer
from dossier.record.job import JobHead
from dossier.record.materials import Delivery, Lot, MaterialLine
from dossier.record.people import Insurance, Owner
from dossier.record.roof import Deck
from dossier.record.work import WorkDay
from dossier.values import Days
from dossier.words import Phase, Redecked, StartEvent

MOST_ITEMS = 2_000
_PHASE, _REDECKED = get_args(PhaseWord)[1], get_args(RedeckedWord)[1]
_MOST_REDECKED = (Redecked.WHOLE, Redecked.OVERLAID, Redecked.PART, Redecked.NO)
_SHINGLES = (Phase.FIELD, Phase.HIP_AND_RIDGE)
Row = tuple[Any, ...]


@dataclass(frozen=True)
class JobRows:
    """Every row of one job, each without the job's id, in the order of the schema's columns."""

    id: int
    folder: str
    job: Row
    tables: dict[str, list[Row]]
    said: Row
    fault: str

    @property
    def address(self) -> str:
        """Return the address, for the table of streets."""
        return str(self.said[1])


@dataclass
class _Making:
    """The rows of one job while they are made."""

    owners: list[Row]
    products: list[Row]
    lots: list[Row]
    registrations: list[Row]
    items: list[Row]
    deadlines: list[Row]
    entries: list[Row]


def rows_of(job: Path, folder: str, sheets: Sheets) -> JobRows:
    """Return the rows of one job. folder: its path from the office folder. Never raises for what it holds."""
    reader = Reader(JOB_FILE)
    record: Plain = {}
    data = read_small(f"{job}/{JOB_FILE}")
    try:
        if data is None:
            raise NotPlain(f"{JOB_FILE} cannot be opened, or is larger than {MOST_BYTES:,} bytes.")
        record = plain_fields(data, JOB_FILE)
    except NotPlain as problem:
        reader.faults.append(str(problem))
    return _rows(job, folder, record, reader, sheets)


def _rows(job: Path, folder: str, record: Plain, reader: Reader, sheets: Sheets) -> JobRows:
    making = _Making([], [], [], [], [], [], [])
    sealed, noted = noted_in(job)
    reader.faults += [one.fault for one in noted if one.fault]
    head = reader.group("job", record.get("job"), JobHead)
    number = reader.text(head, "number")
    if record and not number:
        reader.fault("job.number", "is blank or not there")
    contract_on = reader.day(head, "contract_on")
    completion_on = reader.day(head, "completion_signed_on")
    shingle_on = _last_shingle(record, reader)
    permit = record.get("permit")
    permit = permit if isinstance(permit, dict) else {}
    insurance = reader.group("insurance", record.get("insurance"), Insurance)
    spare = _deliveries(record, reader, sheets, making)
    phones = _owners(record, reader, noted, making)
    claims = [reader.text(insurance, "claim")]
    claims += _entries(noted, reader, making)
    days = {
        StartEvent.CONTRACT: contract_on,
        StartEvent.LAST_SHINGLE: shingle_on,
        StartEvent.COMPLETION_SIGNED: completion_on,
    }
    levels = _registrations(job, record, reader, sheets, sealed, noted, days, making)
    _later_deadlines(noted, reader, levels, making)
    punch_list = _punch_list(job, reader, making)
    notes = record.get("notes", ())
    notes = [notes] if isinstance(notes, str) else notes
    said_notes = [n for n in notes if isinstance(n, str)] + [str(row[4]) for row in making.entries]
    fault = " ".join(dict.fromkeys(reader.faults))
    address = reader.text(head, "address")
    return JobRows(
        id=id_of(folder, contract_on),
        folder=folder,
        job=(
            number or folder.rpartition("/")[2],
            address,
            reader.text(head, "locality"),
            reader.text(permit, "number"),
            iso(contract_on),
            iso(shingle_on),
            iso(completion_on),
            _redecked(record, reader),
            int(sealed),
            punch_list,
            spare,
            fault[:4_000],
        ),
        tables={
            "owner": making.owners,
            "product": making.products,
            "lot": making.lots,
            "registration": making.registrations,
            "item": making.items,
            "deadline": making.deadlines,
            "entry": making.entries,
        },
        said=(
            _both(number, folder.rpartition("/")[2]),
            address,
            " ".join(str(row[0]) for row in making.owners),
            _both(*phones),
            _both(reader.text(permit, "number")),
            _both(*claims),
            " ".join(dict.fromkeys(str(row[1]) for row in making.products)),
            _both(*dict.fromkeys(str(row[1]) for row in making.lots)),
            " ".join(" ".join(note.split()) for note in said_notes)[:20_000],
        ),
        fault=fault,
    )


def id_of(folder: str, contract_on: date | None) -> int:
    """Return the number a job goes by in the index: later contracts come later, and it is always the same."""
    return (contract_on.toordinal() if contract_on else 0) << 32 | crc32(
        folder.encode("utf-8", "replace")
    )


def _both(*texts: str) -> str:
    """Return texts as typed, and each that has signs in it once more without them: 555-0141 5550141."""
    parts = []
    for text in texts:
        bare = "".join(letter for letter in text if letter.isalnum())
        parts.append(f"{text} {bare}" if bare != text else text)
    return " ".join(parts).strip()


def _last_shingle(record: Plain, reader: Reader) -> date | None:
    last: date | None = None
    for row in reader.groups(record, "work", WorkDay):
        phases = {
            reader.parsed("work.phases", word, _PHASE.read) for word in words_in(row.get("phases"))
        }
        if "days" in row and phases.intersection(_SHINGLES):
            days = reader.parsed("work.days", row["days"], Days.parse)
            if days is not None and (last is None or days.last > last):
                last = days.last
    return last


def _redecked(record: Plain, reader: Reader) -> str:
    said = {
        reader.parsed("decks.redecked", deck["redecked"], _REDECKED.read)
        for deck in reader.groups(record, "decks", Deck)
        if "redecked" in deck
    }
    return next((word.value for word in _MOST_REDECKED if word in said), "")


def _deliveries(record: Plain, reader: Reader, sheets: Sheets, making: _Making) -> str:
    """Make the rows of products and lots, and return what is said of shingles left with the owner."""
    spare: list[str] = []
    for delivery in reader.groups(record, "deliveries", Delivery):
        about = (
            reader.text(delivery, "ticket"),
            reader.text(delivery, "supplier"),
            iso(reader.day(delivery, "on")),
        )
        for line in reader.groups(delivery, "lines", MaterialLine):
            name = reader.text(line, "product")
            if not name:
                continue
            known = sheets.product(name)
            place = len(making.products)
            quantity = reader.number(line, "quantity")
            returned = reader.number(line, "returned")
            lots = list(_lots(line, reader))
            making.lots += [(place, *lot) for lot in lots]
            making.products.append(
                (
                    role_of(line["role"]) if "role" in line else known.role,
                    name,
                    key_of(name),
                    reader.text(line, "maker") or known.maker,
                    reader.text(line, "colour"),
                    quantity,
                    returned,
                    reader.text(line, "unit"),
                    *about,
                    _marked(quantity, returned, [str(lot[2]) for lot in lots]),
                )
            )
            spare.append(reader.text(line, "left_with_owner"))
    return "; ".join(text for text in spare if text)


def _lots(line: Plain, reader: Reader) -> Any:
    for lot in reader.groups(line, "lots", Lot):
        mark = reader.text(lot, "mark")
        if mark:
            slopes = ", ".join(words_in(lot.get("slopes")))
            yield mark, mark_key(mark), reader.number(lot, "quantity"), slopes


def _marked(quantity: str, returned: str, lots: list[str]) -> str:
    """Return whether all, some or none of what stayed on the roof has a lot on record."""
    if not lots:
        return "none"
    if not quantity or not all(lots):
        return "some"
    if all(text.isdecimal() for text in (quantity, returned or "0", *lots)):
        # The same sum in whole numbers, which most are.
        is_all = sum(map(int, lots)) >= int(quantity) - int(returned or 0)
    else:
        is_all = sum(map(Fraction, lots)) >= Fraction(quantity) - Fraction(returned or 0)
    return "all" if is_all else "some"


def _owners(record: Plain, reader: Reader, noted: tuple[Noted, ...], making: _Making) -> list[str]:
    """Make the rows of owners, first and later, and return every telephone."""
    sales = _sales(noted, reader)
    days = sorted(sales)
    for owner in reader.groups(record, "owners", Owner):
        making.owners.append((*_person(owner, reader), "", days[0] if days else ""))
    for place, day in enumerate(days):
        till = days[place + 1] if place + 1 < len(days) else ""
        buyer = reader.group("sale.buyer", sales[day].get("buyer"), Buyer)
        making.owners.append((*_person(buyer, reader), day, till))
    phones = [str(row[1]) for row in making.owners if row[1]]
    claims = [claim for one in noted if isinstance(claim := one.fields.get("claim"), dict)]
    return phones + [phone for claim in claims if (phone := reader.text(claim, "phone"))]


def _sales(noted: tuple[Noted, ...], reader: Reader) -> dict[str, Plain]:
    """Return each sale by its day. A later entry of the same day adds to the earlier one."""
    sales: dict[str, Plain] = {}
    for one in noted:
        sale = one.fields.get("sale")
        if isinstance(sale, dict):
            day = iso(reader.day(sale, "closing_on")) or iso(reader.day(one.fields, "on"))
            sales[day] = {**sales.get(day, {}), **sale}
    return sales


def _person(fields: Plain, reader: Reader) -> Row:
    return (
        reader.text(fields, "name"),
        reader.text(fields, "phone"),
        reader.text(fields, "email"),
        reader.text(fields, "mailing_address"),
    )


def _entries(noted: tuple[Noted, ...], reader: Reader, making: _Making) -> list[str]:
    """Make the rows of entries, and return the numbers of claims."""
    claims = []
    for one in noted:
        claim = one.fields.get("claim")
        claim = claim if isinstance(claim, dict) else {}
        number = reader.text(claim, "number")
        says = [reader.text(claim, name) for name in ("slope", "room_below", "seen", "called_by")]
        for group, names in (
            ("work", ("by", "slope", "what")),
            ("inspection", ("by", "found", "decision")),
        ):
            fields = one.fields.get(group)
            says += (
                [reader.text(fields, name) for name in names] if isinstance(fields, dict) else []
            )
        says.append(reader.text(one.fields, "text"))
        making.entries.append(
            (
                one.folder,
                reader.text(one.fields, "kind"),
                iso(reader.day(one.fields, "on")),
                number,
                ", ".join(text for text in says if text),
            )
        )
        claims.append(number)
    return [number for number in claims if number]


def _registrations(
    job: Path,
    record: Plain,
    reader: Reader,
    sheets: Sheets,
    sealed: bool,
    noted: tuple[Noted, ...],
    days: dict[StartEvent, date | None],
    making: _Making,
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


def _later_deadlines(
    noted: tuple[Noted, ...],
    reader: Reader,
    levels: list[tuple[str, LevelFacts]],
    making: _Making,
) -> None:
    """Make the deadlines that a sale or a claim starts, by the terms of each level asked for."""
    for day, sale in _sales(noted, reader).items():
        for name, facts in levels:
            within = facts.transfer
            if within is None or not day or within.counted_from is not StartEvent.CLOSING:
                continue
            sent, received = (
                reader.day(sale, "notice_sent_on"),
                reader.day(sale, "notice_received_on"),
            )
            if day_that_meets(within.met_by, sent, received, None) is None:
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


def _punch_list(job: Path, reader: Reader, making: _Making) -> str:
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
