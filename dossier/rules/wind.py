"""Code and installation: nails, wind, cold weather, steep slopes."""

from collections.abc import Iterator

from dossier.assess.code import DECK_IN, fewer_nails_than_code, nail_faults, nail_in
from dossier.assess.high_wind import fastening, high_wind, products
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight, Where
from dossier.rules.asking import not_on_record
from dossier.rules.declare import ASKED, LEFT_TO_OFFICE, Example, Fault, rule
from dossier.values import listed, write_inches, write_number
from dossier.words import Redecked, Role

_DRYFELL = {"product": "Dryfell underlayment", "quantity": "2", "unit": "rolls", "returned": "1"}
_SHINGLE = {"product": "Fenwright 40", "quantity": "42", "lots": "0012345 x 42"}


@rule(
    id="COD-004",
    says="{nails} nails in each shingle are on record; {asked} are asked for.",
    why="Too few nails is what a wind claim is refused for first.",
    source="IRC 2018, 2021 and 2024, section R905.2.6 (as many as the maker asks, never under four in a strip "
    "shingle); the maker's terms for the level",
    owed_by=Party.CREW,
    remedy="Look at the nail-pattern photo; correct the count, or ask for a level that needs fewer.",
    asks="Look at the photo of the nails and tell us how many are in each shingle.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION, Holds.PERMIT},
    cannot_tell="whether enough nails went into each shingle",
    rests_on={"job.installation.nails_per_shingle": ASKED},
    examples=[
        Example(
            {"job.installation.nails_per_shingle": "5"},
            finds="5 nails in each shingle are on record; 6 are asked for.",
        ),
        Example(
            {"job.installation.nails_per_shingle": None},
            finds="Whether enough nails went into each shingle cannot be told: nails per shingle is needed.",
        ),
        Example(
            {"job.installation.nails_per_shingle": "3"},
            finds="3 nails in each shingle are on record; 6 are asked for.",
        ),
        Example({"job.installation.nails_per_shingle": "6"}, finds=None),
    ],
)
def too_few_nails(case: Case, assessment: Assessment) -> Iterator[Fault]:
    check = assessment.nailing
    path = "installation.nails_per_shingle"
    installation = case.job.installation
    nails = installation.nails_per_shingle if installation else None
    if nails is None:
        yield not_on_record(case, {path: "nails per shingle"})
    elif check.verdict == "short":
        # Four nails satisfy the code; what a level asks for beyond them is between owner and maker.
        code = {Holds.PERMIT} if fewer_nails_than_code(nails) else set[Holds]()
        yield Fault(
            case.where(path),
            {"nails": str(nails), "asked": str(nails + check.short_per_shingle)},
            holds=frozenset({Holds.REGISTRATION, *code}),
        )


@rule(
    id="COD-015",
    says="Nails of {length} are on record; {asked} are needed in this deck.",
    why="A nail that does not come through a thin deck, or go 3/4 in into a thick one, pulls out.",
    source="IRC 2018, 2021 and 2024, section R905.2.5; 1/4 in of shingle and underlayment above the deck is "
    "common practice, no published source",
    owed_by=Party.CREW,
    remedy="Read the length off the box and correct it; else ask the permit office before anything else.",
    asks="Tell us the length of the nails, from the box.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether the nails are long enough for this deck",
    rests_on={
        "job.installation.fastener_length_in": "Asked where the catalogue does not tell the nail's length either.",
        "job.decks": "Asked where the nails are shorter than the thickest deck would ask for.",
        "job.decks.*.thickness_in": "Asked where the nails are shorter than the thickest deck would ask for.",
    },
    examples=[
        Example(
            {"job.installation.fastener_length_in": "3/4"},
            finds="Nails of 3/4 in are on record; at least 0.85 in are needed in this deck.",
        ),
        Example(
            {"job.installation.fastener_length_in": "7/8", "job.decks.0": {"kind": "plywood"}},
            finds="Whether the nails are long enough for this deck cannot be told: the thickness of the deck is "
            "needed.",
        ),
        Example(
            {"job.installation.fastener_length_in": "1.25", "job.decks.0": {"kind": "plywood"}},
            finds=None,
        ),
        Example({"job.installation.fastener_length_in": "7/8"}, finds=None),
    ],
)
def nails_too_short(case: Case, assessment: Assessment) -> Iterator[Fault]:
    check = assessment.nail_length
    path = "installation.fastener_length_in"
    if check.verdict == "cannot tell":
        needs = {path: "the length of the nails"} if "nail length" in check.needs else {}
        if DECK_IN in check.needs:
            needs[_deck_blank_at(case)] = "the thickness of the deck"
        yield not_on_record(case, needs)
    laid = nail_in(case)
    if check.verdict != "short" or check.short_in is None or laid is None:
        return
    needed = write_inches(laid + check.short_in)
    asked = f"more than {needed}" if check.short_in == 0 else f"at least {needed}"
    yield Fault(case.where(path), {"length": write_inches(laid), "asked": asked})


def _deck_blank_at(case: Case) -> str:
    """Return the field of the first deck whose thickness is not on record."""
    for number, one in enumerate(case.job.decks):
        if one.thickness_in is None and one.redecked is not Redecked.WHOLE:
            return f"decks.{number}.thickness_in"
        if one.new_thickness_in is None and one.redecked in (Redecked.WHOLE, Redecked.OVERLAID):
            return f"decks.{number}.new_thickness_in"
    return "decks"


@rule(
    id="COD-021",
    says="The fasteners of the shingles: {fault}.",
    why="Staples and thin or bare nails let go in wind, or rust through before the shingles are old.",
    source="IRC 2018, 2021 and 2024, section R905.2.5 (roofing nails of galvanized or stainless steel, aluminum "
    "or copper, 12 gage, head 3/8 in, to ASTM F1667)",
    owed_by=Party.CREW,
    remedy="Read the box again and correct installation.fastener, fastener_shank_in or fastener_head_in; else "
    "ask the permit office before anything else.",
    asks="Tell us what is printed on the box of nails: kind, shank and head.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="what holds the shingles",
    rests_on={
        "job.installation.fastener": "Asked where no delivered product is on record as fastener either.",
        "job.installation.fastener_shank_in": "Judged where it is on record; roofing nails are made to the size.",
        "job.installation.fastener_head_in": "Judged where it is on record; roofing nails are made to the size.",
    },
    examples=[
        Example(
            {"job.installation.fastener": "16 gage staple"},
            finds="The fasteners of the shingles: staples, roofing nails needed.",
        ),
        Example(
            {
                "job.installation.fastener_shank_in": "0.099",
                "job.installation.fastener_head_in": "3/8",
            },
            finds="The fasteners of the shingles: shank 0.099 in, 0.105 in needed.",
        ),
        Example(
            {"job.deliveries.0.lines.9": None},
            finds="What holds the shingles cannot be told: the kind of fastener is needed.",
        ),
        Example({"job.installation.fastener": "galvanized coil nail, no staples"}, finds=None),
        Example({"job.installation.fastener_shank_in": "0.105"}, finds=None),
    ],
)
def fastener_not_allowed(case: Case) -> Iterator[Fault]:
    installation = case.job.installation
    path = "installation.fastener"
    told = bool(installation and installation.fastener) or bool(case.materials_of(Role.FASTENER))
    if not told and not case.reason_not(path):
        yield not_on_record(case, {path: "the kind of fastener"})
    for fault in nail_faults(case):
        yield Fault(case.where(path), {"fault": fault})


@rule(
    id="COD-006",
    says="The field shingle's wind class {wind_class} is too low for {speed} mph; {accepted} is needed.",
    why="The wrapper's class is what the code and a wind claim are judged by.",
    source="IRC 2018, 2021 and 2024, section R905.2.4.1: ASTM D7158, and D3161 only for shingles outside its "
    "scope; its table is from memory (the D7158 ceilings agree with the shingle industry association's "
    "published page)",
    owed_by=Party.OFFICE,
    remedy="Read the class off the wrapper and correct the catalogue; else ask the maker in writing.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether the shingle's wind class fits this place",
    rests_on={
        "locality.design_wind_mph": ASKED,
        "job.building.design_wind_mph": "A building without a speed of its own has the locality's.",
        "job.deliveries.*.lines.*.wind_class": "A line without a class of its own has the catalogue's; where "
        "that has none the rule asks.",
    },
    examples=[
        Example(
            {
                "job.deliveries.0.lines.0": {**_SHINGLE, "wind_class": "D7158 D"},
                "job.building.design_wind_mph": "120",
            },
            finds="The field shingle's wind class D7158 D is too low for 120 mph; G or H is needed.",
        ),
        Example(
            {"job.deliveries.0.lines.0": {**_SHINGLE, "wind_class": "D3161 F"}},
            finds="Whether the shingle's wind class fits this place cannot be told: the D7158 class on the "
            "wrapper is needed.",
        ),
        Example(
            {"locality.design_wind_mph": None},
            finds="Whether the shingle's wind class fits this place cannot be told: design wind speed is needed.",
        ),
        Example(
            {
                "job.deliveries.0.lines.0": {**_SHINGLE, "wind_class": "D7158 D"},
                "job.building.design_wind_mph": "116",
            },
            finds=None,
        ),
    ],
)
def wind_class_too_low(case: Case, assessment: Assessment) -> Iterator[Fault]:
    result = assessment.wind
    if result is None or result.material is None:
        return
    speed = case.design_wind_mph
    if result.check.verdict == "cannot tell":
        by_label = f"{result.material.path}.wind_class"
        speed_at = {"design wind speed": "locality.design_wind_mph"}
        lacking = {speed_at.get(need, by_label): need for need in result.check.needs}
        yield not_on_record(case, lacking)
    elif result.check.verdict in ("too low", "outside table") and speed is not None:
        yield Fault(
            case.where(result.material.path),
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
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    lighter=Weight.WEAKENS,
    cannot_tell="whether the shingle's wind class holds at this site",
    rests_on={
        "job.building.exposure": "The locality's usual exposure holds for a site that the job does not describe.",
        "locality.design_wind_mph": "COD-006 asks for it.",
        "job.building.mean_roof_height_ft": ASKED,
        "job.building.hill_crest": ASKED,
        "locality.exposure": "A site that nobody describes counts as exposure B (IRC R301.2.1.4, from memory).",
    },
    examples=[
        Example(
            {"job.building.exposure": "D"},
            finds="The site lies outside the standard conditions of the shingle's wind test: exposure D.",
        ),
        Example(
            {"job.building.mean_roof_height_ft": "61"},
            finds="The site lies outside the standard conditions of the shingle's wind test: mean roof height "
            "61 ft, 60 ft at most.",
        ),
        Example(
            {"job.building.mean_roof_height_ft": None, "job.building.hill_crest": None},
            finds="Whether the shingle's wind class holds at this site cannot be told: mean roof height and "
            "whether the house stands on a hill crest are needed.",
        ),
        Example({"job.building.exposure": "C"}, finds=None),
    ],
)
def outside_wind_test(case: Case, assessment: Assessment) -> Iterator[Fault]:
    result = assessment.wind
    if result is None or not result.by_d7158:
        return
    if result.outside_its_test:
        yield Fault(
            _outside_at(case, result.conditions.outside[0]),
            {"outside": listed(result.conditions.outside)},
        )
    elif result.conditions.verdict == "cannot tell" and result.check.verdict == "enough":
        fields = {
            "mean roof height": "building.mean_roof_height_ft",
            "whether the house stands on a hill crest": "building.hill_crest",
            "wind exposure": "building.exposure",
        }
        asked = {fields[need]: need for need in result.conditions.needs}
        storeys = case.job.building.storeys if case.job.building else None
        if storeys is not None and storeys <= _STOREYS_BELOW_60_FT:
            asked.pop("building.mean_roof_height_ft", None)
        # Few houses stand on a crest: where the ground is built over, a blank is a reminder and no more.
        exposed = case.exposure.value.value != "B"
        if asked:
            yield not_on_record(case, asked, lighter=None if exposed else Weight.NOTE)


def _outside_at(case: Case, outside: str) -> Where:
    """Return the field that puts the site outside the test's conditions."""
    if outside.startswith("exposure"):
        return case.exposure.where
    crest = outside == "hill crest"
    return case.where("building.hill_crest" if crest else "building.mean_roof_height_ft")


@rule(
    id="COD-011",
    says="{product} was laid at {air} °F; below {least} °F its instructions ask for {asked}, and by the record "
    "that was not done.",
    why="What is laid in the cold does not bond by itself: shingles lift in the first gale, and membrane lets "
    "water below it.",
    source="The maker's printed application instructions, as named in the catalogue",
    owed_by=Party.CREW,
    remedy="Ask the crew lead, and correct the record if it was done; else have it made good, and plan a look "
    "in spring.",
    asks="Tell us how cold it was while laying, whether shingles were sealed by hand, and whether "
    "the deck was primed below membrane.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether all that was laid in the cold can bond",
    rests_on={
        "job.installation.lowest_air_f": ASKED,
        "job.installation.barrier_air_f": "Membrane without a temperature of its own has the shingles'.",
        "job.installation.hand_sealed": "Asked where shingles were laid in the cold.",
        "job.installation.primer": "Asked where membrane was laid in the cold.",
    },
    examples=[
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.hand_sealed": "no"},
            finds="Fenwright 40 was laid at 38 °F; below 40 °F its instructions ask for sealing by hand, and by "
            "the record that was not done.",
        ),
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.hand_sealed": "yes"},
            finds="Whether all that was laid in the cold can bond cannot be told: the record does not say "
            "whether the deck was primed below Icehold ice barrier, laid at 38 °F.",
        ),
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.primer": "yes"},
            finds="Whether all that was laid in the cold can bond cannot be told: the record does not say "
            "whether Fenwright 40, laid at 38 °F was sealed by hand.",
        ),
        Example(
            {"job.installation.lowest_air_f": None},
            finds="Whether all that was laid in the cold can bond cannot be told: the record does not say how "
            "cold the air was while laying.",
        ),
        Example({"job.installation.lowest_air_f": "40"}, finds=None),
        Example(
            {
                "job.installation.lowest_air_f": "38",
                "job.installation.hand_sealed": "yes",
                "job.installation.primer": "yes",
            },
            finds=None,
        ),
        Example(
            {
                "job.installation.lowest_air_f": "38",
                "job.installation.barrier_air_f": "41",
                "job.installation.hand_sealed": "yes",
            },
            finds=None,
        ),
    ],
)
def laid_in_the_cold(case: Case) -> Iterator[Fault]:
    installation = case.job.installation
    air = installation.lowest_air_f if installation else None
    barrier_air = installation.barrier_air_f if installation else None
    groups = (
        (_SHINGLES, air, "installation.lowest_air_f", "hand_sealed"),
        (
            _MEMBRANES,
            air if barrier_air is None else barrier_air,
            "installation.barrier_air_f",
            "primer",
        ),
    )
    for roles, laid_at, path, field in groups:
        named: set[str] = set()
        for material in (one for role in roles for one in case.materials_of(role)):
            least = material.product.lowest_air_f if material.product else None
            if least is None or material.name in named:
                continue
            named.add(material.name)
            if laid_at is None:
                continue
            done = getattr(installation, field)
            if laid_at >= least or done:
                continue
            sealing = field == "hand_sealed"
            if done is None:
                here = f"{material.name}, laid at {write_number(laid_at)} °F"
                needs = f"whether the deck was primed below {here}"
                if sealing:
                    needs = f"whether {here} was sealed by hand"
                yield not_on_record(
                    case,
                    {f"installation.{field}": needs},
                    holds={Holds.REGISTRATION} if sealing else (),
                )
                continue
            yield Fault(
                case.where(path if case.lines.has(path) else "installation.lowest_air_f"),
                {
                    "product": material.name,
                    "air": write_number(laid_at),
                    "least": write_number(least),
                    "asked": "sealing by hand" if sealing else "a primed deck",
                },
                holds=frozenset({Holds.REGISTRATION} if sealing else ()),
            )
    if air is None and not case.reason_not("installation.lowest_air_f") and _told_a_least(case):
        needs_air = {"installation.lowest_air_f": "how cold the air was while laying"}
        yield not_on_record(case, needs_air)


_STOREYS_BELOW_60_FT = 3
"""Storeys with which no house has a mean roof height above 60 ft; common practice, no published source."""

_SHINGLES = (Role.FIELD_SHINGLE, Role.STARTER, Role.HIP_AND_RIDGE)
_MEMBRANES = (Role.ICE_BARRIER, Role.UNDERLAYMENT, Role.LOW_SLOPE_MEMBRANE)


def _told_a_least(case: Case) -> bool:
    """Return whether the catalogue names a least temperature for anything that has to bond on this roof."""
    return any(
        material.product is not None and material.product.lowest_air_f is not None
        for role in (*_SHINGLES, *_MEMBRANES)
        for material in case.materials_of(role)
    )


@rule(
    id="COD-012",
    says="Spring check owed: shingles were laid at {air} °F, and nobody has looked whether they sealed.",
    why="Shingles laid cold should bond with the first warm weeks; a look in spring finds those that did not "
    "before the wind does.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Look from the ground or a ladder set and held as its maker says, by a person trained for it; write "
    "the day under after_work.spring_bond_check.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False, due_is="before summer"),
    rests_on={
        "job.installation.lowest_air_f": "A temperature that is not on record is asked for by COD-011.",
        "job.after_work.spring_bond_check": ASKED,
    },
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.installation.lowest_air_f": "38", "job.installation.hand_sealed": "yes"},
            finds="Spring check owed: shingles were laid at 38 °F, and nobody has looked whether they sealed.",
        ),
        Example({"job.installation.lowest_air_f": "41"}, finds=None),
    ],
)
def spring_check_owed(case: Case) -> Iterator[Fault]:
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
            lacks=("after_work.spring_bond_check",),
        )


@rule(
    id="COD-019",
    says="Slope {slope} is {pitch}; above 21:12 the maker's steep-slope fastening is needed, and nothing on "
    "record shows it.",
    why="On a slope that steep an ordinary nail pattern lets shingles slide before they seal.",
    source="IRC 2018, 2021 and 2024, section R905.2.6 (20:12 in editions before 2012)",
    owed_by=Party.CREW,
    remedy="Ask the crew lead; write steep_method: yes at the slope where the maker's instructions for steep "
    "slopes were followed.",
    asks="Tell us how the shingles were fastened on this steep slope, and send a photo.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    holds={Holds.REGISTRATION},
    rests_on={
        "job.slopes.*.steep_method": "Nothing on record is what the rule reports, above 21:12."
    },
    examples=[
        Example(
            {"job.slopes.1": "back, faces N, 22:12, plan 40 ft x 14 ft, eave 40 ft, rakes 58.4 ft"},
            finds="Slope back is 22:12; above 21:12 the maker's steep-slope fastening is needed, and nothing on "
            "record shows it.",
        ),
        Example(
            {"job.slopes.1": "back, faces N, 21:12, plan 40 ft x 14 ft, eave 40 ft, rakes 56.4 ft"},
            finds=None,
        ),
    ],
)
def steep_slope_not_shown(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for slope, result in zip(case.job.slopes, assessment.slopes, strict=True):
        if result.label in assessment.details.steep and not slope.steep_method:
            yield Fault(
                case.where(f"{result.path}.pitch"),
                {"slope": result.label, "pitch": str(result.pitch)},
            )


_HIGH_WIND_FASTENING = {
    "job.building.design_wind_mph": "140",
    "job.installation.underlayment_caps": "yes",
    "job.installation.caps_along_laps_in": "6",
    "job.installation.caps_between_laps_in": "12",
}


@rule(
    id="COD-023",
    says="The underlayment is not fastened for the high wind here: {fault}.",
    why="In high wind the underlayment is what is left once shingles go; it has to stay by its own fasteners.",
    source="IRC 2018, 2021 and 2024, Table R905.1.1(3); from 140 mph in 2018, where Figure R301.2.1.1 asks for "
    "wind design from 2021 (all from memory)",
    owed_by=Party.CREW,
    remedy="Look at a photo taken before the shingles went on and correct the record; else ask the permit office.",
    asks="Tell us whether the underlayment was fastened through caps, and how far apart.",
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether the underlayment is fastened for the wind here",
    rests_on={
        "locality.design_wind_mph": "COD-006 asks for it.",
        "job.installation.underlayment_caps": "Asked in high wind, where no cap fasteners were delivered either.",
        "job.installation.caps_along_laps_in": "Asked in high wind.",
        "job.installation.caps_between_laps_in": "Asked in high wind.",
        "locality.wind_design_required": "Asked from IRC 2021 on where the design wind speed is 130 to 139 mph; "
        "below, the figure asks for none, and above, it does (from memory).",
    },
    examples=[
        Example(
            {**_HIGH_WIND_FASTENING, "job.installation.underlayment_caps": "no"},
            finds="The underlayment is not fastened for the high wind here: no caps.",
        ),
        Example(
            {**_HIGH_WIND_FASTENING, "job.installation.caps_along_laps_in": "8"},
            finds="The underlayment is not fastened for the high wind here: 8 in along laps, 6 in at most.",
        ),
        Example(
            {"job.building.design_wind_mph": "140"},
            finds="Whether the underlayment is fastened for the wind here cannot be told: the record does not "
            "say whether the underlayment was fastened through caps, how far apart its fasteners are along the "
            "laps and how far apart they are between the laps.",
        ),
        Example(
            {"job.building.design_wind_mph": "135"},
            finds="Whether the underlayment is fastened for the wind here cannot be told: the record does not "
            "say whether wind design is required here.",
        ),
        Example(_HIGH_WIND_FASTENING, finds=None),
        Example({"job.building.design_wind_mph": "129"}, finds=None),
    ],
)
def underlayment_not_fastened_for_wind(case: Case, assessment: Assessment) -> Iterator[Fault]:
    high = high_wind(case, assessment.slopes)
    if high is None and case.design_wind_mph is not None:
        needs = {"locality.wind_design_required": "whether wind design is required here"}
        yield not_on_record(case, needs, owed_by=Party.OFFICE)
    if not high:
        return
    found = fastening(case)
    for fault in found.faults:
        yield Fault(case.where("installation.underlayment_caps"), {"fault": fault})
    if found.needs:
        yield not_on_record(case, found.needs)


@rule(
    id="COD-024",
    says="{product} ({standard}) is not among the underlayments for the high wind here.",
    why="Light felt tears off its fasteners in a gale.",
    source="IRC 2018, 2021 and 2024, Table R905.1.1(1), from memory: ASTM D226 Type II, D4869 Type III or IV, "
    "D6757; D8257, first published in December 2020 (Professional Roofing, July 2021), from 2024; else an "
    "evaluation report (section R104.11)",
    owed_by=Party.OFFICE,
    remedy="Read the standard and type off the label and correct the catalogue; else ask the permit office.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.UP, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether {product} is among the underlayments for the high wind here",
    rests_on={
        "locality.design_wind_mph": "COD-006 asks for it.",
        "job.deliveries.*.lines.*.standard": "Asked in high wind, where the catalogue does not tell it either.",
    },
    examples=[
        Example(
            {
                "job.building.design_wind_mph": "140",
                "job.deliveries.0.lines.3": {**_DRYFELL, "standard": "ASTM D226 Type I"},
            },
            finds="Dryfell underlayment (ASTM D226 Type I) is not among the underlayments for the high wind here.",
        ),
        Example(
            {"job.building.design_wind_mph": "140"},
            finds="Whether Dryfell underlayment is among the underlayments for the high wind here cannot be "
            "told: its evaluation report is needed.",
        ),
        Example(
            {
                "job.building.design_wind_mph": "140",
                "job.deliveries.0.lines.3": {**_DRYFELL, "standard": "ASTM D226 Type II"},
            },
            finds=None,
        ),
        Example({"job.building.design_wind_mph": "129"}, finds=None),
    ],
)
def underlayment_not_for_high_wind(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if not high_wind(case, assessment.slopes):
        return
    for material, check in products(case):
        values = {"product": material.name, "standard": material.standard or ""}
        if check.verdict == "cannot tell":
            needs = {f"{material.path}.standard": f"its {check.needs}"}
            yield not_on_record(case, needs, values)
        elif check.verdict == "not permitted":
            yield Fault(case.where(material.path), values)
