"""Photos: kind by content, faults to act on, and what the camera says, against exiftool."""

import dataclasses
import io
import json
import random
import struct
from collections.abc import Callable
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from PIL import Image, ImageFile, PngImagePlugin

from dossier.evidence import PhotoFact, measure, pictures
from dossier.evidence.exif import CameraSays, read_exif


def _measured(job: Path, data: bytes, name: str = "photos/a.jpg") -> PhotoFact:
    (job / name).write_bytes(data)
    return measure(job, [name], []).photos[name]


def _exif(**camera: object) -> Image.Exif:
    """Return an Exif block as a camera would write it; a name in `camera` replaces its value."""
    exif = Image.Exif()
    exif[0x010F], exif[0x0110] = camera.get("make", "Maker"), camera.get("model", "Model 5")
    exif[0x0131], exif[0x0112] = "Program 1.0", camera.get("orientation", 1)
    exif[0x8769] = {
        0x9003: camera.get("taken", "2025:03:14 16:30:00"),
        0x9011: camera.get("off", "-04:00"),
    }
    exif[0x8825] = {
        1: camera.get("ns", "N"),
        2: camera.get("latitude", (40.0, 26.0, 46.32)),
        3: camera.get("ew", "W"),
        4: camera.get("longitude", (79.0, 58.0, 56.0)),
    }
    return exif


def _tiff(
    entries: list[tuple[int, int, int, bytes]], following: int = 0, more: bytes = b""
) -> bytes:
    """Return a one-directory Exif block by hand, big-endian: (tag, type, count, four bytes)."""
    directory = struct.pack(">H", len(entries))
    directory += b"".join(struct.pack(">HHL4s", *entry) for entry in entries)
    return b"MM\0*" + struct.pack(">L", 8) + directory + struct.pack(">L", following) + more


@pytest.mark.parametrize(
    ("kind", "options", "expected"),
    [
        ("JPEG", {}, "jpeg"),
        ("JPEG", {"progressive": True}, "jpeg"),
        ("JPEG", {"mode": "CMYK"}, "jpeg"),
        ("JPEG", {"mode": "L"}, "jpeg"),
        ("PNG", {}, "png"),
        ("PNG", {"mode": "I;16"}, "png"),
        ("TIFF", {}, "tiff"),
        ("TIFF", {"mode": "CMYK", "compression": "tiff_lzw"}, "tiff"),
        ("WEBP", {}, "webp"),
        ("GIF", {}, "unknown"),
        ("MPO", {"save_all": True}, "jpeg"),
    ],
)
def test_whole_photos_have_no_fault(job: Path, encoded, kind, options, expected) -> None:
    fact = _measured(job, encoded(kind, **options))
    assert (fact.fault, fact.kind, fact.size_px) == (None, expected, (96, 64))
    assert fact.exists


@pytest.mark.parametrize("kind", ["GIF", "WEBP", "PNG"])
def test_an_animation_is_no_fault(job: Path, encoded, picture: Image.Image, kind: str) -> None:
    moving = encoded(kind, save_all=True, append_images=[picture.rotate(90), picture.rotate(180)])
    assert Image.open(io.BytesIO(moving)).n_frames == 3
    assert _measured(job, moving).fault is None


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.97])
def test_a_photo_cut_short_is_a_fault(job: Path, encoded, kind: str, share: float) -> None:
    whole = encoded(kind)
    fact = _measured(job, whole[: int(len(whole) * share)])
    assert fact.fault == (
        "is cut short: the file ends before the picture does. Copy it again from the camera or"
        " phone it came from."
    )
    assert fact.kind == kind.lower()
    assert fact.sha256 is not None


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_cut_photo_is_a_fault_after_another_library_asked_for_leniency(
    job: Path, encoded, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    cut = encoded(kind)[:-900]
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    Image.open(io.BytesIO(cut)).load()  # So a broken photo passes without the guard under test.
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 77)
    assert _measured(job, cut).fault.startswith("is cut short")
    assert ImageFile.LOAD_TRUNCATED_IMAGES is True
    assert Image.MAX_IMAGE_PIXELS == 77


def test_a_jpeg_whose_end_is_all_zeros_is_a_fault(job: Path, encoded) -> None:
    whole = encoded()
    assert _measured(job, whole[:-900] + bytes(900)).fault.startswith("is cut short")
    # What a phone appends behind the closing mark is none of the picture.
    assert _measured(job, whole + bytes(900)).fault is None


@pytest.mark.parametrize(
    ("data", "kind", "says"),
    [
        (b"", "unknown", "is empty"),
        (b"this was never a photo\n", "text", "is text and not a picture"),
        ("Schindel für Schindel".encode("utf-16"), "text", "is text and not a picture"),
        (b"<html>Sign in to see this photo</html>", "text", "is text and not a picture"),
        (b"%PDF-1.7\n%%EOF", "pdf", "is a PDF and not a picture"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "heic", "is damaged: it begins as a HEIC"),
        (b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic", "heic", "is damaged: it begins as a HEIC"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic\0\0\1\0meta", "heic", "is cut short"),
        (b"\0\0\0\x18ftypavif\0\0\0\0mif1avif", "unknown", "is not a kind of picture"),
        (b"\0\0\0\x18ftypisom\0\0\0\0isommp42", "unknown", "is not a kind of picture"),
        (bytes(4000), "unknown", "is not a kind of picture"),
        (b"\xff\xd8\xff\xe0", "jpeg", "is cut short"),
        (b"\xff\xd8\xff\xda" + bytes(40) + b"\xff\xd9", "jpeg", "is damaged"),
        (b"GIF89a" + b"\xff" * 40, "unknown", "is damaged: it begins as a GIF"),
        (b"II*\0\x08\0\0\0", "tiff", "is damaged: it begins as a TIFF"),
    ],
)
def test_what_is_no_photo_says_what_it_is(job: Path, data: bytes, kind: str, says: str) -> None:
    fact = _measured(job, data)
    assert fact.kind == kind
    assert fact.fault.startswith(says)
    assert fact.fault.endswith(".")
    assert fact.size_px is None


def test_a_heic_photo_opens_where_something_taught_pillow_to(
    job: Path, picture: Image.Image, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Opened(ImageFile.ImageFile):
        format = "HEIF"

        def _open(self) -> None:
            self._size, self._mode = (30, 40), "L"
            self.tile = [ImageFile._Tile("raw", (0, 0, 30, 40), 0, ("L", 0, 1))]

    data = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(2000)
    monkeypatch.setitem(Image.OPEN, "HEIF", (Opened, None))
    fact = _measured(job, data)
    assert (fact.kind, fact.fault, fact.size_px) == ("heic", None, (30, 40))


def _bomb_header(width: int, height: int) -> bytes:
    target = io.BytesIO()
    target.write(b"\x89PNG\r\n\x1a\n")
    header = struct.pack(">LLBBBBB", width, height, 8, 2, 0, 0, 0)
    PngImagePlugin.putchunk(target, b"IHDR", header)
    PngImagePlugin.putchunk(target, b"IDAT", b"x\x9c\x03\0\0\0\0\x01")
    PngImagePlugin.putchunk(target, b"IEND", b"")
    return target.getvalue()


@pytest.mark.parametrize(
    ("size_px", "says"),
    [
        ((12_000, 9_000), "is 12000 × 9000 pixels, 108.0 megapixels, above the limit of 89.4."),
        ((60_000, 60_000), "is 60000 × 60000 pixels, 3600.0 megapixels, above the limit of 89.4."),
        ((17_895_698, 5), "is 17895698 × 5 pixels, 89.5 megapixels, above the limit of 89.4."),
    ],
)
def test_a_picture_above_the_pixel_limit_is_a_fault_and_no_crash(job: Path, size_px, says) -> None:
    assert pictures.PIXEL_LIMIT == Image.MAX_IMAGE_PIXELS  # Pillow's documented default.
    fact = _measured(job, _bomb_header(*size_px))
    assert fact.fault == f"{says} Save a smaller copy."
    assert fact.size_px == size_px
    # 17,895,697 x 5 is the last that fits; this one is only damaged.
    assert _measured(job, _bomb_header(17_895_697, 5)).fault.startswith("is damaged")


def test_a_jpeg_of_thousands_of_passes_is_not_decoded(job: Path, encoded) -> None:
    whole = encoded(progressive=True)
    scan_at = whole.index(b"\xff\xda")
    scan = whole[scan_at : whole.index(b"\xff", scan_at + 12)]
    assert _measured(job, whole[:scan_at] + scan * 201 + whole[scan_at:]).fault.startswith(
        "is built of 2"
    )
    blocks = b"\xff\xfe\0\x02" * 10_001
    assert _measured(job, whole[:2] + blocks + whole[2:]).fault.startswith("has more than 10000")
    assert _measured(job, whole[:2] + blocks[:4000] + whole[2:]).fault is None


def test_no_broken_file_is_a_crash(job: Path, encoded, pdf_of) -> None:
    # Warnings are errors in these tests, so that this also shows that none leaks.
    chance = random.Random(20240506)
    exif = _exif()
    seeds = [encoded(kind, exif=exif) for kind in ("JPEG", "PNG", "TIFF", "WEBP", "MPO")]
    seeds += [encoded("GIF"), encoded("JPEG", progressive=True, exif=exif)]
    for number in range(150):
        data = bytearray(seeds[number % len(seeds)])
        for _ in range(chance.choice((1, 3, 10))):
            data[chance.randrange(min(len(data), 700))] = chance.choice((0, 127, 255, number))
        fact = _measured(job, bytes(data))
        assert fact.fault is None or fact.fault.endswith(".")


def test_a_broken_exif_block_is_no_fault_of_the_picture(job: Path, encoded) -> None:
    chance = random.Random(1)
    whole = encoded("JPEG", exif=_exif())
    start = whole.index(b"Exif\0\0") + 6
    for _ in range(100):
        data = bytearray(whole)
        for _ in range(5):
            data[start + chance.randrange(200)] = chance.choice((0, 1, 255))
        assert _measured(job, bytes(data)).fault is None


def test_a_resolution_pillow_stumbles_over_is_no_fault_of_the_picture(job: Path, encoded) -> None:
    block = _tiff([(0x011A, 2, 1, b"\0\0\0\x08"), (0x0128, 3, 1, b"\0\2\0\0")])
    whole = encoded("JPEG", exif=b"Exif\0\0" + block)
    assert whole[2:4] == b"\xff\xe0"
    without_jfif = whole[:2] + whole[20:]
    with pytest.raises(OSError, match="cannot identify"):
        Image.open(io.BytesIO(without_jfif))
    fact = _measured(job, without_jfif)
    assert (fact.fault, fact.size_px) == (None, (96, 64))


def test_what_pillow_only_warns_of_is_no_fault(job: Path, encoded) -> None:
    # An animation control chunk that announces no pictures; the still picture is whole.
    whole, control = encoded("PNG"), io.BytesIO()
    PngImagePlugin.putchunk(control, b"acTL", bytes(8))
    data = whole[:33] + control.getvalue() + whole[33:]
    with pytest.warns(UserWarning, match="Invalid APNG"):
        Image.open(io.BytesIO(data))
    assert _measured(job, data).fault is None


# -- what the camera says


def test_the_gps_worked_example(job: Path, encoded) -> None:
    # Worked example of the degree, minute, second form: 40 26 46.32 N, 79 58 56.0 W is 40.4462,
    # -79.982222 (tags and signs: Exif 2.32, 4.6.6; the sum is degrees + minutes/60 + seconds/3600).
    place = _measured(job, encoded(exif=_exif())).place
    assert place == (Fraction("40.4462"), -(79 + Fraction(58, 60) + Fraction(56, 3600)))
    assert round(float(place[1]), 6) == -79.982222


def test_camera_clock_and_offset_make_utc(job: Path, encoded) -> None:
    # Worked example: 2025:03:14 16:30:00 at -04:00 is 20:30 UTC (Exif 2.32: 0x9003 less 0x9011).
    fact = _measured(job, encoded(exif=_exif()))
    assert fact.taken_at_local == datetime(2025, 3, 14, 16, 30)
    assert fact.taken_at_local - fact.taken_offset == datetime(2025, 3, 14, 20, 30)
    assert fact.camera == "Maker Model 5"
    assert fact.software == "Program 1.0"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_camera_facts_are_what_exiftool_says(
    job: Path, encoded, run_tool: Callable[..., str], kind: str
) -> None:
    # Written by Pillow and, over that, by exiftool itself: two writers, one reader outside.
    south = {"ns": "S", "ew": "E", "latitude": (33.5, 0.0, 0.0), "longitude": (151.0, 12.5, 0.0)}
    (job / "photos/pillow").write_bytes(encoded(kind, exif=_exif(orientation=6, **south)))
    (job / "photos/tool").write_bytes(encoded(kind, exif=_exif()))
    run_tool(
        "exiftool", "-q", "-overwrite_original", "-n", "-EXIF:DateTimeOriginal=2024:02:29 23:59:59",
        "-EXIF:OffsetTimeOriginal=+05:45", "-EXIF:GPSLatitude=44.123456", "-EXIF:GPSLatitudeRef=S",
        "-EXIF:GPSLongitude=87.654321", "-EXIF:GPSLongitudeRef=E", "-EXIF:Make=Other",
        "-EXIF:Model=Other X1", "-EXIF:Software=App 2", "-EXIF:Orientation=8", job / "photos/tool",
    )  # fmt: skip
    # A TIFF by Pillow has none of the inner directories.
    files = ["photos/tool"] if kind == "TIFF" else ["photos/pillow", "photos/tool"]
    facts = measure(job, files, []).photos
    said = json.loads(run_tool("exiftool", "-json", "-n", *(job / file for file in files)))
    for file, tool in zip(files, said, strict=True):
        fact = facts[file]
        assert fact.fault is None
        assert f"{fact.taken_at_local:%Y:%m:%d %H:%M:%S}" == tool["DateTimeOriginal"]
        sign, hours, minutes = (s := tool["OffsetTimeOriginal"])[0], s[1:3], s[4:6]
        offset = timedelta(hours=int(hours), minutes=int(minutes))
        assert fact.taken_offset == (offset if sign == "+" else -offset)
        assert float(fact.place[0]) == pytest.approx(tool["GPSLatitude"], abs=1e-9)
        assert float(fact.place[1]) == pytest.approx(tool["GPSLongitude"], abs=1e-9)
        model, make = tool["Model"], tool["Make"]
        assert fact.camera == (model if model.startswith(make) else f"{make} {model}")
        assert fact.software == tool["Software"]
        # exiftool gives the size as stored; orientations 6 and 8 lie on their side.
        assert tool["Orientation"] in (6, 8)
        assert fact.size_px == (tool["ImageHeight"], tool["ImageWidth"])


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "TIFF"])
def test_size_is_upright_as_pillow_turns_it(job: Path, encoded, kind, orientation: int) -> None:
    from PIL import ImageOps

    data = encoded(kind, exif=_exif(orientation=orientation))
    turned = ImageOps.exif_transpose(Image.open(io.BytesIO(data)))
    assert _measured(job, data).size_px == turned.size
    # Exif 2.32, 4.6.4 A: 5 to 8 have rows for columns.
    assert turned.size == ((96, 64) if orientation < 5 else (64, 96))


@pytest.mark.parametrize(
    "taken",
    [
        "0001:01:01 00:10:00",
        "1601:01:01 00:00:00",
        "9999:12:31 23:59:00",
        "2024:02:30 10:00:00",
        "0000:00:00 00:00:00",
        "2024:13:01 10:00:00",
        "2024:05:06 24:00:00",
        "    :  :     :  :  ",
        "2024:05:06",
        "yesterday",
        "",
    ],
)
def test_an_impossible_camera_time_is_none(job: Path, encoded, taken: str) -> None:
    fact = _measured(job, encoded(exif=_exif(taken=taken)))
    assert fact.taken_at_local is None
    assert fact.fault is None
    assert fact.camera == "Maker Model 5"
    # The same way written, a day that exists is read.
    leap_day = _measured(job, encoded(exif=_exif(taken="2024:02:29 00:00:00")))
    assert leap_day.taken_at_local == datetime(2024, 2, 29)


def test_digits_of_another_script_are_no_camera_time() -> None:
    def says(taken: bytes) -> CameraSays:
        inner_at = 8 + 2 + 12 + 4
        text_at = inner_at + 2 + 12 + 4
        where = struct.pack(">L", text_at)
        inner = _tiff([(0x9003, 2, len(taken), where)], more=taken)[8:]
        return read_exif(_tiff([(0x8769, 4, 1, struct.pack(">L", inner_at))]) + inner)

    assert says(b"2024:05:06 10:00:00\0").taken_at_local == datetime(2024, 5, 6, 10)
    assert says("٢٠٢٤:05:06 10:00:00\0".encode()) == CameraSays()


@pytest.mark.parametrize(
    ("offset", "hours"),
    [
        ("+14:00", 14),
        ("-12:00", -12),
        ("+05:30", 5.5),
        ("+14:01", None),
        ("-12:01", None),
        ("+05:60", None),
        ("   :  ", None),
        ("0500", None),
        ("Z", None),
    ],
)
def test_an_offset_no_clock_has_is_none(job: Path, encoded, offset: str, hours) -> None:
    # Bounds: IANA time zone database, Etc/GMT+12 and Pacific/Kiritimati.
    expected = None if hours is None else timedelta(hours=hours)
    assert _measured(job, encoded(exif=_exif(off=offset))).taken_offset == expected


@pytest.mark.parametrize(
    "camera",
    [
        {"latitude": (91.0, 0.0, 0.0)},
        {"latitude": (90.0, 0.0, 1.0)},
        {"longitude": (180.0, 0.0, 1.0)},
        {"latitude": (40.0, 61.0, 0.0)},
        {"latitude": (40.0, 0.0, 60.5)},
        {"latitude": (40.0, 26.0)},
        {"ns": "X"},
        {"ew": "N"},
        {"ns": ""},
        {"latitude": (0.0, 0.0, 0.0), "longitude": (0.0, 0.0, 0.0)},
    ],
)
def test_a_place_that_cannot_be_is_none(job: Path, encoded, camera) -> None:
    fact = _measured(job, encoded(exif=_exif(**camera)))
    assert fact.place is None
    assert fact.taken_at_local is not None


def test_the_ends_of_the_earth_are_places(job: Path, encoded) -> None:
    pole = _exif(latitude=(90.0, 0.0, 0.0), longitude=(180.0, 0.0, 0.0))
    assert _measured(job, encoded(exif=pole)).place == (90, -180)
    line = _exif(latitude=(0.0, 0.0, 0.0), longitude=(0.0, 0.0, 36.0))
    assert _measured(job, encoded(exif=line)).place == (0, Fraction(-1, 100))


def _placed(kind: int, letters: str, parts: tuple[int, int, int]) -> object:
    """Return the place in a block whose latitude and longitude are both these whole parts over 1."""
    gps_at = 8 + 2 + 12 + 4
    data_at = struct.pack(">L", gps_at + 2 + 4 * 12 + 4)
    gps = _tiff(
        [
            (1, 2, 2, letters[:1].encode() + b"\0\0\0"),
            (2, kind, 3, data_at),
            (3, 2, 2, letters[1:].encode() + b"\0\0\0"),
            (4, kind, 3, data_at),
        ],
        more=b"".join(struct.pack(">ll", part, 1) for part in parts),
    )[8:]
    return read_exif(_tiff([(0x8825, 4, 1, struct.pack(">L", gps_at))]) + gps).place


def test_a_place_in_signed_fractions_is_read() -> None:
    # TIFF 6.0, section 2: type 10 is a signed fraction; Exif 2.32, 4.6.6, asks for type 5, and some write 10.
    exact = 40 + Fraction(26, 60) + Fraction(46, 3600)
    assert _placed(5, "NE", (40, 26, 46)) == (exact, exact)
    assert _placed(10, "NE", (40, 26, 46)) == (exact, exact)
    # South and west said twice, by letter and by sign, once for all parts and once for the degrees alone.
    assert _placed(10, "SW", (-40, -26, -46)) == (-exact, -exact)
    assert _placed(10, "SW", (-40, 26, 46)) == (-exact, -exact)


@pytest.mark.parametrize(
    ("letters", "parts"), [("NE", (-40, 26, 46)), ("SE", (-40, 0, 0)), ("SW", (40, -26, 46))]
)
def test_a_sign_against_its_letter_is_no_place(letters: str, parts: tuple[int, int, int]) -> None:
    assert _placed(10, letters, parts) is None


@pytest.mark.parametrize("bottoms", [(0, 1, 1), (1, 0, 1), (1, 1, 0), (0, 0, 0), (1, 1, 1)])
def test_a_zero_below_a_gps_fraction_is_none(bottoms: tuple[int, int, int]) -> None:
    gps_at = 8 + 2 + 12 + 4
    data_at = gps_at + 2 + 4 * 12 + 4
    degrees = b"".join(struct.pack(">LL", top, low) for top, low in zip((40, 26, 46), bottoms))  # noqa: B905
    gps = _tiff(
        [
            (1, 2, 2, b"N\0\0\0"),
            (2, 5, 3, struct.pack(">L", data_at)),
            (3, 2, 2, b"E\0\0\0"),
            (4, 5, 3, struct.pack(">L", data_at)),
        ],
        more=degrees,
    )[8:]
    says = read_exif(_tiff([(0x8825, 4, 1, struct.pack(">L", gps_at))]) + gps)
    if bottoms == (1, 1, 1):
        exact = 40 + Fraction(26, 60) + Fraction(46, 3600)
        assert says.place == (exact, exact)
    else:
        assert says == CameraSays()


def test_directories_in_a_ring_end(job: Path, encoded) -> None:
    itself = struct.pack(">L", 8)
    ring = _tiff(
        [
            (0x8769, 4, 1, itself),
            (0x8825, 4, 1, itself),
            (0x010F, 2, 4, b"Ring"),
            (0xA005, 4, 1, itself),
        ],
        following=8,
    )
    fact = _measured(job, encoded(exif=b"Exif\0\0" + ring))
    assert fact.fault is None
    assert fact.camera == "Ring"
    assert fact.taken_at_local is None


def test_giant_blocks_and_wild_counts_cost_nothing(job: Path, encoded) -> None:
    note = _tiff(
        [
            (0x927C, 7, 0xFFFFFFFF, struct.pack(">L", 8)),
            (0x010F, 2, 0xFFFFFFFF, struct.pack(">L", 8)),
            (0x0131, 2, 60_000, struct.pack(">L", 100)),
        ],
        more=b"\0" * 42 + b"S" * 60_100,
    )
    fact = _measured(job, encoded(exif=b"Exif\0\0" + note))
    assert (fact.fault, fact.camera) == (None, None)
    assert fact.software == "S" * 200
    wild = b"MM\0*" + struct.pack(">LH", 8, 65535) + b"\xff" * 30_000
    assert _measured(job, encoded(exif=b"Exif\0\0" + wild)).fault is None
    assert read_exif(b"MM\0*" + struct.pack(">L", 0xFFFFFFFF)) == CameraSays()


def test_text_from_a_camera_is_one_clean_line(job: Path, encoded) -> None:
    exif = _exif(make=b"Ma\x1b[2Jker\n  Corp\0junk", model="Maker")
    assert _measured(job, encoded(exif=exif)).camera == "Ma [2Jker Corp Maker"
    again = _exif(make="maker", model="Maker 5")
    assert _measured(job, encoded(exif=again)).camera == "Maker 5"
    assert _measured(job, encoded(exif=_exif(make="", model=""))).camera is None


def test_a_photo_without_camera_facts_says_nothing(job: Path, encoded) -> None:
    fact = _measured(job, encoded())
    silent = ("taken_at_local", "taken_offset", "place", "camera", "software")
    assert [dataclasses.asdict(fact)[name] for name in silent] == [None] * 5


def test_a_png_with_its_exif_behind_the_picture(job: Path, encoded) -> None:
    # PNG third edition, 11.3.4.6: the eXIf chunk may stand anywhere between IHDR and IEND.
    whole = encoded("PNG")
    chunk = io.BytesIO()
    PngImagePlugin.putchunk(chunk, b"eXIf", _exif(orientation=6).tobytes()[6:])
    end = whole.index(b"IEND") - 4
    fact = _measured(job, whole[:end] + chunk.getvalue() + whole[end:])
    assert fact.size_px == (64, 96)
    assert fact.camera == "Maker Model 5"


def test_settings_held_by_two_threads_are_put_back_by_the_last(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 77)
    first, second = pictures.pillow_settings(), pictures.pillow_settings()
    first.__enter__()
    second.__enter__()
    first.__exit__(None, None, None)
    assert (ImageFile.LOAD_TRUNCATED_IMAGES, Image.MAX_IMAGE_PIXELS) == (False, None)
    second.__exit__(None, None, None)
    assert (ImageFile.LOAD_TRUNCATED_IMAGES, Image.MAX_IMAGE_PIXELS) == (True, 77)


def test_a_heap_with_broken_ones_says_the_same_every_time(job: Path, encoded) -> None:
    """Two photos are looked at at once, and neither may see what the other needs of Pillow."""
    good = encoded("JPEG")
    for number in range(12):
        broken = good[: len(good) // 2] if number % 3 == 0 else good
        (job / "photos" / f"n{number}.jpg").write_bytes(broken)
    names = [f"photos/n{number}.jpg" for number in range(12)]
    first = measure(job, names, [])
    assert [fact.fault is None for fact in first.photos.values()] == [n % 3 != 0 for n in range(12)]
    assert list(first.photos) == names
    for _ in range(3):
        assert measure(job, names, []) == first
