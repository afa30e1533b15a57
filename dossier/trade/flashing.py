"""Flashing, valleys and crickets: the few sizes that the code gives.

In: sizes in inches. Out: what is below the code's least, in words, or nothing. Must not know
whether a piece is on this roof. All else about flashing is by the maker's printed instructions
(IRC R905.2.8.4).
"""

from dossier.trade.working import Exact, above_zero, exact, one_of, show

LEAST_METAL_IN = exact(19, "metal") / 1000
"""Base and cap flashing metal, 0.019 in nominal (IRC 2018 R905.2.8.1)."""

LEAST_SIDE_WALL_IN = 4
"""Height and width of side-wall base flashing (IRC 2012 on, R905.2.8.3)."""

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


def valley_faults(method: str, lining_width_in: Exact) -> tuple[str, ...]:
    """Return what is wrong with a valley's lining; empty when nothing is.

    method: “open metal”, “closed cut” or “woven”. A self-adhered sheet to ASTM D1970 may be the
    lining of the last two. Source: IRC 2015/2018/2021 R905.2.8.2.
    """
    one_of(method, ("open metal", "closed cut", "woven"), "valley method")
    least = OPEN_METAL_VALLEY_IN if method == "open metal" else CLOSED_VALLEY_LINING_IN
    width = above_zero(lining_width_in, "lining width")
    return () if width >= least else (f"lining {show(width)} in wide, {least} in needed",)


def side_wall_faults(height_in: Exact, width_in: Exact) -> tuple[str, ...]:
    """Return what is below 4 in high by 4 in wide; empty when nothing is. IRC R905.2.8.3."""
    return tuple(
        f"{name} {show(size)} in, {LEAST_SIDE_WALL_IN} in needed"
        for name, size in (("height", height_in), ("width", width_in))
        if above_zero(size, name) < LEAST_SIDE_WALL_IN
    )


def metal_faults(thickness_in: Exact) -> tuple[str, ...]:
    """Return what is wrong with base or cap flashing metal; empty when nothing is. R905.2.8.1."""
    metal = above_zero(thickness_in, "metal thickness")
    return () if metal >= LEAST_METAL_IN else (f"metal {show(metal, 3)} in, 0.019 in needed",)


def drip_edge_faults(
    edge: str, under_metal: bool, lap_in: Exact | None = None, nail_spacing_in: Exact | None = None
) -> tuple[str, ...]:
    """Return what is wrong with drip edge at an edge; empty when nothing is.

    edge: “eaves” or “rakes”. under_metal: whether the underlayment runs under the metal, right at
    rakes and reversed at eaves; where instructions show a membrane under the eave metal with a
    cover strip, the caller does not ask. Laps 2 in, nails to 12 in apart. Source: IRC R905.2.8.5.
    """
    one_of(edge, ("eaves", "rakes"), "edge")
    faults = []
    if under_metal != (edge == "rakes"):
        faults.append(f"underlayment {'under' if under_metal else 'over'} the metal at the {edge}")
    if lap_in is not None and exact(lap_in, "lap") < 2:
        faults.append(f"pieces lap {show(lap_in)} in, 2 in needed")
    if nail_spacing_in is not None and above_zero(nail_spacing_in, "nail spacing") > 12:
        faults.append(f"nails {show(nail_spacing_in)} in apart, 12 in at most")
    return tuple(faults)


def drip_edge_nails(run_ft: Exact, spacing_in: Exact = 12) -> int:
    """Return the nails along one run of drip edge, one at each end; IRC R905.2.8.5."""
    run_in = above_zero(run_ft, "run") * 12
    return int(run_in / above_zero(spacing_in, "nail spacing")) + 1
