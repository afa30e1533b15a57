"""A PDF as a program that reads aloud follows it: by its tags, not by places on the page.

In: the bytes of a PDF. Out: its structure elements in order, each with its own text, and what a
listener would stumble over in them. Must not know how
documents are made. The structure is read by pypdf, the text under each mark by pypdfium2; neither wrote
the file.
"""

import ctypes
import io
import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

import pypdfium2
import pypdfium2.raw as pdfium
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject

BLOCKS = frozenset({"P", "H1", "H2", "H3", "H4", "H5", "H6", "LBody", "Caption", "TH", "TD"})
"""Elements that a reader announces as one run of words."""

TO_WRITE_IN = (
    "Sent on",
    "To fill in",
    "What was seen",
    "Photo numbers",
    "Name and signature",
    "Day",
)
"""Columns that are left blank for a pen."""


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
            scope=str(attributes.get("/Scope", ""))[1:],
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


def heard(root: Element) -> Iterator[Element]:
    """Yield the elements that are announced as one run of words."""
    return (one for one in root.elements() if one.kind in BLOCKS)


def faults_of(root: Element) -> list[str]:
    """Return what a listener would stumble over, each as one line."""
    return [
        *_order(root),
        *_headings(root),
        *_figures(root),
        *_tables(root),
        *_bare(root),
        *_joined(root),
        *_links_and_lists(root),
    ]


def _order(root: Element) -> Iterator[str]:
    pages = [one.page for one in heard(root) if one.page is not None and any(one.pieces())]
    if pages != sorted(pages):
        yield "a page is read before the one in front of it"


def _headings(root: Element) -> Iterator[str]:
    level = 0
    for one in root.elements():
        if re.fullmatch(r"H[1-6]", one.kind):
            if int(one.kind[1]) > level + 1:
                yield f"a heading skips a level: {one.text()}"
            level = int(one.kind[1])


def _figures(root: Element) -> Iterator[str]:
    for one in root.elements():
        if one.kind == "Figure":
            if len(re.findall(r"\w+", one.alt)) < 2:
                yield f"a picture says too little: “{one.alt}”"
            if any(isinstance(kid, Element) for kid in one.kids):
                yield f"a picture has parts that are read by themselves: {one.alt}"


def _tables(root: Element) -> Iterator[str]:
    for table in (one for one in root.elements() if one.kind == "Table"):
        heads = {one.name: one.text().strip() for one in table.elements() if one.kind == "TH"}
        for cell in table.elements():
            if cell.kind == "TH" and (
                cell.scope not in ("Row", "Column") or not cell.text().strip()
            ):
                yield f"a header cell without words or scope: “{cell.text()}”"
            if cell.kind == "TD":
                named = [heads.get(header, "") for header in cell.headers]
                if not all(named) or not named:
                    yield f"a cell without a header: “{cell.text()}”"
                if not cell.text().strip() and not set(named) & set(TO_WRITE_IN):
                    yield f"a blank cell under {named}"


def _bare(root: Element) -> Iterator[str]:
    """Yield runs without a word: a mark, a number, a bracket. A cell may hold a number, for it has headers."""
    for one in heard(root):
        if one.kind not in ("TD", "TH") and not re.search(r"[^\W\d_]{2}", one.text()):
            yield f"{one.kind} without a word: “{one.text()}”"


def _joined(root: Element) -> Iterator[str]:
    """Yield the places where the last word of a piece runs into the first of the next.

    Pieces that meet within a line may belong to one word, and a file's name or a compound goes on in the
    next line after its hyphen or stroke, a field's path after its underscore.
    """
    for one in heard(root):
        pieces = [piece for piece in one.pieces() if piece.text]
        for first, second in itertools.pairwise(pieces):
            if first.text[-1].isspace() or second.text[0].isspace() or second.text[0] in ",.:;)":
                continue
            if first.text[-1] in "-/_\u2010\u0002" or _touch(first, second):
                continue
            yield f"run together: “{first.text[-30:]}” and “{second.text[:30]}”"


def _touch(first: Piece, second: Piece) -> bool:
    return abs(first.bottom - second.bottom) < 4 and second.left - first.right < 1


def _links_and_lists(root: Element) -> Iterator[str]:
    for one in root.elements():
        kinds = [kid.kind for kid in one.kids if isinstance(kid, Element)]
        if one.kind == "L" and "LI" not in kinds:
            yield "a list without items of its own"
        if one.kind == "LI" and kinds[-1:] != ["LBody"]:
            yield f"an item of a list without a body: {kinds}"
        if one.kind == "Link":
            if any(inner.kind == "Link" for inner in list(one.elements())[1:]):
                yield f"a link within a link: {one.text()}"
            if not one.described or not all(" " in says for says in one.described):
                yield f"a link that says only {one.described}"
