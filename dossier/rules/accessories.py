"""Accessory line: which single product keeps this roof from the level that was asked for."""

from collections.abc import Iterator

from dossier.assess.results import Assessment, Met
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict
from dossier.rules.declare import Example, Fault, rule
from dossier.values import Run


@rule(
    id="ACC-001",
    says="{product}, by {maker}, is the {role}; the {level} level asks for {wanted}'s own "
    "(clause {clause}).",
    why="One product of another maker in the accessory line can cost the whole level.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.OFFICE,
    remedy="Correct the line if the ticket shows the maker's own; else ask for a level that this set of "
    "products earns, or ask the maker in writing before registering.",
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {
                "job.deliveries.0.lines.2": {
                    "product": "Ridgeback caps",
                    "quantity": "2",
                    "role": "hip and ridge",
                    "maker": "Tarnholt",
                    "covers_ft": "25",
                    "lots": "R-220 x 2",
                }
            },
            finds="Ridgeback caps, by Tarnholt, is the hip and ridge; the Full Assembly level asks for "
            "Kestrelmoor's own (clause 3.9 a).",
        ),
        Example(
            {
                "job.deliveries.0.lines.8": {
                    "product": "Another boot",
                    "quantity": "2",
                    "role": "pipe boot",
                    "maker": "Tarnholt",
                }
            },
            finds=None,
        ),
    ],
)
def accessory_of_another_maker(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for result in assessment.asked:
        for condition in result.level.conditions:
            for leaf in condition.leaves:
                if leaf.met is not Met.NOT_MET or not leaf.condition.same_maker:
                    continue
                for material in result.level.spoiled_by:
                    if material.role in leaf.condition.same_maker and material.role:
                        yield Fault(
                            case.where(material.path),
                            {
                                "product": material.name,
                                "maker": material.maker or "",
                                "role": material.role.value,
                                "level": result.level.level.level,
                                "wanted": result.asked.sheet.maker,
                                "clause": leaf.condition.clause,
                            },
                        )


@rule(
    id="ACC-002",
    says="The {level} level counts the maker's own accessories (clause {clause}): {because}.",
    why="Makers count kinds of their own accessories; one kind short is one level lower.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.OFFICE,
    remedy="Look for a ticket that is not yet on record; else ask for a level this set of products earns.",
    holds={Holds.REGISTRATION},
    cannot_tell="whether the {level} level's accessories are there (clause {clause})",
    examples=[
        Example(
            {
                "terms.kestrelmoor-2026.levels.2.conditions.1": {
                    "clause": "3.10",
                    "says": "Five kinds of accessories.",
                    "counted_accessories": {
                        "at_least": "5",
                        "of": "starter, hip and ridge, underlayment, ice barrier, drip edge",
                    },
                }
            },
            finds="The Full Assembly level counts the maker's own accessories (clause 3.10): 4 of "
            "Kestrelmoor’s own: starter, hip and ridge, underlayment and ice barrier; 5 needed.",
        ),
        Example(
            {
                "terms.kestrelmoor-2026.levels.2.conditions.1": {
                    "clause": "3.10",
                    "says": "Four kinds of accessories.",
                    "counted_accessories": {
                        "at_least": "4",
                        "of": "starter, hip and ridge, underlayment, ice barrier, drip edge",
                    },
                }
            },
            finds=None,
        ),
    ],
)
def too_few_accessories(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for result in assessment.asked:
        for condition in result.level.conditions:
            for leaf in condition.leaves:
                if leaf.condition.test != "counted_accessories" or leaf.met is Met.MET:
                    continue
                unknown = leaf.met is Met.CANNOT_TELL
                yield Fault(
                    case.where("deliveries"),
                    {
                        "level": result.level.level.level,
                        "clause": leaf.condition.clause,
                        "because": leaf.because,
                    },
                    verdict=Verdict.CANNOT_TELL if unknown else Verdict.WRONG,
                    needs=leaf.needs,
                    lacks=("deliveries",) if unknown else (),
                )
