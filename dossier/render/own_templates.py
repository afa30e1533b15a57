"""What an office's own templates may not do: follow links, print without end, or take for ever.

In: the office's template folder, and the work its templates cause. Out: the work's result, or the reason
why not. Must not know a template. Whoever edits the folder may make any mistake a program can make; it
costs a sentence, never a run that has to be killed.
"""

import ctypes
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from jinja2.exceptions import SecurityError
from jinja2.sandbox import ImmutableSandboxedEnvironment

LONGEST_S = 15.0
"""Most seconds that one document may take with templates of the office's; the longest demo takes about 4."""

LONGEST_A_PICTURE_S = 0.1
"""Added for each picture of the document."""

MOST_FILE_BYTES = 1_000_000
MOST_CHARACTERS = 50_000_000
"""Most that one template file may hold, and most that one document may come to as HTML."""

_MOST_REPEATED = 1_000_000
_MOST_POWER = 64
_STACK_BYTES = 16 * 1024 * 1024
_BETWEEN_STOPS_S = 0.2
_STOPS = 10

Made = TypeVar("Made")


class Refused(Exception):
    """A file that is not read, or work that is not finished: the reason as a clause."""


class _Stop(BaseException):
    """Raised inside the work from outside; no template can catch it."""


class Sandbox(ImmutableSandboxedEnvironment):
    """A sandbox in which no sum can fill the memory."""

    intercepted_binops = frozenset({"*", "**"})

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        """Return a product or a power; raises SecurityError for one that is beyond any page."""
        for many, thing in ((left, right), (right, left)):
            repeats = operator == "*" and isinstance(many, int) and hasattr(thing, "__len__")
            if repeats and many * len(thing) > _MOST_REPEATED:
                raise SecurityError(f"it repeats something {many} times")
        if operator == "**" and not (abs(left) <= _MOST_REPEATED and abs(right) <= _MOST_POWER):
            raise SecurityError(f"{left} to the power of {right} is too large")
        return super().call_binop(context, operator, left, right)


def refuse_what_is_no_file_of_its_own(folder: Path) -> None:
    """Raise Refused where the folder or a file in it is a link, or a file is larger than any template."""
    if folder.is_symlink():
        raise Refused(f"the folder {folder.name} is a link, and links are not followed")
    for path in sorted(folder.rglob("*")):  # It does not go into linked folders.
        name = f"{folder.name}/{path.relative_to(folder).as_posix()}"
        if path.is_symlink():
            raise Refused(f"{name} is a link, and links are not followed")
        if path.is_file() and path.stat().st_size > MOST_FILE_BYTES:
            raise Refused(f"{name} is larger than {MOST_FILE_BYTES // 10**6} MB")


def within(longest_s: float, work: Callable[[], Made]) -> Made:
    """Return what the work returns, or raise what it raises; Refused where it takes longer.

    The work runs in a thread of its own, which is told to stop; should it be deep in a library that does
    not listen, the run goes on to its end without it.
    """
    made: list[Made] = []
    raised: list[BaseException] = []

    def run() -> None:
        try:
            made.append(work())
        except BaseException as error:
            raised.append(error)

    before = threading.stack_size(_STACK_BYTES)
    try:
        thread = threading.Thread(target=run, daemon=True)
        thread.start()
    finally:
        threading.stack_size(before)
    thread.join(longest_s)
    if thread.is_alive():
        _stop(thread)
        raise Refused(f"it took longer than {longest_s:.0f} second{'' if longest_s == 1 else 's'}")
    if raised:
        raise raised[0]
    return made[0]


def _stop(thread: threading.Thread) -> None:
    for _ in range(_STOPS):
        if not thread.is_alive():
            return
        ctypes.pythonapi.PyThreadState_SetAsyncExc(
            ctypes.c_ulong(thread.ident or 0), ctypes.py_object(_Stop)
        )
        thread.join(_BETWEEN_STOPS_S)
