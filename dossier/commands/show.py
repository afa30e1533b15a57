"""How results look on a terminal: items, a summary line, progress.

In: a punch list, a stream. Out: text. Must not know how an item was found.
"""

import sys
import time
from collections.abc import Callable
from typing import TextIO

from dossier.punchlist import Holds, Item, PunchList
from dossier.values import Progress, listed, plural, silent

_SHAPES = {"holds": "#", "weakens": "~", "note": "."}
"""Weight as a shape beside its word, since not every terminal has colours (WCAG 2.2, 1.4.1)."""


def items_text(punch_list: PunchList) -> str:
    """Return the items as text, heaviest first, each with what to do about it."""
    return "\n".join(_item(item) for item in punch_list)


def _item(item: Item) -> str:
    holds = f" {listed([held.value for held in Holds if held in item.holds])}" if item.holds else ""
    due = f", by {item.due.isoformat()}" if item.due else ""
    return (
        f"{_SHAPES[item.weight.value]} {item.weight.value}{holds} · {item.verdict.value} · "
        f"{item.rule} · {item.where}\n"
        f"  {item.says}\n"
        f"  Owed by {item.owed_by.value}{due}: {item.remedy}\n"
    )


def summary(number: str, punch_list: PunchList, readable: bool) -> str:
    """Return one line a thing that can be held up, and a count of the items."""
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


def progress_on(stream: TextIO, clock: Callable[[], float] = time.monotonic) -> Progress:
    """Return a progress display for a terminal, shown once work takes longer than a second.

    Where the stream is not a terminal nothing is shown.
    """
    if not stream.isatty():
        return silent
    began = clock()

    def show(what: str, done: int, of: int) -> None:
        if clock() - began < 1:
            return
        end = "\n" if done == of else ""
        print(f"\r{done:>5} of {of}  {what[:60]:<60}", end=end, file=stream, flush=True)

    return show


def to_stderr(text: str) -> None:
    """Print something that is not the result."""
    print(text, file=sys.stderr)
