"""What roofers call the phases in the names of folders and files.

In: nothing. Out: words, each with the phases it can honestly mean. Must not know any file. One phase names it;
several propose nothing by themselves and narrow what a day leaves open. Common practice, no published source.
"""

from collections.abc import Mapping

from dossier.words import Phase

_P = Phase

NAMES: Mapping[str, Phase] = {
    **dict.fromkeys(
        ("ice and water", "ice water", "ice & water shield", "ice and water shield", "ice shield"),
        _P.ICE_BARRIER,
    ),
    **dict.fromkeys(("ice membrane", "i&w", "i w", "i and w", "iws"), _P.ICE_BARRIER),
    **dict.fromkeys(("felt", "felt paper", "syn", "synthetic", "underlay"), _P.UNDERLAYMENT),
    **dict.fromkeys(("drip", "drips", "drip edges", "drip metal", "eave metal"), _P.DRIP_EDGE),
    **dict.fromkeys(("rake metal", "eave edge", "rake edge"), _P.DRIP_EDGE),
    **dict.fromkeys(("torn off", "tearing off", "teardown", "rip off"), _P.TEAR_OFF),
    **dict.fromkeys(("bare deck", "open deck"), _P.DECK),
    **dict.fromkeys(("deck repairs", "redeck", "redecking", "new decking"), _P.DECK_REPAIR),
    **dict.fromkeys(("new plywood", "new osb", "new sheathing"), _P.DECK_REPAIR),
    **dict.fromkeys(("starters", "starter strip", "starter course"), _P.STARTER),
    **dict.fromkeys(("ridge cap", "ridge caps", "hip cap", "hip caps"), _P.HIP_AND_RIDGE),
    **dict.fromkeys(("hips", "hips and ridges", "ridges"), _P.HIP_AND_RIDGE),
    **dict.fromkeys(("flashings", "step flashing", "counterflashing"), _P.FLASHING),
    **dict.fromkeys(
        ("boot", "boots", "pipe boot", "pipe boots", "kickout", "kick out"), _P.FLASHING
    ),
    **dict.fromkeys(("ridge vent", "ridge vents", "box vent", "soffit vent"), _P.VENTILATION),
    **dict.fromkeys(("soffit vents", "baffles"), _P.VENTILATION),
    **dict.fromkeys(("cleanup", "clean up", "magnet", "magnet sweep"), _P.CLEAN_UP),
    **dict.fromkeys(("finished roof", "finish"), _P.FINISHED),
}
"""Words that mean one phase."""

NARROW: Mapping[str, tuple[Phase, ...]] = {
    # After may be after the tear-off, after the repair or after all; done is said of every phase.
    **dict.fromkeys(
        ("after", "done", "complete", "completed", "final"), (_P.CLEAN_UP, _P.FINISHED)
    ),
    **dict.fromkeys(("stripped", "strip"), (_P.TEAR_OFF, _P.DECK)),
    **dict.fromkeys(
        ("decking", "plywood", "osb", "sheathing", "boards", "rot", "rotten"),
        (_P.DECK, _P.DECK_REPAIR),
    ),
    **dict.fromkeys(("old roof", "existing"), (_P.BEFORE, _P.TEAR_OFF)),
    **dict.fromkeys(("chimney", "skylight", "skylights"), (_P.BEFORE, _P.FLASHING, _P.FINISHED)),
    **dict.fromkeys(
        ("valley", "valleys"), (_P.ICE_BARRIER, _P.UNDERLAYMENT, _P.FIELD, _P.FLASHING)
    ),
    **dict.fromkeys(("dry in", "dried in"), (_P.ICE_BARRIER, _P.UNDERLAYMENT)),
    "shingles": (_P.BEFORE, _P.TEAR_OFF, _P.FIELD),
    **dict.fromkeys(
        ("nails", "nailing", "nail pattern"), (_P.STARTER, _P.FIELD, _P.HIP_AND_RIDGE, _P.CLEAN_UP)
    ),
    **dict.fromkeys(("ridge", "hip"), (_P.VENTILATION, _P.HIP_AND_RIDGE)),
    "caps": (_P.UNDERLAYMENT, _P.HIP_AND_RIDGE),
    **dict.fromkeys(("vent", "vents"), (_P.FLASHING, _P.VENTILATION)),
    "dumpster": (_P.TEAR_OFF, _P.CLEAN_UP),
}
"""Words that mean one of several phases."""
