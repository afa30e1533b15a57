"""Flashing, valleys and crickets: the few sizes that the code gives.

In: sizes in inches. Out: what is below the code's least, in words, or nothing. Must not know
whether a piece is on this roof. All else about flashing is by the maker's printed instructions
(IRC R905.2.8.4).
"""

from dossier.said import Said, say
from dossier.trade.working import Exact, above_zero, inches, one_of

OPEN_METAL_VALLEY_IN = 24
CLOSED_VALLEY_LINING_IN = 36
"""Least width of open metal lining, and of the lining under a closed valley (IRC R905.2.8.2)."""

CRICKET_ABOVE_IN = 30
"""Above this width a chimney or penetration needs a cricket (IRC R903.2.2)."""


def cricket_required(width_in: Exact, at_ridge: bool = False, unit_skylight: bool = False) -> bool:
    """Return whether a cricket is needed above a chimney or other penetration.

    width_in: at right angles to the slope's fall (from memory). at_ridge: nothing drains onto a
    chimney at the ridge, so it needs none. unit_skylight: one flashed by its instructions is left
    out (from memory). Source: IRC R903.2.2, more than 30 in.
    """
    wide = above_zero(width_in, "width") > CRICKET_ABOVE_IN
    return wide and not at_ridge and not unit_skylight


def valley_faults(method: str, lining_width_in: Exact) -> tuple[Said, ...]:
    """Return what is wrong with a valley's lining; empty when nothing is.

    method: “open metal”, “closed cut” or “woven”. A self-adhered sheet to ASTM D1970 may be the
    lining of the last two. Source: IRC 2015/2018/2021 R905.2.8.2.
    """
    one_of(method, ("open metal", "closed cut", "woven"), "valley method")
    least = OPEN_METAL_VALLEY_IN if method == "open metal" else CLOSED_VALLEY_LINING_IN
    width = above_zero(lining_width_in, "lining width")
    if width >= least:
        return ()
    return (say("lining {width} wide, {least} in needed", width=inches(width), least=least),)
