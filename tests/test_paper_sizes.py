"""Every document of the demo on A4 as well: sound, conforming, and filling its sheets as on Letter."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pypdfium2
import pytest

from tests.conftest import DEMO_DOCUMENTS, Once, build_on_the_day, copy_office, judged
from tests.golden_text import page_texts
from tests.test_documents import blank_pages, nonconforming

Built = Callable[[str], Path]

A4_PT = (210 / 25.4 * 72, 297 / 25.4 * 72)
"""Source: ISO 216, A4 is 210 mm by 297 mm; a PDF point is 1/72 inch (ISO 32000-1:2008, 8.3.2.3)."""

LETTER_PT = (612.0, 792.0)
"""8.5 in by 11 in. Source: ANSI/ASME Y14.1, size A."""

CONFORMING = [one for one in DEMO_DOCUMENTS if one[1] != "registration-print"]
every_document = pytest.mark.parametrize(("job", "document"), DEMO_DOCUMENTS)
every_conforming_document = pytest.mark.parametrize(("job", "document"), CONFORMING)


@pytest.fixture(scope="session")
def built_a4(once: Once, built: Built) -> Built:
    """Return what gives a demo job's out folder on A4, built once a session."""

    def of(job: str) -> Path:
        def fill(folder: Path) -> None:
            office = copy_office(folder, job)
            company = office / "company.yaml"
            text = company.read_text()
            assert "paper: letter" in text
            company.write_text(text.replace("paper: letter", "paper: A4"))
            # The photos are printed as wide on either sheet, so those reduced already serve again.
            kept = built(job).parent / ".dossier" / "pictures"
            if kept.is_dir():
                shutil.copytree(kept, office / job / ".dossier" / "pictures")
            build_on_the_day(office / job)

        return once(f"demo-a4-{job}", fill) / job / "out"

    return of


@every_document
def test_every_sheet_is_letter_where_letter_was_asked_for(
    job: str, document: str, built: Built
) -> None:
    assert own_sheets_are(LETTER_PT, built(job), document)


@every_document
def test_every_sheet_is_a4_where_a4_was_asked_for(job: str, document: str, built_a4: Built) -> None:
    assert own_sheets_are(A4_PT, built_a4(job), document)
    assert not own_sheets_are(LETTER_PT, built_a4(job), document)


def own_sheets_are(wanted_pt: tuple[float, float], folder: Path, document: str) -> bool:
    """Return whether all sheets have that size; papers that are bound in keep the size they came in."""
    with pypdfium2.PdfDocument(folder / f"{document}.pdf") as pdf:
        pages = [pdf[0]] if document == "registration-print" else list(pdf)
        return all(page.get_size() == pytest.approx(wanted_pt, abs=0.1) for page in pages)


@pytest.mark.parametrize("profile", ["3a", "ua1"])
@every_conforming_document
def test_a_document_on_a4_conforms_to_both_standards(
    job: str, document: str, profile: str, built_a4: Built
) -> None:
    assert nonconforming(built_a4(job) / f"{document}.pdf", profile) == []


@every_document
def test_a_document_on_a4_is_sound_and_has_no_blank_page(
    job: str, document: str, built_a4: Built
) -> None:
    judged("qpdf", "--check", built_a4(job) / f"{document}.pdf")
    assert blank_pages(built_a4(job) / f"{document}.pdf") == []


@every_conforming_document
def test_a_document_says_the_same_on_either_sheet(
    job: str, document: str, built: Built, built_a4: Built
) -> None:
    """Lines break elsewhere and page numbers differ; the words of the record are the same ones."""

    def words(folder: Path) -> set[str]:
        text = " ".join(page_texts(folder / f"{document}.pdf"))
        # The reader gives U+FFFE for a hyphen at which a line was broken, and a file name may break there.
        return {word for word in text.split() if word.isalpha()}

    letter, a4 = words(built(job)), words(built_a4(job))
    assert len(letter) > 50
    # A name that is broken in one of them leaves its parts; nothing else may be in one alone.
    assert len(letter ^ a4) <= len(letter | a4) * 0.02, sorted(letter ^ a4)
