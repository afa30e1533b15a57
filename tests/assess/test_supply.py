"""What each role needs and what came, on the known-good job and beside it, worked out by hand."""

from fractions import Fraction

import pytest

from dossier.assess.results import RoleResult
from dossier.assess.supply import lot_check, waste_share
from dossier.words import Role
from tests.known_good import known_good

FIELD = "job.deliveries.0.lines.0"


def of(role_: Role, edits: dict[str, object]) -> RoleResult:
    result = known_good(edits).assessment.role(role_)
    assert result is not None
    return result


@pytest.mark.parametrize(
    ("one", "need", "supplied", "verdict"),
    [
        # 2 x 40 x 14 = 1,120 sq ft in plan; x sqrt(1.25) = 1,252.2. 42 bundles of 33.3 sq ft.
        (Role.FIELD_SHINGLE, "1252.2", "1398.6", "plausible"),
        # Eaves 80 ft and rakes 62.6 ft; 2 bundles of 105 ft.
        (Role.STARTER, "142.6", "210", "plausible"),
        (Role.HIP_AND_RIDGE, "40", "50", "plausible"),
        # Two courses along 80 ft; 3 rolls of 66.7 ft.
        (Role.ICE_BARRIER, "160", "200.1", "plausible"),
        # Two courses of 36 in lapped 4 in cover 68 in: 80 x 68/12 = 453.3 sq ft of 1,252.2; 2 rolls less 1.
        (Role.UNDERLAYMENT, "798.9", "1000", "plausible"),
    ],
)
def test_the_known_good_job(one: Role, need: str, supplied: str, verdict: str) -> None:
    result = of(one, {})
    assert abs(result.need.at_zero_waste - Fraction(need)) < Fraction(1, 20)
    assert result.take_off.supplied == Fraction(supplied)
    assert result.take_off.verdict == verdict


@pytest.mark.parametrize(
    ("bundles", "verdict"),
    [
        # At zero waste 37.6 bundles; 2 % tolerance leaves 36.85; 5 % more is 38.69; 10 % waste takes 42.
        (36, "short"),
        (37, "tight"),
        (38, "tight"),
        (39, "plausible"),
        (42, "plausible"),
        (43, "over"),
    ],
)
def test_bundles_of_the_known_good_roof(bundles: int, verdict: str) -> None:
    line = f"{bundles} bundles Fenwright 40, colour Slate Grey, lot 1 x {bundles}"
    assert of(Role.FIELD_SHINGLE, {FIELD: line}).take_off.verdict == verdict


def test_a_tight_count_with_goods_off_the_truck_is_plausible() -> None:
    stock = {"source": "own stock", "lines": "1 bundles Fenwright 40, colour Slate Grey, lot 2 x 1"}
    line = "37 bundles Fenwright 40, colour Slate Grey, lot 1 x 37"
    edits = {FIELD: line, "job.deliveries.2": stock}
    assert of(Role.FIELD_SHINGLE, edits).take_off.verdict == "plausible"


def test_the_share_of_waste() -> None:
    # 1,398.6 / 1,252.198 = 1.1169.
    share = waste_share(of(Role.FIELD_SHINGLE, {}))
    assert share is not None
    assert abs(share - Fraction("0.1169")) < Fraction(1, 10_000)


def test_what_all_went_back_supplies_nothing() -> None:
    known = known_good({"job.deliveries.0.lines.3": "2 rolls Dryfell underlayment, returned 2"})
    assert known.case.materials_of(Role.UNDERLAYMENT) == ()
    result = known.assessment.role(Role.UNDERLAYMENT)
    assert result is not None
    assert (result.take_off.verdict, result.materials) == ("cannot tell", ())


def test_woven_valleys_take_more_before_a_count_is_over() -> None:
    # 48 ft of woven valley: three bundles more, 100 sq ft (trade magazine estimating guide).
    back = "back, faces N, 6:12, plan 40 ft x 14 ft, eave 40 ft, rakes 31.3 ft, valleys 48 ft"

    def upper(method: str) -> Fraction:
        edits = {"job.slopes.1": back, "job.installation.valley_method": method}
        return of(Role.FIELD_SHINGLE, edits).need.upper

    assert upper("woven") - upper("closed cut") == 100


@pytest.mark.parametrize(
    ("lots", "known", "without", "beyond"),
    [
        ("lots 1 x 30; 2 x 12", 42, 0, 0),
        ("lots 1 x 30; 2 x 10", 40, 2, 0),
        ("lots 1 x 30; 2 x 13", 43, 0, 1),
        ("lots 1 x 30; 2", 30, 0, 0),
        ("lots 1 x 60; 2", 60, 0, 18),
    ],
)
def test_lots_against_what_came(lots: str, known: int, without: int, beyond: int) -> None:
    job = known_good({FIELD: f"42 bundles Fenwright 40, colour Slate Grey, {lots}"})
    check = lot_check(job.case.materials[0])
    assert check is not None
    assert (check.known, check.without_lot, check.beyond_count) == (known, without, beyond)


def test_a_line_without_lots_has_nothing_to_compare() -> None:
    assert lot_check(known_good().case.materials[3]) is None
