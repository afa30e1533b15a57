"""What a part pays as the years go by, against worked examples of both ways of prorating.

Judges: general trade practice (A: 1 - t/T, B: 1 - (t - N)/(T - N), all of it while t <= N); 300 months, 120 in
full: after 180 months 40 % by A and two thirds by B. Common practice, no published
source. The words made of these figures are judged in
`compose/test_falling_shares.py`.
"""

from fractions import Fraction

import pytest

from dossier.assess.shares import course, falling, shares_at
from dossier.terms.coverage import Part, TableStep
from dossier.words import CoveragePart, MonthRounding, Proration


def part(full: int, term: int | None, method: Proration, **given: object) -> Part:
    return Part.model_validate(
        {
            "part": CoveragePart.MATERIAL,
            "full_pay_years": Fraction(full),
            "term_years": None if term is None else Fraction(term),
            "lifetime": term is None,
            "method": method,
            **given,
        }
    )


TABLE = (
    TableStep(after_years=15, share=Fraction(4, 5)),
    TableStep(after_years=20, share=Fraction(3, 5)),
)


@pytest.mark.parametrize(
    ("method", "at_15"),
    [(Proration.WHOLE_TERM, Fraction(2, 5)), (Proration.PRORATED_PART, Fraction(2, 3))],
)
def test_both_ways_at_fifteen_of_twenty_five_years(method: Proration, at_15: Fraction) -> None:
    one = part(10, 25, method)
    assert shares_at(one, (0, 10, 15, 25, 26)) == (
        *((0, Fraction(1)), (10, Fraction(1)), (15, at_15), (25, Fraction(0)), (26, Fraction(0))),
    )


def test_a_part_falls_on_the_day_after_full_pay() -> None:
    """A started month counts: by A 1 - 121/300, by B 1 - 1/180."""
    for method, drop in (
        (Proration.WHOLE_TERM, 1 - Fraction(121, 300)),
        (Proration.PRORATED_PART, 1 - Fraction(1, 180)),
    ):
        fall = falling(part(10, 25, method))
        assert fall is not None
        assert (fall.drops_to, fall.floor, fall.floor_years) == (drop, 0, None)
        assert fall.ends_at_years == 25


def test_the_floor_holds_from_the_month_in_which_the_share_comes_down_to_it() -> None:
    """1 - t/300 = 30 % at t = 210 months: 17 1/2 years. Full pay of 20 years is past it: from its first month."""
    fall = falling(part(10, 25, Proration.WHOLE_TERM, floor=Fraction(3, 10)))
    assert fall is not None
    assert fall.floor_years == Fraction(35, 2)
    past = falling(part(20, 25, Proration.WHOLE_TERM, floor=Fraction(3, 10)))
    assert past is not None
    assert past.floor_years == Fraction(241, 12)
    # 1 - (t - 120)/180 = 30 % at t = 246.
    later = falling(part(10, 25, Proration.PRORATED_PART, floor=Fraction(3, 10)))
    assert later is not None
    assert later.floor_years == Fraction(246, 12)


def test_samples_lie_between_full_pay_and_the_floor() -> None:
    """Of 10, 20, 30 years only 20 lies between full pay of 10 and the floor of 20 % at 32 of 40 years… and 30."""
    fall = falling(part(10, 40, Proration.WHOLE_TERM, floor=Fraction(1, 5)))
    assert fall is not None
    assert fall.samples == ((20, Fraction(1, 2)), (30, Fraction(1, 4)))
    # From the tenth year in full to the floor of one half in year 20: 15 alone lies between.
    half = falling(part(10, 40, Proration.WHOLE_TERM, floor=Fraction(1, 2)))
    assert half is not None
    assert half.samples == ((15, Fraction(5, 8)),)


@pytest.mark.parametrize(
    "one",
    [
        part(10, 25, Proration.NONE),
        part(10, 30, Proration.TABLE, table=TABLE),
        # All of it is paid to its last day: no day is left on which it could fall.
        part(25, 25, Proration.WHOLE_TERM),
    ],
)
def test_what_does_not_fall_month_by_month(one: Part) -> None:
    assert falling(one) is None


def test_the_course_of_a_falling_part() -> None:
    """Full to month 120; the step to 1 - 1/180 that the started month makes; even to nothing in month 300."""
    assert course(part(10, 25, Proration.PRORATED_PART), 480) == (
        *((0, Fraction(1)), (120, Fraction(1)), (120, Fraction(179, 180)), (300, Fraction(0))),
    )
    # Where only whole months count, none has gone by on the day after: 1 - 120/300.
    whole = part(10, 25, Proration.WHOLE_TERM, rounding=MonthRounding.WHOLE)
    assert course(whole, 480)[2] == (120, Fraction(3, 5))


def test_the_course_turns_at_its_floor_and_at_the_end_of_its_fall() -> None:
    """40 years of fall under a lifetime: 20 % in month 384, and so for good."""
    one = part(
        *(10, None, Proration.WHOLE_TERM), proration_years=Fraction(40), floor=Fraction(1, 5)
    )
    assert course(one, 600) == (
        (0, Fraction(1)),
        (120, Fraction(1)),
        (120, 1 - Fraction(121, 480)),
        (384, Fraction(1, 5)),
        (480, Fraction(1, 5)),
        (600, Fraction(1, 5)),
    )
    # Cut off before the floor: the last corner is where the axis ends, 1 - 240/480.
    assert course(one, 240)[-1] == (240, Fraction(1, 2))
    assert [months for months, _ in course(one, 240)] == [0, 120, 120, 240]


def test_the_course_of_what_pays_in_full_and_of_a_table() -> None:
    assert course(part(0, 10, Proration.NONE), 480) == ((0, Fraction(1)), (120, Fraction(1)))
    assert course(part(10, 25, Proration.WHOLE_TERM), 60) == ((0, Fraction(1)), (60, Fraction(1)))
    steps = course(part(15, 30, Proration.TABLE, table=TABLE), 480)
    assert steps == (
        *((0, Fraction(1)), (180, Fraction(1))),
        *((180, Fraction(1)), (180, Fraction(4, 5))),
        *((240, Fraction(4, 5)), (240, Fraction(3, 5))),
        (360, Fraction(3, 5)),
    )
    assert course(part(15, 30, Proration.TABLE, table=TABLE), 240)[-1] == (240, Fraction(4, 5))
