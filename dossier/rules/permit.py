"""Permit: number, the inspections the locality asks for, each passed, closed, not lapsed."""

from collections.abc import Iterator
from datetime import timedelta

from dossier.assess.backing import good_papers
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, SettledBy, Verdict, Where
from dossier.record.closing import inspection_asked
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import terms_ask
from dossier.said import say
from dossier.words import InspectionResult, PaperKind, PermitClosing


def _needs_permit(case: Case) -> bool:
    return (
        case.locality.permit_needed and case.locality.closing is not PermitClosing.NO_PERMIT_NEEDED
    )


@rule(
    id="PER-001",
    says="No permit number is on record; {locality} asks for a permit.",
    why="Without the number nobody can look the permit up, now or at a sale.",
    source="IRC 2018, 2021 and 2024, section R105.1; the locality sheet",
    owed_by=Party.PERMIT_OFFICE,
    remedy="Ask the permit office for the number and the card, and write it under permit.number.",
    asks="Please tell us the number of the permit for this address.",
    manner=Manner(
        tells_owner=True, sends=Sends.NOWHERE, life_safety=False, said_by="permit.number"
    ),
    holds={Holds.PERMIT, Holds.HANDOVER},
    rests_on={
        "job.permit.number": ASKED,
        "locality.permit_needed": "A sheet that does not say is read as asking for a permit.",
    },
    examples=[
        Example(
            {"job.permit.number": None},
            finds="No permit number is on record; Vintermark County asks for a permit.",
        ),
        Example({"job.permit.number": None, "locality.permit_needed": "no"}, finds=None),
    ],
)
def no_permit_number(case: Case) -> Iterator[Fault]:
    number = case.job.permit.number if case.job.permit else None
    if _needs_permit(case) and not number and not case.reason_not("permit"):
        yield Fault(
            case.where("permit.number"), {"locality": case.locality.name}, verdict=Verdict.MISSING
        )


@rule(
    id="PER-002",
    says="The {kind} inspection {found}; {locality} asks for it.",
    why="An inspection that is not on record did not happen as far as a buyer or an insurer can see.",
    source="IRC 2018, 2021 and 2024, section R109.1; which inspections are asked for is the locality's "
    "to say",
    owed_by=Party.PERMIT_OFFICE,
    remedy="Ask the permit office for the date, the result and the inspector's name; book it if it was "
    "never done.",
    asks="Please tell us this inspection’s date, result and inspector, or give us a day for it.",
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PERMIT},
    rests_on={
        "job.permit.inspections": ASKED,
        "job.permit.inspections.*.result": ASKED,
        "locality.inspections": "A sheet that names no inspection asks for none.",
    },
    examples=[
        Example(
            {"job.permit.inspections.1": None},
            finds="The final inspection is not on record; Vintermark County asks for it.",
        ),
        Example(
            {"job.permit.inspections.1": "final, 2026-09-21, failed, R. Lindmark"},
            finds="The final inspection of 21 September 2026 came to “failed”; Vintermark County asks for it.",
        ),
        Example({"job.permit.inspections.1": "Final, 2026-09-21, passed"}, finds=None),
        Example({"job.permit.inspections.1": "Roof final, 2026-09-21, passed"}, finds=None),
    ],
)
def inspection_not_passed(case: Case) -> Iterator[Fault]:
    if not _needs_permit(case) or case.reason_not("permit.inspections"):
        return
    held = case.job.permit.inspections if case.job.permit else ()
    for asked in case.locality.inspections:
        matching = [
            one for one in held if inspection_asked(one.kind, case.locality.inspections) == asked
        ]
        if any(one.result is InspectionResult.PASSED for one in matching):
            continue
        last = matching[-1] if matching else None
        found, owed, remedy = say("is not on record"), None, None
        if last is not None:
            found = say("has no result on record")
            if last.result is not None:
                found = say("came to “{result}”", result=last.result)
            if last.on:
                found = say("of {day} {found}", day=last.on, found=found)
            if last.result is not None:
                owed = Party.OFFICE
                remedy = "Get the notice, mend what it names, and have it inspected again before the final."
        lacks = ("permit.inspections",) if last is None else ()
        if last is not None and last.result is None:
            lacks = (f"permit.inspections.{held.index(last)}.result",)
        yield Fault(
            case.where("permit.inspections"),
            {"kind": asked, "found": found, "locality": case.locality.name},
            verdict=Verdict.MISSING if lacks else Verdict.WRONG,
            lacks=lacks,
            owed_by=owed,
            remedy=remedy,
        )


@rule(
    id="PER-003",
    says="The permit is not closed on record.",
    why="An open permit surfaces at the sale of the house, years later, when nobody remembers the roof.",
    source="The locality sheet: how a re-roof permit closes",
    owed_by=Party.PERMIT_OFFICE,
    remedy="Ask the permit office to close it, get the card, and write permit.closed_on.",
    asks="Please close this permit, or tell us what is still needed for it.",
    manner=Manner(
        tells_owner=True,
        sends=Sends.NOWHERE,
        life_safety=False,
        due_is="the permit may lapse",
        said_by="permit.closed",
    ),
    holds={Holds.PERMIT, Holds.HANDOVER, Holds.REGISTRATION},
    rests_on={
        "job.permit.closed_on": ASKED,
        "job.work": "ORD-003 asks for the days of the work; without them no last day can be named.",
    },
    examples=[
        Example({"job.permit.closed_on": None}, finds="The permit is not closed on record."),
        Example({"job.permit.closed_on": None, "locality.permit_needed": "no"}, finds=None),
    ],
)
def permit_open(case: Case, assessment: Assessment) -> Iterator[Fault]:
    closed = case.job.permit.closed_on if case.job.permit else None
    if not _needs_permit(case) or closed is not None or case.reason_not("permit.closed_on"):
        return
    last = case.last_day_of_work()
    due = None if last is None else last + timedelta(days=case.locality.lapses_after_days)
    owed = (
        Party.OFFICE
        if case.locality.closing
        in (PermitClosing.PHOTO_AFFIDAVIT, PermitClosing.CLOSED_BY_CONTRACTOR)
        else Party.PERMIT_OFFICE
    )
    holds = {Holds.PERMIT, Holds.HANDOVER}
    if terms_ask(assessment, "permit_closed"):
        holds.add(Holds.REGISTRATION)
    yield Fault(
        case.where("permit.closed_on"),
        verdict=Verdict.MISSING,
        due=due,
        owed_by=owed,
        holds=frozenset(holds),
    )


@rule(
    id="PER-004",
    says="The permit of {issued} lapsed before work began on {began}: {days} days, at most {most}.",
    why="Work under a lapsed permit is work without one.",
    source="IRC 2018, 2021 and 2024, section R105.5 (180 days); the locality sheet where it differs",
    owed_by=Party.OFFICE,
    remedy="Ask the permit office whether it was extended; write permit.extended_on.",
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PERMIT},
    rests_on={
        "job.permit.issued": "ORD-001 asks for it.",
        "job.permit.extended_on": "A blank is read as never extended.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"job.permit.issued": "2026-03-17"},
            finds="The permit of 17 March 2026 lapsed before work began on 14 September 2026: "
            "181 days, at most 180.",
        ),
        Example({"job.permit.issued": "2026-03-18"}, finds=None),
    ],
)
def permit_lapsed(case: Case, assessment: Assessment) -> Iterator[Fault]:
    check, counted = assessment.details.permit_gap, assessment.details.permit_from
    began = case.first_day_of_work()
    if check is None or counted is None or began is None or not _needs_permit(case):
        return
    if check.verdict == "lapsed unless extended" and check.days is not None:
        yield Fault(
            case.where("permit.issued"),
            {
                "issued": counted,
                "began": began,
                "days": check.days,
                "most": case.locality.lapses_after_days,
            },
        )


@rule(
    id="PER-005",
    says="The permit card with the inspections is not on file in papers/.",
    told="The permit card with the inspections is not on file.",
    why="The card is what a buyer, a maker and an insurer accept; a date typed by us is not.",
    source="Common practice, no published source",
    owed_by=Party.PERMIT_OFFICE,
    remedy="Ask the permit office for a copy of the signed card and file it as papers/inspection-card.pdf.",
    asks="Please send us a copy of the signed card.",
    settled_by=SettledBy.PAPER,
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "locality.closing": "A sheet that does not say is read as closing by an inspection.",
        "locality.permit_needed": "A sheet that does not say is read as asking for a permit.",
    },
    examples=[
        Example(
            {"facts.papers/inspection-card.pdf": None},
            finds="The permit card with the inspections is not on file in papers/.",
        ),
        Example(
            {"facts.papers/inspection-card.pdf": None, "locality.closing": "no permit needed"},
            finds=None,
        ),
    ],
)
def no_permit_card(case: Case, facts: Facts) -> Iterator[Fault]:
    inspected = case.locality.closing is PermitClosing.INSPECTION or case.locality.inspections
    if not inspected:
        return
    if _needs_permit(case) and not good_papers(case, facts, PaperKind.INSPECTION_CARD):
        yield Fault(Where("papers"), verdict=Verdict.MISSING)


@rule(
    id="PER-006",
    says="The permit was closed on {closed}, before its final inspection passed on {passed}.",
    why="A permit that closes on its final inspection cannot close before it; one of the days is wrong.",
    source="IRC 2018, 2021 and 2024, section R109.1.6 (final inspection); the locality sheet: how a permit closes",
    owed_by=Party.OFFICE,
    remedy="Compare with the permit card and correct the day that is wrong.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PERMIT, Holds.HANDOVER},
    rests_on={
        "job.permit.closed_on": "PER-003 asks for it.",
        "job.permit.inspections.*.on": "ORD-007 asks for it.",
    },
    examples=[
        Example(
            {"job.permit.closed_on": "2026-09-20"},
            finds="The permit was closed on 20 September 2026, before its final inspection passed on "
            "21 September 2026.",
        ),
        Example(
            {"job.permit.closed_on": "2026-09-20", "locality.closing": "photo affidavit"},
            finds=None,
        ),
        Example({"job.permit.closed_on": "2026-09-21"}, finds=None),
    ],
)
def closed_before_the_final(case: Case) -> Iterator[Fault]:
    permit = case.job.permit
    closed = permit.closed_on if permit else None
    if permit is None or closed is None or case.locality.closing is not PermitClosing.INSPECTION:
        return
    passed = [
        one.on
        for one in permit.inspections
        if "final" in one.kind.lower().split() and one.result is InspectionResult.PASSED and one.on
    ]
    if passed and min(passed) > closed:
        yield Fault(
            case.where("permit.closed_on"),
            {"closed": closed, "passed": min(passed)},
        )
