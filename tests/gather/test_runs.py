"""Photos in runs, held against what a crew really did: timelines with the truth beside each photo.

The timelines are written from how such jobs go (common practice, no published source): two phones, a pause at noon,
a phone whose clock is an hour behind, photos of another house in between, pictures of a screen, a burst. Whoever
answers here knows the truth and types it; what is counted is how often he has to, and how often what was proposed to
him was wrong.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from fractions import Fraction

import pytest

from dossier.errors import WrongCommand
from dossier.evidence import Facts, PhotoFact
from dossier.gather.answers import NotUnderstood, Placing, Splitting, Step, read_answer
from dossier.gather.asked import Answer, Asking, as_answered, asking_of
from dossier.gather.heap import Heap
from dossier.gather.phones import clock_doubts, parse_clock, phones_of, write_clock
from dossier.gather.proposal import Do, propose
from dossier.gather.runs import parting_pause
from dossier.gather.work_order import could_show
from dossier.record.job import Job
from dossier.words import Phase
from tests.gather.test_proposal import a_job, fact, known, seen

LEAD, HELPER = "Phone 5", "Handset 9"


@dataclass(frozen=True)
class Shot:
    """Photos taken one after the other, and what they show. phase: None for nothing of this job."""

    at: str
    phone: str
    count: int
    phase: Phase | None
    slope: str | None = None
    apart_s: int = 12


BEFORE, TEAR_OFF, DECK, REPAIR = Phase.BEFORE, Phase.TEAR_OFF, Phase.DECK, Phase.DECK_REPAIR
DRIP, ICE, UNDER, STARTER = (
    Phase.DRIP_EDGE,
    Phase.ICE_BARRIER,
    Phase.UNDERLAYMENT,
    Phase.STARTER,
)
FIELD, FLASHING, VENTS, RIDGE = (
    Phase.FIELD,
    Phase.FLASHING,
    Phase.VENTILATION,
    Phase.HIP_AND_RIDGE,
)

THREE_DAYS = (
    Shot("14 07:05:00", LEAD, 3, BEFORE),
    Shot("14 07:07:10", LEAD, 2, BEFORE),
    Shot("14 08:20:00", LEAD, 2, TEAR_OFF, "front"),
    Shot("14 08:22:00", HELPER, 1, TEAR_OFF, "front"),
    Shot("14 09:40:00", LEAD, 3, DECK, "front"),
    Shot("14 10:30:00", HELPER, 2, TEAR_OFF, "back"),
    Shot("14 11:15:00", LEAD, 3, DECK, "back"),
    Shot("14 11:17:20", LEAD, 2, REPAIR, "back"),
    Shot("14 11:50:00", LEAD, 2, REPAIR, "back"),
    Shot("14 12:55:00", HELPER, 1, DRIP, "front"),
    Shot("14 13:10:00", LEAD, 3, ICE, "front"),
    Shot("14 13:35:00", LEAD, 2, ICE, "back"),
    Shot("14 14:20:00", HELPER, 2, UNDER, "front"),
    Shot("14 14:50:00", LEAD, 2, UNDER, "back"),
    Shot("14 14:52:10", LEAD, 1, UNDER, "front"),
    Shot("15 07:40:00", LEAD, 2, STARTER, "front"),
    Shot("15 08:30:00", HELPER, 3, FIELD, "front", apart_s=1),
    Shot("15 10:00:00", LEAD, 2, None),
    Shot("15 11:30:00", LEAD, 2, FIELD, "front"),
    Shot("15 13:30:00", LEAD, 1, STARTER, "back"),
    Shot("15 14:40:00", HELPER, 3, FIELD, "back"),
    Shot("15 16:10:00", LEAD, 1, FIELD, "back"),
    Shot("16 08:15:00", LEAD, 2, FLASHING),
    Shot("16 09:30:00", HELPER, 2, VENTS),
    Shot("16 10:40:00", LEAD, 2, RIDGE),
    Shot("16 12:10:00", LEAD, 1, Phase.CLEAN_UP),
    Shot("16 12:21:00", LEAD, 4, Phase.FINISHED, apart_s=45),
)
"""A house of two slopes in three days, 56 photos, the work log of the known-good job."""

A_PHASE_A_DAY = (
    Shot("07 09:00:00", LEAD, 4, BEFORE),
    Shot("14 08:10:00", LEAD, 2, BEFORE),
    Shot("14 10:00:00", LEAD, 3, TEAR_OFF, "front"),
    Shot("14 14:00:00", HELPER, 3, TEAR_OFF, "back"),
    Shot("15 08:30:00", LEAD, 2, DECK, "front"),
    Shot("15 08:32:00", LEAD, 2, DECK, "back"),
    Shot("15 10:10:00", LEAD, 2, ICE, "front"),
    Shot("15 13:00:00", LEAD, 2, ICE, "back"),
    Shot("16 09:00:00", HELPER, 3, UNDER, "front"),
    Shot("16 09:12:00", HELPER, 2, UNDER, "back"),
    Shot("17 08:00:00", LEAD, 3, FIELD, "front"),
    Shot("17 15:00:00", HELPER, 2, FIELD, "front"),
    Shot("18 10:00:00", LEAD, 2, FIELD, "back"),
    Shot("18 14:00:00", LEAD, 3, RIDGE),
    Shot("18 15:30:00", LEAD, 3, Phase.FINISHED, apart_s=60),
    Shot("21 11:00:00", LEAD, 2, Phase.FINISHED),
)
A_PHASE_A_DAY_LOG = (
    "2026-09-14, tear-off",
    "2026-09-15, deck + ice barrier",
    "2026-09-16, underlayment",
    "2026-09-17, field, on front",
    "2026-09-18, field + hip and ridge",
)


def photos_of(
    shots: Iterable[Shot], behind: Mapping[str, timedelta] | None = None
) -> dict[PhotoFact, Shot]:
    """Return a photo for each press of the button, under the names that phones give, and what it truly shows."""
    counters = {LEAD: 2040, HELPER: 0}
    found = {}
    for shot in shots:
        day, time = shot.at.split()
        start = datetime.fromisoformat(f"2026-09-{day}T{time}")
        for number in range(shot.count):
            at = start + timedelta(seconds=shot.apart_s * number)
            at -= (behind or {}).get(shot.phone, timedelta())
            counters[shot.phone] += 1
            own = f"IMG_{counters[LEAD]}.jpg" if shot.phone == LEAD else f"{at:%Y%m%d_%H%M%S}.jpg"
            found[replace(fact(f"mail/{own}", at), camera=shot.phone)] = shot
    return found


def asked(
    photos: Mapping[PhotoFact, Shot],
    job: Job | None = None,
    add: Mapping[str, timedelta] | None = None,
) -> Asking:
    """Return the runs of these photos, as they come out of one folder."""
    has = known(job)
    heap = Heap(tuple(seen(one) for one in sorted(photos, key=lambda one: one.file)), ())
    return asking_of(propose(heap, has), has, add or {})


@dataclass
class Count:
    """What answering came to: lines typed, and of the proposals those that were right, right but for a slope that
    was left open, and wrong.
    """

    typed: int = 0
    right: int = 0
    half: int = 0
    wrong: int = 0
    none: int = 0
    misplaced: int = 0


def truth_answer(shot: Shot) -> str:
    """Return what somebody who knows types."""
    if shot.phase is None:
        return "out"
    return ", ".join(word for word in (shot.phase.value, shot.slope) if word)


def answer_all(asking: Asking, photos: Mapping[PhotoFact, Shot]) -> tuple[Asking, Count]:
    """Return the runs answered by somebody who knows the truth, and the count."""
    shown = {one.file: shot for one, shot in photos.items()}
    count = Count()
    while asking.waiting:
        at = asking.waiting[0]
        run, offer = asking.runs[at].run, asking.suggested(at)
        shots = [shown[asking.photo(number).name] for number in run.numbers]
        answers = [
            answer
            for n, answer in enumerate(map(truth_answer, shots))
            if not n or answer != truth_answer(shots[n - 1])
        ]
        line = " / ".join(answers)
        if offer.phase is None:
            count.none += 1
        else:
            offered = ", ".join(one.word for one in (offer.phase, offer.slope) if one)
            if offered == line:
                count.right, line = count.right + 1, ""
            elif line.startswith(f"{offered},") and " / " not in line:
                count.half += 1
            else:
                count.wrong += 1
        count.typed += 1
        if "out /" in line or "/ out" in line:
            pytest.fail("a run of two houses")
        said = read_answer(line, asking, at)
        assert isinstance(said, Placing)
        asking = asking.split(at, run.split(said.cuts))
        for place, answer in enumerate(said.answers):
            asking = asking.answered(at + place, answer)
    for one in as_answered(asking).files:
        shot = shown[one.name]
        right = (one.phase, one.slope) == (shot.phase, shot.slope)
        count.misplaced += not (right or (shot.phase is None and one.do is Do.LEAVE_OUT))
    return asking, count


@pytest.mark.parametrize(
    ("shots", "log", "typed", "wrong", "misplaced"),
    [(THREE_DAYS, (), 24, 1, 0), (A_PHASE_A_DAY, A_PHASE_A_DAY_LOG, 16, 1, 0)],
    ids=["three days", "a phase a day"],
)
def test_a_job_is_placed_in_a_few_answers(
    shots: Sequence[Shot], log: Sequence[str], typed: int, wrong: int, misplaced: int
) -> None:
    photos = photos_of(shots)
    _, count = answer_all(asked(photos, a_job(*log)), photos)
    print(count, len(photos))
    assert count.typed <= typed
    assert count.wrong <= wrong
    assert count.misplaced <= misplaced
