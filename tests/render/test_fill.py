"""Filling templates: escaping, the sandbox, names that must exist, and an office's own folder."""

from pathlib import Path

import pytest
from jinja2 import TemplateNotFound, TemplateSyntaxError, UndefinedError
from jinja2.exceptions import SecurityError
from markupsafe import Markup

from dossier import resources
from dossier.errors import UnreadableInput
from dossier.render import pages
from dossier.render.pages import NothingToPrint, environment, fill
from dossier.resources import resource


def filled(source: str, **context: object) -> str:
    return environment().from_string(source).render(context)


def test_printed_values_are_escaped() -> None:
    assert filled("<p>{{ x }}</p>", x="<script>alert('a')</script> & co") == (
        "<p>&lt;script&gt;alert(&#39;a&#39;)&lt;/script&gt; &amp; co</p>"
    )
    assert filled('<p title="{{ x }}">', x='" onload="') == '<p title="&#34; onload=&#34;">'


def test_printed_values_are_made_printable_wherever_they_are_printed() -> None:
    assert filled("{{ x }}", x="done 😀") == "done [U+1F600]"
    assert filled("{% macro m(t) %}<b>{{ t }}</b>{% endmacro %}{{ m(x) }}", x="<😀>") == (
        "<b>&lt;[U+1F600]&gt;</b>"
    )
    assert filled("{{ '😀' }}") == "[U+1F600]"
    assert filled("{% for x in xs %}{{ x|upper }}{% endfor %}", xs=["a\u202e", 3]) == "A[U+202E]3"


def test_markup_stays_markup_and_is_made_printable_too() -> None:
    assert filled("{{ x }}", x=Markup("<i>😀</i>")) == "<i>[U+1F600]</i>"


@pytest.mark.parametrize(
    "source",
    [
        "{{ ''.__class__.__mro__ }}",
        "{{ ''.__class__.__mro__[1].__subclasses__() }}",
        "{{ fill.__globals__ }}",
        "{{ xs.append(1) }}",
        "{% for x in xs %}{{ x.__init__.__globals__ }}{% endfor %}",
    ],
)
def test_the_sandbox_holds(source: str) -> None:
    template = environment().from_string(source)
    with pytest.raises(SecurityError):
        template.render(xs=["a"], fill=fill)


def test_an_unknown_name_is_an_error_that_says_which() -> None:
    template = environment().from_string("{{ job.numbr }}")
    with pytest.raises(UndefinedError, match="numbr"):
        template.render(job={"number": "41"})


def test_an_unknown_name_is_an_error_in_a_condition_too() -> None:
    template = environment().from_string("{% if owner %}x{% endif %}")
    with pytest.raises(UndefinedError, match="owner"):
        template.render()


def test_none_is_never_printed() -> None:
    template = environment().from_string("{{ closed_on }}")
    with pytest.raises(NothingToPrint):
        template.render(closed_on=None)


def test_a_template_outside_the_folders_is_not_found() -> None:
    with pytest.raises(TemplateNotFound):
        fill("../pyproject.toml", {})


def test_an_office_s_own_template_goes_first_and_can_use_the_shipped_ones(tmp_path: Path) -> None:
    (tmp_path / "own.html").write_text("<style>{% include 'fonts.css' %}</style>{{ x }}", "utf-8")
    made = fill("own.html", {"x": "<&>"}, overrides=tmp_path)
    assert made.endswith("</style>&lt;&amp;&gt;")
    assert resource("fonts.css").read_text("utf-8").strip() in made
    (tmp_path / "fonts.css").write_text("/* ours */", "utf-8")
    assert fill("fonts.css", {}, overrides=tmp_path) == "/* ours */"


@pytest.mark.parametrize(
    "source",
    ["one\n{{ x.y.z }}", "one\n{% if %}", "one\n{{ ''.__class__ }}", "one\n{{ n }}"],
)
def test_a_fault_in_the_office_s_folder_is_the_office_s_to_mend(
    tmp_path: Path, source: str
) -> None:
    (tmp_path / "own.html").write_text(source, "utf-8")
    with pytest.raises(UnreadableInput, match=r"own\.html, line 2") as caught:
        fill("own.html", {"x": {}, "n": None}, overrides=tmp_path)
    assert "office's template folder" in caught.value.remedy


def test_a_fault_in_a_shipped_template_is_ours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shipped, office = tmp_path / "shipped", tmp_path / "office"
    for folder in (shipped, office):
        folder.mkdir()
    (shipped / "ours.html").write_text("{% if %}", "utf-8")
    monkeypatch.setattr(pages, "resource", lambda: shipped)
    with pytest.raises(TemplateSyntaxError):
        fill("ours.html", {}, overrides=office)


def test_a_resource_is_one_that_exists_below_the_folder() -> None:
    assert resource("fonts", "OFL.txt").is_file()
    with pytest.raises(FileNotFoundError, match=r"no-such\.html"):
        resource("no-such.html")


def test_the_packaged_copy_goes_before_the_checkout_s(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    packaged, checkout = tmp_path / "packaged", tmp_path / "checkout"
    for home in (packaged, checkout):
        home.mkdir()
        (home / "both.html").touch()
    (checkout / "late.html").touch()
    monkeypatch.setattr(resources, "_HOMES", (packaged, checkout))
    assert resource("both.html") == packaged / "both.html"
    assert resource("late.html") == checkout / "late.html"


@pytest.mark.parametrize("parts", [("..",), ("fonts", ".."), ("/etc/passwd",), ("",), ("a\\b",)])
def test_a_resource_never_leaves_the_folder(parts: tuple[str, ...]) -> None:
    with pytest.raises(ValueError, match="not one name"):
        resource(*parts)
