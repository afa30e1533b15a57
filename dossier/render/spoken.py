"""What a laid-out document lacks for being read aloud: a space where a line ends, a name for a link.

In: the pages of a laid-out document, before it is written. Out: the same pages, changed in place. Must not
know what the document says, nor change where anything stands on a page. Boxes are told apart by the names
of their classes, since only the engine may import the layout program.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Any

_ENOUGH = 24
"""Letters on each side of a line's end that tell whether the page's own text has a space there."""


def space_line_ends(pages: Iterable[Any]) -> None:
    """End every line with a space, except where a word goes on in the next one.

    The layout program drops the space at which it breaks a line, so that whoever follows the tags and not
    the places on the page reads “the roofis new”. ISO 32000-1:2008, 14.8.2.5, asks for the space to be
    there. It hangs over the end of the line and moves nothing.
    """
    for page in pages:
        for block in _boxes(page._page_box):
            lines = [child for child in block.children if _is(child, "LineBox")]
            if lines:
                _space_lines(block, lines)


def _space_lines(block: Any, lines: list[Any]) -> None:
    source = "" if block.element is None else _text(block.element)
    for number, line in enumerate(lines):
        pieces = [piece for piece in _pieces(line) if piece.text.strip()]
        # In a line from right to left the space would stand on the left and push the text aside.
        if not pieces or pieces[-1].pango_layout.first_line_direction % 2:
            continue
        after = (
            "".join(piece.text for piece in _pieces(lines[number + 1]))
            if lines[number + 1 :]
            else ""
        )
        if not _goes_on("".join(piece.text for piece in pieces), after, source):
            # The header of a table is laid out once and stands on each of its pages.
            layout = pieces[-1].pango_layout
            layout.text = layout.text.rstrip(" ") + " "


def _goes_on(line: str, after: str, source: str) -> bool:
    """Return whether the last word of a line goes on in the next: a path after a hyphen, a long number."""
    end, start = (
        line.rstrip()[-_ENOUGH:].rpartition(" ")[2],
        after.strip()[:_ENOUGH].partition(" ")[0],
    )
    return bool(start) and end + start in source and f"{end} {start}" not in source


def _text(element: Any) -> str:
    """Return the text of an element of the page with its runs of white space as one space each."""
    return re.sub(r"\s+", " ", "".join(_strings(element)))


def _strings(element: Any) -> Iterator[str]:
    yield element.text or ""
    for child in element:
        yield " " if child.tag == "br" else ""
        yield from _strings(child)
        yield child.tail or ""


def name_links(pages: Iterable[Any]) -> None:
    """Give each link's annotation the words of the link, or its title where the page has one.

    The layout program puts the name of the place there, such as “row-12”, which is what is then spoken.
    Source: ISO 14289-1:2014, 7.18.5: the alternate description in Contents.
    """
    for page in pages:
        for box in _boxes(page._page_box):
            if box.link_annotation and box.element is not None:
                words = box.element.get("title") or _text(box.element).strip()
                box.link_annotation["Contents"] = type(box.link_annotation["Contents"])(words)


def _boxes(box: Any) -> Iterator[Any]:
    """Yield this box and all in it, but for the page's furniture."""
    if _is(box, "MarginBox"):
        return
    # A box placed away from the flow hangs in it by a stand-in.
    box = getattr(box, "_box", box)
    yield box
    for child in getattr(box, "children", ()):
        yield from _boxes(child)


def _pieces(box: Any) -> Iterator[Any]:
    """Yield the pieces of text of one line, from its start; not those of a block that stands in it."""
    if _is(box, "TextBox"):
        yield box
    elif _is(box, "LineBox") or _is(box, "InlineBox"):
        for child in box.children:
            yield from _pieces(child)


def _is(box: Any, name: str) -> bool:
    return type(box).__name__ == name
