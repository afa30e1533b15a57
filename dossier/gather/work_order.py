"""Which phases a run may show: by the work log, and by the order of work between runs that are placed.

In: a day, the record, placed moments. Out: phases, and guesses with their reasons. Must not know a file. An order
of work bounds a proposal and never a fact: crews strip one slope while another is being shingled.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from dossier.gather.placing import Guess, phases_on
from dossier.record.job import Job
from dossier.said import Said, say
from dossier.words import Phase

_RANKS: dict[Phase, tuple[int, int]] = {
    Phase.BEFORE: (0, 0),
    Phase.TEAR_OFF: (1, 2),
    Phase.DECK: (2, 3),
    Phase.DECK_REPAIR: (2, 3),
    Phase.ICE_BARRIER: (4, 4),
    Phase.DRIP_EDGE: (4, 6),
    Phase.UNDERLAYMENT: (5, 5),
    Phase.FLASHING: (6, 9),
    Phase.STARTER: (7, 7),
    Phase.FIELD: (8, 8),
    Phase.VENTILATION: (8, 9),
    Phase.HIP_AND_RIDGE: (9, 9),
    Phase.CLEAN_UP: (10, 11),
    Phase.FINISHED: (11, 11),
}
"""The first and the last place of a phase in the order of work. Eave metal goes below the barrier and rake metal
above the underlayment; flashing is set when its wall or pipe is reached. Common practice, no published source."""


@dataclass(frozen=True)
class Placed:
    """A photo of which the phase is known. at, day: None where nothing says. slope: None where it is not known."""

    at: datetime | None
    phase: Phase
    slope: str | None
    day: date | None = None

    def is_before(self, moment: datetime) -> bool:
        """Return whether it is surely earlier; one without a time is so on another day alone."""
        return self.at < moment if self.at else self.day is not None and self.day < moment.date()

    def is_after(self, moment: datetime) -> bool:
        """Return whether it is surely later."""
        return self.at > moment if self.at else self.day is not None and self.day > moment.date()


@dataclass(frozen=True)
class Because:
    """A phase or slope that is proposed, and why."""

    word: str
    reason: Said


def order_of(phases: Iterable[Phase]) -> tuple[Phase, ...]:
    """Return phases in the order of work, each once."""
    return tuple(sorted(set(phases), key=list(Phase).index))


def ran_on(day: date, job: Job) -> tuple[Phase, ...]:
    """Return the phases that the work log has on a day, in the order of work."""
    return order_of(phases_on(day, None, job.work))


def could_show(day: date | None, job: Job) -> tuple[Phase, ...]:
    """Return the phases that a photo of a day can show by the work log, in the order of work.

    What ran; beside a tear-off the deck it bares and the repairs on record; before on the first day and earlier;
    clean-up and finished on the last and later. Every phase where the log does not say.
    """
    if day is None or not job.work:
        return tuple(Phase)
    first = min(line.days.first for line in job.work)
    last = max(line.days.last for line in job.work)
    ran = set(ran_on(day, job))
    if day <= first:
        ran.add(Phase.BEFORE)
    if day >= last:
        ran |= {Phase.CLEAN_UP, Phase.FINISHED}
    if Phase.TEAR_OFF in ran:
        ran.add(Phase.DECK)
    if ran & {Phase.TEAR_OFF, Phase.DECK} and job.repairs:
        ran.add(Phase.DECK_REPAIR)
    return order_of(ran) or tuple(Phase)


def what_both_leave(could: Guess[tuple[Phase, ...]], day: date, job: Job) -> Guess[Phase] | None:
    """Return the one phase that a name can mean and that its day can show, or None."""
    left = set(could.value) & set(could_show(day, job))
    if len(left) != 1:
        return None
    [phase] = left
    return Guess(phase, f"{could.reason}, of which only {phase.value} fits {day.isoformat()}")


WHOLE_ROOF = (Phase.BEFORE, Phase.VENTILATION, Phase.HIP_AND_RIDGE, Phase.CLEAN_UP, Phase.FINISHED)
"""Phases that come to all slopes at once, or so nearly that a photo of one speaks of all."""


@dataclass(frozen=True)
class Between:
    """A stretch of time, what is placed around it, and the slopes on which the work may go on side by side."""

    first: datetime
    last: datetime
    placed: Sequence[Placed]
    slopes: Sequence[str]

    def fits(self, phase: Phase) -> bool:
        """Return whether the order of work leaves this phase open here on at least one slope."""
        return any(self._fits_on(phase, slope) for slope in self.slopes or ("",))

    def _fits_on(self, phase: Phase, slope: str) -> bool:
        lowest, highest = _RANKS[phase]
        alone = len(self.slopes) < 2
        own = [p for p in self.placed if alone or p.slope == slope or p.phase in WHOLE_ROOF]
        floor = max((_RANKS[p.phase][0] for p in own if p.is_before(self.first)), default=lowest)
        roof = min((_RANKS[p.phase][1] for p in own if p.is_after(self.last)), default=highest)
        return floor <= highest and lowest <= roof


def by_order(could: Sequence[Phase], between: Between) -> Because | None:
    """Return the phase that the order of work leaves here, or None where it leaves several.

    Between two moments of one phase on one day it is that phase.
    """
    day = between.first.date()
    timed = [(p.at, p.phase) for p in between.placed if p.at and p.at.date() == day]
    own = sorted(timed, key=lambda part: part[0])
    before = [phase for at, phase in own if at <= between.first]
    after = [phase for at, phase in own if at >= between.last]
    if before and after and before[-1] is after[0]:
        phase = before[-1]
        return Because(phase, say("between two runs of {phase} of that day", phase=phase))
    left = [phase for phase in could if between.fits(phase)]
    if len(left) != 1 or len(could) == 1:
        return None
    only = say("of what ran that day only {phase} fits the order of work", phase=left[0])
    return Because(left[0], only)
