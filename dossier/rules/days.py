"""Days that follow on one another: sent before received, built before inspected, agreed before billed.

In: the days of a record. Out: faults. Must not know the order of the phases of the work: `order.py` does.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Manner, Party, Sends, Weight, Where
from dossier.record.closing import Invoice
from dossier.rules.certificates import is_on_file
from dossier.rules.declare import Example, Fault, rule
from dossier.said import File, Said, Value, say
from dossier.values import Run
from dossier.words import PermitClosing, Phase


@dataclass(frozen=True)
class _Day:
    """A day on record, what it is the day of, as the words of a sentence, and where it stands."""

    what: Said
    on: date
    where: Where


@rule(
    id="ORD-023",
    says="{what!c} is dated {day}, before {other} on {other_day}.",
    why="A day before the one it follows on is a slip of the pen or another job's, and makes both doubtful.",
    source="The calendar; to agree to extra work before it is billed is common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Look at the paper of each and correct the day that is wrong; where both are right, note why.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.building.lead_dust.owner_copy_on": "SAF-004 asks for it.",
        "job.job.contract_on": "ORD-009 asks for it.",
        "job.money.change_orders.*.approved.on": "A day that is blank comes before nothing; MON-007 asks for it.",
        "job.money.change_orders.*.approved": "MON-007 asks for it.",
        "job.money.change_orders.*.number": "Without a number its place in the list names it.",
        "job.money.invoices": "MON-006 asks for the final invoice.",
        "job.permit": "A day that is blank comes before nothing; the permit family asks for what it needs.",
        "job.repairs.*.approved": "DEC-005 asks for it.",
        "job.warranties": "A day that is blank comes before nothing.",
        "job.work": "ORD-003 asks for the days of the work.",
        "photos.*.reviewed": "A photo that nobody looked at was not looked at too early.",
    },
    examples=[
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.received_on": "2026-09-24",
            },
            finds="The packet's arrival for Full Assembly is dated 24 September 2026, before the packet's sending "
            "on 25 September 2026.",
        ),
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.accepted_on": "2026-10-15",
                "job.warranties.0.delivered_on": "2026-10-14",
            },
            finds="The certificate's handing over for Full Assembly is dated 14 October 2026, before the maker's "
            "acceptance on 15 October 2026.",
        ),
        Example(
            {"job.money.change_orders": "1, 192.00, approved by Marit Ekdahl on 2026-08-17"},
            finds="The agreement to change order 1 is dated 17 August 2026, before the contract on "
            "18 August 2026.",
        ),
        Example(
            {"job.repairs.0.approved": "Marit Ekdahl, 2026-09-23"},
            finds="The final invoice is dated 22 September 2026, before the agreement to deck repair 1 on "
            "23 September 2026.",
        ),
        Example(
            {"job.money.invoices": "2026-041, 2026-09-13, 15,052.00"},
            finds="The final invoice is dated 13 September 2026, before the first day of work on "
            "14 September 2026.",
        ),
        Example(
            {"job.permit.inspections.1": "final, 2026-09-01, passed, R. Lindmark"},
            finds="The final inspection is dated 1 September 2026, before the permit's issue on 2 September 2026.",
        ),
        Example(
            {"photos.0": {"file": "photos/field/back.jpg", "reviewed": "Ida Torvik, 2026-09-14"}},
            finds="The look at photos/field/back.jpg is dated 14 September 2026, before the taking of the "
            "picture on 15 September 2026.",
        ),
        Example(
            {"job.building.lead_dust": {"painted_sqft": "0", "owner_copy_on": "2026-09-13"}},
            finds="The owner's copy of the renovation record is dated 13 September 2026, before the first day of "
            "work on 14 September 2026.",
        ),
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.received_on": "2026-09-25",
                "job.warranties.0.accepted_on": "2026-09-25",
                "job.repairs.0.approved": "Marit Ekdahl, 2026-09-22",
            },
            finds=None,
        ),
    ],
)
def dated_before_what_it_follows(case: Case, facts: Facts) -> Iterator[Fault]:
    for later, earlier in _orders(case, facts):
        if later.on < earlier.on:
            yield Fault(
                later.where,
                {
                    "what": later.what,
                    "day": later.on,
                    "other": earlier.what,
                    "other_day": earlier.on,
                },
            )


def _orders(case: Case, facts: Facts) -> Iterator[tuple[_Day, _Day]]:
    """Yield pairs of days of which the first cannot come before the second."""
    yield from _registrations(case)
    contract = _day(say("the contract"), case.job.job.contract_on, case.where("job.contract_on"))
    began = _day(say("the first day of work"), case.first_day_of_work(), case.where("work"))
    invoice = _final_invoice(case)
    permit = case.job.permit
    issued = _day(
        say("the permit's issue"), permit.issued if permit else None, case.where("permit.issued")
    )
    dust = case.job.building.lead_dust if case.job.building else None
    copy = _day(
        say("the owner's copy of the renovation record"),
        dust.owner_copy_on if dust else None,
        case.where("building.lead_dust.owner_copy_on"),
    )
    known = [(invoice, began), (copy, began)]
    for agreed in _agreements(case):
        known += [(agreed, contract), (invoice, agreed)]
    known += [(day, issued) for day in _permit_days(case)]
    for photo in case.photos:
        fact = facts.photos.get(photo.file)
        where = case.photo_where(photo.file)
        looked = _day(
            say("the look at {file}", file=File(photo.file)),
            photo.reviewed.on if photo.reviewed else None,
            where,
        )
        taken = fact.taken_at_local.date() if fact and fact.taken_at_local else None
        known.append((looked, _day(say("the taking of the picture"), taken, where)))
    yield from ((later, earlier) for later, earlier in known if later and earlier)


def _day(what: Said, on: date | None, where: Where) -> _Day | None:
    return None if on is None else _Day(what, on, where)


def _registrations(case: Case) -> Iterator[tuple[_Day, _Day]]:
    for number, warranty in enumerate(case.job.warranties):
        steps = (
            ("owner_signed_on", "the owner's signature"),
            ("submitted_on", "the packet's sending"),
            ("received_on", "the packet's arrival"),
            ("accepted_on", "the maker's acceptance"),
            ("delivered_on", "the certificate's handing over"),
        )
        known = [
            (say(what), on, case.where(f"warranties.{number}.{field}"))
            for field, what in steps
            if (on := getattr(warranty, field)) is not None
        ]
        for (before, first, where), (what, on, there) in pairwise(known):
            what = say("{what} for {level}", what=what, level=warranty.level)
            yield _Day(what, on, there), _Day(before, first, where)


def _agreements(case: Case) -> Iterator[_Day | None]:
    """Yield the days on which an owner agreed to extra work or to another price."""
    for number, repair in enumerate(case.job.repairs):
        path = f"repairs.{number}.approved"
        if path in case.derived:
            continue
        on = repair.approved.on if repair.approved else None
        what = say("the agreement to deck repair {number}", number=number + 1)
        yield _day(what, on, case.where(path))
    for number, order in enumerate(case.job.money.change_orders if case.job.money else ()):
        path = f"money.change_orders.{number}.approved"
        on = order.approved.on if order.approved else None
        what = say("the agreement to change order {number}", number=order.number or number + 1)
        yield _day(what, on, case.where(path))


def _final_invoice(case: Case) -> _Day | None:
    money = case.job.money
    final: Invoice | None = money.final_invoice() if money else None
    if money is None or final is None:
        return None
    where = case.where(f"money.invoices.{money.invoices.index(final)}.on")
    return _day(say("the final invoice"), final.on, where)


def _permit_days(case: Case) -> Iterator[_Day | None]:
    permit = case.job.permit
    if permit is None:
        return
    for number, one in enumerate(permit.inspections):
        where = case.where(f"permit.inspections.{number}")
        yield _day(say("the {kind} inspection", kind=one.kind), one.on, where)
    what = say("the permit's extension")
    yield _day(what, permit.extended_on, case.where("permit.extended_on"))
    what = say("the permit's closing")
    yield _day(what, permit.closed_on, case.where("permit.closed_on"))


_COVERED = (Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT)
"""Phases that nobody sees once the field shingles are down."""


@rule(
    id="ORD-024",
    says="The {kind} inspection is dated {on}, after the shingles had covered it on {day}.",
    why="Nobody sees a deck or a membrane through the shingles; whoever reads the card later will ask what was "
    "looked at.",
    source="IRC 2018, 2021 and 2024, section R109.1 (inspections before work is covered; from memory)",
    owed_by=Party.OFFICE,
    remedy="Compare with the permit card and correct the day; where the inspector went by photos, say so in the "
    "notes.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.permit.inspections.*.on": "ORD-007 asks for it.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"job.permit.inspections.0": "deck and ice barrier, 2026-09-16, passed, R. Lindmark"},
            finds="The deck and ice barrier inspection is dated 16 September 2026, after the shingles had covered "
            "it on 15 September 2026.",
        ),
        Example(
            {
                "job.permit.inspections.0": "deck and ice barrier, 2026-09-16, passed, R. Lindmark",
                "locality.closing": "photo affidavit",
            },
            finds=None,
        ),
        Example(
            {"job.permit.inspections.0": "deck and ice barrier, 2026-09-15, passed, R. Lindmark"},
            finds=None,
        ),
    ],
)
def inspected_after_covered(case: Case) -> Iterator[Fault]:
    covered = case.last_day_of(Phase.FIELD)
    by_photos = case.locality.closing is PermitClosing.PHOTO_AFFIDAVIT
    if covered is None or by_photos or case.job.permit is None:
        return
    for number, one in enumerate(case.job.permit.inspections):
        kind = one.kind.lower()
        hidden = any(phase.value in kind for phase in _COVERED) and "final" not in kind.split()
        if hidden and one.on is not None and one.on > covered:
            yield Fault(
                case.where(f"permit.inspections.{number}"),
                {"kind": one.kind, "on": one.on, "day": covered},
            )


@rule(
    id="REG-028",
    says="A certificate of {level} was handed over on {day}, and neither acceptance, confirmation nor certificate "
    "is on record.",
    why="What the owner was given must be the maker's own word; a day without it proves nothing.",
    source="Trade practice; no published source",
    owed_by=Party.OFFICE,
    remedy="File the certificate and write accepted_on and the confirmation, or take the day away.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.papers": "A certificate that is not on file is what the rule finds.",
        "job.warranties.*.accepted_on": "Blank means that the maker did not accept it yet, as the rule says.",
        "job.warranties.*.confirmation": "REG-006 asks for it of a packet that was sent.",
        "job.warranties.*.delivered_on": "REG-018 asks for it.",
    },
    examples=[
        Example(
            {"job.warranties.0.delivered_on": "2026-10-20"},
            finds="A certificate of Full Assembly was handed over on 20 October 2026, and neither acceptance, "
            "confirmation nor certificate is on record.",
        ),
        Example(
            {
                "job.warranties.0.delivered_on": "2026-10-20",
                "job.warranties.0.confirmation": "KM-7",
            },
            finds=None,
        ),
    ],
)
def handed_over_before_accepted(case: Case, facts: Facts) -> Iterator[Fault]:
    for number, warranty in enumerate(case.job.warranties):
        given = warranty.delivered_on
        if given and not (warranty.is_accepted or is_on_file(case, facts, warranty)):
            values: dict[str, Value] = {"level": warranty.level, "day": given}
            yield Fault(case.where(f"warranties.{number}.delivered_on"), values)


_LONG_AHEAD = timedelta(days=365)
"""Roofs are laid in the season they are sold in or the next; common practice, no published source."""


@rule(
    id="ORD-025",
    says="The contract is dated {contract}, more than a year before work began on {began}.",
    why="Prices, code and printed terms change in a year; a contract that old is another job's, or was typed "
    "wrongly.",
    source="Common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Compare with the contract and correct the day; where it is right, say so in the notes.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "job.job.contract_on": "ORD-009 asks for it.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"job.job.contract_on": "2025-09-13"},
            finds="The contract is dated 13 September 2025, more than a year before work began on "
            "14 September 2026.",
        ),
        Example({"job.job.contract_on": "2025-09-14"}, finds=None),
    ],
)
def contract_long_before_the_work(case: Case) -> Iterator[Fault]:
    contract, began = case.job.job.contract_on, case.first_day_of_work()
    if contract is not None and began is not None and contract < began - _LONG_AHEAD:
        values = {"contract": contract, "began": began}
        yield Fault(case.where("job.contract_on"), values)


_FAR_AHEAD = timedelta(days=60)
_LONG_BEFORE = timedelta(days=183)
"""A waiver through the end of the next month is a habit of some offices, and whoever took fibres or panels off was
done before the roof began; common practice, no published source."""


@rule(
    id="MON-027",
    says="The waiver from {who} runs to {through}, {found} {day}.",
    why="A waiver reaches as far as its day: one that ends before the work waives little of it, and a day far "
    "ahead is seldom what the paper says.",
    source="Cal. Civ. Code 8132 and 8134 as a worked model of waivers through a date; state law decides; 60 days "
    "ahead are common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Read the day off the waiver and correct it; where the waiver itself ends too soon, ask for one that "
    "reaches further.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    rests_on={
        "company.crews": "A crew whose company nobody names is the company’s own.",
        "job.job.crew": "Without a crew nobody else is known to have done the work.",
        "job.money.waivers.*.given_by": "MON-004 asks who gave it.",
        "job.money.waivers.*.through": "A final waiver without a day waives all.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {
                "job.money.waivers.1": "unconditional final, from Clearfiber Abatement, through 2026-09-11"
            },
            finds=None,
        ),
        Example(
            {
                "job.money.waivers.1": "unconditional final, from Clearfiber Abatement, through 2025-09-11"
            },
            finds="The waiver from Clearfiber Abatement runs to 11 September 2025, more than half a year before "
            "work began on 14 September 2026.",
        ),
        Example(
            {
                "job.job.crew": "lakeside",
                "job.money.waivers.1": "unconditional final, from Halden Roof Crew, through 2026-09-15",
            },
            finds="The waiver from Halden Roof Crew runs to 15 September 2026, before its last day of work on "
            "16 September 2026.",
        ),
        Example(
            {
                "job.money.waivers.1": "unconditional final, from Ormskar crew north, through 2027-09-30"
            },
            finds="The waiver from Ormskar crew north runs to 30 September 2027, more than 60 days after today, "
            "20 October 2026.",
        ),
        # Another waiver of the same hand reaches further.
        Example(
            {
                "job.money.waivers.1": "unconditional progress, from Ormskar crew north, through 2026-09-13",
                "job.money.waivers.2": "unconditional final, from Ormskar crew north",
            },
            finds=None,
        ),
        Example(
            {
                "job.job.crew": "lakeside",
                "job.money.waivers.1": "unconditional final, from Halden Roof Crew, through 2026-09-16",
            },
            finds=None,
        ),
    ],
)
def waiver_through_a_wrong_day(case: Case, run: Run) -> Iterator[Fault]:
    waivers = case.job.money.waivers if case.job.money else ()
    began, last = case.first_day_of_work(), case.last_day_of_work()
    for number, waiver in enumerate(waivers):
        through, who = waiver.through, waiver.given_by
        if through is None or who is None:
            continue
        others = [one.through for one in waivers if one.given_by == who]
        furthest = None not in others and through == max(one for one in others if one)
        found: tuple[Said, date] | None = None
        if through > run.today + _FAR_AHEAD:
            text = "more than {days} days after today,"
            found = (say(text, days=_FAR_AHEAD.days), run.today)
        elif furthest and began is not None and through < began - _LONG_BEFORE:
            found = (say("more than half a year before work began on"), began)
        # Only of the crew is it known when it was done: others took panels or fibres off before the roof began,
        # and what a supplier waives goes by the deliveries, which MON-017 compares.
        elif furthest and who in case.sub_crews and last is not None and through < last:
            found = (say("before its last day of work on"), last)
        if found is not None:
            values: dict[str, Value] = {"who": who, "through": through}
            yield Fault(
                case.where(f"money.waivers.{number}.through"),
                {**values, "found": found[0], "day": found[1]},
            )
