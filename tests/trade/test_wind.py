"""Wind classes and speeds against worked examples of the code's table and equation."""

from fractions import Fraction

import pytest

from dossier.trade.wind import (
    D3161_FAN_MPH,
    WIND_TABLE,
    check_class,
    check_high_wind,
    least_pull_through_lb,
    standard_conditions,
    vasd_from_vult,
    vult_from_vasd,
)

from .published import as_printed


@pytest.mark.parametrize(
    ("vult", "test", "wind_class", "verdict", "row"),
    [
        # IRC 2015/2018/2021/2024 Table R905.2.4.1, from memory.
        (115, "D7158", "D", "enough", 116),
        (120, "D7158", "D", "too low", 129),
        (155, "D7158", "G", "enough", 155),
        (160, "D7158", "G", "too low", 168),
        (130, "D3161", "D", "too low", 142),
        # Between rows and on them.
        (116, "D7158", "D", "enough", 116),
        (Fraction(1161, 10), "D7158", "D", "too low", 129),
        (194, "D7158", "H", "enough", 194),
        (129, "D3161", "A", "enough", 129),
    ],
)
def test_class(vult: Fraction, test: str, wind_class: str, verdict: str, row: int) -> None:
    check = check_class(vult, test, wind_class)
    assert check.row is not None
    assert (check.verdict, check.row.vult_mph) == (verdict, row)


def test_above_the_table() -> None:
    # IRC Table R905.2.4.1 ends at 194 mph, from memory.
    check = check_class(195, "D7158", "H")
    assert (check.verdict, check.needs) == ("outside table", ("engineered or maker's evidence",))


def test_missing_figures_are_named() -> None:
    check = check_class(115, None, None)
    assert check.verdict == "cannot tell"
    assert check.needs == ("wind test on the wrapper", "wind class on the wrapper")
    assert check_class(None, "D7158", "D").needs == ("design wind speed",)


def test_class_ceilings_agree_with_the_association() -> None:
    # Shingle industry association on ASTM D7158, looked-up: D to 116, G to 155, H to 194 mph Vult.
    ceilings = {
        letter: max(row.vult_mph for row in WIND_TABLE if letter in row.d7158) for letter in "DGH"
    }
    assert ceilings == {"D": 116, "G": 155, "H": 194}


@pytest.mark.parametrize(
    ("vult", "vasd"),
    [
        # IBC 1609.3.1, equation 16-33 (2015/2018); IRC Table R301.2.1.3; looked-up.
        (110, "85.21"),
        (115, "89.08"),
        (116, "89.85"),
        (120, "92.95"),
        (129, "99.92"),
        (130, "100.70"),
        (140, "108.44"),
        (142, "109.99"),
        (150, "116.19"),
        (155, "120.06"),
        (160, "123.94"),
        (168, "130.13"),
        (170, "131.68"),
        (180, "139.43"),
        (181, "140.20"),
        (190, "147.17"),
        (194, "150.27"),
        (200, "154.92"),
    ],
)
def test_nominal_speed(vult: int, vasd: str) -> None:
    assert as_printed(vasd_from_vult(vult), vasd)
    assert abs(vult_from_vasd(vasd_from_vult(vult)) - vult) < Fraction(1, 10**20)


def test_ultimate_speed() -> None:
    # IBC 1609.3.1, equation 16-33; looked-up.
    assert as_printed(vult_from_vasd(90), "116.2")


def test_the_two_columns_of_the_table_agree() -> None:
    # The table's nominal column is the ultimate one by equation 16-33, to the nearest mile.
    for row in WIND_TABLE:
        assert as_printed(vasd_from_vult(row.vult_mph), str(row.vasd_mph))


@pytest.mark.parametrize(
    ("exposure", "height", "crest", "verdict"),
    [
        # ASTM D7158/D7158M-24a, section 6.3, looked-up.
        ("C", 25, False, "standard"),
        ("D", 25, False, "outside"),
        ("B", 60, False, "standard"),
        ("B", 61, False, "outside"),
        ("C", 25, True, "outside"),
        ("C", 25, None, "cannot tell"),
        (None, 25, False, "cannot tell"),
        # One thing outside settles it, whatever is missing.
        ("D", None, None, "outside"),
    ],
)
def test_standard_conditions(
    exposure: str | None, height: int | None, crest: bool | None, verdict: str
) -> None:
    assert standard_conditions(exposure, height, crest).verdict == verdict


def test_fan_speeds() -> None:
    # ASTM D3161, looked-up.
    assert D3161_FAN_MPH["F"] == 110
    assert D3161_FAN_MPH["A"] == 60


@pytest.mark.parametrize(("speed", "pounds"), [(90, 20), (110, 25), (120, 25), (130, 30)])
def test_pull_through(speed: int, pounds: int) -> None:
    # FEMA P-499, technical fact sheet 7.3 (2010), looked-up.
    assert least_pull_through_lb(speed) == pounds


def test_high_wind_conditions() -> None:
    # General trade practice, common practice.
    check = check_high_wind(6, True, False)
    assert (check.verdict, check.missing) == ("incomplete", ("starter at rakes",))
    assert check_high_wind(6, True, True).verdict == "complete"
    assert check_high_wind(4, True, True).missing == ("4 nails per shingle, 6 asked",)
    assert check_high_wind(6, True, None).needs == ("starter at rakes",)
