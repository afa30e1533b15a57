"""Words that go on with a row of a printed table on a line of their own, in a column that nobody asks for.

In: lines with their places. Out: whether one goes on with the other. Must not know what the columns hold.
"""

import re
from collections.abc import Sequence

from dossier.evidence.text import TextLine
from dossier.gather.ticket_rows import NOT_DELIVERED

ALIGNED_PT = 3.0
"""How far the edges of what stands in one column may lie apart, in points. Our habit."""

_CLOSE = 1.7
"""How far below a line the rest of its words stands at most, in heights of the print. Our habit."""

_SAYS_MORE = re.compile(r"\b(?:lots?|batch)\b", re.I)
"""Words of a line that tells something of its own."""


def is_wrapped(
    line: TextLine, above: TextLine | None, heads: Sequence[tuple[float, float]]
) -> bool:
    """Return whether a line of one piece goes on with what stands above it. heads: where each begins and ends."""
    if above is None or len(line.pieces) != 1 or says_more(line.text):
        return False
    [piece] = line.pieces
    under = [head for head in heads if head[0] < piece.right and piece.left < head[1]]
    aligned = any(abs(one.left - piece.left) <= ALIGNED_PT for one in above.pieces)
    return len(under) == 1 and (aligned or same_row(line, above))


def is_close(line: TextLine, above: TextLine | None) -> bool:
    """Return whether a line stands right below another, or at the top of the next page."""
    if above is None or above.page != line.page:
        return True
    return above.base - line.base <= _CLOSE * line.words[0].height


def same_row(line: TextLine, above: TextLine | None) -> bool:
    """Return whether a line stands so close below another that both are of one row, its cells at half height."""
    if above is None or above.page != line.page:
        return False
    return above.base - line.base < line.words[0].height


def says_more(text: str) -> bool:
    """Return whether words tell more of goods than their description: that they did not come, or their lot."""
    return bool(NOT_DELIVERED.search(text) or _SAYS_MORE.search(text))
