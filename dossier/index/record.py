"""One record, as the record's own reader has it, into the plain rows that the index keeps of it.

In: a job folder and the office's sheets. Out: a `Card`. Must not know SQL, nor today. A record that cannot be read
whole is read as far as it goes: what is at fault is left out, and named.
"""

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction
from pathlib import Path

from dossier.assess.calendar import days_on_record
from dossier.assess.since import told_sales
from dossier.index.card import SEALED_PLACE, TABLES, Card, Row
from dossier.index.days import registrations
from dossier.index.later import later_deadlines
from dossier.index.marks import lots_of, marks_put_right
from dossier.index.rows import both
from dossier.index.sheets import Sheets
from dossier.index.states import states_of
from dossier.index.terms import JobSheets
from dossier.index.text import iso, number, one_line
from dossier.record.entry import Buyer, Entry, entries_of
from dossier.record.job import Job
from dossier.record.materials import MaterialLine
from dossier.record.people import Owner
from dossier.values import spelt
from dossier.words import Redecked, StartEvent

_MOST_REDECKED = (Redecked.WHOLE, Redecked.OVERLAID, Redecked.PART, Redecked.NO)


def card_of(job: Path, sheets: Sheets, record: dict[str, str]) -> Card:
    """Return the card of a job. record: its digests, taken before, so that a change since makes the card stale."""
    tables: dict[str, list[Row]] = {name: [] for name in TABLES}
    noted = [(folder.name, read) for folder, read in entries_of(job)]
    entries = [read.model for _, read in noted if read.model is not None]
    faults = [str(read.items[0].says) for _, read in noted if read.model is None]
    # The record that counts stands first.
    states, unread = states_of(job / next(iter(record)), entries)
    tables["entry"] = [_entry(folder, read.model) for folder, read in noted]
    head: tuple[str, ...] = ("",) * 7
    spare = claim = ""
    own = JobSheets(sheets, job, SEALED_PLACE in record)
    typed = states[-1].job
    if typed is not None:
        spare = _deliveries(typed, own, tables)
        marks_put_right(states, tables)
        days = days_on_record(typed)
        asked = registrations(typed, own, days, tables)
        told = [(folder, read.model) for folder, read in noted if read.model is not None]
        later_deadlines(told, asked, own, days, tables)
        head = _head(typed, days)
        claim = one_line(typed.insurance.claim if typed.insurance else None)
    tables["owner"] = list(_owners(typed, entries))
    phones = [str(row[1]) for row in tables["owner"]]
    phones += [one_line(one.claim.phone) for one in entries if one.claim]
    claims = [claim, *(str(row[3]) for row in tables["entry"])]
    notes = [" ".join(note.split()) for note in (typed.notes if typed else ())]
    return Card(
        record=record,
        sheets=own.looked,
        number=one_line(typed.job.number) if typed else "",
        head=head,
        spare=spare,
        tables=tables,
        said=(
            head[0],
            " ".join(str(row[0]) for row in tables["owner"]),
            both(*filter(None, phones)),
            both(head[2]),
            both(*filter(None, claims)),
            " ".join(dict.fromkeys(str(row[1]) for row in tables["product"])),
            both(*dict.fromkeys(str(row[1]) for row in tables["lot"])),
            " ".join([*notes, *(str(row[4]) for row in tables["entry"])])[:20_000],
        ),
        faults=[*faults, *unread],
    )


def _head(job: Job, days: dict[StartEvent, date | None]) -> tuple[str, ...]:
    redecked = {deck.redecked for deck in job.decks}
    return (
        one_line(job.job.address),
        one_line(job.job.locality),
        one_line(job.permit.number if job.permit else None),
        iso(days[StartEvent.CONTRACT]),
        iso(days[StartEvent.LAST_SHINGLE]),
        iso(days[StartEvent.COMPLETION_SIGNED]),
        next((word.value for word in _MOST_REDECKED if word in redecked), ""),
    )


def _deliveries(job: Job, own: JobSheets, tables: dict[str, list[Row]]) -> str:
    """Make the rows of products and lots, and return what is said of shingles left with the owner."""
    spare = []
    for delivery in job.deliveries:
        about = one_line(delivery.ticket), one_line(delivery.supplier), iso(delivery.on)
        for line in delivery.lines:
            name = one_line(line.product)
            if not name:
                continue
            place = len(tables["product"])
            role, maker = own.product(name)
            tables["lot"] += [(place, *lot, "") for lot in lots_of(line)]
            tables["product"].append(
                (
                    line.role.value if line.role else role,
                    name,
                    spelt(name),
                    one_line(line.maker) or maker,
                    one_line(line.colour),
                    number(line.quantity),
                    number(line.returned),
                    one_line(line.unit),
                    *about,
                    _marked(line),
                )
            )
            spare.append(one_line(line.left_with_owner))
    return "; ".join(filter(None, spare))


def _marked(line: MaterialLine) -> str:
    """Return whether all, some or none of what stayed on the roof has a lot on record."""
    lots = [lot.quantity for lot in line.lots if one_line(lot.mark)]
    if not lots:
        return "none"
    counted = [lot for lot in lots if lot is not None]
    if line.quantity is None or len(counted) < len(lots):
        return "some"
    return "all" if sum(counted) >= line.quantity - (line.returned or Fraction(0)) else "some"


def _owners(job: Job | None, entries: Sequence[Entry]) -> Iterator[Row]:
    """Yield the rows of owners, first and later."""
    sold = told_sales(entries)
    days = [iso(day) for day in sold]
    till = [*days, ""][1:]
    for owner in job.owners if job else ():
        yield *_person(owner), "", days[0] if days else ""
    for sale, day, until in zip(sold.values(), days, till, strict=True):
        yield *_person(sale.buyer or Buyer()), day, until


def _person(one: Owner | Buyer) -> tuple[str, ...]:
    return tuple(one_line(text) for text in (one.name, one.phone, one.email, one.mailing_address))


def _entry(folder: str, entry: Entry | None) -> Row:
    if entry is None:
        return folder, "", "", "", ""
    claim, work, visit = entry.claim, entry.work, entry.inspection
    says = [claim.slope, claim.room_below, claim.seen, claim.called_by] if claim else []
    says += [work.by, work.slope, work.what] if work else []
    says += [visit.by, visit.found, visit.decision] if visit else []
    says += [*_put_right(entry), entry.text]
    number_ = one_line(claim.number) if claim else ""
    text = ", ".join(filter(None, map(one_line, says)))
    return folder, entry.kind.value, iso(entry.on), number_, text


def _put_right(entry: Entry) -> Iterator[str | None]:
    """Yield what an entry put right or added, as far as somebody would look for it."""
    said, confirmed = entry.correction, entry.registration
    if said is not None:
        was, right = one_line(said.was), one_line(said.right)
        yield f"{one_line(said.field)}: {right or 'blank'}, not {was or 'blank'}"
        yield said.why
    if confirmed is not None:
        yield from (confirmed.level, confirmed.confirmation)
    files = [paper.file for paper in entry.papers] + [photo.file for photo in entry.photos]
    yield from (file.removeprefix("files/") for file in files)
