"""What somebody typed about one run, in any spelling, into what is to be done.

In: a line of text, what the run could show, the labels of the slopes. Out: `Said` as one of a few kinds. Must not
change anything.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from dossier.gather.asked import Answer, Asking, Suggested
from dossier.gather.placing import Vocabulary
from dossier.gather.proposal import Do, Known
from dossier.gather.runs import PhotoRun
from dossier.said import Listed, Said, say
from dossier.values import clip
from dossier.words import Phase


class Step(Enum):
    """What may be said beside a place."""

    BACK = "back"
    STOP = "stop"
    HELP = "?"
    JOIN = "join"


@dataclass(frozen=True)
class Placing:
    """Where a run goes; in parts where more than one is named. cuts: how many photos stand before each part but
    the first.
    """

    answers: tuple[Answer, ...]
    cuts: tuple[int, ...] = ()


@dataclass(frozen=True)
class Splitting:
    """A run in parts, each to be asked about."""

    parts: tuple[PhotoRun, ...]


class NotUnderstood(ValueError):
    """An answer that cannot be read; says what was found and what would do."""

    def __init__(self, says: Said) -> None:
        super().__init__(str(says))
        self.says = says


_WORDS: Mapping[str, Step | Answer] = {
    "back": Step.BACK,
    "undo": Step.BACK,
    **dict.fromkeys(("stop", "quit", "exit", "q"), Step.STOP),
    "?": Step.HELP,
    "help": Step.HELP,
    "join": Step.JOIN,
    "skip": Answer(None),
    "out": Answer(Do.LEAVE_OUT),
    "leave out": Answer(Do.LEAVE_OUT),
    "paper": Answer(Do.PAPER),
}
NO_SLOPE = ("-", "none", "no slope", "all", "whole roof")


def read_answer(text: str, asking: Asking, at: int) -> Placing | Splitting | Step:
    """Return what a line says of the run at this place; raises NotUnderstood.

    A blank takes what is proposed. “deck, front / back” puts the photos before
    the longest pause on the front slope and those behind it on the back one.
    """
    run, suggested = asking.runs[at].run, asking.suggested(at)
    line = " ".join(text.split())
    labels = [slope.label for slope in asking.known.job.slopes]
    # Where a slope is called back the word alone is the slope's, and undo is the step.
    slope = line.lower() in (label.lower() for label in labels)
    word = None if slope else _WORDS.get(line.lower())
    if isinstance(word, Step):
        return word
    if word is not None:
        return Placing((word,))
    if not line:
        return _as_proposed(suggested)
    split = re.fullmatch(r"split(?: (?:at )?(\d+)| (phones?))?", line, re.I)
    if split:
        return _splitting(run, split[1], split[2])
    first, *more = (part.strip() for part in line.split("/"))
    begun = [re.fullmatch(r"(\d+): *(.*)", part) for part in more]
    told = [match for match in begun if match]
    if told and len(told) < len(more):
        raise NotUnderstood(say("Say of each part behind a / where it begins, or of none."))
    cuts = tuple(_place_of(run, match[1]) for match in told) or _cuts(run, len(more) + 1)
    if list(cuts) != sorted(set(cuts)):
        raise NotUnderstood(say("The parts stand in the order of the photos."))
    parts = [first, *([match[2] for match in told] or more)]
    answers: list[Answer] = []
    for part in parts:
        before = answers[-1] if answers else None
        answers.append(_place(part, before, asking, at))
    return Placing(tuple(answers), cuts)


def applied(asking: Asking, at: int, said: Placing | Splitting) -> Asking:
    """Return the runs once this was said of the one at this place."""
    if isinstance(said, Splitting):
        return asking.split(at, said.parts)
    asking = asking.split(at, asking.runs[at].run.split(said.cuts))
    for place, answer in enumerate(said.answers):
        asking = asking.answered(at + place, answer)
    return asking


def _as_proposed(suggested: Suggested) -> Placing:
    if suggested.phase is None:
        raise NotUnderstood(say("Nothing is proposed here. Type a phase, skip or ?."))
    slope = suggested.slope.word if suggested.slope else None
    return Placing((Answer(Do.PHOTO, Phase(suggested.phase.word), slope),))


def _splitting(run: PhotoRun, at: str | None, phones: str | None) -> Splitting:
    parts: tuple[PhotoRun, ...]
    if phones:
        parts = run.by_phone()
        if len(parts) < 2:
            raise NotUnderstood(say("All photos of this run are of {phone}.", phone=run.phones[0]))
        return Splitting(parts)
    if at is None:
        return Splitting(run.split(_cuts(run, 2)))
    return Splitting(run.split((_place_of(run, at),)))


def _place_of(run: PhotoRun, number: str) -> int:
    """Return how many photos of a run stand before the one of this number."""
    numbers = run.numbers
    # Compared as text: a number of thousands of digits is no number of a photo, and cannot be read as one.
    at = next((at for at, one in enumerate(numbers) if str(one) == number.lstrip("0")), 0)
    if not at:
        could = Listed(numbers[1:], "or") if numbers[1:] else say("none")
        raise NotUnderstood(
            say(
                "A part of this run can begin at photo {could}, not at {number}.",
                could=could,
                number=clip(number),
            )
        )
    return at


def _cuts(run: PhotoRun, parts: int) -> tuple[int, ...]:
    """Return the places of the longest pauses that part a run into so many parts."""
    pauses = run.pauses()[: parts - 1]
    if len(pauses) < parts - 1:
        raise NotUnderstood(
            say(
                "This run cannot be parted into {parts}: it has {count} photos with a time.",
                parts=parts,
                count=len(run.taken) - run.by_order,
            )
        )
    return tuple(sorted(place for _, place in pauses))


def _place(
    part: str,
    before: Answer | None,
    asking: Asking,
    at: int,
) -> Answer:
    """Return the place that one part names; a slope that is left away is the one that is proposed, if one is.

    before: the part in front of it, whose phase it may leave unsaid.
    """
    word = _WORDS.get(part.lower())
    if isinstance(word, Answer):
        return word
    known, suggested = asking.known, asking.suggested(at)
    phases, slopes = known.phases, known.slopes
    first, comma, second = (piece.strip() for piece in part.partition(","))
    if comma:
        return Answer(Do.PHOTO, _phase(first, phases), _slope(second, known))
    alone = slopes.whole(part)
    if alone is not None:
        phase = before.phase if before else None
        if phase is None and suggested.phase is not None:
            phase = Phase(suggested.phase.word)
        if phase is None:
            raise NotUnderstood(
                say("“{word}” is a slope; say the phase too, as in deck, {word}.", word=part)
            )
        return Answer(Do.PHOTO, phase, alone)
    named = {label for _, label in slopes.found(part)}
    rest = slopes.rest(part).strip() if len(named) == 1 else part
    phase = _phase(rest, phases)
    if len(named) == 1:
        return Answer(Do.PHOTO, phase, named.pop())
    offered = asking.slope_of(at, phase)
    return Answer(Do.PHOTO, phase, offered.word if offered else None)


def _phase(word: str, phases: Vocabulary[Phase]) -> Phase:
    if (place := _counted(word, len(Phase))) is not None:
        return list(Phase)[place]
    whole = phases.whole(word)
    if whole is not None:
        return whole
    begun = [phase for phase in Phase if word and phase.value.startswith(word.lower())]
    if len(begun) == 1:
        return begun[0]
    could = Listed(tuple(begun or list(Phase)), "or")
    raise NotUnderstood(say("“{word}” is no phase. Type {could}.", word=clip(word), could=could))


def _counted(word: str, count: int) -> int | None:
    """Return the place from 0 that a number names; “²” is a digit and no number."""
    return next((at for at in range(count) if word == str(at + 1)), None)


def _slope(word: str, known: Known) -> str | None:
    labels = [slope.label for slope in known.job.slopes]
    if word.lower() in NO_SLOPE:
        return None
    whole = known.slopes.whole(word)
    if whole is not None:
        return whole
    begun = [label for label in labels if word and label.lower().startswith(word.lower())]
    if len(begun) == 1:
        return begun[0]
    if (place := _counted(word, len(labels))) is not None:
        return labels[place]
    if not labels:
        raise NotUnderstood(say("The record has no slopes yet; leave the slope away."))
    could = Listed(tuple(labels), "or")
    raise NotUnderstood(say("“{word}” is no slope. Type {could}.", word=clip(word), could=could))
