"""An office's own templates that go wrong on purpose: a sentence soon, and nothing read outside the folder."""

import io
import threading
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from pypdf import PdfReader

from dossier.compose.drawings.shape_plan import (
    EdgeInPlan,
    RoofInPlan,
    SlopeInPlan,
    shape_plan,
)
from dossier.compose.office.contact_sheet import SheetRow, contact_sheet
from dossier.compose.office.office_page import office_page
from dossier.compose.parts.shared import Look
from dossier.errors import UnreadableInput
from dossier.press.press import print_one
from dossier.render import document
from dossier.render.document import Document, render_document
from dossier.render.engine import Rendered
from dossier.render.own_templates import MOST_FILE_BYTES, Refused, within
from dossier.terms.office import Company
from tests.compose.made import MADE_AT, made, picture
from tests.index.test_figures import worst
from tests.known_good import TODAY, known_good

LOOK = Look("#1F3A4D", "#8A4B2A", "Letter")
DEEP = 2000


def printed(folder: Path) -> Rendered:
    """Return the punch list laid out with the templates of a folder."""
    doc = made().punch_list
    assets = dict.fromkeys((wanted.name for wanted in doc.pictures), picture())
    return render_document(doc, LOOK, assets, (), MADE_AT, overrides=folder)


def at_the_end(text: str, template: str = "punch-list.html") -> str:
    return f'{{% extends "shipped/{template}" %}}{{% block end %}}{text}{{% endblock %}}'


def _contact_sheet() -> Document:
    row = SheetRow(1, "deck.jpg", "deck, front", "", "Folder “deck”", shows=False, left_out=False)
    return contact_sheet("2026-041", "Ormskar Roofing", [row], [row.place], known_good({}).run)


def _roof_plan() -> Document:
    half = ((0, 0), (40, 0), (40, 14), (0, 14))
    piece = tuple((Fraction(x), Fraction(y)) for x, y in half)
    slope = SlopeInPlan("front", ("6:12", "626 sq ft"), (piece,))
    eave = EdgeInPlan("eave", piece[0], piece[1], Fraction(40))
    roof = RoofInPlan([slope], [eave], [piece], "Front", [("slope",), ("front",)], "1 slope.", [])
    return shape_plan(roof, "2026-041", "Ormskar Roofing", TODAY)


OF_THE_OFFICE: dict[str, Callable[[], Document]] = {
    "office.html": lambda: office_page(worst(), Company(name="Ormskar Roofing"), TODAY),
    "contact-sheet.html": _contact_sheet,
    "roof-plan.html": _roof_plan,
}
"""The documents that are of no job, by their templates: they are printed one at a time."""


@pytest.fixture
def own(tmp_path: Path) -> Path:
    folder = tmp_path / "templates"
    folder.mkdir()
    return folder


@pytest.mark.parametrize(
    "rules",
    [
        "h1 {" * DEEP + "color: red" + "}" * DEEP,
        "@media print {" * DEEP + "h1 { color: red }" + "}" * DEEP,
        ":is(" * DEEP + "h1" + ")" * DEEP + " { color: red }",
        "h1 { width: " + "calc(" * DEEP + "1px" + ")" * DEEP + " }",
        "@import url(file:///etc/hostname);",
        "@import url(https://example.com/x.css);",
        "h1 { background: url(file:///etc/hostname) }",
        "h1 { link: url(javascript:alert) }",
    ],
)
def test_rules_that_no_page_needs_are_a_sentence(own: Path, rules: str) -> None:
    (own / "office.css").write_text(rules)
    with pytest.raises(UnreadableInput, match=r"The office's own templates \(office\.css\)"):
        printed(own)


HARM = [
    ("<div>" * 3000 + "x" + "</div>" * 3000, "nested too deep"),
    ('<p><a href="javascript:alert(1)">x</a></p>', "link that is not kept: javascript:"),
    ('<p><a href="file:///etc/hostname">x</a></p>', "link that is not kept: file:"),
    ('<p><a href="../other/out/handover.pdf">x</a></p>', "link that is not kept"),
    ('<p><a rel="attachment" href="file:///etc/hostname">x</a></p>', "nothing but their own"),
    ('<p><img alt="x" src="file:///etc/hostname"></p>', "nothing but their own"),
    ('{{ "x" * 300000000 }}', "repeats something 300000000 times"),
    ("{{ [1] * 300000000 }}", "repeats something 300000000 times"),
    ("{{ 9 ** 9 ** 9 }}", "too large"),
    ("{% for a in range(99000) %}{{ 'x' * 999 }}{% endfor %}", "million characters"),
]


@pytest.mark.parametrize(("text", "said"), HARM)
def test_a_page_that_does_harm_is_a_sentence(own: Path, text: str, said: str) -> None:
    (own / "punch-list.html").write_text(at_the_end(text))
    with pytest.raises(UnreadableInput, match=said):
        printed(own)


@pytest.mark.parametrize("template", OF_THE_OFFICE)
@pytest.mark.parametrize(("text", "said"), HARM)
def test_a_page_of_no_job_that_does_harm_is_a_sentence(
    own: Path, template: str, text: str, said: str
) -> None:
    (own / template).write_text(at_the_end(text, template))
    with pytest.raises(UnreadableInput, match=said):
        print_one(OF_THE_OFFICE[template](), None, own.parent, MADE_AT)


@pytest.mark.parametrize("template", OF_THE_OFFICE)
def test_a_page_of_no_job_without_end_is_ended(
    own: Path, template: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(document, "LONGEST_S", 1.0)
    without_end = "{% for a in range(90000) %}{% for b in range(90000) %}{% endfor %}{% endfor %}"
    (own / template).write_text(at_the_end(without_end, template))
    with pytest.raises(UnreadableInput, match="took longer than 1 second"):
        print_one(OF_THE_OFFICE[template](), None, own.parent, MADE_AT)


@pytest.mark.parametrize("template", OF_THE_OFFICE)
def test_a_page_of_no_job_follows_no_links(own: Path, template: str, tmp_path: Path) -> None:
    (tmp_path / "elsewhere.html").write_text("<p>not yours</p>")
    (own / template).symlink_to(tmp_path / "elsewhere.html")
    with pytest.raises(UnreadableInput, match=rf"templates/{template} is a link"):
        print_one(OF_THE_OFFICE[template](), None, own.parent, MADE_AT)


def test_a_link_to_the_web_a_mailbox_and_a_telephone_stay(own: Path) -> None:
    links = ("https://example.com/", "mailto:office@example.com", "tel:5550123")
    text = "".join(f'<p><a href="{link}">{link}</a></p>' for link in links)
    (own / "punch-list.html").write_text(at_the_end(text))
    assert all(f"/URI ({link})".encode() in _unpacked(printed(own)) for link in links)


def _unpacked(made_: Rendered) -> bytes:
    found = b""
    for page in PdfReader(io.BytesIO(made_.data)).pages:
        for annotation in page.get("/Annots", ()):
            action = annotation.get_object().get("/A", {})
            found += f"/URI ({action.get('/URI')})".encode()
    return found


# Where the stop falls into the tidying of an object, the interpreter says that it passed it over.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize(
    ("file", "text"),
    [
        (
            "punch-list.html",
            "{% for a in range(90000) %}{% for b in range(90000) %}{% endfor %}{% endfor %}",
        ),
        ("office.css", "@page { size: 4mm 4mm; margin: 0 }"),
    ],
)
def test_what_has_no_end_is_ended(
    own: Path, file: str, text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(document, "LONGEST_S", 1.0)
    monkeypatch.setattr(document, "LONGEST_A_PICTURE_S", 0.0)
    (own / file).write_text(text)
    before, began = threading.active_count(), time.monotonic()
    with pytest.raises(UnreadableInput, match="took longer than 1 second"):
        printed(own)
    assert time.monotonic() - began < 10
    assert threading.active_count() == before, "what was begun does not go on"


def test_work_in_time_is_handed_on_with_what_it_raises() -> None:
    assert within(5, lambda: 7) == 7
    with pytest.raises(ZeroDivisionError):
        within(5, lambda: 1 // 0)
    with pytest.raises(Refused, match="longer"):
        within(0.05, lambda: time.sleep(0.3))


def test_links_in_the_folder_are_not_followed(own: Path, tmp_path: Path) -> None:
    secret = tmp_path / "elsewhere.html"
    secret.write_text("<p>not yours</p>")
    (own / "punch-list.html").symlink_to(secret)
    with pytest.raises(UnreadableInput, match=r"templates/punch-list\.html is a link"):
        printed(own)


def test_a_folder_that_is_a_link_is_not_followed(own: Path, tmp_path: Path) -> None:
    (own / "office.css").write_text("h1 { color: red }")
    (tmp_path / "linked").symlink_to(own)
    with pytest.raises(UnreadableInput, match="the folder linked is a link"):
        printed(tmp_path / "linked")


def test_a_name_that_leads_out_of_the_folder_finds_nothing(own: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere.html").write_text("<p>not yours</p>")
    (own / "punch-list.html").write_text('{% include "../elsewhere.html" %}')
    with pytest.raises(UnreadableInput, match=r"elsewhere\.html.*line 1"):
        printed(own)


def test_a_file_larger_than_any_template_is_not_read(own: Path) -> None:
    (own / "office.css").write_bytes(b" " * (MOST_FILE_BYTES + 1))
    with pytest.raises(UnreadableInput, match=r"templates/office\.css is larger than 1 MB"):
        printed(own)
