"""The documents of the known-good job, composed once a session."""

import pytest

from tests.compose.made import Made, made


@pytest.fixture(scope="session")
def good() -> Made:
    return made()
