"""What the photos of a job seem to say of its record: the two photos of a repair, the place of the house.

In: a job folder. Out: `PhotoFacts`, numbered; then the record with those that somebody agreed to.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from statistics import median

from dossier.deeds.by_hand import change, shown
from dossier.disk.outputs import Holder
from dossier.errors import WrongCommand
from dossier.gather.found import Found
from dossier.gather.known import read_known, readable_job
from dossier.gather.pairs import found_pairs
from dossier.gather.proposal import Known
from dossier.hand.file import Draft
from dossier.hand.means import Change
from dossier.reading.model import Read
from dossier.record.job import Job
from dossier.record.trees import JOB_FILE
from dossier.said import Count, Feet, say
from dossier.trade.places import distance

FAR_FT = 1000
"""Beyond this from the house a photo is of another one: more than any lot of a house measures. Common practice, no
published source."""

LEAST_PLACES = 3
"""Photos with a place of which a middle can be taken. Common practice, no published source."""

WIDE_FT = 200
"""A spread beyond this is wider than a house and a phone's error. Common practice, no published source."""

At = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class PhotoFacts:
    """What the photos of a job seem to say, numbered from 1 in this order. digest: of the record at that time."""

    found: tuple[Found, ...]
    digest: str


def photo_facts(folder: Path) -> PhotoFacts:
    """Return what the photos of a job seem to say; nothing is written. Raises UnreadableInput."""
    digest = shown(folder, JOB_FILE).digest
    job = readable_job(folder)
    known = read_known(folder, job)
    pairs = found_pairs(known.job, known.photos, known.facts)
    return PhotoFacts((*pairs, *_house_place(job, known)), digest)


def agree_photo_facts(
    folder: Path, facts: PhotoFacts, numbers: Sequence[int], holder: Holder | None = None
) -> Draft:
    """Write the facts of these numbers in the record as they were shown; raises as `change` does."""
    unknown = [number for number in numbers if not 1 <= number <= len(facts.found)]
    if unknown or not numbers:
        raise WrongCommand(
            say("{count} proposed.", count=Count(len(facts.found), "fact is", "facts are")),
            say("Name numbers that were shown."),
        )
    changes = [one for n in dict.fromkeys(numbers) for one in facts.found[n - 1].changes]
    return change(folder, JOB_FILE, facts.digest, changes, holder)


def where_most_lie(places: Sequence[At]) -> At | None:
    """Return a place near which more than half of all lie, None where there is none or of too few."""
    if len(places) < LEAST_PLACES:
        return None
    # Where more than half lie together, the middle of each axis lies among them.
    middle = (median(place[0] for place in places), median(place[1] for place in places))
    near = sum(distance(middle, place).feet <= FAR_FT for place in places)
    return middle if 2 * near > len(places) else None


def places_in_job(known: Known) -> list[At]:
    """Return the places of the job's photos, of those that have one."""
    return [fact.place for fact in known.facts.photos.values() if fact.place is not None]


def _house_place(job: Read[Job], known: Known) -> Iterator[Found]:
    """Yield the middle of the photos' places where the record leaves the house's blank."""
    centre = where_most_lie(places_in_job(known))
    if known.job.job.place is not None or centre is None or "job.place" in job.lines.not_applicable:
        return
    near = [place for place in places_in_job(known) if distance(centre, place).feet <= FAR_FT]
    middle = (
        _to_four_places(median(latitude for latitude, _ in near)),
        _to_four_places(median(longitude for _, longitude in near)),
    )
    farthest = max(distance(middle, place).feet for place in near)
    files = [file for file, fact in known.facts.photos.items() if fact.place in near]
    doubt = say("They lie wider apart than a house.") if farthest > WIDE_FT else None
    written = ", ".join(f"{float(degrees):.4f}" for degrees in middle)
    yield Found(
        file=min(files),
        page=0,
        line=0,
        stands=written,
        what=say(
            "the place of the house: the middle of {photos}, the farthest {far} from it",
            photos=Count(len(near), "photo"),
            far=Feet(Fraction(round(farthest))),
        ),
        changes=(Change(("job", "place"), written),),
        doubt=doubt,
    )


def _to_four_places(degrees: Fraction) -> Fraction:
    # The fourth decimal of a degree is some thirty feet: as near as a phone knows, and no nearer.
    return Fraction(round(degrees * 10_000), 10_000)
