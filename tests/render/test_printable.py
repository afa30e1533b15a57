"""What prints and what becomes a code, judged against the fonts' own tables."""

import unicodedata
from collections.abc import Callable

import pytest
from fontTools.ttLib import TTFont
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dossier.render import coverage
from dossier.render.coverage_table import COVERAGE
from dossier.render.engine import Rendered
from dossier.render.glyphs import families_with, printable
from dossier.resources import resource


def test_the_kept_table_is_what_the_fonts_say() -> None:
    measured = coverage.measure()
    assert measured == COVERAGE, "run: python -m dossier.render.coverage"


def test_the_kept_table_is_written_as_its_module_stands() -> None:
    kept = (resource().parent / "dossier" / "render" / "coverage_table.py").read_text("utf-8")
    scope: dict[str, object] = {}
    exec(coverage.module_text(COVERAGE), scope)
    assert scope["COVERAGE"] == COVERAGE
    assert kept.startswith('"""Code points the bundled fonts have')


def test_every_bundled_font_is_counted_static_and_free_to_embed() -> None:
    counted = {name for names in coverage.FAMILY_FILES.values() for name in names}
    lying = {path.name for path in resource("fonts").glob("*.ttf")}
    assert lying == counted
    for name in sorted(lying):
        with TTFont(resource("fonts", name), lazy=True) as font:
            # A variable font gives other bytes on each run.
            assert "fvar" not in font, name
            # Bits 1 to 3 restrict embedding. Source: OpenType 1.9, OS/2 table, fsType.
            assert font["OS/2"].fsType & 0b1110 == 0, name
            assert "Open Font License" in str(font["name"].getName(13, 3, 1)), name
            holder = str(font["name"].getName(0, 3, 1))
            licence = resource("fonts", "OFL.txt").read_text("utf-8")
            assert holder in licence, name
            assert name in licence


@pytest.mark.parametrize(
    "text",
    [
        "Søren Ångström, Łódź, Đorđe, naïve",
        "Привет, Київ",
        "Ελλάδα",
        "שלום, שָׁלוֹם",
        "سلام عليكم",
        "می\u200cخواهم",  # A zero-width non-joiner that Persian spelling asks for.
        "½ in, ¼ in, 6:12, 40 × 28 ft, 47.70° N, 7′ 6″ “quoted” – and — …",
        "Việt Nam, Cafe\u0301",
        "two\nlines\tand a tab",
        "soft\u00adhyphen and\u200bbreak",
        "",
    ],
)
def test_what_the_fonts_have_stays_as_it_is(text: str) -> None:
    assert printable(text) == text


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("done 😀", "done [U+1F600]"),
        ("👍🏽", "[U+1F44D][U+1F3FD]"),
        ("屋根", "[U+5C4B][U+6839]"),
        ("☃ 24 in", "[U+2603] 24 in"),
        # A name shown backwards, the trick of the override: the reader must see it.
        ("ok\u202egpj.exe", "ok[U+202E]gpj.exe"),
        ("a\u2066b\u2069", "a[U+2066]b[U+2069]"),
        ("\ufeffstart", "[U+FEFF]start"),
        ("bell\x07 null\x00", "bell[U+0007] null[U+0000]"),
        ("next\x85line\u2028sep", "next[U+0085]line[U+2028]sep"),
        ("private \ue000", "private [U+E000]"),
        ("half \ud83d", "half [U+D83D]"),
        ("v\ufe0f", "v[U+FE0F]"),
        ("a\u200db", "a[U+200D]b"),
        # A Hebrew vowel cannot be drawn on a Latin letter, nor stand alone.
        ("a\u05b8", "a[U+05B8]"),
        ("\u0301x", "[U+0301]x"),
        ("😀\u0301", "[U+1F600][U+0301]"),
    ],
)
def test_what_they_lack_or_hide_becomes_a_code(text: str, printed: str) -> None:
    assert printable(text) == printed


def test_a_script_the_fonts_lack_is_a_code_letter_by_letter() -> None:
    thai = "หลังคา"
    assert printable(thai) == "".join(f"[U+{ord(letter):04X}]" for letter in thai)


anything = st.text(alphabet=st.characters(codec=None), max_size=60)


@given(anything)
def test_twice_is_once(text: str) -> None:
    assert printable(printable(text)) == printable(text)


@given(anything)
def test_no_character_is_lost_or_left_without_a_glyph(text: str) -> None:
    printed = printable(text)
    rest = printed
    for letter in text:
        code = f"[U+{ord(letter):04X}]"
        if rest.startswith(letter):
            rest = rest[len(letter) :]
        else:
            assert rest.startswith(code)
            rest = rest[len(code) :]
    assert rest == ""
    for letter in printed:
        assert letter in "\t\n\r" or families_with(letter)
        assert unicodedata.category(letter) not in {"Cs", "Co"}


# Letters of every script the fonts have, with marks, joiners and direction marks among them.
scripts = st.text(
    alphabet=st.one_of(
        st.sampled_from(
            [
                chr(code)
                for ranges in COVERAGE.values()
                for a, b in ranges
                for code in range(a, b + 1)
            ]
        ),
        st.characters(codec="utf-8"),
    ),
    min_size=1,
    max_size=40,
)


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(scripts, min_size=10, max_size=10), st.sampled_from(["Sans", "Serif"]))
def test_the_layout_program_finds_a_glyph_for_whatever_is_printable(
    laid_out: Callable[..., Rendered], texts: list[str], family: str
) -> None:
    from markupsafe import escape

    families = f'"Dossier {family}", "Dossier Hebrew", "Dossier Arabic", "Dossier Math"'
    style = f"<style>p {{ font-family: {families} }}</style>"
    body = "".join(f"<p>{escape(printable(text))}</p>" for text in texts)
    # A character without a glyph would raise, and so would every other complaint.
    assert laid_out(body, head=style).page_count >= 1
