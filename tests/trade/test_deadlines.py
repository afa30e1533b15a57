"""Deadlines, permits, held-back money and waivers against worked examples."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from dossier.trade.deadlines import (
    check_pamphlet,
    check_permit_gap,
    deadline,
    lead_record_due,
    recoverable_depreciation,
)

COMPLETED = date(2025, 3, 14)


@pytest.mark.parametrize(
    ("days", "due"),
    [
        # General trade practice and date arithmetic, common practice. 60 days also as P60D by
        # ISO 8601-1:2019.
        (30, date(2025, 4, 13)),
        (45, date(2025, 4, 28)),
        (60, date(2025, 5, 13)),
        (90, date(2025, 6, 12)),
    ],
)
def test_deadline(days: int, due: date) -> None:
    assert deadline(COMPLETED, days).due_on == due
    assert deadline(COMPLETED, days, last_day_counts=False).due_on == due - timedelta(days=1)


def test_75_days_after_a_60_day_window_is_late() -> None:
    # General trade practice, common practice.
    registered = COMPLETED + timedelta(days=75)
    assert (registered - deadline(COMPLETED, 60).due_on).days == 15


def test_a_period_below_zero_is_refused() -> None:
    with pytest.raises(ValueError, match="days"):
        deadline(COMPLETED, -1)


@pytest.mark.parametrize(
    ("given_on", "verdict"),
    [
        # 40 CFR 745.84(a): no more than 60 days before the renovation begins, here on 14 March 2025. 13 January is
        # day 60 before it: 18 of January, 28 of February, 14 of March.
        (date(2025, 1, 13), "in time"),
        (date(2025, 1, 12), "too early"),
        (date(2025, 3, 13), "in time"),
        # An acknowledgment is signed “prior to the start”; on the day itself the record does not say the hour.
        (date(2025, 3, 14), "in time"),
        (date(2025, 3, 15), "too late"),
    ],
)
def test_pamphlet(given_on: date, verdict: str) -> None:
    assert check_pamphlet(given_on, COMPLETED) == verdict


@pytest.mark.parametrize(
    ("work", "days", "verdict"),
    [
        # IRC R105.5, looked-up; issued on 10 January 2025.
        (date(2025, 7, 20), 191, "lapsed unless extended"),
        (date(2025, 7, 9), 180, "within limit"),
        (date(2025, 7, 10), 181, "lapsed unless extended"),
        (date(2025, 1, 9), -1, "work came first"),
    ],
)
def test_permit(work: date, days: int, verdict: str) -> None:
    check = check_permit_gap(date(2025, 1, 10), work)
    assert (check.days, check.verdict) == (days, verdict)
    assert check.lapses_after == date(2025, 7, 9)


def test_permit_without_a_first_day_of_work() -> None:
    assert check_permit_gap(date(2025, 1, 10), None).verdict == "cannot tell"


@pytest.mark.parametrize(
    ("invoice", "due"),
    [
        # 40 CFR 745.86(c), looked-up.
        (date(2025, 3, 20), date(2025, 3, 20)),
        (date(2025, 5, 1), date(2025, 4, 13)),
        (None, date(2025, 4, 13)),
    ],
)
def test_lead_record(invoice: date | None, due: date) -> None:
    assert lead_record_due(COMPLETED, invoice).due_on == due


def test_depreciation_that_is_not_recoverable_is_taken_off() -> None:
    release = recoverable_depreciation(
        Decimal(11000), Decimal(11000), Decimal(1500), Decimal(7000), Decimal(1000)
    )
    assert release.amount == 1500
