"""Awkward files for the tests of `dossier.evidence`, and the outside tools that judge its facts."""

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.conftest import judged


@pytest.fixture
def run_tool() -> Callable[..., str]:
    """Return a function that runs an outside tool and gives back what it printed; see `judged`."""
    # qpdf ends with 3 where it worked and had a warning to give (qpdf manual, exit status).
    return lambda name, *words: judged(name, *words, good=(0, 3) if name == "qpdf" else (0,))


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return a job folder with empty photos/ and papers/."""
    folder = tmp_path / "job"
    (folder / "photos").mkdir(parents=True)
    (folder / "papers").mkdir()
    return folder


@pytest.fixture(scope="session")
def picture() -> Image.Image:
    """Return a picture of 96 x 64 pixels with enough in it that every format has data to lose."""
    return Image.effect_noise((96, 64), 60).convert("RGB")


@pytest.fixture(scope="session")
def encoded(picture: Image.Image) -> Callable[..., bytes]:
    """Return a function that gives the picture's bytes in a format, with Pillow's save options."""

    def encode(kind: str = "JPEG", mode: str = "RGB", **options: Any) -> bytes:
        target = io.BytesIO()
        if kind == "TIFF" and "exif" in options:
            # Pillow cannot write the inner directories into a TIFF; the first one alone it can.
            outer = Image.Exif()
            for tag in (0x010F, 0x0110, 0x0112, 0x0131):
                outer[tag] = options["exif"][tag]
            options["exif"] = outer
        picture.convert(mode).save(target, kind, **options)
        return target.getvalue()

    return encode


@pytest.fixture(scope="session")
def pdf_of() -> Callable[..., bytes]:
    """Return a function that joins PDF objects, the first the catalogue, into a file by hand.

    Source of the form: ISO 32000-1:2008, annex H.2 (minimal PDF file).
    """

    def join(*objects: bytes, head: bytes = b"%PDF-1.7\n") -> bytes:
        whole, starts = bytearray(head), []
        for number, content in enumerate(objects, start=1):
            starts.append(len(whole))
            whole += b"%d 0 obj\n%s\nendobj\n" % (number, content)
        table_at = len(whole)
        whole += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
        whole += b"".join(b"%010d 00000 n \n" % start for start in starts)
        whole += b"trailer\n<</Size %d/Root 1 0 R>>\n" % (len(objects) + 1)
        whole += b"startxref\n%d\n%%%%EOF\n" % table_at
        return bytes(whole)

    return join


@pytest.fixture(scope="session")
def one_page(pdf_of: Callable[..., bytes]) -> Callable[..., bytes]:
    """Return a function that gives a PDF of one page, with more in its catalogue and more objects.

    The first added object has the number 4.
    """

    def make(*objects: bytes, catalogue: bytes = b"", page: bytes = b"") -> bytes:
        return pdf_of(
            b"<</Type/Catalog/Pages 2 0 R%s>>" % catalogue,
            b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
            b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 200]%s>>" % page,
            *objects,
        )

    return make
