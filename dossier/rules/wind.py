"""Shingles and underlayment against the wind of the place."""

from collections.abc import Iterator

from dossier.assess.high_wind import fastening, high_wind, products
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Weight
from dossier.rules.asking import not_on_record
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Answer, Listed, Value, say

_DRYFELL = {"product": "Dryfell underlayment", "quantity": "2", "unit": "rolls", "returned": "1"}


_SHINGLE = {"product": "Fenwright 40", "quantity": "42", "lots": "0012345 x 42"}


@rule(
    id="COD-006",
    says="The field shingle's wind class {wind_class} is too low for {speed} mph; {accepted} is needed.",
    why="The wrapper's class is what the code and a wind claim are judged by.",
    source="IRC 2018, 2021 and 2024, section R905.2.4.1: ASTM D7158, and D3161 only for shingles outside its "
    "scope; its table is from memory (the D7158 ceilings agree with the shingle industry association's "
    "published page)",
    owed_by=Party.OFFICE,
    remedy="Read the class off the wrapper and correct the catalogue; else ask the maker in writing.",
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
                "speed": speed.value,
                "accepted": Listed(tuple(result.check.accepted), "or") or "an engineer's evidence",
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
        outside = result.conditions.outside
        at = _FIELD_OF[next(iter(outside))]
        where = case.exposure.where if at == "building.exposure" else case.where(at)
        yield Fault(where, {"outside": Listed(tuple(outside.values()))})
    elif result.conditions.verdict == "cannot tell" and result.check.verdict == "enough":
        crest = "building.hill_crest"
        asked: dict[str, Value] = {
            _FIELD_OF[need]: Answer(need) if _FIELD_OF[need] == crest else need
            for need in result.conditions.needs
        }
        storeys = case.job.building.storeys if case.job.building else None
        if storeys is not None and storeys <= _STOREYS_BELOW_60_FT:
            asked.pop("building.mean_roof_height_ft", None)
        # Few houses stand on a crest: where the ground is built over, a blank is a reminder and no more.
        exposed = case.exposure.value.value != "B"
        if asked:
            yield not_on_record(case, asked, lighter=None if exposed else Weight.NOTE)


_FIELD_OF = {
    "mean roof height": "building.mean_roof_height_ft",
    "whether the house stands on a hill crest": "building.hill_crest",
    "wind exposure": "building.exposure",
}
"""Each condition of the test, as the assessment names it → the field that tells it."""

_STOREYS_BELOW_60_FT = 3
"""Storeys with which no house has a mean roof height above 60 ft; common practice, no published source."""


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
        needs = {"locality.wind_design_required": Answer("whether wind design is required here")}
        yield not_on_record(case, needs, owed_by=Party.OFFICE)
    if not high:
        return
    found = fastening(case)
    for fault in found.faults:
        yield Fault(case.where("installation.underlayment_caps"), {"fault": fault})
    if found.needs:
        yield not_on_record(case, {path: Answer(need) for path, need in found.needs.items()})


@rule(
    id="COD-024",
    says="{product} ({standard}) is not among the underlayments for the high wind here.",
    why="Light felt tears off its fasteners in a gale.",
    source="IRC 2018, 2021 and 2024, Table R905.1.1(1), from memory: ASTM D226 Type II, D4869 Type III or IV, "
    "D6757; D8257, first published in December 2020 (Professional Roofing, July 2021), from 2024; else an "
    "evaluation report (section R104.11)",
    owed_by=Party.OFFICE,
    remedy="Read the standard and type off the label and correct the catalogue; else ask the permit office.",
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
            needs = {f"{material.path}.standard": say("its {needs}", needs=check.needs)}
            yield not_on_record(case, needs, values)
        elif check.verdict == "not permitted":
            yield Fault(case.where(material.path), values)
