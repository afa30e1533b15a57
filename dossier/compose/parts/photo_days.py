"""Whether a photo fits where it is filed: its camera day, and whether one picture shows two phases.

In: a case and facts. Out: plain words, empty where nothing is amiss. Must not accuse: a clock may have been
wrong, and that a camera gave no day at all is nothing to be told here.
"""

from collections.abc import Collection
from datetime import date

from dossier.case.case import Case
from dossier.compose.parts.shared import days
from dossier.evidence.facts import Facts
from dossier.record.files import Photo
from dossier.values import listed, write_date
from dossier.words import Phase

DAY_DIFFERS = "camera day differs from the work log"
_EVERY_PHASE = tuple(phase for phase in Phase)
SHOWN_TWICE = "the same picture is filed under another phase"


def misfits(case: Case, facts: Facts, photo: Photo) -> tuple[str, ...]:
    """Return what does not fit about a photo, in the few words that stand below it."""
    found = []
    if allowed_instead(case, facts, photo):
        found.append(DAY_DIFFERS)
    if other_phases(case, facts, photo):
        found.append(SHOWN_TWICE)
    return tuple(found)


def told_misfits(
    case: Case, facts: Facts, phases: Collection[Phase] = _EVERY_PHASE
) -> tuple[str, ...]:
    """Return a sentence for every photo whose day does not fit and for every picture filed twice.

    phases: those whose photos the document prints.
    """
    sentences = []
    for photo in case.photos:
        span = allowed_instead(case, facts, photo)
        if span and photo.phase in phases and photo.phase:
            taken = facts.photos[photo.file].taken_at_local
            assert taken is not None
            sentences.append(
                f"Photo {_name(photo)}: its camera says {write_date(taken.date())}, and by the work log "
                f"a photo of {photo.phase.value} is from {span}."
            )
    told: set[str] = set()
    for photo in case.photos:
        others = other_phases(case, facts, photo) if photo.phase in phases else frozenset()
        digest = facts.photos[photo.file].sha256 if others else None
        if photo.phase and digest and digest not in told:
            told.add(digest)
            named = listed([phase.value for phase in Phase if phase in {photo.phase, *others}])
            sentences.append(
                f"Photo {_name(photo)}: one and the same picture is filed under {named}."
            )
    return tuple(sentences)


def _name(photo: Photo) -> str:
    return photo.file.removeprefix("photos/")


def allowed_instead(case: Case, facts: Facts, photo: Photo) -> str:
    """Return the days that the work log allows a photo, in words, where its camera says another; else "".

    A photo of before may be from any day up to the start, one of clean-up from any day after it, one of
    the finished roof from the last day of work on. Common practice, no published source.
    """
    fact = facts.photos.get(photo.file)
    if fact is None or fact.taken_at_local is None or photo.phase is None:
        return ""
    taken = fact.taken_at_local.date()
    began, ended = case.first_day_of_work(), case.last_day_of_work()
    if photo.phase is Phase.BEFORE:
        return f"{write_date(began)} or before" if began and taken > began else ""
    if photo.phase in (Phase.CLEAN_UP, Phase.FINISHED):
        start: date | None = began if photo.phase is Phase.CLEAN_UP else ended
        return f"{write_date(start)} or after" if start and taken < start else ""
    work = case.work_on(photo.phase, photo.slope)
    if not work or any(one.first <= taken <= one.last for one in work):
        return ""
    return listed([days(one.first, one.last) for one in work], "or")


def other_phases(case: Case, facts: Facts, photo: Photo) -> frozenset[Phase]:
    """Return the other phases under which the very same file is filed, by its SHA-256."""
    fact = facts.photos.get(photo.file)
    if fact is None or not fact.sha256 or photo.phase is None:
        return frozenset()
    return frozenset(
        other.phase
        for other in case.photos
        if other.phase is not None
        and other.phase is not photo.phase
        and (its := facts.photos.get(other.file)) is not None
        and its.sha256 == fact.sha256
    )
