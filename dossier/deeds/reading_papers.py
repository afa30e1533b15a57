"""The papers of a job read, what they seem to say shown, and what somebody agrees to written in the record.

In: a job folder, papers, what an office knows of its suppliers; then numbers that somebody agreed to, with the digest
of what was shown. Out: `Proposals`; then the record on disk. Nothing is written that was not shown.
"""

import hashlib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from dossier import RECORD_VERSION
from dossier.archive.closeout import refuse_sealed
from dossier.deeds.supplier_sheets import Suppliers, suppliers_of
from dossier.disk.outputs import WORK, Holder, job_lock, write_new_file
from dossier.disk.whole import bytes_of
from dossier.disk.whole import replace as put
from dossier.errors import CannotWrite, DossierError, UnreadableInput, WrongCommand
from dossier.evidence.files import list_files, read
from dossier.evidence.kinds import kind_of
from dossier.evidence.text import PaperText, read_texts
from dossier.gather.agreed import together
from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.found import Found
from dossier.gather.found_tickets import found_on_tickets
from dossier.gather.printed_ticket import read_printed
from dossier.gather.tickets import read_ticket
from dossier.hand.file import Draft, Shown, draft, look, write_locked
from dossier.hand.means import Form, meaning
from dossier.punchlist import Where
from dossier.reading.nodes import parse_tree
from dossier.record.files import placed_paper
from dossier.record.job import Job
from dossier.record.read import JOB_FILE, job_in
from dossier.said import say
from dossier.terms.read import need_office, read_company, read_locality
from dossier.values import Clock, clip, plural
from dossier.words import PaperKind

FINDERS: tuple[Callable[[AtHand], tuple[Found, ...]], ...] = (found_on_tickets,)
"""What looks for facts; each gets all that is at hand. A new one is a line here."""

MOST_BYTES = 100_000_000
"""Bytes of one paper, as where papers are measured."""

_SHOWN = "read-shown.txt"


@dataclass(frozen=True)
class PapersAsked:
    """What is asked. files: papers in the job or outside it; none for all of the job's. supplier: whose tickets they are."""

    job: Path
    files: tuple[Path, ...] = ()
    supplier: str | None = None
    office: Path | None = None
    today: date | None = None


@dataclass(frozen=True)
class Proposals:
    """What the papers of a job seem to say.

    found: what can be agreed to, numbered from 1 in this order. known: what the record says already.
    """

    at: AtHand
    shown: Shown
    found: tuple[Found, ...]
    known: tuple[Found, ...]

    @property
    def digest(self) -> str:
        """Return what tells these proposals from any others, the record beneath them included."""
        papers = [(paper.file, paper.sha256) for paper in self.at.papers]
        whole = repr((self.shown.digest, papers, self.found))
        return hashlib.sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()

    @property
    def undoubted(self) -> tuple[int, ...]:
        """Return the numbers of those in which nothing is in doubt."""
        return tuple(n for n, found in enumerate(self.found, start=1) if found.doubt is None)


@dataclass(frozen=True)
class Agreed:
    """What agreeing came to. filed: papers that were copied into the job."""

    draft: Draft
    filed: tuple[str, ...]


def read_papers(asked: PapersAsked, clock: Clock) -> Proposals:
    """Return what the papers of a job seem to say; nothing is written.

    Raises DossierError where the record or the office cannot be read, or a file named is not there.
    """
    folder = asked.job.resolve()
    office = need_office(folder, asked.office)
    shown = look(folder, JOB_FILE)
    if shown.data is None:
        raise UnreadableInput(f"{folder} holds no {JOB_FILE}.", "Name the job folder.")
    job = job_in(parse_tree(shown.data, JOB_FILE), RECORD_VERSION).needed
    company = read_company(office).model
    at = AtHand(
        folder,
        job,
        asked.today or clock(_zone(office, job)),
        company.name if company else "",
        _papers(asked, folder, job, suppliers_of(office)),
    )
    found = [one for finder in FINDERS for one in finder(at)]
    return Proposals(
        at,
        shown,
        tuple(one for one in found if not one.known),
        tuple(one for one in found if one.known),
    )


def drafted(shown: Proposals, numbers: Sequence[int]) -> Draft:
    """Return the record as it would be with the facts of these numbers; raises DossierError."""
    for number in numbers:
        if not 1 <= number <= len(shown.found):
            raise WrongCommand(
                f"There is no number {number}; {plural(len(shown.found), 'fact is', 'facts are')} proposed.",
                "Name numbers that were shown.",
            )
    facts = [shown.found[number - 1] for number in dict.fromkeys(numbers)]
    tree = parse_tree(shown.shown.data or b"", JOB_FILE).tree
    assert tree is not None
    return draft(shown.shown, Job, together(meaning(tree, Form(Job)), facts))


def agree(
    asked: PapersAsked,
    clock: Clock,
    digest: str,
    numbers: Sequence[int],
    holder: Holder | None = None,
) -> Agreed:
    """Write the facts of these numbers, as they were shown by this digest, whole or not at all.

    A paper from outside the job is copied into it where one of its facts is agreed to. Raises CannotWrite, with the
    job as it was, where something else would be shown by now, or the job is sealed.
    """
    with job_lock(asked.job.resolve() / WORK, holder):
        refuse_sealed(asked.job.resolve())
        now = read_papers(asked, clock)
        if now.digest != digest:
            raise CannotWrite(
                "The papers or the record are no longer what was shown.",
                "Nothing was written. Look at them again.",
            )
        made = drafted(now, numbers)
        agreed_to = {now.found[number - 1].file for number in numbers}
        filed: list[str] = []
        try:
            for paper in now.at.papers:
                if paper.source is not None and paper.file in agreed_to:
                    _file(now.at.folder, paper)
                    filed.append(paper.file)
            write_locked([made])
        except DossierError:
            for file in filed:
                (now.at.folder / file).unlink(missing_ok=True)
            raise
    return Agreed(made, tuple(filed))


def keep_shown(shown: Proposals) -> None:
    """Keep which proposals were shown last, so that numbers named later mean these."""
    work = shown.at.folder / WORK
    work.mkdir(exist_ok=True)
    try:
        put(work / _SHOWN, shown.digest.encode(), work / f"{_SHOWN}.new")
    except OSError as problem:
        raise CannotWrite(
            f"{work / _SHOWN} could not be written: {problem.strerror or problem}.",
            "Give this user the right to write there.",
        ) from problem


def last_shown(folder: Path) -> str:
    """Return the digest of the proposals that were shown last; raises WrongCommand where none were."""
    data = bytes_of(folder.resolve() / WORK / _SHOWN)
    if data is None:
        raise WrongCommand(
            "Nothing was shown of this job's papers yet.", "Look first: dossier read JOB"
        )
    return data.decode("ascii", "replace")


# --- papers -------------------------------------------------------------------------------------


def _zone(office: Path, job: Job) -> ZoneInfo:
    locality = read_locality(office, job.job.locality, Where(JOB_FILE)).model
    return ZoneInfo(locality.time_zone if locality else "UTC")


def _papers(
    asked: PapersAsked, folder: Path, job: Job, suppliers: Suppliers
) -> tuple[ReadPaper, ...]:
    """Return the papers asked for, each read as far as it can be."""
    listed = {paper.file: paper for paper in job.papers}
    waiting: list[tuple[str, Path | None, bytes]] = []
    faults: list[ReadPaper] = []
    for file, source in _files(asked, folder, list(listed)):
        contents = read(folder, file, MOST_BYTES) if source is None else None
        data = contents.data if contents else _bytes(source)
        if data is None:
            fault = (contents.look.fault if contents else None) or "cannot be read."
            faults.append(ReadPaper(file, source, "", PaperText(fault)))
        else:
            waiting.append((file, source, data))
    pdfs = [data for _, _, data in waiting if kind_of(data) == "pdf"]
    texts = iter(read_texts(pdfs))
    papers = []
    for file, source, data in waiting:
        text = next(texts) if kind_of(data) == "pdf" else PaperText()
        entry = listed.get(file)
        kind = (entry.kind if entry else None) or placed_paper(file).kind
        paper = ReadPaper(file, source, hashlib.sha256(data).hexdigest(), text, kind)
        paper = replace(paper, listed=source is None and kind is not None)
        papers.append(_with_ticket(paper, data, asked.supplier, suppliers))
    return (*papers, *faults)


def _files(
    asked: PapersAsked, folder: Path, listed: Sequence[str]
) -> list[tuple[str, Path | None]]:
    """Return each paper by its path in the job, with where it lies now if that is elsewhere."""
    if not asked.files:
        return [(file, None) for file in dict.fromkeys((*listed, *list_files(folder, "papers")))]
    files: list[tuple[str, Path | None]] = []
    for given in asked.files:
        inside = folder / given
        path = given if given.exists() or not inside.exists() else inside
        if not path.is_file():
            raise UnreadableInput(f"{given} is not there.", "Name a paper of the job, or a file.")
        if path.resolve().is_relative_to(folder):
            files.append((path.resolve().relative_to(folder).as_posix(), None))
        else:
            files.append((f"papers/{path.name}", path.resolve()))
    return files


def _bytes(source: Path | None) -> bytes | None:
    if source is None or source.stat().st_size > MOST_BYTES:
        return None
    try:
        return source.read_bytes()
    except OSError:
        return None


def _with_ticket(
    paper: ReadPaper, data: bytes, supplier: str | None, suppliers: Suppliers
) -> ReadPaper:
    """Return the paper with its ticket read, where it is one and its supplier is known."""
    is_table = kind_of(data) == "text"
    if paper.kind is not PaperKind.TICKET and supplier is None and not is_table:
        return paper
    form = suppliers.form_of(paper.text, supplier)
    if form is None:
        return replace(paper, remarks=(say("no sheet in suppliers/ names its supplier"),))
    try:
        if is_table:
            ticket = read_ticket(data, paper.file, form, suppliers.catalogue)
        else:
            ticket = read_printed(paper.text, paper.file, form, suppliers.catalogue)
    except UnreadableInput as problem:
        return replace(paper, remarks=(say("{problem}", problem=str(problem)),))
    file = paper.file
    if paper.source is not None and ticket.deliveries:
        name = re.sub(r"[^\w.-]+", "-", str(ticket.deliveries[0].ticket))
        file = f"papers/ticket-{name}{'.csv' if is_table else '.pdf'}"
    return replace(paper, file=file, kind=PaperKind.TICKET, ticket=ticket, items=ticket.items)


def _file(folder: Path, paper: ReadPaper) -> None:
    assert paper.source is not None
    data = _bytes(paper.source)
    if data is None or hashlib.sha256(data).hexdigest() != paper.sha256:
        raise CannotWrite(
            f"{clip(paper.source.name)} was changed since it was shown.",
            "Nothing was written. Look at it again.",
        )
    (folder / paper.file).parent.mkdir(exist_ok=True)
    write_new_file(folder / paper.file, data)
