"""What a handover says on every roof alike: care by season, cautions, claims.

In: the year the house was built, where known, and whether the record holds a dust record. Out: groups of
sentences. Must not give legal advice or structural judgement: local code, the maker's printed terms and
licensed people decide, and the sentences say so. Where no source stands, the advice is common practice,
no published source.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from dossier.compose.parts.shared import Pair

LEAD_PAINT_BANNED = 1978
"""Homes built before 1978 may hold lead paint. Source: 40 CFR 745.103, definition of target housing."""


@dataclass(frozen=True)
class Advice:
    """A heading and its sentences."""

    title: str
    sentences: tuple[str, ...]


DEFERS = (
    "Local code, the permit office, the maker’s printed terms and licensed people decide; this page only "
    "says what to look for and whom to call."
)

SEASONS: tuple[Advice, ...] = (
    Advice(
        "Spring",
        (
            "Walk around the house on the ground and look up: shingles out of line, bent metal, "
            "branches that touch the roof.",
            "Look at the ceilings below the roof for new stains.",
            "Have gutters cleaned by somebody equipped for it, and see that water runs away from the "
            "house.",
        ),
    ),
    Advice(
        "Summer",
        (
            "After a storm look again from the ground and take photos with the date.",
            "Keep branches off the roof; have them cut by somebody trained and insured.",
            "Let nobody fasten antennas, panels or lights through the shingles before you have read what "
            "ends coverage and asked.",
        ),
    ),
    Advice(
        "Autumn",
        (
            "Have leaves taken out of valleys and gutters before the first frost, by somebody equipped for it.",
            "See that vents under the eaves and along the ridge are open, from the ground.",
            "Test every carbon monoxide alarm and change its batteries.",
        ),
    ),
    Advice(
        "Winter",
        (
            "Long icicles and ice at the eaves mean that warm air reaches the roof: note where, take "
            "photos, and call when it is over.",
            "Never chip ice and never salt it: both ruin shingles, and salt ruins metal and plants.",
            "After heavy snow, cracking sounds, doors that stick or a sagging ceiling: leave the house, "
            "then call the fire service and a licensed engineer.",
        ),
    ),
)

CAUTIONS: tuple[Pair, ...] = (
    Pair(
        "Stay off the roof",
        "Do not go onto the roof, and do not climb a ladder to look at it. Look from the ground or from "
        "a window, with binoculars. Shingles are slippery when wet, frosty or dusty.",
    ),
    Pair(
        "In the attic",
        "Step only on framing or boards: a ceiling does not carry a person. Mind nails that come through "
        "the deck, wires, heat in summer and old insulation. If you cannot see where you step, stay out.",
    ),
    Pair(
        "Carbon monoxide",
        "Keep a working carbon monoxide alarm on every floor where people sleep, as your local code "
        "asks. If it sounds: everybody out, call 911 or your local emergency number from outside, and do "
        "not go back in. A flue that leans or has come apart is an emergency.",
    ),
    Pair(
        "Snow and ice",
        "Keep people and cars from under icicles and from under snow that may slide. A snow rake can be used "
        "from the ground, never from a ladder and never near wires. Keep outlets of flues and vents clear of "
        "drifts, from the ground: a covered flue sends carbon monoxide into the house. How much snow a roof "
        "carries is for a licensed engineer or the permit office to say.",
    ),
    Pair(
        "Wires",
        "Keep people, rakes, ladders and branches away from the power line to the house. Only the power "
        "company works there.",
    ),
    Pair(
        "Whom to call",
        "For a leak: put a bucket below it, keep away from water near a light or an outlet, take photos, "
        "then call as section “How to claim” says. For danger to people: 911 or your local emergency "
        "number first.",
    ),
)

CLAIM_STEPS_BEFORE: tuple[str, ...] = (
    "Keep people safe and the inside dry. A tarpaulin is laid by a roofer, not by you.",
    "Write down the day you saw it, the weather, and where. Take photos from inside and from the ground.",
    "Call the company that laid the roof, and ask for a written answer.",
)

CLAIM_STEPS_AFTER: tuple[str, ...] = (
    "Keep any pieces that came down, dry and in a bag with the date.",
    "Wait for the answer before anything is repaired for good: the terms may end coverage for a repair "
    "that nobody was able to look at.",
)
"""Between the two stands the notice to the claims desk, whose time the terms name."""

COMPANY_GONE_FIRST = (
    "You can go to the maker yourself. The address stands above, and whether its promise depends on the company "
    "its terms say."
)

COMPANY_GONE: tuple[str, ...] = (
    "What the company alone promised falls on nobody else by itself. Ask whether another company took "
    "over its work, and ask the state’s licensing office about its licence and bond.",
    "Choose the company that looks at the roof for you from those the maker certifies, and ask it to "
    "write down what it sees before it touches anything.",
)


def old_paint(year_built: int | None, painted_sqft: str, told: Sequence[str] = ()) -> Pair:
    """Return the caution about old paint.

    painted_sqft: what the record says was disturbed, or empty. told: what it holds of that work beside it.
    """
    if year_built is not None and year_built >= LEAD_PAINT_BANNED:
        text = (
            f"The house is on record as built in {year_built}. Paint with lead was sold for homes until "
            f"{LEAD_PAINT_BANNED}; parts brought in from older houses can still carry it."
        )
    else:
        built = "not on record" if year_built is None else f"{year_built}"
        text = (
            f"Year built on record: {built}. A house built before {LEAD_PAINT_BANNED} may carry paint "
            "with lead. Do not sand, burn or scrape it; have it tested, and have the work done by a "
            "certified renovator (40 CFR 745)."
        )
    if painted_sqft:
        text += (
            f" By the record, {painted_sqft} of painted parts outdoors were disturbed by this job."
        )
        text += f" On record of that work: {'; '.join(told)}." if told else ""
    return Pair("Old paint", text)
