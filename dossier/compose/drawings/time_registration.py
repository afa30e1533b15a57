"""The day of each registration, for the time line: by when it is due, or when it was done.

In: an assessment. Out: a day and its words for each level asked for. Must not count days, and must not speak of a
level that is lost: nothing is left to register there.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from dossier.assess.results import AskedResult, Assessment, Standing
from dossier.compose.parts.levels import registration_words, unsure
from dossier.values import write_date


@dataclass(frozen=True)
class Dated:
    """One registration. on: None where its day is not on record. done: sent, received or accepted in time."""

    says: str
    on: date | None
    done: bool


def dated(assessment: Assessment) -> Iterator[Dated]:
    """Yield each level asked for that must be registered and is not lost, in the order of the record."""
    for result in assessment.asked:
        if result.level.level.registration is None or result.level.standing is Standing.LOST:
            continue
        words, on, done = _day(result)
        yield Dated(
            f"{result.level.level.level} level, {result.asked.sheet.maker}{unsure(result.asked)}: {words}",
            on,
            done,
        )


def _day(result: AskedResult) -> tuple[str, date | None, bool]:
    warranty, deadline = result.asked.warranty, result.level.deadline
    last = deadline.last_day if deadline else None
    if warranty.is_accepted:
        if warranty.accepted_on is None:
            return "registered, on a day that is not on record", None, True
        return f"registered {write_date(warranty.accepted_on)}", warranty.accepted_on, True
    if deadline is not None and deadline.met_on is not None:
        words = f"{deadline.met_by} {write_date(deadline.met_on)}, no confirmation on record"
        return words, deadline.met_on, True
    if result.level.standing is Standing.OPEN and deadline is not None and last is not None:
        return f"register by {write_date(last)} ({deadline.met_by} by then)", last, False
    text = registration_words(result)
    return text[:1].lower() + text[1:].rstrip("."), last, False
