"""What an office does alike on its next job: single values of a record, and the products it orders.

In: a `Read` of a job. Out: `Repeated` values, and products without a quantity. Which field repeats is declared at
the field. Must not hold anything that was seen, measured or counted on that roof, nor what nobody said of it.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from dossier.reading.declared import repeats
from dossier.reading.model import Lines, Model, Read, is_list, kind_in, model_in
from dossier.record.job import Job
from dossier.words import Phase


@dataclass(frozen=True)
class Repeated:
    """One value of another job. path: where it stands. text: as it would be typed."""

    path: tuple[str, ...]
    text: str


@dataclass(frozen=True)
class Bought:
    """A product as it was bought before: what repeats of it, by field.

    had_colour, had_lots: whether the line said so.
    """

    fields: Mapping[str, str]
    had_colour: bool = False
    had_lots: bool = False


def repeated(job: Read[Job]) -> tuple[Repeated, ...]:
    """Return each value that a new job takes over, in the order of the record.

    What was itself taken over and never confirmed is left out: nobody ever said it of that job. A row that cannot
    be without it is left out whole, and the others are numbered from 0.
    """
    return tuple(_values(job.needed, (), job.lines))


def _values(group: Model, path: tuple[str, ...], lines: Lines) -> Iterator[Repeated]:
    for name, info in type(group).model_fields.items():
        value, at = getattr(group, name), (*path, name)
        if isinstance(value, Model):
            yield from _values(value, at, lines)
        elif model_in(info.annotation) is not None:
            # Rows repeat only where their list says so: a delivery or an attic is never that of another house.
            rows = enumerate(value or ()) if repeats(info) else ()
            typed = ((row, (*at, str(number))) for number, row in rows)
            said = ((row, here) for row, here in typed if _is_said(row, here, lines))
            for number, (row, here) in enumerate(said):
                for one in _values(row, here, lines):
                    yield Repeated((*at, str(number), *one.path[len(here) :]), one.text)
        elif repeats(info) and value not in (None, ()) and not lines.from_another(".".join(at)):
            kind = kind_in(info)
            assert kind is not None
            parts = value if is_list(info.annotation) else (value,)
            yield Repeated(at, ", ".join(_decimal(kind.write(part)) for part in parts))


def _is_said(row: Model, path: tuple[str, ...], lines: Lines) -> bool:
    """Return whether nothing that a row cannot be without was taken over from another job."""
    needed = (name for name, info in type(row).model_fields.items() if info.is_required())
    return not any(lines.from_another(".".join((*path, name))) for name in needed)


def _decimal(text: str) -> str:
    """Return a measure as a decimal where that is just as exact: 1.25 in, not 5/4 in."""
    found = re.fullmatch(r"(\d+/\d+)( .+)", text)
    if found is None:
        return text
    number = Fraction(found[1])
    thousandths = number * 1000
    if thousandths.denominator != 1:
        return text
    return f"{Decimal(thousandths.numerator) / 1000:f}{found[2]}"


def products(job: Job) -> tuple[Bought, ...]:
    """Return each product that was delivered and not sent back whole, once."""
    found: dict[str, Bought] = {}
    for delivery in job.deliveries:
        for line in delivery.lines:
            if line.quantity is None or line.quantity != line.returned:
                bought = Bought(_fields(line), line.colour is not None, bool(line.lots))
                found.setdefault(line.product, bought)
    return tuple(found.values())


def days_of_work(job: Job) -> tuple[tuple[tuple[Phase, ...], bool], ...]:
    """Return the phases that one day takes, each set once, and whether anybody looked at them.

    A deck repair is left out: the next deck may be sound.
    """
    found: dict[tuple[Phase, ...], bool] = {}
    for day in job.work:
        phases = tuple(phase for phase in day.phases if phase is not Phase.DECK_REPAIR)
        if phases:
            found[phases] = found.get(phases, False) or bool(day.checked_by)
    return tuple(found.items())


def suppliers(job: Job) -> tuple[str, ...]:
    """Return who delivered, each once, as the tickets say."""
    return tuple(dict.fromkeys(d.supplier for d in job.deliveries if d.supplier))


def waivers(job: Job) -> tuple[Mapping[str, str], ...]:
    """Return the kind of waiver of each who gave one, once."""
    given = job.money.waivers if job.money else ()
    found = {one.given_by: _fields(one) for one in given if one.given_by and one.kind}
    return tuple(found.values())


def vents(job: Job) -> tuple[tuple[Bought, ...], tuple[Bought, ...]]:
    """Return the kinds of vent low and high on the roof, each once; one laid by length has the unit feet."""
    low: dict[str, Bought] = {}
    high: dict[str, Bought] = {}
    for attic in job.building.attics if job.building else ():
        for rows, found in ((attic.intake, low), (attic.exhaust, high)):
            for vent in rows:
                unit = {} if vent.length_ft is None else {"unit": "ft"}
                found.setdefault(vent.product, Bought({**_fields(vent), **unit}))
    return tuple(low.values()), tuple(high.values())


def _fields(row: Model) -> dict[str, str]:
    return {one.path[-1]: one.text for one in _values(row, (), Lines(""))}
