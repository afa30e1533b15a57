"""One thing that stands twice in a list where each row is counted.

In: a record. Out: faults. Must not know what a row is for: rows that differ in anything are two things.
"""

from collections.abc import Iterator

from dossier.case.case import Case
from dossier.case.spots import spot
from dossier.punchlist import Manner, Party, Sends, Weight
from dossier.record.rows import rows_twice
from dossier.rules.declare import Example, Fault, rule


@rule(
    id="IDN-023",
    says="Row {again} of {group} says the same as row {first}.",
    why="What is typed twice counts twice: as goods that nobody delivered, a second owner, or money that nobody "
    "paid.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Delete one of the two; where they are two things, say in one of them what tells it from the other.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
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
            finds="Row 11 of deliveries.0.lines (ticket 55120) says the same as row 9.",
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
def one_thing_twice(case: Case) -> Iterator[Fault]:
    for group, first, again in rows_twice(case.job):
        yield Fault(
            case.where(f"{group}.{again}"),
            {"again": again + 1, "group": spot(case.job, group), "first": first + 1},
        )
