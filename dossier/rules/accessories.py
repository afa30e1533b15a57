"""Accessory line: which single product keeps this roof from the level that was asked for."""

from collections.abc import Iterator

from dossier.assess.results import AskedResult, Assessment, ConditionResult, Met
from dossier.case.case import Case, Material
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict
from dossier.rules.declare import ASKED, Example, Fault, rule

_CUT_CAPS = {
    "product": "Fenwright 40",
    "quantity": "2",
    "unit": "bundles",
    "role": "hip and ridge",
    "covers_ft": "25",
    "lots": "0012345 x 2",
}

_ON_THE_LINE = {
    "job.deliveries.*.lines.*.maker": "A product that no catalogue knows and that names no maker has an item of "
    "its "
    "own.",
    "job.deliveries.*.lines.*.role": "A product that no catalogue knows and that names no role has an item of its "
    "own.",
}


@rule(
    id="ACC-001",
    says="{product}, by {maker}, is the {role}; the {level} level asks for {wanted}'s own "
    "(clause {clause}).",
    why="One product of another maker in the accessory line can cost the whole level.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.OFFICE,
    remedy="Correct the line if the ticket shows the maker's own; else ask for a level that this set of "
    "products earns, or ask the maker in writing before registering.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
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
        # What all went back is on no roof.
        Example(
            {
                "job.deliveries.0.lines.10": {
                    "product": "Ridgeback caps",
                    "quantity": "2",
                    "returned": "2",
                    "unit": "bundles",
                    "lots": "R-220 x 2",
                }
            },
            finds=None,
        ),
        # A group of which enough is met asks for none of its other members.
        Example(
            {
                "terms.kestrelmoor-2026.levels.2.conditions": [
                    {
                        "any_of": {
                            "at_least": "1",
                            "of": [{"same_maker": "hip and ridge"}, {"full_tear_off": "yes"}],
                        }
                    }
                ],
                "job.deliveries.0.lines.2": {
                    "product": "Ridgeback caps",
                    "quantity": "2",
                    "unit": "bundles",
                    "lots": "R-220 x 2",
                },
            },
            finds=None,
        ),
    ],
    rests_on=_ON_THE_LINE,
)
def accessory_of_another_maker(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result, leaf, material in _spoilers(assessment):
        if material.maker != result.asked.sheet.maker:
            yield _spoiled(case, result, leaf, material)


def _spoilers(
    assessment: Assessment,
) -> Iterator[tuple[AskedResult, ConditionResult, Material]]:
    for result in assessment.asked:
        for leaf in result.level.open_leaves:
            if leaf.met is not Met.NOT_MET:
                continue
            for material in result.level.spoiled_by:
                if material.role in leaf.condition.same_maker:
                    yield result, leaf, material


def _spoiled(case: Case, result: AskedResult, leaf: ConditionResult, material: Material) -> Fault:
    return Fault(
        case.where(material.path),
        {
            "product": material.name,
            "maker": material.maker or "",
            "role": material.role if material.role else "",
            "level": result.level.level.level,
            "wanted": result.asked.sheet.maker,
            "clause": leaf.condition.clause,
        },
    )


@rule(
    id="ACC-003",
    says="The {role} was cut from {product}, a field shingle; the {level} level asks for {wanted}'s own {role} "
    "(clause {clause}), and its sheet does not let it be cut.",
    why="Caps and starter that a maker sells as such are what its clause means; a cut shingle is its product and "
    "not that one.",
    source="The maker's terms sheet, at the clause named, and its cut_from_shingles",
    owed_by=Party.OFFICE,
    remedy="Correct the line if the ticket shows the maker's own; write cut_from_shingles into the sheet if the "
    "document allows it; else ask the maker in writing before registering.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.deliveries.0.lines.2": _CUT_CAPS},
            finds="The hip and ridge was cut from Fenwright 40, a field shingle; the Full Assembly level asks for "
            "Kestrelmoor's own hip and ridge (clause 3.9 a), and its sheet does not let it be cut.",
        ),
        Example(
            {
                "job.deliveries.0.lines.2": _CUT_CAPS,
                "terms.kestrelmoor-2026.cut_from_shingles": "hip and ridge",
            },
            finds=None,
        ),
    ],
    rests_on={
        "terms.cut_from_shingles": "A document that does not say that caps may be cut does not let them be.",
        "job.deliveries.*.lines.*.role": "Without a role a product of the catalogue is what the catalogue says.",
    },
)
def cut_instead_of_the_maker_s_own(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result, leaf, material in _spoilers(assessment):
        if material.maker == result.asked.sheet.maker:
            yield _spoiled(case, result, leaf, material)


@rule(
    id="ACC-002",
    says="The {level} level counts the maker's own accessories (clause {clause}): {because}.",
    why="Makers count kinds of their own accessories; one kind short is one level lower.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.OFFICE,
    remedy="Look for a ticket that is not yet on record; else ask for a level this set of products earns.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
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
    rests_on={"job.deliveries": ASKED, **_ON_THE_LINE},
)
def too_few_accessories(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        for leaf in result.level.open_leaves:
            if leaf.condition.test != "counted_accessories":
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
                needs=leaf.needs or "",
                lacks=("deliveries",) if unknown else (),
            )
