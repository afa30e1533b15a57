"""The roof as it was measured: slopes with their edges, decks, and each repair of a deck.

In: nodes by way of `reading`. Out: frozen models. Must not compute an area or a length.
"""

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Any, ClassVar

from dossier.reading.kinds import (
    Count,
    DeckKindWord,
    Feet,
    FileInJob,
    HeatedBelowWord,
    Inches,
    Label,
    Line,
    Money,
    Number,
    RedeckedWord,
    RepairKindWord,
    RoofPitch,
    SomeFeet,
    SomeInches,
    SomeSquareFeet,
    WallDatumWord,
    YesNo,
)
from dossier.reading.model import ALL, PERSONAL, PRICES, Model, short_parts, told
from dossier.record.signed import Signed
from dossier.values import clip, listed
from dossier.words import DeckKind, Redecked, RepairKind

_SLOPE_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "faces": "faces",
        "area": "area_sqft",
        "plan": "plan",
        "eave": "eave_ft",
        "rakes": "rake_ft",
        "ridge": "ridge_ft",
        "hips": "hip_ft",
        "valleys": "valley_ft",
        "walls": "step_flashing_ft",
        "pipes": "penetrations",
        "skylights": "skylights",
    }
)


class PlanSize(Model):
    """A rectangle seen from above: along the eave, and level from eave to ridge."""

    short_form: ClassVar[str] = "40 ft x 14 ft"

    along_eave_ft: SomeFeet = told(
        "Length along the eave.", example="40 ft", unit="ft", readers=ALL, default=...
    )
    run_ft: SomeFeet = told(
        "Level distance from the eave edge to the ridge or wall.",
        example="14 ft",
        unit="ft",
        readers=ALL,
        default=...,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `LENGTH x LENGTH`."""
        parts = re.split(r"\s+[x×]\s+", text.strip())
        if len(parts) != 2:
            raise ValueError(f"found “{clip(text)}”, needed a size such as {cls.short_form}")
        return {"along_eave_ft": parts[0], "run_ft": parts[1]}


class Eave(Model):
    """One eave of a slope, where it differs from the rest of the building."""

    length_ft: Feet | None = told("Length.", example="20 ft", unit="ft", readers=ALL)
    overhang_in: Inches | None = told(
        "Level overhang from the wall.", example="18 in", unit="in", readers=ALL
    )
    wall_in: Inches | None = told("Wall thickness.", example="6.5 in", unit="in", readers=ALL)
    wall_datum: WallDatumWord | None = told(
        "The face of the wall that counts.", example="inside face", readers=ALL
    )
    heated_below: HeatedBelowWord | None = told(
        "Whether the space below is heated; “no wall” at a porch.", example="yes", readers=ALL
    )
    meets_wall: YesNo | None = told(
        "Whether this eave dies into a side wall.", example="no", readers=ALL
    )
    kick_out: YesNo | None = told(
        "Whether a kick-out was set where this eave dies into a wall.", example="yes", readers=ALL
    )


class Chimney(Model):
    """One chimney or other wide obstacle on a slope."""

    width_in: SomeInches | None = told(
        "Width across the slope.", example="32 in", unit="in", readers=ALL
    )
    cricket: YesNo | None = told("Whether a cricket was built.", example="yes", readers=ALL)
    at_ridge: YesNo | None = told(
        "Whether it stands at the ridge, where no cricket is needed.", example="no", readers=ALL
    )


class Slope(Model):
    """One plane of the roof."""

    short_form: ClassVar[str] = (
        "front, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, ridge 40 ft, pipes 1"
    )
    short_words: ClassVar[Mapping[str, str]] = _SLOPE_WORDS

    label: Line = told("Its name, used everywhere.", example="front", readers=ALL, default=...)
    faces: Line | None = told("Compass direction it faces.", example="S", readers=ALL)
    pitch: RoofPitch | None = told("Rise in 12.", example="6:12", readers=ALL)
    area_sqft: SomeSquareFeet | None = told(
        "Area as measured on the slope.", example="626 sq ft", unit="sq ft", readers=ALL
    )
    plan_area_sqft: SomeSquareFeet | None = told(
        "Area seen from above.", example="560 sq ft", unit="sq ft", readers=ALL
    )
    plan: PlanSize | None = told("Its rectangle seen from above.", readers=ALL)
    eave_ft: Feet | None = told("Eave length.", example="40 ft", unit="ft", readers=ALL)
    rake_ft: Feet | None = told(
        "Length of its rakes together, along the slope.",
        example="31.3 ft",
        unit="ft",
        readers=ALL,
    )
    ridge_ft: Feet | None = told(
        "Ridge length; write a shared ridge at one slope only.",
        example="40 ft",
        unit="ft",
        readers=ALL,
        shared=True,
    )
    hip_ft: Feet | None = told(
        "Hip length; write a shared hip at one slope only.",
        example="21 ft",
        unit="ft",
        readers=ALL,
        shared=True,
    )
    valley_ft: Feet | None = told(
        "Valley length; write a shared valley at one slope only.",
        example="18 ft",
        unit="ft",
        readers=ALL,
        shared=True,
    )
    step_flashing_ft: Feet | None = told(
        "Length along side walls and chimneys.", example="8 ft", unit="ft", readers=ALL
    )
    eaves: tuple[Eave, ...] = told(
        "Eaves that differ from the building's.", readers=ALL, default=()
    )
    eave_meets_wall: YesNo | None = told(
        "Whether an eave dies into a side wall, where a kick-out is needed.",
        example="no",
        readers=ALL,
    )
    kick_out: YesNo | None = told(
        "Whether a kick-out was set at each place where an eave of this slope dies into a wall.",
        example="yes",
        readers=ALL,
    )
    detached: YesNo | None = told(
        "Whether it covers a building that stands alone, such as a garage that is not attached to the house.",
        example="no",
        readers=ALL,
    )
    steep_method: YesNo | None = told(
        "Above 21:12: whether it was fastened by the maker's instructions for steep slopes.",
        example="yes",
        readers=ALL,
    )
    penetrations: Count | None = told("Pipes and vents through it.", example="2", readers=ALL)
    skylights: Count | None = told("Skylights in it.", example="0", readers=ALL)
    chimneys: tuple[Chimney, ...] = told("Chimneys on it.", readers=ALL, default=())
    ice_barrier_courses: Count | None = told(
        "Courses at its eave, if not as the rest.", example="2", readers=ALL
    )
    ice_barrier_reach_in: Inches | None = told(
        "Installed reach up the slope from the eave edge, if not as the rest.",
        example="68 in",
        unit="in",
        readers=ALL,
    )
    ice_barrier_whole: YesNo | None = told(
        "Whether ice barrier covers the whole slope.", example="no", readers=ALL
    )
    underlayment_layers: Count | None = told(
        "Layers of underlayment, if not as the rest.", example="1", readers=ALL
    )
    old_membrane_left: YesNo | None = told(
        "Whether old self-adhered membrane stayed on the deck, so that the deck was not seen.",
        example="no",
        readers=ALL,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `LABEL[, RISE:12][, WORD FIGURE]…`, the words in any order, each once."""
        label, *rest = short_parts(text)
        fields: dict[str, Any] = {"label": label}
        for part in rest:
            word, _, figure = part.partition(" ")
            name = "pitch" if re.fullmatch(r"[\d.]+[:/]12", part) else _SLOPE_WORDS.get(word)
            if name is None or name in fields:
                raise ValueError(
                    f"found “{clip(part)}” in a slope's line, needed a pitch such as 6:12 or one of "
                    f"{listed(list(_SLOPE_WORDS), 'or')}, each once"
                )
            fields[name] = part if name == "pitch" else figure
        return fields


class Deck(Model):
    """One kind of deck, under all slopes or the ones named."""

    short_form: ClassVar[str] = (
        "plywood 1/2 in, rafters 24 in, rating 32/16, redecked part, on back"
    )
    short_words: ClassVar[Mapping[str, str]] = MappingProxyType(
        {
            "rafters": "rafter_spacing_in",
            "rating": "span_rating",
            "gap": "largest_gap_in",
            "redecked": "redecked",
            "on": "slopes",
        }
    )

    slopes: tuple[Label, ...] = told(
        "The slopes above it; all where blank.", readers=ALL, default=()
    )
    kind: DeckKindWord | None = told("What it is made of.", example="plywood", readers=ALL)
    thickness_in: SomeInches | None = told("Thickness.", example="1/2 in", unit="in", readers=ALL)
    span_rating: Line | None = told(
        "Span rating printed on the panel.", example="24/16", readers=ALL
    )
    rafter_spacing_in: SomeInches | None = told(
        "Rafter spacing, centre to centre.", example="24 in", unit="in", readers=ALL
    )
    largest_gap_in: Inches | None = told(
        "Largest gap between boards.", example="3/4 in", unit="in", readers=ALL
    )
    edge_clips: YesNo | None = told("Whether panel edges have clips.", example="yes", readers=ALL)
    redecked: RedeckedWord | None = told("How much was replaced.", example="no", readers=ALL)
    new_kind: DeckKindWord | None = told(
        "What the new deck is made of.", example="OSB", readers=ALL
    )
    new_thickness_in: SomeInches | None = told(
        "Thickness of the new deck.", example="7/16 in", unit="in", readers=ALL
    )
    new_span_rating: Line | None = told(
        "Span rating of the new panels.", example="24/16", readers=ALL
    )
    moisture_pct: Number | None = told(
        "Moisture content on the day it was covered.", example="14", unit="%", readers=ALL
    )

    @property
    def renewed(self) -> bool:
        """Return whether a new deck lies there, in place of the old one or over it."""
        return self.redecked in (Redecked.WHOLE, Redecked.OVERLAID)

    @property
    def kind_now(self) -> DeckKind | None:
        """Return the kind of the deck that the roof lies on."""
        return self.new_kind if self.renewed else self.kind

    @property
    def thickness_now_in(self) -> Fraction | None:
        """Return the thickness of the deck that the roof lies on."""
        return self.new_thickness_in if self.renewed else self.thickness_in

    @property
    def span_rating_now(self) -> str | None:
        """Return the span rating of the deck that the roof lies on."""
        return self.new_span_rating if self.renewed else self.span_rating

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of its line.

        `KIND THICKNESS[, rafters L][, rating N/N][, gap L][, redecked WORD][, on SLOPE + SLOPE]`
        """
        first, *rest = short_parts(text)
        kind, _, thickness = first.partition(" ")
        fields: dict[str, Any] = {"kind": kind}
        if thickness:
            fields["thickness_in"] = thickness
        words = cls.short_words
        for part in rest:
            word, _, figure = part.partition(" ")
            if words.get(word, "kind") in fields:
                raise ValueError(f"found “{clip(part)}”, needed a line such as {cls.short_form}")
            fields[words[word]] = figure
        return fields


class Repair(Model):
    """One repair of the deck."""

    slope: Line | None = told("The slope.", example="back", readers=ALL)
    place: Line | None = told(
        "Where on the slope, so that it can be found again.",
        example="at the eave, 6 ft from the left rake",
        readers=ALL,
    )
    kind: RepairKindWord | None = told("What was done.", example="sheets replaced", readers=ALL)
    sheets: Number | None = told("Sheets of 4 ft by 8 ft.", example="2", readers=ALL)
    board_feet: Number | None = told("Board feet.", example="64", readers=ALL)
    cause: Line | None = told(
        "What had damaged the deck.", example="old leak at the eave", readers=ALL
    )
    price: Money | None = told("Price charged.", example="192.00", unit="$", readers=PRICES)
    approved: Signed | None = told(
        "Who agreed to the extra work for the owner, and when.", readers=PERSONAL
    )
    photo_before: FileInJob | None = told(
        "Photo of the damage; found in photos/deck-repair/ by slope and “before” where blank.",
        example="photos/deck-repair/back-before.jpg",
        readers=ALL,
    )
    photo_after: FileInJob | None = told(
        "Photo of the new deck; found in photos/deck-repair/ by slope and “after” where blank.",
        example="photos/deck-repair/back-after.jpg",
        readers=ALL,
    )

    @property
    def new_sheets(self) -> Fraction:
        """Return how many new sheets were laid; none where the old ones were nailed down again."""
        laid = None if self.kind is RepairKind.REFASTENED else self.sheets
        return laid or Fraction(0)

    @property
    def area_sqft(self) -> Fraction | None:
        """Return the area of the sheets in square feet, 32 a sheet; None without sheets."""
        return None if self.sheets is None else self.sheets * 32
