"""How far a statement is backed by photos and papers: reviewed, on file, stated, absent.

In: a case and facts. Out: a backing and the references behind it. Must not weigh what is true: a photo
under a phase shows only that a file exists, until a named person notes on a date that it shows it.
"""

import re
from collections.abc import Iterable

from dossier.assess.results import Reference, Statement
from dossier.case.case import Case
from dossier.evidence import Facts, shows_nothing
from dossier.record.files import Paper, Photo
from dossier.words import Backing, PaperKind, Phase

PHOTO, PAPER, RECORD = "photo", "paper", "record"
_ORDER = list(Backing)


def is_reviewed(filed: Photo | Paper) -> bool:
    """Return whether a named person noted, on a date, that this file shows what it is filed for."""
    seen = filed.reviewed
    return bool(seen and seen.by and seen.on)


def names_ticket(file: str, number: str) -> bool:
    """Return whether a file's name holds this ticket number whole: 5 is not in ticket-55120.pdf."""
    name = file.rpartition("/")[2]
    return bool(re.search(rf"(?<![0-9A-Za-z]){re.escape(number)}(?![0-9A-Za-z])", name))


def photo_backing(photo: Photo, facts: Facts) -> Backing:
    """Return how far one photo backs what it is filed under; absent where it does not open.

    Absent too where it is so dark, burnt out or blurred that it shows nothing, unless a named person
    noted that it does: an eye that saw it counts for more than a limit.
    """
    fact = facts.photos.get(photo.file)
    if fact is None or not fact.exists or fact.fault is not None:
        return Backing.ABSENT
    if is_reviewed(photo):
        return Backing.REVIEWED
    return Backing.ABSENT if shows_nothing(fact) else Backing.ON_FILE


def paper_backing(paper: Paper, facts: Facts) -> Backing:
    """Return how far one paper backs what it is; absent where it does not open."""
    fact = facts.papers.get(paper.file)
    if fact is None or not fact.exists or fact.fault is not None or fact.encrypted:
        return Backing.ABSENT
    return Backing.REVIEWED if is_reviewed(paper) else Backing.ON_FILE


def good_photos(case: Case, facts: Facts, phase: Phase, slope: str | None = None) -> list[Photo]:
    """Return the photos of a phase that open and can show something, reviewed ones first."""
    found = [
        photo
        for photo in case.photos_of(phase, slope)
        if photo_backing(photo, facts) is not Backing.ABSENT
    ]
    return sorted(found, key=lambda photo: _ORDER.index(photo_backing(photo, facts)))


def good_papers(case: Case, facts: Facts, kind: PaperKind) -> list[Paper]:
    """Return the papers of a kind that open, reviewed ones first."""
    found = [
        paper for paper in case.papers_of(kind) if paper_backing(paper, facts) is not Backing.ABSENT
    ]
    return sorted(found, key=lambda paper: _ORDER.index(paper_backing(paper, facts)))


def statement(
    case: Case,
    facts: Facts,
    id_: str,
    text: str,
    *,
    said: bool,
    path: str,
    photos: Iterable[Photo] = (),
    papers: Iterable[Paper] = (),
) -> Statement:
    """Return a statement with the strongest backing that its photos, papers or the record give.

    said: whether the record itself states it at `path`. A photo alone does not make a statement that the
    record leaves blank; then it is absent.
    """
    references: list[Reference] = []
    strength = [Backing.STATED] if said else [Backing.ABSENT]
    if said:
        where = case.where(path)
        references.append(Reference(RECORD, str(where), where))
    for photo in photos:
        references.append(Reference(PHOTO, photo.file, case.photo_where(photo.file)))
        strength.append(photo_backing(photo, facts))
    for paper in papers:
        references.append(Reference(PAPER, paper.file, case.paper_where(paper.file)))
        strength.append(paper_backing(paper, facts))
    best = min(strength, key=_ORDER.index) if said else Backing.ABSENT
    return Statement(id_, text, best, tuple(references))
