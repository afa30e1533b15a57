"""How much room words take in a drawing, and words laid in lines that stay within it.

In: text, the size of the type. Out: lines of text, widths in mm. Must not read a font: a drawing is made before
anything is laid out, so a width here is what is sure to be enough for the sans face.
"""

from fractions import Fraction

_REGULAR = {
    27: " !',.:;ijl’\u00a0",
    31: "J`()",
    38: "-I[]/\\ft{}“”²",
    46: '"r?_°',
    52: "cszFvy–§",
    57: "Lkx*ESTYae|",
    59: "$+0123456789<=>XZ^~×",
    62: "PVoKbdghnpqu",
    66: "R#ABC",
    75: "&DGHU",
    79: "NOQw",
    86: "…%",
    100: "@MWm—",
}
_BOLD = {
    27: " '’\u00a0",
    31: "!,.:;ijl",
    34: "()-J[]",
    42: "`/I\\_f{}²",
    49: 'rt“”"?z°§',
    52: "cs–",
    57: "*EFLSvy|",
    59: "$+0123456789<=>TZ^x~×",
    62: "aeko",
    66: "PY#CRVbdghnpqu",
    75: "ABKX&DG",
    83: "HUNOQ",
    91: "w…%@",
    100: "MWm—",
}
"""Characters by their width in hundredths of the type’s size, rounded up. Source: the advance widths of the sans
faces shipped in templates/fonts; tests/compose/test_type_width.py holds every character to them."""


def _by_character(faces: dict[int, str]) -> dict[str, Fraction]:
    return {one: Fraction(em, 100) for em, characters in faces.items() for one in characters}


_EM = {False: _by_character(_REGULAR), True: _by_character(_BOLD)}

_OTHER_LETTERS_EM, _ANYTHING_EM = Fraction(3, 2), Fraction(8)
"""Of Latin, Greek, Cyrillic and Hebrew letters, and of whatever else, which may print as a code of ten letters."""

_LETTERS = (range(0x80, 0x3E2), range(0x400, 0x530), range(0x5D0, 0x5EB))
"""Of the alphabets named above, as Unicode has them."""


def width_mm(text: str, size_mm: Fraction, *, bold: bool = False) -> Fraction:
    """Return a width in mm within which a text surely fits. size_mm: of the type, above zero."""
    return size_mm * sum((_em(character, bold) for character in text), Fraction(0))


def _em(character: str, bold: bool) -> Fraction:
    known = _EM[bold].get(character)
    if known is not None:
        return known
    letter = character.isalpha() and any(ord(character) in some for some in _LETTERS)
    return _OTHER_LETTERS_EM if letter else _ANYTHING_EM


def lines(
    text: str, room_mm: Fraction | int, size_mm: Fraction, most: int, *, bold: bool = False
) -> tuple[str, ...]:
    """Return the text in at most so many lines that fit the room; an ellipsis where it is cut.

    A word wider than a line is broken. most: one or more.
    """
    found: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if width_mm(longer, size_mm, bold=bold) <= room_mm:
            line = longer
            continue
        if line:
            found.append(line)
        *pieces, line = _pieces(word, room_mm, size_mm, bold)
        found += pieces
    found += [line] if line else []
    if len(found) <= most:
        return tuple(found)
    last = found[most - 1]
    while last and width_mm(f"{last}…", size_mm, bold=bold) > room_mm:
        last = last[:-1]
    return (*found[: most - 1], f"{last.rstrip()}…")


def _pieces(word: str, room_mm: Fraction | int, size_mm: Fraction, bold: bool) -> list[str]:
    """Return a word in pieces of which each fits the room."""
    pieces = [""]
    for character in word:
        if pieces[-1] and width_mm(pieces[-1] + character, size_mm, bold=bold) > room_mm:
            pieces.append("")
        pieces[-1] += character
    return pieces
