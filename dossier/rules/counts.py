"""What came against what the record says there is place for: vents, boots, step flashing, sheets.

In: material lines and the roof. Out: faults, all of them doubts. Must not know the take-off: what the
measured roof needs by area or length is for `materials.py`.
"""

from collections.abc import Iterator
from fractions import Fraction

from dossier.case.case import Case, Material
from dossier.punchlist import Manner, Party, Sends, Weight
from dossier.rules.declare import Example, Fault, rule
from dossier.said import Count, Feet, Number, Said, Value, say
from dossier.values import spelt, units_of
from dossier.words import Redecked, Role

_PIECES_A_FOOT_OF_WALL = Fraction(6)
"""Shingles lie 5 in to the weather or more, so that a foot of wall takes two or three pieces."""

_BOX_OF_STEP_FLASHING = 100
_BOOTS_A_PIPE = 4
_SHEETS_A_SHEET, _SHEETS_OVER = 2, 8
_RUNS_OF_VENT = 2
"""Far beyond what is bought to be on the safe side; common practice, no published source."""


_WHOLE = frozenset({"piece", "pieces", "sheet", "sheets"})
"""Units that nobody sells a part of."""


@rule(
    id="MAT-029",
    says="{kept} of {product} came and was kept, and the record has {place}.",
    why="One of the two was typed wrongly, or the goods lie on another roof.",
    source="Common practice, no published source: more or less than anybody buys for that place",
    owed_by=Party.OFFICE,
    remedy="Compare with the ticket, write what went back as returned, or correct the roof's figure.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.building.attics": "COD-005 asks for the vents.",
        "job.deliveries.*.lines.*.quantity": "MAT-017 asks for it.",
        "job.deliveries.*.lines.*.covers_ft": "Without what a piece covers, its count says no length.",
        "job.deliveries.*.lines.*.role": "MAT-003 asks for it where no catalogue knows the product.",
        "job.repairs": "A deck that nobody repaired on record used no sheets that can be counted.",
        "job.slopes": "A place that nobody counted is not compared.",
    },
    examples=[
        Example(
            {"job.deliveries.0.lines.7": "1 pieces Highdraft ridge vent"},
            finds="1 of Highdraft ridge vent came and was kept, and the record has 36 ft of it in the attics.",
        ),
        Example(
            {"job.deliveries.0.lines.8": "20 pieces Eavewright pipe boot"},
            finds="20 of Eavewright pipe boot came and was kept, and the record has 2 pipes through the roof.",
        ),
        Example(
            {"job.deliveries.1.lines": "20 sheets OSB panel 7/16 in"},
            finds="20 of OSB panel 7/16 in came and was kept, and the record has 2 sheets of deck repair.",
        ),
        Example(
            {
                "job.deliveries.0.lines.10": "440 pieces Eavewright step flashing",
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, walls 20 ft",
            },
            finds="440 of Eavewright step flashing came and was kept, and the record has 20 ft of wall.",
        ),
        Example({"job.deliveries.0.lines.8": "8 pieces Eavewright pipe boot"}, finds=None),
        Example({"job.deliveries.1.lines": "12 sheets OSB panel 7/16 in"}, finds=None),
        Example(
            {
                "job.deliveries.1.lines": "30 sheets OSB panel 7/16 in",
                "job.decks": [{"kind": "plywood", "thickness_in": "1/2", "redecked": "part"}],
            },
            finds=None,
        ),
        Example({"job.deliveries.0.lines.7": "1 boxes Highdraft ridge vent"}, finds=None),
        Example({"job.deliveries.0.lines.7": "9 pieces Highdraft ridge vent"}, finds=None),
    ],
)
def count_that_its_place_belies(case: Case) -> Iterator[Fault]:
    lines = [one for one in case.materials if one.quantity and not one.is_stock]
    by_name: dict[str, list[Material]] = {}
    for one in lines:
        by_name.setdefault(spelt(one.name), []).append(one)
    stock = {one.role for one in case.materials if one.is_stock}
    for name, same in by_name.items():
        first = same[0]
        kept = sum((one.quantity or Fraction(0) for one in same), Fraction(0))
        place = None if first.role in stock else _place(case, first, name, kept)
        if place is not None:
            values: dict[str, Value] = {"kept": Number(kept), "product": first.name, "place": place}
            yield Fault(case.where(first.path), values)


def one_by_one(material: Material) -> bool:
    """Return whether a line is counted in what its product is counted in; a box holds nobody knows how many."""
    unit, product = material.line.unit, material.product
    if unit is None or unit.lower() in _WHOLE:
        return True
    return product is not None and units_of(unit.lower()) == units_of(product.unit.lower())


def _place(case: Case, material: Material, name: str, kept: Fraction) -> Said | None:
    """Return what the record has for a product to lie at, where the count does not fit it; else None."""
    slopes = case.job.slopes
    if not one_by_one(material):
        return None
    if material.role is Role.PIPE_BOOT:
        pipes = sum(slope.penetrations or 0 for slope in slopes)
        many = pipes > 0 and kept > _BOOTS_A_PIPE * pipes
        return say("{pipes} through the roof", pipes=Count(pipes, "pipe")) if many else None
    if material.role is Role.DECK_PANEL:
        used = sum((repair.new_sheets for repair in case.job.repairs), Fraction(0))
        over = used > 0 and kept > _SHEETS_A_SHEET * used + _SHEETS_OVER
        # A deck that was replaced whole or in part is counted by its area and not by repairs.
        parts = (Redecked.WHOLE, Redecked.PART, Redecked.OVERLAID)
        redecked = any(deck.redecked in parts for deck in case.job.decks)
        if not over or redecked:
            return None
        return say("{used} of deck repair", used=Number(used, "sheets"))
    if material.role is Role.FLASHING and "step" in name:
        walls = sum((slope.step_flashing_ft or Fraction(0) for slope in slopes), Fraction(0))
        chimneys = any(slope.chimneys or slope.skylights for slope in slopes)
        most = _PIECES_A_FOOT_OF_WALL * walls + _BOX_OF_STEP_FLASHING
        if not walls or chimneys or kept <= most:
            return None
        return say("{walls} of wall", walls=Feet(walls))
    if material.role is Role.EXHAUST_VENT and material.covers_ft:
        attics = case.job.building.attics if case.job.building else ()
        lengths = [
            vent.length_ft
            for attic in attics
            for vent in attic.exhaust
            if spelt(vent.product) == name and vent.length_ft
        ]
        needed, came = sum(lengths, Fraction(0)), kept * material.covers_ft
        # A last piece is cut, and a run may begin with what an earlier one left.
        short = came + material.covers_ft < needed
        if needed and (short or came > _RUNS_OF_VENT * needed + material.covers_ft):
            return say("{needed} of it in the attics", needed=Feet(needed))
    return None


@rule(
    id="MAT-030",
    says="{quantity} {unit} of {product} stand on record as delivered.",
    why="Nobody delivers nought, or part of a piece: the figure was typed wrongly, and what came is not known.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Read the quantity off the ticket and correct the line; delete the line where nothing came.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.deliveries.*.lines.*.quantity": "MAT-007 asks for it, or MAT-017 where the roof needs no count.",
        "job.deliveries.*.lines.*.unit": "Without its unit a part may be one of a bundle.",
    },
    examples=[
        Example(
            {"job.deliveries.0.lines.8": "0 pieces Eavewright pipe boot"},
            finds="0 pieces of Eavewright pipe boot stand on record as delivered.",
        ),
        Example(
            {"job.deliveries.0.lines.8": "0.5 pieces Eavewright pipe boot"},
            finds="0.5 pieces of Eavewright pipe boot stand on record as delivered.",
        ),
        Example(
            {
                "job.deliveries.0.lines.0": "41.5 bundles Fenwright 40, colour Slate Grey, lots 0012345 x 41.5"
            },
            finds=None,
        ),
    ],
)
def no_quantity_at_all(case: Case) -> Iterator[Fault]:
    for material in case.materials:
        quantity, unit = material.line.quantity, material.line.unit or ""
        if quantity is None or material.is_stock:
            continue
        if quantity == 0 or (unit.lower() in _WHOLE and quantity.denominator != 1):
            yield Fault(
                case.where(f"{material.path}.quantity"),
                {
                    "quantity": Number(quantity),
                    "unit": unit or "units",
                    "product": material.name,
                },
            )
