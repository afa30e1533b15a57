"""Wind: shingle classes against the design wind speed, and where a class may be used.

In: design speeds in mph, classes by test, exposure, mean roof height. Out: accepted classes and
verdicts. Must not know a locality or a product. Design speeds come on two scales, ultimate (Vult)
and nominal (Vasd); fan speeds of a test are a third thing and equal neither.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from dossier.said import Feet, Listed, Number, Said, say
from dossier.trade.working import (
    Exact,
    Working,
    above_zero,
    blank,
    needed,
    one_of,
)

MOST_ROOF_HEIGHT_FT = 60
"""Mean roof height up to which ASTM D7158 classes hold (D7158-24a, section 6.3)."""


D7158_CLASS = "the D7158 class on the wrapper"
D3161_CLASS = "the D3161 class on the wrapper"
"""What is asked for where the label does not have it. Shingles are tested to ASTM D7158; D3161 is for those
outside its scope alone (IRC 2018/2021/2024 R905.2.4.1): designs that interlock, or that their own stiffness
holds (ASTM D7158/D7158M-11, section 1.1, as on its publisher's page)."""


@dataclass(frozen=True)
class WindRow:
    """One row of the table: classes accepted up to and including a design speed."""

    vult_mph: int
    vasd_mph: int
    d7158: tuple[str, ...]
    d3161: tuple[str, ...]


WIND_TABLE: tuple[WindRow, ...] = (
    WindRow(110, 85, ("D", "G", "H"), ("A", "D", "F")),
    WindRow(116, 90, ("D", "G", "H"), ("A", "D", "F")),
    WindRow(129, 100, ("G", "H"), ("A", "D", "F")),
    WindRow(142, 110, ("G", "H"), ("F",)),
    WindRow(155, 120, ("G", "H"), ("F",)),
    WindRow(168, 130, ("H",), ("F",)),
    WindRow(181, 140, ("H",), ("F",)),
    WindRow(194, 150, ("H",), ("F",)),
)
"""IRC 2015/2018/2021/2024 Table R905.2.4.1, from memory. The D7158 ceilings 116, 155 and 194 mph
agree with the shingle industry association's page; the D3161 column was seen nowhere."""

_SOURCE = "IRC Table R905.2.4.1"


def wind_row(vult_mph: Exact) -> WindRow | None:
    """Return the first row whose speed is at least Vult; None above the table."""
    speed = above_zero(vult_mph, "Vult")
    return next((row for row in WIND_TABLE if row.vult_mph >= speed), None)


@dataclass(frozen=True)
class Conditions:
    """Whether a D7158 class may be used at a site as it stands."""

    verdict: Literal["standard", "outside", "cannot tell"]
    outside: Mapping[str, Said]
    """What lies outside the standard's conditions: which input, and what it is."""
    needs: tuple[str, ...]
    working: Working


EXPOSURE = "wind exposure"
HEIGHT = "mean roof height"
CREST = "whether the house stands on a hill crest"


def standard_conditions(
    exposure: str | None, mean_roof_height_ft: Exact | None, hill_crest: bool | None
) -> Conditions:
    """Return whether the site lies within ASTM D7158's conditions.

    Exposure B or C, mean roof height to 60 ft, no hill, ridge or escarpment that speeds the wind
    up. Outside them the maker or an engineer justifies the class. exposure: “B”, “C” or “D”. None:
    not known. One condition outside settles it, whatever else is missing.
    """
    outside: dict[str, Said] = {}
    needs: list[str] = []
    if exposure is None:
        needs.append(EXPOSURE)
    elif one_of(exposure, ("B", "C", "D"), "exposure") == "D":
        outside[EXPOSURE] = say("exposure D")
    if mean_roof_height_ft is None:
        needs.append(HEIGHT)
    elif (height := above_zero(mean_roof_height_ft, HEIGHT)) > MOST_ROOF_HEIGHT_FT:
        outside[HEIGHT] = say("mean roof height {height}, 60 ft at most", height=Feet(height))
    if hill_crest is None:
        needs.append(CREST)
    elif hill_crest:
        outside[CREST] = say("hill crest")
    verdict: Literal["standard", "outside", "cannot tell"] = "standard"
    if outside:
        verdict, needs = "outside", []
    elif needs:
        verdict = "cannot tell"
    return Conditions(
        verdict,
        MappingProxyType(outside),
        tuple(needs),
        Working(
            "exposure B or C; mean roof height ≤ 60 ft; no hill crest",
            say("{all}", all=Listed(tuple(outside.values() or map(say, needs)), "; "))
            if outside or needs
            else say("within all three"),
            "ASTM D7158/D7158M-24a, section 6.3",
            "looked-up",
        ),
    )


@dataclass(frozen=True)
class WindCheck:
    """Whether a shingle's wind class is enough for the design speed."""

    verdict: Literal["enough", "too low", "outside table", "cannot tell"]
    row: WindRow | None
    accepted: tuple[str, ...]
    needs: tuple[str, ...]
    working: Working


def check_class(vult_mph: Exact | None, test: str | None, wind_class: str | None) -> WindCheck:
    """Return whether a wrapper's test and class are enough for an ultimate design speed in mph.

    test: “D7158” or “D3161”; the second serves only shingles outside the first one's scope, which
    the caller knows. Above 194 mph the table ends: engineered or maker's evidence is needed.
    Standard conditions are a matter of their own. Source: IRC Table R905.2.4.1, from memory.
    """
    formula = "first row with speed ≥ Vult; class among those listed"
    needs = blank(
        ("design wind speed", vult_mph),
        ("wind test on the wrapper", test),
        ("wind class on the wrapper", wind_class),
    )
    row = None if vult_mph is None else wind_row(vult_mph)
    if vult_mph is not None and row is None:
        above = say("{speed} is above 194 mph", speed=Number(vult_mph, "mph", 2))
        line = Working(formula, above, _SOURCE, "from memory")
        needs = ("engineered or maker's evidence",)
        return WindCheck("outside table", None, (), needs, line)
    if vult_mph is None or row is None or test is None or wind_class is None:
        line = Working(formula, needed(needs), _SOURCE, "from memory")
        return WindCheck("cannot tell", row, (), needs, line)
    accepted = row.d7158 if one_of(test, ("D7158", "D3161"), "test") == "D7158" else row.d3161
    enough = wind_class in accepted
    text = "{speed}: row {row} mph accepts {test} {accepted}; class {found} is not among them"
    if enough:
        text = "{speed}: row {row} mph accepts {test} {accepted}; class {found} is among them"
    return WindCheck(
        "enough" if enough else "too low",
        row,
        accepted,
        (),
        Working(
            formula,
            say(
                text,
                speed=Number(vult_mph, "mph", 2),
                row=row.vult_mph,
                test=test,
                accepted=Listed(accepted, ", "),
                found=wind_class,
            ),
            _SOURCE,
            "from memory",
        ),
    )
