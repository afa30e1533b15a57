"""How one supplier's tables of delivered goods are laid out, typed in once.

In: nodes by way of `reading`. Out: `Supplier`. Must not know any ticket or job.
"""

from pathlib import Path

from pydantic import field_validator

from dossier.errors import UnreadableInput
from dossier.reading.kinds import Line
from dossier.reading.model import Model, Read, read_model, told
from dossier.reading.nodes import read_tree
from dossier.values import clip, is_day_form, listed

FOLDER = "suppliers"


class TicketColumns(Model):
    """Which column of the table holds what, by the name in its first line.

    On paper number and day may stand beside a label instead, and a lot below its product.
    """

    ticket: Line = told("The ticket's number.", example="Ticket No", default=...)
    product: Line = told("The product, by name or code.", example="Item", default=...)
    quantity: Line = told("How much was delivered.", example="Qty", default=...)
    unit: Line | None = told("The unit counted.", example="UOM")
    lot: Line | None = told("The lot.", example="Lot")
    colour: Line | None = told("The colour.", example="Color")
    on: Line | None = told("The day of delivery.", example="Ship Date")


class SupplierProduct(Model):
    """What one of the supplier's codes stands for."""

    code: Line = told("The code as printed in the table.", example="FG-1001", default=...)
    product: Line = told(
        "The product's name as in the catalogue.", example="Fenwright 40", default=...
    )


class SupplierUnit(Model):
    """What one of the supplier's units stands for."""

    code: Line = told("The unit as printed in the table.", example="BDL", default=...)
    unit: Line = told("The unit as in the catalogue.", example="bundle", default=...)


class Supplier(Model):
    """One supplier: its name and the layout of the tables it sends."""

    supplier: Line = told(
        "The supplier's name, as written in records.",
        example="Fjordgate Building Supply",
        default=...,
    )
    columns: TicketColumns = told("The columns.", default=...)
    parted_by: Line = told("What parts the columns: comma, semicolon or tab.", default="comma")
    dates: Line = told(
        "How days are written, with YYYY, MM (MMM for a month by its name) and DD.",
        example="MM/DD/YYYY",
        default="YYYY-MM-DD",
    )
    printed: TicketColumns | None = told(
        "The same for tickets on paper, where they read otherwise: heads of columns, or labels."
    )
    printed_dates: Line | None = told(
        "How days are written there, if otherwise.", example="DD MMM YYYY"
    )
    products: tuple[SupplierProduct, ...] = told("Codes and what they stand for.", default=())
    units: tuple[SupplierUnit, ...] = told("Units and what they stand for.", default=())

    @field_validator("parted_by")
    @classmethod
    def _is_a_mark(cls, word: str) -> str:
        if word.lower() not in ("comma", "semicolon", "tab"):
            raise ValueError(f"found “{clip(word)}”, needed comma, semicolon or tab")
        return word.lower()

    @field_validator("dates", "printed_dates")
    @classmethod
    def _is_a_form(cls, form: str | None) -> str | None:
        if form is None:
            return None
        if not is_day_form(form):
            raise ValueError(
                f"found “{clip(form)}”, needed a form such as MM/DD/YYYY or DD MMM YYYY"
            )
        return form


def read_supplier(office: Path, name: str) -> Supplier:
    """Return the supplier's sheet, `suppliers/NAME.yaml` in the office folder.

    Raises UnreadableInput where there is none of that name, naming those there are, or where it cannot
    be read.
    """
    folder = office / FOLDER
    known = sorted(path.stem for path in folder.glob("*.yaml")) if folder.is_dir() else []
    if name not in known:
        there = f" It has {listed(known)}." if known else ""
        raise UnreadableInput(
            f"The office folder has no supplier “{clip(name)}” in {FOLDER}/.{there}",
            f"Correct the name, or type the columns of its table into {FOLDER}/{clip(name)}.yaml.",
        )
    file = f"{FOLDER}/{name}.yaml"
    reading = read_tree(office / file, file)
    read: Read[Supplier] | None = None
    if reading.tree is not None:
        read = read_model(reading.tree, file, Supplier)
        if read.model is not None:
            return read.model
    item = (read.items if read else reading.items)[0]
    raise UnreadableInput(item.says, item.remedy)
