"""A body and papers into one PDF to print or mail.

In: the laid-out body, the papers as they lie in the job folder, and one divider page for each. Out:
one PDF with all their pages in order, which claims no conformance: papers from elsewhere cannot
keep it. Must not know what a paper backs, nor judge whether one can be read: the caller passes in
only what opens.

A paper is reduced to what is seen on its pages. Scripts, actions, links, attached files, forms and
metadata stay behind; stamps and filled-in fields are drawn into the page, since they are often the
very proof.
"""

import io
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, NamedTuple

from PIL import Image
from pypdf import PageObject, PdfReader, PdfWriter, Transformation
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    FloatObject,
    NameObject,
    NumberObject,
    PdfObject,
    RectangleObject,
    StreamObject,
)

PAPER_KINDS = frozenset({"jpeg", "pdf"})

_MARGIN_PT = 36
_SEEN_PARTS = ("/MediaBox", "/CropBox", "/Rotate", "/UserUnit", "/Resources", "/Contents", "/Group")
_UNSEEN_PARTS = (
    "/AF",
    "/Metadata",
    "/PieceInfo",
    "/OPI",
    "/Ref",
    "/StructParent",
    "/StructParents",
)
"""What hangs from pictures and drawings without being seen: attached files, metadata, references to
other files, places in a structure tree that stays behind."""

# Annotation flags, by bit value. Source: ISO 32000-1:2008, table 165.
_HIDDEN, _NO_VIEW = 1 << 1, 1 << 5
_NEVER_DRAWN = frozenset({"/Popup", "/Link", "/FileAttachment", "/Movie", "/Sound", "/Screen"})


class Paper(NamedTuple):
    """One paper. title: its bookmark. kind: "pdf", or "jpeg" for a picture already made ready for print."""

    title: str
    data: bytes
    kind: str


class Drawn(NamedTuple):
    """One annotation to draw: its drawing, the matrix that lays it onto the page, and itself."""

    appearance: StreamObject
    matrix: tuple[float, ...]
    annotation: DictionaryObject


def append_papers(
    body: bytes,
    papers: Sequence[tuple[str, bytes, str]],
    dividers: bytes | None,
    *,
    made_at: datetime,
) -> bytes:
    """Return one PDF: the body, then for each paper its divider page and its pages.

    papers: (title, data, kind) as in `Paper`, none encrypted or damaged. dividers: one PDF with one page
    per paper, in the same order; `None` where there are no papers. made_at: with a time zone. The body
    keeps its bookmarks and links and loses its attached files and tags; each paper gets one bookmark, at
    its divider. The same input gives the same bytes. Raises `ValueError` when the dividers do not match the papers
    or a kind is unknown.
    """
    if made_at.tzinfo is None:
        raise ValueError("made_at needs a time zone")
    divider_pages = list(PdfReader(io.BytesIO(dividers)).pages) if dividers is not None else []
    if len(papers) != len(divider_pages):
        raise ValueError(f"{len(papers)} papers and {len(divider_pages)} divider pages")
    source = PdfReader(io.BytesIO(body))
    writer = PdfWriter()
    writer.append(source, import_outline=True)
    for page in writer.pages:
        _untag(page)
    sheet = source.pages[0].mediabox
    for (title, data, kind), divider in zip(papers, divider_pages, strict=True):
        first = len(writer.pages)
        _add_seen(writer, divider)
        if kind == "jpeg":
            _add_picture(writer, data, (float(sheet.width), float(sheet.height)))
        elif kind == "pdf":
            paper = PdfReader(io.BytesIO(data))
            _add_all_seen(writer, paper)
        else:
            raise ValueError(f"“{kind}” is not one of {sorted(PAPER_KINDS)}")
        writer.add_outline_item(title=title, page_number=first)
    known: Mapping[str, object] = source.metadata or {}
    carried = {key: str(known[key]) for key in ("/Title", "/Author") if key in known}
    if "/Lang" in source.root_object:
        writer.root_object[NameObject("/Lang")] = source.root_object["/Lang"]
    return _written(writer, carried, made_at)


def seen_only(data: bytes, *, made_at: datetime) -> bytes:
    """Return a new PDF with what is seen on the pages of a paper, and nothing else of it.

    data: a PDF that opens without a password. made_at: with a time zone. The same input gives the same
    bytes. Raises what the reader raises for a file it cannot follow.
    """
    paper = PdfReader(io.BytesIO(data))
    writer = PdfWriter()
    _add_all_seen(writer, paper)
    return _written(writer, {}, made_at)


def _add_all_seen(writer: PdfWriter, paper: PdfReader) -> None:
    for page in paper.pages:
        _add_seen(writer, page)
    _keep_layers_hidden(writer, paper)


def _written(writer: PdfWriter, metadata: Mapping[str, str], made_at: datetime) -> bytes:
    stamp = made_at.astimezone(UTC).strftime("D:%Y%m%d%H%M%SZ")
    writer.metadata = {**metadata, "/CreationDate": stamp, "/ModDate": stamp}
    target = io.BytesIO()
    writer.write(target)
    return target.getvalue()


def _untag(page: PageObject) -> None:
    """Take a body page's places in the structure tree away, since the tree itself stays behind."""
    for key in ("/StructParents", "/Tabs"):
        page.pop(key, None)
    for annotation in page.get("/Annots", ()):
        annotation.get_object().pop("/StructParent", None)


def _add_seen(writer: PdfWriter, page: PageObject) -> None:
    """Add one page to the writer with what is seen on it and nothing else."""
    added = PageObject.create_blank_page(width=1, height=1)
    for key in _SEEN_PARTS:
        if key in page:
            value = page.raw_get(key)
            added[NameObject(key)] = _cloned(writer, value)
    drawn = _drawn_annotations(page)
    # The clones belong to the writer, but the page itself becomes part of it only here.
    added = writer.add_page(added)
    if drawn:
        _draw(writer, added, drawn)


def _cloned(writer: PdfWriter, value: PdfObject) -> PdfObject:
    return value.clone(writer, False, _UNSEEN_PARTS)


def _keep_layers_hidden(writer: PdfWriter, paper: PdfReader) -> None:
    """Carry over which layers a paper hides: without that, every reader shows them all.

    Source: ISO 32000-1:2008, 8.11.4, BaseState, ON and OFF.
    """
    layers = paper.root_object.get("/OCProperties", DictionaryObject()).get_object()
    groups = layers.get("/OCGs", ArrayObject()).get_object()
    if not groups:
        return
    default = layers.get("/D", DictionaryObject()).get_object()
    shown = default.get("/ON", ArrayObject()).get_object()
    hidden = default.get("/OFF", ArrayObject()).get_object()
    if default.get("/BaseState") == "/OFF":
        hidden = ArrayObject(group for group in groups if group not in shown)
    empty = DictionaryObject(
        {
            NameObject("/OCGs"): ArrayObject(),
            NameObject("/D"): DictionaryObject({NameObject("/OFF"): ArrayObject()}),
        }
    )
    kept: Any = writer.root_object.setdefault(NameObject("/OCProperties"), empty)
    kept["/OCGs"].extend(_cloned(writer, group) for group in groups)
    kept["/D"]["/OFF"].extend(_cloned(writer, group) for group in hidden)


def _drawn_annotations(page: PageObject) -> list[Drawn]:
    """Return what there is to draw for every annotation that is seen on the page."""
    drawn: list[Drawn] = []
    annotations = page.get("/Annots", ArrayObject()).get_object()
    for reference in annotations if isinstance(annotations, ArrayObject) else ():
        annotation = reference.get_object()
        if not isinstance(annotation, DictionaryObject):
            continue
        if annotation.get("/Subtype") in _NEVER_DRAWN:
            continue
        if int(annotation.get("/F", 0)) & (_HIDDEN | _NO_VIEW):
            continue
        appearance = _appearance(annotation)
        if appearance is not None and "/Rect" in annotation and "/BBox" in appearance:
            matrix = _onto_page(appearance, _box(annotation["/Rect"]))
            if matrix is not None:
                drawn.append(Drawn(appearance, matrix, annotation))
    return drawn


def _appearance(annotation: DictionaryObject) -> StreamObject | None:
    """Return the stream an annotation is drawn with in its present state, `None` if it has none."""
    appearances = annotation.get("/AP")
    if appearances is None:
        return None
    normal = appearances.get_object().get("/N")
    normal = None if normal is None else normal.get_object()
    if isinstance(normal, DictionaryObject) and not isinstance(normal, StreamObject):
        # A tick box has one drawing per state.
        state = normal.get(annotation.get("/AS", "/Off"))
        normal = None if state is None else state.get_object()
    return normal if isinstance(normal, StreamObject) else None


def _onto_page(appearance: StreamObject, place: RectangleObject) -> tuple[float, ...] | None:
    """Return the matrix that lays an appearance into its place, `None` if it has no size.

    Source: ISO 32000-1:2008, 12.5.5, algorithm 8.1.
    """
    a, b, c, d, e, f = _numbers(appearance.get("/Matrix", (1, 0, 0, 1, 0, 0)))
    own = Transformation((a, b, c, d, e, f))
    box = _box(appearance["/BBox"])
    corners = [
        own.apply_on((float(x), float(y)))
        for x in (box.left, box.right)
        for y in (box.bottom, box.top)
    ]
    left, right = min(x for x, _ in corners), max(x for x, _ in corners)
    bottom, top = min(y for _, y in corners), max(y for _, y in corners)
    if right <= left or top <= bottom:
        return None
    x0, x1 = sorted((float(place.left), float(place.right)))
    y0, y1 = sorted((float(place.bottom), float(place.top)))
    across, up = (x1 - x0) / (right - left), (y1 - y0) / (top - bottom)
    return across, 0, 0, up, x0 - left * across, y0 - bottom * up


def _box(values: PdfObject) -> RectangleObject:
    left, bottom, right, top = _numbers(values)
    return RectangleObject((left, bottom, right, top))


def _numbers(values: Any) -> list[float]:
    # Indexing a PDF array follows references to numbers kept elsewhere; iterating does not.
    return [float(values[place]) for place in range(len(values))]


def _draw(writer: PdfWriter, page: PageObject, drawn: Sequence[Drawn]) -> None:
    """Draw the appearances on top of a page of the writer."""
    resources = DictionaryObject(page.get("/Resources", DictionaryObject()).get_object())
    forms = DictionaryObject(resources.get("/XObject", DictionaryObject()).get_object())
    lines = ["Q"]
    for number, (appearance, matrix, annotation) in enumerate(drawn):
        name = NameObject(f"/DossierSeen{number}")
        while name in forms:
            name = NameObject(f"{name}x")
        form = _cloned(writer, appearance)
        assert isinstance(form, StreamObject)
        form[NameObject("/Type")] = NameObject("/XObject")
        form[NameObject("/Subtype")] = NameObject("/Form")
        if "/OC" in annotation:
            # A stamp on a hidden layer stays hidden.
            form[NameObject("/OC")] = _cloned(writer, annotation.raw_get("/OC"))
        forms[name] = form.indirect_reference or writer._add_object(form)
        numbers = " ".join(f"{n:.5f}" for n in matrix)
        lines.append(f"q {numbers} cm {name} Do Q")
    # Both dictionaries may be shared with other pages, so this page gets its own.
    resources[NameObject("/XObject")] = forms
    page[NameObject("/Resources")] = resources
    contents = page.get("/Contents", ArrayObject())
    contents = contents.get_object()
    before = list(contents) if isinstance(contents, ArrayObject) else [page.raw_get("/Contents")]
    # The page's own drawing is fenced in, so that the place it leaves off at does not move the
    # stamps.
    page[NameObject("/Contents")] = ArrayObject(
        [_stream(writer, "q"), *before, _stream(writer, "\n".join(lines))]
    )


def _stream(writer: PdfWriter, text: str) -> PdfObject:
    stream = DecodedStreamObject()
    stream.set_data(text.encode("ascii") + b"\n")
    return writer._add_object(stream)


def _add_picture(writer: PdfWriter, data: bytes, sheet_pt: tuple[float, float]) -> None:
    """Add one page with the picture fitted inside its margins, the sheet lying if the picture does.

    data: an upright JPEG in sRGB without camera data, taken as it is. sheet_pt: (width, height) of the body's
    sheet, in points. Raises `ValueError` for a picture that carries camera data or has other colours.
    """
    with Image.open(io.BytesIO(data), formats=("JPEG",)) as picture:
        if picture.mode != "RGB" or {"exif", "icc_profile", "comment"} & set(picture.info):
            raise ValueError("the picture is not ready for print; reduce it first")
        width_px, height_px = picture.size
    short_pt, long_pt = sorted(sheet_pt)
    width_pt, height_pt = (long_pt, short_pt) if width_px > height_px else (short_pt, long_pt)
    # A small picture is not blown up beyond one pixel a point: it would show no more.
    scale = min(
        (width_pt - 2 * _MARGIN_PT) / width_px, (height_pt - 2 * _MARGIN_PT) / height_px, 1.0
    )
    drawn_pt = (width_px * scale, height_px * scale)
    image = StreamObject()
    image._data = data
    image.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Image"),
            NameObject("/Width"): NumberObject(width_px),
            NameObject("/Height"): NumberObject(height_px),
            NameObject("/ColorSpace"): NameObject("/DeviceRGB"),
            NameObject("/BitsPerComponent"): NumberObject(8),
            NameObject("/Filter"): NameObject("/DCTDecode"),
        }
    )
    place = ((width_pt - drawn_pt[0]) / 2, (height_pt - drawn_pt[1]) / 2)
    numbers = f"{drawn_pt[0]:.3f} 0 0 {drawn_pt[1]:.3f} {place[0]:.3f} {place[1]:.3f}"
    page = writer.add_blank_page(width=FloatObject(width_pt), height=FloatObject(height_pt))
    page[NameObject("/Resources")] = DictionaryObject(
        {
            NameObject("/XObject"): DictionaryObject(
                {NameObject("/Paper"): writer._add_object(image)}
            )
        }
    )
    page[NameObject("/Contents")] = _stream(writer, f"q {numbers} cm /Paper Do Q")
