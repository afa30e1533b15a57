"""Code and installation: slope, ice barrier, metal, nails, wind, vents, chimneys, cold weather."""

from collections.abc import Iterator
from fractions import Fraction

from dossier.assess.results import Assessment, SlopeResult
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict, Weight
from dossier.rules.declare import Example, Fault, rule
from dossier.terms.conditions import flat
from dossier.values import Run, listed, plural, write_inches, write_number
from dossier.words import AtticKind, EdgeKind, FlashingState, Role

_FLAT = "back, faces N, 1.5:12, plan 40 ft x 14 ft, eave 40 ft, rakes 28.2 ft, pipes 1"
_LOW = "back, faces N, 3:12, plan 40 ft x 14 ft, eave 40 ft, rakes 28.9 ft, pipes 1"


def _terms_ask_ventilation(case: Case) -> bool:
    return any(
        condition.ventilation
        for asked in case.asked
        if asked.level
        for condition in flat(asked.level.conditions)
    )


@rule(
    id="COD-020",
    says="No slope of the roof is on record.",
    why="Without the slopes nobody can count what the roof needs, say how far the ice barrier must reach, or show "
    "which photo belongs where.",
    source="Our habit; every code figure of a roof follows from its slopes",
    owed_by=Party.CREW,
    remedy="Measure each slope, or copy the measurements from the estimate, and write one line a slope. A roof "
    "always has slopes, so “n/a” is no answer here.",
    holds={Holds.HANDOVER, Holds.REGISTRATION, Holds.PERMIT},
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
def no_slopes(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    if not case.job.slopes:
        yield Fault(case.where("slopes"), verdict=Verdict.MISSING)


@rule(
    id="COD-001",
    says="Slope {slope} is {pitch}; asphalt shingles are allowed only at 2:12 or steeper.",
    why="Below that pitch water runs back under the laps; the code and every maker refuse it.",
    source="IRC 2018, 2021 and 2024, section R905.2.2",
    owed_by=Party.OFFICE,
    remedy="Correct the pitch if it was typed wrongly; else record the membrane that lies there and take "
    "the slope out of the shingled roof.",
    holds={Holds.PERMIT, Holds.REGISTRATION},
    cannot_tell="which code rules hold on {slopes}",
    examples=[
        Example(
            {"job.slopes.1": _FLAT},
            finds="Slope back is 1.5:12; asphalt shingles are allowed only at 2:12 or steeper.",
        ),
        Example(
            {"job.slopes.1": "back, faces N, area 626 sq ft, eave 40 ft, rakes 31.3 ft"},
            finds="Which code rules hold on slope back cannot be told: the pitch is needed.",
        ),
        Example({"job.slopes.1": _FLAT.replace("1.5:12", "2:12")}, finds=None),
    ],
)
def slope_too_flat(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    for result in assessment.slopes:
        where = case.where(f"{result.path}.pitch")
        if result.pitch is None:
            yield Fault(
                where,
                {"slope": result.label},
                verdict=Verdict.CANNOT_TELL,
                needs="the pitch",
                lacks=(f"{result.path}.pitch",),
            )
        elif result.underlayment is not None and not result.underlayment.permitted:
            yield Fault(where, {"slope": result.label, "pitch": str(result.pitch)})


@rule(
    id="COD-002",
    says="Ice barrier on slope {slope} reaches {laid} up the slope; {required} is required here.",
    why="Water that ice backs up at the eave comes in above the top of the barrier.",
    source="IRC 2018, 2021 and 2024, section R905.1.2 (at least 24 in inside the exterior wall line; "
    "36 in along slopes of 8:12 and steeper in 2018 and 2021), by geometry; local changes as on the "
    "locality sheet",
    owed_by=Party.CREW,
    remedy="Measure what is named, or correct the tape reading; if the barrier is short, tell the owner and the "
    "permit office before the roof is signed off.",
    holds={Holds.PERMIT, Holds.REGISTRATION},
    cannot_tell="whether the ice barrier on {slopes} reaches far enough",
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
            finds="Whether the ice barrier on slope back reaches far enough cannot be told: overhang "
            "is needed.",
        ),
        Example({"job.installation.ice_barrier_reach_in": "40.25"}, finds=None),
    ],
)
def ice_barrier_short(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    if case.is_recover or case.reason_not("installation.ice_barrier_reach_in"):
        return
    for result in assessment.slopes:
        check = result.reach_check
        if check is None or result.reach is None or check.verdict in ("reaches", "not required"):
            continue
        field = result.barrier.field
        where = case.where(field)
        if check.verdict == "cannot tell":
            field = field.replace("_courses", "_reach_in")
            blank = next((path for need, path in _BARRIER_NEEDS if need in check.needs), field)
            yield Fault(
                case.where(blank),
                {"slope": result.label},
                verdict=Verdict.CANNOT_TELL,
                needs=listed(check.needs),
                lacks=(blank,),
            )
        else:
            yield Fault(
                where,
                {
                    "slope": result.label,
                    "laid": _laid_words(result),
                    "required": write_inches(result.reach.required_in or Fraction(0)),
                },
            )


def _laid_words(result: SlopeResult) -> str:
    """Return how far it reaches; a reach worked out from courses is told as the most that it can be."""
    laid = result.barrier
    check = result.reach_check
    reach = write_inches((check.installed_in if check else None) or Fraction(0))
    if laid.roll_in is None or laid.courses is None:
        return reach
    courses, roll = plural(laid.courses, "course"), write_inches(laid.roll_in)
    return f"at most {reach} ({courses} of a {roll} roll, not measured)"


_BARRIER_NEEDS = (("overhang", "building.overhang_in"), ("wall thickness", "building.wall_in"))
"""Where the measure stands that a reach cannot be told without."""


@rule(
    id="COD-003",
    says="No drip edge is on record at the {edges}.",
    why="Without metal the deck's edge rots, and the code asks for it at eaves and rakes.",
    source="IRC 2018, 2021 and 2024, section R905.2.8.5",
    owed_by=Party.CREW,
    remedy="Ask the crew lead which edges carry metal and write it under installation.drip_edge_at.",
    holds={Holds.PERMIT},
    examples=[
        Example(
            {"job.installation.drip_edge_at": "eaves"},
            finds="No drip edge is on record at the rakes.",
        ),
        Example({"job.installation.drip_edge_at": "rakes, eaves"}, finds=None),
    ],
)
def no_drip_edge(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    installation = case.job.installation
    laid = installation.drip_edge_at if installation else ()
    if case.reason_not("installation.drip_edge_at"):
        return
    totals = assessment.totals
    here = {EdgeKind.EAVES: totals.eave_ft, EdgeKind.RAKES: totals.rake_ft}
    blank = [edge.value for edge in EdgeKind if edge not in laid and here[edge] != 0]
    if blank:
        yield Fault(
            case.where("installation.drip_edge_at"),
            {"edges": listed(blank)},
            verdict=Verdict.MISSING,
        )


@rule(
    id="COD-004",
    says="{nails} nails in each shingle are on record; {asked} are asked for.",
    why="Too few nails is what a wind claim is refused for first.",
    source="IRC 2018, 2021 and 2024, section R905.2.6 (as many as the maker asks, never under four in a "
    "strip shingle); the maker's terms for the level",
    owed_by=Party.CREW,
    remedy="Look at the nail-pattern photo; correct the count, or ask for a level that needs fewer.",
    holds={Holds.REGISTRATION},
    cannot_tell="Whether enough nails went into each shingle cannot be told: {needs} is needed.",
    examples=[
        Example(
            {"job.installation.nails_per_shingle": "5"},
            finds="5 nails in each shingle are on record; 6 are asked for.",
        ),
        Example(
            {"job.installation.nails_per_shingle": None},
            finds="Whether enough nails went into each shingle cannot be told: nails per shingle is "
            "needed.",
        ),
        Example({"job.installation.nails_per_shingle": "6"}, finds=None),
    ],
)
def too_few_nails(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    check = assessment.nailing
    where = case.where("installation.nails_per_shingle")
    installation = case.job.installation
    nails = installation.nails_per_shingle if installation else None
    if nails is None:
        yield Fault(where, verdict=Verdict.CANNOT_TELL, needs="nails per shingle")
    elif check.verdict == "short":
        yield Fault(where, {"nails": str(nails), "asked": str(nails + check.short_per_shingle)})


@rule(
    id="COD-005",
    says="The vents of attic {space} are {fault}.",
    why="An attic that does not breathe rots its deck from below and feeds ice dams; makers refuse "
    "claims on it.",
    source="IRC 2018, 2021 and 2024, section R806.2, for the total and, at 1/300, for 40 to 50 % of it high; to "
    "part 1/150 in the same way, and to take more as enough with exhaust not above intake, is common practice, "
    "no published source",
    owed_by=Party.CREW,
    remedy="Count the vents and read the net free area off the product; add vents, or tell the owner in "
    "writing what is short.",
    holds={Holds.REGISTRATION, Holds.PERMIT},
    lighter=Weight.NOTE,
    cannot_tell="Whether attic {space} breathes as it should cannot be told: {needs} is needed.",
    examples=[
        Example(
            {"job.building.attics.0.exhaust": "10 ft Highdraft ridge vent"},
            finds="The vents of attic main are short: exhaust short by 9.7 sq in.",
        ),
        Example(
            {"job.building.attics.0.intake": None},
            finds="Whether attic main breathes as it should cannot be told: net free area of the intake "
            "vents is needed.",
        ),
        Example(
            {"job.building.attics.0.intake": "40 ft Strip soffit vent"},
            finds="The vents of attic main are unbalanced: intake short by 288 sq in, though the code's own "
            "words are met.",
        ),
        Example({"job.building.attics.0.exhaust": "11 ft Highdraft ridge vent"}, finds=None),
    ],
)
def attic_vents_short(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    holds: set[Holds] = set()
    if _terms_ask_ventilation(case):
        holds.add(Holds.REGISTRATION)
    if case.locality.vents_hold_permit:
        holds.add(Holds.PERMIT)
    held = frozenset(holds)
    if not assessment.attics and not case.reason_not("building.attics"):
        yield Fault(
            case.where("building.attics"),
            {"space": "main"},
            verdict=Verdict.CANNOT_TELL,
            needs="the attic's floor area and its vents",
            holds=held,
        )
    for number, check in enumerate(assessment.attics):
        where = case.where(f"building.attics.{number}")
        if check.verdict == "cannot tell":
            yield Fault(
                where,
                {"space": check.name},
                verdict=Verdict.CANNOT_TELL,
                needs=listed(check.needs),
                holds=held,
            )
        elif check.verdict in ("short", "unbalanced"):
            parts = []
            if check.exhaust_short_sqin:
                parts.append(f"exhaust short by {write_number(check.exhaust_short_sqin)} sq in")
            if check.intake_short_sqin:
                parts.append(f"intake short by {write_number(check.intake_short_sqin)} sq in")
            fault = f"{check.verdict}: {listed(parts)}" if parts else check.verdict
            fault += ", though the code's own words are met" if check.met_by_words else ""
            yield Fault(where, {"space": check.name, "fault": fault}, holds=held)


@rule(
    id="COD-006",
    says="The field shingle's wind class {wind_class} is too low for {speed} mph; {accepted} is needed.",
    why="The wrapper's class is what the code and a wind claim are judged by.",
    source="IRC 2018, 2021 and 2024, Table R905.2.4.1 (from memory; the D7158 ceilings agree with the "
    "shingle industry association's published page)",
    owed_by=Party.OFFICE,
    remedy="Read the class off the wrapper and correct the catalogue; else ask the maker in writing.",
    holds={Holds.PERMIT},
    cannot_tell="Whether the shingle's wind class fits this place cannot be told: {needs} is needed.",
    examples=[
        Example(
            {
                "job.deliveries.0.lines.0": {
                    "product": "Fenwright 40",
                    "quantity": "42",
                    "wind_class": "D7158 D",
                    "lots": "0012345 x 42",
                },
                "job.building.design_wind_mph": "120",
            },
            finds="The field shingle's wind class D7158 D is too low for 120 mph; G or H is needed.",
        ),
        Example(
            {
                "job.deliveries.0.lines.0": {
                    "product": "Fenwright 40",
                    "quantity": "42",
                    "wind_class": "D7158 D",
                    "lots": "0012345 x 42",
                },
                "job.building.design_wind_mph": "116",
            },
            finds=None,
        ),
    ],
)
def wind_class_too_low(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    result = assessment.wind
    if result is None or result.material is None:
        return
    where = case.where(result.material.path)
    speed = case.design_wind_mph
    if result.check.verdict == "cannot tell":
        needs = listed(result.check.needs)
        yield Fault(where, verdict=Verdict.CANNOT_TELL, needs=needs)
    elif result.check.verdict in ("too low", "outside table") and speed is not None:
        yield Fault(
            where,
            {
                "wind_class": result.material.wind_class or "",
                "speed": str(speed.value),
                "accepted": listed(result.check.accepted, "or") or "an engineer's evidence",
            },
        )


@rule(
    id="COD-007",
    says="The site lies outside the standard conditions of the shingle's wind test: {outside}.",
    why="The class printed on the wrapper holds only within those conditions; beyond them the maker or an "
    "engineer has to say what holds.",
    source="ASTM D7158/D7158M-24a, section 6.3",
    owed_by=Party.OFFICE,
    remedy="Ask the maker in writing whether the class holds at this site, and file the answer.",
    lighter=Weight.WEAKENS,
    examples=[
        Example(
            {"job.building.exposure": "D"},
            finds="The site lies outside the standard conditions of the shingle's wind test: "
            "exposure D.",
        ),
        Example({"job.building.exposure": "C"}, finds=None),
    ],
)
def outside_wind_test(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    result = assessment.wind
    if result is not None and result.conditions.verdict == "outside":
        yield Fault(
            case.exposure.where,
            {"outside": listed(result.conditions.outside)},
        )


@rule(
    id="COD-008",
    says="Slope {slope} at {pitch} needs {asked} layers of underlayment; {laid} is on record.",
    why="Below 4:12 one layer lets wind-driven water through its laps.",
    source="IRC 2018, 2021 and 2024, section R905.2.2 with R905.1.1",
    owed_by=Party.CREW,
    remedy="Ask the crew lead what was laid there; if ice barrier covers the slope whole, write "
    "ice_barrier_whole: yes at the slope.",
    holds={Holds.PERMIT},
    cannot_tell="whether enough underlayment lies on {slopes}",
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
def underlayment_too_thin(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
            yield Fault(
                where,
                {"slope": result.label},
                verdict=Verdict.CANNOT_TELL,
                needs="the layers of underlayment",
                lacks=("installation.underlayment_layers",),
            )
        elif check.layers_short:
            yield Fault(
                where,
                {
                    "slope": result.label,
                    "pitch": str(result.pitch),
                    "asked": str(asked.layers),
                    "laid": str(laid),
                },
            )


@rule(
    id="COD-009",
    says="The chimney on slope {slope} is {width} wide and no cricket is on record.",
    why="Snow and water stand behind a wide chimney until they find a way in.",
    source="IRC 2018, 2021 and 2024, section R903.2.2 (wider than 30 in)",
    owed_by=Party.CREW,
    remedy="Ask the crew lead; write cricket: yes, or at_ridge: yes where nothing drains onto it.",
    holds={Holds.PERMIT},
    examples=[
        Example(
            {
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "6:12",
                    "plan": "40 ft x 14 ft",
                    "eave_ft": "40",
                    "rake_ft": "31.3",
                    "chimneys": {"width_in": "32"},
                }
            },
            finds="The chimney on slope back is 32 in wide and no cricket is on record.",
        ),
        Example(
            {
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "6:12",
                    "plan": "40 ft x 14 ft",
                    "eave_ft": "40",
                    "rake_ft": "31.3",
                    "chimneys": {"width_in": "30"},
                }
            },
            finds=None,
        ),
    ],
)
def no_cricket(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    for number, slope in enumerate(case.job.slopes):
        for index, chimney in enumerate(slope.chimneys):
            if chimney.width_in is None or chimney.cricket:
                continue
            if f"slopes.{number}.chimneys.{index}" in assessment.details.crickets:
                yield Fault(
                    case.where(f"slopes.{number}.chimneys.{index}"),
                    {"slope": slope.label, "width": write_inches(chimney.width_in)},
                    verdict=Verdict.MISSING,
                )


@rule(
    id="COD-010",
    says="An eave of slope {slope} meets a wall and no kick-out is on record.",
    why="Without a kick-out the water of the whole slope runs down inside the wall.",
    source="IRC 2018, 2021 and 2024, section R903.2.1",
    owed_by=Party.CREW,
    remedy="Ask the crew lead, file the photo under photos/flashing/, and write kick_out: yes.",
    holds={Holds.PERMIT},
    examples=[
        Example(
            {
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "6:12",
                    "plan": "40 ft x 14 ft",
                    "eave_ft": "40",
                    "rake_ft": "31.3",
                    "eave_meets_wall": "yes",
                }
            },
            finds="An eave of slope back meets a wall and no kick-out is on record.",
        ),
        Example(
            {
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "6:12",
                    "plan": "40 ft x 14 ft",
                    "eave_ft": "40",
                    "rake_ft": "31.3",
                    "eave_meets_wall": "yes",
                },
                "job.installation.kick_out": "yes",
            },
            finds=None,
        ),
    ],
)
def no_kick_out(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    installation = case.job.installation
    if installation is not None and installation.kick_out:
        return
    if case.reason_not("installation.kick_out"):
        return
    for number, slope in enumerate(case.job.slopes):
        if slope.eave_meets_wall:
            yield Fault(
                case.where(f"slopes.{number}.eave_meets_wall"),
                {"slope": slope.label},
                verdict=Verdict.MISSING,
            )


@rule(
    id="COD-011",
    says="{product} was laid at {air} °F; below {least} °F its instructions ask for sealing by hand or "
    "primer, and neither is on record.",
    why="Shingles laid in the cold do not bond by themselves; the first gale finds them.",
    source="The maker's printed application instructions, as named in the catalogue",
    owed_by=Party.CREW,
    remedy="Ask the crew lead; write hand_sealed: yes or primer: yes if it was done, and plan a look in "
    "spring.",
    examples=[
        Example(
            {"job.installation.lowest_air_f": "38"},
            finds="Fenwright 40 was laid at 38 °F; below 40 °F its instructions ask for sealing by "
            "hand or primer, and neither is on record.",
        ),
        Example({"job.installation.lowest_air_f": "40"}, finds=None),
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.hand_sealed": "yes"},
            finds=None,
        ),
    ],
)
def laid_in_the_cold(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    installation = case.job.installation
    air = installation.lowest_air_f if installation else None
    if installation is None or air is None or installation.hand_sealed or installation.primer:
        return
    named: set[str] = set()
    for material in (*case.materials_of(Role.FIELD_SHINGLE), *case.materials_of(Role.ICE_BARRIER)):
        least = material.product.lowest_air_f if material.product else None
        if least is not None and air < least and material.name not in named:
            named.add(material.name)
            yield Fault(
                case.where("installation.lowest_air_f"),
                {
                    "product": material.name,
                    "air": write_number(air),
                    "least": write_number(least),
                },
            )


@rule(
    id="COD-012",
    says="Spring check owed: shingles were laid at {air} °F, and nobody has looked whether they sealed.",
    why="Shingles laid cold should bond with the first warm weeks; a look in spring finds those that did "
    "not before the wind does.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Look from the ground or a ladder set and held as its maker says, by a person trained for it; "
    "write the day under after_work.spring_bond_check.",
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.hand_sealed": "yes"},
            finds="Spring check owed: shingles were laid at 38 °F, and nobody has looked whether they "
            "sealed.",
        ),
        Example({"job.installation.lowest_air_f": "41"}, finds=None),
    ],
)
def spring_check_owed(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    installation = case.job.installation
    air = installation.lowest_air_f if installation else None
    after = case.job.after_work
    if air is None or (after is not None and after.spring_bond_check is not None):
        return
    cold = any(
        material.product is not None
        and material.product.lowest_air_f is not None
        and air < material.product.lowest_air_f
        for material in case.materials_of(Role.FIELD_SHINGLE)
    )
    if cold:
        done = case.last_day_of_work()
        due = (
            None
            if done is None
            else done.replace(month=5, day=31, year=done.year + (done.month > 5))
        )
        yield Fault(
            case.where("installation.lowest_air_f"),
            {"air": write_number(air)},
            verdict=Verdict.MISSING,
            due=due,
        )


@rule(
    id="COD-013",
    says="Slope {slope}: the stated {what} of {stated} differs from the {computed} that its plan gives.",
    why="Every quantity is counted from the slopes; a slip of the tape there runs through all of them.",
    source="Geometry (Pythagoras); 2 % tolerance is common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Measure again, or correct the plan.",
    lighter=Weight.NOTE,
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
def measures_disagree(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
                    "stated": f"{write_number(stated, 2)} {unit}",
                    "computed": f"{write_number(stated - check.differs_by, 2)} {unit}",
                },
            )


_VALLEY = {
    "label": "back",
    "pitch": "6:12",
    "plan": "40 ft x 14 ft",
    "eave_ft": "40",
    "rake_ft": "31.3",
    "valley_ft": "16",
}


@rule(
    id="COD-014",
    says="The valleys: {fault}.",
    why="A valley carries the water of two slopes; more roofs leak there than on the slopes.",
    source="IRC 2018 and 2021, section R905.2.8.2 (24 in open metal; 36 in lining below closed valleys)",
    owed_by=Party.CREW,
    remedy="Ask the crew lead how the valleys were lined and laid, and write valley_method and "
    "valley_lining_in.",
    holds={Holds.PERMIT},
    cannot_tell="How the valleys were lined cannot be told: {needs} is needed.",
    examples=[
        Example(
            {
                "job.slopes.1": _VALLEY,
                "job.installation.valley_method": "open metal",
                "job.installation.valley_lining_in": "20",
            },
            finds="The valleys: lining 20 in wide, 24 in needed.",
        ),
        Example(
            {"job.slopes.1": _VALLEY},
            finds="How the valleys were lined cannot be told: the valley method and the width of the "
            "lining are needed.",
        ),
        Example(
            {
                "job.slopes.1": _VALLEY,
                "job.installation.valley_method": "open metal",
                "job.installation.valley_lining_in": "24",
            },
            finds=None,
        ),
    ],
)
def valley_lining_wrong(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    if not assessment.totals.valley_ft:
        return
    installation = case.job.installation
    method = installation.valley_method if installation else None
    width = installation.valley_lining_in if installation else None
    where = case.where("installation.valley_method")
    needs = [
        name
        for name, value in (("the valley method", method), ("the width of the lining", width))
        if value is None
    ]
    if method is None or width is None:
        yield Fault(where, verdict=Verdict.CANNOT_TELL, needs=listed(needs))
    else:
        for fault in assessment.details.valley_faults:
            yield Fault(where, {"fault": fault})


@rule(
    id="COD-015",
    says="Nails of {length} are on record; {asked} are needed in this deck.",
    why="A nail that does not come through a thin deck, or go 3/4 in into a thick one, pulls out.",
    source="IRC 2018, 2021 and 2024, section R905.2.5; 1/4 in of shingle and underlayment above the deck is "
    "common practice, no published source",
    owed_by=Party.CREW,
    remedy="Read the length off the box and correct it; else ask the permit office before anything else.",
    holds={Holds.PERMIT},
    examples=[
        Example(
            {"job.installation.fastener_length_in": "3/4"},
            finds="Nails of 3/4 in are on record; more than 3/4 in are needed in this deck.",
        ),
        Example({"job.installation.fastener_length_in": "7/8"}, finds=None),
    ],
)
def nails_too_short(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    check = assessment.nail_length
    if check is None or check.verdict != "short" or check.short_in is None:
        return
    installation = case.job.installation
    length = installation.fastener_length_in if installation else None
    lengths = [
        m.product.length_in
        for m in case.materials_of(Role.FASTENER)
        if m.product and m.product.length_in is not None
    ]
    laid = length if length is not None else min(lengths)
    needed = write_inches(laid + check.short_in)
    asked = f"more than {needed}" if check.short_in == 0 else f"at least {needed}"
    yield Fault(
        case.where("installation.fastener_length_in"),
        {"length": write_inches(laid), "asked": asked},
    )


@rule(
    id="COD-016",
    says="The flashing was {state}.",
    why="Old flashing under a new roof is the commonest place a new roof leaks.",
    source="General inspection practice, no published order; the maker's instructions (IRC R905.2.8.4)",
    owed_by=Party.OFFICE,
    remedy="Say in the handover which flashing stayed and why; look there first when a leak is told.",
    lighter=Weight.WEAKENS,
    examples=[
        Example({"job.installation.flashing": "reused"}, finds="The flashing was reused."),
        Example({"job.installation.flashing": "replaced"}, finds=None),
    ],
)
def old_flashing_kept(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    installation = case.job.installation
    state = installation.flashing if installation else None
    if state is not None and state is not FlashingState.REPLACED:
        yield Fault(case.where("installation.flashing"), {"state": state.value})


@rule(
    id="COD-017",
    says="Attic {space} mixes {kinds} as exhaust.",
    why="Two kinds of exhaust in one space feed each other and leave the rest of the attic still.",
    source="Common practice, no published source; many makers' instructions say so",
    owed_by=Party.CREW,
    remedy="Close one kind, or record that they are in separate spaces.",
    examples=[
        Example(
            {
                "job.building.attics.0.exhaust": [
                    "20 ft Highdraft ridge vent",
                    "2 Box vent, 50 sq in each",
                ]
            },
            finds="Attic main mixes Highdraft ridge vent and Box vent as exhaust.",
        ),
        Example(
            {
                "job.building.attics.0.exhaust": [
                    "20 ft Highdraft ridge vent",
                    "16 ft Highdraft ridge vent",
                ]
            },
            finds=None,
        ),
    ],
)
def exhaust_mixed(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    for number, attic in enumerate(case.job.building.attics if case.job.building else ()):
        kinds = list(dict.fromkeys(vent.product for vent in attic.exhaust))
        if len(kinds) > 1:
            yield Fault(
                case.where(f"building.attics.{number}.exhaust"),
                {"space": attic.space, "kinds": listed(kinds)},
            )


@rule(
    id="COD-018",
    says="Nobody is on record as having seen the soffit openings of attic {space} clear.",
    why="A soffit vent behind insulation is a vent on paper only.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Have a person trained for it look from the attic, on the framing only, and write name and day "
    "under soffits_seen_clear.",
    examples=[
        Example(
            {"job.building.attics.0.soffits_seen_clear": None},
            finds="Nobody is on record as having seen the soffit openings of attic main clear.",
        ),
        Example({"job.building.attics.0.soffits_seen_clear": "Jens Aberg, 2026-09-15"}, finds=None),
    ],
)
def soffits_not_looked_at(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for number, attic in enumerate(case.job.building.attics if case.job.building else ()):
        path = f"building.attics.{number}.soffits_seen_clear"
        unvented = attic.kind is AtticKind.UNVENTED
        none_there = case.reason_not(f"building.attics.{number}.intake") is not None
        if (
            attic.soffits_seen_clear is None
            and not unvented
            and not none_there
            and not case.reason_not(path)
        ):
            yield Fault(case.where(path), {"space": attic.space}, verdict=Verdict.MISSING)


@rule(
    id="COD-019",
    says="Slope {slope} is {pitch}; above 21:12 the maker's steep-slope fastening is needed, and nothing on "
    "record shows it.",
    why="On a slope that steep an ordinary nail pattern lets shingles slide before they seal.",
    source="IRC 2018, 2021 and 2024, section R905.2.6 (20:12 in editions before 2012)",
    owed_by=Party.CREW,
    remedy="Ask the crew lead; write hand_sealed: yes where each shingle was sealed by hand.",
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.slopes.1": "back, faces N, 22:12, plan 40 ft x 14 ft, eave 40 ft, rakes 58.4 ft"},
            finds="Slope back is 22:12; above 21:12 the maker's steep-slope fastening is needed, and "
            "nothing on record shows it.",
        ),
        Example(
            {"job.slopes.1": "back, faces N, 21:12, plan 40 ft x 14 ft, eave 40 ft, rakes 56.4 ft"},
            finds=None,
        ),
    ],
)
def steep_slope_not_shown(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    installation = case.job.installation
    if installation is not None and installation.hand_sealed:
        return
    for slope in assessment.slopes:
        if slope.label in assessment.details.steep:
            yield Fault(
                case.where(f"{slope.path}.pitch"),
                {"slope": slope.label, "pitch": str(slope.pitch)},
            )
