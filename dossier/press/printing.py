"""A checked job into the bytes of every file that `build` writes.

In: case, facts, assessment, punch list, run. Out: named bytes. Must not write to disk, nor judge. Each
document is composed from the case as its reader may see it.
"""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from dossier.assess.results import Assessment
from dossier.bind.packet import PAPER_KINDS, append_papers
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
from dossier.compose.parts.safe_csv import safe_csv
from dossier.compose.punch_list.pages import punch_list_pages
from dossier.compose.punch_list.twins import punch_list_csv, punch_list_data
from dossier.evidence import Facts
from dossier.press.carried import carried_files, record_digest
from dossier.press.papers import papers_to_send
from dossier.press.press import Press, with_logo_that_opens
from dossier.punchlist import PunchList
from dossier.reading.typed import without_comments
from dossier.render.engine import Attached
from dossier.values import Run
from dossier.words import Edition

_TWIN = "registration.json"


class Printer:
    """Composes and prints what `build` writes of one job."""

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
        company = with_logo_that_opens(case.company, run.office_folder)
        self.case = replace(case, company=company)
        self.facts = facts
        self.assessment = assessment
        self.items = items
        self.run = run
        self.sheets_folder = sheets_folder or run.office_folder
        self._press = Press(company, facts, run)

    def files(self) -> dict[str, bytes]:
        """Return every file of `out/`, by name."""
        number, items = self.case.job.job.number, self.items
        doing = self.run.progress
        doing("laying out the registration packet", 0, 0)
        body, printed, twins = self._registration()
        data = punch_list_data(number, items, True)
        money = self.case.job.money
        doing("laying out the handover for the homeowner", 0, 0)
        home = self.edition(Edition.HOMEOWNER)
        doing("laying out the handover for a sale", 0, 0)
        resale = self.edition(Edition.RESALE)
        doing("laying out the punch list", 0, 0)
        files = {
            "handover.pdf": home,
            "handover-resale.pdf": resale,
            "registration.pdf": body,
            "registration-print.pdf": printed,
            **twins,
            "punch-list.pdf": self._punch_list(),
            "punch-list.csv": punch_list_csv(number, items).encode(),
            "punch-list.json": (json.dumps(data, indent=2, ensure_ascii=False) + "\n").encode(),
            **(self._scope_comparison() if money and money.scope_lines else {}),
        }
        doing("", 0, 0)
        self._press.tidy()
        return files

    def _scope_comparison(self) -> dict[str, bytes]:
        case = for_reader(self.case, Edition.INSURER)
        pages = scope_comparison(case, self.facts, self.assessment, self.run)
        return {
            "scope-comparison.pdf": self._press.pdf(pages),
            "scope-comparison.csv": safe_csv(COLUMNS, scope_csv_rows(pages)).encode(),
        }

    def edition(
        self, edition: Edition, change: Callable[[Handover], Handover] | None = None
    ) -> bytes:
        """Return the handover of one edition, after a change of its pages, such as a sale filled in."""
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
        return self._press.pdf(pages, self._carried(case, edition))

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
        return self._press.pdf(punch_list_pages(self.case, number, self.items, self.run))

    def _registration(self) -> tuple[bytes, bytes, dict[str, bytes]]:
        """Return the conforming body with the papers attached, the copy to print with them in it, the twins."""
        case = for_reader(self.case, Edition.MAKER)
        papers = list(papers_to_send(case, self.facts, self.run.place, self._press.made_at))
        sent = [one.paper for one in papers]
        cleaned = frozenset(
            paper.file for paper in sent if self.facts.papers[paper.file].active_content
        )
        pages = registration(
            case, self.facts, self.assessment, self.items, self.run, cleaned=cleaned
        )
        data = registration_data(case, self.assessment, pages, self.run)
        text = (json.dumps(data, indent=2, ensure_ascii=False) + "\n").encode()
        twin = Attached(_TWIN, text, "application/json", "Data", f"{_TWIN}: this packet as data")
        body = self._press.pdf(pages, [*(one.attached for one in papers), twin])
        with_pages = [one for one in papers if one.kind in PAPER_KINDS]
        leaves = [one.paper for one in with_pages]
        printed = append_papers(
            body,
            [(one.name, one.data, one.kind) for one in with_pages],
            self._press.pdf(dividers(leaves, case, self.facts, self.run)) if leaves else None,
            made_at=self._press.made_at,
        )
        twins = {_TWIN: text, "registration.csv": registration_csv(data).encode()}
        return body, printed, twins
