"""Papers as offices get them, drawn by two means that are not ours: streams written by hand, and ReportLab.

In: words and where they stand. Out: bytes of PDFs. Must not read one. All names and numbers are invented.
"""

import io
from collections.abc import Sequence

from reportlab.lib import colors
from reportlab.lib.pagesizes import letter
from reportlab.lib.styles import getSampleStyleSheet
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Paragraph, SimpleDocTemplate, Spacer, Table, TableStyle

Placed = tuple[float, float, str]
"""Points from the left, points from the top, and words; words that begin with | end there instead."""


def drawn(
    *pages: Sequence[Placed],
    font: str = "Helvetica",
    size: float = 9,
    drawn_turned: bool = False,
) -> bytes:
    """Return a PDF with words at places, by ReportLab.

    drawn_turned: whether its words run up the page.
    """
    target = io.BytesIO()
    canvas = Canvas(target, pagesize=letter, invariant=True)
    for page in pages:
        if drawn_turned:
            canvas.translate(792, 0)
            canvas.rotate(90)
        canvas.setFont(font, size)
        for x, y, words in page:
            if words.startswith("|"):
                canvas.drawRightString(x, 792 - y, words[1:])
            else:
                canvas.drawString(x, 792 - y, words)
        canvas.showPage()
    canvas.save()
    return target.getvalue()


def by_hand(
    *pages: Sequence[Placed], font: str = "Courier", size: float = 9, mode: int = 0, turned: int = 0
) -> bytes:
    """Return a PDF whose streams are written by hand, one text object a word group, in no order of reading.

    mode: text rendering mode; 3 draws nothing. turned: degrees by which pages are shown turned. Source of the
    form: ISO 32000-1:2008, annex H.3.
    """
    kids = " ".join(f"{4 + 2 * n} 0 R" for n in range(len(pages)))
    objects = [
        b"<</Type/Catalog/Pages 2 0 R>>",
        f"<</Type/Pages/Kids[{kids}]/Count {len(pages)}>>".encode(),
        f"<</Type/Font/Subtype/Type1/BaseFont/{font}>>".encode(),
    ]
    for number, page in enumerate(pages):
        shown = "".join(
            f"BT /F1 {size} Tf {mode} Tr {x} {792 - y} Td ({_escaped(words)}) Tj ET\n"
            for x, y, words in reversed(page)
        ).encode("latin-1")
        objects.append(
            f"<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/Rotate {turned}/Contents {5 + 2 * number} 0 R"
            "/Resources<</Font<</F1 3 0 R>>>>>>".encode()
        )
        objects.append(b"<</Length %d>>stream\n%s\nendstream" % (len(shown), shown))
    whole, starts = bytearray(b"%PDF-1.7\n"), []
    for number, written in enumerate(objects, start=1):
        starts.append(len(whole))
        whole += b"%d 0 obj\n%s\nendobj\n" % (number, written)
    table_at = len(whole)
    whole += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    whole += b"".join(b"%010d 00000 n \n" % start for start in starts)
    whole += b"trailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (
        len(objects) + 1,
        table_at,
    )
    return bytes(whole)


def _escaped(words: str) -> str:
    return words.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")


def columns(x: Sequence[float], top: float, *rows: Sequence[str], step: float = 12) -> list[Placed]:
    """Return rows of words, each in its column; an empty word leaves its cell empty."""
    return [
        (x[at], top + step * number, words)
        for number, row in enumerate(rows)
        for at, words in enumerate(row)
        if words
    ]


def ruled(
    above: Sequence[str],
    rows: Sequence[Sequence[str]],
    widths: Sequence[float],
    below: Sequence[str] = (),
) -> bytes:
    """Return a paper with a ruled table whose long cells wrap, over as many pages as it takes, by ReportLab."""
    target = io.BytesIO()
    style = getSampleStyleSheet()["BodyText"]
    cells = [[Paragraph(cell, style) if len(cell) > 12 else cell for cell in row] for row in rows]
    table = Table(cells, colWidths=widths, repeatRows=1)
    table.setStyle(
        TableStyle(
            [
                ("GRID", (0, 0), (-1, -1), 0.5, colors.black),
                ("BACKGROUND", (0, 0), (-1, 0), colors.lightgrey),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ]
        )
    )
    story = [Paragraph(line, style) for line in above]
    story += [Spacer(1, 8), table, Spacer(1, 8)]
    story += [Paragraph(line, style) for line in below]
    SimpleDocTemplate(target, pagesize=letter, invariant=True).build(story)
    return target.getvalue()
