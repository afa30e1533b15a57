"""Documents composed from the known-good job after a few edits, their texts, and their PDFs.

The pictures are small grey ones of the right proportion: a test of words and layout has no use for more.
"""

import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import UTC, datetime
from typing import Any

import pypdfium2
from PIL import Image

from dossier.bind.conformance import conform
from dossier.case.readers import for_reader
from dossier.compose.handover.handover import Handover, handover
from dossier.compose.packet.registration import Registration, registration
from dossier.compose.parts.shared import PLAIN_LOOK, Look
from dossier.compose.punch_list.pages import PunchListPages, punch_list_pages
from dossier.render.document import Document, render_document
from dossier.render.engine import Asset, Rendered
from dossier.words import Edition
from tests.known_good import Known, known_good

MADE_AT = datetime(2026, 10, 20, 12, tzinfo=UTC)

EMPTIED: Mapping[str, object] = {
    **{
        f"job.{name}": None
        for name in (
            *("owners", "building", "slopes", "decks", "repairs", "deliveries", "work"),
            *("installation", "after_work", "permit", "warranties", "money"),
        )
    },
    **{
        f"job.job.{name}": None
        for name in ("place", "contract_on", "scope", "layers_removed", "crew")
    },
    "job.job.completion_signed_on": None,
}
"""The edit that leaves a job nothing but the fields it cannot be without."""


@dataclass(frozen=True)
class Made:
    """The three documents of one job, each from the case its reader may see."""

    known: Known
    handover: Handover
    registration: Registration
    punch_list: PunchListPages


def made(edits: Mapping[str, object] | None = None, *, known: Known | None = None) -> Made:
    """Return the documents of the known-good job after these edits, or of a job made already."""
    job = known or known_good(edits)
    items = job.punch_list
    owner, maker = (for_reader(job.case, e) for e in (Edition.HOMEOWNER, Edition.MAKER))
    return Made(
        known=job,
        handover=handover(owner, job.facts, job.assessment, items, job.run),
        registration=registration(maker, job.facts, job.assessment, items, job.run),
        punch_list=punch_list_pages(job.case, job.case.job.job.number, items, job.run),
    )


def resale(known: Known) -> Handover:
    """Return the handover that a buyer's agent is shown."""
    case = for_reader(known.case, Edition.RESALE)
    return handover(case, known.facts, known.assessment, known.punch_list, known.run)


def texts(thing: Any) -> Iterator[str]:
    """Yield every string in a document; anything but text, yes or no, or a group of them is refused."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from texts(part)
    elif is_dataclass(thing):
        for field in fields(thing):
            # What was said rides in the attached data; beside it stands the text that is printed.
            if field.name not in ("pictures", "said"):
                yield from texts(getattr(thing, field.name))
    else:
        assert thing is None or isinstance(thing, bool), f"{thing!r} is not ready to print"


def everything(thing: Any) -> str:
    """Return all strings of a document, a line each."""
    return "\n".join(texts(thing))


def picture() -> Asset:
    target = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(target, "JPEG")
    return Asset(target.getvalue(), "image/jpeg")


def printed(doc: Document, look: Look = PLAIN_LOOK) -> Rendered:
    """Return a document's PDF with small grey pictures."""
    pictures = dict.fromkeys((wanted.name for wanted in doc.pictures), picture())
    return render_document(doc, look, pictures, (), MADE_AT, finisher=conform)


def pages(data: bytes) -> list[str]:
    """Return the text of each page, by a reader that did not write the file."""
    with pypdfium2.PdfDocument(data) as pdf:
        return [" ".join(page.get_textpage().get_text_range().split()) for page in pdf]
