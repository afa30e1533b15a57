"""What is known of a rule stands in its declaration: no other room names an id, or a family's letters."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import dossier
from dossier.rules.book import rule_book
from dossier.rules.families import FAMILIES

ROOT = Path(dossier.__file__).parent
EXAMPLE = {("explain.py", "MAT-001")}
"""The help of the command line shows how an id is typed."""

_NAMED = re.compile(rf"\b(?:{'|'.join(FAMILIES)})(?:-(?:\d{{3}})?|(?=['\"]))")


def named(text: str) -> Iterator[str]:
    """Yield the ids of rules, and the letters of families, that a text names."""
    return (found[0] for found in _NAMED.finditer(text))


def test_no_room_but_rules_names_a_rule() -> None:
    texts = [*ROOT.rglob("*.py"), *(ROOT.parent / "templates").rglob("*.html")]
    found = {
        (path.name, one)
        for path in texts
        if "rules" not in path.relative_to(ROOT.parent).parts
        for one in named(path.read_text(encoding="utf-8"))
    }
    assert found == EXAMPLE
    assert all(rule_book().get(id_) for _, id_ in EXAMPLE)


@pytest.mark.parametrize("text", ['("COD-", "DEC-001")', "'SAF'", "# as MAT-001 says"])
def test_a_named_rule_is_seen(text: str) -> None:
    assert list(named(text))


def test_what_is_no_rule_is_not_taken_for_one() -> None:
    assert not list(named("SHA-256, OSB, “COD”, REGISTERED-1, SHP-001"))
