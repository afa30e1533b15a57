"""A checked job into the bytes of every file that `build` writes.

In: case, facts, assessment, punch list, run. Out: named bytes. Must not write to disk, nor judge. Each
document is composed from the case as its reader may see it, and each photo is reduced once a width.
"""

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime, time
from pathlib import Path

from dossier.assess.backing import good_papers
from dossier.assess.results import Assessment
from dossier.bind.conformance import conform
from dossier.bind.packet import append_papers, seen_only
from dossier.case.as_built import sheets_used
from dossier.case.case import Case
from dossier.case.private import without
from dossier.case.readers import for_reader, private_of
from dossier.compose.handover.calendar import calendar
from dossier.compose.handover.handover import Handover, handover
from dossier.compose.office.scope_comparison import COLUMNS, scope_comparison, scope_csv_rows
from dossier.compose.packet.dividers import dividers
from dossier.compose.packet.registration import registration
from dossier.compose.packet.twins import registration_csv, registration_data
from dossier.compose.parts.shared import PictureWanted, look_of
from dossier.compose.punch_list.pages import punch_list_pages
from dossier.compose.punch_list.twins import punch_list_csv, punch_list_data, safe_csv
from dossier.disk.standing import program_stamp
from dossier.evidence import Facts
from dossier.evidence.logo import logo_fault
from dossier.evidence.measuring import read_as_measured
from dossier.evidence.pdfs import look_at_pdf
from dossier.press.carried import carried_files, record_digest
from dossier.punchlist import PunchList
from dossier.reading.typed import without_comments
from dossier.record.files import Paper
from dossier.render.content_store import ContentStore
from dossier.render.document import Document, render_document
from dossier.render.engine import Attached, Rendered
from dossier.render.kept_documents import KeptDocuments
from dossier.render.picture_stage import PictureStage, Wanted
from dossier.render.pictures import reduce
from dossier.values import Run
from dossier.words import Edition, PaperKind

_MIME = {"pdf": "application/pdf", "jpeg": "image/jpeg", "png": "image/png"}
_PICTURE_PAPER_MM = 180
_DOCUMENTS, _DOCUMENTS_LIMIT_BYTES = "documents", 50_000_000
PICTURES = "pictures"
"""The folder of reduced photos below a job's `.dossier/`."""
_TWIN = "registration.json"

OWN_TEMPLATES = "templates"
"""The folder of the office's own templates, in the office folder; most offices have none."""


class Printer:
    """Prints the documents of one job. Each photo is read and reduced once a width."""

    def __init__(
        self,
        case: Case,
        facts: Facts,
        assessment: Assessment,
        items: PunchList,
        run: Run,
        sheets_folder: Path | None = None,
    ) -> None:
        """Take everything the documents are made from. A logo that does not open is left out.

        sheets_folder: where the sheets lie that ride inside a document; the office folder where None.
        """
        if logo_fault(run.office_folder, case.company.logo):
            case = replace(case, company=case.company.model_copy(update={"logo": None}))
        self.case = case
        self.facts = facts
        self.assessment = assessment
        self.items = items
        self.run = run
        self.sheets_folder = sheets_folder or run.office_folder
        self.look = look_of(case.company)
        self.made_at = datetime.combine(run.today, time(12), tzinfo=run.time_zone)
        self._store = ContentStore(run.work_folder / PICTURES)
        laid_out = ContentStore(
            run.work_folder / _DOCUMENTS, limit_bytes=_DOCUMENTS_LIMIT_BYTES, ending=".kept"
        )
        self._kept = KeptDocuments(laid_out, program_stamp(), fresh=run.fresh)
        self._stage = PictureStage(self._store, fresh=run.fresh, progress=run.progress)

    def files(self) -> dict[str, bytes]:
        """Return every file of `out/`, by name."""
        number, items = self.case.job.job.number, self.items
        body, printed, twins = self._registration()
        data = punch_list_data(number, items, True)
        money = self.case.job.money
        files = {
            "handover.pdf": self._handover(Edition.HOMEOWNER),
            "handover-resale.pdf": self._handover(Edition.RESALE),
            "registration.pdf": body,
            "registration-print.pdf": printed,
            **twins,
            "punch-list.pdf": self._punch_list(),
            "punch-list.csv": punch_list_csv(number, items).encode(),
            "punch-list.json": (json.dumps(data, indent=2, ensure_ascii=False) + "\n").encode(),
            **(self._scope_comparison() if money and money.scope_lines else {}),
        }
        self._store.tidy()
        self._kept.store.tidy()
        return files

    def _scope_comparison(self) -> dict[str, bytes]:
        case = for_reader(self.case, Edition.INSURER)
        pages = scope_comparison(case, self.facts, self.assessment, self.run)
        return {
            "scope-comparison.pdf": self._render(pages).data,
            "scope-comparison.csv": safe_csv(COLUMNS, scope_csv_rows(pages)).encode(),
        }

    def edition(self, edition: Edition) -> bytes:
        """Return the handover of one edition: the homeowner's or the resale one."""
        return self._handover(edition)

    def resale(self, change: Callable[[Handover], Handover]) -> bytes:
        """Return the resale edition after a change of its pages, such as a sale filled in."""
        return self._handover(Edition.RESALE, change)

    def _handover(
        self, edition: Edition, change: Callable[[Handover], Handover] | None = None
    ) -> bytes:
        case = for_reader(self.case, edition)
        pages = handover(
            case,
            self.facts,
            self.assessment,
            self.items,
            self.run,
            edition=edition,
            digest=record_digest(self.case, self.facts),
        )
        if change is not None:
            pages = change(pages)
        if edition is Edition.RESALE:
            # Statements and items were worded from the whole record, so the pages are gone through once more.
            pages = without(pages, private_of(self.case))
        return self._render(pages, self._carried(case, edition)).data

    def _carried(self, case: Case, edition: Edition) -> list[Attached]:
        """Return the record as this edition's reader may see it, to ride inside a document."""
        # Comments in a sheet were meant for the office and stay there.
        sheets = {
            name: without_comments(data, name)
            for name, data in sheets_used(self.case, self.sheets_folder).items()
        }
        ics = calendar(case, self.assessment, self.run, edition)
        files = carried_files(case, self.facts, edition, self.case, sheets, ics)
        return [
            Attached(
                name=name,
                data=data,
                mime="text/calendar" if name.endswith(".ics") else "text/plain",
                relationship="Source" if name == "job.yaml" else "Supplement",
                description=f"{name}: see about.txt",
            )
            for name, data in files.items()
        ]

    def _punch_list(self) -> bytes:
        number = self.case.job.job.number
        return self._render(punch_list_pages(self.case, number, self.items, self.run)).data

    def _registration(self) -> tuple[bytes, bytes, dict[str, bytes]]:
        """Return the conforming body with the papers attached, the copy to print with them in it, the twins."""
        case = for_reader(self.case, Edition.MAKER)
        papers = list(papers_to_send(case, self.facts, self.run.place, self.made_at))
        cleaned = frozenset(
            paper.file for paper, *_ in papers if self.facts.papers[paper.file].active_content
        )
        pages = registration(
            case, self.facts, self.assessment, self.items, self.run, cleaned=cleaned
        )
        attached = [
            Attached(
                name=name,
                data=data,
                mime=_MIME[kind],
                relationship="Supplement",
                description=f"{paper.kind.value if paper.kind else 'paper'}, {paper.file}",
            )
            for paper, name, data, kind in papers
        ]
        data = registration_data(case, self.assessment, pages, self.run)
        text = (json.dumps(data, indent=2, ensure_ascii=False) + "\n").encode()
        twin = Attached(_TWIN, text, "application/json", "Data", f"{_TWIN}: this packet as data")
        body = self._render(pages, [*attached, twin])
        sent = [paper for paper, *_ in papers]
        parts = self._render(dividers(sent, case, self.facts, self.run)) if sent else None
        printed = append_papers(
            body.data,
            [(name, data, kind) for _, name, data, kind in papers],
            parts.data if parts else None,
            made_at=self.made_at,
        )
        twins = {_TWIN: text, "registration.csv": registration_csv(data).encode()}
        return body.data, printed, twins

    def _render(self, pages: Document, attached: Sequence[Attached] = ()) -> Rendered:
        pictures = self._stage.pictures([self._wanted(picture) for picture in pages.pictures])
        own = self.run.office_folder / OWN_TEMPLATES
        return render_document(
            pages,
            self.look,
            pictures,
            attached,
            self.made_at,
            finisher=conform,
            overrides=own if own.is_dir() else None,
            kept=self._kept,
        )

    def _wanted(self, picture: PictureWanted) -> Wanted:
        fact = None if picture.from_office else self.facts.photos.get(picture.file)
        run, file = self.run, picture.file
        path = run.office_folder / file if picture.from_office else run.place(file)
        return Wanted(picture.name, path, picture.width_mm, fact.sha256 if fact else None, file)


def papers_to_send(
    case: Case, facts: Facts, place: Callable[[str], Path], made_at: datetime
) -> Iterator[tuple[Paper, str, bytes, str]]:
    """Yield each paper that may travel: the paper, its attachment name, its bytes, its kind.

    Papers that do not open or are locked stay behind; the packet lists them. One that does more than show
    its pages travels as a copy of what they show, if that can be made and does no more. Picture papers are
    made anew, so that no place or serial number of a camera travels.
    """
    taken: set[str] = set()
    for kind in PaperKind:
        for paper in good_papers(case, facts, kind):
            fact = facts.papers[paper.file]
            if fact.kind not in _MIME:
                continue
            data = read_as_measured(place(paper.file), fact)
            name = paper.file.removeprefix("papers/").replace("/", "-")
            stem = name.rpartition(".")[0]
            if fact.kind != "pdf":
                made = reduce(data, width_mm=_PICTURE_PAPER_MM, dpi=200)
                yield paper, _unlike(f"{stem}.jpg", taken), made.data, "jpeg"
            elif not fact.active_content:
                yield paper, _unlike(name, taken), data, "pdf"
            elif (copy := cleaned_copy(data, made_at)) is not None:
                yield paper, _unlike(f"{stem}-cleaned.pdf", taken), copy, "pdf"


def _unlike(name: str, taken: set[str]) -> str:
    """Return a name that no attachment has yet, and note it; a card may be there as JPEG and as PNG."""
    stem, dot, ending = name.rpartition(".")
    unlike, number = name, 2
    while unlike.lower() in taken:
        unlike, number = f"{stem}-{number}{dot}{ending}", number + 1
    taken.add(unlike.lower())
    return unlike


def cleaned_copy(data: bytes, made_at: datetime) -> bytes | None:
    """Return what a PDF's pages show as a new PDF, None where that fails or would still do more."""
    # What the reading library raises on odd files is no closed list; the paper then stays behind, as the
    # packet says, and an item asks for a better one.
    try:
        copy = seen_only(data, made_at=made_at)
    except MemoryError:
        raise
    except Exception:
        return None
    before, after = look_at_pdf(data), look_at_pdf(copy)
    whole = after.fault is None and after.page_count == before.page_count
    return copy if whole and not after.active_content else None
