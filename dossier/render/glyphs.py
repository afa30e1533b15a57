"""Text into text that the bundled fonts can print in full.

In: any string. Out: the same string with every character that would print as an empty box, or not
at all, written as its code, `[U+1F600]`. Must not know which document or template the text is for.

What becomes a code, besides characters no bundled font has:

- control characters, except tab and line ends, which HTML treats as space;
- the characters that embed, override or isolate a writing direction (U+202A to U+202E, U+2066 to
  U+2069): they can show a number backwards, so a reader must see that they are there;
- the byte order mark and the other characters with neither shape nor effect on paper, among them
  the variation selectors: PDF/UA-1 (ISO 14289-1:2014, 7.21.7) forbids text that maps to U+FEFF;
- private-use characters: a font may draw them, but what they mean is agreed nowhere, and PDF/A at
  level A (ISO 19005-3:2012, 6.2.11.7) forbids them without a replacement text;
- a combining mark whose letter stands in another font family than the mark, or that has no letter;
- the joiners U+200C and U+200D anywhere but after an Arabic letter, where they choose its form.

What stays although it has no shape: soft hyphen and zero-width space, which only allow a line
break, and the direction marks U+200E, U+200F and U+061C, which people who type Hebrew and Arabic
need.

The clause numbers of the ISO standards are cited from memory.
"""

import re
import unicodedata
from bisect import bisect_right
from functools import lru_cache

from dossier.render.coverage_table import COVERAGE

_PLAIN = re.compile(r"[\t\n\r\x20-\x7E]*")

_SPACE = frozenset("\t\n\r")
_JOINERS = frozenset("\u200c\u200d")
_KEPT_UNSEEN = frozenset("\u00ad\u200b\u200e\u200f\u061c")
# Arabic number signs and the end of ayah: format characters in Unicode, yet drawn around what
# follows (Unicode 15.0, Prepended_Concatenation_Mark).
_SEEN_FORMATS = frozenset("\u0600\u0601\u0602\u0603\u0604\u0605\u06dd\u08e2")
_UNSEEN_MARKS = frozenset(
    "\u034f" + "".join(map(chr, (*range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0))))
)
_CODED_CATEGORIES = frozenset({"Cc", "Cf", "Cs", "Co", "Zl", "Zp"})

_STARTS = {family: [first for first, _ in ranges] for family, ranges in COVERAGE.items()}
_NOWHERE: frozenset[str] = frozenset()


@lru_cache(maxsize=4096)
def families_with(character: str) -> frozenset[str]:
    """Return the font families that have a glyph for one character, by their tables."""
    code = ord(character)
    found = set()
    for family, ranges in COVERAGE.items():
        place = bisect_right(_STARTS[family], code) - 1
        if place >= 0 and code <= ranges[place][1]:
            found.add(family)
    return frozenset(found)


def printable(text: str) -> str:
    """Return `text` with every character that cannot be printed written as `[U+XXXX]`.

    Applying it twice changes nothing more. The module's docstring lists what becomes a code.
    Letters and marks are neither composed nor taken apart.
    """
    if _PLAIN.fullmatch(text):
        return text
    written: list[str] = []
    # The families in which the letter before the next mark can be drawn together with its marks so
    # far.
    cluster = _NOWHERE
    for character in text:
        keeps, cluster = _judged(character, cluster)
        written.append(character if keeps else f"[U+{ord(character):04X}]")
    return "".join(written)


def _judged(character: str, cluster: frozenset[str]) -> tuple[bool, frozenset[str]]:
    """Return whether the character is printed as it is, and the families the next mark may use."""
    if character in _SPACE:
        return True, _NOWHERE
    if character in _JOINERS:
        return cluster == {"Arabic"}, cluster
    families = families_with(character)
    if character in _KEPT_UNSEEN:
        return bool(families), _NOWHERE
    category = unicodedata.category(character)
    if character in _UNSEEN_MARKS or (
        category in _CODED_CATEGORIES and character not in _SEEN_FORMATS
    ):
        return False, _NOWHERE
    if category.startswith("M"):
        shared = cluster & families
        # A mark written as a code leaves its letter open for the marks that follow.
        return bool(shared), shared or cluster
    return bool(families), families
