"""The photos of a heap asked about run by run, and filed as somebody answered.

In: a job in hand, a heap that was looked at, what to add to a phone's times. Out: `Asking`, which every answer
makes anew; then the heap as it was chosen, to be filed by `file_heap`. Nothing is filed by an answer.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from zoneinfo import ZoneInfo

from dossier.assess.assess import assess
from dossier.case.read import fill_in, read_all
from dossier.deeds.gathering import EARLIER_PROPOSAL_FILE, PROPOSAL_FILE, InHand, LookedAt
from dossier.deeds.photo_facts import FAR_FT, At, places_in_job, where_most_lie
from dossier.disk.outputs import WORK
from dossier.errors import UnreadableInput
from dossier.evidence import list_files
from dossier.gather.asked import Asking, View, as_answered, asking_of
from dossier.gather.choices import Choices, read_choices
from dossier.gather.going_on import gone_on, was_begun
from dossier.gather.phones import parse_clock
from dossier.gather.proposal import Do, Known, Proposed
from dossier.rules.views import views_lacking
from dossier.said import say
from dossier.trade.places import distance


def runs_asked(
    at: InHand,
    heap: LookedAt,
    add: Mapping[str, timedelta] | None = None,
    kept: Choices | None = None,
) -> Asking:
    """Return the photos of a heap in runs, nothing said of any yet but what was kept.

    add: to the times of a phone whose clock was wrong, by its name; raises WrongCommand for no such phone.
    """
    photos = [one for one in heap.proposal.files if one.do is Do.PHOTO]
    clocks = {**(clocks_of(kept) if kept else {}), **(add or {})}
    asking = asking_of(
        heap.proposal,
        heap.known,
        clocks,
        wanted=_wanted(at, heap.known),
        far=_far_off(photos, heap.known),
        # The zone is UTC where no locality could be read.
        zone=None if at.run.time_zone == ZoneInfo("UTC") else at.run.time_zone,
    )
    return gone_on(asking, kept) if kept else asking


@dataclass(frozen=True)
class Kept:
    """What was said before of runs of this heap. here: whether it stands where it is kept usually."""

    choices: Choices
    here: bool


def kept_choices(at: InHand, heap: LookedAt) -> Kept | None:
    """Return what was said before of runs of this heap, None where nobody was asked about any of its photos.

    Another heap may have been gathered meanwhile: then it stands beside its usual place. Raises UnreadableInput
    where somebody has edited it and it cannot be read.
    """
    marks = {one.mark for one in heap.proposal.files if one.do is Do.PHOTO}
    for name in (PROPOSAL_FILE, EARLIER_PROPOSAL_FILE):
        path = at.folder / WORK / name
        choices = read_choices(path) if path.is_file() else None
        if choices is None or not was_begun(choices):
            continue
        if any(row.mark in marks for run in choices.runs if run.said for row in run.files):
            return Kept(choices, name == PROPOSAL_FILE)
    return None


def clocks_of(choices: Choices) -> dict[str, timedelta]:
    """Return what was added to whose times; raises UnreadableInput for what cannot be read."""
    try:
        return dict(parse_clock(text) for text in choices.clocks)
    except ValueError as problem:
        raise UnreadableInput(
            say("In the file of the proposal, under clocks: {problem}.", problem=str(problem)),
            say("Correct it there."),
        ) from None


def chosen_heap(heap: LookedAt, asking: Asking) -> LookedAt:
    """Return the heap as somebody answered, to be filed."""
    return replace(heap, proposal=as_answered(asking), chosen=True)


def _wanted(at: InHand, known: Known) -> tuple[View, ...]:
    """Return the photos that rules and terms ask for and that the job lacks; none where a sheet cannot be read."""
    office = at.run.office_folder
    reads = read_all(at.folder, office)
    case, _ = fill_in(reads, list_files(at.folder, "photos"), list_files(at.folder, "papers"))
    if case is None:
        return ()
    lacking = views_lacking(case, known.facts, assess(case, known.facts, at.run))
    return tuple(View(phase, slope) for phase, slope in lacking)


def _far_off(photos: Sequence[Proposed], known: Known) -> frozenset[int]:
    """Return the photos that lie far from the house, or from most others where its place is not on record."""
    places = {one.number: one.seen.fact.place for one in photos if one.seen.fact.place is not None}
    house = known.job.job.place
    centre: At | None = (house.latitude_deg, house.longitude_deg) if house else None
    if centre is None:
        centre = where_most_lie([*places.values(), *places_in_job(known)])
    if centre is None:
        return frozenset()
    return frozenset(n for n, place in places.items() if distance(centre, place).feet > FAR_FT)
