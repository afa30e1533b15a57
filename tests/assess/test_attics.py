"""What of an attic's vents lies high and low, against the code's figures worked out by hand."""

from fractions import Fraction

import pytest

from dossier.assess.attics import high_and_low
from tests.known_good import known_good


@pytest.mark.parametrize(
    ("intake", "low"),
    [
        ("76 ft Strip soffit vent", ["Strip soffit vent"]),
        ("2 Gable louvre, 60 sq in each", []),
        ("36 ft Highdraft ridge vent", []),
        ("6 Box vent, 50 sq in each", []),
        ("6 Eave box vent, 50 sq in each", ["Eave box vent"]),
        (
            {"product": "Gable louvre", "count": "2", "net_free_area_sqin": "60", "low": "yes"},
            ["Gable louvre"],
        ),
        ("40 ft Drip-edge vent, 9 sq in each", ["Drip-edge vent"]),
    ],
)
def test_what_lies_high_is_no_intake(intake: object, low: list[str]) -> None:
    case = known_good({"job.building.attics.0.intake": intake}).case
    assert case.job.building is not None
    assert [vent.product for vent in high_and_low(case, case.job.building.attics[0])[1]] == low


def test_a_gable_vent_typed_as_intake_counts_as_exhaust() -> None:
    # 36 ft at 18 sq in, and 2 at 60: 648 + 120 = 768 high, nothing low.
    known = known_good({"job.building.attics.0.intake": "2 Gable louvre, 60 sq in each"})
    (check,) = known.assessment.attics
    assert (check.exhaust_sqin, check.intake_sqin, check.verdict) == (768, 0, "short")
    # 988 sq ft x 144 / 150.
    assert (check.ratio, check.required_sqin) == (150, Fraction(988 * 144, 150))


@pytest.mark.parametrize(("drop", "ratio"), [("3", 300), ("4", 150)])
def test_high_vents_far_below_the_ridge_bar_1_300(drop: str, ratio: int) -> None:
    # IRC R806.2, from memory: the high vents no more than 3 ft below the highest point.
    (check,) = known_good({"job.building.attics.0.upper_drop_ft": drop}).assessment.attics
    assert check.ratio == ratio
