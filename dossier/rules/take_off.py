"""What was delivered and kept against what the measured roof takes."""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from dossier.assess.backing import good_papers
from dossier.assess.needed import ridge_is_blank
from dossier.assess.results import Assessment, RoleResult
from dossier.assess.supply import DEFAULT_TOLERANCE_SHARE, waste_share
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Weight
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import held_by_terms
from dossier.said import Feet, Listed, Number, Product, Said, Share, Slopes, joined, say
from dossier.words import PaperKind, Role

_SUPPLY = {
    "job.slopes.*.area_sqft": "Where no other figure gives the area, it is asked for by MAT-007.",
    "job.slopes.*.plan": "Where no other figure gives the area, it is asked for by MAT-007.",
    "job.slopes.*.plan_area_sqft": "Where no other figure gives the area, it is asked for by MAT-007.",
    "job.slopes.*.ridge_ft": "MAT-007 asks for it.",
    "job.installation.starter_at": "Eaves always carry starter; rakes count only where the record says so.",
    "job.installation.nails_per_shingle": "COD-004 asks for it.",
    "job.deliveries.*.lines.*.role": "MAT-003 asks for it where no catalogue knows the product.",
    "job.slopes.*.eave_ft": "A slope's line names the edges it has; blank is none of that edge.",
    "job.slopes.*.rake_ft": "A slope's line names the edges it has; blank is none of that edge.",
    "job.slopes.*.hip_ft": "A slope's line names the edges it has; blank is none of that edge.",
    "job.slopes.*.valley_ft": "A slope's line names the edges it has; blank is none of that edge.",
    "job.deliveries.*.lines.*.quantity": "The rule on supply that cannot be told asks for it.",
    "job.deliveries.*.lines.*.covers_sqft": "The rule on supply that cannot be told asks for it.",
    "job.deliveries.*.lines.*.covers_ft": "The rule on supply that cannot be told asks for it.",
    "job.deliveries.*.lines.*.returned": "Blank means that nothing went back.",
    "job.deliveries.*.lines.*.left_with_owner": "A spare bundle is optional; without a note none is allowed for.",
}


def _whole(quantity: Fraction, unit: str) -> Number:
    """Return a quantity; pieces are whole ones, since nobody lays eight tenths of a piece."""
    return Number(ceil(quantity) if unit == "pieces" else quantity, unit)


_BOXES_OF_NAILS = 8
"""How many times what one roof takes may come before somebody asks; common practice, no published source."""


_Blank = tuple[str, Said, Said]
"""A place in the record that is blank, what is needed in words, and what to write where."""


def _blank_supply(result: RoleResult) -> Iterator[_Blank]:
    """Yield what is blank in a role's lines, without which nobody can say how much was delivered."""
    for material in result.materials:
        product = Product(material.name)
        if material.line.quantity is None:
            yield (
                f"{material.path}.quantity",
                say("the quantity of {product}", product=product),
                say(
                    "Add the quantity from the ticket to the line of {product} in job.yaml: quantity and unit, "
                    "or in front of the name, such as 42 bundles.",
                    product=product,
                ),
            )
        for unit, name, covers in (
            ("sq ft", "covers_sqft", material.covers_sqft),
            ("ft", "covers_ft", material.covers_ft),
        ):
            if result.need.unit == unit and covers is None:
                yield (
                    f"{material.path}.{name}",
                    say(
                        "what one unit of {product} covers, in {unit},", product=product, unit=unit
                    ),
                    say(
                        "Add {name} from the wrapper to {product} in the catalogue, or to its line in job.yaml.",
                        name=name,
                        product=product,
                    ),
                )


@rule(
    id="MAT-005",
    says="Too little {role} for this roof: {supplied} delivered and kept, {needed} needed with no waste "
    "at all, {short} short.",
    why="A short count is how cut-up field shingles, or a bare edge, show on paper.",
    source="Geometry of the measured roof and the coverage printed on the wrapper; 2 % measuring "
    "tolerance is common practice, no published source. It holds registration only where a clause of the maker's "
    "terms names the part",
    owed_by=Party.OFFICE,
    remedy="Look for another ticket or stock line; if there is none, ask the crew what was laid there.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.deliveries.0.lines.2": "1 bundles Crownline hip and ridge, lot 0009912 x 1"},
            finds="Too little hip and ridge for this roof: 25 ft delivered and kept, 40 ft needed with "
            "no waste at all, 15 ft short.",
        ),
        Example(
            {
                "job.deliveries.0.lines.2": "1 bundles Crownline hip and ridge, lot 0009912 x 1",
                "job.deliveries.2": {
                    "source": "own stock",
                    "lines": "1 bundles Crownline hip and ridge, lot 0009911 x 1",
                },
            },
            finds=None,
        ),
    ],
    rests_on=_SUPPLY,
)
def too_little_delivered(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.roles:
        if result.take_off.verdict != "short" or result.take_off.supplied is None:
            continue
        unit = result.need.unit
        yield Fault(
            case.where(result.materials[0].path),
            {
                "role": result.role,
                "supplied": Number(result.take_off.supplied, unit),
                "needed": _whole(result.need.at_zero_waste, unit),
                "short": _whole(result.take_off.short_by, unit),
            },
            holds=held_by_terms(case, result.role),
        )


@rule(
    id="MAT-006",
    says="More {role} than this roof takes: {supplied} delivered and kept, at most {upper} expected in whole "
    "packages.",
    why="Goods that were paid for and not installed are owed back as credit, or lie on another job.",
    source="Waste bands by kind of roof: common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Write what went back as returned and ask for the credit, or correct the measured roof.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {
                "job.deliveries.0.lines.0": "52 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345 x 40; 0012346 x 12"
            },
            finds="More field shingle than this roof takes: 1,731.6 sq ft delivered and kept, at "
            "most 1,398.6 sq ft expected in whole packages.",
        ),
        Example(
            {
                "job.deliveries.0.lines.0": "52 bundles Fenwright 40, colour Slate Grey, returned 10, "
                "lots 0012345 x 40; 0012346 x 12"
            },
            finds=None,
        ),
        Example({"job.deliveries.0.lines.9": "4 boxes Coil nails 1-1/4 in"}, finds=None),
    ],
    rests_on={
        **_SUPPLY,
        "job.deliveries.*.source": "A delivery without a source came by ticket.",
        "job.installation.drip_edge_at": "Nothing typed is drip edge nowhere, which COD-003 reports.",
    },
)
def too_much_delivered(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.roles:
        supplied = result.take_off.supplied or Fraction(0)
        upper = supplied - result.take_off.over_by
        # Nails are bought by the box, and a box does three roofs.
        bought_by_the_box = result.role is Role.FASTENER and supplied <= _BOXES_OF_NAILS * upper
        if result.take_off.verdict != "over" or bought_by_the_box:
            continue
        yield Fault(
            case.where(result.materials[0].path),
            {
                "role": result.role,
                "supplied": Number(supplied, result.need.unit),
                "upper": Number(upper, result.need.unit),
            },
        )


@rule(
    id="MAT-007",
    says="Whether enough {role} was delivered is not known.",
    why="Without the quantity and what one unit covers, nobody can say that the product was used "
    "throughout.",
    source="Geometry of the measured roof and the coverage printed on the wrapper",
    owed_by=Party.OFFICE,
    remedy="Add the quantity from the ticket, and the coverage from the wrapper to the catalogue.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    cannot_tell="whether enough {role} was delivered",
    examples=[
        Example(
            {
                "job.deliveries.0.lines.2": {
                    "product": "Crownline hip and ridge",
                    "lots": "0009912",
                }
            },
            finds="Whether enough hip and ridge was delivered cannot be told: the quantity of Crownline hip and "
            "ridge is needed.",
        ),
        Example({"job.deliveries.0.lines.8": "1 pieces Eavewright pipe boot"}, finds=None),
        Example(
            {
                "job.slopes.0": "front, faces S, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, pipes 1"
            },
            finds="Whether enough hip and ridge was delivered cannot be told: the length of the ridge or the hips "
            "where slopes meet is needed.",
        ),
    ],
    rests_on={
        "job.slopes.*.area_sqft": ASKED,
        "job.slopes.*.plan": "Where no other figure gives the area, it is asked for.",
        "job.slopes.*.plan_area_sqft": "Where no other figure gives the area, it is asked for.",
        "job.installation.nails_per_shingle": "COD-004 asks for it.",
        "job.deliveries.*.lines.*.role": "MAT-003 asks for it where no catalogue knows the product.",
        "job.installation.starter_at": "Eaves always carry starter; rakes count only where the record says so.",
        "job.slopes.*.eave_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.rake_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.valley_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.deliveries.*.lines.*.quantity": ASKED,
        "job.deliveries.*.lines.*.covers_sqft": ASKED,
        "job.deliveries.*.lines.*.covers_ft": ASKED,
        "job.slopes.*.ridge_ft": ASKED,
        "job.slopes.*.hip_ft": "A roof without a hip has a ridge, and that is asked for.",
    },
)
def supply_cannot_be_told(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.roles:
        # A return that is above the delivery has a rule of its own.
        needs = [need for need in result.take_off.needs if "a return" not in need]
        if result.take_off.verdict == "cannot tell" and result.materials and needs:
            blank = tuple(_blank_supply(result))
            yield Fault(
                case.where(result.materials[0].path),
                {"role": result.role},
                verdict=Verdict.CANNOT_TELL,
                needs=Listed(tuple(need for _, need, _ in blank) or tuple(needs)),
                remedy=joined(write for _, _, write in blank) if blank else None,
                lacks=tuple(path for path, _, _ in blank),
                # What a package covers is the catalogue's to say where a ticket's line has no field for it.
                settled_by=None if blank else SettledBy.SHEET,
            )
    areas = {
        f"{slope.path}.area_sqft": slope.label
        for slope in assessment.slopes
        # Where the pitch is blank it has an item of its own, and may be all that the area lacks.
        if slope.area_sqft is None and slope.pitch is not None
    }
    if areas:
        yield Fault(
            case.where(next(iter(areas))),
            {"role": Role.FIELD_SHINGLE},
            verdict=Verdict.CANNOT_TELL,
            needs=say("the area of {slopes}", slopes=Slopes(tuple(areas.values()))),
            remedy=say(
                "Give the area in the slope’s line in job.yaml, such as area 626 sq ft or plan 40 ft x 14 ft; "
                "among fields it is area_sqft or plan."
            ),
            lacks=tuple(areas),
        )
    if ridge_is_blank(case):
        lacks = tuple(f"slopes.{number}.ridge_ft" for number in range(len(case.job.slopes)))
        yield Fault(
            case.where("slopes"),
            {"role": Role.HIP_AND_RIDGE},
            verdict=Verdict.CANNOT_TELL,
            needs="the length of the ridge or the hips where slopes meet",
            remedy=say(
                "Give the length in the line of one slope that ends there in job.yaml, such as ridge 40 ft or "
                "hips 12 ft; among fields it is ridge_ft or hip_ft."
            ),
            lacks=lacks,
        )


@rule(
    id="MAT-015",
    says="{supplied} of {role} for {needed} of measured roof leaves {waste} for cuts.",
    why="Every rake, hip and valley leaves an offcut: a count without them means a ticket that is not on record, "
    "a roof measured too large, or something else laid somewhere.",
    source="5 % waste on the plainest roof and 2 % measuring tolerance: common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Look for another ticket or stock line; if there is none, measure again.",
    settled_by=SettledBy.WORD,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    cannot_tell="whether {supplied} of {role} covered {needed} of measured roof with {waste} left for cuts, where "
    "{least} is the least,",
    examples=[
        Example(
            {
                "job.deliveries.0.lines.0": "38 bundles Fenwright 40, colour Slate Grey, lot 0012345 x 38"
            },
            finds=(
                "Whether 1,265.4 sq ft of field shingle covered 1,252.2 sq ft of measured roof "
                "with 1.1 % left for cuts, where 2.9 % is the least, cannot be told: another "
                "ticket, a stock line or a second measure is needed."
            ),
        ),
        Example(
            {
                "job.deliveries.0.lines.0": "39 bundles Fenwright 40, colour Slate Grey, lot 0012345 x 39"
            },
            finds=None,
        ),
        # What came off the truck is on no ticket.
        Example(
            {
                "job.deliveries.0.lines.0": "38 bundles Fenwright 40, colour Slate Grey, lot 0012345 x 38",
                "job.deliveries.2": {
                    "source": "own stock",
                    "lines": "0.5 bundles Fenwright 40, colour Slate Grey, lot 0012345",
                },
            },
            finds=None,
        ),
    ],
    rests_on=_SUPPLY,
)
def waste_too_small(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.roles:
        supplied, waste = result.take_off.supplied, waste_share(result)
        if result.take_off.verdict != "tight" or supplied is None or waste is None:
            continue
        unit = result.need.unit
        least = (1 - DEFAULT_TOLERANCE_SHARE) * (1 + result.need.least_waste_share) - 1
        yield Fault(
            case.where(result.materials[0].path),
            {
                "role": result.role,
                "supplied": Number(supplied, unit),
                "needed": _whole(result.need.at_zero_waste, unit),
                "waste": "nothing" if waste <= 0 else Share(waste),
                "least": Share(least),
            },
            verdict=Verdict.CANNOT_TELL,
            needs="another ticket, a stock line or a second measure",
        )


@rule(
    id="MAT-016",
    says="The {role} was cut from {product}, another product than {field}, the field shingle of this roof.",
    why="Caps of another shingle may differ in colour and weight, and its wind class is not the field's; which "
    "shingles may be cut into caps is the makers' to say.",
    source="The makers' printed application instructions; no code section",
    owed_by=Party.OFFICE,
    remedy="Read the instructions of both; file the page that allows it as papers/instructions.pdf.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {
                "job.deliveries.0.lines.2": {
                    "product": "Longfell 50",
                    "quantity": "2",
                    "unit": "bundles",
                    "role": "hip and ridge",
                    "covers_ft": "25",
                    "lots": "T26-1 x 2",
                }
            },
            finds="The hip and ridge was cut from Longfell 50, another product than Fenwright 40, the field "
            "shingle "
            "of this roof.",
        ),
        Example(
            {
                "job.deliveries.0.lines.2": {
                    "product": "Fenwright 40",
                    "quantity": "2",
                    "unit": "bundles",
                    "role": "hip and ridge",
                    "covers_ft": "25",
                    "lots": "0012345 x 2",
                }
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.deliveries.*.lines.*.role": "Without a role a product of the catalogue is what the catalogue says.",
    },
)
def cut_from_another_product(case: Case, facts: Facts) -> Iterator[Fault]:
    fields = case.materials_of(Role.FIELD_SHINGLE)
    field = [material.name for material in fields]
    allowed = good_papers(case, facts, PaperKind.INSTRUCTIONS)
    for material in case.materials:
        other = material.product is not None and all(f.product != material.product for f in fields)
        if material.is_cut and other and field and material.role and not allowed:
            yield Fault(
                case.where(material.path),
                {
                    "role": material.role,
                    "product": material.name,
                    "field": Listed(tuple(dict.fromkeys(field))),
                },
            )


@rule(
    id="MAT-018",
    says="The eaves listed at slope {slope} come to {listed}; its eave is {eave}.",
    why="Starter, metal and ice barrier are counted by the eaves; parts that are longer than the whole run "
    "through "
    "all of them.",
    source="Arithmetic over the slope; 2 % measuring tolerance is common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Measure again, or correct the eaves that are listed.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "6:12",
                    "plan": "40 ft x 14 ft",
                    "eave_ft": "40",
                    "rake_ft": "31.3",
                    "eaves": [{"length_ft": "30"}, {"length_ft": "12"}],
                }
            },
            finds="The eaves listed at slope back come to 42 ft; its eave is 40 ft.",
        ),
        # Only eaves that differ from the building's are listed, so that less than the whole is right.
        Example(
            {
                "job.slopes.1": {
                    "label": "back",
                    "pitch": "6:12",
                    "plan": "40 ft x 14 ft",
                    "eave_ft": "40",
                    "rake_ft": "31.3",
                    "eaves": [{"length_ft": "12"}],
                }
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.slopes.*.eaves.*.length_ft": "Only what is typed can be too long.",
        "job.slopes.*.eave_ft": "A slope without its eave has an item of its own where the roof needs it.",
    },
)
def eaves_longer_than_the_eave(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for slope, result in zip(case.job.slopes, assessment.slopes, strict=True):
        parts = sum((eave.length_ft or Fraction(0) for eave in slope.eaves), Fraction(0))
        if result.eave_ft and parts > result.eave_ft * (1 + DEFAULT_TOLERANCE_SHARE):
            yield Fault(
                case.where(f"{result.path}.eaves"),
                {
                    "slope": slope.label,
                    "listed": Feet(parts),
                    "eave": Feet(result.eave_ft),
                },
            )
