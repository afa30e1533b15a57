"""A supplier's ticket read, shown as lines of `job.yaml`, and written there.

In: a job in hand, a supplier's table and how it is laid out. Out: its deliveries with an item for every line that
is none, and the record as it would be; then the record on disk.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.deeds.gathering import InHand
from dossier.errors import UnreadableInput
from dossier.gather.tickets import Ticket, TicketForm, additions, read_ticket
from dossier.hand.file import Draft, draft, look, write_locked
from dossier.reading.nodes import parse_tree
from dossier.record.job import Job
from dossier.record.read import JOB_FILE, job_in
from dossier.terms.read import need_office, read_catalogues
from dossier.terms.suppliers import Supplier, read_supplier

_PART_MARKS = {"comma": ",", "semicolon": ";", "tab": "\t"}


@dataclass(frozen=True)
class TicketRead:
    """A ticket and the record with it. draft: None where no line of it can be written."""

    ticket: Ticket
    draft: Draft | None


def read_into(
    at: InHand, source: Path, supplier: str, named_office: Path | None = None
) -> TicketRead:
    """Return what a supplier's table comes to in this job; raises DossierError where it cannot be told.

    named_office: where it is not the one around the job.
    """
    office = need_office(at.folder, named_office)
    form = _form(read_supplier(office, supplier))
    ticket = read_ticket(_table(source), source.name, form, _catalogue(office))
    if not ticket.deliveries:
        return TicketRead(ticket, None)
    shown = look(at.folder, JOB_FILE)
    job = job_in(parse_tree(shown.data or b"", JOB_FILE), RECORD_VERSION).needed
    return TicketRead(ticket, draft(shown, Job, additions(job, ticket.deliveries)))


def write_ticket(read: TicketRead) -> None:
    """Write the record as it was shown; raises CannotWrite where it was changed since. The job is in hand."""
    if read.draft is not None:
        write_locked([read.draft])


def _table(source: Path) -> bytes:
    try:
        return source.read_bytes()
    except OSError as problem:
        raise UnreadableInput(
            f"{source} cannot be read: {problem.strerror}.", "Name the supplier's table."
        ) from None


def _form(sheet: Supplier) -> TicketForm:
    columns = sheet.columns.model_dump()
    return TicketForm(
        supplier=sheet.supplier,
        columns={name: str(column) for name, column in columns.items() if column is not None},
        delimiter=_PART_MARKS[sheet.parted_by],
        dates=sheet.dates,
        products={one.code: one.product for one in sheet.products},
        units={one.code: one.unit for one in sheet.units},
    )


def _catalogue(office: Path) -> Mapping[str, tuple[str, Sequence[str]]]:
    """Return each product's unit and colours; raises UnreadableInput for a catalogue with a fault."""
    known: dict[str, tuple[str, Sequence[str]]] = {}
    for read in read_catalogues(office):
        for product in read.needed.products:
            known.setdefault(product.product, (product.unit, product.colours))
    return known
