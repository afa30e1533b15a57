"""`dossier gather JOB SOURCE… --ask`: the runs of a heap asked about one by one in the terminal.

In: the runs, lines that somebody types. Out: the runs as answered, and what was said to the reader. It asks and
prints; what an answer means is read in `gather/`.
"""

import sys
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from dossier.values import clip, listed, plural

if TYPE_CHECKING:
    from datetime import datetime

    from dossier.gather.asked import Asking, View
    from dossier.gather.placing import Vocabulary
    from dossier.words import Phase

Lines = Iterator[str]
Kept = Callable[["Asking"], None]

HELP = """\
  enter            takes what is proposed
  deck, front      phase and slope, in any spelling or by number; the slope may be left away
  deck, front / back   the photos before the longest pause are of front, those behind it of back
  skip             not now: filed in photos/unsorted/ unless its names say where
  out              left out: not filed
  paper            filed as papers
  split 4          parts the run before its photo 4; split parts it at the longest pause, split phones by phone
  join             takes the next run into this one
  back, or undo    to the run before
  stop             keeps what was said; the same command goes on from there"""


def typed_lines() -> Lines:
    """Yield what is typed, line by line, until the input ends."""
    for line in sys.stdin:
        yield line.rstrip("\n")


def ask_runs(
    asking: "Asking", phases: "Vocabulary[Phase]", lines: Lines, keep: Kept
) -> tuple["Asking", bool]:
    """Return the runs as answered, and whether every one was asked about. keep: called after each answer."""
    from dossier.gather.answers import NotUnderstood, Placing, Splitting, Step, read_answer

    print(head_text(asking))
    undo: list[Asking] = []
    while asking.waiting:
        at = asking.waiting[0]
        print(f"\n{run_text(asking, at)}")
        print("> ", end="", flush=True)
        line = next(lines, None)
        if line is None:
            print()
            return asking, False
        try:
            said = read_answer(line, asking, at, phases)
        except NotUnderstood as problem:
            print(problem.says)
            continue
        match said:
            case Step.HELP:
                print(help_text(asking))
                continue
            case Step.STOP:
                return asking, False
            case Step.BACK:
                if not undo:
                    print("This is the first run.")
                    continue
                asking = undo.pop()
            case Step.JOIN:
                if at + 1 == len(asking.runs):
                    print("This is the last run.")
                    continue
                undo.append(asking)
                asking = asking.joined(at)
            case Splitting(parts=parts):
                undo.append(asking)
                asking = asking.split(at, parts)
            case Placing(answers=answers, cuts=cuts):
                undo.append(asking)
                parts = asking.runs[at].run.split(cuts)
                asking = asking.split(at, parts)
                for place, answer in enumerate(answers):
                    asking = asking.answered(at + place, answer)
        keep(asking)
    return asking, True


def head_text(asking: "Asking") -> str:
    """Return what is said before the first run."""
    waiting = len(asking.waiting)
    placed = sum(asking.placed_by_names(one.run) for one in asking.runs)
    lines = [
        f"{plural(sum(len(one.run.taken) for one in asking.runs), 'photo')} in "
        f"{plural(len(asking.runs), 'run')}: {waiting} to ask about, {placed} placed by names."
    ]
    lines += [
        f"  {one.name}: {one.known_by}, {plural(one.count, 'photo')}"
        for one in asking.phones.phones
    ]
    lines += [f"  {doubt.says}" for doubt in asking.doubts]
    if waiting:
        lines.append("Enter takes what is proposed; ? explains the rest.")
    return "\n".join(lines)


def run_text(asking: "Asking", at: int) -> str:
    """Return what is known of one run, and what is proposed."""
    from dossier.gather.asked import note_of

    run, suggested = asking.runs[at].run, asking.suggested(at)
    lines = [
        f"Run {at + 1} of {len(asking.runs)}: {when_text(run.first, run.last, run.day)}, "
        f"{plural(len(run.taken), 'photo')} of {listed(list(run.phones))}"
    ]
    names = [asking.photo(number).name.rpartition("/")[2] for number in run.numbers]
    shown = names if len(names) < 3 else [names[0], names[-1]]
    lines.append(f"  {' to '.join(clip(name, 40) for name in shown)}")
    if run.first and run.by_order:
        lines.append(f"  {run.by_order} of them without a time, here by their numbers")
    if run.pauses() and run.pauses()[0][0].total_seconds() >= 30:
        pause, place = run.pauses()[0]
        lines.append(f"  longest pause: {round(pause.total_seconds())} s before photo {place + 1}")
    note = note_of(asking, run)
    if note:
        lines.append(f"  {note}")
    lines.append(f"  can show: {', '.join(phase.value for phase in suggested.could)}")
    wanted = asking.still_wanted()
    if wanted:
        lines.append(f"  still without a photo: {wanted_text(wanted)}")
    if suggested.phase:
        place_said = ", ".join(one.word for one in (suggested.phase, suggested.slope) if one)
        why = "; ".join(str(one.reason) for one in (suggested.phase, suggested.slope) if one)
        lines.append(f"  proposed: {place_said} ({why})")
    return "\n".join(lines)


def wanted_text(wanted: "tuple[View, ...]") -> str:
    """Return views that are wanted, slopes of one phase together."""
    slopes: dict[str, list[str]] = {}
    for view in wanted:
        slopes.setdefault(view.phase.value, []).extend([view.slope] if view.slope else [])
    return "; ".join(f"{phase} {' + '.join(own)}".strip() for phase, own in slopes.items())


def when_text(first: "datetime | None", last: "datetime | None", day: object) -> str:
    """Return from when to when a run goes."""
    if first is None or last is None:
        return f"{day}, no time" if day else "no time"
    if first == last:
        return f"{first:%Y-%m-%d %H:%M}"
    return f"{first:%Y-%m-%d %H:%M} to {last:%H:%M}"


def help_text(asking: "Asking") -> str:
    """Return every answer, and the numbers of phases and slopes."""
    from dossier.words import Phase

    slopes = [slope.label for slope in asking.known.job.slopes]
    phases = ", ".join(f"{n} {phase.value}" for n, phase in enumerate(Phase, start=1))
    labels = ", ".join(f"{n} {label}" for n, label in enumerate(slopes, start=1))
    return f"{HELP}\n  phases: {phases}\n  slopes: {labels or 'none on record'}"
