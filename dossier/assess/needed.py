"""What this roof has a place for, and what it cannot do without.

In: a case. Out: `Needed`s, one for each role, each with the place that asks for it; and whether
a role has no place at all. Must not judge a product. Flashing may be kept, a valley may be lined with ice
barrier, a boot may be any that fits: where a good job can do without a new piece, none is asked for.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dossier.case.case import Case, Material
from dossier.values import listed, plural, write_feet
from dossier.words import FlashingState, Phase, Role, Scope, ValleyMethod


@dataclass(frozen=True)
class Needed:
    """One role that a place on this roof asks for.

    name: of the piece, as the trade says it. because: the place, as the rest of a sentence. on_record: whether
    a line of the deliveries may be it. known: False where the record does not say whether it had to be new.
    """

    role: Role
    name: str
    because: str
    on_record: bool
    known: bool = True


def needed_details(case: Case) -> tuple[Needed, ...]:
    """Return the pieces that this roof's valleys, walls, chimneys, skylights and pipes ask for."""
    if case.job.installation is None or not case.job.slopes:
        return ()
    return tuple(_details(case))


def _details(case: Case) -> Iterator[Needed]:
    installation = case.job.installation
    assert installation is not None
    state = installation.flashing
    kept = state in (FlashingState.REUSED, FlashingState.PARTLY)
    known = state is not None
    # Kept flashing may be any piece of it, and nobody may be chased for new ones in its place.
    valleys = _sum(case, "valley_ft")
    if valleys and installation.valley_method is ValleyMethod.OPEN_METAL and not kept:
        because = f"{write_feet(valleys)} of valleys are open metal"
        found = case.materials_of(Role.VALLEY) or _flashing_named(case, "valley")
        yield Needed(Role.VALLEY, "valley metal", because, bool(found), known)
    places = _flashed(case)
    if places and not kept:
        found = case.materials_of(Role.FLASHING)
        yield Needed(Role.FLASHING, "flashing", listed(places), bool(found), known)
    skylights = sum(slope.skylights or 0 for slope in case.job.slopes)
    if skylights and not kept:
        because = f"the roof has {plural(skylights, 'skylight')}"
        found = case.materials_of(Role.SKYLIGHT_KIT) or _flashing_named(case, "skylight")
        yield Needed(Role.SKYLIGHT_KIT, "skylight kit", because, bool(found), known)
    pipes = pipes_of(case)
    if pipes and not kept:
        because = f"the roof has {plural(pipes, 'pipe')} through it"
        yield Needed(Role.PIPE_BOOT, "pipe boot", because, _boots(case, pipes))


def _sum(case: Case, field: str) -> Fraction:
    return sum((getattr(slope, field) or Fraction(0) for slope in case.job.slopes), Fraction(0))


def pipes_of(case: Case) -> int:
    """Return the pipes and vents through the roof, flues and ducts among them."""
    return sum(slope.penetrations or 0 for slope in case.job.slopes)


def has_ridge_or_hip(case: Case) -> bool:
    """Return whether a ridge or a hip of some length is on record."""
    return bool(_sum(case, "ridge_ft") or _sum(case, "hip_ft"))


def ridge_is_blank(case: Case) -> bool:
    """Return whether slopes that face apart must meet, and none says how long a ridge or hip they meet in."""
    slopes = case.job.slopes
    said = any(s.ridge_ft is not None or s.hip_ft is not None for s in slopes)
    return not said and len({(s.faces or "").upper() for s in slopes if s.faces}) > 1


def _flashed(case: Case) -> list[str]:
    """Return the places on the slopes that flashing belongs to, as words."""
    walls = _sum(case, "step_flashing_ft")
    chimneys = sum(len(slope.chimneys) for slope in case.job.slopes)
    places = []
    if walls:
        places.append(f"{write_feet(walls)} of the roof run along walls")
    if chimneys:
        places.append(f"the roof has {plural(chimneys, 'chimney')}")
    if any(slope.eave_meets_wall for slope in case.job.slopes):
        places.append("an eave meets a wall, where a kick-out belongs")
    return places


def _flashing_named(case: Case, word: str) -> tuple[Material, ...]:
    """Return the flashing lines whose own name says that they are for this place."""
    return tuple(line for line in case.materials_of(Role.FLASHING) if word in line.name.lower())


_BOOT_WORDS = ("boot", "pipe", "stack", "jack", "collar")


def _boots(case: Case, pipes: int) -> bool:
    """Return whether a line may be the boots; a flue or a duct has a collar or a cap of its own."""
    if case.materials_of(Role.PIPE_BOOT):
        return True
    if any(_flashing_named(case, word) for word in _BOOT_WORDS):
        return True
    building = case.job.building
    others = (building.flues or 0) + (building.ducts or 0) if building else 0
    # Where every pipe is a flue or a duct, whatever flashes those will do.
    return pipes <= others and bool(
        case.materials_of(Role.DUCT_OR_FLUE_CAP) or case.materials_of(Role.FLASHING)
    )


def no_place_for(case: Case, role: Role) -> str | None:
    """Return why this roof has no place for a role, or None where it has one or nobody knows.

    A length or a count that is blank on every slope of a measured roof is none: a slope's line names the
    edges that it has.
    """
    if not case.job.slopes:
        return None
    slopes = case.job.slopes
    if role is Role.VALLEY:
        return None if _sum(case, "valley_ft") else "this roof has no valley"
    if role is Role.HIP_AND_RIDGE:
        none = not has_ridge_or_hip(case) and not ridge_is_blank(case)
        return "this roof has no hip and no ridge" if none else None
    if role is Role.SKYLIGHT_KIT:
        return None if any(slope.skylights for slope in slopes) else "this roof has no skylight"
    if role is Role.PIPE_BOOT:
        return None if pipes_of(case) else "no pipe goes through this roof"
    if role is Role.FLASHING:
        has = _flashed(case) or _sum(case, "valley_ft") or pipes_of(case)
        skylights = any(slope.skylights for slope in slopes)
        return None if has or skylights else "nothing on this roof is flashed"
    if role is Role.DECK_PANEL:
        repaired = case.job.repairs or any(deck.redecked for deck in case.job.decks)
        return None if repaired else "no deck was repaired"
    return None


def no_place_for_phase(case: Case, phase: Phase) -> str | None:
    """Return why this roof has nothing of a phase to photograph, or None where it has."""
    scope = case.job.job.scope
    if phase is Phase.TEAR_OFF and scope is Scope.RECOVER:
        return "nothing was torn off"
    if phase is Phase.DECK_REPAIR and not case.job.repairs and not case.work_on(phase):
        return "no deck was repaired"
    if phase is Phase.HIP_AND_RIDGE:
        return no_place_for(case, Role.HIP_AND_RIDGE)
    if phase is Phase.FLASHING and not case.work_on(phase):
        return no_place_for(case, Role.FLASHING)
    return None
