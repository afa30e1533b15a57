"""What every result of this room carries: formula, formula with its numbers, and source.

In: numbers and words of one calculation. Out: `Working`, exact roots, and numbers written for a
line of working. Must not know which calculation it serves. Numbers are exact; only `show` rounds,
and what it returns is text.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import isqrt
from typing import Literal

Exact = int | Fraction
"""A number in: whole or a fraction. A float is refused, since 0.1 as a float is not one tenth."""

Confidence = Literal["looked-up", "from memory", "common practice"]
"""How far a source was confirmed: its text was seen; nobody saw it; or it is trade habit without
one."""

ROOT_PLACES = 28
"""Decimal places kept of a root that is not a fraction."""


@dataclass(frozen=True)
class Working:
    """One calculation as a person can follow it."""

    formula: str
    with_numbers: str
    source: str
    confidence: Confidence


def exact(number: Exact, name: str) -> Fraction:
    """Return the number as a Fraction.

    name: what the number is, for the message. Raises TypeError on a float, a bool or anything else
    that is not exact.
    """
    if isinstance(number, bool) or not isinstance(number, int | Fraction):
        raise TypeError(f"{name} is {number!r}, needed a whole number or a Fraction")
    return Fraction(number)


def not_below_zero(number: Exact, name: str) -> Fraction:
    """Return the number as a Fraction of zero or more; raises ValueError below zero."""
    value = exact(number, name)
    if value < 0:
        raise ValueError(f"{name} is {show(value)}, needed zero or more")
    return value


def above_zero(number: Exact, name: str) -> Fraction:
    """Return the number as a Fraction above zero; raises ValueError otherwise."""
    value = exact(number, name)
    if value <= 0:
        raise ValueError(f"{name} is {show(value)}, needed more than zero")
    return value


def one_of(word: str, words: Iterable[str], name: str) -> str:
    """Return the word; raises ValueError, naming the words it could be, when it is none of them."""
    known = tuple(words)
    if word not in known:
        raise ValueError(f"{name} is “{word}”, needed one of {', '.join(known)}")
    return word


def root(number: Exact) -> Fraction:
    """Return the square root of a number of zero or more.

    Exact where the number is the square of a fraction (so 60 in stays 60 in); else cut off after
    `ROOT_PLACES` decimals. Whole-number arithmetic only, so the result is the same on every
    machine.
    """
    value = not_below_zero(number, "the number under the root")
    top, bottom = isqrt(value.numerator), isqrt(value.denominator)
    if top * top == value.numerator and bottom * bottom == value.denominator:
        return Fraction(top, bottom)
    scale: int = 10**ROOT_PLACES
    return Fraction(isqrt(value.numerator * scale * scale // value.denominator), scale)


def ceiling(number: Fraction) -> int:
    """Return the smallest whole number that is not below the number."""
    return -(-number.numerator // number.denominator)


def to_cents(amount: Fraction) -> Decimal:
    """Return an amount of money to the cent, halves away from zero, as an invoice prints it."""
    cents = (2 * abs(amount.numerator) * 100 + amount.denominator) // (2 * amount.denominator)
    return Decimal(-cents if amount < 0 else cents).scaleb(-2)


def show(number: Exact, places: int = 2) -> str:
    """Return the number as text with at most `places` decimals, halves rounded away from zero."""
    value = Fraction(number)
    tenfold: int = 10**places
    scaled = (2 * abs(value.numerator) * tenfold + value.denominator) // (2 * value.denominator)
    whole, rest = divmod(scaled, tenfold)
    decimals = f"{rest:0{places}d}".rstrip("0") if places else ""
    sign = "-" if value < 0 and scaled else ""
    return f"{sign}{whole:,}" + (f".{decimals}" if decimals else "")


def show_share(share: Exact) -> str:
    """Return a share as a percentage with at most two decimals."""
    return f"{show(Fraction(share) * 100)} %"
