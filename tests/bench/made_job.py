"""A job of 60 photos of 12 megapixels for the benches, or of any other number.

In: a folder and a number. Out: a job folder in an office of its own. The photos have grain like that of asphalt
shingles, at several scales, so that it survives shrinking; half of them lie on their side and half carry a colour
profile, as photos of phones do.
"""

import io
import shutil
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

from PIL import Image, ImageChops, ImageCms

from tests.known_good import DEMO, GOOD_JOB

PHOTOS = 60
SIZE_PX = (4000, 3000)
QUALITY = 93
_DRAWN = 60
"""Pictures that are drawn; the others differ from one of them in their camera time only, which costs a decoder the
same."""

_PHASES = ("before", "tear-off", "deck", "ice-barrier", "underlayment", "field")


def make_job(folder: Path, photos: int = PHOTOS) -> Path:
    """Return a job folder with as many photos of 12 megapixels, in an office of its own.

    It has five papers that go to the maker, and no papers else.
    """
    left_out = shutil.ignore_patterns("2026-*", "*.py", "__pycache__")
    shutil.copytree(DEMO, folder / "office", ignore=left_out)
    job = folder / "office" / GOOD_JOB.name
    (job / "papers").mkdir(parents=True)
    text = (GOOD_JOB / "job.yaml").read_text()
    (job / "job.yaml").write_text(text)
    for paper in sorted((GOOD_JOB / "papers").iterdir()):
        shutil.copy(paper, job / "papers")
    drawn = [_encoded(number) for number in range(min(_DRAWN, photos))]
    for number in range(photos):
        path = job / "photos" / _PHASES[number % len(_PHASES)] / f"front-{number:03}.jpg"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(_signed(drawn[number % len(drawn)], number))
    return job


def photos_of(job: Path) -> list[Path]:
    """Return the photos of a job, sorted."""
    return sorted((job / "photos").rglob("*.jpg"))


def _drawn() -> Image.Image:
    """Return one picture with grain of four, two and thirty-two pixels, unlike any other."""
    grain = Image.effect_noise((SIZE_PX[0] // 4, SIZE_PX[1] // 4), 38).resize(SIZE_PX)
    fine = Image.effect_noise((SIZE_PX[0] // 2, SIZE_PX[1] // 2), 30).resize(SIZE_PX)
    coarse = Image.effect_noise((SIZE_PX[0] // 32, SIZE_PX[1] // 32), 50).resize(SIZE_PX)
    grey = ImageChops.add(ImageChops.add(grain, fine, 2), coarse, 2)
    warm, cool = (grey.point(lambda v, by=by: int(v * by)) for by in (0.95, 0.88))
    return Image.merge("RGB", (grey, warm, cool))


def _encoded(number: int) -> bytes:
    target = io.BytesIO()
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    picture = _drawn()
    picture.save(target, "JPEG", quality=QUALITY, icc_profile=profile if number % 2 else None)
    return target.getvalue()


def _signed(plain: bytes, number: int) -> bytes:
    """Return the photo as a phone saves it, with a camera time of its own."""
    exif = Image.Exif()
    exif[0x0110] = "Bench phone"
    exif[0x0112] = 6 if number % 4 > 1 else 1
    taken = datetime(2026, 9, 14, 8) + timedelta(minutes=5 * number)
    exif.get_ifd(0x8769)[0x9003] = taken.strftime("%Y:%m:%d %H:%M:%S")
    block = exif.tobytes()
    head = b"\xff\xe1" + (len(block) + 2).to_bytes(2, "big") + block
    # Source of the order of blocks: CIPA DC-008 (Exif 2.32), 4.5.4: Exif comes right behind the opening mark.
    return plain[:2] + head + plain[2:]


def megabytes(paths: Iterator[Path] | list[Path]) -> float:
    """Return how many million bytes these files hold."""
    return sum(path.stat().st_size for path in paths) / 1e6
