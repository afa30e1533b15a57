"""Papers: pages against qpdf and pdfinfo, encryption, active content, files that ask too much."""

import io
import json
import logging
import random
import warnings
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DictionaryObject, NameObject, NumberObject

from dossier.evidence import PaperFact, measure, pdfs

DAMAGED = (
    "is damaged: it begins as a PDF and its pages cannot be read."
    " Ask whoever sent it to send it again."
)
TOO_MUCH = (
    "asks for far more work to open than an ordinary paper. Print it to a new PDF and list that."
)


def _measured(job: Path, data: bytes, name: str = "papers/a.pdf") -> PaperFact:
    (job / name).write_bytes(data)
    return measure(job, [], [name]).papers[name]


def _written(pages: int, **encryption: str) -> bytes:
    writer, target = PdfWriter(), io.BytesIO()
    for _ in range(pages):
        writer.add_blank_page(200, 200)
    if encryption:
        writer.encrypt(**encryption)
    writer.write(target)
    return target.getvalue()


def _nested_tree(pdf_of: Callable[..., bytes], written_count: int) -> bytes:
    """Return four pages in a tree of three levels, with this count written at its root."""
    page = b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 200]>>"
    return pdf_of(
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Kids[3 0 R 4 0 R]/Count %d>>" % written_count,
        b"<</Type/Pages/Parent 2 0 R/Kids[5 0 R 6 0 R]/Count 3>>",
        page,
        page,
        b"<</Type/Pages/Parent 3 0 R/Kids[7 0 R 8 0 R]/Count 2>>",
        page.replace(b"2 0 R", b"6 0 R"),
        page.replace(b"2 0 R", b"6 0 R"),
    )


# -- pages


def test_page_counts_are_what_qpdf_and_pdfinfo_say(
    job: Path, pdf_of, one_page, run_tool: Callable[..., str]
) -> None:
    plain = job / "papers/plain.pdf"
    contents = {
        "plain.pdf": _written(7),
        "nested.pdf": _nested_tree(pdf_of, 4),
        "one.pdf": one_page(),
        "junk-before.pdf": pdf_of(
            b"<</Type/Catalog/Pages 2 0 R>>",
            b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
            b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 200]>>",
            head=b"From: office\n\n%PDF-1.4\n",
        ),
        "encrypted.pdf": _written(3, user_password="", owner_password="o", algorithm="AES-256"),
    }
    for name, data in contents.items():
        (job / "papers" / name).write_bytes(data)
    run_tool("qpdf", "--object-streams=generate", plain, job / "papers/packed.pdf")
    run_tool("qpdf", "--linearize", plain, job / "papers/web.pdf")
    run_tool("qpdf", "--encrypt", "", "o", "256", "--", plain, job / "papers/aes.pdf")
    run_tool("qpdf", plain, "--pages", plain, "1-5", plain, "1-3", "--", job / "papers/eight.pdf")
    names = [*contents, "packed.pdf", "web.pdf", "aes.pdf", "eight.pdf"]
    files = [f"papers/{name}" for name in names]
    facts = measure(job, [], files).papers
    counted = {file: facts[file].page_count for file in files}
    assert counted == {file: int(run_tool("qpdf", "--show-npages", job / file)) for file in files}
    for file in files:
        assert f"Pages:           {counted[file]}\n" in run_tool("pdfinfo", job / file)
    assert [facts[file].fault for file in files] == [None] * len(files)
    assert [facts[file].encrypted for file in files] == [
        "encrypt" in file or "aes" in file for file in files
    ]
    assert counted["papers/nested.pdf"] == 4


@pytest.mark.parametrize("written_count", [1, 77, -1])
def test_the_count_written_in_a_pdf_is_not_believed(
    job: Path, pdf_of, run_tool: Callable[..., str], written_count: int
) -> None:
    data = _nested_tree(pdf_of, written_count)
    assert _measured(job, data).page_count == 4
    # qpdf --show-npages repeats what is written; the list of pages it makes is counted here.
    listed = json.loads(run_tool("qpdf", "--json", "--json-key=pages", job / "papers/a.pdf"))
    assert len(listed["pages"]) == 4


def test_a_pdf_without_pages_is_a_fault(job: Path, pdf_of) -> None:
    empty = pdf_of(b"<</Type/Catalog/Pages 2 0 R>>", b"<</Type/Pages/Kids[]/Count 3>>")
    fact = _measured(job, empty)
    assert fact.fault == "has no pages. Ask whoever sent it to send it again."
    assert fact.page_count == 0


@pytest.mark.parametrize(
    "pages",
    [
        b"<</Type/Pages/Kids[2 0 R]/Count 1>>",
        b"<</Type/Pages/Kids[9 0 R]/Count 1>>",
        b"<</Type/Pages/Kids[(page)]/Count 1>>",
        b"[1 2 3]",
    ],
)
def test_a_page_tree_that_leads_nowhere_is_a_fault(job: Path, pdf_of, pages: bytes) -> None:
    fact = _measured(job, pdf_of(b"<</Type/Catalog/Pages 2 0 R>>", pages))
    assert (fact.fault, fact.page_count) == (DAMAGED, None)


def test_more_pages_than_are_counted_is_a_fault(job: Path, pdf_of) -> None:
    def of(count: int) -> PaperFact:
        kids = b"3 0 R " * count
        pages = b"<</Type/Pages/Kids[%s]/Count 1>>" % kids
        page = b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>"
        return _measured(job, pdf_of(b"<</Type/Catalog/Pages 2 0 R>>", pages, page))

    assert of(pdfs.PAGE_LIMIT).page_count == 20_000
    assert of(pdfs.PAGE_LIMIT + 1).fault == TOO_MUCH


# -- files that are not whole


@pytest.mark.parametrize("share", [0.3, 0.6, 0.98])
@pytest.mark.parametrize("make", ["plain", "packed", "web"])
def test_a_pdf_cut_short_is_a_fault(
    job: Path, make: str, share: float, run_tool: Callable[..., str]
) -> None:
    plain, made = job / "plain.pdf", job / "made.pdf"
    plain.write_bytes(_written(9))
    options = {"plain": "--qdf", "packed": "--object-streams=generate", "web": "--linearize"}
    run_tool("qpdf", options[make], plain, made)
    whole = made.read_bytes()
    assert _measured(job, whole).fault is None
    fact = _measured(job, whole[: int(len(whole) * share)])
    assert fact.fault is not None
    assert fact.fault.startswith("is cut short")
    if make == "web":
        # Cut right behind the mark near its head, it ends in a mark like any whole file.
        head = whole[: whole.index(b"%%EOF") + 6]
        assert _measured(job, head).fault.startswith("is cut short")


def test_a_change_added_behind_and_cut_short_is_a_fault(job: Path, one_page) -> None:
    whole = one_page()
    added = b"\n4 0 obj\n<</Type/Page>>\nendobj\nxref\n4 1\n"
    assert _measured(job, whole + added).fault.startswith("is cut short")
    assert _measured(job, whole + b"\r\n\0\0<!-- served by a mail gate -->").fault is None
    assert _measured(job, whole.replace(b"%%EOF\n", b"")).fault.startswith("is cut short")


@pytest.mark.parametrize(
    ("data", "kind", "says"),
    [
        (b"", "unknown", "is empty"),
        (b"Permit 2024-118, closed.\n", "text", "is text and not a paper"),
        (b"%PDF-1.7\n", "pdf", "is cut short"),
        (b"%PDF-1.7\nstartxref\n9\n%%EOF\n", "pdf", "is damaged"),
        (b"II*\0\x08\0\0\0", "tiff", "is a TIFF picture"),
        (b"RIFF\0\0\0\0WEBPVP8 ", "webp", "is a WebP picture"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "heic", "is a HEIC picture"),
        (b"PK\x03\x04\0\0", "unknown", "is not a kind of paper"),
    ],
)
def test_what_is_no_paper_says_what_it_is(job: Path, data: bytes, kind: str, says: str) -> None:
    fact = _measured(job, data)
    assert fact.kind == kind
    assert fact.fault.startswith(says)
    assert fact.fault.endswith(".")
    assert fact.page_count is None


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_picture_of_a_page_is_one_page(job: Path, encoded, kind: str) -> None:
    whole = encoded(kind)
    fact = _measured(job, whole)
    assert (fact.kind, fact.page_count, fact.size_px) == (kind.lower(), 1, (96, 64))
    assert (fact.fault, fact.encrypted, fact.active_content) == (None, False, ())
    cut = _measured(job, whole[:-2000])
    assert cut.fault.startswith("is cut short")
    assert cut.page_count is None


def test_no_broken_pdf_is_a_crash_or_a_remark(
    job: Path, one_page, caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    chance = random.Random(20240506)
    seeds = [
        one_page(),
        _written(4),
        _written(2, user_password="", owner_password="o", algorithm="AES-256"),
    ]
    before = logging.getLogger("pypdf").level
    with caplog.at_level(logging.DEBUG):
        for number in range(150):
            data = bytearray(seeds[number % 3])
            for _ in range(chance.choice((1, 4, 12))):
                data[chance.randrange(len(data))] = chance.choice((0, 32, 60, 255, number))
            fact = _measured(job, bytes(data))
            assert fact.fault is None or fact.fault.endswith(".")
            assert fact.fault is not None or fact.page_count
    assert [r for r in caplog.records if r.name.startswith("pypdf")] == []
    assert capfd.readouterr() == ("", "")
    assert logging.getLogger("pypdf").level == before


def test_what_the_reader_only_warns_of_is_no_fault(
    job: Path, one_page, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = pdfs._count_pages

    def warn_and_count(reader: PdfReader) -> int:
        warnings.warn("a remark", UserWarning, stacklevel=1)
        return real(reader)

    monkeypatch.setattr(pdfs, "_count_pages", warn_and_count)
    assert _measured(job, one_page()).fault is None


# -- encryption


@pytest.mark.parametrize("algorithm", ["RC4-128", "AES-128", "AES-256"])
def test_an_owner_password_alone_is_no_fault(job: Path, algorithm: str) -> None:
    data = _written(3, user_password="", owner_password="owner", algorithm=algorithm)
    fact = _measured(job, data)
    assert (fact.fault, fact.encrypted, fact.page_count) == (None, True, 3)
    assert fact.active_content == ("encryption",)


@pytest.mark.parametrize("bits", ["128", "256"])
def test_a_password_that_must_be_typed_is_a_fault(
    job: Path, bits: str, run_tool: Callable[..., str]
) -> None:
    plain, locked = job / "plain.pdf", job / "papers/locked.pdf"
    plain.write_bytes(_written(3))
    weak = ["--use-aes=y"] if bits == "128" else []
    run_tool("qpdf", "--encrypt", "user", "owner", bits, *weak, "--", plain, locked)
    fact = measure(job, [], ["papers/locked.pdf"]).papers["papers/locked.pdf"]
    assert fact.fault == ("opens only with a password. Ask whoever sent it for a copy without one.")
    assert (fact.encrypted, fact.page_count) == (True, None)


def test_encryption_of_an_unknown_kind_is_a_fault(job: Path, one_page) -> None:
    odd = one_page(b"<</Filter/Odd/V 9/R 9>>").replace(b"/Root", b"/Encrypt 4 0 R/Root")
    fact = _measured(job, odd)
    assert fact.fault.startswith("is encrypted in a way that cannot be opened here")
    assert fact.encrypted


def test_active_content_under_encryption_is_found(
    job: Path, one_page, run_tool: Callable[..., str]
) -> None:
    script = b"<</S/JavaScript/JS(app.alert)>>"
    plain, shut = job / "plain.pdf", job / "papers/shut.pdf"
    plain.write_bytes(one_page(script, catalogue=b"/OpenAction 4 0 R"))
    packed = "--object-streams=generate"
    run_tool("qpdf", packed, "--encrypt", "", "owner", "256", "--", plain, shut)
    assert b"JavaScript" not in shut.read_bytes()
    fact = measure(job, [], ["papers/shut.pdf"]).papers["papers/shut.pdf"]
    assert fact.active_content == ("JavaScript", "encryption")


# -- active content (names: ISO 32000-1:2008, tables 28, 164, 169, 198)


@pytest.mark.parametrize(
    ("catalogue", "page", "added", "found"),
    [
        (b"", b"", b"null", ()),
        (b"/OpenAction[3 0 R/Fit]", b"", b"null", ()),
        (b"/OpenAction<</S/GoTo/D[3 0 R/Fit]>>", b"", b"null", ()),
        (b"/OpenAction 4 0 R", b"", b"<</S/JavaScript/JS(a)>>", ("JavaScript",)),
        (b"/OpenAction 4 0 R", b"", b"<</S/Java#53cript/J#53(a)>>", ("JavaScript",)),
        (b"/OpenAction 4 0 R", b"", b"<</S/Launch/F(a.exe)>>", ("launch action",)),
        (b"/OpenAction 4 0 R", b"", b"<</S/URI/URI(http://example.com)>>", ("open action",)),
        (b"/Names<</JavaScript<</Names[(a) 4 0 R]>>>>", b"", b"<</JS(a)>>", ("JavaScript",)),
        (b"", b"/AA<</O 4 0 R>>", b"<</S/Launch/F(a.exe)>>", ("launch action",)),
        (b"", b"/Annots[<</A 4 0 R>>]", b"<</S/SubmitForm/F(a)>>", ("form submission",)),
        (b"", b"/Annots[<</A<</S/URI/Next 4 0 R>>>>]", b"<</S/JavaScript>>", ("JavaScript",)),
        (b"", b"/Annots[<</A 4 0 R>>]", b"<</S/URI/URI(http://example.com)>>", ()),
        (b"", b"/Annots[4 0 R]", b"<</Subtype/RichMedia>>", ("rich media",)),
        (b"", b"/Annots[<</A 4 0 R>>]", b"<</S/GoToR/F(a.pdf)>>", ("link to another file",)),
        (b"", b"/AA<</O 4 0 R>>", b"<</S/Hide/T(a)>>", ("action that hides or shows parts",)),
        (b"/AcroForm<</XFA 4 0 R>>", b"", b"(form)", ("XFA form",)),
        (
            b"/Names<</EmbeddedFiles<</Names[(a) 4 0 R]>>>>",
            b"",
            b"<</Type/Filespec/F(a.txt)/EF<</F 3 0 R>>>>",
            ("embedded files",),
        ),
        (b"/Names<</EmbeddedFiles<</Names[]>>>>", b"", b"null", ()),
        # What nothing leads to, a former edition or a word in a title, does nothing.
        (b"", b"", b"<</S/JavaScript/JS(a)>>", ()),
        (b"/Title(see /JavaScript /Launch)", b"", b"null", ()),
        (
            b"/OpenAction 4 0 R",
            b"/AA<</O<</S/Launch>>>>",
            b"<</S/JavaScript/JS(a)/Next 4 0 R>>",
            ("JavaScript", "launch action"),
        ),
    ],
)
def test_active_content_is_what_can_be_reached(
    job: Path, one_page, run_tool: Callable[..., str], catalogue, page, added, found
) -> None:
    plain = job / "papers/plain.pdf"
    plain.write_bytes(one_page(added, catalogue=catalogue, page=page))
    run_tool("qpdf", "--object-streams=generate", plain, job / "papers/packed.pdf")
    facts = measure(job, [], ["papers/plain.pdf", "papers/packed.pdf"]).papers
    assert [fact.active_content for fact in facts.values()] == [found, found]
    assert [fact.fault for fact in facts.values()] == [None, None]


def test_links_to_addresses_are_told_and_are_nothing_active(job: Path, one_page) -> None:
    link = b"<</S/URI/URI(http://example.com)>>"
    fact = _measured(job, one_page(link, page=b"/Annots[<</A 4 0 R>>]"))
    assert (fact.web_links, fact.active_content) == (True, ())
    assert not _measured(job, one_page(link)).web_links, "nothing leads to it"


def test_an_attachment_written_by_a_library_is_found(job: Path) -> None:
    writer, target = PdfWriter(), io.BytesIO()
    writer.add_blank_page(200, 200)
    writer.add_attachment("scope.txt", b"scope")
    writer.write(target)
    assert _measured(job, target.getvalue()).active_content == ("embedded files",)


# -- files that ask for too much


def _stream(data: bytes, entries: bytes = b"/Filter/FlateDecode") -> bytes:
    return b"<<%s/Length %d>>\nstream\n%s\nendstream" % (entries, len(data), data)


def test_what_unpacks_beyond_the_limit_is_a_fault(
    job: Path, one_page, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert pdfs.UNPACKED_LIMIT_BYTES == 1_000_000_000
    monkeypatch.setattr(pdfs, "UNPACKED_LIMIT_BYTES", 10_000_000)
    at, over = zlib.compress(bytes(10_000_000)), zlib.compress(bytes(10_000_001))
    half = zlib.compress(bytes(5_000_001))
    assert len(over) < 12_000
    assert _measured(job, one_page(_stream(at))).fault is None
    assert _measured(job, one_page(_stream(over))).fault == TOO_MUCH
    assert _measured(job, one_page(_stream(half))).fault is None
    assert _measured(job, one_page(_stream(half), _stream(half))).fault == TOO_MUCH
    # Packed twice, the outer layer alone looks harmless; both layers count.
    twice = _stream(zlib.compress(over), b"/Filter[/FlateDecode/FlateDecode]")
    assert _measured(job, one_page(twice)).fault == TOO_MUCH
    # What only looks packed, or breaks off, is weighed as far as it goes.
    assert _measured(job, one_page(_stream(b"x\x9cthis is no deflate"))).fault is None
    assert _measured(job, one_page(_stream(over[:2000]))).fault is None


def test_under_encryption_it_is_weighed_too(
    job: Path, one_page, run_tool: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pdfs, "UNPACKED_LIMIT_BYTES", 1_000_000)
    plain = job / "plain.pdf"
    plain.write_bytes(one_page(_stream(zlib.compress(bytes(1_100_000))), page=b"/Contents 4 0 R"))
    run_tool("qpdf", "--encrypt", "", "owner", "256", "--", plain, job / "papers/shut.pdf")
    fact = measure(job, [], ["papers/shut.pdf"]).papers["papers/shut.pdf"]
    assert (fact.fault, fact.encrypted) == (TOO_MUCH, True)


def test_object_lists_have_a_lower_limit(job: Path, one_page) -> None:
    packed = zlib.compress(b"0 " * 12_000_001)
    for entries in (b"/Type/ObjStm/N 1/First 4", b"/Type /Obj#53tm", b"/Type/XRef"):
        listed = _stream(packed, entries + b"/Filter/FlateDecode")
        assert _measured(job, one_page(listed)).fault == TOO_MUCH
    assert _measured(job, one_page(_stream(packed))).fault is None


def test_work_is_bounded_by_reads_copies_and_objects(
    job: Path, pdf_of, one_page, monkeypatch: pytest.MonkeyPatch
) -> None:
    chained = one_page(
        *(b"[%d 0 R]" % (number + 1) for number in range(4, 60)), catalogue=b"/OpenAction 4 0 R"
    )
    lost = b" ".join(b"%d 0 R" % number for number in range(100, 150))
    missing = pdf_of(
        b"<</Type/Catalog/Pages 2 0 R/AA<</S/JavaScript/X[%s]>>>>" % lost,
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 200]>>",
    )
    assert _measured(job, chained).fault is None
    assert _measured(job, missing).active_content == ("JavaScript",)
    for name, limit, data in (
        ("OBJECT_LIMIT", 50, chained),
        ("READ_LIMIT", 100, chained),
        ("COPY_LIMIT_BYTES", 40 * len(missing), missing),
    ):
        with monkeypatch.context() as patch:
            patch.setattr(pdfs, name, limit)
            assert _measured(job, data).fault == TOO_MUCH


def test_memory_running_out_is_a_fault_of_the_day_and_not_kept(
    job: Path, one_page, monkeypatch: pytest.MonkeyPatch
) -> None:
    (job / "papers/a.pdf").write_bytes(one_page())

    def run_out(*_: object, **__: object) -> None:
        raise MemoryError

    def measured() -> PaperFact:
        return measure(job, [], ["papers/a.pdf"], cache_folder=job / ".dossier").papers[
            "papers/a.pdf"
        ]

    with monkeypatch.context() as patch:
        patch.setattr(pdfs, "_count_pages", run_out)
        assert measured().fault.startswith("needs more memory")
    assert measured().fault is None


def test_arrays_nested_beyond_reason_are_no_crash(job: Path, one_page) -> None:
    deep = b"[" * 4000 + b"]" * 4000
    reached = one_page(deep, catalogue=b"/OpenAction 4 0 R")
    assert _measured(job, reached).fault in (None, DAMAGED)
    assert _measured(job, one_page(deep)).fault is None


def test_a_page_tree_written_by_a_library_counts_leaves(job: Path) -> None:
    writer, target = PdfWriter(), io.BytesIO()
    for _ in range(3):
        writer.add_blank_page(200, 200)
    tree = writer.root_object["/Pages"]
    assert isinstance(tree, DictionaryObject)
    tree[NameObject("/Count")] = NumberObject(99)
    writer.write(target)
    assert _measured(job, target.getvalue()).page_count == 3
