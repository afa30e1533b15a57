"""Deliveries: tickets, products and their labels, what came and what went back."""

from collections.abc import Iterator

from dossier.assess.backing import names_ticket
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Weight
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import held_by_terms
from dossier.said import Listed, Number, say
from dossier.values import units_of
from dossier.words import Role, Source

_LABELS: dict[Role, tuple[str, ...]] = {
    Role.FIELD_SHINGLE: ("D3462",),
    Role.ICE_BARRIER: ("D1970",),
    Role.UNDERLAYMENT: ("D226", "D4869", "D6757", "D1970", "D8257", "report"),
}
"""Standards a label has to name. A synthetic may go by an evaluation report instead."""


@rule(
    id="MAT-014",
    says="{returned} of {product} went back on record; only {delivered} came.",
    why="More cannot go back than came: one of the two is wrong, or the goods are another job's.",
    source="Arithmetic over the line",
    owed_by=Party.OFFICE,
    remedy="Compare the line with the ticket and the return credit.",
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
                    "returned": Number(back),
                    "delivered": Number(came),
                },
                holds=held_by_terms(case, material.role),
            )


@rule(
    id="MAT-003",
    says="“{product}” is in no catalogue, and its line does not say what it is.",
    why="What a product is for, and whose it is, decides which warranty level it earns or spoils.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the name, add the product to a catalogue in terms/, or say role and maker in the line.",
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
            f"{material.path}.{field}": say("its {field}", field=field)
            for field, value in (("role", material.role), ("maker", material.maker))
            if value is None
        }
        if material.product is None and blank:
            yield Fault(
                case.where(material.path),
                {"product": material.name},
                verdict=Verdict.CANNOT_TELL,
                needs=Listed(tuple(blank.values())),
                lacks=tuple(blank),
                holds=held_by_terms(case, material.role),
            )


@rule(
    id="MAT-031",
    says="What came on {ticket} is not on record.",
    why="Goods on a ticket of which no line was typed are counted nowhere: what they were for seems to be short.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Type its lines, as they stand on the ticket.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.deliveries.1": {"ticket": "55164", "on": "2026-09-14"}},
            finds="What came on ticket 55164 is not on record.",
        ),
        Example({"job.deliveries.1.lines": "n/a, an empty pallet"}, finds=None),
    ],
    rests_on={"job.deliveries.*.lines": ASKED},
)
def ticket_without_lines(case: Case) -> Iterator[Fault]:
    for number, delivery in enumerate(case.job.deliveries):
        path = f"deliveries.{number}.lines"
        if not delivery.lines and not case.reason_not(path):
            ticket = say("delivery {number}", number=number + 1)
            if delivery.ticket:
                ticket = say("ticket {number}", number=delivery.ticket)
            values = {"ticket": ticket}
            yield Fault(case.where(path), values, verdict=Verdict.MISSING, lacks=(path,))


@rule(
    id="MAT-017",
    says="How much {product} came is not on record.",
    why="Makers ask for accessory quantities at registration, and a part of which nobody knows the count is not "
    "on the roof for sure.",
    source="Trade practice: fields of a maker's registration form; no published source",
    owed_by=Party.OFFICE,
    remedy="Read it off the ticket and add it to the line.",
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
            values = {"product": material.name}
            yield Fault(case.where(path), values, verdict=Verdict.MISSING, lacks=(path,))


@rule(
    id="MAT-008",
    says="Ticket {ticket} is not on file in papers/.",
    told="Ticket {ticket} is not on file.",
    why="The supplier's ticket is the only paper that shows which products and lots went to this house.",
    source="Trade practice; no published source",
    owed_by=Party.SUPPLIER,
    remedy="Ask the supplier for a copy and file it as papers/ticket-NUMBER.pdf.",
    asks="Send us a copy of this delivery ticket, please.",
    settled_by=SettledBy.PAPER,
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


@rule(
    id="MAT-010",
    says="{product} is the {role}, and its label is not on record as {wanted}.",
    why="The standard on the label is how an inspector knows that the product is what the code means.",
    source="IRC 2018, 2021 and 2024: R905.2.4 (D3462; section from memory), R905.1.2 (D1970), R905.1.1 "
    "(underlayments); D8257 and evaluation reports for synthetics are from memory",
    owed_by=Party.OFFICE,
    remedy="Read the standard off the wrapper and write it into the catalogue.",
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
                    "role": material.role,
                    "wanted": Listed(tuple(wanted), "or"),
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
        one, many = units_of(known)
        if unit.lower() not in (known.lower(), one.lower(), many.lower()):
            yield Fault(
                case.where(material.path),
                {"product": material.name, "unit": unit, "known": many},
            )


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
            yield Fault(case.where(path), {"number": number + 1}, verdict=Verdict.MISSING)
