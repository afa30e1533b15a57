"""What a file's name, its camera's day and its neighbours in time say of its phase, slope and kind.

In: names, camera times, the work log, slope labels. Out: guesses, each with its reason in words. Must
not open a file. A name that says two things says nothing: a wrong place is worse than none.
"""

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Generic, TypeVar

from dossier.gather.trade_words import NAMES, NARROW
from dossier.record.job import Job
from dossier.record.work import WorkDay
from dossier.values import clip, listed
from dossier.words import PaperKind, Phase

NEIGHBOUR = timedelta(minutes=10)
"""How near in time both neighbours must be. Common practice, no published source."""

PAPER_FOLDERS = frozenset({"papers", "paperwork", "documents"})

_BY_PROGRAMS = frozenset({"img", "image", "dsc", "pic", "picture", "photo", "copy", "scan"})

W = TypeVar("W")
_TOKEN = re.compile(r"[^\W\d_]+|\d+")


@dataclass(frozen=True)
class Guess(Generic[W]):
    """One value and how it was come by, as the end of a sentence without its full stop."""

    value: W
    reason: str


@dataclass(frozen=True)
class Anchor:
    """A photo whose phase or slope is known, and when it was taken by its camera's clock."""

    taken_at_local: datetime
    phase: Phase | None
    slope: str | None


def tokens(text: str) -> tuple[str, ...]:
    """Return the words and numbers of a name, in lower case."""
    return tuple(_TOKEN.findall(text.casefold()))


class Vocabulary(Generic[W]):
    """Finds the one value that a name names, in any spelling of its separators."""

    def __init__(self, values: Mapping[str, W]) -> None:
        """values: each value by the words that name it, such as “ice barrier”."""
        self._by_tokens: dict[tuple[str, ...], W] = {}
        for words, value in values.items():
            split = tokens(words)
            if split:
                self._by_tokens[split] = value
                self._by_tokens.setdefault(("".join(split),), value)
        self._longest = max(map(len, self._by_tokens), default=0)

    def found(self, name: str) -> list[tuple[int, W]]:
        """Return each value named, by the place of its first word."""
        split = tokens(name)
        return [
            (at, self._by_tokens[split[at : at + length]]) for at, length in self._places(split)
        ]

    def whole(self, name: str) -> W | None:
        """Return the value that this name is and says nothing beside, or None."""
        return self._by_tokens.get(tokens(name))

    def rest(self, name: str) -> str:
        """Return what a name says beside the values that it names, as it was written."""
        spans = [match.span() for match in _TOKEN.finditer(name.casefold())]
        # Folding the case of a few letters changes the length of a text; then nothing is cut out.
        if len(name.casefold()) != len(name):
            return name
        left, ended = "", 0
        for at, length in self._places(tokens(name)):
            left += name[ended : spans[at][0]]
            ended = spans[at + length - 1][1]
        return left + name[ended:]

    def _places(self, split: tuple[str, ...]) -> Iterator[tuple[int, int]]:
        """Yield where each value is named and in how many words; longer names win over shorter."""
        at = 0
        while at < len(split):
            for length in range(min(self._longest, len(split) - at), 0, -1):
                part = split[at : at + length]
                if part in self._by_tokens and (not _is_weak(part) or part == split):
                    yield at, length
                    at += length
                    break
            else:
                at += 1


def _is_weak(part: tuple[str, ...]) -> bool:
    # A slope called A or 1 would be found in half of all file names.
    joined = "".join(part)
    return len(joined) < 2 or joined.isdigit()


PHASES: Vocabulary[Phase] = Vocabulary({phase.value: phase for phase in Phase})
"""The phases by their own words alone; what else stands in a name is a caption."""
PHASE_WORDS: Vocabulary[Phase] = Vocabulary({**NAMES, **{one.value: one for one in Phase}})
NARROWING: Vocabulary[tuple[Phase, ...]] = Vocabulary(NARROW)
KINDS: Vocabulary[PaperKind] = Vocabulary(
    {**{kind.value: kind for kind in PaperKind}, "wrappers": PaperKind.WRAPPER}
)


def is_of_programs(word: str) -> bool:
    """Return whether programs put this word into names, so that it says nothing of the picture."""
    return word.casefold() in _BY_PROGRAMS


def split_name(name: str) -> tuple[str, tuple[str, ...]]:
    """Return a file's name without its ending, and its folders from the innermost outward."""
    *folders, file = name.split("/")
    return file.rpartition(".")[0] or file, tuple(reversed(folders))


def phase_by_name(name: str, phases: Vocabulary[Phase] = PHASE_WORDS) -> Guess[Phase] | None:
    """Return the phase that a folder or the file's name names, or None.

    A folder that is called nothing else wins, then the file's name, then other folders, the innermost
    first.
    """
    stem, folders = split_name(name)
    for folder in folders:
        whole = phases.whole(folder)
        if whole is not None:
            return Guess(whole, f"folder “{clip(folder)}”")
    for where, part in [("file name", stem), *(("folder", folder) for folder in folders)]:
        phase = _one_phase(part, phases)
        if phase is not None:
            return Guess(phase, f"{where} “{clip(part)}”")
    return None


def narrowed_by_name(
    name: str, phases: Vocabulary[Phase] = PHASE_WORDS
) -> Guess[tuple[Phase, ...]] | None:
    """Return the phases that a name can mean which names none for sure, or None where it says nothing.

    The file's name first, then its folders from the innermost outward; the first that says something counts.
    """
    stem, folders = split_name(name)
    for where, part in [("file name", stem), *(("folder", folder) for folder in folders)]:
        if phases.found(part):
            # Two phases are named, or one that something came after: it may be any of these or another.
            return None
        sets = [set(could) for _, could in NARROWING.found(part)]
        both = set.intersection(*sets) if sets else set()
        if both:
            found = tuple(sorted(both, key=list(Phase).index))
            return Guess(found, f"{where} “{clip(part)}”")
    return None


def _one_phase(part: str, phases: Vocabulary[Phase]) -> Phase | None:
    """Return the one phase that a name names; “before” behind another is a view of that other."""
    split, hits = tokens(part), phases.found(part)
    if not hits:
        return None
    first_at, first = hits[0]
    if first_at and split[first_at - 1] == "after":
        return None
    if first is Phase.BEFORE:
        return first
    named = {phase for _, phase in hits if phase is not Phase.BEFORE}
    return first if len(named) == 1 else None


def phase_words(labels: Iterable[str], own: Mapping[str, Phase]) -> Vocabulary[Phase]:
    """Return the words that name a phase in one job. own: the office's, which win over the trade's.

    A slope's label is no word of the trade: where a slope is called hips, that names the slope.
    """
    ours = {phase.value: phase for phase in Phase}
    taken = {tokens(label) for label in labels}
    trade = {word: phase for word, phase in NAMES.items() if tokens(word) not in taken}
    return Vocabulary({**trade, **own, **ours})


def slope_by_name(name: str, slopes: Vocabulary[str]) -> Guess[str] | None:
    """Return the slope that the file's name or a folder names, the innermost first, or None."""
    stem, folders = split_name(name)
    for where, part in [("file name", stem), *(("folder", folder) for folder in folders)]:
        named = {label for _, label in slopes.found(part)}
        if len(named) == 1:
            return Guess(named.pop(), f"{where} “{clip(part)}”")
        if named:
            return None
    return None


def kind_by_name(name: str) -> Guess[PaperKind] | None:
    """Return the kind of paper that the file's name or a folder names, or None."""
    stem, folders = split_name(name)
    for where, part in [("file name", stem), *(("folder", folder) for folder in folders)]:
        named = {kind for _, kind in KINDS.found(part)}
        if len(named) == 1:
            return Guess(named.pop(), f"{where} “{clip(part)}”")
        if named:
            return None
    return None


def is_paper_by_name(name: str) -> bool:
    """Return whether a picture is a paper by its name or folder: a kind is named there, no phase."""
    stem, folders = split_name(name)
    if any(folder.casefold() in PAPER_FOLDERS for folder in folders):
        return True
    # A wrapper shows its product's lot, and of the phase that the product is for nothing.
    if any(kind is PaperKind.WRAPPER for _, kind in KINDS.found(stem)):
        return True
    if PHASES.found(stem):
        return False
    return bool(KINDS.found(stem)) or (
        phase_by_name(name) is None and any(KINDS.whole(folder) for folder in folders)
    )


def caption_by_name(name: str, slopes: Vocabulary[str]) -> str:
    """Return what a person wrote in a photo's name beside phase and slope, or an empty text.

    A name with a number of four or more digits is a camera's or a messenger's own, and so are the
    words that programs put into names.
    """
    stem, _ = split_name(name)
    rest = slopes.rest(PHASES.rest(stem))
    words = _TOKEN.findall(rest)
    if any(word.isdigit() and len(word) >= 4 for word in _TOKEN.findall(stem)):
        return ""
    kept = [word for word in words if not word.isdigit() and word.casefold() not in _BY_PROGRAMS]
    return " ".join(kept) if any(len(word) > 2 for word in kept) else ""


def moment_by_name(name: str) -> str:
    """Return “before” or “after” where a file's name says one of them, else an empty text."""
    said = [word for word in tokens(split_name(name)[0]) if word in ("before", "after")]
    return said[0] if len(said) == 1 else ""


def phase_by_day(day: date, slope: str | None, job: Job) -> Guess[Phase] | None:
    """Return the one phase that ran on the camera's day, or None where several or none did."""
    ran = phases_on(day, slope, job.work)
    if len(ran) == 1:
        return Guess(ran[0], f"only {ran[0].value} ran on {day.isoformat()}")
    first = min((line.days.first for line in job.work), default=None)
    contract = job.job.contract_on
    if not ran and first and contract and contract <= day < first:
        return Guess(Phase.BEFORE, f"taken {day.isoformat()}, after the contract, before any work")
    return None


def phases_on(day: date, slope: str | None, work: Iterable[WorkDay]) -> tuple[Phase, ...]:
    """Return the phases that the work log has on a day, on this slope where one is given."""
    lines = (line for line in work if line.days.first <= day <= line.days.last)
    fitting = (line for line in lines if not (slope and line.slopes) or slope in line.slopes)
    return tuple(dict.fromkeys(phase for line in fitting for phase in line.phases))


def slope_by_day(day: date, phase: Phase | None, job: Job) -> Guess[str] | None:
    """Return the one slope that the work log names for the camera's day, or None."""
    lines = [line for line in job.work if line.days.first <= day <= line.days.last]
    lines = [line for line in lines if phase is None or phase in line.phases]
    named = {slope for line in lines for slope in line.slopes}
    if len(named) == 1 and all(line.slopes for line in lines):
        [slope] = named
        return Guess(slope, f"only {slope} was worked on on {day.isoformat()}")
    return None


class Neighbours:
    """Placed photos in the order of their camera times."""

    def __init__(self, anchors: Iterable[Anchor]) -> None:
        """anchors: photos placed by name or day, and those that the job already has."""
        in_order = sorted(anchors, key=lambda anchor: anchor.taken_at_local)
        self._phased = [anchor for anchor in in_order if anchor.phase is not None]
        self._sloped = [anchor for anchor in in_order if anchor.slope is not None]

    def phase(self, at: datetime, ran: Sequence[Phase]) -> Guess[Phase] | None:
        """Return the phase between two neighbours of one phase, or None.

        ran: the phases of that day by the work log. Both neighbours are of that day and phase, or
        both within `NEIGHBOUR`.
        """
        around = _around(self._phased, at)
        if around is None or around[0].phase is not around[1].phase:
            return None
        phase = around[0].phase
        assert phase is not None
        if phase in ran and all(one.taken_at_local.date() == at.date() for one in around):
            return Guess(phase, f"between two photos of {phase.value} of the same day")
        if _near(around, at):
            return Guess(phase, f"between two photos of {phase.value} within 10 minutes")
        return None

    def slope(self, at: datetime) -> Guess[str] | None:
        """Return the slope between two neighbours of one slope, both within `NEIGHBOUR`, or None."""
        around = _around(self._sloped, at)
        if around is None or around[0].slope != around[1].slope or not _near(around, at):
            return None
        slope = around[0].slope
        assert slope is not None
        return Guess(slope, f"between two photos of {clip(slope)} within 10 minutes")


def _around(anchors: Sequence[Anchor], at: datetime) -> tuple[Anchor, Anchor] | None:
    before = bisect_right(anchors, at, key=_time) - 1
    after = bisect_left(anchors, at, key=_time)
    return (anchors[before], anchors[after]) if before >= 0 and after < len(anchors) else None


def _time(anchor: Anchor) -> datetime:
    return anchor.taken_at_local


def _near(around: tuple[Anchor, Anchor], at: datetime) -> bool:
    return all(abs(one.taken_at_local - at) <= NEIGHBOUR for one in around)


def doubt(day: date | None, phase: Phase | None, slope: str | None, work: Sequence[WorkDay]) -> str:
    """Return what the camera's day says against a phase, as a clause; empty where nothing does."""
    if day is None or phase is None:
        return ""
    days = [line.days for line in work if phase in line.phases]
    if not days or any(one.first <= day <= one.last for one in days):
        return ""
    said = listed([str(one) for one in days])
    return f"but its camera says {day.isoformat()} and the work log has {phase.value} on {said}"
