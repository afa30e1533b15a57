"""One job folder into the rows that the index keeps of it.

In: a job folder, its record, its later entries, its punch list as last built, the office's sheets. Out:
`JobRows`, plain text in the order of the schema's columns. Must not know SQL, nor today. What cannot be read
is left blank and said in the row's fault: a job is never left out, and never taken in silence.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any, get_args
from zlib import crc32

from dossier.index.days import day_finder, punch_list, registrations, sales
from dossier.index.entries import Noted, noted_in
from dossier.index.fields import Making, Reader, Row, iso, words_in
from dossier.index.later import later_deadlines
from dossier.index.lots import mark_key
from dossier.index.marks import marks_put_right
from dossier.index.plain import Plain
from dossier.index.scan import JOB_FILE
from dossier.index.sheets import Sheets, key_of, role_of
from dossier.index.states import states_of
from dossier.reading.kinds import PhaseWord, RedeckedWord
from dossier.record.entry import Buyer
from dossier.record.job import JobHead
from dossier.record.materials import Delivery, Lot, MaterialLine
from dossier.record.people import Insurance, Owner
from dossier.record.roof import Deck
from dossier.record.work import WorkDay
from dossier.values import Days
from dossier.words import Phase, Redecked, StartEvent

_PHASE, _REDECKED = get_args(PhaseWord)[1], get_args(RedeckedWord)[1]
_MOST_REDECKED = (Redecked.WHOLE, Redecked.OVERLAID, Redecked.PART, Redecked.NO)
_SHINGLES = (Phase.FIELD, Phase.HIP_AND_RIDGE)


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


def rows_of(job: Path, folder: str, sheets: Sheets) -> JobRows:
    """Return the rows of one job. folder: its path from the office folder. Never raises for what it holds."""
    reader = Reader(JOB_FILE)
    sealed, noted = noted_in(job)
    states = states_of(job, noted, reader)
    record = states[-1].record
    making = Making([], [], [], [], [], [], [])
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
    marks_put_right(states, making)
    phones = _owners(record, reader, noted, making)
    claims = [reader.text(insurance, "claim")]
    claims += _entries(noted, reader, making)
    days: dict[StartEvent, date | None] = {
        StartEvent.CONTRACT: contract_on,
        StartEvent.LAST_SHINGLE: shingle_on,
        StartEvent.COMPLETION_SIGNED: completion_on,
    }
    day_of = day_finder(days, record, reader)
    asked = registrations(job, record, reader, sheets, sealed, noted, day_of, making)
    later_deadlines(job, noted, reader, asked, sheets, day_of, making, sealed=sealed)
    standing = punch_list(job, reader, making, sealed=sealed)
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
            standing,
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


def _deliveries(record: Plain, reader: Reader, sheets: Sheets, making: Making) -> str:
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
            making.lots += [(place, *lot, "") for lot in lots]
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


def _owners(record: Plain, reader: Reader, noted: tuple[Noted, ...], making: Making) -> list[str]:
    """Make the rows of owners, first and later, and return every telephone."""
    sold = sales(noted, reader)
    days = sorted(sold)
    for owner in reader.groups(record, "owners", Owner):
        making.owners.append((*_person(owner, reader), "", days[0] if days else ""))
    for place, day in enumerate(days):
        till = days[place + 1] if place + 1 < len(days) else ""
        buyer = reader.group("sale.buyer", sold[day].get("buyer"), Buyer)
        making.owners.append((*_person(buyer, reader), day, till))
    phones = [str(row[1]) for row in making.owners if row[1]]
    claims = [claim for one in noted if isinstance(claim := one.fields.get("claim"), dict)]
    return phones + [phone for claim in claims if (phone := reader.text(claim, "phone"))]


def _person(fields: Plain, reader: Reader) -> Row:
    return (
        reader.text(fields, "name"),
        reader.text(fields, "phone"),
        reader.text(fields, "email"),
        reader.text(fields, "mailing_address"),
    )


def _entries(noted: tuple[Noted, ...], reader: Reader, making: Making) -> list[str]:
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
        says += _put_right(one, reader)
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


def _put_right(one: Noted, reader: Reader) -> Iterator[str]:
    """Yield what an entry put right or added, as far as somebody would look for it."""
    correction, confirmed = one.fields.get("correction"), one.fields.get("registration")
    if isinstance(correction, dict):
        was, right = reader.text(correction, "was"), reader.text(correction, "right")
        yield f"{reader.text(correction, 'field')}: {right or 'blank'}, not {was or 'blank'}"
        yield reader.text(correction, "why")
    if isinstance(confirmed, dict):
        yield from (reader.text(confirmed, name) for name in ("level", "confirmation"))
    for name in ("papers", "photos"):
        rows = one.fields.get(name)
        for row in rows if isinstance(rows, list) else (rows,):
            if isinstance(row, dict):
                yield reader.text(row, "file").removeprefix("files/")
