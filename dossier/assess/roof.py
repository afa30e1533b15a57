"""The slopes' areas and edges, ice barrier and underlayment, against the locality's code.

In: a case. Out: `SlopeResult`s, roof totals and figures. Must not read a file or know a rule.
"""

from dataclasses import replace
from fractions import Fraction

from dossier.assess import barrier
from dossier.assess.has_place import is_membrane
from dossier.assess.results import Figure, Input, RoofEdge, SlopeResult
from dossier.case.case import Case
from dossier.record.roof import Slope
from dossier.said import NOT_ON_RECORD, Area, Count, Feet, Inches, Listed, Number, Slopes, say
from dossier.trade import geometry, ice_barrier, roof, underlayment
from dossier.trade.working import Working
from dossier.words import HeatedBelow, Role, WallDatum

EDGE_TOLERANCE = Fraction(2, 100)
"""Share by which stated and computed figures may differ; common practice, no published source."""

_WHOLE_BELOW = Fraction(4)


def edition_year(case: Case) -> int:
    """Return the year of the locality's adopted code."""
    return int(case.locality.code.value.rpartition(" ")[2])


def slope_results(case: Case) -> tuple[tuple[SlopeResult, ...], tuple[Figure, ...]]:
    """Return every slope's figures, in the record's order, with their working."""
    figures: list[Figure] = []
    results = tuple(
        _slope(case, slope, f"slopes.{number}", figures)
        for number, slope in enumerate(case.job.slopes)
    )
    return results, tuple(figures)


def totals_of(case: Case, slopes: tuple[SlopeResult, ...]) -> roof.RoofTotals:
    """Return the roof's totals; a length nobody typed counts as none of that edge."""
    return roof.roof_totals(measures(case, slopes))


def measures(case: Case, slopes: tuple[SlopeResult, ...]) -> list[roof.SlopeMeasure]:
    """Return the slopes as the trade room wants them."""
    return [
        roof.SlopeMeasure(
            label=result.label,
            pitch_in_12=result.pitch.rise_in_12 if result.pitch else None,
            area_sqft=result.area_sqft,
            eave_ft=result.eave_ft,
            rake_ft=result.rake_ft,
            ridge_ft=slope.ridge_ft or 0,
            hip_ft=slope.hip_ft or 0,
            valley_ft=slope.valley_ft or 0,
            step_flashing_ft=slope.step_flashing_ft or 0,
        )
        for slope, result in zip(case.job.slopes, slopes, strict=True)
    ]


def _slope(case: Case, slope: Slope, path: str, figures: list[Figure]) -> SlopeResult:
    if slope.eave_ft is None and case.reason_not(f"{path}.eave_ft"):
        # The upper plane of a gambrel begins at a break and has no eave, whatever its plan.
        slope = slope.model_copy(update={"eave_ft": Fraction(0)})
    pitch = slope.pitch.rise_in_12 if slope.pitch else None
    area, area_working = _area(slope, pitch)
    if area is not None and area_working is not None:
        figures.append(
            Figure(
                f"slope.{slope.label}.area",
                say("Area of {slope}", slope=Slopes((slope.label,))),
                Area(area),
                area_working,
                _area_inputs(case, slope, path),
            )
        )
    cut_up = any(one.valley_ft or one.hip_ft for one in case.job.slopes)
    length = _length(slope, pitch, area, cut_up)
    reach = _reach(case, slope, pitch, length)
    laid = barrier.laid_on(case, slope, path, length)
    edge = _edge(case, slope, pitch, length, laid)
    installed = laid.reach_in
    if laid.whole and installed is None and reach is not None:
        # A slope that is covered whole reaches, however long it is.
        installed = reach.required_in
    wrap = _wrap(case, laid)
    check = ice_barrier.check_reach(reach, installed, wrap) if reach else None
    if laid.whole and installed is None:
        check = None
    if check is not None and check.verdict == "cannot tell" and reach is not None:
        reach, check = _short_at_best(case, slope, pitch, length, installed, wrap, (reach, check))
    if reach is not None and check is not None and reach.status != "not required":
        figures += _barrier_figures(case, slope, path, reach, check, laid)
    rule = None
    if pitch is not None and not is_membrane(case, slope):
        rule = _underlayment_rule(case, pitch)
    return SlopeResult(
        label=slope.label,
        path=path,
        pitch=slope.pitch,
        area_sqft=area,
        length_ft=length,
        eave_ft=slope.eave_ft if slope.eave_ft is not None else _plan_eave(slope),
        rake_ft=slope.rake_ft if slope.rake_ft is not None else Fraction(0),
        edge=edge,
        reach=reach,
        reach_check=check,
        barrier_courses=laid.courses,
        barrier=laid,
        underlayment=rule,
        underlayment_check=None if rule is None else _underlayment_check(case, slope, rule),
        edge_checks=tuple(_edge_checks(slope, pitch, area)),
    )


def _barrier_figures(
    case: Case,
    slope: Slope,
    path: str,
    reach: ice_barrier.Reach,
    check: ice_barrier.ReachCheck,
    laid: barrier.Laid,
) -> tuple[Figure, Figure]:
    """Return the reach asked for and the reach laid as figures."""
    at = Slopes((slope.label,))
    return (
        Figure(
            f"slope.{slope.label}.ice_barrier",
            say("Ice barrier on {slope}: reach asked for", slope=at),
            say("cannot tell") if reach.required_in is None else Inches(reach.required_in),
            reach.working,
            (
                ("pitch", slope.pitch or NOT_ON_RECORD, case.where(f"{path}.pitch")),
                _overhang_input(case, slope, path),
            ),
        ),
        Figure(
            f"slope.{slope.label}.ice_barrier_laid",
            say("Ice barrier on {slope}: reach laid", slope=at),
            say(check.verdict),
            check.working,
            laid.inputs(case),
        ),
    )


def _area_inputs(case: Case, slope: Slope, path: str) -> tuple[Input, ...]:
    """Return what the area comes from: the measured one alone, else the pitch and what is known of the plan."""
    if slope.area_sqft is not None:
        return (("area, measured", Area(slope.area_sqft), case.where(f"{path}.area_sqft")),)
    pitch: Input = ("pitch", slope.pitch or NOT_ON_RECORD, case.where(f"{path}.pitch"))
    if slope.plan is not None:
        plan = Listed((Feet(slope.plan.along_eave_ft), Feet(slope.plan.run_ft)), " x ")
        return (pitch, ("plan", plan, case.where(f"{path}.plan")))
    area = Area(slope.plan_area_sqft or Fraction(0))
    return (pitch, ("area of the plan", area, case.where(f"{path}.plan_area_sqft")))


def _plan_eave(slope: Slope) -> Fraction | None:
    return slope.plan.along_eave_ft if slope.plan and not slope.hip_ft else None


def _area(slope: Slope, pitch: Fraction | None) -> tuple[Fraction | None, Working | None]:
    """Return the measured area, else the one computed from the plan; None where neither is there."""
    if slope.area_sqft is not None:
        working = Working(
            "as measured", say("{area}", area=Area(slope.area_sqft)), "the record", "looked-up"
        )
        return slope.area_sqft, working
    if pitch is None:
        return None, None
    if slope.plan is not None:
        made = geometry.area_from_plan_size(slope.plan.along_eave_ft, slope.plan.run_ft, pitch)
        return made.area_sqft, made.working
    if slope.plan_area_sqft is not None:
        made = geometry.area_from_plan(slope.plan_area_sqft, pitch)
        return made.area_sqft, made.working
    return None, None


def _length(
    slope: Slope, pitch: Fraction | None, area: Fraction | None, cut_up: bool
) -> Fraction | None:
    """Return the length from eave to top along the slope; None where it cannot be told.

    cut_up: whether the roof has hips or valleys; a slope that is a triangle, or from which a dormer is cut,
    is longer than its area over its eave.
    """
    if slope.plan is not None and pitch is not None:
        return geometry.rake_length(slope.plan.run_ft, pitch).length_ft
    if area and slope.eave_ft and not slope.hip_ft and not cut_up:
        return geometry.slope_length_from_area(area, slope.eave_ft).length_ft
    return None


def _overhang(case: Case, slope: Slope) -> Fraction | None:
    """Return the widest overhang of the slope's eaves, which asks for the most barrier."""
    told = [eave.overhang_in for eave in slope.eaves if eave.overhang_in is not None]
    if told:
        return max(told)
    return case.job.building.overhang_in if case.job.building else None


def _wall(case: Case, slope: Slope) -> Fraction | None:
    """Return the thickest wall below the slope's eaves."""
    told = [eave.wall_in for eave in slope.eaves if eave.wall_in is not None]
    if told:
        return max(told)
    return case.job.building.wall_in if case.job.building else None


def _overhang_input(case: Case, slope: Slope, path: str) -> Input:
    overhang = _overhang(case, slope)
    at = f"{path}.eaves" if slope.eaves else "building.overhang_in"
    return ("overhang", NOT_ON_RECORD if overhang is None else Inches(overhang), case.where(at))


def _short_at_best(
    case: Case,
    slope: Slope,
    pitch: Fraction | None,
    length: Fraction | None,
    installed: Fraction | None,
    wrap: Fraction,
    otherwise: tuple[ice_barrier.Reach, ice_barrier.ReachCheck],
) -> tuple[ice_barrier.Reach, ice_barrier.ReachCheck]:
    """Return the reach for a wall of no thickness, where the barrier is short even of that one.

    A thicker wall only asks for more; so what is short at best is short, whatever the wall.
    """
    if installed is None or "wall thickness" not in otherwise[1].needs:
        return otherwise
    best = _reach(case, slope, pitch, length, thinnest=True)
    if best is None or best.required_in is None:
        return otherwise
    check = ice_barrier.check_reach(best, installed, wrap)
    return (best, check) if check.verdict == "short" else otherwise


def _reach(
    case: Case,
    slope: Slope,
    pitch: Fraction | None,
    length: Fraction | None,
    *,
    thinnest: bool = False,
) -> ice_barrier.Reach | None:
    """Return the reach the locality asks for; None without an eave, a pitch, or an ice history.

    thinnest: for a wall of no thickness, where nobody measured it.
    """
    rule = case.locality.ice_barrier
    if pitch is None or not rule.required or slope.eave_ft == 0 or is_membrane(case, slope):
        return None
    eave = _eave(case, slope, pitch, length)
    if thinnest:
        eave = replace(eave, wall_in=Fraction(0))
    whole = _WHOLE_BELOW if rule.whole_slope_below_4_in_12 else None
    if rule.up_slope_in is not None and rule.beyond_inner_face_in is not None:
        return ice_barrier.local_reach(
            eave, rule.up_slope_in, rule.beyond_inner_face_in, rule.source, whole
        )
    return ice_barrier.model_code_reach(eave, edition_year(case), _wall_line(case, slope), whole)


def _eave(case: Case, slope: Slope, pitch: Fraction, length: Fraction | None) -> ice_barrier.Eave:
    """Return the slope's eave: the widest overhang and the thickest wall, which ask for the most."""
    heated = {eave.heated_below for eave in slope.eaves if eave.heated_below is not None}
    only: HeatedBelow | None = heated.pop() if len(heated) == 1 else HeatedBelow.YES
    if slope.detached and not any(eave.heated_below for eave in slope.eaves):
        # The house is taken to be heated; of a building that stands alone somebody has to say.
        only = None
    return ice_barrier.Eave(
        pitch_in_12=pitch,
        overhang_in=_overhang(case, slope),
        wall_in=_wall(case, slope),
        slope_length_in=None if length is None else length * 12,
        heated_below=only.value if only else None,
        detached_unheated=bool(slope.detached) and only is HeatedBelow.NO,
    )


def _wall_line(case: Case, slope: Slope) -> str:
    """Return the face of the wall that the slope's rule counts from."""
    rule = case.locality.ice_barrier
    if rule.up_slope_in is not None and rule.beyond_inner_face_in is not None:
        return WallDatum.INSIDE_FACE.value
    datums = {eave.wall_datum for eave in slope.eaves if eave.wall_datum is not None}
    return (datums.pop() if len(datums) == 1 else case.wall_datum.value).value


def _edge(
    case: Case,
    slope: Slope,
    pitch: Fraction | None,
    length: Fraction | None,
    laid: barrier.Laid,
) -> RoofEdge | None:
    """Return the slope's lower edge with the barrier as laid; None without a pitch or an eave."""
    if pitch is None or slope.eave_ft == 0:
        return None
    eave, line = _eave(case, slope, pitch, length), _wall_line(case, slope)
    laid_in = None
    if laid.reach_in is not None:
        laid_in = max(Fraction(0), laid.reach_in - _wrap(case, laid))
    return RoofEdge(
        pitch_in_12=pitch,
        slope_factor=geometry.slope_factor(pitch),
        overhang_in=_overhang(case, slope),
        wall_in=_wall(case, slope),
        wall=eave.heated_below != HeatedBelow.NO_WALL.value,
        wall_line=line,
        length_in=None if length is None else length * 12,
        laid_in=laid_in,
        inside_wall_in=ice_barrier.inside_wall_in(eave, laid_in, line),
        whole=laid.whole,
        measured=laid.measured,
    )


def _wrap(case: Case, laid: barrier.Laid) -> Fraction:
    """Return what of the reach lies on the fascia; none where the slope is covered whole."""
    installation = case.job.installation
    if laid.whole or installation is None:
        return Fraction(0)
    return installation.fascia_wrap_in or Fraction(0)


def _head_lap(case: Case, layers: int) -> Fraction | None:
    """Return the head lap on record, where it speaks of slopes that take this many layers.

    One lap is on record for the whole roof. Where steep slopes lie beside low ones, it is the steep ones' single
    layer that it tells of.
    """
    lap = case.job.installation.head_lap_in if case.job.installation else None
    steep = any(slope.pitch and slope.pitch.rise_in_12 >= _WHOLE_BELOW for slope in case.job.slopes)
    return None if layers > 1 and steep else lap


def _underlayment_rule(case: Case, pitch: Fraction) -> underlayment.UnderlaymentRule:
    return underlayment.underlayment_rule(
        pitch,
        edition_year(case),
        kind=_underlayment_kind(case),
        vult_mph=case.design_wind_mph.value if case.design_wind_mph else None,
        wind_design_required=case.locality.wind_design_required,
    )


def _underlayment_check(
    case: Case, slope: Slope, rule: underlayment.UnderlaymentRule
) -> underlayment.UnderlaymentCheck | None:
    """Return whether the underlayment is enough; None where the slope needs no felt of its own.

    That is one that self-adhered sheet covers whole.
    """
    if slope.ice_barrier_whole and rule.permitted:
        return None
    layers = slope.underlayment_layers
    if layers is None and case.job.installation:
        layers = case.job.installation.underlayment_layers
    return underlayment.check_underlayment(rule, layers, _head_lap(case, rule.layers))


def _underlayment_kind(case: Case) -> str:
    """Return which laps hold for the underlayment: the code's for felt, a label's for all else.

    A line without a standard counts as felt, whose laps are the least of any.
    """
    kinds = {underlayment.kind_of(m.standard or "") for m in case.materials_of(Role.UNDERLAYMENT)}
    return next((kind for kind in ("felt", "synthetic", "self-adhered") if kind in kinds), "felt")


def _edge_checks(
    slope: Slope, pitch: Fraction | None, area: Fraction | None
) -> list[tuple[str, roof.CrossCheck]]:
    """Return stated figures checked against the plan: area, eave and rakes."""
    if slope.plan is None or pitch is None:
        return []
    computed = geometry.area_from_plan_size(slope.plan.along_eave_ft, slope.plan.run_ft, pitch)
    checks: list[tuple[str, roof.CrossCheck]] = []
    if slope.area_sqft is not None:
        check = roof.cross_check(
            "area", slope.area_sqft, computed.area_sqft, EDGE_TOLERANCE, "sq ft"
        )
        checks.append(("area_sqft", check))
    if slope.eave_ft and not slope.hip_ft and not slope.valley_ft:
        check = roof.cross_check(
            "eave", slope.eave_ft, slope.plan.along_eave_ft, EDGE_TOLERANCE, "ft"
        )
        checks.append(("eave_ft", check))
    if slope.rake_ft and not slope.hip_ft and not slope.valley_ft:
        rake = geometry.rake_length(slope.plan.run_ft, pitch).length_ft
        # A slope has one rake or two; the stated length fits if it fits either.
        rakes = min((rake, rake * 2), key=lambda one: abs(one - (slope.rake_ft or 0)))
        checks.append(
            ("rake_ft", roof.cross_check("rakes", slope.rake_ft, rakes, EDGE_TOLERANCE, "ft"))
        )
    return checks


def roof_figure(case: Case, totals: roof.RoofTotals) -> tuple[Figure, ...]:
    """Return the roof's area as a figure, where every slope's area is known."""
    if totals.area_sqft is None:
        return ()
    squares = Number(totals.area_sqft / 100, "squares", 2)
    slopes = Count(len(case.job.slopes), "slope")
    return (
        Figure(
            "roof.area",
            say("Area of the roof, {slopes}", slopes=slopes),
            say("{area}, {squares}", area=Area(totals.area_sqft), squares=squares),
            totals.working,
            (("slopes", slopes, case.where("slopes")),),
        ),
    )
