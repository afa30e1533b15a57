"""Heaps as offices get them: pictures with a camera's time, copies of them, zips, junk; and a job to file into.

In: nothing but random numbers with a fixed seed. Out: folders under pytest's own temporary folder. Must
not judge anything.
"""

import io
import random
import zipfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from PIL import Image

from tests.conftest import copy_office, pdf_with_text
from tests.known_good import GOOD_JOB

Camera = Callable[..., bytes]

NO_PHOTOS = "photos:\n"


def drawn(seed: int, size_px: tuple[int, int] = (64, 48)) -> Image.Image:
    """Return a picture of patches, another for each seed, that resizing leaves recognisable."""
    rng = random.Random(seed)
    small = Image.new("L", (9, 8))
    small.putdata([rng.randrange(20, 235) for _ in range(72)])
    return small.resize(size_px, Image.Resampling.NEAREST).convert("RGB")


def photo_bytes(
    seed: int,
    taken: datetime | None = None,
    size_px: tuple[int, int] = (64, 48),
    kind: str = "JPEG",
    quality: int = 90,
    place: tuple[int, int, int] | None = None,
) -> bytes:
    """Return a picture file with the camera time written as a camera does (Exif 2.32, tag 0x9003).

    place: degrees, minutes and seconds north on the meridian of the known-good job's house (tags 1 to 4).
    """
    options: dict[str, object] = {"quality": quality} if kind == "JPEG" else {}
    if taken is not None:
        exif = Image.Exif()
        exif[0x0110] = "Phone 5"
        exif[0x8769] = {0x9003: taken.strftime("%Y:%m:%d %H:%M:%S")}
        if place is not None:
            exif[0x8825] = {1: "N", 2: tuple(map(float, place)), 3: "W", 4: (87.0, 6.0, 0.0)}
        options["exif"] = exif
    target = io.BytesIO()
    drawn(seed, size_px).save(target, kind, **options)
    return target.getvalue()


def put(path: Path, data: bytes) -> Path:
    """Write a file, and its folders."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def zipped(path: Path, members: dict[str, bytes]) -> Path:
    """Write a zip of these members."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in members.items():
            made.writestr(name, data)
    return path


def tree_of(folder: Path) -> dict[str, bytes]:
    """Return every file below a folder with its bytes, what a run keeps in .dossier/ left out."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and ".dossier" not in path.parts
    }


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return the known-good job in an office of its own, without photos and papers.

    Its work log: tear-off, deck, deck repair, ice barrier, drip edge and underlayment on 2026-09-14,
    starter and field on 2026-09-15, the rest on 2026-09-16.
    """
    folder = copy_office(tmp_path / "office", GOOD_JOB.name) / GOOD_JOB.name
    for below in ("photos", "papers"):
        for path in sorted((folder / below).rglob("*"), reverse=True):
            path.rmdir() if path.is_dir() else path.unlink()
    (folder / "photos.yaml").write_text(NO_PHOTOS)
    return folder


@pytest.fixture
def heap_of_200(tmp_path: Path) -> Path:
    """Return a folder of 200 files: named folders, a camera's own folder, a zip, copies, papers, junk.

    100 in folders of five phases and two slopes, 40 loose ones of the same days, 30 in a zip, 10 exact
    copies, 10 smaller copies, 4 papers, 6 files that are nothing to gather.
    """
    home = tmp_path / "heap"
    days = {"tear-off": 14, "deck": 14, "ice barrier": 14, "field": 15, "Hip and Ridge": 16}
    seed = 0
    for number, (folder, day) in enumerate(days.items()):
        for shot in range(20):
            seed += 1
            slope = "front" if shot < 10 else "back"
            taken = datetime(2026, 9, day, 8 + number, shot, 7)
            put(home / folder / f"{slope}_{shot:02}.JPG", photo_bytes(seed, taken))
    for shot in range(40):
        seed += 1
        day, hour = (14, 8) if shot < 20 else (15, 11)
        when = datetime(2026, 9, day, hour, shot % 20, 31) if shot % 4 else None
        put(home / "DCIM" / f"IMG_{shot:04}.jpg", photo_bytes(seed, when))
    members = {}
    for shot in range(30):
        seed += 1
        members[f"starter/front {shot}.jpg"] = photo_bytes(seed, datetime(2026, 9, 15, 7, shot, 3))
    zipped(home / "crew.zip", members)
    for number in range(1, 11):
        copied = home / "tear-off" / f"front_{number - 1:02}.JPG"
        put(home / "mail" / f"copy {number}.jpg", copied.read_bytes())
        taken = datetime(2026, 9, 14, 9, number - 1, 7)
        small = photo_bytes(20 + number, taken, size_px=(36, 24), quality=80)
        put(home / "mail" / f"small {number}.jpg", small)
    for name in ("ticket 55120", "Permit R-2026-1187", "change_order 1", "scan0007"):
        put(home / "mail" / f"{name}.pdf", pdf_with_text(name))
    for name in ("notes.txt", "list.csv", "page.html", "readme.md", "empty.jpg", "song.mp3"):
        data = {"empty.jpg": b"", "song.mp3": b"ID3\x03\x00\x00\x01"}.get(name, b"nothing to see")
        put(home / "mail" / name, data)
    return home
