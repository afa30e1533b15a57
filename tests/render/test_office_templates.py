"""An office's own templates: one block, one macro or a few rules at a time, and mistakes told by line."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.bind.conformance import NotConforming, conform
from dossier.cli import main
from dossier.compose.parts.shared import Look
from dossier.errors import ExitCode, UnreadableInput
from dossier.render.document import render_document
from dossier.render.pages import fill
from tests.compose.made import MADE_AT, made, pages, picture

LOOK = Look("#1F3A4D", "#8A4B2A", "Letter")
DOCS = Path(__file__).parents[2] / "docs" / "templates.md"


def html(folder: Path | None, template: str = "punch-list.html") -> str:
    return fill(template, {"doc": made().punch_list, "look": LOOK}, overrides=folder)


def test_an_empty_folder_changes_nothing(tmp_path: Path) -> None:
    assert html(tmp_path) == html(None)


def test_one_block_is_added_to_and_the_rest_stays(tmp_path: Path) -> None:
    (tmp_path / "punch-list.html").write_text(
        '{% extends "shipped/punch-list.html" %}\n'
        "{% block end %}{{ super() }}<p>{{ m.mark('note') }} Call Ida.</p>{% endblock %}\n"
    )
    changed = html(tmp_path)
    assert "Call Ida.</p>" in changed
    assert changed.replace(changed[changed.rindex("<p>") : changed.rindex("</body>")], "") == html(
        None
    )


def test_one_macro_is_changed_for_the_other_macros_too(tmp_path: Path) -> None:
    (tmp_path / "marks.html").write_text(
        '{% macro mark(word) %}<b class="mark">[{{ word }}]</b>{% endmacro %}\n'
    )
    doc = made().handover
    context: dict[str, object] = {"doc": doc, "look": LOOK}
    changed = fill("handover.html", context, overrides=tmp_path)
    plain = fill("handover.html", context)
    assert '<b class="mark">[on file]</b>' in changed
    assert '<span class="mark">' not in changed
    # The photos' captions use the mark by way of another macro, which is the shipped one.
    assert changed.count("<figure") == plain.count("<figure") > 10
    assert re.search(r"\[on file\]</b>\s*</figcaption>", changed)


def test_rules_of_the_office_come_after_ours(tmp_path: Path) -> None:
    (tmp_path / "office.css").write_text("h1 { font-size: 20pt; }\n")
    changed = html(tmp_path)
    head = changed[: changed.index("</style>")]
    assert head.rindex("font-size: 20pt") > head.rindex(".two-tables")


@pytest.mark.parametrize(
    ("file", "text", "said"),
    [
        ("punch-list.html", "one\n{{ doc.titel }}", r"titel.*templates/punch-list\.html, line 2"),
        ("punch-list.html", "one\n\n{% if %}", r"punch-list\.html, line 3"),
        ("punch-list.html", "{{ 1 / 0 }}", r"division by zero.*line 1"),
        ("punch-list.html", "{% include 'punch-list.html' %}", r"calls itself without end"),
        ("punch-list.html", "{% include 'gone.html' %}", r"gone\.html.*line 1"),
        ("marks.html", "{# fine #}\n{% macro mark(w) %}\n{{ w.x.y }}{% endmacro %}", r"line 3"),
        ("marks.html", "{# fine #}\n{% macro mark(w %}", r"marks\.html, line 2"),
        (
            "punch-list.html",
            '{% import "marks.html" as m %}\n{{ m.pairs() }}{{ m.photo() }}',
            r"line 2",
        ),
        ("punch-list.html", b"\xff\xfe\xfa", r"not text in UTF-8"),
    ],
)
def test_a_mistake_is_a_sentence_that_names_file_and_line(
    tmp_path: Path, file: str, text: str | bytes, said: str
) -> None:
    folder = tmp_path / "templates"
    folder.mkdir()
    (folder / file).write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(UnreadableInput, match=said) as caught:
        html(folder)
    assert "shipped one" in caught.value.remedy


def test_a_page_that_cannot_be_laid_out_is_told_too(tmp_path: Path) -> None:
    (tmp_path / "office.css").write_text("h1 { colour: red; }\n")
    doc = made().punch_list
    assets = dict.fromkeys((wanted.name for wanted in doc.pictures), picture())
    with pytest.raises(UnreadableInput, match=r"office\.css.*colour"):
        render_document(doc, LOOK, assets, (), MADE_AT, overrides=tmp_path)


def test_a_page_of_the_offices_that_cannot_conform_is_told_and_ours_is_our_bug(
    tmp_path: Path,
) -> None:
    """A page without a title: PDF/UA asks for one (ISO 14289-1:2014, 7.1, from memory)."""
    (tmp_path / "page.html").write_text("<p>mine</p>{% block pages %}{% endblock %}")
    doc = made().punch_list
    assets = dict.fromkeys((wanted.name for wanted in doc.pictures), picture())

    def refuse(*_: object) -> None:
        raise NotConforming("a page without a title")

    with pytest.raises(UnreadableInput, match=r"page\.html.*without a title"):
        render_document(doc, LOOK, assets, (), MADE_AT, finisher=conform, overrides=tmp_path)
    with pytest.raises(NotConforming):
        render_document(doc, LOOK, assets, (), MADE_AT, finisher=refuse)


def test_build_reads_the_folder_and_leaves_what_stood_there(
    job_of: Callable[[str], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    job = job_of("2026-041-plover-lane")
    own = job.parent / "templates"
    own.mkdir()
    (own / "registration.html").write_text("<p>\n{{ doc.titel }}</p>")
    code = main(["build", str(job), "--today", "2026-10-20"])
    assert code == ExitCode.UNREADABLE_INPUT
    assert "templates/registration.html, line 2" in capsys.readouterr().err
    assert not (job / "out").exists()


def test_the_examples_in_the_manual_work(tmp_path: Path) -> None:
    """Each example is cut out of docs/templates.md and used as an office would."""
    parts = DOCS.read_text("utf-8").split("```\n")
    block, macro = parts[1], parts[3]
    assert block.startswith("{% extends")
    assert macro.startswith("{% macro pairs")
    (tmp_path / "handover.html").write_text(block, "utf-8")
    (tmp_path / "marks.html").write_text(macro, "utf-8")
    doc = made().handover
    assets = dict.fromkeys((wanted.name for wanted in doc.pictures), picture())
    text = "\n".join(
        pages(render_document(doc, LOOK, assets, (), MADE_AT, overrides=tmp_path).data)
    )
    assert "answering service takes calls about leaks" in text
    assert "Owner when it was laid:" in text


def test_the_mistake_in_the_manual_is_what_is_printed(
    job_of: Callable[[str], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    shown = DOCS.read_text("utf-8").split("```\n")[5]
    job = job_of("2026-041-plover-lane")
    own = job.parent / "templates"
    own.mkdir()
    (own / "handover.html").write_text(
        '{% extends "shipped/handover.html" %}\n{% block claim %}\n<p>{{ doc.titel }}</p>\n{% endblock %}\n'
    )
    assert main(["build", str(job), "--today", "2026-10-20"]) == ExitCode.UNREADABLE_INPUT
    assert shown in capsys.readouterr().err


def test_every_document_has_the_one_frame() -> None:
    folder = Path(__file__).parents[2] / "templates"
    frame = (folder / "page.html").read_text("utf-8")
    # The office's rules come last, and so count; its two blocks stand around all a document says.
    assert '{% include "office.css" ignore missing %}\n</style>' in frame
    assert re.findall(r"{% block (\w+) %}", frame) == [
        *("look", "running", "foot"),
        *("top", "pages", "end"),
    ]
    documents = [
        path.name
        for path in folder.glob("*.html")
        if path.read_text("utf-8").startswith('{% extends "page.html" %}\n')
    ]
    assert len(documents) > 10
    # Each may be replaced whole, and so the manual names each.
    manual = DOCS.read_text("utf-8")
    assert [name for name in documents if f"`{name}`" not in manual] == []
    for path in folder.glob("*.html"):
        if path.name != "page.html":
            assert "<body>" not in path.read_text("utf-8"), path.name


def test_the_manual_lists_every_block() -> None:
    folder = Path(__file__).parents[2] / "templates"
    blocks = [
        line.split()[2]
        for line in (folder / "handover.html").read_text("utf-8").splitlines()
        if line.startswith("{% block ") and line.split()[2] not in ("look", "foot", "pages")
    ]
    listed = ", ".join(f"`{name}`" for name in blocks)
    assert listed in " ".join(DOCS.read_text("utf-8").split())
