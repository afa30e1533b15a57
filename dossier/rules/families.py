"""The families of rules: the letters an id begins with, the title, and what the family is about.

In: nothing. Out: frozen values, in the order of the rule book. Must not know any one rule.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Family:
    """One family of rules. about: a few sentences for the manual."""

    title: str
    about: str


FAMILIES: Mapping[str, Family] = MappingProxyType(
    {
        "IDN": Family(
            "Identity and parties",
            "A roof outlives the phones, the crew and sometimes the company. These rules ask only for the "
            "names without which nothing later can be placed: whose house, whose work, who stood there.",
        ),
        "DEC": Family(
            "Tear-off and deck",
            "The deck is seen for one day in thirty years. What came off, what lay below, what was replaced "
            "and who agreed to pay for it are settled that day or argued over for ever. A board deck holds a "
            "nail only where there is wood: gaps are judged by the maker's terms, and by common practice where "
            "none says. A slope whose old membrane stayed on is not accused; the handover says that its deck was "
            "not seen.",
        ),
        "ORD": Family(
            "Order of work",
            "Nothing may be covered before it was seen, and no log may tell an order that cannot be true. "
            "Days are compared only where they differ: several phases on one day are ordinary. Eave metal comes "
            "before the underlayment and rake metal after it, so neither is held to an order.",
        ),
        "MAT": Family(
            "Materials",
            "The tickets have to be able to cover this roof. Short means less than the measured roof with "
            "no waste at all, less a small measuring tolerance; the waste band only parts plausible from too "
            "much. A role with any line from the company's own stock is never called short, since nails, metal, "
            "boots, starter and caps often come off the truck. A lot is asked for only where the product "
            "carries one, and holds registration only where a clause asks for it.",
        ),
        "ACC": Family(
            "Accessory line",
            "Makers promise more where the whole line is theirs, from drip edge to ridge, and one product of "
            "another maker can cost the level. These rules name that product.",
        ),
        "COD": Family(
            "Code and installation",
            "A re-roof brings the covering under chapter 9 of the residential code, by the edition that the "
            "locality adopted and its own changes. Attic vents and deck spans lie outside unless the locality or "
            "the maker's terms bring them in: they hold what those say, and are notes elsewhere. Figures follow "
            "from the measured slopes, and dossier working shows each of them with its source.",
        ),
        "PER": Family(
            "Permit",
            "What a permit asks for, and how it closes, is the locality's to say. An open permit is found at "
            "the sale of the house.",
        ),
        "REG": Family(
            "Registration and coverage",
            "Registration is the one part of a roof that can only be lost. Each level's conditions are judged "
            "one by one, met, not met, or cannot tell, each with its clause; each deadline names the event it is "
            "counted from and what meets it.",
        ),
        "PHO": Family(
            "Photos and papers",
            "A photo filed under a phase shows that a file exists; a named person's dated note shows what is "
            "in it. Missing camera data is one note a job and never suspicion, since texted pictures lose it. "
            "Slope by slope only the deck, the ice barrier, the underlayment and the field are asked for; "
            "everything else once.",
        ),
        "MON": Family(
            "Money and release",
            "These rules compare sums that should be one: repairs with change orders, invoices with what was "
            "agreed, payments with invoices. They say nothing about what a policy covers or owes.",
        ),
        "SAF": Family(
            "People’s safety",
            "A flue knocked loose fills a house with carbon monoxide; a duct left in the attic rots the deck; "
            "old paint holds lead. What a named person looked at after the last day holds the handover.",
        ),
    }
)
