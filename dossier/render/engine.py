"""HTML into a PDF, by the one layout program that is used, with nothing from outside.

In: HTML, the pictures it names, the files to attach, and the moment it is made at. Out: the PDF's
bytes, its page count, and the page each anchor fell on. Must not know what the document says. The
only module that imports WeasyPrint, and the only one that sets an environment variable: the font
configuration has to stand before the library loads, so that no font of the machine can ever be
picked.

The same input gives the same bytes: static bundled fonts, dates from `made_at`, and a file
identifier that is a digest of the content.
"""

import atexit
import io
import logging
import os
import re
import shutil
import tempfile
import warnings
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any
from urllib.parse import unquote
from xml.sax.saxutils import escape

from dossier.errors import CannotWrite, MissingLibraries, PageFault
from dossier.render.spoken import name_links, space_line_ends
from dossier.resources import resource

RELATIONSHIPS = frozenset({"Source", "Data", "Alternative", "Supplement"})
"""How an attachment relates to the document. Source, from memory: ISO 19005-3:2012, annex E."""

_INSTALL = (
    "Install Pango and HarfBuzz, on Debian and Ubuntu: "
    "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0."
)
_KEPT_LINK = re.compile(r"(?:https?://|mailto:|tel:)", re.IGNORECASE)
"""A script, a file of this machine and a path in nowhere are no links that a reader could follow."""

_NO_SUBSETTER = "instead of HarfBuzz-Subset"
"""What the layout program logs where that library is missing: it goes on with a slower way to other bytes."""

Finisher = Callable[[Any, Any], None]
"""Called with WeasyPrint's document and its unwritten PDF, to change the PDF in place."""


@dataclass(frozen=True)
class Asset:
    """One picture a page may name as `asset:NAME`. mime: image/jpeg, image/png, image/svg+xml.

    Raises `ValueError` for a JPEG that carries camera data: it would be decoded and saved again at
    quality 75, and may tell where and when somebody stood.
    """

    data: bytes
    mime: str

    def __post_init__(self) -> None:
        """Refuse camera data."""
        if self.mime == "image/jpeg" and b"Exif\x00\x00" in self.data[:65536]:
            raise ValueError("the picture carries camera data; reduce it first")


@dataclass(frozen=True)
class Attached:
    """One file carried inside the PDF; relationship: of `RELATIONSHIPS`; name: unique there."""

    name: str
    data: bytes
    mime: str
    relationship: str
    description: str


@dataclass(frozen=True)
class Rendered:
    """One laid-out PDF. anchors: each `id` of the HTML that fell on a page, and which, from 1."""

    data: bytes
    page_count: int
    anchors: Mapping[str, int]


class RenderFault(PageFault):
    """The layout program complained, or was asked for what it may not have: a fault of ours.

    messages: every complaint of the run, in order.
    """

    def __init__(self, messages: Sequence[str]) -> None:
        super().__init__("; ".join(messages))
        self.messages = tuple(messages)


def render(
    html: str,
    *,
    assets: Mapping[str, Asset],
    attachments: Sequence[Attached] = (),
    made_at: datetime,
    finisher: Finisher | None = None,
) -> Rendered:
    """Return the PDF of one HTML document, tagged, as PDF/A-3a.

    assets: what `asset:NAME` stands for; a name the HTML uses and this lacks is a fault. made_at:
    with a time zone, written as the creation date. finisher: changes the PDF before it is written;
    without one the file only claims PDF/A-3a. Raises `MissingLibraries` when the system libraries
    are not there, `RenderFault` for any warning, any refused address and any character without a
    glyph, and `ValueError` for arguments that cannot be carried out.
    """
    if made_at.tzinfo is None:
        raise ValueError("made_at needs a time zone")
    attached = _in_name_order(attachments)
    weasyprint = _weasyprint()
    fetcher = _fetcher(assets)
    moment = made_at.astimezone(UTC).replace(microsecond=0)
    with _complaints() as complaints, _temporary_files():
        fonts = weasyprint.text.fonts.FontConfiguration()
        base = weasyprint.CSS(
            string=resource("fonts.css").read_text("utf-8"),
            font_config=fonts,
            url_fetcher=fetcher,
        )
        document = weasyprint.HTML(string=html, url_fetcher=fetcher).render(
            font_config=fonts, stylesheets=[base], pdf_variant="pdf/a-3a", pdf_tags=True
        )
        stamp = moment.strftime("%Y-%m-%dT%H:%M:%SZ")
        document.metadata.created = document.metadata.modified = stamp
        space_line_ends(document.pages)

        def finish(made: Any, pdf: Any) -> None:
            _describe(pdf, attached)
            name_links(made.pages)
            if finisher is not None:
                finisher(made, pdf)

        target = io.BytesIO()
        _write_quietly(
            document,
            target,
            finisher=finish,
            pdf_variant="pdf/a-3a",
            pdf_tags=True,
            attachments=[
                weasyprint.Attachment(
                    file_obj=io.BytesIO(file.data),
                    name=file.name,
                    description=file.description,
                    relationship=file.relationship,
                    created=moment,
                    modified=moment,
                )
                for file in attached
            ],
        )
        # The layout program swallows some refusals at debug level, so they are counted where they
        # happen.
        complaints += [f"refused: {url}" for url in fetcher.refused]
        complaints += [
            f"a link that is not kept: {link[:200]}" for link in _strange_links(document)
        ]
    if any(_NO_SUBSETTER in complaint for complaint in complaints):
        raise MissingLibraries(
            "The system library that cuts fonts to what a document uses, HarfBuzz-Subset 4.1 or newer, is not "
            "installed.",
            _INSTALL,
        )
    if complaints:
        raise RenderFault(complaints)
    return Rendered(target.getvalue(), len(document.pages), _anchor_pages(document))


def _write_quietly(document: Any, target: io.BytesIO, **options: Any) -> None:
    """Write the PDF, passing over the one file the layout program opens and never closes."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", r"unclosed file .*\.icc", ResourceWarning)
        document.write_pdf(target, **options)


def _in_name_order(attachments: Sequence[Attached]) -> list[Attached]:
    """Return the attachments as a PDF name tree wants them: by name, each name once."""
    names = [file.name for file in attachments]
    if len(set(names)) != len(names):
        raise ValueError(f"two attachments share a name: {sorted(names)}")
    for file in attachments:
        if file.relationship not in RELATIONSHIPS:
            raise ValueError(f"“{file.relationship}” is not one of {sorted(RELATIONSHIPS)}")
    return sorted(attachments, key=lambda file: file.name.encode())


def _describe(pdf: Any, attached: Sequence[Attached]) -> None:
    """Write each attachment's own type and relationship into the PDF.

    WeasyPrint guesses the type from the file's name and looks the relationship up by the content's
    checksum, so two files of equal content would both get the relationship of the last.
    """
    filespecs = [
        thing
        for thing in pdf.objects
        if isinstance(thing, dict) and thing.get("Type") == "/Filespec"
    ]
    for filespec, file in zip(filespecs, attached, strict=True):
        filespec["AFRelationship"] = f"/{file.relationship}"
        stream = pdf.objects[int(filespec["EF"]["F"].split()[0])]
        stream.extra["Subtype"] = "/" + file.mime.replace("/", "#2f")


def _strange_links(document: Any) -> Iterator[str]:
    """Yield every link out of the document but those to the web, to a mailbox and to a telephone."""
    for page in document.pages:
        for kind, target, *_ in page.links:
            if kind == "external" and not _KEPT_LINK.match(target):
                yield target


def _anchor_pages(document: Any) -> dict[str, int]:
    pages: dict[str, int] = {}
    for number, page in enumerate(document.pages, start=1):
        for name in page.anchors:
            # An element cut by a page break repeats its anchor; links lead to the first.
            pages.setdefault(name, number)
    return pages


@contextmanager
def _complaints() -> Iterator[list[str]]:
    """Collect every warning and error the layout program logs while the block runs."""
    found: list[str] = []

    class Collector(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            found.append(record.getMessage())

    logger = logging.getLogger("weasyprint")
    collector = Collector(logging.WARNING)
    level = logger.level
    # A program around ours may have silenced logging at the root; complaints must be heard all the
    # same.
    logger.setLevel(logging.WARNING)
    logger.addHandler(collector)
    try:
        yield found
    finally:
        logger.removeHandler(collector)
        logger.setLevel(level)


def _fetcher(assets: Mapping[str, Asset]) -> Any:
    """Return the one address book of a run: its assets, the bundled fonts, and nothing else."""
    urls = _weasyprint().urls

    class OnlyOurs(urls.URLFetcher):  # type: ignore[name-defined, misc]
        def __init__(self) -> None:
            super().__init__(allowed_protocols=())
            self.refused: list[str] = []

        def fetch(self, url: str, headers: object = None) -> Any:  # noqa: ARG002
            scheme, _, name = unquote(url).partition(":")
            if scheme == "asset" and name in assets:
                asset = assets[name]
                return urls.URLFetcherResponse(url, asset.data, {"Content-Type": asset.mime})
            if scheme == "font" and name in _font_names():
                data = resource("fonts", name).read_bytes()
                return urls.URLFetcherResponse(url, data, {"Content-Type": "font/ttf"})
            self.refused.append(url if len(url) <= 200 else f"{url[:200]}…")
            raise ValueError("documents take nothing but their own assets and the bundled fonts")

    return OnlyOurs()


@cache
def _font_names() -> frozenset[str]:
    return frozenset(path.name for path in resource("fonts").glob("*.ttf"))


@cache
def _weasyprint() -> ModuleType:
    """Return WeasyPrint, loaded once, seeing the bundled fonts only."""
    from PIL import ImageFile

    os.environ["FONTCONFIG_FILE"] = str(_font_configuration())
    tolerant = ImageFile.LOAD_TRUNCATED_IMAGES
    try:
        import weasyprint
        import weasyprint.text.fonts
        import weasyprint.urls
    except OSError as error:
        raise MissingLibraries(
            f"The system libraries that lay out documents could not be loaded: {error}.".replace(
                "\n", " "
            ),
            _INSTALL,
        ) from error
    finally:
        # The import tells Pillow, for the whole process, to take half a photo for a whole one.
        ImageFile.LOAD_TRUNCATED_IMAGES = tolerant
    return weasyprint


def _font_configuration() -> Path:
    """Return a new fontconfig file naming the bundled fonts' folder and no other.

    The file and its cache live in a private folder that goes when the process ends; fontconfig
    reads it again for every document.
    """
    with _temporary_files():
        home = Path(tempfile.mkdtemp(prefix="dossier-fonts-"))
        atexit.register(shutil.rmtree, home, ignore_errors=True)
        path = home / "fonts.conf"
        path.write_text(_fontconfig(home), "utf-8")
    return path


@contextmanager
def _temporary_files() -> Iterator[None]:
    """Turn a refusal by the disk into a sentence: the layout program keeps its fonts in temporary files."""
    try:
        yield
    except OSError as problem:
        raise CannotWrite(
            f"The computer's folder for temporary files could not be written: {problem.strerror}.",
            "Free some space on its disk, or name another folder in the environment variable TMPDIR.",
        ) from problem


def _fontconfig(home: Path) -> str:
    return (
        '<?xml version="1.0"?>\n'
        '<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">\n'
        "<fontconfig>\n"
        f"  <dir>{escape(str(resource('fonts')))}</dir>\n"
        f"  <cachedir>{escape(str(home / 'cache'))}</cachedir>\n"
        "</fontconfig>\n"
    )
