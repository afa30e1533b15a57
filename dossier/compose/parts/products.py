"""Every product with its lots against what the measured roof needs.

In: a case and its assessment. Out: rows of ready-to-print strings. Must not judge a maker, nor compute a
need: the take-off stands in the assessment.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from dossier.assess.results import Assessment, RoleResult
from dossier.case.case import Case, Material
from dossier.compose.parts import layers
from dossier.compose.parts.shared import capital
from dossier.values import write_feet, write_number


@dataclass(frozen=True)
class ProductRow:
    """One material line against what the roof needs. covers: by one unit, in the unit of the need."""

    role: str
    product: str
    made_by: str
    quantity: str
    lots: str
    covers: str
    needs: str
    verdict: str


def product_rows(case: Case, assessment: Assessment) -> tuple[ProductRow, ...]:
    """Return every material line from the deck up, and every role that the roof needs and that has none."""
    rows: list[ProductRow] = []
    for role, _ in layers.LAYERS:
        need = assessment.role(role)
        materials = case.materials_of(role)
        for number, material in enumerate(materials):
            rows.append(_product(material, capital(role.value), need, number))
        if not materials and need is not None:
            needs, verdict = _needed(need)
            missing = "no product on record"
            rows.append(ProductRow(capital(role.value), missing, "", "", "", "", needs, verdict))
    rows += [
        _product(material, layers.unnamed_use(case, material)[0], None, 0)
        for material in case.materials
        if material.role is None
    ]
    return tuple(rows)


def _product(material: Material, role: str, need: RoleResult | None, number: int) -> ProductRow:
    colour = f", {material.line.colour}" if material.line.colour else ""
    needs, verdict = _needed(need)
    if number and need is not None:
        needs = verdict = "with the line above"
    source = " (own stock)" if material.is_stock else ""
    return ProductRow(
        role=role,
        product=material.name,
        made_by=f"{layers.maker_of(material)}{colour}",
        quantity=f"{layers.quantity_of(material)}{source}",
        lots=layers.lots_of(material) or "carries none",
        covers=_covers(material, need),
        needs=needs,
        verdict=verdict,
    )


def _covers(material: Material, need: RoleResult | None) -> str:
    """Return what one unit covers, in the unit of the need where there is one."""
    sqft = f"{write_number(material.covers_sqft, 2)} sq ft" if material.covers_sqft else ""
    ft = write_feet(material.covers_ft) if material.covers_ft else ""
    if need is None:
        return sqft or ft or "not counted"
    if need.need.unit == "pieces":
        return "1 piece"
    if need.need.unit == "nails":
        nails = material.product.pieces_per_unit if material.product else None
        return f"{nails:,} nails" if nails else "not on record"
    return {"ft": ft, "sq ft": sqft}.get(need.need.unit, sqft or ft) or "not on record"


def _needed(need: RoleResult | None) -> tuple[str, str]:
    if need is None:
        return "not counted", "not counted"
    return need_words(need), need.take_off.verdict


def need_words(need: RoleResult) -> str:
    """Return what the measured roof takes with no waste; things that come whole are rounded up."""
    least = need.need.at_zero_waste
    if need.need.unit in ("pieces", "nails"):
        least = Fraction(ceil(least))
    return f"{write_number(least)} {need.need.unit}"
