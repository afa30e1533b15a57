"""Photos that are asked for: of which phase, on which slope."""

from collections.abc import Iterator

from dossier.assess.backing import good_photos
from dossier.assess.has_place import why_no_place
from dossier.assess.proofs import slopes_to_show
from dossier.assess.results import PHASES_PER_SLOPE, Assessment
from dossier.case.case import Case
from dossier.evidence import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Where
from dossier.rules.declare import Example, Fault, rule
from dossier.rules.held import phases_terms_ask
from dossier.said import Listed
from dossier.words import Phase, Role

_ONCE = (
    Phase.BEFORE,
    Phase.TEAR_OFF,
    Phase.DRIP_EDGE,
    Phase.STARTER,
    Phase.FLASHING,
    Phase.VENTILATION,
    Phase.HIP_AND_RIDGE,
    Phase.FINISHED,
)


def _belongs(phase: Phase, case: Case, assessment: Assessment) -> bool:
    if phase is Phase.TEAR_OFF:
        return not case.is_recover
    if phase is Phase.HIP_AND_RIDGE:
        return bool(assessment.totals.ridge_ft or assessment.totals.hip_ft)
    if phase is Phase.VENTILATION:
        return bool(case.materials_of(Role.EXHAUST_VENT) or case.materials_of(Role.INTAKE_VENT))
    if phase is Phase.FLASHING:
        said = case.reason_not("installation.flashing")
        places = (Role.FLASHING, Role.PIPE_BOOT)
        return not said and not all(why_no_place(case, role) for role in places)
    return True


def _wanted_once(case: Case, assessment: Assessment) -> list[Phase]:
    """Return the phases of which one photo of the roof is asked for, in the order of work."""
    asked = phases_terms_ask(assessment)
    usual = [phase for phase in _ONCE if _belongs(phase, case, assessment)]
    once = [phase for phase in Phase if phase not in PHASES_PER_SLOPE]
    return [phase for phase in once if phase in usual or phase in asked]


def views_lacking(
    case: Case, facts: Facts, assessment: Assessment
) -> tuple[tuple[Phase, str | None], ...]:
    """Return the photos that are asked for and lacking, in the order of work: the phase, and the slope or None."""
    once = {
        phase for phase in _wanted_once(case, assessment) if not good_photos(case, facts, phase)
    }
    found: list[tuple[Phase, str | None]] = []
    for phase in Phase:
        if phase in once:
            found.append((phase, None))
        if phase in PHASES_PER_SLOPE:
            slopes = slopes_to_show(case, assessment.slopes, phase)
            found += [(phase, one) for one in slopes if not good_photos(case, facts, phase, one)]
    return tuple(found)


@rule(
    id="PHO-001",
    says="No photo of {phase} on {slopes}.",
    why="What is covered cannot be photographed later; these are the views a claim turns on.",
    source="Common practice, no published source; the maker's terms where a clause asks for photos",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones for that day and file the photo under photos/PHASE/, named for its slope.",
    asks="Look on your phones for that day and send us the photo as it was taken.",
    settled_by=SettledBy.PHOTO,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"facts.photos/underlayment/back.jpg": None},
            finds="No photo of underlayment on slope back.",
        ),
        Example({"facts.photos/starter/back.jpg": None}, finds=None),
    ],
    rests_on={
        "job.slopes": "A job without slopes has an item of its own.",
        "photos.*.slope": "A photo that names no slope shows none, so that one is asked for.",
    },
)
def phase_without_photo_on_slope(
    case: Case, facts: Facts, assessment: Assessment
) -> Iterator[Fault]:
    asked = phases_terms_ask(assessment)
    for phase in PHASES_PER_SLOPE:
        # The deck has a rule of its own, since an unseen deck is a different matter.
        if phase is Phase.DECK:
            continue
        held = frozenset({Holds.REGISTRATION}) if phase in asked else frozenset()
        for slope in slopes_to_show(case, assessment.slopes, phase):
            if not good_photos(case, facts, phase, slope):
                yield Fault(
                    Where(f"photos/{phase.slug}"),
                    {"phase": phase, "slope": slope},
                    verdict=Verdict.MISSING,
                    holds=held,
                )


@rule(
    id="PHO-002",
    says="No photo shows {phases} anywhere on the roof.",
    why="One view of each detail is what an adjuster asks for first.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Look on the crew's phones; what can still be seen from the ground may be photographed now.",
    asks="Look on your phones for that day and send us the photo as it was taken. What can still "
    "be seen from the ground may be photographed now.",
    settled_by=SettledBy.PHOTO,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"facts.photos/hip-and-ridge/front.jpg": None},
            finds="No photo shows hip and ridge anywhere on the roof.",
        ),
        Example({"facts.photos/flashing/back-boot.jpg": None}, finds=None),
    ],
    rests_on={
        "photos.*.phase": "A photo that names no phase shows none, so that one is asked for.",
    },
)
def detail_without_photo(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    asked = phases_terms_ask(assessment)
    wanted = _wanted_once(case, assessment)
    blank = [phase for phase in wanted if not good_photos(case, facts, phase)]
    for held, phases in (
        (frozenset({Holds.REGISTRATION}), [phase for phase in blank if phase in asked]),
        (frozenset[Holds](), [phase for phase in blank if phase not in asked]),
    ):
        if phases:
            yield Fault(
                Where("photos"),
                {"phases": Listed(tuple(phase for phase in phases))},
                verdict=Verdict.MISSING,
                holds=held,
            )
