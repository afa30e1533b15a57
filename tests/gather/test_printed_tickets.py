"""Printed tickets of several layouts become the delivery they print; what cannot be placed is named."""

import csv
import io
import string
from collections.abc import Sequence
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from dossier.errors import UnreadableInput
from dossier.evidence.text import read_texts
from dossier.gather.lot_line import lot_alone
from dossier.gather.printed_ticket import read_printed
from dossier.gather.proposed_sheet import proposed_sheet
from dossier.gather.ticket_rows import Ticket, TicketForm, day_of
from dossier.gather.tickets import read_ticket
from dossier.gather.titles import title_of
from dossier.record.materials import Delivery
from dossier.words import PaperKind
from tests.drawn_papers import by_hand, columns, drawn, ruled

CATALOGUE: dict[str, tuple[str, Sequence[str]]] = {
    "Fenwright 40": ("bundle", ("Slate Grey", "Peat Brown")),
    "Firstrow starter": ("bundle", ()),
    "Icehold ice barrier": ("roll", ()),
    "Dryfell underlayment": ("roll", ()),
    "Eavewright eave edge": ("piece", ()),
    "Coil nails 1-1/4 in": ("box", ()),
}
FORM = TicketForm(
    supplier="Fjordgate Building Supply",
    columns={
        "ticket": "Ticket No",
        "on": "Ship Date",
        "product": "Item",
        "quantity": "Qty",
        "unit": "UOM",
        "lot": "Lot",
    },
    delimiter=",",
    dates="MM/DD/YYYY",
    products={
        "FG-1001": "Fenwright 40",
        "FG-1040": "Firstrow starter",
        "FG-2200": "Icehold ice barrier",
        "FG-2100": "Dryfell underlayment",
        "FG-3300": "Eavewright eave edge",
        "FG-7100": "Coil nails 1-1/4 in",
    },
    units={"BDL": "bundle", "RL": "roll", "PC": "piece", "BX": "box"},
    printed_dates="MM/DD/YYYY",
    makers={"Fenwright 40": "Kestrelmoor", "Icehold ice barrier": "Kestrelmoor"},
)
NO_COLUMNS = {name: head for name, head in FORM.columns.items() if name != "lot"}


def form(**columns: str) -> TicketForm:
    """Return the form with these heads for printed tickets, and none but these."""
    return TicketForm(**{**FORM.__dict__, "printed": columns})


def read(data: bytes, by: TicketForm = FORM) -> Ticket:
    """Return what a printed ticket comes to."""
    [text] = read_texts([data])
    assert text.fault is None
    return read_printed(text, "ticket.pdf", by, CATALOGUE)


def said(ticket: Ticket) -> list[str]:
    """Return each line of each delivery in short."""
    return [
        f"{line.quantity} {line.unit} {line.product}"
        + (f", {line.colour}" if line.colour else "")
        + "".join(f" [{lot.mark} x {lot.quantity}]" for lot in line.lots)
        for delivery in ticket.deliveries
        for line in delivery.lines
    ]


def heads(ticket: Ticket) -> list[tuple[str | None, date | None]]:
    """Return number and day of each delivery."""
    return [(delivery.ticket, delivery.on) for delivery in ticket.deliveries]


TOP = [
    (40, 40, "Fjordgate Building Supply"),
    (380, 40, "Ticket No: 55201"),
    (40, 54, "Port Ismere 555-0118"),
    (380, 54, "Ship Date: 09/15/2026"),
    (40, 80, "Ship to: 118 Plover Lane, Halvorsted"),
]
X = (40, 110, 330, 380, 430)
HEAD = ("Item", "Description", "Qty", "UOM", "Lot")


def test_no_rules_and_two_columns_above() -> None:
    page = TOP + columns(
        X,
        120,
        HEAD,
        ("FG-1001", "Laminated shingle", "30", "BDL", "0012345"),
        ("FG-1001", "Laminated shingle", "12", "BDL", "0012346"),
        ("FG-2200", "Self-adhered membrane", "3", "RL", "1E5"),
        ("FG-7100", "Coil nails", "2", "BX", ""),
    )
    for data in (drawn(page), by_hand(page), by_hand(page, font="Helvetica")):
        ticket = read(data)
        assert heads(ticket) == [("55201", date(2026, 9, 15))]
        assert said(ticket) == [
            "42 bundles Fenwright 40 [0012345 x 30] [0012346 x 12]",
            "3 rolls Icehold ice barrier [1E5 x 3]",
            "2 boxes Coil nails 1-1/4 in",
        ]
        assert ticket.items == ()


def test_small_print_beside_a_large_heading_keeps_its_cells_apart() -> None:
    """Text set out in equal letters joins these cells; what a ticket is read from must not."""
    words = "Laminated shingle, thirty-three sq ft to the filled bundle, thirty"
    x = (40, 90, 290, 310, 330)
    page = [
        (40, 40, "Ticket No 55201"),
        *columns(x, 120, HEAD, ("FG-1001", words, "42", "BDL", "0012345")),
    ]
    small = drawn(page, size=7)
    assert said(read(small)) == ["42 bundles Fenwright 40 [0012345 x 42]"]


def test_a_layout_in_equal_letters_would_have_joined_them() -> None:
    from reportlab.pdfgen.canvas import Canvas

    target = io.BytesIO()
    canvas = Canvas(target)
    canvas.setFont("Helvetica-Bold", 22)
    canvas.drawString(40, 740, "WWW MOM DELIVERY TICKET")
    canvas.setFont("Helvetica", 7)
    canvas.drawString(
        40, 700, "Fenwright 40 laminated shingle, thirty-three sq ft to the filled bundle"
    )
    canvas.drawString(255, 700, "0012345")
    canvas.save()
    laid = PdfReader(io.BytesIO(target.getvalue())).pages[0].extract_text(extraction_mode="layout")
    assert "bundle0012345" in laid
    [text] = read_texts([target.getvalue()])
    assert text.lines[-1].pieces[-1].text == "0012345"


def test_numbers_to_the_right_under_a_centred_head() -> None:
    page = [(40, 40, "Ticket No"), (140, 40, "Ship Date"), (40, 52, "55202"), (140, 52, "9/5/2026")]
    page += [(60, 120, "Item"), (300, 120, "Qty"), (352, 120, "UOM"), (420, 120, "Lot")]
    for number, row in enumerate(
        [
            ("FG-1001 Laminated shingle, thirty-three square feet", "1,042", "BDL", "0012345"),
            ("FG-3300", "9", "PC", ""),
        ]
    ):
        y = 134 + 12 * number
        page += [(40, y, row[0]), (318, y, f"|{row[1]}"), (355, y, row[2])]
        if row[3]:
            page.append((412, y, row[3]))
    ticket = read(drawn(page))
    assert heads(ticket) == [("55202", date(2026, 9, 5))]
    assert said(ticket) == [
        "1042 bundles Fenwright 40 [0012345 x 1042]",
        "9 pieces Eavewright eave edge",
    ]
    assert ticket.items == ()


def test_lots_on_rows_of_their_own_with_and_without_quantities() -> None:
    by = form(ticket="Ticket No", product="Item", quantity="Qty", unit="UOM")
    page = TOP + columns(
        X[:4],
        120,
        HEAD[:4],
        ("FG-1001", "Laminated shingle", "42", "BDL"),
        ("", "Lot 0012345", "30", ""),
        ("", "Lot 0012346", "12", ""),
        ("FG-2200", "Self-adhered membrane", "3", "RL"),
        ("", "Lot No.: 1E5", "", ""),
        ("FG-1040", "Starter", "2", "BDL"),
        ("", "Lots: 77-031 x 1; 77-032 x 1", "", ""),
        ("FG-2100", "Underlayment", "2", "RL"),
    )
    ticket = read(drawn(page), by)
    assert said(ticket) == [
        "42 bundles Fenwright 40 [0012345 x 30] [0012346 x 12]",
        "3 rolls Icehold ice barrier [1E5 x 3]",
        "2 bundles Firstrow starter [77-031 x 1] [77-032 x 1]",
        "2 rolls Dryfell underlayment",
    ]
    assert ticket.items == ()


def test_a_lot_below_its_goods_goes_by_no_column() -> None:
    """A packing slip in typewriter letters, its lots indented under the goods; common practice."""
    by = form(
        ticket="Slip No", product="Item", quantity="Qty", unit="Unit", lot="Lot", on="Delivered"
    )
    by = TicketForm(**{**by.__dict__, "printed_dates": "DD MMM YYYY"})
    typed = [
        (40, 40, "SLIP NO. 7719"),
        (40, 52, "ORDERED 14 SEP 2026    DELIVERED 19 SEP 2026  BY TRUCK"),
        (40, 70, "QTY  UNIT  ITEM     DESCRIPTION                 COLOUR"),
        (40, 82, " 14  PC    FG-3300  EAVE EDGE 10FT              WHITE"),
        (40, 94, "           LOT MP-2217   14 PC"),
        (40, 106, " 13  PC    FG-7100  NO SUCH UNIT                WHITE"),
        (40, 118, "           LOT MP-2217   13 PC"),
        (40, 130, " 13  BDL   FG-1040  STARTER                     WHITE"),
        (40, 142, "           LOT MP-22170  5 BDL"),
        (40, 154, "           LOT MP-2231   8 BDL"),
        (40, 166, "  3  RL    FG-2200  MEMBRANE"),
        (40, 178, "           LOT MP-2204   1 PC"),
    ]
    ticket = read(drawn(typed, font="Courier"), by)
    assert heads(ticket) == [("7719", date(2026, 9, 19))]
    assert said(ticket) == [
        "14 pieces Eavewright eave edge [MP-2217 x 14]",
        "13 bundles Firstrow starter [MP-22170 x 5] [MP-2231 x 8]",
    ]
    assert [one.words for one in ticket.aside] == []
    counted = [str(item.says) for item in ticket.items]
    assert any(
        "Icehold ice barrier is counted in “piece” here and in “roll”" in one for one in counted
    )


@pytest.mark.parametrize(
    ("line", "cells"),
    [
        ("LOT MP-2217 14 PCS", ("MP-2217", "14", "PCS")),
        ("Batch No. 0012345   1,200 ea.", ("0012345", "1,200", "ea")),
        ("LOT 77 031 BDL", None),
        ("LOT MP-2217 14 PCS B/O", None),
        ("LOT MP-2217", None),
        ("LOT OF TWELVE 14 PCS", None),
        ("Allot MP-2217 14 PCS", None),
    ],
)
def test_a_line_is_a_lot_where_it_is_nothing_else(
    line: str, cells: tuple[str, str, str] | None
) -> None:
    assert tuple(lot_alone(line).values()) == (cells or ())


@pytest.mark.parametrize(
    "line",
    [
        "batch 26H-1180 44 BDL of this batch",
        "Lot 26H-1180 44 BDL of the lot",
        "Batch No. 26H-1180: 44 BDL",
        "lot 26H-1180 - 44 BDL",
        "lot 26H-1180 qty 44 BDL",
        "lot 26H-1180 x 44 BDL",
        "lot 26H-1180 (44 BDL)",
        "44 BDL of batch 26H-1180",
        "44 BDL from lot no. 26H-1180",
    ],
)
def test_a_lot_line_says_how_many_in_the_words_of_a_counter(line: str) -> None:
    assert lot_alone(line) == {"lot": "26H-1180", "quantity": "44", "unit": "BDL"}


@pytest.mark.parametrize(
    "line",
    [
        "batch 26H-1180 44 BDL of 68",
        "batch 26H-1180 44 BDL of another batch",
        "44 BDL of this batch",
        "68 BDL FG-1001 of batch 26H-1180",
        "lot 26H-1180 - 26H-1193",
    ],
)
def test_more_words_than_a_lot_and_its_quantity_are_no_lot_line(line: str) -> None:
    assert lot_alone(line) == {}


def test_two_lots_of_one_line_keep_the_quantities_printed_beside_them() -> None:
    x = (40, 90, 150, 280, 460)
    page = TOP + columns(
        x,
        120,
        ("Qty", "UOM", "Item", "Text", "Colour"),
        ("68", "BDL", "FG-1001", "Fenwright laminated, Slate Grey", "Slate Grey"),
        ("", "", "  batch 26H-1180", "44 BDL of this batch", ""),
        ("", "", "  batch 26H-1193", "24 BDL of this batch", ""),
        ("3", "RL", "FG-2200", "Icehold 36 in", ""),
    )
    ticket = read(drawn(page), FORM)
    assert said(ticket) == [
        "68 bundles Fenwright 40 [26H-1180 x 44] [26H-1193 x 24]",
        "3 rolls Icehold ice barrier",
    ]
    assert ticket.items == ()


@pytest.mark.parametrize(
    ("dates", "given", "day"),
    [
        ("DD MMM YYYY", "19 SEP 2026", date(2026, 9, 19)),
        ("DD MMM YYYY", "19 Sept. 2026", date(2026, 9, 19)),
        ("DD-MMM-YYYY", "19-Sep-2026", date(2026, 9, 19)),
        ("MMM DD, YYYY", "Sep 9, 2026", date(2026, 9, 9)),
        ("MMM DD, YYYY", "Sep 9 2026", None),
        ("MMMM DD, YYYY", "September 19, 2026", date(2026, 9, 19)),
        ("DD MMM YYYY", "31 SEP 2026", None),
        ("DD MMM YYYY", "19 SOP 2026", None),
        ("DD MMM YYYY", "19 9 2026", None),
        ("MM/DD/YYYY", "Sep/19/2026", None),
    ],
)
def test_a_day_by_the_name_of_its_month(dates: str, given: str, day: date | None) -> None:
    if day is None:
        with pytest.raises(ValueError, match=r"found|date|day"):
            day_of(given, dates)
    else:
        assert day_of(given, dates) == day


def test_wrapped_words_of_a_column_nobody_asks_for_are_part_of_their_goods() -> None:
    page = TOP + columns(
        X,
        120,
        HEAD,
        ("FG-1001", "Laminated shingle, wet", "42", "BDL", "0012345"),
        ("", "SLATE", "", "", ""),
        ("FG-2200", "Membrane", "3", "RL", "1E5"),
    )
    page += [(110, 240, "We thank you for your order.")]
    ticket = read(drawn(page))
    assert said(ticket) == [
        "42 bundles Fenwright 40 [0012345 x 42]",
        "3 rolls Icehold ice barrier [1E5 x 3]",
    ]
    # They are shown beside the goods, so that nothing is dropped in silence.
    assert [[one.words for one in row.stands][1:] for row in ticket.rows] == [["SLATE"], []]
    assert [one.words for one in ticket.aside] == ["We thank you for your order."]


def test_words_wrapped_about_the_middle_of_a_row_are_part_of_it() -> None:
    """A table whose cells stand at half their height, as the tables of many programs do; common practice."""
    page = [*TOP, *columns(X, 120, HEAD)]
    for top, goods, words in ((150, "FG-1001", "SHINGLE"), (180, "FG-2200", "MEMBRANE")):
        page += [(X[1], top - 5, f"LAMINATED {words} WET"), (X[1], top + 5, "SLATE")]
        row = (goods, "", "3", "BDL" if goods == "FG-1001" else "RL", "0012345")
        page += [(x, top, cell) for x, cell in zip(X, row, strict=True) if cell]
    ticket = read(drawn(page, size=8))
    assert [[one.words for one in row.stands][1:] for row in ticket.rows] == [
        ["LAMINATED SHINGLE WET", "SLATE"],
        ["LAMINATED MEMBRANE WET", "SLATE"],
    ]
    assert ticket.aside == ()


@pytest.mark.parametrize(
    ("printed", "form"),
    [
        ("19 SEP 2026", "DD MMM YYYY"),
        ("19-Sep-2026", "DD-MMM-YYYY"),
        ("Sep 19, 2026", "MMM DD, YYYY"),
        ("Sept. 19th, 2026", "DD MMM YYYY"),
        ("09/19/2026", "MM/DD/YYYY"),
    ],
)
def test_a_proposed_sheet_says_how_the_ticket_writes_its_day(printed: str, form: str) -> None:
    page = [*TOP[:2], (380, 54, f"Ship Date: {printed}"), *columns(X, 120, HEAD)]
    [text] = read_texts([drawn(page)])
    assert f"dates: {form}\n" in str(proposed_sheet(text))


@pytest.mark.parametrize(
    ("above", "heads_printed", "columns_proposed"),
    [
        (
            [(40, 60, "Ticket OX 20-7741"), (200, 60, "ordered 1 Oct 2026"),
             (360, 60, "handed out 2 Oct 2026 15:40")],
            ("Article", "Batch", "What", "Unit", "Count"),
            ["ticket: Ticket", "on: handed out", "product: Article", "quantity: Count", "unit: Unit",
             "lot: Batch"],
        ),
        (
            [(40, 60, "Sales order / delivery note  SO-0093327"), (40, 80, "Delivered"),
             (140, 80, "10-01-2026  roof load")],
            ("Qty Unit", "Product", "Text", "Colour"),
            ["ticket: delivery note", "on: Delivered", "product: Product", "quantity: Qty", "unit: Unit",
             "colour: Colour"],
        ),
        (
            [(40, 60, "PICK SLIP 5518"), (300, 60, "October 5, 2026")],
            ("ITEM", "DESCRIPTION", "QTY U", "PRICE"),
            ["ticket: Pick slip", "on: Pick slip", "product: ITEM", "quantity: QTY", "unit: U"],
        ),
    ],
)  # fmt: skip
def test_a_sheet_is_proposed_from_the_heads_of_counters_and_yards(
    above: list[tuple[float, float, str]],
    heads_printed: Sequence[str],
    columns_proposed: Sequence[str],
) -> None:
    page = [(40, 40, "Lindow Yard"), *above, *columns(X, 120, heads_printed)]
    [text] = read_texts([drawn(page)])
    sheet = str(proposed_sheet(text))
    proposed = [line.strip() for line in sheet.splitlines() if line.startswith("  ")]
    assert [one.casefold() for one in proposed] == [one.casefold() for one in columns_proposed]


@pytest.mark.parametrize(
    "printed", ["Roof, per contract", "Product of this yard", "Count on us", "Unit price Product"]
)
def test_words_among_others_are_no_heads(printed: str) -> None:
    [text] = read_texts([drawn([(40, 40, "Lindow Yard"), (40, 120, printed), (400, 120, "Qty")])])
    assert proposed_sheet(text) is None


@pytest.mark.parametrize(
    "words", ["Counter ticket LY-40417", "Will-call ticket 17", "Shipping slip 9", "DELIVERY NOTE"]
)
def test_a_ticket_is_known_by_the_titles_yards_give_it(words: str) -> None:
    [text] = read_texts([drawn([(40, 40, "Lindow Yard"), (40, 60, words)])])
    title = title_of(text)
    assert title is not None
    assert title.kind is PaperKind.TICKET


def test_several_lots_in_one_cell() -> None:
    rows = [
        ("FG-1001", "Laminated shingle", "42", "BDL", "0012345 (30), 0012346 (12)"),
        ("FG-2200", "Membrane", "3", "RL", "1E5, 1E6"),
    ]
    ticket = read(drawn(TOP + columns(X, 120, HEAD, *rows)))
    assert said(ticket) == [
        "42 bundles Fenwright 40 [0012345 x 30] [0012346 x 12]",
        "3 rolls Icehold ice barrier [1E5 x None] [1E6 x None]",
    ]


@pytest.mark.parametrize(
    ("cell", "lots"),
    [
        ("0012345 Qty 30; 0012346 Qty: 12", {"0012345": 30, "0012346": 12}),
        ("Lot 0012345 = 30 BDL, Lot# 0012346 (12 bdl)", {"0012345": 30, "0012346": 12}),
        ("0012345 0012346", {"0012345": None, "0012346": None}),
        ("77 031", {"77 031": 42}),
        ("T26-1180", {"T26-1180": 42}),
        ("LOT7731", {"LOT7731": 42}),
        ("0012345 grey", None),
        ("see wrapper", None),
        ("--", {}),
    ],
)
def test_a_lot_is_read_as_tickets_write_it_or_not_at_all(
    cell: str, lots: dict[str, int | None] | None
) -> None:
    """Ways of writing a lot: common practice, no published source."""
    table = f'Ticket No,Ship Date,Item,Qty,UOM,Lot\n5,,FG-1001,42,BDL,"{cell}"\n'
    ticket = read_ticket(table.encode(), "t.csv", FORM, CATALOGUE)
    if lots is None:
        assert ticket.deliveries == ()
        assert "cannot be read" in str(ticket.items[0].says)
    else:
        [line] = ticket.deliveries[0].lines
        assert {lot.mark: lot.quantity for lot in line.lots} == lots


def test_lots_that_come_to_more_than_the_line_are_not_written() -> None:
    rows = [("FG-1001", "Laminated shingle", "42", "BDL", "0012345 x 30; 0012346 x 30")]
    ticket = read(drawn(TOP + columns(X, 120, HEAD, *rows)))
    assert ticket.deliveries == ()
    assert [str(item.says) for item in ticket.items] == [
        "ticket.pdf page 1 line 5: its lots come to 60 and the line to 42; nothing of this line was written."
    ]


def test_a_ruled_table_over_two_pages_with_wrapped_words() -> None:
    by = form(
        ticket="Ticket No", on="Ship Date", product="Goods", quantity="Qty", unit="UOM", lot="Lot"
    )
    rows = [["Goods", "Qty", "UOM", "Lot"]]
    rows += [["Kestrelmoor Fenwright 40, Slate Grey", "1", "BDL", f"A{n:05}"] for n in range(60)]
    rows += [["Coil nails 1-1/4 in", "2", "BX", ""]]
    data = ruled(
        ["Fjordgate Building Supply", "Ticket No: 55203", "Ship Date: 10/02/2026"],
        rows,
        (110, 60, 60, 120),
        ["Count and lots checked at the truck."],
    )
    [text] = read_texts([data])
    assert text.page_count > 1
    ticket = read(data, by)
    assert heads(ticket) == [("55203", date(2026, 10, 2))]
    line, nails = ticket.deliveries[0].lines
    assert (line.quantity, line.colour, len(line.lots)) == (60, "Slate Grey", 60)
    assert (nails.product, nails.quantity) == ("Coil nails 1-1/4 in", 2)
    assert ticket.items == ()
    assert [one.words for one in ticket.aside] == ["Count and lots checked at the truck."]


def test_heads_in_two_lines_and_a_column_nobody_asks_for() -> None:
    by = form(ticket="Ticket No", product="Item", quantity="Qty Shipped", unit="UOM", lot="Lot")
    x = (40, 150, 200, 260, 320, 400)
    page = TOP + columns(
        x,
        120,
        ("", "Qty", "Qty", "", "", "Unit"),
        ("Item", "Ordered", "Shipped", "UOM", "Lot", "Price"),
        ("FG-1001", "44", "42", "BDL", "0012345", "31.50"),
        ("FG-2200", "3", "3", "RL", "1E5", "88.00"),
    )
    assert said(read(drawn(page), by)) == [
        "42 bundles Fenwright 40 [0012345 x 42]",
        "3 rolls Icehold ice barrier [1E5 x 3]",
    ]


def test_what_did_not_come_is_named_and_not_written() -> None:
    page = TOP + columns(
        X,
        120,
        HEAD,
        ("FG-1001", "Laminated shingle", "42", "BDL", "0012345"),
        ("FG-2200", "Membrane (backordered)", "3", "RL", ""),
        ("FG-2100", "Underlayment", "-1", "RL", ""),
        ("FG-3300", "Eave edge", "0", "PC", ""),
        ("FG-9999", "Roof cement", "1", "PC", ""),
        ("", "Subtotal", "46", "", ""),
        ("RETURNED", "", "", "", ""),
        ("FG-7100", "Coil nails", "2", "BX", ""),
    )
    by = form(**{**FORM.columns, "product": "Item"})
    ticket = read(drawn(page), by)
    assert said(ticket) == ["42 bundles Fenwright 40 [0012345 x 42]"]
    told = [
        str(item.says).removesuffix("; nothing of this line was written.") for item in ticket.items
    ]
    assert told[1:] == [
        "ticket.pdf page 1 line 7: the quantity cannot be read: found “-1”, needed a number, not below zero, such "
        "as 12 or 5/8",
        "ticket.pdf page 1 line 8: the quantity is zero",
        "ticket.pdf page 1 line 9: “FG-9999” is no product of a catalogue",
        "ticket.pdf page 1 line 12: it says “RETURNED”",
    ]
    assert told[0] == "ticket.pdf page 1 line 6: it says “backordered”"
    assert [one.words for one in ticket.aside] == ["Subtotal  46", "RETURNED"]


def test_two_tickets_in_one_file_are_two_deliveries() -> None:
    def page(number: str, lot: str) -> list[tuple[float, float, str]]:
        above = [(40, 40, f"Ticket No: {number}"), (300, 40, "Ship Date: 09/15/2026")]
        return above + columns(X, 120, HEAD, ("FG-1001", "Shingle", "4", "BDL", lot))

    ticket = read(drawn(page("55301", "0012345"), page("55302", "0012346")))
    assert heads(ticket) == [("55301", date(2026, 9, 15)), ("55302", date(2026, 9, 15))]


def test_a_page_without_heads_goes_on_by_those_before_it() -> None:
    top = [(40, 20, "Fjordgate Building Supply"), *TOP[1:]]
    first = top + columns(X, 120, HEAD, ("FG-1001", "Shingle", "4", "BDL", "0012345"))
    second = top[:1] + columns(X, 60, ("FG-2200", "Membrane", "3", "RL", "1E5"))
    assert said(read(drawn(first, second))) == [
        "4 bundles Fenwright 40 [0012345 x 4]",
        "3 rolls Icehold ice barrier [1E5 x 3]",
    ]


def test_a_page_turned_on_its_side_reads_the_same() -> None:
    page = TOP + columns(X, 120, HEAD, ("FG-1001", "Shingle", "4", "BDL", "0012345"))
    for data in (by_hand(page, turned=90), drawn(page, drawn_turned=True)):
        assert said(read(data)) == ["4 bundles Fenwright 40 [0012345 x 4]"]


def test_words_below_a_name_that_is_a_product_by_itself_put_it_in_doubt() -> None:
    by = form(ticket="Ticket No", product="Item", quantity="Qty", unit="UOM", lot="Lot")
    page = TOP + columns(
        X, 120, HEAD, ("Fenwright 40", "", "4", "BDL", "7"), ("Impact", "", "", "", "")
    )
    [row] = read(drawn(page), by).rows
    assert str(row.doubt) == "“Impact” stands below it and may be part of the name"


def test_a_colour_below_a_name_is_its_colour_and_a_short_year_is_of_this_century() -> None:
    by = form(
        ticket="Ticket No", on="Ship Date", product="Item", quantity="Qty", unit="UOM", lot="Lot"
    )
    page = [(40, 40, "Ticket No 55205"), (300, 40, "Ship Date 9/16/26")]
    page += columns(
        X, 120, HEAD, ("Fenwright 40", "", "4", "BDL", "7"), ("Color: slate grey", "", "", "", "")
    )
    ticket = read(drawn(page), by)
    assert heads(ticket) == [("55205", date(2026, 9, 16))]
    assert said(ticket) == ["4 bundles Fenwright 40, Slate Grey [7 x 4]"]
    assert ticket.rows[0].doubt is None


def test_a_piece_under_two_heads_is_named_and_not_guessed_at() -> None:
    page = TOP + columns(X, 120, HEAD, ("FG-1001", "Shingle", "4", "BDL", "0012345"))
    page += [
        (40, 144, "FG-2200"),
        (310, 144, "3 rolls, 200 sq ft each"),
        (430, 144, "1E5"),
    ]
    ticket = read(drawn(page))
    assert said(ticket) == ["4 bundles Fenwright 40 [0012345 x 4]"]
    assert "“3 rolls, 200 sq ft each” stands under more than one head" in str(ticket.items[0].says)


def test_a_ticket_without_the_heads_says_which_are_missing() -> None:
    with pytest.raises(UnreadableInput, match="missing: “Item”, “UOM”"):
        read(drawn([(40, 40, "Delivery Ticket No 55"), (40, 60, "Goods"), (200, 60, "Qty")]))


def test_numbers_far_from_their_head_are_under_the_one_that_has_nothing_else() -> None:
    page = [
        (40, 40, "Ticket No 55204"),
        *columns((40, 300, 380, 440), 120, ("Item", "Qty", "UOM", "Lot")),
    ]
    for number, row in enumerate(
        [("FG-1001", "42", "BDL", "0012345"), ("FG-2200", "3", "RL", "1E5")]
    ):
        y = 134 + 12 * number
        page += [(40, y, row[0]), (362, y, f"|{row[1]}"), (380, y, row[2]), (440, y, row[3])]
    assert said(read(drawn(page))) == [
        "42 bundles Fenwright 40 [0012345 x 42]",
        "3 rolls Icehold ice barrier [1E5 x 3]",
    ]


def test_a_remark_below_a_code_is_no_part_of_it() -> None:
    page = TOP + columns(
        X,
        120,
        HEAD,
        ("FG-1001", "Shingle", "4", "BDL", "0012345"),
        ("** put on roof **", "", "", "", ""),
        ("Lot: 0012346", "", "", "", ""),
        ("FG-2200", "Membrane", "3", "RL", ""),
        ("", "white, Lot No 1E5", "", "", ""),
    )
    ticket = read(drawn(page))
    assert [row.doubt for row in ticket.rows] == [None, None]
    assert said(ticket) == [
        "4 bundles Fenwright 40 [0012345 x None] [0012346 x None]",
        "3 rolls Icehold ice barrier",
    ]
    assert [one.words for one in ticket.aside] == ["white, Lot No 1E5"]


# --- the same ticket as a table and on paper ----------------------------------------------------

ROWS = st.lists(
    st.tuples(
        st.sampled_from(sorted(FORM.products)),
        st.integers(1, 9999),
        st.one_of(
            st.just(""),
            st.text(string.ascii_uppercase + string.digits + "-", min_size=1, max_size=9).filter(
                lambda mark: (
                    mark.strip("-") == mark
                    and any(map(str.isdigit, mark))
                    and not mark.startswith(("LOT", "BATCH"))
                )
            ),
        ),
    ),
    min_size=1,
    max_size=12,
)
UNIT = {"bundle": "BDL", "roll": "RL", "piece": "PC", "box": "BX"}


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(rows=ROWS, day=st.dates(date(2020, 1, 1), date(2030, 1, 1)), hand=st.booleans())
def test_a_table_and_the_same_on_paper_are_one_delivery(
    rows: list[tuple[str, int, str]], day: date, hand: bool
) -> None:
    on = day.strftime("%m/%d/%Y")
    cells = [
        (code, "words", str(count), UNIT[CATALOGUE[FORM.products[code]][0]], lot)
        for code, count, lot in rows
    ]
    table = io.StringIO()
    writer = csv.writer(table)
    writer.writerow(["Ticket No", "Ship Date", *HEAD])
    writer.writerows([["55201", on, *row] for row in cells])
    by_table = read_ticket(table.getvalue().encode(), "t.csv", FORM, CATALOGUE)
    above = [(40, 40, "Ticket No: 55201"), (300, 40, f"Ship Date: {on}")]
    page = above + columns(X, 120, HEAD, *cells)
    printed = read(by_hand(page) if hand else drawn(page))
    assert (by_table.items, printed.items) == ((), ())
    assert printed.deliveries == by_table.deliveries
    assert isinstance(printed.deliveries[0], Delivery)
    assert sum(line.quantity or 0 for line in printed.deliveries[0].lines) == Fraction(
        sum(count for _, count, _ in rows)
    )


@pytest.mark.parametrize(
    ("form_of_days", "printed", "day"),
    [
        ("DD MM YYYY", "2 Oct 2026 15:40", date(2026, 10, 2)),
        ("YYYY-MM-DD", "October 5, 2026", date(2026, 10, 5)),
        ("MM/DD/YYYY", "2 Oct 2026 at the counter", date(2026, 10, 2)),
        ("MM-DD-YYYY", "10-01-2026 roof load, boom", date(2026, 10, 1)),
        # In numbers another form than the sheet's may be day and month changed about.
        ("MM/DD/YYYY", "10-01-2026", None),
    ],
)
def test_a_month_by_name_is_a_day_in_whatever_form_the_sheet_has(
    form_of_days: str, printed: str, day: date | None
) -> None:
    page = [
        (40, 40, "Fjordgate Building Supply"),
        (40, 60, "Ticket No: 55201"),
        (40, 80, "Handed out"),
        (140, 80, printed),
        *columns(X, 120, HEAD, ("FG-1001", "Laminated shingle", "42", "BDL", "0012345")),
    ]
    by = TicketForm(
        **{
            **FORM.__dict__,
            "columns": {**FORM.columns, "on": "Handed out"},
            "printed_dates": form_of_days,
        }
    )
    ticket = read(drawn(page), by)
    assert heads(ticket) == [("55201", day)]
    assert ticket.items == ()


@pytest.mark.parametrize(
    ("printed", "number"),
    [
        ("Ticket OX 20-7741", "OX 20-7741"),
        ("Ticket OX 20-7741 ordered 1 Oct 2026", "OX 20-7741"),
        ("Ticket No. OX 20-7741", "OX 20-7741"),
        ("Ticket # 20 7741", "20 7741"),
        ("Ticket No: 55201", "55201"),
        ("Ticket Number: # OX 20-7741", "OX 20-7741"),
        ("Ticket 55201 copy 2", "55201"),
        ("Ticket AT 118-A Plover Lane", None),
        ("Ticket PO 77120", None),
        ("Ticket OX 7", None),
        ("Ticket OCT 2026", None),
    ],
)
def test_a_ticket_number_may_have_a_blank_behind_its_first_letters(
    printed: str, number: str | None
) -> None:
    page = [
        (40, 40, "Fjordgate Building Supply"),
        (40, 60, printed),
        (400, 60, "ordered 1 Oct 2026"),
        *columns(
            X,
            120,
            HEAD,
            ("FG-1001", "Laminated shingle", "42", "BDL", "0012345"),
            ("FG-2200", "Self-adhered membrane", "3", "RL", "1E5"),
        ),
    ]
    by = TicketForm(**{**FORM.__dict__, "columns": {**FORM.columns, "ticket": "Ticket"}})
    ticket = read(drawn(page), by)
    assert [one for one, _ in heads(ticket)] == ([number] if number else [])
    # What all its goods lack is said once.
    assert len(ticket.items) == (0 if number else 1)
    if number is None:
        assert "page 1 lines 4 and 5: there is no ticket number" in str(ticket.items[0].says)


def test_a_ticket_number_stands_behind_a_label_of_several_words() -> None:
    page = [
        (40, 40, "Fjordgate Building Supply"),
        (40, 60, "Sales order / delivery note  SO-0093327        sheet 1 of 2"),
        *columns(X, 120, HEAD, ("FG-1001", "Laminated shingle", "42", "BDL", "0012345")),
    ]
    label = "Sales order / delivery note"
    by = TicketForm(**{**FORM.__dict__, "columns": {**FORM.columns, "ticket": label}})
    assert [one for one, _ in heads(read(drawn(page), by))] == ["SO-0093327"]
