"""What the places of this roof cannot do without: its valleys, walls, chimneys, skylights and pipes.

In: a case. Out: `Needed`s, one for each role, each with the place that asks for it. Must not judge a
product. Flashing may be kept, a valley may be lined with ice barrier, a boot may be any that fits: where a
good job can do without a new piece, none is asked for.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from dossier.case.case import Case, Material
from dossier.said import Count, Feet, Listed, Said, say
from dossier.words import FlashingState, Role, ValleyMethod


@dataclass(frozen=True)
class Needed:
    """One role that a place on this roof asks for.

    name: of the piece, as the trade says it. because: the place, as the rest of a sentence. on_record: whether
    a line of the deliveries may be it. known: False where the record does not say whether it had to be new.
    """

    role: Role
    name: Said
    because: Said
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
        because = say("{length} of valleys are open metal", length=Feet(valleys))
        found = case.materials_of(Role.VALLEY) or _flashing_named(case, "valley")
        yield Needed(Role.VALLEY, say("valley metal"), because, bool(found), known)
    places = _flashed(case)
    if places and not kept:
        found = case.materials_of(Role.FLASHING)
        yield Needed(
            Role.FLASHING,
            say("flashing"),
            say("{places}", places=Listed(places)),
            bool(found),
            known,
        )
    skylights = sum(slope.skylights or 0 for slope in case.job.slopes)
    if skylights and not kept:
        because = say("the roof has {skylights}", skylights=Count(skylights, "skylight"))
        found = case.materials_of(Role.SKYLIGHT_KIT) or _flashing_named(case, "skylight")
        yield Needed(Role.SKYLIGHT_KIT, say("skylight kit"), because, bool(found), known)
    pipes = pipes_of(case)
    if pipes and not kept:
        because = say("the roof has {pipes} through it", pipes=Count(pipes, "pipe"))
        yield Needed(Role.PIPE_BOOT, say("pipe boot"), because, _boots(case, pipes))


def _sum(case: Case, field: str) -> Fraction:
    return sum((getattr(slope, field) or Fraction(0) for slope in case.job.slopes), Fraction(0))


def pipes_of(case: Case) -> int:
    """Return the pipes and vents through the roof, flues and ducts among them."""
    return sum(slope.penetrations or 0 for slope in case.job.slopes)


def ridge_is_blank(case: Case) -> bool:
    """Return whether slopes that face apart must meet, and none says how long a ridge or hip they meet in."""
    slopes = case.job.slopes
    said = any(s.ridge_ft is not None or s.hip_ft is not None for s in slopes)
    return not said and len({(s.faces or "").upper() for s in slopes if s.faces}) > 1


def _flashed(case: Case) -> tuple[Said, ...]:
    """Return the places on the slopes that flashing belongs to, as words."""
    walls = _sum(case, "step_flashing_ft")
    chimneys = sum(len(slope.chimneys) for slope in case.job.slopes)
    places = []
    if walls:
        places.append(say("{length} of the roof run along walls", length=Feet(walls)))
    if chimneys:
        places.append(say("the roof has {chimneys}", chimneys=Count(chimneys, "chimney")))
    if any(slope.eave_meets_wall for slope in case.job.slopes):
        places.append(say("an eave meets a wall, where a kick-out belongs"))
    return tuple(places)


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
