"""Whether every word of a shape means something where it stands: what would be dropped in silence is refused.

In: one shape. Out: the shape with the pitch of its ends at the sides they are on, or NotDetermined. Must not know
how bodies are made of it.
"""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from dossier.said import Listed, Said, say
from dossier.trade.roof_bodies import Side
from dossier.trade.shapes import SIDES, NotDetermined, Shape


def sensible(shape: Shape) -> Shape:
    """Return a shape of which each word means something; raises NotDetermined."""
    sizes = [shape.along_ft, shape.out_ft, shape.pitch_in_12, *shape.pitches.values()]
    sizes += [one for one in (shape.ends_in_12, shape.upper_in_12) if one is not None]
    if min(sizes) <= 0:
        raise NotDetermined(
            say("A size or a pitch of the {part} is zero.", part=shape.part),
            say("Say sizes and pitches above zero."),
        )
    form = shape.form or ("shed" if shape.part == "porch" else None)
    # What a form has no use for is told once somebody says the form.
    for idle in _idle(replace(shape, form=form)) if form else ():
        raise NotDetermined(idle, say("Leave it away; docs/roof.md says what each word is for."))
    return shape if shape.ends_in_12 is None else _with_ends(shape, shape.ends_in_12)


def _idle(shape: Shape) -> Iterator[Said]:
    """Yield a sentence for each thing said that a shape of this part and form has no use for."""
    house, dormer = shape.part == "house", shape.part == "dormer"
    form = shape.form
    rakes_alone = shape.rake_overhang_ft not in (None, shape.eave_overhang_ft)
    for words, idle in (
        ("A pitch of one side", shape.pitches and dormer),
        ("“on”", shape.on and house),
        ("“wall” or “valley”", shape.joint and (house or dormer)),
        ("“from” or “flush”", shape.from_end_ft and house),
        ("“set back”", shape.back_ft is not None and not dormer),
        ("“break”", shape.break_ft is not None and form != "gambrel"),
        ("“upper”", shape.upper_in_12 is not None and form != "gambrel"),
        ("“falls to”", shape.falls_to and form != "shed"),
        ("“ridge”", shape.ridge_across is not None and form not in ("gable", "gambrel")),
        ("“ends”", shape.ends_in_12 is not None and (form != "hip" or dormer)),
        # A house's overhang at rakes is that of all that stands against it.
        ("“rake overhang”", rakes_alone and form == "hip" and not house),
    ):
        if idle:
            yield say(
                "{words} means nothing for a {form} {part}.",
                words=words,
                form=form or "",
                part=shape.part,
            )


def _with_ends(shape: Shape, rise_in_12: Fraction) -> Shape:
    """Return a hip roof with the pitch of its ends at its short sides, or at the side that stands out."""
    by_side = say("Say the pitch by side, such as: left 9/12, right 9/12.")
    ends: tuple[Side, ...]
    if shape.part == "house":
        if shape.along_ft == shape.out_ft:
            raise NotDetermined(say("A square hip has no short sides to be its ends."), by_side)
        ends = ("left", "right") if shape.along_ft > shape.out_ft else ("front", "back")
    elif shape.on not in SIDES:
        return shape
    elif shape.joint != "valley" and shape.part != "wing" and shape.along_ft > 2 * shape.out_ft:
        # At equal pitches it has no ridge that runs out from the wall.
        raise NotDetermined(
            say(
                "A roof at a wall that is wider than twice its depth may have its ends at either side."
            ),
            by_side,
        )
    else:
        ends = (shape.on,)
    twice = tuple(side for side in ends if side in shape.pitches)
    if twice:
        raise NotDetermined(
            say("The pitch of {sides} is said twice.", sides=Listed(twice)), by_side
        )
    return replace(shape, pitches={**shape.pitches, **dict.fromkeys(ends, rise_in_12)})


def refuse_another_way(shape: Shape, side: Side) -> None:
    """Raise NotDetermined where a roof on this side is said to fall, or its ridge to run, another way."""
    away = say("Leave it away, or name the side on which it stands.")
    if shape.falls_to not in (None, side):
        raise NotDetermined(
            say("The {part} falls to the {side}.", part=shape.part, side=side), away
        )
    if shape.ridge_across is None or shape.ridge_across == (side in ("left", "right")):
        return
    if shape.ridge_across:
        raise NotDetermined(
            say("The ridge of the {part} runs front to back.", part=shape.part), away
        )
    raise NotDetermined(say("The ridge of the {part} runs left to right.", part=shape.part), away)
