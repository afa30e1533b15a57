"""Bar codes drawn by libraries that did not read them, on pictures as a phone takes them.

In: what a code says, and how the picture was taken. Out: bytes of a JPEG. Must not read a code.
"""

import io
import random
from dataclasses import dataclass

import barcode
import segno
from barcode.writer import ImageWriter
from PIL import Image, ImageDraw, ImageFilter
from pystrich.datamatrix import FNC1, DataMatrixData, DataMatrixEncoder

FNC1_IN_CODE_128 = "\xf1"
"""How python-barcode is told of the sign that ends a value of open length."""


@dataclass(frozen=True)
class Taken:
    """How a picture was taken. width_px: of the code. light: share of the light that was left."""

    width_px: int = 1000
    turned_deg: int = 0
    blur_px: float = 0
    light: float = 1.0


def gs1_128(text: str) -> Image.Image:
    """Return a GS1-128 symbol."""
    return _bars("gs1_128", text)


def code_128(text: str) -> Image.Image:
    """Return a plain Code 128 symbol."""
    return _bars("code128", text)


def ean_13(digits: str) -> Image.Image:
    """Return an EAN-13 symbol."""
    return _bars("ean13", digits)


def itf_14(digits: str) -> Image.Image:
    """Return an ITF-14 symbol."""
    return _bars("itf", digits)


def qr(text: str) -> Image.Image:
    """Return a QR code with its quiet zone."""
    target = io.BytesIO()
    segno.make(text).save(target, kind="png", scale=12, border=4)
    return Image.open(target).convert("L")


def data_matrix(text: str) -> Image.Image:
    """Return a GS1 DataMatrix."""
    encoder = DataMatrixEncoder(FNC1 + DataMatrixData(text, encoding="ascii"))
    png = encoder.get_imagedata(12)
    return Image.open(io.BytesIO(png)).convert("L")


def _bars(kind: str, text: str) -> Image.Image:
    options = {"module_width": 0.33, "module_height": 14, "dpi": 300, "write_text": False}
    return barcode.get_barcode_class(kind)(text, writer=ImageWriter()).render(options).convert("L")


def photo_of(*symbols: Image.Image, taken: Taken | None = None, seed: int = 5) -> bytes:
    """Return a photo of 12 megapixels of a wrapper with these symbols below each other, on granules."""
    how = taken or Taken()
    wrapper = _wrapper([_sized(symbol, how.width_px) for symbol in symbols])
    turned = wrapper.convert("LA").rotate(how.turned_deg, Image.Resampling.BICUBIC, expand=True)
    picture = _granules(seed)
    left, top = ((picture.width - turned.width) // 2, (picture.height - turned.height) // 2)
    picture.paste(turned.convert("L"), (left, top), turned.getchannel("A"))
    if how.blur_px:
        picture = picture.filter(ImageFilter.GaussianBlur(how.blur_px))
    picture = picture.point(lambda value: int(value * how.light))
    grain = Image.frombytes(
        "L", picture.size, random.Random(seed).randbytes(picture.width * picture.height)
    )
    target = io.BytesIO()
    Image.blend(picture, grain, 0.06).save(target, "JPEG", quality=80)
    return target.getvalue()


def _sized(symbol: Image.Image, width_px: int) -> Image.Image:
    height = round(symbol.height * width_px / symbol.width)
    return symbol.resize((width_px, height), Image.Resampling.LANCZOS)


def _wrapper(symbols: list[Image.Image]) -> Image.Image:
    gap = 60
    width = max((one.width for one in symbols), default=400) + 2 * gap
    height = sum(one.height + gap for one in symbols) + 5 * gap
    wrapper = Image.new("L", (width, height), 240)
    at = gap
    for one in symbols:
        wrapper.paste(one, (gap, at))
        at += one.height + gap
    ImageDraw.Draw(wrapper).text((gap, at), "42 SHINGLES  33.3 SQ FT", fill=20, font_size=90)
    return wrapper


def _granules(seed: int) -> Image.Image:
    rng = random.Random(seed)
    small = Image.frombytes("L", (504, 378), rng.randbytes(504 * 378))
    return small.resize((4032, 3024), Image.Resampling.BILINEAR).point(lambda v: 40 + v // 2)
