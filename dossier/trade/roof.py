"""Whole roofs: sums over slopes, and stated figures against computed ones.

In: slopes and edges in feet and square feet, pitch as rise in 12. Out: totals, the kind of roof,
and whether two figures agree. Must not know of materials or code.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from dossier.said import Listed, Number, Said, Slopes, say
from dossier.trade.geometry import (
    SQFT_PER_SQUARE,
)
from dossier.trade.working import (
    Exact,
    Working,
    not_below_zero,
    one_of,
)
from dossier.values import write_number, write_share

CrossCheckVerdict = Literal["agrees", "differs", "cannot tell"]


@dataclass(frozen=True)
class CrossCheck:
    """What came of comparing a stated figure with a computed one."""

    verdict: CrossCheckVerdict
    differs_by: Fraction | None
    """Stated less computed, in the figures' own unit; None when one of them is missing."""
    differs_share: Fraction | None
    """The difference as a share of the computed figure; None when that is zero or missing."""
    needs: tuple[str, ...]
    working: Working


def cross_check(
    what: str, stated: Exact | None, computed: Exact | None, tolerance_share: Exact, unit: str
) -> CrossCheck:
    """Return whether a stated figure agrees with the computed one.

    what: the figure's name, for the working. tolerance_share: a share of the computed figure, zero
    or more; a difference of exactly the tolerance agrees. unit: ft or sq ft. A missing figure
    gives “cannot tell” and names what is needed.
    """
    tolerance = not_below_zero(tolerance_share, "tolerance")
    formula = "|stated - computed| ≤ tolerance × computed"
    source = "The tolerance is the caller's"
    if stated is None or computed is None:
        missing = tuple(
            f"{kind} {what}"
            for kind, value in (("stated", stated), ("computed", computed))
            if value is None
        )
        return CrossCheck(
            "cannot tell",
            None,
            None,
            missing,
            Working(
                formula,
                say("missing: {missing}", missing=Listed(missing, ", ")),
                source,
                "common practice",
            ),
        )
    said = not_below_zero(stated, f"stated {what}")
    found = not_below_zero(computed, f"computed {what}")
    difference = said - found
    agrees = abs(difference) <= tolerance * found
    return CrossCheck(
        "agrees" if agrees else "differs",
        difference,
        difference / found if found else None,
        (),
        Working(
            formula,
            f"{what}: |{write_number(said, 2)} - {write_number(found, 2)}|"
            f" = {write_number(abs(difference), 2)} {unit}"
            f" {'≤' if agrees else '>'} {write_share(tolerance, 2)} × {write_number(found, 2)}"
            f" = {write_number(tolerance * found, 2)} {unit}",
            source,
            "common practice",
        ),
    )


@dataclass(frozen=True)
class SlopeMeasure:
    """One plane of the roof: area in square feet, edges in feet; None where nobody measured."""

    label: str
    pitch_in_12: Exact | None
    area_sqft: Exact | None
    eave_ft: Exact | None = 0
    rake_ft: Exact | None = 0
    ridge_ft: Exact | None = 0
    hip_ft: Exact | None = 0
    valley_ft: Exact | None = 0
    step_flashing_ft: Exact | None = 0


@dataclass(frozen=True)
class RoofTotals:
    """The sums over all slopes; None where a slope lacks the figure, as half a sum misleads."""

    area_sqft: Fraction | None
    eave_ft: Fraction | None
    rake_ft: Fraction | None
    ridge_ft: Fraction | None
    hip_ft: Fraction | None
    valley_ft: Fraction | None
    step_flashing_ft: Fraction | None
    needs: tuple[Said, ...]
    """What is missing, as “area of slope A”, in the order of the labels."""
    working: Working

    @property
    def squares(self) -> Fraction | None:
        """Return the area in roofing squares; None when the area is not known."""
        return None if self.area_sqft is None else self.area_sqft / SQFT_PER_SQUARE


_SHARED = ("ridge_ft", "hip_ft", "valley_ft")
_SUMMED = ("area_sqft", "eave_ft", "rake_ft", *_SHARED, "step_flashing_ft")


def roof_totals(slopes: Iterable[SlopeMeasure], shared_edges: str = "listed once") -> RoofTotals:
    """Return the roof's area and edge lengths; the order of the slopes does not matter.

    shared_edges: a ridge, hip or valley belongs to two slopes. “listed once” takes each length as
    the record has it; “listed on both slopes” halves the sums, and is wrong for the top edge of a
    shed roof, which belongs to one slope only.
    """
    one_of(shared_edges, ("listed once", "listed on both slopes"), "shared_edges")
    planes = sorted(slopes, key=lambda slope: slope.label)
    sums: dict[str, Fraction | None] = {}
    needs: list[Said] = []
    for field in _SUMMED:
        values: list[Exact | None] = [getattr(plane, field) for plane in planes]
        name = field.rsplit("_", 1)[0].replace("_", " ")
        needs += [
            say("{name} of {slope}", name=name, slope=Slopes((plane.label,)))
            for plane, value in zip(planes, values, strict=True)
            if value is None
        ]
        known = [not_below_zero(value, name) for value in values if value is not None]
        halved = field in _SHARED and shared_edges == "listed on both slopes"
        total = sum(known, Fraction(0)) / (2 if halved else 1)
        sums[field] = total if planes and len(known) == len(planes) else None
    area = sums["area_sqft"]
    areas = (
        f"{plane.label} {'?' if plane.area_sqft is None else write_number(plane.area_sqft, 2)}"
        for plane in planes
    )
    return RoofTotals(
        **sums,
        needs=tuple(needs),
        working=Working(
            "sum over all slopes",
            say(
                "{areas} = {area}",
                areas=Listed(tuple(areas), " + "),
                area=say("cannot tell") if area is None else Number(area, "sq ft", 2),
            ),
            "Arithmetic",
            "looked-up",
        ),
    )


RoofKind = Literal["shed", "gable", "hip", "cut-up", "cannot tell"]


def roof_kind(slopes: Iterable[SlopeMeasure]) -> RoofKind:
    """Return the kind of roof that the edges of its slopes make, for choosing a waste band.

    Any valley makes a roof cut-up (dormers and wings bring valleys); else any hip makes it hip;
    else it is gable, or shed when no slope has a ridge or when there is one slope. Common
    practice, no published source.
    """
    planes = list(slopes)
    totals = roof_totals(planes)
    if totals.valley_ft is None or totals.hip_ft is None:
        return "cannot tell"
    if totals.valley_ft:
        return "cut-up"
    if totals.hip_ft:
        return "hip"
    return "shed" if len(planes) == 1 or totals.ridge_ft == 0 else "gable"
