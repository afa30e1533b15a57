"""The bytes of a picture into its size, what its camera says, and whether it can really be decoded.

In: bytes and their kind. Out: `Picture`. Must not know which file, or whether it is a photo or a
paper. Every picture is decoded once, JPEG in grey at an eighth of its scale: a header alone says
nothing of a picture cut short. What `grey.py` measures is taken from that one decoding.
"""

import io
import threading
import warnings
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field, replace

from PIL import Image, ImageFile

from dossier.evidence.exif import CameraSays, read_exif
from dossier.evidence.grey import Grey, decode_px, look_at_grey
from dossier.evidence.kinds import is_gif, kind_of
from dossier.evidence.upright import LYING_ORIENTATIONS, TURNED, in_eight_bits, on_white

PIXEL_LIMIT = 89_478_485
"""Most pixels that are decoded. Source: Pillow's default limit, 2**28 bytes at three a pixel."""

SCAN_LIMIT = 200
"""Most passes a JPEG may be built of. Encoders write about ten; thousands only waste hours."""

BLOCK_LIMIT = 10_000
"""Most blocks before the picture data of a JPEG. Cameras write some dozens."""

_AGAIN = "Copy it again from the camera or phone it came from."
_CUT_SHORT = f"is cut short: the file ends before the picture does. {_AGAIN}"
_NO_MEMORY = "needs more memory to open than this computer could give. Save a smaller copy."
_HEIC = "is a HEIC photo, which cannot be opened here. Save it as JPEG and list the JPEG."
_NOT_A_PICTURE = {
    "text": "is text and not a picture, whatever its name says. Put the picture itself there.",
    "pdf": "is a PDF and not a picture. List it under papers, or put the picture itself there.",
    "unknown": "is not a kind of picture that can be read here. Save it as JPEG or PNG.",
}
_PILLOW_NAMES = {"jpeg": "JPEG", "png": "PNG", "tiff": "TIFF", "webp": "WEBP", "heic": "HEIF"}


@dataclass(frozen=True)
class Picture:
    """What a picture says, and why it cannot be used (None when it decodes).

    size_px: (width, height) upright, None where no header could be read. lasting: the same bytes
    will give the same answer another day; False where only this computer's memory was too small.
    grey: empty where there is a fault.
    """

    fault: str | None
    size_px: tuple[int, int] | None
    camera: CameraSays
    lasting: bool = True
    grey: Grey = field(default_factory=Grey)


def look_at_picture(data: bytes, kind: str) -> Picture:
    """Return size, camera facts and fault of these bytes. Never raises for what is in them."""
    name = _pillow_name(data, kind)
    if name is None:
        return Picture(_HEIC if kind == "heic" else _NOT_A_PICTURE[kind], None, CameraSays())
    if kind == "jpeg":
        return _look_at_jpeg(data, name)
    with pillow_settings():
        return _decode(data, kind, name, read_exif(data) if kind == "tiff" else CameraSays())


def grey_picture(data: bytes, *, halved: bool) -> Image.Image | None:
    """Return a picture in grey as it is stored, not turned; None where it cannot be decoded whole.

    halved: at half its width and height, which costs a quarter of the time for a JPEG.
    """
    kind = kind_of(data)
    name = _pillow_name(data, kind)
    header = _read_header(data) if kind == "jpeg" else None
    if name is None or (header is not None and (header.fault or not header.has_end)):
        return None
    with pillow_settings():
        # As in `_decode`, whatever is raised here is the file's fault.
        try:
            plain = header.hidden_in(data) if header else data
            with Image.open(io.BytesIO(plain), formats=(name,)) as image:
                if _too_large(image.size):
                    return None
                if halved:
                    image.draft("L", (image.width // 2, image.height // 2))
                image.load()
                if _too_large(image.size):
                    return None
                grey = _in_grey(image)
        except Exception:
            return None
    return grey.reduce(2) if halved and kind != "jpeg" else grey


def _in_grey(image: Image.Image) -> Image.Image:
    if image.mode.startswith("I;16"):
        return in_eight_bits(image)
    return (on_white(image) if image.has_transparency_data else image).convert("L")


def reads_heic() -> bool:
    """Return whether Pillow can open HEIC, after teaching it to where the library is there.

    Called only once a HEIC has been met, since loading that library costs more than a photo.
    """
    if "HEIF" not in Image.OPEN:
        try:
            from pillow_heif import register_heif_opener
        except ImportError:
            return False
        register_heif_opener()
    return True


def _pillow_name(data: bytes, kind: str) -> str | None:
    if kind == "heic" and not reads_heic():
        return None
    if kind == "unknown" and is_gif(data):
        return "GIF"
    return _PILLOW_NAMES.get(kind)


_settings_lock = threading.Lock()
_settings, _holders = ExitStack(), 0


@contextmanager
def pillow_settings() -> Iterator[None]:
    """Set Pillow's process-wide switches as this module needs them, and put them back.

    Laying out documents switches LOAD_TRUNCATED_IMAGES on for the whole process, after which a
    photo cut short passes. The pixel limit is checked here, with the size in hand, and not by
    Pillow's warning. Several threads may hold the settings at once; the last one puts them back.
    """
    global _holders
    with _settings_lock:
        if not _holders:
            for home, name in ((Image, "MAX_IMAGE_PIXELS"), (ImageFile, "LOAD_TRUNCATED_IMAGES")):
                _settings.callback(setattr, home, name, getattr(home, name))
            Image.MAX_IMAGE_PIXELS, ImageFile.LOAD_TRUNCATED_IMAGES = None, False
            _settings.enter_context(warnings.catch_warnings())
            warnings.simplefilter("ignore")
        _holders += 1
    try:
        yield
    finally:
        with _settings_lock:
            _holders -= 1
            if not _holders:
                _settings.close()


def _look_at_jpeg(data: bytes, name: str) -> Picture:
    header = _read_header(data)
    camera = read_exif(header.exif)
    if header.fault:
        return Picture(header.fault, None, camera)
    plain = header.hidden_in(data)
    with pillow_settings():
        picture = _decode(plain, "jpeg", name, camera)
    if picture.fault is None and not header.has_end:
        # A copy that stopped where the room had been set aside ends in zeros, which decode as grey.
        return replace(picture, fault=_CUT_SHORT, grey=Grey())
    return picture


def _decode(data: bytes, kind: str, name: str, camera: CameraSays) -> Picture:
    size_px: tuple[int, int] | None = None
    fault, lasting, grey = None, True, Grey()
    # What Pillow and its codecs raise on broken files is no closed list (OSError, SyntaxError,
    # ValueError, struct.error, zlib.error and more), so every exception from these few calls is the
    # file's.
    try:
        with Image.open(io.BytesIO(data), formats=(name,)) as image:
            camera = _camera_of(image, camera)
            # Decoding at a small scale changes the size, so the one in the header is kept.
            header_px = image.size
            size_px = _upright(header_px, name, camera)
            fault = _too_large(size_px)
            if fault is None:
                # Only a JPEG is reduced while it is decoded; a HEIC would give its thumbnail instead,
                # which opens even where the picture itself does not.
                if name == "JPEG":
                    image.draft("L", decode_px(image.size))
                image.load()
                # Some kinds have a size in their header and another in the picture itself.
                fault = _too_large(image.size)
                camera = _camera_of(image, camera)
                size_px = _upright(header_px, name, camera)
                grey = look_at_grey(image, 1 if name in TURNED else camera.orientation)
    except MemoryError:
        fault, lasting = _NO_MEMORY, False
    except Exception:
        fault = _CUT_SHORT if _ends_early(data, kind) else _damaged(kind)
    return Picture(fault, size_px, camera, lasting, grey)


def _camera_of(image: Image.Image, so_far: CameraSays) -> CameraSays:
    # A PNG may carry its Exif block behind the picture, where only decoding reaches it.
    block = image.info.get("exif")
    return read_exif(block) if isinstance(block, bytes) else so_far


def _upright(header_px: tuple[int, int], name: str, camera: CameraSays) -> tuple[int, int]:
    width, height = header_px
    turned = camera.orientation in LYING_ORIENTATIONS and name not in TURNED
    return (height, width) if turned else (width, height)


def _too_large(size_px: tuple[int, int]) -> str | None:
    width, height = size_px
    if width * height <= PIXEL_LIMIT:
        return None
    # The picture is rounded up and the limit down, so that one just above never reads as equal.
    found, limit = -(-width * height // 100_000), PIXEL_LIMIT // 100_000
    return (
        f"is {width} × {height} pixels, {found // 10}.{found % 10} megapixels, above the limit of"
        f" {limit // 10}.{limit % 10}. Save a smaller copy."
    )


def _damaged(kind: str) -> str:
    what = {"unknown": "GIF"}.get(kind, kind.upper())
    return f"is damaged: it begins as a {what} and cannot be decoded. {_AGAIN}"


def _ends_early(data: bytes, kind: str) -> bool:
    """Return whether the mark at the end of this kind of file is missing."""
    if kind == "jpeg":
        return not _read_header(data).has_end
    if kind == "png":
        return b"IEND\xae\x42\x60\x82" not in data
    if kind == "webp":
        return int.from_bytes(data[4:8], "little") + 8 > len(data)
    return kind == "heic" and _boxes_end_late(data)


def _boxes_end_late(data: bytes) -> bool:
    """Return whether a HEIC's outermost boxes claim more bytes than there are.

    Source: ISO/IEC 14496-12:2022, 4.2 (size 1 has its length behind the name, size 0 runs to the end).
    """
    at = 0
    while at + 8 <= len(data):
        size = int.from_bytes(data[at : at + 4], "big")
        if size == 1:
            size = int.from_bytes(data[at + 8 : at + 16], "big")
        if size < 8:
            return False
        at += size
    return at != len(data)


@dataclass(frozen=True)
class _JpegHeader:
    """What stands before a JPEG's picture data, and how that data goes on.

    exif: the Exif block, all its parts joined. hide_at: where the names of blocks begin that Pillow
    is not to read. block_count: counted to one above the limit. scan_count: passes the picture is
    built of. has_end: the closing mark is there.
    """

    exif: bytes
    hide_at: tuple[int, ...]
    block_count: int
    scan_count: int
    has_end: bool

    @property
    def fault(self) -> str | None:
        """Return why the picture is not decoded at all, or None."""
        if self.block_count > BLOCK_LIMIT:
            return f"has more than {BLOCK_LIMIT} blocks before its picture. Save it again as JPEG."
        if self.scan_count > SCAN_LIMIT:
            passes = f"is built of {self.scan_count} passes, above the limit of {SCAN_LIMIT}."
            return f"{passes} Save it again as JPEG."
        return None

    def hidden_in(self, data: bytes) -> bytes:
        """Return the file with the blocks renamed that Pillow is not to read.

        Opening a JPEG, Pillow reads some of these blocks too, and a broken one makes it refuse a good picture.
        Under another name it passes them over.
        """
        plain = bytearray(data)
        for at in self.hide_at:
            plain[at] ^= 0x20
        return bytes(plain)


def _read_header(data: bytes) -> _JpegHeader:
    """Return the header of a JPEG. Thumbnails inside it, JPEGs themselves, are passed over."""
    exif: list[bytes] = []
    hide_at: list[int] = []
    at, blocks, scans, end = 2, 0, 0, -1
    while at + 4 <= len(data) and data[at] == 0xFF and blocks <= BLOCK_LIMIT:
        marker = data[at + 1]
        blocks += 1
        if marker == 0xDA:
            end = data.find(b"\xff\xd9", at)
            scans = data.count(b"\xff\xda", at, len(data) if end < 0 else end)
            break
        # Fill bytes, restart marks and the temporary mark carry no length (ITU-T T.81, B.1.1).
        if marker == 0xFF:
            at += 1
            continue
        if marker == 0x01 or 0xD0 <= marker <= 0xD8:
            at += 2
            continue
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        name_at = at + 4
        if marker == 0xE1 and data[name_at : name_at + 6] == b"Exif\0\0":
            exif.append(data[name_at + 6 : at + 2 + length])
            hide_at.append(name_at)
        elif marker == 0xE2 and data[name_at : name_at + 4] == b"MPF\0":
            hide_at.append(name_at)
        at += 2 + length
    return _JpegHeader(b"".join(exif), tuple(hide_at), blocks, scans, end >= 0)
