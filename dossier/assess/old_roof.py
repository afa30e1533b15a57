"""What stayed of the old roof below the new one, and what the code says of that.

In: a case. Out: an `OldRoof`. Must not know a rule.
"""

import re
from dataclasses import dataclass
from types import MappingProxyType

from dossier.assess.roof import edition_year
from dossier.case.case import Case
from dossier.said import Said
from dossier.trade.deck import LIGHT_SECOND_LAYER_PSF, tear_off_reasons
from dossier.words import OldCovering, OldState, Scope


@dataclass(frozen=True)
class OldRoof:
    """The old roof, as far as it lies below the new one.

    kind: as typed, else as the words of the old covering name it. stays: whether old covering stayed below the
    new; None where the record does not say. layers_left: how many layers of it; None where that is not known.
    bars: why the code bars laying over it, by its kind and state. fewer_removed: whether fewer layers came off
    than were found; None where a count is blank. heavy: whether it weighs more than a light layer; None where
    its weight is not known and it is not one layer of asphalt shingles, whose weight nobody need ask for.
    in_words: the one kind that the description names; None where it names none or several.
    """

    kind: OldCovering | None
    stays: bool | None
    layers_left: int | None
    bars: tuple[Said, ...]
    fewer_removed: bool | None
    heavy: bool | None
    in_words: OldCovering | None


_WORDS = MappingProxyType(
    {
        OldCovering.ASPHALT: r"(three|3)[- ]tab|asphalt|laminated|architectural|fib(er|re)glass",
        OldCovering.ROLL: r"roll(ed)? roofing",
        OldCovering.WOOD_SHINGLES: r"(wood|cedar)(en)? shingle",
        OldCovering.WOOD_SHAKES: r"shake",
        # A slate grey shingle is no slate.
        OldCovering.SLATE: r"slate(?![- ]?gr[ae]y)",
        OldCovering.CLAY: r"\bclay",
        OldCovering.CEMENT: r"(?<!asbestos[- ])(cement|concrete)",
        OldCovering.ASBESTOS_CEMENT: r"asbestos",
        OldCovering.METAL: r"\b(metal|steel|tin|aluminum)\b",
    }
)
_DENIES = r"\b(no|not|non|without|free)\b"


def _kind_in(words: str) -> OldCovering | None:
    """Return the one kind that a description names; None where it names none, several, or denies something."""
    text = words.lower()
    named = [kind for kind, pattern in _WORDS.items() if re.search(pattern, text)]
    return named[0] if len(named) == 1 and not re.search(_DENIES, text) else None


def old_roof(case: Case) -> OldRoof:
    """Return what stayed of the old roof."""
    head = case.job.job
    found, removed = head.layers_found, head.layers_removed
    left: int | None = None
    if head.scope is Scope.RECOVER:
        left = None if found is None else found - (removed or 0)
    elif found is not None and removed is not None:
        left = found - removed
    stays: bool | None
    if head.scope is Scope.RECOVER:
        stays = True
    elif head.scope is Scope.PARTIAL_TEAR_OFF:
        stays = None if left is None else left > 0
    else:
        stays = False
    in_words = _kind_in(head.old_covering or "")
    kind = head.old_covering_kind or in_words
    state = head.old_covering_state
    reasons = tear_off_reasons(
        None,
        kind.value if kind else None,
        soaked=state is OldState.SOAKED,
        decayed=state is OldState.DETERIORATED,
        edition=edition_year(case),
    )
    weight = head.old_covering_psf
    heavy: bool | None = weight is not None and weight > LIGHT_SECOND_LAYER_PSF
    if weight is None and not (kind is OldCovering.ASPHALT and left == 1):
        heavy = None
    return OldRoof(
        kind=kind,
        stays=stays,
        layers_left=left,
        bars=reasons if stays else (),
        fewer_removed=None if found is None or removed is None else removed < found,
        heavy=heavy,
        in_words=in_words,
    )
