"""The bar codes in one picture, and what each says by the rules of GS1.

In: the bytes of a picture. Out: a `Mark` for each code. Must not know a job. Reading needs two packages that are
an extra of the installation; where they are not there, `why_not_read` says so and nothing else fails.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from PIL import Image

from dossier.evidence.pictures import grey_picture
from dossier.said import Said, say
from dossier.values import parse_gtin

if TYPE_CHECKING:
    from biip.gs1_element_strings import GS1ElementString

_FORMATS = (
    "Code128",
    "EAN13",
    "UPCA",
    "ITF14",
    "DataBarExp",
    "DataBarExpStk",
    "DataMatrix",
    "QRCode",
)
"""What is looked for: symbols that GS1 knows for goods and that check themselves.

The eight-digit ones are left out: so short a code is soon found in a picture of shingles where there is none.
"""

_ELEMENT_STRINGS = ("]C1", "]e0", "]d2", "]Q3")
_TRADE_ITEM_ONLY = ("]E0", "]I0", "]I1")
"""Marks by which a reader tells what kind of symbol it read.

Source: GS1 General Specifications, 5.1.2, from memory (symbology identifiers); ISO/IEC 15424.
"""

_AN_ITEM, _CONTENT, _LOT, _MADE, _SERIAL, _PIECES, _COUNT = "01", "02", "10", "11", "21", "30", "37"
"""Application identifiers. Source: GS1 General Specifications, 3.2, from memory."""

_TURNS_DEG = (45, 22, 67)
"""How far a picture is turned where nothing was found as it is.

Bars are read along lines across and down a picture, so a long code that leans by more than its height to its
length is missed; the turns bring every code within 12° of such a line. Measured on drawn photos, 18 of 18 angles.
"""


@dataclass(frozen=True)
class Mark:
    """What one bar code says.

    text: as it is printed beneath a bar code, with the identifiers in brackets, or the bare text. gtin: 14
    digits, None where it names no goods. wrong_gtin: the number whose check digit does not fit, empty for none.
    lot, serial: empty for none. count: of pieces in this one, or of trade items in a load. says_what: whether it
    is by the rules of GS1 at all, so that its parts have a meaning.
    """

    text: str
    gtin: str | None = None
    wrong_gtin: str = ""
    lot: str = ""
    made_on: date | None = None
    serial: str = ""
    count: int | None = None
    says_what: bool = True


def why_not_read() -> Said | None:
    """Return how to install what reads bar codes where it is not there, or None."""
    if all(find_spec(name) for name in ("zxingcpp", "biip")):
        return None
    return say(
        "Bar codes in photos are not read here: install what reads them with pip install 'dossier[marks]'."
    )


def marks_in(data: bytes) -> tuple[Mark, ...]:
    """Return what the bar codes in a picture say, each once; none where it cannot be opened.

    At half its size first, as it is and turned; whole at last, for small codes. Needs that `why_not_read` is None.
    """
    for picture in _views(data):
        marks = dict.fromkeys(_mark(symbol, text) for symbol, text in _codes_in(picture))
        if marks:
            return tuple(marks)
    return ()


def _views(data: bytes) -> Iterator[Image.Image]:
    half = grey_picture(data, halved=True)
    if half is None:
        return
    yield half
    for turn_deg in _TURNS_DEG:
        yield half.rotate(turn_deg, Image.Resampling.BILINEAR, expand=True, fillcolor=128)
    whole = grey_picture(data, halved=False)
    if whole is not None:
        yield whole


def _codes_in(picture: Image.Image) -> Iterator[tuple[str, str]]:
    """Yield each code's symbology identifier and its text, from top to bottom."""
    import zxingcpp

    found = zxingcpp.read_barcodes(
        picture,
        formats=[zxingcpp.BarcodeFormat[name] for name in _FORMATS],  # type: ignore[arg-type]
        text_mode=zxingcpp.TextMode.Plain,
    )
    for code in sorted(found, key=lambda one: (one.position.top_left.y, one.position.top_left.x)):
        yield code.symbology_identifier, code.text


def _mark(symbol: str, text: str) -> Mark:
    """Return what one code says. Only a code whose kind or address is of GS1 is taken apart.

    A plain number is none: a parser that tries every form would take lot 0012345 for a trade item's number.
    """
    from biip import ParseConfig, ParseError
    from biip.gs1_digital_link_uris import GS1DigitalLinkURI
    from biip.gs1_messages import GS1Message

    # Wrappers come with a date of zeros; their lot is good all the same.
    lenient = ParseConfig(gs1_element_strings_verify_date=False)
    try:
        if symbol in _ELEMENT_STRINGS:
            return _of_elements(GS1Message.parse(text, config=lenient).element_strings)
        if text.lower().startswith(("https://", "http://")):
            return _of_elements(GS1DigitalLinkURI.parse(text, config=lenient).element_strings)
        if symbol in _TRADE_ITEM_ONLY:
            return Mark(text, parse_gtin(text))
    except (ParseError, ValueError):
        pass
    return Mark(text, says_what=False)


def _of_elements(elements: "list[GS1ElementString]") -> Mark:
    said: dict[str, Any] = {one.ai.ai: one for one in reversed(elements)}
    values: dict[str, str] = {name: one.value for name, one in said.items()}
    number = values.get(_AN_ITEM) or values.get(_CONTENT) or ""
    gtin, wrong = None, ""
    if number:
        try:
            gtin = parse_gtin(number)
        except ValueError:
            wrong = number
    count = values.get(_COUNT) or values.get(_PIECES)
    return Mark(
        "".join(one.as_hri() for one in elements),
        gtin,
        wrong,
        values.get(_LOT, ""),
        said[_MADE].date if _MADE in said else None,
        values.get(_SERIAL, ""),
        int(count) if count else None,
    )
