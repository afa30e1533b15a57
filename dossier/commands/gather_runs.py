"""`dossier gather JOB SOURCE… --ask`: the runs of a heap asked about one by one in the terminal.

In: the runs, lines that somebody types. Out: the runs as answered, and what was said to the reader. It asks and
prints; what an answer means is read in `gather/`.
"""

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.disk.outputs import Holder
from dossier.values import plural

if TYPE_CHECKING:
    from dossier.deeds.gathering import InHand, LookedAt
    from dossier.gather.asked import Asking
    from dossier.gather.found import Found

Lines = Iterator[str]
Kept = Callable[["Asking"], Path]

HELP = """\
  enter            takes what is proposed
  deck, front      phase and slope, in any spelling or by number; deck alone takes the slope
                   that is proposed, “deck, -” none
  deck, front / back   the photos before the longest pause are of front, those behind it of back
  skip             not now: filed in photos/unsorted/ unless its names say where
  out              left out: not filed
  wrapper          filed as pictures of wrappers, for their lots; they show no phase
  paper            filed as papers; or the kind of paper, such as ticket
  deck, front / 14: back / 17: out   in parts that begin at the photos of these numbers
  split 14         asks in two parts, the second from photo 14 on; split alone parts at the longest pause,
                   split phones by phone
  join             takes the next run into this one
  back, or undo    to the run before
  stop             keeps what was said; the same command goes on from there"""


def typed_lines() -> Lines:
    """Yield what is typed, line by line, until the input ends."""
    for line in sys.stdin:
        yield line.rstrip("\n")


def ask_runs(asking: "Asking", lines: Lines, keep: Kept) -> tuple["Asking", bool]:
    """Return the runs as answered, and whether every one was asked about. keep: called after each answer."""
    from dossier.gather.answers import NotUnderstood, Placing, Splitting, Step, applied, read_answer

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
            said = read_answer(line, asking, at)
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
            case Placing() | Splitting():
                undo.append(asking)
                asking = applied(asking, at, said)
        keep(asking)
    return asking, True


def offer_words(at: "InHand", heap: "LookedAt", lines: Lines | None, *, keep: bool) -> None:
    """Show what the choices say of words in names, and keep what is agreed to.

    lines: where agreement is typed, None where nobody is asked. keep: whether it was agreed to beforehand.
    """
    from dossier.deeds.own_words import keep_words, words_drafted
    from dossier.gather.learning import news_of_words

    found = news_of_words(heap.proposed, heap.proposal, heap.known)
    agreed = []
    for one in found:
        print(one.says)
        if not keep and lines is not None:
            print("yes or no\n> ", end="", flush=True)
        if keep or (lines is not None and is_yes(next(lines, ""))):
            agreed.append(one)
    if not agreed:
        if found and lines is None:
            print("Nothing was kept. With --keep-words it is.")
        return
    draft = words_drafted(at.run.office_folder, agreed)
    print("\n".join(draft.difference(f"{draft.shown.file}, changed")))
    keep_words(at.run.office_folder, agreed, draft.shown.digest)


def offer_facts(folder: Path, holder: Holder) -> None:
    """Show what the job's photos seem to say of its record one by one, and write what is agreed to."""
    from dossier.deeds.photo_facts import agree_photo_facts, photo_facts

    facts = photo_facts(folder)
    if not facts.found:
        return
    lines, agreed = typed_lines(), []
    for number, one in enumerate(facts.found, start=1):
        print(
            f"{fact_text(number, one)}\nWrite this in the record? yes or no\n> ", end="", flush=True
        )
        if is_yes(next(lines, "")):
            agreed.append(number)
    if agreed:
        draft = agree_photo_facts(folder, facts, agreed, holder)
        print("\n".join(draft.difference(f"{draft.shown.file}, as agreed")))


def fact_text(number: int, one: "Found") -> str:
    """Return one thing that photos seem to say, with its doubt."""
    doubt = f"\n   {one.doubt}" if one.doubt else ""
    return f"{number}. {one.what}: {one.stands}{doubt}"


def is_yes(line: str) -> bool:
    """Return whether somebody agrees."""
    return line.strip().lower() in ("y", "yes")


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
    lines += [f"  {doubt}" for doubt in asking.doubts]
    if not asking.known.job.slopes:
        lines.append("  The record has no slopes yet, so that no photo gets one.")
    if waiting:
        lines.append("Enter takes what is proposed; ? explains the rest.")
    return "\n".join(lines)


def run_text(asking: "Asking", at: int) -> str:
    """Return what is known of one run, and what is proposed."""
    from dossier.gather.run_words import head, known_lines, proposed

    lines = [f"Run {at + 1} of {len(asking.runs)}: {head(asking.runs[at].run)}"]
    lines += [f"  {line}" for line in known_lines(asking, at)]
    offered = proposed(asking, at)
    if offered is not None:
        lines.append(f"  proposed: {offered}")
    return "\n".join(lines)


def table_text(asking: "Asking") -> str:
    """Return the roof by phase and slope: how many photos are placed, and where one is asked for and lacks."""
    from dossier.words import Phase

    slopes = [slope.label for slope in asking.known.job.slopes]
    placed, wanted = asking.placed(), asking.still_wanted()
    rows = [("", *slopes, "no slope")]
    for phase in Phase:
        cells = []
        for slope in (*slopes, None):
            count = sum(one.phase is phase and one.slope == slope for one in placed)
            lacks = any(view.phase is phase and view.slope == slope for view in wanted)
            cells.append("lacks" if lacks else str(count or ""))
        if any(cells):
            rows.append((phase.value, *cells))
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    lines = ("  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)) for row in rows)
    return "\n".join(f"  {line}".rstrip() for line in lines)


def help_text(asking: "Asking") -> str:
    """Return every answer, and the numbers of phases and slopes."""
    from dossier.words import Phase

    slopes = [slope.label for slope in asking.known.job.slopes]
    phases = ", ".join(f"{n} {phase.value}" for n, phase in enumerate(Phase, start=1))
    labels = ", ".join(f"{n} {label}" for n, label in enumerate(slopes, start=1))
    lists = f"  phases: {phases}\n  slopes: {labels or 'none on record'}"
    return f"{HELP}\n{lists}\n{table_text(asking)}"
