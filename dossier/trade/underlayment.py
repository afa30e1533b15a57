"""Underlayment: layers, laps, types and fastening by pitch, edition and wind.

In: pitch as rise in 12, design wind in mph, code edition, roll width in inches. Out: what the
code asks for and a verdict on what was laid. Must not know which product was laid.
Synthetic sheets go by their evaluation report and label, so the code's laps are not put on them.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from dossier.said import Listed, Number, Said, say
from dossier.trade.working import (
    Exact,
    Working,
    above_zero,
    inches,
    needed,
    not_below_zero,
    one_of,
)

LOWEST_PITCH_IN_12 = 2
"""Below this no asphalt shingles (IRC 2018/2021/2024 R905.2.2)."""

SINGLE_FROM_PITCH_IN_12 = 4
"""From 4:12 up one layer is enough; exactly 4:12 counts as single (IRC R905.1.1, R905.2.2)."""

HIGH_WIND_VULT_MPH = 140
"""Where the high-wind column starts in IRC 2015 and 2018 Table R905.1.1(2); from memory."""

WIND_DESIGN_FROM_VULT_MPH = 130
"""Below this no place lies in the region of Figure R301.2.1.1 (IRC 2021 and 2024; from memory)."""

DOUBLE_LAP_IN = 19
DOUBLE_ROLL_IN = 36
"""Half-lapping by 19 in suits 36 in rolls only (IRC Table R905.1.1(2); from memory)."""

D8257_FROM = 2024
"""Edition from which the code lists ASTM D8257; from memory."""

_TABLE_2 = "IRC Table R905.1.1(2)"


@dataclass(frozen=True)
class UnderlaymentRule:
    """What the code asks of the underlayment on one slope; None where it cannot be told."""

    permitted: bool
    """False below 2:12, where asphalt shingles may not be laid at all."""
    layers: int
    head_lap_in: Fraction | None
    starter_strip_in: Fraction | None
    """Width of the strip at the eave under a double layer; None for a single layer."""
    end_lap_in: Fraction | None
    end_lap_offset_ft: Fraction | None
    exposure_in: Fraction | None
    """Roll width less head lap."""
    high_wind: bool | None
    needs: tuple[str, ...]
    working: Working


def in_high_wind(
    edition: int, vult_mph: Exact | None = None, wind_design_required: bool | None = None
) -> bool | None:
    """Return whether the table's high-wind column holds; None when it cannot be told.

    2015 and 2018 sort by ultimate design wind speed from 140 mph; 2021 and later by whether wind
    design is required under Figure R301.2.1.1. Where nobody says whether it is, the speed tells outside
    its middle: the figure's region lies above 130 mph near coasts and above 140 mph elsewhere. All from
    memory. Other editions: None.
    """
    if edition in (2015, 2018):
        return None if vult_mph is None else vult_mph >= HIGH_WIND_VULT_MPH
    if edition < 2021:
        return None
    if wind_design_required is None and vult_mph is not None:
        if vult_mph < WIND_DESIGN_FROM_VULT_MPH:
            return False
        if vult_mph >= HIGH_WIND_VULT_MPH:
            return True
    return wind_design_required


_BY_PITCH = "below 2:12 no shingles; 2:12 to below 4:12 two layers; from 4:12 one layer"


def _too_flat(pitch: Number, edition: int, high_wind: bool | None) -> UnderlaymentRule:
    """Return that no shingles may lie on a slope of this pitch."""
    working = Working(
        _BY_PITCH,
        say("{pitch}:12 is below 2:12", pitch=pitch),
        f"IRC {edition} R905.2.2",
        "looked-up",
    )
    return UnderlaymentRule(False, 0, *(None, None, None, None, None), high_wind, (), working)


def underlayment_rule(
    pitch_in_12: Exact,
    edition: int,
    kind: str = "felt",
    vult_mph: Exact | None = None,
    wind_design_required: bool | None = None,
    roll_width_in: Exact = DOUBLE_ROLL_IN,
    label_lap_in: Exact | None = None,
) -> UnderlaymentRule:
    """Return the layers and laps for one slope.

    kind: “felt”, “synthetic” or “self-adhered”; the last two lap by their label, label_lap_in, and
    the code's felt laps are not asked of them. wind: see `in_high_wind`. Layers by pitch are
    looked-up; laps are from memory. Source: IRC R905.1.1, R905.2.2, Table R905.1.1(2).
    """
    one_of(kind, ("felt", "synthetic", "self-adhered"), "kind")
    pitch = not_below_zero(pitch_in_12, "pitch")
    width = above_zero(roll_width_in, "roll width")
    high_wind = in_high_wind(edition, vult_mph, wind_design_required)
    said = Number(pitch, "", 2)
    if pitch < LOWEST_PITCH_IN_12:
        return _too_flat(said, edition, high_wind)
    layers = 2 if pitch < SINGLE_FROM_PITCH_IN_12 else 1
    lap: Fraction | None
    strip: Fraction | None = None
    needs: tuple[str, ...] = ()
    if kind != "felt":
        lap = None if label_lap_in is None else not_below_zero(label_lap_in, "label lap")
        needs = () if lap is not None else ("the lap on the product's label",)
    elif layers == 2:
        lap = Fraction(DOUBLE_LAP_IN) if width == DOUBLE_ROLL_IN else None
        strip = lap
        needs = () if lap is not None else ("the maker's lap for a double layer of this width",)
    else:
        lap = None if high_wind is None else Fraction(4 if high_wind else 2)
        if lap is None:
            needs = (
                "whether wind design is required here"
                if edition >= 2021
                else "the design wind speed",
            )
    by_code = kind == "felt"
    numbers = say("{pitch}:12: two layers" if layers == 2 else "{pitch}:12: one layer", pitch=said)
    if lap is not None:
        numbers = say(
            "{layers}, head lap {lap}, exposure {exposure}",
            layers=numbers,
            lap=inches(lap),
            exposure=inches(width - lap),
        )
    if needs:
        numbers = say("{layers}; {needed}", layers=numbers, needed=needed(needs))
    return UnderlaymentRule(
        True,
        layers,
        lap,
        strip,
        Fraction(4) if by_code else None,
        Fraction(6) if by_code else None,
        None if lap is None else width - lap,
        high_wind,
        needs,
        Working(
            _BY_PITCH,
            numbers,
            say("IRC {edition} R905.2.2 and {table}", edition=edition, table=_TABLE_2),
            "from memory",
        ),
    )


@dataclass(frozen=True)
class UnderlaymentCheck:
    """Whether the underlayment as laid is what the code asks for on one slope."""

    verdict: Literal["enough", "short", "not permitted", "cannot tell"]
    layers_short: int
    lap_short_in: Fraction
    needs: tuple[str, ...]
    working: Working


def check_underlayment(
    rule: UnderlaymentRule, layers: int | None, head_lap_in: Exact | None
) -> UnderlaymentCheck:
    """Return whether the laid layers and head lap (inches) satisfy the rule; None: nobody said."""
    if not rule.permitted:
        return UnderlaymentCheck("not permitted", 0, Fraction(0), (), rule.working)
    layers_short = 0 if layers is None else max(0, rule.layers - layers)
    lap_short = Fraction(0)
    if rule.head_lap_in is not None and head_lap_in is not None:
        lap_short = max(Fraction(0), rule.head_lap_in - not_below_zero(head_lap_in, "head lap"))
    needs = rule.needs
    needs += ("layers laid",) if layers is None else ()
    needs += ("head lap laid",) if head_lap_in is None else ()
    short = layers_short > 0 or lap_short > 0
    verdict: Literal["enough", "short", "cannot tell"] = "cannot tell" if needs else "enough"
    return UnderlaymentCheck(
        "short" if short else verdict,
        layers_short,
        lap_short,
        () if short else needs,
        Working(
            "layers laid ≥ layers asked; lap laid ≥ lap asked",
            say(
                "layers {laid} of {asked}; lap {lap} in of {lap_asked} in",
                laid="?" if layers is None else layers,
                asked=rule.layers,
                lap="?" if head_lap_in is None else Number(head_lap_in, "", 2),
                lap_asked="?" if rule.head_lap_in is None else Number(rule.head_lap_in, "", 2),
            ),
            rule.working.source,
            rule.working.confidence,
        ),
    )


_FELTS = re.compile(r"\b(D226|D4869|D6757)\b(?:\W*Type\W*(IV|III|II|I)\b)?", re.I)


def kind_of(standard: str) -> str:
    """Return the kind of an underlayment by the standard on its label: felt, synthetic or self-adhered.

    Empty where the label names none of the code's and no evaluation report.
    """
    if _FELTS.search(standard):
        return "felt"
    if "D1970" in standard:
        return "self-adhered"
    return "synthetic" if "D8257" in standard or "report" in standard.lower() else ""


@dataclass(frozen=True)
class ProductCheck:
    """Whether an underlayment may be used, by the standard on its label. needs: one thing, or empty."""

    verdict: Literal["permitted", "not permitted", "cannot tell"]
    needs: str = ""


def check_product(standard: str, edition: int, high_wind: bool) -> ProductCheck:
    """Return whether an underlayment stands in the code's table, or needs a report of its own.

    Polymer sheets of ASTM D8257, first published in December 2020 (Professional Roofing, July 2021), are in the
    code from 2024 (from memory); before, and without any standard, an evaluation report has to let them through
    (IRC R104.11), which is asked for in high wind alone.
    """
    if not high_wind or "report" in standard.lower() or "D1970" in standard:
        return ProductCheck("permitted")
    felt = _FELTS.search(standard)
    if felt is None:
        new = "D8257" in standard and edition >= D8257_FROM
        return (
            ProductCheck("permitted") if new else ProductCheck("cannot tell", "evaluation report")
        )
    name, type_ = felt[1].upper(), (felt[2] or "").upper()
    if name != "D6757" and not type_:
        return ProductCheck("cannot tell", "type on the label")
    held = type_permitted(f"{name} {type_}".strip() if name != "D6757" else name, high_wind)
    return ProductCheck("permitted" if held else "not permitted")


_TYPES_LOW = frozenset(
    {"D226 I", "D226 II", "D4869 I", "D4869 II", "D4869 III", "D4869 IV", "D6757"}
)
_TYPES_HIGH = frozenset({"D226 II", "D4869 III", "D4869 IV", "D6757"})


def type_permitted(felt_type: str, high_wind: bool) -> bool:
    """Return whether a felt type stands in the table's column, as “D226 II” or “D4869 IV”.

    From memory: IRC 2018/2021 Table R905.1.1(1). D226 Type II stands in the low-wind column here,
    though the table's low-wind cell names Type I only: the heavier felt of the same standard is in
    the stricter column, and refusing it would accuse good jobs.
    """
    return felt_type in (_TYPES_HIGH if high_wind else _TYPES_LOW)


MOST_ALONG_LAPS_IN = 6
MOST_BETWEEN_LAPS_IN = 12
"""The high-wind grid of cap fasteners (IRC 2018/2021 Table R905.1.1(3); from memory)."""

CAPPED = "whether the underlayment was fastened through caps"
ALONG_LAPS = "how far apart its fasteners are along the laps"
BETWEEN_LAPS = "how far apart they are between the laps"


@dataclass(frozen=True)
class AttachmentCheck:
    """Whether the underlayment's fastening holds by the table."""

    holds: bool
    faults: tuple[Said, ...]
    needs: tuple[str, ...]
    working: Working


def check_attachment(
    high_wind: bool,
    capped: bool | None,
    lap_spacing_in: Exact | None = None,
    field_spacing_in: Exact | None = None,
) -> AttachmentCheck:
    """Return whether cap fasteners satisfy the high-wind grid; elsewhere any that hold will do.

    High wind: caps, at most 6 in apart along laps and 12 in between them. None: nobody said. From
    memory: IRC 2018/2021 Table R905.1.1(3).
    """
    faults: list[Said] = []
    needs: list[str] = []
    if high_wind and capped is False:
        faults.append(say("no caps"))
    elif high_wind:
        if capped is None:
            needs.append(CAPPED)
        for spacing, most, along, need in (
            (lap_spacing_in, MOST_ALONG_LAPS_IN, say("along laps"), ALONG_LAPS),
            (field_spacing_in, MOST_BETWEEN_LAPS_IN, say("between laps"), BETWEEN_LAPS),
        ):
            if spacing is None:
                needs.append(need)
            elif above_zero(spacing, need) > most:
                far = say(
                    "{spacing} {along}, {most} in at most",
                    spacing=inches(spacing),
                    along=along,
                    most=most,
                )
                faults.append(far)
    return AttachmentCheck(
        not faults and not needs,
        tuple(faults),
        () if faults else tuple(needs),
        Working(
            "high wind: caps, ≤ 6 in along laps, ≤ 12 in between",
            say("{all}", all=Listed(tuple(faults or map(say, needs)), "; "))
            if faults or needs
            else say("within the grid" if high_wind else "outside high wind"),
            "IRC 2018/2021 Table R905.1.1(3)",
            "from memory",
        ),
    )
