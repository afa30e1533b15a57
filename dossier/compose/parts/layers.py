"""The layers of the roof in words and as a drawing: every product from the deck up.

In: a case. Out: frozen rows of ready-to-print strings. Must not print a price nor judge a quantity.
"""

from dataclasses import dataclass
from fractions import Fraction

from dossier.case.case import Case, Material
from dossier.compose.parts.shared import NOT_ON_RECORD, Ref, capital
from dossier.compose.parts.type_width import lines as lines_of
from dossier.record.roof import Deck
from dossier.values import listed, spelt, unit_for, write_inches, write_number
from dossier.words import Redecked, Role

LAYERS: tuple[tuple[Role, str], ...] = (
    (Role.DECK_PANEL, "New wood under the roof"),
    (Role.DECK_FASTENER, "Holds the deck to the rafters"),
    (Role.PANEL_CLIP, "Steadies the edges of deck panels"),
    (Role.ICE_BARRIER, "Sticks to the deck where ice backs water up"),
    (Role.DRIP_EDGE, "Metal that leads water off the edges"),
    (Role.UNDERLAYMENT, "The sheet between deck and shingles"),
    (Role.CAP_FASTENER, "Holds the underlayment"),
    (Role.LOW_SLOPE_MEMBRANE, "The covering where the roof is too flat for shingles"),
    (Role.VALLEY, "Lines the inner corners where slopes meet"),
    (Role.STARTER, "The strip below the first course of shingles"),
    (Role.FIELD_SHINGLE, "The shingles you see"),
    (Role.FASTENER, "Holds the shingles"),
    (Role.FLASHING, "Metal where the roof meets walls and chimneys"),
    (Role.PIPE_BOOT, "Seals a pipe through the roof"),
    (Role.SKYLIGHT_KIT, "Seals a skylight"),
    (Role.DUCT_OR_FLUE_CAP, "Covers a duct or flue"),
    (Role.INTAKE_VENT, "Lets air into the attic, low down"),
    (Role.EXHAUST_VENT, "Lets air out of the attic, high up"),
    (Role.HIP_AND_RIDGE, "The shingles along ridges and hips"),
    (Role.SEALANT, "Seals by hand where needed"),
)
"""Roles from the deck up, each with one plain line on what it is for."""

_ALWAYS = (
    Role.ICE_BARRIER,
    Role.DRIP_EDGE,
    Role.UNDERLAYMENT,
    Role.STARTER,
    Role.FIELD_SHINGLE,
    Role.HIP_AND_RIDGE,
)
"""Roles that a reader looks for on any shingle roof, so that a blank is printed and not passed over."""


@dataclass(frozen=True)
class Layer:
    """One product on the roof. purpose: one plain line; empty from the second product of a role on.

    quantity and lots: both empty for a deck, of which neither is told here; nothing else is ever empty.
    name: of the statement that it is there. refs: its number, where the document has an index.
    """

    role: str
    purpose: str
    product: str
    made_by: str
    standard: str
    quantity: str
    lots: str
    name: str = ""
    refs: tuple[Ref, ...] = ()


@dataclass(frozen=True)
class Band:
    """One band of the drawn section, in millimetres of the drawing, as text."""

    label: str
    x: str
    y: str
    width: str
    label_x: str
    label_y: str
    tone: str


@dataclass(frozen=True)
class Section:
    """The layers drawn as a stair: each is cut back so that the one below shows. Sizes as text."""

    title: str
    width: str
    height: str
    bands: tuple[Band, ...]


def layers(case: Case) -> tuple[Layer, ...]:
    """Return the products on the roof from the deck up; a role that should be there is never left out."""
    rows = [_deck_layer(case, deck) for deck in case.job.decks]
    if not rows:
        rows.append(Layer("Deck", _DECK_PURPOSE, "Kind not on record", "", NO_RATING, "", ""))
    for role, purpose in LAYERS:
        materials = case.materials_of(role)
        if not materials and role in _ALWAYS:
            missing = "No product on record"
            name = f"role.{role.value}"
            rows.append(
                Layer(
                    role=capital(role.value),
                    purpose=purpose,
                    product=missing,
                    made_by="",
                    standard=NOT_ON_RECORD,
                    quantity=NOT_ON_RECORD,
                    lots=NOT_ON_RECORD,
                    name=name,
                )
            )
        for number, material in enumerate(materials):
            rows.append(_layer(material, capital(role.value), "" if number else purpose))
    rows += [
        _layer(material, *unnamed_use(case, material))
        for material in case.materials
        if not material.role
    ]
    return tuple(rows)


def unnamed_use(case: Case, material: Material) -> tuple[str, str]:
    """Return what is told of a product whose line names no use, and a plain line on it, empty where none.

    The attic record may hold the same product as a vent, and is then what says the use.
    """
    wanted = spelt(material.name)
    attics = case.job.building.attics if case.job.building else ()
    sides = (
        (Role.INTAKE_VENT, [vent for attic in attics for vent in attic.intake]),
        (Role.EXHAUST_VENT, [vent for attic in attics for vent in attic.exhaust]),
    )
    uses = [role.value for role, vents in sides if wanted in (spelt(v.product) for v in vents)]
    if not uses:
        return "Use not on record", ""
    line = "its own line" if material.is_stock else "the ticket"
    return f"{capital(listed(uses))} by the attic record", f"{capital(line)} names no use"


NONE_ON_RECORD = "none on record"
"""For a standard or a lot that nobody asks for with this role, and that is not typed: a blank is heard as one."""

NO_RATING = "rating not on record"

_DECK_PURPOSE = "The wood that everything is nailed to"


def has_repairs(case: Case, deck: Deck) -> bool:
    """Return whether a repair on record lies on a slope of this deck; any does where it names none."""
    return any(not deck.slopes or one.slope in (None, *deck.slopes) for one in case.job.repairs)


def deck_words(deck: Deck) -> str:
    """Return kind and thickness of the deck that lies there now."""
    kind, thick = deck.kind_now, deck.thickness_now_in
    words = capital(kind.value) if kind else "Kind not on record"
    return f"{words}, {write_inches(thick)}" if thick else words


def _deck_layer(case: Case, deck: Deck) -> Layer:
    rating = deck.span_rating_now
    age = {
        Redecked.WHOLE: "new",
        Redecked.OVERLAID: "new, over the old deck",
        Redecked.PART: "in part new",
        Redecked.NO: "kept, but for the repairs of section 4"
        if has_repairs(case, deck)
        else "kept",
        None: "new or kept: not on record",
    }[deck.redecked]
    where = f"slope {listed(list(deck.slopes))}, " if deck.slopes else ""
    standard = f"rating {rating}" if rating else NO_RATING
    return Layer("Deck", _DECK_PURPOSE, deck_words(deck), f"{where}{age}", standard, "", "")


def _layer(material: Material, role: str, purpose: str) -> Layer:
    line = material.line
    standard = [text for text in (material.standard, material.wind_class) if text]
    lots = lots_of(material)
    if line.left_with_owner:
        lots += f"{'; ' if lots else ''}spare left with the owner: {line.left_with_owner}"
    return Layer(
        role=role,
        purpose=purpose,
        product=material.name,
        made_by=made_by(material),
        standard="; ".join(standard) or NONE_ON_RECORD,
        quantity=quantity_of(material),
        lots=lots or NONE_ON_RECORD,
        name=f"role.{material.role.value}" if material.role else "",
    )


def name_and_colour(material: Material) -> str:
    """Return a product's name with its colour, where one is on record."""
    return f"{material.name}, {material.line.colour}" if material.line.colour else material.name


def maker_of(material: Material) -> str:
    """Return by whom a product is, in words."""
    return f"by {material.maker}" if material.maker else "maker not on record"


def made_by(material: Material) -> str:
    """Return by whom a product is, with its colour where one is on record."""
    colour = material.line.colour
    return f"{maker_of(material)}, colour {colour}" if colour else maker_of(material)


def quantity_of(material: Material) -> str:
    """Return what was delivered and what went back, in the unit that was typed."""
    line = material.line
    if line.quantity is None:
        return "quantity not on record"
    unit = unit_for(line.quantity, line.unit)
    text = f"{write_number(line.quantity)} {unit}".strip()
    return f"{text}, {write_number(line.returned)} went back" if line.returned else text


def lots_of(material: Material) -> str:
    """Return the lots with how many units carried each; words where a lot is carried and not on record."""
    if not material.line.lots:
        return "lot not on record" if material.carries_lot else ""
    parts = []
    for lot in material.line.lots:
        text = lot.mark
        if lot.quantity is not None:
            text += f" × {write_number(lot.quantity)}"
        if lot.slopes:
            text += f" on {listed(list(lot.slopes))}"
        parts.append(text)
    return "; ".join(parts)


_SECTION_ROLES = (
    Role.ICE_BARRIER,
    Role.UNDERLAYMENT,
    Role.LOW_SLOPE_MEMBRANE,
    Role.STARTER,
    Role.FIELD_SHINGLE,
    Role.HIP_AND_RIDGE,
)
_BAND_MM, _STEP_MM, _WIDE_BAND_MM, _LABEL_MM, _TYPE_MM = 5, 9, 86, 80, Fraction(3)


def section(case: Case) -> Section:
    """Return the drawing of the layers on record, the deck lowest; layers not on record are not drawn.

    For a roof of which no pitch is on record: it has no scale and no angle, and says so.
    """
    decks = "; ".join(dict.fromkeys(deck_words(deck) for deck in case.job.decks))
    labels = [f"Deck: {decks or NOT_ON_RECORD}"]
    for role in _SECTION_ROLES:
        names = list(dict.fromkeys(material.name for material in case.materials_of(role)))
        if names:
            labels.append(f"{capital(role.value)}: {listed(names)}")
    tones = ("wood", "dark", "light", "mid", "dark", "mid", "light")
    height = _BAND_MM * len(labels) + 2
    bands = []
    for number, label in enumerate(labels):
        y = height - 1 - _BAND_MM * (number + 1)
        bands.append(
            Band(
                label=lines_of(label, _LABEL_MM - 3, _TYPE_MM, 1)[0],
                x=str(_STEP_MM * number + 1),
                y=str(y),
                width=str(_WIDE_BAND_MM - _STEP_MM * number),
                label_x=str(_WIDE_BAND_MM + 3),
                label_y=f"{y + _BAND_MM - 2}.4",
                tone=tones[number % len(tones)],
            )
        )
    title = (
        f"Layers of the roof, schematic and not to scale. From the bottom up: {'; '.join(labels)}"
    )
    return Section(title, str(_WIDE_BAND_MM + _LABEL_MM), str(height), tuple(bands))
