"""Roots, numbers that write their own line, and the refusal of floats."""

import math
from decimal import Decimal, localcontext
from fractions import Fraction

import hypothesis
import pytest
from hypothesis import strategies as st

from dossier.said import say
from dossier.trade.working import exact, given, one_of, root

from .published import as_printed


def test_as_printed_can_fail() -> None:
    assert as_printed(Fraction(126, 10), "12.6")
    assert not as_printed(Fraction(1266, 100), "12.6")


@hypothesis.given(st.fractions(min_value=0, max_value=10**6, max_denominator=1000))
def test_root_agrees_with_the_decimal_module(number: Fraction) -> None:
    # Python's decimal module carries its own square root, worked out by other means.
    with localcontext() as context:
        context.prec = 50
        expected = (Decimal(number.numerator) / Decimal(number.denominator)).sqrt()
        assert abs(Fraction(expected) - root(number)) <= Fraction(1, 10**28)


@hypothesis.given(st.fractions(min_value=0, max_value=10**4, max_denominator=10**4))
def test_root_of_a_square_is_exact(number: Fraction) -> None:
    assert root(number * number) == number


def test_root_refuses_below_zero() -> None:
    with pytest.raises(ValueError, match="needed zero or more"):
        root(-1)


@pytest.mark.parametrize("number", [0.1, True, "1", Decimal(1)])
def test_exact_refuses_what_is_not_exact(number: object) -> None:
    with pytest.raises(TypeError, match="needed a whole number or a Fraction"):
        exact(number, "length")  # type: ignore[arg-type]


def test_one_of_names_the_words() -> None:
    with pytest.raises(ValueError, match="kind is “x”, needed one of a, b"):
        one_of("x", ("a", "b"), "kind")


def test_root_agrees_with_math_sqrt() -> None:
    assert math.isclose(float(root(2)), math.sqrt(2), rel_tol=1e-15)


def test_a_traced_number_is_written_as_it_is_reckoned() -> None:
    a, b, c = given(12, "a", "ft"), given(3, "b", "ft"), given(Fraction(3, 2), "c")
    for number, formula, line in (
        (a + b - c, "a + b - c", "12 ft + 3 ft - 1.5 = 13.5"),
        (a - (b + c), "a - (b + c)", "12 ft - (3 ft + 1.5) = 7.5"),
        (a + b * c, "a + b × c", "12 ft + 3 ft × 1.5 = 16.5"),
        ((a + b) * c / 2, "(a + b) × c ÷ 2", "(12 ft + 3 ft) × 1.5 ÷ 2 = 11.25"),
        (2 * a / (b * c), "2 × a ÷ (b × c)", "2 × 12 ft ÷ (3 ft × 1.5) = 5.33"),
        (a / (b / c), "a ÷ (b ÷ c)", "12 ft ÷ (3 ft ÷ 1.5) = 6"),
    ):
        assert number.formula == formula
        assert number.line() == line
        # What is written is what was reckoned: read again by Python's own rules it comes to the same.
        again = formula.replace("×", "*").replace("÷", "/")
        assert number.value == eval(again, {"a": a.value, "b": b.value, "c": c.value})
    also = a.working("sq ft", "Arithmetic", also=say(", so 1"))
    assert str(also.with_numbers) == "12 ft = 12 sq ft, so 1"
