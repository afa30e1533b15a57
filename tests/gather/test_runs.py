"""Photos in runs, held against what a crew really did: timelines with the truth beside each photo.

The timelines are written from how such jobs go (common practice, no published source): two phones, a pause at
noon, a phone whose clock is an hour behind, photos of another house in between, pictures of a screen, a burst.
Whoever answers here knows the truth and types it; what is counted is how often he has to, and how often what was
proposed to him was wrong.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from dossier.errors import WrongCommand
from dossier.evidence import PhotoFact
from dossier.gather.answers import NotUnderstood, Placing, Splitting, Step, applied, read_answer
from dossier.gather.asked import Answer, Asking, as_answered, asking_of
from dossier.gather.heap import Heap
from dossier.gather.phones import clock_doubts, parse_clock, write_clock
from dossier.gather.proposal import Do, propose
from dossier.gather.runs import parting_pause
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


ONE_DAY = (
    Shot("14 06:50:00", LEAD, 4, BEFORE, apart_s=25),
    Shot("14 07:45:00", HELPER, 2, TEAR_OFF, "front"),
    Shot("14 08:30:00", LEAD, 2, DECK, "front"),
    Shot("14 08:31:10", LEAD, 2, DECK, "back"),
    Shot("14 09:10:00", LEAD, 2, ICE, "front"),
    Shot("14 09:25:00", LEAD, 1, ICE, "back"),
    Shot("14 10:05:00", HELPER, 2, UNDER, "front"),
    Shot("14 10:07:00", HELPER, 2, UNDER, "back"),
    Shot("14 10:40:00", LEAD, 2, STARTER, "front"),
    Shot("14 11:20:00", LEAD, 3, FIELD, "front"),
    Shot("14 13:05:00", HELPER, 2, FLASHING, "back"),
    Shot("14 14:10:00", LEAD, 3, FIELD, "back"),
    Shot("14 15:30:00", LEAD, 2, RIDGE),
    Shot("14 16:20:00", HELPER, 1, Phase.CLEAN_UP),
    Shot("14 16:40:00", LEAD, 4, Phase.FINISHED, apart_s=40),
)
ONE_DAY_LOG = (
    "2026-09-14, tear-off + deck + ice barrier + drip edge + underlayment + starter + field + flashing + hip and "
    "ridge + clean-up",
)

SLOPE_BY_SLOPE = (
    Shot("14 08:30:00", HELPER, 2, TEAR_OFF, "front"),
    Shot("14 10:15:00", LEAD, 3, DECK, "front"),
    Shot("14 11:05:00", LEAD, 2, ICE, "front"),
    Shot("14 13:40:00", LEAD, 2, UNDER, "front"),
    Shot("14 15:20:00", HELPER, 1, STARTER, "front"),
    Shot("15 08:10:00", LEAD, 2, TEAR_OFF, "back"),
    Shot("15 09:50:00", LEAD, 2, DECK, "back"),
    Shot("15 09:52:00", LEAD, 2, REPAIR, "back"),
    Shot("15 10:40:00", LEAD, 1, REPAIR, "back"),
    Shot("15 11:10:00", HELPER, 2, ICE, "back"),
    Shot("15 14:00:00", LEAD, 2, UNDER, "back"),
    Shot("16 09:00:00", LEAD, 3, FIELD, "front"),
    Shot("17 10:00:00", LEAD, 3, FIELD, "back"),
    Shot("17 15:45:00", HELPER, 2, RIDGE),
    Shot("18 10:30:00", LEAD, 3, Phase.FINISHED, apart_s=50),
)
SLOPE_BY_SLOPE_LOG = (
    "2026-09-14, tear-off + deck + ice barrier + underlayment + starter, on front",
    "2026-09-15, tear-off + deck + deck repair + ice barrier + underlayment, on back",
    "2026-09-16, field, on front",
    "2026-09-17, field + hip and ridge",
)
"""No photo of the old roof: what is first on the first day is the tear-off."""


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
        asking = applied(asking, at, said)
    for one in as_answered(asking).files:
        shot = shown[one.name]
        right = (one.phase, one.slope) == (shot.phase, shot.slope)
        count.misplaced += not (right or (shot.phase is None and one.do is Do.LEAVE_OUT))
    return asking, count


@pytest.mark.parametrize(
    ("shots", "log", "photos", "count"),
    [
        (THREE_DAYS, (), 56, Count(typed=23, right=0, half=1, wrong=0, none=22)),
        (A_PHASE_A_DAY, A_PHASE_A_DAY_LOG, 40, Count(typed=15, right=4, half=2, wrong=0, none=9)),
        (ONE_DAY, ONE_DAY_LOG, 34, Count(typed=13, right=0, half=0, wrong=0, none=13)),
        (
            SLOPE_BY_SLOPE,
            SLOPE_BY_SLOPE_LOG,
            32,
            Count(typed=14, right=2, half=0, wrong=0, none=12),
        ),
        (THREE_DAYS, ("",), 56, Count(typed=23, right=0, half=0, wrong=0, none=23)),
    ],
    ids=[
        "three days",
        "a phase a day",
        "one day",
        "slope by slope",
        "three days without a work log",
    ],
)
def test_a_job_is_placed_in_a_few_answers(
    shots: Sequence[Shot], log: Sequence[str], photos: int, count: Count
) -> None:
    """The manual's section “Run by run” has the sums of these counts."""
    taken = photos_of(shots)
    job = a_job(*log) if log != ("",) else a_job().model_copy(update={"work": ()})
    _, found = answer_all(asked(taken, job), taken)
    assert (len(taken), found) == (photos, count)


def whole_asking(shots: Sequence[Shot] = THREE_DAYS) -> Asking:
    """Return the runs of a timeline."""
    return asked(photos_of(shots))


# --- what parts runs ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pauses_s", "parts_s"),
    [
        # Ten seconds within a stretch, forty minutes between: anything between them parts, never above MOST_PAUSE.
        ([10, 12, 9, 2400, 11, 3000], (13, 1200)),
        # A slow photographer: three minutes within, an hour between.
        ([180, 200, 3600, 170, 3000], (200, 1200)),
        # Nothing to go by.
        ([], (360, 360)),
        ([400], (360, 360)),
        # Evenly spread photos have no step.
        ([300, 330, 360, 400], (360, 360)),
    ],
)
def test_a_day_parts_by_its_own_pauses(pauses_s: list[int], parts_s: tuple[int, int]) -> None:
    """Common practice, no published source."""
    found = parting_pause([timedelta(seconds=s) for s in pauses_s]).total_seconds()
    assert parts_s[0] <= found <= parts_s[1]


def test_a_day_never_runs_into_the_next_and_a_burst_is_one_run() -> None:
    shots = [Shot("14 23:59:50", LEAD, 2, FIELD, apart_s=5), Shot("15 00:00:05", LEAD, 2, FIELD)]
    assert [len(one.run.taken) for one in whole_asking(shots).runs] == [2, 2]
    [burst] = whole_asking([Shot("15 08:30:00", LEAD, 9, FIELD, apart_s=0)]).runs
    assert len(burst.run.taken) == 9


def test_a_photo_without_a_time_stands_beside_its_neighbours_by_number() -> None:
    shots = photos_of([Shot("14 09:00:00", LEAD, 5, DECK), Shot("14 11:00:00", LEAD, 2, ICE)])
    lost = {replace(f, taken_at_local=None) if "2043" in f.file else f: s for f, s in shots.items()}
    asking = asked(lost)
    assert [len(one.run.taken) for one in asking.runs] == [5, 2]
    assert [one.order for one in asking.runs[0].run.taken] == [2041, 2042, 2043, 2044, 2045]
    assert asking.runs[0].run.by_order == 1
    # Between two runs nobody can tell.
    lost = {replace(f, taken_at_local=None) if "2046" in f.file else f: s for f, s in shots.items()}
    assert [len(one.run.taken) for one in asked(lost).runs] == [5, 1, 1]


def test_a_name_tells_the_time_that_a_camera_lost() -> None:
    shots = photos_of([Shot("14 09:00:00", HELPER, 3, DECK), Shot("14 11:00:00", HELPER, 2, ICE)])
    asking = asked({replace(f, taken_at_local=None, camera=None): s for f, s in shots.items()})
    assert [len(one.run.taken) for one in asking.runs] == [3, 2]
    assert all(one.by_name for one in asking.phones.taken)


def test_a_messengers_photos_know_their_day_alone_and_are_no_run_of_another_day() -> None:
    names = ["IMG-20260914-AB0007.jpg", "IMG-20260914-AB0008.jpg", "IMG-20260915-AB0009.jpg"]
    asking = asked({fact(f"mail/{name}"): THREE_DAYS[0] for name in names})
    assert [(one.run.day, len(one.run.taken)) for one in asking.runs] == [
        (datetime(2026, 9, 14).date(), 2),
        (datetime(2026, 9, 15).date(), 1),
    ]


def test_pictures_of_a_screen_are_a_run_of_their_own() -> None:
    photos = photos_of([Shot("14 09:00:00", LEAD, 3, DECK)])
    photos[
        fact("mail/Screenshot_20260914_090010.png", datetime(2026, 9, 14, 9, 0, 10), kind="png")
    ] = THREE_DAYS[0]
    runs = asked(photos).runs
    assert [len(one.run.taken) for one in runs] == [3, 1]
    assert runs[1].run.taken[0].screen


def test_names_that_differ_part_a_stretch_and_names_that_agree_do_not() -> None:
    at = datetime(2026, 9, 14, 9)
    photos = {
        fact("mail/deck/a.jpg", at): THREE_DAYS[0],
        fact("mail/ice barrier/b.jpg", at + timedelta(seconds=20)): THREE_DAYS[0],
        fact("mail/deck/c.jpg", at + timedelta(seconds=40)): THREE_DAYS[0],
        fact("mail/d.jpg", at + timedelta(seconds=50)): THREE_DAYS[0],
    }
    runs = asked(photos).runs
    assert sorted(len(one.run.taken) for one in runs) == [1, 3]


# --- clocks -------------------------------------------------------------------------------------


def test_a_phone_an_hour_behind_is_told_and_put_right_only_when_somebody_says_so() -> None:
    photos = photos_of(BOTH_AT_WORK, {HELPER: timedelta(hours=1)})
    asking = asked(photos)
    [doubt] = clock_doubts(asking.phones)
    phone = next(one.name for one in asking.phones.phones if str(one.known_by).startswith(HELPER))
    assert (doubt.phone, doubt.add) == (phone, timedelta(hours=1))
    right = asked(photos_of(BOTH_AT_WORK))
    assert len(asking.runs) > len(right.runs), "as it stands both phones are at other work"
    mended = asked(photos, add={phone: timedelta(hours=1)})
    assert [len(one.run.taken) for one in mended.runs] == [len(one.run.taken) for one in right.runs]
    assert mended.doubts == ()
    # With other photos the phones may be counted otherwise, so what is kept names it by what it is known by.
    [kept] = mended.phones.clocks
    assert kept == f"{HELPER} in mail: +1h"
    again = asked(photos, add=dict([parse_clock(kept)]))
    assert [one.run for one in again.runs] == [one.run for one in mended.runs]


def test_a_clock_is_put_right_by_a_phones_folder_or_model() -> None:
    first = photos_of([Shot("14 09:00:00", LEAD, 3, DECK)])
    second = {
        replace(one, file=one.file.replace("mail/", "Phone B/")): shot
        for one, shot in photos_of([Shot("14 11:00:00", HELPER, 3, UNDER)]).items()
    }
    photos = {**first, **second}
    by = timedelta(hours=1)
    clocks = [f"{HELPER} in Phone B: +1h"]
    for name in ("phone b", HELPER.lower(), f"{HELPER} in phone b".lower()):
        assert asked(photos, add={name: by}).phones.clocks == clocks
    with pytest.raises(WrongCommand) as none:
        asked(photos, add={"phone c": by})
    assert "phone 1 (Handset 9 in Phone B, first Phone B/" in str(none.value.remedy)
    # A folder that is called as another phone is numbered names neither.
    both = {
        replace(one, file=one.file.replace("Phone B/", "phone 2/")): shot
        for one, shot in second.items()
    }
    told = asked({**first, **both}).phones.phones
    other = next(one.name for one in told if str(one.known_by).startswith(LEAD))
    renamed = {
        replace(one, file=one.file.replace("phone 2/", f"{other}/")): s for one, s in both.items()
    }
    with pytest.raises(WrongCommand, match="may be"):
        asked({**first, **renamed}, add={other: by})


def test_two_phones_of_one_model_are_told_apart_by_what_they_count() -> None:
    """One counter rises with time; common practice, no published source."""
    first = photos_of([Shot("14 09:00:00", LEAD, 3, DECK), Shot("14 13:00:00", LEAD, 3, ICE)])
    second = {
        replace(one, file=one.file.replace("_20", "_08"), sha256=None): shot
        for one, shot in photos_of([Shot("14 11:00:00", LEAD, 6, UNDER)]).items()
    }
    told = asked({**first, **second}).phones
    assert [(str(one.known_by), one.count) for one in told.phones] == [
        (f"{LEAD} in mail, counting from 841", 6),
        (f"{LEAD} in mail, counting from 2041", 6),
    ]
    # One phone that was used for another job in between is one phone.
    later = {
        replace(one, file=one.file.replace("_20", "_29"), sha256=None): shot
        for one, shot in photos_of([Shot("15 11:00:00", LEAD, 6, UNDER)]).items()
    }
    assert len(asked({**first, **later}).phones.phones) == 1


def test_a_phone_in_another_zone_is_told_by_its_own_camera() -> None:
    """Central daylight time is five hours behind UTC and Mountain six (IANA time zone database, September)."""
    photos = photos_of(ONE_DAY)
    said = {
        replace(one, taken_offset=timedelta(hours=-6 if shot.phone == HELPER else -5)): shot
        for one, shot in photos.items()
    }
    has = known()
    heap = Heap(tuple(seen(one) for one in sorted(said, key=lambda one: one.file)), ())
    add: dict[str, timedelta] = {}
    asking = asking_of(propose(heap, has), has, add, zone=ZoneInfo("America/Chicago"))
    phone = next(one.name for one in asking.phones.phones if str(one.known_by).startswith(HELPER))
    [told] = asking.doubts
    assert f"{phone}: +1h puts it right" in str(told)
    add[phone] = timedelta(hours=1)
    assert asking_of(propose(heap, has), has, add, zone=ZoneInfo("America/Chicago")).doubts == ()


BOTH_AT_WORK = tuple(
    Shot(f"14 {time}:{second}", phone, 3 if phone == LEAD else 2, DECK)
    for time in ("07:10", "08:25", "09:05", "10:50", "13:20", "14:35")
    for phone, second in ((LEAD, "00"), (HELPER, "50"))
)


@pytest.mark.parametrize("shots", [THREE_DAYS, A_PHASE_A_DAY, BOTH_AT_WORK])
def test_clocks_that_are_right_are_not_doubted(shots: Sequence[Shot]) -> None:
    assert asked(photos_of(shots)).doubts == ()


def test_two_people_at_different_hours_are_no_wrong_clock() -> None:
    shots = [Shot(f"14 {hour:02}:10:00", LEAD, 2, DECK) for hour in range(7, 12)]
    shots += [
        Shot(f"14 {hour:02}:{minute:02}:00", HELPER, 2, ICE)
        for hour, minute in ((13, 5), (14, 40), (15, 20), (16, 2))
    ]
    assert asked(photos_of(shots)).doubts == ()


@pytest.mark.parametrize(
    ("text", "phone", "minutes"),
    [
        ("phone 2: +1h", "phone 2", 60),
        ("Phone 2:-45min", "phone 2", -45),
        ("phone 1: +1 h 30", "phone 1", 90),
    ],
)
def test_a_clock_is_typed(text: str, phone: str, minutes: int) -> None:
    assert parse_clock(text) == (phone, timedelta(minutes=minutes))
    assert parse_clock(write_clock(*parse_clock(text))) == parse_clock(text)


@pytest.mark.parametrize("text", ["phone 2", "phone 2: 1h", "phone 2: +", "+1h", "phone 2: later"])
def test_a_clock_that_cannot_be_read_is_said(text: str) -> None:
    with pytest.raises(ValueError, match="needed a text such as"):
        parse_clock(text)


def test_a_clock_of_a_phone_that_is_not_there_is_refused() -> None:
    with pytest.raises(WrongCommand, match="no phone 7"):
        asked(photos_of(THREE_DAYS), add={"phone 7": timedelta(hours=1)})


# --- answers ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "answers"),
    [
        ("deck, front", [(DECK, "front")]),
        ("Deck front", [(DECK, "front")]),
        ("3, 2", [(DECK, "back")]),
        ("deck", [(DECK, None)]),
        ("ice & water, back", [(ICE, "back")]),
        ("ridge caps", [(RIDGE, None)]),
        ("under, fr", [(UNDER, "front")]),
        ("deck-repair, -", [(REPAIR, None)]),
        ("deck, front / back", [(DECK, "front"), (DECK, "back")]),
        ("deck, back / deck repair, back", [(DECK, "back"), (REPAIR, "back")]),
        (
            "deck, back / {2}: deck repair, - / {4}: out",
            [(DECK, "back"), (REPAIR, None), (None, None)],
        ),
    ],
)
def test_places_are_typed_in_any_spelling(
    line: str, answers: list[tuple[Phase, str | None]]
) -> None:
    said = read_answer(numbered(line), whole_asking(), 4)
    assert isinstance(said, Placing)
    assert [(one.phase, one.slope) for one in said.answers] == answers


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("", "Nothing is proposed here"),
        ("dormer", "no phase"),
        ("deck, north", "no slope"),
        ("d", "Type deck, deck repair or drip edge"),
        ("back", "is a slope; say the phase too"),
        ("split 1", "can begin at photo"),
        ("deck, front / 1: back", "can begin at photo"),
        ("deck, front / {3}: back / ice, front", "or of none"),
        ("deck, front / {3}: back / {2}: front", "in the order of the photos"),
        ("split phones", "are of phone"),
        ("deck, front / back / front / back / front / back", "cannot be parted into 6"),
    ],
)
def test_what_cannot_be_read_is_said(line: str, told: str) -> None:
    with pytest.raises(NotUnderstood, match=told):
        read_answer(numbered(line), whole_asking(), 4)


def numbered(line: str) -> str:
    """Return an answer with the numbers of the first, second … photo of the fifth run for {0}, {1} …"""
    return line.format(*whole_asking().runs[4].run.numbers)


def test_steps_are_typed_and_a_slope_called_back_keeps_its_word() -> None:
    asking = whole_asking()
    assert read_answer("undo", asking, 4) is Step.BACK
    assert read_answer("?", asking, 4) is Step.HELP
    without = replace(asking, known=known(job_without_slopes()))
    assert read_answer("back", without, 4) is Step.BACK
    said = read_answer(numbered("split {3}"), asking, 4)
    assert isinstance(said, Splitting)
    assert [len(part.taken) for part in said.parts] == [3, 2]


def job_without_slopes() -> Job:
    """Return the known-good job before anybody has typed its slopes."""
    return a_job().model_copy(update={"slopes": ()})


def test_two_people_who_photograph_at_once_are_two_runs_and_one_after_the_other_is_not() -> None:
    """Common practice, no published source: at one moment two people look at two things."""
    both = [
        Shot("14 09:00:00", LEAD, 4, DECK, "front"),
        Shot("14 09:00:05", HELPER, 4, TEAR_OFF, "back"),
    ]
    assert [len(one.run.phones) for one in whole_asking(both).runs] == [1, 1]
    after = [
        Shot("14 09:00:00", LEAD, 4, DECK, "front"),
        Shot("14 09:01:05", HELPER, 4, DECK, "front"),
    ]
    assert [len(one.run.taken) for one in whole_asking(after).runs] == [8]


def test_a_run_is_split_by_phone_and_two_are_joined() -> None:
    asking = whole_asking()
    said = read_answer("split phone", asking, 1)
    assert isinstance(said, Splitting)
    split = asking.split(1, said.parts)
    assert len(split.runs) == len(asking.runs) + 1
    joined = split.joined(1)
    assert [one.run.numbers for one in joined.runs] == [one.run.numbers for one in asking.runs]


def test_what_is_passed_over_keeps_its_names_and_gets_nothing_else() -> None:
    at = datetime(2026, 9, 16, 9)
    job = a_job("2026-09-14, deck", "2026-09-16, field", "2026-09-18, clean-up")
    photos = {
        fact("mail/IMG_1.jpg", at): THREE_DAYS[0],
        fact("mail/front/IMG_2.jpg", at): THREE_DAYS[0],
    }
    asking = asked(photos, job)
    assert len(asking.runs) == 1
    assert asking.suggested(0).phase is not None, "the day alone proposes field"
    for answer in (None, Answer(None)):
        files = as_answered(asking.answered(0, answer)).files
        assert sorted((file.phase, file.slope or "") for file in files) == [
            (None, ""),
            (None, "front"),
        ]


# --- other houses -------------------------------------------------------------------------------


def test_photos_far_from_the_others_are_a_run_of_their_own_and_nothing_is_proposed_for_them() -> (
    None
):
    photos = photos_of(THREE_DAYS)
    numbers = {
        number
        for number, one in enumerate(sorted(photos, key=lambda one: one.file), start=1)
        if photos[one].phase is None
    }
    has = known()
    heap = Heap(tuple(seen(one) for one in sorted(photos, key=lambda one: one.file)), ())
    asking = asking_of(propose(heap, has), has, {}, far=frozenset(numbers))
    [at] = [at for at, one in enumerate(asking.runs) if asking.is_far(one.run)]
    assert set(asking.runs[at].run.numbers) == numbers
    assert asking.suggested(at).phase is None


@pytest.mark.parametrize(("name", "bounds"), [("20260914", False), ("20260913", True)])
def test_a_photo_without_a_time_bounds_other_days_than_its_own_alone(
    name: str, bounds: bool
) -> None:
    """What is named underlayment and has no hour may be from the evening of the day."""
    job = a_job("2026-09-13, tear-off", "2026-09-14, tear-off + underlayment", "2026-09-15, field")
    job = job.model_copy(update={"slopes": job.slopes[:1]})
    morning = fact("IMG_0010.jpg", datetime(2026, 9, 14, 8))
    timeless = fact(f"underlayment/IMG-{name}-WA0003.jpg")
    has = known(job)
    asking = asking_of(propose(Heap((seen(morning), seen(timeless)), ()), has), has, {})
    at = next(n for n, one in enumerate(asking.runs) if one.run.first)
    phase = asking.suggested(at).phase
    assert (phase is not None and phase.word is UNDER) == bounds


@pytest.mark.parametrize(
    "line",
    [
        "²",
        "deck, ²",
        "٣",
        "9" * 5000,
        "split " + "9" * 5000,
        "split 99",
        "deck / 99: field",
        "deck, " + "9" * 5000,
    ],
)
def test_what_is_no_number_is_told_and_asked_again(line: str) -> None:
    asking = asked(photos_of(THREE_DAYS))
    with pytest.raises(NotUnderstood):
        read_answer(line, asking, 0)


def test_a_name_of_thousands_of_digits_is_a_name() -> None:
    long = fact("9" * 5000 + ".jpg")
    has = known()
    assert asking_of(propose(Heap((seen(long),), ()), has), has, {}).runs
