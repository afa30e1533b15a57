"""Photos of all phones in one time order, parted into runs: each one stretch of work.

In: `Taken`, what names say for sure, and which photos lie far off. Out: `PhotoRun`s in the order of time. Must not
know what a run shows.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise

from dossier.gather.phones import Taken
from dossier.words import Phase

LEAST_PAUSE, MOST_PAUSE = timedelta(minutes=2), timedelta(minutes=20)
"""A pause up to the first never parts a run by itself, one above the second always does: a walk over the ridge
takes a minute, and nobody photographs one course for half an hour. Common practice, no published source."""

USUAL_PAUSE = timedelta(minutes=6)
"""What parts runs on a day whose own pauses do not say. Common practice, no published source."""

LEAST_STEP = 1.8
"""How many times the next shorter pause a pause must be to be a step between two kinds of pause. Common practice,
no published source."""

MOST_NUMBERS_APART = 5
"""How far apart the numbers of two files of one phone may be to stand beside each other. Common practice, no
published source."""


@dataclass(frozen=True)
class Sure:
    """What is known of one photo before anybody is asked: by its name, and whether it lies far from the house."""

    phase: Phase | None = None
    slope: str | None = None
    far: bool = False


NOT_SURE = Sure()


@dataclass(frozen=True)
class PhotoRun:
    """One stretch of work: photos in their order, at least one."""

    taken: tuple[Taken, ...]

    @property
    def numbers(self) -> tuple[int, ...]:
        """Return the numbers of its photos in the proposal."""
        return tuple(one.number for one in self.taken)

    @property
    def phones(self) -> tuple[str, ...]:
        """Return its phones, each once."""
        return tuple(sorted({one.phone for one in self.taken}))

    @property
    def first(self) -> datetime | None:
        """Return its first moment, None where no photo has one."""
        return min((one.at for one in self.taken if one.at), default=None)

    @property
    def last(self) -> datetime | None:
        """Return its last moment."""
        return max((one.at for one in self.taken if one.at), default=None)

    @property
    def day(self) -> date | None:
        """Return its day, by a camera or by a name."""
        if self.first is not None:
            return self.first.date()
        return min((one.day for one in self.taken if one.day), default=None)

    @property
    def by_order(self) -> int:
        """Return how many of its photos have no time and stand here by their number."""
        return sum(one.at is None for one in self.taken)

    def pauses(self) -> list[tuple[timedelta, int]]:
        """Return each pause within it and the place behind it, from 1, the longest first."""
        pairs = pairwise(self.taken)
        found = [
            (later.at - earlier.at, place)
            for place, (earlier, later) in enumerate(pairs, start=1)
            if earlier.at is not None and later.at is not None
        ]
        return sorted(found, key=lambda pause: (-pause[0], pause[1]))

    def split(self, places: Sequence[int]) -> tuple["PhotoRun", ...]:
        """Return it in parts. places: how many photos stand before each cut, rising, none at an end."""
        cuts = [0, *places, len(self.taken)]
        return tuple(PhotoRun(self.taken[a:b]) for a, b in pairwise(cuts) if b > a)

    def by_phone(self) -> tuple["PhotoRun", ...]:
        """Return it in parts, one a phone."""
        return tuple(
            PhotoRun(tuple(one for one in self.taken if one.phone == phone))
            for phone in self.phones
        )


def joined_runs(one: PhotoRun, other: PhotoRun) -> PhotoRun:
    """Return two runs as one, in the order of time; what has none keeps its place behind its own."""
    return PhotoRun(tuple(_in_time([*one.taken, *other.taken])))


def runs_of(taken: Sequence[Taken], sure: Mapping[int, Sure]) -> tuple[PhotoRun, ...]:
    """Return the runs of these photos, by time; those of which no time is known last.

    sure: by number, of those of which something is.
    """
    timed = sorted(
        (one for one in taken if one.at is not None and not one.screen),
        key=lambda one: (one.at, one.phone, one.order or 0),
    )
    runs: list[list[Taken]] = []
    for day in sorted({one.at.date() for one in timed if one.at}):
        own = [one for one in timed if one.at and one.at.date() == day]
        runs += _by_pause(own, parting_pause(_pauses(own)), sure)
    timeless = [one for one in taken if one.at is None and not one.screen]
    left = _beside_neighbours(timeless, runs, sure)
    screens = [one for one in taken if one.screen]
    return in_order(PhotoRun(tuple(run)) for run in (*runs, *left, screens) if run)


def in_order(runs: Iterable[PhotoRun]) -> tuple[PhotoRun, ...]:
    """Return runs in the order of time; of a day those without a time last, and those without a day at the end."""
    return tuple(sorted(runs, key=_place))


def _place(run: PhotoRun) -> tuple[bool, date, bool, datetime, int]:
    never = datetime.max
    first = run.first or never
    return (run.day is None, run.day or never.date(), run.first is None, first, run.numbers[0])


def parting_pause(pauses: Sequence[timedelta]) -> timedelta:
    """Return the pause above which a day's photos are two runs, found from the day's own pauses.

    Pauses within a stretch and between two differ in kind: put in order, there is a step. The widest step of
    which the middle lies between LEAST_PAUSE and MOST_PAUSE is taken; USUAL_PAUSE where there is none.
    """
    ranked = sorted(pause.total_seconds() for pause in pauses if pause)
    least, most = LEAST_PAUSE.total_seconds(), MOST_PAUSE.total_seconds()
    steps = []
    for short, long in pairwise(ranked):
        middle = (short * long) ** 0.5
        if least <= middle <= most and long / short >= LEAST_STEP:
            steps.append((long / short, middle))
    return timedelta(seconds=max(steps)[1]) if steps else USUAL_PAUSE


def _pauses(own: Sequence[Taken]) -> list[timedelta]:
    times = [one.at for one in own if one.at]
    return [later - earlier for earlier, later in pairwise(times)]


def _by_pause(own: Sequence[Taken], most: timedelta, sure: Mapping[int, Sure]) -> list[list[Taken]]:
    """Return a day's photos in runs: by pauses, and within a stretch by what is known to differ."""
    stretches: list[list[Taken]] = []
    for one in own:
        last = stretches[-1][-1].at if stretches else None
        if last is None or one.at is None or one.at - last > most:
            stretches.append([])
        stretches[-1].append(one)
    runs = [run for stretch in stretches for run in _by_what_differs(stretch, sure)]
    return [part for run in runs for part in _by_people(run, sure)]


def _by_people(run: list[Taken], sure: Mapping[int, Sure]) -> list[list[Taken]]:
    """Return a run by phone where two phones took several photos each in the same minutes.

    Two people who photograph at once stand at two places; one who follows the other does not tell. What names
    place alike is one run all the same.
    """
    own = {phone: [one for one in run if one.phone == phone] for phone in {t.phone for t in run}}
    spans = sorted(
        (first, last)
        for part in own.values()
        if part[1:] and (first := part[0].at) and (last := part[-1].at)
    )
    at_once = any(later[0] < earlier[1] for earlier, later in pairwise(spans))
    if not at_once or all(sure.get(one.number, NOT_SURE).phase for one in run):
        return [run]
    return [own[phone] for phone in sorted(own)]


def _by_what_differs(stretch: Sequence[Taken], sure: Mapping[int, Sure]) -> list[list[Taken]]:
    runs: list[list[Taken]] = []
    known: list[Sure] = []
    in_hand = -1
    for one in stretch:
        said = sure.get(one.number, NOT_SURE)
        # The run in hand first, so that a photo of which nothing is known stays where it stands in time.
        for at in sorted(range(len(runs)), key=lambda at: (at != in_hand, -at)):
            both = _both(known[at], said)
            if both is not None:
                runs[at].append(one)
                known[at], in_hand = both, at
                break
        else:
            runs.append([one])
            known.append(said)
            in_hand = len(runs) - 1
    return runs


def _both(one: Sure, other: Sure) -> Sure | None:
    """Return what is known of a run with another photo in it, None where the two differ."""
    if one.far != other.far:
        return None
    phases = {phase for phase in (one.phase, other.phase) if phase}
    slopes = {slope for slope in (one.slope, other.slope) if slope}
    if len(phases) > 1 or len(slopes) > 1:
        return None
    return Sure(next(iter(phases), None), next(iter(slopes), None), one.far)


def _beside_neighbours(
    timeless: Sequence[Taken], runs: list[list[Taken]], sure: Mapping[int, Sure]
) -> list[list[Taken]]:
    """Put photos without a time beside their neighbours by number; return those that have none, in runs."""
    left: list[Taken] = []
    for one in sorted(timeless, key=_by_number):
        home = _home_of(one, runs)
        if home is None or any(_differs(one, other, sure) for other in home[0]):
            left.append(one)
        else:
            run, behind = home
            run.insert(run.index(behind) + 1, one)
    found: list[list[Taken]] = []
    for one in left:
        last = found[-1][-1] if found else None
        near = last is not None and _apart(last, one) <= MOST_NUMBERS_APART
        if last is None or not near or _differs(one, last, sure) or one.day != last.day:
            found.append([])
        found[-1].append(one)
    return found


def _home_of(one: Taken, runs: Sequence[list[Taken]]) -> tuple[list[Taken], Taken] | None:
    """Return the run in which both neighbours by number lie, and the one of them it follows."""
    if one.order is None:
        return None
    near = [
        (other, run)
        for run in runs
        for other in run
        if _apart(one, other) <= MOST_NUMBERS_APART
        and other.order is not None
        and (one.day is None or other.at is None or one.day == other.at.date())
    ]
    below = [pair for pair in near if (pair[0].order or 0) < one.order]
    above = [pair for pair in near if (pair[0].order or 0) > one.order]
    if not below or not above:
        return None
    before = max(below, key=lambda pair: pair[0].order or 0)
    after = min(above, key=lambda pair: pair[0].order or 0)
    return (before[1], before[0]) if before[1] is after[1] else None


def _apart(one: Taken, other: Taken) -> int:
    """Return how far apart two photos of one phone are by number; far where that cannot be told."""
    if one.phone != other.phone or one.order is None or other.order is None:
        return MOST_NUMBERS_APART + 1
    return abs(one.order - other.order)


def _differs(one: Taken, other: Taken, sure: Mapping[int, Sure]) -> bool:
    return _both(sure.get(one.number, NOT_SURE), sure.get(other.number, NOT_SURE)) is None


def _by_number(one: Taken) -> tuple[str, int, int]:
    return (one.phone, one.order if one.order is not None else -1, one.number)


def _in_time(taken: Sequence[Taken]) -> list[Taken]:
    found: list[tuple[datetime, int, Taken]] = []
    last = datetime.min
    for place, one in enumerate(taken):
        last = one.at or last
        found.append((last, place, one))
    return [one for *_, one in sorted(found, key=lambda part: part[:2])]
