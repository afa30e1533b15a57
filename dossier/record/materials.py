"""What was delivered, in what lots, on which ticket, and what went back.

In: nodes by way of `reading`. Out: frozen models. Must not know what a product is for: that is the
catalogue's to say, unless the line says otherwise itself.
"""

import re
from typing import Any, ClassVar

from dossier.reading.kinds import (
    Day,
    FileInJob,
    Label,
    Line,
    Number,
    RoleWord,
    SomeFeet,
    SomeSquareFeet,
    SourceWord,
    YesNo,
)
from dossier.reading.model import ALL, Model, short_parts, told
from dossier.values import clip
from dossier.words import Edition, Source

_TRADE = frozenset({Edition.OFFICE, Edition.MAKER, Edition.INSURER, Edition.HOMEOWNER})


class Lot(Model):
    """One maker's production mark and how much carried it."""

    short_form: ClassVar[str] = "0012345 x 30 on front + back"

    mark: Line = told(
        "The mark as printed on the wrapper.", example="0012345", readers=ALL, default=...
    )
    quantity: Number | None = told("How many units carried it.", example="30", readers=ALL)
    slopes: tuple[Label, ...] = told("The slopes it went on, if known.", readers=ALL, default=())

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `MARK[ x QUANTITY][ on SLOPE + SLOPE]`."""
        mark_and_count, on, slopes = text.strip().partition(" on ")
        mark, times, quantity = (
            part.strip() for part in re.split(r"(\s[x×]\s|$)", mark_and_count, maxsplit=1)
        )
        if not mark:
            raise ValueError(f"found “{clip(text)}”, needed a lot such as {cls.short_form}")
        fields: dict[str, Any] = {"mark": mark}
        if times:
            fields["quantity"] = quantity
        if on:
            fields["slopes"] = [slope.strip() for slope in slopes.split("+")]
        return fields


class MaterialLine(Model):
    """One line of a ticket: a product, how much of it, what went back, and its lots."""

    short_form: ClassVar[str] = (
        "42 bundles Fenwright 40, colour Slate Grey, returned 2, lots 0012345 x 30; 0012346 x 12"
    )

    product: Line = told(
        "The product's name as in the catalogue.",
        example="Fenwright 40",
        readers=ALL,
        default=...,
        repeats=True,
    )
    quantity: Number | None = told("How much was delivered.", example="42", readers=ALL)
    unit: Line | None = told("The unit counted.", example="bundles", readers=ALL, repeats=True)
    colour: Line | None = told("Colour.", example="Slate Grey", readers=ALL)
    returned: Number | None = told("How much went back.", example="2", readers=ALL)
    lots: tuple[Lot, ...] = told("Lots on the wrappers or ticket.", readers=ALL, default=())
    left_with_owner: Line | None = told(
        "Spare left with the owner: how much, which lot, where it is kept.",
        example="1 bundle, lot 0012346, in the garage",
        readers=ALL,
    )
    role: RoleWord | None = told(
        "What it is for, if not as the catalogue says.",
        example="starter",
        readers=ALL,
        repeats=True,
    )
    maker: Line | None = told(
        "Its maker, if not in a catalogue.", example="Tarnholt", readers=ALL, repeats=True
    )
    standard: Line | None = told(
        "Standard on the label, if not as the catalogue says.",
        example="ASTM D3462",
        readers=ALL,
        repeats=True,
    )
    wind_class: Line | None = told(
        "Wind class on the label, if not as the catalogue says.",
        example="D7158 H",
        readers=ALL,
        repeats=True,
    )
    covers_sqft: SomeSquareFeet | None = told(
        "Area one unit covers, if not as the catalogue says.",
        example="33.3 sq ft",
        unit="sq ft",
        readers=ALL,
        repeats=True,
    )
    covers_ft: SomeFeet | None = told(
        "Length one unit covers, if not as the catalogue says.",
        example="105 ft",
        unit="ft",
        readers=ALL,
        repeats=True,
    )
    carries_lot: YesNo | None = told(
        "Whether this product carries a lot, if not as the catalogue says.",
        example="yes",
        readers=ALL,
        repeats=True,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `QUANTITY UNIT PRODUCT[, colour COLOUR][, returned QUANTITY][, lots LOT; LOT]`."""
        parts = short_parts(text)
        match = re.fullmatch(
            r"(?P<number>[\d./]+)\s+(?P<unit>board (?:foot|feet)|[a-z]+)\s+(?P<product>.+)",
            parts[0],
        )
        if not match:
            raise ValueError(
                f"found “{clip(parts[0])}”, needed a quantity, a unit and a product: "
                "42 bundles Fenwright 40"
            )
        fields: dict[str, Any] = {
            "quantity": match["number"],
            "unit": match["unit"],
            "product": match["product"],
        }
        for part in parts[1:]:
            name, _, rest = part.partition(" ")
            name = "lots" if name == "lot" else name
            if name == "lots" and rest and name not in fields:
                fields["lots"] = [lot.strip() for lot in rest.split(";")]
            elif name in ("colour", "returned") and rest and name not in fields:
                fields[name] = rest.strip()
            else:
                raise ValueError(
                    f"found “{clip(part)}” behind the product, needed colour, returned or lots, "
                    "each once; anything else belongs in a group of fields"
                )
        return fields


class Delivery(Model):
    """One supplier's ticket, or goods from the company's own stock or another job."""

    short_form: ClassVar[str] = "55120, 2026-09-11, Fjordgate"

    source: SourceWord = told(
        "Where the goods came from.", example="ticket", readers=_TRADE, default=Source.TICKET
    )
    ticket: Line | None = told("The ticket's number.", example="55120", readers=_TRADE)
    supplier: Line | None = told(
        "Who delivered.", example="Fjordgate", readers=_TRADE, repeats=True
    )
    on: Day | None = told("Day of delivery.", example="2026-09-11", unit="date", readers=ALL)
    file: FileInJob | None = told(
        "The ticket on file; found by its number in papers/ where blank.",
        example="papers/ticket-55120.pdf",
        readers=_TRADE,
    )
    lines: tuple[MaterialLine, ...] = told("What was delivered.", readers=ALL, default=())

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `TICKET[, DAY][, SUPPLIER]`, to which the lines are still to come."""
        ticket, *rest = short_parts(text)
        fields: dict[str, Any] = {"ticket": ticket}
        for part in rest:
            field = "on" if re.fullmatch(r"\d{4}-\d{2}-\d{2}", part) else "supplier"
            if field in fields:
                raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
            fields[field] = part
        return fields
