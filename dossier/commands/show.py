"""How results look on a terminal: items, a summary line, progress.

In: a punch list, a stream. Out: text. Must not know how an item was found.
"""

import sys
import textwrap
import time
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, TextIO

from dossier.errors import ExitCode
from dossier.values import Progress, clip, listed, plural

if TYPE_CHECKING:
    from dossier.punchlist import Item, PunchList
    from dossier.steps.checking import Checked, Unreadable

_SHAPES = {"holds": "#", "weakens": "~", "note": "."}
"""Weight as a shape beside its word, since not every terminal has colours (WCAG 2.2, 1.4.1)."""

_BAR_LETTERS, _LINE_LETTERS = 20, 79
"""A terminal has 80 columns at least; a line that fills the last one would wrap and scroll."""

_PLAIN_LINE_EVERY_S = 10.0


def items_text(punch_list: "PunchList") -> str:
    """Return the items as text in the order of the list, each with what to do about it."""
    return "\n".join(_item(item) for item in punch_list)


def _item(item: "Item") -> str:
    from dossier.punchlist import Holds

    holds = f" {listed([held.value for held in Holds if held in item.holds])}" if item.holds else ""
    due = f", by {item.due.isoformat()}" if item.due else ""
    return (
        f"{_SHAPES[item.weight.value]} {item.weight.value}{holds} · {item.verdict.value} · "
        f"{' '.join(item.rules)} · {item.place}\n"
        f"  {item.says}\n"
        f"  Owed by {item.owed_by.value}{due}: {item.remedy}\n"
    )


def summary(number: str, punch_list: "PunchList", readable: bool) -> str:
    """Return one line a thing that can be held up, and a count of the items."""
    from dossier.punchlist import Holds

    if not readable:
        return (
            f"Job {number}: the record cannot be read; nothing was judged and nothing is ready.\n"
            f"{plural(len(punch_list), 'item')} to mend first."
        )
    lines = [f"Job {number}: {plural(len(punch_list), 'item')}."]
    for held in Holds:
        count = len(punch_list.holding(held))
        state = "ready" if not count else f"not ready, {plural(count, 'item')} in the way"
        lines.append(f"  {held.value:<13}{state}")
    return "\n".join(lines)


def unreadable_text(checked: "Unreadable") -> str:
    """Return what is to be mended in a record that cannot be read."""
    last = summary(checked.number, checked.punch_list, readable=False)
    return f"{items_text(checked.punch_list)}\n{last}"


def heading(checked: "Checked | Unreadable") -> Iterator[str]:
    """Yield what concerns no field of the record and still has to be said, a sentence each."""
    from dossier.archive.corrected import what_counts

    yield f"Office folder: {checked.run.office_folder}"
    if checked.since is not None:
        yield from what_counts(checked.since)
    if not checked.readable:
        return
    if checked.as_built_differs:
        yield (
            "as-built/ holds the sheets this job was built by. Not the same today: "
            f"{listed(checked.as_built_differs)}."
        )
    if checked.logo_fault is not None:
        logo = clip(checked.case.company.logo or "")
        yield f"Documents are printed without the company's logo: {logo} {checked.logo_fault}"


def code_of(checked: "Checked | Unreadable") -> ExitCode:
    """Return 3 for an unreadable record, 1 where something is held up, else 0."""
    if not checked.readable:
        return ExitCode.UNREADABLE_INPUT
    return ExitCode.ITEMS_HOLD if checked.punch_list.holds_anything else ExitCode.NOTHING_HELD_UP


def progress_on(stream: TextIO, clock: Callable[[], float] = time.monotonic) -> Progress:
    """Return a progress display: a bar with count, rate and time left, once work takes a second.

    clock: seconds that only grow. Where the stream is not a terminal, one plain line every ten seconds.
    A count that falls or another total begins a new piece of work with a rate of its own. None of none is work
    that nobody can count, such as laying out a document: a terminal says what it is till the next, others nothing.
    """
    live = stream.isatty()
    pause = 0.1 if live else _PLAIN_LINE_EVERY_S
    began = last = clock()
    first, before, total, open_line, named = 0, 0, -1, False, False

    def show(what: str, done: int, of: int) -> None:
        nonlocal began, last, first, before, total, open_line, named
        if not of:
            if live and (what or named):
                end = "" if what else "\r"
                said = f"{_printable(what)} …" if what else ""
                print(
                    f"\r{said[:_LINE_LETTERS]:<{_LINE_LETTERS}}", end=end, file=stream, flush=True
                )
                named = bool(what)
            return
        now = clock()
        if of != total or done < before:
            # What was done before the first look at the clock took no time that is known.
            began, last, first, total = now, now + (1 - pause if live else 0), done, of
        before = done
        is_end = done >= of
        if now - last < pause and not (is_end and open_line):
            return
        last = now
        said = progress_line(what, done, of, done - first, now - began, with_bar=live)
        if not live:
            print(said, file=stream, flush=True)
            return
        print(f"\r{said:<{_LINE_LETTERS}}", end="\n" if is_end else "", file=stream, flush=True)
        open_line = not is_end

    return show


def progress_line(
    what: str, done: int, of: int, worked: int, seconds: float, *, with_bar: bool
) -> str:
    """Return one line of progress: bar, count, rate, time left, and what is in hand.

    worked: how many were done in `seconds`. No rate and no time left where nothing can be told yet.
    """
    filled = _BAR_LETTERS * done // of if of else _BAR_LETTERS
    bar = f"[{'#' * filled}{'-' * (_BAR_LETTERS - filled)}] " if with_bar else ""
    line = f"{bar}{done} of {of}"
    if worked > 0 and seconds > 0:
        rate = worked / seconds
        line += f", {rate:.0f} a second" if rate >= 10 else f", {rate:.1f} a second"
        if done < of:
            line += f", {_duration((of - done) / rate)} left"
    name = _printable(what)
    room = _LINE_LETTERS - len(line) - 2
    if not with_bar or not name or room < 10:
        return line
    return f"{line}  {name if len(name) <= room else name[: room - 1] + '…'}"


def _printable(text: str) -> str:
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def _duration(seconds: float) -> str:
    whole = max(1, round(seconds))
    if whole < 60:
        return f"{whole} s"
    minutes, rest = divmod(whole, 60)
    if minutes < 60:
        return f"{minutes} min {rest} s"
    return f"{minutes // 60} h {minutes % 60} min"


def to_stderr(text: str) -> None:
    """Print something that is not the result."""
    print(text, file=sys.stderr)


def wrapped(text: str, indent: str = "  ") -> str:
    """Return a text in lines that fit a terminal, each set in."""
    return textwrap.fill(
        text, _LINE_LETTERS, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False
    )
