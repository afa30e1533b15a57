"""What every result of this room carries: formula, formula with its numbers, and source.

In: numbers and words of one calculation. Out: `Working`, exact roots, and numbers that write their
own line of working. Must not know which calculation it serves. Numbers are exact; only text is
rounded.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from math import isqrt
from operator import add, mul, sub, truediv
from typing import Literal

from dossier.said import Listed, Number, Said, say
from dossier.values import Days, write_number

Exact = int | Fraction
"""A number in: whole or a fraction. A float is refused, since 0.1 as a float is not one tenth."""

Confidence = Literal["looked-up", "from memory", "common practice"]
"""How far a source was confirmed: its text was seen; nobody saw it; or it is trade habit without
one."""

ROOT_PLACES = 28
"""Decimal places kept of a root that is not a fraction."""


Line = Said | str
"""What stands in a working: a sentence with values; plain text where it is one of signs and figures alone, or
never changes."""


@dataclass(frozen=True)
class Working:
    """One calculation as a person can follow it."""

    formula: Line
    with_numbers: Line
    source: Line
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
        raise ValueError(f"{name} is {write_number(value, 2)}, needed zero or more")
    return value


def above_zero(number: Exact, name: str) -> Fraction:
    """Return the number as a Fraction above zero; raises ValueError otherwise."""
    value = exact(number, name)
    if value <= 0:
        raise ValueError(f"{name} is {write_number(value, 2)}, needed more than zero")
    return value


def one_of(word: str, words: Iterable[str], name: str) -> str:
    """Return the word; raises ValueError, naming the words it could be, when it is none of them."""
    known = tuple(words)
    if word not in known:
        raise ValueError(f"{name} is “{word}”, needed one of {', '.join(known)}")
    return word


_SIGNS = {"+": (1, add), "-": (1, sub), "×": (2, mul), "÷": (2, truediv)}
"""What each sign does, and how closely it binds."""


@dataclass(frozen=True)
class Traced:
    """A number with what it came from, by name and in figures; arithmetic on it writes both on."""

    value: Fraction
    formula: str
    numbers: str
    binds: int = 3
    """How closely its text holds together: 1 a sum, 2 a product, 3 one figure."""

    def __add__(self, other: "Traced") -> "Traced":
        return _joined(self, "+", other)

    def __sub__(self, other: "Traced") -> "Traced":
        return _joined(self, "-", other)

    def __mul__(self, other: "Traced") -> "Traced":
        return _joined(self, "×", other)

    def __rmul__(self, other: int) -> "Traced":
        return _joined(_bare(other), "×", self)

    def __truediv__(self, other: "Traced | int") -> "Traced":
        return _joined(self, "÷", _bare(other) if isinstance(other, int) else other)

    def line(self, unit: str = "", places: int = 2) -> str:
        """Return the figures and what they come to."""
        return f"{self.numbers} = {write_number(self.value, places)} {unit}".rstrip()

    def working(
        self,
        unit: str,
        source: str,
        confidence: Confidence = "looked-up",
        places: int = 2,
        also: Said | None = None,
    ) -> Working:
        """Return the formula and the line; also: what is said after it."""
        line: Line = self.line(unit, places)
        if also is not None:
            line = say("{line}{also}", line=line, also=also)
        return Working(self.formula, line, source, confidence)


def inches(number: Exact, places: int = 2) -> Number:
    """Return inches with at most `places` decimals."""
    return Number(number, "in", places)


def day_of(day: date) -> Days:
    """Return a day as it stands in a line of figures: 2026-05-12."""
    return Days(day, day)


def blank(*inputs: tuple[str, object]) -> tuple[str, ...]:
    """Return the names of the inputs that nobody gave."""
    return tuple(name for name, value in inputs if value is None)


def needed(needs: Iterable[str]) -> Said:
    """Return that nothing is worked out, and for want of what."""
    return say("needed: {needs}", needs=Listed(tuple(dict.fromkeys(map(say, needs))), ", "))


def given(number: Exact, name: str, unit: str = "", places: int = 2) -> Traced:
    """Return a number of zero or more as a formula names it; raises ValueError below zero."""
    value = not_below_zero(number, name)
    return Traced(value, name, f"{write_number(value, places)} {unit}".rstrip())


def _bare(number: int) -> Traced:
    return Traced(Fraction(number), str(number), str(number))


def _joined(left: Traced, sign: str, right: Traced) -> Traced:
    binds, reckon = _SIGNS[sign]
    first = "({})" if left.binds < binds else "{}"
    # What is taken off, and what divides, is held together even where it binds as closely.
    second = "({})" if right.binds < binds + (sign in "-÷") else "{}"
    text = f"{first} {sign} {second}".format
    return Traced(
        reckon(left.value, right.value),
        text(left.formula, right.formula),
        text(left.numbers, right.numbers),
        binds,
    )


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
