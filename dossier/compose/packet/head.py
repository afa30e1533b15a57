"""The head of one warranty asked for: how far its registration is, its last day, what keeps it.

In: what the assessment says of one warranty, the punch list, run. Out: ready-to-print labels and texts.
Must not judge a condition. Only `head_facts` counts days, from the run's day.
"""

from dossier.assess.results import AskedResult, Deadline
from dossier.compose.parts.levels import event_words, registration_words, sheet_words, unsure
from dossier.compose.parts.shared import Pair, contact_lines, day
from dossier.punchlist import Holds, Party, PunchList
from dossier.values import Run, days_between, listed, plural, write_date

READY, NOT_READY, SENT, REGISTERED = "READY", "NOT READY", "SENT", "REGISTERED"


def is_sent(result: AskedResult) -> bool:
    """Return whether the packet was sent by the record."""
    return result.asked.warranty.is_sent or result.asked.warranty.is_accepted


def word_of(result: AskedResult, punch_list: PunchList) -> tuple[str, str]:
    """Return how far the registration is in one word, and what that rests on."""
    warranty = result.asked.warranty
    if warranty.is_accepted:
        accepted = f"accepted on {write_date(warranty.accepted_on)}" if warranty.accepted_on else ""
        number = f"confirmation {warranty.confirmation}" if warranty.confirmation else ""
        return REGISTERED, ", ".join(part for part in (accepted, number) if part)
    if is_sent(result):
        on = warranty.submitted_on or warranty.received_on
        when = f"on {write_date(on)}, " if on else ""
        if not punch_list.is_ready(Holds.REGISTRATION):
            return NOT_READY, f"and sent {when}no confirmation on record"
        return SENT, f"{when}no confirmation on record"
    return READY if punch_list.is_ready(Holds.REGISTRATION) else NOT_READY, ""


def head_facts(result: AskedResult, punch_list: PunchList, run: Run) -> tuple[Pair, ...]:
    """Return the few lines above the form to copy across; the only ones that count days."""
    sheet = result.asked.sheet
    send_to = contact_lines(sheet.registration_desk)
    return (
        Pair(
            "Level asked for", f"{result.level.level.level}, by {sheet.maker}{unsure(result.asked)}"
        ),
        Pair("Last day", _last_day(result, run)),
        Pair("What is open" if is_sent(result) else "What keeps it", _keeping(punch_list)),
        *([Pair("Send to", ", ".join(send_to))] if send_to else []),
    )


def more_facts(result: AskedResult) -> tuple[Pair, ...]:
    """Return what stands above the conditions."""
    deadline, best = result.level.deadline, result.best
    pairs = [
        Pair("Terms", f"{sheet_words(result.asked.sheet)}{unsure(result.asked)}"),
        Pair("Where it stands", registration_words(result)),
    ]
    if best is not None and best.level is not result.level.level:
        pairs.append(Pair("Highest level still open", f"{best.level.level}, by this record"))
    if deadline is not None and deadline.last_day is not None:
        pairs.append(Pair("Last day counted", _counted(deadline)))
    if result.asked.warranty.registered_by:
        pairs.append(Pair("Sent by", result.asked.warranty.registered_by))
    return tuple(pairs)


def _last_day(result: AskedResult, run: Run) -> str:
    deadline = result.level.deadline
    if deadline is None:
        return "The terms ask for no registration of this level."
    if deadline.last_day is None:
        return f"cannot be told: {_counted(deadline)}"
    last, left = write_date(deadline.last_day), days_between(run.today, deadline.last_day)
    if deadline.met_on is not None:
        kept = "kept" if deadline.met_on <= deadline.last_day else "not kept"
        return f"{last}, {kept} on {write_date(deadline.met_on)}"
    if left < 0:
        return f"{last}, passed {plural(-left, 'day')} before {write_date(run.today)}"
    return f"{last}, {plural(left, 'day')} left on {write_date(run.today)}"


def _counted(deadline: Deadline) -> str:
    clause = f", clause {deadline.clause}" if deadline.clause else ""
    return (
        f"{deadline.within_days} days from {event_words(deadline.event.event)}"
        f" ({day(deadline.event.day)}){clause}"
    )


def _keeping(punch_list: PunchList) -> str:
    items = punch_list.holding(Holds.REGISTRATION)
    if not items:
        return "Nothing on the punch list holds the registration."
    owed = [(party, sum(item.owed_by is party for item in items)) for party in Party]
    parts = listed([f"{count} by the {party.value}" for party, count in owed if count])
    return f"{plural(len(items), 'item')}, owed {parts}; listed below the conditions."
