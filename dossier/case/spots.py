"""A place in the record as people read it: its path, and whose it is where the path only counts.

In: the record, a dotted path. Out: words. Must not know why the place is named.
"""

from collections.abc import Iterator
from typing import Any

from dossier.record.job import Job
from dossier.record.materials import Delivery, MaterialLine
from dossier.record.roof import Slope


def spot(job: Job, path: str) -> str:
    """Return a path with the slope, ticket or product that its numbers count: slopes.4.pitch (slope d1-right).

    Numbers in a path count from 0, as its readers among programs do; people count from 1 and by name.
    """
    whose = ", ".join(_whose(job, path.split(".")))
    return f"{path} ({whose})" if whose else path


def _whose(job: Job, parts: list[str]) -> Iterator[str]:
    here: Any = job
    around = ""
    for part in parts:
        if part.isdigit():
            number = int(part)
            here = here[number] if isinstance(here, tuple) and number < len(here) else None
            yield _named(here, around, number)
        else:
            here, around = getattr(here, part, None), part


def _named(row: object, around: str, number: int) -> str:
    match row:
        case Slope(label=label):
            return f"slope {label}"
        case Delivery(ticket=str(ticket)):
            return f"ticket {ticket}"
        case MaterialLine(product=product):
            return product
    return f"{around.replace('_', ' ')}, entry {number + 1}"
