"""A heap's photos as runs to be asked about one by one: what is known of each, proposed and answered.

In: a proposal, the job, what was said. Out: `Asking`, frozen; every answer makes a new one. Must not read a
word of an answer, print or write anything.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta, tzinfo

from dossier.gather.phones import Phones, clock_doubts, phones_of, zone_doubts
from dossier.gather.placing import slope_by_day
from dossier.gather.proposal import Do, Known, Proposal, Proposed
from dossier.gather.runs import PhotoRun, Sure, joined_runs, runs_of
from dossier.gather.work_order import (
    WHOLE_ROOF,
    Because,
    Between,
    Placed,
    by_order,
    could_show,
    ran_on,
)
from dossier.said import Listed, Said, say
from dossier.words import Phase

SAID, NOT_ASKED = "said when asked", "nobody has been asked yet"


@dataclass(frozen=True)
class Answer:
    """What somebody said of a run. do: None for “not now”: what names say stays, the rest is unsorted."""

    do: Do | None
    phase: Phase | None = None
    slope: str | None = None


@dataclass(frozen=True)
class AskedRun:
    """A run and what was said of it, None where nobody has been asked yet."""

    run: PhotoRun
    answer: Answer | None = None


@dataclass(frozen=True)
class Suggested:
    """What may be said of a run. could: phases, the likely ones; phase, slope: proposed, None where nothing is."""

    could: tuple[Phase, ...]
    phase: Because | None
    slope: Because | None


@dataclass(frozen=True)
class View:
    """A photo that is asked for: of which phase, on which slope or anywhere."""

    phase: Phase
    slope: str | None


@dataclass(frozen=True)
class Asking:
    """A heap in runs. wanted: the photos that are asked for and that the job lacks. sure: of each photo."""

    proposal: Proposal
    known: Known
    phones: Phones
    sure: Mapping[int, Sure]
    runs: tuple[AskedRun, ...]
    wanted: tuple[View, ...] = ()
    zone: tzinfo | None = None

    def photo(self, number: int) -> Proposed:
        """Return a photo of the proposal by its number."""
        return self.proposal.files[number - 1]

    def is_far(self, run: PhotoRun) -> bool:
        """Return whether a photo of a run lies far from the house by its camera's place."""
        return any(self.sure[number].far for number in run.numbers)

    @property
    def doubts(self) -> tuple[Said, ...]:
        """Return what speaks against a phone's clock; what its camera says of its zone comes first."""
        photos = [self.photo(one.number) for one in self.phones.taken]
        by_zone = zone_doubts(self.phones, photos, self.zone) if self.zone else ()
        return by_zone or tuple(doubt.says for doubt in clock_doubts(self.phones))

    @property
    def waiting(self) -> tuple[int, ...]:
        """Return the places of the runs of which nobody has said anything and that names do not place whole."""
        return tuple(
            at
            for at, one in enumerate(self.runs)
            if one.answer is None and not self.placed_by_names(one.run)
        )

    def placed_by_names(self, run: PhotoRun) -> bool:
        """Return whether the names of all its photos say phase, and slope where the job has several."""
        needs_slope = len(self.known.job.slopes) > 1
        return all(
            phase is not None and (slope is not None or not needs_slope)
            for phase, slope in (self.photo(number).named for number in run.numbers)
        )

    def still_wanted(self) -> tuple[View, ...]:
        """Return the views that are asked for and that neither the job nor what is placed here shows."""
        shown = {(p.phase, slope) for p in self.placed() for slope in (p.slope, None)}
        return tuple(view for view in self.wanted if (view.phase, view.slope) not in shown)

    def placed(self, but: int | None = None) -> tuple[Placed, ...]:
        """Return every photo of which the phase was said or is said by a name, the job's own too.

        but: the place of a run that is passed over.
        """
        found = [
            placed
            for at, one in enumerate(self.runs)
            if at != but
            for placed in self._placed_in(one)
        ]
        return (*found, *self._in_job())

    def _placed_in(self, one: AskedRun) -> Iterator[Placed]:
        for taken in one.run.taken:
            phase, slope = self.of(one, taken.number)
            if phase is not None:
                day = taken.at.date() if taken.at else taken.day
                yield Placed(taken.at, phase, slope, day)

    def _in_job(self) -> Iterator[Placed]:
        for photo in self.known.photos:
            fact = self.known.facts.photos.get(photo.file)
            if photo.phase and fact and fact.taken_at_local:
                yield Placed(fact.taken_at_local, photo.phase, photo.slope)

    def of(self, one: AskedRun, number: int) -> tuple[Phase | None, str | None]:
        """Return phase and slope of one photo: as said of its run, else as its name says."""
        phase, slope = self.photo(number).named
        if one.answer is None or one.answer.do is None:
            return phase, slope
        if one.answer.do is not Do.PHOTO:
            return None, None
        return one.answer.phase, one.answer.slope or slope

    def answered(self, at: int, answer: Answer | None) -> "Asking":
        """Return it with this said of a run, or with what was said taken back."""
        return self._with(at, AskedRun(self.runs[at].run, answer))

    def split(self, at: int, parts: Sequence[PhotoRun]) -> "Asking":
        """Return it with a run in parts, of which nothing is said yet."""
        return self._with(at, *(AskedRun(part) for part in parts))

    def joined(self, at: int) -> "Asking":
        """Return it with a run and the next as one, of which nothing is said yet."""
        whole = joined_runs(self.runs[at].run, self.runs[at + 1].run)
        return replace(self, runs=(*self.runs[:at], AskedRun(whole), *self.runs[at + 2 :]))

    def _with(self, at: int, *runs: AskedRun) -> "Asking":
        return replace(self, runs=(*self.runs[:at], *runs, *self.runs[at + 1 :]))

    # --- what is proposed --------------------------------------------------------------------

    def suggested(self, at: int) -> Suggested:
        """Return what may be said of a run, with reasons."""
        run, job = self.runs[at].run, self.known.job
        could = could_show(run.day, job)
        if self.is_far(run):
            return Suggested(could, None, None)
        named = {self.photo(number).named for number in run.numbers}
        phase = _by_names(phase for phase, _ in named)
        phase = phase or self._by_words(run) or self._by_day(run)
        phase = phase or self._by_order(at, could)
        return Suggested(could, phase, self.slope_of(at, Phase(phase.word) if phase else None))

    def slope_of(self, at: int, phase: Phase | None) -> Because | None:
        """Return the slope that may be said of a run where it shows this phase, or any, or None.

        What comes to the whole roof at once gets a slope by names alone.
        """
        run, job = self.runs[at].run, self.known.job
        named = _by_names(self.photo(number).named[1] for number in run.numbers)
        if named is not None or phase in WHOLE_ROOF or self.is_far(run):
            return named
        if len(job.slopes) == 1:
            return Because(job.slopes[0].label, say("the only slope"))
        if run.day is None:
            return None
        logged = slope_by_day(run.day, phase, job) or slope_by_day(run.day, None, job)
        if logged is None:
            return None
        return Because(logged.value, say("only {slope} was worked on that day", slope=logged.value))

    def _by_words(self, run: PhotoRun) -> Because | None:
        """Return the one phase that all the words of a run can mean on its day, or None."""
        found = {self.photo(number).could for number in run.numbers} - {None}
        sets = [set(one.value) for one in found if one is not None]
        if not sets or run.day is None:
            return None
        left = set.intersection(*sets) & set(could_show(run.day, self.known.job))
        if len(left) != 1:
            return None
        words = Listed(tuple(sorted(one.reason for one in found if one is not None)), "; ")
        [phase] = left
        return Because(
            phase, say("{words}, of which only {phase} fits that day", words=words, phase=phase)
        )

    def _by_day(self, run: PhotoRun) -> Because | None:
        job, day = self.known.job, run.day
        if day is None or not job.work:
            return None
        ran = ran_on(day, job)
        first = min(line.days.first for line in job.work)
        last = max(line.days.last for line in job.work)
        contract = job.job.contract_on
        if contract and contract <= day < first:
            return Because(Phase.BEFORE, say("after the contract, before any work"))
        if day > last:
            return Because(Phase.FINISHED, say("after the last day of work, {last}", last=last))
        # The first and the last day show the old roof and the finished one beside what ran.
        if len(ran) == 1 and first < day < last:
            return Because(ran[0], say("only {phase} ran that day", phase=ran[0]))
        return None

    def _by_order(self, at: int, could: tuple[Phase, ...]) -> Because | None:
        run = self.runs[at].run
        if run.first is None or run.last is None:
            return None
        placed = self.placed(but=at)
        slopes = [slope.label for slope in self.known.job.slopes]
        return by_order(could, Between(run.first, run.last, placed, slopes))


def _by_names(words: Iterable[str | None]) -> Because | None:
    said = {word for word in words if word is not None}
    return Because(said.pop(), say("by their names")) if len(said) == 1 else None


def asking_of(
    proposal: Proposal,
    known: Known,
    add: Mapping[str, timedelta],
    *,
    wanted: Sequence[View] = (),
    far: frozenset[int] = frozenset(),
    zone: tzinfo | None = None,
) -> Asking:
    """Return the photos of a proposal in runs, nothing said of any yet.

    add: to a phone's times where its clock was wrong. far: photos that lie far from the house by their place.
    zone: of the job, None where it is not known.
    """
    photos = [one for one in proposal.files if one.do is Do.PHOTO]
    phones = phones_of(photos, add)
    sure = {one.number: Sure(*one.named, far=one.number in far) for one in photos}
    runs = tuple(AskedRun(run) for run in runs_of(phones.taken, sure))
    return Asking(proposal, known, phones, sure, runs, tuple(wanted), zone)


def as_answered(asking: Asking) -> Proposal:
    """Return the proposal with every photo where its run was said to go.

    A run of which nobody was asked or that was passed over keeps what its names say, and no more.
    """
    said: dict[int, Proposed] = {}
    for one in asking.runs:
        for number in one.run.numbers:
            photo = asking.photo(number)
            phase, slope = asking.of(one, number)
            do = one.answer.do if one.answer and one.answer.do else Do.PHOTO
            reason = photo.reason if do is Do.PHOTO and photo.named == (phase, slope) else SAID
            if one.answer is None and phase is None:
                reason = NOT_ASKED
            said[number] = replace(photo, do=do, phase=phase, slope=slope, reason=reason)
    files = tuple(said.get(one.number, one) for one in asking.proposal.files)
    return Proposal(files, asking.proposal.refused)
