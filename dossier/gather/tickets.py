"""A supplier's table of delivered goods into lines of a ticket, and deliveries into the text of `job.yaml`.

In: the bytes of a table, how its columns are laid out, the catalogue's products, the record. Out: the ticket,
and what it changes in the record. Must not know the office folder, nor what makes a line one of goods: see
`ticket_rows.py`.
"""

import csv
import io
from collections.abc import Iterator, Sequence

from dossier.errors import UnreadableInput, WrongCommand
from dossier.gather.ticket_rows import (
    Catalogue,
    Cells,
    Stand,
    Ticket,
    TicketForm,
    key_of,
    ticket_of,
)
from dossier.hand.means import Change
from dossier.reading.model import Model
from dossier.reading.typed import Value
from dossier.record.job import Job
from dossier.record.materials import Delivery, MaterialLine
from dossier.record.read import JOB_FILE
from dossier.record.write import typed_fields
from dossier.values import clip, listed, unit_for

MOST_TABLE_BYTES = 2_000_000
"""Bytes of a table. A ticket has some dozens of lines."""

MOST_ROWS = 2_000


def read_ticket(data: bytes, file: str, form: TicketForm, catalogue: Catalogue) -> Ticket:
    """Return the deliveries in a table, one a ticket number, in its order.

    file: the name printed in sentences. catalogue: each product's unit and colours. Raises
    UnreadableInput for a table that is not laid out as the form says.
    """
    return ticket_of(_rows(data, file, form), file, form, catalogue, form.dates)


def additions(job: Job, deliveries: Sequence[Delivery]) -> tuple[Change, ...]:
    """Return what deliveries change in `job.yaml`: they go to the end of its list.

    job: as that file says. Raises WrongCommand where the record has a ticket of that number already.
    """
    _refuse_again(job, deliveries)
    first, *more = (_as_typed(delivery) for delivery in deliveries)
    return (Change(("deliveries", str(len(job.deliveries))), first, tuple(more)),)


# --- the table ----------------------------------------------------------------------------------


def _rows(data: bytes, file: str, form: TicketForm) -> Iterator[Cells]:
    """Yield each line that is not blank."""
    if len(data) > MOST_TABLE_BYTES:
        raise UnreadableInput(
            f"{file} has {len(data):,} bytes; at most {MOST_TABLE_BYTES:,} are read.",
            "Save the ticket alone as a table.",
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise UnreadableInput(
            f"{file} is not UTF-8 text.", "Save the table again as CSV with encoding UTF-8."
        ) from None
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=form.delimiter, strict=True)
    try:
        heads = next(reader, [])
        places = _places(heads, file, form)
        for count, cells in enumerate(reader):
            if count >= MOST_ROWS:
                raise UnreadableInput(
                    f"{file} has more than {MOST_ROWS:,} lines.", "Save the ticket alone."
                )
            if any(cell.strip() for cell in cells):
                found = {name: cells[at].strip() for name, at in places.items() if at < len(cells)}
                stands = Stand(0, reader.line_num, form.delimiter.join(cells))
                yield Cells(stands, {name: cell for name, cell in found.items() if cell})
    except csv.Error as problem:
        raise UnreadableInput(
            f"{file} line {reader.line_num} is not a line of a table ({problem}).",
            "Save the table again as CSV.",
        ) from None


def _places(heads: Sequence[str], file: str, form: TicketForm) -> dict[str, int]:
    known = [" ".join(head.split()).casefold() for head in heads]
    places: dict[str, int] = {}
    for name, column in form.columns.items():
        wanted = " ".join(column.split()).casefold()
        if known.count(wanted) != 1:
            count = "no column" if wanted not in known else "more than one column"
            has = listed([f"“{clip(head)}”" for head in heads]) or "nothing"
            raise UnreadableInput(
                f"{file} has {count} “{clip(column)}” for the {name}; its first line has {has}.",
                f"Correct the columns in the sheet of {form.supplier}.",
            )
        places[name] = known.index(wanted)
    return places


def _refuse_again(job: Job, deliveries: Sequence[Delivery]) -> None:
    for delivery in deliveries:
        for number, old in enumerate(job.deliveries, start=1):
            same_supplier = not old.supplier or key_of(old.supplier) == key_of(
                delivery.supplier or ""
            )
            if old.ticket and key_of(old.ticket) == key_of(delivery.ticket or "") and same_supplier:
                raise WrongCommand(
                    f"Ticket {delivery.ticket} is in {JOB_FILE} already, as delivery {number}.",
                    f"Nothing was written. Type what is missing in there, or delete delivery {number} "
                    "first and gather the ticket again.",
                )


def _as_typed(delivery: Delivery) -> dict[str, Value]:
    """Return a delivery as on a ticket: a line of material on one line where that reads back as it is."""
    return {**_told(delivery), "lines": [line_as_typed(line) for line in delivery.lines]}


def line_as_typed(line: MaterialLine) -> Value:
    """Return a line of material as a person would type it."""
    return short if _reads_as(short := _short(line), line) else _told(line)


def _told(group: Model) -> dict[str, Value]:
    """Return the fields of a group that say more than what is taken anyway."""
    defaults = {name: info.default for name, info in type(group).model_fields.items()}
    fields = typed_fields(group).items()
    return {name: said for name, said in fields if getattr(group, name) != defaults[name]}


def _short(line: MaterialLine) -> str:
    parts = [f"{line.quantity} {unit_for(line.quantity or 0, line.unit)} {line.product}"]
    if line.colour:
        parts.append(f"colour {line.colour}")
    if line.lots:
        lots = "; ".join(
            f"{lot.mark} x {lot.quantity}" if lot.quantity is not None else lot.mark
            for lot in line.lots
        )
        parts.append(f"{'lot' if len(line.lots) == 1 else 'lots'} {lots}")
    return ", ".join(parts)


def _reads_as(short: str, line: MaterialLine) -> bool:
    try:
        return MaterialLine.model_validate(short) == line
    except ValueError:
        return False
