"""Two pictures of a page: the same, the same but for the edges, or different, and where.

In: two pictures of Pillow of one size. Out: how they compare. Must not know a PDF.
"""

from dataclasses import dataclass
from enum import Enum
from typing import Any

from PIL import ImageChops

_NEAR = 24
"""Most, of 255, by which a colour may differ at an edge: less than the eye tells apart on print. Our habit."""


class Look(Enum):
    """How two pictures of a page compare."""

    SAME = "same"
    EDGES = "edges"
    DIFFERENT = "different"


@dataclass(frozen=True)
class Looked:
    """box: left, top, right, bottom of what differs, as shares of the page from 0 to 1."""

    look: Look
    box: tuple[float, float, float, float] = (0, 0, 0, 0)


def look(one: Any, other: Any) -> Looked:
    """Return how two pictures of the same size compare.

    Edges alone differ where each dot of either lies between the darkest and the lightest of its nine
    neighbours in the other: another program rounds the edge of a letter to another side of a dot.
    """
    if one.size != other.size:
        return Looked(Look.DIFFERENT, (0, 0, 1, 1))
    if one.tobytes() == other.tobytes():
        return Looked(Look.SAME)
    beyond = ImageChops.lighter(_beyond(one, other), _beyond(other, one))
    box = beyond.point(lambda level: 255 if level > _NEAR else 0).getbbox()
    if box is None:
        return Looked(Look.EDGES)
    width, height = one.size
    left, top, right, bottom = box
    return Looked(Look.DIFFERENT, (left / width, top / height, right / width, bottom / height))


def _beyond(one: Any, other: Any) -> Any:
    """Return by how much each dot of one lies outside what its neighbours in the other span."""
    darkest, lightest = _spread(other, ImageChops.darker), _spread(other, ImageChops.lighter)
    return ImageChops.lighter(ImageChops.subtract(darkest, one), ImageChops.subtract(one, lightest))


def _spread(picture: Any, chosen: Any) -> Any:
    for across, down in ((1, 0), (0, 1)):
        before = _moved(picture, -across, -down)
        after = _moved(picture, across, down)
        picture = chosen(picture, chosen(before, after))
    return picture


def _moved(picture: Any, across: int, down: int) -> Any:
    # A copy first, so that the edge that is moved in from outside is the picture's own.
    moved = picture.copy()
    moved.paste(picture, (across, down))
    return moved
