"""The marks on the line of years, and what the key shows of each kind.

In: where a mark stands, in millimetres. Out: paths. Must not know what is drawn: it is told which kinds occur.
"""

from collections.abc import Collection, Iterator
from fractions import Fraction

from dossier.values import write_coordinate as _mm

BAR_MM = Fraction(42, 10)
LEAST_POINT_MM = Fraction(18, 10)
"""A point any lower would not be seen on a grey copy; common practice, no published source."""

KEY = {
    "full": "pays in full",
    "full-if": "only if it holds: not shown by this record",
    "part": "pays in part, as high as the share",
    "open": "runs on beyond this line",
    "next": "next owner’s last day",
    "band": "a sale then passes it on",
    "due": "last day to register",
    "done": "registered or sent",
}


def point(x: Fraction, foot: Fraction, tall: Fraction, long: Fraction) -> str:
    """Return the point of a bar that runs on: a triangle so tall at x, its tip so far to the right."""
    tip = f"L{_mm(x + long)} {_mm(foot - tall / 2)}"
    return f"M{_mm(x)} {_mm(foot - tall)} {tip} L{_mm(x)} {_mm(foot)} Z"


def sample(
    kind: str, x: Fraction, foot: Fraction, drawn: Collection[str]
) -> Iterator[tuple[str, str]]:
    """Yield the shapes of one kind as the key shows them, 6 mm wide, on the foot of its words.

    drawn: the kinds that occur. Of points, dark for what is paid in full and light and lower for a part, the
    key shows those.
    """
    left, right, top = _mm(x), _mm(x + 6), _mm(foot - 3)
    whole = f"M{left} {top} H{right} V{_mm(foot)} H{left} Z"
    match kind:
        case "part":
            yield "part", f"M{left} {_mm(foot)} V{top} L{right} {_mm(foot - 1)} V{_mm(foot)} Z"
        case "open":
            points = [one for one in ("open", "open-part", "open-if") if one in drawn][:2]
            # One point is as long as in the drawing; two share the room.
            wide, at = (Fraction(4), x + 1) if len(points) == 1 else (Fraction(24, 10), x)
            for one in points:
                tall = Fraction(3) if one == "open" else LEAST_POINT_MM
                yield one, point(at, foot - (3 - tall) / 2, tall, wide)
                at += Fraction(35, 10)
        case "next":
            yield "next", flag(x + 3, foot - 3)
        case "band":
            yield "band", whole
            yield (
                "hatch",
                " ".join(f"M{_mm(x + at)} {_mm(foot)} l2 -3" for at in (0, 2, 4)),
            )
        case "due" | "done":
            yield kind, diamond(x + 3, foot - Fraction(11, 10))
        case _:
            yield kind, whole


def diamond(x: Fraction, y: Fraction) -> str:
    """Return a diamond about a point: the day of a registration."""
    half = Fraction(16, 10)
    right, left = f"L{_mm(x + half)} {_mm(y)}", f"L{_mm(x - half)} {_mm(y)}"
    return f"M{_mm(x)} {_mm(y - half)} {right} L{_mm(x)} {_mm(y + half)} {left} Z"


def flag(x: Fraction, top: Fraction) -> str:
    """Return a small triangle that stands on a bar with its point down, and a line from it through the bar."""
    left, right = _mm(x - Fraction(14, 10)), _mm(x + Fraction(14, 10))
    low = _mm(top + Fraction(12, 10))
    return f"M{left} {_mm(top - 1)} H{right} L{_mm(x)} {low} Z M{_mm(x)} {_mm(top - 1)} V{_mm(top + BAR_MM)}"
