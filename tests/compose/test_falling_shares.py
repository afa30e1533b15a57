"""Shares told in words against the worked figures of coverage proration, recomputed by hand."""

from fractions import Fraction

import pytest

from dossier.assess.shares import falling, shares_at
from dossier.terms.coverage import Part
from dossier.words import CoveragePart, MonthRounding, Proration


def part(**given: object) -> Part:
    """Return a material part; what is not given is the shape's default."""
    plain: dict[str, object] = {"part": CoveragePart.MATERIAL, "full_pay_years": Fraction(10)}
    return Part.model_validate({**plain, **given})


def test_a_whole_term_drops_and_comes_to_its_floor() -> None:
    """40 years, full pay 10, floor 20 %: on the day after, 121 months have begun, 1 - 121/480."""
    fall = falling(
        part(
            lifetime=True,
            method=Proration.WHOLE_TERM,
            proration_years=Fraction(40),
            floor=Fraction(1, 5),
        )
    )
    assert fall is not None
    assert fall.drops_to == 1 - Fraction(121, 480)
    assert fall.samples == ((20, Fraction(1, 2)), (30, Fraction(1, 4)))
    assert fall.floor_years == 32
    assert fall.ends_at_years is None


def test_whole_months_count_only_once_they_are_over() -> None:
    fall = falling(
        part(
            term_years=Fraction(40),
            method=Proration.WHOLE_TERM,
            rounding=MonthRounding.WHOLE,
        )
    )
    assert fall is not None
    assert fall.drops_to == 1 - Fraction(120, 480)
    assert fall.floor_years is None


def test_a_floor_above_the_drop_makes_the_share_constant() -> None:
    """60 years, full pay 50: 1 - 601/720 is below 20 %, so that 20 % follows at once."""
    fall = falling(
        part(
            full_pay_years=Fraction(50),
            lifetime=True,
            method=Proration.WHOLE_TERM,
            proration_years=Fraction(60),
            floor=Fraction(1, 5),
        )
    )
    assert fall is not None
    assert fall.drops_to == fall.floor == Fraction(1, 5)
    assert fall.samples == ()


@pytest.mark.parametrize(
    ("full", "term", "samples"),
    [
        # 5 to 15 years: half at year 10. 20 to 25: nothing round between, so the middle, 3/5 at year 22.
        (5, 15, ((10, Fraction(1, 2)),)),
        (20, 25, ((22, Fraction(3, 5)),)),
        (5, 55, ((10, Fraction(9, 10)), (30, Fraction(1, 2)), (50, Fraction(1, 10)))),
    ],
)
def test_a_prorated_part_at_round_years(
    full: int, term: int, samples: tuple[tuple[int, Fraction], ...]
) -> None:
    fall = falling(
        part(
            full_pay_years=Fraction(full),
            term_years=Fraction(term),
            method=Proration.PRORATED_PART,
        )
    )
    assert fall is not None
    assert fall.samples == samples
    assert fall.ends_at_years == term


def test_a_part_that_pays_in_full_does_not_fall() -> None:
    assert falling(part(term_years=Fraction(10))) is None
    assert shares_at(part(term_years=Fraction(10)), (0, 10, 11)) == (
        (0, Fraction(1)),
        (10, Fraction(1)),
        (11, Fraction(0)),
    )
