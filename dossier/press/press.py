"""Any composed document into finished bytes: the one way from pages to a PDF.

In: pages of ready-to-print strings, the company's look, pictures, what is to ride inside. Out: a PDF that
conforms, by the office's own templates where it has some. Must not know what a document says, nor where its
bytes go.
"""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, tzinfo
from pathlib import Path

from dossier.bind.conformance import conform
from dossier.compose.parts.shared import PLAIN_LOOK, Look, PictureWanted, look_of
from dossier.disk.standing import program_stamp
from dossier.evidence import Facts
from dossier.evidence.logo import logo_fault
from dossier.render.content_store import ContentStore
from dossier.render.document import Document, render_document
from dossier.render.engine import Asset, Attached, Rendered
from dossier.render.kept_documents import KeptDocuments
from dossier.render.picture_stage import PictureStage, Wanted
from dossier.terms.office import Company
from dossier.values import Run

OWN_TEMPLATES = "templates"
"""The folder of the office's own templates, in the office folder; most offices have none."""

_PICTURES, _DOCUMENTS = "pictures", "documents"
"""The folders of reduced photos and of documents laid out before, below a job's `.dossier/`."""

_DOCUMENTS_LIMIT_BYTES = 50_000_000


class Press:
    """Prints the documents of one job. Each photo is reduced once a width, and nothing is laid out twice."""

    def __init__(self, company: Company, facts: Facts, run: Run) -> None:
        """Take what all documents of the job share. facts: a photo that changed since stops the run."""
        self.made_at = moment(run.today, run.time_zone)
        self._look = look_of(company)
        self._facts = facts
        self._run = run
        self._pictures = ContentStore(run.work_folder / _PICTURES)
        self._documents = ContentStore(
            run.work_folder / _DOCUMENTS, limit_bytes=_DOCUMENTS_LIMIT_BYTES, ending=".kept"
        )
        self._kept = KeptDocuments(self._documents, program_stamp(), fresh=run.fresh)
        self._stage = PictureStage(self._pictures, fresh=run.fresh, progress=run.progress)

    def pdf(self, pages: Document, attached: Sequence[Attached] = ()) -> bytes:
        """Return one document, with these files inside it."""
        pictures = self._stage.pictures([self._wanted(picture) for picture in pages.pictures])
        office = self._run.office_folder
        made = _printed(pages, self._look, pictures, attached, self.made_at, office, self._kept)
        return made.data

    def tidy(self) -> None:
        """Take away the oldest of what was kept from run to run, where it became too much."""
        self._pictures.tidy()
        self._documents.tidy()

    def _wanted(self, picture: PictureWanted) -> Wanted:
        if picture.from_office:
            return _of_the_office(picture, self._run.office_folder)
        fact, path = self._facts.photos.get(picture.file), self._run.place(picture.file)
        sha256 = fact.sha256 if fact else None
        return Wanted(picture.name, path, picture.width_mm, sha256, picture.file)


def print_one(
    pages: Document,
    company: Company | None,
    office_folder: Path,
    made_at: datetime,
    pictures: Mapping[str, Asset] | None = None,
) -> Rendered:
    """Return one document that is of no job, or of one that is not yet filed; nothing of it is kept for later.

    company: None where it cannot be read. pictures: by the names the pages want; those of the office where None.
    """
    if pictures is None:
        stage = PictureStage(ContentStore(None))
        pictures = stage.pictures([_of_the_office(one, office_folder) for one in pages.pictures])
    look = look_of(company) if company else PLAIN_LOOK
    return _printed(pages, look, pictures, (), made_at, office_folder)


def moment(today: date, zone: tzinfo) -> datetime:
    """Return the moment that a document printed on a day says it was made at: noon, so that its bytes repeat."""
    return datetime.combine(today, time(12), tzinfo=zone)


def with_logo_that_opens(company: Company, office_folder: Path) -> Company:
    """Return the company, without its logo where that cannot be printed."""
    if logo_fault(office_folder, company.logo):
        return company.model_copy(update={"logo": None})
    return company


def _of_the_office(picture: PictureWanted, office_folder: Path) -> Wanted:
    path = office_folder / picture.file
    return Wanted(picture.name, path, picture.width_mm, None, picture.file)


def _printed(
    pages: Document,
    look: Look,
    pictures: Mapping[str, Asset],
    attached: Sequence[Attached],
    made_at: datetime,
    office_folder: Path,
    kept: KeptDocuments | None = None,
) -> Rendered:
    own = office_folder / OWN_TEMPLATES
    return render_document(
        pages,
        look,
        pictures,
        attached,
        made_at,
        finisher=conform,
        overrides=own if own.is_dir() else None,
        kept=kept,
    )
