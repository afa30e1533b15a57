"""The sentences that every claim and sale document says alike: cautions, where to look, what is asked first.

In: the year a house was built. Out: groups of sentences. Must not name a cause, give legal advice or send
anybody up: who looks is trained, equipped and insured, and licensed people decide. Where no source
stands, the advice is common practice, no published source.
"""

from dossier.assess.look_first import Spot
from dossier.compose.parts.care import LEAD_PAINT_BANNED
from dossier.compose.parts.shared import Pair

DECIDES = (
    "By the printed terms and this record; the warrantor decides. What is wrong, and why, takes eyes on the "
    "roof; this document decides neither, and is not legal advice."
)

SPOT_TITLES: dict[Spot, str] = {
    Spot.FLASHING: "Flashing at walls and chimneys",
    Spot.PENETRATION: "Pipes, vents and skylights",
    Spot.VALLEY: "Valley",
    Spot.ICE_DAM: "Ice at the eave",
    Spot.WIND_LIFTED: "Shingle lifted by wind",
    Spot.EXPOSED_NAIL: "Exposed or backed-out nail",
    Spot.CONDENSATION: "Condensation below the deck",
    Spot.FOOT_TRAFFIC: "Foot traffic and later work",
    Spot.MANUFACTURING: "The shingle itself",
}

ON_SITE: dict[Spot, str] = {
    Spot.FLASHING: "Step and counter flashing lapped with the courses, chimney saddle, kick-out at the foot of "
    "a wall, sealant that stands in for metal.",
    Spot.PENETRATION: "Collar of each boot, upper edge of its flange below the shingles, nails of the flange, "
    "caps of ducts and flues, skylight kit.",
    Spot.VALLEY: "Debris, nails close to the centre, cut edges, how far the lining reaches under the shingles.",
    Spot.ICE_DAM: "Marks of ice at the eave, water lines above the edge of the barrier, insulation pressed into "
    "the eave, warm spots in the attic. Note whether it came with a thaw or with rain.",
    Spot.WIND_LIFTED: "Creased or missing tabs at edges and ridges, seal strips that have let go, their dust; "
    "the day and the recorded gusts, if there was a storm.",
    Spot.EXPOSED_NAIL: "Last caps of the ridge, flanges, nails that stand up through a shingle, rust marks.",
    Spot.CONDENSATION: "From the attic, if it can be entered safely: frost or rust on nail points, dark deck "
    "without a track of water, ducts that end in the attic, covered soffit openings.",
    Spot.FOOT_TRAFFIC: "Scuffs along a path, new holes, mounts, cables, patches and sealant by others.",
    Spot.MANUFACTURING: "Whether it follows one lot or one wrapper, blisters, loss of granules over a field, "
    "the spare bundle. Samples with a label: place, day, who took them.",
}
"""What a trained person looks at. Source of the patterns: general inspection practice; common practice."""

CAUTIONS: tuple[Pair, ...] = (
    Pair(
        "Roof",
        "Nobody goes onto the roof who is not trained, equipped against a fall and insured for it, and nobody "
        "goes alone, or while it is wet, icy, hot or windy. Look from the ground with glasses, from a lift, or "
        "with a camera on a pole first. A deck that was wet for long may not carry a person.",
    ),
    Pair(
        "Ladder",
        "On firm level ground, tied or held, three rungs above the edge, away from the power line to the house. "
        "Local rules on ladders and falls hold, and the licensed people on site decide.",
    ),
    Pair(
        "Attic",
        "Step only on framing or boards: a ceiling does not carry a person, and a wet one can fall. Mind nails, "
        "wires, heat, animals and old insulation that may hold asbestos. No safe footing or light: stay out.",
    ),
    Pair(
        "Electricity near water",
        "Water at a lamp, a switch, an outlet or the panel: keep away, have the circuit switched off from a dry "
        "place by somebody who can do it safely, and have a licensed electrician look before it is used again.",
    ),
)

CAUTIONS_OWNER: tuple[Pair, ...] = (
    Pair(
        "Do not go up",
        "Not onto the roof, not up a ladder, not into the attic. Look from the rooms below and from the "
        "ground. Who goes up to look is trained, equipped and insured for it; a roof that was wet for long may "
        "not carry a person.",
    ),
    Pair(
        "A wet ceiling",
        "A ceiling that bulges or drips may come down: keep everybody out from under it.",
    ),
    Pair(
        "Electricity near water",
        "Water at a lamp, a switch, an outlet or the panel: touch nothing there, keep away, and have a licensed "
        "electrician look before it is used again.",
    ),
)
"""What an owner is told, who is never sent up. Source: common practice, no published source."""


def old_paint_caution(year_built: int | None) -> Pair:
    """Return the caution on old paint. Source: 40 CFR 745, target housing is older than 1978."""
    if year_built is not None and year_built >= LEAD_PAINT_BANNED:
        said = f"On record as built in {year_built}; parts from older houses can still carry lead."
    else:
        built = "not on record" if year_built is None else str(year_built)
        said = (
            f"Year built on record: {built}. Before {LEAD_PAINT_BANNED} paint may hold lead: nothing is scraped, "
            "sanded or torn out before a certified renovator has said how (40 CFR 745)."
        )
    return Pair("Old paint", said)


OWNER_FIRST: tuple[str, ...] = (
    "Keep people safe and the inside dry. A tarpaulin is laid by a roofer, not by you.",
    "Keep every piece that came down and every part that is taken off, dry, in a bag with the day.",
    "Wait for the maker’s answer before anything is repaired for good: its terms may end coverage for a "
    "repair that nobody was able to look at.",
)
"""What the owner is told first. Source: the makers' terms as typed in; common practice."""

CANNOT_SHOW: tuple[str, ...] = (
    "A photo shows what stood before the camera on that day, not what happened since.",
    "Water runs along deck and framing: the place of a stain is not the place where it came in.",
    "Whether a fault was there when the roof was handed over, or came later, takes eyes on the roof.",
)
"""What no record of this kind shows. Source: general inspection practice; common practice."""
