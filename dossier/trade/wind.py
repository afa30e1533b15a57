"""Wind: shingle classes against the design wind speed, and the two scales of wind speed.

In: design speeds in mph, classes by test, exposure, mean roof height. Out: accepted classes and
verdicts. Must not know a locality or a product. Design speeds come on two scales, ultimate (Vult)
and nominal (Vasd); fan speeds of a test are a third thing and equal neither.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from dossier.trade.working import (
    Exact,
    Working,
    above_zero,
    not_below_zero,
    one_of,
    root,
    show,
)

NOMINAL_PER_ULTIMATE_SQUARED = Fraction(6, 10)
"""Vasd = Vult × √0.6 (IBC 2015/2018 equation 16-33; IRC Table R301.2.1.3)."""

MOST_ROOF_HEIGHT_FT = 60
"""Mean roof height up to which ASTM D7158 classes hold (D7158-24a, section 6.3)."""

D3161_FAN_MPH: Mapping[str, int] = MappingProxyType({"A": 60, "D": 90, "F": 110})
"""Fan speeds of ASTM D3161 classes: test speeds, never design speeds."""


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


def vasd_from_vult(vult_mph: Exact) -> Fraction:
    """Return the nominal design speed in mph for an ultimate one; IBC equation 16-33."""
    return not_below_zero(vult_mph, "Vult") * root(NOMINAL_PER_ULTIMATE_SQUARED)


def vult_from_vasd(vasd_mph: Exact) -> Fraction:
    """Return the ultimate design speed in mph for a nominal one; IBC equation 16-33."""
    return not_below_zero(vasd_mph, "Vasd") / root(NOMINAL_PER_ULTIMATE_SQUARED)


def wind_row(vult_mph: Exact) -> WindRow | None:
    """Return the first row whose speed is at least Vult; None above the table."""
    speed = above_zero(vult_mph, "Vult")
    return next((row for row in WIND_TABLE if row.vult_mph >= speed), None)


@dataclass(frozen=True)
class Conditions:
    """Whether a D7158 class may be used at a site as it stands."""

    verdict: Literal["standard", "outside", "cannot tell"]
    outside: tuple[str, ...]
    """What lies outside the standard's conditions, in words."""
    needs: tuple[str, ...]
    working: Working


def standard_conditions(
    exposure: str | None, mean_roof_height_ft: Exact | None, hill_crest: bool | None
) -> Conditions:
    """Return whether the site lies within ASTM D7158's conditions.

    Exposure B or C, mean roof height to 60 ft, no hill, ridge or escarpment that speeds the wind
    up. Outside them the maker or an engineer justifies the class. exposure: “B”, “C” or “D”. None:
    not known. One condition outside settles it, whatever else is missing.
    """
    outside: list[str] = []
    needs: list[str] = []
    if exposure is None:
        needs.append("wind exposure")
    elif one_of(exposure, ("B", "C", "D"), "exposure") == "D":
        outside.append("exposure D")
    if mean_roof_height_ft is None:
        needs.append("mean roof height")
    elif above_zero(mean_roof_height_ft, "mean roof height") > MOST_ROOF_HEIGHT_FT:
        outside.append(f"mean roof height {show(mean_roof_height_ft)} ft, 60 ft at most")
    if hill_crest is None:
        needs.append("whether the house stands on a hill crest")
    elif hill_crest:
        outside.append("hill crest")
    verdict: Literal["standard", "outside", "cannot tell"] = "standard"
    if outside:
        verdict, needs = "outside", []
    elif needs:
        verdict = "cannot tell"
    return Conditions(
        verdict,
        tuple(outside),
        tuple(needs),
        Working(
            "exposure B or C; mean roof height ≤ 60 ft; no hill crest",
            "; ".join(outside or needs) or "within all three",
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
    needs = tuple(
        name
        for name, value in (
            ("design wind speed", vult_mph),
            ("wind test on the wrapper", test),
            ("wind class on the wrapper", wind_class),
        )
        if value is None
    )
    row = None if vult_mph is None else wind_row(vult_mph)
    if vult_mph is not None and row is None:
        line = Working(formula, f"{show(vult_mph)} mph is above 194 mph", _SOURCE, "from memory")
        needs = ("engineered or maker's evidence",)
        return WindCheck("outside table", None, (), needs, line)
    if vult_mph is None or row is None or test is None or wind_class is None:
        line = Working(formula, f"needed: {', '.join(needs)}", _SOURCE, "from memory")
        return WindCheck("cannot tell", row, (), needs, line)
    accepted = row.d7158 if one_of(test, ("D7158", "D3161"), "test") == "D7158" else row.d3161
    enough = wind_class in accepted
    return WindCheck(
        "enough" if enough else "too low",
        row,
        accepted,
        (),
        Working(
            formula,
            f"{show(vult_mph)} mph: row {row.vult_mph} mph accepts {test} {', '.join(accepted)};"
            f" class {wind_class} is {'' if enough else 'not '}among them",
            _SOURCE,
            "from memory",
        ),
    )


def least_pull_through_lb(vasd_mph: Exact) -> int:
    """Return the least fastener pull-through resistance in pounds at 73 F for a gust in mph.

    vasd_mph: on the nominal scale. 20 by the product standard, 25 above 90 mph, 30 above 120 mph.
    Guidance, not code, and disputed by a contractors' association. Source: FEMA P-499, technical
    fact sheet 7.3 (2010).
    """
    speed = not_below_zero(vasd_mph, "wind speed")
    return 30 if speed > 120 else 25 if speed > 90 else 20


@dataclass(frozen=True)
class HighWindCheck:
    """Whether the usual conditions of high-wind coverage are shown."""

    verdict: Literal["complete", "incomplete", "cannot tell"]
    missing: tuple[str, ...]
    needs: tuple[str, ...]


def check_high_wind(
    nails_per_shingle: int | None,
    starter_at_eaves: bool | None,
    starter_at_rakes: bool | None,
    nails_asked: int = 6,
) -> HighWindCheck:
    """Return whether nails and starter are as high-wind coverage commonly asks.

    Common practice, no published source: six nails, starter at eaves and rakes. The printed terms
    decide; None: not known.
    """
    missing: list[str] = []
    needs: list[str] = []
    if nails_per_shingle is None:
        needs.append("nails per shingle")
    elif nails_per_shingle < nails_asked:
        missing.append(f"{nails_per_shingle} nails per shingle, {nails_asked} asked")
    for name, laid in (("eaves", starter_at_eaves), ("rakes", starter_at_rakes)):
        if laid is None:
            needs.append(f"starter at {name}")
        elif not laid:
            missing.append(f"starter at {name}")
    verdict: Literal["complete", "incomplete", "cannot tell"] = (
        "incomplete" if missing else "cannot tell" if needs else "complete"
    )
    return HighWindCheck(verdict, tuple(missing), tuple(needs))
