"""What a program that reads aloud hears at the end of a line and at a link, read back by pypdf and pypdfium2."""

from datetime import UTC, datetime

import pytest

from dossier.bind.conformance import conform
from dossier.render.engine import render
from tests.aloud import Element, read_aloud

MADE_AT = datetime(2026, 10, 20, 12, tzinfo=UTC)


def page(body: str, style: str = "") -> Element:
    html = (
        f'<html lang="en"><head><title>Test</title><style>p, table {{ width: 30mm; font: 10pt "Dossier Sans"; '
        f"overflow-wrap: anywhere }} {style}</style></head><body>{body}</body></html>"
    )
    return read_aloud(render(html, assets={}, made_at=MADE_AT, finisher=conform).data)


@pytest.mark.parametrize(
    ("body", "heard"),
    [
        pytest.param("<p>the roof is laid and the deck below it is new</p>", None, id="spaces"),
        pytest.param("<p>PO Box 311<br>Kestrel Ford</p>", "PO Box 311 Kestrel Ford", id="forced"),
        pytest.param(f"<p>{'0123456789abcdef' * 4}</p>", "0123456789abcdef" * 4, id="number"),
        pytest.param("<p>photos of the drip-edge/front-eave.jpg</p>", None, id="path"),
        pytest.param("<p>a <b>deck below all of</b> the slopes</p>", None, id="in bold"),
    ],
)
def test_lines_end_with_the_space_their_text_has(body: str, heard: str | None) -> None:
    """The text is broken into several lines; heard, it is what was written."""
    root = page(body)
    assert len({round(piece.bottom) for piece in root.pieces()}) > 1
    plain = body.replace("<p>", "").replace("</p>", "").replace("<b>", "").replace("</b>", "")
    # The reader gives a hyphen at a line's end as U+0002.
    assert " ".join(root.text().replace("\u0002", "-").split()) == (heard or plain)


def test_a_repeated_header_ends_with_one_space() -> None:
    rows = "<tr><td>one</td></tr>" * 90
    root = page(f'<table><thead><tr><th scope="col">Layer</th></tr></thead>{rows}</table>')
    heads = [one.text() for one in root.elements() if one.kind == "TH"]
    assert len(heads) > 1
    assert set(heads) == {"Layer "}


def test_lines_from_right_to_left_are_left_alone() -> None:
    root = page('<p dir="rtl" style="direction: rtl">שלום שלום שלום שלום שלום שלום</p>')
    starts = {round(piece.right) for piece in root.pieces()}
    assert len(starts) == 1, "the lines still begin below each other"


def test_a_link_says_its_title_or_its_words() -> None:
    root = page(
        '<p id="a"><a href="#a" title="Row 4 of the list">[4]</a> and <a href="#a">the top</a></p>'
    )
    said = [one.described for one in root.elements() if one.kind == "Link"]
    assert said == [("Row 4 of the list",), ("the top",)]
