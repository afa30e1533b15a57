"""Shingle fasteners: shingles and nails per square, nails asked for, and how long a nail must be.

In: shingle sizes and thicknesses in inches, the maker's count, pitch as rise in 12. Out: counts,
lengths and verdicts. Must not know which maker asks for what.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from dossier.said import Number, Said, say
from dossier.trade.working import (
    Confidence,
    Exact,
    Working,
    above_zero,
    exact,
    inches,
    not_below_zero,
    one_of,
)

LEAST_PER_STRIP = 4
LEAST_PER_INDIVIDUAL = 2
"""Fewest fasteners per strip or individual shingle (IRC 2018/2021/2024 R905.2.6)."""

STEEP_ABOVE_PITCH_IN_12 = 21
"""Above this the maker's steep-slope method (IRC 2012 on, R905.2.6; 20:12 in 2009 and before)."""

INTO_DECK_IN = Fraction(3, 4)
"""How far a nail goes into a deck; through it where the deck is thinner (IRC R905.2.5)."""

LEAST_SHANK_IN = Fraction(105, 1000)
LEAST_HEAD_IN = Fraction(3, 8)
"""12 gage shank and 3/8 in head (IRC 2018/2021/2024 R905.2.5)."""


_NEGATED = re.compile(
    r"\b(?:no|not|never|without|instead of)\s+(?:\w+\s+)?(?:staples?|bright|bare)\b", re.I
)
_STAPLES = re.compile(r"\bstaples?\b", re.I)
_BARE = re.compile(r"\b(?:bright|bare|uncoated|ungalvani[sz]ed)\b", re.I)
"""Words of a record for a fastener that the code does not take; “no staples” says the opposite."""


@dataclass(frozen=True)
class Nailing:
    """What is asked of the fasteners of one slope."""

    per_shingle: int
    steep_method: bool
    """True where the slope is so steep that the maker's steep-slope method is needed too."""
    working: Working


def nailing_asked(
    maker_count: int | None,
    pitch_in_12: Exact,
    shingle: str = "strip",
    high_wind_count: int | None = None,
    edition: int = 2021,
) -> Nailing:
    """Return the nails per shingle and whether the slope needs the steep-slope method.

    maker_count: from the instructions; None counts as none, so the code's least holds. shingle:
    “strip” or “individual”. high_wind_count: what the terms or the locality ask for in high wind,
    commonly 6; None where no high-wind condition holds. Source: IRC R905.2.6.
    """
    one_of(shingle, ("strip", "individual"), "shingle")
    pitch = not_below_zero(pitch_in_12, "pitch")
    least = LEAST_PER_STRIP if shingle == "strip" else LEAST_PER_INDIVIDUAL
    count = max(least, maker_count or 0, high_wind_count or 0)
    limit = STEEP_ABOVE_PITCH_IN_12 if edition >= 2012 else 20
    steep = pitch > limit
    high = "" if high_wind_count is None else say(", high wind {count}", count=high_wind_count)
    text = "code {least}, maker {maker}{high}: {count} per shingle; {pitch}:12 is not steep"
    if steep:
        text = "code {least}, maker {maker}{high}: {count} per shingle; {pitch}:12 is steep"
    return Nailing(
        count,
        steep,
        Working(
            say(
                "the largest of the code's {least}, the maker's count and any high-wind count; above "
                "{limit}:12 the maker's steep-slope method",
                least=least,
                limit=limit,
            ),
            say(
                text,
                least=least,
                maker=say("not given") if maker_count is None else maker_count,
                high=high,
                count=count,
                pitch=Number(pitch, "", 2),
            ),
            f"IRC {edition} R905.2.6",
            "looked-up",
        ),
    )


@dataclass(frozen=True)
class NailingCheck:
    """Whether the nails per shingle are enough."""

    verdict: Literal["enough", "short", "cannot tell"]
    short_per_shingle: int
    needs: tuple[str, ...]
    working: Working


def check_nailing(
    asked: Nailing, installed_per_shingle: int | None, steep_method_shown: bool | None = None
) -> NailingCheck:
    """Return whether the installed count satisfies what is asked.

    steep_method_shown: whether the record shows the steep-slope method; a steep slope without it
    gives “cannot tell”, since a count alone does not answer.
    """
    installed = installed_per_shingle
    short = 0 if installed is None else max(0, asked.per_shingle - installed)
    needs: tuple[str, ...] = () if installed is not None else ("nails per shingle",)
    if asked.steep_method and not steep_method_shown:
        needs += ("the maker's steep-slope method, as followed",)
    unknown: Literal["enough", "cannot tell"] = "cannot tell" if needs else "enough"
    return NailingCheck(
        "short" if short else unknown,
        short,
        () if short else needs,
        Working(
            "installed ≥ asked",
            say(
                "{installed} of {asked} per shingle",
                installed="?" if installed is None else installed,
                asked=asked.per_shingle,
            ),
            asked.working.source,
            asked.working.confidence,
        ),
    )


@dataclass(frozen=True)
class NailLength:
    """The length a nail needs, in inches."""

    required_in: Fraction
    must_exceed: bool
    """True where the nail must be longer than this: through a deck thinner than 3/4 in, with no
    projection already counted."""
    working: Working


def nail_length_asked(deck_in: Exact, stack_in: Exact, projection_in: Exact = 0) -> NailLength:
    """Return the nail length for a deck and what lies on it, in inches.

    deck_in: thickness of the deck. stack_in: everything between head and deck. projection_in: how
    far the tip should stand out below a thin deck; 1/8 in is trade practice, the code gives none.
    Source: IRC 2018/2021/2024 R905.2.5.
    """
    deck, stack = above_zero(deck_in, "deck thickness"), not_below_zero(stack_in, "stack")
    projection = not_below_zero(projection_in, "projection")
    through = deck < INTO_DECK_IN
    required = stack + (deck + projection if through else INTO_DECK_IN)
    confidence: Confidence = "common practice" if through and projection else "looked-up"
    return NailLength(
        required,
        through and not projection,
        Working(
            "stack + deck + projection, deck below 3/4 in" if through else "stack + 3/4 in",
            f"{inches(stack, 4)} + {inches(required - stack, 4)} = {inches(required, 4)}",
            "IRC 2018/2021/2024 R905.2.5",
            confidence,
        ),
    )


@dataclass(frozen=True)
class NailLengthCheck:
    """Whether a nail is long enough."""

    verdict: Literal["enough", "short", "cannot tell"]
    short_in: Fraction | None
    needs: tuple[str, ...]
    working: Working


def check_nail_length(asked: NailLength, nail_in: Exact | None) -> NailLengthCheck:
    """Return whether a nail (inches) is long enough; flush below a thin deck is not through it."""
    formula = "nail > required" if asked.must_exceed else "nail ≥ required"
    source, confidence = asked.working.source, asked.working.confidence
    required = asked.required_in
    least = inches(required, 4)
    if nail_in is None:
        line = Working(formula, say("? against {least}", least=least), source, confidence)
        return NailLengthCheck("cannot tell", None, ("nail length",), line)
    nail = above_zero(nail_in, "nail length")
    enough = nail > required if asked.must_exceed else nail >= required
    return NailLengthCheck(
        "enough" if enough else "short",
        Fraction(0) if enough else required - nail,
        (),
        Working(
            formula,
            say("{nail} against {least}", nail=inches(nail, 4), least=least),
            source,
            confidence,
        ),
    )


def nail_faults(shank_in: Exact | None, head_in: Exact | None, kind: str = "") -> tuple[Said, ...]:
    """Return what is wrong with a shingle fastener; empty when nothing is, or nothing is known.

    shank_in, head_in: in inches, None where nobody said. kind: what it is, in the words of a record.
    Source: IRC 2018/2021/2024 R905.2.5: roofing nails of galvanized or stainless steel, aluminum or copper,
    12 gage (0.105 in), head 3/8 in.
    """
    faults = []
    said = _NEGATED.sub("", kind)
    if _STAPLES.search(said):
        faults.append(say("staples, roofing nails needed"))
    if _BARE.search(said):
        faults.append(say("no coating, galvanized or stainless steel, aluminum or copper needed"))
    if shank_in is not None and exact(shank_in, "shank") < LEAST_SHANK_IN:
        least = inches(LEAST_SHANK_IN, 3)
        faults.append(say("shank {found}, {least} needed", found=inches(shank_in, 3), least=least))
    if head_in is not None and exact(head_in, "head") < LEAST_HEAD_IN:
        least = inches(LEAST_HEAD_IN, 3)
        faults.append(say("head {found}, {least} needed", found=inches(head_in, 3), least=least))
    return tuple(faults)
