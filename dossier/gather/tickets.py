"""A supplier's table of delivered goods into deliveries, and those into the text of `job.yaml`.

In: the bytes of a table, how its columns are laid out, the catalogue's products, the record. Out: the
deliveries with an item for every line that is not one, and the new text of the record. Must not know
the office folder. A line that cannot be placed is named and nothing of it is written: a guess would be
a product on a roof that nobody delivered.
"""

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from dossier.errors import UnreadableInput, WrongCommand
from dossier.hand.means import Change
from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.kinds import MOST_CHARACTERS
from dossier.reading.model import Model, is_not_applicable
from dossier.reading.typed import Value
from dossier.record.job import Job
from dossier.record.materials import Delivery, Lot, MaterialLine
from dossier.record.read import JOB_FILE
from dossier.record.write import typed_fields
from dossier.values import clip, listed, nearest, parse_date, parse_number

MOST_TABLE_BYTES = 2_000_000
"""Bytes of a table. A ticket has some dozens of lines."""

MOST_ROWS = 2_000


@dataclass(frozen=True)
class TicketForm:
    """How a supplier's table is laid out. columns: each field's column, by the name in its first line.

    delimiter: one character. dates: a form such as MM/DD/YYYY. products, units: the supplier's codes
    and what they stand for.
    """

    supplier: str
    columns: Mapping[str, str]
    delimiter: str
    dates: str
    products: Mapping[str, str]
    units: Mapping[str, str]


@dataclass(frozen=True)
class Ticket:
    """What one table came to: its deliveries, and an item for each line that is none."""

    deliveries: tuple[Delivery, ...]
    items: tuple[Item, ...]


class _NotPlaced(Exception):
    """One line of a table that cannot become a line of material; says: found and needed."""

    def __init__(self, says: str, remedy: str) -> None:
        super().__init__(says)
        self.says = says
        self.remedy = remedy


@dataclass(frozen=True)
class _Row:
    ticket: str
    on: date | None
    product: str
    unit: str
    colour: str | None
    quantity: Fraction
    lot: str | None


def read_ticket(
    data: bytes, file: str, form: TicketForm, catalogue: Mapping[str, tuple[str, Sequence[str]]]
) -> Ticket:
    """Return the deliveries in a table, one a ticket number, in its order.

    file: the name printed in sentences. catalogue: each product's unit and colours. Raises
    UnreadableInput for a table that is not laid out as the form says.
    """
    by_key = {_key(name): (name, unit, colours) for name, (unit, colours) in catalogue.items()}
    rows: list[_Row] = []
    items: list[Item] = []
    for line, cells in _rows(data, file, form):
        try:
            rows.append(_row(cells, form, by_key))
        except _NotPlaced as problem:
            items.append(_item(file, line, problem))
    return Ticket(tuple(_deliveries(rows, form.supplier)), tuple(items))


def additions(job: Job, deliveries: Sequence[Delivery]) -> tuple[Change, ...]:
    """Return what deliveries change in `job.yaml`: they go to the end of its list.

    job: as that file says. Raises WrongCommand where the record has a ticket of that number already.
    """
    _refuse_again(job, deliveries)
    first, *more = (_as_typed(delivery) for delivery in deliveries)
    return (Change(("deliveries", str(len(job.deliveries))), first, tuple(more)),)


# --- the table ----------------------------------------------------------------------------------


def _rows(data: bytes, file: str, form: TicketForm) -> Iterator[tuple[int, dict[str, str]]]:
    """Yield each line that is not blank: its number from 1, and its cells by field."""
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
                yield reader.line_num, found
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


def _row(
    cells: Mapping[str, str],
    form: TicketForm,
    catalogue: Mapping[str, tuple[str, str, Sequence[str]]],
) -> _Row:
    ticket = cells.get("ticket", "")
    if not ticket:
        raise _NotPlaced("there is no ticket number", "Ask the supplier for the number.")
    code = cells.get("product", "")
    named = _by_code(form.products, code) or code
    known = catalogue.get(_key(named))
    if known is None:
        near = nearest(named, [product for product, _, _ in catalogue.values()])
        hint = f"; the nearest is “{near}”" if near else ""
        raise _NotPlaced(
            f"“{clip(named)}” is no product of a catalogue{hint}",
            shape.TICKET_LINE.remedy,
        )
    product, unit, colours = known
    return _Row(
        _plain("ticket number", ticket),
        _day(cells.get("on", ""), form.dates),
        product,
        _unit(cells.get("unit", ""), unit, form, product),
        _colour(cells.get("colour", ""), colours, product),
        _quantity(cells.get("quantity", "")),
        _lot(cells.get("lot", "")),
    )


def _by_code(codes: Mapping[str, str], code: str) -> str | None:
    return next((value for one, value in codes.items() if _key(one) == _key(code)), None)


def _unit(given: str, wanted: str, form: TicketForm, product: str) -> str:
    unit = _by_code(form.units, given) or given
    if given and _key(unit) not in (_key(wanted), _key(many_of(wanted))):
        raise _NotPlaced(
            f"{product} is counted in “{clip(unit)}” here and in “{wanted}” in the catalogue",
            "Add the unit to the supplier's sheet, or type the line in by what was delivered.",
        )
    return wanted


def _colour(given: str, colours: Sequence[str], product: str) -> str | None:
    if not given:
        return None
    found = next((colour for colour in colours if _key(colour) == _key(given)), None)
    if found is None and colours:
        raise _NotPlaced(
            f"{product} comes in {listed(list(colours), 'or')}, and the ticket says “{clip(given)}”",
            "Ask the supplier what was delivered; then type the line in.",
        )
    return found or _plain("colour", given)


def _quantity(given: str) -> Fraction:
    try:
        quantity = parse_number(given)
    except ValueError as problem:
        raise _NotPlaced(
            f"the quantity cannot be read: {problem}",
            "A line below zero is a return: write it as “returned” at the line it belongs to.",
        ) from None
    if not quantity:
        raise _NotPlaced("the quantity is zero", "Nothing came; nothing has to be written.")
    return quantity


def _lot(given: str) -> str | None:
    return _plain("lot", given) if given else None


def _plain(what: str, given: str) -> str:
    if not given.isprintable() or is_not_applicable(given) or len(given) > MOST_CHARACTERS:
        raise _NotPlaced(
            f"the {what} “{clip(ascii(given))}” cannot stand in a record", "Type the line in."
        )
    return given


def _day(given: str, form: str) -> date | None:
    if not given:
        return None
    pattern = re.escape(form)
    for part, name in (("YYYY", r"(?P<y>\d{4})"), ("MM", r"(?P<m>\d\d?)"), ("DD", r"(?P<d>\d\d?)")):
        pattern = pattern.replace(part, name)
    match = re.fullmatch(pattern, given, re.ASCII)
    try:
        if match is None:
            raise ValueError(f"found “{clip(given)}”, needed {form}")
        return parse_date(f"{match['y']}-{match['m']:0>2}-{match['d']:0>2}")
    except ValueError as problem:
        raise _NotPlaced(
            f"the day cannot be read: {problem}", "Correct “dates” in the supplier's sheet."
        ) from None


def _item(file: str, line: int, problem: _NotPlaced) -> Item:
    says = f"{file} line {line}: {problem.says}; nothing of this line was written."
    return shape.TICKET_LINE.at(Where(file, line), says, problem.remedy)


# --- deliveries ---------------------------------------------------------------------------------


def _deliveries(rows: Sequence[_Row], supplier: str) -> Iterator[Delivery]:
    """Yield one delivery a ticket; rows of one product and colour become one line with its lots."""
    for ticket in dict.fromkeys(row.ticket for row in rows):
        own = [row for row in rows if row.ticket == ticket]
        groups: dict[tuple[str, str | None], list[_Row]] = {}
        for row in own:
            groups.setdefault((row.product, row.colour), []).append(row)
        days = {row.on for row in own if row.on}
        yield Delivery(
            ticket=ticket,
            supplier=supplier,
            # Several days on one ticket: the goods were there on the last of them.
            on=max(days, default=None),
            lines=tuple(_material(group) for group in groups.values()),
        )


def _material(rows: Sequence[_Row]) -> MaterialLine:
    lots: dict[str, Fraction] = {}
    for row in rows:
        if row.lot:
            lots[row.lot] = lots.get(row.lot, Fraction(0)) + row.quantity
    quantity = sum((row.quantity for row in rows), Fraction(0))
    unit = rows[0].unit
    return MaterialLine(
        product=rows[0].product,
        quantity=quantity,
        unit=unit if quantity == 1 else many_of(unit),
        colour=rows[0].colour,
        lots=tuple(Lot(mark=mark, quantity=held) for mark, held in lots.items()),
    )


def many_of(unit: str) -> str:
    """Return a unit in the plural: bundles, boxes."""
    if unit.endswith(("s", "x", "ch", "sh")):
        return f"{unit}es"
    return f"{unit}s"


def _refuse_again(job: Job, deliveries: Sequence[Delivery]) -> None:
    for delivery in deliveries:
        for number, old in enumerate(job.deliveries, start=1):
            same_supplier = not old.supplier or _key(old.supplier) == _key(delivery.supplier or "")
            if old.ticket and _key(old.ticket) == _key(delivery.ticket or "") and same_supplier:
                raise WrongCommand(
                    f"Ticket {delivery.ticket} is in {JOB_FILE} already, as delivery {number}.",
                    f"Nothing was written. Type what is missing in there, or delete delivery {number} "
                    "first and gather the ticket again.",
                )


def _key(text: str) -> str:
    return " ".join(text.split()).casefold()


def _as_typed(delivery: Delivery) -> dict[str, Value]:
    """Return a delivery as on a ticket: a line of material on one line where that reads back as it is."""
    lines = [
        short if _reads_as(short := _short(line), line) else _told(line) for line in delivery.lines
    ]
    return {**_told(delivery), "lines": lines}


def _told(group: Model) -> dict[str, Value]:
    """Return the fields of a group that say more than what is taken anyway."""
    defaults = {name: info.default for name, info in type(group).model_fields.items()}
    fields = typed_fields(group).items()
    return {name: said for name, said in fields if getattr(group, name) != defaults[name]}


def _short(line: MaterialLine) -> str:
    parts = [f"{line.quantity} {line.unit} {line.product}"]
    if line.colour:
        parts.append(f"colour {line.colour}")
    if line.lots:
        lots = "; ".join(f"{lot.mark} x {lot.quantity}" for lot in line.lots)
        parts.append(f"{'lot' if len(line.lots) == 1 else 'lots'} {lots}")
    return ", ".join(parts)


def _reads_as(short: str, line: MaterialLine) -> bool:
    try:
        return MaterialLine.model_validate(short) == line
    except ValueError:
        return False
