"""The permit, the warranties, and the money of one job.

In: nodes by way of `reading`. Out: frozen models. Must not count a day or add a sum.
"""

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Any, ClassVar

from dossier.reading.kinds import (
    Day,
    FileInJob,
    InspectionResultWord,
    Line,
    Money,
    RoleWord,
    WaiverKindWord,
    YesNo,
)
from dossier.reading.model import ALL, OFFICE_ONLY, PRICES, Model, short_parts, told
from dossier.record.signed import Signed
from dossier.values import clip
from dossier.words import Edition

_DECK_REPAIRS, _IN_FULL = "deck repairs", "in full"
"""Words that stand for an amount which another field says."""

_MAKER = frozenset({Edition.OFFICE, Edition.MAKER, Edition.HOMEOWNER, Edition.RESALE})


class Inspection(Model):
    """One inspection by the permit office."""

    short_form: ClassVar[str] = "final, 2026-09-21, passed, R. Lindmark"

    kind: Line = told("Which inspection.", example="final", readers=ALL, default=...)
    on: Day | None = told("The day.", example="2026-09-21", unit="date", readers=ALL)
    result: InspectionResultWord | None = told("What it came to.", example="passed", readers=ALL)
    by: Line | None = told("Who inspected.", example="R. Lindmark", readers=ALL)

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `KIND[, DAY[, RESULT[, NAME]]]`."""
        parts = short_parts(text)
        if len(parts) > 4 or not all(parts):
            raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
        return dict(zip(("kind", "on", "result", "by"), parts, strict=False))


_OF_ANY = frozenset(
    ("re", "reroof", "roof", "roofing", "inspection", "inspections", "and", "of", "the")
)
"""Words that tell no inspection of a re-roof from another. Common practice, no published source."""


def which_inspection(kind: str) -> frozenset[str]:
    """Return the words by which an inspection of a roof differs from another: “Final roof” is the final."""
    return frozenset(re.findall(r"\w+", kind.casefold())) - _OF_ANY


def inspection_asked(kind: str, asked: Sequence[str]) -> str | None:
    """Return which of the inspections asked for this is, in their words; None where none, or more than one."""
    words = which_inspection(kind)
    same = [one for one in asked if one.casefold() == kind.casefold()]
    same = same or [one for one in asked if words and which_inspection(one) == words]
    return same[0] if len({one.casefold() for one in same}) == 1 else None


class Permit(Model):
    """The building permit."""

    number: Line | None = told("Permit number.", example="R-2026-1187", readers=ALL)
    issued: Day | None = told("Day of issue.", example="2026-09-02", unit="date", readers=ALL)
    inspections: tuple[Inspection, ...] = told("Inspections.", readers=ALL, default=())
    extended_on: Day | None = told(
        "Day the permit was last extended.", example="2027-01-10", unit="date", readers=ALL
    )
    closed_on: Day | None = told(
        "Day the permit office closed it.", example="2026-09-21", unit="date", readers=ALL
    )


class Warranty(Model):
    """One maker's warranty that the office means to register, or has."""

    short_form: ClassVar[str] = "kestrelmoor-2026, Full Assembly"

    sheet: Line = told(
        "The terms sheet, by the name of its file.",
        example="kestrelmoor-2026",
        readers=ALL,
        default=...,
        repeats=True,
    )
    level: Line = told(
        "The level asked for.", example="Extended", readers=ALL, default=..., repeats=True
    )
    terms_given_on: Day | None = told(
        "When the owner was given the printed terms.",
        example="2026-08-18",
        unit="date",
        readers=ALL,
    )
    ordered_on: Day | None = told(
        "When the warranty was ordered, where it must be before the start.",
        example="2026-09-01",
        unit="date",
        readers=_MAKER,
    )
    owner_signed_on: Day | None = told(
        "When the owner signed the registration.",
        example="2026-09-21",
        unit="date",
        readers=_MAKER,
    )
    fee_paid_on: Day | None = told(
        "When the registration fee was paid.", example="2026-09-24", unit="date", readers=_MAKER
    )
    submitted_on: Day | None = told(
        "When the packet was sent.", example="2026-09-25", unit="date", readers=_MAKER
    )
    received_on: Day | None = told(
        "When the maker had it.", example="2026-09-28", unit="date", readers=_MAKER
    )
    queried_on: Day | None = told(
        "When the maker asked back.", example="2026-10-05", unit="date", readers=_MAKER
    )
    accepted_on: Day | None = told(
        "When the maker accepted it.", example="2026-10-15", unit="date", readers=_MAKER
    )
    registered_by: Line | None = told("Who sent it.", example="Ida Torvik", readers=_MAKER)
    confirmation: Line | None = told(
        "The maker's confirmation number.", example="TH-88213", readers=ALL
    )
    certificate_file: FileInJob | None = told(
        "The certificate on file.", example="papers/certificate.pdf", readers=ALL
    )
    delivered_on: Day | None = told(
        "When the owner was given the certificate.",
        example="2026-10-20",
        unit="date",
        readers=ALL,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `SHEET, LEVEL`."""
        sheet, comma, level = text.partition(", ")
        if not comma:
            raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
        return {"sheet": sheet.strip(), "level": level.strip()}

    @property
    def is_sent(self) -> bool:
        """Return whether the registration left the office, by the record."""
        return bool(self.submitted_on or self.received_on)

    @property
    def is_accepted(self) -> bool:
        """Return whether the maker accepted the registration, by the record."""
        return bool(self.accepted_on or self.confirmation)


class ChangeOrder(Model):
    """One change of the contract price, agreed in writing."""

    short_form: ClassVar[str] = "1, 192.00, approved by Marit Ekdahl on 2026-09-14"

    number: Line | None = told("Its number.", example="1", readers=PRICES)
    what: Line | None = told("What it is for.", example="2 sheets of deck", readers=PRICES)
    amount: Money | None = told("Amount.", example="192.00", unit="$", readers=PRICES)
    approved: Signed | None = told("Who agreed, and when.", readers=PRICES)
    for_deck_repairs: YesNo | None = told(
        "Whether it is for the deck repairs on record, and for nothing else; then its amount is their price where "
        "it is blank, and whoever agreed to it agreed to them, if its amount is typed or the deck open by then.",
        example="yes",
        readers=PRICES,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `NUMBER, AMOUNT or deck repairs[, approved by NAME on DAY]`."""
        number, *rest = short_parts(text)
        fields: dict[str, Any] = {"number": number, "amount": rest[0] if rest else ""}
        if rest and rest[0].lower() == _DECK_REPAIRS:
            fields = {"number": number, "for_deck_repairs": "yes"}
        approved = re.fullmatch(r"approved by (.+) on (\S+)", rest[1]) if len(rest) == 2 else None
        if approved:
            fields["approved"] = {"by": approved[1], "on": approved[2]}
        elif len(rest) != 1:
            raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
        return fields


class Invoice(Model):
    """One invoice."""

    short_form: ClassVar[str] = "2026-041, 2026-09-22, 15,052.00"

    number: Line | None = told("Its number.", example="2026-041", readers=PRICES)
    on: Day | None = told("Its day.", example="2026-09-22", unit="date", readers=PRICES)
    amount: Money | None = told("Amount.", example="15,052.00", unit="$", readers=PRICES)
    final: YesNo | None = told("Whether it is the last one.", example="yes", readers=PRICES)

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `NUMBER, DAY, AMOUNT[, final]`."""
        parts = short_parts(text)
        final = parts[-1] == "final"
        if len(parts) - final != 3:
            raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
        fields: dict[str, Any] = dict(zip(("number", "on", "amount"), parts, strict=False))
        return {**fields, "final": "yes"} if final else fields


class Payment(Model):
    """One payment received."""

    short_form: ClassVar[str] = "2026-09-29, 15,052.00"

    on: Day | None = told("The day.", example="2026-09-29", unit="date", readers=PRICES)
    amount: Money | None = told("Amount.", example="15,052.00", unit="$", readers=PRICES)
    by: Line | None = told("Who paid.", example="owner", readers=OFFICE_ONLY)
    in_full: YesNo | None = told(
        "Whether it paid all that was open on its day; then its amount follows from the invoices up to then where "
        "it is blank.",
        example="yes",
        readers=OFFICE_ONLY,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `DAY, AMOUNT or in full[, NAME]`."""
        parts = short_parts(text)
        if not 2 <= len(parts) <= 3:
            raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
        fields = dict(zip(("on", "amount", "by"), parts, strict=False))
        if fields["amount"].lower() == _IN_FULL:
            del fields["amount"]
            fields["in_full"] = "yes"
        return fields


class Waiver(Model):
    """One lien waiver."""

    short_form: ClassVar[str] = "unconditional final, from Fjordgate, through 2026-09-30"

    kind: WaiverKindWord | None = told(
        "Which of the four kinds.", example="unconditional final", readers=PRICES, repeats=True
    )
    given_by: Line | None = told("Who waives.", example="Fjordgate", readers=PRICES, repeats=True)
    through: Day | None = told(
        "The day up to which it waives.", example="2026-09-30", unit="date", readers=PRICES
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `KIND, from NAME[, through DAY]`."""
        match = re.fullmatch(
            r"(?P<kind>[^,]+),\s*from (?P<given_by>[^,]+?)(?:,\s*through (?P<through>\S+))?",
            text.strip(),
        )
        if not match:
            raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
        return {name: part for name, part in match.groupdict().items() if part}


class ScopeLine(Model):
    """One line of the insurer's scope."""

    short_form: ClassVar[str] = "starter, 143 ft, 210.00"

    what: Line | None = told("What the line pays for.", example="starter", readers=PRICES)
    role: RoleWord | None = told(
        "The role it pays for, where its words do not say.", example="starter", readers=PRICES
    )
    quantity: Line | None = told("How much.", example="143 ft", readers=PRICES)
    amount: Money | None = told("Amount.", example="210.00", unit="$", readers=PRICES)

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `WHAT[, QUANTITY][, AMOUNT]`; a part of digits alone is the amount."""
        what, *rest = short_parts(text)
        fields: dict[str, Any] = {"what": what}
        for part in rest:
            field = "amount" if re.fullmatch(r"\$?[\d,]+(\.\d+)?", part) else "quantity"
            if field in fields:
                raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
            fields[field] = part
        return fields


class RolePrice(Model):
    """What the company charged for one role, where the contract or invoice breaks it out."""

    short_form: ClassVar[str] = "starter, 210.00"

    role: RoleWord = told("The role.", example="starter", readers=ALL, default=...)
    amount: Money | None = told("Amount.", example="210.00", unit="$", readers=PRICES)

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `ROLE, AMOUNT`."""
        parts = short_parts(text)
        if len(parts) != 2:
            raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
        return dict(zip(("role", "amount"), parts, strict=True))


class MoneyRecord(Model):
    """The money of the job; no edition but the office's and the insurer's shows it."""

    contract: Money | None = told("Contract price.", example="14,860.00", unit="$", readers=PRICES)
    sheet_price: Money | None = told(
        "Price agreed for each sheet of deck.",
        example="96.00",
        unit="$",
        readers=PRICES,
        repeats=True,
    )
    board_foot_price: Money | None = told(
        "Price agreed for each board foot.", example="6.00", unit="$", readers=PRICES, repeats=True
    )
    change_orders: tuple[ChangeOrder, ...] = told("Change orders.", readers=PRICES, default=())
    invoices: tuple[Invoice, ...] = told("Invoices.", readers=PRICES, default=())
    payments: tuple[Payment, ...] = told("Payments.", readers=OFFICE_ONLY, default=())
    scope_lines: tuple[ScopeLine, ...] = told(
        "Lines of the insurer's scope.", readers=PRICES, default=()
    )
    prices: tuple[RolePrice, ...] = told(
        "Prices by role, for a scope comparison.", readers=PRICES, default=()
    )
    held_back: Money | None = told(
        "Depreciation the insurer holds back.", example="4,500.00", unit="$", readers=PRICES
    )
    waivers: tuple[Waiver, ...] = told("Lien waivers.", readers=PRICES, default=())

    def final_invoice(self) -> Invoice | None:
        """Return the invoice marked final, or the only one where nobody says that it is not."""
        marked = [invoice for invoice in self.invoices if invoice.final]
        if marked:
            return marked[-1]
        only = self.invoices[0] if len(self.invoices) == 1 else None
        return None if only is None or only.final is False else only

    def paid(self) -> Decimal:
        """Return the sum of the payments whose amount is known."""
        return sum((p.amount for p in self.payments if p.amount is not None), Decimal(0))
