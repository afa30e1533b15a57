"""The sample document: each kind of content a template may hold, as both standards accept it."""

import io
from collections.abc import Callable
from datetime import datetime, timedelta, timezone

import pytest
from PIL import Image

from dossier.bind.conformance import conform
from dossier.render.engine import Asset, Attached, Rendered, render

MADE_AT = datetime(2026, 9, 21, 16, 30, tzinfo=timezone(timedelta(hours=-4)))

SAMPLE_HTML = """<!DOCTYPE html>
<html lang="en">
<head>
<title>Sample handover, 118 Plover Lane</title>
<meta name="author" content="Ormskar Roofing">
<style>
@page {
  size: Letter; margin: 22mm 18mm 20mm;
  @top-left { content: "Sample handover"; font: 8pt "Dossier Sans"; }
  @top-right { content: string(chapter); font: 8pt "Dossier Sans"; }
  @bottom-right { content: "Page " counter(page) " of " counter(pages); font: 8pt "Dossier Sans"; }
  @bottom-left { content: element(foot); }
}
body { font: 10pt/1.4 "Dossier Serif", "Dossier Hebrew", "Dossier Arabic", "Dossier Math"; }
h1, h2, h3 { font-family: "Dossier Sans"; }
h2 { string-set: chapter content(); }
.foot { position: running(foot); font: 8pt "Dossier Sans"; }
table { border-collapse: collapse; }
thead { display: table-header-group; }
th, td { border: 0.5pt solid #777; padding: 1mm 2mm; text-align: left; }
figure { margin: 4mm 0; break-inside: avoid; }
.toc a::after { content: target-counter(attr(href), page); padding-left: 4mm; }
.pair { display: grid; grid-template-columns: 1fr 1fr; gap: 4mm; }
</style>
</head>
<body>
<div class="foot">Keep this paper with the deed.</div>
<h1>Sample handover</h1>
<p class="lead"><strong>118 Plover Lane</strong>, Halvorsted. See
<a href="#products">products</a>, or write to
<a href="mailto:office@example.com">office@example.com</a>.</p>
<ul class="toc"><li><a href="#products">Products</a></li><li><a href="#photos">Photos</a></li></ul>
<section id="products">
<h2>Products</h2>
<table>
<caption>What is on the roof</caption>
<thead><tr><th scope="col">Role</th><th scope="col">Product</th><th scope="col">Bundles</th></tr>
</thead>
<tbody>
<tr><th scope="row">Field shingle</th><td>Fenwright 40</td><td>42</td></tr>
<tr><th scope="row">Starter</th><td>Firstrow</td><td>2</td></tr>
<tr><th scope="row">Not on file</th><td colspan="2">hip and ridge</td></tr>
</tbody>
</table>
<h3>In section</h3>
<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="20mm" viewBox="0 0 60 20">
<title>Section through the roof: deck, underlayment, shingles</title>
<path d="M2 18 L30 2 L58 18" fill="none" stroke="#345" stroke-width="1"/>
<text x="30" y="16" font-size="4" text-anchor="middle" font-family="Dossier Sans">deck</text>
</svg>
<ol><li>Deck</li><li><p>Ice barrier</p><p>24 in past the wall</p></li>
<li>Eave<ul><li>OSB 7/16 in</li></ul></li><li>Underlayment</li></ol>
<dl><dt>Permit</dt><dd>R-2026-1187</dd></dl>
</section>
<section id="photos" style="break-before: page">
<h2>Photos</h2>
<div class="pair">
<figure><img src="asset:front" alt="Front slope, finished" style="width: 70mm">
<figcaption>Front slope, 2026-09-16</figcaption></figure>
<figure><img src="asset:mark" alt="Company mark" style="width: 20mm">
<figcaption>Mark with a clear ground</figcaption></figure>
</div>
<p>Names: Søren Ångström, Привет, שָׁלוֹם, سلام عليكم, ½ in, 6:12, 47.70° N.</p>
<p><em>Care</em>: ask before <b>anyone</b> walks on the roof.</p>
</section>
</body>
</html>
"""


def picture(size_px: tuple[int, int], kind: str, colour: tuple[int, ...]) -> bytes:
    target = io.BytesIO()
    Image.new("RGBA" if len(colour) == 4 else "RGB", size_px, colour).save(target, kind)
    return target.getvalue()


def sample_assets() -> dict[str, Asset]:
    return {
        "front": Asset(picture((420, 315), "JPEG", (70, 110, 150)), "image/jpeg"),
        "mark": Asset(picture((60, 60), "PNG", (200, 60, 40, 128)), "image/png"),
    }


def sample_attachments() -> list[Attached]:
    return [
        Attached("record.yaml", b"job: 41\n", "application/yaml", "Source", "The record"),
        Attached("items.csv", b"a,b\n", "text/csv", "Data", "The punch list"),
        Attached(
            "card.pdf", b"%PDF-1.4\n%%EOF\n", "application/pdf", "Supplement", "Inspection card"
        ),
    ]


def rendered(html: str) -> Rendered:
    """Return one page of HTML laid out and made to conform, with the sample's pictures."""
    return render(html, assets=sample_assets(), made_at=MADE_AT, finisher=conform)


def rendered_sample() -> Rendered:
    return render(
        SAMPLE_HTML,
        assets=sample_assets(),
        attachments=sample_attachments(),
        made_at=MADE_AT,
        finisher=conform,
    )


@pytest.fixture(scope="session")
def sample() -> Rendered:
    return rendered_sample()


@pytest.fixture(scope="session")
def conforming() -> Callable[[str], Rendered]:
    return rendered


@pytest.fixture
def sample_again() -> Callable[[], bytes]:
    """Return a maker of the sample, for tests that change how it is finished."""
    return lambda: rendered_sample().data
