"""The printed documents: conforming, whole, legible, and able to hold whatever is typed."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest
from markupsafe import Markup

from dossier.assess.results import Met
from dossier.compose.parts.shared import Look, contrast, readable
from dossier.compose.punch_list.pages import punch_list_pages
from dossier.punchlist import PunchList, Weight
from dossier.render.engine import Rendered
from dossier.render.pages import environment, fill
from dossier.resources import resource
from dossier.words import Backing
from tests.compose.made import Made, made, pages, printed, resale
from tests.compose.test_punch_list_pages import ITEM
from tests.conftest import judged, outside_module
from tests.known_good import known_good

TEMPLATES = ("handover.html", "registration.html", "punch-list.html", "divider.html")


@pytest.fixture(scope="session")
def pdfs(good: Made) -> dict[str, Rendered]:
    return {
        "handover": printed(good.handover),
        "registration": printed(good.registration),
        "punch list": printed(good.punch_list),
    }


NAMES = ("handover", "registration", "punch list")


@pytest.mark.parametrize("profile", ["3a", "ua1"])
@pytest.mark.parametrize("name", NAMES)
def test_it_conforms_to_both_standards(pdfs: dict[str, Rendered], name: str, profile: str) -> None:
    """Judge: page-validation, which agrees with the veraPDF corpus."""
    outside_module("page", "page-validation")
    import page

    report = page.validate_pdf_bytes(pdfs[name].data, profile=profile)
    assert [f"{failure.rule_id}: {failure.message}" for failure in report.failures] == []


@pytest.mark.parametrize("name", NAMES)
def test_its_structure_is_sound(pdfs: dict[str, Rendered], name: str, tmp_path: Path) -> None:
    path = tmp_path / "made.pdf"
    path.write_bytes(pdfs[name].data)
    judged("qpdf", "--check", path)


def test_the_first_page_can_be_copied_by_itself(pdfs: dict[str, Rendered]) -> None:
    first = pages(pdfs["handover"].data)[0]
    for word in (
        "118 Plover Lane",
        "Ormskar Roofing",
        "R-2026-1187",
        "20 November 2026",
        "Page 1 of",
    ):
        assert word in first
    assert "What this record holds" not in first


def test_the_packet_s_first_page_decides(pdfs: dict[str, Rendered]) -> None:
    first, *rest = pages(pdfs["registration"].data)
    assert "READY" in first
    assert "31 days left" in first
    # The form to type from stands there; the conditions follow.
    assert "To copy into the maker’s form" in first
    assert "Squares installed 12.52 squares, as measured" in first
    assert "3.16" not in first
    assert "3.16" in rest[0]
    assert not any("days left" in page for page in rest)


def test_no_page_is_blank_and_each_says_where_it_stands(pdfs: dict[str, Rendered]) -> None:
    for name in NAMES:
        found = pages(pdfs[name].data)
        for number, text in enumerate(found, start=1):
            # Whoever gets a page to send has not the whole list.
            of = "our list" if "Page to send" in text else str(len(found))
            assert f"Page {number} of {of}" in text
            assert len(text) > 120, (name, number)


def test_every_heading_of_the_contents_is_on_the_page_it_names(
    good: Made, pdfs: dict[str, Rendered]
) -> None:
    found = pages(pdfs["handover"].data)
    html = fill(
        "handover.html", {"doc": good.handover, "look": Look("#1F3A4D", "#8A4B2A", "Letter")}
    )
    entries = re.findall(r'<li data-to="#\w+"><a href="#(\w+)">([^<]+)</a></li>', html)
    assert len(entries) == 14
    assert "0 What this record holds" not in found[1], "the contents count as no section"
    for anchor, title in entries:
        number = pdfs["handover"].anchors[anchor]
        assert f"{title}, page {number}" in found[1]
        assert title in found[number - 1]


def test_a4_fits_too(good: Made) -> None:
    made_a4 = printed(good.registration, Look("#1F3A4D", "#8A4B2A", "A4"))
    with pypdfium2.PdfDocument(made_a4.data) as pdf:
        # ISO 216: A4 is 210 mm by 297 mm.
        assert [round(side * 25.4 / 72) for side in pdf[0].get_size()] == [210, 297]
        assert text_beyond(made_a4.data, 20) == []


def text_beyond(data: bytes, side_mm: int) -> list[tuple[int, float]]:
    """Return (page, millimetres) of each run of text that ends nearer to the right edge than that."""
    found = []
    with pypdfium2.PdfDocument(data) as pdf:
        for number, page in enumerate(pdf, start=1):
            width_pt, _ = page.get_size()
            textpage = page.get_textpage()
            for left, _, right, _ in map(textpage.get_rect, range(textpage.count_rects())):
                room_mm = min(left, width_pt - right) * 25.4 / 72
                if room_mm < side_mm:
                    found.append((number, room_mm))
    return found


@pytest.mark.parametrize(
    "text", ["long words and short " * 480, "x" * 10_000], ids=["words", "wall"]
)
def test_ten_thousand_letters_wrap_and_break_over_pages(text: str) -> None:
    doc = made({"job.repairs.0.cause": text}).handover
    # Without the photos and the fixed pages only the long text takes time.
    result = printed(replace(doc, photo_groups=(), seasons=(), words=(), coverages=(), backed=()))
    assert text_beyond(result.data, 20) == []
    letters = re.sub(r"\s", "", "".join(pages(result.data)))
    sample = re.sub(r"\s", "", text)
    assert letters.count("x") >= sample.count("x")
    assert letters.count("longwordsandshort") >= sample.count("longwordsandshort") * 9 // 10


def test_an_unreadable_record_prints() -> None:
    doc = punch_list_pages(None, "2026-041", PunchList.of([ITEM]), known_good().run)
    (page,) = pages(printed(doc).data)
    assert "could not be read" in page
    assert str(ITEM.says) in page


def test_a_resale_copy_prints_without_the_owner(good: Made) -> None:
    html = fill(
        "handover.html", {"doc": resale(good.known), "look": Look("#1F3A4D", "#8A4B2A", "Letter")}
    )
    assert "Ekdahl" not in html
    assert "555-0141" not in html


@pytest.mark.parametrize("name", TEMPLATES)
def test_templates_hold_no_character_without_a_glyph(name: str) -> None:
    source = resource(name).read_text("utf-8") + resource("marks.html").read_text("utf-8")
    assert not set("≥≤→✓■●○□✗") & set(source)


def shapes() -> dict[str, Callable[[str], str]]:
    module = environment().get_template("marks.html").module
    return {"mark": module.mark, "shape": module.shape}  # type: ignore[attr-defined]


WORDS = (
    [word.value for word in Backing],
    [word.value for word in Weight],
    [word.value for word in Met],
    ["READY", "NOT READY", "SENT", "REGISTERED"],
    ["ready", "not ready"],
)


@pytest.mark.parametrize("words", WORDS, ids=lambda words: words[0])
def test_each_word_has_a_shape_of_its_own(words: list[str]) -> None:
    """WCAG 2.2, success criterion 1.4.1: what colour says, a word and a shape say too."""
    drawn = {}
    for word in words:
        markup = shapes()["mark"](word)
        assert isinstance(markup, Markup)
        # The shape is passed over by what reads aloud, or the word would be said twice.
        assert "<title>ornament</title>" in markup
        assert re.sub(r"<title>.*?</title>|<[^>]+>|\s", "", markup) == word.replace(" ", "")
        drawn[word] = markup.replace(word, "")
    assert len(set(drawn.values())) == len(words)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ((0, 0, 0), (255, 255, 255), 21.0),
        ((255, 255, 255), (255, 255, 255), 1.0),
        # The two greys either side of 4.5 on white; figures widely published with WCAG's formula.
        ((0x76, 0x76, 0x76), (255, 255, 255), 4.54),
        ((0x77, 0x77, 0x77), (255, 255, 255), 4.48),
    ],
)
def test_contrast_by_the_wcag_formula(
    one: tuple[int, int, int], other: tuple[int, int, int], ratio: float
) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize(
    "colour", ["#FFFFFF", "#FFEE00", "#8A4B2A", "#1F3A4D", "#00FF00", "#777777"]
)
def test_a_company_s_colour_is_darkened_until_it_can_be_read(colour: str) -> None:
    """WCAG 2.2, success criterion 1.4.3, on the tinted ground as well as on white."""
    result = readable(colour)
    channels = tuple(int(result[at : at + 2], 16) for at in (1, 3, 5))
    assert len(channels) == 3
    assert contrast(channels, (244, 242, 237)) >= 4.5
    if colour in ("#8A4B2A", "#1F3A4D"):
        assert result == colour, "a colour that can be read is kept"


def test_a_number_without_its_index_is_no_link(good: Made) -> None:
    """An office may leave the index out of its own template; the numbers are then plain."""
    look = Look("#1F3A4D", "#8A4B2A", "Letter")
    whole = fill("handover.html", {"doc": good.handover, "look": look})
    bare = fill("handover.html", {"doc": replace(good.handover, backed=()), "look": look})
    assert '<a href="#row-4" title="Row 4 of the list of statements">[4]</a>' in whole
    assert 'href="#row-4"' not in bare
    assert "[4]" in bare
    assert 'href="#roof"' in bare
