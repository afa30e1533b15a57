"""Pages are paired before they are compared, and a picture differs where the eye would see it."""

from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from dossier.alike.ask import compare_with
from dossier.alike.compare import _arranged, _pages, _paired, _rising
from dossier.alike.parts import Page
from dossier.alike.pictures import Look, look
from tests.conftest import judged, pdf_with_text


def pages(texts: str) -> list[Page]:
    """Return pages of one word each, by letters."""
    return [Page(f"page {letter}", (612, 792)) for letter in texts]


@pytest.mark.parametrize(
    ("theirs", "sealed", "says"),
    [
        ("abcde", "abcde", []),
        ("abde", "abcde", ["Page 3 of the sealed document is missing."]),
        ("ab", "abcde", ["Pages 3 to 5 of the sealed document are missing."]),
        ("abxcde", "abcde", ["Page 3 was added; the sealed document has none such."]),
        ("aabcde", "abcde", ["Page 1 was added; the sealed document has none such."]),
        ("abdce", "abcde", ["The pages are in another order: page 3 is page 4 of the sealed one."]),
        ("eabcd", "abcde", ["The pages are in another order: page 1 is page 5 of the sealed one."]),
        ("aaaa", "aaaaa", ["Page 5 of the sealed document is missing."]),
    ],
)
def test_pages_taken_out_put_in_and_moved_are_named(
    theirs: str, sealed: str, says: list[str]
) -> None:
    pairs, gone, come = _paired(pages(theirs), pages(sealed))
    assert list(_arranged(pairs, gone, come, cut=False)) == says


def test_page_numbers_are_told_shortly() -> None:
    assert _pages([2]) == "Page 3"
    assert _pages([0, 2, 3, 4, 6, 7]) == "Pages 1, 3 to 5, 7 and 8"
    assert len(_rising([5, 1, 2, 0, 3])) == 3


def drawn(*boxes: tuple[float, float, float, float], colour: str = "black") -> Image.Image:
    picture = Image.new("RGB", (200, 100), "white")
    for box in boxes:
        ImageDraw.Draw(picture).rectangle(box, fill=colour)
    return picture


def test_a_picture_differs_where_the_eye_would_see_it() -> None:
    one = drawn((50, 20, 80, 60))
    assert look(one, drawn((50, 20, 80, 60))).look is Look.SAME
    # An edge that is rounded to the next dot is no difference; a stroke, a patch or another colour is.
    assert look(one, drawn((51, 20, 81, 60))).look is Look.EDGES
    assert look(one, drawn((50, 20, 80, 60), (120, 20, 121, 30))).look is Look.DIFFERENT
    assert look(one, drawn((54, 20, 84, 60))).look is Look.DIFFERENT
    assert look(one, drawn((50, 20, 80, 60), colour="#400000")).look is Look.DIFFERENT
    found = look(one, drawn((50, 20, 80, 60), (100, 50, 119, 74)))
    assert found.box == (0.5, 0.5, 0.6, 0.75)


@pytest.mark.parametrize("how", [["--linearize"], ["--object-streams=generate"], ["--qdf"]])
def test_a_copy_saved_anew_by_another_program_is_the_same(tmp_path: Path, how: list[str]) -> None:
    sealed, copy = tmp_path / "sealed.pdf", tmp_path / "copy.pdf"
    sealed.write_bytes(pdf_with_text("The owner asks for a copy.", "A second line."))
    judged("qpdf", *how, sealed, copy)
    assert copy.read_bytes() != sealed.read_bytes()
    found = compare_with(copy, [sealed])
    assert (found.saved_anew, found.differences) == (True, ())


def test_the_document_is_found_among_many(tmp_path: Path) -> None:
    sealed = []
    for number in range(3):
        path = tmp_path / f"sealed-{number}.pdf"
        path.write_bytes(
            pdf_with_text("Every letter begins so.", f"Letter {number}.", f"{number} " * 9)
        )
        sealed.append(path)
    held = tmp_path / "held.pdf"
    held.write_bytes(pdf_with_text("Every letter begins so.", "Letter 1.", "1 " * 9, "And more."))
    found = compare_with(held, sealed)
    assert found.which == 1
    assert len(found.differences) == 1
    assert found.differences[0].startswith("Page 1 says something else: “And more.” was added")
    held.write_bytes(pdf_with_text("Nothing of this was ever sealed."))
    assert compare_with(held, sealed).which is None
