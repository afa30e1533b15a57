"""One photo into one small, upright, plain picture for print.

In: the bytes of a photo file and the width it is printed at. Out: a JPEG asset in sRGB without
camera data. Must not know the photo's phase, slope or place, and must not import the layout
program: that import makes Pillow take broken files for whole ones.
"""

import hashlib
import io
import threading
from fractions import Fraction

from PIL import Image, ImageCms

from dossier.evidence.pictures import reads_heic
from dossier.evidence.upright import LYING_ORIENTATIONS, TURNED, TURNS, in_eight_bits, on_white
from dossier.render.engine import Asset

QUALITY = 80
"""JPEG quality of printed photos (common practice, no published source)."""

REDUCED_BY = 1
"""Raised whenever the same bytes may come out otherwise, so that pictures kept before are not used."""

FINEST_DPI_FACTOR = 2
"""How far above the asked dots per inch a decoder's own scale is taken as it comes: 300 for 150."""

_MM_PER_INCH = Fraction(254, 10)
_WITHOUT_A_BIG_DECODE = 2.0
_PROFILES_KEPT = 8

_ORIENTATION_TAG = 0x0112


def reduce(data: bytes, *, width_mm: Fraction | float, dpi: int = 150) -> Asset:
    """Return the photo at the size it is printed, as a JPEG asset.

    width_mm: the printed width of the upright picture, above zero. dpi: the fewest dots per inch, above
    zero; a JPEG may come out with up to twice as many, since its decoder halves for free and shrinking
    further would cost more than the decoding. A photo with fewer pixels than that is never enlarged.
    Raises what Pillow raises for a file it cannot read or that is cut short; the caller has judged the
    file before.
    """
    if width_mm <= 0 or dpi <= 0:
        raise ValueError("a printed width and a resolution above zero are needed")
    if data[4:8] == b"ftyp":
        reads_heic()
    with Image.open(io.BytesIO(data)) as photo:
        orientation = 1
        if photo.format not in TURNED:
            orientation = photo.getexif().get(_ORIENTATION_TAG, 1)
        profile = photo.info.get("icc_profile")
        lying = orientation in LYING_ORIENTATIONS
        # By way of its text, since the float 101.6 lies a little below what was meant.
        width_px = Fraction(str(width_mm)) / _MM_PER_INCH * dpi
        size_px = _printed_size(photo.size, width_px, lying)
        # The decoder shrinks by whole powers of two for free, but only while both sides stay above
        # the box: a square box would stop at half scale on an oblong photo.
        # A HEIC is decoded whole: it would give its thumbnail, which need not be the same picture.
        if photo.format != "HEIF":
            photo.draft(None, size_px)
        photo.load()
        small: Image.Image = photo
        if small.size[0] > size_px[0] * _most_above(photo.format):
            small = _plain_mode(small).resize(
                size_px, Image.Resampling.LANCZOS, reducing_gap=_WITHOUT_A_BIG_DECODE
            )
        small = _in_srgb(small, profile)
    if orientation in TURNS:
        # Turning comes last: turning twelve million pixels first costs five times as much.
        small = small.transpose(TURNS[orientation])
    # Comments, camera data and profiles would otherwise travel from the source into the new file.
    small.info = {}
    target = io.BytesIO()
    small.save(target, "JPEG", quality=QUALITY)
    return Asset(target.getvalue(), "image/jpeg")


def _most_above(kind: str | None) -> int:
    return FINEST_DPI_FACTOR if kind == "JPEG" else 1


def _printed_size(size_px: tuple[int, int], width_px: Fraction, lying: bool) -> tuple[int, int]:
    """Return the (width, height) to shrink the stored picture to; never larger than it is."""
    upright_width_px = size_px[1] if lying else size_px[0]
    scale = min(Fraction(1), width_px / upright_width_px)
    # Rounding down keeps an exact quarter an exact quarter for the decoder.
    return max(1, int(size_px[0] * scale)), max(1, int(size_px[1] * scale))


def _plain_mode(image: Image.Image) -> Image.Image:
    """Return the image in a mode that can be resampled: no palette, bits or 16-bit grey."""
    if image.mode in {"1", "P", "PA"}:
        return image.convert("RGBA")
    if image.mode.startswith("I"):
        return in_eight_bits(image)
    return image


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """Return the image in RGB as sRGB, on white where it was transparent.

    profile: the ICC profile the file carried, or `None`. A profile that cannot be read, or that is
    for another kind of pixel than the file has, is passed over: the photo is then taken for sRGB,
    as every viewer does.
    """
    image = _plain_mode(image)
    if image.mode in {"LA", "La", "RGBA", "RGBa"}:
        image = on_white(image)
    if profile is not None and image.mode in {"RGB", "L", "CMYK"}:
        try:
            return _conversion(profile, image.mode).apply(image)
        except (ImageCms.PyCMSError, OSError, ValueError):
            pass
    return image.convert("RGB")


_kept = threading.local()


def _conversion(profile: bytes, mode: str) -> ImageCms.ImageCmsTransform:
    """Return the conversion from a profile into sRGB, worked out once for each thread.

    Sixty photos of one phone carry one profile, and working a conversion out costs as much as decoding.
    """
    known: dict[tuple[bytes, str], ImageCms.ImageCmsTransform] = getattr(_kept, "known", {})
    key = (hashlib.sha256(profile).digest(), mode)
    if key not in known:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        made = ImageCms.buildTransform(source, ImageCms.createProfile("sRGB"), mode, "RGB")
        known = {**dict(list(known.items())[1 - _PROFILES_KEPT :]), key: made}
        _kept.known = known
    return known[key]
