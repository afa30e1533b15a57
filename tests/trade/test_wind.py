"""Wind classes and speeds against worked examples of the code's table and equation."""

from fractions import Fraction

import pytest

from dossier.trade.wind import (
    WIND_TABLE,
    check_class,
    standard_conditions,
)
from dossier.trade.working import root

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


def test_the_two_columns_of_the_table_agree() -> None:
    # The table's nominal column is the ultimate one by IBC equation 16-33 (× √0.6), to the nearest mile.
    for row in WIND_TABLE:
        assert as_printed(row.vult_mph * root(Fraction(6, 10)), str(row.vasd_mph))


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
