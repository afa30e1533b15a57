"""One shape of a roof as somebody told it, and the reason why shapes make no one roof.

In: words and sizes. Out: `Shape`. Must not know what is made of it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from dossier.said import Said
from dossier.trade.roof_bodies import Side

Form = Literal["gable", "hip", "shed", "gambrel"]
Part = Literal["house", "wing", "garage", "porch", "dormer"]
Joint = Literal["wall", "valley"]
SIDES: tuple[Side, ...] = ("front", "back", "left", "right")
OPPOSITE: Mapping[Side, Side] = MappingProxyType(
    {"front": "back", "back": "front", "left": "right", "right": "left"}
)


class NotDetermined(ValueError):
    """What was said does not make one roof. says: why. needed: what to say instead."""

    def __init__(self, says: Said, needed: Said) -> None:
        """Take both sentences."""
        super().__init__(str(says))
        self.says, self.needed = says, needed


@dataclass(frozen=True)
class Shape:
    """One shape as somebody told it.

    along_ft: along the front of the house, or along the wall or slope it is on. out_ft: depth of the house; how
    far it stands out; of a dormer the length of its side walls. pitches: by side where they differ. on: a side of
    the house, or a slope by its label. from_end_ft: from the end of the wall towards that side. back_ft: level,
    from the wall below to a dormer's face. break_ft: level, from the wall to a gambrel's break. falls_to: the low
    side of a shed roof. ridge_across: whether a gable's ridge runs along the front. ends_in_12: pitch of a
    hip's ends, which are its short sides. None where nobody said.
    """

    part: Part
    form: Form | None
    along_ft: Fraction
    out_ft: Fraction
    pitch_in_12: Fraction
    pitches: Mapping[Side, Fraction] = field(default_factory=dict)
    upper_in_12: Fraction | None = None
    eave_overhang_ft: Fraction | None = None
    rake_overhang_ft: Fraction | None = None
    on: str = ""
    joint: Joint | None = None
    from_end_ft: tuple[Side, Fraction] | None = None
    back_ft: Fraction | None = None
    break_ft: Fraction | None = None
    falls_to: Side | None = None
    ridge_across: bool | None = None
    ends_in_12: Fraction | None = None
    name: str = ""
