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
from dossier.punchlist import Item, Party, Sends
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

_AMOUNT = re.compile(r"[$€£]|\d,\d{3}\.\d\d\b")
"""An amount of money, as rules write it and as a record may; a length or a clause of two places is none."""

_PHOTO = re.compile(r"^photos/(.+?\.\w{2,4})\b")
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
    return item.manner.sends is not Sends.NOWHERE


def tear_off(party: Party, items: Iterable[Item], case: Case, run: Run) -> TearOff | None:
    """Return a party's page; None for the office itself, and where nothing can be asked for.

    items: what the party owes, in the order of the list.
    """
    asked = [item for item in items if item.asks]
    if party not in _TO or not asked:
        return None
    alike: dict[tuple[object, ...], list[Item]] = {}
    for item in asked:
        alike.setdefault((item.asks, item.due, item.why), []).append(item)
    cautions = [CAUTION] if any(sends_up(item) for item in asked) else []
    if any(item.manner.sends is Sends.UP_AND_INTO_OLD_PAINT for item in asked):
        cautions.append(OLD_PAINT)
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


def _row(items: list[Item]) -> AskRow:
    first = items[0]
    found = tuple(dict.fromkeys(_found(item) for item in items if not _AMOUNT.search(item.says)))
    return AskRow(
        ask=first.asks,
        found=found,
        why=first.why,
        by=write_date(first.due) if first.due else "as soon as you can",
    )


def _found(item: Item) -> str:
    """Return what an item found; of a photo only its name, since the rest speaks to the office."""
    photo = _PHOTO.match(item.says)
    if photo:
        return f"Photo {photo[1]}."
    return capital(item.says.removeprefix("To chase: ").replace(" in papers/", ""))
