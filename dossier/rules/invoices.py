"""Invoices, change orders and payments, which should be one sum."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from dossier.assess.backing import good_papers
from dossier.assess.calendar import amount_due, blank_in_payments, paid_in_full_on
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict
from dossier.record.closing import ChangeOrder, Invoice
from dossier.record.derived import price_of
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import Listed, Money, say
from dossier.words import PaperKind


def _without_amount(name: str, rows: Sequence[ChangeOrder | Invoice]) -> list[str]:
    """Return the fields of the rows that give no amount."""
    return [f"money.{name}.{n}.amount" for n, row in enumerate(rows) if row.amount is None]


@rule(
    id="MON-002",
    says="Invoices come to {invoiced}; contract and change orders come to {agreed}.",
    why="An amount that nobody agreed to is not paid, and an insurer releases nothing on it.",
    source="Arithmetic over the contract, the change orders and the invoices on record",
    owed_by=Party.OFFICE,
    remedy="Correct the invoice, or record the change order that explains the difference.",
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
            {
                "job.money.change_orders": "1, deck repairs, approved by Marit Ekdahl on 2026-09-14",
                "job.repairs.0.sheets": "3",
                "job.repairs.0.price": None,
            },
            finds="Invoices come to $15,052.00; contract and change orders come to $15,148.00.",
        ),
        Example(
            {"job.money.change_orders": "1, deck repairs, approved by Marit Ekdahl on 2026-09-14"},
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
        "job.money.change_orders.*.for_deck_repairs": "Without it the order's own amount is asked for.",
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
        yield untold(case, tuple(lacks), needs)
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
            {"invoiced": Money(invoiced), "agreed": Money(agreed)},
        )


@rule(
    id="MON-003",
    says="Deck repairs come to {repairs}; change orders come to {orders}.",
    why="The extra deck is the line an owner asks about; the two figures should be one.",
    source="Arithmetic over the repairs and the change orders on record",
    owed_by=Party.OFFICE,
    remedy="Correct the price of the repair or the change order.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PAYMENT},
    examples=[
        Example(
            {"job.repairs.0.price": "288.00"},
            finds="Deck repairs come to $288.00; change orders come to $192.00.",
        ),
        Example({"job.repairs.0.price": None}, finds=None),
        Example({"job.repairs.0.price": None, "job.repairs.0.kind": "refastened"}, finds=None),
        Example(
            {"job.repairs.0.price": None, "job.repairs.0.board_feet": "64"},
            finds="Whether the change orders cover the deck repairs cannot be told: the price of repair 1 is "
            "needed.",
        ),
        Example(
            {"job.money.change_orders": "1, 200.00, approved by M. Ekdahl on 2026-09-15"},
            finds=None,
        ),
        Example(
            {
                "job.money.change_orders": [
                    {"number": "1", "amount": "200.00", "for_deck_repairs": "yes"}
                ]
            },
            finds="Deck repairs come to $192.00; change orders come to $200.00.",
        ),
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
        "job.money.change_orders.*.for_deck_repairs": "An order may be for other work too, and be more.",
    },
)
def repairs_differ_from_change_order(case: Case, assessment: Assessment) -> Iterator[Fault]:
    check = assessment.prices
    money = case.job.money
    if check is None and money is not None and money.change_orders:
        lacks = [
            f"repairs.{number}.price"
            for number, repair in enumerate(case.job.repairs)
            if price_of(repair, money) is None and not case.reason_not(f"repairs.{number}.price")
        ]
        if lacks:
            numbers = [str(int(path.split(".")[1]) + 1) for path in lacks]
            yield untold(
                case,
                tuple(lacks),
                say("the price of repair {numbers}", numbers=Listed(tuple(numbers))),
            )
    if check is None or check.change_orders_less_total is None:
        return
    # Change orders may hold other work too; only repairs beyond them have not been agreed to. One that is for the
    # repairs and nothing else should be just their price.
    orders = money.change_orders if money else ()
    alone = len(orders) == 1 and bool(orders[0].for_deck_repairs)
    if check.change_orders_less_total < 0 or (alone and check.change_orders_less_total > 0):
        yield Fault(
            case.where("money.change_orders"),
            {
                "repairs": Money(check.total),
                "orders": Money(check.total + check.change_orders_less_total),
            },
        )


@rule(
    id="MON-006",
    says="The final invoice is not on record.",
    why="Without it nobody can say that the job is paid, and proof of purchase is the first thing a "
    "claims desk asks for.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Write the invoice, file it in papers/, and add it under money.invoices.",
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
        "job.repairs": "An order that is just their price was agreed to with them; DEC-005 asks for that.",
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
            amount = say("an unknown amount") if order.amount is None else Money(order.amount)
            named = say("The change order")
            if order.number:
                named = say("Change order {number}", number=order.number)
            what = say("{order} for {what}", order=named, what=order.what) if order.what else named
            yield Fault(
                case.where(f"money.change_orders.{number}"),
                {"order": what, "amount": amount},
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
        Example(
            {"job.money.payments": ["2026-08-20, 5,000.00", "2026-09-29, in full"]}, finds=None
        ),
        Example(
            {"job.money.payments": ["2026-08-20, in full", "2026-09-29, in full"]},
            finds="Whether the job is paid in full cannot be told: the amount of every payment is needed.",
        ),
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
        "job.money.payments.*.in_full": "Without it the payment's own amount is asked for.",
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
        yield untold(case, tuple(lacks), needs)
        return
    yield Fault(
        case.where("money.payments"),
        {"paid": Money(money.paid()), "owed": Money(owed)},
        verdict=Verdict.MISSING,
        lacks=("money.payments",),
    )


@rule(
    id="MON-028",
    says="The payments on record come to {paid}; only {owed} was invoiced.",
    why="What was paid beyond the invoices is the owner's, or a payment stands on record that nobody made.",
    source="Arithmetic over invoices and payments on record",
    owed_by=Party.OFFICE,
    remedy="Compare with the bank and correct the payment; give back what is too much, or record its invoice.",
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
        values = {"paid": Money(money.paid()), "owed": Money(owed)}
        yield Fault(case.where("money.payments"), values)


@rule(
    id="MON-016",
    says="{count} invoices carry the number {number}.",
    why="One invoice typed twice is asked for twice, and paid against neither.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Take out the one that is typed twice, or correct its number.",
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
                {"count": numbers.count(number), "number": number},
            )
