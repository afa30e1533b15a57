"""Materials: every role there, every lot on record, and enough delivered to cover this roof."""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from dossier.assess.backing import names_ticket
from dossier.assess.results import Assessment, RoleResult
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict, Weight
from dossier.rules.declare import Example, Fault, rule
from dossier.terms.conditions import flat
from dossier.values import Run, listed, write_number
from dossier.words import Role, Source

_HELD = frozenset({Holds.REGISTRATION})


def _roles_whose_lots_terms_ask(case: Case) -> frozenset[Role]:
    return frozenset(
        role
        for asked in case.asked
        if asked.level
        for condition in flat(asked.level.conditions)
        for role in condition.lots_of
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
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.deliveries.0.lines.2": "2 bundles Crownline hip and ridge"},
            finds="Crownline hip and ridge has no lot on record.",
        ),
        Example({"job.deliveries.0.lines.3": "2 rolls Dryfell underlayment"}, finds=None),
    ],
)
def lot_missing(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    asked = _roles_whose_lots_terms_ask(case)
    for material in case.materials:
        if material.carries_lot and not material.line.lots:
            if case.reason_not(f"{material.path}.lots"):
                continue
            held = _HELD if material.role in asked else frozenset()
            yield Fault(
                case.where(material.path),
                {"product": material.name},
                verdict=Verdict.MISSING,
                holds=held,
                owed_by=Party.SUPPLIER if material.delivery.ticket else Party.CREW,
            )


@rule(
    id="MAT-002",
    says="Lots of {product} add up to {lots}; {delivered} were delivered.",
    why="Units whose lot nobody wrote down cannot be found in a recall; more lots than units means that "
    "one of the two was counted wrongly.",
    source="Trade magazine estimating guide (lots at delivery); the sum itself is arithmetic",
    owed_by=Party.OFFICE,
    remedy="Compare the record with the ticket and the photos of wrappers.",
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
)
def lots_do_not_add_up(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for material in case.materials:
        lots, delivered = material.line.lots, material.line.quantity
        if not lots or delivered is None or any(lot.quantity is None for lot in lots):
            continue
        total = material.lot_quantity
        if total != delivered:
            yield Fault(
                case.where(material.path),
                {
                    "product": material.name,
                    "lots": write_number(total),
                    "delivered": write_number(delivered),
                },
            )


@rule(
    id="MAT-003",
    says="“{product}” is in no catalogue, and its line does not say what it is.",
    why="What a product is for, and whose it is, decides which warranty level it earns or spoils.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the name, add the product to a catalogue in terms/, or say role and maker in the line.",
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
)
def product_unknown(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
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
            )


@rule(
    id="MAT-004",
    says="No {role} is among the deliveries.",
    why="A part that no ticket and no stock line shows was either not installed or cannot be proved.",
    source="IRC 2018, 2021 and 2024: R905.1.1 underlayment, R905.1.2 ice barrier, R905.2.5 fasteners, "
    "R905.2.8.5 drip edge; starter and hip and ridge by the maker's instructions",
    owed_by=Party.OFFICE,
    remedy="Find the ticket, or add a delivery with source: own stock if it came off the truck.",
    holds={Holds.REGISTRATION},
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
    ],
)
def role_missing(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    if case.reason_not("deliveries"):
        return
    for role in _needed_roles(case, assessment):
        if not case.materials_of(role):
            yield Fault(case.where("deliveries"), {"role": role.value}, verdict=Verdict.MISSING)


def _needed_roles(case: Case, assessment: Assessment) -> Iterator[Role]:
    """Yield the roles that this roof cannot do without."""
    yield Role.FIELD_SHINGLE
    yield Role.STARTER
    if assessment.totals.ridge_ft or assessment.totals.hip_ft:
        yield Role.HIP_AND_RIDGE
    whole = case.job.slopes and all(slope.ice_barrier_whole for slope in case.job.slopes)
    if not whole and not case.is_recover:
        yield Role.UNDERLAYMENT
    if not case.is_recover and any(
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
    "tolerance is common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Look for another ticket or stock line; if there is none, ask the crew what was laid there.",
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
)
def too_little_delivered(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
        )


def _whole(quantity: Fraction, unit: str) -> str:
    """Return a quantity; pieces are whole ones, since nobody lays eight tenths of a piece."""
    return str(ceil(quantity)) if unit == "pieces" else write_number(quantity)


@rule(
    id="MAT-006",
    says="More {role} than this roof takes: {supplied} delivered and kept, at most {upper} expected in whole "
    "packages.",
    why="Goods that were paid for and not installed are owed back as credit, or lie on another job.",
    source="Waste bands by kind of roof: common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Write what went back as returned and ask for the credit, or correct the measured roof.",
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
    ],
)
def too_much_delivered(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for result in assessment.roles:
        # Nails are bought by the box, and a box does three roofs.
        if result.take_off.verdict != "over" or result.role is Role.FASTENER:
            continue
        supplied = result.take_off.supplied or Fraction(0)
        yield Fault(
            case.where(result.materials[0].path),
            {
                "role": result.role.value,
                "supplied": f"{write_number(supplied)} {result.need.unit}",
                "upper": f"{write_number(supplied - result.take_off.over_by)} {result.need.unit}",
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
    ],
)
def supply_cannot_be_told(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for result in assessment.roles:
        if result.take_off.verdict == "cannot tell" and result.materials:
            yield Fault(
                case.where(result.materials[0].path),
                {"role": result.role.value},
                verdict=Verdict.CANNOT_TELL,
                needs=listed(result.take_off.needs),
                lacks=tuple(_blank_supply(result)),
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
    id="MAT-008",
    says="Ticket {ticket} is not on file in papers/.",
    why="The supplier's ticket is the only paper that shows which products and lots went to this house.",
    source="Trade practice; no published source",
    owed_by=Party.SUPPLIER,
    remedy="Ask the supplier for a copy and file it as papers/ticket-NUMBER.pdf.",
    examples=[
        Example(
            {"facts.papers/ticket-55164.pdf": None},
            finds="Ticket 55164 is not on file in papers/.",
        ),
        Example({"facts.papers/ticket-55164.pdf.page_count": 2}, finds=None),
    ],
)
def ticket_not_on_file(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
)
def colour_missing(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    for material in case.materials_of(Role.FIELD_SHINGLE):
        if not material.line.colour and not case.reason_not(f"{material.path}.colour"):
            yield Fault(
                case.where(material.path), {"product": material.name}, verdict=Verdict.MISSING
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
)
def label_without_standard(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
            )


@rule(
    id="MAT-011",
    says="{product} is counted in {unit}; the catalogue counts it in {known}.",
    why="A count in the wrong unit makes a roof look short, or covered twice.",
    source="The catalogue",
    owed_by=Party.OFFICE,
    remedy="Correct the line by the ticket.",
    examples=[
        Example(
            {"job.deliveries.0.lines.3": "2 squares Dryfell underlayment"},
            finds="Dryfell underlayment is counted in squares; the catalogue counts it in rolls.",
        ),
        Example({"job.deliveries.0.lines.3": "1 roll Dryfell underlayment"}, finds=None),
    ],
)
def counted_in_another_unit(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    examples=[
        Example(
            {"job.deliveries.1.ticket": None},
            finds="Delivery 2 came on a ticket whose number is not on record.",
        ),
        Example(
            {"job.deliveries.1.ticket": None, "job.deliveries.1.source": "own stock"}, finds=None
        ),
    ],
)
def ticket_without_number(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for number, delivery in enumerate(case.job.deliveries):
        path = f"deliveries.{number}.ticket"
        if delivery.source is Source.TICKET and not delivery.ticket and not case.reason_not(path):
            yield Fault(case.where(path), {"number": str(number + 1)}, verdict=Verdict.MISSING)
