"""How far a statement is backed by photos and papers: reviewed, on file, stated, absent.

In: a case and facts. Out: a backing and the references behind it. Must not weigh what is true: a photo
under a phase shows only that a file exists, until a named person notes on a date that it shows it.
"""

import re
from collections.abc import Iterable, Sequence

from dossier.assess.results import BySlope, Reference, Statement
from dossier.case.case import Case
from dossier.evidence import Facts, shows_nothing
from dossier.record.files import Paper, Photo
from dossier.said import Said
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
    if fact is None or not fact.exists or fact.fault is not None:
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


def photo_reference(case: Case, photo: Photo) -> Reference:
    """Return a photo as what backs something."""
    return Reference(PHOTO, photo.file, case.photo_where(photo.file))


def paper_reference(case: Case, paper: Paper) -> Reference:
    """Return a paper as what backs something, with its kind."""
    kind = paper.kind.value if paper.kind else ""
    return Reference(PAPER, paper.file, case.paper_where(paper.file), kind)


def by_slope(
    facts: Facts, slopes: Sequence[str], photos: Iterable[Photo], least: Backing
) -> BySlope:
    """Return how far each of these slopes is backed; the strongest of its photos, else the least.

    A photo filed under no slope stands for the roof as a whole. least: what holds on every slope without a photo.
    """
    found: dict[Backing, list[str]] = {}
    photos = list(photos)
    for slope in slopes:
        seen = [photo_backing(one, facts) for one in photos if one.slope in (None, slope)]
        best = min([least, *seen], key=_ORDER.index)
        found.setdefault(best, []).append(slope)
    return tuple((one, tuple(found[one])) for one in _ORDER if one in found)


def statement(
    case: Case,
    facts: Facts,
    id_: str,
    text: Said,
    *,
    path: str | None,
    photos: Iterable[Photo] = (),
    papers: Iterable[Paper] = (),
    slopes: Sequence[str] = (),
    slope: str | None = None,
) -> Statement:
    """Return a statement with the strongest backing that its photos, papers or the record give.

    slope: the one it is about alone. path: where the record itself states it, None where it does not. A photo
    alone does not make a statement that the record leaves blank; then it is absent. slopes: those that it speaks
    of, where it speaks of slopes: a photo of one says nothing of another, so the weakest decides. A paper speaks
    of the roof.
    """
    photos, papers = list(photos), list(papers)
    references: list[Reference] = []
    strength = [Backing.ABSENT if path is None else Backing.STATED]
    if path is not None:
        where = case.where(path)
        references.append(Reference(RECORD, str(where), where))
    references += [photo_reference(case, photo) for photo in photos]
    references += [paper_reference(case, paper) for paper in papers]
    strength += [paper_backing(paper, facts) for paper in papers]
    parts = by_slope(facts, slopes, photos, min(strength, key=_ORDER.index))
    if path is None:
        return Statement(id_, text, Backing.ABSENT, tuple(references), slope=slope)
    if parts:
        each = parts if parts[1:] else ()
        return Statement(id_, text, parts[-1][0], tuple(references), each, slope)
    strength += [photo_backing(photo, facts) for photo in photos]
    backing = min(strength, key=_ORDER.index)
    return Statement(id_, text, backing, tuple(references), slope=slope)
