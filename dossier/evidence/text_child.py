"""The text of papers in a process of its own: PDFs in on standard input, one answer a paper out.

In: a line of JSON {sizes, memory_bytes, most_pages, most_letters}, then the papers' bytes one behind the other.
Out: a line of JSON a paper, as `text.py` reads it. Must not print anything else. A paper may be made to use up
memory or time, or to bring down the library; then only this process ends.

Where each letter stands is taken from the page itself. A text set out in columns of equal letters, as other
readers give, joins two cells without a space where small print follows large (“bundle0012345”).
"""

import ctypes
import json
import logging
import math
import os
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from typing import Any, NamedTuple

_WORD_GAP, _PIECE_GAP = 0.15, 0.75
"""Gap behind which a new word begins, and a new piece, in heights of the print. A space of common faces is 0.2 to
0.5 of it (Adobe Font Metrics of the standard 14 fonts: 278 and 600 of 1000)."""

_SAME_LINE = 0.3
"""How far two baselines of one line may lie apart, in heights of the print. Our habit."""

_LEAST_HEIGHT_PT = 3.0
"""Print that is lower is not meant to be read."""

_INVISIBLE = 3
"""Text rendering mode in which nothing is drawn. Source: ISO 32000-1:2008, table 106."""

_LEAST_CONTRAST = 0.1
"""How far the greys of print and of what is behind it lie apart at least where it is seen. Our habit."""

_PICTURE_SHARE = 0.6
"""Share of a page that one picture covers at least where the page is a scan. Our habit."""


class _Letter(NamedTuple):
    text: str
    left: float
    right: float
    base: float
    height: float
    spaced: bool


def main() -> None:
    """Answer each paper in turn."""
    source = sys.stdin.buffer
    asked = json.loads(source.readline())
    _bounded(int(asked["memory_bytes"]))
    logging.disable(logging.CRITICAL)
    # Whatever a library prints must not stand in the answer.
    out = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    for size in asked["sizes"]:
        try:
            answer = _answer(source.read(size), asked)
        except MemoryError:
            answer = {"fault": "memory"}
        out.write(json.dumps(answer) + "\n")
        out.flush()
    # Nothing is left to be tidied up, and a library brought to its knees may not end by itself.
    os._exit(0)


def _bounded(memory_bytes: int) -> None:
    with suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))


def _answer(data: bytes, asked: dict[str, Any]) -> dict[str, Any]:
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as problem:
        return {"fault": "password" if "password" in str(problem).lower() else "damaged"}
    try:
        count = len(document)
        left = int(asked["most_letters"])
        pages = []
        for number in range(min(count, int(asked["most_pages"]))):
            page = _page(document, number, left)
            left -= page.pop("letters")
            pages.append(page)
            if left <= 0:
                break
    except pypdfium2.PdfiumError:
        return {"fault": "damaged"}
    finally:
        document.close()
    return {"pages": pages, "count": count}


def _page(document: Any, number: int, most: int) -> dict[str, Any]:
    page = document[number]
    try:
        text = page.get_textpage()
        try:
            letters, turned, hidden, count = _letters(page, text, most)
        finally:
            text.close()
        picture = _is_picture(page)
    finally:
        page.close()
    return {
        "lines": [[round(line[0].base, 1), _pieces(line)] for line in _lines(letters)],
        "turned": turned,
        "hidden": hidden,
        "picture": picture,
        "letters": count,
    }


def _letters(page: Any, text: Any, most: int) -> tuple[list[_Letter], str, bool, int]:
    """Return the letters that are seen and stand upright, those that do not, and whether some are never drawn."""
    import pypdfium2.raw as raw

    left, bottom, right, top = page.get_cropbox()
    count = min(text.count_chars(), most)
    unseen = _unseen(page)
    found: list[tuple[int, _Letter]] = []
    box = raw.FS_RECTF()
    x, y = ctypes.c_double(), ctypes.c_double()
    hidden = spaced = False
    for at in range(count):
        sign = chr(raw.FPDFText_GetUnicode(text, at))
        if sign.isspace() or raw.FPDFText_IsGenerated(text, at) == 1:
            spaced = True
            continue
        if not sign.isprintable():
            continue
        raw.FPDFText_GetLooseCharBox(text, at, box)
        raw.FPDFText_GetCharOrigin(text, at, x, y)
        if not (left <= x.value <= right and bottom <= y.value <= top):
            continue
        drawn = raw.FPDFText_GetTextObject(text, at)
        shown = raw.FPDFTextObj_GetTextRenderMode(drawn)
        angle = raw.FPDFText_GetCharAngle(text, at)
        turns = round(max(angle, 0.0) / (math.pi / 2))
        askew = abs(max(angle, 0.0) - turns * math.pi / 2) > 0.09
        # The library counts clockwise.
        quarter = -turns % 4
        letter = _upright(sign, box, (x.value, y.value), quarter, spaced)
        spaced = False
        if shown == _INVISIBLE or letter.height < _LEAST_HEIGHT_PT or _key(drawn) in unseen:
            hidden = True
        found.append((-1 if askew else quarter, letter))
    # The way most of the print runs is the page's own; the rest lies across it, as a stamp does.
    main_way = Counter(way for way, _ in found).most_common(1)
    way = main_way[0][0] if main_way else 0
    turned = "".join((" " if one.spaced else "") + one.text for at, one in found if at != way)
    return [one for at, one in found if at == way], turned.strip()[:200], hidden, count


def _key(drawn: Any) -> int | None:
    return ctypes.cast(drawn, ctypes.c_void_p).value


class _Box(NamedTuple):
    left: float
    bottom: float
    right: float
    top: float
    grey: float

    def holds(self, x: float, y: float) -> bool:
        return self.left <= x <= self.right and self.bottom <= y <= self.top


def _unseen(page: Any) -> set[int | None]:
    """Return the text objects that lie under a later filled box, or have the colour of what is behind them."""
    import pypdfium2
    import pypdfium2.raw as raw

    boxes: list[_Box] = []
    texts: list[tuple[int | None, _Box, int]] = []
    for number, one in enumerate(page.get_objects(max_depth=1)):
        # Work is bounded: a drawing of many thousand strokes is no paper with something to hide.
        if number > 5_000 or len(boxes) > 500 or len(texts) > 2_000:
            break
        if one.type not in (raw.FPDF_PAGEOBJ_TEXT, raw.FPDF_PAGEOBJ_PATH, raw.FPDF_PAGEOBJ_IMAGE):
            continue
        grey, solid = _colour(one.raw)
        try:
            left, bottom, right, top = one.get_bounds()
        except pypdfium2.PdfiumError:
            continue
        box = _Box(left, bottom, right, top, grey)
        if one.type == raw.FPDF_PAGEOBJ_TEXT:
            texts.append((_key(one.raw), box, len(boxes)))
        elif one.type == raw.FPDF_PAGEOBJ_IMAGE:
            # What is behind print on a picture cannot be told.
            boxes.append(box._replace(grey=math.nan))
        elif solid and _is_filled_box(one.raw):
            boxes.append(box)
    found: set[int | None] = set()
    for key, print_, before in texts:
        x, y = (print_.left + print_.right) / 2, (print_.bottom + print_.top) / 2
        at = [n for n, box in enumerate(boxes) if box.holds(x, y)]
        behind = next((boxes[n].grey for n in reversed(at) if n < before), 1.0)
        covered = any(n >= before and not math.isnan(boxes[n].grey) for n in at)
        if covered or abs(print_.grey - behind) < _LEAST_CONTRAST:
            found.add(key)
    return found


def _colour(drawn: Any) -> tuple[float, bool]:
    """Return how light an object's filling is, from 0 to 1, and whether nothing shines through it."""
    import pypdfium2.raw as raw

    parts = [ctypes.c_uint() for _ in range(4)]
    if not raw.FPDFPageObj_GetFillColor(drawn, *parts):
        return math.nan, False
    red, green, blue, alpha = (part.value for part in parts)
    solid = alpha > 250 and not raw.FPDFPageObj_HasTransparency(drawn)
    # Source of the weights: ITU-R BT.601.
    return (0.299 * red + 0.587 * green + 0.114 * blue) / 255, solid


def _is_filled_box(drawn: Any) -> bool:
    """Return whether a path is filled and has no more sides than a box: others may go round what they frame."""
    import pypdfium2.raw as raw

    mode, stroke = ctypes.c_int(), ctypes.c_int()
    known = raw.FPDFPath_GetDrawMode(drawn, mode, stroke)
    return bool(known and mode.value and raw.FPDFPath_CountSegments(drawn) <= 6)


def _upright(
    sign: str, box: Any, origin: tuple[float, float], quarter: int, spaced: bool
) -> _Letter:
    """Return a letter as it stands once the page is turned so that it reads from left to right."""
    x, y = origin
    edges = (box.left, box.right, box.bottom, box.top)
    left, right, bottom, top = (float(edge) for edge in edges)
    if quarter == 1:
        left, right, bottom, top, y = bottom, top, -right, -left, -x
    elif quarter == 2:
        left, right, bottom, top, y = -right, -left, -top, -bottom, -y
    elif quarter == 3:
        left, right, bottom, top, y = -top, -bottom, left, right, x
    return _Letter(sign, left, right, y, top - bottom, spaced)


def _lines(letters: list[_Letter]) -> Iterator[list[_Letter]]:
    """Yield the letters of each line from the top down, from left to right."""
    waiting: list[_Letter] = []
    for letter in sorted(letters, key=lambda one: (-one.base, one.left)):
        if waiting and waiting[0].base - letter.base > _SAME_LINE * min(
            waiting[0].height, letter.height
        ):
            yield sorted(waiting, key=lambda one: one.left)
            waiting = []
        waiting.append(letter)
    if waiting:
        yield sorted(waiting, key=lambda one: one.left)


def _pieces(line: list[_Letter]) -> list[list[list[Any]]]:
    """Return a line as pieces of words, each word as its text, left, right and height."""
    pieces: list[list[list[Any]]] = []
    before: _Letter | None = None
    for letter in line:
        if before is not None and _is_again(before, letter):
            continue
        gap = math.inf if before is None else (letter.left - before.right) / max(letter.height, 1)
        if gap > _PIECE_GAP:
            pieces.append([])
        if gap > _WORD_GAP or (letter.spaced and gap > 0):
            pieces[-1].append(["", round(letter.left, 1), 0.0, round(letter.height, 1)])
        word = pieces[-1][-1]
        word[0] += letter.text
        word[2] = round(letter.right, 1)
        before = letter
    return pieces


def _is_again(before: _Letter, letter: _Letter) -> bool:
    """Return whether a letter is printed over itself, as some programs do for bold print."""
    return before.text == letter.text and letter.left - before.left < 0.12 * letter.height


def _is_picture(page: Any) -> bool:
    import pypdfium2.raw as raw

    width, height = page.get_size()
    for number, one in enumerate(page.get_objects(max_depth=2)):
        if number > 5_000:
            break
        if one.type == raw.FPDF_PAGEOBJ_IMAGE:
            left, bottom, right, top = one.get_bounds()
            if (right - left) * (top - bottom) > _PICTURE_SHARE * width * height:
                return True
    return False


if __name__ == "__main__":
    main()
