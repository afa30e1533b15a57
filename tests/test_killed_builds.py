"""A build killed at any moment leaves the documents of before or of after, and every original as it was."""

import shutil
from pathlib import Path

from tests.conftest import copy_office
from tests.kills import BUILD_STEPS, RENAMES, digest_of, killed_builds
from tests.known_good import GOOD_JOB

DAYS = ["2026-10-19", "2026-10-20"]


def a_small_job(tmp_path: Path) -> Path:
    """Return the known-good job with one photo and no papers."""
    job = copy_office(tmp_path / "office", GOOD_JOB.name) / GOOD_JOB.name
    shutil.rmtree(job / "papers")
    for path in sorted((job / "photos").rglob("*.jpg"))[1:]:
        path.unlink()
    return job


def test_a_kill_at_any_moment_leaves_before_or_after(tmp_path: Path) -> None:
    job = a_small_job(tmp_path)
    originals = {path: path.read_bytes() for path in job.rglob("*") if path.is_file()}
    cases: list[dict[str, object]] = [
        *({"step": step} for step in BUILD_STEPS),
        *({"rename": nth} for nth in RENAMES),
        *({"random": True} for _ in range(6)),
    ]
    found = killed_builds(job, DAYS, cases, seed=41)
    assert [ended for ended, _ in found[:2]] == ["ended with 0"] * 2
    assert len(found) == len(cases) + 2
    assert {state for _, state in found} == {"first", "second"}
    steps = found[2 : 2 + len(BUILD_STEPS)]
    assert steps == [["killed", "second"]] * len(BUILD_STEPS), (
        "no step before the last writes documents"
    )
    assert [ended for ended, _ in found[2 + len(BUILD_STEPS) :]].count("killed") > len(RENAMES)
    assert {path: path.read_bytes() for path in originals} == originals
    left = sorted(path.name for path in job.iterdir())
    assert left == [".dossier", "as-built", "job.yaml", "out", "photos", "photos.yaml"]


def test_the_comparing_tells_half_a_folder_from_a_whole_one(tmp_path: Path) -> None:
    """Guards the test above."""
    for name, data in (("a.pdf", b"one"), ("b.pdf", b"two")):
        (tmp_path / name).write_bytes(data)
    whole = digest_of(tmp_path)
    (tmp_path / "b.pdf").write_bytes(b"tw")
    assert digest_of(tmp_path) != whole
    (tmp_path / "b.pdf").unlink()
    assert digest_of(tmp_path) != whole
