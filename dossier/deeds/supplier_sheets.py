"""What an office has typed of its suppliers, and which of them a ticket is from.

In: the office folder, the text of a ticket. Out: the form by which it is read. A ticket is from the supplier whose
name, as written in records, stands on it; from nobody where several do.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from dossier.errors import UnreadableInput
from dossier.evidence.text import PaperText
from dossier.gather.ticket_rows import TicketForm, key_of
from dossier.said import Listed, Said, say
from dossier.terms.read import read_catalogues
from dossier.terms.suppliers import FOLDER, Supplier, TicketColumns, read_supplier

_PART_MARKS = {"comma": ",", "semicolon": ";", "tab": "\t"}


@dataclass(frozen=True)
class Suppliers:
    """What is known: forms by the names of their sheets, each product's unit and colours.

    faults: why a sheet cannot be read.
    """

    office: Path
    forms: Mapping[str, TicketForm]
    catalogue: Mapping[str, tuple[str, Sequence[str]]]
    makers: Mapping[str, str]
    faults: Sequence[UnreadableInput]

    def form_of(self, text: PaperText, supplier: str | None) -> TicketForm | None:
        """Return the form by which a ticket is read: of the supplier named, else of the one printed on it."""
        if supplier is not None:
            return form_of(read_supplier(self.office, supplier), self.makers)
        printed = self._printed(text)
        return self.forms[printed[0]] if len(printed) == 1 else None

    def why_none(self, text: PaperText) -> tuple[Said, ...]:
        """Return why a ticket is read by no sheet, where it is not that none has its supplier."""
        printed = self._printed(text)
        if len(printed) > 1:
            return (
                say(
                    "this ticket names the suppliers of more than one sheet: {sheets}; "
                    "name the one it is from by --supplier",
                    sheets=Listed(tuple(printed)),
                ),
            )
        return tuple(
            say(
                "a sheet that may be its supplier's cannot be read: {problem}",
                problem=str(problem).removesuffix("."),
            )
            for problem in self.faults
        )

    def _printed(self, text: PaperText) -> list[str]:
        """Return the sheets whose supplier a ticket prints."""
        lines = [f" {key_of(line.text)} " for line in text.lines]
        return [
            name
            for name, form in self.forms.items()
            if any(f" {key_of(form.supplier)} " in line for line in lines)
        ]


def suppliers_of(office: Path) -> Suppliers:
    """Return what an office has typed; raises UnreadableInput for a catalogue with a fault."""
    known: dict[str, tuple[str, Sequence[str]]] = {}
    makers: dict[str, str] = {}
    for read in read_catalogues(office):
        for product in read.needed.products:
            known.setdefault(product.product, (product.unit, product.colours))
            makers.setdefault(product.product, product.maker or read.needed.maker)
    forms, faults = {}, []
    folder = office / FOLDER
    for path in sorted(folder.glob("*.yaml")) if folder.is_dir() else ():
        try:
            forms[path.stem] = form_of(read_supplier(office, path.stem), makers)
        except UnreadableInput as problem:
            # Another supplier's sheet may have a fault.
            faults.append(problem)
    return Suppliers(office, forms, known, makers, faults)


def form_of(sheet: Supplier, makers: Mapping[str, str]) -> TicketForm:
    """Return how a supplier's tickets are laid out."""
    return TicketForm(
        supplier=sheet.supplier,
        columns=_columns(sheet.columns),
        delimiter=_PART_MARKS[sheet.parted_by],
        dates=sheet.dates,
        products={one.code: one.product for one in sheet.products},
        units={one.code: one.unit for one in sheet.units},
        printed=_columns(sheet.printed) if sheet.printed else {},
        printed_dates=sheet.printed_dates or sheet.dates,
        makers=makers,
    )


def _columns(columns: TicketColumns) -> dict[str, str]:
    return {name: str(head) for name, head in columns.model_dump().items() if head is not None}
