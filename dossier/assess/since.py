"""What the entries after close-out add to a case: registrations, sales, and what was noted on the roof.

In: a case and its entries, oldest first. Out: a case, sales, notes. Must not print, nor change what was
sealed: a later entry stands beside the record and only fills in what it left blank.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from dossier.assess.look_first import NotedLater
from dossier.assess.passed_on import HouseSale
from dossier.case.case import AskedWarranty, Case
from dossier.record.entry import Entry, Registration
from dossier.words import EntryKind


def registered_since(case: Case, entries: Iterable[Entry]) -> Case:
    """Return the case with the registrations that makers confirmed after close-out.

    A confirmation counts for the one warranty it can be of; one that fits several says of none of them that
    it was registered.
    """
    asked = list(case.asked)
    for entry in entries:
        if entry.registration is None:
            continue
        fits = [at for at, one in enumerate(asked) if _is_of(entry.registration, one)]
        if len(fits) == 1:
            asked[fits[0]] = _confirmed(asked[fits[0]], entry.registration)
    return replace(case, asked=tuple(asked))


def _is_of(confirmed: Registration, asked: AskedWarranty) -> bool:
    same_sheet = confirmed.sheet is None or confirmed.sheet == asked.warranty.sheet
    level = confirmed.level
    return same_sheet and (level is None or level.lower() == asked.warranty.level.lower())


def _confirmed(asked: AskedWarranty, one: Registration) -> AskedWarranty:
    warranty = asked.warranty.model_copy(
        update={
            "accepted_on": asked.warranty.accepted_on or one.confirmed_on,
            "confirmation": asked.warranty.confirmation or one.confirmation,
            "certificate_file": asked.warranty.certificate_file or one.certificate_file,
        }
    )
    return replace(asked, warranty=warranty)


def sales_of(entries: Iterable[Entry]) -> tuple[HouseSale, ...]:
    """Return every sale the entries tell, oldest first.

    Several entries on one closing day are one sale: the later fills in and puts right what it says.
    """
    sales: dict[date, HouseSale] = {}
    for entry in entries:
        sale = entry.sale
        if sale is None or sale.closing_on is None:
            continue
        known = sales.get(sale.closing_on, HouseSale(sale.closing_on))
        kind = sale.buyer.kind if sale.buyer else None
        sales[sale.closing_on] = HouseSale(
            closing_on=sale.closing_on,
            notice_sent_on=sale.notice_sent_on or known.notice_sent_on,
            notice_received_on=sale.notice_received_on or known.notice_received_on,
            notice_accepted_on=sale.notice_accepted_on or known.notice_accepted_on,
            in_family=known.in_family if sale.in_family is None else sale.in_family,
            buyer_kind=kind or known.buyer_kind,
        )
    return tuple(sales[day] for day in sorted(sales))


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
            by = f", by {entry.work.by}" if entry.work.by else ""
            where = f", slope {entry.work.slope}" if entry.work.slope else ", slope not on record"
            words = f"{entry.work.what or 'what was done is not on record'}{where}{by}"
            found.append(NotedLater(entry.on, entry.kind.value, words))
        elif entry.inspection is not None:
            seen = entry.inspection
            words = "; ".join(text for text in (seen.found, seen.decision) if text)
            found.append(NotedLater(entry.on, entry.kind.value, words))
        elif entry.kind is EntryKind.CLAIM and entry.claim is not None:
            if claim is not None and entry.claim.number == claim:
                continue
            where = f", slope {entry.claim.slope}" if entry.claim.slope else ""
            words = f"{entry.claim.seen or 'what was seen is not on record'}{where}"
            found.append(NotedLater(entry.on, "earlier claim", words))
    return tuple(sorted(found, key=lambda note: note.on))
