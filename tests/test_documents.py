"""The finished documents, judged from outside: whole, readable, conforming, and silent about what is withheld.

Every PDF of every demo job is built once a session; whatever spoils a job does so in a copy.
"""

import csv
import gc
import io
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
import pypdfium2.raw as pdfium
import pytest
import yaml
from PIL import Image
from pypdf import PdfReader, PdfWriter

from dossier.cli import main
from dossier.disk.outputs import MARKER, job_lock, replace_folders
from dossier.render.pictures import reduce
from dossier.resources import resource
from tests.conftest import (
    DEMO_DOCUMENTS,
    DEMO_JOBS,
    DOCUMENTS,
    Once,
    build_on_the_day,
    copy_office,
    judged,
    outside_module,
    pdf_with_text,
)
from tests.golden_text import page_texts
from tests.known_good import DEMO, GOOD_JOB

Built = Callable[[str], Path]
JobOf = Callable[[str], Path]

GOOD, MESSY, STEEP = DEMO_JOBS
CONFORMING = ("handover", "registration", "punch-list")
DAY = ["--today", "2026-10-20"]
TWIN = "registration.json"
PT_PER_MM = 72 / 25.4

every_document = pytest.mark.parametrize(("job", "document"), DEMO_DOCUMENTS)
every_conforming_document = pytest.mark.parametrize(
    ("job", "document"), [one for one in DEMO_DOCUMENTS if one[1] != "registration-print"]
)
every_job = pytest.mark.parametrize("job", DEMO_JOBS)


@pytest.fixture
def document_of(built: Built) -> Callable[[str, str], Path]:
    """Return what gives the path of a demo job's document."""
    return lambda job, document: built(job) / f"{document}.pdf"


@every_job
def test_these_are_all_the_documents_there_are(job: str, built: Built) -> None:
    """A document that is not in the list would be judged by none of the tests below."""
    listed = {document for where, document in DEMO_DOCUMENTS if where == job}
    assert {path.stem for path in built(job).glob("*.pdf")} == listed


@every_document
def test_the_structure_is_sound(
    job: str, document: str, document_of: Callable[[str, str], Path]
) -> None:
    """Judge: qpdf; it ends with 3 where it has only a warning to give, and that fails here too."""
    judged("qpdf", "--check", document_of(job, document))


@pytest.mark.parametrize("profile", ["3a", "ua1"])
@every_conforming_document
def test_one_file_conforms_to_both_standards(
    job: str, document: str, profile: str, document_of: Callable[[str, str], Path]
) -> None:
    assert nonconforming(document_of(job, document), profile) == []


def nonconforming(document: Path, profile: str) -> list[str]:
    """Return the rules a PDF breaks. Judge: page-validation.

    profile: 3a for PDF/A-3a (ISO 19005-3), ua1 for PDF/UA-1 (ISO 14289-1).
    """
    outside_module("page", "page-validation")
    import page

    report = page.validate_pdf_bytes(document.read_bytes(), profile=profile)
    broken = [f"{failure.rule_id}: {failure.message}" for failure in report.failures]
    assert report.is_compliant == (not broken)
    return broken


@every_job
def test_the_copy_to_print_claims_no_conformance(
    job: str, document_of: Callable[[str, str], Path]
) -> None:
    """Papers of other people's making are in it, and nobody answers for how they were made."""
    for document, claims in (("registration", True), ("registration-print", False)):
        raw = uncompressed(document_of(job, document))
        assert all((mark in raw) is claims for mark in (b"pdfaid:part", b"pdfuaid:part")), document


def uncompressed(document: Path) -> bytes:
    """Return the file with every stream and object written out plainly. Tool: qpdf."""
    with tempfile.TemporaryDirectory() as folder:
        plain = Path(folder) / "plain.pdf"
        judged("qpdf", "--qdf", "--object-streams=disable", document, plain)
        return plain.read_bytes()


@every_document
def test_no_page_is_blank(job: str, document: str, document_of: Callable[[str, str], Path]) -> None:
    assert blank_pages(document_of(job, document)) == []


def test_a_page_with_a_running_head_alone_counts_as_blank() -> None:
    assert blank_pages(pdf_with_text("Ormskar Roofing, job 2026-041")) == [1]
    assert blank_pages(pdf_with_text(*["one line"] * 20)) == []


def blank_pages(document: Path | bytes) -> list[int]:
    """Return the pages with neither text nor picture between the running head and foot, from 1."""
    blank = []
    with pypdfium2.PdfDocument(document) as pdf:
        for number, page in enumerate(pdf, start=1):
            pictures = page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE])
            if not body_text(page).strip() and next(pictures, None) is None:
                blank.append(number)
    return blank


def body_text(page: pypdfium2.PdfPage) -> str:
    """Return what stands on a page between its running head and foot."""
    width_pt, height_pt = page.get_size()
    inside = (0, 20.5 * PT_PER_MM, width_pt, height_pt - 20 * PT_PER_MM)
    return str(page.get_textpage().get_text_bounded(*inside))


@every_conforming_document
def test_no_text_reaches_into_the_outer_margin(
    job: str, document: str, document_of: Callable[[str, str], Path]
) -> None:
    margin_pt = 8 * PT_PER_MM
    with pypdfium2.PdfDocument(document_of(job, document)) as pdf:
        for number, page in enumerate(pdf, start=1):
            width_pt, height_pt = page.get_size()
            textpage = page.get_textpage()
            for left, bottom, right, top in map(textpage.get_rect, range(textpage.count_rects())):
                assert min(left, bottom) >= margin_pt, f"page {number}"
                assert right <= width_pt - margin_pt, f"page {number}"
                assert top <= height_pt - margin_pt, f"page {number}"


@every_document
def test_no_fonts_but_the_bundled_ones(
    job: str, document: str, document_of: Callable[[str, str], Path]
) -> None:
    """Judge: pdffonts (poppler). Papers bound into the copy to print bring their own."""
    own_pages = page_count(document_of(job, document.removesuffix("-print")))
    rows = judged("pdffonts", "-l", str(own_pages), document_of(job, document)).splitlines()[2:]
    names = {row.split()[0] for row in rows}
    bundled = bundled_families()
    assert names
    for name in names:
        subset, _, family = name.partition("+")
        assert re.fullmatch("[A-Z]{6}", subset), f"{name} is not a subset of an embedded font"
        assert family.replace("-", " ").startswith(tuple(bundled)), name
    assert all(" yes yes yes " in row for row in rows), "embedded, a subset, with a Unicode map"


def bundled_families() -> set[str]:
    """Return the families that the style sheet makes of the files in templates/fonts."""
    css = resource("fonts.css").read_text("utf-8")
    files = re.findall(r"font:([\w-]+\.ttf)", css)
    assert set(files) == {path.name for path in resource("fonts").glob("*.ttf")}
    return set(re.findall(r'font-family: "([^"]+)"', css))


def page_count(document: Path | bytes) -> int:
    """Return how many pages a PDF has, by a reader that did not write it."""
    with pypdfium2.PdfDocument(document) as pdf:
        return len(pdf)


@every_job
def test_page_counts_are_those_of_papers_that_somebody_reads(
    job: str, document_of: Callable[[str, str], Path]
) -> None:
    """Bounds: our own, for a job of about thirty photos. The copy to print follows from its parts."""
    assert 10 <= page_count(document_of(job, "handover")) <= 40
    assert 4 <= page_count(document_of(job, "registration")) <= 20
    assert 1 <= page_count(document_of(job, "punch-list")) <= 25
    # Each paper comes with one page that says what follows.
    papers = papers_in(document_of(job, "registration")).values()
    bound = sum(1 + page_count(paper) for paper in papers)
    body = page_count(document_of(job, "registration"))
    assert page_count(document_of(job, "registration-print")) == body + bound


def attachments(document: Path) -> dict[str, bytes]:
    """Return the files a PDF carries, by name, by a reader that did not write it."""
    with pypdfium2.PdfDocument(document) as pdf:
        carried = [pdf.get_attachment(n) for n in range(pdf.count_attachments())]
        files = {one.get_name(): bytes(one.get_data()) for one in carried}
        assert len(files) == len(carried), "two attachments share a name"
        return files


def papers_in(packet: Path) -> dict[str, bytes]:
    """Return the papers that a packet carries, without the packet's own twin."""
    return {name: data for name, data in attachments(packet).items() if name != TWIN}


@dataclass(frozen=True)
class Printed:
    """One picture on a page: its bytes as they lie in the file, and how wide it is printed."""

    data: bytes
    width_px: int
    width_mm: float


def printed_pictures(document: Path) -> Iterator[Printed]:
    """Yield every picture on every page, as often as it is printed."""
    with pypdfium2.PdfDocument(document) as pdf:
        for page in pdf:
            for picture in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE]):
                data = bytes(picture.get_data())
                yield Printed(data, picture.get_px_size()[0], picture.get_matrix().a / PT_PER_MM)


def opens(photo: Path) -> bool:
    """Return whether all of a photo can be decoded. Judge: Pillow, in its strict way."""
    try:
        with Image.open(photo) as picture:
            picture.load()
    except (OSError, SyntaxError):
        return False
    return True


def good_photos(job: str) -> list[Path]:
    """Return the photos filed under a phase that open; what lies elsewhere belongs to no list."""
    return [path for path in sorted((DEMO / job / "photos").glob("*/*")) if opens(path)]


@every_job
def test_every_good_photo_is_printed_exactly_once_in_the_handover(
    job: str, document_of: Callable[[str, str], Path]
) -> None:
    printed = list(printed_pictures(document_of(job, "handover")))
    widths_mm = {round(picture.width_mm) for picture in printed}
    photos = good_photos(job)
    count: dict[str, int] = {}
    for path in photos:
        original = path.read_bytes()
        forms = {reduce(original, width_mm=width).data for width in widths_mm}
        times = sum(picture.data in forms for picture in printed)
        # The same bytes filed twice are two photos, and each is printed.
        twins = sum(other.read_bytes() == original for other in photos)
        count[f"{path.parent.name}/{path.name}"] = times - (twins - 1)
    assert count == dict.fromkeys(count, 1)
    # The company's mark is the one picture that is no photo.
    assert len(printed) == len(photos) + 1


def test_the_demo_has_photos_that_cannot_be_printed(built: Built) -> None:
    """Else the test above would not tell a good photo from any. The office is told of each."""
    photos = DEMO / MESSY / "photos"
    cut_short, stray = photos / "field" / "west.jpg", photos / "IMG_2207.jpg"
    assert cut_short.is_file()
    assert not {cut_short, stray} & set(good_photos(MESSY))
    told = (built(MESSY) / "punch-list.csv").read_text()
    assert "photos/field/west.jpg is cut short" in told
    assert "IMG_2207.jpg" in told


@every_job
def test_photos_are_printed_at_150_to_300_dots_per_inch_or_whole(
    job: str, document_of: Callable[[str, str], Path]
) -> None:
    """A photo with fewer dots than that is printed with all it has, and never blown up."""
    sizes_px = set()
    for path in good_photos(job):
        with Image.open(path) as photo:
            sizes_px.add(photo.width)
    coarse = set()
    for picture in printed_pictures(document_of(job, "handover")):
        dots_per_inch = picture.width_px / (picture.width_mm / 25.4)
        assert dots_per_inch < 302
        if dots_per_inch < 149:
            coarse.add(picture.width_px)
    assert coarse == {width for width in sizes_px if width < 80 / 25.4 * 149}


SENT = {
    GOOD: {
        *("permit-R-2026-1187.pdf", "inspection-card.pdf", "ticket-55120.pdf", "ticket-55164.pdf"),
        *("completion.pdf", "colour-choice.pdf", "vent-check.pdf"),
    },
    MESSY: {"permit-R-2026-1215.pdf", "ticket-55231.pdf"},
    STEEP: {
        *("permit-R-2026-1203.pdf", "inspection-card.pdf", "ticket-60310.pdf", "ticket-60344.pdf"),
        *("completion.pdf", "colour-choice.pdf", "vent-check.pdf"),
        "registration-confirmation.pdf",
    },
}
"""The papers of each demo job that a maker is sent: no contract, invoice, change order or waiver."""


@every_job
def test_the_packet_carries_the_papers_unchanged(
    job: str, document_of: Callable[[str, str], Path]
) -> None:
    carried = papers_in(document_of(job, "registration"))
    assert set(carried) == SENT[job]
    for name, data in carried.items():
        assert data == (DEMO / job / "papers" / name).read_bytes(), name


@every_document
def test_no_other_document_carries_files(
    job: str, document: str, document_of: Callable[[str, str], Path]
) -> None:
    if document not in ("handover", "handover-resale", "registration"):
        assert attachments(document_of(job, document)) == {}


CARRIED = {
    *("about.txt", "job.yaml", "photos.yaml", "withheld.txt", "calendar.ics"),
    *("photos.sha256", "papers.sha256"),
}


@pytest.mark.parametrize("document", ["handover", "handover-resale"])
@every_job
def test_the_handover_carries_the_record_as_text_and_the_sheets_it_was_built_by(
    job: str, document: str, document_of: Callable[[str, str], Path], built: Built
) -> None:
    carried = attachments(document_of(job, document))
    sheets = {name for name in carried if name.startswith("as-built--")}
    assert set(carried) - sheets == CARRIED
    folder = built(job).with_name("as-built")
    for name in sheets:
        place = name.removeprefix("as-built--").replace("--", "/")
        # Comments were meant for the office; everything else reads the same.
        assert b"#" not in carried[name].replace(b'"#', b""), name
        typed = yaml.load((folder / place).read_bytes(), Loader=yaml.BaseLoader)
        assert yaml.load(carried[name], Loader=yaml.BaseLoader) == typed, name
    assert {"as-built--company.yaml"} < sheets
    record = yaml.safe_load(carried["job.yaml"])
    assert record["job"]["address"] in page_texts(document_of(job, document))[0]
    assert not {"money", "insurance", "notes"} & set(record)


@every_job
def test_the_carried_digests_are_those_of_the_files(
    job: str, document_of: Callable[[str, str], Path], built: Built, tmp_path: Path
) -> None:
    """Judge: sha256sum. A listed photo that is not there, or a paper kept back, has no line."""
    carried = attachments(document_of(job, "handover"))
    for name in ("photos.sha256", "papers.sha256"):
        (tmp_path / name).write_bytes(carried[name])
        judged("sha256sum", "--check", "--strict", tmp_path / name, cwd=built(job).parent)
    lines = carried["photos.sha256"].decode().splitlines()
    filed = {path.relative_to(DEMO / job) for path in (DEMO / job).glob("photos/*/*")}
    assert {Path(line.partition("  ")[2]) for line in lines} == filed


@every_job
def test_the_copy_to_print_holds_every_page_of_every_paper_sent(
    job: str, document_of: Callable[[str, str], Path]
) -> None:
    pages = page_texts(document_of(job, "registration-print"))
    for name in SENT[job]:
        for text in page_texts(DEMO / job / "papers" / name):
            # A scanned paper has no text; its page is counted above and its picture is there.
            assert not text or pages.count(text) == 1, name


def test_the_copy_to_print_shows_the_delivery_ticket(
    document_of: Callable[[str, str], Path],
) -> None:
    [ticket] = page_texts(GOOD_JOB / "papers" / "ticket-55120.pdf")
    assert "55120" in ticket
    assert "Fenwright 40" in ticket
    assert ticket in page_texts(document_of(GOOD, "registration-print"))


# What is withheld. Each mark below is typed into one place and occurs nowhere else. Amounts are above a
# thousand, since smaller figures occur by chance among the places of letters on a page.

WITHHELD_FROM_BOTH = {
    "contract price": ("  contract: 14,860.00", "  contract: 31,861.37", "31,861.37"),
    "sheet price": ("  sheet_price: 96.00", "  sheet_price: 9,371.53", "9,371.53"),
    "repair price": ("    price: 192.00", "    price: 1,874.29", "1,874.29"),
    "change order": (
        "  change_orders: 1, 192.00",
        "  change_orders:\n    - number: Zqa01\n      what: Zqa02\n      amount: 2,148.36\n"
        "      approved: Zqa03, 2026-09-14\n  board_foot_price: n/a, Zqa04\n"
        "  held_back: n/a, Zqa05\n"
        "  scope_lines:\n    - what: Zqa06\n      quantity: Zqa07\n      amount: 7,523.19",
        "Zqa01 Zqa02 2,148.36 Zqa03 Zqa04 Zqa05 Zqa06 Zqa07 7,523.19",
    ),
    "invoice": (
        "  invoices: 2026-041, 2026-09-22, 15,052.00",
        "  invoices: Zqb01, 2026-09-22, 32,517.64",
        "Zqb01 32,517.64",
    ),
    "payment": (
        "  payments: 2026-09-29, 15,052.00",
        "  payments: 2026-09-29, 29,438.26, Zqb02",
        "29,438.26 Zqb02",
    ),
    "waiver": ("from Ormskar crew north", "from Zqb03", "Zqb03"),
    "insurance and notes": (
        "owners:",
        "insurance:\n  insurer: Zqc01\n  policy: Zqc02\n  claim: Zqc03\n  adjuster: Zqc04\n"
        "  lender_is_payee: n/a, Zqc05\n  deductible: 1,713.91\n  first_payment: 9,264.58\n"
        "  replacement_value: 27,381.46\nnotes:\n  - Zqc06\n  - Zqc07\nowners:",
        "Zqc01 Zqc02 Zqc03 Zqc04 Zqc05 1,713.91 9,264.58 27,381.46 Zqc06 Zqc07",
    ),
}
"""What is withheld: the line of the record, what it becomes, and the marks that must not be found."""

WITHHELD_FROM_THE_HOMEOWNER = {
    "place": ("place: 47.7000, -87.1000", "place: 47.713946, -87.139728", "47.713946 87.139728"),
    "paper of a delivery": ("ticket: 55120", "ticket: 55120", "Zqe01 Zqe02"),
}

WITHHELD_AT_A_SALE = {
    "owner": (
        "owners: Marit Ekdahl, 555-0141, m.ekdahl@example.com",
        "owners:\n  - name: Zqr01 Zqr02\n    phone: 555-0177\n    email: zqr03@example.com\n"
        "    mailing_address: PO Box 7 Zqr04",
        "Zqr01 Zqr02 555-0177 zqr03 Zqr04",
    ),
    "who agreed": ("    approved: Marit Ekdahl, ", "    approved: Zqr05, ", "Zqr05"),
    "free text": (
        "cause: old leak where ice had backed up",
        "cause: old leak that zqr01 ZQR02 saw, as Zqr02 said; call 555 0177",
        "zqr01 ZQR02",
    ),
    "a signature": ("  flues: Sverre Holt", "  flues: Zqr01 Zqr02", "Zqr01"),
    "a reason": ("  ducts: Ida Torvik, 2026-09-16", "  ducts: n/a, Zqr02 has none", "Zqr02"),
    "sent by": (
        "    owner_signed_on: 2026-09-21",
        "    owner_signed_on: 2026-09-21\n    registered_by: Zqr01 Zqr02",
        "Zqr01",
    ),
}
"""What the buyer of a house is not told of the owner before: fields of its own, and names typed elsewhere."""

OPEN_TO_ALL = {
    "address": ("118 Plover Lane, Halvorsted", "118 Zqz01 Lane, Halvorsted", "Zqz01"),
}

OFFICE_PAPERS = {
    "insurance-certificate-Zqd01.pdf": "Zqd02",
    "crew-agreement-Zqd03.pdf": "Zqd04",
    "disposal-ticket-Zqd05.pdf": "Zqd06",
    "insurer-scope-Zqd07.pdf": "Zqd08",
    "return-credit-Zqd09.pdf": "Zqd10",
    "deck-approval-Zqd11.pdf": "Zqd12",
    "change-order-Zqd13.pdf": "Zqd14",
    "waiver-Zqd15.pdf": "Zqd16",
    "invoice-Zqd17.pdf": "Zqd18",
    "contract-Zqd19.pdf": "Zqd20",
    "Zqd21.pdf": "Zqd22",
}
"""Papers that neither homeowner nor maker is given, by name, with a mark in their text."""

SPOILT_OFFICE_PAPERS = {
    "invoice-Zqd23.pdf": "damaged",
    "waiver-Zqd24.pdf": "empty",
    "contract-Zqd25.pdf": "locked",
    "insurance-certificate-Zqd26.pdf": "script",
    "change-order-Zqd27.pdf": "missing",
}
"""Each gives an item that names the file; the item is the office's, and so is the name."""

MARKS_FOR_BOTH = [
    *(mark for *_, marks in WITHHELD_FROM_BOTH.values() for mark in marks.split()),
    *(f"Zqd{number:02}" for number in range(1, 29)),
]


RUNS_A_SCRIPT = b"/OpenAction<</S/JavaScript/JS(app.alert\\(1\\))>>"


def locked(data: bytes) -> bytes:
    """Return a PDF that asks for a password."""
    writer = PdfWriter(clone_from=io.BytesIO(data))
    writer.encrypt("secret", algorithm="AES-256")
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.fixture
def marked(once: Once) -> Path:
    """Return the out folder of the known-good job with a mark in everything that is withheld."""

    def fill(folder: Path) -> None:
        job = copy_office(folder, GOOD) / GOOD
        text = (job / "job.yaml").read_text()
        for edits in (
            WITHHELD_FROM_BOTH,
            WITHHELD_FROM_THE_HOMEOWNER,
            WITHHELD_AT_A_SALE,
            OPEN_TO_ALL,
        ):
            for before, after, _ in edits.values():
                assert before in text, before
                text = text.replace(before, after, 1)
        text += "papers:\n  - file: papers/change-order-Zqd27.pdf\n    backs: Zqd28\n"
        (job / "job.yaml").write_text(text)
        papers = job / "papers"
        for name, mark in OFFICE_PAPERS.items():
            (papers / name).write_bytes(pdf_with_text(mark))
        spoil: dict[str, Callable[[bytes], bytes]] = {
            "damaged": lambda data: data[: len(data) // 2],
            "empty": lambda _: b"",
            "locked": locked,
            "script": lambda _: pdf_with_text("x", catalogue=RUNS_A_SCRIPT),
        }
        for name, how in SPOILT_OFFICE_PAPERS.items():
            if how != "missing":
                (papers / name).write_bytes(spoil[how](pdf_with_text("x")))
        # The statements on materials refer to this paper by the ticket's number in its name.
        (papers / "ticket-55120.pdf").unlink()
        (papers / "ticket-55120-Zqe01.pdf").write_bytes(pdf_with_text("Zqe02"))
        (job / "photos.yaml").write_text(
            "photos:\n  - file: photos/field/front.jpg\n    caption: Zqz02\n"
            "  - file: photos/field/back.jpg\n    caption: Zqr02 looks on\n"
        )
        named = job / "photos" / "starter" / "front-Zqr02.jpg"
        (job / "photos" / "starter" / "front.jpg").rename(named)
        build_on_the_day(job)

    return once("marked", fill) / GOOD / "out"


def found(document: Path, marks: list[str]) -> set[str]:
    """Return the marks that occur anywhere in a PDF.

    Looked through: the text of each page, with and without its line ends; names and contents of
    attachments; and every object and stream written out plainly, which holds metadata, bookmarks and
    alternative texts, each mark in the encodings a PDF string can have (ISO 32000-1:2008, 7.9.2).
    """
    pages = "\n".join(page_texts(document))
    raw = uncompressed(document)
    carried = attachments(document)
    told = "\n".join([pages, re.sub(r"\s", "", pages), *carried])
    haystack = b"\n".join([raw, raw.lower(), *carried.values()])
    hits = set()
    for mark in marks:
        spellings = {mark, mark.replace(",", "")}
        for spelling in spellings:
            coded = [spelling.encode("ascii"), spelling.encode("utf-16-be")]
            coded += [code.hex().encode() for code in coded]
            if spelling in told or any(code in haystack for code in coded):
                hits.add(mark)
    return hits


@every_job
def test_the_packet_s_twins_say_what_the_packet_says(job: str, built: Built) -> None:
    """Read back by Python's own readers; the conditions are those of the printed pages, in their order."""
    text = (built(job) / TWIN).read_bytes()
    assert attachments(built(job) / "registration.pdf")[TWIN] == text
    data = json.loads(text)
    with (built(job) / "registration.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    printed = re.sub(r"\s", "", "".join(page_texts(built(job) / "registration.pdf")))
    conditions = [row for one in data["warranties"] for row in one["conditions"]]
    assert conditions
    for row in conditions:
        assert re.sub(r"\s", "", row["says"]) in printed
    assert [row["value"] for row in rows if row["part"] == "condition"] == [
        row["says"] for row in conditions
    ]
    lots = [lot["mark"] for product in data["products"] for lot in product["lots"]]
    assert [row["name"] for row in rows if row["part"] == "lot"] == lots
    assert all(mark in printed for mark in lots)


def test_nothing_withheld_is_in_the_packet_s_twins(marked: Path) -> None:
    for name in (TWIN, "registration.csv"):
        text = (marked / name).read_text()
        assert not {mark for mark in MARKS_FOR_BOTH if mark in text}
        assert "Zqz01" in text


@pytest.mark.parametrize(
    "document", ["handover", "handover-resale", "registration", "registration-print"]
)
def test_nothing_withheld_is_anywhere_in_what_leaves_the_office(
    document: str, marked: Path
) -> None:
    assert found(marked / f"{document}.pdf", MARKS_FOR_BOTH) == set()


def test_the_homeowner_gets_nothing_that_is_the_maker_s(marked: Path) -> None:
    marks = [mark for *_, marks in WITHHELD_FROM_THE_HOMEOWNER.values() for mark in marks.split()]
    assert found(marked / "handover.pdf", marks) == set()
    assert not any("47.7139" in text for text in page_texts(marked / "handover.pdf"))
    assert {"Zqe01", "Zqe02"} <= found(marked / "registration.pdf", marks)


def test_a_resale_copy_names_no_former_owner_and_no_way_to_reach_one(marked: Path) -> None:
    """Looked for in small letters too, and in the name of a photo; the homeowner's own copy has all of it."""
    edits = {**WITHHELD_FROM_THE_HOMEOWNER, **WITHHELD_AT_A_SALE}
    marks = sorted({mark for *_, marks in edits.values() for mark in marks.split()})
    assert found(marked / "handover-resale.pdf", [*marks, "555 0177", "ZQR01", "zqr02"]) == set()
    assert found(marked / "handover-resale.pdf", ["Zqz01", "Zqz02"]) == {"Zqz01", "Zqz02"}
    shown = ["Zqr01", "Zqr02", "555-0177", "Zqr05", "zqr01", "555 0177"]
    assert found(marked / "handover.pdf", shown) == set(shown)


def test_what_is_the_office_s_alone_is_not_in_the_comparison_with_an_insurer_s_scope(
    marked: Path,
) -> None:
    """The homeowner gets it, may pass it on to an insurer, and may see prices; notes and payments not."""
    document = marked / "scope-comparison.pdf"
    marks = [
        "Zqc06",
        "Zqc07",
        "29,438.26",
        "Zqb02",
        *(f"Zqd{number:02}" for number in range(1, 29)),
    ]
    assert found(document, marks) == set()
    shown = ["Zqc01", "Zqc02", "Zqc03", "Zqc04"]
    assert found(document, shown) == set(shown)
    for mark in ("Zqc06", "Zqb02", "29,438.26"):
        assert mark not in (marked / "scope-comparison.csv").read_text("utf-8")


def test_a_page_to_send_holds_nothing_that_is_withheld(marked: Path) -> None:
    """Only the homeowner sees money, which is his own; nobody sees a way to reach an owner."""
    texts = page_texts(marked / "punch-list.pdf")
    first = next(number for number, text in enumerate(texts) if "Page to send" in text)
    office, sent = texts[:first], texts[first:]
    assert any("29,438.26" in text for text in office)
    owner = [mark for *_, marks in WITHHELD_AT_A_SALE.values() for mark in marks.split()]
    # A crew is told whose agreement is asked for; the crew's own name is no secret from it.
    marks = {*MARKS_FOR_BOTH, *owner, "job.yaml", "Source:"} - {"Zqb03"}
    for text in sent:
        own_money = {"29,438.26", "32,517.64"} if "for the homeowner" in text else set()
        assert {mark for mark in marks if mark in text} <= own_money
        assert own_money or "$" not in text
    assert any("For the homeowner: job 2026-041" in text for text in sent)


def test_the_office_s_own_list_names_what_is_wrong_with_its_papers(marked: Path) -> None:
    seen = found(marked / "punch-list.pdf", MARKS_FOR_BOTH)
    assert {"Zqd23", "Zqd24", "Zqd25", "Zqd27", "29,438.26"} <= seen


def test_the_search_finds_a_mark_in_every_place_it_looks(marked: Path) -> None:
    """Guards the tests above: a mark that everybody may see is found, place by place."""
    handover, packet = marked / "handover.pdf", marked / "registration.pdf"
    assert any("Zqz01" in text for text in page_texts(handover))
    with pypdfium2.PdfDocument(handover) as pdf:
        assert "Zqz01" in pdf.get_metadata_value("Title")
        assert any("Zqz01" in one.get_title() for one in pdf.get_toc())
    root = PdfReader(handover).root_object["/StructTreeRoot"]
    assert any("Zqz02" in text for text in alternative_texts(root))
    assert "ticket-55120-Zqe01.pdf" in attachments(packet)
    assert found(handover, ["Zqz01", "Zqz02"]) == {"Zqz01", "Zqz02"}
    assert found(packet, ["Zqz01", "Zqe01", "Zqe02"]) == {"Zqz01", "Zqe01", "Zqe02"}


def alternative_texts(element: object) -> Iterator[str]:
    """Yield the alternative texts below a structure element."""
    waiting = [element]
    while waiting:
        one = waiting.pop()
        one = one.get_object() if hasattr(one, "get_object") else one
        if isinstance(one, list):
            waiting += one
        elif isinstance(one, dict):
            if "/Alt" in one:
                yield str(one["/Alt"])
            if "/K" in one:
                waiting.append(one["/K"])


@pytest.mark.parametrize("way", ["ascii", "utf-16", "hex", "deflated", "attached"])
def test_the_search_sees_through_every_way_of_writing_a_mark(way: str, tmp_path: Path) -> None:
    writer = PdfWriter(clone_from=io.BytesIO(pdf_with_text("nothing")))
    if way == "deflated":
        writer = PdfWriter(clone_from=io.BytesIO(pdf_with_text("Zqa01")))
        writer.pages[0].compress_content_streams()
    elif way == "attached":
        writer.add_attachment("x.pdf", pdf_with_text("Zqa01"))
    else:
        # A letter outside ASCII makes the whole string UTF-16; qpdf writes such a string in hex.
        title = {"ascii": "Zqa01", "utf-16": "Zqa01 \u05e9", "hex": "Zqa01 \u4e00"}[way]
        writer.add_metadata({"/Title": title})
    writer.write(tmp_path / "x.pdf")
    assert found(tmp_path / "x.pdf", ["Zqa01", "Zqa02"]) == {"Zqa01"}


# What a build does to the folder it writes, and to whoever ran it.


def build_elsewhere(folder: Path, seed: str, zone: str) -> subprocess.Popen[str]:
    """Start a build of the known-good job in a copy, in surroundings of its own."""
    job = copy_office(folder, GOOD) / GOOD
    surroundings = {"PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": os.pathsep.join(sys.path)}
    return subprocess.Popen(
        [sys.executable, "-m", "dossier.cli", "build", str(job), *DAY],
        env={**os.environ, **surroundings},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_the_same_job_gives_the_same_bytes(tmp_path: Path) -> None:
    one = build_elsewhere(tmp_path / "one", "1", "UTC")
    other = build_elsewhere(tmp_path / "the other", "2", "Pacific/Kiritimati")
    for process in (one, other):
        _, said = process.communicate(timeout=120)
        assert process.returncode == 0, said
    for folder in ("out", "as-built"):
        first, second = tmp_path / "one" / GOOD / folder, tmp_path / "the other" / GOOD / folder
        names = sorted(path.relative_to(first) for path in first.rglob("*"))
        assert names == sorted(path.relative_to(second) for path in second.rglob("*"))
        assert len(names) >= 7
        for name in names:
            if (first / name).is_file():
                assert (first / name).read_bytes() == (second / name).read_bytes(), name


@pytest.fixture
def bare_job(tmp_path: Path) -> Path:
    """Return a job with only what a record cannot do without, and neither photos nor papers."""
    job = copy_office(tmp_path / "office") / "bare"
    job.mkdir()
    (job / "job.yaml").write_text(
        "record: 1\njob:\n  number: 2026-099\n  address: 1 Bare Road, Halvorsted\n"
        "  locality: vintermark-2026\n"
    )
    return job


def test_an_emptied_job_builds_and_says_what_it_lacks(
    bare_job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["build", str(bare_job), *DAY]) == 1
    assert "registration not ready" in " ".join(capsys.readouterr().out.split())
    out = bare_job / "out"
    handover = "\n".join(page_texts(out / "handover.pdf"))
    _, _, lacking = handover.rpartition("will not find here")
    for what in ("Scope of the job", "Field shingle", "Permit", "Permit closed", "Final invoice"):
        assert f"{what}: not on record." in lacking
    assert "None" not in handover
    assert "NOT READY" in page_texts(out / "registration.pdf")[0]
    for document in DOCUMENTS:
        judged("qpdf", "--check", out / f"{document}.pdf")
        assert blank_pages(out / f"{document}.pdf") == [], document


@pytest.mark.parametrize("step", ["files", "_punch_list"])
def test_what_stood_in_out_survives_a_failing_build(
    step: str,
    bare_job: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    before = {
        "out": {"handover.pdf": b"the one before"},
        "as-built": {"company.yaml": b"as it was"},
    }
    replace_folders("2026-099", {bare_job / name: files for name, files in before.items()})

    def broken(*_: object) -> None:
        raise RuntimeError("the printer broke")

    monkeypatch.setattr(f"dossier.press.printing.Printer.{step}", broken)
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(temporary))
    assert main(["build", str(bare_job), *DAY]) == 70
    assert "the printer broke" in caplog.text
    for folder, kept in (("out", "handover.pdf"), ("as-built", "company.yaml")):
        assert {path.name for path in (bare_job / folder).iterdir()} == {MARKER, kept}
    assert {path.name for path in bare_job.iterdir()} == {"job.yaml", "out", "as-built", ".dossier"}
    # The layout library's own folder goes with its font table, which the traceback above still holds;
    # the private font configuration goes with the process.
    caplog.clear()
    gc.collect()
    left = [path.name for path in temporary.iterdir()]
    assert [name for name in left if not name.startswith("dossier-fonts-")] == []


def test_a_second_build_of_a_job_in_hand_is_refused(
    bare_job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with job_lock(bare_job / ".dossier"):
        assert main(["build", str(bare_job), *DAY, "--wait", "0"]) == 6
    assert not (bare_job / "out").exists()
    err = capsys.readouterr().err
    assert "Another run (process " in err
    assert "has this job in hand" in err


WITHOUT_LIBRARIES = """
import cffi, sys
def without(self, name, flags=0):
    raise OSError(f"cannot load library {name!r}")
cffi.FFI.dlopen = without
from dossier.cli import main
sys.exit(main(sys.argv[1:]))
"""
"""The command line where the loader finds no library at all, as on a machine without Pango."""


def run_without_libraries(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    """Return a finished command of a machine without the layout libraries."""
    return subprocess.run(
        [sys.executable, "-c", WITHOUT_LIBRARIES, *map(str, arguments), *DAY],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_check_needs_no_system_library(job_of: JobOf) -> None:
    done = run_without_libraries("check", job_of(GOOD))
    assert done.returncode == 0, done.stderr
    assert "registration ready" in " ".join(done.stdout.split())


def test_build_without_the_system_libraries_says_what_to_install(job_of: JobOf) -> None:
    job = job_of(GOOD)
    done = run_without_libraries("build", job)
    assert done.returncode == 4, done.stderr
    assert "Traceback" not in done.stderr
    assert done.stderr.count("apt-get install libpango-1.0-0") == 1
    assert not (job / "out").exists()
    assert not (job / "as-built").exists()
