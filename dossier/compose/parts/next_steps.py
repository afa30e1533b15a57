"""What happens next, in a few sentences for the first page of a handover.

In: a case filtered for its reader, its assessment, the punch list, the run. Out: plain sentences. Must not
count days left, nor promise a level that is not confirmed: days are printed as dates.
"""

from datetime import date, timedelta

from dossier.assess.results import AskedResult, Assessment, Standing
from dossier.case.case import Case
from dossier.compose.parts.levels import (
    confirmed,
    doubt,
    event_to_come,
    event_words,
    unsure,
    was_due,
)
from dossier.compose.parts.shared import NOT_ON_RECORD, signed
from dossier.punchlist import PunchList
from dossier.terms.coverage import Transfer
from dossier.values import Run, write_date
from dossier.words import Edition

_CALL_BEFORE_DAYS = 14
"""Days before the last day to register on which an owner without a letter had best call, so that a packet
can still be sent. Common practice, no published source."""

_LETTER_WITHIN_DAYS = 30
"""Days after sending within which a confirmation usually comes; common practice, no published source."""


def next_steps(case: Case, assessment: Assessment, edition: Edition, run: Run) -> tuple[str, ...]:
    """Return who does what by when, a sentence or two for every warranty asked for."""
    ask = reach(case)
    steps = [
        f"{_step(case, assessment, one, edition, run)}{doubt(one.asked)}"
        for one in assessment.asked
    ]
    if not assessment.asked:
        steps.append(
            f"No maker’s warranty is asked for on record: ask {ask} which one applies, and in writing."
        )
    return tuple(steps)


def _for_a_buyer(transfer: Transfer | None) -> str:
    """Return whether a buyer has a level that the maker confirmed, and by what, as its terms say."""
    if transfer is None:
        return (
            "whether a buyer has any of it the terms as typed in do not say; ask before the sale."
        )
    if not transfer.passes:
        return "it does not pass to a buyer, by its terms."
    if transfer.within_days is None:
        return "a buyer has what its terms leave; they name no last day for a notice, so give it at the sale."
    return (
        "a buyer has what its terms leave, and only by the notice of the sale that they ask for. See above who "
        "gives it, and by when."
    )


def call_by(result: AskedResult, today: date) -> date | None:
    """Return the day by which a letter of the maker should have come; None where none is waited for."""
    done = result.asked.warranty.is_accepted or confirmed(result)
    if done or result.level.standing in (Standing.LOST, Standing.UNCONFIRMED):
        return None
    warranty, deadline = result.asked.warranty, result.level.deadline
    sent = warranty.submitted_on or warranty.received_on
    if sent:
        return max(sent + timedelta(days=_LETTER_WITHIN_DAYS), today + timedelta(days=1))
    if deadline is None or deadline.last_day is None:
        return None
    early = deadline.last_day - timedelta(days=_CALL_BEFORE_DAYS)
    return early if early > today else deadline.last_day


def reach(case: Case) -> str:
    """Return the company with its telephone, else its e-mail, where there is one."""
    company = case.company
    way = company.phone or company.email
    return f"{company.name}, {way}" if way else company.name


def _step(
    case: Case, assessment: Assessment, result: AskedResult, edition: Edition, run: Run
) -> str:
    maker, level = result.asked.sheet.maker, result.level.level.level
    ask = reach(case)
    if result.asked.warranty.is_accepted and not confirmed(result):
        return (
            f"{maker}, {level} level: {maker} accepted it, and this record does not show that every condition "
            f"of it is met. Keep the letter, and ask {ask} for what is missing."
        )
    if result.level.standing is Standing.LOST:
        return _lost(case, assessment, result)
    if result.level.standing is Standing.UNCONFIRMED:
        other = "the terms name no level in its place"
        if result.in_force is not result.level.level:
            other = f"the {result.in_force.level} level does"
        return (
            f"{maker}, {level} level: no confirmation that it was registered is on record. Ask {maker} "
            f"whether it has this address registered. If so, it holds; if not, {other}."
        )
    if confirmed(result) and edition is Edition.RESALE:
        return f"{maker}, {level} level: {_for_a_buyer(result.level.level.coverage.transfer)}"
    if confirmed(result):
        if result.level.level.registration is None:
            return f"{maker}, {level} level: nothing has to be registered. Keep this record."
        return f"{maker}, {level} level: it is registered, and nothing more has to be sent. Keep this record."
    if edition is Edition.RESALE:
        return (
            f"{maker}, {level} level: not confirmed when this was printed; ask {ask} how it ended."
        )
    warranty, deadline = result.asked.warranty, result.level.deadline
    call = call_by(result, run.today)
    if call is not None and (warranty.submitted_on or warranty.received_on):
        return (
            f"{maker}, {level} level: we sent the registration, and {maker} has to confirm it. If no letter "
            f"from {maker} has come by {write_date(call)}, call {ask}."
        )
    if call is None or deadline is None or deadline.last_day is None:
        begins = f" once {event_words(deadline.event.event)} is on record" if deadline else ""
        return f"{maker}, {level} level: {case.company.name} registers it{begins}. Ask {ask} when it was sent."
    return (
        f"{maker}, {level} level: we send the registration; you need not. Its last day is "
        f"{write_date(deadline.last_day)}. If no letter from {maker} has come by {write_date(call)}, call {ask}."
    )


def _lost(case: Case, assessment: Assessment, result: AskedResult) -> str:
    maker, level = result.asked.sheet.maker, result.level.level.level
    ask = reach(case)
    held = result.in_force
    if held is result.level.level:
        return (
            f"{maker}, {level} level: by this record it cannot be had, and the terms name none in its "
            f"place. Ask {ask}."
        )
    begun = assessment.events[held.coverage.starts].day is not None
    holds = "what holds now is"
    if not begun:
        holds = f"from {event_to_come(held.coverage.starts)} ({NOT_ON_RECORD}), what holds is"
    return (
        f"{maker}: {holds} the {held.level} level, and not the {level} level. Ask {ask} for the reason and for "
        "what can still be had."
    )


def flue_caution(case: Case, punch_list: PunchList) -> str:
    """Return the caution for the first page unless a licensed person is on record as having looked at the flues.

    It is "" too where no look is asked for; a look on record counts, whatever number of flues stands beside it.
    Source of the advice: common practice, no published source; the local code says where alarms belong.
    """
    flues = case.job.after_work.flues if case.job.after_work else None
    unseen = any(item.manner.of_flues and item.life_safety for item in punch_list)
    if not unseen and (flues is None or flues.licence):
        return ""
    what = "that flues and combustion vents were looked at after the work"
    if not unseen:
        what = f"that whoever looked at flues and combustion vents is licensed for them ({signed(flues)})"
    return (
        f"Carbon monoxide: this record does not show {what}. Keep a working carbon monoxide alarm on every "
        "floor where people sleep, and have a licensed person look at them before heating or hot water is used "
        "again."
    )


def registration_gaps(assessment: Assessment) -> tuple[str, ...]:
    """Return what is open of the maker's warranties, in plain sentences; empty where nothing is."""
    found = [_registration_gap(one) for one in assessment.asked if not _is_lost(one)]
    return tuple(text for sentences in found for text in sentences)


def registration_losses(assessment: Assessment) -> tuple[str, ...]:
    """Return what of the maker's warranties can no longer be had, and by what; empty where nothing is lost."""
    found = [_registration_gap(one) for one in assessment.asked if _is_lost(one)]
    return tuple(text for sentences in found for text in sentences)


def _is_lost(result: AskedResult) -> bool:
    accepted_and_open = result.asked.warranty.is_accepted and not confirmed(result)
    return result.level.standing is Standing.LOST and not accepted_and_open


def _registration_gap(result: AskedResult) -> list[str]:
    maker, level = result.asked.sheet.maker, result.level.level
    deadline, warranty = result.level.deadline, result.asked.warranty
    named = f"The {level.level} level of {maker}{unsure(result.asked)}"
    if result.asked.warranty.is_accepted and not confirmed(result):
        return [
            f"{named} was accepted by {maker}, and this record does not show that every condition of it is "
            "met."
        ]
    if result.level.standing is Standing.LOST:
        found = [f"{named} can no longer be had by this record."]
        for one in result.level.spoiled_by:
            role = one.role.value if one.role else "product"
            found.append(
                f"{named} asks for {maker}’s own {role}; on this roof it is {one.name}, by {one.maker}."
            )
        if deadline is not None and deadline.passed and deadline.last_day is not None:
            found.append(
                f"{named} had to be registered by {write_date(deadline.last_day)}, and was not in time."
            )
        return found
    if result.level.standing is Standing.UNCONFIRMED:
        return [
            f"No confirmation that the {level.level} level of {maker}{unsure(result.asked)} was registered is on "
            f"record{was_due(result)}. Ask {maker} whether it has this address registered."
        ]
    if level.registration is None or confirmed(result):
        return []
    if warranty.is_sent:
        return [f"{named} is not confirmed: the registration was sent, and no answer is on record."]
    last = "its last day cannot be told yet"
    if deadline is not None and deadline.last_day is not None:
        last = f"its last day is {write_date(deadline.last_day)}"
    return [f"{named} is not registered yet; {last}."]
