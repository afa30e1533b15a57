"""How much work `check` is on a job with 60 photos, as ratios to the least that anybody could do.

In: nothing; a job is made in a temporary folder. Out: a table of processor time. Run by hand:
`python -m tests.bench.check_60_photos`. It is no test, since times depend on the machine; the ratios
travel from one to another, because each run measures its own floor.

The floor is what no reading of the photos can do without: every byte read and digested, and every header
read. `check` with no facts kept also reads the last bytes, camera time and place, and decodes each photo as
far as it must to know that it opens. With facts kept it looks at each file's size and time stamp.
"""

import hashlib
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from datetime import datetime, timedelta
from pathlib import Path

from PIL import Image

from tests.known_good import DEMO, GOOD_JOB

PHOTOS = 60
SIZE_PX = (4000, 3000)
TILE_PX = (500, 500)
QUALITY = 88
ROUNDS = 3
_ITSELF = "tests.bench.check_60_photos"
_PHASES = ("before", "tear-off", "deck", "ice-barrier", "underlayment", "field")


def make_job(folder: Path) -> Path:
    """Return a job folder with 60 photos of 12 megapixels, in an office of its own.

    Each photo is put together from a few tiles of noise, so that it has a phone photo's bytes (about three
    megabytes) without a minute spent on drawing it; no two are equal.
    """
    for name in ("terms", "localities"):
        shutil.copytree(DEMO / name, folder / name)
    for name in ("company.yaml", "logo.png"):
        shutil.copy(DEMO / name, folder / name)
    job = folder / GOOD_JOB.name
    shutil.copytree(GOOD_JOB / "papers", job / "papers")
    shutil.copy(GOOD_JOB / "job.yaml", job / "job.yaml")
    chance = random.Random(60)
    tiles = [
        Image.merge("RGB", [Image.effect_noise(TILE_PX, spread) for _ in "RGB"])
        .resize((TILE_PX[0] // 2, TILE_PX[1] // 2))
        .resize(TILE_PX)
        for spread in (18, 26, 34)
    ]
    for number in range(PHOTOS):
        path = job / "photos" / _PHASES[number % len(_PHASES)] / f"front-{number:02}.jpg"
        path.parent.mkdir(parents=True, exist_ok=True)
        photo = Image.new("RGB", SIZE_PX)
        for left in range(0, SIZE_PX[0], TILE_PX[0]):
            for top in range(0, SIZE_PX[1], TILE_PX[1]):
                photo.paste(chance.choice(tiles), (left, top))
        taken = datetime(2026, 9, 14, 8) + timedelta(minutes=5 * number)
        exif = Image.Exif()
        exif[0x0110] = "Bench phone"
        exif.get_ifd(0x8769)[0x9003] = taken.strftime("%Y:%m:%d %H:%M:%S")
        photo.save(path, "JPEG", quality=QUALITY, exif=exif)
    return job


def photos_of(job: Path) -> list[Path]:
    """Return the photos of a job, sorted."""
    return sorted((job / "photos").rglob("*.jpg"))


def measure_floor(job: Path) -> float:
    """Return the seconds of processor time for digesting every photo and reading its header."""
    started = time.process_time()
    for path in photos_of(job):
        with path.open("rb") as file:
            hashlib.file_digest(file, "sha256")
        with Image.open(path) as photo:
            assert photo.size == SIZE_PX
    return time.process_time() - started


def measure_decoding(job: Path) -> float:
    """Return the seconds for decoding every photo at a quarter of its size, which is a JPEG's quickest."""
    started = time.process_time()
    for path in photos_of(job):
        with Image.open(path) as photo:
            photo.draft("RGB", (SIZE_PX[0] // 4, SIZE_PX[1] // 4))
            photo.load()
    return time.process_time() - started


def measure_check(job: Path) -> float:
    """Return the seconds for checking the job, over importing what checking needs."""
    from datetime import date

    import pypdf  # noqa: F401 - loaded when the first paper is opened, and importing is not counted.

    import dossier.rules.book  # noqa: F401
    from dossier.cli import system_clock
    from dossier.pipeline import Asked, check

    started = time.process_time()
    checked = check(Asked(job, today=date(2026, 10, 20)), system_clock)
    spent = time.process_time() - started
    assert checked.facts is not None
    good = [fact for fact in checked.facts.photos.values() if fact.fault is None]
    assert len(good) == PHOTOS, "the bench must not be quick because its photos do not open"
    return spent


_MEASURES = {"floor": measure_floor, "decoding": measure_decoding, "check": measure_check}


def in_a_process_of_its_own(what: str, job: Path) -> float:
    """Return the seconds a measure took in a new process, so that nothing is warm from the last."""
    done = subprocess.run(
        [sys.executable, "-m", _ITSELF, what, str(job)],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    return float(json.loads(done.stdout))


def best_of(what: str, job: Path, *, forget: bool = False) -> float:
    """Return the least of a few measures. forget: take away the kept facts before each."""
    times_s = []
    for _ in range(ROUNDS):
        if forget:
            shutil.rmtree(job / ".dossier", ignore_errors=True)
        times_s.append(in_a_process_of_its_own(what, job))
    return min(times_s)


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory(prefix="dossier-bench-") as folder:
        job = make_job(Path(folder))
        megabytes = sum(path.stat().st_size for path in photos_of(job)) / 1e6
        print(
            f"{PHOTOS} photos of {SIZE_PX[0]} x {SIZE_PX[1]} px, {megabytes:.0f} MB; "
            f"best of {ROUNDS}, each in a process of its own"
        )
        floor_s = best_of("floor", job)
        rows = [
            ("floor: every byte digested, every header read", floor_s),
            ("decoding alone, at a quarter of the size", best_of("decoding", job)),
            ("check, no facts kept", best_of("check", job, forget=True)),
            ("check, facts kept", best_of("check", job)),
        ]
        print(f"{'over importing':<50}{'CPU s':>8}{'ratio':>8}")
        for name, seconds in rows:
            print(f"{name:<50}{seconds:>8.3f}{seconds / floor_s:>8.2f}")


if __name__ == "__main__":
    if len(sys.argv) == 3:
        print(json.dumps(_MEASURES[sys.argv[1]](Path(sys.argv[2]))))
    else:
        main()
