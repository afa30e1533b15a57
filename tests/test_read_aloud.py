"""Every document of the demo, as a program that reads it aloud follows it: by its tags.

Source of what is asked for: ISO 14289-1:2014, clause 7, and ISO 32000-1:2008, 14.8, both from memory; that
the files keep them is judged elsewhere by page-validation. Here it is judged what a listener hears.
"""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.aloud import Element, Piece, faults_of, read_aloud, unmarked_text
from tests.conftest import DEMO_DOCUMENTS

TAGGED = tuple(one for one in DEMO_DOCUMENTS if one[1] != "registration-print")
"""The print copy is merged from papers of others and claims no tags."""


@pytest.fixture(scope="module")
def read(built: Callable[[str], Path]) -> Callable[[str, str], tuple[Element, list[str]]]:
    """Return what reads one document, once a module: its structure, and the text that is passed over."""
    kept: dict[tuple[str, str], tuple[Element, list[str]]] = {}

    def of(job: str, name: str) -> tuple[Element, list[str]]:
        if (job, name) not in kept:
            data = (built(job) / f"{name}.pdf").read_bytes()
            kept[job, name] = read_aloud(data), unmarked_text(data)
        return kept[job, name]

    return of


Read = Callable[[str, str], tuple[Element, list[str]]]
every_document = pytest.mark.parametrize(("job", "name"), TAGGED)


@every_document
def test_a_listener_can_follow(job: str, name: str, read: Read) -> None:
    root, _ = read(job, name)
    assert faults_of(root) == []


@every_document
def test_running_heads_are_passed_over(job: str, name: str, read: Read) -> None:
    root, passed_over = read(job, name)
    assert not re.search(r"Page \d+ of \d+", root.text())
    for number, text in enumerate(passed_over, start=1):
        # A page to tear off is one of “our list” and does not count the pages of others.
        assert f"Page {number} of" in re.sub(r"\s+", " ", text)


@every_document
def test_a_mark_s_word_is_said_once(job: str, name: str, read: Read) -> None:
    root, _ = read(job, name)
    text = re.sub(r"\s+", " ", root.text())
    assert not re.search(r"\b(on file|reviewed|stated|absent|holds|weakens|not met|met) \1\b", text)


@pytest.mark.parametrize(("job", "name"), [one for one in TAGGED if one[1].startswith("handover")])
def test_each_number_leads_to_its_row(job: str, name: str, read: Read) -> None:
    root, _ = read(job, name)
    links = [one for one in root.elements() if one.kind == "Link" and one.text().startswith("[")]
    assert len(links) > 10
    rows = {
        one.kids[0].text().strip()
        for one in root.elements()
        if one.kind == "TR" and isinstance(one.kids[0], Element)
    }
    for link in links:
        number = link.text().strip(" []")
        assert number in rows
        assert link.described == (f"Row {number} of the list of statements",)


def element(
    kind: str, *kids: Element | Piece, alt: str = "", described: tuple[str, ...] = ()
) -> Element:
    return Element(kind, alt, "", (), "", 0, described, list(kids))


def piece(text: str, left: float = 0, bottom: float = 0) -> Piece:
    return Piece(text, left, bottom, left + 5 * len(text), bottom + 8)


@pytest.mark.parametrize(
    ("bad", "said"),
    [
        (element("H3", piece("Deep")), "skips a level"),
        (element("P", piece("[12]")), "without a word"),
        (element("P", piece("the roof"), piece("is new", bottom=-12)), "run together"),
        (element("Figure", alt="deck"), "says too little"),
        (element("Table", element("TR", element("TD", piece("deck")))), "without a header"),
        (element("L", element("L", element("LI", element("LBody")))), "without items of its own"),
        (element("Link", piece("[4]"), described=("row-4",)), "says only"),
        (
            element("Link", element("Link", described=("to 4",)), described=("to 4",)),
            "within a link",
        ),
    ],
)
def test_each_fault_is_found(bad: Element, said: str) -> None:
    assert said in "\n".join(faults_of(element("Document", bad)))
