"""Registering a warranty: by when, with whose signature, sent, answered and confirmed."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from dossier.assess.results import Assessment, Met, Standing
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.said import say
from dossier.values import Run, days_between
from dossier.words import MetBy

LAST_DAYS = 14
"""Days before a registration is lost in which it holds the handover, which would promise what may be gone
by the time it is read. Our habit: about what post and an answer take; no published source."""

_DAY_OF: Mapping[str, str] = MappingProxyType(
    {
        MetBy.SENT: "submitted_on",
        MetBy.RECEIVED: "received_on",
        MetBy.ACCEPTED: "accepted_on",
    }
)
"""The field of a warranty that holds the day on which a deadline is met."""

CONDITIONS = {
    "job.installation.nails_per_shingle": "COD-004 asks for it.",
    "job.installation.starter_at": "REG-004 asks for it.",
    "job.deliveries.*.lines.*.lots": "MAT-001 asks for them.",
    "job.deliveries.*.lines.*.role": "MAT-003 asks for it where no catalogue knows the product.",
    "job.deliveries.*.lines.*.maker": "MAT-003 asks for it where no catalogue knows the product.",
    "job.decks.*.kind": "DEC-008 asks for it.",
    "job.decks.*.new_kind": "DEC-008 asks for it.",
    "job.decks.*.redecked": "A blank is read as the deck that was there.",
    "job.decks.*.largest_gap_in": "DEC-007 asks for it.",
    "job.building.attics": "COD-005 asks for what an attic lacks.",
    "job.slopes.*.rake_ft": "A slope's line names the edges it has; blank is none of that edge.",
    "job.job.completion_signed_on": "MON-001 asks for it.",
    "job.money.invoices": "MON-006 asks for the final invoice.",
    "job.money.payments": "MON-008 asks for them.",
    "job.warranties.*.owner_signed_on": "REG-003 asks for it.",
    "job.warranties.*.fee_paid_on": "REG-004 asks for it.",
    "company.certifications": "REG-005 asks for it.",
}
"""What the conditions of a level rest on, each with the rule that asks for it."""


@rule(
    id="REG-001",
    says="The {level} level had to be registered by {last_day} (clause {clause}); {found}.",
    why="After that day the maker need not register the roof, and a lower level holds for its whole life.",
    source="The maker's terms sheet, at the clause named; the day after the event is day 1 and the last "
    "day counts (common practice, no published source)",
    owed_by=Party.OFFICE,
    remedy="Ask the maker in writing for a late registration; until it says yes, tell the owner which "
    "level holds.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="the last day to register the {level} level",
    examples=[
        Example(
            {"run.today": "2026-11-21"},
            finds="The Full Assembly level had to be registered by 20 November 2026 (clause 4.2); it is "
            "not on record as received.",
        ),
        Example(
            {
                "job.warranties.0.submitted_on": "2026-11-19",
                "job.warranties.0.received_on": "2026-11-23",
                "run.today": "2026-11-24",
            },
            finds="The Full Assembly level had to be registered by 20 November 2026 (clause 4.2); it was "
            "received on 23 November 2026.",
        ),
        Example({"run.today": "2026-11-20"}, finds=None),
    ],
    rests_on={
        "job.money.payments": ASKED,
        "job.money.invoices": ASKED,
        "job.job.completion_signed_on": ASKED,
        "job.warranties.*.received_on": "Blank means that the maker does not have it yet, which is judged by "
        "the day.",
        "job.warranties.*.submitted_on": "Blank means that it was not sent yet, which is judged by the day.",
        "job.warranties.*.accepted_on": "Blank means that it was not accepted yet, which is judged by the day.",
    },
)
def registered_late(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        deadline = result.level.deadline
        if deadline is None:
            continue
        where = case.where(result.asked.path)
        level = {"level": result.level.level.level, "clause": deadline.clause}
        if deadline.last_day is None:
            needs = say("the day of “{event}”", event=deadline.event.event)
            yield Fault(
                deadline.event.where,
                level,
                verdict=Verdict.CANNOT_TELL,
                needs=needs,
                lacks=(deadline.event.where.field,),
                remedy="Write that day into the record as soon as it is known; the clock may be running.",
            )
        elif deadline.passed:
            found = (
                say("it was {met_by} on {day}", met_by=deadline.met_by, day=deadline.met_on)
                if deadline.met_on
                else say("it is not on record as {met_by}", met_by=deadline.met_by)
            )
            yield Fault(where, {**level, "last_day": deadline.last_day, "found": found})


@rule(
    id="REG-002",
    says="The {level} level is not registered yet; the maker must have {met_by} it by {last_day} "
    "(clause {clause}).",
    why="Registration is the one part of a roof that can only be lost.",
    source="The maker's terms sheet, at the clause named; to hold the handover in the last two weeks is our habit",
    owed_by=Party.OFFICE,
    remedy="Send the registration packet now if nothing holds it, else as soon as nothing does, and write "
    "warranties.submitted_on.",
    manner=Manner(
        tells_owner=False, sends=Sends.NOWHERE, life_safety=False, due_is="last day to register"
    ),
    holds={Holds.HANDOVER},
    examples=[
        Example(
            {"run.today": "2026-10-21"},
            finds="The Full Assembly level is not registered yet; the maker must have received it by "
            "20 November 2026 (clause 4.2).",
        ),
        Example(
            {
                "job.warranties.0.submitted_on": "2026-10-02",
                "job.warranties.0.received_on": "2026-10-05",
            },
            finds=None,
        ),
    ],
    rests_on={
        "company.certifications": "REG-005 asks for it; a level that is lost is not to be sent for.",
        "job.money.invoices": "REG-001 asks for the day that the deadline counts from.",
        "job.warranties.*.received_on": "Blank means that the maker does not have it yet, as the rule says.",
        "job.warranties.*.accepted_on": "Blank means that the maker did not accept it yet, as the rule says.",
        "job.warranties.*.submitted_on": "Blank means that it was not sent yet, as the rule says.",
        "job.job.completion_signed_on": "The rule on the last day asks for it.",
    },
)
def not_registered_yet(case: Case, assessment: Assessment, run: Run) -> Iterator[Fault]:
    for result in assessment.asked:
        deadline = result.level.deadline
        if deadline is None or deadline.last_day is None or deadline.passed or deadline.met_on:
            continue
        left = days_between(run.today, deadline.last_day)
        if result.level.standing is Standing.LOST:
            # Sending a packet for a level that is lost is poor advice; another item names the best one.
            continue
        yield Fault(
            case.where(result.asked.path),
            {
                "level": result.level.level.level,
                "clause": deadline.clause,
                "last_day": deadline.last_day,
                "met_by": deadline.met_by,
            },
            verdict=Verdict.MISSING,
            due=deadline.last_day,
            lacks=(f"{result.asked.path}.{_DAY_OF[deadline.met_by]}",),
            # It never holds the registration itself: a packet that says “not ready” would not be sent.
            holds=frozenset({Holds.HANDOVER} if left < LAST_DAYS else ()),
        )


@rule(
    id="REG-003",
    says="No day on which the owner signed the registration of the {level} level is on record (clause {clause}).",
    why="Makers send back a registration that the owner has not signed.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.HOMEOWNER,
    remedy="Get the owner's signature, or look for the signed form, and write warranties.owner_signed_on.",
    asks="Please sign the registration that we sent you, and send it back.",
    manner=Manner(
        tells_owner=False, sends=Sends.NOWHERE, life_safety=False, due_is="last day to register"
    ),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.warranties.0.owner_signed_on": None},
            finds="No day on which the owner signed the registration of the Full Assembly level is on record "
            "(clause 3.14).",
        ),
        Example({"job.warranties.0.owner_signed_on": "2026-10-20"}, finds=None),
    ],
    rests_on={"job.warranties.*.owner_signed_on": ASKED},
)
def owner_has_not_signed(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        for leaf in result.level.open_leaves:
            if leaf.condition.test == "owner_signature":
                due = result.level.deadline.last_day if result.level.deadline else None
                yield Fault(
                    case.where(f"{result.asked.path}.owner_signed_on"),
                    {"level": result.level.level.level, "clause": leaf.condition.clause},
                    verdict=Verdict.MISSING,
                    due=due,
                )


@rule(
    id="REG-016",
    says="The {level} level is on record as {met_by} on {on}, before the {event} on {day}.",
    why="A registration cannot have been complete before the thing it registers.",
    source="The maker's terms sheet: the event its deadline counts from",
    owed_by=Party.OFFICE,
    remedy="Correct the day that is wrong by the maker's letter.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-19",
                "job.warranties.0.received_on": "2026-09-20",
            },
            finds="The Full Assembly level is on record as received on 20 September 2026, before the "
            "completion signed on 21 September 2026.",
        ),
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-21",
                "job.warranties.0.received_on": "2026-09-21",
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.warranties.*.received_on": "What is not on record as received has an item of its own.",
        "job.job.completion_signed_on": "The rule on the last day asks for it.",
    },
)
def registered_before_the_event(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        deadline = result.level.deadline
        if deadline is None or deadline.met_on is None or deadline.event.day is None:
            continue
        if deadline.met_on < deadline.event.day:
            yield Fault(
                case.where(f"{result.asked.path}.received_on"),
                {
                    "level": result.level.level.level,
                    "met_by": deadline.met_by,
                    "on": deadline.met_on,
                    "event": deadline.event.event,
                    "day": deadline.event.day,
                },
            )


@rule(
    id="REG-014",
    says="The packet for the {level} level went to the maker on {sent}, and the record does not show {count} of "
    "its conditions as met.",
    why="A packet that says more than the roof has is held against whoever sent it.",
    source="The maker's terms sheet: conditions of the level",
    owed_by=Party.OFFICE,
    remedy="Write to the maker: complete what was missing, or withdraw the packet.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.installation.nails_per_shingle": "4",
            },
            finds="The packet for the Full Assembly level went to the maker on 25 September 2026, and the "
            "record does not show 1 of its conditions as met.",
        ),
        Example({"job.warranties.0.submitted_on": "2026-09-25"}, finds=None),
    ],
    rests_on={
        **CONDITIONS,
        "job.warranties.*.submitted_on": "What was not sent cannot have been sent too soon.",
    },
)
def sent_before_it_was_met(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        sent = result.asked.warranty.submitted_on
        unmet = sum(condition.met is not Met.MET for condition in result.level.conditions)
        if sent is not None and unmet:
            yield Fault(
                case.where(f"{result.asked.path}.submitted_on"),
                {
                    "level": result.level.level.level,
                    "sent": sent,
                    "count": unmet,
                },
            )


@rule(
    id="REG-006",
    says="The packet {went} on {day}, and no {blank} is on record.",
    why="A packet that was sent is not a roof that is registered; only the maker's answer is.",
    source="Trade practice; no published source",
    owed_by=Party.MAKER,
    remedy="Ask the maker's registration desk for the confirmation and the certificate, and file both.",
    asks="Please send us the confirmation number and the certificate.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.WEAKENS,
    examples=[
        Example(
            {"job.warranties.0.submitted_on": "2026-09-25"},
            finds="The packet went to the maker on 25 September 2026, and no confirmation number is on "
            "record.",
        ),
        # A day of receipt without a day of sending is an answer as little.
        Example(
            {"job.warranties.0.received_on": "2026-09-28"},
            finds="The packet was received on 28 September 2026, and no confirmation number is on record.",
        ),
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.received_on": "2026-09-28",
                "job.warranties.0.confirmation": "KM-7",
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.warranties.*.confirmation": ASKED,
        "job.warranties.*.submitted_on": "A packet that is not on record as sent has an item of its own.",
    },
)
def no_confirmation(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        warranty = result.asked.warranty
        steps = (
            ("went to the maker", warranty.submitted_on),
            ("was received", warranty.received_on),
            ("was accepted", warranty.accepted_on),
        )
        known = [(went, day) for went, day in steps if day is not None]
        if known and not warranty.confirmation:
            went, day = known[0]
            yield Fault(
                case.where(f"{result.asked.path}.confirmation"),
                {"went": went, "day": day, "blank": "confirmation number"},
                verdict=Verdict.MISSING,
            )


@rule(
    id="REG-017",
    says="The maker asked back about the {level} level on {queried}, and no acceptance after it is on record.",
    why="A question that nobody answers ends a registration as surely as a packet that nobody sent.",
    source="Trade practice; no published source",
    owed_by=Party.OFFICE,
    remedy="Answer the maker's question; write accepted_on when it accepts.",
    manner=Manner(
        tells_owner=False, sends=Sends.NOWHERE, life_safety=False, due_is="last day to register"
    ),
    examples=[
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.queried_on": "2026-10-05",
            },
            finds="The maker asked back about the Full Assembly level on 5 October 2026, and no acceptance "
            "after it "
            "is on record.",
        ),
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.queried_on": "2026-10-05",
                "job.warranties.0.accepted_on": "2026-10-05",
            },
            finds=None,
        ),
    ],
    rests_on={
        "job.warranties.*.accepted_on": "Blank means that the maker did not accept it yet, as the rule says.",
        "job.warranties.*.queried_on": "Blank means that the maker asked nothing.",
    },
)
def question_not_answered(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        warranty, deadline = result.asked.warranty, result.level.deadline
        queried, accepted = warranty.queried_on, warranty.accepted_on
        if queried is not None and (accepted is None or accepted < queried):
            yield Fault(
                case.where(f"{result.asked.path}.queried_on"),
                {"level": result.level.level.level, "queried": queried},
                verdict=Verdict.MISSING,
                lacks=(f"{result.asked.path}.accepted_on",),
                due=deadline.last_day if deadline else None,
            )
