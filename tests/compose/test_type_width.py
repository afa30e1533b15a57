"""Widths assumed for words against the advance widths of the fonts that print them."""

from fractions import Fraction
from functools import cache

import pytest
from fontTools.ttLib import TTFont

from dossier.compose.parts.type_width import lines, width_mm
from dossier.render.glyphs import printable
from dossier.resources import resource

ONE = Fraction(1)


@cache
def _advances(face: str) -> tuple[dict[int, Fraction], ...]:
    found = []
    for family in ("NotoSans-", "NotoSansHebrew-"):
        font = TTFont(resource() / "fonts" / f"{family}{face}.ttf")
        units, widths = font["head"].unitsPerEm, font["hmtx"]
        found.append({c: Fraction(widths[n][0], units) for c, n in font.getBestCmap().items()})
    return tuple(found)


def real_width_mm(text: str, size_mm: Fraction, *, bold: bool = False) -> Fraction:
    """Return the width of what is printed of a text, by the font's own table (OpenType 1.9, hmtx)."""
    total = Fraction(0)
    for character in printable(text):
        table = next(t for t in _advances("Bold" if bold else "Regular") if ord(character) in t)
        total += table[ord(character)]
    return total * size_mm


@pytest.mark.parametrize("bold", [False, True])
def test_no_character_is_wider_than_assumed(bold: bool) -> None:
    wider = [
        chr(code)
        for code in (*range(0x20, 0x600), *range(0x2010, 0x2028))
        if real_width_mm(chr(code), ONE, bold=bold) > width_mm(chr(code), ONE, bold=bold)
    ]
    assert not wider


def test_a_common_text_is_not_taken_for_much_wider_than_it_is() -> None:
    text = "A sale up to 21 September 2046 passes it on, once."
    assert width_mm(text, ONE) < real_width_mm(text, ONE) * Fraction(106, 100)


def test_lines_hold_all_words_and_stay_within_their_room() -> None:
    text = "The notice must be received within 60 days of the closing of the sale."
    found = lines(text, Fraction(40), Fraction(3), 9)
    assert " ".join(found) == text
    assert len(found) == 3
    assert all(real_width_mm(line, Fraction(3)) <= 40 for line in found)


@pytest.mark.parametrize("text", ["W" * 90, "w " * 90, "\U0001f600" * 9, "ש" * 90, ""])
def test_what_does_not_fit_is_cut_with_a_sign(text: str) -> None:
    found = lines(text, Fraction(30), Fraction(3), 2)
    assert len(found) == (2 if text else 0)
    assert all(real_width_mm(line, Fraction(3)) <= 30 for line in found)
    assert not text or found[-1].endswith("…")
