"""What one party outside the office still owes, on a page of its own that can be sent as it is.

In: a case, the punch list, the run. Out: a `TearOff` for each party that is asked for something. Must not print
an amount, a rule's number, a line of a file, or how to reach anybody but the office: who gets such a page may
not see the record. The office's own list keeps all of that.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from dossier.case.case import Case
from dossier.compose.parts.shared import capital, company_lines, headline
from dossier.punchlist import Item, Party
from dossier.said import File, Listed, Money, Said, is_own_words, say
from dossier.values import Run, write_date

CAUTION = (
    "Nobody goes onto a roof, up a ladder or into an attic for a line on this list alone: fall protection, "
    "a second person, dry weather and daylight first; step only on framing in an attic."
)
"""Common practice, no published source; OSHA 29 CFR 1926.501 decides for employees."""

OLD_PAINT = (
    "Old paint: until it is tested, take paint from before 1978 to hold lead. Do not sand, burn or scrape it; "
    "a certified renovator does that work (40 CFR 745)."
)

_SENDS_PEOPLE_UP = ("COD-", "DEC-", "PHO-001", "PHO-002", "SAF-")
"""Rules whose remedy may send somebody to the roof or the attic."""

_OLD_PAINT_RULES = ("SAF-004", "SAF-005")

_LOOK_ON_PHONES = "Look on your phones for that day and send us the photo as it was taken."
_TELL_AND_DATE = (
    "Tell us who looked and on which day. If nobody did, say so; do not climb to make up for it."
)

ASKS: dict[str, str] = {
    "IDN-001": "Tell us the names of all owners of the house, and how to reach you.",
    "IDN-013": "Confirm in writing, with the day, that you agreed to this extra work. A text message will do.",
    "DEC-003": "Tell us where this repair is, measured from an edge, what was done, and why.",
    "DEC-004": _LOOK_ON_PHONES,
    "DEC-005": "Confirm in writing, with the day, that you agreed to this extra work. A text message will do.",
    "DEC-006": f"{_LOOK_ON_PHONES} Tell us who looked at the deck there, and when.",
    "DEC-008": "Tell us what you saw of the deck when it was bare.",
    "DEC-010": "Tell us how the deck was dried before it was covered, and who measured it.",
    "ORD-002": "Tell us on which days these were really done.",
    "ORD-003": "Tell us on which days these were done, and who looked at them.",
    "MAT-001": "Send us the lot marks: from the ticket, or from a photo of a wrapper.",
    "MAT-008": "Send us a copy of this delivery ticket, please.",
    "MAT-012": "Tell us the number of this delivery’s ticket, or send a copy.",
    "COD-002": "Check your tape reading against a photo and tell us. Do not open the roof for it.",
    "COD-003": "Tell us where drip edge was laid, and send a photo that shows it.",
    "COD-004": "Look at the photo of the nails and tell us how many are in each shingle.",
    "COD-005": "Tell us which vents are there, how many, and what is printed on them.",
    "COD-008": "Tell us how many layers of underlayment lie there.",
    "COD-009": "Tell us whether a cricket was built behind this chimney, and send a photo.",
    "COD-010": "Tell us whether a kick-out was set there, and send a photo.",
    "COD-011": "Tell us how cold it was while laying, whether shingles were sealed by hand, and whether the "
    "deck was primed below membrane.",
    "COD-014": "Tell us how the valleys were laid.",
    "COD-015": "Tell us the length of the nails, from the box.",
    "COD-017": "Tell us which vents high up are open, and which were closed.",
    "COD-018": f"Vent openings under the eaves: {_TELL_AND_DATE[0].lower()}{_TELL_AND_DATE[1:]}",
    "COD-019": "Tell us how the shingles were fastened on this steep slope, and send a photo.",
    "COD-020": "Send us the sketch with the measured slopes.",
    "COD-021": "Tell us what is printed on the box of nails: kind, shank and head.",
    "COD-022": "Tell us how far each course of underlayment laps the one below.",
    "COD-023": "Tell us whether the underlayment was fastened through caps, and how far apart.",
    "PER-001": "Please tell us the number of the permit for this address.",
    "PER-002": "Please tell us this inspection’s date, result and inspector, or give us a day for it.",
    "PER-003": "Please close this permit, or tell us what is still needed for it.",
    "PER-005": "Please send us a copy of the signed card.",
    "REG-003": "Please sign the registration that we sent you, and send it back.",
    "REG-004": "This is needed for the warranty. Please call us if it is not clear what to do.",
    "REG-005": "Please confirm our certification for these days, in writing.",
    "REG-006": "Please send us the confirmation number and the certificate.",
    "REG-013": "Please send us the certificate.",
    "PHO-001": _LOOK_ON_PHONES,
    "PHO-002": f"{_LOOK_ON_PHONES} What can still be seen from the ground may be photographed now.",
    "PHO-003": "Send us this photo again from the phone it was taken with.",
    "PHO-005": "Send us the originals, not copies from messages; they keep the day.",
    "PHO-007": "Send us the original of this photo; messages send small copies.",
    "PHO-014": "Send us the originals, as the phone took them.",
    "PHO-015": "Send us another photo of the same, if there is one.",
    "MON-001": "Please walk around the house with us, on the ground, and sign that the work is complete.",
    "MON-004": "Please send us the final lien waiver.",
    "MON-005": "Please send us the unconditional final waiver.",
    "MON-007": "Please confirm in writing, with the day, that you agreed to this change.",
    "MON-008": "Please see whether our last invoice is paid, and tell us the day.",
    "MON-011": "Please ask your lender now to endorse the insurer’s payment; it takes weeks.",
    "MON-012": "Please send us the paper named here.",
    "MON-017": "Please send us a waiver that runs through your last delivery.",
    "SAF-001": "A licensed person has to see that each flue and vent is connected, upright and open. Tell us who "
    "looked, and when. Until then carbon monoxide alarms stay on; if one sounds, everybody leaves and calls 911 "
    "or the local emergency number.",
    "SAF-002": "A licensed person has to look at the flues once more, since work went on after the look. "
    "Tell us who, and when.",
    "SAF-003": f"Ducts from bath, kitchen and dryer: {_TELL_AND_DATE[0].lower()}{_TELL_AND_DATE[1:]}",
    "SAF-004": "Send us what is missing of the renovation record.",
    "SAF-005": "Tell us whether painted parts outdoors were disturbed, and about how many square feet.",
    "SAF-010": _TELL_AND_DATE,
}
"""What a party is asked for, in words meant for it; the rule's own remedy speaks to the office. A rule that is
not here is left to the office, which rings up."""

_AMOUNT = re.compile(r"[$€£]|\d,\d{3}\.\d\d\b")
"""An amount of money as somebody may type it in a text; a length or a clause of two places is none."""

_TO = {
    Party.CREW: "the crew",
    Party.SUPPLIER: "the supplier",
    Party.PERMIT_OFFICE: "the permit office",
    Party.HOMEOWNER: "the homeowner",
    Party.MAKER: "the maker",
}
"""The parties that are written to. An insurer is asked by the owner, or at the owner's written direction."""


@dataclass(frozen=True)
class AskRow:
    """One request. found: what the record shows, sentence by sentence. by: the last day it helps, or words."""

    ask: str
    found: tuple[str, ...]
    why: str
    by: str


@dataclass(frozen=True)
class TearOff:
    """One party's page. cautions: empty where nothing asked for could send anybody up or into old paint."""

    to: str
    house: str
    job: str
    office: str
    lead: str
    rows: tuple[AskRow, ...]
    cautions: tuple[str, ...]


def sends_up(item: Item) -> bool:
    """Return whether an item's remedy may send somebody to the roof or the attic."""
    return any(rule.startswith(_SENDS_PEOPLE_UP) for rule in item.rules)


def tear_off(party: Party, items: Iterable[Item], case: Case, run: Run) -> TearOff | None:
    """Return a party's page; None for the office itself, and where nothing can be asked for.

    items: what the party owes, in the order of the list.
    """
    asked = [item for item in items if _asks(item)]
    if party not in _TO or not asked:
        return None
    alike: dict[tuple[object, ...], list[Item]] = {}
    for item in asked:
        alike.setdefault((_asks(item), item.due, item.why), []).append(item)
    cautions = [CAUTION] if any(sends_up(item) for item in asked) else []
    cautions += (
        [OLD_PAINT] if any(set(_OLD_PAINT_RULES) & set(item.rules) for item in asked) else []
    )
    office = ", ".join(company_lines(case.company))
    return TearOff(
        to=_TO[party],
        house=headline(case.job.job.address),
        job=case.job.job.number,
        office=office,
        lead=(
            f"For the roof of this house we still need the following from you. It is what our record lacked on "
            f"{write_date(run.today)}; if you have sent it since, thank you. What is lost soonest comes first."
        ),
        rows=tuple(_row(group) for group in alike.values()),
        cautions=tuple(cautions),
    )


def _asks(item: Item) -> str:
    """Return what an item asks a party for, in the words of each of its rules that has some; empty for none."""
    return " ".join(dict.fromkeys(ASKS[rule] for rule in item.rules if rule in ASKS))


def _row(items: list[Item]) -> AskRow:
    first = items[0]
    found = tuple(dict.fromkeys(_found(item) for item in items if not _tells_amount(item.outside)))
    return AskRow(
        ask=_asks(first),
        found=found,
        why=str(first.why),
        by=write_date(first.due) if first.due else "as soon as you can",
    )


def _tells_amount(said: Said) -> bool:
    return any(
        isinstance(leaf, Money) or (is_own_words(leaf) and _AMOUNT.search(str(leaf)) is not None)
        for leaf in said.leaves
    )


def _found(item: Item) -> str:
    """Return what an item found; of photos only their names, since the rest speaks to the office."""
    photos = [one.name for one in item.says.leaves if isinstance(one, File) and one.is_photo]
    if photos:
        return str(say("{names:Photo|Photos} {names}.", names=Listed(tuple(photos))))
    return capital(str(item.outside))
