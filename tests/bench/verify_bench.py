"""How long `verify` takes against `sha256sum` over the same bytes, as a ratio within one run.

In: nothing; sealed jobs of five sizes are made in a temporary folder. Out: a table of wall times and ratios.
Run by hand: `python -m tests.bench.verify_bench`. It is no test, since times depend on the machine. Both
read from the page cache, so that hashing is what is compared and not the disk. “command” is the whole of
`dossier verify`, with the start of Python; “verify” is the work alone. `sha256sum` may be built without the
processor's own instructions for SHA-256, so `openssl dgst` over the same files stands beside it.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from dossier.archive.bags import Bag
from dossier.archive.supplements import CLOSEOUT
from dossier.archive.verify import verify

PHOTO_BYTES = 3_400_000
"""What a phone photo of 12 megapixels comes to, as in the bench of check."""

COUNTS = (30, 60, 120, 240, 480)
ROUNDS = 3


def make_job(folder: Path, photos: int) -> Path:
    """Return a job whose closing holds this many photos of random bytes."""
    bag = Bag(folder / "sealed" / CLOSEOUT)
    bag.add_bytes("job.yaml", b"record: 1\n")
    for number in range(photos):
        bag.add_bytes(f"photos/field/front-{number:03}.jpg", os.urandom(PHOTO_BYTES))
    bag.finish([("Bagging-Date", "2026-10-20")])
    return folder


def timed(work: Callable[[], object]) -> float:
    """Return how many seconds something takes."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def main() -> None:
    """Print a row for each size: seconds of each, and the ratios to sha256sum."""
    print("photos     MB  sha256sum s  openssl s   verify s   ratio   command s   ratio")
    for count in COUNTS:
        with tempfile.TemporaryDirectory() as place:
            job = make_job(Path(place), count)
            bag = job / "sealed" / CLOSEOUT
            sums = ["sha256sum", "--quiet", "-c", "manifest-sha256.txt"]
            command = [sys.executable, "-m", "dossier.cli", "verify", str(job)]

            def by_sums(sums: list[str] = sums, bag: Path = bag) -> None:
                subprocess.run(sums, cwd=bag, check=True, stdout=subprocess.DEVNULL)

            files = sorted(str(path) for path in (bag / "data").rglob("*.*"))

            def by_openssl(files: list[str] = files) -> None:
                subprocess.run(
                    ["openssl", "dgst", "-sha256", *files], check=True, stdout=subprocess.DEVNULL
                )

            def by_command(command: list[str] = command) -> None:
                subprocess.run(command, check=True, stdout=subprocess.DEVNULL)

            def by_verify(job: Path = job) -> None:
                assert verify(job).differences == ()

            rows: list[list[float]] = [[], [], [], []]
            for _ in range(ROUNDS):
                for row, work in zip(
                    rows, (by_sums, by_openssl, by_verify, by_command), strict=True
                ):
                    row.append(timed(work))
            floor, fast, own, whole = (statistics.median(row) for row in rows)
            size_mb = count * PHOTO_BYTES / 1e6
            print(
                f"{count:>6} {size_mb:>6.0f} {floor:>12.3f} {fast:>10.3f} {own:>10.3f} {own / floor:>7.2f} "
                f"{whole:>11.3f} {whole / floor:>7.2f}",
                flush=True,
            )


if __name__ == "__main__":
    main()
