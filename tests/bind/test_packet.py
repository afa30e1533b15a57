"""Bound papers: every page in order, nothing carried along unseen, the same bytes each time."""

import hashlib
import io
import os
import subprocess
import sys
import zlib
from datetime import datetime
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image
from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    TextStringObject,
)

from dossier.bind.packet import append_papers, seen_only
from dossier.render.engine import Rendered
from dossier.render.pictures import reduce
from tests.conftest import judged

MADE_AT = datetime.fromisoformat("2026-09-22T09:00:00-04:00")
STAMP_RED = (200, 30, 30)


def name(text: str) -> NameObject:
    return NameObject(text)


def form(writer: PdfWriter, drawing: str) -> object:
    """Add a 100 x 50 drawing with Helvetica as /F and return its reference."""
    stream = DecodedStreamObject()
    stream.set_data(drawing.encode())
    stream.update(
        {
            name("/Type"): name("/XObject"),
            name("/Subtype"): name("/Form"),
            name("/BBox"): ArrayObject(map(NumberObject, (0, 0, 100, 50))),
            name("/Resources"): helvetica(),
        }
    )
    return writer._add_object(stream)


def helvetica() -> DictionaryObject:
    font = {"/Type": "/Font", "/Subtype": "/Type1", "/BaseFont": "/Helvetica"}
    entry = DictionaryObject({name(key): name(value) for key, value in font.items()})
    return DictionaryObject({name("/Font"): DictionaryObject({name("/F"): entry})})


def plain(text: str) -> bytes:
    """Return a one-page paper with one line of text."""
    writer = PdfWriter()
    page = writer.add_blank_page(width=612, height=792)
    stream = DecodedStreamObject()
    stream.set_data(f"BT /F 12 Tf 72 700 Td ({text}) Tj ET".encode())
    page[name("/Contents")] = writer._add_object(stream)
    page[name("/Resources")] = helvetica()
    return written(writer)


def written(writer: PdfWriter) -> bytes:
    target = io.BytesIO()
    writer.write(target)
    return target.getvalue()


def annotation(writer: PdfWriter, subtype: str, **entries: object) -> object:
    entry = DictionaryObject({name("/Type"): name("/Annot"), name("/Subtype"): name(subtype)})
    entry[name("/Rect")] = ArrayObject(map(FloatObject, entries.pop("rect", (300, 300, 500, 400))))
    entry.update({name(f"/{key}"): value for key, value in entries.items()})
    return writer._add_object(entry)


def loaded_paper() -> bytes:
    """Return a paper with a stamp, a filled field, and everything it should not bring along."""
    writer = PdfWriter(clone_from=io.BytesIO(plain("Permit card")))
    page = writer.pages[0]
    script = DictionaryObject(
        {name("/S"): name("/JavaScript"), name("/JS"): TextStringObject("app.alert('SECRET-JS')")}
    )
    launch = DictionaryObject(
        {name("/S"): name("/Launch"), name("/F"): TextStringObject("SECRET-LAUNCH")}
    )
    red = " ".join(f"{channel / 255:.3f}" for channel in STAMP_RED)
    stamp = annotation(
        writer,
        "/Stamp",
        AP=DictionaryObject({name("/N"): form(writer, f"{red} rg 0 0 100 50 re f")}),
        A=launch,
    )
    field = annotation(
        writer,
        "/Widget",
        rect=(100, 500, 300, 600),
        FT=name("/Tx"),
        T=TextStringObject("inspector"),
        V=TextStringObject("R. Lindmark"),
        AP=DictionaryObject({name("/N"): form(writer, "BT /F 12 Tf 5 20 Td (R. Lindmark) Tj ET")}),
    )
    hidden = annotation(
        writer,
        "/FreeText",
        F=NumberObject(2),
        AP=DictionaryObject({name("/N"): form(writer, "BT /F 9 Tf (SECRET-HIDDEN) Tj ET")}),
    )
    attached = DecodedStreamObject()
    attached.set_data(b"SECRET-FILE")
    filespec = DictionaryObject(
        {
            name("/Type"): name("/Filespec"),
            name("/F"): TextStringObject("SECRET-NAME"),
            name("/EF"): DictionaryObject({name("/F"): writer._add_object(attached)}),
        }
    )
    clip = annotation(writer, "/FileAttachment", FS=filespec)
    link = annotation(writer, "/Link", A=script)
    page[name("/Annots")] = ArrayObject([stamp, field, hidden, clip, link])
    page[name("/AA")] = DictionaryObject({name("/O"): script})
    page[name("/AF")] = ArrayObject([writer._add_object(filespec)])
    page[name("/StructParents")] = NumberObject(0)
    page["/Resources"][name("/XObject")] = DictionaryObject({name("/X"): form(writer, "")})
    page["/Resources"]["/XObject"]["/X"].get_object()[name("/AF")] = ArrayObject([filespec])
    writer.root_object[name("/OpenAction")] = script
    writer.add_attachment("SECRET-NAME", b"SECRET-FILE")
    writer.root_object[name("/AcroForm")] = DictionaryObject(
        {name("/Fields"): ArrayObject([field])}
    )
    writer.add_metadata({"/Author": "SECRET-AUTHOR"})
    return written(writer)


def photographed(kind: str) -> bytes:
    """Return a lying 400 x 200 picture, stored standing as cameras do, its left half red."""
    picture = Image.new("RGB", (400, 200), "white")
    picture.paste(STAMP_RED, (0, 0, 200, 200))
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F] = "SECRET-CAMERA"
    target = io.BytesIO()
    stored = picture.transpose(Image.Transpose.ROTATE_90)
    if kind == "JPEG":
        stored.save(target, kind, exif=exif, comment=b"SECRET-COMMENT")
    else:
        stored.save(target, kind, exif=exif)
    return target.getvalue()


PAPERS = [
    ("Contract", plain("Contract sum 14,860.00"), "pdf"),
    ("Inspection card", loaded_paper(), "pdf"),
    ("Ticket, photographed", reduce(photographed("JPEG"), width_mm=180).data, "jpeg"),
    ("Colour choice", reduce(photographed("PNG"), width_mm=180).data, "jpeg"),
]


def divider_pages(count: int) -> bytes:
    """Return one PDF with as many divider pages."""
    writer = PdfWriter()
    for number in range(1, count + 1):
        writer.append(io.BytesIO(plain(f"Divider {number}")))
    return written(writer)


DIVIDERS = divider_pages(4)


@pytest.fixture(scope="module")
def packet(sample: Rendered) -> bytes:
    return append_papers(sample.data, PAPERS, DIVIDERS, made_at=MADE_AT)


def page_text(data: bytes, page: int) -> str:
    return str(pypdfium2.PdfDocument(data)[page].get_textpage().get_text_range())


def streams_of(data: bytes) -> bytes:
    """Return the file with every compressed stream unpacked after it, to search for a word."""
    unpacked = [data]
    for start in range(len(data)):
        if data.startswith(b"stream\n", start):
            try:
                unpacked.append(zlib.decompressobj().decompress(data[start + 7 :]))
            except zlib.error:
                continue
    return b"\n".join(unpacked)


def test_every_page_comes_in_order(packet: bytes, sample: Rendered) -> None:
    body = sample.page_count
    texts = [page_text(packet, page) for page in range(len(pypdfium2.PdfDocument(packet)))]
    assert len(texts) == body + 8
    assert "118 Plover Lane" in texts[0]
    for paper in range(4):
        assert f"Divider {paper + 1}" in texts[body + 2 * paper]
    assert "Contract sum 14,860.00" in texts[body + 1]
    assert "Permit card" in texts[body + 3]


def test_bookmarks_are_the_body_s_and_one_for_each_paper(packet: bytes, sample: Rendered) -> None:
    reader = PdfReader(io.BytesIO(packet))
    flat: list[tuple[str, int | None]] = []

    def walk(items: list[object]) -> None:
        for item in items:
            if isinstance(item, list):
                walk(item)
            else:
                flat.append((item["/Title"], reader.get_destination_page_number(item)))

    walk(reader.outline)
    first = sample.page_count
    assert flat == [
        ("Sample handover", 0),
        ("Products", 0),
        ("In section", 0),
        ("Photos", 1),
        ("Contract", first),
        ("Inspection card", first + 2),
        ("Ticket, photographed", first + 4),
        ("Colour choice", first + 6),
    ]


def test_links_inside_the_body_still_lead_somewhere(packet: bytes) -> None:
    reader = PdfReader(io.BytesIO(packet))
    names = reader.named_destinations
    ends = {
        annotation.get_object()["/Dest"]
        for annotation in reader.pages[0]["/Annots"]
        if "/Dest" in annotation.get_object()
    }
    assert ends == {"products", "photos"}
    assert {end: reader.get_destination_page_number(names[end]) for end in ends} == {
        "products": 0,
        "photos": 1,
    }


def test_nothing_unseen_comes_along_with_a_paper(packet: bytes) -> None:
    raw = streams_of(packet)
    assert b"SECRET" in streams_of(loaded_paper()), "the search itself must be able to find it"
    for trace in (b"SECRET", b"/JavaScript", b"/Launch", b"/EmbeddedFile", b"/AcroForm", b"Exif"):
        assert trace not in raw, trace
    for spelled in ("SECRET-HIDDEN", "SECRET-AUTHOR"):
        assert spelled.encode("utf-16-be") not in raw


def test_the_print_copy_claims_no_conformance(packet: bytes, sample: Rendered) -> None:
    assert b"pdfaid" in sample.data
    assert b"pdfuaid" in sample.data
    raw = streams_of(packet)
    for claim in (b"pdfaid", b"pdfuaid", b"/OutputIntent", b"/MarkInfo", b"/StructTreeRoot"):
        assert claim not in raw, claim
    # Without the tree, its numbers would lead a reader to the places of some other tree.
    assert b"/StructParent" not in raw


def test_stamps_and_filled_fields_stay_visible(packet: bytes, sample: Rendered) -> None:
    page = sample.page_count + 3
    document = pypdfium2.PdfDocument(packet)
    seen = document[page].render(scale=1, may_draw_forms=False, draw_annots=False).to_pil()
    # The stamp's place is x 300 to 500, y 300 to 400 from the foot of a 792 point page.
    assert seen.getpixel((400, 792 - 350)) == STAMP_RED
    assert seen.getpixel((295, 792 - 350)) == (255, 255, 255)
    assert seen.getpixel((400, 792 - 405)) == (255, 255, 255)
    assert "R. Lindmark" in page_text(packet, page)


def layered(base: str) -> bytes:
    """Return a paper with a red and a grey square, the red one on a layer that starts hidden."""
    writer = PdfWriter(clone_from=io.BytesIO(plain("Plan")))
    page = writer.pages[0]
    groups = [
        writer._add_object(
            DictionaryObject({name("/Type"): name("/OCG"), name("/Name"): TextStringObject(title)})
        )
        for title in ("hidden", "seen")
    ]
    drawing = (
        "/OC /A BDC 0.784 0.118 0.118 rg 100 100 100 100 re f EMC "
        "/OC /B BDC 0.5 g 300 100 100 100 re f EMC"
    )
    stream = DecodedStreamObject()
    stream.set_data(drawing.encode())
    page[name("/Contents")] = writer._add_object(stream)
    page[name("/Resources")] = DictionaryObject(
        {
            name("/Properties"): DictionaryObject(
                dict(zip((name("/A"), name("/B")), groups, strict=True))
            )
        }
    )
    stamp = annotation(
        writer,
        "/Stamp",
        OC=groups[0],
        AP=DictionaryObject({name("/N"): form(writer, "1 0 0 rg 0 0 100 50 re f")}),
    )
    page[name("/Annots")] = writer._add_object(ArrayObject([stamp]))
    default = {
        "/ON": DictionaryObject({name("/OFF"): ArrayObject(groups[:1])}),
        "/OFF": DictionaryObject(
            {name("/BaseState"): name("/OFF"), name("/ON"): ArrayObject(groups[1:])}
        ),
    }[base]
    writer.root_object[name("/OCProperties")] = DictionaryObject(
        {name("/OCGs"): ArrayObject(groups), name("/D"): default}
    )
    return written(writer)


@pytest.mark.parametrize("base", ["/ON", "/OFF"])
def test_a_hidden_layer_stays_hidden(sample: Rendered, base: str) -> None:
    papers = [("Plan", layered(base), "pdf"), ("Plan again", layered(base), "pdf")]
    made = append_papers(sample.data, papers, divider_pages(2), made_at=MADE_AT)
    for page in (sample.page_count + 1, sample.page_count + 3):
        seen = pypdfium2.PdfDocument(made)[page].render(scale=1).to_pil().convert("RGB")
        assert seen.getpixel((150, 792 - 150)) == (255, 255, 255)
        assert seen.getpixel((400, 792 - 350)) == (255, 255, 255)
        assert max(seen.getpixel((350, 792 - 150))) < 140


def test_a_page_keeps_what_it_inherits_and_how_it_is_turned(sample: Rendered) -> None:
    writer = PdfWriter(clone_from=io.BytesIO(plain("Inherited")))
    page = writer.pages[0]
    above = page["/Parent"].get_object()
    for key in ("/MediaBox", "/Resources"):
        above[name(key)] = page.pop(key)
    above[name("/Rotate")] = NumberObject(90)
    made = append_papers(
        sample.data, [("Turned", written(writer), "pdf")], divider_pages(1), made_at=MADE_AT
    )
    turned = pypdfium2.PdfDocument(made)[sample.page_count + 1]
    assert turned.get_size() == (792, 612)
    assert "Inherited" in turned.get_textpage().get_text_range()


def test_an_empty_page_is_still_a_page(sample: Rendered) -> None:
    writer = PdfWriter()
    page = writer.add_blank_page(width=300, height=400)
    stamp = {name("/N"): form(writer, "1 0 0 rg 0 0 100 50 re f")}
    page[name("/Annots")] = ArrayObject(
        [annotation(writer, "/Stamp", rect=(0, 0, 300, 400), AP=DictionaryObject(stamp))]
    )
    made = append_papers(
        sample.data, [("Empty", written(writer), "pdf")], divider_pages(1), made_at=MADE_AT
    )
    added = pypdfium2.PdfDocument(made)[sample.page_count + 1]
    assert added.get_size() == (300, 400)
    assert added.render(scale=1).to_pil().convert("RGB").getpixel((150, 200)) == (255, 0, 0)


@pytest.mark.parametrize("offset", [5, 7])
def test_a_picture_becomes_one_upright_page(packet: bytes, sample: Rendered, offset: int) -> None:
    page = pypdfium2.PdfDocument(packet)[sample.page_count + offset]
    width_pt, height_pt = page.get_size()
    assert (width_pt, height_pt) == (792, 612), "a lying picture lies on a lying sheet"
    seen = page.render(scale=1).to_pil().convert("RGB")
    middle = int(height_pt / 2)
    left, right = seen.getpixel((300, middle)), seen.getpixel((500, middle))
    assert max(abs(a - b) for a, b in zip(left, STAMP_RED, strict=True)) < 12
    assert min(right) > 240


def test_qpdf_finds_nothing_wrong(packet: bytes, tmp_path: Path) -> None:
    path = tmp_path / "packet.pdf"
    path.write_bytes(packet)
    assert "No syntax or stream encoding errors" in judged("qpdf", "--check", path)


def test_dates_and_title_are_the_given_ones(packet: bytes) -> None:
    known = PdfReader(io.BytesIO(packet)).metadata
    assert known is not None
    assert known.title == "Sample handover, 118 Plover Lane"
    assert known["/CreationDate"] == known["/ModDate"] == "D:20260922130000Z"


def test_same_papers_same_bytes(packet: bytes, sample: Rendered, tmp_path: Path) -> None:
    (tmp_path / "body.pdf").write_bytes(sample.data)
    for number, (_, data, _) in enumerate(PAPERS):
        (tmp_path / f"{number}.paper").write_bytes(data)
    (tmp_path / "dividers.pdf").write_bytes(DIVIDERS)
    program = (
        "import hashlib, pathlib, sys, datetime\n"
        "from dossier.bind.packet import append_papers\n"
        "home = pathlib.Path(sys.argv[1])\n"
        f"named = {[(title, kind) for title, _, kind in PAPERS]!r}\n"
        "papers = [(t, (home / f'{n}.paper').read_bytes(), k) for n, (t, k) in enumerate(named)]\n"
        "dividers = (home / 'dividers.pdf').read_bytes()\n"
        "made = append_papers((home / 'body.pdf').read_bytes(), papers, dividers,\n"
        f"    made_at=datetime.datetime.fromisoformat({MADE_AT.isoformat()!r}))\n"
        "print(hashlib.sha256(made).hexdigest())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path)],
        env={
            **os.environ,
            "PYTHONHASHSEED": "7",
            "TZ": "Asia/Tokyo",
            "PYTHONPATH": os.pathsep.join(sys.path),
        },
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == hashlib.sha256(packet).hexdigest()


def test_a_cleaned_copy_shows_the_same_and_does_nothing(tmp_path: Path) -> None:
    copy = seen_only(loaded_paper(), made_at=MADE_AT)
    (page,) = PdfReader(io.BytesIO(copy)).pages
    assert "Permit card" in page.extract_text()
    raw = streams_of(copy)
    assert b"100 50 re f" in raw, "the stamp is drawn into the page"
    for trace in (b"SECRET", b"/JavaScript", b"/Launch", b"/EmbeddedFile", b"/AcroForm", b"/AA"):
        assert trace in streams_of(loaded_paper()), f"the search must be able to find {trace!r}"
        assert trace not in raw, trace
    (tmp_path / "copy.pdf").write_bytes(copy)
    judged("qpdf", "--check", tmp_path / "copy.pdf")
    assert seen_only(loaded_paper(), made_at=MADE_AT) == copy


def test_dividers_must_match_the_papers(sample: Rendered) -> None:
    with pytest.raises(ValueError, match="4 papers and 3 divider pages"):
        append_papers(sample.data, PAPERS, divider_pages(3), made_at=MADE_AT)


def test_without_papers_there_are_no_dividers(sample: Rendered) -> None:
    alone = append_papers(sample.data, [], None, made_at=MADE_AT)
    assert len(PdfReader(io.BytesIO(alone)).pages) == sample.page_count
    with pytest.raises(ValueError, match="1 papers and 0 divider pages"):
        append_papers(sample.data, PAPERS[:1], None, made_at=MADE_AT)


def test_a_picture_that_still_says_where_it_was_taken_is_refused(sample: Rendered) -> None:
    raw = [("Ticket", photographed("JPEG"), "jpeg")]
    with pytest.raises(ValueError, match="reduce it first"):
        append_papers(sample.data, raw, divider_pages(1), made_at=MADE_AT)


def test_an_unknown_kind_is_refused(sample: Rendered) -> None:
    with pytest.raises(ValueError, match="heic"):
        append_papers(sample.data, [("Ticket", b"", "heic")], divider_pages(1), made_at=MADE_AT)
