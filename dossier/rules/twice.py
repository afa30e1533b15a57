"""One thing that stands twice in a list where each row is counted.

In: a record. Out: faults. Must not know what a row is for: rows that differ in anything are two things.
"""

from collections.abc import Iterator
from typing import Any

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Party, Weight
from dossier.reading.model import Model
from dossier.rules.declare import Example, Fault, rule
from dossier.values import Run

_COUNTED = frozenset(
    {
        *("owners", "attics", "decks", "repairs", "deliveries", "lines", "lots"),
        *("warranties", "change_orders", "invoices", "payments"),
    }
)
"""Lists whose rows are counted, added up or named one by one.

Two chimneys, eaves or runs of vent of one size are common, a waiver twice waives no more, and slopes, inspections
and photos have rules of their own.
"""


@rule(
    id="IDN-023",
    says="Row {again} of {group} says the same as row {first}.",
    why="What is typed twice counts twice: as goods that nobody delivered, a second owner, or money that nobody "
    "paid.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Delete one of the two; where they are two things, say in one of them what tells it from the other.",
    lighter=Weight.NOTE,
    rests_on={"job": "A row that is not there says the same as no other."},
    examples=[
        Example(
            {
                "job.owners": [
                    "Marit Ekdahl, 555-0141, m.ekdahl@example.com",
                    "Marit Ekdahl, 555-0141, m.ekdahl@example.com",
                ]
            },
            finds="Row 2 of owners says the same as row 1.",
        ),
        Example(
            {"job.deliveries.0.lines.10": "2 pieces Eavewright pipe boot"},
            finds="Row 11 of deliveries.0.lines says the same as row 9.",
        ),
        Example({"job.deliveries.0.lines.10": "1 pieces Eavewright pipe boot"}, finds=None),
        # Each side of a roof may have a run of its own.
        Example(
            {
                "job.building.attics.0.intake": [
                    "38 ft Strip soffit vent",
                    "38 ft Strip soffit vent",
                ]
            },
            finds=None,
        ),
    ],
)
def one_thing_twice(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    for group, rows in _lists_in(case.job, ""):
        for number, row in enumerate(rows):
            first = rows.index(row)
            if first < number:
                yield Fault(
                    case.where(f"{group}.{number}"),
                    {"again": str(number + 1), "group": group, "first": str(first + 1)},
                )


def _lists_in(group: Model, path: str) -> Iterator[tuple[str, tuple[Model, ...]]]:
    """Yield every list of a record whose rows are counted, with its dotted path."""
    for name in type(group).model_fields:
        value: Any = getattr(group, name)
        at = f"{path}.{name}" if path else name
        rows = value if isinstance(value, tuple) else (value,)
        models = tuple(row for row in rows if isinstance(row, Model))
        if isinstance(value, tuple) and models and name in _COUNTED:
            yield at, models
        for number, row in enumerate(models):
            yield from _lists_in(row, f"{at}.{number}" if isinstance(value, tuple) else at)
