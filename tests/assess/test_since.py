"""A closing put right is one sale, with all that was told of it."""

from datetime import date

from dossier.assess.since import sales_of, told_sales
from dossier.record.entry import Buyer, Entry, Sale
from dossier.words import EntryKind, OwnerKind

WRONG, RIGHT = date(2033, 7, 17), date(2033, 6, 17)


def sold(**told: object) -> Entry:
    sale = Sale.model_validate(
        {name: str(value) for name, value in told.items() if name != "buyer"}
    )
    if "buyer" in told:
        sale = sale.model_copy(update={"buyer": Buyer.model_validate(told["buyer"])})
    return Entry.model_construct(kind=EntryKind.SOLD, on=sale.closing_on, sale=sale)


def test_a_corrected_closing_takes_what_was_told_of_it_along() -> None:
    entries = (
        sold(closing_on=WRONG, buyer={"name": "Tore Lindahl", "kind": "company"}),
        sold(closing_on=WRONG, notice_sent_on="2033-06-20"),
        sold(closing_on=RIGHT, corrects=WRONG, buyer={"phone": "555-0177"}),
        sold(closing_on=RIGHT, notice_received_on="2033-06-24", in_family="no"),
    )
    (sale,) = sales_of(entries)
    assert sale.closing_on == RIGHT
    assert sale.notice_sent_on == date(2033, 6, 20)
    assert sale.notice_received_on == date(2033, 6, 24)
    assert sale.buyer_kind is OwnerKind.COMPANY
    buyer = told_sales(entries)[RIGHT].buyer
    assert buyer is not None
    assert (buyer.name, buyer.phone) == ("Tore Lindahl", "555-0177")


def test_a_correction_of_a_day_that_nobody_told_is_a_sale_of_its_own() -> None:
    found = sales_of((sold(closing_on=WRONG), sold(closing_on=RIGHT, corrects="2033-01-01")))
    assert [sale.closing_on for sale in found] == [RIGHT, WRONG]
