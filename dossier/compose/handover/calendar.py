"""The dates of one roof as a calendar file (iCalendar, RFC 5545).

In: a case, an assessment, the run. Out: the text of an `.ics` file. Must not know a page. Every entry is a
whole day, without a time of day or a zone; a deadline is the last day on which it still counts.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from hashlib import sha256

from dossier.assess.results import Assessment, CoverageLine, LeftBySale
from dossier.case.case import Case
from dossier.compose.parts.coverage_pages import lines_of
from dossier.compose.parts.next_steps import call_by, reach
from dossier.compose.parts.shared import in_clause
from dossier.values import Run
from dossier.words import Cap, Edition

_FOLD_OCTETS = 75
_CARE = (
    (
        4,
        15,
        "Spring look at the roof, from the ground",
        "Look from the ground or a window; do not climb. Shingles out of line, bent metal, branches that touch "
        "the roof, new stains on ceilings below it.",
    ),
    (
        10,
        15,
        "Autumn look at the roof, from the ground",
        "Leaves out of gutters and valleys by somebody equipped for it; vents under the eaves and along the "
        "ridge open; carbon monoxide alarms tested.",
    ),
)


@dataclass(frozen=True)
class Event:
    """One whole-day entry. yearly: whether it comes back every year."""

    key: str
    on: date
    title: str
    text: str
    yearly: bool = False


def calendar(
    case: Case, assessment: Assessment, run: Run, edition: Edition = Edition.HOMEOWNER
) -> str:
    """Return the calendar of one job, lines ended and folded as RFC 5545 asks."""
    number = case.job.job.number
    stamp = f"{run.today:%Y%m%d}T120000Z"
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//dossier//roof calendar//EN",
        "CALSCALE:GREGORIAN",
    ]
    for event in events(case, assessment, run, edition):
        # A stable name lets a later copy of this calendar replace an entry rather than double it.
        name = sha256(f"{number} {case.job.job.address} {event.key}".encode()).hexdigest()[:32]
        lines += [
            "BEGIN:VEVENT",
            f"UID:{name}@dossier.example.com",
            f"DTSTAMP:{stamp}",
            f"DTSTART;VALUE=DATE:{event.on:%Y%m%d}",
            f"DTEND;VALUE=DATE:{event.on + timedelta(days=1):%Y%m%d}",
            f"SUMMARY:{_escaped(event.title)}",
            f"DESCRIPTION:{_escaped(event.text)}",
            "TRANSP:TRANSPARENT",
        ]
        if event.yearly:
            lines.append("RRULE:FREQ=YEARLY")
        lines.append("END:VEVENT")
    lines.append("END:VCALENDAR")
    return "".join(f"{_folded(line)}\r\n" for line in lines)


def events(
    case: Case, assessment: Assessment, run: Run, edition: Edition = Edition.HOMEOWNER
) -> Iterator[Event]:
    """Yield the entries: registration deadlines, ends of coverage, care; in a fixed order.

    A resale edition's are a buyer's: nothing to register, and coverage ends where it does for the next owner.
    """
    address = case.job.job.address
    decides = "By the printed terms and this record; the warrantor decides."
    at_a_sale = edition is Edition.RESALE
    for result in assessment.asked if not at_a_sale else ():
        deadline = result.level.deadline
        level = f"{result.level.level.level} level, {result.asked.sheet.maker}"
        if deadline is not None and deadline.last_day is not None and deadline.met_on is None:
            yield Event(
                f"registration {result.asked.path}",
                deadline.last_day,
                f"Last day to register the roof: {level}",
                f"{address}. The registration must be {_met_by(deadline.met_by, result.asked.sheet.maker)} "
                f"by this day{in_clause(deadline.clause)}. {decides}",
            )
    for result in assessment.asked if not at_a_sale else ():
        call = call_by(result, run.today)
        if call is not None:
            maker = result.asked.sheet.maker
            yield Event(
                f"call {result.asked.path}",
                call,
                f"Has a letter from {maker} come? If not, call {case.company.name}",
                f"{address}. A registration holds once {maker} has confirmed it. Call {reach(case)}.",
            )
    told: set[str] = set()
    for line in assessment.coverages:
        ends = line.next_owner_ends if at_a_sale else line.ends
        if ends is None or not line.holds_now or line.left is LeftBySale.NOTHING:
            continue
        wind = f" to {line.part.wind_mph} mph" if line.part.wind_mph else ""
        price = "today's price" if line.part.cap is Cap.PRICE_TODAY else "the original price"
        measured = f", measured by {price}" if line.part.cap_is_typed else ""
        last_day = "Last day of the term."
        if at_a_sale:
            last_day = "Last day for the next owner, where notice of the sale was given in time."
        yield Event(
            f"ends {line.title} {line.part.part.value}{wind}",
            ends,
            f"Coverage ends: {line.part.part.value}{wind}, {line.title}",
            f"{address}. Promised by {line.promised_by}{measured}. {last_day} {decides}",
        )
        transfer = line.transfer
        if transfer is None or not transfer.passes or line.title in told:
            continue
        # A last day that is the coverage's own end needs no entry of its own.
        if line.last_sale is not None and _outlasts(assessment, line, line.last_sale, at_a_sale):
            told.add(line.title)
            yield Event(
                f"transfer {line.title}",
                line.last_sale,
                f"Last day on which a sale passes coverage on: {line.title}",
                f"{address}. After this day the terms pass nothing on to a buyer. "
                f"Notice within {transfer.within_days or 'the printed'} days of the closing. {decides}",
            )
    first = run.today.year if run.today < date(run.today.year, 10, 15) else run.today.year + 1
    for month, day, title, text in _CARE:
        on = date(first, month, day)
        if on <= run.today:
            on = date(first + 1, month, day)
        yield Event(f"care {month}", on, title, f"{address}. {text}", yearly=True)


def _outlasts(assessment: Assessment, line: CoverageLine, on: date, at_a_sale: bool) -> bool:
    """Return whether a part of the same coverage runs beyond a day, for the reader of this calendar."""
    ends = (
        one.next_owner_ends if at_a_sale else one.ends
        for one in lines_of(assessment, (line.title, line.document))
    )
    return any(end is None or end > on for end in ends)


def _met_by(word: str, maker: str) -> str:
    """Return what must have happened by the last day: sent to the maker, received or accepted by it."""
    return f"{word} {'to' if word == 'sent' else 'by'} {maker}"


def _escaped(text: str) -> str:
    """Return text as RFC 5545 section 3.3.11 writes it."""
    for mark in ("\\", ";", ","):
        text = text.replace(mark, f"\\{mark}")
    return text.replace("\r\n", "\n").replace("\n", "\\n")


def _folded(line: str) -> str:
    """Return a line folded at 75 octets, never inside a character (RFC 5545, section 3.1)."""
    parts: list[str] = []
    room, part = _FOLD_OCTETS, ""
    for character in line:
        size = len(character.encode())
        if size > room:
            parts.append(part)
            part, room = "", _FOLD_OCTETS - 1
        part += character
        room -= size
    return "\r\n ".join([*parts, part])
