"""Lots: on record for each product that carries them, and adding up to what came."""

from collections.abc import Iterator
from dataclasses import replace

from dossier.assess.supply import LotCheck, lot_check
from dossier.case.case import Case, Material
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import REGISTRATION, conditions_asked
from dossier.said import Number
from dossier.words import Role, Source


def _roles_whose_lots_terms_ask(case: Case) -> frozenset[Role]:
    return frozenset(role for condition in conditions_asked(case) for role in condition.lots_of)


def _lots(case: Case) -> Iterator[tuple[Material, LotCheck]]:
    for material in case.materials:
        check = lot_check(material)
        if check is not None:
            yield material, check


def _of_lots(case: Case, material: Material, check: LotCheck) -> Fault:
    return Fault(
        case.where(material.path),
        {
            "product": material.name,
            "lots": Number(check.known),
            "delivered": Number(material.line.quantity or 0),
        },
    )


@rule(
    id="MAT-001",
    says="{product} has no lot on record.",
    why="A maker's recall, and a claim for faulty material, are traced by the lot; it is printed on every "
    "wrapper and gone with the first skip.",
    source="Trade magazine estimating guide (colour varies between lots; record the lot at delivery); "
    "the maker's terms where a clause asks for lots",
    owed_by=Party.CREW,
    remedy="Look for a photo of a wrapper, ask the supplier for the lots on the ticket, and add them.",
    asks="Send us the lot marks: from the ticket, or from a photo of a wrapper.",
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.deliveries.0.lines.2": "2 bundles Crownline hip and ridge"},
            finds="Crownline hip and ridge has no lot on record.",
        ),
        Example({"job.deliveries.0.lines.3": "2 rolls Dryfell underlayment"}, finds=None),
        # A clause that asks for lots asks also for those of a product that no catalogue knows.
        Example(
            {
                "job.deliveries.0.lines.2": {
                    "product": "Another cap",
                    "quantity": "2",
                    "role": "hip and ridge",
                    "maker": "Kestrelmoor",
                    "covers_ft": "25",
                }
            },
            finds="Another cap has no lot on record.",
        ),
    ],
    rests_on={
        "job.deliveries.*.source": "A delivery without a source came by ticket, and its lots are asked for.",
        "job.deliveries.*.lines.*.lots": ASKED,
        "job.deliveries.*.lines.*.carries_lot": "Blank where no catalogue knows the product, its lot is asked for "
        "where a clause asks for lots of what it is.",
    },
)
def lot_missing(case: Case) -> Iterator[Fault]:
    asked = _roles_whose_lots_terms_ask(case)
    for material in case.materials:
        wanted = material.carries_lot or (material.carries_lot is None and material.role in asked)
        if wanted and not material.line.lots and not material.went_back:
            if case.reason_not(f"{material.path}.lots"):
                continue
            if material.delivery.source is Source.OWN_STOCK and material.role not in asked:
                # Part of a bundle off the truck has lost its wrapper.
                continue
            held = REGISTRATION if material.role in asked else frozenset()
            yield Fault(
                case.where(material.path),
                {"product": material.name},
                verdict=Verdict.MISSING,
                holds=held,
                owed_by=Party.SUPPLIER if material.delivery.ticket else Party.CREW,
                lacks=(f"{material.path}.lots",),
            )


@rule(
    id="MAT-002",
    says="Lots of {product} add up to {lots}; {delivered} were delivered.",
    why="Units whose lot nobody wrote down cannot be found in a recall.",
    source="Trade magazine estimating guide (lots at delivery); the sum itself is arithmetic",
    owed_by=Party.OFFICE,
    remedy="Compare the record with the ticket and the photos of wrappers.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345 x 30; 0012346 x 10"
            },
            finds="Lots of Fenwright 40 add up to 40; 42 were delivered.",
        ),
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345; 0012346"
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.deliveries.*.lines.*.lots": "A lot that is missing has an item of its own.",
        "job.deliveries.*.lines.*.lots.*.quantity": "Counting a lot is optional, so an uncounted one may carry "
        "the rest.",
        "job.deliveries.*.lines.*.quantity": "How much came has a rule of its own.",
    },
)
def lots_do_not_add_up(case: Case) -> Iterator[Fault]:
    for material, check in _lots(case):
        if check.without_lot:
            yield _of_lots(case, material, check)


@rule(
    id="MAT-013",
    says="Lots of {product} on record count {lots}; only {delivered} were delivered.",
    why="A lot list that holds more than came is no list of this roof: one of the two was counted wrongly, or a "
    "lot belongs to another house.",
    source="Arithmetic over the line and its lots",
    owed_by=Party.OFFICE,
    remedy="Compare the record with the ticket and the photos of wrappers.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345 x 31; 0012346 x 12"
            },
            finds="Lots of Fenwright 40 on record count 43; only 42 were delivered.",
        ),
        # A lot that nobody counted hides no other that counts too many.
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345 x 60; 0012346"
            },
            finds="Lots of Fenwright 40 on record count 60; only 42 were delivered.",
        ),
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345 x 42; 0012346"
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.deliveries.*.lines.*.quantity": "How much came has a rule of its own.",
        "job.deliveries.*.lines.*.lots.*.quantity": "Counting a lot is optional; only what is counted can be too "
        "much.",
    },
)
def more_in_lots_than_came(case: Case) -> Iterator[Fault]:
    asked = _roles_whose_lots_terms_ask(case)
    for material, check in _lots(case):
        if check.beyond_count:
            held = REGISTRATION if material.role in asked else frozenset()
            yield replace(_of_lots(case, material, check), holds=held)
