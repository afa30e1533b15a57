"""The facts that rules ask for: each by its address, in words, with who knows it.

In: a place in the record. Out: its address and its name. Must not know any one rule.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from dossier.punchlist import Party
from dossier.said import Answer, Listed, Value

_ELSEWHERE = ("locality", "company", "terms", "catalogue", "photos")
"""How an address begins that is not of the job's own record."""


@dataclass(frozen=True)
class Fact:
    """One fact in words that stand within a sentence. plural: whether they take “are”. known_by: whom to ask."""

    name: Value
    plural: bool
    known_by: Party


def address_of(path: str) -> str:
    """Return the address of a place: `job.slopes.*.pitch` of `slopes.0.pitch`."""
    parts = ["*" if part.isdigit() else part for part in path.split(".")]
    return ".".join(parts if parts[0] in _ELSEWHERE else ["job", *parts])


_CREW: Mapping[str, Value] = {
    "job.slopes.*.pitch": "the pitch",
    "job.slopes.*.area_sqft": "the area of the slope",
    "job.slopes.*.plan": "the plan of the slope",
    "job.slopes.*.eave_ft": "the eave length",
    "job.slopes.*.rake_ft": "the rake length",
    "job.slopes.*.ridge_ft": "the ridge length",
    "job.slopes.*.hip_ft": "the hip length",
    "job.slopes.*.valley_ft": "the valley length",
    "job.slopes.*.step_flashing_ft": "the length of step flashing",
    "job.slopes.*.eave_meets_wall": "a word whether an eave meets a wall",
    "job.slopes.*.eaves.*.overhang_in": "the eave's overhang",
    "job.slopes.*.eaves.*.wall_in": "the wall thickness at the eave",
    "job.slopes.*.eaves.*.heated_below": "a word whether the space below the eave is heated",
    "job.slopes.*.chimneys": "the chimneys on the slope",
    "job.slopes.*.chimneys.*.width_in": "the chimney's width",
    "job.slopes.*.chimneys.*.cricket": "a word whether a cricket was built",
    "job.slopes.*.penetrations": "the number of pipes through the slope",
    "job.slopes.*.skylights": "the number of skylights",
    "job.slopes.*.ice_barrier_reach_in": "the reach of the ice barrier",
    "job.slopes.*.underlayment_layers": "the layers of underlayment",
    "job.building.overhang_in": "the overhang",
    "job.building.wall_in": "the wall thickness",
    "job.building.mean_roof_height_ft": "the mean roof height",
    "job.building.exposure": "the wind exposure",
    "job.building.hill_crest": "a word whether the house stands on a hill crest",
    "job.building.attics": "the attic's floor area and its vents",
    "job.building.attics.*.floor_area_sqft": "the attic's floor area",
    "job.building.attics.*.vapour_retarder": "the vapour retarder at the ceiling",
    "job.building.attics.*.upper_drop_ft": Answer(
        "how far the upper vents sit below the highest point"
    ),
    "job.building.flues": "the number of flues",
    "job.building.ducts": "the number of ducts",
    "job.building.lead_dust": "the renovation record",
    "job.building.lead_dust.painted_sqft": "the painted area that was disturbed",
    "job.decks": "the deck",
    "job.decks.*.kind": "the kind of deck",
    "job.decks.*.new_kind": "the kind of the new deck",
    "job.decks.*.thickness_in": "the deck's thickness",
    "job.decks.*.new_thickness_in": "the thickness of the new deck",
    "job.decks.*.span_rating": "the span rating of the panels",
    "job.decks.*.new_span_rating": "the span rating of the new panels",
    "job.decks.*.rafter_spacing_in": "the rafter spacing",
    "job.decks.*.largest_gap_in": "the largest gap between boards",
    "job.decks.*.edge_clips": "a word whether the panel edges have clips",
    "job.decks.*.redecked": "a word how much of the deck was replaced",
    "job.decks.*.moisture_pct": "the deck's moisture",
    "job.job.layers_removed": "the number of layers taken off",
    "job.job.layers_found": "the number of layers found",
    "job.job.old_covering_kind": "the kind of the old covering",
    "job.job.old_covering_state": "the state of the old covering",
    "job.job.old_covering_psf": "the weight of the old covering",
    "job.work": "the days of the work",
    "job.installation.lowest_air_f": "the lowest air temperature",
    "job.installation.nails_per_shingle": "the nails in each shingle",
    "job.installation.fastener": "the kind of fastener",
    "job.installation.fastener_length_in": "the length of the nails",
    "job.installation.fastener_shank_in": "the shank of the nails",
    "job.installation.fastener_head_in": "the head of the nails",
    "job.installation.underlayment_caps": "a word whether the underlayment was fastened through caps",
    "job.installation.ice_barrier_courses": "the courses of ice barrier",
    "job.installation.ice_barrier_reach_in": "the reach of the ice barrier",
    "job.installation.fascia_wrap_in": Answer("how much ice barrier is turned down the fascia"),
    "job.installation.underlayment_layers": "the layers of underlayment",
    "job.installation.head_lap_in": "the head lap of the underlayment",
    "job.installation.end_lap_in": "the end lap of the underlayment",
    "job.installation.drip_edge_at": "the edges with drip edge",
    "job.installation.starter_at": "the edges with starter",
    "job.installation.valley_method": "the valley method",
    "job.installation.valley_lining_in": "the width of the valley lining",
    "job.installation.flashing": "a word whether the flashing is new",
    "job.installation.kick_out": "a word whether kick-outs were set",
    "job.installation.hand_sealed": "a word whether the shingles were sealed by hand",
    "job.installation.primer": "a word whether the deck was primed",
}
_OFFICE: Mapping[str, Value] = {
    "job.job.locality": "the permit office’s sheet",
    "job.job.crew": "the crew",
    "job.job.scope": "the scope of the job",
    "job.job.contract_on": "the day of the contract",
    "job.job.completion_signed_on": "the day on which the owner signed completion",
    "job.building.year_built": "the year the house was built",
    "job.building.storeys": "the number of storeys",
    "job.building.climate_zone": "the climate zone",
    "job.building.design_wind_mph": "the design wind speed",
    "job.permit.issued": "the day the permit was issued",
    "job.permit.closed_on": "the day the permit was closed",
    "job.deliveries": "the deliveries",
    "job.deliveries.*.on": "the day of the delivery",
    "job.deliveries.*.supplier": "the supplier",
    "job.deliveries.*.lines.*.quantity": "the quantity delivered",
    "job.deliveries.*.lines.*.role": "what the product is for",
    "job.deliveries.*.lines.*.maker": "the product's maker",
    "job.deliveries.*.lines.*.wind_class": "the wind class on the label",
    "job.deliveries.*.lines.*.standard": "the standard on the label",
    "job.deliveries.*.lines.*.covers_sqft": "the area that one unit covers",
    "job.deliveries.*.lines.*.covers_ft": "the length that one unit covers",
    "job.warranties": "the day of the order",
    "job.warranties.*.sheet": "the maker’s terms",
    "job.warranties.*.level": "the level asked for",
    "job.money.contract": "the contract price",
    "job.money.sheet_price": "the price of a sheet of deck",
    "job.money.board_foot_price": "the price of a board foot of deck",
    "job.money.change_orders.*.amount": "the amount of the change order",
    "job.money.invoices": "the final invoice and its day",
    "job.money.invoices.*.amount": "the amount of the invoice",
    "job.money.payments": "the payments",
    "locality.roof_load_psf": "the locality's roof load",
    "locality.design_wind_mph": "the locality's design wind speed",
    "locality.exposure": "the locality's usual wind exposure",
    "locality.climate_zone": "the locality's climate zone",
}
_SEVERAL = frozenset(
    {
        "job.slopes.*.chimneys",
        "job.slopes.*.underlayment_layers",
        "job.building.attics",
        "job.deliveries",
        "job.work",
        "job.installation.ice_barrier_courses",
        "job.installation.nails_per_shingle",
        "job.installation.underlayment_layers",
        "job.installation.drip_edge_at",
        "job.installation.starter_at",
        "job.money.invoices",
        "job.money.payments",
    }
)
"""Facts whose names take “are”."""

FACTS: Mapping[str, Fact] = MappingProxyType(
    {
        address: Fact(name, address in _SEVERAL, party)
        for party, names in ((Party.CREW, _CREW), (Party.OFFICE, _OFFICE))
        for address, name in names.items()
    }
)
"""Every fact that a rule asks for, by its address."""


def in_words(lacks: Iterable[str]) -> Listed:
    """Return the facts at these places in words, each once; a place that no name is known of as it is written."""
    names: list[Value] = []
    for path in lacks:
        fact = FACTS.get(address_of(path))
        names.append(path if fact is None else fact.name)
    return Listed(tuple(dict.fromkeys(names)))
