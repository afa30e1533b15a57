"""Shapes of a roof in plain trade words: “hip 40x28 6/12, overhang 16 in, front faces S” into `Shape`.

In: one line a shape, typed by somebody. Out: shapes and the compass direction of the front. Every word has to mean
something: a line with a word left over is refused, with that word.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType
from typing import cast

from dossier.errors import WrongCommand
from dossier.trade.roof_bodies import Side
from dossier.trade.shapes import SIDES, Form, Joint, Part, Shape
from dossier.values import Pitch, clip, listed, parse_length_ft, parse_length_in, plural

COMPASS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
_IN_FULL = {
    **{"north": "N", "east": "E", "south": "S", "west": "W"},
    **{"north-east": "NE", "south-east": "SE", "south-west": "SW", "north-west": "NW"},
}
_TURN: Mapping[Side, int] = MappingProxyType({"front": 0, "left": 2, "back": 4, "right": 6})
"""Eighths of a turn from the front to each side: left and right are those of somebody who looks at the front."""

_INCH = r"(?:\d+(?:\.\d+)?(?:[ -]\d+/\d+)?|\d+/\d+)\s*(?:in\b\.?(?!\s*12\b)|inch(?:es)?\b|\")"
_FIGURE = r"\d+(?:\.\d+)?(?:-\d+/\d+)?(?![\d.]|\s*[/:]\s*12\b|\s*in\s*12\b)"
_LENGTH = rf"(?:{_INCH}|{_FIGURE}\s*(?:ft\b\.?|feet\b|foot\b|'|mm\b|cm\b|m\b)?(?:\s*-?\s*{_INCH})?)"
"""A length. A pitch behind it is no part of it: 28 6/12 is 28 ft at 6/12, and never 28 1/2."""

_PITCH = r"\d+(?:\.\d+)?\s*(?:/|:|\bin\b)\s*12\b"
_SIDE = "front|back|left|right"
_WIND = "|".join(sorted([*_IN_FULL, *(word.lower() for word in COMPASS)], key=len, reverse=True))

_FRONT = re.compile(rf"\bfront\s+(?:faces\s+)?({_WIND})\b", re.I)
_BY_COMPASS = re.compile(rf"\b(on|from|flush|to)\s+(?:the\s+)?({_WIND})\b", re.I)
_COUNT = re.compile(r"^\s*(\d+)\s+(?=(?:gable|hip|shed)\w*\s+dormers?\b)", re.I)
_PARTS: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {
        name: re.compile(pattern, re.I)
        for name, pattern in {
            "called": r"\bcalled\s+([\w-]+)",
            "on": r"\bon\s+(?:the\s+|slope\s+)*([\w-]+)",
            "from": rf"\bfrom\s+(?:the\s+)?({_SIDE})\s+({_LENGTH})",
            "flush": rf"\bflush\s+({_SIDE})\b",
            "back": rf"\bset\s+back\s+({_LENGTH})",
            "eave overhang": rf"\beaves?\s+overhang\s+({_LENGTH})",
            "rake overhang": rf"\brakes?\s+overhang\s+({_LENGTH})",
            "overhang": rf"\boverhang\s+({_LENGTH})",
            "break": rf"\bbreak\s+({_LENGTH})",
            "upper": rf"\bupper\s+({_PITCH})",
            "falls": rf"\bfalls\s+to\s+({_SIDE})\b",
            "ridge": r"\bridge\s+(left\s+to\s+right|front\s+to\s+back)\b",
            "ends": rf"\bends\s+({_PITCH})",
            "side": rf"\b({_SIDE})\s+({_PITCH})",
            "size": rf"({_LENGTH})\s*(?:x|×|by)\s*({_LENGTH})",
            "pitch": rf"({_PITCH})",
            "part": r"\b(house|wing|garage|porch|dormer)s?\b",
            "form": r"\b(gable|hip|shed|gambrel)(?:ped|d)?\b",
            "joint": r"\b(wall|valley)s?\b",
        }.items()
    }
)
"""What a line may say, in the order in which it is looked for; what was read is taken out of the line."""

_MOST_DORMERS = 40
"""More than a house has room for. Common practice, no published source."""

_SAYS = "hip 40x28 6/12, overhang 16 in, front faces S; or gable garage 22x24 5/12 on right, wall"


@dataclass(frozen=True)
class ShapesTold:
    """Shapes as they were told. front_faces: one of the eight words of the compass, empty where not said."""

    shapes: tuple[Shape, ...]
    front_faces: str

    def faces(self, side: Side) -> str:
        """Return the compass direction of a side; empty where that of the front is not said."""
        if not self.front_faces:
            return ""
        return COMPASS[(COMPASS.index(self.front_faces) + _TURN[side]) % 8]


def shapes_told(lines: Sequence[str]) -> ShapesTold:
    """Return the shapes of these lines; raises WrongCommand for what cannot be read."""
    told = {_wind(found[1]) for line in lines for found in _FRONT.finditer(line)}
    if len(told) > 1:
        raise WrongCommand(
            f"The front faces {listed(sorted(told), 'and')}.", "Say one direction, once."
        )
    front = told.pop() if told else ""
    sides = {ShapesTold((), front).faces(side): side for side in SIDES} if front else {}
    shapes: list[Shape] = []
    for number, line in enumerate(lines):
        count = _COUNT.match(line)
        # A number of its own before the shape is how many there are of it.
        rest = line[count.end() :] if count else line
        shape = _shape(line, _FRONT.sub(" ", _by_side(rest, sides)), first=not number)
        many = int(count[1]) if count else 1
        if not 0 < many <= _MOST_DORMERS:
            raise WrongCommand(
                f"There are {plural(many, 'dormer')} in “{clip(line)}”.",
                f"Say from 1 to {_MOST_DORMERS}, or leave the line away.",
            )
        shapes += [shape] * many
    return ShapesTold(tuple(shapes), front)


def _wind(word: str) -> str:
    return _IN_FULL.get(word.lower(), word.upper())


def _by_side(line: str, sides: Mapping[str, Side]) -> str:
    """Return a line with a side of the house in place of each compass word."""

    def side(found: re.Match[str]) -> str:
        wind = _wind(found[2])
        if not sides:
            raise WrongCommand(
                f"“{clip(found[0])}” needs to know which way the front faces.",
                "Say it once, such as: front faces S; or name sides by front, back, left and right.",
            )
        if wind not in sides:
            raise WrongCommand(
                f"No side of the house faces {wind}.",
                f"Its sides face {listed(sorted(sides), 'and')}.",
            )
        return f"{found[1]} {sides[wind]}"

    return _BY_COMPASS.sub(side, line)


def _shape(line: str, rest: str, *, first: bool) -> Shape:
    found: dict[str, list[re.Match[str]]] = {}
    for name, pattern in _PARTS.items():
        for match in pattern.finditer(rest):
            found.setdefault(name, []).append(match)
        rest = pattern.sub(" , ", rest)
    left = rest.replace(",", " ").replace(";", " ").split()
    left = [word for word in left if word not in ("and", "a", "an", "the", "with")]
    if left:
        raise WrongCommand(
            f"“{clip(' '.join(left))}” in “{clip(line)}” is not understood.",
            f"Say a shape such as: {_SAYS}. docs/roof.md has every word.",
        )
    sides = [match[1].lower() for match in found.get("side", [])]
    again = sorted(
        {name for name, each in found.items() if len(each) > 1 and name != "side"}
        | {side for side in sides if sides.count(side) > 1}
    )
    if again:
        raise WrongCommand(
            f"“{clip(line)}” says {listed(again, 'and')} more than once.",
            "Say each once, one shape a line.",
        )
    one = {name: each[0] for name, each in found.items()}
    for idle, names in (
        ("from and flush", ("from", "flush")),
        ("three overhangs", ("overhang", "eave overhang", "rake overhang")),
    ):
        if all(name in one for name in names):
            raise WrongCommand(f"“{clip(line)}” says {idle}.", "Leave away what is not meant.")
    for name, words in (("size", "a size such as 40x28"), ("pitch", "a pitch such as 6/12")):
        if name not in one:
            raise WrongCommand(f"“{clip(line)}” says no {name}.", f"Add {words}.")
    try:
        return _made(one, found.get("side", []), first=first)
    except ValueError as problem:
        raise WrongCommand(f"“{clip(line)}”: {problem}.", f"Write it such as: {_SAYS}.") from None


def _made(
    one: Mapping[str, re.Match[str]], sides: Sequence[re.Match[str]], *, first: bool
) -> Shape:
    def feet(name: str, group: int = 1) -> Fraction | None:
        return parse_length_ft(one[name][group].strip()) if name in one else None

    def overhang(name: str) -> Fraction | None:
        found = one.get(name) or one.get("overhang")
        return parse_length_in(found[1].strip()) / 12 if found else None

    if "part" not in one and not first:
        raise ValueError("found a second house, needed wing, garage, porch or dormer")
    part = one["part"][1].lower() if "part" in one else "house"
    pitches = {cast(Side, match[1].lower()): _rise(match[2]) for match in sides}
    end: tuple[Side, Fraction] | None = None
    if "from" in one:
        end = cast(Side, one["from"][1].lower()), parse_length_ft(one["from"][2].strip())
    elif "flush" in one:
        end = cast(Side, one["flush"][1].lower()), Fraction(0)
    return Shape(
        part=cast(Part, part),
        form=cast(Form, one["form"][1].lower()) if "form" in one else None,
        along_ft=parse_length_ft(one["size"][1].strip()),
        out_ft=parse_length_ft(one["size"][2].strip()),
        pitch_in_12=_rise(one["pitch"][1]),
        pitches=MappingProxyType(pitches),
        upper_in_12=_rise(one["upper"][1]) if "upper" in one else None,
        eave_overhang_ft=overhang("eave overhang"),
        rake_overhang_ft=overhang("rake overhang"),
        on=one["on"][1] if "on" in one else "",
        joint=cast(Joint, one["joint"][1].lower()) if "joint" in one else None,
        from_end_ft=end,
        back_ft=feet("back"),
        break_ft=feet("break"),
        falls_to=cast(Side, one["falls"][1].lower()) if "falls" in one else None,
        ridge_across=one["ridge"][1].lower().startswith("left") if "ridge" in one else None,
        ends_in_12=_rise(one["ends"][1]) if "ends" in one else None,
        name=one["called"][1] if "called" in one else "",
    )


def _rise(text: str) -> Fraction:
    return Pitch.parse(" ".join(text.split())).rise_in_12


def with_overhang(told: ShapesTold, eave_in: Fraction | None) -> ShapesTold:
    """Return the shapes, the house with this overhang at eaves and rakes where none was said of it."""
    if eave_in is None:
        return told
    return replace(
        told,
        shapes=tuple(
            replace(
                shape,
                eave_overhang_ft=eave_in / 12
                if shape.eave_overhang_ft is None
                else shape.eave_overhang_ft,
            )
            if shape.part == "house"
            else shape
            for shape in told.shapes
        ),
    )
