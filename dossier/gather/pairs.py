"""Two photos of one deck repair, before it and after it, found among those that are filed for it.

In: the repairs on record, photos with their facts. Out: `Found`, one a repair. Must not decide: time and likeness
propose, and whoever was there agrees.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from dossier.evidence import Facts, PhotoFact
from dossier.gather.found import Found
from dossier.gather.placing import moment_by_name
from dossier.gather.twins import telling_hash
from dossier.hand.means import Change
from dossier.record.files import Photo
from dossier.record.job import Job
from dossier.record.roof import Repair
from dossier.said import Said, say
from dossier.words import Phase

LEAST_WORK = timedelta(minutes=5)
"""A repair takes longer than this; photos nearer than that show one moment. Common practice, no published
source."""

MOST_BITS_ALIKE = 18
"""Bits of 64 in which the hashes of two views from one spot may differ, with another thing in the middle. Another
view changes twenty or more. Common practice, no published source."""


@dataclass(frozen=True)
class _Shot:
    photo: Photo
    fact: PhotoFact
    at: datetime


def found_pairs(job: Job, photos: Sequence[Photo], facts: Facts) -> tuple[Found, ...]:
    """Return the pairs that may be proposed, by repair.

    None for a repair that names a photo, that shares its slope with another, or of which the names of files say
    before or after already.
    """
    return tuple(_pairs(job, photos, facts))


def _pairs(job: Job, photos: Sequence[Photo], facts: Facts) -> Iterator[Found]:
    slopes = [repair.slope for repair in job.repairs]
    for number, repair in enumerate(job.repairs):
        if repair.photo_before or repair.photo_after or slopes.count(repair.slope) > 1:
            continue
        own = _shots(repair, photos, facts)
        if any(moment_by_name(shot.photo.file) for shot in own):
            continue
        found = _best(own)
        if found is not None:
            yield _as_found(number, repair, *found)


def _shots(repair: Repair, photos: Sequence[Photo], facts: Facts) -> list[_Shot]:
    found = []
    for photo in photos:
        fact = facts.photos.get(photo.file)
        here = photo.phase is Phase.DECK_REPAIR and photo.slope == repair.slope
        if here and repair.slope and fact and not fact.fault and fact.taken_at_local:
            found.append(_Shot(photo, fact, fact.taken_at_local))
    return sorted(found, key=lambda shot: (shot.at, shot.photo.file))


def _best(own: Sequence[_Shot]) -> tuple[_Shot, _Shot, bool] | None:
    """Return the photo before, the one after, and whether both are of one view; None where time does not part."""
    pauses = [
        (later.at - earlier.at, place) for place, (earlier, later) in enumerate(pairwise(own))
    ]
    pause, place = max(pauses, key=lambda one: (one[0], -one[1]), default=(timedelta(), 0))
    if pause < LEAST_WORK:
        return None
    early, late = own[: place + 1], own[place + 1 :]
    views = [(_apart(one.fact, other.fact), one, other) for one in early for other in late]
    alike = [view for view in views if view[0] is not None and view[0] <= MOST_BITS_ALIKE]
    if alike:
        _, before, after = min(alike, key=lambda view: view[0] or 0)
        return before, after, True
    return early[0], late[-1], False


def _apart(one: PhotoFact, other: PhotoFact) -> int | None:
    first, second = telling_hash(one), telling_hash(other)
    return None if first is None or second is None else (first ^ second).bit_count()


def _told(shot: _Shot) -> str:
    return f"{shot.at:%Y-%m-%d %H:%M} {shot.photo.file}"


def _as_found(number: int, repair: Repair, before: _Shot, after: _Shot, alike: bool) -> Found:
    doubt: Said | None = None
    if not alike:
        doubt = say("The order in time alone says so: look at both.")
    return Found(
        file=before.photo.file,
        page=0,
        line=0,
        stands=f"{_told(before)}, {_told(after)}",
        what=say(
            "photos before and after deck repair {number} on slope {slope}",
            number=number + 1,
            slope=repair.slope or "",
        ),
        changes=(
            Change(("repairs", str(number), "photo_before"), before.photo.file),
            Change(("repairs", str(number), "photo_after"), after.photo.file),
        ),
        doubt=doubt,
    )
