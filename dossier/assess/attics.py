"""Attic spaces and their vents against the code: what lies high, what lies low, and how much of it.

In: a case. Out: the trade room's checks and figures. Must not know a rule.
"""

import re
from fractions import Fraction

from dossier.assess.results import Figure, Input
from dossier.assess.roof import edition_year
from dossier.case.case import Case
from dossier.record.people import Attic, Vent
from dossier.said import NOT_ON_RECORD, Area, Listed, Product, Value, say
from dossier.trade import ventilation
from dossier.words import AtticKind, Role

_GABLE = re.compile(r"\bgable", re.I)
_HIGH = re.compile(
    r"\b(?:gable|ridge|off-ridge|box|turbine|whirl\w*|cupola|mushroom|static|power)\b", re.I
)
_AT_THE_EAVE = re.compile(r"\b(?:soffit|eaves?|edge|fascia|intake|under-?eave)\b", re.I)
"""Words of a vent's name that say where it lies: all but the last lie high, and a gable's may lie too low to
count as high. Common practice, no published source."""


def zone_number(case: Case) -> int | None:
    """Return the climate zone's number: 6 from 6A; None where nobody says."""
    digits = re.match(r"[0-8]", case.climate_zone.value) if case.climate_zone else None
    return int(digits[0]) if digits else None


def attic_results(case: Case) -> tuple[tuple[ventilation.SpaceCheck, ...], tuple[Figure, ...]]:
    """Return the verdict on every attic space, with its working."""
    attics = case.job.building.attics if case.job.building else ()
    checks: list[ventilation.SpaceCheck] = []
    figures: list[Figure] = []
    for number, attic in enumerate(attics):
        path = f"building.attics.{number}"
        high, low = high_and_low(case, attic)
        space = ventilation.AtticSpace(
            name=attic.space,
            area_sqft=attic.floor_area_sqft,
            exhaust_sqin=vents_sqin(case, high, attic.exhaust, f"{path}.exhaust"),
            intake_sqin=vents_sqin(case, low, attic.intake, f"{path}.intake"),
            retarder=attic.vapour_retarder.value if attic.vapour_retarder else None,
            vented=attic.kind is not AtticKind.UNVENTED,
            exhaust_kinds=tuple(dict.fromkeys(vent.product for vent in high)),
            upper_high=ventilation.upper_high(
                attic.upper_drop_ft, not any(_GABLE.search(vent.product) for vent in high)
            ),
        )
        check = ventilation.check_space(
            space,
            edition_year(case),
            zone_number(case),
            _per_foot(case, high),
            _per_foot(case, low),
        )
        checks.append(check)
        figures.append(
            Figure(
                f"attic.{number}",
                say("Vents of the attic space {space}", space=attic.space),
                say(check.verdict),
                check.working,
                _attic_inputs(case, attic, path),
            )
        )
    return tuple(checks), tuple(figures)


def _attic_inputs(case: Case, attic: Attic, path: str) -> tuple[Input, ...]:
    area, retarder, zone = attic.floor_area_sqft, attic.vapour_retarder, case.climate_zone
    return (
        (
            "floor area",
            NOT_ON_RECORD if area is None else Area(area),
            case.where(f"{path}.floor_area_sqft"),
        ),
        ("exhaust", _vent_text(attic.exhaust), case.where(f"{path}.exhaust")),
        ("intake", _vent_text(attic.intake), case.where(f"{path}.intake")),
        (
            "vapour retarder",
            retarder or NOT_ON_RECORD,
            case.where(f"{path}.vapour_retarder"),
        ),
        (
            "climate zone",
            zone.value if zone else NOT_ON_RECORD,
            zone.where if zone else case.where("building.climate_zone"),
        ),
    )


def _vent_text(vents: tuple[Vent, ...]) -> Value:
    return Listed(tuple(Product(vent.product) for vent in vents), "; ") if vents else NOT_ON_RECORD


def high_and_low(case: Case, attic: Attic) -> tuple[tuple[Vent, ...], tuple[Vent, ...]]:
    """Return the vents of a space that lie high and those that lie low, whichever list they were typed in."""
    told = [(vent, _lies_low(case, vent, True)) for vent in attic.exhaust]
    told += [(vent, _lies_low(case, vent, False)) for vent in attic.intake]
    high = tuple(vent for vent, low in told if not low)
    return high, tuple(vent for vent, low in told if low)


def _lies_low(case: Case, vent: Vent, typed_as_exhaust: bool) -> bool:
    """Return whether a vent lies low: as the record says, else by what it is, else by its list."""
    if vent.low is not None:
        return vent.low
    if typed_as_exhaust:
        return False
    product = case.product(vent.product)
    if product is not None and product.role in (Role.EXHAUST_VENT, Role.INTAKE_VENT):
        return product.role is Role.INTAKE_VENT
    return _AT_THE_EAVE.search(vent.product) is not None or not _HIGH.search(vent.product)


def vent_fact_at(case: Case, number: int, need: str) -> str:
    """Return the field where a fact that an attic's verdict lacks belongs. need: as its check names it."""
    path = f"building.attics.{number}"
    assert case.job.building is not None, "an attic belongs to a building"
    attic = case.job.building.attics[number]
    lists = {
        ventilation.EXHAUST: ("exhaust", attic.exhaust),
        ventilation.INTAKE: ("intake", attic.intake),
    }
    if need not in lists:
        return {
            ventilation.AREA: f"{path}.floor_area_sqft",
            ventilation.RETARDER: f"{path}.vapour_retarder",
            ventilation.ZONE: "building.climate_zone",
            ventilation.UPPER_DROP: f"{path}.upper_drop_ft",
        }[need]
    side, vents = lists[need]
    for index, vent in enumerate(vents):
        if vent_area_each(case, vent) is None:
            return f"{path}.{side}.{index}.net_free_area_sqin"
        if vent.length_ft is None and vent.count is None:
            product = case.product(vent.product)
            per_foot = product is not None and product.net_free_area_per_foot
            return f"{path}.{side}.{index}.{'length_ft' if per_foot else 'count'}"
    return f"{path}.{side}"


def vents_sqin(
    case: Case, vents: tuple[Vent, ...], typed: tuple[Vent, ...], path: str
) -> Fraction | None:
    """Return the net free area of some vents; None where one's area or number is not known.

    typed: what stands in the list at `path`. A blank list is None too, since a space without an entry is not a
    space without vents; where the record says that it does not apply, there are none in it.
    """
    if not typed and not case.reason_not(path):
        return None
    total = Fraction(0)
    for vent in vents:
        each = vent_area_each(case, vent)
        many = vent.length_ft if vent.length_ft is not None else vent.count
        if each is None or many is None:
            return None
        total += each * many
    return total


def vent_area_each(case: Case, vent: Vent) -> Fraction | None:
    """Return the net free area of each foot or piece: the record's, else the catalogue's."""
    if vent.net_free_area_sqin is not None:
        return vent.net_free_area_sqin
    product = case.product(vent.product)
    return product.net_free_area_sqin if product else None


def _per_foot(case: Case, vents: tuple[Vent, ...]) -> Fraction | None:
    areas = {vent_area_each(case, vent) for vent in vents if vent.length_ft is not None}
    return areas.pop() if len(areas) == 1 else None
