"""Materials: every role there, every lot on record, and enough delivered to cover this roof."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import ceil

from dossier.assess.backing import good_papers, names_ticket
from dossier.assess.has_place import why_no_place
from dossier.assess.needed import needed_details, ridge_is_blank
from dossier.assess.results import Assessment, RoleResult
from dossier.assess.supply import DEFAULT_TOLERANCE_SHARE, LotCheck, lot_check, waste_share
from dossier.case.case import Case, Material
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.rules.declare import ASKED, LEFT_TO_OFFICE, Example, Fault, rule
from dossier.terms.conditions import Condition, flat
from dossier.values import listed, write_feet, write_number
from dossier.words import PaperKind, Role, Source

_HELD = frozenset({Holds.REGISTRATION})


def _conditions(case: Case) -> Iterator[Condition]:
    for asked in case.asked:
        if asked.level:
            yield from flat(asked.level.conditions)


def _roles_whose_lots_terms_ask(case: Case) -> frozenset[Role]:
    return frozenset(role for condition in _conditions(case) for role in condition.lots_of)


def _held_by_terms(case: Case, role: Role | None) -> frozenset[Holds]:
    """Return registration where a clause of a level asked for names the role, or any where it is not known.

    The field shingle is what every level covers. Else nothing is held: that a roof has a starter is our business
    with the crew, and no maker's who does not ask.
    """
    named = {Role.FIELD_SHINGLE} if case.asked else set()
    for condition in _conditions(case):
        counted = condition.counted_accessories
        named |= {*condition.same_maker, *condition.lots_of, *(counted.of if counted else ())}
        if condition.starter_at:
            named.add(Role.STARTER)
        if condition.nails_per_shingle:
            named.add(Role.FASTENER)
    return _HELD if role in named or (role is None and named) else frozenset()


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

_BACK_AT_A_WALL = (
    "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, walls 12 ft, pipes 1"
)


@rule(
    id="MAT-001",
    says="{product} has no lot on record.",
    why="A maker's recall, and a claim for faulty material, are traced by the lot; it is printed on every "
    "wrapper and gone with the first skip.",
    source="Trade magazine estimating guide (colour varies between lots; record the lot at delivery); "
    "the maker's terms where a clause asks for lots",
    owed_by=Party.CREW,
    remedy="Look for a photo of a wrapper, ask the supplier for the lots on the ticket, and add them.",
    asks="Send us the lot marks: from the ticket, or from a photo of a wrapper.",
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.deliveries.0.lines.2": "2 bundles Crownline hip and ridge"},
            finds="Crownline hip and ridge has no lot on record.",
        ),
        Example({"job.deliveries.0.lines.3": "2 rolls Dryfell underlayment"}, finds=None),
        # A clause that asks for lots asks also for those of a product that no catalogue knows.
        Example(
            {
                "job.deliveries.0.lines.2": {
                    "product": "Another cap",
                    "quantity": "2",
                    "role": "hip and ridge",
                    "maker": "Kestrelmoor",
                    "covers_ft": "25",
                }
            },
            finds="Another cap has no lot on record.",
        ),
    ],
    rests_on={
        "job.deliveries.*.source": "A delivery without a source came by ticket, and its lots are asked for.",
        "job.deliveries.*.lines.*.lots": ASKED,
        "job.deliveries.*.lines.*.carries_lot": "Blank where no catalogue knows the product, its lot is asked for "
        "where a clause asks for lots of what it is.",
    },
)
def lot_missing(case: Case) -> Iterator[Fault]:
    asked = _roles_whose_lots_terms_ask(case)
    for material in case.materials:
        wanted = material.carries_lot or (material.carries_lot is None and material.role in asked)
        if wanted and not material.line.lots and not material.went_back:
            if case.reason_not(f"{material.path}.lots"):
                continue
            if material.delivery.source is Source.OWN_STOCK and material.role not in asked:
                # Part of a bundle off the truck has lost its wrapper.
                continue
            held = _HELD if material.role in asked else frozenset()
            yield Fault(
                case.where(material.path),
                {"product": material.name},
                verdict=Verdict.MISSING,
                holds=held,
                owed_by=Party.SUPPLIER if material.delivery.ticket else Party.CREW,
                lacks=(f"{material.path}.lots",),
            )


@rule(
    id="MAT-002",
    says="Lots of {product} add up to {lots}; {delivered} were delivered.",
    why="Units whose lot nobody wrote down cannot be found in a recall.",
    source="Trade magazine estimating guide (lots at delivery); the sum itself is arithmetic",
    owed_by=Party.OFFICE,
    remedy="Compare the record with the ticket and the photos of wrappers.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345 x 30; 0012346 x 10"
            },
            finds="Lots of Fenwright 40 add up to 40; 42 were delivered.",
        ),
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345; 0012346"
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.deliveries.*.lines.*.lots": "A lot that is missing has an item of its own.",
        "job.deliveries.*.lines.*.lots.*.quantity": "Counting a lot is optional, so an uncounted one may carry "
        "the rest.",
        "job.deliveries.*.lines.*.quantity": "How much came has a rule of its own.",
    },
)
def lots_do_not_add_up(case: Case) -> Iterator[Fault]:
    for material, check in _lots(case):
        if check.without_lot:
            yield _of_lots(case, material, check)


def _lots(case: Case) -> Iterator[tuple[Material, LotCheck]]:
    for material in case.materials:
        check = lot_check(material)
        if check is not None:
            yield material, check


def _of_lots(case: Case, material: Material, check: LotCheck) -> Fault:
    return Fault(
        case.where(material.path),
        {
            "product": material.name,
            "lots": write_number(check.known),
            "delivered": write_number(material.line.quantity or 0),
        },
    )


@rule(
    id="MAT-013",
    says="Lots of {product} on record count {lots}; only {delivered} were delivered.",
    why="A lot list that holds more than came is no list of this roof: one of the two was counted wrongly, or a "
    "lot belongs to another house.",
    source="Arithmetic over the line and its lots",
    owed_by=Party.OFFICE,
    remedy="Compare the record with the ticket and the photos of wrappers.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345 x 31; 0012346 x 12"
            },
            finds="Lots of Fenwright 40 on record count 43; only 42 were delivered.",
        ),
        # A lot that nobody counted hides no other that counts too many.
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345 x 60; 0012346"
            },
            finds="Lots of Fenwright 40 on record count 60; only 42 were delivered.",
        ),
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, "
                "lots 0012345 x 42; 0012346"
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.deliveries.*.lines.*.quantity": "How much came has a rule of its own.",
        "job.deliveries.*.lines.*.lots.*.quantity": "Counting a lot is optional; only what is counted can be too "
        "much.",
    },
)
def more_in_lots_than_came(case: Case) -> Iterator[Fault]:
    asked = _roles_whose_lots_terms_ask(case)
    for material, check in _lots(case):
        if check.beyond_count:
            held = _HELD if material.role in asked else frozenset()
            yield replace(_of_lots(case, material, check), holds=held)


@rule(
    id="MAT-014",
    says="{returned} of {product} went back on record; only {delivered} came.",
    why="More cannot go back than came: one of the two is wrong, or the goods are another job's.",
    source="Arithmetic over the line",
    owed_by=Party.OFFICE,
    remedy="Compare the line with the ticket and the return credit.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.deliveries.0.lines.3": "2 rolls Dryfell underlayment, returned 3"},
            finds="3 of Dryfell underlayment went back on record; only 2 came.",
        ),
        Example(
            {"job.deliveries.0.lines.10": "2 pieces Dryfell underlayment, returned 2"}, finds=None
        ),
    ],
    rests_on={
        "job.deliveries.*.lines.*.quantity": "How much came has a rule of its own.",
        "job.deliveries.*.lines.*.returned": "Blank means that nothing went back.",
    },
)
def more_went_back_than_came(case: Case) -> Iterator[Fault]:
    for material in case.materials:
        back, came = material.line.returned, material.line.quantity
        if back is not None and came is not None and back > came:
            yield Fault(
                case.where(material.path),
                {
                    "product": material.name,
                    "returned": write_number(back),
                    "delivered": write_number(came),
                },
                holds=_held_by_terms(case, material.role),
            )


@rule(
    id="MAT-003",
    says="“{product}” is in no catalogue, and its line does not say what it is.",
    why="What a product is for, and whose it is, decides which warranty level it earns or spoils.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the name, add the product to a catalogue in terms/, or say role and maker in the line.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="what “{product}”, which is in no catalogue, is to this roof",
    examples=[
        Example(
            {"job.deliveries.0.lines.1": "2 bundles Firstrow Startr, lot 77-031 x 2"},
            finds="What “Firstrow Startr”, which is in no catalogue, is to this roof cannot be told: its role and "
            "its maker are needed.",
        ),
        Example(
            {"job.deliveries.0.lines.1": "2 bundles firstrow  STARTER, lot 77-031 x 2"}, finds=None
        ),
    ],
    rests_on={
        "job.deliveries.*.lines.*.role": ASKED,
        "job.deliveries.*.lines.*.maker": ASKED,
    },
)
def product_unknown(case: Case) -> Iterator[Fault]:
    for material in case.materials:
        blank = {
            f"{material.path}.{field}": f"its {field}"
            for field, value in (("role", material.role), ("maker", material.maker))
            if value is None
        }
        if material.product is None and blank:
            yield Fault(
                case.where(material.path),
                {"product": material.name},
                verdict=Verdict.CANNOT_TELL,
                needs=listed(list(blank.values())),
                lacks=tuple(blank),
                holds=_held_by_terms(case, material.role),
            )


@rule(
    id="MAT-004",
    says="No {role} is among the deliveries{because}.",
    why="A part that no ticket and no stock line shows was either not installed or cannot be proved.",
    source="IRC 2018, 2021 and 2024: R905.1.1 underlayment, R905.1.2 ice barrier, R905.2.5 fasteners, "
    "R905.2.8.5 drip edge, R905.2.8.2 valleys, R903.2.1 and R905.2.8.3 walls and kick-outs, R905.2.8.4 pipes and "
    "chimneys; starter, hip and ridge and skylight kits by the makers' instructions. It holds registration only "
    "where a clause of the maker's terms names the part",
    owed_by=Party.OFFICE,
    remedy="Find the ticket, or add a delivery with source: own stock if it came off the truck; where old "
    "flashing "
    "was kept, write flashing: reused or partly replaced.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether the roof needed new {role}",
    examples=[
        Example({"job.deliveries.0.lines.1": None}, finds="No starter is among the deliveries."),
        Example(
            {
                "job.deliveries.0.lines.1": None,
                "job.deliveries.2": {
                    "source": "own stock",
                    "lines": "2 bundles Firstrow starter, lot 77-031 x 2",
                },
            },
            finds=None,
        ),
        # What all went back is not on the roof.
        Example(
            {"job.deliveries.0.lines.3": "2 rolls Dryfell underlayment, returned 2"},
            finds="No underlayment is among the deliveries.",
        ),
        Example(
            {"job.slopes.1": _BACK_AT_A_WALL},
            finds="No flashing is among the deliveries, and 12 ft of the roof run along walls.",
        ),
        Example(
            {"job.slopes.1": _BACK_AT_A_WALL, "job.installation.flashing": "reused"}, finds=None
        ),
        Example(
            {"job.slopes.1": _BACK_AT_A_WALL, "job.installation.flashing": None},
            finds="Whether the roof needed new flashing cannot be told: the state of the flashing is needed.",
        ),
        Example(
            {
                "job.slopes.1": _BACK_AT_A_WALL,
                "job.deliveries.2": {
                    "source": "own stock",
                    "lines": "24 pieces Eavewright step flashing",
                },
            },
            finds=None,
        ),
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, valleys 18 "
                "ft",
                "job.installation.valley_method": "open metal",
                "job.installation.valley_lining_in": "24",
            },
            finds="No valley metal is among the deliveries, and 18 ft of valleys are open metal.",
        ),
        # A closed valley is lined with ice barrier; there is no metal in it.
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, valleys 18 "
                "ft",
                "job.installation.valley_method": "closed cut",
                "job.installation.valley_lining_in": "36",
            },
            finds=None,
        ),
        Example(
            {
                "job.slopes.1": "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, skylights 1"
            },
            finds="No skylight kit is among the deliveries, and the roof has 1 skylight.",
        ),
        Example(
            {"job.deliveries.0.lines.8": None},
            finds="No pipe boot is among the deliveries, and the roof has 2 pipes through it.",
        ),
    ],
    rests_on={
        "job.deliveries": ASKED,
        "job.installation.flashing": ASKED,
        "job.installation.valley_method": "The rule on valleys asks for it.",
        "job.slopes.*.valley_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.step_flashing_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.penetrations": "A slope's line names what goes through it; blank is nothing.",
        "job.slopes.*.skylights": "A slope's line names what stands in it; blank is none.",
        "job.slopes.*.chimneys": "A slope's line names what stands on it; blank is none.",
        "job.slopes.*.eave_meets_wall": "A slope's line names the walls it meets; blank is none.",
    },
)
def role_missing(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if case.reason_not("deliveries"):
        return
    where = case.where("deliveries")
    for role in _needed_roles(case, assessment):
        if not case.materials_of(role):
            yield Fault(
                where,
                {"role": role.value, "because": ""},
                verdict=Verdict.MISSING,
                holds=_held_by_terms(case, role),
            )
    for one in needed_details(case):
        if one.on_record:
            continue
        held = _held_by_terms(case, one.role)
        if one.known:
            values = {"role": one.name, "because": f", and {one.because}"}
            yield Fault(where, values, verdict=Verdict.MISSING, holds=held)
        elif not case.reason_not("installation.flashing"):
            yield Fault(
                case.where("installation.flashing"),
                {"role": one.name},
                verdict=Verdict.CANNOT_TELL,
                needs="the state of the flashing",
                holds=held,
                lacks=("installation.flashing",),
            )


def _needed_roles(case: Case, assessment: Assessment) -> Iterator[Role]:
    """Yield the roles that this roof cannot do without."""
    yield Role.FIELD_SHINGLE
    yield Role.STARTER
    if assessment.totals.ridge_ft or assessment.totals.hip_ft:
        yield Role.HIP_AND_RIDGE
    whole = case.job.slopes and all(slope.ice_barrier_whole for slope in case.job.slopes)
    if not whole and not case.is_recover:
        yield Role.UNDERLAYMENT
    if not why_no_place(case, Role.ICE_BARRIER) and any(
        s.reach is not None and s.reach.status == "required" for s in assessment.slopes
    ):
        yield Role.ICE_BARRIER
    yield Role.DRIP_EDGE
    yield Role.FASTENER


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
    asks=LEFT_TO_OFFICE,
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
                "role": result.role.value,
                "supplied": f"{write_number(result.take_off.supplied)} {unit}",
                "needed": f"{_whole(result.need.at_zero_waste, unit)} {unit}",
                "short": f"{_whole(result.take_off.short_by, unit)} {unit}",
            },
            holds=_held_by_terms(case, result.role),
        )


def _whole(quantity: Fraction, unit: str) -> str:
    """Return a quantity; pieces are whole ones, since nobody lays eight tenths of a piece."""
    return str(ceil(quantity)) if unit == "pieces" else write_number(quantity)


_BOXES_OF_NAILS = 8
"""How many times what one roof takes may come before somebody asks; common practice, no published source."""


@rule(
    id="MAT-006",
    says="More {role} than this roof takes: {supplied} delivered and kept, at most {upper} expected in whole "
    "packages.",
    why="Goods that were paid for and not installed are owed back as credit, or lie on another job.",
    source="Waste bands by kind of roof: common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Write what went back as returned and ask for the credit, or correct the measured roof.",
    asks=LEFT_TO_OFFICE,
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
                "role": result.role.value,
                "supplied": f"{write_number(supplied)} {result.need.unit}",
                "upper": f"{write_number(upper)} {result.need.unit}",
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
    asks=LEFT_TO_OFFICE,
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
            finds="Whether enough hip and ridge was delivered cannot be told: quantity delivered is "
            "needed.",
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
            yield Fault(
                case.where(result.materials[0].path),
                {"role": result.role.value},
                verdict=Verdict.CANNOT_TELL,
                needs=listed(needs),
                lacks=tuple(_blank_supply(result)),
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
            {"role": Role.FIELD_SHINGLE.value},
            verdict=Verdict.CANNOT_TELL,
            needs=f"the area of slope {listed(list(areas.values()))}",
            lacks=tuple(areas),
        )
    if ridge_is_blank(case):
        lacks = tuple(f"slopes.{number}.ridge_ft" for number in range(len(case.job.slopes)))
        yield Fault(
            case.where("slopes"),
            {"role": Role.HIP_AND_RIDGE.value},
            verdict=Verdict.CANNOT_TELL,
            needs="the length of the ridge or the hips where slopes meet",
            lacks=lacks,
        )


def _blank_supply(result: RoleResult) -> Iterator[str]:
    """Yield the fields of a role's lines without which nobody can say how much was delivered."""
    for material in result.materials:
        if material.line.quantity is None:
            yield f"{material.path}.quantity"
        if result.need.unit == "sq ft" and material.covers_sqft is None:
            yield f"{material.path}.covers_sqft"
        if result.need.unit == "ft" and material.covers_ft is None:
            yield f"{material.path}.covers_ft"


@rule(
    id="MAT-015",
    says="{supplied} of {role} for {needed} of measured roof leaves {waste} for cuts.",
    why="Every rake, hip and valley leaves an offcut: a count without them means a ticket that is not on record, "
    "a roof measured too large, or something else laid somewhere.",
    source="5 % waste on the plainest roof and 2 % measuring tolerance: common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Look for another ticket or stock line; if there is none, measure again.",
    asks=LEFT_TO_OFFICE,
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
                "role": result.role.value,
                "supplied": f"{write_number(supplied)} {unit}",
                "needed": f"{_whole(result.need.at_zero_waste, unit)} {unit}",
                "waste": "nothing" if waste <= 0 else f"{write_number(waste * 100, 1)} %",
                "least": f"{write_number(least * 100, 1)} %",
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
    asks=LEFT_TO_OFFICE,
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
                    "role": material.role.value,
                    "product": material.name,
                    "field": listed(list(dict.fromkeys(field))),
                },
            )


@rule(
    id="MAT-017",
    says="How much {product} came is not on record.",
    why="Makers ask for accessory quantities at registration, and a part of which nobody knows the count is not "
    "on the roof for sure.",
    source="Trade practice: fields of a maker's registration form; no published source",
    owed_by=Party.OFFICE,
    remedy="Read it off the ticket and add it to the line.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.deliveries.0.lines.8": {"product": "Eavewright pipe boot"}},
            finds="How much Eavewright pipe boot came is not on record.",
        ),
        Example(
            {
                "job.deliveries.0.lines.8": {
                    "product": "Eavewright pipe boot",
                    "quantity": "n/a, nobody counted",
                }
            },
            finds="How much Eavewright pipe boot came is not on record.",
        ),
        Example({"job.deliveries.0.lines.8": "1 pieces Eavewright pipe boot"}, finds=None),
    ],
    rests_on={"job.deliveries.*.lines.*.quantity": ASKED},
)
def quantity_missing(case: Case, assessment: Assessment) -> Iterator[Fault]:
    counted = {result.role for result in assessment.roles}
    for material in case.materials:
        path = f"{material.path}.quantity"
        if material.role in counted or material.line.quantity is not None:
            continue
        # A ticket counts what came, whatever the reason for not typing it.
        excused = material.is_stock and case.reason_not(path)
        if material.role is not None and not excused:
            yield Fault(case.where(path), {"product": material.name}, verdict=Verdict.MISSING)


@rule(
    id="MAT-008",
    says="Ticket {ticket} is not on file in papers/.",
    why="The supplier's ticket is the only paper that shows which products and lots went to this house.",
    source="Trade practice; no published source",
    owed_by=Party.SUPPLIER,
    remedy="Ask the supplier for a copy and file it as papers/ticket-NUMBER.pdf.",
    asks="Send us a copy of this delivery ticket, please.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"facts.papers/ticket-55164.pdf": None},
            finds="Ticket 55164 is not on file in papers/.",
        ),
        Example({"facts.papers/ticket-55164.pdf.page_count": 2}, finds=None),
    ],
    rests_on={
        "job.deliveries.*.ticket": "A ticket without a number has an item of its own.",
        "job.deliveries.*.file": "Blank, the ticket is found in papers/ by its number.",
    },
)
def ticket_not_on_file(case: Case, facts: Facts) -> Iterator[Fault]:
    good = [
        paper.file
        for paper in case.papers
        if (fact := facts.papers.get(paper.file)) and fact.exists and fact.fault is None
    ]
    for number, delivery in enumerate(case.job.deliveries):
        ticket = delivery.ticket
        if delivery.source is not Source.TICKET or not ticket:
            continue
        if delivery.file in good or any(names_ticket(file, ticket) for file in good):
            continue
        where = case.where(f"deliveries.{number}.ticket")
        yield Fault(where, {"ticket": ticket}, verdict=Verdict.MISSING)


@rule(
    id="MAT-009",
    says="The colour of {product} is not on record.",
    why="Makers ask for it at registration, and the next repair has to match it.",
    source="Trade practice: fields of a maker's registration form; no published source",
    owed_by=Party.OFFICE,
    remedy="Read it off the ticket or the colour choice and add it to the line.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {
                "job.deliveries.0.lines.0": "42 bundles Fenwright 40, lots 0012345 x 30; 0012346 x 12"
            },
            finds="The colour of Fenwright 40 is not on record.",
        ),
        Example(
            {"job.deliveries.0.lines.1": "2 bundles Firstrow starter, lot 77-031 x 2"}, finds=None
        ),
    ],
    rests_on={
        "job.deliveries.*.lines.*.colour": ASKED,
    },
)
def colour_missing(case: Case) -> Iterator[Fault]:
    for material in case.materials_of(Role.FIELD_SHINGLE):
        if not material.line.colour and not case.reason_not(f"{material.path}.colour"):
            yield Fault(
                case.where(material.path),
                {"product": material.name},
                verdict=Verdict.MISSING,
                lacks=(f"{material.path}.colour",),
            )


_LABELS: dict[Role, tuple[str, ...]] = {
    Role.FIELD_SHINGLE: ("D3462",),
    Role.ICE_BARRIER: ("D1970",),
    Role.UNDERLAYMENT: ("D226", "D4869", "D6757", "D1970", "D8257", "report"),
}
"""Standards a label has to name. A synthetic may go by an evaluation report instead."""


@rule(
    id="MAT-010",
    says="{product} is the {role}, and its label is not on record as {wanted}.",
    why="The standard on the label is how an inspector knows that the product is what the code means.",
    source="IRC 2018, 2021 and 2024: R905.2.4 (D3462; section from memory), R905.1.2 (D1970), R905.1.1 "
    "(underlayments); D8257 and evaluation reports for synthetics are from memory",
    owed_by=Party.OFFICE,
    remedy="Read the standard off the wrapper and write it into the catalogue.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {
                "job.deliveries.0.lines.4": {
                    "product": "Icehold ice barrier",
                    "quantity": "3",
                    "lots": "1E5 x 3",
                    "standard": "none printed",
                }
            },
            finds="Icehold ice barrier is the ice barrier, and its label is not on record as D1970.",
        ),
        Example(
            {
                "job.deliveries.0.lines.4": {
                    "product": "Icehold ice barrier",
                    "quantity": "3",
                    "lots": "1E5 x 3",
                    "standard": "ASTM D1970/D1970M",
                }
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.deliveries.*.lines.*.standard": ASKED,
    },
)
def label_without_standard(case: Case) -> Iterator[Fault]:
    named: set[str] = set()
    for material in case.materials:
        wanted = _LABELS.get(material.role) if material.role else None
        if wanted is None or material.role is None or material.name in named:
            continue
        label = material.standard or ""
        if not any(standard.lower() in label.lower() for standard in wanted):
            named.add(material.name)
            yield Fault(
                case.where(material.path),
                {
                    "product": material.name,
                    "role": material.role.value,
                    "wanted": listed(wanted, "or"),
                },
                verdict=Verdict.WRONG if label else Verdict.MISSING,
                lacks=() if label else (f"{material.path}.standard",),
            )


@rule(
    id="MAT-011",
    says="{product} is counted in {unit}; the catalogue counts it in {known}.",
    why="A count in the wrong unit makes a roof look short, or covered twice.",
    source="The catalogue",
    owed_by=Party.OFFICE,
    remedy="Correct the line by the ticket.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"job.deliveries.0.lines.3": "2 squares Dryfell underlayment"},
            finds="Dryfell underlayment is counted in squares; the catalogue counts it in rolls.",
        ),
        Example({"job.deliveries.0.lines.3": "1 roll Dryfell underlayment"}, finds=None),
    ],
    rests_on={
        "job.deliveries.*.lines.*.unit": "Blank, the count is in the catalogue's own unit.",
    },
)
def counted_in_another_unit(case: Case) -> Iterator[Fault]:
    for material in case.materials:
        unit = material.line.unit
        if unit is None or material.product is None:
            continue
        known = material.product.unit
        if unit.lower() not in (known.lower(), _many(known.lower())):
            yield Fault(
                case.where(material.path),
                {"product": material.name, "unit": unit, "known": _many(known)},
            )


def _many(unit: str) -> str:
    return f"{unit}es" if unit.endswith(("x", "s", "ch")) else f"{unit}s"


@rule(
    id="MAT-012",
    says="Delivery {number} came on a ticket whose number is not on record.",
    why="Without its number the ticket cannot be asked for again, nor be matched with the paper on file.",
    source="Trade practice; no published source",
    owed_by=Party.SUPPLIER,
    remedy="Read it off the paper or ask the supplier; write source: own stock for goods off the truck.",
    asks="Tell us the number of this delivery’s ticket, or send a copy.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"job.deliveries.1.ticket": None},
            finds="Delivery 2 came on a ticket whose number is not on record.",
        ),
        Example(
            {"job.deliveries.1.ticket": None, "job.deliveries.1.source": "own stock"}, finds=None
        ),
    ],
    rests_on={
        "job.deliveries.*.ticket": ASKED,
        "job.deliveries.*.source": "Blank means that the goods came on a ticket, whose number is asked for.",
    },
)
def ticket_without_number(case: Case) -> Iterator[Fault]:
    for number, delivery in enumerate(case.job.deliveries):
        path = f"deliveries.{number}.ticket"
        if delivery.source is Source.TICKET and not delivery.ticket and not case.reason_not(path):
            yield Fault(case.where(path), {"number": str(number + 1)}, verdict=Verdict.MISSING)


@rule(
    id="MAT-018",
    says="The eaves listed at slope {slope} come to {listed}; its eave is {eave}.",
    why="Starter, metal and ice barrier are counted by the eaves; parts that are longer than the whole run "
    "through "
    "all of them.",
    source="Arithmetic over the slope; 2 % measuring tolerance is common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Measure again, or correct the eaves that are listed.",
    asks=LEFT_TO_OFFICE,
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
                    "listed": write_feet(parts),
                    "eave": write_feet(result.eave_ft),
                },
            )
