"""Runs as somebody left them, taken up again.

In: `Asking` made anew, and the choices that were kept. Out: `Asking` with the same runs and answers. Must not
touch the disk. Photos that came meanwhile are runs of their own.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from dossier.gather.asked import Answer, AskedRun, Asking
from dossier.gather.choices import Choice, Choices, RunChoice
from dossier.gather.phones import Taken
from dossier.gather.proposal import Do
from dossier.gather.runs import PhotoRun, in_order, runs_of


def was_begun(choices: Choices) -> bool:
    """Return whether somebody was asked about any run of these."""
    return any(run.said for run in choices.runs)


def gone_on(asking: Asking, choices: Choices) -> Asking:
    """Return the runs and answers of the choices; what has other bytes by now is asked about anew."""
    taken = {one.number: one for one in asking.phones.taken}
    by_mark: dict[str, Taken] = {}
    for number, one in taken.items():
        by_mark.setdefault(asking.photo(number).mark, one)
    kept = [run for choice in choices.runs for run in _kept(choice, by_mark)]
    had = {number for one in kept for number in one.run.numbers}
    new = [one for number, one in taken.items() if number not in had]
    runs = [*kept, *(AskedRun(run) for run in runs_of(new, asking.sure))]
    order = in_order([one.run for one in runs])
    by_numbers = {one.run.numbers: one for one in runs}
    return replace(asking, runs=tuple(by_numbers[run.numbers] for run in order))


def _kept(choice: RunChoice, by_mark: Mapping[str, Taken]) -> Iterator[AskedRun]:
    """Yield a run as it was left; what a photo says for itself makes a run of its own."""
    groups: dict[Answer | None, list[Taken]] = {}
    for row in choice.files:
        one = by_mark.get(row.mark)
        if one is not None and all(one not in group for group in groups.values()):
            groups.setdefault(_answer(choice, row), []).append(one)
    for answer, group in groups.items():
        yield AskedRun(PhotoRun(tuple(group)), answer)


def _answer(choice: RunChoice, row: Choice) -> Answer | None:
    if not choice.said:
        return None
    whole = choice.of(row)
    if whole.do is Do.PHOTO and choice.phase is None:
        return Answer(None)
    return Answer(whole.do, whole.phase, whole.slope, whole.kind)
