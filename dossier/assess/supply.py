"""What was delivered and kept, role by role, against what the measured roof needs.

In: a case and its slopes' figures. Out: `RoleResult`s and figures. Must not judge a product's maker.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction

from dossier.assess.has_place import is_membrane
from dossier.assess.results import Figure, Input, RoleResult, SlopeResult
from dossier.case.case import Case, Material
from dossier.record.roof import Slope
from dossier.said import Area, Count, Feet, Listed, Number, Value, say
from dossier.trade import ice_barrier, takeoff
from dossier.trade.roof import RoofTotals
from dossier.trade.takeoff import DEFAULT_TOLERANCE_SHARE as DEFAULT_TOLERANCE_SHARE
from dossier.trade.takeoff import LotCheck as LotCheck
from dossier.values import unit_for
from dossier.words import EdgeKind, Role, ValleyMethod

_ROLL_IN = Fraction(36)
_LAP_IN = Fraction(4)
"""Width of an ordinary ice-barrier roll and lap of its courses, where no label says otherwise;
common practice, no published source."""


def role_results(
    case: Case, slopes: tuple[SlopeResult, ...], totals: RoofTotals, kind: str
) -> tuple[RoleResult, ...]:
    """Return the take-off of every role whose need the record lets us compute."""
    band = takeoff.waste_band("cannot tell" if kind == "cannot tell" else kind)
    return tuple(
        _compared(case, role, need, covers)
        for role, need, covers in _needs(case, slopes, totals, band)
    )


_Covers = Callable[[Material], Fraction | None]


def _area(material: Material) -> Fraction | None:
    return material.covers_sqft


def _feet(material: Material) -> Fraction | None:
    return material.covers_ft


def _each(material: Material) -> Fraction | None:
    return Fraction(1)


def _fasteners(material: Material) -> Fraction | None:
    pieces = material.product.pieces_per_unit if material.product else None
    return None if pieces is None else Fraction(pieces)


def _needs(
    case: Case, slopes: tuple[SlopeResult, ...], totals: RoofTotals, band: takeoff.WasteBand
) -> Iterator[tuple[Role, takeoff.Need, _Covers]]:
    installation = case.job.installation
    starter_at = installation.starter_at if installation else ()
    flat = sum(
        (
            result.area_sqft or Fraction(0)
            for slope, result in zip(case.job.slopes, slopes, strict=True)
            if is_membrane(case, slope)
        ),
        Fraction(0),
    )
    if totals.area_sqft is not None and flat:
        totals = replace(totals, area_sqft=totals.area_sqft - flat)
    if totals.area_sqft is not None:
        method = installation.valley_method if installation else None
        woven = totals.valley_ft if method is ValleyMethod.WOVEN else None
        yield Role.FIELD_SHINGLE, takeoff.field_need(totals.area_sqft, band, woven or 0), _area
    if totals.eave_ft is not None and totals.rake_ft is not None:
        # Eaves always carry starter; rakes count only where the record says that they do.
        rakes = totals.rake_ft if EdgeKind.RAKES in starter_at else Fraction(0)
        yield Role.STARTER, takeoff.starter_need(totals.eave_ft, rakes, band), _feet
    if totals.ridge_ft is not None and totals.hip_ft is not None:
        need = takeoff.hip_and_ridge_need(totals.ridge_ft, totals.hip_ft, band)
        if need.at_zero_waste > 0:
            yield Role.HIP_AND_RIDGE, need, _feet
    barrier = _barrier(case, slopes)
    if barrier is not None and totals.valley_ft is not None:
        need = takeoff.ice_barrier_need(barrier, totals.valley_ft, band)
        if need.at_zero_waste > 0:
            yield Role.ICE_BARRIER, need, _feet
    if totals.area_sqft is not None and barrier is not None:
        covered = _covered_sqft(case, slopes)
        most = max((s.underlayment.layers for s in slopes if s.underlayment), default=1) or 1
        layers = most
        if len({s.underlayment.layers for s in slopes if s.underlayment}) > 1:
            # Slopes that need two layers and slopes that need one: the least is one everywhere.
            layers = 1
        # Ice barrier laid twice over one place still saves at most the roof itself.
        saved = min(covered, totals.area_sqft)
        if saved < totals.area_sqft:
            need = takeoff.underlayment_need(totals.area_sqft, band, layers, saved, most)
            yield Role.UNDERLAYMENT, need, _area
    edges = _metal_edges(case, slopes)
    if edges:
        yield Role.DRIP_EDGE, takeoff.drip_edge_need(edges), _each
    nails = _nails_per_square(case)
    if nails is not None and totals.area_sqft is not None:
        yield Role.FASTENER, takeoff.nail_need(totals.area_sqft, nails, band), _fasteners


def _barrier(case: Case, slopes: tuple[SlopeResult, ...]) -> list[tuple[Fraction, int]] | None:
    """Return each eave's length and courses; None where an eave's courses are not on record."""
    found: list[tuple[Fraction, int]] = []
    for slope, result in zip(case.job.slopes, slopes, strict=True):
        eave_ft = _barrier_ft(case, slope, result)
        if not eave_ft:
            continue
        courses = _courses(result)
        if slope.ice_barrier_whole:
            if result.length_ft is None:
                if result.area_sqft is None:
                    return None
                # By the area: as much roll as covers the slope with no lap at all.
                found.append((result.area_sqft * 12 / _ROLL_IN, 1))
                continue
            courses = ice_barrier.courses_for(result.length_ft * 12, _ROLL_IN, _LAP_IN).count
        if courses is None:
            return None
        found.append((eave_ft, courses))
    return found


def _barrier_ft(case: Case, slope: Slope, result: SlopeResult) -> Fraction:
    """Return the length of a slope's eave along which barrier is counted.

    None along an eave that the code leaves out, such as a cold garage's that stands alone, nor where none was
    laid.
    """
    if not result.eave_ft or not case.locality.ice_barrier.required:
        return Fraction(0)
    asked = result.reach is not None and result.reach.status != "not required"
    counted = slope.ice_barrier_whole or (asked and result.barrier.reach_in != 0)
    return result.eave_ft if counted else Fraction(0)


def _covered_sqft(case: Case, slopes: tuple[SlopeResult, ...]) -> Fraction:
    """Return the area below ice barrier, no slope counted larger than itself."""
    covered = Fraction(0)
    for slope, result in zip(case.job.slopes, slopes, strict=True):
        if slope.ice_barrier_whole:
            covered += result.area_sqft or 0
        elif eave_ft := _barrier_ft(case, slope, result):
            courses = _courses(result) or 0
            reach = ice_barrier.covered_by(courses, _ROLL_IN, _LAP_IN).covered_in if courses else 0
            here = eave_ft * reach / 12
            covered += here if result.area_sqft is None else min(here, result.area_sqft)
    return covered


def _courses(result: SlopeResult) -> int | None:
    """Return the courses at a slope's eave: as typed, else those that the reach laid would take."""
    if result.barrier_courses is not None:
        return result.barrier_courses
    laid = result.reach_check.installed_in if result.reach_check else None
    return ice_barrier.courses_for(laid, _ROLL_IN, _LAP_IN).count if laid else None


def _metal_edges(case: Case, slopes: tuple[SlopeResult, ...]) -> list[Fraction]:
    """Return the runs of drip edge the record says were laid: each eave one, each rake one."""
    installation = case.job.installation
    at = installation.drip_edge_at if installation else ()
    edges: list[Fraction] = []
    for result in slopes:
        if EdgeKind.EAVES in at and result.eave_ft:
            edges.append(result.eave_ft)
        if EdgeKind.RAKES in at and result.rake_ft:
            one = result.length_ft is not None and result.rake_ft < result.length_ft * Fraction(
                3, 2
            )
            edges += [result.rake_ft] if one else [result.rake_ft / 2] * 2
    return edges


def _nails_per_square(case: Case) -> Fraction | None:
    installation = case.job.installation
    nails = installation.nails_per_shingle if installation else None
    counts = {
        m.product.shingles_per_square
        for m in case.materials_of(Role.FIELD_SHINGLE)
        if m.product and m.product.shingles_per_square
    }
    return Fraction(counts.pop() * nails) if nails and len(counts) == 1 else None


def _compared(case: Case, role: Role, need: takeoff.Need, covers: _Covers) -> RoleResult:
    materials = case.materials_of(role)
    lines = [
        takeoff.SuppliedLine(
            delivered=material.line.quantity,
            covers=covers(material),
            returned=material.line.returned or 0,
            from_stock=material.is_stock,
        )
        for material in materials
    ]
    spare = sum(1 for material in materials if material.line.left_with_owner)
    return RoleResult(role, need, takeoff.compare(need, lines, spare_packages=spare), materials)


def lot_check(material: Material) -> takeoff.LotCheck | None:
    """Return the lots of one line against what was delivered; None where either is not on record."""
    line = material.line
    if not line.lots or line.quantity is None:
        return None
    return takeoff.check_lots(line.quantity, [lot.quantity for lot in line.lots])


def waste_share(result: RoleResult) -> Fraction | None:
    """Return how much more was delivered and kept than the measured roof takes, as a share; None where unknown."""
    supplied, least = result.take_off.supplied, result.need.at_zero_waste
    return supplied / least - 1 if supplied is not None and least else None


def supply_figures(
    case: Case, slopes: tuple[SlopeResult, ...], roles: tuple[RoleResult, ...]
) -> tuple[Figure, ...]:
    """Return each role's need and verdict as figures."""
    figures: list[Figure] = []
    for result in roles:
        inputs = tuple(
            (material.name, _delivered(material), case.where(material.path))
            for material in result.materials
        )
        slug = result.role.value.replace(" ", "_")
        need = Number(result.need.at_zero_waste, result.need.unit, 1)
        figures.append(
            Figure(
                f"need.{slug}",
                say("{role!c}: what the roof needs at no waste", role=result.role),
                need,
                result.need.working,
                tuple(_need_inputs(case, slopes, result.role)),
            )
        )
        figures.append(
            Figure(
                f"supply.{slug}",
                say("{role!c}: delivered less returned", role=result.role),
                say(result.take_off.verdict),
                result.take_off.working,
                inputs,
            )
        )
    return tuple(figures)


def _need_inputs(case: Case, slopes: tuple[SlopeResult, ...], role: Role) -> Iterator[Input]:
    """Yield, slope by slope, the measures that a need is summed from."""
    courses = {}
    if role is Role.ICE_BARRIER:
        barrier = _barrier(case, slopes) or []
        with_eaves = [slope.label for slope in slopes if slope.eave_ft]
        courses = dict(zip(with_eaves, (count for _, count in barrier), strict=False))
    for slope, result in zip(case.job.slopes, slopes, strict=True):
        parts = {
            Role.STARTER: (("eave", result.eave_ft), ("rakes", result.rake_ft)),
            Role.DRIP_EDGE: (("eave", result.eave_ft), ("rakes", result.rake_ft)),
            Role.HIP_AND_RIDGE: (("ridge", slope.ridge_ft), ("hips", slope.hip_ft)),
            Role.ICE_BARRIER: (("eave", result.eave_ft), ("valleys", slope.valley_ft)),
        }.get(role)
        where = case.where(result.path)
        if parts is None:
            if result.area_sqft is not None:
                yield (f"slope {slope.label}", Area(result.area_sqft), where)
            continue
        lengths: list[Value] = [
            say("{name} {length}", name=name, length=Feet(length))
            for name, length in parts
            if length
        ]
        if role is Role.ICE_BARRIER and slope.label in courses:
            lengths.append(Count(courses[slope.label], "course"))
        if lengths:
            yield (f"slope {slope.label}", Listed(tuple(lengths), ", "), where)


def _delivered(material: Material) -> Value:
    if material.line.quantity is None:
        return say("quantity not on record")
    came = Number(material.line.quantity, unit_for(material.line.quantity, material.line.unit))
    back = material.line.returned
    return say("{came}, {back} back", came=came, back=Number(back)) if back else came
