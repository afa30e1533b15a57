"""A supplier's ticket read, shown as lines of `job.yaml`, and written there; it is filed as the paper it is.

In: a job in hand, a supplier's table or printed ticket and how it is laid out. Out: its deliveries with an item
for every line that is none, and the record as it would be; then the record and the paper on disk.
"""

from dataclasses import dataclass, replace
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.deeds.gathering import InHand
from dossier.deeds.supplier_sheets import form_of, suppliers_of
from dossier.disk.outputs import write_new_file
from dossier.disk.whole import bytes_of
from dossier.errors import DossierError, UnreadableInput
from dossier.evidence.kinds import kind_of
from dossier.evidence.text import read_texts
from dossier.gather.printed_ticket import read_printed
from dossier.gather.ticket_rows import Ticket, paper_of
from dossier.gather.tickets import additions, read_ticket
from dossier.hand.file import Draft, Move, draft, look, write_locked
from dossier.reading.nodes import parse_tree
from dossier.record.files import placed_paper
from dossier.record.job import Job
from dossier.record.read import JOB_FILE, job_in
from dossier.terms.read import need_office
from dossier.terms.suppliers import read_supplier

MOST_BYTES = 100_000_000
"""Bytes of a ticket, as of any paper."""


@dataclass(frozen=True)
class TicketRead:
    """A ticket and the record with it. draft: None where no line of it can be written.

    file, data: where it is filed in the job, and its bytes; no file where that is so already. moved: from and to,
    of one that lies in the job under a name that says no kind.
    """

    ticket: Ticket
    draft: Draft | None
    file: str = ""
    data: bytes = b""
    moved: tuple[Move, ...] = ()


def read_into(
    at: InHand, source: Path, supplier: str, named_office: Path | None = None
) -> TicketRead:
    """Return what a supplier's ticket comes to in this job; raises DossierError where it cannot be told.

    named_office: where it is not the one around the job.
    """
    office = need_office(at.folder, named_office)
    known = suppliers_of(office)
    form = form_of(read_supplier(office, supplier), known.makers)
    data = _bytes(source)
    printed = kind_of(data) == "pdf"
    if printed:
        [text] = read_texts([data])
        if not text.lines:
            why = text.fault or "is a scan, whose words are not read. Type its lines in."
            raise UnreadableInput(f"{source.name} {why}", "Nothing was written.")
        ticket = read_printed(text, source.name, form, known.catalogue)
    else:
        ticket = read_ticket(data, source.name, form, known.catalogue)
    if not ticket.deliveries:
        return TicketRead(ticket, None)
    file = paper_of(ticket, "pdf" if printed else "csv")
    path = source.resolve()
    inside = path.is_relative_to(at.folder)
    moved: tuple[Move, ...] = ()
    shown = look(at.folder, JOB_FILE)
    job = job_in(parse_tree(shown.data or b"", JOB_FILE), RECORD_VERSION).needed
    if inside:
        now = path.relative_to(at.folder).as_posix()
        if placed_paper(now).kind is None and now not in {paper.file for paper in job.papers}:
            moved = ((now, file),)
        else:
            file = now
    named = tuple(one.model_copy(update={"file": file}) for one in ticket.deliveries)
    ticket = replace(ticket, deliveries=named)
    made = draft(shown, Job, additions(job, named))
    there = inside or bytes_of(at.folder / file) == data
    return TicketRead(ticket, made, "" if there else file, data, moved)


def write_ticket(at: InHand, read: TicketRead) -> None:
    """Write the record as it was shown, and file the ticket; raises CannotWrite with the job as it was.

    The job is in hand. It is refused where the record was changed since, or another file has the ticket's place.
    """
    if read.draft is None:
        return
    if read.file:
        (at.folder / read.file).parent.mkdir(exist_ok=True)
        write_new_file(at.folder / read.file, read.data)
    try:
        write_locked([read.draft], read.moved)
    except DossierError:
        if read.file:
            (at.folder / read.file).unlink(missing_ok=True)
        raise


def _bytes(source: Path) -> bytes:
    try:
        if source.stat().st_size > MOST_BYTES:
            raise UnreadableInput(f"{source} is too large for a ticket.", "Save the ticket alone.")
        return source.read_bytes()
    except OSError as problem:
        raise UnreadableInput(
            f"{source} cannot be read: {problem.strerror}.", "Name the supplier's ticket."
        ) from None
