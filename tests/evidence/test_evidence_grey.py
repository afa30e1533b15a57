"""What the grey of a photo says: hash, sharpness, brightness; what shows nothing; HEIC."""

import io
import json
import statistics
import subprocess
import sys
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest
from PIL import Image, ImageDraw, ImageFilter, ImageOps

from dossier.evidence import PhotoFact, measure, pictures, shows_nothing
from dossier.evidence.grey import BRIGHT_FROM, DARK_BELOW, REDUCED_PX, decode_px

DEMO = Path(__file__).parents[2] / "demo_jobs"
ORIENTATION = 0x0112


def _fact(job: Path, image: Image.Image, kind: str = "PNG", **options: object) -> PhotoFact:
    image.save(job / "photos/a", kind, **options)
    return measure(job, ["photos/a"], []).photos["photos/a"]


def _apart(one: PhotoFact, other: PhotoFact) -> int:
    assert one.dhash is not None
    assert other.dhash is not None
    return (one.dhash ^ other.dhash).bit_count()


def _view(seed: int, size_px: tuple[int, int] = (1600, 1200)) -> Image.Image:
    """Return a picture of blocks large and small, as a roof with a house and trees around it is."""
    chance, image = Random(seed), Image.new("RGB", size_px, "white")
    pen = ImageDraw.Draw(image)
    for _ in range(90):
        x, y = chance.randrange(size_px[0]), chance.randrange(size_px[1])
        wide, high = chance.randrange(20, 500), chance.randrange(20, 300)
        colour = tuple(chance.randrange(30, 225) for _ in range(3))
        pen.rectangle((x - wide // 2, y - high // 2, x + wide // 2, y + high // 2), fill=colour)
    return image


# -- the difference hash


@pytest.mark.parametrize("seed", range(6))
def test_a_hash_reads_back_the_bits_it_was_drawn_from(job: Path, seed: int) -> None:
    # By the definition: 9 x 8 pixels, one bit a step to the right, 1 where it grows brighter, the upper
    # left first (N. Krawetz, “Kind of Like That”, The Hacker Factor Blog, 21 January 2013).
    bits = Random(seed).getrandbits(64)
    drawn = Image.new("L", (9, 8))
    for row in range(8):
        luma = 128
        drawn.putpixel((0, row), luma)
        for step in range(8):
            luma += 9 if bits >> (63 - 8 * row - step) & 1 else -9
            drawn.putpixel((step + 1, row), luma)
    assert _fact(job, drawn).dhash == bits
    # Every pixel as a square of 40: the reduction averages each back to what it was.
    assert _fact(job, drawn.resize((360, 320), Image.Resampling.NEAREST)).dhash == bits


def test_equal_neighbours_give_no_bit(job: Path) -> None:
    assert _fact(job, Image.new("L", (400, 300), 90)).dhash == 0


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF"])
def test_the_hash_is_of_the_upright_picture(job: Path, kind: str, orientation: int) -> None:
    # Orientation is Exif 2.32, tag 0x0112; Pillow's own turning is the outside judge.
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    lying = _view(3, (640, 480))
    options = {"quality": 95} if kind == "JPEG" else {}
    fact = _fact(job, lying, kind, exif=exif, **options)
    with Image.open(job / "photos/a") as stored:
        upright = ImageOps.exif_transpose(stored)
    assert fact.size_px == upright.size
    assert _apart(fact, _fact(job, upright.convert("RGB"))) <= (2 if kind == "JPEG" else 0)


def test_copies_are_near_and_other_views_are_far(job: Path) -> None:
    original = _fact(job, _view(1), "JPEG", quality=90)
    for width, quality in ((1600, 50), (800, 75), (640, 60), (500, 85)):
        copy = _view(1).resize((width, width * 3 // 4), Image.Resampling.LANCZOS)
        assert _apart(original, _fact(job, copy, "JPEG", quality=quality)) <= 2
    others = [_fact(job, _view(seed, (800, 600)), "JPEG") for seed in range(2, 12)]
    assert min(_apart(original, other) for other in others) > 10


# -- sharpness and brightness


def test_sharpness_is_the_variance_of_the_laplacian(job: Path) -> None:
    # Worked by the definition on every inner pixel, with the population variance of the standard library.
    width, height = REDUCED_PX, 24
    chance = Random(5)
    luma = [[chance.randrange(100, 140) for _ in range(width)] for _ in range(height)]
    drawn = Image.new("L", (width, height))
    drawn.putdata([value for row in luma for value in row])
    steps = [
        luma[y - 1][x] + luma[y + 1][x] + luma[y][x - 1] + luma[y][x + 1] - 4 * luma[y][x]
        for y in range(1, height - 1)
        for x in range(1, width - 1)
    ]
    clipped = [max(-128, min(127, step)) for step in steps]
    assert _fact(job, drawn).sharpness == statistics.pvariance(map(Fraction, clipped))


def test_a_picture_too_small_to_reduce_has_no_sharpness(job: Path) -> None:
    assert _fact(job, _view(1, (255, 200))).sharpness is None
    assert _fact(job, _view(1, (256, 2))).sharpness is None
    assert _fact(job, _view(1, (256, 200))).sharpness is not None


def test_brightness_is_counted_to_the_pixel(job: Path) -> None:
    drawn = Image.new("L", (200, 100), 128)
    drawn.paste(DARK_BELOW - 1, (0, 0, 10, 100))
    drawn.paste(DARK_BELOW, (10, 0, 20, 100))
    drawn.paste(BRIGHT_FROM, (20, 0, 60, 100))
    drawn.paste(BRIGHT_FROM - 1, (60, 0, 70, 100))
    fact = _fact(job, drawn)
    assert (fact.dark_share, fact.bright_share) == (Fraction(10, 200), Fraction(40, 200))
    sum_of_a_row = 10 * 23 + 10 * 24 + 40 * 250 + 10 * 249 + 130 * 128
    assert fact.mean_luma == Fraction(sum_of_a_row, 200)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16", "CMYK", "YCbCr"])
def test_every_mode_has_its_grey(job: Path, mode: str) -> None:
    grey = Image.linear_gradient("L").resize((300, 300))
    image = grey.convert("I").point(lambda luma: luma * 257).convert("I;16")
    if mode != "I;16":
        image = grey.convert("RGB").convert(mode)
    kind = "TIFF" if mode in ("CMYK", "YCbCr") else "PNG"
    fact = _fact(job, image, kind)
    assert fact.fault is None
    assert fact.mean_luma is not None
    assert abs(fact.mean_luma - Fraction(255, 2)) < 2


def test_a_transparent_picture_is_seen_on_white(job: Path) -> None:
    assert _fact(job, Image.new("RGBA", (300, 200), (0, 0, 0, 0))).mean_luma == 255


def test_a_colour_space_without_a_grey_is_no_fault(job: Path) -> None:
    for mode in ("LAB", "F", "I"):
        fact = _fact(job, Image.new(mode, (300, 200)), "TIFF")
        assert (fact.fault, fact.dhash, fact.mean_luma) == (None, None, None)
        assert shows_nothing(fact) is None


def test_a_photo_that_does_not_open_has_no_numbers(job: Path) -> None:
    _view(1).save(job / "photos/a", "JPEG")
    whole = (job / "photos/a").read_bytes()
    for data in (whole[: len(whole) // 2], whole[:-900] + bytes(900)):
        (job / "photos/a").write_bytes(data)
        fact = measure(job, ["photos/a"], []).photos["photos/a"]
        assert fact.fault is not None
        assert (fact.dhash, fact.sharpness, fact.mean_luma) == (None, None, None)
        assert (fact.dark_share, fact.bright_share) == (None, None)


def test_numbers_kept_are_numbers_measured(job: Path) -> None:
    _view(1).save(job / "photos/a", "JPEG")
    first, again = (
        measure(job, ["photos/a"], [], cache_folder=job / ".dossier").photos["photos/a"]
        for _ in range(2)
    )
    assert first == again
    assert isinstance(again.sharpness, Fraction)
    assert again.dhash is not None


def test_a_photo_is_opened_once(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _view(1).save(job / "photos/a", "JPEG")
    opened, loaded = [], []
    really_open, really_load = Image.open, Image.core.new
    monkeypatch.setattr(Image, "open", lambda *a, **k: opened.append(1) or really_open(*a, **k))
    monkeypatch.setattr(Image.core, "new", lambda *a: loaded.append(a) or really_load(*a))
    assert measure(job, ["photos/a"], []).photos["photos/a"].dhash is not None
    assert len(opened) == 1
    # Decoded in grey and small, never in full colour: 1600 / 4 is the least above 256.
    assert ("L", (400, 300)) in loaded
    assert all(size <= (400, 300) for _, size in loaded)


# -- what shows nothing


def test_no_drawn_photo_of_the_demo_shows_nothing() -> None:
    shown = 0
    for path in sorted(DEMO.glob("*/photos/*/*.jpg")):
        picture = pictures.look_at_picture(path.read_bytes(), "jpeg")
        if picture.fault is None:
            fact = _bare(picture)
            assert shows_nothing(fact) is None, path
            shown += 1
    assert shown > 70


def _bare(picture: pictures.Picture) -> PhotoFact:
    numbers = picture.grey
    return PhotoFact(
        "a", True, None, 1, "0", "jpeg", picture.size_px, None, None, None, None, None,
        dark_share=numbers.dark_share, bright_share=numbers.bright_share,
        sharpness=numbers.sharpness,
    )  # fmt: skip


def _noisy(luma: int, spread: float, size_px: tuple[int, int] = (1600, 1200)) -> Image.Image:
    """Return an even surface as a phone gives it: noise of a few steps around one luma."""
    noise = Image.effect_noise(size_px, spread)
    return noise.point(lambda value: max(0, min(255, value - 128 + luma)))


def test_poor_but_usable_photos_are_not_accused(job: Path) -> None:
    demo = Image.open(DEMO / "2026-041-plover-lane/photos/field/front-nails.jpg")
    at_dusk = demo.point(lambda value: value // 6)
    shaken = demo.filter(ImageFilter.BoxBlur(8))
    snow = _noisy(236, 8)
    ImageDraw.Draw(snow).rectangle((700, 500, 900, 640), fill=90)
    attic = Image.new("L", (1600, 1200), 4)
    attic.paste(_noisy(120, 20, (240, 180)), (700, 500))
    for photo in (demo, at_dusk, shaken, snow, attic, _noisy(60, 6)):
        fact = _fact(job, photo.convert("RGB"), "JPEG", quality=85)
        assert shows_nothing(fact) is None, fact


def test_what_shows_nothing_says_why(job: Path) -> None:
    demo = Image.open(DEMO / "2026-041-plover-lane/photos/field/front-nails.jpg")
    in_a_pocket = _fact(job, _noisy(5, 3), "JPEG")
    into_the_sun = _fact(job, Image.new("L", (1600, 1200), 254), "JPEG")
    # A fiftieth of the width, Gaussian.
    out_of_focus = _fact(job, demo.filter(ImageFilter.GaussianBlur(24)), "JPEG")
    finger = _fact(job, Image.new("RGB", (1600, 1200), (150, 60, 50)), "JPEG")
    assert (shows_nothing(in_a_pocket) or "").startswith("is black: 100 % of it is darker than 24")
    assert (shows_nothing(into_the_sun) or "").startswith("is burnt out: 100 % of it is at 250")
    for fact in (out_of_focus, finger):
        assert (shows_nothing(fact) or "").startswith("has no edge in it: its sharpness is ")


@pytest.mark.parametrize(
    ("name", "at_limit", "short_of_it"),
    [
        ("dark_share", Fraction(995, 1000), Fraction(9949, 10000)),
        ("bright_share", Fraction(995, 1000), Fraction(9949, 10000)),
        ("sharpness", Fraction(2999, 1000), Fraction(3)),
    ],
)
def test_the_limits_are_sharp(name: str, at_limit: Fraction, short_of_it: Fraction) -> None:
    bare = ("a", True, None, 1, "0", "jpeg", (1200, 900), None, None, None, None, None)
    reason = shows_nothing(PhotoFact(*bare, **{name: at_limit}))
    assert reason is not None
    assert reason.endswith(".")
    assert "3, and below 3 " not in reason
    assert shows_nothing(PhotoFact(*bare, **{name: short_of_it})) is None
    assert shows_nothing(PhotoFact(*bare)) is None


# -- HEIC


def _heic(image: Image.Image, exif: Image.Exif | None = None) -> bytes:
    """Return the picture as HEIC, written by the library that wraps libheif."""
    from pillow_heif import from_pillow

    if exif is not None:
        image = image.copy()
        image.info["exif"] = exif.tobytes()
    target = io.BytesIO()
    if exif is not None and exif.get(ORIENTATION, 1) != 1:
        from pillow_heif import register_heif_opener

        register_heif_opener()
        # Saved this way, the turn is written as the file's own (irot), as phones do.
        image.save(target, "HEIF", exif=exif.tobytes())
    else:
        from_pillow(image).save(target)
    return target.getvalue()


def _measured(job: Path, data: bytes) -> PhotoFact:
    (job / "photos/a.heic").write_bytes(data)
    return measure(job, ["photos/a.heic"], []).photos["photos/a.heic"]


def _camera() -> Image.Exif:
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x0131] = "Maker", "Model 5", "Program 1.0"
    exif.get_ifd(0x8769)[0x9003] = "2026:09:14 10:00:01"
    exif.get_ifd(0x8769)[0x9011] = "-04:00"
    exif.get_ifd(0x8825).update({1: "N", 2: (47.0, 42.0, 0.0), 3: "W", 4: (87.0, 6.0, 0.0)})
    return exif


def test_a_heic_photo_is_measured_like_any_other(job: Path, run_tool: Callable[..., str]) -> None:
    image = _view(7, (640, 480))
    fact = _measured(job, _heic(image, _camera()))
    assert (fact.kind, fact.fault, fact.size_px) == ("heic", None, (640, 480))
    assert _apart(fact, _fact(job, image)) <= 1
    [tool] = json.loads(run_tool("exiftool", "-json", "-n", job / "photos/a.heic"))
    assert f"{fact.taken_at_local:%Y:%m:%d %H:%M:%S}" == tool["DateTimeOriginal"]
    assert (tool["OffsetTimeOriginal"], tool["Software"]) == ("-04:00", fact.software)
    assert fact.camera == f"{tool['Make']} {tool['Model']}"
    assert fact.place is not None
    assert [float(part) for part in fact.place] == pytest.approx(
        [tool["GPSLatitude"], tool["GPSLongitude"]], abs=1e-9
    )


def test_a_heic_turned_by_the_phone_is_upright_once(job: Path) -> None:
    image = _view(7, (640, 480))
    exif = _camera()
    exif[ORIENTATION] = 6
    fact = _measured(job, _heic(image, exif))
    # Orientation 6 is turned a quarter clockwise to be seen upright (Exif 2.32, tag 0x0112).
    upright = image.transpose(Image.Transpose.ROTATE_270)
    assert fact.size_px == (480, 640)
    assert _apart(fact, _fact(job, upright)) <= 1


def test_a_heic_cut_short_or_damaged_is_a_fault(job: Path) -> None:
    whole = _heic(_view(7, (640, 480)))
    for share in (0.2, 0.6, 0.99):
        fact = _measured(job, whole[: int(len(whole) * share)])
        assert fact.fault is not None
        assert fact.fault.startswith("is cut short")
        assert fact.dhash is None
    spoilt = whole[:100] + b"\xff" * 60 + whole[160:]
    assert (_measured(job, spoilt).fault or "").startswith("is damaged: it begins as a HEIC")


def test_the_small_view_inside_a_heic_does_not_stand_in_for_the_picture(job: Path) -> None:
    from pillow_heif import from_pillow, register_heif_opener

    target = io.BytesIO()
    made = from_pillow(_view(7, (1200, 900)))
    made[0].info["thumbnails"] = [512]
    made.save(target)
    whole = target.getvalue()
    assert _measured(job, whole).fault is None
    # The picture's own data comes first; the last bytes are the small view's.
    at = whole.index(b"mdat") + 8
    kept = (len(whole) - at) // 2
    spoilt = whole[:at] + bytes(len(whole) - at - kept) + whole[-kept:]
    register_heif_opener()
    small = Image.open(io.BytesIO(spoilt))
    assert small.draft("L", decode_px(small.size)) is not None
    small.load()  # So a spoilt photo passes without the guard under test.
    assert small.size == (512, 384)
    assert (_measured(job, spoilt).fault or "").startswith("is damaged: it begins as a HEIC")


def test_without_the_library_a_heic_is_named(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(Image.OPEN, "HEIF", raising=False)
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    fact = _measured(job, b"\0\0\0\x18ftypheic\0\0\0\0mif1heic")
    assert fact.fault is not None
    assert fact.fault.startswith("is a HEIC photo, which cannot be opened here.")


def test_the_heic_library_is_loaded_only_for_a_heic(job: Path) -> None:
    _view(1, (300, 200)).save(job / "photos/a.jpg")
    (job / "photos/b.heic").write_bytes(_heic(_view(1, (300, 200))))
    code = (
        "import sys; from pathlib import Path; from dossier.evidence import measure\n"
        "job = Path(sys.argv[1])\n"
        "for file in ('photos/a.jpg', 'photos/b.heic'):\n"
        "    assert measure(job, [file], []).photos[file].fault is None\n"
        "    print('pillow_heif' in sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(job)], check=True, capture_output=True, text=True
    )
    assert done.stdout.split() == ["False", "True"]
