"""Claims and sales that are killed half-way: what was sealed stands, and the next run answers.

Bounded: each named step of writing a supplement once, and ten moments of a claim and a sale.
"""

import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from dossier.archive.verify import verify
from dossier.cli import main
from tests.kills import killed

LEAK = "2026-041-plover-lane"
CLAIM = (
    "--on",
    "2040-03-02",
    "--slope",
    "back",
    "--seen",
    "a ring",
    "--today",
    "2040-03-04",
    "--yes",
)
SALE = ("--closing", "2033-06-17", "--buyer", "Tore Lindahl", "--today", "2033-06-25", "--yes")

LAST_STEP = "a run was cut off in its last step"


def entries(job: Path) -> list[str]:
    return sorted(path.name for path in (job / "sealed").iterdir() if path.name[0] != ".")


@pytest.mark.parametrize("step", ["cleared", "begun", "one file copied", "written", "renamed"])
def test_a_claim_killed_at_a_step_is_there_whole_or_not_at_all(step: str, sealed: Path) -> None:
    case = {"what": "command", "words": ["claim", str(sealed), *CLAIM], "step": step}
    assert killed([case], sealed.parent) == ["killed"]
    assert [LAST_STEP in one for one in verify(sealed).differences] == [True] * (step == "written")
    assert ("0002-2040-03-02-claim" in entries(sealed)) == (step == "renamed")
    assert main(["transfer", str(sealed), *SALE]) == 0
    assert verify(sealed).differences == ()
    # What was whole but for its name is not lost: the next run gives it its name.
    assert len(entries(sealed)) == (3 if step in ("written", "renamed") else 2)


def test_ten_moments_of_claims_and_sales(sealed: Path) -> None:
    draw = random.Random(20400302)
    for number in range(10):
        command, given = (("claim", CLAIM), ("transfer", SALE))[number % 2]
        before = entries(sealed)
        run = subprocess.Popen(
            [sys.executable, "-m", "dossier.cli", command, str(sealed), *given],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        time.sleep(draw.uniform(0.1, 2.2))
        run.kill()
        run.wait()
        found = verify(sealed)
        assert all(LAST_STEP in one for one in found.differences), (number, found.differences)
        assert entries(sealed)[: len(before)] == before
        # One that a kill left whole but for its name is put back by the next run, before its own.
        assert len(entries(sealed)) <= len(before) + 2
    # Said once more with another number, since the newest may be just this claim.
    assert main(["claim", str(sealed), *CLAIM, "--number", "C-9"]) == 1
    assert verify(sealed).differences == ()
