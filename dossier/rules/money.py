"""Money and release: change orders, final invoice, waivers, the owner's signature on completion."""

from collections.abc import Iterator
from decimal import Decimal

from dossier.assess.backing import good_papers
from dossier.assess.calendar import amount_due, paid_in_full_on
from dossier.assess.results import Assessment
from dossier.assess.scope import scope_rows
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict, Weight, Where
from dossier.rules.declare import Example, Fault, rule
from dossier.rules.registration import terms_ask
from dossier.values import Run, listed, write_date, write_money
from dossier.words import PaperKind, Role, Source, WaiverKind


@rule(
    id="MON-001",
    says="The owner has not signed that the work is complete.",
    why="Terms, payment and the release of held-back money are counted from that signature.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Walk the job with the owner from the ground, get the signature, and write "
    "job.completion_signed_on.",
    holds={Holds.PAYMENT, Holds.HANDOVER, Holds.REGISTRATION},
    examples=[
        Example(
            {"job.job.completion_signed_on": None},
            finds="The owner has not signed that the work is complete.",
        ),
        Example({"job.job.completion_signed_on": "2026-09-20"}, finds=None),
    ],
)
def completion_not_signed(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    ],
)
def invoice_differs(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
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
        return
    invoiced = sum((a for a in amounts if a is not None), Decimal(0))
    if invoiced != agreed:
        yield Fault(
            case.where("money.invoices"),
            {"invoiced": write_money(invoiced), "agreed": write_money(agreed)},
        )


@rule(
    id="MON-003",
    says="Deck repairs come to {repairs}; change orders come to {orders}.",
    why="The extra deck is the line an owner asks about; the two figures should be one.",
    source="Arithmetic over the repairs and the change orders on record",
    owed_by=Party.OFFICE,
    remedy="Correct the price of the repair or the change order.",
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.repairs.0.price": "288.00"},
            finds="Deck repairs come to $288.00; change orders come to $192.00.",
        ),
        Example({"job.repairs.0.price": None}, finds=None),
    ],
)
def repairs_differ_from_change_order(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    check = assessment.prices
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
    ],
)
def waiver_missing(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    money = case.job.money
    if money is None or case.reason_not("money.waivers"):
        return
    final = (WaiverKind.CONDITIONAL_FINAL, WaiverKind.UNCONDITIONAL_FINAL)
    given = [waiver.given_by or "" for waiver in money.waivers if waiver.kind in final]
    owed: list[tuple[str, Party]] = []
    for number, delivery in enumerate(case.job.deliveries):
        if delivery.source is not Source.TICKET:
            continue
        supplier = delivery.supplier or case.company.supplier
        if supplier is None:
            needs = f"the supplier of ticket {delivery.ticket or 'without a number'}"
            path = f"deliveries.{number}.supplier"
            yield Fault(case.where(path), verdict=Verdict.CANNOT_TELL, needs=needs, lacks=(path,))
        elif (supplier, Party.SUPPLIER) not in owed:
            owed.append((supplier, Party.SUPPLIER))
    if case.crew_company is not None:
        owed.append((case.crew_company.value, Party.CREW))
    if not owed and not given:
        owed.append(("anybody", Party.SUPPLIER))
    for who, party in owed:
        if who not in given:
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
)
def waiver_still_conditional(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    holds={Holds.PAYMENT},
    examples=[
        Example({"job.money.invoices": None}, finds="The final invoice is not on record."),
        Example({"facts.papers/waiver-crew.pdf": None}, finds=None),
    ],
)
def no_final_invoice(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    money = case.job.money
    on_file = bool(good_papers(case, facts, PaperKind.INVOICE))
    if (money is None or money.final_invoice() is None) and not case.reason_not("money.invoices"):
        where = case.where("money.invoices")
        remedy = "Add the invoice that is on file under money.invoices." if on_file else None
        yield Fault(where, verdict=Verdict.MISSING, remedy=remedy)


@rule(
    id="MON-007",
    says="The change order of {amount} was not approved by the owner on record.",
    why="A change of the price that nobody signed is not a change of the price.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Get the owner's dated approval and add it to the change order.",
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.money.change_orders": "1, 250.00"},
            finds="The change order of $250.00 was not approved by the owner on record.",
        ),
        Example(
            {"job.money.change_orders": "1, 250.00, approved by M. Ekdahl on 2026-09-15"},
            finds=None,
        ),
    ],
)
def change_order_not_approved(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    money = case.job.money
    repairs = assessment.prices.total if assessment.prices else None
    for number, order in enumerate(money.change_orders if money else ()):
        if order.amount is not None and order.amount == repairs:
            # The same money stands with the deck repairs, whose approval has an item of its own.
            continue
        if order.approved is None or order.approved.on is None:
            amount = "an unknown amount" if order.amount is None else write_money(order.amount)
            yield Fault(
                case.where(f"money.change_orders.{number}"),
                {"amount": amount},
                verdict=Verdict.MISSING,
            )


@rule(
    id="MON-008",
    says="The payments on record come to {paid}; {owed} is owed.",
    why="Terms that ask for payment in full, and every waiver, wait for the last payment.",
    source="Arithmetic over invoices and payments on record",
    owed_by=Party.HOMEOWNER,
    remedy="Record the payments that came; ask for the rest.",
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.money.payments": "2026-09-29, 15,051.99"},
            finds="The payments on record come to $15,051.99; $15,052.00 is owed.",
        ),
        Example({"job.money.payments": "2026-09-29, 15,052.00"}, finds=None),
        Example({"job.money.invoices": None, "job.money.payments": None}, finds=None),
    ],
)
def not_paid_in_full(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    money = case.job.money
    if money is None or money.final_invoice() is None or paid_in_full_on(case) is not None:
        return
    amounts = [invoice.amount for invoice in money.invoices]
    if any(amount is None for amount in amounts) or case.reason_not("money.payments"):
        return
    owed = sum((a for a in amounts if a is not None), Decimal(0))
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
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.money.held_back": "4,500.00", "facts.papers/completion.pdf": None},
            finds="The insurer holds back $4,500.00; not on file for its release: completion.",
        ),
        Example({"job.money.held_back": "0.00"}, finds=None),
    ],
)
def release_papers_missing(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    held = case.job.money.held_back if case.job.money else None
    if not held:
        return
    blank = [kind.value for kind in _RELEASE if not good_papers(case, facts, kind)]
    if blank:
        yield Fault(
            case.where("money.held_back"),
            {"held": write_money(held), "kinds": listed(blank)},
            verdict=Verdict.MISSING,
        )


@rule(
    id="MON-010",
    says="The insurer's scope has no line for {role}; the measured roof needs {quantity} of it, and clause "
    "{clause} asks for it.",
    why="Starter and hip and ridge are left out of scopes more often than anything else, and are paid for by "
    "somebody.",
    source="The measured roof, the deliveries, and the clause named; it says nothing about what a policy owes",
    owed_by=Party.OFFICE,
    remedy="Give the owner the printed scope comparison; only the owner asks the insurer.",
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
        Example(
            {
                "job.money.scope_lines": [
                    {"what": "Starter course, hip and ridge caps"},
                    {"what": "Ice barrier and underlayment, drip edge"},
                ]
            },
            finds=None,
        ),
    ],
)
def left_out_of_scope(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    for line in scope_rows(case, facts, assessment):
        if line.on_scope is False and line.role in _SCOPE_ROLES:
            yield Fault(
                case.where("money.scope_lines"),
                {
                    "role": line.role.value,
                    "quantity": line.quantity,
                    "clause": line.clause,
                },
                verdict=Verdict.MISSING,
            )


_SCOPE_ROLES = (Role.STARTER, Role.HIP_AND_RIDGE, Role.ICE_BARRIER, Role.DRIP_EDGE)


@rule(
    id="MON-011",
    says="The lender is named on the insurer's payment, and no lender's endorsement is on record.",
    why="A cheque made out to two payees waits for both signatures.",
    source="Common practice, no published source",
    owed_by=Party.HOMEOWNER,
    remedy="Ask the owner to start it now; lenders take weeks. File the letter as papers/letter-lender.pdf.",
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "lender_is_payee": "yes"}},
            finds="The lender is named on the insurer's payment, and no lender's endorsement is on record.",
        ),
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "lender_is_payee": "no"}}, finds=None
        ),
    ],
)
def lender_not_endorsed(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    insurance = case.job.insurance
    letters = good_papers(case, facts, PaperKind.LETTER)
    endorsed = any("lender" in paper.file.lower() for paper in letters)
    if insurance is not None and insurance.lender_is_payee and not endorsed:
        yield Fault(case.where("insurance.lender_is_payee"), verdict=Verdict.MISSING)


@rule(
    id="MON-012",
    says="To chase: {kind}, {reason}.",
    why="These are the papers that are easy to get in the first month and impossible after the first year.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Ask for it this week and file it in papers/ under its kind.",
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
)
def papers_to_chase(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
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
            )


@rule(
    id="MON-013",
    says="The insurer's scope of the claim is not on file.",
    why="Without the scope nobody can compare it with the roof, or say which papers release what is held back.",
    source="Insurance practice; no published source",
    owed_by=Party.INSURER,
    remedy="Ask the owner for the insurer's copy, or the adjuster through the owner, and file it as "
    "papers/insurer-scope.pdf.",
    examples=[
        Example(
            {"job.insurance": {"insurer": "Lakeward Mutual", "claim": "C-2026-0071"}},
            finds="The insurer's scope of the claim is not on file.",
        ),
        Example({"job.insurance": {"insurer": "Lakeward Mutual"}}, finds=None),
    ],
)
def scope_not_on_file(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    insurance = case.job.insurance
    if insurance is None or not insurance.claim:
        return
    if not good_papers(case, facts, PaperKind.INSURER_SCOPE):
        yield Fault(Where("papers"), verdict=Verdict.MISSING)
