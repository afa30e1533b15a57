"""Figures that no roof can have, or that another figure of the same record belies.

In: a case and its assessment. Out: faults, all of them doubts. Must not know what a figure is used for.
"""

from collections.abc import Iterator
from fractions import Fraction

from dossier.assess.results import Assessment, SlopeResult
from dossier.assess.supply import DEFAULT_TOLERANCE_SHARE
from dossier.case.case import Case
from dossier.punchlist import Manner, Party, Sends, Weight
from dossier.record.people import Attic, Vent
from dossier.record.roof import Slope
from dossier.rules.declare import Example, Fault, rule
from dossier.said import Area, Feet, Inches, Listed, Said, Slopes, Value, say
from dossier.words import HeatedBelow, Role, Scope

_LEAST_SHARE_OF_ROOF = Fraction(1, 4)
"""Attic floor to roof area; at 12:12 with wide eaves it is over a half. Common practice, no published source."""


@rule(
    id="COD-034",
    says="The attics on record have {floor} of floor in all, below {roof} of roof.",
    why="Vents are counted against the attic's floor; a floor typed too small makes any vent enough.",
    source="Geometry; that a quarter of the roof is too little is common practice, no published source",
    owed_by=Party.CREW,
    remedy="Correct the floor area, or add the attic spaces that are not on record, one by one, cathedral "
    "ceilings too.",
    asks="Tell us which attic spaces there are, and how large the floor of each is, as far as you "
    "know it; do not climb for it.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.building.attics.*.floor_area_sqft": "COD-005 asks for it.",
        "job.slopes": "COD-020 asks for the slopes, and MAT-007 for an area that follows from nothing.",
    },
    examples=[
        Example(
            {"job.building.attics.0.floor_area_sqft": "98.8"},
            finds="The attics on record have 99 sq ft of floor in all, below 1,252 sq ft of roof.",
        ),
        Example({"job.building.attics.0.floor_area_sqft": "320"}, finds=None),
    ],
)
def attic_too_small_for_the_roof(case: Case, assessment: Assessment) -> Iterator[Fault]:
    attics, roof = _attics(case), assessment.totals.area_sqft
    floors = [attic.floor_area_sqft for attic in attics]
    floor = sum((area for area in floors if area is not None), Fraction(0))
    if roof and attics and None not in floors and floor < roof * _LEAST_SHARE_OF_ROOF:
        yield Fault(
            case.where("building.attics.0.floor_area_sqft"),
            {"floor": Area(floor), "roof": Area(roof)},
        )


def _attics(case: Case) -> tuple[Attic, ...]:
    return case.job.building.attics if case.job.building else ()


@rule(
    id="COD-035",
    says="The {vents} on record run {length} in all, and the roof has {edges_ft} of {edges}.",
    why="A strip of vent is as long as the edge it sits in at the most; a run typed twice or too long makes short "
    "vents enough.",
    source="Geometry; 2 % measuring tolerance is common practice, no published source",
    owed_by=Party.CREW,
    remedy="Count the vents again; delete a run that is listed twice, or add the edges that are not on record.",
    asks="Tell us which vents are there, and how long each run of them is.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.building.attics": "COD-005 asks for the vents.",
        "job.job.scope": "Where only a part came off, the rest of the edges need not be on record.",
        "job.slopes": "Where an edge is not on record, nothing is too long for it.",
    },
    examples=[
        Example(
            {
                "job.building.attics.0.intake": [
                    "76 ft Strip soffit vent",
                    "76 ft Strip soffit vent",
                ]
            },
            finds="The soffit vents on record run 152 ft in all, and the roof has 80 ft of eaves.",
        ),
        Example(
            {"job.building.attics.0.exhaust": "44 ft Highdraft ridge vent"},
            finds="The ridge vents on record run 44 ft in all, and the roof has 40 ft of ridges and hips.",
        ),
        Example(
            {
                "job.building.attics.0.intake": [
                    "40 ft Strip soffit vent",
                    "40 ft Strip soffit vent",
                ]
            },
            finds=None,
        ),
    ],
)
def vents_longer_than_their_edge(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if case.job.job.scope is Scope.PARTIAL_TEAR_OFF:
        return
    eaves = [slope.eave_ft for slope in assessment.slopes]
    eaves_ft = sum((eave for eave in eaves if eave is not None), Fraction(0))
    ridges_ft = (assessment.totals.ridge_ft or Fraction(0)) + (
        assessment.totals.hip_ft or Fraction(0)
    )
    for word, side, edges, edges_ft in (
        ("soffit", "intake", "eaves", None if None in eaves else eaves_ft),
        ("ridge", "exhaust", "ridges and hips", ridges_ft),
    ):
        length = sum(
            (vent.length_ft or Fraction(0) for vent in _vents(case, side, word)), Fraction(0)
        )
        if edges_ft and length > edges_ft * (1 + DEFAULT_TOLERANCE_SHARE):
            yield Fault(
                case.where(f"building.attics.0.{side}"),
                {
                    "vents": say("{kind} vents", kind=word),
                    "length": Feet(length),
                    "edges_ft": Feet(edges_ft),
                    "edges": say(edges),
                },
            )


def _vents(case: Case, side: str, word: str) -> Iterator[Vent]:
    """Yield the vents of one side whose own name says where they sit."""
    for attic in _attics(case):
        yield from (vent for vent in getattr(attic, side) if word in vent.product.lower())


_LEAST_SOFFIT_IN = Fraction(2)
"""No strip of soffit vent is narrower; common practice, no published source."""


@rule(
    id="COD-036",
    says="{vent} is on record as intake, and the overhang is {overhang}.",
    why="A soffit vent sits in the overhang: one of the two is not so, and the reach of the ice barrier hangs on "
    "the overhang.",
    source="Geometry; that a soffit vent needs 2 in of overhang is common practice, no published source",
    owed_by=Party.CREW,
    remedy="Measure the overhang from the ground or a photo, or correct what the intake is; nobody goes onto the "
    "roof for it.",
    asks="Tell us how wide the overhang is, measured from the ground or off a photo, and by what "
    "the air comes in.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.building.attics.*.intake": "COD-005 asks for it.",
        "job.building.overhang_in": "COD-002 asks for it where the ice barrier hangs on it.",
        "job.slopes.*.eaves.*.overhang_in": "An eave without its own has the building's.",
        "job.slopes.*.eaves.*.heated_below": "An eave is the house's own unless it is a porch's.",
    },
    examples=[
        Example(
            {"job.building.overhang_in": "0"},
            finds="Strip soffit vent is on record as intake, and the overhang is 0 in.",
        ),
        Example(
            {"job.building.overhang_in": "0", "job.building.attics.0.intake": "12 Edge vent"},
            finds=None,
        ),
        Example({"job.building.overhang_in": "2"}, finds=None),
    ],
)
def soffit_vent_without_a_soffit(case: Case) -> Iterator[Fault]:
    building = case.job.building
    overhang = building.overhang_in if building else None
    # A porch's eave takes no vent of the attic.
    others = [
        eave.overhang_in
        for slope in case.job.slopes
        for eave in slope.eaves
        if eave.overhang_in is not None and eave.heated_below is not HeatedBelow.NO_WALL
    ]
    if overhang is None or max(overhang, *others, Fraction(0)) >= _LEAST_SOFFIT_IN:
        return
    vents = list(dict.fromkeys(vent.product for vent in _vents(case, "intake", "soffit")))
    if vents:
        values: dict[str, Value] = {"vent": Listed(tuple(vents)), "overhang": Inches(overhang)}
        yield Fault(case.where("building.overhang_in"), values)


_MOST_LAYERS = 3
"""Code asks for two at most; a third is somebody's care. Common practice, no published source."""


@rule(
    id="COD-037",
    says="{layers} layers of underlayment are on record{slope}.",
    why="Two layers are the most that code asks for; more is a slip, and the take-off counts them.",
    source="IRC 2018, 2021 and 2024, section R905.1.1 (two layers on low slopes); that more than three are a slip "
    "is common practice, no published source",
    owed_by=Party.CREW,
    remedy="Ask the crew lead, and correct the number.",
    asks="Tell us how many layers of underlayment lie there.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.installation.underlayment_layers": "COD-008 asks for it.",
        "job.slopes.*.underlayment_layers": "A slope without its own has the roof's.",
    },
    examples=[
        Example(
            {"job.installation.underlayment_layers": "10"},
            finds="10 layers of underlayment are on record.",
        ),
        Example(
            {
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "6:12",
                    "plan": "40 ft x 14 ft",
                    "underlayment_layers": "20",
                }
            },
            finds="20 layers of underlayment are on record for slope back.",
        ),
        Example({"job.installation.underlayment_layers": "3"}, finds=None),
    ],
)
def more_layers_than_anybody_lays(case: Case) -> Iterator[Fault]:
    installation = case.job.installation
    laid: list[tuple[str, Value, int | None]] = [
        ("installation", "", installation.underlayment_layers if installation else None),
        *(
            (
                f"slopes.{number}",
                say(" for {slope}", slope=Slopes((slope.label,))),
                slope.underlayment_layers,
            )
            for number, slope in enumerate(case.job.slopes)
        ),
    ]
    for path, slope, layers in laid:
        if layers is not None and layers > _MOST_LAYERS:
            where = case.where(f"{path}.underlayment_layers")
            yield Fault(where, {"layers": layers, "slope": slope})


@rule(
    id="COD-038",
    says="Slope {slope} of {area} has {length} of {edge} on record.",
    why="No edge is longer than the outline of its slope, and no slope is smaller than an eighth of what its "
    "eave and rakes enclose: a slip of the tape runs through every quantity.",
    source="Geometry: the outline of a plane of that area and width, taken as a triangle at the most",
    owed_by=Party.OFFICE,
    remedy="Measure again, or correct the figure that is wrong.",
    manner=Manner(tells_owner=False, sends=Sends.UP, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={"job.slopes": "What is not on record is neither too long nor too small."},
    examples=[
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, walls 313 ft"
            },
            finds="Slope back of 626 sq ft has 313 ft of step flashing on record.",
        ),
        Example(
            {"job.slopes.1": "back, faces N, 6:12, area 62.6 sq ft, eave 40 ft, rakes 31.3 ft"},
            finds="Slope back of 63 sq ft has 40 ft of eave and 31.3 ft of rakes on record.",
        ),
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, walls 31.3 ft"
            },
            finds=None,
        ),
        Example(
            {"job.slopes.1": "back, faces N, 6:12, area 320 sq ft, eave 40 ft, rakes 31.3 ft"},
            finds=None,
        ),
        # A row of three dormers on one line.
        Example(
            {"job.slopes.1": "back, faces N, 4:12, area 240 sq ft, eave 24 ft, rakes 60 ft"},
            finds=None,
        ),
    ],
)
def edge_that_its_slope_cannot_have(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for slope, result in zip(case.job.slopes, assessment.slopes, strict=True):
        for field, length, edge in _impossible(slope, result):
            yield Fault(
                case.where(f"{result.path}.{field}"),
                {
                    "slope": slope.label,
                    "area": Area(result.area_sqft or Fraction(0)),
                    "length": length,
                    "edge": edge,
                },
            )


_PLANES_A_LINE, _LEAST_PLANE_FT = 4, 3
"""Planes, such as dormers, and the least width of each, that somebody may write as one slope. Common practice, no
published source."""


def _impossible(slope: Slope, result: SlopeResult) -> Iterator[tuple[str, Value, Said]]:
    """Yield the field, the length and the name of each edge that a plane of this area cannot have."""
    area, eave, rakes = result.area_sqft, result.eave_ft or Fraction(0), slope.rake_ft
    wide = max(eave, slope.ridge_ft or Fraction(0))
    if not area or not wide:
        return
    # A triangle of this area and width is the tallest plane there is; its box has the longest outline.
    outline = 2 * (wide + 2 * area / wide)
    for field, length, edge in (
        ("valley_ft", slope.valley_ft, "valley"),
        ("hip_ft", slope.hip_ft, "hip"),
        ("step_flashing_ft", slope.step_flashing_ft, "step flashing"),
    ):
        if length is not None and length > outline:
            yield field, Feet(length), say(edge)
    # The rakes are on record together; half of them is the height of a gable's side. A row of dormers may stand on
    # one line, and each plane of it has but its own part of both.
    planes = max(1, min(_PLANES_A_LINE, int(eave / _LEAST_PLANE_FT)))
    if rakes and area < eave * rakes / (4 * planes):
        eave_and_rakes = say("{eave} of eave and {rakes}", eave=Feet(eave), rakes=Feet(rakes))
        yield "area_sqft", eave_and_rakes, say("rakes")


@rule(
    id="MAT-028",
    says="{product} came and was kept, and no slope has a wall, a chimney or a skylight on record.",
    why="Step flashing lies along walls and chimneys only: either a place is not on record, or the goods are "
    "another job's.",
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Write the length along the wall at its slope, or what went back at the ticket's line.",
    asks="Tell us where step flashing was laid, or what of it went back.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.deliveries.*.lines.*.quantity": "MAT-017 asks for it.",
        "job.deliveries.*.lines.*.returned": "Blank means that nothing went back.",
        "job.deliveries.*.lines.*.role": "MAT-003 asks for it where no catalogue knows the product.",
        "job.slopes": "COD-020 asks for the slopes; a place that is not on record is what the rule finds.",
    },
    examples=[
        Example(
            {"job.deliveries.0.lines.10": "44 pieces Eavewright step flashing"},
            finds="Eavewright step flashing came and was kept, and no slope has a wall, a chimney or a skylight "
            "on record.",
        ),
        Example(
            {"job.deliveries.0.lines.10": "44 pieces Eavewright step flashing, returned 44"},
            finds=None,
        ),
        Example(
            {
                "job.deliveries.0.lines.10": "44 pieces Eavewright step flashing",
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, walls 2 ft",
            },
            finds=None,
        ),
    ],
)
def step_flashing_without_a_wall(case: Case) -> Iterator[Fault]:
    places = any(
        slope.step_flashing_ft or slope.chimneys or slope.skylights or slope.eave_meets_wall
        for slope in case.job.slopes
    )
    if places or not case.job.slopes:
        return
    for material in case.materials_of(Role.FLASHING):
        if "step" in material.name.lower() and not material.is_stock:
            yield Fault(case.where(material.path), {"product": material.name})
