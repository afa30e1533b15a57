"""Lines of a supplier's ticket into deliveries, however they were read: cells by field, line by line.

In: cells with the place they stand at, the supplier's codes, the catalogue's products. Out: `Ticket`:
deliveries, the line each came from, and an item for every line that is none. Must not know a table's or a page's
layout. A line that cannot be placed is named and nothing of it is written: a guess would be a product on a roof
that nobody delivered.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from dossier.gather.labels import written_day
from dossier.gather.lots import ASK, NotPlaced, lots_in, plain, quantity_of
from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.near import nearest
from dossier.record.materials import Delivery, Lot, MaterialLine
from dossier.said import Listed, Runs, Said, say
from dossier.values import clip, parse_date, unit_for, units_of

Catalogue = Mapping[str, tuple[str, Sequence[str]]]
"""Each product's unit and colours, by its name."""

Goods = tuple[str, str, Sequence[str]]
"""A product's name, unit and colours."""

NOT_DELIVERED = re.compile(
    r"\b(?:back[\s-]?order(?:ed|s)?|b/o|return(?:ed|s)?|credit(?:ed)?|cancel(?:led|ed)?|substitut\w*"
    r"|not\s+(?:shipped|loaded|delivered|received|on\s+(?:the\s+)?truck)|out\s+of\s+stock|to\s+follow"
    r"|refused|rejected|short(?:ed|age)?|damaged|missing)\b",
    re.I,
)
"""Words by which a line is no delivery as it stands. Common practice, no published source."""


@dataclass(frozen=True)
class TicketForm:
    """How a supplier's table is laid out. columns: each field's column, by the name in its first line.

    delimiter: one character. dates: a form such as MM/DD/YYYY. products, units: the supplier's codes
    and what they stand for. printed: what reads otherwise on a printed ticket. printed_dates: how days are written
    there. makers: of each product, whose name may stand before it.
    """

    supplier: str
    columns: Mapping[str, str]
    delimiter: str
    dates: str
    products: Mapping[str, str]
    units: Mapping[str, str]
    printed: Mapping[str, str] = field(default_factory=dict)
    printed_dates: str = "YYYY-MM-DD"
    makers: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Stand:
    """Where a line stands: page from 1, 0 in a table; line from 1; and its words."""

    page: int
    line: int
    words: str


@dataclass(frozen=True)
class Cells:
    """One line of a ticket as cells by field, none of them blank; under: a heading over it, such as “Returned”.

    why_not: why it cannot be placed, where its layout alone says so. below: words on lines of their own under it;
    beside: such under columns that nobody asks for. doubt: what stands beside it by which not all of it may have
    come.
    """

    stands: Stand
    cells: Mapping[str, str]
    under: str = ""
    why_not: Said | None = None
    below: tuple[Stand, ...] = ()
    beside: tuple[Stand, ...] = ()
    doubt: Said | None = None


@dataclass(frozen=True)
class Row:
    """One line of a ticket understood. stands: it and the lines of its lots."""

    ticket: str
    on: date | None
    product: str
    unit: str
    colour: str | None
    quantity: Fraction
    lots: tuple[Lot, ...]
    stands: tuple[Stand, ...]
    doubt: Said | None = None


@dataclass(frozen=True)
class Ticket:
    """What one ticket came to: its deliveries, its rows, and an item for each line that is none.

    aside: lines at or below the table that say nothing of goods, as far as can be told. ticket_at: where each
    ticket's number and day stand, by the number.
    """

    deliveries: tuple[Delivery, ...]
    items: tuple[Item, ...]
    rows: tuple[Row, ...] = ()
    aside: tuple[Stand, ...] = ()
    ticket_at: Mapping[str, Stand] | None = None


def ticket_of(
    lines: Iterable[Cells], file: str, form: TicketForm, catalogue: Catalogue, dates: str
) -> Ticket:
    """Return the deliveries in the lines of a ticket, one a ticket number, in their order.

    file: the name printed in sentences. dates: how days are written.
    """
    by_key = {key_of(name): (name, unit, colours) for name, (unit, colours) in catalogue.items()}
    for name, maker in form.makers.items():
        if key_of(name) in by_key:
            by_key.setdefault(key_of(f"{maker} {name}"), by_key[key_of(name)])
    rows: list[Row] = []
    items: list[Item] = []
    numberless: dict[int, list[Stand]] = {}
    for line, lots in _with_lots(lines):
        try:
            rows.append(_row(line, lots, form, by_key, dates))
        except _NoNumber:
            own = (one.stands for one in (line, *lots))
            numberless.setdefault(line.stands.page, []).extend(own)
        except NotPlaced as problem:
            items += [
                _item(file, one.stands, problem.says, problem.remedy) for one in (line, *lots)
            ]
    items += [_no_number(file, stands) for stands in numberless.values()]
    kept, copies = _once(rows)
    remedy = "Type it in too where both were delivered."
    items += [_item(file, row.stands[0], says, remedy) for row, says in copies]
    return Ticket(tuple(_deliveries(kept, form.supplier)), tuple(items), tuple(kept))


def _once(rows: Sequence[Row]) -> tuple[list[Row], list[tuple[Row, Said]]]:
    """Return rows without those that stand alike on an earlier page, which may be copies, and these."""
    kept: list[Row] = []
    copies: list[tuple[Row, Said]] = []
    for row in rows:
        alike = (n for n, one in enumerate(kept) if _is_copy(one, row))
        at = next(alike, None)
        if at is None:
            kept.append(row)
            continue
        here, there = row.stands[0].page, kept[at].stands[0].page
        doubt = say("it stands on page {here} too, which may be a copy", here=here)
        kept[at] = replace(kept[at], doubt=kept[at].doubt or doubt)
        copies.append(
            (row, say("it stands on page {there} too, and one may be a copy", there=there))
        )
    return kept, copies


def _is_copy(one: Row, row: Row) -> bool:
    bare = replace(row, stands=one.stands, doubt=one.doubt)
    return one == bare and one.stands[0].page != row.stands[0].page


def paper_of(ticket: Ticket, ending: str) -> str:
    """Return where a ticket is filed in a job as the paper it is: papers/ticket-55120.pdf."""
    number = re.sub(r"[^\w.-]+", "-", ticket.deliveries[0].ticket or "").strip("-.")
    return f"papers/ticket-{number or 'unnumbered'}.{ending}"


def key_of(text: str) -> str:
    """Return what two texts have alike that differ in spaces and capitals alone."""
    return " ".join(text.split()).casefold()


def material_of(rows: Sequence[Row]) -> MaterialLine:
    """Return rows of one product and colour as one line of material with its lots."""
    lots: dict[str, Fraction | None] = {}
    for lot in (lot for row in rows for lot in row.lots):
        held = lots.get(lot.mark, Fraction(0))
        both = held is not None and lot.quantity is not None
        lots[lot.mark] = held + lot.quantity if both else None  # type: ignore[operator]
    quantity = sum((row.quantity for row in rows), Fraction(0))
    unit = rows[0].unit
    return MaterialLine(
        product=rows[0].product,
        quantity=quantity,
        unit=unit_for(quantity, unit),
        colour=rows[0].colour,
        lots=tuple(Lot(mark=mark, quantity=held) for mark, held in lots.items()),
    )


def grouped(rows: Iterable[Row]) -> dict[tuple[str, str | None], list[Row]]:
    """Return rows by product and colour, in their order."""
    groups: dict[tuple[str, str | None], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.product, row.colour), []).append(row)
    return groups


def _deliveries(rows: Sequence[Row], supplier: str) -> Iterator[Delivery]:
    """Yield one delivery a ticket; rows of one product and colour become one line with its lots."""
    for ticket in dict.fromkeys(row.ticket for row in rows):
        own = [row for row in rows if row.ticket == ticket]
        days = {row.on for row in own if row.on}
        yield Delivery(
            ticket=ticket,
            supplier=supplier,
            # Several days on one ticket: the goods were there on the last of them.
            on=max(days, default=None),
            lines=tuple(material_of(group) for group in grouped(own).values()),
        )


def _with_lots(lines: Iterable[Cells]) -> Iterator[tuple[Cells, tuple[Cells, ...]]]:
    """Yield each line of goods with the lines below it that hold nothing but a lot of it."""
    waiting: list[Cells] = []
    for line in lines:
        is_lot = "lot" in line.cells and "product" not in line.cells and line.why_not is None
        if waiting and is_lot and _same_ticket(waiting[0], line):
            waiting.append(line)
            continue
        if waiting:
            yield waiting[0], tuple(waiting[1:])
        waiting = [line]
    if waiting:
        yield waiting[0], tuple(waiting[1:])


def _same_ticket(above: Cells, line: Cells) -> bool:
    number = line.cells.get("ticket")
    return number is None or number == above.cells.get("ticket")


def _row(
    line: Cells,
    below: Sequence[Cells],
    form: TicketForm,
    catalogue: Mapping[str, Goods],
    dates: str,
) -> Row:
    if line.why_not is not None:
        raise NotPlaced(line.why_not, ASK)
    cells = line.cells
    words = " ".join((line.under, line.stands.words, *(one.words for one in line.below)))
    if said := NOT_DELIVERED.search(words):
        raise NotPlaced(
            say("it says “{word}”", word=said[0]),
            "Goods that did not come are not written; what went back is “returned” at the line it belongs to.",
        )
    ticket = cells.get("ticket", "")
    if not ticket:
        raise _NoNumber(say("there is no ticket number"), "Ask the supplier for the number.")
    (name, unit, colours), colour, doubt = _product(line, form, catalogue)
    for one in below:
        _unit(one.cells.get("unit", ""), unit, form, name)
    given = cells.get("quantity", "")
    held = [_lot_cells(one) for one in below]
    own = lots_in(cells["lot"]) if "lot" in cells else []
    lots = own + [lot for lots in held for lot in lots]
    if not given and lots and all(lot.quantity for lot in lots):
        quantity = sum((lot.quantity for lot in lots if lot.quantity), Fraction(0))
        stated_unit = next((one.cells["unit"] for one in below if "unit" in one.cells), "")
    else:
        number, stated_unit = _number_and_unit(given)
        quantity = quantity_of(number)
    return Row(
        plain("ticket number", ticket),
        _day(cells.get("on", ""), dates),
        name,
        _unit(cells.get("unit", "") or stated_unit, unit, form, name),
        _colour(cells.get("colour", ""), colours, name) or colour,
        quantity,
        _shared(lots, quantity),
        (line.stands, *line.beside, *(one.stands for one in below)),
        doubt or line.doubt,
    )


def _product(
    line: Cells, form: TicketForm, catalogue: Mapping[str, Goods]
) -> tuple[Goods, str | None, Said | None]:
    """Return the product, the colour its words end with, and what may be wrong with it."""
    said = line.cells.get("product", "")
    joined = " ".join([said, *(one.words for one in line.below)])
    found = _named(joined, form, catalogue)
    if found is not None:
        return *found, None
    found = _named(said, form, catalogue)
    if found is not None and key_of(said) not in catalogue:
        # A code says what it is, whatever stands below it.
        return *found, None
    if found is not None:
        left = " ".join(one.words for one in line.below)
        named = key_of(re.sub(r"^colou?r\W*", "", left, flags=re.I))
        colour = next((one for one in found[0][2] if key_of(one) == named), None)
        if colour is not None:
            return found[0], colour, None
        return *found, say(
            "“{words}” stands below it and may be part of the name", words=clip(left)
        )
    near = nearest(said, [name for name, _, _ in catalogue.values()])
    says = say("“{words}” is no product of a catalogue", words=clip(joined))
    if near:
        says = say("{says}; the nearest is “{near}”", says=says, near=near)
    raise NotPlaced(says, shape.TICKET_LINE.remedy)


def _named(
    words: str, form: TicketForm, catalogue: Mapping[str, Goods]
) -> tuple[Goods, str | None] | None:
    """Return what these words name: a code, a product, either with a colour of it behind; None where nothing."""
    code, _, behind = words.partition(" ")
    whole = _by_code(form.products, words) or words
    known = catalogue.get(key_of(whole))
    if known is not None:
        return known, None
    start, comma, colour = whole.rpartition(",")
    known = catalogue.get(key_of(_by_code(form.products, start) or start)) if comma else None
    said = next((one for one in known[2] if key_of(one) == key_of(colour)), None) if known else None
    if known is not None and said is not None:
        return known, said
    # A code in front of a description: the code says what it is.
    named = _by_code(form.products, code) if behind and any(map(str.isdigit, code)) else None
    known = catalogue.get(key_of(named)) if named else None
    return None if known is None else (known, None)


def _by_code(codes: Mapping[str, str], code: str) -> str | None:
    return next((value for one, value in codes.items() if key_of(one) == key_of(code)), None)


def _unit(given: str, wanted: str, form: TicketForm, product: str) -> str:
    unit = _by_code(form.units, given) or given
    if given and key_of(unit) not in map(key_of, (wanted, *units_of(wanted))):
        raise NotPlaced(
            say(
                "{product} is counted in “{unit}” here and in “{wanted}” in the catalogue",
                product=product,
                unit=clip(unit),
                wanted=wanted,
            ),
            "Add the unit to the supplier's sheet, or type the line in by what was delivered.",
        )
    return wanted


def _colour(given: str, colours: Sequence[str], product: str) -> str | None:
    if not given:
        return None
    found = next((colour for colour in colours if key_of(colour) == key_of(given)), None)
    if found is None and colours:
        raise NotPlaced(
            say(
                "{product} comes in {colours}, and the ticket says “{colour}”",
                product=product,
                colours=Listed(tuple(colours), "or"),
                colour=clip(given),
            ),
            ASK,
        )
    return found or plain("colour", given)


def _number_and_unit(given: str) -> tuple[str, str]:
    """Return the parts of “42 BDL”; the whole as the number where it is not of that form."""
    match = re.fullmatch(r"(\d[\d.,/]*)\s*([A-Za-z]+)\.?", given)
    return (match[1], match[2]) if match else (given, "")


def _lot_cells(line: Cells) -> list[Lot]:
    """Return the lots of a line that holds nothing else; one alone carries the quantity beside it."""
    lots = lots_in(line.cells["lot"])
    given = line.cells.get("quantity", "")
    if given and len(lots) == 1 and lots[0].quantity is None:
        return [Lot(mark=lots[0].mark, quantity=quantity_of(_number_and_unit(given)[0]))]
    return lots


def _shared(lots: Sequence[Lot], quantity: Fraction) -> tuple[Lot, ...]:
    """Return the lots of a line; one alone carries all of it. Raises NotPlaced where they come to more."""
    if len(lots) == 1 and lots[0].quantity is None:
        return (Lot(mark=lots[0].mark, quantity=quantity),)
    held = sum((lot.quantity for lot in lots if lot.quantity), Fraction(0))
    if held > quantity:
        raise NotPlaced(
            say(
                "its lots come to {held} and the line to {whole}",
                held=str(held),
                whole=str(quantity),
            ),
            ASK,
        )
    return tuple(lots)


def day_of(given: str, form: str) -> date:
    """Return the day written in a form such as MM/DD/YYYY or DD MMM YYYY; raises ValueError."""
    pattern = re.escape(form)
    for part, name in (
        ("MMMM", r"(?P<name>[^\W\d_]+\.?)"),
        ("MMM", r"(?P<name>[^\W\d_]+\.?)"),
        ("YYYY", r"(?P<y>\d{4}|\d\d)"),
        ("MM", r"(?P<m>\d\d?)"),
        ("DD", r"(?P<d>\d\d?)"),
    ):
        pattern = pattern.replace(part, name)
    match = re.fullmatch(pattern, given, re.ASCII)
    if match is None:
        raise ValueError(f"found “{clip(given)}”, needed {form}")
    if "name" in match.groupdict():
        written = written_day(given)
        if written is None:
            raise ValueError(f"found “{clip(given)}”, needed {form}")
        return written.day
    # A ticket is of this century.
    year = match["y"] if len(match["y"]) == 4 else f"20{match['y']}"
    return parse_date(f"{year}-{match['m']:0>2}-{match['d']:0>2}")


def _day(given: str, form: str) -> date | None:
    if not given:
        return None
    try:
        return day_of(given, form)
    except ValueError as problem:
        raise NotPlaced(
            say("the day cannot be read: {problem}", problem=str(problem)),
            "Correct “dates” in the supplier's sheet.",
        ) from None


class _NoNumber(NotPlaced):
    """Goods of no ticket: what all lines of a page lack is said once."""


def _no_number(file: str, stands: Sequence[Stand]) -> Item:
    says, remedy = (
        say("there is no ticket number"),
        (
            "Correct the label of the number in the supplier's sheet, or ask the supplier for the number."
        ),
    )
    if len(stands) == 1:
        return _item(file, stands[0], says, remedy)
    lines = Runs(tuple(one.line for one in stands))
    at = say("lines {lines}", lines=lines)
    if stands[0].page:
        at = say("page {page} lines {lines}", page=stands[0].page, lines=lines)
    whole = say(
        "{file} {at}: {says}; nothing of these lines was written.", file=file, at=at, says=says
    )
    return shape.TICKET_LINE.at(Where(file, stands[0].line), whole, remedy)


def _item(file: str, stands: Stand, says: Said, remedy: str) -> Item:
    at = say("page {page} line {line}", page=stands.page, line=stands.line)
    whole = say(
        "{file} {at}: {says}; nothing of this line was written.",
        file=file,
        at=at if stands.page else say("line {line}", line=stands.line),
        says=says,
    )
    return shape.TICKET_LINE.at(Where(file, stands.line), whole, remedy)
