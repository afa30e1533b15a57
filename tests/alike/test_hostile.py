"""A document made to harm ends in a sentence, within bounds of time and memory."""

import zlib
from pathlib import Path

import pytest

from dossier.alike.ask import compare_with
from dossier.alike.compare import MOST_MORE_PAGES
from dossier.errors import UnreadableInput
from tests.conftest import pdf_with_text

MOST_S = 12


def made(*objects: bytes) -> bytes:
    """Return a PDF of these objects, the first its catalogue (ISO 32000-1:2008, section 7.5)."""
    whole, starts = bytearray(b"%PDF-1.7\n"), []
    for number, written in enumerate(objects, start=1):
        starts.append(len(whole))
        whole += b"%d 0 obj\n%s\nendobj\n" % (number, written)
    at = len(whole)
    whole += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    whole += b"".join(b"%010d 00000 n \n" % start for start in starts)
    whole += b"trailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (len(objects) + 1, at)
    return bytes(whole)


def stream(data: bytes, more: bytes = b"") -> bytes:
    return b"<</Length %d%s>>stream\n%s\nendstream" % (len(data), more, data)


_CATALOGUE, _FONT = (
    b"<</Type/Catalog/Pages 2 0 R>>",
    b"<</F1<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>",
)
_LINE = b"BT /F1 11 Tf 40 760 Td (The owner asks for a copy.) Tj ET"
_BOMB = zlib.compress(b"\0" * 1_500_000_000, 9)


def page(more: bytes = b"", box: bytes = b"0 0 612 792", contents: bytes = b"4 0 R") -> bytes:
    return b"<</Type/Page/Parent 2 0 R/MediaBox[%s]/Contents %s/Resources<</Font%s>>%s>>" % (
        box, contents, _FONT, more,
    )  # fmt: skip


MANY_PAGES = made(
    _CATALOGUE,
    b"<</Type/Pages/Count 60000/Kids[%s]>>" % (b"3 0 R " * 60_000),
    page(),
    stream(_LINE),
)
COUNT_LIES = made(
    _CATALOGUE, b"<</Type/Pages/Count 2000000000/Kids[3 0 R]>>", page(), stream(_LINE)
)
HUGE_BOX = made(
    _CATALOGUE, b"<</Type/Pages/Count 1/Kids[3 0 R]>>",
    page(box=b"0 0 2000000000 2000000000"), stream(_LINE),
)  # fmt: skip
BOMB_ON_A_PAGE = made(
    _CATALOGUE,
    b"<</Type/Pages/Count 1/Kids[3 0 R]>>",
    page(),
    stream(_BOMB, b"/Filter/FlateDecode"),
)
BOMB_ATTACHED = made(
    b"<</Type/Catalog/Pages 2 0 R/Names<</EmbeddedFiles<</Names[(job.yaml) 5 0 R]>>>>>>",
    b"<</Type/Pages/Count 1/Kids[3 0 R]>>", page(), stream(_LINE),
    b"<</Type/Filespec/F(job.yaml)/EF<</F 6 0 R>>>>", stream(_BOMB, b"/Filter/FlateDecode"),
)  # fmt: skip
PAGES_IN_A_CIRCLE = made(
    _CATALOGUE, b"<</Type/Pages/Count 5/Kids[3 0 R 2 0 R]>>", page(), stream(_LINE)
)
NESTED = made(
    b"<</Type/Catalog/Pages 2 0 R/Deep %s%s>>" % (b"[" * 200_000, b"]" * 200_000),
    b"<</Type/Pages/Count 1/Kids[3 0 R]>>", page(), stream(_LINE),
)  # fmt: skip
OUTLINE_IN_A_CIRCLE = made(
    b"<</Type/Catalog/Pages 2 0 R/Outlines 5 0 R>>", b"<</Type/Pages/Count 1/Kids[3 0 R]>>",
    page(), stream(_LINE), b"<</First 6 0 R/Last 6 0 R>>", b"<</Title(a)/Next 6 0 R/First 5 0 R>>",
)  # fmt: skip
DRAWS_ITSELF = made(
    _CATALOGUE, b"<</Type/Pages/Count 1/Kids[3 0 R]>>",
    b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/Contents 4 0 R/Resources<</XObject<</X 5 0 R>>>>>>",
    stream(b"/X Do"),
    stream(
        b"/X Do /X Do /X Do",
        b"/Type/XObject/Subtype/Form/BBox[0 0 612 792]/Resources<</XObject<</X 5 0 R>>>>",
    ),
)  # fmt: skip
CUT = pdf_with_text("The owner asks for a copy.")[:300]


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(MANY_PAGES, id="60,000 pages"),
        pytest.param(COUNT_LIES, id="two thousand million pages by its own word"),
        pytest.param(HUGE_BOX, id="a page of 700 km"),
        pytest.param(BOMB_ON_A_PAGE, id="a page that unpacks to 1.5 GB"),
        pytest.param(BOMB_ATTACHED, id="an attachment that unpacks to 1.5 GB"),
        pytest.param(PAGES_IN_A_CIRCLE, id="pages in a circle"),
        pytest.param(NESTED, id="nested 200,000 deep"),
        pytest.param(OUTLINE_IN_A_CIRCLE, id="bookmarks in a circle"),
        pytest.param(DRAWS_ITSELF, id="a picture of itself"),
        pytest.param(CUT, id="cut off"),
        pytest.param(b"", id="empty"),
        pytest.param(b"%PDF-1.7\n" + bytes(range(256)) * 400, id="noise"),
    ],
)
def test_a_document_made_to_harm_is_a_difference_or_a_sentence(tmp_path: Path, data: bytes) -> None:
    sealed, document = tmp_path / "sealed.pdf", tmp_path / "document.pdf"
    sealed.write_bytes(pdf_with_text("The owner asks for a copy.", "A second line."))
    document.write_bytes(data)
    found, refused = None, ""
    try:
        found = compare_with(document, [sealed], most_seconds=MOST_S)
    except UnreadableInput as problem:
        refused = problem.message
    if found is None:
        assert "cannot be read as a PDF" in refused
    else:
        assert found.differences or found.which is None
        assert not found.saved_anew


def test_a_long_document_is_told_by_the_number_of_its_pages(tmp_path: Path) -> None:
    sealed, document = tmp_path / "sealed.pdf", tmp_path / "document.pdf"
    sealed.write_bytes(pdf_with_text("The owner asks for a copy."))
    count = MOST_MORE_PAGES + 10
    document.write_bytes(
        made(
            _CATALOGUE, b"<</Type/Pages/Count %d/Kids[%s]>>" % (count, b"3 0 R " * count),
            page(), stream(_LINE),
        )
    )  # fmt: skip
    found = compare_with(document, [sealed])
    assert f"It has {count} pages, and the sealed document 1." in found.differences


def test_time_and_memory_are_bounded(tmp_path: Path) -> None:
    document = tmp_path / "document.pdf"
    document.write_bytes(pdf_with_text("The owner asks for a copy."))
    with pytest.raises(UnreadableInput, match=r"could not be compared within 0\.05 s"):
        compare_with(document, [document], most_seconds=0.05)
    with pytest.raises(UnreadableInput, match="cannot be read as a PDF"):
        compare_with(document, [document], memory_bytes=40_000_000)
    # Time to draw has run out: what could not be looked at is told, and nothing is said to be the same.
    found = compare_with(document, [document], drawing_seconds=-1)
    assert found.cut_short
    assert not found.saved_anew
    assert any("could not be compared as a picture" in note for note in found.notes)
