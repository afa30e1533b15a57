"""Whose terms hold on a day: chains of sales, notices in time and late, and the fallback."""

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.trade.coverage import CoveragePart
from dossier.trade.owners import (
    OwnerTerms,
    Sale,
    TransferRule,
    notice_due,
    owner_share_on_day,
    standing_on_day,
)

START = date(2025, 3, 14)
FIRST = CoveragePart("material", 600, None, "none")
SECOND = CoveragePart("material", 120, 300, "prorated part")
ONE_TRANSFER = TransferRule(max_transfers=1, notice_days=60)
TERMS = OwnerTerms(FIRST, SECOND, ONE_TRANSFER)
SOLD = date(2031, 6, 1)
DUE = date(2031, 7, 31)
IN_TIME = Sale(SOLD, date(2031, 7, 16))


def test_notice_45_days_after_the_sale_is_in_time() -> None:
    # General trade practice, common practice: a 60-day window, notice after 45, no transfer before.
    assert notice_due(SOLD, ONE_TRANSFER) == DUE
    standing = standing_on_day(TERMS, START, [IN_TIME], date(2032, 1, 1))
    assert (standing.status, standing.part, standing.transfers) == ("in force", SECOND, 1)


def test_the_second_owners_term_counts_from_the_original_date() -> None:
    # 180 months from the first owner's start, whatever the day of the sale.
    got = owner_share_on_day(TERMS, None, True, START, [IN_TIME], date(2040, 3, 14))
    assert got is not None
    assert got.fraction == 1 - Fraction(60, 180)
    end = owner_share_on_day(TERMS, None, True, START, [IN_TIME], date(2050, 3, 15))
    assert end is not None
    assert end.fraction == 0


def test_the_first_owner_until_the_sale() -> None:
    before = standing_on_day(TERMS, START, [IN_TIME], SOLD - timedelta(days=1))
    assert (before.part, before.transfers, before.notice_due_on) == (FIRST, 0, None)


@pytest.mark.parametrize(
    ("notice", "day", "status"),
    [
        (None, SOLD, "notice still open"),
        (None, DUE, "notice still open"),
        (None, DUE + timedelta(days=1), "ended"),
        (DUE, DUE, "in force"),
        (DUE + timedelta(days=1), date(2032, 1, 1), "ended"),
        # On a day before the notice, the notice is not yet known.
        (DUE, SOLD, "notice still open"),
    ],
)
def test_notice_at_its_edges(notice: date | None, day: date, status: str) -> None:
    standing = standing_on_day(TERMS, START, [Sale(SOLD, notice)], day)
    assert standing.status == status
    assert standing.notice_due_on == DUE


def test_a_late_notice_that_the_terms_accept() -> None:
    rule = replace(ONE_TRANSFER, late_notice="counts from notice")
    terms, sale = replace(TERMS, rule=rule), Sale(SOLD, date(2031, 9, 1))
    assert standing_on_day(terms, START, [sale], date(2031, 8, 31)).status == "ended"
    assert standing_on_day(terms, START, [sale], date(2031, 9, 1)).part == SECOND


def test_one_transfer_and_no_more() -> None:
    again = Sale(date(2035, 6, 1), date(2035, 6, 2))
    standing = standing_on_day(TERMS, START, [again, IN_TIME], date(2036, 1, 1))
    assert (standing.status, standing.transfers) == ("ended", 2)
    twice = replace(TERMS, rule=replace(ONE_TRANSFER, max_transfers=2))
    assert standing_on_day(twice, START, [again, IN_TIME], date(2036, 1, 1)).part == SECOND
    never = replace(TERMS, rule=replace(ONE_TRANSFER, max_transfers=0))
    assert standing_on_day(never, START, [IN_TIME], date(2032, 1, 1)).status == "ended"


def test_a_broken_chain_stays_broken() -> None:
    terms = replace(TERMS, rule=replace(ONE_TRANSFER, max_transfers=None))
    sales = [Sale(SOLD, None), Sale(date(2035, 6, 1), date(2035, 6, 2))]
    assert standing_on_day(terms, START, sales, date(2036, 1, 1)).status == "ended"


def test_a_second_sale_while_notice_of_the_first_is_open() -> None:
    terms = replace(TERMS, rule=replace(ONE_TRANSFER, max_transfers=None))
    again = Sale(date(2031, 7, 1), None)
    standing = standing_on_day(terms, START, [Sale(SOLD, None), again], date(2031, 7, 2))
    assert (standing.status, standing.notice_due_on) == ("notice still open", DUE)


def test_spouse_heir_or_own_trust_is_no_sale() -> None:
    to_trust = Sale(SOLD, None, exempt=True)
    standing = standing_on_day(TERMS, START, [to_trust], date(2033, 1, 1))
    assert (standing.part, standing.transfers) == (FIRST, 0)


@pytest.mark.parametrize(
    ("sold", "status"), [(date(2035, 3, 14), "in force"), (date(2035, 3, 15), "ended")]
)
def test_transfer_only_within_the_roofs_age(sold: date, status: str) -> None:
    rule = replace(ONE_TRANSFER, within_roof_age_months=120)
    standing = standing_on_day(replace(TERMS, rule=rule), START, [Sale(sold, sold)], sold)
    assert standing.status == status


def test_terms_without_notice_or_a_later_part() -> None:
    terms = OwnerTerms(FIRST, None, TransferRule(None, None))
    standing = standing_on_day(terms, START, [Sale(SOLD, None)], date(2033, 1, 1))
    assert (standing.status, standing.part, standing.notice_due_on) == ("in force", FIRST, None)


def test_a_sale_before_the_start_is_none() -> None:
    earlier = Sale(START - timedelta(days=10), None)
    assert standing_on_day(TERMS, START, [earlier], SOLD).transfers == 0


def test_the_fallback_without_registration() -> None:
    fallback = OwnerTerms(SECOND, None, ONE_TRANSFER)
    day = date(2040, 3, 14)
    got = owner_share_on_day(TERMS, fallback, False, START, [], day)
    assert got is not None
    assert got.fraction == Fraction(2, 3)
    registered = owner_share_on_day(TERMS, fallback, True, START, [], day)
    assert registered is not None
    assert registered.fraction == 1
    assert owner_share_on_day(TERMS, None, False, START, [], day) is None


@given(
    st.integers(min_value=0, max_value=12000),
    st.integers(min_value=0, max_value=500),
    st.one_of(st.none(), st.integers(min_value=0, max_value=120)),
    st.integers(min_value=0, max_value=2000),
)
def test_percent_never_rises_for_one_owner(
    sold_after: int, later: int, notice_after: int | None, more: int
) -> None:
    sold = START + timedelta(days=sold_after)
    notice = None if notice_after is None else sold + timedelta(days=notice_after)
    sales = [Sale(sold, notice)]
    one, other = sold + timedelta(days=later), sold + timedelta(days=later + more)
    first = owner_share_on_day(TERMS, None, True, START, sales, one)
    second = owner_share_on_day(TERMS, None, True, START, sales, other)
    assert first is not None
    assert second is not None
    assert second.fraction <= first.fraction
