"""Records with a line or two changed as a slip of the hand or a bad copy would, by a seed.

In: the bytes of a YAML file. Out: other bytes, often no readable record any more. Must not judge what comes of it.
"""

import random

JUNK = (
    *(
        "",
        "n/a",
        "n/a, none",
        "0",
        "-1",
        "9" * 30,
        "9999-12-31",
        "0001-01-01",
        "2040-02-30",
        "\u202e",
        "{{ 7*7 }}",
    ),
    *(
        "<b>",
        "back",
        "front",
        "no",
        "1e9 ft",
        "1000000 ft",
        "a" * 3000,
        "\u0000",
        "[1, 2]",
        "{a: b}",
        "&x y",
        "2026-10-01",
    ),
)


def mutated(data: bytes, seed: int) -> bytes:
    """Return a record with one or two of its lines changed, doubled, moved or taken away."""
    draw = random.Random(seed)
    lines = data.decode().splitlines()
    for _ in range(draw.choice((1, 1, 1, 2))):
        at = draw.randrange(len(lines))
        way = draw.choice((*("value",) * 4, "gone", "gone", "twice", "moved", "deeper"))
        name, colon, _ = lines[at].partition(":")
        if way == "value" and colon:
            lines[at] = f"{name}: {draw.choice(JUNK)}"
        elif way == "gone" and len(lines) > 1:
            lines.pop(at)
        elif way == "twice":
            lines.insert(at, lines[at])
        elif way == "moved":
            lines.insert(draw.randrange(len(lines)), lines.pop(at))
        else:
            lines[at] = f"  {lines[at]}"
    return "\n".join(lines).encode("utf-8", "surrogatepass")
