"""One PDF into the parts that are compared: its pages, its attachments, and whatever else it carries.

In: a file. Out: `Parts`: text, sizes and digests, and pages to be drawn. Must not compare, nor write. Pages are
read by one library and the objects by another, so that a file that shows each something else is caught. What
is read may be made to harm: this runs only in a process of its own with bounds; see `ask.py`.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdfium2
from pypdf import PdfReader
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    IndirectObject,
    PdfObject,
    StreamObject,
)

PIXELS_PER_POINT = 2
"""144 dots an inch: the thinnest stroke of the smallest print, some 0.3 mm, is drawn by two dots."""

_MOST_PIXELS = 6_000_000
_BACKWARD = frozenset({"/Parent", "/P", "/Prev", "/StructParents", "/StructParent"})
_CODED = frozenset({"/Length", "/Filter", "/DecodeParms", "/DL"})
_OF_THE_FILE = frozenset({"/Pages", "/Type", "/Version", "/Extensions"})
_OPENS_SO = frozenset({"/ViewerPreferences", "/PageMode", "/PageLayout"})


@dataclass(frozen=True)
class Page:
    """One page. text: as it is taken out, invisible text included. size: of the box that is shown, in points.

    links: where they lie and lead to. notes: digest of each other annotation → its kind. digest: over all of
    the page but what it shares with the document; empty where it cannot be told.
    """

    text: str
    size: tuple[float, float]
    links: tuple[str, ...] = ()
    notes: Mapping[str, str] = field(default_factory=dict)
    digest: str = ""

    @cached_property
    def words(self) -> str:
        """Return the text without its spaces, of which each program puts in others between the same words."""
        return "".join(self.text.split())


class Parts:
    """A PDF that is open. Raises whatever the libraries raise for a file that is none."""

    def __init__(self, path: Path) -> None:
        """path: the file, read once, so that both libraries see the same bytes."""
        self.data = path.read_bytes()
        self._drawn = pypdfium2.PdfDocument(self.data)
        self._drawn.init_forms()
        self.count = len(self._drawn)

    @cached_property
    def _objects(self) -> PdfReader:
        reader = PdfReader(BytesIO(self.data), strict=False)
        if reader.is_encrypted:
            reader.decrypt("")
        return reader

    def text(self, number: int) -> str:
        """Return the text of a page from 0 on, runs of spaces made one, invisible text included."""
        page = self._drawn[number]
        try:
            lines = page.get_textpage().get_text_range().splitlines()
        finally:
            page.close()
        shown = ("".join(sign if sign.isprintable() else " " for sign in line) for line in lines)
        return "\n".join(line for line in (" ".join(one.split()) for one in shown) if line)

    def lines(self, most_pages: int) -> frozenset[str]:
        """Return every line of text of the first pages, by which a document is known again."""
        pages = range(min(self.count, most_pages))
        return frozenset(line for number in pages for line in self.text(number).splitlines())

    def pages(self, most: int) -> list[Page]:
        """Return the first pages, at most so many."""
        objects = list(self._page_objects(most))
        return [
            self._page(number, objects[number] if number < len(objects) else None)
            for number in range(min(self.count, most))
        ]

    def _page_objects(self, most: int) -> Iterator[DictionaryObject]:
        for number in range(min(most, self.count_by_objects)):
            yield self._objects.pages[number]

    @cached_property
    def count_by_objects(self) -> int:
        """Return how many pages the other library finds."""
        return len(self._objects.pages)

    def _page(self, number: int, found: DictionaryObject | None) -> Page:
        page = self._drawn[number]
        try:
            size = page.get_size()
        finally:
            page.close()
        if found is None:
            return Page(self.text(number), size)
        links: list[str] = []
        notes: dict[str, str] = {}
        if "/AA" in found:
            notes[self.digest(found["/AA"])] = "an action when it is opened"
        for annotation in _dictionaries(found.get("/Annots")):
            kind = str(annotation.get("/Subtype", "?")).removeprefix("/")
            if kind == "Link":
                links.append(self._link(annotation))
            else:
                notes[self.digest(annotation)] = kind
        return Page(self.text(number), size, tuple(links), notes, self.digest(found))

    def scanned(self, number: int) -> bool:
        """Return whether a page is one picture and nothing drawn beside it, as a scanner makes it."""
        page = self._drawn[number]
        try:
            return _is_one_picture(page)
        finally:
            page.close()

    def _link(self, annotation: DictionaryObject) -> str:
        action = annotation.get("/A")
        action = action.get_object() if action is not None else None
        if isinstance(action, DictionaryObject) and action.get("/S") == "/URI":
            return str(action.get("/URI"))
        if action is None and "/Dest" in annotation:
            return "a place in it"
        kind = action.get("/S") if isinstance(action, DictionaryObject) else None
        return "a place in it" if kind == "/GoTo" else f"an action {kind}"

    def picture(self, number: int) -> Any:
        """Return a page drawn as an RGB picture of Pillow, with its annotations and form fields."""
        page = self._drawn[number]
        try:
            width, height = page.get_size()
            scale = min(PIXELS_PER_POINT, (_MOST_PIXELS / max(width * height, 1)) ** 0.5)
            return page.render(scale=scale, may_draw_forms=True).to_pil().convert("RGB")
        finally:
            page.close()

    @cached_property
    def contents(self) -> Mapping[str, bytes]:
        """Return what is attached, by name; of several under one name the first, as others read it too."""
        return {
            name: found[0] if found else b"" for name, found in self._objects.attachments.items()
        }

    @cached_property
    def attached(self) -> Mapping[str, tuple[str, ...]]:
        """Return the digests of what is attached, by name; several where a name is there more than once."""
        return {
            name: tuple(sha256(data).hexdigest() for data in contents)
            for name, contents in self._objects.attachments.items()
        }

    @cached_property
    def info(self) -> Mapping[str, str]:
        """Return the title, author and so on, but not who saved it when."""
        found: Mapping[str, Any] = self._objects.metadata or {}
        saved = ("/Producer", "/ModDate", "/CreationDate", "/Creator", "/Trapped")
        return {str(name): str(value) for name, value in found.items() if name not in saved}

    @cached_property
    def producer(self) -> str:
        """Return the program that saved it, as it says."""
        found: Mapping[str, Any] = self._objects.metadata or {}
        return str(found.get("/Producer", ""))

    @cached_property
    def carried(self) -> Mapping[str, str]:
        """Return a digest of whatever the document carries besides pages and attachments, by its PDF name."""
        root = self._objects.root_object
        found: dict[str, str] = {}
        for key, value in root.items():
            if key == "/Names":
                names = value.get_object()
                found |= {
                    f"/Names{part}": self.digest(tree)
                    for part, tree in names.items()
                    if part != "/EmbeddedFiles"
                }
            elif key not in _OF_THE_FILE | _OPENS_SO | {"/AF", "/Metadata", "/OutputIntents"}:
                found[key] = self.digest(value)
        return found

    # --- digests of objects -------------------------------------------------------------------------

    @cached_property
    def _page_numbers(self) -> Mapping[int, int]:
        numbers = {}
        for number in range(min(self.count_by_objects, self.count)):
            reference = self._objects.pages[number].indirect_reference
            if reference is not None:
                numbers[reference.idnum] = number
        return numbers

    @cached_property
    def _known(self) -> dict[int, bytes]:
        return {}

    def digest(self, value: Any) -> str:
        """Return a digest of an object and all below it, whichever way it is written down in the file.

        Links back to parents are left aside, and a page met on the way is its number.
        """
        return self._hash(value, frozenset()).hex()

    def _hash(self, value: Any, above: frozenset[int]) -> bytes:
        if isinstance(value, IndirectObject):
            number = value.idnum
            if number in self._page_numbers:
                return b"page %d" % self._page_numbers[number]
            if number in above:
                return b"above"
            if number not in self._known:
                inside = self._hash(value.get_object(), above | {number})
                self._known[number] = inside
            return self._known[number]
        made = sha256()
        if isinstance(value, DictionaryObject):
            left = _BACKWARD
            if isinstance(value, StreamObject):
                made.update(sha256(_decoded(value)).digest())
                left = left | _CODED
            for key in sorted(str(key) for key in value):
                if key not in left:
                    made.update(key.encode("utf-8", "replace") + b"\0")
                    made.update(self._hash(value.raw_get(key), above))
        elif isinstance(value, ArrayObject):
            made.update(b"[")
            for one in list.__iter__(value):
                made.update(self._hash(one, above))
        else:
            made.update(_plain(value))
        return made.digest()


def _plain(value: PdfObject) -> bytes:
    # A number is the same whether it is written 12, 12.0 or 12.000.
    if isinstance(value, bool):
        return b"yes" if value else b"no"
    try:
        return f"{float(value):.4f}".encode()  # type: ignore[arg-type]
    except (TypeError, ValueError):
        return repr(value).encode("utf-8", "replace")


def _decoded(stream: StreamObject) -> bytes:
    try:
        return stream.get_data()
    except NotImplementedError:
        return stream._data


def _dictionaries(value: Any) -> Iterator[DictionaryObject]:
    found = value.get_object() if value is not None else None
    for one in found if isinstance(found, ArrayObject) else ():
        inner = one.get_object()
        if isinstance(inner, DictionaryObject):
            yield inner


def _is_one_picture(page: pypdfium2.PdfPage) -> bool:
    width, height = page.get_size()
    kinds: Counter[int] = Counter()
    covered = 0.0
    for one in page.get_objects(max_depth=2):
        kinds[one.type] += 1
        if one.type == pypdfium2.raw.FPDF_PAGEOBJ_IMAGE:
            left, bottom, right, top = one.get_bounds()
            covered = max(covered, (right - left) * (top - bottom) / max(width * height, 1))
        if sum(kinds.values()) > 5_000:
            break
    drawn = kinds[pypdfium2.raw.FPDF_PAGEOBJ_PATH] + kinds[pypdfium2.raw.FPDF_PAGEOBJ_SHADING]
    return covered > 0.8 and drawn == 0
