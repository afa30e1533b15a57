"""The Exif block of a photo into what the camera says: when, where, with what, which way up.

In: the block's bytes (a small TIFF file). Out: `CameraSays`. Must not know the file they came from.
It reads the few tags it needs and nothing else: the first directory and the two that it points to,
each once, so that directories pointing at each other in a ring, or a maker's private block of any
size, cost nothing. Whatever cannot be right is None; a broken block is no fault of the picture.

Source of every tag and format: CIPA DC-008 / JEITA CP-3451 (Exif 2.32), sections 4.5 and 4.6; TIFF
6.0, section 2.
"""

import re
import struct
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from dossier.values import FIRST_YEAR, LAST_YEAR

MOST_ENTRIES = 1000
"""Entries looked at in one directory. Cameras write fewer than a hundred."""

MOST_TEXT_BYTES = 200
"""How much of a make, model or program name is kept."""

_MAKE, _MODEL, _ORIENTATION, _SOFTWARE = 0x010F, 0x0110, 0x0112, 0x0131
_EXIF_DIRECTORY, _GPS_DIRECTORY = 0x8769, 0x8825
_TAKEN_AT, _TAKEN_OFFSET = 0x9003, 0x9011
_LATITUDE_REF, _LATITUDE, _LONGITUDE_REF, _LONGITUDE = 1, 2, 3, 4

_SHORT, _LONG, _RATIONAL, _SIGNED_RATIONAL, _IFD = 3, 4, 5, 10, 13
_ASCII = (2, 129)  # 129 is the UTF-8 text of Exif 3.0.
_UNIT_BYTES = {2: 1, 3: 2, 4: 4, 5: 8, 10: 8, 13: 4, 129: 1}

_TAKEN = re.compile(r"^(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)$", re.ASCII)
_OFFSET = re.compile(r"^([+-])(\d\d):(\d\d)$", re.ASCII)
# The clocks of the world run from 12 hours behind UTC to 14 ahead (IANA time zone database).
_OFFSET_LEAST, _OFFSET_MOST = timedelta(hours=-12), timedelta(hours=14)


@dataclass(frozen=True)
class CameraSays:
    """What an Exif block holds; None, or orientation 1, where it is silent or impossible.

    orientation: 1 to 8; from 5 on the picture lies on its side. The other fields are as in
    `PhotoFact`.
    """

    orientation: int = 1
    taken_at_local: datetime | None = None
    taken_offset: timedelta | None = None
    place: tuple[Fraction, Fraction] | None = None
    camera: str | None = None
    software: str | None = None


@dataclass(frozen=True)
class _Entry:
    type: int
    count: int
    value: bytes


def read_exif(block: bytes) -> CameraSays:
    """Return what the camera says in this Exif block, or in a whole TIFF file."""
    while block.startswith(b"Exif\0\0"):
        block = block[6:]
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(block[:4])
    if order is None or len(block) < 8:
        return CameraSays()
    first = _directory(
        block,
        order,
        struct.unpack_from(f"{order}L", block, 4)[0],
        (_MAKE, _MODEL, _ORIENTATION, _SOFTWARE, _EXIF_DIRECTORY, _GPS_DIRECTORY),
    )
    exif = _behind(block, order, first.get(_EXIF_DIRECTORY), (_TAKEN_AT, _TAKEN_OFFSET))
    gps = _behind(
        block,
        order,
        first.get(_GPS_DIRECTORY),
        (_LATITUDE_REF, _LATITUDE, _LONGITUDE_REF, _LONGITUDE),
    )
    orientation = _whole_number(order, first.get(_ORIENTATION))
    return CameraSays(
        orientation=orientation if orientation is not None and 1 <= orientation <= 8 else 1,
        taken_at_local=_taken_at(_text(exif.get(_TAKEN_AT))),
        taken_offset=_offset(_text(exif.get(_TAKEN_OFFSET))),
        place=_place(order, gps),
        camera=_camera(_text(first.get(_MAKE)), _text(first.get(_MODEL))),
        software=_text(first.get(_SOFTWARE)),
    )


def _directory(block: bytes, order: str, at: int, wanted: tuple[int, ...]) -> dict[int, _Entry]:
    """Return the wanted entries of the directory at this offset that lie inside the block."""
    found: dict[int, _Entry] = {}
    if at + 2 > len(block):
        return found
    (count,) = struct.unpack_from(f"{order}H", block, at)
    for number in range(min(count, MOST_ENTRIES)):
        entry_at = at + 2 + 12 * number
        if entry_at + 12 > len(block):
            break
        tag, kind, units = struct.unpack_from(f"{order}HHL", block, entry_at)
        if tag not in wanted or tag in found or kind not in _UNIT_BYTES:
            continue
        size = units * _UNIT_BYTES[kind]
        start = entry_at + 8
        if size > 4:
            (start,) = struct.unpack_from(f"{order}L", block, start)
        if start + size > len(block):
            continue
        found[tag] = _Entry(kind, units, block[start : start + min(size, MOST_TEXT_BYTES)])
    return found


def _behind(
    block: bytes, order: str, pointer: _Entry | None, wanted: tuple[int, ...]
) -> dict[int, _Entry]:
    at = _whole_number(order, pointer)
    return {} if at is None else _directory(block, order, at, wanted)


def _whole_number(order: str, entry: _Entry | None) -> int | None:
    if entry is None or entry.count != 1 or entry.type not in (_SHORT, _LONG, _IFD):
        return None
    shape = "H" if entry.type == _SHORT else "L"
    return int(struct.unpack_from(f"{order}{shape}", entry.value)[0])


def _text(entry: _Entry | None) -> str | None:
    """Return printable text on one line, or None where there is none."""
    if entry is None or entry.type not in _ASCII:
        return None
    raw = entry.value.split(b"\0", 1)[0]
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        # Exif 2.32 asks for ASCII; older cameras wrote the Western code page all the same.
        text = raw.decode("latin-1")
    return " ".join("".join(c if c.isprintable() else " " for c in text).split()) or None


def _taken_at(text: str | None) -> datetime | None:
    match = _TAKEN.match(text or "")
    if not match:
        return None
    year, month, day, hour, minute, second = (int(part) for part in match.groups())
    # A clock that was never set may say any year; outside these a zone or a shift has no day to fall on.
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return None
    try:
        return datetime(year, month, day, hour, minute, second)
    except ValueError:
        return None


def _offset(text: str | None) -> timedelta | None:
    match = _OFFSET.match(text or "")
    if not match or int(match[3]) > 59:
        return None
    offset = timedelta(hours=int(match[2]), minutes=int(match[3])) * (-1 if match[1] == "-" else 1)
    return offset if _OFFSET_LEAST <= offset <= _OFFSET_MOST else None


def _camera(make: str | None, model: str | None) -> str | None:
    """Return make and model in one, the make said once where the model begins with it."""
    if make and model and not model.lower().startswith(make.lower()):
        return f"{make} {model}"
    return model or make


def _place(order: str, gps: dict[int, _Entry]) -> tuple[Fraction, Fraction] | None:
    latitude = _degrees(order, gps.get(_LATITUDE), gps.get(_LATITUDE_REF), "NS", 90)
    longitude = _degrees(order, gps.get(_LONGITUDE), gps.get(_LONGITUDE_REF), "EW", 180)
    if latitude is None or longitude is None:
        return None
    # A camera that has found no satellite yet writes zeros; nobody roofs a house at that spot in
    # the sea.
    return None if latitude == 0 == longitude else (latitude, longitude)


def _degrees(
    order: str, entry: _Entry | None, reference: _Entry | None, signs: str, most: int
) -> Fraction | None:
    """Return degrees, below zero for the second of the two signs. Minutes and seconds run to 60.

    Exif asks for rationals without a sign; some programs write signed ones. South and west may then be said
    twice, by the letter and by the sign; a sign that speaks against the letter is no place at all.
    """
    if entry is None or entry.type not in (_RATIONAL, _SIGNED_RATIONAL) or entry.count != 3:
        return None
    sign = (_text(reference) or "").upper()
    if len(sign) != 1 or sign not in signs:
        return None
    whole = "l" if entry.type == _SIGNED_RATIONAL else "L"
    numbers = struct.unpack_from(f"{order}6{whole}", entry.value)
    if 0 in numbers[1::2]:
        return None
    parts = [Fraction(top, bottom) for top, bottom in zip(numbers[::2], numbers[1::2], strict=True)]
    if any(part < 0 for part in parts):
        if sign != signs[1] or parts[0] > 0:
            return None
        parts = [abs(part) for part in parts]
    degrees, minutes, seconds = parts
    if minutes > 60 or seconds > 60:
        return None
    total = degrees + minutes / 60 + seconds / 3600
    if total > most:
        return None
    return total if sign == signs[0] else -total
