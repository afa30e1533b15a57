"""A decoded picture into a few numbers about its grey: how bright, how sharp, and a hash of its look.

In: a decoded picture and how it has to be turned. Out: `Grey`. Must not know the file, nor what is a
good number: that is said in `legible.py`. All numbers come from one reduction whose longer side is
256 pixels, so that photos of any size can be compared.
"""

from dataclasses import dataclass
from fractions import Fraction

from PIL import Image, ImageFilter

from dossier.evidence.upright import TURNS, in_eight_bits, on_white

REDUCED_PX = 256
"""Longer side of the grey reduction that every number is taken from."""

DARK_BELOW = 24
"""Luma, of 0 to 255, below which a pixel counts as dark. Common practice, no published source: in the
deepest shadow that still shows something, phones give about this much."""

BRIGHT_FROM = 250
"""Luma from which a pixel counts as burnt out. Common practice, no published source."""

HASH_COLUMNS, HASH_ROWS = 9, 8

# Pillow clips what a kernel gives to 0 to 255. The offset keeps both signs, and the clipping only
# lowers the number of pictures that are sharp beyond any doubt.
_LAPLACIAN = ImageFilter.Kernel((3, 3), (0, 1, 0, 1, -4, 1, 0, 1, 0), scale=1, offset=128)


@dataclass(frozen=True)
class Grey:
    """What the grey of a picture says; the fields are as in `PhotoFact`, all None where none was had."""

    dhash: int | None = None
    sharpness: Fraction | None = None
    mean_luma: Fraction | None = None
    dark_share: Fraction | None = None
    bright_share: Fraction | None = None


def decode_px(size_px: tuple[int, int]) -> tuple[int, int]:
    """Return the least (width, height) to decode a picture to, for JPEG's quick reductions.

    An eighth is the quickest; a smaller picture is decoded larger, so that no reduction is enlarged.
    """
    width, height = size_px
    return max(1, width // 8, min(width, REDUCED_PX)), max(1, height // 8, min(height, REDUCED_PX))


def look_at_grey(image: Image.Image, orientation: int) -> Grey:
    """Return the numbers of a decoded picture; an empty `Grey` where it has no grey to give.

    orientation: as in Exif, 1 to 8; 1 where the picture is upright already.
    """
    grey = _grey_of(image)
    if grey is None:
        return Grey()
    if orientation in TURNS:
        # Turning comes first, since a reduction rounds columns before rows.
        grey = grey.transpose(TURNS[orientation])
    longer = max(grey.size)
    if longer > REDUCED_PX:
        size = tuple(max(1, round(side * REDUCED_PX / longer)) for side in grey.size)
        grey = grey.resize((size[0], size[1]), Image.Resampling.BOX)
    counts = grey.histogram()
    pixels = sum(counts)
    return Grey(
        dhash=difference_hash(grey),
        sharpness=_sharpness(grey) if longer >= REDUCED_PX else None,
        mean_luma=Fraction(sum(luma * count for luma, count in enumerate(counts)), pixels),
        dark_share=Fraction(sum(counts[:DARK_BELOW]), pixels),
        bright_share=Fraction(sum(counts[BRIGHT_FROM:]), pixels),
    )


def difference_hash(grey: Image.Image) -> int:
    """Return the 64-bit difference hash of an upright grey picture.

    The picture is reduced to 9 columns and 8 rows by averaging areas. Row by row from the upper left,
    the most significant bit first, a bit is 1 where a pixel is brighter than its neighbour on the left.
    Source: N. Krawetz, “Kind of Like That”, The Hacker Factor Blog, 21 January 2013.
    """
    small = grey.resize((HASH_COLUMNS, HASH_ROWS), Image.Resampling.BOX).tobytes()
    bits = 0
    for row in range(HASH_ROWS):
        for column in range(1, HASH_COLUMNS):
            at = row * HASH_COLUMNS + column
            bits = bits << 1 | (small[at] > small[at - 1])
    return bits


def _sharpness(grey: Image.Image) -> Fraction | None:
    """Return the variance of the Laplacian, in squared steps of luma, None for a mere strip.

    Source: J. L. Pech-Pacheco et al., “Diatom autofocusing in brightfield microscopy”, ICPR 2000.
    """
    width, height = grey.size
    if min(width, height) < 3:
        return None
    # Pillow leaves the outermost pixels as they were, and they would count as edges.
    counts = grey.filter(_LAPLACIAN).crop((1, 1, width - 1, height - 1)).histogram()
    pixels = sum(counts)
    mean = Fraction(sum(step * count for step, count in enumerate(counts)), pixels)
    square = Fraction(sum(step * step * count for step, count in enumerate(counts)), pixels)
    return square - mean * mean


def _grey_of(image: Image.Image) -> Image.Image | None:
    """Return the picture in 8-bit grey, on white where it is transparent; None where that cannot be."""
    if image.mode == "L":
        return image
    if image.mode.startswith("I;16"):
        return in_eight_bits(image)
    if image.mode in ("I", "F"):
        # Nothing says which number is white.
        return None
    try:
        if image.has_transparency_data:
            image = on_white(image)
        return image.convert("L")
    except ValueError:
        # Pillow has no way to grey from a few colour spaces, such as LAB.
        return None
