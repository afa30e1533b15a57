"""A heap and a job's record into a proposal: what each file is, where it goes, and why.

In: a `Heap`, the job, the photos and papers it already has with their facts. Out: a `Proposal`, one
line a file, nothing dropped. Must not copy, write or print anything.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from types import MappingProxyType

from dossier.evidence import Facts, PhotoFact
from dossier.gather.heap import PICTURES, Heap, Seen
from dossier.gather.placing import (
    Anchor,
    Guess,
    Neighbours,
    Vocabulary,
    caption_by_name,
    doubt,
    is_paper_by_name,
    kind_by_name,
    narrowed_by_name,
    phase_by_day,
    phase_by_name,
    phase_words,
    phases_on,
    slope_by_day,
    slope_by_name,
)
from dossier.gather.titles import Title
from dossier.gather.twins import Twin, alike, same_bytes
from dossier.gather.work_order import what_both_leave
from dossier.gather.zips import Refused
from dossier.record.files import Photo
from dossier.record.job import Job
from dossier.values import clip
from dossier.words import PaperKind, Phase

MARK_LETTERS = 16
"""Letters of a file's SHA-256 that a proposal carries, to tell that it is still the same file."""


NO_TITLES: Mapping[str, Title] = MappingProxyType({})


class Do(StrEnum):
    """What is done with one file."""

    PHOTO = "photo"
    PAPER = "paper"
    LEAVE_OUT = "leave out"


@dataclass(frozen=True)
class Proposed:
    """What is proposed for one file.

    number: from 1, as printed. reason: one line, in words. caption: what a person wrote in a photo's
    name beside phase and slope, empty for nothing. named: phase and slope as its name says them, whatever was
    proposed beyond that. could: the phases that a word in its name may mean, where none is named.
    """

    number: int
    seen: Seen
    do: Do
    phase: Phase | None
    slope: str | None
    kind: PaperKind | None
    reason: str
    caption: str = ""
    named: tuple[Phase | None, str | None] = (None, None)
    could: Guess[tuple[Phase, ...]] | None = None

    @property
    def name(self) -> str:
        """Return the file's name as shown."""
        return self.seen.file.name

    @property
    def mark(self) -> str:
        """Return the first letters of the file's digest."""
        return self.seen.sha256[:MARK_LETTERS]

    @property
    def taken(self) -> str:
        """Return when the camera says it was taken, or an empty text."""
        taken = self.seen.fact.taken_at_local
        return "" if taken is None else taken.strftime("%Y-%m-%d %H:%M:%S")


@dataclass(frozen=True)
class Proposal:
    """What is proposed for each file of a heap, and the files that were passed by."""

    files: tuple[Proposed, ...]
    refused: tuple[Refused, ...]


@dataclass(frozen=True)
class Known:
    """What the job already has: its record, its photos as listed or placed, and measured files.

    phase_words, slope_words: the office's own words, each with the phase or slope it stands for.
    """

    job: Job
    photos: tuple[Photo, ...]
    facts: Facts
    phase_words: Mapping[str, Phase] = field(default_factory=dict)
    slope_words: Mapping[str, str] = field(default_factory=dict)

    @property
    def phases(self) -> Vocabulary[Phase]:
        """Return the words that name a phase in this job."""
        return phase_words([slope.label for slope in self.job.slopes], self.phase_words)

    @property
    def slopes(self) -> Vocabulary[str]:
        """Return the words that name a slope of this job: its labels, and the office's words for such labels."""
        labels = {slope.label.casefold(): slope.label for slope in self.job.slopes}
        own = {
            word: labels[slope.casefold()]
            for word, slope in self.slope_words.items()
            if slope.casefold() in labels
        }
        return Vocabulary({**own, **{label: label for label in labels.values()}})


@dataclass
class _Line:
    """One file while its proposal is being made."""

    seen: Seen
    do: Do
    phase: Guess[Phase] | None = None
    slope: Guess[str] | None = None
    kind: Guess[PaperKind] | None = None
    left_out: str = ""
    caption: str = ""
    named: tuple[Phase | None, str | None] = (None, None)
    could: Guess[tuple[Phase, ...]] | None = None
    notes: list[str] = field(default_factory=list)

    @property
    def taken(self) -> datetime | None:
        return self.seen.fact.taken_at_local


def propose(heap: Heap, known: Known, titles: Mapping[str, Title] = NO_TITLES) -> Proposal:
    """Return what is proposed for every file of the heap, in its order, numbered from 1.

    titles: what papers print as their title, by the names of the files.
    """
    phases, slopes = known.phases, known.slopes
    lines = [_by_name(seen, phases, slopes, titles.get(seen.file.name)) for seen in heap.files]
    _leave_out_repeats(lines, known)
    for line in lines:
        line.named = (
            line.phase.value if line.phase else None,
            line.slope.value if line.slope else None,
        )
    _by_day(lines, known.job)
    _by_what_words_leave(lines, known.job)
    _by_neighbours(lines, known)
    files = (_proposed(number, line, known.job) for number, line in enumerate(lines, start=1))
    return Proposal(tuple(files), heap.refused)


def _by_name(
    seen: Seen, phases: Vocabulary[Phase], slopes: Vocabulary[str], title: Title | None
) -> _Line:
    name, kind = seen.file.name, seen.fact.kind
    if kind == "pdf" or is_paper_by_name(name):
        return _Line(seen, Do.PAPER, kind=_kind(name, title))
    line = _Line(seen, Do.PHOTO, phase_by_name(name, phases), slope_by_name(name, slopes))
    if line.phase is None:
        line.could = narrowed_by_name(name, phases)
    line.caption = caption_by_name(name, slopes)
    # A HEIC that cannot be opened here is whole all the same, so its fault is no reason to lose it.
    if seen.fact.fault is not None and kind != "heic":
        line.left_out = f"it {seen.fact.fault.rstrip('.')}"
    return line


def _kind(name: str, title: Title | None) -> Guess[PaperKind] | None:
    """Return the kind of a paper by its name, or by its title where that says none; both where they differ."""
    named = kind_by_name(name)
    if title is None:
        return named
    says = f"its line {title.line.line} says “{clip(title.line.text)}”"
    # “Letter” says how a paper came and not what it is.
    if named is None or named.value is PaperKind.LETTER:
        return Guess(title.kind, says)
    return named if named.value is title.kind else Guess(named.value, f"{named.reason}, but {says}")


def _leave_out_repeats(lines: Sequence[_Line], known: Known) -> None:
    by_name = {line.seen.file.name: line for line in lines}
    had = _digests(known.facts)
    for line in lines:
        if line.seen.sha256 in had:
            line.left_out = f"the job has the same bytes as {had[line.seen.sha256]}"
    trust = {
        name: 2 * (line.phase is not None or line.kind is not None) + (line.slope is not None)
        for name, line in by_name.items()
    }
    for name, twin in same_bytes([line.seen for line in lines], trust).items():
        by_name[name].left_out = by_name[name].left_out or f"the same bytes as {twin.of}"
    pictures = [
        line.seen.fact
        for line in lines
        if not line.left_out and line.do is Do.PHOTO and line.seen.fact.kind in PICTURES
    ]
    for name, twin in alike(pictures, list(known.facts.photos.values())).items():
        _name_likeness(by_name[name], twin, by_name.get(twin.of), known.facts.photos)


def _name_likeness(
    line: _Line, twin: Twin, other: _Line | None, photos: Mapping[str, PhotoFact]
) -> None:
    if twin.moments:
        # Two shots of a burst are two pictures, and either may be the one that shows the nails.
        line.notes.append(f"looks like {twin.of}, taken at another moment")
    elif twin.larger:
        line.notes.append(f"a larger copy of {twin.of}, which the job has; look at both")
    elif other is None:
        line.left_out = f"nearly the same picture as {twin.of}, which the job has and is as large"
    else:
        line.left_out = f"nearly the same picture as {twin.of}, which is larger"
        # The small copy often lies in the named folder, and the large one straight off the card.
        if other.phase is None and line.phase is not None:
            other.phase = Guess(line.phase.value, f"as its copy, {line.phase.reason}")
        other.caption = other.caption or line.caption
        if other.slope is None and line.slope is not None:
            other.slope = Guess(line.slope.value, f"as its copy, {line.slope.reason}")


def _digests(facts: Facts) -> dict[str, str]:
    both: list[tuple[str, str | None]] = [(f.file, f.sha256) for f in facts.papers.values()]
    both += [(fact.file, fact.sha256) for fact in facts.photos.values()]
    return {digest: file for file, digest in both if digest is not None}


def _by_day(lines: Sequence[_Line], job: Job) -> None:
    for line in _open_photos(lines):
        if line.taken is None:
            continue
        day = line.taken.date()
        if line.phase is None:
            line.phase = phase_by_day(day, line.slope.value if line.slope else None, job)
        if line.slope is None:
            line.slope = slope_by_day(day, line.phase.value if line.phase else None, job)


def _by_what_words_leave(lines: Sequence[_Line], job: Job) -> None:
    """Give each photo the one phase that both its name can mean and its day can show."""
    for line in _open_photos(lines):
        if line.could is None or line.phase is not None or line.taken is None:
            continue
        left = what_both_leave(line.could, line.taken.date(), job)
        if left is not None:
            line.phase = left


def _by_neighbours(lines: Sequence[_Line], known: Known) -> None:
    anchors = [
        Anchor(
            line.taken,
            line.phase.value if line.phase else None,
            line.slope.value if line.slope else None,
        )
        for line in _open_photos(lines)
        if line.taken is not None
    ]
    for photo in known.photos:
        fact = known.facts.photos.get(photo.file)
        if fact is not None and fact.taken_at_local is not None:
            anchors.append(Anchor(fact.taken_at_local, photo.phase, photo.slope))
    # The neighbours are those placed before this step, so that no guess rests on another of its kind.
    neighbours = Neighbours(anchors)
    for line in _open_photos(lines):
        if line.taken is None:
            continue
        if line.phase is None:
            slope = line.slope.value if line.slope else None
            ran = phases_on(line.taken.date(), slope, known.job.work)
            line.phase = neighbours.phase(line.taken, ran)
        if line.slope is None:
            line.slope = neighbours.slope(line.taken)


def _open_photos(lines: Sequence[_Line]) -> list[_Line]:
    return [line for line in lines if line.do is Do.PHOTO and not line.left_out]


def _proposed(number: int, line: _Line, job: Job) -> Proposed:
    phase = line.phase.value if line.phase else None
    slope = line.slope.value if line.slope else None
    kind = line.kind.value if line.kind else None
    if line.left_out:
        do, reason = Do.LEAVE_OUT, line.left_out
    elif line.do is Do.PAPER:
        do = Do.PAPER
        reason = line.kind.reason if line.kind else "no word of its name says what paper it is"
    else:
        do, reason = Do.PHOTO, _why(line)
        against = doubt(line.taken.date() if line.taken else None, phase, slope, job.work)
        reason = "; ".join(part for part in (reason, against, *line.notes) if part)
    return Proposed(
        number, line.seen, do, phase, slope, kind, reason, line.caption, line.named, line.could
    )


def _why(line: _Line) -> str:
    if line.phase and line.slope and line.phase.reason == line.slope.reason:
        return line.phase.reason
    parts = [f"{guess.reason}" for guess in (line.phase,) if guess]
    if line.slope:
        parts.append(f"slope: {line.slope.reason}")
    if not line.phase:
        no_time = "" if line.taken else " and its camera's time is lost"
        parts.insert(0, f"nothing says which phase{no_time}")
    return "; ".join(parts)
