"""A supplier's ticket read, shown as lines of `job.yaml`, and written there.

In: a job in hand, a supplier's table and how it is laid out. Out: its deliveries with an item for every line that
is none, and the record as it would be; then the record on disk.
"""

from dataclasses import dataclass
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.deeds.gathering import InHand
from dossier.deeds.supplier_sheets import form_of, suppliers_of
from dossier.errors import UnreadableInput
from dossier.gather.ticket_rows import Ticket
from dossier.gather.tickets import additions, read_ticket
from dossier.hand.file import Draft, draft, look, write_locked
from dossier.reading.nodes import parse_tree
from dossier.record.job import Job
from dossier.record.read import JOB_FILE, job_in
from dossier.terms.read import need_office
from dossier.terms.suppliers import read_supplier


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
    known = suppliers_of(office)
    form = form_of(read_supplier(office, supplier), known.makers)
    ticket = read_ticket(_table(source), source.name, form, known.catalogue)
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
