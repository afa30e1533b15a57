"""Layout: nothing from outside, no complaint passed over, bundled fonts only, the same bytes."""

import hashlib
import io
import logging
import os
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image, ImageFile
from pypdf import PdfReader

from dossier.errors import DossierError, MissingLibraries
from dossier.render import engine
from dossier.render.engine import Asset, Attached, Rendered, RenderFault, render
from tests.conftest import judged

MADE_AT = datetime(2026, 9, 21, 20, 30, tzinfo=UTC)
LAID_OUT = Callable[..., Rendered]

# The smallest picture there is to give out, as a drawing, so that no decoder has a part in it.
DOT = Asset(
    b'<svg xmlns="http://www.w3.org/2000/svg" width="1" height="1"><path d="M0 0h1"/></svg>',
    "image/svg+xml",
)


def text_of(data: bytes, page: int = 0) -> str:
    return str(pypdfium2.PdfDocument(data)[page].get_textpage().get_text_range())


def test_pages_and_the_anchors_on_them(laid_out: LAID_OUT) -> None:
    made = laid_out(
        '<h1 id="one">One</h1><h2 id="two" style="break-before: page">Two</h2>'
        '<div id="both"><p>a</p><p style="break-before: page">b</p></div>'
    )
    assert made.page_count == len(pypdfium2.PdfDocument(made.data)) == 3
    assert made.anchors == {"one": 1, "two": 2, "both": 2}


def test_letters_of_every_bundled_script_print(laid_out: LAID_OUT) -> None:
    text = text_of(laid_out("<p>Привет Ελλάδα</p><p>שלום</p><p>سلام</p><p>½ 47.70°</p>").data)
    for word in ("Привет", "Ελλάδα", "שלום", "47.70°"):
        assert word in text
    # Arabic may be read back in its joined forms or in its plain letters; the letters are the same.
    assert set("سلم") <= set(text)


def test_only_bundled_fonts_even_where_the_page_asks_for_others(
    laid_out: LAID_OUT, tmp_path: Path
) -> None:
    made = laid_out(
        '<p style="font-family: DejaVu Sans, Liberation Sans, monospace">plain</p>'
        '<p style="font-family: cursive"><b>bold</b> <i>slanted</i></p><pre>fixed</pre>'
    )
    path = tmp_path / "fonts.pdf"
    path.write_bytes(made.data)
    rows = judged("pdffonts", path).splitlines()[2:]
    names = {row.split()[0].partition("+")[2] for row in rows}
    assert names
    assert all(name.startswith(("Dossier-", "Noto-S")) for name in names), names


@pytest.mark.parametrize(
    "url",
    [
        "http://192.0.2.1/x.png",
        "https://example.com/x.png",
        "ftp://example.com/x.png",
        "file:///etc/passwd",
        "file:/etc/passwd",
        "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg'/%3E",
        "asset:missing",
        "ASSET:dot",
        "font:../fonts.css",
        "font:..%2Ffonts.css",
        "x.png",
        "/etc/passwd",
        "//example.com/x.png",
    ],
)
@pytest.mark.parametrize(
    "body",
    [
        '<img alt="x" src="{}">',
        '<div style="background: url({!r})">x</div>',
        '<link rel="stylesheet" href="{}">x',
        '<link rel="attachment" href="{}">x',
        '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><title>x</title>'
        '<image href="{}" width="9" height="9"/></svg>',
    ],
    ids=["img", "background", "stylesheet", "attachment", "svg image"],
)
def test_nothing_is_fetched_from_outside(laid_out: LAID_OUT, body: str, url: str) -> None:
    page = body.format(url)
    with pytest.raises(RenderFault):
        laid_out(page, assets={"dot": DOT})


def test_a_refusal_that_the_layout_program_swallows_is_a_fault_too(laid_out: LAID_OUT) -> None:
    sources = 'url("http://192.0.2.1/x.ttf"), url("font:NotoSans-Regular.ttf")'
    with pytest.raises(RenderFault, match="refused"):
        laid_out("<p>x", head=f"<style>@font-face {{ font-family: X; src: {sources} }}</style>")


def test_a_picture_that_is_given_is_used(laid_out: LAID_OUT) -> None:
    laid_out('<img alt="x" src="asset:dot"><div style="background: url(asset:dot)">x</div>',
             assets={"dot": DOT})  # fmt: skip


def test_names_with_spaces_and_letters_are_found(laid_out: LAID_OUT) -> None:
    laid_out('<img alt="x" src="asset:deck repair/süd 1.svg">',
             assets={"deck repair/süd 1.svg": DOT})  # fmt: skip


@pytest.mark.parametrize(
    ("body", "complaint"),
    [
        ('<img alt="x" src="asset:gone">', "asset:gone"),
        ('<img src="asset:dot">', "alt"),
        ('<p style="colour: red">x</p>', "colour"),
        ('<p><a href="#nowhere">x</a></p>', "nowhere"),
        ("<p>☃ 24</p>", "2603"),
        ('<img alt="x" src="asset:broken">', "broken"),
    ],
)
def test_every_complaint_is_a_fault(laid_out: LAID_OUT, body: str, complaint: str) -> None:
    assets = {"dot": DOT, "broken": Asset(b"no picture", "image/png")}
    with pytest.raises(RenderFault, match=complaint):
        laid_out(body, assets=assets)


def test_complaints_are_heard_where_logging_is_turned_down(laid_out: LAID_OUT) -> None:
    logger = logging.getLogger("weasyprint")
    before = logger.level
    logger.setLevel(logging.CRITICAL)
    try:
        with pytest.raises(RenderFault, match="colour"):
            laid_out('<p style="colour: red">x</p>')
        assert logger.level == logging.CRITICAL, "the caller's level is put back"
    finally:
        logger.setLevel(before)


def test_a_fault_does_not_stay_for_the_next_document(laid_out: LAID_OUT) -> None:
    with pytest.raises(RenderFault):
        laid_out('<img alt="x" src="asset:gone">')
    assert laid_out("<p>fine</p>").page_count == 1


def test_a_page_without_a_language_is_a_fault() -> None:
    with pytest.raises(RenderFault, match="lang"):
        render("<title>x</title><p>x</p>", assets={}, made_at=MADE_AT)


def test_camera_data_never_reaches_a_document() -> None:
    exif = Image.Exif()
    exif[0x010F] = "Drawn"
    photo = _jpeg(exif=exif)
    with pytest.raises(ValueError, match="camera data"):
        render("<p>x", assets={"p": Asset(photo, "image/jpeg")}, made_at=MADE_AT)


def _jpeg(**options: object) -> bytes:
    target = io.BytesIO()
    Image.new("RGB", (16, 12), "teal").save(target, "JPEG", **options)  # type: ignore[arg-type]
    return target.getvalue()


def test_a_plain_jpeg_is_embedded_untouched(laid_out: LAID_OUT) -> None:
    photo = _jpeg()
    made = laid_out('<img alt="x" src="asset:p">', assets={"p": Asset(photo, "image/jpeg")})
    assert photo in made.data


def test_a_broken_photo_is_still_broken_after_the_layout_program_was_loaded(
    laid_out: LAID_OUT,
) -> None:
    laid_out("<p>x</p>")
    assert "weasyprint" in sys.modules
    assert ImageFile.LOAD_TRUNCATED_IMAGES is False


def test_the_dates_are_the_given_moment(laid_out: LAID_OUT) -> None:
    known = PdfReader(io.BytesIO(laid_out("<p>x").data)).metadata
    assert known is not None
    # The moment is 16:30 four hours west of Greenwich.
    assert known["/CreationDate"] == known["/ModDate"] == "D:20260921203000Z"


def test_a_time_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        render("<p>x", assets={}, made_at=datetime(2026, 9, 21))


def attached(name: str, relationship: str = "Data") -> Attached:
    return Attached(name, b"same", "text/plain", relationship, "A file")


def test_two_attachments_never_share_a_name() -> None:
    with pytest.raises(ValueError, match="share a name"):
        render("<p>x", assets={}, attachments=[attached("a"), attached("a")], made_at=MADE_AT)


def test_an_unknown_relationship_is_refused() -> None:
    with pytest.raises(ValueError, match="Unspecified"):
        render("<p>x", assets={}, attachments=[attached("a", "Unspecified")], made_at=MADE_AT)


def test_equal_files_keep_their_own_relationships() -> None:
    made = render(
        '<html lang="en"><title>x</title><p>x',
        assets={},
        attachments=[attached("b", "Source"), attached("a", "Supplement")],
        made_at=MADE_AT,
    )
    names = PdfReader(io.BytesIO(made.data)).root_object["/Names"]["/EmbeddedFiles"]["/Names"]
    told = {str(names[n]): names[n + 1]["/AFRelationship"] for n in range(0, len(names), 2)}
    assert list(told.items()) == [("a", "/Supplement"), ("b", "/Source")]
    dates = {names[n + 1]["/EF"]["/F"]["/Params"]["/ModDate"] for n in (0, 2)}
    assert dates == {"D:20260921203000Z"}


def test_a_missing_font_library_is_a_sentence_and_no_fault_of_ours() -> None:
    logged = "Using fontTools instead of HarfBuzz-Subset for font X. Please install HarfBuzz-Subset >= 4.1.0"

    def finisher(_document: object, _pdf: object) -> None:
        logging.getLogger("weasyprint").warning(logged)

    with pytest.raises(MissingLibraries, match="HarfBuzz-Subset") as caught:
        render("<p>x", assets={}, made_at=MADE_AT, finisher=finisher)
    assert "libharfbuzz-subset0" in caught.value.remedy


def test_missing_libraries_say_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    class NoPango:
        def find_spec(self, name: str, *_: object) -> None:
            if name == "weasyprint":
                raise OSError("cannot load library 'libpango-1.0-0'")

    for name in [name for name in sys.modules if name.partition(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [NoPango(), *sys.meta_path])
    monkeypatch.setattr(engine, "_weasyprint", engine._weasyprint.__wrapped__)
    with pytest.raises(MissingLibraries, match=r"libpango-1\.0-0") as caught:
        render("<p>x", assets={}, made_at=MADE_AT)
    assert isinstance(caught.value, DossierError)
    assert "libharfbuzz-subset0" in caught.value.remedy


PROGRAM = """
import datetime, hashlib, io, sys
from PIL import Image
from dossier.render.engine import Asset, Attached, render

from tests.conftest import judged
target = io.BytesIO()
Image.new("RGBA", (40, 30), (10, 90, 90, 120)).save(target, "PNG")
made = render(
    '<html lang="en"><title>x</title><style>@page { @top-left { content: counter(page) } }</style>'
    '<h1 id="a">One</h1><p><a href="#a">x</a> <b>b</b> <i>i</i> Привет שָׁלוֹם سلام</p>'
    '<table><tr><th>a</th><th>b</th></tr><tr><td>1</td><td>2</td></tr></table>'
    '<img alt="x" src="asset:p">',
    assets={"p": Asset(target.getvalue(), "image/png")},
    attachments=[Attached(n, n.encode(), "text/plain", "Data", n) for n in ("b", "a")],
    made_at=datetime.datetime.fromisoformat("2026-09-21T16:30:00.123-04:00"),
)
print(hashlib.sha256(made.data).hexdigest())
"""


def test_same_input_same_bytes_in_another_process_zone_and_order() -> None:
    def made(seed: str, zone: str, locale: str) -> str:
        surroundings = {"PYTHONHASHSEED": seed, "TZ": zone, "LC_ALL": locale}
        path = {"PYTHONPATH": os.pathsep.join(sys.path)}
        done = subprocess.run(
            [sys.executable, "-c", PROGRAM],
            env={**os.environ, **surroundings, **path},
            capture_output=True,
            text=True,
            check=True,
        )
        return done.stdout

    one = made("1", "UTC", "C.UTF-8")
    assert len(one.strip()) == len(hashlib.sha256().hexdigest())
    assert one == made("2", "Pacific/Kiritimati", "C")
