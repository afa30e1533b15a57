"""The registrations of one job and their last days.

In: a record, the sheets that hold for it, its days. Out: rows, and the deadlines that are not met. Must not know
SQL, nor today.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from dossier.assess.calendar import day_that_meets, last_day
from dossier.index.card import Row
from dossier.index.terms import JobSheets
from dossier.index.text import iso, one_line
from dossier.record.job import Job
from dossier.terms.sheet import ClaimNotice, Level
from dossier.words import StartEvent


@dataclass(frozen=True)
class AskedLevel:
    """One warranty asked for, by the names that the record gives it. claim: how one is made, by its sheet.

    falls_to: the level that holds where this one was not registered; None where it is known to be registered, or
    where nothing holds then.
    """

    name: str
    sheet: str
    level: Level
    claim: ClaimNotice | None
    falls_to: Level | None


def registrations(
    job: Job,
    own: JobSheets,
    days: Mapping[StartEvent, date | None],
    tables: dict[str, list[Row]],
) -> list[AskedLevel]:
    """Make the rows of registrations and their deadlines, and return the levels that were asked for."""
    levels = []
    for asked in job.warranties:
        name, sheet = one_line(asked.level), one_line(asked.sheet)
        terms = own.sheet(sheet)
        level = terms.level(name) if terms else None
        needed, due_on, met_on = "cannot tell", None, asked.accepted_on
        if terms is not None and level is not None:
            within, falls = level.registration, level.unregistered_falls_to
            needed = "no" if within is None else "yes"
            met_on = None
            if within is not None:
                started = days.get(within.counted_from)
                due_on = last_day(started, within.within_days) if started else None
                met_on = day_that_meets(
                    within.met_by, asked.submitted_on, asked.received_on, asked.accepted_on
                )
            is_known = asked.accepted_on or asked.confirmation or asked.certificate_file
            holds = terms.level(falls) if within and falls and not is_known else None
            levels.append(AskedLevel(name, sheet, level, terms.claim, holds))
        tables["registration"].append(
            (sheet, name, needed, iso(due_on), iso(met_on), one_line(asked.confirmation))
        )
        if due_on is not None and met_on is None:
            tables["deadline"].append((iso(due_on), "registration", f"register {name}, {sheet}"))
    return levels
