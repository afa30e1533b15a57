"""Areas that take-offs rest on: a second layer of underlayment, and barrier no larger than its slope."""

from fractions import Fraction

from dossier.words import Role
from tests.known_good import Known, known_good


def need(known: Known, role: Role) -> Fraction:
    result = known.assessment.role(role)
    assert result is not None
    return Fraction(result.need.at_zero_waste)


def test_low_slopes_take_two_layers_of_underlayment() -> None:
    # 40 ft x 15 ft twice, measured: 1,200 sq ft. Barrier 36 in along 40 ft twice: 240 sq ft. IRC R905.2.2: below
    # 4:12 two layers.
    slope = {"area_sqft": "600", "eave_ft": "40", "rake_ft": "30"}

    def roof(pitch: str) -> Known:
        return known_good(
            {
                "job.slopes": [
                    {**slope, "label": "front", "pitch": pitch},
                    {**slope, "label": "back", "pitch": pitch},
                ],
                "job.installation.ice_barrier_courses": "1",
                "job.installation.ice_barrier_reach_in": "36",
            }
        )

    assert need(roof("6:12"), Role.UNDERLAYMENT) == 1200 - 240
    assert need(roof("3:12"), Role.UNDERLAYMENT) == 2 * (1200 - 240)


def test_barrier_covers_no_more_of_a_slope_than_there_is() -> None:
    # A porch 40 ft long and 4 ft deep: 160 sq ft. Two courses, 68 in, would be 226.7 sq ft of a deck 48 in long.
    porch = {"label": "back", "pitch": "6:12", "area_sqft": "160", "eave_ft": "40", "rake_ft": "8"}
    front = {
        "label": "front",
        "pitch": "6:12",
        "area_sqft": "600",
        "eave_ft": "40",
        "rake_ft": "30",
    }
    known = known_good({"job.slopes": [front, porch], "job.installation.ice_barrier_courses": "2"})
    # The front's two courses: 40 ft x 68 in = 226.67 sq ft; the porch is covered whole.
    assert need(known, Role.UNDERLAYMENT) == 760 - 160 - Fraction(40 * 68, 12)
