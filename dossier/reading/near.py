"""The known word that a mistyped one was meant for.

In: a word as typed, the words that would do. Out: one of them, or None. Must not guess where two are as near.
"""

import re
from collections.abc import Iterable

from rapidfuzz.distance import OSA


def nearest(typed: str, known: Iterable[str]) -> str | None:
    """Return the known word that a typed one was meant for, or None where none is near or two are as near.

    Near is a slip of one letter in four, another ending, or a unit left out: a suggestion from further off
    misleads more often than it helps. Measured on slips and wrong words in `tests/reading/test_nearest.py`.
    """
    found = sorted((steps, word) for word in known if (steps := _steps(typed, word)) < _FAR)
    if not found or (len(found) > 1 and found[0][0] == found[1][0]):
        return None
    return found[0][1]


_FAR = 9
_UNIT = re.compile(r"_(?:ft|in|sqft|sqin|mph|f)$")


def _steps(typed: str, word: str) -> int:
    """Return how many letters apart two words are, `_FAR` or more for too many; a unit left out counts as one."""
    whole = _letters_apart(typed, word)
    return min(whole, 1 + _letters_apart(_UNIT.sub("", typed), _UNIT.sub("", word)))


def _letters_apart(typed: str, word: str) -> int:

    if re.findall(r"\d+", typed) != re.findall(r"\d+", word):
        return _FAR  # Fenwright 30 is no slip for Fenwright 40.
    one, other = (
        re.sub(r"[\W_]", "", text.casefold().replace("&", "and")) for text in (typed, word)
    )
    short, long = sorted((one, other), key=len)
    if len(short) >= 4 and long.startswith(short) and len(long) - len(short) <= 3:
        return min(len(long) - len(short), 1)
    most = max(1, len(one) // 4)
    steps = int(OSA.distance(one, other, score_cutoff=most))
    return steps if steps <= most else _FAR
