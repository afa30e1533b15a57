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
            number, rows = int(part), here if isinstance(here, tuple) else ()
            here = rows[number] if number < len(rows) else None
            # Of a lone entry nobody asks which it is, but a slope, a ticket and a product have their names.
            if name := _named(here) or ("" if len(rows) == 1 else f"{around}, entry {number + 1}"):
                yield name
        else:
            here, around = getattr(here, part, None), part.replace("_", " ")


def _named(row: object) -> str:
    match row:
        case Slope(label=label):
            return f"slope {label}"
        case Delivery(ticket=str(ticket)):
            return f"ticket {ticket}"
        case MaterialLine(product=product):
            return product
    return ""
