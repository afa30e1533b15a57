"""Eighty kills of the commands that seal later entries: nothing is lost, and no entry is half there.

Forty of a correction and a late photo, forty of a claim and a sale: ten at named steps, thirty at moments spread
over a whole run.
"""

import random
import shutil
from pathlib import Path

import pytest

from dossier.archive.corrected import since_sealing
from dossier.archive.names import is_unfinished
from dossier.archive.supplements import finish_cut_off
from dossier.archive.verify import verify
from dossier.cli import main
from tests.archive.test_killed import STEPS, originals
from tests.conftest import bare_job, with_one_photo
from tests.kills import killed
from tests.known_good import GOOD_JOB
from tests.sealed_jobs import seal_by_hand

DAY = ("--today", "2026-11-12")
CORRECTION = ("--was", "0012346", "--is", "0012354", "--why", "a slip", "--found-by", "Ida")


@pytest.fixture
def sealed(tmp_path: Path) -> Path:
    """Return a sealed job with one photo and no paper, which is quickly read."""
    job = with_one_photo(bare_job(tmp_path / "office", GOOD_JOB.name))
    shutil.copy(job / "photos" / "field" / "front.jpg", tmp_path / "front-late.jpg")
    (job / "photos.yaml").write_text("photos: []\n")
    return seal_by_hand(job)


ADDED, ANSWERED = (0, 1), (2, 3)
both = pytest.mark.parametrize("which", [ADDED, ANSWERED], ids=["added", "answered"])


def words_of(job: Path, number: int) -> list[str]:
    """Return the command line of a correction, a late photo, a claim or a sale."""
    photo = str(job.parents[1] / "front-late.jpg")
    given = (
        ["add", "correction", str(job), *CORRECTION],
        ["add", "late-photo", str(job), photo, "--phase", "field"],
        ["claim", str(job), "--on", "2026-11-10", "--slope", "back", "--seen", "a ring"],
        ["transfer", str(job), "--closing", "2026-11-10", "--buyer", "Tore Lindahl"],
    )[number]
    return [*given, *DAY, "--yes"]


def whole(job: Path) -> list[str]:
    """Return the sealed folders of a job, once each was found whole and readable."""
    # An entry cut off in its last step is whole but for its name, and the next run puts it back.
    found = verify(job).differences
    assert all("cut off in its last step" in one for one in found), found
    finish_cut_off(job)
    assert verify(job).differences == ()
    since = since_sealing(job)
    assert since is not None
    names = sorted(path.name for path in (job / "sealed").iterdir() if not is_unfinished(path.name))
    assert list(since.folders) == names[1:]
    return names


def many(tmp_path: Path, job: Path, count: int) -> list[Path]:
    found = [tmp_path / "many" / str(number) / "office" for number in range(count)]
    for office in found:
        shutil.copytree(job.parent, office)
        shutil.copy(tmp_path / "front-late.jpg", office.parent)
    return [office / job.name for office in found]


@both
def test_ten_kills_at_named_steps(
    which: tuple[int, int], sealed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    jobs = many(tmp_path, sealed, 2 * len(STEPS))
    before = originals(sealed)
    ends = killed(
        [
            {"what": "command", "words": words_of(job, which[number % 2]), "step": step, "nth": nth}
            for number, (job, (step, nth)) in enumerate(
                zip(jobs, [one for one in STEPS for _ in range(2)], strict=True)
            )
        ],
        tmp_path,
    )
    assert ends == ["killed"] * len(jobs)
    monkeypatch.setattr("dossier.deeds.answering.Press.pdf", lambda *_, **__: b"%PDF")
    for number, job in enumerate(jobs):
        # One that was written whole is put back under its own name.
        there = STEPS[number // 2][0] in ("written", "renamed")
        assert len(whole(job)) == (2 if there else 1)
        assert originals(job) == before
        # Another entry goes in, whatever the kill left behind, and clears it away.
        assert main(["add", "note", str(job), "--text", "called back", *DAY, "--yes"]) == 0
        assert len(whole(job)) == (3 if there else 2)
        left = [path.name for path in (job / "sealed").iterdir() if is_unfinished(path.name)]
        assert left == []


@both
def test_thirty_kills_at_moments_over_a_whole_run(
    which: tuple[int, int], sealed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chance = random.Random(20261112)
    first, second, *jobs = many(tmp_path, sealed, 32)
    before = originals(sealed)
    cases: list[dict[str, object]] = []
    for number, job in enumerate((first, *jobs[:15], second, *jobs[15:])):
        # A whole run of each command comes before the kills of it, to be measured by.
        second_kind = number >= 16
        case: dict[str, object] = {"what": "command", "words": words_of(job, which[second_kind])}
        if number not in (0, 16):
            case["after_share"] = chance.uniform(0.02, 1.0)
        cases.append(case)
    ends = killed(cases, tmp_path)
    # A claim ends with 1 where the homeowner's answer has to wait.
    assert (ends[0], ends[16]) == (f"ended with {int(which is ANSWERED)}", "ended with 0")
    assert ends.count("killed") >= 20
    monkeypatch.setattr("dossier.deeds.answering.Press.pdf", lambda *_, **__: b"%PDF")
    for job in jobs:
        assert len(whole(job)) in (1, 2)
        assert originals(job) == before
    for job in jobs[:4]:
        assert main(["add", "note", str(job), "--text", "called back", *DAY, "--yes"]) == 0
        whole(job)
