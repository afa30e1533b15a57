"""Compare exact results with figures as a source prints them."""

from fractions import Fraction


def as_printed(value: Fraction | int, figure: str) -> bool:
    """Return whether a value rounds to a printed figure, half of its last decimal either way."""
    decimals = len(figure.partition(".")[2])
    return abs(Fraction(value) - Fraction(figure)) <= Fraction(1, 2 * 10**decimals)
