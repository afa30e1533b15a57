"""A sealed job for every test that wants one, made once a session and copied."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.deeds.sealing import seal
from dossier.steps.asked import Asked
from tests.conftest import Once, bare_job, copy_office, no_clock, with_one_photo
from tests.known_good import TODAY

DEMO_JOB = "2026-041-plover-lane"


@pytest.fixture
def sealed_demo(once: Once, tmp_path: Path) -> Path:
    """Return a demo job's folder with its closing sealed, in an office of this test's own."""

    def fill(folder: Path) -> None:
        job = copy_office(folder, DEMO_JOB) / DEMO_JOB
        done = seal(Asked(job, today=TODAY), no_clock)
        assert done.folder is not None, done.held

    office = tmp_path / "sealed-office"
    shutil.copytree(once(f"sealed-{DEMO_JOB}", fill), office)
    return office / DEMO_JOB


Bare = Callable[[], Path]


@pytest.fixture
def bare_office(tmp_path: Path) -> Path:
    """Return a job folder without photos, in a copy of the demo office; its documents are quick to print."""
    return with_one_photo(bare_job(tmp_path / "office"))
