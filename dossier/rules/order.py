"""Order of work: phases in an order that can be true, permit before work, certified on the day."""

from collections.abc import Iterator
from datetime import date

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, Party, Verdict
from dossier.rules.declare import Example, Fault, rule
from dossier.values import Run, listed, write_date
from dossier.words import InspectionResult, Phase

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

_ALWAYS = (
    Phase.TEAR_OFF,
    Phase.DECK,
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
    holds={Holds.PERMIT},
    cannot_tell="whether the permit came before the work",
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
def work_before_permit(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    source="Common practice, no published source",
    owed_by=Party.CREW,
    remedy="Ask the crew lead for the right days and correct the work log.",
    examples=[
        Example(
            {"job.work.2": "2026-09-13, starter + field, checked by Jens Aberg"},
            finds="On front, field is logged for 13 September 2026, before ice barrier on "
            "14 September 2026, which it covers.",
        ),
        Example({"job.work.2": "2026-09-14, starter + field, checked by Jens Aberg"}, finds=None),
    ],
)
def covered_before_done(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    source="Our habit; no published source",
    owed_by=Party.CREW,
    remedy="Ask the crew lead for the days and add them to the work log.",
    holds={Holds.REGISTRATION},
    examples=[
        Example(
            {"job.work.2": "2026-09-15, field, checked by Jens Aberg"},
            finds="The work log has no day for starter.",
        ),
        Example({"job.work.2": "2026-09-14 to 2026-09-15, starter + field"}, finds=None),
    ],
)
def phase_without_day(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    expected = [phase for phase in _ALWAYS if _happens(phase, case, assessment)]
    blank = [phase.value for phase in expected if not case.work_on(phase)]
    if blank and not case.reason_not("work"):
        yield Fault(case.where("work"), {"phases": listed(blank)}, verdict=Verdict.MISSING)


def _happens(phase: Phase, case: Case, assessment: Assessment) -> bool:
    """Return whether this roof has the phase at all."""
    if phase in (Phase.TEAR_OFF, Phase.DECK):
        return not case.is_recover
    if phase is Phase.HIP_AND_RIDGE:
        totals = assessment.totals
        return bool(totals.ridge_ft) or bool(totals.hip_ft)
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
    examples=[
        Example(
            {"job.work.1": "2026-09-14, drip edge + underlayment"},
            finds="Nobody is on record as having looked at underlayment before the next layer.",
        ),
        Example({"job.work.3": "2026-09-16, flashing + ventilation + hip and ridge"}, finds=None),
    ],
)
def nobody_checked(case: Case, facts: Facts, assessment: Assessment, run: Run) -> Iterator[Fault]:
    hidden = (Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT)
    blank = [
        phase
        for phase in hidden
        if case.work_on(phase) and not any(work.checked_by for work in case.work_on(phase))
    ]
    if blank:
        where = case.where(case.work_on(blank[0])[0].path)
        phases = listed([phase.value for phase in blank])
        yield Fault(where, {"phases": phases}, verdict=Verdict.MISSING)


@rule(
    id="ORD-005",
    says="The permit was closed on {closed}, before the last day of work on {last}.",
    why="A final inspection cannot have seen what was built after it.",
    source="IRC 2018, 2021 and 2024, section R109.1.6 (final inspection after the work is complete)",
    owed_by=Party.OFFICE,
    remedy="Correct the day that is wrong; else ask the permit office whether a re-inspection is due.",
    holds={Holds.PERMIT},
    examples=[
        Example(
            {"job.permit.closed_on": "2026-09-15"},
            finds="The permit was closed on 15 September 2026, before the last day of work on "
            "16 September 2026.",
        ),
        Example({"job.permit.closed_on": "2026-09-16"}, finds=None),
    ],
)
def closed_before_finished(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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
    source="The calendar",
    owed_by=Party.OFFICE,
    remedy="Correct the day.",
    holds={Holds.HANDOVER, Holds.REGISTRATION},
    examples=[
        Example(
            {"job.work.3": "2026-10-21, flashing + ventilation + hip and ridge + clean-up"},
            finds="Flashing is dated 21 October 2026, which is after today, 20 October 2026.",
        ),
        Example(
            {"job.work.3": "2026-10-20, flashing + ventilation + hip and ridge + clean-up"},
            finds=None,
        ),
    ],
)
def dated_in_the_future(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    seen: set[str] = set()
    for work in case.work:
        if work.last > run.today and work.path not in seen:
            seen.add(work.path)
            yield Fault(case.where(work.path), _future(work.phase.value, work.last, run))
    permit = case.job.permit
    days = [
        ("the permit's closing", "permit.closed_on", permit.closed_on if permit else None),
        (
            "the owner's signature on the completion",
            "job.completion_signed_on",
            case.job.job.completion_signed_on,
        ),
    ]
    for what, field, day in days:
        if day is not None and day > run.today:
            yield Fault(case.where(field), _future(what, day, run))


def _future(what: str, day: date, run: Run) -> dict[str, str]:
    return {
        "what": f"{what[0].upper()}{what[1:]}",
        "day": write_date(day),
        "today": write_date(run.today),
    }


@rule(
    id="ORD-007",
    says="The {kind} inspection is dated {on}, before {phase} on {day}.",
    why="An inspector cannot have passed what was not there.",
    source="IRC 2018, 2021 and 2024, section R109.1 (inspections of completed stages)",
    owed_by=Party.OFFICE,
    remedy="Compare with the permit card and correct the day that is wrong.",
    holds={Holds.PERMIT},
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
        Example({"job.permit.inspections.1": "final, 2026-09-16, passed, R. Lindmark"}, finds=None),
    ],
)
def inspected_before_built(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
    permit = case.job.permit
    for number, inspection in enumerate(permit.inspections if permit else ()):
        if inspection.on is None:
            continue
        kind = inspection.kind.lower()
        found: tuple[str, date] | None = None
        if kind == "final":
            last = case.last_day_of_work()
            found = ("the last day of work", last) if last else None
        else:
            days = [
                (phase.value, min(work.first for work in case.work_on(phase)))
                for phase in (Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT)
                if phase.value in kind and case.work_on(phase)
            ]
            found = days[0] if days else None
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
    holds={Holds.PERMIT},
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
def covered_over_a_correction(
    case: Case, facts: Facts, assessment: Assessment, run: Run
) -> Iterator[Fault]:
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


_HIDDEN = (Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT)
"""Phases that the field covers."""
