"""What asks for a fact that somebody said does not apply: locality, deliveries, another field of the record."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from dossier.assess.old_roof import OldRoof
from dossier.assess.results import Assessment
from dossier.case.case import Case, Material
from dossier.record.groups import groups_in
from dossier.record.roof import Deck
from dossier.rules.old_paint import ASBESTOS_YEAR, LEAD_SQFT, LEAD_YEAR, MOST_DWELLINGS_EXEMPT
from dossier.said import File, Listed, Money, Number, Product, Said, Slopes, say
from dossier.words import (
    AtticKind,
    DeckKind,
    OldCovering,
    OwnerKind,
    PermitClosing,
    Phase,
    Redecked,
    Role,
    Scope,
    Source,
)


@dataclass(frozen=True)
class Excused:
    """One field that somebody said does not apply. group: the group of the record that it is a field of."""

    path: str
    reason: str
    group: Any
    case: Case
    assessment: Assessment


Asker = Callable[[Excused], Said | None]
"""Says what asks for the fact, as the end of a sentence; None where nothing does."""


def excused(case: Case, assessment: Assessment) -> Iterator[Excused]:
    """Yield every field of the job that was said not to apply, with its reason."""

    for path, group in groups_in(case.job):
        for name in type(group).model_fields:
            at = f"{path}.{name}" if path else name
            reason = case.reason_not(at)
            if reason is not None:
                yield Excused(at, reason, group, case, assessment)


def _always(because: str) -> Asker:
    return lambda _: say(because)


def _products(materials: Iterable[Material]) -> Listed:
    return Listed(tuple(dict.fromkeys(Product(one.name) for one in materials)))


# The permit.


def _permit(one: Excused) -> Said | None:
    place = one.case.locality
    asked = place.permit_needed and place.closing is not PermitClosing.NO_PERMIT_NEEDED
    if not asked or one.case.reason_not("permit"):
        return None
    return say("{place} asks for a permit", place=place.name)


def _inspections(one: Excused) -> Said | None:
    place = one.case.locality
    if not _permit(one) or not place.inspections:
        return None
    return say(
        "{place} asks for these {which:inspection|inspections}: {which}",
        place=place.name,
        which=Listed(place.inspections, ", "),
    )


def _result(one: Excused) -> Said | None:
    result = one.group.result
    return say("that inspection is on record as “{result}”", result=result) if result else None


# The money.


def _contract(one: Excused) -> Said | None:
    money = one.case.job.money
    amount = money.contract if money else None
    return say("a contract of {amount} is on record", amount=Money(amount)) if amount else None


def _invoice(one: Excused) -> Said | None:
    money = one.case.job.money
    final = money.final_invoice() if money else None
    return say("the final invoice is on record") if final else None


def _waivers(one: Excused) -> Said | None:
    case = one.case
    owed = [
        delivery.supplier or case.company.supplier
        for delivery in case.job.deliveries
        if delivery.source is Source.TICKET
    ]
    owed += case.sub_crews
    names = tuple(dict.fromkeys(name for name in owed if name))
    return say("this job had goods or work from {names}", names=Listed(names)) if names else None


def _repair_price(one: Excused) -> Said | None:
    price = one.group.price
    return say("that repair is charged at {price}", price=Money(price)) if price else None


# The building.


def _attics(one: Excused) -> Said | None:
    return _came(one, Role.INTAKE_VENT, Role.EXHAUST_VENT)


def _came(one: Excused, *roles: Role) -> Said | None:
    came = [material for role in roles for material in one.case.materials_of(role)]
    return say("{products} came for this roof", products=_products(came)) if came else None


def _soffits(one: Excused) -> Said | None:
    attic = one.group
    named = [vent.product for vent in attic.intake if "soffit" in vent.product.lower()]
    if attic.kind is AtticKind.UNVENTED or not named:
        return None
    vents = Listed(tuple(map(Product, named)))
    return say("attic {space} has {vents} on record as its intake", space=attic.space, vents=vents)


def _deck_left_bare(one: Excused) -> Said | None:
    deck: Deck = one.group
    left_on = any(
        slope.old_membrane_left and (not deck.slopes or slope.label in deck.slopes)
        for slope in one.case.job.slopes
    )
    full = one.case.job.job.scope is Scope.FULL_TEAR_OFF
    bared = full and not left_on and not deck.renewed
    return say("the old roof came off, so that this deck was seen") if bared else None


def _new_deck(one: Excused) -> Said | None:
    deck: Deck = one.group
    if not deck.renewed or deck.redecked is None:
        return None
    return say(
        "the record says “{much}” for how much of that deck was replaced", much=deck.redecked
    )


def _spans(one: Excused) -> Said | None:
    place = one.case.locality
    if not place.deck_spans_hold_permit:
        return None
    return say("{place} lets deck spans hold the permit", place=place.name)


def _rating(one: Excused) -> Said | None:
    deck: Deck = one.group
    kind = deck.kind_now
    new = one.path.endswith("new_span_rating")
    if kind not in (DeckKind.PLYWOOD, DeckKind.OSB) or new is not deck.renewed:
        return None
    return _spans(one)


def _gap(one: Excused) -> Said | None:
    deck: Deck = one.group
    boards = deck.kind is DeckKind.BOARD and not deck.renewed
    return say("the shingles lie on boards") if boards else None


def _repairs(one: Excused) -> Said | None:
    case = one.case
    panels = case.materials_of(Role.DECK_PANEL)
    new = any(deck.renewed or deck.redecked is Redecked.PART for deck in case.job.decks)
    if panels and not new:
        text = "{panels} came for this deck and did not go back"
        return say(text, panels=_products(panels))
    if case.work_on(Phase.DECK_REPAIR):
        return say("the work log has a day of deck repair")
    return None


def _repair_done(one: Excused) -> Said | None:
    repair = one.group
    if repair.sheets is not None:
        return say("{sheets} are on record for that repair", sheets=Number(repair.sheets, "sheets"))
    if repair.board_feet is not None:
        boards = Number(repair.board_feet, "board feet")
        return say("{boards} are on record for that repair", boards=boards)
    return None


# What was laid.


def _barrier(one: Excused) -> Said | None:
    """Return where ice barrier is asked for and neither a reach nor courses say how far it lies."""
    parts = one.path.split(".")
    own = f"slopes.{parts[1]}" if parts[0] == "slopes" else None
    asked = [
        result.label
        for result, slope in zip(one.assessment.slopes, one.case.job.slopes, strict=True)
        if (own is None or result.path == own)
        and result.reach is not None
        and result.reach.required_in
        and result.barrier.reach_in is None
        and result.barrier.courses is None
        and not slope.ice_barrier_whole
    ]
    if not asked or one.case.is_recover:
        return None
    return say(
        "{place} asks for ice barrier at the eaves of {slopes}",
        place=one.case.locality.name,
        slopes=Slopes(tuple(asked)),
    )


def _underlayment(one: Excused) -> Said | None:
    return _came(one, Role.UNDERLAYMENT)


def _drip_edge(one: Excused) -> Said | None:
    totals = one.assessment.totals
    edges = {"eaves": totals.eave_ft, "rakes": totals.rake_ft}
    here = tuple(say(name) for name, feet in edges.items() if feet)
    if not here:
        return None
    return say("this roof has {edges}, and the code asks for metal there", edges=Listed(here))


def _flashing(one: Excused) -> Said | None:
    things = (
        ("step_flashing_ft", "a side wall"),
        ("eave_meets_wall", "an eave that meets a wall"),
        ("chimneys", "a chimney"),
        ("skylights", "a skylight"),
        ("penetrations", "a pipe"),
    )
    slopes = one.case.job.slopes
    there = tuple(say(what) for field, what in things if any(getattr(s, field) for s in slopes))
    return say("the slopes on record have {there}", there=Listed(there)) if there else None


def _kick_out(one: Excused) -> Said | None:
    slopes = one.case.job.slopes
    if one.path.startswith("slopes."):
        slopes = (slopes[int(one.path.split(".")[1])],)
    met = [
        slope.label
        for slope in slopes
        if (slope.eave_meets_wall and slope.kick_out is None)
        or any(
            eave.meets_wall and eave.kick_out is None and slope.kick_out is None
            for eave in slope.eaves
        )
    ]
    return say("an eave of {slopes} meets a wall", slopes=Slopes(tuple(met))) if met else None


def _air(one: Excused) -> Said | None:
    for material in one.case.materials:
        known = material.product is not None and material.product.lowest_air_f is not None
        if known and not material.went_back:
            name = Product(material.name)
            return say("the wrapper of {name} names a least temperature", name=name)
    return None


# The deliveries.


def _ticket(one: Excused) -> Said | None:
    delivery = one.group
    if delivery.source is not Source.TICKET or delivery.file is None:
        return None
    return say("{file} is named as their ticket", file=File(delivery.file))


def _lots(one: Excused) -> Said | None:
    for material in one.case.materials:
        if one.path == f"{material.path}.lots":
            carried = material.carries_lot and not material.went_back and not material.is_stock
            name = Product(material.name)
            return say("every package of {name} carries one", name=name) if carried else None
    return None


def _unit(one: Excused) -> Said | None:
    line = one.group
    if line.quantity is None:
        return None
    return say(
        "{many} of {product} are on record",
        many=Number(line.quantity),
        product=Product(line.product),
    )


# The registration.


def _accepted(one: Excused) -> Said | None:
    warranty = one.group
    if warranty.accepted_on:
        return say("the maker's acceptance is on record")
    number = warranty.confirmation
    return say("confirmation {number} is on record", number=number) if number else None


def _received(one: Excused) -> Said | None:
    if one.group.received_on:
        return say("the record says when the maker had it")
    return _accepted(one)


# The tear-off.


def _full_tear_off(one: Excused) -> Said | None:
    full = one.case.job.job.scope is Scope.FULL_TEAR_OFF
    return say("the job is a full tear-off on record") if full else None


def _old_roof(one: Excused) -> OldRoof:
    return one.assessment.details.old_roof


def _stays(one: Excused) -> Said | None:
    return say("the old roof stayed under the new one") if _old_roof(one).stays else None


# People's safety.


def _old_house(one: Excused) -> Said | None:
    building = one.case.job.building
    dust = building.lead_dust if building else None
    if building is None or (dust is not None and dust.tested_free_of_lead):
        return None
    # A company's building may be no dwelling, and then the reason is as good as any.
    if any(owner.kind is OwnerKind.COMPANY for owner in one.case.job.owners):
        return None
    year = building.year_built
    return None if year is None or year >= LEAD_YEAR else say("the house is of {year}", year=year)


def _disturbed(one: Excused) -> Said | None:
    building = one.case.job.building
    dust = building.lead_dust if building else None
    if building is None or dust is None or dust.tested_free_of_lead:
        return None
    year, area = building.year_built, dust.painted_sqft
    if year is None or year >= LEAD_YEAR or area is None or area <= LEAD_SQFT:
        return None
    return say(
        "{area} of painted parts of a house of {year} were disturbed",
        area=Number(area, "sq ft"),
        year=year,
    )


def _asbestos(one: Excused) -> Said | None:
    head, building = one.case.job.job, one.case.job.building
    if head.scope is Scope.RECOVER:
        return None
    if _old_roof(one).kind is OldCovering.ASBESTOS_CEMENT:
        return say("asbestos-cement came off")
    dwellings = building.dwellings if building else 1
    if dwellings <= MOST_DWELLINGS_EXEMPT:
        return None
    return say("the old roof of a house with {many} dwellings came off", many=dwellings)


def _old_kind(one: Excused) -> Said | None:
    building = one.case.job.building
    year = building.year_built if building else None
    if one.case.job.job.scope is Scope.RECOVER or _old_roof(one).kind is not None:
        return None
    if year is None or year > ASBESTOS_YEAR:
        return None
    return say("the old roof of a house of {year} came off", year=year)


SAFETY: Mapping[str, tuple[str, Asker]] = MappingProxyType(
    {
        "job.building.year_built": (
            "the year the house was built",
            _always("every house has one; what old paint may hold goes by it"),
        ),
        "job.building.lead_dust": ("the renovation record", _old_house),
        "job.building.lead_dust.painted_sqft": (
            "the painted area that was disturbed",
            lambda one: _old_house(
                Excused(one.path, one.reason, one.case.job.building, one.case, one.assessment)
            ),
        ),
        "job.building.lead_dust.renovator": ("the certified renovator", _disturbed),
        "job.building.lead_dust.pamphlet": ("the receipt of the lead pamphlet", _disturbed),
        "job.building.lead_dust.pamphlet.by": ("who was given the lead pamphlet", _disturbed),
        "job.building.lead_dust.pamphlet.on": ("the day of the lead pamphlet", _disturbed),
        "job.building.lead_dust.owner_copy_on": ("the owner's copy of that record", _disturbed),
        "job.job.asbestos_survey": ("the survey for asbestos", _asbestos),
        "job.job.old_covering_kind": ("the kind of the old covering", _old_kind),
    }
)
"""What people's safety rests on: address → the fact in words, and what asks for it. Flues and ducts are not
among them, since SAF-001 and SAF-003 take no reason where the record counts one."""

OTHER: Mapping[str, tuple[str, Asker]] = MappingProxyType(
    {
        "job.job.contract_on": ("the day of the contract", _contract),
        "job.job.layers_found": ("the number of layers found", _full_tear_off),
        "job.job.layers_removed": ("the number of layers taken off", _full_tear_off),
        "job.job.old_covering_state": ("the state of the old covering", _stays),
        "job.building.attics": ("the attic", _attics),
        "job.building.attics.*.soffits_seen_clear": (
            "a look at the soffit openings",
            _soffits,
        ),
        "job.slopes.*.ice_barrier_reach_in": ("the reach of the ice barrier", _barrier),
        "job.slopes.*.ice_barrier_courses": ("the courses of ice barrier", _barrier),
        "job.slopes.*.kick_out": ("a kick-out", _kick_out),
        "job.slopes.*.eaves.*.kick_out": ("a kick-out", _kick_out),
        "job.decks.*.kind": ("the kind of deck", _deck_left_bare),
        "job.decks.*.thickness_in": ("the deck's thickness", _deck_left_bare),
        "job.decks.*.rafter_spacing_in": ("the rafter spacing", _spans),
        "job.decks.*.span_rating": ("the span rating of the panels", _rating),
        "job.decks.*.new_span_rating": ("the span rating of the new panels", _rating),
        "job.decks.*.new_kind": ("the kind of the new deck", _new_deck),
        "job.decks.*.new_thickness_in": ("the thickness of the new deck", _new_deck),
        "job.decks.*.largest_gap_in": ("the largest gap between boards", _gap),
        "job.repairs": ("the deck repairs", _repairs),
        "job.repairs.*.kind": ("what was done at a deck repair", _repair_done),
        "job.repairs.*.approved": ("the owner's word on a deck repair", _repair_price),
        "job.deliveries.*.on": ("the day of a delivery", _ticket),
        "job.deliveries.*.ticket": ("the number of a ticket", _ticket),
        "job.deliveries.*.lines.*.lots": ("the lots", _lots),
        "job.deliveries.*.lines.*.unit": ("what it is counted in", _unit),
        "job.installation.lowest_air_f": ("the lowest air temperature", _air),
        "job.installation.ice_barrier_reach_in": ("the reach of the ice barrier", _barrier),
        "job.installation.ice_barrier_courses": ("the courses of ice barrier", _barrier),
        "job.installation.underlayment_layers": ("the layers of underlayment", _underlayment),
        "job.installation.drip_edge_at": ("the edges with drip edge", _drip_edge),
        "job.installation.flashing": ("the state of the flashing", _flashing),
        "job.installation.kick_out": ("a kick-out", _kick_out),
        "job.permit.issued": ("the day the permit was issued", _permit),
        "job.permit.closed_on": ("the day the permit was closed", _permit),
        "job.permit.inspections": ("the inspections", _inspections),
        "job.permit.inspections.*.on": ("the day of an inspection", _result),
        "job.warranties.*.submitted_on": ("the day the packet was sent", _received),
        "job.warranties.*.received_on": ("the day the maker had the packet", _accepted),
        "job.warranties.*.accepted_on": ("the day the maker accepted it", _accepted),
        "job.money.invoices": ("the final invoice", _contract),
        "job.money.invoices.*.on": ("the day of an invoice", _always("an invoice has one")),
        "job.money.payments": ("the payments", _invoice),
        "job.money.payments.*.on": ("the day of a payment", _always("a payment has one")),
        "job.money.waivers": ("the lien waivers", _waivers),
    }
)
"""As above, of all that puts nobody in danger."""
