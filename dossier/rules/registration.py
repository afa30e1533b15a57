"""Registration and coverage: deadline, signature, every condition of the level, confirmation."""

import re
from collections.abc import Iterable, Iterator

from dossier.assess.backing import good_papers
from dossier.assess.results import Assessment, ConditionResult, Met, Standing
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict, Weight, Where
from dossier.record.people import Owner
from dossier.rules.declare import ASKED, LEFT_TO_OFFICE, Example, Fault, rule
from dossier.values import Run, days_between, listed, write_date
from dossier.words import PaperKind

_ELSEWHERE = (
    "same_maker",
    "counted_accessories",
    "owner_signature",
    "certification",
    "nails_per_shingle",
    "ventilation",
    "deck",
    "lots_of",
    "photos_of",
    "permit_closed",
    "completion_signed",
)
"""Tests whose gap another rule usually names; a line a gap would make one gap look like two. REG-015 holds
registration for all of them together, so that none can fall between."""

LAST_DAYS = 14
"""Days before a registration is lost in which it holds the handover, which would promise what may be gone
by the time it is read. Our habit: about what post and an answer take; no published source."""

_OWED: dict[str, Party] = {"paid_in_full": Party.HOMEOWNER, "starter_at": Party.CREW}


_CONDITIONS = {
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


def terms_ask(assessment: Assessment, test: str) -> bool:
    """Return whether a condition of this kind keeps an asked level from being earned."""
    return any(
        leaf.condition.test == test
        for result in assessment.asked
        for leaf in result.level.open_leaves
    )


@rule(
    id="REG-001",
    says="The {level} level had to be registered by {last_day} (clause {clause}); {found}.",
    why="After that day the maker need not register the roof, and a lower level holds for its whole life.",
    source="The maker's terms sheet, at the clause named; the day after the event is day 1 and the last "
    "day counts (common practice, no published source)",
    owed_by=Party.OFFICE,
    remedy="Ask the maker in writing for a late registration; until it says yes, tell the owner which "
    "level holds.",
    asks=LEFT_TO_OFFICE,
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
            needs = f"the day of “{deadline.event.event.value}”"
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
                f"it was {deadline.met_by} on {write_date(deadline.met_on)}"
                if deadline.met_on
                else f"it is not on record as {deadline.met_by}"
            )
            yield Fault(where, {**level, "last_day": write_date(deadline.last_day), "found": found})


@rule(
    id="REG-002",
    says="The {level} level is not registered yet; the maker must have {met_by} it by {last_day} "
    "(clause {clause}).",
    why="Registration is the one part of a roof that can only be lost.",
    source="The maker's terms sheet, at the clause named; to hold the handover in the last two weeks is our habit",
    owed_by=Party.OFFICE,
    remedy="Send the registration packet now if nothing holds it, else as soon as nothing does, and write "
    "warranties.submitted_on.",
    asks=LEFT_TO_OFFICE,
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
                "last_day": write_date(deadline.last_day),
                "met_by": deadline.met_by,
            },
            verdict=Verdict.MISSING,
            due=deadline.last_day,
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
    id="REG-004",
    says="Condition {clause} of the {level} level is not met: {condition} Found: {because}.",
    why="One condition that is not met keeps the whole level from being registered.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.OFFICE,
    remedy="Mend what the condition names, or ask for a level whose conditions this job meets.",
    asks="This is needed for the warranty. Please call us if it is not clear what to do.",
    manner=Manner(
        tells_owner=False, sends=Sends.NOWHERE, life_safety=False, due_is="last day to register"
    ),
    holds={Holds.REGISTRATION},
    cannot_tell="whether condition {clause} of the {level} level is met (“{condition}”)",
    examples=[
        Example(
            {"facts.papers/invoice-2026-041.pdf": None},
            finds="Condition 3.15 of the Full Assembly level is not met: The invoice and the signed "
            "completion are on file. Found: not on file: invoice.",
        ),
        Example(
            {"job.installation.starter_at": None},
            finds="Whether condition 3.11 of the Full Assembly level is met (“Starter at eaves and rakes.”) "
            "cannot be told: the edges with starter are needed.",
        ),
        Example({"facts.papers/colour-choice.pdf": None}, finds=None),
    ],
    rests_on={
        "job.money.invoices.*.amount": "MON-002 asks for it.",
        "job.slopes.*.rake_ft": "A slope's line names the edges it has; blank is none of that edge.",
        "job.installation.starter_at": ASKED,
        "job.job.scope": ASKED,
        "job.money.payments": ASKED,
        "job.warranties.*.fee_paid_on": ASKED,
    },
)
def condition_not_met(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        due = result.level.deadline.last_day if result.level.deadline else None
        for leaf in result.level.open_leaves:
            test = leaf.condition.test
            if test in _ELSEWHERE:
                continue
            where = leaf.references[0].where if leaf.references else case.where(result.asked.path)
            if where.file not in (case.lines.file, case.company_lines.file):
                where = case.where(result.asked.path)
            says = leaf.condition.says or test.replace("_", " ")
            yield Fault(
                where,
                {
                    "clause": leaf.condition.clause,
                    "level": result.level.level.level,
                    "condition": says if says.endswith(".") else f"{says}.",
                    "because": leaf.because,
                },
                verdict=_verdict(case, leaf, where),
                needs=leaf.needs,
                lacks=_record_fields(case, leaf),
                due=due,
                owed_by=_OWED.get(test),
            )


@rule(
    id="REG-015",
    says="{verdict} for the {level} level: {clauses}.",
    why="One condition that is not met keeps the whole level from being registered.",
    source="The maker's terms sheet, at the clauses named",
    owed_by=Party.OFFICE,
    remedy="Clear the items that name these gaps; where none does, the clause says what to put on record.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(
        tells_owner=False, sends=Sends.NOWHERE, life_safety=False, due_is="last day to register"
    ),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.permit.closed_on": None},
            finds="Not met on record for the Full Assembly level: clause 3.16 (no closing day on record).",
        ),
        Example(
            {"job.permit": "n/a, the office lost the card"},
            finds="Not met on record for the Full Assembly level: clause 3.16 (no closing day on record).",
        ),
        Example(
            {
                "job.building.attics.0.intake": None,
                "facts.papers/invoice-2026-041.pdf": None,
                "job.permit.closed_on": None,
            },
            finds="Not met on record for the Full Assembly level: clause 3.15 (not on file: invoice); clause 3.16 "
            "(no closing day on record). Cannot be told: clause 3.9 d (the vents cannot be counted).",
        ),
        Example({"facts.papers/invoice-2026-041.pdf": None}, finds=None),
    ],
    rests_on=_CONDITIONS,
)
def conditions_not_met(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        unmet = result.level.open_leaves
        # The list is that of the table of conditions; it stands only where another item may fail to name a gap.
        if any(leaf.condition.test in _ELSEWHERE for leaf in unmet):
            failed = _clauses(leaf for leaf in unmet if leaf.met is Met.NOT_MET)
            open_ = _clauses(leaf for leaf in unmet if leaf.met is Met.CANNOT_TELL)
            both = f"{failed}. {_CANNOT_BE_TOLD}: {open_}" if failed and open_ else failed or open_
            yield Fault(
                case.where(result.asked.path),
                {
                    "verdict": "Not met on record" if failed else _CANNOT_BE_TOLD,
                    "level": result.level.level.level,
                    "clauses": both,
                },
                verdict=Verdict.WRONG if failed else Verdict.MISSING,
                due=result.level.deadline.last_day if result.level.deadline else None,
            )


def _verdict(case: Case, leaf: ConditionResult, where: Where) -> Verdict:
    """Return what a condition that is not met says of the record: a blank there is missing, and not wrong."""
    if leaf.met is Met.CANNOT_TELL:
        return Verdict.CANNOT_TELL
    lines = case.company_lines if where.file == case.company_lines.file else case.lines
    blank = where.file == lines.file and not lines.has(where.field)
    return Verdict.MISSING if blank else Verdict.WRONG


def _record_fields(case: Case, leaf: ConditionResult) -> tuple[str, ...]:
    """Return the places of the job's record that a condition lacks; none where it lacks nothing."""
    found = (ref.where for ref in leaf.references)
    open_ = leaf.met is Met.CANNOT_TELL
    return tuple(dict.fromkeys(w.field for w in found if open_ and w.file == case.lines.file))


_CANNOT_BE_TOLD = "Cannot be told"


def _clauses(leaves: Iterable[ConditionResult]) -> str:
    return "; ".join(
        f"clause {leaf.condition.clause or 'not named'} ({leaf.because})" for leaf in leaves
    )


@rule(
    id="REG-016",
    says="The {level} level is on record as {met_by} on {on}, before the {event} on {day}.",
    why="A registration cannot have been complete before the thing it registers.",
    source="The maker's terms sheet: the event its deadline counts from",
    owed_by=Party.OFFICE,
    remedy="Correct the day that is wrong by the maker's letter.",
    asks=LEFT_TO_OFFICE,
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
                    "on": write_date(deadline.met_on),
                    "event": deadline.event.event.value,
                    "day": write_date(deadline.event.day),
                },
            )


@rule(
    id="REG-005",
    says="The {level} level asks for the certification “{wanted}” on the days of the work "
    "(clause {clause}). Found: {because}.",
    why="A certification that ran out the week before the tear-off is found by the clerk in a minute.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.MAKER,
    remedy="Ask the maker for the certificate that covers those days and add it to company.yaml; else ask "
    "for a level that needs none.",
    asks="Please confirm our certification for these days, in writing.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether the certification “{wanted}” held on the days of the work (clause {clause})",
    examples=[
        Example(
            {"company.certifications.0.valid_to": "2026-09-15"},
            finds="The Full Assembly level asks for the certification “Assembly Installer” on the days "
            "of the work (clause 3.12). Found: certified from 1 January 2026 to 15 September 2026; work "
            "ran from 14 September 2026 to 16 September 2026.",
        ),
        Example({"company.certifications.0.valid_to": "2026-09-16"}, finds=None),
    ],
    rests_on={"company.certifications": ASKED, "job.work": ASKED},
)
def not_certified(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        for leaf in result.level.open_leaves:
            if leaf.condition.test != "certification":
                continue
            yield Fault(
                leaf.references[0].where,
                {
                    "level": result.level.level.level,
                    "wanted": leaf.condition.certification or "",
                    "clause": leaf.condition.clause,
                    "because": leaf.because,
                },
                verdict=_verdict(case, leaf, leaf.references[0].where),
                needs=leaf.needs,
                lacks=("work",) if leaf.met is Met.CANNOT_TELL else (),
            )


@rule(
    id="REG-014",
    says="The packet for the {level} level went to the maker on {sent}, and the record does not show {count} of "
    "its conditions as met.",
    why="A packet that says more than the roof has is held against whoever sent it.",
    source="The maker's terms sheet: conditions of the level",
    owed_by=Party.OFFICE,
    remedy="Write to the maker: complete what was missing, or withdraw the packet.",
    asks=LEFT_TO_OFFICE,
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
        **_CONDITIONS,
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
                    "sent": write_date(sent),
                    "count": str(unmet),
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
                {"went": went, "day": write_date(day), "blank": "confirmation number"},
                verdict=Verdict.MISSING,
            )


@rule(
    id="REG-017",
    says="The maker asked back about the {level} level on {queried}, and no acceptance after it is on record.",
    why="A question that nobody answers ends a registration as surely as a packet that nobody sent.",
    source="Trade practice; no published source",
    owed_by=Party.OFFICE,
    remedy="Answer the maker's question; write accepted_on when it accepts.",
    asks=LEFT_TO_OFFICE,
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
                {"level": result.level.level.level, "queried": write_date(queried)},
                verdict=Verdict.MISSING,
                due=deadline.last_day if deadline else None,
            )


@rule(
    id="REG-007",
    says="The terms sheet {sheet} holds from {first} to {last}; the {event} of this job was on {day}.",
    why="What was promised is the edition in force on the day its own text names, not the newest one.",
    source="The maker's terms sheet: valid_from, valid_to and the event that decides",
    owed_by=Party.OFFICE,
    remedy="Name the edition that was in force, or correct the day.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    cannot_tell="whether the terms sheet {sheet} is the right edition",
    examples=[
        Example(
            {"job.job.contract_on": "2025-12-31"},
            finds="The terms sheet kestrelmoor-2026 holds from 1 January 2026 to 31 December 2026; the "
            "contract of this job was on 31 December 2025.",
        ),
        Example({"job.job.contract_on": "2026-01-01"}, finds=None),
    ],
    rests_on={"job.job.contract_on": ASKED},
)
def wrong_terms_edition(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        sheet = result.asked.sheet
        if sheet.valid_by is None:
            continue
        event = assessment.events[sheet.valid_by]
        named = {"sheet": result.asked.warranty.sheet, "event": sheet.valid_by.value}
        if event.day is None:
            yield Fault(
                event.where,
                named,
                verdict=Verdict.CANNOT_TELL,
                needs=f"the day of “{sheet.valid_by.value}”",
                lacks=(event.where.field,),
            )
        elif event.day < sheet.valid_from or (sheet.valid_to and event.day > sheet.valid_to):
            yield Fault(
                case.where(f"{result.asked.path}.sheet"),
                {
                    **named,
                    "first": write_date(sheet.valid_from),
                    "last": write_date(sheet.valid_to) if sheet.valid_to else "today",
                    "day": write_date(event.day),
                },
            )


@rule(
    id="REG-008",
    says="No maker's warranty is asked for in this job.",
    why="A roof for which nobody names a terms sheet is registered by nobody.",
    source="Our habit, no published source: nothing can be registered until a level is named",
    owed_by=Party.OFFICE,
    remedy="Add the sheet and the level under warranties, or write warranties: n/a and the reason.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example({"job.warranties": None}, finds="No maker's warranty is asked for in this job."),
        Example({"job.warranties": "n/a, the owner chose products without one"}, finds=None),
    ],
    rests_on={"job.warranties": ASKED},
)
def no_warranty_asked(case: Case) -> Iterator[Fault]:
    if not case.asked and not case.reason_not("warranties"):
        yield Fault(case.where("warranties"), verdict=Verdict.MISSING)


@rule(
    id="REG-009",
    says="Nothing shows that the owner was given the maker's printed terms.",
    why="Terms the owner never saw are argued over; the dated delivery ends the argument.",
    source="16 CFR 702.3 (warranty terms to be had before the sale); that it holds the handover is our habit",
    owed_by=Party.OFFICE,
    remedy="Give the owner the printed terms, and file the receipt as papers/warranty-terms.pdf or write "
    "warranties.terms_given_on.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.HANDOVER},
    examples=[
        Example(
            {"facts.papers/warranty-terms.pdf": None},
            finds="Nothing shows that the owner was given the maker's printed terms.",
        ),
        Example(
            {
                "facts.papers/warranty-terms.pdf": None,
                "job.warranties.0.terms_given_on": "2026-08-18",
            },
            finds=None,
        ),
    ],
    rests_on={"job.warranties.*.terms_given_on": ASKED},
)
def terms_not_given(case: Case, facts: Facts) -> Iterator[Fault]:
    for asked in case.asked:
        if asked.warranty.terms_given_on is None and not good_papers(
            case, facts, PaperKind.WARRANTY_TERMS
        ):
            yield Fault(case.where(f"{asked.path}.terms_given_on"), verdict=Verdict.MISSING)


@rule(
    id="REG-010",
    says="The {level} level can no longer be earned; the best this job can still earn is {best}.",
    why="Knowing it on the day leaves time to register the level that is still open, and to tell the owner.",
    source="The maker's terms sheet: conditions and deadlines of each level",
    owed_by=Party.OFFICE,
    remedy="Name that level in the job instead (one that needs no registration holds by itself), and tell the "
    "owner in writing which level the roof has.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.installation.nails_per_shingle": "4"},
            finds="The Full Assembly level can no longer be earned; the best this job can still earn is "
            "Assembly.",
        ),
        Example({"job.permit.closed_on": None}, finds=None),
    ],
    rests_on={
        **_CONDITIONS,
        "job.warranties": "A level is lost by what is on record; what is blank leaves it open.",
    },
)
def level_lost(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        if result.level.standing is Standing.LOST:
            best = result.best.level.level if result.best else "none of the sheet's levels"
            yield Fault(
                case.where(f"{result.asked.path}.level"),
                {"level": result.level.level.level, "best": best},
            )


@rule(
    id="REG-011",
    says="The {level} level has to be ordered before work starts (clause {clause}); {found}.",
    why="Some makers sell the level with the goods; after the first shingle it is not to be had.",
    source="The maker's terms sheet, at the clause named",
    owed_by=Party.OFFICE,
    remedy="Find the order and write warranties.ordered_on; else ask for a level that needs no order.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"terms.kestrelmoor-2026.levels.2.registration.order_before_start": "yes"},
            finds="The Full Assembly level has to be ordered before work starts (clause 4.2); no order is "
            "on record.",
        ),
        Example(
            {
                "terms.kestrelmoor-2026.levels.2.registration.order_before_start": "yes",
                "job.warranties.0.ordered_on": "2026-09-15",
            },
            finds="The Full Assembly level has to be ordered before work starts (clause 4.2); it was "
            "ordered on 15 September 2026 and work began on 14 September 2026.",
        ),
        Example(
            {
                "terms.kestrelmoor-2026.levels.2.registration.order_before_start": "yes",
                "job.warranties.0.ordered_on": "2026-09-13",
            },
            finds=None,
        ),
        Example(
            {
                "terms.kestrelmoor-2026.levels.2.registration.order_before_start": "yes",
                "job.warranties.0.ordered_on": "2026-09-13",
                "job.work": None,
            },
            finds=(
                "Whether the Full Assembly level was ordered before work started (clause 4.2) "
                "cannot be told: the first day of the work is needed."
            ),
        ),
    ],
    cannot_tell="whether the {level} level was ordered before work started (clause {clause})",
    rests_on={"job.warranties.*.ordered_on": ASKED, "job.work": ASKED},
)
def not_ordered_in_time(case: Case, assessment: Assessment) -> Iterator[Fault]:
    began = case.first_day_of_work()
    for result in assessment.asked:
        registration = result.level.level.registration
        if registration is None or not registration.order_before_start:
            continue
        ordered = result.asked.warranty.ordered_on
        if ordered is not None and began is None:
            yield Fault(
                case.where("work"),
                {"level": result.level.level.level, "clause": registration.clause},
                verdict=Verdict.CANNOT_TELL,
                needs="the first day of the work",
                lacks=("work",),
            )
            continue
        if ordered is not None and began is not None and ordered < began:
            continue
        found = "no order is on record"
        if ordered is not None and began is not None:
            found = f"it was ordered on {write_date(ordered)} and work began on {write_date(began)}"
        yield Fault(
            case.where(f"{result.asked.path}.ordered_on"),
            {
                "level": result.level.level.level,
                "clause": registration.clause,
                "found": found,
            },
            verdict=Verdict.MISSING if ordered is None else Verdict.WRONG,
        )


@rule(
    id="REG-012",
    says="The {level} level is for {wanted}; the owner is {owner}.",
    why="Terms for somebody who lives in the house do not bind the maker towards a company or a trust.",
    source="The maker's terms sheet: kinds of owner a level is for",
    owed_by=Party.OFFICE,
    remedy="Correct the owner's kind, or ask for the level that is written for this owner.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.owners": {"name": "Plover Lane Trust", "kind": "trust"}},
            finds="The Full Assembly level is for living there or landlord; the owner is trust.",
        ),
        Example({"job.owners": {"name": "Marit Ekdahl", "kind": "landlord"}}, finds=None),
        # A blank is somebody who lives there only as long as nothing on record speaks against it.
        Example(
            {"job.owners": {"name": "Plover Lane Trust"}},
            finds="Whether the Full Assembly level is for this owner cannot be told: the kind of owner that "
            "Plover "
            "Lane Trust is, is needed.",
        ),
        Example(
            {"job.owners": {"name": "Marit Ekdahl", "mailing_address": "9 Quay Street, Tarnby"}},
            finds="Whether the Full Assembly level is for this owner cannot be told: the kind of owner that Marit "
            "Ekdahl is, is needed.",
        ),
        Example(
            {
                "job.owners": {
                    "name": "Marit Ekdahl",
                    "kind": "living there",
                    "mailing_address": "PO Box 12, Tarnby",
                }
            },
            finds=None,
        ),
    ],
    cannot_tell="whether the {level} level is for this owner",
    rests_on={
        "job.owners.*.kind": "A blank is an owner who lives there, as the form says; where a name, a mailing "
        "address "
        "or several dwellings speak against it, it is asked for.",
        "job.owners": "A job without an owner has an item of its own.",
    },
)
def owner_of_another_kind(case: Case, assessment: Assessment) -> Iterator[Fault]:
    for result in assessment.asked:
        kinds = result.level.level.coverage.owner_kinds
        level = result.level.level.level
        for number, owner in enumerate(case.job.owners):
            path = f"owners.{number}.kind"
            if kinds and not owner.kind_is_typed and _may_live_elsewhere(case, owner):
                yield Fault(
                    case.where(path),
                    {"level": level},
                    verdict=Verdict.CANNOT_TELL,
                    needs=f"the kind of owner that {owner.name or 'the owner'} is,",
                    lacks=(path,),
                )
            elif kinds and owner.kind not in kinds:
                yield Fault(
                    case.where(path),
                    {
                        "level": level,
                        "wanted": listed([kind.value for kind in kinds], "or"),
                        "owner": owner.kind.value,
                    },
                )


_NOT_A_PERSON = re.compile(
    r"\b(?:trust|trustees?|llc|l\.l\.c|inc|ltd|corp\w*|company|co|partners\w*|lp|llp|estate|association|hoa|"
    r"condominiums?|church|properties|holdings|rentals?)\b",
    re.IGNORECASE,
)
"""Words in the names of owners who are no person living in the house; common practice, no published source."""


def _may_live_elsewhere(case: Case, owner: Owner) -> bool:
    """Return whether the record speaks against an owner who lives in the house."""
    dwellings = case.job.building.dwellings if case.job.building else 1
    by_name = owner.name is not None and bool(_NOT_A_PERSON.search(owner.name))
    post = owner.mailing_address or ""
    # A box at the post office is how much of snow country gets its post at home.
    elsewhere = bool(post) and not re.match(r"(?i)p\.? ?o\.? box\b", post)
    return by_name or elsewhere or dwellings > 1


@rule(
    id="REG-013",
    says="The maker accepted the registration on {accepted}; the certificate is not on file.",
    why="The certificate is what a buyer and the next contractor will ask for.",
    source="Trade practice; no published source",
    owed_by=Party.MAKER,
    remedy="Ask for it, file it as papers/certificate.pdf, and give the owner a copy.",
    asks="Please send us the certificate.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    examples=[
        Example(
            {
                "job.warranties.0.submitted_on": "2026-09-25",
                "job.warranties.0.received_on": "2026-09-28",
                "job.warranties.0.accepted_on": "2026-10-02",
                "job.warranties.0.confirmation": "KM-7",
            },
            finds="The maker accepted the registration on 2 October 2026; the certificate is not on file.",
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
        "job.warranties.*.accepted_on": "Until the maker accepts there is no certificate to ask for.",
        "job.warranties.*.certificate_file": ASKED,
    },
)
def certificate_missing(case: Case, facts: Facts, assessment: Assessment) -> Iterator[Fault]:
    on_file = [
        *good_papers(case, facts, PaperKind.CERTIFICATE),
        *good_papers(case, facts, PaperKind.REGISTRATION_CONFIRMATION),
    ]
    for result in assessment.asked:
        accepted = result.asked.warranty.accepted_on
        if accepted is not None and not on_file:
            yield Fault(
                case.where(f"{result.asked.path}.certificate_file"),
                {"accepted": write_date(accepted)},
                verdict=Verdict.MISSING,
            )


@rule(
    id="REG-018",
    says="{level} is registered, and nothing shows that the owner was given the certificate.",
    why="An owner who does not have it cannot claim by it, nor hand it to a buyer.",
    source="Trade practice; no published source",
    owed_by=Party.OFFICE,
    remedy="Give the owner the certificate and write warranties.delivered_on.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    lighter=Weight.NOTE,
    examples=[
        Example(
            {
                "job.warranties.0.received_on": "2026-09-28",
                "job.warranties.0.accepted_on": "2026-10-02",
                "job.warranties.0.confirmation": "KM-7",
                "job.papers": [{"file": "papers/warranty-terms.pdf", "kind": "certificate"}],
            },
            finds="Full Assembly is registered, and nothing shows that the owner was given the certificate.",
        ),
        # What is not on file cannot be handed on; that it is missing is an item of its own.
        Example(
            {
                "job.warranties.0.received_on": "2026-09-28",
                "job.warranties.0.accepted_on": "2026-10-02",
                "job.warranties.0.confirmation": "KM-7",
            },
            finds=None,
        ),
    ],
    rests_on={"job.warranties.*.delivered_on": ASKED},
)
def certificate_not_handed_over(
    case: Case, facts: Facts, assessment: Assessment
) -> Iterator[Fault]:
    on_file = good_papers(case, facts, PaperKind.CERTIFICATE)
    for result in assessment.asked:
        warranty = result.asked.warranty
        path = f"{result.asked.path}.delivered_on"
        if (
            warranty.accepted_on
            and on_file
            and not warranty.delivered_on
            and not case.reason_not(path)
        ):
            yield Fault(
                case.where(path), {"level": result.level.level.level}, verdict=Verdict.MISSING
            )
