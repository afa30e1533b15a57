"""What one party outside the office still owes, on a page of its own that can be sent as it is.

In: a case, the punch list, the run. Out: a `TearOff` for each party that is asked for something. Must not print
an amount to anybody but the homeowner, whose money it is; ask for a signature that the work is complete while
somebody is in danger or the permit is open; nor print a rule's number, a line of a file, or how to reach anybody
but the office: who gets such a page may not see the record. The office's own list keeps all of that.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from dossier.case.case import Case
from dossier.compose.parts.shared import capital, company_lines, headline
from dossier.punchlist import Holds, Item, Party, Sends
from dossier.said import File, Listed, Money, Said, over_slopes, say
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
    """One party's page.

    waits: what comes before a signature that the work is complete; empty where none is asked for, or nothing does.
    cautions: empty where nothing asked for could send anybody up or into old paint.
    """

    to: str
    house: str
    job: str
    office: str
    lead: str
    waits: tuple[str, ...]
    rows: tuple[AskRow, ...]
    cautions: tuple[str, ...]


def sends_up(item: Item) -> bool:
    """Return whether an item's remedy may send somebody to the roof or the attic."""
    return item.manner.sends is not Sends.NOWHERE


def tear_off(party: Party, punch_list: Iterable[Item], case: Case, run: Run) -> TearOff | None:
    """Return a party's page; None for the office itself, and where nothing can be asked for."""
    items = tuple(punch_list)
    asked = [item for item in items if item.owed_by is party and item.asks]
    before = _before_signing(case, items) if any(item.manner.signs_off for item in asked) else ()
    if before:
        asked = [item for item in asked if not item.manner.signs_off]
    if party not in _TO or not (asked or before):
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
        lead=_lead(run) if asked else "For the roof of this house we need nothing from you today.",
        waits=before,
        rows=tuple(_row(group, amounts=party is Party.HOMEOWNER) for group in alike.values()),
        cautions=tuple(cautions),
    )


def _lead(run: Run) -> str:
    return (
        f"For the roof of this house we still need the following from you. It is what our record lacked on "
        f"{write_date(run.today)}; if you have sent it since, thank you. What is lost soonest comes first."
    )


def _before_signing(case: Case, items: Iterable[Item]) -> tuple[str, ...]:
    """Return what keeps a signature that the work is complete from being asked for yet."""
    dangers = over_slopes(item.outside for item in items if item.life_safety)
    found = [capital(str(one)) for one in dangers if not _tells_amount(one)]
    of_permit = [item for item in items if Holds.PERMIT in item.holds]
    permit = case.job.permit
    if of_permit and permit is not None and permit.closed_on is None:
        found.append("The permit is not closed on record.")
    else:
        found += [capital(str(one)) for one in over_slopes(item.outside for item in of_permit)]
    return tuple(dict.fromkeys(found))


def _row(items: list[Item], *, amounts: bool) -> AskRow:
    """Return one request. amounts: whether prices on record may be told; what somebody typed never may."""
    first = items[0]
    found = tuple(
        dict.fromkeys(
            _found(item) for item in items if not _tells_amount(item.outside, but_on_record=amounts)
        )
    )
    return AskRow(
        ask=str(first.asks),
        found=found,
        why=str(first.why),
        by=write_date(first.due) if first.due else "as soon as you can",
    )


def _tells_amount(said: Said, *, but_on_record: bool = False) -> bool:
    return any(
        (isinstance(leaf, Money) and not but_on_record)
        or (isinstance(leaf, str) and _AMOUNT.search(leaf) is not None)
        for leaf in said.leaves
    )


def _found(item: Item) -> str:
    """Return what an item found; of photos only their names, since the rest speaks to the office."""
    photos = [one.name for one in item.says.leaves if isinstance(one, File) and one.is_photo]
    if photos:
        return str(say("{names:Photo|Photos} {names}.", names=Listed(tuple(photos))))
    return capital(str(item.outside))
