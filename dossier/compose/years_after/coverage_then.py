"""Every coverage on one day as claim and sale documents print it.

In: coverages worked out for that day. Out: frozen rows of ready-to-print strings. Must not promise: “by the
printed terms and this record”, and the warrantor decides.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from dossier.assess.claim import Basis, CoverageThen, Notice
from dossier.assess.passed_on import Holding, PartAnswer
from dossier.compose.parts.coverage_pages import UNSAID
from dossier.compose.parts.levels import document_words, event_words
from dossier.compose.parts.shared import (
    NOT_ON_RECORD,
    Pair,
    capital,
    contact_lines,
    day,
    in_clause,
    miles_per_hour,
    sentence,
    share_words,
)
from dossier.values import write_date
from dossier.words import Cap, MetBy, Proration

_MARKS = {
    Holding.HOLDS: "in force",
    Holding.OPEN: "notice open",
    Holding.ENDED: "ended",
    Holding.NOT_STARTED: "not started",
    Holding.CANNOT_TELL: "cannot tell",
}

_IF = {Basis.IF_REGISTERED: "if registered", Basis.IF_NOT_REGISTERED: "if not registered"}
"""What stands in the place of “in force” where that hangs on something this record does not show."""

_CAPS = {
    Cap.ORIGINAL_PRICE: "the price when the roof was laid",
    Cap.PRICE_TODAY: "the price on the day of the claim",
}


@dataclass(frozen=True)
class PartThen:
    """One part on the day. mark: a word with a shape. numbers: the working, for the office.

    pays_then: whether some of it is paid on that day, for sure or if the coverage stands. wind: up to which
    speed, in pieces that no line may break; empty where the terms name none.
    """

    part: str
    pays: str
    wind: tuple[str, ...]
    mark: str
    pays_then: bool
    share: str
    runs_to: str
    measured_by: str
    clause: str
    numbers: str


@dataclass(frozen=True)
class CoverageTable:
    """One coverage on the day. if_so: what a share hangs on where the basis may not be so, else empty."""

    title: str
    basis: str
    if_so: str
    facts: tuple[Pair, ...]
    rows: tuple[PartThen, ...]
    because: tuple[str, ...]


def coverage_tables(
    then: Iterable[CoverageThen], *, office: bool = False
) -> tuple[CoverageTable, ...]:
    """Return every coverage, those that rest on the record alone first.

    office: whether the working of shares, and what the record does not show of conditions, are told too.
    """
    order = list(Basis)
    ranked = sorted(then, key=lambda one: order.index(one.basis))
    return tuple(_table(one, office) for one in ranked)


def _table(one: CoverageThen, office: bool) -> CoverageTable:
    document = one.document
    if one.sheet is not None:
        document = f"{one.document}, {document_words(one.sheet)}"
    start = (
        f"{write_date(one.starts)}, {event_words(one.start_event)}"
        if one.starts
        else f"{event_words(one.start_event)}, which is {NOT_ON_RECORD}"
    )
    facts = [Pair("Promised by", one.coverage.promised_by), Pair("Counts from", start)]
    if document != one.title:
        facts.append(Pair("Document", document))
    return CoverageTable(
        title=one.title,
        basis=capital(one.basis.value),
        if_so=", if so" if one.basis in _IF else "",
        facts=tuple(facts),
        rows=tuple(_part(answer, one.basis, office) for answer in one.answer.parts),
        because=tuple(
            map(str, (*one.notes, *(one.not_shown if office else ()), *one.answer.because))
        ),
    )


def _part(answer: PartAnswer, basis: Basis, office: bool) -> PartThen:
    part, mark = answer.part, _MARKS[answer.holding]
    pays_then = answer.holding in (Holding.HOLDS, Holding.OPEN)
    if pays_then and basis in _IF:
        mark = _IF[basis] if answer.holding is Holding.HOLDS else f"{mark}, {_IF[basis]}"
    wind: tuple[str, ...] = ()
    if part.wind_mph:
        miles, _, kilometres = miles_per_hour(part.wind_mph).partition(" (")
        wind = (f"Wind up to {miles}", f"({kilometres}.")
    numbers = ""
    if office and answer.working is not None and answer.stage == "prorated":
        numbers = f"{answer.working.with_numbers}; {answer.working.formula}"
        if not part.rounding_is_typed and part.method is not Proration.TABLE:
            numbers += "; how months count is not typed in, so the way that pays less"
    return PartThen(
        part=capital(part.part.value),
        pays=sentence(part.pays),
        wind=wind,
        mark=mark,
        pays_then=pays_then,
        share=_share(answer),
        runs_to=_runs_to(answer),
        measured_by=_CAPS[part.cap] if part.cap_is_typed else UNSAID,
        clause=part.clause,
        numbers=numbers,
    )


def _share(answer: PartAnswer) -> str:
    if answer.holding is Holding.CANNOT_TELL or answer.share is None:
        return "cannot tell"
    if answer.holding in (Holding.ENDED, Holding.NOT_STARTED):
        return "nothing"
    return share_words(answer.share)


def _runs_to(answer: PartAnswer) -> str:
    if answer.holding is Holding.ENDED:
        return f"ended {write_date(answer.runs_to)}" if answer.runs_to else "ended"
    if answer.lifetime:
        return "as long as the first owner owns the house"
    return day(answer.runs_to, "cannot tell")


def coverage_words(table: CoverageTable) -> str:
    """Return in one line which parts of a coverage are in force, and at what share, for a first page."""
    holding = [f"{row.part.lower()} {row.share}" for row in table.rows if row.pays_then]
    open_ = [row.part.lower() for row in table.rows if row.mark == "cannot tell"]
    said = [", ".join(holding)] if holding else []
    said += [f"cannot tell: {', '.join(open_)}"] if open_ else []
    return "; ".join(said) or "no part is in force by this record"


@dataclass(frozen=True)
class NoticeRow:
    """One deadline for notice of a claim."""

    to: str
    starts: str
    last_day: str
    met_by: str
    asks_for: str
    send_to: str


_MET = {
    MetBy.SENT: "it was sent by then",
    MetBy.RECEIVED: "they have it by then",
    MetBy.ACCEPTED: "they have accepted it by then",
}


def notice_rows(found: Iterable[Notice], own: Pair | None) -> tuple[NoticeRow, ...]:
    """Return the deadlines for notice, the makers' first. own: the company's title and how to claim."""
    rows = [
        NoticeRow(
            to=one.maker,
            starts=f"{event_words(one.event)}: {day(one.event_on)}",
            last_day=_last_day(one),
            met_by="the sheet does not say; count on the notice being there by then"
            if one.met_by is None
            else _MET[one.met_by],
            asks_for=sentence(one.asks_for) or "The sheet does not say.",
            send_to=", ".join(contact_lines(one.desk)) or NOT_ON_RECORD,
        )
        for one in found
    ]
    if own is not None:
        rows.append(
            NoticeRow(
                to=own.label,
                starts="the sheet names no event",
                last_day="the sheet names none; without delay",
                met_by="the sheet does not say",
                asks_for=own.text or "The sheet does not say.",
                send_to="this company",
            )
        )
    return tuple(rows)


def _last_day(one: Notice) -> str:
    clause = in_clause(one.clause)
    if one.within_days is None:
        return f"the terms as typed in here name none; without delay{clause}"
    if one.last_day is None:
        return f"{one.within_days} days from an event whose day is not on record{clause}"
    return f"{write_date(one.last_day)}, {one.within_days} days{clause}"
