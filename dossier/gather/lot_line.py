"""A line of a printed ticket that is a lot and how many carried it: “LOT MP-2217   14 PCS”.

In: the text of a line. Out: its cells. Must not know where its words stand, since such a line goes by no column.
"""

import re

_LOT_LINE = re.compile(
    r"\W*(?:lot|batch)(?:\s*(?:no|number|code|mark))?\W*\s(?P<lot>(?=\S*\d)[\w./-]{5,})"
    r"\s+(?P<quantity>\d[\d,]*)\s*(?P<unit>[A-Za-z]{1,8})\.?\s*",
    re.I,
)
"""A label, a mark, a number, a unit, and nothing else. A mark of fewer letters may be half of one that is printed
in two groups. Common practice, no published source."""


def lot_alone(text: str) -> dict[str, str]:
    """Return lot, quantity and unit of a line that holds nothing else; empty for any other."""
    match = _LOT_LINE.fullmatch(text)
    return match.groupdict() if match else {}
