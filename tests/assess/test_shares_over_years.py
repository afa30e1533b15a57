"""What a part of a coverage pays as years go by, against shares worked out by hand from its printed terms."""

from fractions import Fraction
from typing import Any

import pytest

from dossier.assess.shares import course, falling, shares_at
from dossier.terms.coverage import Part

F = Fraction


def part(**fields: Any) -> Part:
    return Part.model_validate({"part": "material", **fields})


WHOLE = part(
    full_pay_years=F(25), lifetime=True, method="whole term", proration_years=F(50), floor=F(1, 5)
)
"""In full for 25 years, then as if all fell evenly over 50, never below a fifth."""
PRORATED = part(full_pay_years=F(10), term_years=F(20), method="prorated part")
"""In full for 10 years, then evenly to nothing at 20."""
FULL = part(full_pay_years=F(25), term_years=F(25), method="none")


@pytest.mark.parametrize(
    ("one", "year", "share"),
    [
        (WHOLE, 25, F(1)),
        # 26 of 50 years are gone.
        (WHOLE, 26, F(24, 50)),
        (WHOLE, 30, F(2, 5)),
        (WHOLE, 40, F(1, 5)),
        (WHOLE, 60, F(1, 5)),
        (PRORATED, 10, F(1)),
        # Half of the ten years in which it falls.
        (PRORATED, 15, F(1, 2)),
        (PRORATED, 20, F(0)),
        (FULL, 25, F(1)),
    ],
)
def test_the_share_on_an_anniversary(one: Part, year: int, share: Fraction) -> None:
    assert shares_at(one, (year,)) == ((year, share),)


def test_how_a_part_falls_over_its_whole_term() -> None:
    found = falling(WHOLE)
    assert found is not None
    # The day after 25 years is in month 301 of 600.
    assert found.drops_to == F(299, 600)
    assert (found.floor, found.floor_years, found.ends_at_years) == (F(1, 5), F(40), None)
    assert found.samples == ((30, F(2, 5)),)


def test_a_part_that_pays_in_full_to_its_end_does_not_fall() -> None:
    assert falling(FULL) is None


def test_the_corners_of_the_line() -> None:
    # Full to month 120; the day after counts as month 121 of 120 to 240: 119/120; nothing at 240.
    assert course(PRORATED, 600) == ((0, F(1)), (120, F(1)), (120, F(119, 120)), (240, F(0)))
    assert course(FULL, 600) == ((0, F(1)), (300, F(1)))
    # Cut off at the edge of the page, before it falls.
    assert course(PRORATED, 60) == ((0, F(1)), (60, F(1)))
