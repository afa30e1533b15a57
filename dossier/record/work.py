"""How the roof was installed, phase by phase, and what was looked at after the work.

In: nodes by way of `reading`. Out: frozen models. Must not judge an order or a figure.
"""

import re
from typing import Any, ClassVar

from pydantic import field_validator

from dossier.reading.kinds import (
    Count,
    Day,
    EdgeKindWord,
    FlashingStateWord,
    Inches,
    Label,
    Line,
    OnTheRoofWord,
    PhaseWord,
    SomeInches,
    Temperature,
    ValleyMethodWord,
    WorkDays,
    YesNo,
)
from dossier.reading.model import ALL, Model, short_parts, told
from dossier.record.signed import Signed
from dossier.values import clip


class WorkDay(Model):
    """One line of the work log: what was done on a day or days, and who looked at it."""

    short_form: ClassVar[str] = "2026-09-14, tear-off + deck + deck repair, checked by Ida Torvik"

    days: WorkDays = told(
        "The day, or the first and last day, of the work.",
        example="2026-09-14 to 2026-09-15",
        unit="date",
        readers=ALL,
        default=...,
    )
    phases: tuple[PhaseWord, ...] = told("The phases done.", readers=ALL, default=..., repeats=True)
    slopes: tuple[Label, ...] = told(
        "The slopes worked on; all where blank.", readers=ALL, default=()
    )
    checked_by: Line | None = told(
        "Who looked at the finished phases before they were covered.",
        example="Ida Torvik",
        readers=ALL,
    )
    checked_on: Day | None = told(
        "The day of that look; the last day of the work where blank.",
        example="2026-09-14",
        unit="date",
        readers=ALL,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `DAYS, PHASE + PHASE[, on SLOPE + SLOPE][, checked by NAME[ on DAY]]`."""
        days, *rest = short_parts(text)
        if not rest:
            raise ValueError(f"found “{clip(text)}”, needed a line such as {cls.short_form}")
        fields: dict[str, Any] = {"days": days, "phases": rest[0]}
        for part in rest[1:]:
            checked = re.fullmatch(r"checked by (.+?)(?: on (\d{4}-\d{2}-\d{2}))?", part)
            if checked and "checked_by" not in fields:
                fields["checked_by"] = checked[1]
                if checked[2]:
                    fields["checked_on"] = checked[2]
            elif part.startswith("on ") and "slopes" not in fields:
                fields["slopes"] = part.removeprefix("on ")
            else:
                raise ValueError(f"found “{clip(part)}”, needed a line such as {cls.short_form}")
        return fields


class OffAndOn(Model):
    """Something that stood on the roof: who took it off, who put it back, and who flashed its mounts."""

    short_form: ClassVar[str] = (
        "solar panels, off by Lumo Electric, back by Lumo Electric on 2026-09-18, flashed by Jens Aberg"
    )

    what: OnTheRoofWord = told("What it is.", example="solar panels", readers=ALL, default=...)
    off_by: Line | None = told("Who took it off.", example="Lumo Electric", readers=ALL)
    back_by: Line | None = told(
        "Who put it back; n/a and the reason where it stayed off.",
        example="Lumo Electric",
        readers=ALL,
    )
    back_on: Day | None = told(
        "The day it was put back.", example="2026-09-18", unit="date", readers=ALL
    )
    flashed_by: Line | None = told(
        "Who flashed what is fastened through the shingles; n/a and the reason where nothing is.",
        example="Jens Aberg",
        readers=ALL,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return the fields of `WHAT[, off by NAME][, back by NAME[ on DAY]][, flashed by NAME]`."""
        what, *rest = short_parts(text)
        fields: dict[str, Any] = {"what": what}
        for part in rest:
            found = re.fullmatch(r"(off|back|flashed) by (.+?)(?: on (\d{4}-\d{2}-\d{2}))?", part)
            field = f"{found[1]}_by" if found else ""
            if found is None or field in fields or (found[3] and found[1] != "back"):
                raise ValueError(f"found “{clip(part)}”, needed a line such as {cls.short_form}")
            fields[field] = found[2]
            if found[3]:
                fields["back_on"] = found[3]
        return fields


class Installation(Model):
    """How it was installed; a slope may say otherwise for itself."""

    lowest_air_f: Temperature | None = told(
        "Lowest air temperature while shingles were laid; while membrane was laid too, where barrier_air_f is "
        "blank.",
        example="48 F",
        unit="°F",
        readers=ALL,
    )
    barrier_air_f: Temperature | None = told(
        "Lowest air temperature while ice barrier or other membrane was laid, if not as the shingles'.",
        example="52 F",
        unit="°F",
        readers=ALL,
    )
    nails_per_shingle: Count | None = told(
        "Fasteners a shingle.", example="6", readers=ALL, repeats=True
    )
    fastener: Line | None = told(
        "Kind of fastener.", example="galvanized coil nail", readers=ALL, repeats=True
    )
    fastener_length_in: SomeInches | None = told(
        "Length of the fastener.", example="1 1/4 in", unit="in", readers=ALL, repeats=True
    )
    fastener_shank_in: SomeInches | None = told(
        "Thickness of its shank, as printed on the box.",
        example="0.120 in",
        unit="in",
        readers=ALL,
        repeats=True,
    )
    fastener_head_in: SomeInches | None = told(
        "Width of its head, as printed on the box.",
        example="3/8 in",
        unit="in",
        readers=ALL,
        repeats=True,
    )
    ice_barrier_courses: Count | None = told(
        "Courses of ice barrier at the eaves.", example="2", readers=ALL
    )
    ice_barrier_reach_in: Inches | None = told(
        "Reach up the slope from the eave edge, as measured.",
        example="68 in",
        unit="in",
        readers=ALL,
    )
    fascia_wrap_in: Inches | None = told(
        "How much of the first course is turned down the fascia.",
        example="0 in",
        unit="in",
        readers=ALL,
    )
    underlayment_layers: Count | None = told(
        "Layers of underlayment.", example="1", readers=ALL, repeats=True
    )
    head_lap_in: Inches | None = told(
        "Lap of each course over the one below.", example="4 in", unit="in", readers=ALL
    )
    end_lap_in: Inches | None = told("Lap at ends.", example="6 in", unit="in", readers=ALL)
    underlayment_caps: YesNo | None = told(
        "Whether the underlayment was fastened through caps.",
        example="yes",
        readers=ALL,
        repeats=True,
    )
    caps_along_laps_in: SomeInches | None = told(
        "Spacing of its fasteners along the laps.", example="6 in", unit="in", readers=ALL
    )
    caps_between_laps_in: SomeInches | None = told(
        "Spacing of its fasteners between the laps.", example="12 in", unit="in", readers=ALL
    )
    drip_edge_at: tuple[EdgeKindWord, ...] = told(
        "Edges that carry drip edge.", readers=ALL, default=(), repeats=True
    )
    starter_at: tuple[EdgeKindWord, ...] = told(
        "Edges that carry starter.", readers=ALL, default=(), repeats=True
    )
    valley_method: ValleyMethodWord | None = told(
        "How valleys are laid.", example="open metal", readers=ALL, repeats=True
    )
    valley_lining_in: SomeInches | None = told(
        "Width of the valley lining.", example="36 in", unit="in", readers=ALL, repeats=True
    )
    flashing: FlashingStateWord | None = told(
        "New or kept flashing.", example="replaced", readers=ALL
    )
    kept_flashing_sound: YesNo | None = told(
        "Whether the flashing that was kept was free of rust, damage and decay.",
        example="yes",
        readers=ALL,
    )
    kick_out: YesNo | None = told(
        "Whether a kick-out was set where the eave of the one slope meets a wall; where several do, each slope "
        "says so itself.",
        example="yes",
        readers=ALL,
    )
    hand_sealed: YesNo | None = told(
        "Whether shingles laid in the cold were sealed by hand; it says nothing of membrane, nor of steep slopes.",
        example="no",
        readers=ALL,
    )
    primer: YesNo | None = told(
        "Whether the deck was primed below membrane laid in the cold; it says nothing of shingles.",
        example="no",
        readers=ALL,
    )


class FlueLook(Signed):
    """Who saw the flues after the work, on which day, and under which licence."""

    short_form: ClassVar[str] = "Sverre Holt, 2026-09-16, heating licence H-2041"

    licence: Line | None = told(
        "The licence for flues or heating under which the person looked.",
        example="heating licence H-2041",
        readers=ALL,
    )

    @classmethod
    def from_text(cls, text: str) -> dict[str, Any]:
        """Return who, when and the licence from `NAME, DATE` or `NAME, DATE, LICENCE`."""
        parts = short_parts(text)
        if len(parts) != 3:
            return super().from_text(text)
        return {**super().from_text(", ".join(parts[:2])), "licence": parts[2]}

    @field_validator("licence")
    @classmethod
    def _is_one(cls, licence: str | None) -> str | None:
        """Return the licence; a text that says there is none is a blank."""
        none = licence is not None and re.match(
            r"(no|none|not|without|un)\b|unlicen", licence, re.I
        )
        return None if none else licence


class AfterWork(Model):
    """What a named person looked at after the last day of work."""

    flues: FlueLook | None = told(
        "Who saw each flue and combustion vent connected, upright and open, and under which licence.",
        readers=ALL,
    )
    ducts: Signed | None = told(
        "Who saw bath, kitchen and dryer ducts carried outdoors with caps of their own.",
        readers=ALL,
    )
    boots: Signed | None = told("Who saw the boots seated.", readers=ALL)
    baffles: Signed | None = told("Who saw the baffles in place.", readers=ALL)
    magnet_sweep: Signed | None = told("Who swept the ground for nails.", readers=ALL)
    spring_bond_check: Signed | None = told(
        "Who checked in spring that shingles laid in the cold have sealed.", readers=ALL
    )
