"""A short way to lay out one page, and to call outside programs."""

import os
import shutil
import subprocess
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from dossier.render.engine import Asset, Rendered, render

MADE_AT = datetime(2026, 9, 21, 16, 30, tzinfo=timezone(timedelta(hours=-4)))


@pytest.fixture
def laid_out() -> Callable[..., Rendered]:
    """Return a maker of a PDF from the inside of a body, without a finisher."""

    def make(body: str, *, head: str = "", assets: Mapping[str, Asset] | None = None) -> Rendered:
        html = f'<html lang="en"><head><title>Test</title>{head}</head><body>{body}</body></html>'
        return render(html, assets=assets or {}, made_at=MADE_AT)

    return make


@pytest.fixture(scope="session")
def tool() -> Callable[..., str]:
    """Return a caller of outside programs: a missing one skips here, and fails where CI is set."""

    def call(*command: str | Path) -> str:
        program = str(command[0])
        if shutil.which(program) is None:
            if os.environ.get("CI") == "true":
                pytest.fail(f"{program} is not installed")
            pytest.skip(f"{program} is not installed")
        done = subprocess.run(
            [str(word) for word in command], capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    return call
