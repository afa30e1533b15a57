"""The order of the work: permit first, and nothing covered before it was done and seen."""

from collections.abc import Iterator
from datetime import date

from dossier.assess.has_place import why_no_place
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends, Verdict
from dossier.record.closing import which_inspection
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import NOT_TRUE, terms_ask
from dossier.said import Listed
from dossier.words import InspectionResult, Phase, StartEvent

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


HIDDEN = (Phase.DECK, Phase.ICE_BARRIER, Phase.UNDERLAYMENT)
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
        yield untold(case, "permit.issued", needs)
    if issued is not None and began is not None and began < issued:
        yield Fault(
            case.where("permit.issued"),
            {"began": began, "issued": issued},
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
    holds=NOT_TRUE,
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
                        "upper": upper,
                        "lower": lower,
                        "upper_day": last_of_upper,
                        "lower_day": first_of_lower,
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
            {"phases": Listed(tuple(blank))},
            verdict=Verdict.MISSING,
            holds=frozenset({Holds.REGISTRATION}) if held else frozenset(),
            lacks=("work",),
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
        for phase in HIDDEN
        if any(
            case.work_on(phase, slope) and not any(w.checked_by for w in case.work_on(phase, slope))
            for slope in (*(one.label for one in case.job.slopes),) or (None,)
        )
    ]
    if blank:
        where = case.where(case.work_on(blank[0])[0].path)
        phases = Listed(tuple(phase for phase in blank))
        open_ = [work for phase in blank for work in case.work_on(phase) if not work.checked_by]
        lacks = tuple(dict.fromkeys(f"{work.path}.checked_by" for work in open_))
        yield Fault(where, {"phases": phases}, verdict=Verdict.MISSING, lacks=lacks)


@rule(
    id="ORD-007",
    says="The {kind} inspection is dated {on}, before {phase} on {day}.",
    why="An inspector cannot have passed what was not there.",
    source="IRC 2018, 2021 and 2024, section R109.1 (inspections of completed stages)",
    owed_by=Party.OFFICE,
    remedy="Compare with the permit card and correct the day that is wrong.",
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
                for phase in (Phase.TEAR_OFF, *HIDDEN, Phase.FLASHING)
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
                    "on": inspection.on,
                    "phase": found[0],
                    "day": found[1],
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
                    "ice barrier and roof deck, 2026-09-15, passed, R. Lindmark",
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
        if not any(phase.value in kind for phase in HIDDEN) or not later:
            continue
        passed = any(
            which_inspection(other.kind) == which_inspection(one.kind)
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
                    "on": one.on,
                    "result": one.result,
                    "phase": later[0].phase,
                    "day": max(later[0].first, one.on),
                },
            )
