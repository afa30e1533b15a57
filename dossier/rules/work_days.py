"""Days that cannot be true beside the days of the work."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from types import MappingProxyType

from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.punchlist import Holds, Manner, Party, Sends
from dossier.record.days import days_in
from dossier.rules.asking import untold
from dossier.rules.declare import ASKED, Example, Fault, rule
from dossier.rules.held import NOT_TRUE
from dossier.rules.order import HIDDEN
from dossier.said import File, Said, Value, say
from dossier.values import Run
from dossier.words import Phase, Role, StartEvent

_CALLED = MappingProxyType(
    {
        "permit.closed_on": say("the permit's closing"),
        "job.completion_signed_on": say("the owner's signature on the completion"),
    }
)


def _called(path: str) -> Said:
    return _CALLED.get(path) or say("what stands under {path}", path=path)


def _future(what: Said | Phase, day: date, run: Run) -> dict[str, Value]:
    return {
        "what": what,
        "day": day,
        "today": run.today,
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
    id="ORD-005",
    says="The permit was closed on {closed}, before the last day of work on {last}.",
    why="A final inspection cannot have seen what was built after it.",
    source="IRC 2018, 2021 and 2024, section R109.1.6 (final inspection after the work is complete)",
    owed_by=Party.OFFICE,
    remedy="Correct the day that is wrong; else ask the permit office whether a re-inspection is due.",
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
            {"closed": closed, "last": last},
        )


@rule(
    id="ORD-006",
    says="{what!c} is dated {day}, which is after today, {today}.",
    why="A day that has not come yet cannot have been seen by anybody.",
    source="The calendar; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Correct the day.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=NOT_TRUE,
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
            yield Fault(case.where(work.path), _future(work.phase, work.last, run))
    for path, day in days_in(case.job):
        if day > run.today:
            yield Fault(case.where(path), _future(_called(path), day, run))
    for photo in case.photos:
        for field, day in days_in(photo):
            if day > run.today:
                what = say(
                    "what stands under {field} of {file}", field=field, file=File(photo.file)
                )
                yield Fault(case.photo_where(photo.file), _future(what, day, run))


@rule(
    id="ORD-013",
    says="{what!c} is dated {day}, long before the contract of {contract}.",
    why="A look, a payment or a signature of this job cannot be older than the job; it was typed wrongly or "
    "belongs to another.",
    source="The calendar; 60 days before the contract are common practice, no published source",
    owed_by=Party.OFFICE,
    remedy="Correct the day.",
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
                    "what": _called(path),
                    "day": day,
                    "contract": contract,
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
            yield untold(case, "job.contract_on", holds=())
    elif last is not None and contract > last:
        values: dict[str, Value] = {"moment": "the last day of work", "day": last}
        yield Fault(where, {"contract": contract, **values})
    elif began is not None and contract > began:
        values = {"moment": "work began", "day": began}
        yield Fault(where, {"contract": contract, **values}, holds=frozenset())


@rule(
    id="ORD-010",
    says="The owner signed on {signed} that the work is complete, before {moment} on {day}.",
    why="A completion that was signed ahead of the work proves nothing, and deadlines are counted from it.",
    source="The calendar; that one signed before the last shingle holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Correct the day that is wrong; else have the owner sign again.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=NOT_TRUE,
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
    where = case.where("job.completion_signed_on")
    values: dict[str, Value] = {"signed": signed}
    if shingle is not None and signed < shingle:
        yield Fault(where, {**values, "moment": "the last shingle", "day": shingle})
    elif last is not None and signed < last:
        values |= {"moment": "the last day of work", "day": last}
        yield Fault(where, values, holds=frozenset())


@rule(
    id="ORD-011",
    says="{product} came on {came}, after {phase} was finished on {done}.",
    why="What was not there yet was not laid: lots and quantities of that ticket belong to another roof, or a day "
    "is wrong.",
    source="The calendar; that it holds is our house rule",
    owed_by=Party.OFFICE,
    remedy="Compare with the ticket and correct the day; say source: own stock for what came off the truck.",
    manner=Manner(tells_owner=False, sends=Sends.NOWHERE, life_safety=False),
    holds=NOT_TRUE,
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
                        "came": day,
                        "phase": phase,
                        "done": done,
                    },
                )


@rule(
    id="ORD-012",
    says="{name} looked at {phase} on {looked}, {found} on {day}.",
    why="Nobody can look at what is not there yet, or at what is covered.",
    source="The calendar",
    owed_by=Party.OFFICE,
    remedy="Ask who looked and when, and correct that line of the work log.",
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
        elif work.phase in HIDDEN and covered is not None and looked > covered:
            found = ("after field had covered it", covered)
        if found is not None:
            yield Fault(
                case.where(work.path),
                {
                    "name": work.checked_by,
                    "phase": work.phase,
                    "looked": looked,
                    "found": found[0],
                    "day": found[1],
                },
            )
