"""Who owns the house, who insures it, and what kind of building it is.

In: nodes by way of `reading`. Out: frozen models. Must not know the company or the permit office.
"""

import re
from typing import Any, ClassVar

from dossier.reading.kinds import (
    AtticKindWord,
    Count,
    Day,
    ExposureWord,
    Feet,
    Inches,
    Line,
    Money,
    Number,
    OwnerKindWord,
    SomeCount,
    SomeFeet,
    SomeSquareFeet,
    SomeSquareInches,
    SquareFeet,
    VapourRetarderWord,
    WallDatumWord,
    WindSpeed,
    YesNo,
)
from dossier.reading.model import ALL, PERSONAL, PRICES, Model, short_parts, told
from dossier.record.signed import Signed
from dossier.values import clip
from dossier.words import Edition, OwnerKind

_CLAIM = frozenset({Edition.OFFICE, Edition.INSURER})


class Owner(Model):
    """One owner of the house when the roof was installed."""

    short_form: ClassVar[str] = "Marit Ekdahl, 555-0141, m.ekdahl@example.com"

    name: Line | None = told("The owner's name.", example="Marit Ekdahl", readers=PERSONAL)
    kind: OwnerKindWord = told(
        "What kind of owner; the maker's terms choose by it.",
        example="living there",
        readers=ALL,
        default=OwnerKind.LIVING_THERE,
    )
    phone: Line | None = told("Telephone.", example="555-0141", readers=PERSONAL)
    email: Line | None = told("E-mail.", example="owner@example.com", readers=PERSONAL)
    mailing_address: Line | None = told(
        "Where post reaches the owner, if not at the site.",
        example="PO Box 12, Halvorsted",
        readers=PERSONAL,
    )

    @property
    def kind_is_typed(self) -> bool:
        """Return whether the record says what kind of owner this is; else the field's default stands."""
        return "kind" in self.model_fields_set

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `NAME[, TELEPHONE][, E-MAIL]`."""
        name, *rest = short_parts(text)
        fields: dict[str, Any] = {"name": name}
        for part in rest:
            field = "email" if "@" in part else "phone"
            if field in fields:
                raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
            if field == "phone" and not any(letter.isdigit() for letter in part):
                raise ValueError(
                    f"found “{clip(part)}” behind a name, needed a telephone number or an e-mail; a second owner "
                    "stands on a line and a dash of his own"
                )
            fields[field] = part
        return fields


class Insurance(Model):
    """The insurer of the house, where a claim pays for the roof."""

    insurer: Line | None = told("The insurer's name.", example="Lakeward Mutual", readers=_CLAIM)
    policy: Line | None = told("Policy number.", example="P-44120", readers=_CLAIM)
    claim: Line | None = told("Claim number.", example="C-2026-0071", readers=_CLAIM)
    adjuster: Line | None = told("Who handles the claim.", example="J. Holm", readers=_CLAIM)
    lender_is_payee: YesNo | None = told(
        "Whether the lender must endorse the payment.", example="no", readers=_CLAIM
    )
    deductible: Money | None = told("Deductible.", example="1,000.00", unit="$", readers=PRICES)
    first_payment: Money | None = told(
        "What the insurer has paid so far.", example="13,000.00", unit="$", readers=PRICES
    )
    replacement_value: Money | None = told(
        "Replacement value on the insurer's scope.", example="20,000.00", unit="$", readers=PRICES
    )


class Vent(Model):
    """Vents of one product or kind in one attic space."""

    short_form: ClassVar[str] = "36 ft Highdraft ridge vent"

    product: Line = told(
        "Catalogue product, or what it is.",
        example="Highdraft ridge vent",
        readers=ALL,
        default=...,
        repeats=True,
    )
    length_ft: Feet | None = told(
        "Running length open to the attic.", example="36 ft", unit="ft", readers=ALL
    )
    count: Count | None = told("How many, for single vents.", example="6", readers=ALL)
    net_free_area_sqin: SomeSquareInches | None = told(
        "Net free area of each foot, or of each single vent, as printed on the product; "
        "from the catalogue where blank.",
        example="18 sq in",
        unit="sq in",
        readers=ALL,
        repeats=True,
    )
    low: YesNo | None = told(
        "Whether it lies low, in the bottom third of the attic; by what it is where blank.",
        example="yes",
        readers=ALL,
        repeats=True,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `LENGTH PRODUCT[, AREA sq in each]` or `COUNT PRODUCT…`."""
        match = re.fullmatch(
            r"(?P<number>[\d.,]+)(?:\s*(?P<unit>ft|in|m|cm|mm)\b)?\s+"
            r"(?P<product>(?!(?:ft|in|m|cm|mm)\b)[^,]+?)"
            r"(?:,\s*(?P<area>[\d.]+ sq in)(?: each| per ft)?)?",
            text.strip(),
        )
        if not match:
            raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
        fields: dict[str, Any] = {"product": match["product"]}
        if match["unit"]:
            fields["length_ft"] = f"{match['number']} {match['unit']}"
        else:
            fields["count"] = match["number"]
        if match["area"]:
            fields["net_free_area_sqin"] = match["area"]
        return fields


class Attic(Model):
    """One separate attic space: main, knee wall, vaulted."""

    space: Line = told("The name of the space.", example="main", readers=ALL, default="main")
    kind: AtticKindWord | None = told(
        "Vented, or sprayed and unvented.", example="vented", readers=ALL
    )
    floor_area_sqft: SomeSquareFeet | None = told(
        "Area of the vented space at its floor.", example="988 sq ft", unit="sq ft", readers=ALL
    )
    vapour_retarder: VapourRetarderWord | None = told(
        "Vapour retarder at the ceiling.", example="class II", readers=ALL
    )
    intake: tuple[Vent, ...] = told("Vents low on the roof.", readers=ALL, default=())
    exhaust: tuple[Vent, ...] = told("Vents high on the roof.", readers=ALL, default=())
    upper_drop_ft: Feet | None = told(
        "How far the upper vents sit below the highest point.",
        example="0 ft",
        unit="ft",
        readers=ALL,
    )
    soffits_seen_clear: Signed | None = told(
        "Who saw that the soffit openings are clear of insulation.", readers=ALL
    )


class LeadDust(Model):
    """The renovation-dust record, where painted parts were disturbed (40 CFR 745)."""

    painted_sqft: SquareFeet | None = told(
        "Painted surface disturbed outdoors.", example="45 sq ft", unit="sq ft", readers=ALL
    )
    tested_free_of_lead: YesNo | None = told(
        "Whether a certified test found no lead in any part touched.", example="no", readers=ALL
    )
    renovator: Line | None = told(
        "The certified renovator assigned.", example="Ida Torvik", readers=ALL
    )
    pamphlet: Signed | None = told("Who received the pamphlet, and when.", readers=PERSONAL)
    owner_copy_on: Day | None = told(
        "When the owner was given the record.", example="2026-10-02", unit="date", readers=ALL
    )


class Building(Model):
    """The building under the roof."""

    year_built: Count | None = told("Year built.", example="1994", readers=ALL)
    storeys: Number | None = told("Storeys.", example="1", readers=ALL)
    dwellings: SomeCount = told("Number of dwellings.", example="1", readers=ALL, default=1)
    mean_roof_height_ft: SomeFeet | None = told(
        "Mean roof height above ground.", example="16 ft", unit="ft", readers=ALL
    )
    climate_zone: Line | None = told(
        "Climate zone, if it differs from the locality's.", example="6", readers=ALL
    )
    design_wind_mph: WindSpeed | None = told(
        "Ultimate design wind speed, if it differs from the locality's.",
        example="115",
        unit="mph",
        readers=ALL,
    )
    exposure: ExposureWord | None = told(
        "Wind exposure, if it differs from the locality's.", example="B", readers=ALL
    )
    hill_crest: YesNo | None = told(
        "Whether the house stands on a crest that speeds the wind up.", example="no", readers=ALL
    )
    overhang_in: Inches | None = told(
        "Eave overhang, level, from the wall to the edge of the deck; slopes may say otherwise.",
        example="12 in",
        unit="in",
        readers=ALL,
    )
    wall_in: Inches | None = told(
        "Thickness of the exterior wall.", example="6.5 in", unit="in", readers=ALL
    )
    wall_datum: WallDatumWord | None = told(
        "The face of the wall the ice barrier is measured from, if not the locality's.",
        example="outside face",
        readers=ALL,
    )
    attics: tuple[Attic, ...] = told("The attic spaces, one by one.", readers=ALL, default=())
    flues: Count | None = told(
        "Flues and combustion vents through the roof.", example="1", readers=ALL
    )
    ducts: Count | None = told(
        "Bath, kitchen and dryer ducts through the roof.", example="1", readers=ALL
    )
    lead_dust: LeadDust | None = told("The renovation-dust record.", readers=ALL)
