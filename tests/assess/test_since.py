"""A closing put right is one sale, with all that was told of it."""

from datetime import date

from dossier.assess.since import noted_since, sales_of, told_sales
from dossier.record.entry import Buyer, Claim, Entry, LaterWork, Sale
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


def test_a_later_word_on_a_sale_puts_right_what_it_says_and_keeps_the_rest() -> None:
    papers = ("files/deed.pdf",)
    first = Sale(closing_on=RIGHT, notice_sent_on=date(2033, 6, 20), papers=papers, in_family=True)
    later = Sale(closing_on=RIGHT, notice_sent_on=date(2033, 6, 21), in_family=False)
    entries = [
        Entry.model_construct(kind=EntryKind.SOLD, on=RIGHT, sale=sale) for sale in (first, later)
    ]
    sale = told_sales(entries)[RIGHT]
    assert sale.notice_sent_on == date(2033, 6, 21)
    # “no” is an answer; a list that names nothing is none.
    assert sale.in_family is False
    assert sale.papers == papers


# What was noted on the roof.

DAY = date(2035, 5, 1)


def noted(*entries: Entry, claim: str | None = None) -> list[tuple[date, str]]:
    return [
        (one.on, str(one.text) if one.text else "")
        for one in noted_since(entries, DAY, ("back",), claim)
    ]


def work(on: date = DAY, **told: str) -> Entry:
    return Entry.model_construct(
        kind=EntryKind.WORK_BY_OTHERS, on=on, work=LaterWork.model_validate(told)
    )


def test_work_up_to_the_very_day_on_the_slope_or_on_no_slope_by_name() -> None:
    dish = work(what="a dish mounted", slope="back", by="somebody")
    assert noted(dish) == [(DAY, "a dish mounted, slope back, by somebody")]
    assert noted(work(what="a dish mounted")) == [(DAY, "a dish mounted, slope not on record")]
    assert noted(work(slope="back")) == [(DAY, "what was done is not on record, slope back")]
    assert noted(work(what="a dish mounted", slope="front")) == []
    assert noted(work(date(2035, 5, 2), what="a dish mounted", slope="back")) == []


def test_earlier_claims_are_noted_and_the_one_asked_about_is_not() -> None:
    one, two = (
        Entry.model_construct(
            kind=EntryKind.CLAIM,
            on=date(2034, 1, number),
            claim=Claim.model_validate({"number": f"C-{number}", "seen": "a brown ring"}),
        )
        for number in (1, 2)
    )
    # Oldest first, in whatever order they are given.
    assert [on.day for on, _ in noted(two, one)] == [1, 2]
    assert [on.day for on, _ in noted(two, one, claim="C-2")] == [1]
    assert noted(one) == [(date(2034, 1, 1), "a brown ring")]
    nameless = Entry.model_construct(
        kind=EntryKind.CLAIM, on=DAY, claim=Claim.model_validate({"seen": "a drip"})
    )
    assert noted(nameless, claim="C-2") == [(DAY, "a drip")]
    assert noted(nameless) == [(DAY, "a drip")]
