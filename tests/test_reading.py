"""What docs/reading.md quotes stands in the demo's own documents, on the page it names."""

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from tests.conftest import DEMO_JOBS
from tests.golden_text import page_texts

ROOT = Path(__file__).parent.parent

Built = Callable[[str], Path]


def quotations() -> list[tuple[str, str, int]]:
    """Return each quotation as (document, text, page)."""
    found: list[tuple[str, str, int]] = []
    document = ""
    for line in (ROOT / "docs" / "reading.md").read_text("utf-8").splitlines():
        if named := re.fullmatch(r"`(\S+)\.pdf`", line):
            document = named[1]
        elif row := re.fullmatch(r"\| .+? \| (.+) \| (\d+) \|", line):
            found.append((document, row[1], int(row[2])))
    return found


@cache
def pages(document: Path) -> list[str]:
    """Return the text of each page, its white space made even."""
    return [" ".join(text.split()) for text in page_texts(document)]


@pytest.mark.parametrize(("document", "text", "number"), quotations())
def test_a_quotation_stands_on_its_page(
    document: str, text: str, number: int, built: Built
) -> None:
    assert text in pages(built(DEMO_JOBS[0]) / f"{document}.pdf")[number - 1]


def test_three_readers_have_their_questions() -> None:
    documents = [document for document, *_ in quotations()]
    assert {name: documents.count(name) >= 6 for name in set(documents)} == {
        "handover-resale": True,
        "registration": True,
        "handover": True,
    }


def test_a_quotation_on_another_page_is_told(built: Built) -> None:
    document, text, number = quotations()[0]
    assert text not in pages(built(DEMO_JOBS[0]) / f"{document}.pdf")[number]
