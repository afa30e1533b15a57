"""Whether a photo can show anything at all, from its measurements alone.

In: a `PhotoFact`. Out: a reason, or none. Must not know what the photo is filed under. The limits are
set far from any usable photo, since accusing a good photo is worse than passing a poor one.
"""

from fractions import Fraction

from dossier.evidence.facts import PhotoFact
from dossier.evidence.grey import BRIGHT_FROM, DARK_BELOW

ALL_OF_IT = Fraction(995, 1000)
"""Share of dark or burnt-out pixels from which nothing is left to see. Measured: 3 % at most on the 78
drawn demo photos, and 88 % on a photograph of the night sky; a lens covered by a pocket gives 100 %.
Common practice, no published source."""

LEAST_SHARPNESS = Fraction(3)
"""Variance of the Laplacian below which nothing has an edge. Measured: 392 at least on the 78 drawn
demo photos, and on some twenty photographs that come with public image libraries 144 at least outdoors
and 24 on one blurred on purpose, in which a clock can still be read. The same photographs blurred over
a fiftieth of their width (Gaussian, radius 40 of 2,000 px) give 1 to 2.8. Common practice, no published
source."""


def shows_nothing(fact: PhotoFact) -> str | None:
    """Return why a photo shows nothing, as the end of a sentence beginning with its name, or None.

    None too where it was not measured. Ends with its full stop, as a fact's fault does.
    """
    if fact.dark_share is not None and fact.dark_share >= ALL_OF_IT:
        return (
            f"is black: {_percent(fact.dark_share)} of it is darker than {DARK_BELOW} on a scale to "
            f"255, and at {_percent(ALL_OF_IT)} nothing is left to see."
        )
    if fact.bright_share is not None and fact.bright_share >= ALL_OF_IT:
        return (
            f"is burnt out: {_percent(fact.bright_share)} of it is at {BRIGHT_FROM} or above on a "
            f"scale to 255, and at {_percent(ALL_OF_IT)} nothing is left to see."
        )
    if fact.sharpness is not None and fact.sharpness < LEAST_SHARPNESS:
        return (
            f"has no edge in it: its sharpness is {_down(fact.sharpness)}, and below "
            f"{_down(LEAST_SHARPNESS)} it is out of focus or something was held before the lens."
        )
    return None


def _percent(share: Fraction) -> str:
    return f"{_down(share * 100)} %"


def _down(number: Fraction) -> str:
    """Return the number with one decimal, rounded down, so that none reads as if it were at a limit."""
    tenths = int(number * 10)
    return f"{tenths // 10}.{tenths % 10}" if tenths % 10 else str(tenths // 10)
