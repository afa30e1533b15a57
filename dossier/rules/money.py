"""Money and release: change orders, final invoice, waivers, the owner's signature on completion."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from dossier.assess.backing import good_papers
from dossier.assess.calendar import amount_due, blank_in_payments, paid_in_full_on
from dossier.assess.results import Assessment
from dossier.assess.scope import permit_fee_left_out, scope_rows
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight, Where
from dossier.record.closing import ChangeOrder, Invoice
from dossier.rules.declare import ASKED, LEFT_TO_OFFICE, Example, Fault, rule
from dossier.rules.registration import terms_ask
from dossier.values import listed, write_date, write_money, write_number
from dossier.words import PaperKind, RepairKind, Role, Source, WaiverKind


@rule(
    id="MON-001",
    says="The owner has not signed that the work is complete.",
    why="Terms, payment and the release of held-back money are counted from that signature.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Walk the job with the owner from the ground, get the signature, and write "
    "job.completion_signed_on.",
    asks="Please walk around the house with us, on the ground, and sign that the work is complete.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT, Holds.HANDOVER, Holds.REGISTRATION},
    examples=[
        Example(
            {"job.job.completion_signed_on": None},
            finds="The owner has not signed that the work is complete.",
        ),
        Example({"job.job.completion_signed_on": "2026-09-20"}, finds=None),
    ],
    rests_on={"job.job.completion_signed_on": ASKED},
)
def completion_not_signed(case: Case, assessment: Assessment) -> Iterator[Fault]:
    if case.job.job.completion_signed_on is None:
        holds = {Holds.PAYMENT, Holds.HANDOVER}
        if terms_ask(assessment, "completion_signed"):
            holds.add(Holds.REGISTRATION)
        yield Fault(
            case.where("job.completion_signed_on"),
            verdict=Verdict.MISSING,
            holds=frozenset(holds),
        )


@rule(
    id="MON-002",
    says="Invoices come to {invoiced}; contract and change orders come to {agreed}.",
    why="An amount that nobody agreed to is not paid, and an insurer releases nothing on it.",
    source="Arithmetic over the contract, the change orders and the invoices on record",
    owed_by=Party.OFFICE,
    remedy="Correct the invoice, or record the change order that explains the difference.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    cannot_tell="whether the invoices are what was agreed",
    examples=[
        Example(
            {"job.money.contract": None},
            finds="Whether the invoices are what was agreed cannot be told: the contract price is needed.",
        ),
        Example(
            {"job.money.invoices": "2026-041, 2026-09-22, 15,152.00"},
            finds="Invoices come to $15,152.00; contract and change orders come to $15,052.00.",
        ),
        Example(
            {
                "job.money.invoices": [
                    "2026-041-1, 2026-09-12, 7,000.00",
                    "2026-041-2, 2026-09-22, 8,052.00, final",
                ]
            },
            finds=None,
        ),
        Example(
            {"job.money.invoices": {"number": "2026-041", "on": "2026-09-22"}},
            finds="Whether the invoices are what was agreed cannot be told: the amount of every invoice is "
            "needed.",
        ),
    ],
    rests_on={
        "job.money.contract": ASKED,
        "job.money.change_orders.*.amount": ASKED,
        "job.money.invoices.*.amount": ASKED,
        "job.money.invoices": "A job without an invoice has an item of its own, for the final one.",
    },
)
def invoice_differs(case: Case) -> Iterator[Fault]:
    money = case.job.money
    agreed = amount_due(case)
    if money is None or money.final_invoice() is None:
        return
    if agreed is None:
        blank = money.contract is None
        needs = "the contract price" if blank else "the amount of every change order"
        lacks = ["money.contract"] if blank else []
        lacks += [
            f"money.change_orders.{number}.amount"
            for number, order in enumerate(money.change_orders)
            if order.amount is None and not blank
        ]
        yield Fault(
            case.where(lacks[0]),
            verdict=Verdict.CANNOT_TELL,
            needs=needs,
            lacks=tuple(lacks),
        )
        return
    amounts = [invoice.amount for invoice in money.invoices]
    if any(amount is None for amount in amounts):
        lacks = _without_amount("invoices", money.invoices)
        yield Fault(
            case.where("money.invoices"),
            verdict=Verdict.CANNOT_TELL,
            needs="the amount of every invoice",
            lacks=tuple(lacks),
        )
        return
    invoiced = sum((a for a in amounts if a is not None), Decimal(0))
    if invoiced != agreed:
        yield Fault(
            case.where("money.invoices"),
            {"invoiced": write_money(invoiced), "agreed": write_money(agreed)},
        )


def _without_amount(name: str, rows: Sequence[ChangeOrder | Invoice]) -> list[str]:
    """Return the fields of the rows that give no amount."""
    return [f"money.{name}.{n}.amount" for n, row in enumerate(rows) if row.amount is None]


@rule(
    id="MON-003",
    says="Deck repairs come to {repairs}; change orders come to {orders}.",
    why="The extra deck is the line an owner asks about; the two figures should be one.",
    source="Arithmetic over the repairs and the change orders on record",
    owed_by=Party.OFFICE,
    remedy="Correct the price of the repair or the change order.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.repairs.0.price": "288.00"},
            finds="Deck repairs come to $288.00; change orders come to $192.00.",
        ),
        Example({"job.repairs.0.price": None}, finds=None),
        Example(
            {"job.repairs.0.price": None, "job.money.sheet_price": None},
            finds="Whether the change orders cover the deck repairs cannot be told: the price of repair 1 is "
            "needed.",
        ),
    ],
    cannot_tell="whether the change orders cover the deck repairs",
    rests_on={
        "job.repairs.*.price": ASKED,
        "job.money.sheet_price": "It stands in only where a repair says no price of its own, and that is asked "
        "for.",
        "job.money.board_foot_price": "It stands in only where a repair says no price of its own, and that is "
        "asked for.",
        "job.money.change_orders": "Without one the invoice itself is compared with the contract.",
    },
)
def repairs_differ_from_change_order(case: Case, assessment: Assessment) -> Iterator[Fault]:
    check = assessment.prices
    money = case.job.money
    if check is None and money is not None and money.change_orders:
        lacks = [
            f"repairs.{number}.price"
            for number, repair in enumerate(case.job.repairs)
            if repair.price is None
            and repair.kind is not RepairKind.REFASTENED
            and not case.reason_not(f"repairs.{number}.price")
        ]
        if lacks:
            numbers = [str(int(path.split(".")[1]) + 1) for path in lacks]
            yield Fault(
                case.where(lacks[0]),
                verdict=Verdict.CANNOT_TELL,
                needs=f"the price of repair {listed(numbers)}",
                lacks=tuple(lacks),
            )
    if check is None or check.change_orders_less_total is None:
        return
    # Change orders may hold other work too; only repairs beyond them have not been agreed to.
    if check.change_orders_less_total < 0:
        yield Fault(
            case.where("money.change_orders"),
            {
                "repairs": write_money(check.total),
                "orders": write_money(check.total + check.change_orders_less_total),
            },
        )


@rule(
    id="MON-004",
    says="No final lien waiver from {who} is on record.",
    why="A supplier or crew that was not paid can put a lien on the house of an owner who paid in full.",
    source="Cal. Civ. Code 8132 to 8138 as a worked model of the four kinds; state law decides",
    owed_by=Party.SUPPLIER,
    remedy="Ask for the waiver against payment, file it, and add it under money.waivers.",
    asks="Please send us the final lien waiver.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    cannot_tell="which lien waivers are owed",
    examples=[
        Example(
            {
                "job.money.waivers": "unconditional final, from Ormskar crew north, through 2026-09-30",
                "job.deliveries.0.supplier": "Fjordgate Building Supply",
            },
            finds="No final lien waiver from Fjordgate Building Supply is on record.",
        ),
        Example(
            {
                "job.money.waivers": "conditional final, from Fjordgate Building Supply",
                "job.deliveries.0.supplier": "Fjordgate Building Supply",
            },
            finds=None,
        ),
        Example(
            {"job.money.waivers": None},
            finds="No final lien waiver from Fjordgate Building Supply is on record.",
        ),
        Example(
            {"company.supplier": None},
            finds="Which lien waivers are owed cannot be told: the supplier of ticket 55120 is needed.",
        ),
        # A job whose money nobody typed owes the same waivers.
        Example(
            {"job.money": None},
            finds="No final lien waiver from Fjordgate Building Supply is on record.",
        ),
        Example(
            {"job.money.waivers.0": {"given_by": "Fjordgate Building Supply"}},
            finds="Which lien waivers are owed cannot be told: the kind of the waiver from Fjordgate Building "
            "Supply is needed.",
        ),
        Example(
            {"job.money.waivers.0": {"kind": "unconditional final"}},
            finds="Which lien waivers are owed cannot be told: who gave waiver 1 is needed.",
        ),
    ],
    rests_on={
        "job.job.crew": "Without a crew nobody else is known to have done the work.",
        "company.crews": "A crew whose company nobody names is the company’s own.",
        "job.money.waivers": ASKED,
        "job.money.waivers.*.kind": ASKED,
        "job.money.waivers.*.given_by": ASKED,
        "job.deliveries.*.supplier": ASKED,
        "company.supplier": "It stands in only where a ticket names no supplier, and that is asked for.",
    },
)
def waiver_missing(case: Case) -> Iterator[Fault]:
    if case.reason_not("money.waivers") or case.reason_not("money"):
        return
    waivers = case.job.money.waivers if case.job.money else ()
    final = (WaiverKind.CONDITIONAL_FINAL, WaiverKind.UNCONDITIONAL_FINAL)
    # A waiver that does not say its kind may be the final one, and one without a name may be anybody's.
    given = [waiver.given_by or "" for waiver in waivers if waiver.kind in (*final, None)]
    for number, waiver in enumerate(waivers):
        for field, value, needs in (
            (
                "kind",
                waiver.kind,
                f"the kind of the waiver from {waiver.given_by or 'nobody named'}",
            ),
            ("given_by", waiver.given_by, f"who gave waiver {number + 1}"),
        ):
            if value is None:
                path = f"money.waivers.{number}.{field}"
                where = case.where(path)
                yield Fault(where, verdict=Verdict.CANNOT_TELL, needs=needs, lacks=(path,))
    owed: list[tuple[str, Party]] = []
    for number, delivery in enumerate(case.job.deliveries):
        if delivery.source is not Source.TICKET:
            continue
        supplier = delivery.supplier or case.company.supplier
        if supplier is None:
            needs = f"the supplier of ticket {delivery.ticket or 'without a number'}"
            lacks = (f"deliveries.{number}.supplier",)
            where = case.where(lacks[0])
            yield Fault(where, verdict=Verdict.CANNOT_TELL, needs=needs, lacks=lacks)
        elif (supplier, Party.SUPPLIER) not in owed:
            owed.append((supplier, Party.SUPPLIER))
    if case.crew_company is not None:
        owed.append((case.crew_company.value, Party.CREW))
    if not owed and not given:
        owed.append(("anybody", Party.SUPPLIER))
    unnamed = any(waiver.given_by is None for waiver in waivers)
    for who, party in owed:
        if who not in given and not unnamed:
            yield Fault(
                case.where("money.waivers"), {"who": who}, verdict=Verdict.MISSING, owed_by=party
            )


@rule(
    id="MON-005",
    says="The waiver from {who} is conditional; the job was paid in full on {paid}.",
    why="A conditional waiver waits for a payment; once it is there the unconditional one should be too.",
    source="Cal. Civ. Code 8136 and 8138 as a worked model; state law decides",
    owed_by=Party.SUPPLIER,
    remedy="Ask for the unconditional final waiver.",
    asks="Please send us the unconditional final waiver.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"job.money.waivers.0": "conditional final, from Fjordgate Building Supply"},
            finds="The waiver from Fjordgate Building Supply is conditional; the job was paid in full on "
            "29 September 2026.",
        ),
        Example(
            {
                "job.money.waivers.0": "conditional final, from Fjordgate Building Supply",
                "job.money.payments": None,
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.money.waivers.*.given_by": "MON-004 asks for it.",
        "job.money.waivers.*.kind": "The rule on waivers that are missing asks for it.",
        "job.money.payments": "Until the job is paid in full a conditional waiver is right.",
    },
)
def waiver_still_conditional(case: Case) -> Iterator[Fault]:
    paid = paid_in_full_on(case)
    money = case.job.money
    if money is None or paid is None:
        return
    unconditional = {w.given_by for w in money.waivers if w.kind is WaiverKind.UNCONDITIONAL_FINAL}
    for number, waiver in enumerate(money.waivers):
        if waiver.kind is WaiverKind.CONDITIONAL_FINAL and waiver.given_by not in unconditional:
            yield Fault(
                case.where(f"money.waivers.{number}"),
                {"who": waiver.given_by or "somebody", "paid": write_date(paid)},
            )


@rule(
    id="MON-006",
    says="The final invoice is not on record.",
    why="Without it nobody can say that the job is paid, and proof of purchase is the first thing a "
    "claims desk asks for.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Write the invoice, file it in papers/, and add it under money.invoices.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    examples=[
        Example({"job.money.invoices": None}, finds="The final invoice is not on record."),
        Example({"facts.papers/waiver-crew.pdf": None}, finds=None),
    ],
    rests_on={
        "job.money.invoices": ASKED,
        "job.money.invoices.*.final": "The only invoice is the final one; of several, one has to say so.",
    },
)
def no_final_invoice(case: Case, facts: Facts) -> Iterator[Fault]:
    money = case.job.money
    on_file = bool(good_papers(case, facts, PaperKind.INVOICE))
    if (money is None or money.final_invoice() is None) and not case.reason_not("money.invoices"):
        where = case.where("money.invoices")
        remedy = "Add the invoice that is on file under money.invoices." if on_file else None
        yield Fault(where, verdict=Verdict.MISSING, remedy=remedy)


@rule(
    id="MON-007",
    says="{order} of {amount} was not approved by the owner on record.",
    why="A change of the price that nobody signed is not a change of the price.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Get the owner's dated approval and add it to the change order.",
    asks="Please confirm in writing, with the day, that you agreed to this change.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.money.change_orders": "1, 250.00"},
            finds="Change order 1 of $250.00 was not approved by the owner on record.",
        ),
        Example(
            {
                "job.money.change_orders": [
                    {"number": "1", "amount": "250.00", "approved": "2026-09-15"}
                ]
            },
            finds="Change order 1 of $250.00 was not approved by the owner on record.",
        ),
        Example(
            {"job.money.change_orders": "1, 250.00, approved by M. Ekdahl on 2026-09-15"},
            finds=None,
        ),
    ],
    rests_on={
        "job.money.change_orders.*.approved": ASKED,
        "job.money.change_orders": "A price that nobody changed has no change order.",
    },
)
def change_order_not_approved(case: Case, assessment: Assessment) -> Iterator[Fault]:
    money = case.job.money
    repairs = assessment.prices.total if assessment.prices else None
    for number, order in enumerate(money.change_orders if money else ()):
        if order.amount is not None and order.amount == repairs:
            # The same money stands with the deck repairs, whose approval has an item of its own.
            continue
        if order.approved is None or not order.approved.is_whole:
            amount = "an unknown amount" if order.amount is None else write_money(order.amount)
            named = f"Change order {order.number}" if order.number else "The change order"
            what = f" for {order.what}" if order.what else ""
            yield Fault(
                case.where(f"money.change_orders.{number}"),
                {"order": f"{named}{what}", "amount": amount},
                verdict=Verdict.MISSING,
                lacks=(f"money.change_orders.{number}.approved",),
            )


@rule(
    id="MON-008",
    says="The payments on record come to {paid}; {owed} is owed.",
    why="Terms that ask for payment in full, and every waiver, wait for the last payment.",
    source="Arithmetic over invoices and payments on record",
    owed_by=Party.HOMEOWNER,
    remedy="Record the payments that came; ask for the rest.",
    asks="Please see whether our last invoice is paid, and tell us the day.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    cannot_tell="whether the job is paid in full",
    examples=[
        Example(
            {"job.money.payments": "2026-09-29, 15,051.99"},
            finds="The payments on record come to $15,051.99; $15,052.00 is owed.",
        ),
        Example({"job.money.payments": "2026-09-29, 15,052.00"}, finds=None),
        Example({"job.money.invoices": None, "job.money.payments": None}, finds=None),
        Example(
            {"job.money.payments": {"amount": "15,052.00"}},
            finds="Whether the job is paid in full cannot be told: the day of every payment is needed.",
        ),
        Example(
            {"job.money.payments": {"on": "2026-09-29"}},
            finds="Whether the job is paid in full cannot be told: the amount of every payment is needed.",
        ),
    ],
    rests_on={
        "job.money.payments": ASKED,
        "job.money.payments.*.amount": ASKED,
        "job.money.payments.*.on": ASKED,
        "job.money.invoices.*.amount": "The rule that compares the invoices with the contract asks for it.",
        "job.money.invoices": "A job without an invoice has an item of its own, for the final one.",
    },
)
def not_paid_in_full(case: Case) -> Iterator[Fault]:
    money = case.job.money
    if money is None or money.final_invoice() is None or paid_in_full_on(case) is not None:
        return
    amounts = [invoice.amount for invoice in money.invoices]
    if any(amount is None for amount in amounts) or case.reason_not("money.payments"):
        return
    owed = sum((a for a in amounts if a is not None), Decimal(0))
    needs = blank_in_payments(money)
    if needs:
        paid = list(enumerate(money.payments))
        lacks = [f"money.payments.{n}.amount" for n, one in paid if one.amount is None]
        lacks = lacks or [f"money.payments.{n}.on" for n, one in paid if one.on is None]
        yield Fault(
            case.where(lacks[0]), verdict=Verdict.CANNOT_TELL, needs=needs, lacks=tuple(lacks)
        )
        return
    yield Fault(
        case.where("money.payments"),
        {"paid": write_money(money.paid()), "owed": write_money(owed)},
        verdict=Verdict.MISSING,
    )


_RELEASE = (PaperKind.INVOICE, PaperKind.COMPLETION)


@rule(
    id="MON-009",
    says="The insurer holds back {held}; not on file for its release: {kinds}.",
    why="Depreciation held back is paid only against papers, and policies set a time limit for it.",
    source="Insurance practice (invoice matching the scope, completion certificate, photos); no published "
    "source. It says nothing about what a policy covers or owes",
    owed_by=Party.OFFICE,
    remedy="File them and send them at the owner's written direction.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.money.held_back": "4,500.00", "facts.papers/completion.pdf": None},
            finds="The insurer holds back $4,500.00; not on file for its release: completion.",
        ),
        Example({"job.money.held_back": "0.00"}, finds=None),
        Example(
            {
                "job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"},
                "job.money.payments": None,
            },
            finds=(
                "Which papers release the insurer's money cannot be told: the record does not "
                "say how much it holds back."
            ),
        ),
        # What is paid in full is held back by nobody.
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"}}, finds=None
        ),
    ],
    cannot_tell="which papers release the insurer's money",
    rests_on={"job.money.held_back": ASKED},
)
def release_papers_missing(case: Case, facts: Facts) -> Iterator[Fault]:
    held = case.job.money.held_back if case.job.money else None
    if held is None and _is_claim_open(case) and not case.reason_not("money.held_back"):
        yield Fault(
            case.where("money.held_back"),
            verdict=Verdict.CANNOT_TELL,
            needs="how much it holds back",
            holds=frozenset(),
            lacks=("money.held_back",),
        )
    if not held:
        return
    blank = [kind.value for kind in _RELEASE if not good_papers(case, facts, kind)]
    if blank:
        yield Fault(
            case.where("money.held_back"),
            {"held": write_money(held), "kinds": listed(blank)},
            verdict=Verdict.MISSING,
        )


def _is_claim(case: Case) -> bool:
    """Return whether an insurer pays for this roof: a house is insured whether it does or not."""
    insurance, money = case.job.insurance, case.job.money
    if insurance is None:
        return False
    paid = (insurance.first_payment, insurance.replacement_value, insurance.adjuster)
    on_scope = bool(money and (money.scope_lines or money.held_back))
    return bool(insurance.claim) or on_scope or any(one is not None for one in paid)


def _is_claim_open(case: Case) -> bool:
    """Return whether an insurer pays for this roof and the job is not paid in full on record."""
    return _is_claim(case) and paid_in_full_on(case) is None


@rule(
    id="MON-010",
    says="The insurer's scope has no line for {role}; the measured roof needs {quantity} of it, and "
    "{clause} asks for it.",
    why="Starter and hip and ridge are left out of scopes more often than anything else, and are paid for by "
    "somebody.",
    source="The measured roof, the deliveries, and the clause named; it says nothing about what a policy owes. "
    "How a line's words are read: common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Give the owner the printed scope comparison; only the owner asks the insurer.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    cannot_tell="whether the insurer's scope leaves anything out",
    examples=[
        Example(
            {
                "job.money.scope_lines": [
                    {"what": "Remove and replace shingles, ridge caps, drip edge"}
                ]
            },
            finds="The insurer's scope has no line for starter; the measured roof needs 142.6 ft of it, and "
            "clause 3.11 of the maker's terms asks for it.",
        ),
        # What is left out in so many words, or only comes off, is not paid for.
        Example(
            {
                "job.money.scope_lines": [
                    {"what": "Laminated shingles w/out felt"},
                    {"what": "Remove drip edge, starter and ridge caps"},
                ]
            },
            finds="The insurer's scope has no line for underlayment; the measured roof needs 798.9 sq ft of it, "
            "and section R905.1.1 of the code asks for it.",
        ),
        Example(
            {
                "job.money.scope_lines": [
                    {"what": "Remove and replace laminated shingles"},
                    {"what": "Starter course, hip and ridge caps"},
                    {"what": "Ice barrier and underlayment, drip edge"},
                    {"what": "Pipe boots; ridge vent"},
                ]
            },
            finds=None,
        ),
        Example(
            {
                "job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"},
                "job.papers": [{"file": "papers/warranty-terms.pdf", "kind": "insurer scope"}],
            },
            finds="Whether the insurer's scope leaves anything out cannot be told: every line of it is needed.",
        ),
    ],
    rests_on={
        "job.installation.drip_edge_at": "Nothing typed is drip edge nowhere, which COD-003 reports.",
        "job.installation.starter_at": "Eaves always carry starter; rakes count only where the record says so.",
        "job.slopes.*.area_sqft": "Where no other figure gives the area, it is asked for by MAT-007.",
        "job.slopes.*.plan": "Where no other figure gives the area, it is asked for by MAT-007.",
        "job.slopes.*.plan_area_sqft": "Where no other figure gives the area, it is asked for by MAT-007.",
        "job.slopes.*.eave_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.rake_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.hip_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.valley_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.slopes.*.ridge_ft": "MAT-007 asks for it.",
        "job.money.scope_lines": ASKED,
        "job.money.scope_lines.*.role": "Blank, the line's own words say what it pays for.",
    },
)
def left_out_of_scope(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    for line in scope_rows(case, facts, assessment):
        if line.on_scope is False and line.role is not Role.FASTENER:
            yield Fault(
                case.where("money.scope_lines"),
                {
                    "role": line.role.value,
                    "quantity": line.quantity,
                    "clause": line.clause,
                },
                verdict=Verdict.MISSING,
            )
    typed = case.job.money and case.job.money.scope_lines
    asked = good_papers(case, facts, PaperKind.INSURER_SCOPE) and _is_claim(case)
    if asked and not typed and not case.reason_not("money.scope_lines"):
        yield Fault(
            case.where("money.scope_lines"),
            verdict=Verdict.CANNOT_TELL,
            needs="every line of it",
            lacks=("money.scope_lines",),
        )


@rule(
    id="MON-014",
    says="The insurer's scope has {short} less {role} than the measured roof, which needs {quantity} with no "
    "waste "
    "at all.",
    why="What a scope counts short is bought all the same, and is paid for by somebody.",
    source="Geometry of the measured roof against the quantities of the scope; 2 % measuring tolerance is common "
    "practice, no published source. It says nothing about what a policy owes",
    owed_by=Party.OFFICE,
    remedy="Measure again where in doubt, and give the owner the printed scope comparison; only the owner asks "
    "the "
    "insurer.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"job.money.scope_lines": [{"what": "starter at eaves", "quantity": "80 LF"}]},
            finds="The insurer's scope has 62.6 ft less starter than the measured roof, which needs 142.6 ft "
            "with no "
            "waste at all.",
        ),
        # Within the tape's tolerance of 2 %.
        Example(
            {"job.money.scope_lines": [{"what": "starter", "quantity": "139.8 LF"}]}, finds=None
        ),
    ],
    rests_on={
        "job.money.scope_lines.*.quantity": "A line without one may pay for all of it, so nothing is said to be "
        "short.",
    },
)
def scope_counts_short(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    for line in scope_rows(case, facts, assessment):
        if line.short_by:
            yield Fault(
                case.where("money.scope_lines"),
                {
                    "role": line.role.value,
                    "quantity": line.quantity,
                    "short": f"{write_number(line.short_by)} {line.unit}",
                },
            )


@rule(
    id="MON-015",
    says="The insurer's scope has no line for the permit's fee, and a re-roof needs a permit in {place}.",
    why="The fee is paid before the first shingle comes off, and is forgotten in a scope of materials.",
    source="The locality's sheet (permit_needed); it says nothing about what a policy owes",
    owed_by=Party.OFFICE,
    remedy="Give the owner the receipt with the printed scope comparison; only the owner asks the insurer.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.money.scope_lines": [{"what": "laminated shingles"}]},
            finds="The insurer's scope has no line for the permit's fee, and a re-roof needs a permit in "
            "Vintermark "
            "County.",
        ),
        Example(
            {"job.money.scope_lines": [{"what": "laminated shingles"}, {"what": "permit fee"}]},
            finds=None,
        ),
        Example(
            {
                "job.money.scope_lines": [{"what": "laminated shingles"}],
                "locality.permit_needed": "no",
            },
            finds=None,
        ),
    ],
    rests_on={"job.money.scope_lines": "The rule for roles left out asks for a scope's lines."},
)
def permit_fee_not_in_scope(case: Case) -> Iterator[Fault]:
    if permit_fee_left_out(case):
        yield Fault(
            case.where("money.scope_lines"), {"place": case.locality.name}, verdict=Verdict.MISSING
        )


@rule(
    id="MON-011",
    says="The lender is named on the insurer's payment, and no lender's endorsement is on record.",
    why="A cheque made out to two payees waits for both signatures.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Ask the owner to start it now; lenders take weeks. File the letter as papers/letter-lender.pdf.",
    asks="Please ask your lender now to endorse the insurer’s payment; it takes weeks.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "lender_is_payee": "yes"}},
            finds="The lender is named on the insurer's payment, and no lender's endorsement is on record.",
        ),
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "lender_is_payee": "no"}}, finds=None
        ),
        Example(
            {
                "job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"},
                "job.money.payments": None,
            },
            finds=(
                "Whether a lender has to sign the insurer's payment cannot be told: the record "
                "does not say whether one is named on it."
            ),
        ),
    ],
    cannot_tell="whether a lender has to sign the insurer's payment",
    rests_on={"job.insurance.lender_is_payee": ASKED},
)
def lender_not_endorsed(case: Case, facts: Facts) -> Iterator[Fault]:
    insurance = case.job.insurance
    letters = good_papers(case, facts, PaperKind.LETTER)
    endorsed = any("lender" in paper.file.lower() for paper in letters)
    if insurance is not None and insurance.lender_is_payee and not endorsed:
        yield Fault(case.where("insurance.lender_is_payee"), verdict=Verdict.MISSING)
    path = "insurance.lender_is_payee"
    blank = insurance is not None and insurance.lender_is_payee is None
    if blank and _is_claim_open(case) and not endorsed and not case.reason_not(path):
        yield Fault(
            case.where(path),
            verdict=Verdict.CANNOT_TELL,
            needs="whether one is named on it",
            holds=frozenset(),
            lacks=(path,),
        )


@rule(
    id="MON-012",
    says="To chase: {kind}, {reason}.",
    why="These are the papers that are easy to get in the first month and impossible after the first year.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Ask for it this week and file it in papers/ under its kind.",
    asks="Please send us the paper named here.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {"job.deliveries.0.lines.0": "42 bundles Fenwright 40, colour Slate Grey, returned 1"},
            finds="To chase: return credit, since goods went back.",
        ),
        Example(
            {"job.job.crew": "lakeside"},
            finds="To chase: crew agreement, since Halden Roof Crew did the work.",
        ),
        Example(
            {
                "job.deliveries.0.lines.3": "1 rolls Dryfell underlayment",
                "job.deliveries.0.lines.9": "1 boxes Coil nails 1-1/4 in",
                "job.job.scope": "recover",
                "job.job.scope_reason": "one sound layer",
            },
            finds=None,
        ),
    ],
    rests_on={
        "company.crews": "A crew whose company nobody names is the company’s own.",
        "job.job.crew": "Without a crew nobody else is known to have done the work.",
        "job.deliveries.*.lines.*.returned": "Blank means that nothing went back, so that no credit is owed.",
    },
)
def papers_to_chase(case: Case, facts: Facts) -> Iterator[Fault]:
    wanted: list[tuple[PaperKind, str, Party]] = []
    if any(material.line.returned for material in case.materials):
        wanted.append((PaperKind.RETURN_CREDIT, "since goods went back", Party.SUPPLIER))
    if case.crew_company is not None:
        reason = f"since {case.crew_company.value} did the work"
        wanted.append((PaperKind.CREW_AGREEMENT, reason, Party.CREW))
        wanted.append((PaperKind.INSURANCE_CERTIFICATE, reason, Party.CREW))
    for kind, reason, party in wanted:
        if not good_papers(case, facts, kind):
            yield Fault(
                Where("papers"),
                {"kind": kind.value, "reason": reason},
                verdict=Verdict.MISSING,
                owed_by=party,
                # An uninsured crew on the roof is more than a paper to chase.
                lighter=Weight.WEAKENS if kind is PaperKind.INSURANCE_CERTIFICATE else None,
            )


@rule(
    id="MON-013",
    says="The insurer's scope of the claim is not on file.",
    why="Without the scope nobody can compare it with the roof, or say which papers release what is held back.",
    source="Insurance practice; no published source",
    owed_by=Party.INSURER,
    remedy="Ask the owner for the insurer's copy, or the adjuster through the owner, and file it as "
    "papers/insurer-scope.pdf.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"}},
            finds="The insurer's scope of the claim is not on file.",
        ),
        Example({"job.insurance": {"insurer": "Lakeward Mutual"}}, finds=None),
        # A claim whose number nobody typed is a claim all the same.
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "first_payment": "13,000.00"}},
            finds="The insurer's scope of the claim is not on file.",
        ),
    ],
    rests_on={"job.insurance.claim": "A payment, an adjuster or a scope shows a claim as well."},
)
def scope_not_on_file(case: Case, facts: Facts) -> Iterator[Fault]:
    if _is_claim(case) and not good_papers(case, facts, PaperKind.INSURER_SCOPE):
        yield Fault(Where("papers"), verdict=Verdict.MISSING)


@rule(
    id="MON-028",
    says="The payments on record come to {paid}; only {owed} was invoiced.",
    why="What was paid beyond the invoices is the owner's, or a payment stands on record that nobody made.",
    source="Arithmetic over invoices and payments on record",
    owed_by=Party.OFFICE,
    remedy="Compare with the bank and correct the payment; give back what is too much, or record its invoice.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {"job.money.payments": "2026-09-29, 15,052.01"},
            finds="The payments on record come to $15,052.01; only $15,052.00 was invoiced.",
        ),
        Example({"job.money.payments": "2026-09-29, 15,052.00"}, finds=None),
        # A deposit comes before the invoice.
        Example({"job.money.invoices": None}, finds=None),
    ],
    rests_on={
        "job.money.payments": "MON-008 asks for them.",
        "job.money.invoices": "MON-006 asks for the final invoice.",
        "job.money.invoices.*.amount": "MON-002 asks for it.",
        "job.money.payments.*.amount": "MON-008 asks for it.",
    },
)
def paid_more_than_invoiced(case: Case) -> Iterator[Fault]:
    money = case.job.money
    if money is None or money.final_invoice() is None:
        return
    amounts = [invoice.amount for invoice in money.invoices]
    owed = sum((amount for amount in amounts if amount is not None), Decimal(0))
    if None not in amounts and money.paid() > owed:
        values = {"paid": write_money(money.paid()), "owed": write_money(owed)}
        yield Fault(case.where("money.payments"), values)


@rule(
    id="MON-016",
    says="{count} invoices carry the number {number}.",
    why="One invoice typed twice is asked for twice, and paid against neither.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Take out the one that is typed twice, or correct its number.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {
                "job.money.invoices": [
                    "2026-041, 2026-09-22, 7,526.00",
                    "2026-041, 2026-09-22, 7,526.00, final",
                ]
            },
            finds="2 invoices carry the number 2026-041.",
        ),
        Example(
            {
                "job.money.invoices": [
                    "2026-041-1, 2026-09-12, 7,526.00",
                    "2026-041-2, 2026-09-22, 7,526.00, final",
                ]
            },
            finds=None,
        ),
    ],
    rests_on={"job.money.invoices.*.number": "An invoice without a number is like no other."},
)
def invoice_number_twice(case: Case) -> Iterator[Fault]:
    money = case.job.money
    numbers = [invoice.number for invoice in money.invoices if invoice.number] if money else []
    for number in dict.fromkeys(numbers):
        if numbers.count(number) > 1:
            yield Fault(
                case.where("money.invoices"),
                {"count": str(numbers.count(number)), "number": number},
            )


@rule(
    id="MON-017",
    says="The waiver from {who} runs to {through}; {who} delivered on {day}.",
    why="What came after the day of a waiver is not waived by it.",
    source="Cal. Civ. Code 8132 and 8134 as a worked model of waivers through a date; state law decides",
    owed_by=Party.SUPPLIER,
    remedy="Ask for a waiver through the last delivery, or correct the day.",
    asks="Please send us a waiver that runs through your last delivery.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    cannot_tell="whether the waiver from {who} reaches past the last delivery",
    examples=[
        Example(
            {"job.deliveries.1.on": None},
            finds="Whether the waiver from Fjordgate Building Supply reaches past the last delivery cannot be "
            "told: the day of the delivery is needed.",
        ),
        Example(
            {
                "job.money.waivers.0": "unconditional final, from Fjordgate Building Supply, through 2026-09-13"
            },
            finds="The waiver from Fjordgate Building Supply runs to 13 September 2026; Fjordgate Building Supply "
            "delivered on 14 September 2026.",
        ),
        Example(
            {
                "job.money.waivers.0": "unconditional final, from Fjordgate Building Supply, through 2026-09-14"
            },
            finds=None,
        ),
        # Another waiver that reaches further waives it.
        Example(
            {
                "job.money.waivers.0": "unconditional progress, from Fjordgate Building Supply, through "
                "2026-09-13",
                "job.money.waivers.2": "unconditional final, from Fjordgate Building Supply",
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.money.waivers.*.through": "A final waiver without a day waives all.",
        "job.deliveries.*.on": ASKED,
        "job.deliveries.*.supplier": "The rule on waivers that are missing asks for it.",
    },
)
def delivered_after_the_waiver(case: Case) -> Iterator[Fault]:
    waivers = case.job.money.waivers if case.job.money else ()
    for who in dict.fromkeys(waiver.given_by for waiver in waivers if waiver.given_by):
        own = [(n, waiver.through) for n, waiver in enumerate(waivers) if waiver.given_by == who]
        known = [(through, n) for n, through in own if through is not None]
        tickets = [
            (f"deliveries.{n}.on", delivery.on)
            for n, delivery in enumerate(case.job.deliveries)
            if (delivery.supplier or case.company.supplier) == who
            and delivery.source is Source.TICKET
        ]
        came = [day for _, day in tickets if day is not None]
        blank = tuple(at for at, day in tickets if day is None and not case.reason_not(at))
        if len(known) < len(own):
            continue
        if blank:
            yield Fault(
                case.where(blank[0]),
                {"who": who},
                verdict=Verdict.CANNOT_TELL,
                holds=frozenset(),
                lacks=blank,
            )
        if not came:
            continue
        through, number = max(known)
        if max(came) > through:
            yield Fault(
                case.where(f"money.waivers.{number}.through"),
                {"who": who, "through": write_date(through), "day": write_date(max(came))},
            )
