"""The papers of a job as they may travel with a document: which, under what name, and as which bytes.

In: a case as its reader may see it, and facts. Out: attachments. Must not know which document they go with.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from dossier.assess.backing import good_papers
from dossier.bind.packet import seen_only
from dossier.case.case import Case
from dossier.evidence import Facts
from dossier.evidence.measuring import read_as_measured
from dossier.evidence.pdfs import look_at_pdf
from dossier.record.files import Paper
from dossier.render.engine import Attached
from dossier.render.pictures import reduce
from dossier.words import PaperKind

_MIME = {"pdf": "application/pdf", "jpeg": "image/jpeg", "png": "image/png", "text": "text/csv"}
_PICTURE_PAPER_MM = 180


@dataclass(frozen=True)
class SentPaper:
    """One paper that travels. name: as an attachment. kind: of its bytes, pdf, jpeg, or text of a table."""

    paper: Paper
    name: str
    data: bytes
    kind: str

    @property
    def attached(self) -> Attached:
        """Return it as it rides inside a document."""
        what = self.paper.kind.value if self.paper.kind else "paper"
        return Attached(
            self.name, self.data, _MIME[self.kind], "Supplement", f"{what}, {self.paper.file}"
        )


def papers_to_send(
    case: Case, facts: Facts, place: Callable[[str], Path], made_at: datetime
) -> Iterator[SentPaper]:
    """Yield each paper that may travel.

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
            if fact.kind == "text":
                yield SentPaper(paper, _unlike(name, taken), data, "text")
            elif fact.kind != "pdf":
                yield SentPaper(paper, _unlike(f"{stem}.jpg", taken), as_sent(data), "jpeg")
            elif not fact.active_content:
                yield SentPaper(paper, _unlike(name, taken), data, "pdf")
            elif (copy := cleaned_copy(data, made_at)) is not None:
                yield SentPaper(paper, _unlike(f"{stem}-cleaned.pdf", taken), copy, "pdf")


def as_sent(picture: bytes) -> bytes:
    """Return a picture made anew, so that no place or serial number of a camera travels."""
    return reduce(picture, width_mm=_PICTURE_PAPER_MM, dpi=200).data


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
