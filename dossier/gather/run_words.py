"""What is known of a run, in sentences, for whoever is asked where it belongs.

In: `Asking` and the place of a run. Out: `Said`. Must not propose anything of its own.
"""

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import Any

from dossier.gather.asked import Asking, View
from dossier.gather.placing import doubt, split_name
from dossier.gather.runs import PhotoRun
from dossier.gather.work_order import Placed
from dossier.said import Count, Listed, Said, say
from dossier.values import clip
from dossier.words import Phase

PAUSE_TOLD_S = 30
"""Shorter pauses part nothing that anybody would want parted. Common practice, no published source."""


def when(run: PhotoRun) -> Said:
    """Return from when to when a run goes."""
    if run.first is None or run.last is None:
        return say("{day}, no time", day=_day(run.day)) if run.day else say("no time")
    first = f"{run.first:%Y-%m-%d %H:%M}"
    last = f"{run.last:%H:%M}" if run.last.date() == run.first.date() else f"{run.last:%m-%d %H:%M}"
    if first.endswith(last):
        return say("{first}", first=first)
    return say("{first} to {last}", first=first, last=last)


def _day(day: date) -> str:
    return day.isoformat()


def head(run: PhotoRun) -> Said:
    """Return when a run was taken, how many photos it has and of which phones."""
    return say(
        "{when}, {photos} of {phones}",
        when=when(run),
        photos=Count(len(run.taken), "photo"),
        phones=Listed(run.phones),
    )


def known_lines(asking: Asking, at: int) -> tuple[Said, ...]:
    """Return what is known of a run beside its head, a line each."""
    return tuple(_lines(asking, at))


def _lines(asking: Asking, at: int) -> Iterator[Said]:
    run, suggested = asking.runs[at].run, asking.suggested(at)
    yield say("photos {numbers}", numbers=Listed(tuple(map(str, run.numbers)), " "))
    names = [clip(split_name(asking.photo(number).name)[0], 40) for number in run.numbers]
    yield say("{names}", names=Listed((names[0], names[-1]) if names[1:] else (names[0],), "to"))
    if run.first and run.by_order:
        yield say("{photos} without a time, here by number", photos=Count(run.by_order, "photo"))
    if any(one.by_name for one in run.taken):
        yield say("times by the names of the files")
    pauses = run.pauses()
    if pauses and pauses[0][0].total_seconds() >= PAUSE_TOLD_S:
        pause, place = pauses[0]
        seconds = round(pause.total_seconds())
        yield say(
            "longest pause: {length} before photo {number}",
            length=_length(seconds),
            number=run.numbers[place],
        )
    if asking.is_far(run):
        yield say("by the camera's place far from the house or from the others: another house?")
    if run.taken[0].screen:
        yield say("by their names pictures of a screen")
    yield say("can show {could}", could=Listed(tuple(map(_numbered, suggested.could)), ", "))
    if suggested.phase is not None:
        against = doubt(run.day, Phase(suggested.phase.word), None, asking.known.job.work)
        if against:
            yield say("{against}", against=against)
    around = _around(asking, at)
    if around:
        yield say("beside it: {around}", around=Listed(around, "; "))
    if suggested.phase is None and suggested.slope is not None:
        slope, why = suggested.slope.word, suggested.slope.reason
        yield say("slope {slope}, unless you say another ({why})", slope=slope, why=why)
    wanted = [view for view in asking.still_wanted() if view.phase in suggested.could]
    if wanted:
        yield say("no photo yet: {views}", views=views(wanted))


def _numbered(phase: Phase) -> Said:
    return say("{number} {phase}", number=list(Phase).index(phase) + 1, phase=phase)


def _length(seconds: int) -> Said:
    if seconds < 120:
        return say("{seconds} s", seconds=seconds)
    return say("{minutes} min", minutes=round(seconds / 60))


def _around(asking: Asking, at: int) -> tuple[Said, ...]:
    """Return the nearest placed moments before and after a run on its day."""
    run = asking.runs[at].run
    if run.first is None or run.last is None:
        return ()
    first, last = run.first, run.last
    timed = [(one.at, one) for one in asking.placed(but=at) if one.at]
    own = [part for part in timed if part[0].date() == first.date()]
    before = max((part for part in own if part[0] <= first), key=_time, default=None)
    after = min((part for part in own if part[0] > last), key=_time, default=None)
    return tuple(
        say("{place} at {time}", place=place(one.phase, one.slope), time=f"{taken:%H:%M}")
        for taken, one in [part for part in (before, after) if part is not None]
    )


def _time(part: tuple[datetime, Placed]) -> tuple[datetime, int, str]:
    return (part[0], list(Phase).index(part[1].phase), part[1].slope or "")


def place(phase: Phase, slope: str | None) -> Said:
    """Return a phase and a slope as they are typed: deck, front."""
    return (
        say("{phase}, {slope}", phase=phase, slope=slope) if slope else say("{phase}", phase=phase)
    )


def views(wanted: Sequence[View]) -> Listed:
    """Return views that are wanted, the slopes of one phase together."""
    slopes: dict[Phase, list[str]] = {}
    for view in wanted:
        slopes.setdefault(view.phase, []).extend([view.slope] if view.slope else [])
    return Listed(
        tuple(
            say("{phase} {slopes}", phase=phase, slopes=Listed(tuple(own), " + "))
            if own
            else say("{phase}", phase=phase)
            for phase, own in slopes.items()
        ),
        "; ",
    )


def proposed(asking: Asking, at: int) -> Said | None:
    """Return what is proposed for a run and why, or None where nothing is."""
    found = asking.suggested(at)
    if found.phase is None:
        return None
    reasons = tuple(one.reason for one in (found.phase, found.slope) if one)
    return say(
        "{place} ({why})",
        place=place(Phase(found.phase.word), found.slope.word if found.slope else None),
        why=Listed(tuple(dict.fromkeys(reasons)), "; "),
    )


def run_titles(asking: Asking) -> dict[int, str]:
    """Return the title of its run for each photo, by number, in the order of the runs."""
    return {
        number: str(say("run {run}: {head}", run=at, head=head(one.run)))
        for at, one in enumerate(asking.runs, start=1)
        for number in one.run.numbers
    }


def runs_data(asking: Asking) -> dict[str, Any]:
    """Return the runs, what is known and proposed of each, and what is wanted, for JSON."""
    return {
        "phones": [
            {"name": one.name, "known_by": str(one.known_by), "photos": one.count}
            for one in asking.phones.phones
        ],
        "clocks": asking.phones.clocks,
        "doubts": [doubt.data for doubt in asking.doubts],
        "wanted": [{"phase": view.phase, "slope": view.slope} for view in asking.still_wanted()],
        "runs": [_run_data(asking, at) for at in range(len(asking.runs))],
    }


def _run_data(asking: Asking, at: int) -> dict[str, Any]:
    one, suggested = asking.runs[at], asking.suggested(at)
    offered = proposed(asking, at)
    return {
        "run": at + 1,
        "head": head(one.run).data,
        "known": [line.data for line in known_lines(asking, at)],
        "could": list(suggested.could),
        "asks": at in asking.waiting,
        "proposed": {
            "phase": suggested.phase.word if suggested.phase else None,
            "slope": suggested.slope.word if suggested.slope else None,
            "says": offered.data if offered else None,
        },
        "photos": [
            {"number": n, "file": asking.photo(n).name, "mark": asking.photo(n).mark}
            for n in one.run.numbers
        ],
    }
