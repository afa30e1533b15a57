"""Builds and gathers killed at many random moments, laid out as they are; what came of it as a table.

In: how many moments, and a seed. Out: counts. Run by hand: `python -m tests.soak.kills 200 7`. The everyday test
beside the outputs takes ten moments and a stand-in for the layout.
"""

import random
import shutil
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.conftest import copy_office
from tests.kills import digest_of, killed, killed_builds
from tests.known_good import GOOD_JOB

_DAYS = ("2026-10-19", "2026-10-20")


def sweep_builds(moments: int, seed: int) -> None:
    """Print what builds killed at random moments left, and whether any original changed."""
    with tempfile.TemporaryDirectory(prefix="dossier-soak-") as name:
        job = copy_office(Path(name) / "office", GOOD_JOB.name) / GOOD_JOB.name
        before = {path: path.read_bytes() for path in job.rglob("*") if path.is_file()}
        began = time.monotonic()
        cases = [{"random": True} for _ in range(moments)]
        found = killed_builds(job, _DAYS, cases, seed, quick=False)
        counted = Counter(f"{ended}, {state}" for ended, state in found[2:])
        changed = [str(path) for path, data in before.items() if path.read_bytes() != data]
        print(f"builds: {moments} moments, seed {seed}, {time.monotonic() - began:.0f} s")
        for what, count in sorted(counted.items()):
            print(f"  {what}: {count}")
        print(f"  originals changed: {len(changed)}")


def sweep_gathers(moments: int, seed: int) -> None:
    """Print what gathers of one heap killed at random moments left; each next run has to finish the work."""
    with tempfile.TemporaryDirectory(prefix="dossier-soak-") as name:
        heap = Path(name) / "heap"
        shutil.copytree(GOOD_JOB / "photos", heap)
        jobs = []
        for number in range(moments + 1):
            job = copy_office(Path(name) / f"office-{number}", GOOD_JOB.name) / GOOD_JOB.name
            shutil.rmtree(job / "photos")
            (job / "photos.yaml").unlink(missing_ok=True)
            jobs.append(job)
        chance = random.Random(seed)
        again = [{"what": "gather", "job": str(job), "sources": [str(heap)]} for job in jobs]
        # The first runs to its end and shows how long that takes; the others are killed on the way.
        cases = [again[0], *({**case, "after_share": chance.random()} for case in again[1:])]
        ends = killed(cases, Path(name))
        killed(again, Path(name))
        whole = {digest_of(job / "photos") for job in jobs}
        print(f"gathers: {moments} moments, seed {seed}: {dict(Counter(ends[1:]))}")
        print(f"  different outcomes after the next run: {len(whole)} (1 is right)")


if __name__ == "__main__":
    sweep_builds(int(sys.argv[1]), int(sys.argv[2]))
    sweep_gathers(int(sys.argv[1]) // 4, int(sys.argv[2]))
