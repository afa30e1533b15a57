"""What docs/reading.md quotes stands in the golden text, on the page it names."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
GOLDEN = ROOT / "tests" / "golden" / "2026-041-plover-lane"


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


def page(document: str, number: int) -> str:
    """Return one page's golden text, its white space made even."""
    text = (GOLDEN / f"{document}.txt").read_text("utf-8")
    parts = re.split(r"-{16} page (\d+) of \d+ -{16}\n", text)[1:]
    by_number = dict(zip(map(int, parts[::2]), parts[1::2], strict=True))
    return " ".join(by_number[number].split())


@pytest.mark.parametrize(("document", "text", "number"), quotations())
def test_a_quotation_stands_on_its_page(document: str, text: str, number: int) -> None:
    assert text in page(document, number)


def test_three_readers_have_their_questions() -> None:
    documents = [document for document, *_ in quotations()]
    assert {name: documents.count(name) >= 6 for name in set(documents)} == {
        "handover-resale": True,
        "registration": True,
        "handover": True,
    }


def test_a_quotation_on_another_page_is_told() -> None:
    document, text, number = quotations()[0]
    assert text not in page(document, number + 1)
