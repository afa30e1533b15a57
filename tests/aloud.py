"""A PDF as a program that reads aloud follows it: by its tags, not by places on the page.

In: the bytes of a PDF. Out: its structure elements in order, each with its own text. Must not know how
documents are made. The structure is read by pypdf, the text under each mark by pypdfium2; neither wrote
the file.
"""

import ctypes
import io
from collections.abc import Iterator
from dataclasses import dataclass, field

import pypdfium2
import pypdfium2.raw as pdfium
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject

BLOCKS = frozenset({"P", "H1", "H2", "H3", "H4", "H5", "H6", "LBody", "Caption", "TH", "TD"})
"""Elements that a reader announces as one run of words."""


@dataclass(frozen=True)
class Piece:
    """The text under one mark on one page, and where it stands, in points from the lower left corner."""

    text: str
    left: float
    bottom: float
    right: float
    top: float


@dataclass
class Element:
    """One structure element. page: of its first piece, from 0; None where it has none."""

    kind: str
    alt: str
    scope: str
    headers: tuple[str, ...]
    name: str
    page: int | None
    described: tuple[str, ...]
    """What each annotation it holds says in its Contents."""
    kids: list["Element | Piece"] = field(default_factory=list)

    def elements(self) -> Iterator["Element"]:
        """Yield this element and all below it, in the order in which they are read."""
        yield self
        for kid in self.kids:
            if isinstance(kid, Element):
                yield from kid.elements()

    def pieces(self) -> Iterator[Piece]:
        """Yield the pieces of text below it as they are read; a figure is its alternative text."""
        for kid in self.kids:
            if isinstance(kid, Piece):
                yield kid
            elif kid.kind == "Figure":
                yield Piece(f" {kid.alt} ", 0, 0, 0, 0)
            else:
                yield from kid.pieces()

    def text(self) -> str:
        """Return what is read, joined with nothing between: what the tags do not part runs together."""
        return "".join(piece.text for piece in self.pieces())


def read_aloud(data: bytes) -> Element:
    """Return the root of a tagged PDF's structure."""
    reader = PdfReader(io.BytesIO(data))
    marks = _pieces_by_mark(data)
    pages = {page.indirect_reference.idnum: n for n, page in enumerate(reader.pages)}  # type: ignore[union-attr]

    def element(thing: DictionaryObject) -> Element:
        attributes = thing.get("/A", {})
        page = thing.raw_get("/Pg") if "/Pg" in thing else None
        number = pages[page.idnum] if isinstance(page, IndirectObject) else None
        made = Element(
            kind=str(thing["/S"])[1:],
            alt=str(thing.get("/Alt", "")),
            scope=str(attributes.get("/Scope", "")),
            headers=tuple(str(one) for one in attributes.get("/Headers", ())),
            name=str(thing.get("/ID", "")),
            page=number,
            described=(),
        )
        described = []
        kids = thing.get("/K", [])
        for kid in kids if isinstance(kids, ArrayObject) else [kids]:
            kid = kid.get_object()
            if isinstance(kid, DictionaryObject) and kid.get("/Type") == "/OBJR":
                described.append(str(kid["/Obj"].get("/Contents", "")))
            elif isinstance(kid, DictionaryObject):
                made.kids.append(element(kid))
            elif number is not None and (number, int(kid)) in marks:
                made.kids.append(marks[number, int(kid)])
        made.described = tuple(described)
        return made

    (top,) = reader.root_object["/StructTreeRoot"]["/K"]
    return element(top.get_object())


def unmarked_text(data: bytes) -> list[str]:
    """Return, per page, the text that no mark of the structure holds: what is passed over."""
    return ["".join(text for mark, text, _ in page if mark < 0) for page in _objects(data)]


def _pieces_by_mark(data: bytes) -> dict[tuple[int, int], Piece]:
    found: dict[tuple[int, int], Piece] = {}
    for number, page in enumerate(_objects(data)):
        for mark, text, box in page:
            if mark < 0:
                continue
            before = found.get((number, mark))
            if before is None:
                found[number, mark] = Piece(text, *box)
            else:
                found[number, mark] = Piece(
                    before.text + text,
                    min(before.left, box[0]),
                    min(before.bottom, box[1]),
                    max(before.right, box[2]),
                    max(before.top, box[3]),
                )
    return found


def _objects(data: bytes) -> Iterator[list[tuple[int, str, tuple[float, float, float, float]]]]:
    """Yield, per page, each text object's mark (-1 for none), its text and its left, bottom, right, top."""
    with pypdfium2.PdfDocument(data) as pdf:
        for page in pdf:
            textpage = page.get_textpage()
            objects = []
            for thing in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_TEXT]):
                size = pdfium.FPDFTextObj_GetText(thing, textpage, None, 0)
                buffer = ctypes.create_string_buffer(size * 2)
                pdfium.FPDFTextObj_GetText(
                    thing, textpage, ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort)), size
                )
                text = buffer.raw[: size * 2].decode("utf-16-le").rstrip("\0")
                mark = pdfium.FPDFPageObj_GetMarkedContentID(thing)
                objects.append((mark, text, tuple(thing.get_bounds())))
            textpage.close()
            page.close()
            yield objects
