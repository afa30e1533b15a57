"""Shares of coverage against worked examples of both ways of prorating, and what always holds."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.trade.coverage import (
    METHODS,
    MONTH_ROUNDINGS,
    CoveragePart,
    Step,
    share_after_months,
    share_on_day,
)

START = date(2025, 3, 14)
DAY = timedelta(days=1)


TEN_OF_TWENTY_FIVE = CoveragePart("material", 120, 300, "prorated part")


def test_full_pay_runs_to_its_anniversary() -> None:
    last = date(2035, 3, 14)
    assert share_on_day(TEN_OF_TWENTY_FIVE, START, START).stage == "full pay"
    assert share_on_day(TEN_OF_TWENTY_FIVE, START, last).share == 1
    after = share_on_day(TEN_OF_TWENTY_FIVE, START, last + DAY)
    assert (after.share, after.months) == (Fraction(179, 180), 121)


def test_whole_months_only_do_not_stretch_full_pay() -> None:
    part = CoveragePart("material", 120, 300, "whole term", "whole months only")
    after = share_on_day(part, START, date(2035, 3, 15))
    assert (after.share, after.months, after.stage) == (Fraction(60, 100), 120, "prorated")
    assert share_on_day(part, START, date(2035, 4, 13)).share == Fraction(60, 100)
    assert share_on_day(part, START, date(2035, 4, 14)).share == 1 - Fraction(121, 300)


def test_started_month_counts() -> None:
    part = CoveragePart("material", 0, 300, "whole term")
    assert share_on_day(part, START, START).share == 1
    assert share_on_day(part, START, START + DAY).share == Fraction(299, 300)
    assert share_on_day(part, START, date(2025, 4, 14)).share == Fraction(299, 300)
    assert share_on_day(part, START, date(2025, 4, 15)).share == Fraction(298, 300)


def test_before_and_after() -> None:
    early = share_on_day(TEN_OF_TWENTY_FIVE, START, START - DAY)
    assert (early.share, early.stage, early.months) == (0, "not started", None)
    workmanship = CoveragePart("workmanship", 60, 60, "none")
    last = date(2030, 3, 14)
    assert workmanship.last_day(START) == last
    assert share_on_day(workmanship, START, last).share == 1
    over = share_on_day(workmanship, START, last + DAY)
    assert (over.share, over.stage) == (0, "ended")


def test_none_pays_in_full_to_the_end_of_the_term() -> None:
    part = CoveragePart("labour", 0, 120, "none")
    assert share_on_day(part, START, date(2034, 1, 1)).share == 1
    assert share_after_months(part, 120) == 1
    assert share_after_months(part, 121) == 0


STEPS = CoveragePart(
    "material",
    120,
    None,
    "table",
    steps=(Step(120, Fraction(3, 4)), Step(180, Fraction(1, 2)), Step(240, Fraction(1, 4))),
    floor_share=Fraction(3, 10),
)


@pytest.mark.parametrize(
    ("day", "share"),
    [
        (date(2035, 3, 14), 1),
        (date(2035, 3, 15), Fraction(3, 4)),
        (date(2040, 3, 14), Fraction(3, 4)),
        (date(2040, 3, 15), Fraction(1, 2)),
        # The floor holds up the last step, and a lifetime never ends.
        (date(2090, 1, 1), Fraction(3, 10)),
    ],
)
def test_a_stepped_table(day: date, share: Fraction) -> None:
    assert share_on_day(STEPS, START, day).share == share
    assert STEPS.last_day(START) is None


def test_a_lifetime_term_that_prorates_over_forty_years() -> None:
    part = CoveragePart(
        "material",
        120,
        None,
        "prorated part",
        prorates_over_months=480,
        floor_share=Fraction(1, 5),
    )
    assert share_after_months(part, 300) == Fraction(1, 2)
    assert share_after_months(part, 480) == Fraction(1, 5)
    assert share_on_day(part, START, date(2125, 1, 1)).share == Fraction(1, 5)


def test_the_anniversary_rule_moves_the_last_day() -> None:
    part = CoveragePart("workmanship", 12, 12, "none")
    start = date(2024, 2, 29)
    assert share_on_day(part, start, date(2025, 3, 1)).share == 0
    assert share_on_day(part, start, date(2025, 3, 1), "Mar 1").share == 1


def test_working_says_how_the_months_were_counted() -> None:
    share = share_on_day(TEN_OF_TWENTY_FIVE, START, date(2040, 3, 14))
    assert str(share.working.with_numbers) == (
        "180 months (started month counts): 66.67 % over 300 months, full pay 120"
    )


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"full_pay_months": 301}, "shorter than its full-pay period"),
        ({"full_pay_months": -1}, "below zero"),
        ({"floor_share": Fraction(11, 10)}, "outside 0 to 1"),
        ({"term_months": None}, "needs the months it prorates over"),
        ({"prorates_over_months": 60}, "less than its full-pay period"),
        ({"method": "table"}, "steps belong"),
        ({"steps": (Step(120, 1),)}, "steps belong"),
        ({"method": "table", "steps": (Step(60, Fraction(1, 2)),)}, "steps must come later"),
        (
            {"method": "table", "steps": (Step(130, Fraction(1, 2)), Step(140, Fraction(3, 4)))},
            "steps must come later",
        ),
        ({"method": "by feel"}, "method is “by feel”"),
        ({"month_rounding": "nearest"}, "month rounding is"),
    ],
)
def test_terms_that_cannot_hold_are_refused(changes: dict[str, object], fault: str) -> None:
    fields: dict[str, object] = {
        "name": "material",
        "full_pay_months": 120,
        "term_months": 300,
        "method": "prorated part",
    }
    with pytest.raises(ValueError, match=fault):
        CoveragePart(**{**fields, **changes})  # type: ignore[arg-type]


@st.composite
def parts(draw: st.DrawFn) -> CoveragePart:
    """Draw any terms that can hold."""
    full_pay = draw(st.integers(min_value=0, max_value=240))
    method = draw(st.sampled_from(METHODS))
    lifetime = draw(st.booleans())
    term = None if lifetime else draw(st.integers(min_value=max(1, full_pay), max_value=720))
    over = None
    if method in ("whole term", "prorated part") and (lifetime or draw(st.booleans())):
        over = draw(st.integers(min_value=max(1, full_pay), max_value=720))
    steps: tuple[Step, ...] = ()
    if method == "table":
        after = sorted(draw(st.sets(st.integers(full_pay, 720), min_size=1, max_size=5)))
        shares = sorted(
            draw(
                st.lists(
                    st.fractions(min_value=0, max_value=1, max_denominator=100),
                    min_size=len(after),
                    max_size=len(after),
                )
            ),
            reverse=True,
        )
        steps = tuple(Step(n, share) for n, share in zip(after, shares, strict=True))
    return CoveragePart(
        "material",
        full_pay,
        term,
        method,
        draw(st.sampled_from(MONTH_ROUNDINGS)),
        over,
        steps,
        draw(st.fractions(min_value=0, max_value=1, max_denominator=20)),
    )


@given(
    parts(),
    st.dates(min_value=date(2000, 1, 1), max_value=date(2040, 12, 31)),
    st.integers(min_value=0, max_value=25000),
    st.integers(min_value=0, max_value=1000),
    st.sampled_from(["Feb 28", "Mar 1"]),
)
def test_the_share_never_rises_with_time(
    part: CoveragePart, start: date, later: int, more: int, rule: str
) -> None:
    earlier = share_on_day(part, start, start + timedelta(days=later), rule).share
    afterwards = share_on_day(part, start, start + timedelta(days=later + more), rule).share
    assert 0 <= afterwards <= earlier <= 1


@given(parts(), st.integers(min_value=0, max_value=900), st.integers(min_value=0, max_value=60))
def test_the_share_by_months_never_rises(part: CoveragePart, months: int, more: int) -> None:
    assert share_after_months(part, months + more) <= share_after_months(part, months)
