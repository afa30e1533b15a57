"""A look at the flues in one line, and what is no licence."""

import pytest

from dossier.record.work import FlueLook


@pytest.mark.parametrize(
    ("text", "licence"),
    [
        ("Sverre Holt, 2026-09-16, heating licence H-2041", "heating licence H-2041"),
        ("Sverre Holt, 2026-09-16", None),
        ("Ida Torvik, 2026-09-17, none", None),
        ("Ida Torvik, 2026-09-17, no licence", None),
        ("Ida Torvik, 2026-09-17, not licensed", None),
        ("Ida Torvik, 2026-09-17, unlicensed", None),
    ],
)
def test_a_licence_is_one_that_somebody_has(text: str, licence: str | None) -> None:
    look = FlueLook.model_validate(FlueLook.from_text(text))
    assert (look.licence, str(look.on)[:7]) == (licence, "2026-09")
