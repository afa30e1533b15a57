"""Order of work: phases in an order that can be true, permit before work, certified on the day."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from types import MappingProxyType

from dossier.assess.has_place import why_no_place
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict
from dossier.record.days import days_in
from dossier.rules.declare import ASKED, LEFT_TO_OFFICE, Example, Fault, rule
from dossier.rules.registration import terms_ask
from dossier.values import Run, listed, write_date
from dossier.words import InspectionResult, Phase, Role, StartEvent

_NOT_TRUE = frozenset({Holds.HANDOVER, Holds.REGISTRATION})
"""What a record holds that cannot be true: no paper may be printed of it. A house rule."""

_COVERS: tuple[tuple[Phase, Phase], ...] = (
    (Phase.TEAR_OFF, Phase.UNDERLAYMENT),
    (Phase.DECK, Phase.ICE_BARRIER),
    (Phase.DECK, Phase.UNDERLAYMENT),
    (Phase.DECK_REPAIR, Phase.UNDERLAYMENT),
    (Phase.ICE_BARRIER, Phase.FIELD),
    (Phase.UNDERLAYMENT, Phase.FIELD),
    (Phase.STARTER, Phase.FIELD),
    (Phase.FIELD, Phase.HIP_AND_RIDGE),
)
"""Pairs in which the second covers the first. Drip edge is not among them: eave metal precedes and rake
metal follows the underlayment."""

_HIDDEN = (Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT)
"""Phases that the field covers."""

_ALWAYS = (
    Phase.TEAR_OFF,
    Phase.DECK,
    Phase.ICE_BARRIER,
    Phase.UNDERLAYMENT,
    Phase.STARTER,
    Phase.FIELD,
    Phase.HIP_AND_RIDGE,
)


@rule(
    id="ORD-001",
    says="Work began on {began}, before the permit was issued on {issued}.",
    why="Work without a permit can be ordered opened again, and an insurer reads it as carelessness.",
    source="IRC 2018, 2021 and 2024, section R105.1 (permit required)",
    owed_by=Party.OFFICE,
    remedy="Correct the day that is wrong in permit.issued or the work log; else tell the permit office.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether the permit came before the work",
    rests_on={
        "job.permit.issued": ASKED,
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"job.permit.issued": None},
            finds="Whether the permit came before the work cannot be told: the day the permit was issued is "
            "needed.",
        ),
        Example({"job.permit.issued": None, "locality.permit_needed": "no"}, finds=None),
        Example(
            {"job.permit.issued": "2026-09-15"},
            finds="Work began on 14 September 2026, before the permit was issued on 15 September 2026.",
        ),
        Example({"job.permit.issued": "2026-09-14"}, finds=None),
    ],
)
def work_before_permit(case: Case) -> Iterator[Fault]:
    issued = case.job.permit.issued if case.job.permit else None
    began = case.first_day_of_work()
    needed = case.locality.permit_needed and not case.reason_not("permit")
    if issued is None and needed and not case.reason_not("permit.issued"):
        needs = "the day the permit was issued"
        yield Fault(
            case.where("permit.issued"),
            verdict=Verdict.CANNOT_TELL,
            needs=needs,
            lacks=("permit.issued",),
        )
    if issued is not None and began is not None and began < issued:
        yield Fault(
            case.where("permit.issued"),
            {"began": write_date(began), "issued": write_date(issued)},
        )


@rule(
    id="ORD-002",
    says="On {slope}, {upper} is logged for {upper_day}, before {lower} on {lower_day}, which it covers.",
    why="A log whose order cannot be true makes every other day in it doubtful.",
    source="Common practice, no published source; that it holds is our house rule, as such a log is not true",
    owed_by=Party.CREW,
    remedy="Ask the crew lead for the right days and correct the work log.",
    asks="Tell us on which days these were really done.",
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds=_NOT_TRUE,
    rests_on={"job.work": "ORD-003 asks for the days of the work."},
    examples=[
        Example(
            {"job.work.2": "2026-09-13, starter + field, checked by Jens Aberg"},
            finds="On front, field is logged for 13 September 2026, before ice barrier on "
            "14 September 2026, which it covers.",
        ),
        Example({"job.work.2": "2026-09-14, starter + field, checked by Jens Aberg"}, finds=None),
    ],
)
def covered_before_done(case: Case) -> Iterator[Fault]:
    for slope in case.job.slopes:
        for lower, upper in _COVERS:
            first_of_lower = min((w.first for w in case.work_on(lower, slope.label)), default=None)
            upper_work = case.work_on(upper, slope.label)
            last_of_upper = max((w.last for w in upper_work), default=None)
            if first_of_lower is None or last_of_upper is None:
                continue
            # Only a cover that was over before the lower phase began cannot be true.
            if last_of_upper < first_of_lower:
                yield Fault(
                    case.where(upper_work[0].path),
                    {
                        "slope": slope.label,
                        "upper": upper.value,
                        "lower": lower.value,
                        "upper_day": write_date(last_of_upper),
                        "lower_day": write_date(first_of_lower),
                    },
                )


@rule(
    id="ORD-003",
    says="The work log has no day for {phases}.",
    why="The days of the work decide which terms, which certification and which weather held.",
    source="Our habit; it holds registration where a clause asks for a certification on the days of the work, or "
    "counts a deadline from the last shingle",
    owed_by=Party.CREW,
    remedy="Ask the crew lead for the days and add them to the work log.",
    asks="Tell us on which days these were done, and who looked at them.",
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.REGISTRATION},
    rests_on={"job.work": ASKED},
    examples=[
        Example(
            {"job.work.2": "2026-09-15, field, checked by Jens Aberg"},
            finds="The work log has no day for starter.",
        ),
        Example({"job.work.2": "2026-09-14 to 2026-09-15, starter + field"}, finds=None),
    ],
)
def phase_without_day(case: Case, assessment: Assessment) -> Iterator[Fault]:
    expected = [phase for phase in _ALWAYS if _happens(phase, case, assessment)]
    blank = [phase.value for phase in expected if not case.work_on(phase)]
    if blank and not case.reason_not("work"):
        counted = any(
            one.level.level.registration is not None
            and one.level.level.registration.counted_from is StartEvent.LAST_SHINGLE
            for one in assessment.asked
        )
        held = counted or terms_ask(assessment, "certification")
        yield Fault(
            case.where("work"),
            {"phases": listed(blank)},
            verdict=Verdict.MISSING,
            holds=frozenset({Holds.REGISTRATION}) if held else frozenset(),
        )


def _happens(phase: Phase, case: Case, assessment: Assessment) -> bool:
    """Return whether this roof has the phase at all."""
    if phase in (Phase.TEAR_OFF, Phase.DECK):
        return not case.is_recover
    if phase is Phase.HIP_AND_RIDGE:
        totals = assessment.totals
        return bool(totals.ridge_ft) or bool(totals.hip_ft)
    if phase is Phase.ICE_BARRIER:
        return not why_no_place(case, phase) and any(
            slope.reach is not None and bool(slope.reach.required_in) for slope in assessment.slopes
        )
    if phase is Phase.UNDERLAYMENT:
        return not case.is_recover and not all(slope.ice_barrier_whole for slope in case.job.slopes)
    return True


@rule(
    id="ORD-004",
    says="Nobody is on record as having looked at {phases} before the next layer.",
    why="A named person who looked is what turns a photo into a witness.",
    source="Our habit; no published source",
    owed_by=Party.OFFICE,
    remedy="Ask who looked, and add “checked by NAME” to that line of the work log.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    rests_on={"job.work.*.checked_by": ASKED},
    examples=[
        Example(
            {"job.work.1": "2026-09-14, drip edge + underlayment"},
            finds="Nobody is on record as having looked at underlayment before the next layer.",
        ),
        Example(
            {
                "job.work.1": "2026-09-14, drip edge + underlayment, on front, checked by Ida Torvik",
                "job.work.4": "2026-09-14, underlayment, on back",
            },
            finds="Nobody is on record as having looked at underlayment before the next layer.",
        ),
        Example({"job.work.3": "2026-09-16, flashing + ventilation + hip and ridge"}, finds=None),
    ],
)
def nobody_checked(case: Case) -> Iterator[Fault]:
    blank = [
        phase
        for phase in _HIDDEN
        if any(
            case.work_on(phase, slope) and not any(w.checked_by for w in case.work_on(phase, slope))
            for slope in (*(one.label for one in case.job.slopes),) or (None,)
        )
    ]
    if blank:
        where = case.where(case.work_on(blank[0])[0].path)
        phases = listed([phase.value for phase in blank])
        open_ = [work for phase in blank for work in case.work_on(phase) if not work.checked_by]
        lacks = tuple(dict.fromkeys(f"{work.path}.checked_by" for work in open_))
        yield Fault(where, {"phases": phases}, verdict=Verdict.MISSING, lacks=lacks)


@rule(
    id="ORD-005",
    says="The permit was closed on {closed}, before the last day of work on {last}.",
    why="A final inspection cannot have seen what was built after it.",
    source="IRC 2018, 2021 and 2024, section R109.1.6 (final inspection after the work is complete)",
    owed_by=Party.OFFICE,
    remedy="Correct the day that is wrong; else ask the permit office whether a re-inspection is due.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=True, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PERMIT},
    rests_on={
        "job.permit.closed_on": "PER-003 asks for it.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"job.permit.closed_on": "2026-09-15"},
            finds="The permit was closed on 15 September 2026, before the last day of work on "
            "16 September 2026.",
        ),
        Example({"job.permit.closed_on": "2026-09-16"}, finds=None),
    ],
)
def closed_before_finished(case: Case) -> Iterator[Fault]:
    closed = case.job.permit.closed_on if case.job.permit else None
    last = case.last_day_of_work()
    if closed is not None and last is not None and closed < last:
        yield Fault(
            case.where("permit.closed_on"),
            {"closed": write_date(closed), "last": write_date(last)},
        )


@rule(
    id="ORD-006",
    says="{what} is dated {day}, which is after today, {today}.",
    why="A day that has not come yet cannot have been seen by anybody.",
    source="The calendar; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Correct the day.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=_NOT_TRUE,
    rests_on={
        "job": "A day that is blank is not to come; the rules that need it ask for it.",
        "photos": "A photo that nobody noted anything of has no day but its camera's.",
    },
    examples=[
        Example(
            {"job.work.3": "2026-10-21, flashing + ventilation + hip and ridge + clean-up"},
            finds="Flashing is dated 21 October 2026, which is after today, 20 October 2026.",
        ),
        Example(
            {"job.after_work.flues": "Ida Torvik, 2026-11-01"},
            finds="What stands under after_work.flues.on is dated 1 November 2026, which is after today, "
            "20 October 2026.",
        ),
        Example(
            {"photos.0": {"file": "photos/field/back.jpg", "reviewed": "Ida Torvik, 2026-10-21"}},
            finds="What stands under reviewed.on of photos/field/back.jpg is dated 21 October 2026, which is "
            "after today, 20 October 2026.",
        ),
        Example(
            {"job.work.3": "2026-10-20, flashing + ventilation + hip and ridge + clean-up"},
            finds=None,
        ),
    ],
)
def dated_in_the_future(case: Case, run: Run) -> Iterator[Fault]:
    seen: set[str] = set()
    for work in case.work:
        if work.last > run.today and work.path not in seen:
            seen.add(work.path)
            yield Fault(case.where(work.path), _future(work.phase.value, work.last, run))
    for path, day in days_in(case.job):
        if day > run.today:
            yield Fault(case.where(path), _future(_called(path), day, run))
    for photo in case.photos:
        for field, day in days_in(photo):
            if day > run.today:
                what = f"what stands under {field} of {photo.file}"
                yield Fault(case.photo_where(photo.file), _future(what, day, run))


_CALLED = MappingProxyType(
    {
        "permit.closed_on": "the permit's closing",
        "job.completion_signed_on": "the owner's signature on the completion",
    }
)


def _called(path: str) -> str:
    return _CALLED.get(path, f"what stands under {path}")


def _future(what: str, day: date, run: Run) -> dict[str, str]:
    return {
        "what": f"{what[0].upper()}{what[1:]}",
        "day": write_date(day),
        "today": write_date(run.today),
    }


_AFTER_THE_CONTRACT = (
    "after_work.",
    "building.attics.",
    "deliveries.",
    "job.completion_signed_on",
    "money.",
    "repairs.",
    "warranties.",
)
"""How the place of a day begins that cannot come long before the contract it follows from."""

_LONG_BEFORE = timedelta(days=60)
"""Deposits and early orders come days before a contract, not months; common practice, no published source."""


@rule(
    id="ORD-013",
    says="{what} is dated {day}, long before the contract of {contract}.",
    why="A look, a payment or a signature of this job cannot be older than the job; it was typed wrongly or "
    "belongs to another.",
    source="The calendar; 60 days before the contract are common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the day.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={
        "job": "A day that is blank is not too early; the rules that need it ask for it.",
        "job.job.contract_on": "ORD-009 asks for it.",
    },
    examples=[
        Example(
            {"job.money.payments": "2016-09-29, 15,052.00"},
            finds=(
                "What stands under money.payments.0.on is dated 29 September 2016, long before "
                "the contract of 18 August 2026."
            ),
        ),
        Example({"job.money.payments": "2026-08-19, 15,052.00"}, finds=None),
        Example(
            {"job.money.payments": "2016-09-29, 15,052.00", "job.job.contract_on": None}, finds=None
        ),
    ],
)
def dated_before_the_job(case: Case) -> Iterator[Fault]:
    contract = case.job.job.contract_on
    if contract is None:
        return
    for path, day in days_in(case.job):
        if path.startswith(_AFTER_THE_CONTRACT) and day < contract - _LONG_BEFORE:
            yield Fault(
                case.where(path),
                {
                    "what": _called(path)[0].upper() + _called(path)[1:],
                    "day": write_date(day),
                    "contract": write_date(contract),
                },
            )


@rule(
    id="ORD-007",
    says="The {kind} inspection is dated {on}, before {phase} on {day}.",
    why="An inspector cannot have passed what was not there.",
    source="IRC 2018, 2021 and 2024, section R109.1 (inspections of completed stages)",
    owed_by=Party.OFFICE,
    remedy="Compare with the permit card and correct the day that is wrong.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PERMIT},
    cannot_tell="whether the {kind} inspection saw the finished work",
    rests_on={
        "job.permit.inspections.*.on": ASKED,
        "job.permit.inspections.*.result": "PER-002 asks for it where the locality asks for the inspection.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"job.permit.inspections.0": "deck and ice barrier, 2026-09-11, passed, R. Lindmark"},
            finds="The deck and ice barrier inspection is dated 11 September 2026, before deck on "
            "14 September 2026.",
        ),
        Example(
            {"job.permit.inspections.1": "final, 2026-09-15, passed, R. Lindmark"},
            finds="The final inspection is dated 15 September 2026, before the last day of work on "
            "16 September 2026.",
        ),
        Example(
            {
                "job.work.0": "2026-09-13, tear-off + deck + deck repair, checked by Ida Torvik",
                "job.work.4": "2026-09-15, ice barrier, checked by Ida Torvik",
            },
            finds="The deck and ice barrier inspection is dated 14 September 2026, before ice barrier on "
            "15 September 2026.",
        ),
        Example(
            {"job.permit.inspections.2": "mid-roof, 2026-09-13, passed, R. Lindmark"},
            finds="The mid-roof inspection is dated 13 September 2026, before the first day of work on "
            "14 September 2026.",
        ),
        Example(
            {"job.permit.inspections.0": {"kind": "deck and ice barrier", "result": "passed"}},
            finds="Whether the deck and ice barrier inspection saw the finished work cannot be told: the day of "
            "the inspection is needed.",
        ),
        Example(
            {
                "job.permit.inspections.0": {
                    "kind": "deck and ice barrier",
                    "result": "passed",
                    "on": "n/a, the card is lost",
                }
            },
            finds="Whether the deck and ice barrier inspection saw the finished work cannot be told: the day of "
            "the inspection is needed.",
        ),
        Example({"job.permit.inspections.1": "final, 2026-09-16, passed, R. Lindmark"}, finds=None),
    ],
)
def inspected_before_built(case: Case) -> Iterator[Fault]:
    permit = case.job.permit
    for number, inspection in enumerate(permit.inspections if permit else ()):
        path = f"permit.inspections.{number}"
        if inspection.on is None:
            # What passed, passed on a day: no reason stands for it.
            if inspection.result is InspectionResult.PASSED:
                yield Fault(
                    case.where(path),
                    {"kind": inspection.kind},
                    verdict=Verdict.CANNOT_TELL,
                    needs="the day of the inspection",
                    lacks=(f"{path}.on",),
                )
            continue
        kind = inspection.kind.lower()
        found: tuple[str, date] | None = None
        if "final" in kind.split():
            last = case.last_day_of_work()
            found = ("the last day of work", last) if last else None
        else:
            days = [
                (phase.value, min(work.first for work in case.work_on(phase)))
                for phase in (Phase.TEAR_OFF, *_HIDDEN, Phase.FLASHING)
                if phase.value in kind and case.work_on(phase)
            ]
            began = case.first_day_of_work()
            # What none of the log's words name was not there before anything was.
            first = ("the first day of work", began) if began else None
            found = max(days, key=lambda one: one[1]) if days else first
        if found is not None and inspection.on < found[1]:
            yield Fault(
                case.where(f"permit.inspections.{number}"),
                {
                    "kind": inspection.kind,
                    "on": write_date(inspection.on),
                    "phase": found[0],
                    "day": write_date(found[1]),
                },
            )


@rule(
    id="ORD-008",
    says="The {kind} inspection of {on} came to “{result}”, and {phase} went on top on {day} with no later "
    "inspection passed.",
    why="What was covered over an open correction may have to be opened again, and is the first thing an "
    "opposing engineer reads.",
    source="IRC 2018, 2021 and 2024, section R109.4 (approval before work goes on)",
    owed_by=Party.OFFICE,
    remedy="Get the correction notice and what was done about it, tell the permit office, and record the "
    "re-inspection.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.PERMIT},
    rests_on={
        "job.permit.inspections.*.on": "ORD-007 asks for it.",
        "job.permit.inspections.*.result": "PER-002 asks for it.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {
                "job.permit.inspections.0": "deck and ice barrier, 2026-09-14, corrections asked, R. Lindmark"
            },
            finds="The deck and ice barrier inspection of 14 September 2026 came to “corrections asked”, and "
            "field went on top on 15 September 2026 with no later inspection passed.",
        ),
        Example(
            {
                "job.permit.inspections": [
                    "deck and ice barrier, 2026-09-14, corrections asked, R. Lindmark",
                    "deck and ice barrier, 2026-09-15, passed, R. Lindmark",
                    "final, 2026-09-21, passed, R. Lindmark",
                ]
            },
            finds=None,
        ),
    ],
)
def covered_over_a_correction(case: Case) -> Iterator[Fault]:
    inspections = case.job.permit.inspections if case.job.permit else ()
    covers = [work for work in case.work if work.phase is Phase.FIELD]
    for number, one in enumerate(inspections):
        if one.on is None or one.result in (None, InspectionResult.PASSED):
            continue
        kind = one.kind.lower()
        later = [work for work in covers if work.last >= one.on]
        if not any(phase.value in kind for phase in _HIDDEN) or not later:
            continue
        passed = any(
            other.kind.lower() == kind
            and other.result is InspectionResult.PASSED
            and other.on is not None
            and other.on >= one.on
            for other in inspections
        )
        if not passed and one.result is not None:
            yield Fault(
                case.where(f"permit.inspections.{number}"),
                {
                    "kind": one.kind,
                    "on": write_date(one.on),
                    "result": one.result.value,
                    "phase": later[0].phase.value,
                    "day": write_date(max(later[0].first, one.on)),
                },
            )


@rule(
    id="ORD-009",
    says="The contract is dated {contract}, after {moment} on {day}.",
    why="What was promised after the work is not what the work was done by; printed terms often go by the day of "
    "the contract.",
    source="Our habit, no published source; that a contract after the last day of work holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Correct the day that is wrong; where the contract was signed late, say so in the notes.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds={Holds.HANDOVER},
    cannot_tell="whether the contract came before the work",
    rests_on={"job.job.contract_on": ASKED, "job.work": "ORD-003 asks for the days of the work."},
    examples=[
        Example(
            {"job.job.contract_on": "2026-09-15"},
            finds="The contract is dated 15 September 2026, after work began on 14 September 2026.",
        ),
        Example(
            {"job.job.contract_on": "2026-09-17"},
            finds="The contract is dated 17 September 2026, after the last day of work on 16 September 2026.",
        ),
        Example(
            {"job.job.contract_on": None},
            finds=(
                "Whether the contract came before the work cannot be told: the day of the "
                "contract is needed."
            ),
        ),
        Example({"job.job.contract_on": "2026-09-14"}, finds=None),
    ],
)
def contract_after_the_work(case: Case) -> Iterator[Fault]:
    contract = case.job.job.contract_on
    began, last = case.first_day_of_work(), case.last_day_of_work()
    where = case.where("job.contract_on")
    if contract is None:
        if not case.reason_not("job.contract_on"):
            lacks = ("job.contract_on",)
            yield Fault(where, verdict=Verdict.CANNOT_TELL, holds=frozenset(), lacks=lacks)
    elif last is not None and contract > last:
        values = {"moment": "the last day of work", "day": write_date(last)}
        yield Fault(where, {"contract": write_date(contract), **values})
    elif began is not None and contract > began:
        values = {"moment": "work began", "day": write_date(began)}
        yield Fault(where, {"contract": write_date(contract), **values}, holds=frozenset())


@rule(
    id="ORD-010",
    says="The owner signed on {signed} that the work is complete, before {moment} on {day}.",
    why="A completion that was signed ahead of the work proves nothing, and deadlines are counted from it.",
    source="The calendar; that one signed before the last shingle holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Correct the day that is wrong; else have the owner sign again.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=_NOT_TRUE,
    rests_on={
        "job.job.completion_signed_on": "The money family asks for the signed completion.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"job.job.completion_signed_on": "2026-09-13"},
            finds="The owner signed on 13 September 2026 that the work is complete, before the last shingle on "
            "16 September 2026.",
        ),
        Example(
            {
                "job.job.completion_signed_on": "2026-09-16",
                "job.work.4": "2026-09-17, clean-up",
            },
            finds="The owner signed on 16 September 2026 that the work is complete, before the last day of work "
            "on 17 September 2026.",
        ),
        Example({"job.job.completion_signed_on": "2026-09-16"}, finds=None),
    ],
)
def complete_before_finished(case: Case, assessment: Assessment) -> Iterator[Fault]:
    signed, last = case.job.job.completion_signed_on, case.last_day_of_work()
    shingle = assessment.events[StartEvent.LAST_SHINGLE].day
    if signed is None:
        return
    where, values = case.where("job.completion_signed_on"), {"signed": write_date(signed)}
    if shingle is not None and signed < shingle:
        yield Fault(where, {**values, "moment": "the last shingle", "day": write_date(shingle)})
    elif last is not None and signed < last:
        values |= {"moment": "the last day of work", "day": write_date(last)}
        yield Fault(where, values, holds=frozenset())


_LAID_IN: Mapping[Role, Phase] = MappingProxyType(
    {
        Role.FIELD_SHINGLE: Phase.FIELD,
        Role.STARTER: Phase.STARTER,
        Role.HIP_AND_RIDGE: Phase.HIP_AND_RIDGE,
        Role.UNDERLAYMENT: Phase.UNDERLAYMENT,
        Role.ICE_BARRIER: Phase.ICE_BARRIER,
        Role.DRIP_EDGE: Phase.DRIP_EDGE,
        Role.DECK_PANEL: Phase.DECK_REPAIR,
    }
)


@rule(
    id="ORD-011",
    says="{product} came on {came}, after {phase} was finished on {done}.",
    why="What was not there yet was not laid: lots and quantities of that ticket belong to another roof, or a day "
    "is wrong.",
    source="The calendar; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Compare with the ticket and correct the day; say source: own stock for what came off the truck.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=_NOT_TRUE,
    rests_on={
        "job.deliveries.*.on": "A ticket without its day contradicts no day of the work.",
        "job.work": "ORD-003 asks for the days of the work.",
    },
    examples=[
        Example(
            {"job.deliveries.0.on": "2026-09-16"},
            finds="Fenwright 40 came on 16 September 2026, after field was finished on 15 September 2026.",
        ),
        Example({"job.deliveries.0.on": "2026-09-14"}, finds=None),
    ],
)
def delivered_after_laid(case: Case) -> Iterator[Fault]:
    for role, phase in _LAID_IN.items():
        done, materials = case.last_day_of(phase), case.materials_of(role)
        days = [one.delivery.on for one in materials]
        # One line off the truck, or without a day, may be what was laid.
        if done is None or not materials or any(one.is_stock for one in materials):
            continue
        for one, day in zip(materials, days, strict=True):
            if day is not None and all(other is not None and other > done for other in days):
                yield Fault(
                    case.where(one.path),
                    {
                        "product": one.name,
                        "came": write_date(day),
                        "phase": phase.value,
                        "done": write_date(done),
                    },
                )


@rule(
    id="ORD-012",
    says="{name} looked at {phase} on {looked}, {found} on {day}.",
    why="Nobody can look at what is not there yet, or at what is covered.",
    source="The calendar",
    owed_by=Party.OFFICE,
    remedy="Ask who looked and when, and correct that line of the work log.",
    asks=LEFT_TO_OFFICE,
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    rests_on={"job.work.*.checked_on": "A blank is read as the last day of that line."},
    examples=[
        Example(
            {
                "job.work.1": "2026-09-14, drip edge + underlayment, checked by Ida Torvik on 2026-09-13"
            },
            finds="Ida Torvik looked at underlayment on 13 September 2026, before it was begun on "
            "14 September 2026.",
        ),
        Example(
            {
                "job.work.1": "2026-09-14, drip edge + underlayment, checked by Ida Torvik on 2026-09-16"
            },
            finds="Ida Torvik looked at underlayment on 16 September 2026, after field had covered it on "
            "15 September 2026.",
        ),
        Example(
            {
                "job.work.1": "2026-09-14, drip edge + underlayment, checked by Ida Torvik on 2026-09-15"
            },
            finds=None,
        ),
    ],
)
def looked_at_the_wrong_time(case: Case) -> Iterator[Fault]:
    for work in case.work:
        looked = work.checked_on
        if looked is None or not work.checked_by:
            continue
        covered = max(
            (
                over.last
                for slope in work.slopes or (None,)
                for over in case.work_on(Phase.FIELD, slope)
            ),
            default=None,
        )
        found: tuple[str, date] | None = None
        if looked < work.first:
            found = ("before it was begun", work.first)
        elif work.phase in _HIDDEN and covered is not None and looked > covered:
            found = ("after field had covered it", covered)
        if found is not None:
            yield Fault(
                case.where(work.path),
                {
                    "name": work.checked_by,
                    "phase": work.phase.value,
                    "looked": write_date(looked),
                    "found": found[0],
                    "day": write_date(found[1]),
                },
            )
