"""Small offices that a test of the index may spoil, and copies of the demo's own jobs."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.bench.office import jobs, write_job
from tests.conftest import copy_office

MakeOffice = Callable[[int], Path]


@pytest.fixture
def make_office(tmp_path: Path) -> MakeOffice:
    """Return what makes an office of so many invented jobs, in a folder of this test's own."""

    def make(count: int) -> Path:
        office = copy_office(tmp_path / "an-office")
        for made in jobs(count):
            write_job(office, made)
        return office

    return make
