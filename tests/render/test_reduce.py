"""One reduction of a photo: small, upright, in sRGB, without camera data."""

import io
import os
import subprocess
import sys
from fractions import Fraction

import pytest
from PIL import Image, ImageCms, ImageOps

from dossier.render.pictures import reduce

RED, BLUE = (210, 40, 40), (40, 60, 200)


def halves(size_px: tuple[int, int]) -> Image.Image:
    """Return a picture whose upper left quarter is red, on blue: no two turns of it look alike."""
    picture = Image.new("RGB", size_px, BLUE)
    picture.paste(RED, (0, 0, size_px[0] // 2, size_px[1] // 2))
    return picture


def saved(picture: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    target = io.BytesIO()
    picture.save(target, kind, **options)  # type: ignore[arg-type]
    return target.getvalue()


def opened(data: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


def near(one: object, other: tuple[int, ...], by: int = 14) -> bool:
    assert isinstance(one, tuple)
    return max(abs(a - b) for a, b in zip(one, other, strict=True)) <= by


@pytest.mark.parametrize(
    ("size_px", "width_mm", "expected_px"),
    [
        # 101.6 mm is 4 in: 600 px at 150 dpi, an exact quarter of 2400.
        ((2400, 1800), Fraction("101.6"), (600, 450)),
        # The decoder halves for free: a half of 1800 is 225 dpi, and is taken as it comes.
        ((1800, 2400), 101.6, (900, 1200)),
        ((1000, 750), Fraction("101.6"), (1000, 750)),
        # The decoder rounds its half up.
        ((1201, 900), Fraction("101.6"), (601, 450)),
        ((1200, 900), Fraction("101.6"), (600, 450)),
        # Never enlarged.
        ((300, 225), Fraction("101.6"), (300, 225)),
        ((601, 3), Fraction("101.6"), (601, 3)),
        ((3000, 1), Fraction("50.8"), (300, 1)),
    ],
)
def test_the_printed_size_at_150_to_300_dpi(
    size_px: tuple[int, int], width_mm: Fraction | float, expected_px: tuple[int, int]
) -> None:
    made = reduce(saved(halves(size_px)), width_mm=width_mm)
    assert made.mime == "image/jpeg"
    assert opened(made.data).size == expected_px


def test_other_resolutions() -> None:
    made = reduce(saved(halves((2400, 1800))), width_mm=Fraction("101.6"), dpi=300)
    assert opened(made.data).size == (1200, 900)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_turned_photo_comes_out_upright(orientation: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = orientation
    data = saved(halves((800, 600)), exif=exif, quality=95)
    # Pillow's own turning of the whole photo, which costs five times as much, is the judge.
    upright = ImageOps.exif_transpose(Image.open(io.BytesIO(data)))
    made = opened(reduce(data, width_mm=Fraction("50.8")).data)
    halved_px = (upright.width // 2, upright.height // 2)
    assert made.size == (halved_px if upright.width < upright.height else (400, 300))
    for across in (1, 3):
        for down in (1, 3):
            there = upright.getpixel((upright.width * across // 4, upright.height * down // 4))
            assert isinstance(there, tuple)
            assert near(made.getpixel((made.width * across // 4, made.height * down // 4)), there)


def test_nothing_about_camera_place_or_author_comes_along() -> None:
    exif = Image.Exif()
    exif[0x010F] = "SECRET-MAKE"
    exif.get_ifd(0x8825)[29] = "SECRET-PLACE"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    data = saved(
        halves((800, 600)),
        exif=exif,
        comment=b"SECRET-COMMENT",
        xmp=b"<x>SECRET-XMP</x>",
        icc_profile=profile,
        dpi=(72, 72),
    )
    assert data.count(b"SECRET") == 4
    made = reduce(data, width_mm=50).data
    assert b"SECRET" not in made
    assert b"Exif" not in made
    assert b"ICC_PROFILE" not in made
    assert not opened(made).getexif()


def test_a_small_photo_that_needs_no_change_loses_its_comment_all_the_same() -> None:
    data = saved(halves((80, 60)), comment=b"SECRET-COMMENT", quality=95)
    assert b"SECRET" in data
    assert b"SECRET" not in reduce(data, width_mm=50).data


def test_the_source_s_colours_are_converted_by_its_profile() -> None:
    # In this profile the red and blue primaries of sRGB have changed places, so that a stored (r,
    # g, b) means (b, g, r); tag names as in ICC.1:2022, 9.2. A dropped profile would leave the
    # numbers alone.
    plain = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    swapped = (
        plain.replace(b"rXYZ", b"tmpX", 1).replace(b"bXYZ", b"rXYZ", 1).replace(b"tmpX", b"bXYZ", 1)
    )
    for kind in ("JPEG", "PNG"):
        data = saved(halves((400, 300)), kind, icc_profile=swapped)
        made = opened(reduce(data, width_mm=50).data)
        assert near(made.getpixel((10, 10)), RED[::-1]), kind
        assert near(made.getpixel((290, 210)), BLUE[::-1]), kind


def test_a_profile_for_other_pixels_is_passed_over() -> None:
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    grey = saved(Image.new("L", (400, 300), 90), icc_profile=profile)
    broken = saved(halves((400, 300)), icc_profile=b"no profile")
    assert near(opened(reduce(grey, width_mm=50).data).getpixel((9, 9)), (90, 90, 90))
    assert near(opened(reduce(broken, width_mm=50).data).getpixel((9, 9)), RED)


def test_every_kind_of_pixel_becomes_rgb_on_white() -> None:
    clear = Image.new("RGBA", (40, 30), (0, 0, 0, 0))
    sources = {
        "clear": saved(clear, "PNG"),
        "palette": saved(Image.new("RGB", (40, 30), "white").quantize(4), "PNG"),
        "bits": saved(Image.new("1", (40, 30), 1), "PNG"),
        "grey": saved(Image.new("L", (40, 30), 255), "PNG"),
        "grey and clear": saved(Image.new("LA", (40, 30), (0, 0)), "PNG"),
        "deep grey": saved(Image.new("I;16", (40, 30), 65535), "PNG"),
        "print colours": saved(Image.new("CMYK", (40, 30), (0, 0, 0, 0))),
    }
    for kind, data in sources.items():
        made = opened(reduce(data, width_mm=50).data)
        assert made.mode == "RGB", kind
        assert near(made.getpixel((9, 9)), (255, 255, 255), 4), kind


def test_deep_grey_is_scaled_and_not_clipped() -> None:
    data = saved(Image.new("I;16", (400, 300), 32768), "PNG")
    for width_mm in (50, 500):
        made = opened(reduce(data, width_mm=width_mm).data)
        assert near(made.getpixel((9, 9)), (127, 127, 127), 3)


def test_a_photo_cut_short_is_an_error() -> None:
    whole = saved(Image.effect_noise((800, 600), 90).convert("RGB"))
    with pytest.raises(OSError, match="truncated"):
        reduce(whole[: len(whole) * 6 // 10], width_mm=50)


@pytest.mark.parametrize(("width_mm", "dpi"), [(0, 150), (-1, 150), (50, 0)])
def test_a_size_must_be_above_zero(width_mm: float, dpi: int) -> None:
    with pytest.raises(ValueError, match="above zero"):
        reduce(b"", width_mm=width_mm, dpi=dpi)


def test_same_photo_same_bytes() -> None:
    data = saved(halves((800, 600)))
    assert reduce(data, width_mm=50) == reduce(data, width_mm=Fraction(50))


def test_reducing_does_not_load_the_layout_program() -> None:
    program = (
        "import sys, dossier.render.pictures, dossier.render.engine\n"
        "assert 'weasyprint' not in sys.modules\n"
    )
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    subprocess.run([sys.executable, "-c", program], check=True, env=surroundings)


def quarter_is_upper_right(picture: Image.Image) -> bool:
    """Return whether the red quarter of `halves`, turned a quarter clockwise, lies where it must."""
    width, height = picture.size
    corners = [(5, 5), (width - 6, 5), (5, height - 6), (width - 6, height - 6)]
    red = [near(picture.getpixel(corner), RED, 30) for corner in corners]
    return red == [False, True, False, False]


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_a_lying_picture_is_turned_once_in_every_format(kind: str) -> None:
    # Exif 2.32, tag 0x0112: 6 is turned a quarter clockwise. Pillow turns a TIFF by itself.
    exif = Image.Exif()
    exif[0x0112] = 6
    made = opened(reduce(saved(halves((400, 200)), kind, exif=exif), width_mm=30).data)
    assert made.width < made.height
    assert quarter_is_upper_right(made)


@pytest.mark.parametrize("turned", [False, True])
def test_a_heic_is_reduced_like_any_other(turned: bool) -> None:
    import pillow_heif

    exif = Image.Exif()
    exif[0x0112] = 6 if turned else 1
    target = io.BytesIO()
    pillow_heif.register_heif_opener()
    # Written by another library; the turn is in the file itself (irot, ISO/IEC 23008-12, 6.5.10).
    halves((400, 200)).save(target, "HEIF", exif=exif.tobytes(), quality=90)
    assert (b"irot" in target.getvalue()) is turned
    made = reduce(target.getvalue(), width_mm=30)
    picture = opened(made.data)
    assert made.mime == "image/jpeg"
    assert b"Exif" not in made.data
    assert quarter_is_upper_right(picture) is turned
    # 30 mm at 150 dpi is 177.2 px, rounded down.
    assert picture.width == 177


def test_a_heic_is_opened_where_nothing_taught_pillow_before() -> None:
    import pillow_heif

    target = io.BytesIO()
    pillow_heif.from_pillow(halves((200, 100))).save(target)
    code = (
        "import sys; from dossier.render.pictures import reduce\n"
        "assert 'pillow_heif' not in sys.modules\n"
        "print(len(reduce(sys.stdin.buffer.read(), width_mm=20).data) > 500)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], input=target.getvalue(), capture_output=True, check=True
    )
    assert done.stdout.split() == [b"True"]
