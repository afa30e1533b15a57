"""Text and papers that mean harm, or that no font can print: they come out as what they are, or not at all.

The known-good job with hostile text in every field that a document prints, and a bare job with papers that
do more than show a page. Both are built whole, as the office would.
"""

import csv
import io
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter

from dossier.cli import main
from tests.conftest import DOCUMENTS, Once, copy_office, judged, pdf_with_text
from tests.golden_text import page_texts
from tests.known_good import GOOD_JOB
from tests.test_documents import (
    CONFORMING,
    DAY,
    RUNS_A_SCRIPT,
    attachments,
    blank_pages,
    body_text,
    locked,
    nonconforming,
    page_count,
    uncompressed,
)

SCRIPT = "<script>alert(1)</script>"
SUM = "{{ 7*7 }}"
# A product that no quantity, day or page number could be by chance, as 49 could.
LARGE_SUM, ITS_RESULT = "{{ 7919*7907 }}", "62615533"
STATEMENT = "{% raw %}"
ENTITY = "&lt;b&gt; &amp; &#65;"
LINK = "javascript:alert(1)"
HEBREW, ARABIC, CYRILLIC = "שלום", "سلام", "Привет"
EMOJI, PRIVATE, OVERRIDE = "\U0001f600", "\ue000", "\u202e"
FORMULA = '=HYPERLINK("x")'
LONG = f"Zlong {'abcdefghi ' * 998}Zend"
"""10,000 characters in words; one word as long is tried where the pages are composed."""

OTHER_SCRIPTS = f"{HEBREW} {ARABIC} {CYRILLIC} {EMOJI} {PRIVATE} {OVERRIDE}z"

EDITS = {
    "number: 2026-041": f"number: '{FORMULA}'",
    "address: 118 Plover Lane, Halvorsted": f"address: '{SCRIPT} {SUM} Lane'",
    "owners: Marit Ekdahl, 555-0141, m.ekdahl@example.com": (
        f"owners:\n  - name: '{STATEMENT} {LARGE_SUM} {ENTITY}'\n    email: '{LINK}'"
    ),
    "place: at the eave, 6 ft from the left rake": f"place: '{OTHER_SCRIPTS}'",
    "cause: old leak where ice had backed up": f"cause: '{LONG}'",
    "ticket: 55164": "ticket: '+55164'",
    "2 sheets OSB panel 7/16 in": f"\n      - product: '{FORMULA}'\n        quantity: 2",
    "number: R-2026-1187": f"number: '@SUM(1) {SCRIPT}'",
    "R. Lindmark\n    - final": f"'{STATEMENT}'\n    - final",
}
"""Lines of the record, and what they become. The whole record stays one that can be read."""

CAPTIONS = {
    "photos/field/front.jpg": f"{SCRIPT} {EMOJI} {HEBREW}",
    "photos/field/back.jpg": FORMULA,
    "photos/deck/front.jpg": LONG,
}


@pytest.fixture
def hostile(once: Once) -> Path:
    """Return the out folder of the known-good job with hostile text in its fields."""

    def fill(folder: Path) -> None:
        job = copy_office(folder, GOOD_JOB.name) / GOOD_JOB.name
        text = (job / "job.yaml").read_text("utf-8")
        for before, after in EDITS.items():
            assert before in text, before
            text = text.replace(before, after, 1)
        (job / "job.yaml").write_text(text, "utf-8")
        listed = "".join(f"  - file: {f}\n    caption: '{c}'\n" for f, c in CAPTIONS.items())
        (job / "photos.yaml").write_text(f"photos:\n{listed}", "utf-8")
        assert main(["build", str(job), *DAY]) in (0, 1)

    return once("hostile", fill) / GOOD_JOB.name / "out"


def printed(document: Path) -> str:
    """Return all that a document says, without space, since long words are broken anywhere."""
    return re.sub(r"\s", "", "".join(page_texts(document)))


def squeezed(text: str) -> str:
    return re.sub(r"\s", "", text)


@pytest.mark.parametrize("text", [SCRIPT, SUM, STATEMENT, LARGE_SUM, ENTITY, FORMULA])
@pytest.mark.parametrize("document", ["handover", "registration"])
def test_code_is_printed_as_it_was_typed(text: str, document: str, hostile: Path) -> None:
    assert squeezed(text) in printed(hostile / f"{document}.pdf")


@pytest.mark.parametrize("document", DOCUMENTS)
def test_no_sum_in_braces_is_worked_out(document: str, hostile: Path) -> None:
    said = printed(hostile / f"{document}.pdf")
    assert ITS_RESULT not in said
    assert f"{SCRIPT}49" not in said


def test_what_has_no_glyph_is_printed_as_its_code(hostile: Path) -> None:
    said = printed(hostile / "handover.pdf")
    for character in (EMOJI, PRIVATE, OVERRIDE):
        assert f"[U+{ord(character):04X}]" in said
        assert character not in said


def test_other_scripts_are_printed_in_their_letters(hostile: Path) -> None:
    said = printed(hostile / "handover.pdf")
    assert CYRILLIC in said
    # A reader may give the letters back from right to left or in their joined forms.
    assert HEBREW in said or HEBREW[::-1] in said
    assert set("سلم") <= set(said)


def test_a_very_long_text_is_printed_to_its_end(hostile: Path) -> None:
    with pypdfium2.PdfDocument(hostile / "handover.pdf") as pdf:
        said = squeezed("".join(body_text(page) for page in pdf))
    # Once as the cause of a repair, once as the caption of a photo.
    assert said.count(squeezed(LONG)) == 2


def test_long_text_takes_no_more_pages_than_it_fills(
    hostile: Path, built: Callable[[str], Path]
) -> None:
    """20,000 letters, the narrowest column taking some 35 a line and 60 lines a page: 10 pages and a few."""
    for document in ("handover", "registration", "punch-list"):
        usual = page_count(built(GOOD_JOB.name) / f"{document}.pdf")
        assert page_count(hostile / f"{document}.pdf") <= usual + 14, document


@pytest.mark.parametrize("document", DOCUMENTS)
def test_the_documents_are_as_sound_as_any(document: str, hostile: Path) -> None:
    judged("qpdf", "--check", hostile / f"{document}.pdf")
    assert blank_pages(hostile / f"{document}.pdf") == []


@pytest.mark.parametrize("profile", ["3a", "ua1"])
@pytest.mark.parametrize("document", CONFORMING)
def test_the_documents_conform_all_the_same(document: str, profile: str, hostile: Path) -> None:
    assert nonconforming(hostile / f"{document}.pdf", profile) == []


@pytest.mark.parametrize("document", ["handover", "registration", "registration-print"])
def test_no_text_becomes_an_action_or_an_address_to_follow(document: str, hostile: Path) -> None:
    raw = uncompressed(hostile / f"{document}.pdf")
    assert b"/JavaScript" not in raw
    assert b"(javascript:" not in raw


def test_no_cell_of_the_csv_can_run(hostile: Path) -> None:
    """Source: OWASP, CSV injection: a cell runs that begins with =, +, -, @, tab or return."""
    rows = list(csv.reader(io.StringIO((hostile / "punch-list.csv").read_bytes().decode())))
    cells = [cell for row in rows for cell in row]
    assert [cell for cell in cells if cell.startswith(("=", "+", "-", "@", "\t", "\r"))] == []
    assert f"'{FORMULA}" in cells, "the job's number is a formula, and it is kept, made harmless"
    assert len({len(row) for row in rows}) == 1


GOOD_PAPER = "permit-fine.pdf"
HOSTILE_PAPERS = {
    "permit-locked.pdf": locked(pdf_with_text("Zlocked")),
    "ticket-damaged.pdf": pdf_with_text("Zdamaged")[:300],
    "completion-script.pdf": pdf_with_text("Zscript", catalogue=RUNS_A_SCRIPT),
    "ticket-launch.pdf": pdf_with_text(
        "Zlaunch", catalogue=b"/OpenAction<</S/Launch/F(Zprogram)>>"
    ),
    "colour-choice-page.pdf": b"<!DOCTYPE html><script>Zpage</script>",
    "ticket-empty.pdf": b"",
    "inspection-card-picture.jpg": b"\xff\xd8\xff\xe0Zpicture",
}


def carrying(data: bytes) -> bytes:
    """Return a PDF that carries a program."""
    writer = PdfWriter(clone_from=io.BytesIO(data))
    writer.add_attachment("Zprogram.exe", b"MZ")
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def camera_picture() -> bytes:
    """Return a JPEG that says where and with which camera it was taken."""
    exif = Image.Exif()
    exif[0x010F] = "Zcamera"
    place = exif.get_ifd(0x8825)
    place.update({1: "N", 2: (47.0, 42.0, 0.0), 3: "W", 4: (87.0, 6.0, 0.0)})
    out = io.BytesIO()
    Image.effect_noise((320, 240), 60).convert("RGB").save(out, "JPEG", exif=exif)
    return out.getvalue()


def png_picture() -> bytes:
    """Return a picture of another kind, which travels as JPEG."""
    target = io.BytesIO()
    Image.new("RGB", (300, 200), "green").save(target, "PNG")
    return target.getvalue()


@pytest.fixture
def spoilt(once: Once) -> Path:
    """Return the out folder of a bare job with one good paper and every kind of bad one."""

    def fill(folder: Path) -> None:
        job = copy_office(folder) / "job"
        (job / "papers").mkdir(parents=True)
        (job / "job.yaml").write_text(
            "record: 1\njob:\n  number: 1\n  address: 1 Bare Road\n  locality: vintermark-2026\n"
        )
        papers = {
            **HOSTILE_PAPERS,
            GOOD_PAPER: pdf_with_text("Zfine"),
            "ticket-carrying.pdf": carrying(pdf_with_text("Zcarrying")),
            "ticket-camera.jpg": camera_picture(),
            "ticket-camera.png": png_picture(),
        }
        for name, data in papers.items():
            (job / "papers" / name).write_bytes(data)
        assert main(["build", str(job), *DAY]) == 1

    return once("spoilt", fill) / "job" / "out"


PICTURES = ("ticket-camera.jpg", "ticket-camera-2.jpg")
CLEANED = {
    "completion-script-cleaned.pdf": "Zscript",
    "ticket-launch-cleaned.pdf": "Zlaunch",
    "ticket-carrying-cleaned.pdf": "Zcarrying",
}


def test_two_papers_of_one_name_and_two_kinds_both_travel(spoilt: Path) -> None:
    carried = attachments(spoilt / "registration.pdf")
    assert carried["ticket-camera.jpg"] != carried["ticket-camera-2.jpg"]


def test_papers_that_do_more_than_show_a_page_travel_as_what_they_show(spoilt: Path) -> None:
    carried = attachments(spoilt / "registration.pdf")
    assert set(carried) == {GOOD_PAPER, *PICTURES, "registration.json", *CLEANED}
    assert carried[GOOD_PAPER] == pdf_with_text("Zfine")
    for name, mark in CLEANED.items():
        (page,) = PdfReader(io.BytesIO(carried[name])).pages
        assert mark in page.extract_text()
    said = printed(spoilt / "registration.pdf")
    assert "attachedasacleanedcopy:theoriginalholdsJavaScript" in said


@pytest.mark.parametrize("document", ["registration", "registration-print"])
def test_nothing_of_a_bad_paper_travels(document: str, spoilt: Path) -> None:
    path = spoilt / f"{document}.pdf"
    raw = uncompressed(path) + b"".join(attachments(path).values())
    for code in (b"/JavaScript", b"/Launch", b"Zprogram", b"Zcamera", b"Zpage", b"Zpicture"):
        assert code not in raw, code
    said = printed(path)
    for mark in ("Zlocked", "Zdamaged"):
        assert mark not in said, mark
    if document == "registration-print":
        for mark in ("Zfine", *CLEANED.values()):
            assert mark in said, mark


def test_a_picture_travels_without_what_its_camera_knew(spoilt: Path) -> None:
    sent = attachments(spoilt / "registration.pdf")["ticket-camera.jpg"]
    with Image.open(io.BytesIO(sent)) as picture:
        assert picture.size == (320, 240)
        assert dict(picture.getexif()) == {}


def test_the_office_is_told_of_every_paper_that_stays_behind(spoilt: Path) -> None:
    told = (spoilt / "punch-list.csv").read_text("utf-8")
    for name in [*HOSTILE_PAPERS, "ticket-carrying.pdf"]:
        assert name in told, name


def test_the_bad_papers_are_what_they_are_called() -> None:
    """Guards the tests above: each would have been found out by any reader."""
    assert PdfReader(io.BytesIO(HOSTILE_PAPERS["permit-locked.pdf"])).is_encrypted
    for name, action in (("completion-script", "/JavaScript"), ("ticket-launch", "/Launch")):
        reader = PdfReader(io.BytesIO(HOSTILE_PAPERS[f"{name}.pdf"]))
        opening: Any = reader.root_object["/OpenAction"]
        assert opening["/S"] == action
    assert "Zprogram.exe" in PdfReader(io.BytesIO(carrying(pdf_with_text("x")))).attachments
    with Image.open(io.BytesIO(camera_picture())) as picture:
        assert picture.getexif().get_ifd(0x8825)[1] == "N"
