"""Altered copies of a PDF, as somebody with a common program makes them.

In: a PDF and where its copy is to lie. Out: the copy. Must not know what will be said of it.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
from pypdf import PdfReader, PdfWriter
from pypdf.annotations import Link, Rectangle
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    TextStringObject,
)

from tests.conftest import pdf_with_text

_AREA = (100, 400, 200, 430)


def _edited(edit: Callable[[PdfWriter], object], document: Path, to: Path) -> Path:
    writer = PdfWriter(clone_from=document)
    edit(writer)
    writer.write(to)
    return to


def _drawn(content: bytes) -> Callable[[PdfWriter], None]:
    """Return what draws over page 3."""

    def edit(writer: PdfWriter) -> None:
        page = writer.pages[2]
        resources: Any = page["/Resources"]
        font = {"/Type": "/Font", "/Subtype": "/Type1", "/BaseFont": "/Helvetica"}
        named = {NameObject(key): NameObject(value) for key, value in font.items()}
        resources["/Font"][NameObject("/Fnew")] = writer._add_object(DictionaryObject(named))
        streams = []
        for data in (b"q\n", None, b"\nQ\n" + content):
            stream = DecodedStreamObject()
            stream.set_data(data or b"")
            streams.append(
                page.raw_get("/Contents") if data is None else writer._add_object(stream)
            )
        page[NameObject("/Contents")] = ArrayObject(streams)

    return edit


def text_over(document: Path, to: Path) -> Path:
    return _edited(_drawn(b"BT /Fnew 11 Tf 100 400 Td (15 bundles) Tj ET"), document, to)


def unseen_text(document: Path, to: Path) -> Path:
    # Text rendering mode 3 draws nothing (ISO 32000-1:2008, table 106).
    return _edited(_drawn(b"BT /Fnew 11 Tf 3 Tr 100 400 Td (15 bundles) Tj ET"), document, to)


def white_patch(document: Path, to: Path) -> Path:
    return _edited(_drawn(b"1 1 1 rg 60 60 500 650 re f"), document, to)


def mark(document: Path, to: Path) -> Path:
    return _edited(
        lambda w: w.add_annotation(2, Rectangle(_AREA, interior_color="ffffff")), document, to
    )


def hidden_mark(document: Path, to: Path) -> Path:
    def edit(writer: PdfWriter) -> None:
        annotation = Rectangle(_AREA, interior_color="ffffff")
        # Print, and do not view (ISO 32000-1:2008, table 165).
        annotation[NameObject("/F")] = NumberObject(4 + 32)
        writer.add_annotation(2, annotation)

    return _edited(edit, document, to)


def page_out(document: Path, to: Path) -> Path:
    return _edited(lambda w: w.remove_page(4), document, to)


def page_in(document: Path, to: Path) -> Path:
    other = PdfReader(document.with_name("letter.pdf")).pages[0]
    return _edited(lambda w: w.insert_page(other, 5), document, to)


def pages_exchanged(document: Path, to: Path) -> Path:
    def edit(writer: PdfWriter) -> None:
        kids: Any = writer._root_object["/Pages"]
        while "/Kids" in kids["/Kids"][0].get_object():
            kids = kids["/Kids"][0].get_object()
        pages = kids["/Kids"]
        pages[4], pages[5] = list.__getitem__(pages, 5), list.__getitem__(pages, 4)

    return _edited(edit, document, to)


def page_turned(document: Path, to: Path) -> Path:
    return _edited(lambda w: w.pages[2].rotate(90), document, to)


def record(document: Path, to: Path) -> Path:
    def edit(writer: PdfWriter) -> None:
        for one in writer.attachment_list:
            if one.name == "job.yaml":
                one.content = one.content.replace(b"118 Plover", b"119 Plover")

    return _edited(edit, document, to)


def attachment_in(document: Path, to: Path) -> Path:
    return _edited(lambda w: w.add_attachment("waiver.txt", b"waived"), document, to)


def attachments_out(document: Path, to: Path) -> Path:
    def edit(writer: PdfWriter) -> None:
        names: Any = writer._root_object["/Names"]
        del names["/EmbeddedFiles"]

    return _edited(edit, document, to)


def link(document: Path, to: Path) -> Path:
    return _edited(
        lambda w: w.add_annotation(2, Link(rect=_AREA, url="https://example.com/pay")), document, to
    )


def title(document: Path, to: Path) -> Path:
    return _edited(lambda w: w.add_metadata({"/Title": "Another roof"}), document, to)


def program(document: Path, to: Path) -> Path:
    def edit(writer: PdfWriter) -> None:
        writer._root_object[NameObject("/OpenAction")] = DictionaryObject(
            {NameObject("/S"): NameObject("/JavaScript"), NameObject("/JS"): TextStringObject("1")}
        )

    return _edited(edit, document, to)


def behind(document: Path, to: Path) -> Path:
    writer = PdfWriter(document, incremental=True)
    writer.add_annotation(2, Rectangle(_AREA, interior_color="ffffff"))
    writer.write(to)
    return to


def saved_anew(document: Path, to: Path) -> Path:
    return _edited(lambda _: None, document, to)


def scanned(document: Path, to: Path) -> Path:
    with pypdfium2.PdfDocument(document) as pdf:
        pages = [pdf[number].render(scale=1).to_pil().convert("RGB") for number in range(3)]
    pages[0].save(to, save_all=True, append_images=pages[1:])
    return to


def letter(digest: str, to: Path) -> Path:
    """Write a letter of a later entry, which prints the digest of the folder before it."""
    to.write_bytes(
        pdf_with_text(
            "The owner asks for a copy.", "Digest of the sealed folder before this entry SHA-256:",
            digest[:40], digest[40:],
        )
    )  # fmt: skip
    return to
