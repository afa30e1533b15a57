"""Whether a roof has a place for a thing that a clause names: a valley, a skylight, an ice barrier.

In: a case. Out: why it has none, in words, or None. Must not know a clause. A field that nobody answered
leaves the place open, except lengths of edges, which are typed only where there are some.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from dossier.case.case import Case
from dossier.record.roof import Slope
from dossier.said import Said, say
from dossier.words import AtticKind, Phase, Role

_LEAST_PITCH_IN_12 = 2


def why_no_place(case: Case, thing: Role | Phase) -> Said | None:
    """Return why this roof has no place for the thing; None where it has, may have, or carries it already."""
    role = thing if isinstance(thing, Role) else _ROLE_OF.get(thing)
    if role is not None and case.materials_of(role):
        return None
    tell = _WHY.get(thing if role is None else role)
    return tell(case) if tell and case.job.slopes else None


def is_membrane(case: Case, slope: Slope) -> bool:
    """Return whether a slope carries membrane in place of shingles.

    A slope below 2:12 cannot carry shingles (IRC R905.2.2); where a membrane for low slopes is on record, it
    lies there.
    """
    flat = slope.pitch is not None and slope.pitch.rise_in_12 < _LEAST_PITCH_IN_12
    return flat and bool(case.materials_of(Role.LOW_SLOPE_MEMBRANE))


def _ice_barrier(case: Case) -> Said | None:
    if case.is_recover:
        return say("the old covering stayed, and nothing lies below it")
    if not case.locality.ice_barrier.required and not _barrier_laid(case):
        return say("{place} asks for no ice barrier", place=case.locality.name)
    reasons = [
        case.reason_not(f"installation.ice_barrier_{name}") for name in ("courses", "reach_in")
    ]
    if not _barrier_laid(case) and any(reasons):
        reason = next(filter(None, reasons))
        return say("no ice barrier, by the record: {reason}", reason=reason)
    return None


def _barrier_laid(case: Case) -> bool:
    laid = case.job.installation
    return any(
        (
            laid is not None and bool(laid.ice_barrier_courses or laid.ice_barrier_reach_in),
            *(
                bool(s.ice_barrier_whole or s.ice_barrier_courses or s.ice_barrier_reach_in)
                for s in case.job.slopes
            ),
        )
    )


def _underlayment(case: Case) -> Said | None:
    if case.is_recover:
        return say("the old covering stayed, and nothing lies below it")
    whole = all(slope.ice_barrier_whole for slope in case.job.slopes)
    return say("ice barrier covers every slope whole") if whole else None


def _hip_and_ridge(case: Case) -> Said | None:
    # A ridge is a length that everybody types, so a blank one is a question, not a roof without a ridge.
    none = all(slope.ridge_ft == 0 and not slope.hip_ft for slope in case.job.slopes)
    return say("this roof has neither hip nor ridge") if none else None


def _valley(case: Case) -> Said | None:
    none = not any(slope.valley_ft for slope in case.job.slopes)
    return say("no valley is on record") if none else None


def _flashing(case: Case) -> Said | None:
    none = not any(
        slope.step_flashing_ft or slope.chimneys or slope.skylights or slope.eave_meets_wall
        for slope in case.job.slopes
    )
    return say("no wall, chimney or skylight is on record") if none else None


def _pipe_boot(case: Case) -> Said | None:
    none = all(slope.penetrations == 0 for slope in case.job.slopes)
    return say("no pipe goes through this roof") if none else None


def _skylight_kit(case: Case) -> Said | None:
    none = not any(slope.skylights for slope in case.job.slopes)
    return say("no skylight is on record") if none else None


def _cap(case: Case) -> Said | None:
    building = case.job.building
    none = building is not None and building.flues == 0 and building.ducts == 0
    return say("no flue or duct goes through this roof") if none else None


def _vents(case: Case) -> Said | None:
    reason = case.reason_not("building.attics")
    if reason:
        return say("no attic to vent: {reason}", reason=reason)
    attics = case.job.building.attics if case.job.building else ()
    unvented = bool(attics) and all(attic.kind is AtticKind.UNVENTED for attic in attics)
    return say("the attic is unvented by its design") if unvented else None


def _deck(case: Case) -> Said | None:
    return say("the old covering stayed, so the deck was not seen") if case.is_recover else None


_WHY: Mapping[Role | Phase, Callable[[Case], Said | None]] = MappingProxyType(
    {
        Role.ICE_BARRIER: _ice_barrier,
        Role.UNDERLAYMENT: _underlayment,
        Role.HIP_AND_RIDGE: _hip_and_ridge,
        Role.VALLEY: _valley,
        Role.FLASHING: _flashing,
        Role.PIPE_BOOT: _pipe_boot,
        Role.SKYLIGHT_KIT: _skylight_kit,
        Role.DUCT_OR_FLUE_CAP: _cap,
        Role.INTAKE_VENT: _vents,
        Role.EXHAUST_VENT: _vents,
        Phase.VENTILATION: _vents,
        Phase.DECK: _deck,
    }
)

_ROLE_OF: Mapping[Phase, Role] = MappingProxyType(
    {
        Phase.ICE_BARRIER: Role.ICE_BARRIER,
        Phase.UNDERLAYMENT: Role.UNDERLAYMENT,
        Phase.HIP_AND_RIDGE: Role.HIP_AND_RIDGE,
    }
)
"""Phases in which one thing is laid."""
