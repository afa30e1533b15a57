"""Every edition of the handover of a sealed job: the closing's, and one after each entry that changed the record.

In: a job's sealed folders. Out: for each edition its number, what began it, the fingerprint that its documents
print, and where its documents are sealed. Must not judge a document: it is for whoever holds one against them.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from dossier.archive.corrected import Since, all_changes, refuse, since_sealing, with_changes
from dossier.archive.names import CLOSEOUT
from dossier.case.case import Case
from dossier.deeds.sealed_job import read_sealed
from dossier.evidence import Facts, measure
from dossier.press.carried import record_digest
from dossier.record.corrections import changes_record
from dossier.record.places import SEALED
from dossier.values import write_date

_DOCUMENTS = ("handover.pdf", "handover-resale.pdf")


@dataclass(frozen=True)
class SealedEdition:
    """One edition. folder: the sealed folder it is in. on: the day its entry was noted, None for the closing.

    fingerprint: over record, photos and papers, as its documents print it. documents: those that are sealed,
    by name. case: the record as this edition shows it. late: file → sha256, of those that came after close-out.
    """

    number: int
    folder: str
    on: date | None
    kind: str
    fingerprint: str
    documents: dict[str, Path]
    case: Case
    late: dict[str, str]

    @property
    def words(self) -> str:
        """Return the edition as it is said: edition 2 (correction, 12 November 2026)."""
        if self.on is None:
            return f"edition {self.number} (as it was closed)"
        return f"edition {self.number} ({self.kind}, {write_date(self.on)})"


def editions_of(job_folder: Path) -> tuple[SealedEdition, ...]:
    """Return every edition of a sealed job, the closing's first; none where nothing is sealed.

    Every photo and paper is read. Raises UnreadableInput where an entry or the record cannot be read.
    """
    since = since_sealing(job_folder)
    return tuple(_editions(since)) if since else ()


def _editions(since: Since) -> Iterator[SealedEdition]:
    # A correction may name a file otherwise, so each edition's own list is measured; what was is not again.
    facts = Facts({}, {}, ())
    for count, folder in enumerate((CLOSEOUT, *since.folders)):
        entries = since.entries[:count]
        if count and not changes_record(entries[-1]):
            continue
        changes, misfits = all_changes(since.data, entries)
        then = replace(since, folders=since.folders[:count], entries=entries, changes=changes)
        case, items = (None, misfits) if misfits else read_sealed(then)
        if case is None:
            refuse(f"The record as {folder} left it cannot be read", items)
        facts = _measured(then, case, facts)
        shown = Facts(
            {photo.file: facts.photos[photo.file] for photo in case.photos},
            {paper.file: facts.papers[paper.file] for paper in case.papers},
            (),
        )
        below = "data/documents" if count else "data/out"
        found = {name: since.job_folder / SEALED / folder / below / name for name in _DOCUMENTS}
        yield SealedEdition(
            then.edition,
            folder,
            entries[-1].noted_on if entries else None,
            entries[-1].kind.value if entries else "closing",
            record_digest(case, shown),
            {name: path for name, path in found.items() if path.is_file()},
            with_changes(case, then),
            {file: _sha256(shown, file) for file in then.places if _sha256(shown, file)},
        )


def _sha256(facts: Facts, file: str) -> str:
    fact = facts.photos.get(file) or facts.papers.get(file)
    return (fact.sha256 if fact else None) or ""


def _measured(since: Since, case: Case, known: Facts) -> Facts:
    fresh = measure(
        since.data,
        [photo.file for photo in case.photos if photo.file not in known.photos],
        [paper.file for paper in case.papers if paper.file not in known.papers],
        places=since.places,
    )
    return Facts({**known.photos, **fresh.photos}, {**known.papers, **fresh.papers}, ())
