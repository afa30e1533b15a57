"""A line of a printed ticket that is a lot and how many carried it: “LOT MP-2217   14 PCS”.

In: the text of a line. Out: its cells. Must not know where its words stand, since such a line goes by no column.
"""

import re

_LABEL = r"\W*(?:lot|batch)(?:\s*(?:no|number|code|mark))?\W*\s"
_MARK = r"(?P<lot>(?=\S*\d)[\w./-]{5,})"
_COUNT = r"(?P<quantity>\d[\d,]*)\s*(?P<unit>[A-Za-z]{1,8})\.?"

_LOT_LINES = (
    re.compile(
        rf"{_LABEL}{_MARK}\s*(?:\s|:|\s[-–=x×]\s|\sqty\W|\()\s*{_COUNT}\)?(?:\s+of\s+th(?:is|e)\s+(?:lot|batch))?\W*",
        re.I,
    ),
    re.compile(rf"\W*{_COUNT}\s+(?:of|from){_LABEL}{_MARK}\s*", re.I),
)
"""A label, a mark, a number, a unit, in either order and nothing else. A mark of fewer letters may be half of one
that is printed in two groups. Common practice, no published source."""


def lot_alone(text: str) -> dict[str, str]:
    """Return lot, quantity and unit of a line that holds nothing else; empty for any other."""
    match = next((found for one in _LOT_LINES if (found := one.fullmatch(text))), None)
    return {name: match[name] for name in ("lot", "quantity", "unit")} if match else {}
