"""The papers of a job, or such as are to become its, read as far as they can be.

In: a job folder, the papers asked for. Out: `AtHand`, what the finders work from. Must not find a fact nor write.
"""

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo

from dossier import RECORD_VERSION
from dossier.deeds.supplier_sheets import Suppliers, suppliers_of
from dossier.errors import UnreadableInput
from dossier.evidence.files import list_files, read
from dossier.evidence.kinds import kind_of
from dossier.evidence.text import PaperText, read_texts
from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.naming import UNSORTED
from dossier.gather.printed_ticket import read_printed
from dossier.gather.proposed_sheet import proposed_sheet
from dossier.gather.remarks import remarked
from dossier.gather.ticket_rows import paper_of
from dossier.gather.tickets import read_ticket
from dossier.gather.titles import title_of
from dossier.hand.file import Shown, look
from dossier.punchlist import Where
from dossier.reading.nodes import parse_tree
from dossier.record.files import placed_paper
from dossier.record.job import Job
from dossier.record.read import JOB_FILE, job_in
from dossier.said import say
from dossier.terms.read import need_office, read_company, read_locality
from dossier.values import Clock, clip
from dossier.words import PaperKind

MOST_BYTES = 100_000_000
"""Bytes of one paper, as where papers are measured."""


@dataclass(frozen=True)
class PapersAsked:
    """What is asked. files: papers in the job or outside it; none for all of the job's.

    supplier: the sheet of the supplier whose tickets these are; without it the one whose name a ticket prints.
    photos: whether what the job's photos seem to say is looked for too.
    """

    job: Path
    files: tuple[Path, ...] = ()
    supplier: str | None = None
    office: Path | None = None
    today: date | None = None
    photos: bool = False


def at_hand(asked: PapersAsked, clock: Clock) -> tuple[AtHand, Shown]:
    """Return what can be read of the papers, and the record as it is; raises DossierError."""
    folder = asked.job.resolve()
    office = need_office(folder, asked.office)
    shown = look(folder, JOB_FILE)
    if shown.data is None:
        raise UnreadableInput(f"{folder} holds no {JOB_FILE}.", "Name the job folder.")
    job = job_in(parse_tree(shown.data, JOB_FILE), RECORD_VERSION).needed
    company = read_company(office).model
    locality = read_locality(office, job.job.locality, Where(JOB_FILE)).model
    at = AtHand(
        folder,
        job,
        asked.today or clock(ZoneInfo(locality.time_zone if locality else "UTC")),
        company.name if company else "",
        _papers(asked, folder, job, suppliers_of(office)),
        locality.inspections if locality else (),
    )
    return remarked(at), shown


def _papers(
    asked: PapersAsked, folder: Path, job: Job, suppliers: Suppliers
) -> tuple[ReadPaper, ...]:
    """Return the papers asked for, each read as far as it can be."""
    listed = {paper.file: paper for paper in job.papers}
    waiting: list[tuple[ReadPaper, bytes]] = []
    faults: list[ReadPaper] = []
    for file, source in _files(asked, folder, job):
        contents = read(folder, file, MOST_BYTES) if source is None else None
        data = contents.data if contents else bytes_outside(source)
        fault = _no_paper(file, data)
        if data is None or fault:
            fault = (contents.look.fault if contents else None) or fault
            faults.append(ReadPaper(file, source, "", PaperText(fault)))
            continue
        entry = listed.get(file)
        typed = entry.kind if entry else None
        kind = typed or placed_paper(file).kind
        # “Letter” in a name says how a paper came and not what it is.
        known = source is None and (typed is not None or kind not in (None, PaperKind.LETTER))
        digest = hashlib.sha256(data).hexdigest()
        # Of a picture nothing more is read; some dozens of large ones need not be held at once.
        kept = data if kind_of(data) in ("pdf", "text") else b""
        waiting.append((ReadPaper(file, source, digest, PaperText(), kind, None, known), kept))
    texts = iter(read_texts([data for _, data in waiting if kind_of(data) == "pdf"]))
    papers = []
    for paper, data in waiting:
        if kind_of(data) == "pdf":
            paper = _by_title(replace(paper, text=next(texts)))
        papers.append(_with_ticket(paper, data, asked, suppliers))
    return _apart(folder, (*papers, *faults))


def _no_paper(file: str, data: bytes | None) -> str:
    """Return why a file is no paper to read, as the end of a sentence that begins with “It”; else empty."""
    kind = None if data is None else kind_of(data)
    if kind is None:
        return "cannot be read."
    if kind == "unknown":
        return "is no PDF, no picture and no table. Ask whoever sent it to send it again."
    if kind == "text" and not file.lower().endswith(".csv"):
        return "is text; of text only a table (.csv) is read."
    return ""


def _apart(folder: Path, papers: Sequence[ReadPaper]) -> tuple[ReadPaper, ...]:
    """Return the papers, those from outside each with a place in the job that no other file has."""
    taken = {paper.file.casefold() for paper in papers if paper.source is None}
    taken |= {file.casefold() for file in list_files(folder, "papers")}
    made = []
    for paper in papers:
        file, number = paper.file, 1
        while paper.source is not None and file.casefold() in taken:
            number += 1
            stem, dot, ending = paper.file.rpartition(".")
            file = f"{stem}-{number}.{ending}" if dot else f"{paper.file}-{number}"
        taken.add(file.casefold())
        made.append(replace(paper, file=file))
    return tuple(made)


def _named(job: Job) -> list[str]:
    """Return the papers that the record names where they lie."""
    named = [paper.file for paper in job.papers]
    named += [one.file for one in job.deliveries if one.file]
    return named + [one.certificate_file for one in job.warranties if one.certificate_file]


def _files(asked: PapersAsked, folder: Path, job: Job) -> list[tuple[str, Path | None]]:
    """Return each paper by its path in the job, with where it lies now if that is elsewhere."""
    named = _named(job)
    listed = [paper.file for paper in job.papers]
    inside = list(dict.fromkeys((*listed, *list_files(folder, "papers"))))
    if not asked.files:
        return [_placed(folder, file, named) for file in inside]
    files: list[tuple[str, Path | None]] = []
    for given in asked.files:
        path = given if given.exists() else folder / given
        if not path.is_file():
            raise UnreadableInput(f"{given} is not there.", "Name a paper of the job, or a file.")
        path = path.resolve()
        if path.is_relative_to(folder):
            files.append(_placed(folder, path.relative_to(folder).as_posix(), named))
        else:
            same = _same_bytes(folder, inside, bytes_outside(path))
            files.append(_placed(folder, same, named) if same else (f"papers/{path.name}", path))
    return list(dict.fromkeys(files))


def _placed(folder: Path, file: str, named: Sequence[str]) -> tuple[str, Path | None]:
    """Return a paper of the job; one that lies unsorted with the place it gets once its kind is read."""
    if not file.startswith(f"papers/{UNSORTED}/") or file in named:
        return file, None
    return f"papers/{file.rpartition('/')[2].removeprefix('paper-')}", folder / file


def _same_bytes(folder: Path, inside: Sequence[str], data: bytes | None) -> str | None:
    """Return the paper of the job that holds the same bytes as one from outside."""
    for file in inside:
        if data is not None and read(folder, file, MOST_BYTES).data == data:
            return file
    return None


def bytes_outside(source: Path | None) -> bytes | None:
    """Return the bytes of a file outside the job; None where it cannot be read, or is too large."""
    try:
        if source is None or source.stat().st_size > MOST_BYTES:
            return None
        return source.read_bytes()
    except OSError:
        return None


def _by_title(paper: ReadPaper) -> ReadPaper:
    """Return the paper with the kind its title says, where nothing else says one, and how its kind is known."""
    title = title_of(paper.text)
    if title is None:
        return paper
    says = say("its line {line} says “{words}”", line=title.line.line, words=clip(title.line.text))
    if not paper.listed:
        file = paper.file
        if paper.source is not None:
            stem = re.sub(r"[^\w.-]+", "-", Path(paper.file).stem).strip("-.")
            file = f"papers/{title.kind.slug}-{stem}.pdf"
        return replace(paper, file=file, kind=title.kind, kind_by=says)
    if title.kind is not paper.kind:
        return replace(paper, kind_by=say("by its name or the record, but {says}", says=says))
    return paper


def _with_ticket(
    paper: ReadPaper, data: bytes, asked: PapersAsked, suppliers: Suppliers
) -> ReadPaper:
    """Return the paper with its ticket read, where it is one and its supplier is known."""
    is_table = kind_of(data) == "text" and paper.file.lower().endswith(".csv")
    meant = asked.supplier is not None and bool(asked.files) and paper.kind is None
    if not (paper.kind is PaperKind.TICKET or is_table or meant) or not (
        is_table or paper.text.lines
    ):
        return paper
    form = suppliers.form_of(paper.text, asked.supplier)
    if form is None:
        if why := suppliers.why_none(paper.text):
            return replace(paper, remarks=why)
        sheet = proposed_sheet(paper.text)
        none = say("no sheet in suppliers/ has the supplier that this ticket names")
        lacks = say("none can be proposed: no line of it has heads of a product and of a quantity")
        remarks = (none,) if sheet or is_table else (none, lacks)
        return replace(paper, remarks=remarks, sheet=sheet)
    name = paper.source.name if paper.source else paper.file
    try:
        if is_table:
            ticket = read_ticket(data, name, form, suppliers.catalogue)
        else:
            ticket = read_printed(paper.text, name, form, suppliers.catalogue)
    except UnreadableInput as problem:
        sheet = None if is_table else proposed_sheet(paper.text)
        return replace(
            paper, remarks=(say("{problem}", problem=str(problem).removesuffix(".")),), sheet=sheet
        )
    file = paper.file
    if paper.source is not None and ticket.deliveries:
        file = paper_of(ticket, "csv" if is_table else "pdf")
    return replace(paper, file=file, kind=PaperKind.TICKET, ticket=ticket, items=ticket.items)
