"""The homeowner's document against the sealed folder: same, different, and what cannot be compared."""

import io
import shutil
from pathlib import Path

import pytest
from pypdf import PdfWriter

from dossier.archive.supplements import add_supplement, previous_digest
from dossier.cli import main
from dossier.errors import UnreadableInput
from dossier.press.carried import PHOTO_DIGESTS, RECORD, WITHHELD, attachments
from tests.archive.test_seal import everything
from tests.archive.test_supplements import ENTRY
from tests.archive.test_verify import rewrite
from tests.conftest import pdf_with_text


@pytest.fixture
def handover(sealed_demo: Path, tmp_path: Path) -> Path:
    """The document as the homeowner holds it, outside the office."""
    return Path(shutil.copy(sealed_demo / "out" / "handover.pdf", tmp_path / "handover.pdf"))


def compared(
    job: Path, document: Path, capsys: pytest.CaptureFixture[str]
) -> tuple[int, list[str]]:
    """Return the exit code and the lines that verify prints."""
    code = main(["verify", str(job), "--against", str(document)])
    return code, capsys.readouterr().out.splitlines()


def only_attached(document: Path, to: Path) -> Path:
    """Return a document of one empty page that carries the same files and prints nothing."""
    writer = PdfWriter()
    writer.add_blank_page(72, 72)
    for name, data in attachments(document).items():
        writer.add_attachment(name, data)
    out = io.BytesIO()
    writer.write(out)
    to.write_bytes(out.getvalue())
    return to


def test_the_document_that_was_sealed_fits(
    sealed_demo: Path, handover: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = everything(sealed_demo)
    code, lines = compared(sealed_demo, handover, capsys)
    assert code == 0
    assert (
        "= handover.pdf is, byte for byte, 0001-closeout/data/out/handover.pdf as it was sealed."
        in lines
    )
    assert any("fields that the document leaves out included" in line for line in lines)
    assert any("sheets that the document carries are the same" in line for line in lines)
    assert everything(sealed_demo) == before


def test_a_rewritten_record_differs_from_the_document(
    sealed_demo: Path, handover: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bag = sealed_demo / "sealed" / "0001-closeout"
    path = bag / "data" / "job.yaml"
    path.write_text(path.read_text().replace("118 Plover", "119 Plover", 1))
    rewrite(bag)
    assert main(["verify", str(sealed_demo)]) == 0
    capsys.readouterr()
    code, lines = compared(sealed_demo, handover, capsys)
    assert code == 5
    assert any(
        line.startswith("# The record differs from the one that handover.pdf carries, in: job")
        for line in lines
    )
    assert any("photos that the document lists are the same" in line for line in lines)


def test_a_field_that_the_document_leaves_out_shows_in_its_fingerprint_alone(
    sealed_demo: Path, handover: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert b"money" in attachments(handover)[WITHHELD]
    bag = sealed_demo / "sealed" / "0001-closeout"
    path = bag / "data" / "job.yaml"
    path.write_text(path.read_text() + "notes:\n  - written in later\n")
    rewrite(bag)
    code, lines = compared(sealed_demo, handover, capsys)
    assert code == 5
    [said] = [line for line in lines if line.startswith("# ")]
    assert (
        "All that the document carries is the same: the difference lies in what it leaves out"
        in said
    )
    assert any("cannot be compared part by part" in line for line in lines)


def test_a_rewritten_photo_is_named(
    sealed_demo: Path, handover: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bag = sealed_demo / "sealed" / "0001-closeout"
    photos = bag / "data" / "photos" / "field"
    shutil.copy(photos / "back.jpg", photos / "front.jpg")
    rewrite(bag)
    code, lines = compared(sealed_demo, handover, capsys)
    assert code == 5
    assert any(
        "photos/field/front.jpg" in line and line.startswith("# 1 file of") for line in lines
    )


def test_a_rewritten_promise_is_named_though_the_fingerprint_does_not_cover_it(
    sealed_demo: Path, handover: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bag = sealed_demo / "sealed" / "0001-closeout"
    [sheet] = (bag / "data" / "as-built" / "terms").glob("kestrelmoor-2026.yaml")
    sheet.write_text(sheet.read_text() + "\n# a comment says nothing\n")
    rewrite(bag)
    assert compared(sealed_demo, handover, capsys)[0] == 0
    sheet.write_text(sheet.read_text().replace("maker: ", "maker: New ", 1))
    rewrite(bag)
    code, lines = compared(sealed_demo, handover, capsys)
    assert code == 5
    assert any(
        "not those that handover.pdf carries: terms/kestrelmoor-2026.yaml" in line for line in lines
    )


def test_a_document_without_a_fingerprint_is_compared_part_by_part(
    sealed_demo: Path, handover: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bare = only_attached(handover, tmp_path / "bare.pdf")
    assert RECORD in attachments(bare)
    assert PHOTO_DIGESTS in attachments(bare)
    code, lines = compared(sealed_demo, bare, capsys)
    assert code == 5
    assert any("of the sealed document are missing" in line for line in lines)
    assert "= The record is the same, in every field that the document shows." in lines
    assert any("bare.pdf prints no fingerprint" in line for line in lines)


def test_a_document_that_carries_nothing_is_a_sentence(
    sealed_demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, data in (("scan.pdf", None), ("text.pdf", b"hello")):
        document = tmp_path / name
        if data is None:
            writer = PdfWriter()
            writer.add_blank_page(72, 72)
            writer.write(document)
        else:
            document.write_bytes(data)
        assert main(["verify", str(sealed_demo), "--against", str(document)]) == 3
        assert "Traceback" not in capsys.readouterr().err
    with pytest.raises(UnreadableInput, match="is not there"):
        attachments(tmp_path / "none.pdf")


def test_a_later_document_that_prints_a_digest_is_compared_by_it(
    sealed_demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    digest = previous_digest(sealed_demo)
    assert digest is not None
    document = tmp_path / "notice.pdf"
    document.write_bytes(
        pdf_with_text(
            "Digest of the sealed folder before this entry SHA-256:", digest[:40], digest[40:]
        )
    )
    same = (
        "= notice.pdf prints the digest of 0001-closeout, which is that of the folder as it is now."
    )
    # A document is sealed in the folder after the one whose digest it prints; here that one was taken away.
    code, lines = compared(sealed_demo, document, capsys)
    assert code == 5
    assert same in lines
    assert (
        "# notice.pdf was sealed in the folder after 0001-closeout, and none is there: it was taken away, or "
        "this is a copy from before." in lines
    )
    # Of one folder by itself nothing is said of others.
    code, lines = compared(sealed_demo / "sealed" / "0001-closeout", document, capsys)
    assert (code, same in lines) == (0, True)
    add_supplement(sealed_demo, ENTRY, {"notice.pdf": document.read_bytes()}, {})
    code, lines = compared(sealed_demo, document, capsys)
    assert (code, same in lines) == (0, True)
    document.write_bytes(pdf_with_text("SHA-256:", "0" * 64))
    code, lines = compared(sealed_demo, document, capsys)
    assert code == 5
    assert (
        "# notice.pdf prints the digest 0000000000000000…, and none of the folders looked at has it."
        in lines
    )


def test_what_was_found_is_said_though_the_document_is_of_no_use(
    sealed_demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (sealed_demo / "sealed" / "0001-closeout" / "data" / "job.yaml").write_text("x")
    code, lines = compared(sealed_demo, tmp_path / "none.pdf", capsys)
    assert code == 5
    assert "# 0001-closeout: data/job.yaml: was changed." in lines
    assert any(line.startswith(". none.pdf was not compared: ") for line in lines)


def test_the_resale_edition_fits_as_well(
    sealed_demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    document = sealed_demo / "out" / "handover-resale.pdf"
    assert compared(sealed_demo, document, capsys)[0] == 0


def test_a_sealed_folder_that_was_changed_is_not_compared(
    sealed_demo: Path, handover: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (sealed_demo / "sealed" / "0001-closeout" / "data" / "job.yaml").write_text("x")
    code, lines = compared(sealed_demo, handover, capsys)
    assert code == 5
    assert any("was not compared" in line for line in lines)


@pytest.mark.parametrize(
    "name",
    ["handover-resale", "punch-list", "registration", "registration-print"],
)
def test_every_kind_of_document_is_compared_whole(
    sealed_demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    document = tmp_path / f"{name}.pdf"
    shutil.copy(sealed_demo / "out" / document.name, document)
    code, lines = compared(sealed_demo, document, capsys)
    assert code == 0
    says = f"= {name}.pdf is, byte for byte, 0001-closeout/data/out/{name}.pdf as it was sealed."
    assert says in lines
    writer = PdfWriter(clone_from=document)
    writer.remove_page(0)
    writer.write(document)
    code, lines = compared(sealed_demo, document, capsys)
    assert code == 5
    assert f"# {name}.pdf: Page 1 of the sealed document is missing." in lines


def test_an_older_edition_of_a_handover_is_known_as_that(
    sealed_demo: Path, handover: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    writer = PdfWriter(clone_from=handover)
    writer.add_metadata({"/Title": "Roof record, edition 2"})
    newer = tmp_path / "newer" / "handover.pdf"
    newer.parent.mkdir()
    writer.write(newer)
    made = add_supplement(sealed_demo, ENTRY, {"handover.pdf": newer.read_bytes()}, {})
    name = f"{made.name}/data/documents/handover.pdf"
    code, lines = compared(sealed_demo, handover, capsys)
    assert code == 0
    assert (
        "= handover.pdf is, byte for byte, 0001-closeout/data/out/handover.pdf as it was sealed."
        in lines
    )
    assert f". A newer edition of handover.pdf was sealed after it: {name}." in lines
    code, lines = compared(sealed_demo, newer, capsys)
    assert code == 0
    assert f"= handover.pdf is, byte for byte, {name} as it was sealed." in lines
    assert not any("A newer edition" in line for line in lines)


def test_a_photo_that_was_sealed_is_known_byte_for_byte(
    sealed_demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    photo = Path(shutil.copy(sealed_demo / "photos" / "field" / "front.jpg", tmp_path / "mine.jpg"))
    code, lines = compared(sealed_demo, photo, capsys)
    assert code == 0
    assert any(
        line.startswith("= mine.jpg is, byte for byte, 0001-closeout/data/") for line in lines
    )
