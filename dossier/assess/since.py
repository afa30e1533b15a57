"""What the entries after close-out add to a case: sales, and what was noted on the roof.

In: entries, oldest first. Out: sales, notes. Must not print, nor change the record: what an entry changes
there is applied in `record/corrections.py`, before any of this is worked out.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from dossier.assess.look_first import NotedLater
from dossier.assess.passed_on import HouseSale
from dossier.record.entry import Entry, Sale
from dossier.said import Listed, Person, Slopes, Value, say
from dossier.words import EntryKind


def told_sales(entries: Iterable[Entry]) -> dict[date, Sale]:
    """Return what the entries tell of each sale, by the day of its closing, oldest first.

    Several entries on one closing day are one sale: the later fills in and puts right what it says. One that
    corrects an earlier closing day takes that sale to its own day, with all that was told of it.
    """
    found: dict[date, Sale] = {}
    for entry in entries:
        sale = entry.sale
        if sale is None or sale.closing_on is None:
            continue
        wrong = found.pop(sale.corrects, None) if sale.corrects else None
        for known in (found.get(sale.closing_on), wrong):
            sale = _filled_in(sale, known) if known is not None else sale
        assert sale.closing_on is not None
        found[sale.closing_on] = sale
    return {day: found[day] for day in sorted(found)}


def _filled_in(sale: Sale, known: Sale) -> Sale:
    """Return a sale with what it leaves blank taken from what was told of it earlier."""
    blank = {
        name: getattr(known, name)
        for name in type(sale).model_fields
        if getattr(sale, name) in (None, ())
    }
    if sale.buyer is not None and known.buyer is not None:
        told = {name: getattr(sale.buyer, name) for name in sale.buyer.model_fields_set}
        told = {name: value for name, value in told.items() if value is not None}
        blank["buyer"] = known.buyer.model_copy(update=told)
    return sale.model_copy(update=blank)


def sales_of(entries: Iterable[Entry]) -> tuple[HouseSale, ...]:
    """Return every sale the entries tell, oldest first; see `told_sales`."""
    return tuple(
        HouseSale(
            closing_on=day,
            notice_sent_on=sale.notice_sent_on,
            notice_received_on=sale.notice_received_on,
            notice_accepted_on=sale.notice_accepted_on,
            in_family=bool(sale.in_family),
            buyer_kind=sale.buyer.kind if sale.buyer else None,
        )
        for day, sale in told_sales(entries).items()
    )


def noted_since(
    entries: Iterable[Entry], until: date, slopes: Sequence[str], claim: str | None = None
) -> tuple[NotedLater, ...]:
    """Return what was noted on the roof up to a day: work, repairs, visits, earlier claims.

    slopes: the slopes asked about; what names another slope alone is left out. claim: the number of the
    claim asked about, whose own earlier entries are left out.
    """
    found: list[NotedLater] = []
    for entry in entries:
        if entry.on > until:
            continue
        if entry.work is not None:
            if entry.work.slope is not None and entry.work.slope not in slopes:
                continue
            work = entry.work
            words = say(
                "{what}, {where}{by}",
                what=work.what or say("what was done is not on record"),
                where=Slopes((work.slope,)) if work.slope else say("slope not on record"),
                by=say(", by {name}", name=Person(work.by)) if work.by else "",
            )
            found.append(NotedLater(entry.on, entry.kind, words))
        elif entry.inspection is not None:
            seen = entry.inspection
            told: list[Value] = [text for text in (seen.found, seen.decision) if text]
            if seen.decided_on:
                told.append(say("decided on {day}", day=seen.decided_on))
            noted = say("{told}", told=Listed(tuple(told), "; ")) if told else None
            found.append(NotedLater(entry.on, entry.kind, noted))
        elif entry.kind is EntryKind.CLAIM and entry.claim is not None:
            if claim is not None and entry.claim.number == claim:
                continue
            slope = entry.claim.slope
            words = say(
                "{seen}{where}",
                seen=entry.claim.seen or say("what was seen is not on record"),
                where=say(", {slope}", slope=Slopes((slope,))) if slope else "",
            )
            found.append(NotedLater(entry.on, say("earlier claim"), words))
    return tuple(sorted(found, key=lambda note: note.on))
