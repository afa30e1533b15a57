"""A short way to lay out one page, and to call outside programs."""

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta, timezone

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
