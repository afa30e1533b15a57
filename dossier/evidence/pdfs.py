"""The bytes of a PDF into its page count, its encryption, and what it does beyond showing pages.

In: bytes that begin as a PDF. Out: `Pdf`. Must not know which file, or what the paper is meant to
prove. The reading library repairs much in silence, and a small file can ask for any amount of work;
so the file's end and its unpacked size are judged here first, and the reader works on a stream that
counts what it reads.
"""

import io
import logging
import re
import warnings
import zlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pypdf import PdfReader
    from pypdf.generic import DictionaryObject

UNPACKED_LIMIT_BYTES = 1_000_000_000
"""Most bytes all packed streams may unpack to: forty pages of lossless colour scans at 300 dpi."""

STRUCTURE_LIMIT_BYTES = 24_000_000
"""Most bytes the packed object lists alone may unpack to; parsing is far slower than unpacking."""

PAGE_LIMIT = 20_000
"""Most pages that are counted."""

OBJECT_LIMIT = 50_000
"""Most objects looked through for active content."""

READ_LIMIT = 5_000_000
"""Most reads that opening one file may take; an ordinary paper takes some thousands."""

COPY_LIMIT_BYTES = 2_000_000_000
"""Most bytes that searching the whole file for lost objects may go over."""

_AGAIN = "Ask whoever sent it to send it again."
_CUT_SHORT = f"is cut short: the PDF ends before its closing mark. {_AGAIN}"
_DAMAGED = f"is damaged: it begins as a PDF and its pages cannot be read. {_AGAIN}"
_NO_PAGES = f"has no pages. {_AGAIN}"
_LOCKED = "opens only with a password. Ask whoever sent it for a copy without one."
_CIPHER = "is encrypted in a way that cannot be opened here. Ask for a copy without a password."
_NO_MEMORY = (
    "needs more memory to open than this computer could give. Print it to a new, smaller PDF."
)
_TOO_MUCH = (
    "asks for far more work to open than an ordinary paper. Print it to a new PDF and list that."
)

# A hit costs a walk through the objects, which decides; so a chance hit inside a picture does no
# harm. Names may be written with #xx escapes (ISO 32000-1:2008, 7.3.5), and any such escape asks
# for the walk too.
_WORTH_A_WALK = re.compile(
    rb"/(?:JavaScript|JS|Launch|SubmitForm|ImportData|EF|EmbeddedFile|OpenAction|RichMedia|Screen|Movie"
    rb"|Sound|3D|GoToR|GoToE|Thread|Rendition|Hide|SetOCGState|XFA|URI)(?![A-Za-z0-9])|/[^\s/<>\[\]()%{}]{0,40}#[0-9A-Fa-f]{2}"
)
_STREAM = re.compile(rb"(?<!end)stream(?:\r\n|\n|\r)")
_OBJECT_LIST = re.compile(rb"/Type\s*/(?:ObjStm|XRef)(?![A-Za-z0-9])")
_ENCRYPT = re.compile(rb"/Encrypt(?![A-Za-z0-9])")
_ESCAPE = re.compile(rb"#([0-9A-Fa-f]{2})")
_START = re.compile(rb"startxref\s+(\d+)\s*$")
_OBJECT = re.compile(rb"\d\s+\d+\s+obj\b")

_PIECE_BYTES = 1 << 20
_SLICE_BYTES = 1 << 16

# Source of every action and annotation name: ISO 32000-1:2008, tables 169 and 198, and 7.11.4.
_ACTIONS = {
    "/JavaScript": "JavaScript",
    "/Launch": "launch action",
    "/SubmitForm": "form submission",
    "/ImportData": "form submission",
    "/GoToR": "link to another file",
    "/GoToE": "link to another file",
    "/Thread": "link to another file",
    "/Rendition": "rich media",
    "/Hide": "action that hides or shows parts",
    "/SetOCGState": "action that hides or shows parts",
}
_WEB_LINKS = "web links"
ENCRYPTION = "encryption"
"""Of a paper that opens without a password all the same: an archive cannot count on that (PDF/A forbids it)."""

_MEDIA = frozenset(("/RichMedia", "/Screen", "/Movie", "/Sound", "/3D"))


@dataclass(frozen=True)
class Pdf:
    """What a PDF says, and why it cannot be used (None when its pages can be read).

    page_count: None where they could not be counted. active_content: sorted words, as in
    `PaperFact`, which says what web_links is too. lasting: the same bytes will give the same answer another day.
    """

    fault: str | None
    page_count: int | None = None
    encrypted: bool = False
    active_content: tuple[str, ...] = ()
    lasting: bool = True
    web_links: bool = False


class _TooMuchWork(BaseException):
    """A limit was passed. Not an Exception, because the reader swallows those and tries again."""


class _Metered(io.BytesIO):
    """The file, counting reads and whole copies so that it cannot keep the reader busy for ever."""

    def __init__(self, data: bytes) -> None:
        super().__init__(data)
        self.size_bytes = len(data)
        self.reads_left = READ_LIMIT
        self.copies_left = max(1, COPY_LIMIT_BYTES // max(1, self.size_bytes))

    def read(self, size: int | None = -1, /) -> bytes:
        self.reads_left -= 1
        if self.reads_left < 0:
            raise _TooMuchWork
        if size is None or size < 0:
            self._count_copy()
        return super().read(size)

    def getbuffer(self) -> memoryview:
        self._count_copy()
        return super().getbuffer()

    def _count_copy(self) -> None:
        self.copies_left -= 1
        if self.copies_left < 0:
            raise _TooMuchWork


def look_at_pdf(data: bytes) -> Pdf:
    """Return page count, encryption, active content and fault; never raises for bad bytes."""
    encrypted = bool(_ENCRYPT.search(data))
    if _ends_early(data):
        return Pdf(_CUT_SHORT, encrypted=encrypted)
    try:
        worth_a_walk = _weigh(data)
        with _reader_settings():
            return _read(data, worth_a_walk, encrypted)
    except _TooMuchWork:
        return Pdf(_TOO_MUCH, encrypted=encrypted)
    except MemoryError:
        return Pdf(_NO_MEMORY, encrypted=encrypted, lasting=False)


@contextmanager
def _reader_settings() -> Iterator[None]:
    """Keep the reader's remarks off the screen, where a fault says it better, then restore them."""
    logger = logging.getLogger("pypdf")
    kept = logger.level
    logger.setLevel(logging.CRITICAL + 1)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    finally:
        logger.setLevel(kept)


def _read(data: bytes, worth_a_walk: bool, encrypted: bool) -> Pdf:
    # The import costs a tenth of a second, which a job without PDFs need not pay.
    from pypdf import PdfReader
    from pypdf.errors import DependencyError

    # What the reader raises on broken files is no closed list (PdfReadError, ValueError, KeyError,
    # AssertionError, UnicodeDecodeError, RecursionError and more), so every exception is the
    # file's.
    try:
        reader = PdfReader(_Metered(data), strict=False)
        encrypted = reader.is_encrypted
        if encrypted and not reader.decrypt(""):
            return Pdf(_LOCKED, encrypted=True)
        page_count = _count_pages(reader)
        found: set[str] = set()
        if encrypted or worth_a_walk:
            found = _active_content(reader, weigh_streams=encrypted)
        web_links = _WEB_LINKS in found
        found.discard(_WEB_LINKS)
        if encrypted:
            found.add(ENCRYPTION)
    except MemoryError:
        raise
    except (DependencyError, NotImplementedError):
        return Pdf(_CIPHER if encrypted else _DAMAGED, encrypted=encrypted, lasting=False)
    except Exception:
        return Pdf(_DAMAGED, encrypted=encrypted)
    fault = None if page_count else _NO_PAGES
    return Pdf(fault, page_count, encrypted, tuple(sorted(found)), web_links=web_links)


def _ends_early(data: bytes) -> bool:
    """Return whether the mark that closes a PDF is missing, or more objects begin behind it.

    A file made for the web carries such a mark near its head too, pointing at 0: alone it closes
    nothing. Source: ISO 32000-1:2008, 7.5.5 and annex F.3.
    """
    mark_at = data.rfind(b"%%EOF")
    if mark_at < 0 or _OBJECT.search(data, mark_at):
        return True
    start = _START.search(data[max(0, mark_at - 64) : mark_at])
    return start is not None and int(start[1]) == 0


def _weigh(data: bytes) -> bool:
    """Return whether to walk the objects for active content, having weighed all packed streams.

    Raises `_TooMuchWork` where they unpack beyond the limits. Only Flate is weighed, the one filter
    that packs a thousandfold in common use; the reader bounds the others.
    """
    worth_a_walk = bool(_WORTH_A_WALK.search(data))
    left, structure_left = UNPACKED_LIMIT_BYTES, STRUCTURE_LIMIT_BYTES
    at = 0
    while match := _STREAM.search(data, at):
        end = data.find(b"endstream", match.end())
        end = len(data) if end < 0 else end
        before = data[max(at, match.start() - 2000) : match.start()]
        before = _ESCAPE.sub(lambda found: bytes((int(found[1], 16),)), before)
        at = end
        if not _is_packed(data[match.end() : match.end() + 2]):
            continue
        stream = data[match.end() : end]
        if _OBJECT_LIST.search(before):
            unpacked = b"".join(_unpacked(stream, min(left, structure_left)))
            structure_left -= len(unpacked)
            left -= len(unpacked)
            worth_a_walk = worth_a_walk or bool(_WORTH_A_WALK.search(unpacked))
        else:
            left -= _unpacked_bytes(stream, left)
    return worth_a_walk


def _is_packed(head: bytes) -> bool:
    """Return whether these two bytes can begin a Flate stream. Source: RFC 1950, section 2.2."""
    return len(head) >= 2 and head[0] & 15 == 8 and int.from_bytes(head[:2], "big") % 31 == 0


def _unpacked_bytes(stream: bytes, most_bytes: int) -> int:
    """Return to how many bytes this stream unpacks, with what is packed inside it in turn."""
    return sum(len(piece) for piece in _unpacked(stream, most_bytes))


def _unpacked(stream: bytes, most_bytes: int) -> Iterator[bytes]:
    """Yield every unpacked piece of every layer; raises `_TooMuchWork` beyond the limit.

    The layers run one inside the other, piece by piece, so that no more than a few pieces are in
    memory.
    """
    left = most_bytes

    def counted(pieces: Iterable[bytes]) -> Iterator[bytes]:
        nonlocal left
        for piece in pieces:
            left -= len(piece)
            if left < 0:
                raise _TooMuchWork
            yield piece

    slices = (stream[at : at + _SLICE_BYTES] for at in range(0, len(stream), _SLICE_BYTES))
    pieces = counted(_inflate(slices))
    for _ in range(4):
        first = next(pieces, b"")
        pieces = chain((first,), pieces)
        if not _is_packed(first):
            break
        pieces = counted(_inflate(pieces))
    yield from pieces


def _inflate(packed: Iterable[bytes]) -> Iterator[bytes]:
    """Yield what these slices inflate to, in bounded pieces, up to the first error or the end."""
    unpacker = zlib.decompressobj()
    try:
        for piece in packed:
            waiting = piece
            while waiting and not unpacker.eof:
                if unpacked := unpacker.decompress(waiting, _PIECE_BYTES):
                    yield unpacked
                waiting = unpacker.unconsumed_tail
    except zlib.error:
        return


def _resolved(value: Any) -> Any:
    """Return the object itself where a value is a reference to one."""
    get_object = getattr(value, "get_object", None)
    return value if get_object is None else get_object()


def _key_of(value: Any) -> tuple[int, int] | None:
    """Return number and generation of a reference, None of anything else."""
    number, generation = getattr(value, "idnum", None), getattr(value, "generation", None)
    return (number, generation) if isinstance(number, int) and isinstance(generation, int) else None


def _count_pages(reader: "PdfReader") -> int:
    """Return how many leaves the page tree has. The count written in the file is not believed.

    Raises ValueError for a tree that turns back on itself or names a page that is not there.
    """
    page_count = 0
    seen: set[tuple[int, int]] = set()
    waiting: list[Any] = [reader.root_object.get("/Pages")]
    while waiting:
        value = waiting.pop()
        node = _resolved(value)
        if not isinstance(node, dict):
            raise ValueError("a page that is not there")
        kids = _resolved(node.get("/Kids"))
        if not isinstance(kids, list):
            page_count += 1
        else:
            key = _key_of(value)
            if key in seen:
                raise ValueError("a page tree that turns back on itself")
            if key is not None:
                seen.add(key)
            waiting.extend(kids)
        if page_count > PAGE_LIMIT or len(waiting) > PAGE_LIMIT:
            raise _TooMuchWork
    return page_count


def _active_content(reader: "PdfReader", weigh_streams: bool) -> set[str]:
    """Return what can be reached from the catalogue that does more than show a page, web links included.

    weigh_streams: the streams could not be weighed before they were decrypted, so that it is done
    here.
    """
    from pypdf.generic import StreamObject

    root = reader.root_object
    found = _open_action(root)
    left = UNPACKED_LIMIT_BYTES
    seen: set[tuple[int, int]] = set()
    waiting: list[Any] = [root]
    looked_at = 0
    while waiting:
        value = waiting.pop()
        key = _key_of(value)
        if key is not None:
            if key in seen:
                continue
            seen.add(key)
        try:
            value = _resolved(value)
            found |= _does(value) if isinstance(value, dict) else set()
        except MemoryError:
            raise
        except Exception:
            # The pages have been counted already; an object that is lost elsewhere cannot act.
            continue
        if isinstance(value, dict):
            inner: Iterable[Any] = value.values()
            if weigh_streams and isinstance(value, StreamObject):
                packed = value._data
                if _is_packed(packed[:2]):
                    left -= _unpacked_bytes(packed, left)
        elif isinstance(value, list):
            inner = value
        else:
            continue
        looked_at += 1
        if looked_at > OBJECT_LIMIT:
            raise _TooMuchWork
        waiting.extend(v for v in inner if isinstance(v, (dict, list)) or _key_of(v) is not None)
    return found


def _open_action(root: "DictionaryObject") -> set[str]:
    """Return what happens on opening, other than turning to a page or what `_does` names anyway."""
    action = _resolved(root.get("/OpenAction"))
    if not isinstance(action, dict):
        return set()
    kind = _resolved(action.get("/S"))
    return set() if kind == "/GoTo" or kind in _ACTIONS else {"open action"}


def _does(node: dict[Any, Any]) -> set[str]:
    found: set[str] = set()
    action = _resolved(node.get("/S"))
    if isinstance(action, str) and action in _ACTIONS:
        found.add(_ACTIONS[action])
    if "/JS" in node:
        found.add("JavaScript")
    if action == "/URI":
        found.add(_WEB_LINKS)
    if "/XFA" in node:
        found.add("XFA form")
    if "/EF" in node or _resolved(node.get("/Type")) == "/EmbeddedFile":
        found.add("embedded files")
    if _resolved(node.get("/Subtype")) in _MEDIA:
        found.add("rich media")
    return found
