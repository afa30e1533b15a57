"""What the finders of facts work from: a job's record, its papers as they were read, and what the office knows.

In: values. Out: `AtHand`. Must not read a file nor find anything itself.
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.evidence.text import PaperText
from dossier.gather.ticket_rows import Ticket
from dossier.punchlist import Item
from dossier.record.job import Job
from dossier.said import Said
from dossier.words import PaperKind


@dataclass(frozen=True)
class ReadPaper:
    """One paper of a job as it was read.

    file: where it lies in the job, or will lie once one of its facts is agreed to. source: where it lies now, of
    one that is not in the job yet, or lies in it unsorted. kind, kind_by: what it is, and how that is known;
    listed: whether the record or its name in the job says the kind. ticket: what a supplier's ticket came to.
    remarks: what else has to be said of it, such as that it is a scan; items: lines of it that could not be
    placed. sheet: text of a supplier's sheet that its heads propose, where none is typed.
    """

    file: str
    source: Path | None
    sha256: str
    text: PaperText
    kind: PaperKind | None = None
    kind_by: Said | None = None
    listed: bool = False
    ticket: Ticket | None = None
    remarks: tuple[Said, ...] = ()
    items: tuple[Item, ...] = ()
    sheet: str | None = None


@dataclass(frozen=True)
class AtHand:
    """What a finder works from.

    folder: the job's. company: our own name. No day on a paper lies after today.

    inspections: those that the locality asks for.
    """

    folder: Path
    job: Job
    today: date
    company: str
    papers: tuple[ReadPaper, ...]
    inspections: tuple[str, ...] = ()

    def unsorted(self, paper: ReadPaper) -> str | None:
        """Return where in the job a paper lies unsorted, to be moved with its first fact; None for any other."""
        if paper.source is None or not paper.source.is_relative_to(self.folder):
            return None
        return paper.source.relative_to(self.folder).as_posix()
