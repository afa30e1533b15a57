"""Figures that no roof has, and one name for two attic spaces."""

from collections.abc import Iterator
from fractions import Fraction

from dossier.assess.results import Assessment, SlopeResult
from dossier.case.case import Case
from dossier.punchlist import Manner, Party, Sends, Weight
from dossier.rules.declare import Example, Fault, rule
from dossier.said import Inches, Number, Said, Slopes, Value, say

LEAST_DECK_IN, MOST_DECK_IN = Fraction(1, 4), Fraction(4)
"""Panels of less than 5/16 in are not made for roofs; heavy timber decks are nominally up to 4 in (from
memory)."""
LEAST_RAFTERS_IN, MOST_RAFTERS_IN = Fraction(6), Fraction(96)
"""Common practice, no published source: 12 to 24 in for rafters, up to 8 ft for beams below planks."""
LEAST_AIR_F, MOST_AIR_F = -40, 134
"""The hottest air ever measured had 56.7 °C (World Meteorological Organization, 10 July 1913); nobody lays
shingles at the other end."""
_BEYOND_IN = Fraction(12)
"""What a barrier may run over the ridge and down the fascia; common practice, no published source."""


@rule(
    id="COD-025",
    says="{what} is on record as {stated}, {fit}.",
    why="A slip of the pen in one figure runs through every other that is worked out from it, and is printed "
    "as fact.",
    source="Common practice, no published source; the hottest air ever measured is 134 °F (World Meteorological "
    "Organization)",
    owed_by=Party.OFFICE,
    remedy="Compare with the paper, the photo or the person it came from, and correct it; nobody goes onto the "
    "roof for it.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.decks": "Only what is typed can be off the scale.",
        "job.installation": "Only what is typed can be off the scale.",
        "job.slopes.*.ice_barrier_reach_in": "Only what is typed can be off the scale.",
        "job.slopes.*.plan": "Without every slope's length or area no reach is longer than the roof.",
        "job.slopes.*.plan_area_sqft": "Without every slope's length or area no reach is longer than the roof.",
        "job.slopes.*.area_sqft": "Without every slope's length or area no reach is longer than the roof.",
        "job.slopes.*.eave_ft": "Without every slope's length or area no reach is longer than the roof.",
    },
    examples=[
        Example(
            {"job.decks": "plywood 5 in, rafters 24 in"},
            finds="The thickness of deck 1 is on record as 5 in, more than the 4 in of the thickest deck.",
        ),
        Example(
            {"job.decks": "plywood 1/2 in, rafters 2.4 in"},
            finds="The rafter spacing of deck 1 is on record as 2.4 in, less than the 6 in of the closest "
            "rafters.",
        ),
        Example(
            {"job.installation.lowest_air_f": "580"},
            finds="The lowest air temperature is on record as 580 °F, more than the 134 °F of the hottest air "
            "ever measured.",
        ),
        Example(
            {"job.installation.ice_barrier_reach_in": "680 in"},
            finds="The reach of the ice barrier is on record as 680 in, more than the 187.83 in from eave to top "
            "of the longest slope.",
        ),
        Example({"job.installation.ice_barrier_reach_in": "188 in"}, finds=None),
    ],
)
def off_the_scale(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for path, what, stated, fit in (
        *_decks(case),
        *_laid(case),
        *_reaches(case, assessment),
    ):
        yield Fault(case.where(path), {"what": what, "stated": stated, "fit": fit})


_Slip = tuple[str, Said, Value, Said]


def _decks(case: Case) -> Iterator[_Slip]:
    deck_in = (LEAST_DECK_IN, "thinnest deck", MOST_DECK_IN, "thickest deck")
    rafters_in = (LEAST_RAFTERS_IN, "closest rafters", MOST_RAFTERS_IN, "widest rafters")
    fields = (
        ("thickness_in", "The thickness of deck {number}", deck_in),
        ("new_thickness_in", "The thickness of the new deck {number}", deck_in),
        ("rafter_spacing_in", "The rafter spacing of deck {number}", rafters_in),
    )
    for number, deck in enumerate(case.job.decks):
        for field, what, (least, little, most, much) in fields:
            value = getattr(deck, field)
            if value is None or least <= value <= most:
                continue
            fit = say("more than the {most} of the {much}", most=Inches(most), much=say(much))
            if value < least:
                limit = Inches(least)
                fit = say("less than the {least} of the {little}", least=limit, little=say(little))
            yield f"decks.{number}.{field}", say(what, number=number + 1), Inches(value), fit


def _laid(case: Case) -> Iterator[_Slip]:
    laid = case.job.installation
    if laid is None:
        return
    for field, what in (
        ("lowest_air_f", "The lowest air temperature"),
        ("barrier_air_f", "The air temperature while the ice barrier was laid"),
    ):
        air = getattr(laid, field)
        if air is not None and not LEAST_AIR_F <= air <= MOST_AIR_F:
            fit = (
                say("more than the {most} °F of the hottest air ever measured", most=MOST_AIR_F)
                if air > MOST_AIR_F
                else say("less than the {least} °F at which anybody lays a roof", least=LEAST_AIR_F)
            )
            yield f"installation.{field}", say(what), Number(air, "°F"), fit


def _longest_ft(result: SlopeResult) -> Fraction | None:
    """Return the most that a slope can measure from eave to top, or None.

    Of all slopes of one area and eave the one that runs to a point is the longest: twice area by eave.
    """
    if result.length_ft is not None:
        return result.length_ft
    return 2 * result.area_sqft / result.eave_ft if result.area_sqft and result.eave_ft else None


def _reaches(case: Case, assessment: Assessment) -> Iterator[_Slip]:
    laid = case.job.installation
    known = [result.length_ft * 12 for result in assessment.slopes if result.length_ft is not None]
    most = [_longest_ft(result) for result in assessment.slopes]
    if laid is not None and laid.ice_barrier_reach_in is not None and known and all(most):
        longest = max(known)
        limit = max(feet * 12 for feet in most if feet is not None)
        if laid.ice_barrier_reach_in > limit + _BEYOND_IN:
            yield (
                "installation.ice_barrier_reach_in",
                say("The reach of the ice barrier"),
                Inches(laid.ice_barrier_reach_in),
                say(
                    "more than the {longest} from eave to top of the longest slope",
                    longest=Inches(longest),
                ),
            )
    for result, slope in zip(assessment.slopes, case.job.slopes, strict=True):
        reach, length = slope.ice_barrier_reach_in, result.length_ft
        if reach is not None and length is not None and reach > length * 12 + _BEYOND_IN:
            yield (
                f"{result.path}.ice_barrier_reach_in",
                say("The reach of the ice barrier on {slope}", slope=Slopes((slope.label,))),
                Inches(reach),
                say("more than its {length} from eave to top", length=Inches(length * 12)),
            )


@rule(
    id="COD-026",
    says="{many} attic spaces on record are called “{space}”.",
    why="A space that is listed twice is printed twice, and of two spaces with one name nobody knows which one "
    "breathes.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Delete the listing that says the same again, or name each space for what it is.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={"job.building.attics": "COD-005 asks for it."},
    examples=[
        Example(
            {
                "job.building.attics": [
                    {"space": "main", "floor_area_sqft": "600"},
                    {"space": "main", "floor_area_sqft": "388"},
                ]
            },
            finds="Two attic spaces on record are called “main”.",
        ),
        Example(
            {
                "job.building.attics": [
                    {"space": "main", "floor_area_sqft": "600"},
                    {"space": "porch", "floor_area_sqft": "388"},
                ]
            },
            finds=None,
        ),
    ],
)
def attic_named_twice(case: Case) -> Iterator[Fault]:
    attics = case.job.building.attics if case.job.building else ()
    names = [attic.space.lower() for attic in attics]
    for number, attic in enumerate(attics):
        if names.index(attic.space.lower()) == number and names.count(attic.space.lower()) > 1:
            many = names.count(attic.space.lower())
            yield Fault(
                case.where(f"building.attics.{number}"),
                {"many": "Two" if many == 2 else many, "space": attic.space},
            )
