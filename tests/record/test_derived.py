"""What one field says by way of another: filled in, never over what was typed, and taken out again whole."""

from datetime import date
from decimal import Decimal

import pytest

from dossier import RECORD_VERSION
from dossier.assess.calendar import paid_up_on
from dossier.reading.nodes import parse_tree
from dossier.record.closing import MoneyRecord
from dossier.record.derived import SaidOnce, as_typed, price_of, said_once
from dossier.record.job import Job
from dossier.record.read import job_in
from dossier.record.roof import Repair

REPAIRS = """
repairs:
  - slope: back
    sheets: 2
  - slope: front
    price: 40.00
    approved: Nils Ekdahl, 2026-09-15
  - slope: front
    kind: refastened
money:
  sheet_price: 96.00
"""
ORDER = "  change_orders: 1, deck repairs, approved by Marit Ekdahl on 2026-09-14\n"
PAID = "money:\n  invoices: 7, 2026-09-22, 15,052.00\n  payments:\n"


def typed(text: str) -> tuple[Job, SaidOnce]:
    """Return a job as typed below a head, and as filled in."""
    head = "record: 1\njob:\n  number: a\n  address: b\n  locality: c\n"
    read = job_in(parse_tree((head + text).encode(), "job.yaml"), RECORD_VERSION)
    return read.needed, said_once(read.needed, read.lines)


def test_a_change_order_for_the_deck_repairs_is_their_price_and_their_agreement() -> None:
    job, once = typed(REPAIRS + ORDER)
    assert once.job.money is not None
    # 2 sheets at 96.00 and 40.00; what was only nailed down again costs nothing where nobody says so.
    assert once.job.money.change_orders[0].amount == Decimal("232.00")
    first, second, third = (repair.approved for repair in once.job.repairs)
    assert first is not None
    assert third == first
    assert (first.by, str(first.on)) == ("Marit Ekdahl", "2026-09-14")
    assert second is not None
    assert second.by == "Nils Ekdahl"
    assert once.sources == {
        "repairs.0.approved": ("money.change_orders.0.approved",),
        "repairs.2.approved": ("money.change_orders.0.approved",),
        "money.change_orders.0.amount": tuple(f"repairs.{n}.price" for n in range(3)),
    }
    assert as_typed(once.job, once.sources) == job


@pytest.mark.parametrize(
    ("work", "amount", "agreed"),
    [
        # Nobody agrees to a sum that nobody can know: the deck was opened the day after the order was signed.
        ("2026-09-15, tear-off", "", False),
        ("2026-09-15 to 2026-09-16, deck repair", "", False),
        ("2026-09-14, tear-off", "", True),
        ("2026-09-14, tear-off\n  - 2026-09-15, deck repair", "", True),
        # A sum that somebody typed was there to be agreed to.
        ("2026-09-15, tear-off", "232.00", True),
        ("2026-09-15, clean-up", "", True),
    ],
)
def test_an_order_signed_before_the_deck_was_opened_agrees_to_no_repair(
    work: str, amount: str, agreed: bool
) -> None:
    signed = "approved: {by: Marit Ekdahl, on: 2026-09-14}"
    order = f"  change_orders: {{number: 1, for_deck_repairs: yes, amount: '{amount}', {signed}}}\n"
    _, once = typed(f"{REPAIRS}{order}work:\n  - {work}\n")
    assert (once.job.repairs[0].approved is not None) == agreed
    assert once.job.money is not None
    assert once.job.money.change_orders[0].amount == Decimal("232.00")


@pytest.mark.parametrize(
    "text",
    [
        # Nobody says that the order is for the repairs: it may be for a skylight.
        REPAIRS + "  change_orders: 1, 192.00, approved by Marit Ekdahl on 2026-09-14\n",
        # Two such orders share the price, and nobody says how.
        REPAIRS + "  change_orders:\n    - 1, deck repairs\n    - 2, deck repairs\n",
        # A repair without a price leaves the sum open.
        REPAIRS.replace("    sheets: 2\n", "") + "  change_orders: 1, deck repairs\n",
        "money:\n  change_orders: 1, deck repairs, approved by Marit Ekdahl on 2026-09-14\n",
        # Sheets and board feet: the same wood counted twice, or both; nobody can tell.
        REPAIRS.replace("sheets: 2\n", "sheets: 2\n    board_feet: 10\n")
        + "  board_foot_price: 6.00\n  change_orders: 1, deck repairs\n",
        # In full before an invoice is on record, or twice, or of nothing.
        "money:\n  payments: 2026-09-29, in full\n",
        PAID + "    - 2026-09-28, in full\n    - 2026-09-29, in full\n",
        PAID + "    - 2026-09-28, 15,052.00\n    - 2026-09-29, in full\n",
        PAID + "    - {on: 2026-09-29, in_full: yes, amount: 'n/a, lost'}\n",
        # Before anything was invoiced nothing was open; without its days nobody can tell what was.
        PAID + "    - 2026-09-21, in full\n",
        PAID + "    - in_full: yes\n",
        PAID + "    - amount: 5,000.00\n    - 2026-09-29, in full\n",
        PAID.replace("7, 2026-09-22, 15,052.00", "{number: 7, amount: '15,052.00'}")
        + "    - 2026-09-29, in full\n",
    ],
)
def test_what_does_not_follow_is_left_blank(text: str) -> None:
    job, once = typed(text)
    assert once.job == job
    assert not once.sources


def test_what_was_typed_stays() -> None:
    group = "  change_orders: {number: 1, amount: 200.00, for_deck_repairs: yes}\n"
    _, once = typed(REPAIRS + group)
    assert once.job.money is not None
    assert once.job.money.change_orders[0].amount == Decimal("200.00")
    assert not once.sources


def test_a_payment_in_full_is_what_was_open() -> None:
    job, once = typed(PAID + "    - 2026-08-20, 5,000.00\n    - 2026-09-29, in full, owner\n")
    assert once.job.money is not None
    assert once.job.money.payments[1].amount == Decimal("10052.00")
    assert once.job.money.payments[1].by == "owner"
    assert once.sources == {"money.payments.1.amount": ("money.invoices.0.amount",)}
    assert as_typed(once.job, once.sources) == job


@pytest.mark.parametrize(
    ("repair", "price"),
    [
        # 2 × 96.00; 10 × 6.00; old sheets nailed down again are no new ones; 2.5 × 33.33 is 83.325, half up.
        ({"sheets": "2"}, "192.00"),
        ({"board_feet": "10"}, "60.00"),
        ({"sheets": "2", "board_feet": "10"}, None),
        ({"sheets": "2", "kind": "refastened"}, "0"),
        ({"sheets": "2", "kind": "refastened", "price": "40.00"}, "40.00"),
        ({"sheets": "2.5", "sheet_price": "33.33"}, "83.33"),
    ],
)
def test_the_price_of_a_repair(repair: dict[str, str], price: str | None) -> None:
    agreed = {"board_foot_price": "6.00", "sheet_price": repair.pop("sheet_price", "96.00")}
    found = price_of(Repair.model_validate(repair), MoneyRecord.model_validate(agreed))
    assert found == (None if price is None else Decimal(price))


TWO_INVOICES = """money:
  invoices:
    - 2026-052a, 2026-09-15, 6,000.00
    - 2026-052b, 2026-10-02, 16,306.00, final
  payments:
"""


@pytest.mark.parametrize(
    ("payments", "amount", "paid_on"),
    [
        # By hand: 6,000.00 was open on 18 September; 16,306.00 was invoiced after it, and is owed still.
        ("    - 2026-09-18, in full\n", "6000.00", None),
        (
            "    - 2026-10-09, 16,306.00\n    - 2026-09-18, in full\n",
            "6000.00",
            date(2026, 10, 9),
        ),
        ("    - 2026-10-02, in full\n", "22306.00", date(2026, 10, 2)),
    ],
)
def test_a_payment_in_full_pays_no_invoice_written_after_it(
    payments: str, amount: str, paid_on: date | None
) -> None:
    _, once = typed(TWO_INVOICES + payments)
    assert once.job.money is not None
    [full] = [one for one in once.job.money.payments if one.in_full]
    assert full.amount == Decimal(amount)
    assert paid_up_on(once.job.money) == paid_on


def test_a_reader_without_money_is_without_it_still() -> None:
    _, once = typed(PAID + "    - 2026-09-29, in full\n")
    bare = once.job.model_copy(update={"money": None})
    assert as_typed(bare, once.sources) == bare
    assert once.job.money is not None
    no_rows = once.job.money.model_copy(update={"payments": ()})
    bare = once.job.model_copy(update={"money": no_rows})
    assert as_typed(bare, once.sources) == bare
