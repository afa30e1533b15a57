"""Code and installation: slopes, ice barrier, underlayment."""

from collections.abc import Iterator
from fractions import Fraction

from dossier.assess.results import Assessment, SlopeResult
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.rules.asking import not_on_record
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Answer, Count, Inches, Number, Slopes, Value, say

_FLAT = "back, faces N, 1.5:12, plan 40 ft x 14 ft, eave 40 ft, rakes 28.2 ft, pipes 1"
_GARAGE = {
    "label": "garage",
    "pitch": "6:12",
    "plan": "40 ft x 14 ft",
    "eave_ft": "40",
    "eaves": {"heated_below": "no"},
}
_LOW = "back, faces N, 3:12, plan 40 ft x 14 ft, eave 40 ft, rakes 28.9 ft, pipes 1"


@rule(
    id="COD-020",
    says="No slope of the roof is on record.",
    why="Without the slopes nobody can count what the roof needs, say how far the ice barrier must reach, or "
    "show which photo belongs where.",
    source="Our habit; every code figure of a roof follows from its slopes",
    owed_by=Party.CREW,
    remedy="Measure each slope, or copy the measurements from the estimate, and write one line a slope. A roof "
    "always has slopes, so “n/a” is no answer here.",
    asks="Send us the sketch with the measured slopes.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.HANDOVER, Holds.REGISTRATION, Holds.PERMIT},
    rests_on={
        "job.slopes": ASKED,
    },
    examples=[
        Example(
            {"job.slopes": None, "job.repairs": None}, finds="No slope of the roof is on record."
        ),
        Example(
            {"job.slopes": "n/a, not measured", "job.repairs": None},
            finds="No slope of the roof is on record.",
        ),
        Example({"job.slopes": "front, 6:12", "job.repairs": None}, finds=None),
    ],
)
def no_slopes(case: Case) -> Iterator[Fault]:
    if not case.job.slopes:
        yield Fault(case.where("slopes"), verdict=Verdict.MISSING, lacks=("slopes",))


@rule(
    id="COD-001",
    says="Slope {slope} is {pitch}; asphalt shingles are allowed only at 2:12 or steeper.",
    why="Below that pitch water runs back under the laps; the code and every maker refuse it.",
    source="IRC 2018, 2021 and 2024, section R905.2.2",
    owed_by=Party.OFFICE,
    remedy="Correct the pitch if it was typed wrongly; else record the membrane that lies there and take the "
    "slope out of the shingled roof.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT, Holds.REGISTRATION},
    cannot_tell="which code rules hold on {slopes}",
    rests_on={"job.slopes.*.pitch": ASKED},
    examples=[
        Example(
            {"job.slopes.1": _FLAT},
            finds="Slope back is 1.5:12; asphalt shingles are allowed only at 2:12 or steeper.",
        ),
        Example(
            {"job.slopes.1": "back, faces N, area 626 sq ft, eave 40 ft, rakes 31.3 ft"},
            finds="Which code rules hold on slope back cannot be told: its pitch is needed.",
        ),
        Example({"job.slopes.1": _FLAT.replace("1.5:12", "2:12")}, finds=None),
    ],
)
def slope_too_flat(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.slopes:
        path = f"{result.path}.pitch"
        if result.pitch is None:
            yield not_on_record(case, {path: "its pitch"}, {"slope": result.label})
        elif result.underlayment is not None and not result.underlayment.permitted:
            yield Fault(case.where(path), {"slope": result.label, "pitch": result.pitch})


@rule(
    id="COD-002",
    says="Ice barrier on {slopes} reaches {laid} up the slope; {required} is required here.",
    why="Water that ice backs up at the eave comes in above the top of the barrier.",
    source="IRC 2018, 2021 and 2024, section R905.1.2 (at least 24 in inside the exterior wall line; 36 in "
    "along slopes of 8:12 and steeper in 2018 and 2021), by geometry; detached buildings without heat are left "
    "out (exception, from memory); local changes as on the locality sheet",
    owed_by=Party.CREW,
    remedy="Correct the tape reading under installation.ice_barrier_reach_in where it was typed wrongly; if the "
    "barrier is short, tell the owner and the permit office before the roof is signed off.",
    asks="Check your tape reading against a photo and tell us. Do not open the roof for it.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT, Holds.REGISTRATION},
    cannot_tell="whether the ice barrier on {slopes} reaches far enough",
    rests_on={
        "job.slopes.*.ice_barrier_reach_in": "A slope without a reach of its own has the roof's.",
        "job.slopes.*.ice_barrier_courses": "A slope without courses of its own has the roof's.",
        "job.slopes.*.plan": "Without a slope's length no barrier counts as covering it whole.",
        "job.slopes.*.plan_area_sqft": "Without a slope's length no barrier counts as covering it whole.",
        "job.slopes.*.area_sqft": "Without a slope's length no barrier counts as covering it whole.",
        "job.slopes.*.eave_ft": "A slope is taken to have an eave unless the record says 0 ft.",
        "locality.ice_barrier": "A sheet says what it asks for; the model code holds where it says nothing else.",
        "job.building.overhang_in": ASKED,
        "job.building.wall_in": "Asked where the locality counts from the inner face of the wall; elsewhere the "
        "wall's thickness changes nothing.",
        "job.installation.ice_barrier_reach_in": "Asked where courses and roll width do not tell the reach "
        "either, or where a reason says that no barrier belongs there.",
        "job.installation.ice_barrier_courses": "A reach as measured says more than the courses.",
        "job.installation.fascia_wrap_in": "A first course that nobody says was turned down lies on the deck "
        "whole.",
        "job.slopes.*.eaves": "An eave that differs from the building's is listed; the house is taken as "
        "heated, which asks for the most.",
        "job.slopes.*.detached": "A slope is taken as the house's own, which asks for the most.",
        "job.slopes.*.ice_barrier_whole": "A slope that nobody says is covered whole is judged by its reach.",
    },
    examples=[
        Example(
            {
                "job.installation.ice_barrier_courses": "1",
                "job.installation.ice_barrier_reach_in": "36",
            },
            finds="Ice barrier on slope back reaches 36 in up the slope; 40.25 in is required here.",
        ),
        Example(
            {
                "job.installation.ice_barrier_courses": "1",
                "job.installation.ice_barrier_reach_in": None,
            },
            finds="Ice barrier on slope back reaches at most 36 in (1 course of a 36 in roll, not measured) up "
            "the slope; 40.25 in is required here.",
        ),
        Example(
            {"job.building.overhang_in": None},
            finds="Whether the ice barrier on slope back reaches far enough cannot be told: the eave's overhang "
            "is needed.",
        ),
        Example(
            {"locality.ice_barrier.datum": "inside face", "job.building.wall_in": "6.5"},
            finds=None,
        ),
        Example(
            {
                "locality.ice_barrier.datum": "inside face",
                "job.installation.ice_barrier_reach_in": "42",
            },
            finds="Whether the ice barrier on slope back reaches far enough cannot be told: the wall's "
            "thickness is needed.",
        ),
        Example(
            {
                "job.installation.ice_barrier_courses": "1",
                "job.installation.ice_barrier_reach_in": "n/a, not measured",
            },
            finds="Ice barrier on slope back reaches at most 36 in (1 course of a 36 in roll, not measured) up "
            "the slope; 40.25 in is required here.",
        ),
        Example(
            {"job.slopes.1": _GARAGE, "job.installation.ice_barrier_reach_in": "36"},
            finds="Ice barrier on slope garage reaches 36 in up the slope; 40.25 in is required here.",
        ),
        Example({"job.installation.ice_barrier_reach_in": "40.25"}, finds=None),
    ],
)
def ice_barrier_short(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if case.is_recover:
        return
    for result in assessment.slopes:
        check = result.reach_check
        if check is None or result.reach is None or check.verdict in ("reaches", "not required"):
            continue
        laid = result.barrier
        if laid.reach_in is None and laid.courses is None and _said_not_to_apply(case):
            continue
        if check.verdict == "cannot tell":
            needs = {_blank_at(result, need): _BARRIER_NEEDS[need] for need in check.needs}
            owed = (
                Party.PERMIT_OFFICE
                if check.needs == ("the permit office's word on an eave with no wall below",)
                else None
            )
            yield not_on_record(case, needs, {"slope": result.label}, owed_by=owed)
        else:
            yield Fault(
                case.where(laid.field),
                {
                    "slope": result.label,
                    "laid": _laid_words(result),
                    "required": Inches(result.reach.required_in or Fraction(0)),
                },
            )


def _said_not_to_apply(case: Case) -> bool:
    return any(
        case.reason_not(f"installation.ice_barrier_{name}") for name in ("courses", "reach_in")
    )


def _laid_words(result: SlopeResult) -> Value:
    """Return how far it reaches; a reach worked out from courses is told as the most that it can be."""
    laid = result.barrier
    check = result.reach_check
    reach = Inches((check.installed_in if check else None) or Fraction(0))
    if laid.roll_in is None or laid.courses is None:
        return reach
    return say(
        "at most {reach} ({courses} of a {roll} roll, not measured)",
        reach=reach,
        courses=Count(laid.courses, "course"),
        roll=Inches(laid.roll_in),
    )


_BARRIER_NEEDS: dict[str, Value] = {
    "overhang": "the eave's overhang",
    "wall thickness": "the wall's thickness",
    "slope length": "the slope's length from eave to top",
    "whether the space below the eave is heated": Answer(
        "whether the space below its eave is heated"
    ),
    "the permit office's word on an eave with no wall below": "the permit office's word on an eave with no wall "
    "below",
    "installed reach": "the reach as measured",
}
"""What a reach cannot be told without, in the words of the trade room → as printed."""


def _blank_at(result: SlopeResult, need: str) -> str:
    """Return the field where a fact that is needed belongs."""
    return {
        "overhang": "building.overhang_in",
        "wall thickness": "building.wall_in",
        "slope length": f"{result.path}.plan",
        "installed reach": result.barrier.field.replace("_courses", "_reach_in"),
    }.get(need, f"{result.path}.eaves")


@rule(
    id="COD-008",
    says="Slope {slope} at {pitch} needs {asked} layers of underlayment; {laid} is on record.",
    why="Below 4:12 one layer lets wind-driven water through its laps.",
    source="IRC 2018, 2021 and 2024, section R905.2.2 with R905.1.1",
    owed_by=Party.CREW,
    remedy="Ask the crew lead what was laid there; if ice barrier covers the slope whole, write "
    "ice_barrier_whole: yes at the slope.",
    asks="Tell us how many layers of underlayment lie there.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether {slopes} has enough underlayment",
    rests_on={
        "job.installation.underlayment_layers": ASKED,
        "job.slopes.*.underlayment_layers": "A slope without a number of its own has the roof's.",
        "job.slopes.*.ice_barrier_whole": "A slope that nobody says is covered whole needs its underlayment.",
    },
    examples=[
        Example(
            {
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "3:12",
                    "plan": "40 ft x 14 ft",
                    "eave_ft": "40",
                    "rake_ft": "28.9",
                }
            },
            finds="Slope back at 3:12 needs 2 layers of underlayment; 1 is on record.",
        ),
        Example(
            {
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "3:12",
                    "plan": "40 ft x 14 ft",
                    "eave_ft": "40",
                    "rake_ft": "28.9",
                    "underlayment_layers": "2",
                }
            },
            finds=None,
        ),
    ],
)
def underlayment_too_thin(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if case.is_recover or case.reason_not("installation.underlayment_layers"):
        return
    for slope, result in zip(case.job.slopes, assessment.slopes, strict=True):
        check, asked = result.underlayment_check, result.underlayment
        if check is None or asked is None or not asked.permitted:
            continue
        own = f"{result.path}.underlayment_layers"
        where = case.where(own if case.lines.has(own) else "installation.underlayment_layers")
        installation = case.job.installation
        laid = slope.underlayment_layers
        if laid is None and installation is not None:
            laid = installation.underlayment_layers
        if laid is None:
            needs = {"installation.underlayment_layers": "the number of its layers"}
            yield not_on_record(case, needs, {"slope": result.label})
        elif check.layers_short:
            yield Fault(
                where,
                {
                    "slope": result.label,
                    "pitch": str(result.pitch),
                    "asked": asked.layers,
                    "laid": laid,
                },
            )


@rule(
    id="COD-013",
    says="Slope {slope}: the stated {what} of {stated} differs from the {computed} that its plan gives.",
    why="Every quantity is counted from the slopes; a slip of the tape there runs through all of them.",
    source="Geometry (Pythagoras); 2 % tolerance is common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Measure again, or correct the plan.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.slopes.*.area_sqft": "Only what is typed can differ.",
        "job.slopes.*.eave_ft": "Only what is typed can differ.",
        "job.slopes.*.rake_ft": "Only what is typed can differ.",
        "job.slopes.*.plan": "Without a plan there is nothing to compare a stated figure with.",
    },
    examples=[
        Example(
            {"job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 41 ft, rakes 31.3 ft"},
            finds="Slope back: the stated eave of 41 ft differs from the 40 ft that its plan gives.",
        ),
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40.5 ft, rakes 31.3 ft"
            },
            finds=None,
        ),
    ],
)
def measures_disagree(case: Case, assessment: Assessment) -> Iterator[Fault]:
    names = {"area_sqft": ("area", "sq ft"), "eave_ft": ("eave", "ft"), "rake_ft": ("rakes", "ft")}
    for slope, result in zip(case.job.slopes, assessment.slopes, strict=True):
        for field, check in result.edge_checks:
            stated = getattr(slope, field)
            if check.verdict == "agrees" or check.differs_by is None or stated is None:
                continue
            what, unit = names[field]
            yield Fault(
                case.where(f"{result.path}.{field}"),
                {
                    "slope": slope.label,
                    "what": what,
                    "stated": Number(stated, unit, 2),
                    "computed": Number(stated - check.differs_by, unit, 2),
                },
                lighter=Weight.WEAKENS if abs(check.differs_by) > stated / 10 else None,
            )


_FELT = {
    "job.deliveries.0.lines.3": {
        "product": "No. 15 felt",
        "quantity": "4",
        "unit": "rolls",
        "role": "underlayment",
        "maker": "Kestrelmoor",
        "standard": "ASTM D226 Type I",
        "covers_sqft": "408 sq ft",
    }
}


@rule(
    id="COD-022",
    says="Underlayment laps {laid} {where}; {asked} is needed {place}.",
    why="Water that gets below the shingles runs through a short lap.",
    source="IRC 2018, 2021 and 2024, Table R905.1.1(2), for felts: 2 in, in high wind 4 in, below 4:12 19 in; 4 "
    "in at the ends (from memory); a synthetic or self-adhered sheet goes by its label",
    owed_by=Party.CREW,
    remedy="Look at a photo taken before the shingles went on and correct the lap; else ask the permit office.",
    asks="Tell us how far each course of underlayment laps the one below.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether the underlayment's laps are enough for the high wind here",
    rests_on={
        "locality.design_wind_mph": "COD-006 asks for it.",
        "job.installation.head_lap_in": "Asked in high wind; elsewhere the lines printed on a roll give the lap.",
        "job.installation.end_lap_in": "An end lap is judged where it is on record; every roll has few of them.",
    },
    examples=[
        Example(
            {**_FELT, "job.installation.head_lap_in": "1 1/2"},
            finds="Underlayment laps 1 1/2 in at the head; 2 in is needed on slopes front and back.",
        ),
        Example({**_FELT, "job.installation.head_lap_in": "2"}, finds=None),
        Example({"job.installation.head_lap_in": "1 1/2"}, finds=None),
        Example(
            {**_FELT, "job.installation.end_lap_in": "3"},
            finds="Underlayment laps 3 in at the ends; 4 in is needed on every slope.",
        ),
        Example(
            {**_FELT, "job.building.design_wind_mph": "140"},
            finds="Whether the underlayment's laps are enough for the high wind here cannot be told: the lap of "
            "each course over the one below is needed.",
        ),
    ],
)
def underlayment_lapped_too_little(case: Case, assessment: Assessment) -> Iterator[Fault]:
    installation = case.job.installation
    if case.is_recover or installation is None:
        return
    judged = [result for result in assessment.slopes if result.underlayment_check is not None]
    short: dict[Fraction, list[str]] = {}
    for result in judged:
        asked = result.underlayment.head_lap_in if result.underlayment else None
        if (
            asked is not None
            and result.underlayment_check
            and result.underlayment_check.lap_short_in
        ):
            short.setdefault(asked, []).append(result.label)
    head, end = installation.head_lap_in, installation.end_lap_in
    for asked, labels in short.items():
        yield Fault(
            case.where("installation.head_lap_in"),
            {
                "laid": Inches(head or Fraction(0)),
                "where": "at the head",
                "asked": Inches(asked),
                "place": say("on {slopes}", slopes=Slopes(tuple(labels))),
            },
        )
    rules = [result.underlayment for result in judged if result.underlayment]
    if head is None and any(one.high_wind and one.head_lap_in is not None for one in rules):
        needs = {"installation.head_lap_in": "the lap of each course over the one below"}
        yield not_on_record(case, needs)
    least = max((one.end_lap_in for one in rules if one.end_lap_in is not None), default=None)
    if end is not None and least is not None and end < least:
        yield Fault(
            case.where("installation.end_lap_in"),
            {
                "laid": Inches(end),
                "where": "at the ends",
                "asked": Inches(least),
                "place": "on every slope",
            },
        )
