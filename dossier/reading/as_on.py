"""A value taken over from another job, and how it is marked in the text until somebody says that it holds here.

In: a value and the other job, or a text. Out: a text, or what it says. Must not know which fields repeat.
"""

import re
from dataclasses import dataclass

_AS_ON = re.compile(r"^(?P<value>\S.*?), as on (?P<job>[^,]+)$", re.S)


@dataclass(frozen=True)
class TakenOver:
    """A value of another job that stands here, marked as such, until somebody says that it holds here.

    held: whether the record goes by it meanwhile, as by what no record can be without; else it is read as a blank.
    """

    value: str
    job: str
    held: bool


def as_on(value: str, job: str) -> str:
    """Return a value marked as taken over from another job; see `TakenOver`."""
    # A comma would be taken for one of the value's own.
    return f"{value}, as on {job.replace(',', ' ')}"


def is_as_on(text: str) -> bool:
    """Return whether a text would be read as taken over, in a field that repeats from job to job."""
    return marked_as_on(text) is not None


def marked_as_on(text: str) -> tuple[str, str] | None:
    """Return the value and the other job of a text that is marked so, or None."""
    marked = _AS_ON.match(text.strip())
    return (marked["value"], marked["job"].strip()) if marked else None
