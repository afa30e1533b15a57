"""Things on record that happened on some day, and whose day nobody typed."""

from collections.abc import Iterator

from dossier.assess.calendar import blank_in_payments
from dossier.case.case import Case
from dossier.punchlist import Manner, Party, Sends, Verdict, Weight
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import say
from dossier.words import Source


@rule(
    id="IDN-015",
    says="{what} has no day on record.",
    why="Without its day a ticket cannot be set beside the days of the work, nor an invoice or a payment beside a "
    "deadline.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Read the day off the paper and add it.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.deliveries.*.on": ASKED,
        "job.deliveries.*.source": "Blank means that the goods came on a ticket, which has a day.",
        "job.deliveries.*.ticket": "A ticket without a number is told by its place in the list.",
        "job.money.invoices.*.on": ASKED,
        "job.money.invoices": "MON-006 asks for it.",
        "job.money.payments": "MON-008 asks for it.",
        "job.money.payments.*.on": ASKED,
        "job.money.payments.*.amount": "MON-008 asks for it.",
        "job.money.contract": "MON-002 asks for it.",
        "job.money.change_orders.*.amount": "MON-002 asks for it.",
    },
    examples=[
        Example({"job.deliveries.0.on": None}, finds="Ticket 55120 has no day on record."),
        Example(
            {"job.money.invoices": [{"number": "2026-041", "amount": "15,052.00"}]},
            finds="Invoice 2026-041 has no day on record.",
        ),
        Example(
            {"job.money.payments": [{"amount": "52.00"}, "2026-09-29, 14,900.00"]},
            finds="Payment 1 has no day on record.",
        ),
        Example({"job.deliveries.0.on": None, "job.deliveries.0.source": "own stock"}, finds=None),
        Example({"job.deliveries.0.on": "n/a, brought over some weeks"}, finds=None),
    ],
)
def no_day(case: Case) -> Iterator[Fault]:
    money = case.job.money
    undated = [
        (
            f"deliveries.{n}.on",
            say("Ticket {number}", number=one.ticket)
            if one.ticket
            else say("Delivery {number}", number=n + 1),
        )
        for n, one in enumerate(case.job.deliveries)
        if one.on is None and one.source is Source.TICKET
    ]
    if money is not None:
        undated += [
            (f"money.invoices.{n}.on", say("Invoice {number}", number=one.number or n + 1))
            for n, one in enumerate(money.invoices)
            if one.on is None
        ]
        if not blank_in_payments(money):
            undated += [
                (f"money.payments.{n}.on", say("Payment {number}", number=n + 1))
                for n, one in enumerate(money.payments)
                if one.on is None
            ]
    for path, what in undated:
        if not case.reason_not(path):
            yield Fault(case.where(path), {"what": what}, verdict=Verdict.MISSING, lacks=(path,))
