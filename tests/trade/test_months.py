"""Calendar months against python-dateutil, which did not grow from this code."""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import example, given
from hypothesis import strategies as st

from dossier.trade.months import add_months, started_months, whole_months

days = st.dates(min_value=date(1950, 1, 1), max_value=date(2150, 12, 31))
month_counts = st.integers(min_value=-600, max_value=1200)


@given(days, month_counts)
@example(date(2024, 2, 29), 12)
@example(date(2025, 1, 31), 1)
@example(date(2025, 8, 31), 6)
@example(date(2024, 12, 31), 2)
def test_add_months_agrees_with_dateutil(start: date, months: int) -> None:
    assert add_months(start, months) == start + relativedelta(months=months)


@given(days, st.integers(min_value=0, max_value=40000))
@example(date(2025, 1, 31), 28)
@example(date(2024, 2, 29), 365)
def test_whole_months_agree_with_dateutil(start: date, later: int) -> None:
    day = start + timedelta(days=later)
    gone = relativedelta(day, start)
    assert whole_months(start, day) == gone.years * 12 + gone.months
    begun = gone.years * 12 + gone.months + (gone.days > 0)
    assert started_months(start, day) == begun


def test_anniversary_of_29_february() -> None:
    # General trade practice, date arithmetic: choose a rule and state it.
    assert add_months(date(2024, 2, 29), 12) == date(2025, 2, 28)
    assert add_months(date(2024, 2, 29), 12, "Mar 1") == date(2025, 3, 1)
    assert add_months(date(2024, 2, 29), 48, "Mar 1") == date(2028, 2, 29)
    # The rule is about that one day; a month's end elsewhere still shortens.
    assert add_months(date(2025, 1, 31), 1, "Mar 1") == date(2025, 2, 28)


def test_whole_months_follow_the_anniversary_rule() -> None:
    start = date(2024, 2, 29)
    assert whole_months(start, date(2025, 2, 28)) == 12
    assert whole_months(start, date(2025, 2, 28), "Mar 1") == 11
    assert whole_months(start, date(2025, 3, 1), "Mar 1") == 12
    assert started_months(start, date(2025, 2, 28), "Mar 1") == 12


@given(days, st.integers(0, 20000), st.integers(0, 400), st.sampled_from(["Feb 28", "Mar 1"]))
def test_months_never_run_backwards(start: date, later: int, more: int, rule: str) -> None:
    one, other = start + timedelta(days=later), start + timedelta(days=later + more)
    assert whole_months(start, one, rule) <= whole_months(start, other, rule)
    assert started_months(start, one, rule) <= started_months(start, other, rule)
    assert 0 <= started_months(start, one, rule) - whole_months(start, one, rule) <= 1


def test_the_start_itself() -> None:
    start = date(2025, 3, 14)
    assert (whole_months(start, start), started_months(start, start)) == (0, 0)
    assert started_months(start, date(2025, 3, 15)) == 1
    assert started_months(start, date(2025, 4, 14)) == 1
    assert started_months(start, date(2025, 4, 15)) == 2


def test_a_day_before_the_start_is_refused() -> None:
    with pytest.raises(ValueError, match="before"):
        whole_months(date(2025, 3, 14), date(2025, 3, 13))


def test_an_unknown_rule_is_refused() -> None:
    with pytest.raises(ValueError, match="anniversary rule"):
        add_months(date(2024, 2, 29), 12, "Feb 29")


def test_beyond_the_calendar_is_refused() -> None:
    with pytest.raises(ValueError, match="years 1 to 9999"):
        add_months(date(9999, 1, 1), 12)
