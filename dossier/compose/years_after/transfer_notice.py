"""The notice of a sale to each warrantor, in the order in which its form is filled in, and what passes.

In: a case filtered for the maker, the sale, what was worked out of it, run. Out: a document for each warrantor.
Must not promise that anything passes: by the printed terms and this record; the warrantor decides.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from dossier.assess.claim import Basis, CoverageThen
from dossier.assess.passed_on import Holding
from dossier.assess.sale_notice import nothing_left, passes_by_notice
from dossier.case.case import Case
from dossier.compose.drawings.time_lines import TimeLine
from dossier.compose.handover.handover import Handover
from dossier.compose.handover.transfer_sheet import TransferRow, TransferSheet
from dossier.compose.parts.edition import edition_pairs
from dossier.compose.parts.layers import name_and_colour, quantity_of
from dossier.compose.parts.levels import registration_numbers
from dossier.compose.parts.shared import (
    NOT_ON_RECORD,
    Head,
    Label,
    Pair,
    PictureWanted,
    company_lines,
    day,
    desk_for_sales,
    head_of,
    headline,
    in_clause,
    logo_wanted,
    said,
    sentence,
)
from dossier.compose.years_after.after_sale import used_up
from dossier.compose.years_after.coverage_then import CoverageTable, coverage_tables
from dossier.record.entry import Buyer, Entry, Sale
from dossier.terms.sheet import TermsSheet
from dossier.values import Run, clip, listed, write_date
from dossier.words import MetBy, Role

_MET = {
    MetBy.SENT: "be sent",
    MetBy.RECEIVED: "be there",
    MetBy.ACCEPTED: "be accepted",
}


_LONGEST_NAME = 40


@dataclass(frozen=True)
class Sold:
    """What was worked out of one sale. digest: of the sealed folder before this entry.

    coverages: with the sale counted, on the day `on`: when it was noted, or the closing if that is later.
    """

    entry: Entry
    sale: Sale
    coverages: tuple[CoverageThen, ...]
    on: date
    digest: str


@dataclass(frozen=True)
class NoticePage:
    """The notice to one warrantor."""

    warrantor: str
    to: tuple[str, ...]
    deadline: str
    form: tuple[Pair, ...]
    asks_for: str
    coverages: tuple[CoverageTable, ...]


@dataclass(frozen=True)
class TransferNotice:
    """The notice to one warrantor, a document of its own: its desk files it by itself."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    address: str
    sender: tuple[str, ...]
    on: str
    page: NoticePage
    digest: str


def with_sale(
    pages: Handover,
    sold: Sold,
    sheet: TransferSheet | None,
    drawn: tuple[TimeLine, ...],
    left: tuple[str, ...],
) -> Handover:
    """Return a resale edition with the closing and the last days of this sale filled in.

    sheet: the transfer sheet as of the closing. drawn: the line of years with what the sale left. left: the same
    in words, a few sentences for each coverage.

    Who sold and who bought stays blank: the document may pass through many hands.
    """
    closing = Pair("Closing", day(sold.sale.closing_on))
    said_ = {(one.title, one.document): deadline_words([one]) for one in sold.coverages}
    over = {(one.title, one.document) for one in sold.coverages if nothing_left(one.answer)}
    used = {
        (one.title, one.document): used_up(one.coverage.transfer, one.answer.transfers)
        for one in sold.coverages
    }
    last = {
        one.title: (
            said_.get(one.title_key, []),
            one.title_key in over,
            used.get(one.title_key, ""),
        )
        for one in pages.passing_on
    }
    dates = tuple(pair for pair in pages.cover.dates if pair.label is not Label.OWN_RUNS_TO)
    # What the first page says of any sale gives way to the days of this one.
    summary = (
        *(
            pair
            for pair in pages.cover.summary
            if pair.label is not Label.WARRANTY
            and pair.label is not Label.MAKERS_COVERAGE
            and pair.label is not Label.AT_A_SALE
        ),
        *(
            Pair(
                Label.WARRANTY,
                f"{one.maker}, {one.level} level: {one.registration} What the sale left of it stands below.",
                one.refs,
            )
            for one in pages.levels
        ),
        *(Pair(Label.AFTER_SALE, text) for text in left),
    )
    due = [one.answer.notice_due_on for one in sold.coverages if deadline_words([one])]
    known = [when for when in due if when is not None]
    if known:
        dates = (
            *dates,
            closing,
            Pair("Notice of the sale", _by(known)),
        )
    cover = replace(pages.cover, dates=dates, summary=summary)
    if sheet is not None:
        rows = tuple(
            _filled(row, closing, *last.get(row.title, ([], False, ""))) for row in sheet.rows
        )
        blanks = tuple(one for one in sheet.blanks if one.label is not Label.CLOSING)
        sheet = replace(sheet, known=(*sheet.known, closing), blanks=blanks, rows=rows, rules=())
    # What the terms said of the first owner’s coverage gives way to what stands at each coverage.
    levels = tuple(replace(one, sentences=()) for one in pages.levels)
    return replace(pages, cover=cover, levels=levels, transfer=sheet, time_lines=drawn)


def _by(days: Sequence[date]) -> str:
    """Return the last day for notice, the earliest where the coverages have several."""
    first = write_date(min(days))
    return f"by {first}" if len(set(days)) == 1 else f"at the earliest by {first}"


def _filled(
    row: TransferRow, closing: Pair, deadlines: list[str], over: bool, used: str
) -> TransferRow:
    says = " ".join(deadlines)
    if over:
        says = "Nothing of it is left after this sale, by the printed terms and this record."
        return replace(row, blank=None, facts=(closing, Pair("Last day", says)))
    facts = tuple(
        replace(pair, text=f"{pair.text} {used}".strip()) if pair.label is Label.PASSES_ON else pair
        for pair in row.facts
    )
    if not says:
        return replace(row, facts=(closing, *facts))
    return replace(row, blank=None, facts=(closing, Pair("Last day", says), *facts))


def transfer_notices(case: Case, sold: Sold, run: Run) -> tuple[tuple[str, TransferNotice], ...]:
    """Return the notices of one sale with their file names, the makers' first. case: filtered for the maker.

    None where no coverage is on record.
    """
    groups: dict[str, list[CoverageThen]] = {}
    for one in sold.coverages:
        groups.setdefault(one.document, []).append(one)
    live = {
        document: group
        for document, group in groups.items()
        if not all(nothing_left(one.answer) for one in group)
    }
    found: dict[str, TransferNotice] = {}
    for group in (live or groups).values():
        page = _page(case, sold, group)
        name = _file_name(page.warrantor)
        if f"{name}.pdf" in found:
            name = f"{name}-{len(found) + 1}"
        found[f"{name}.pdf"] = TransferNotice(
            template="transfer-notice.html",
            title=clip(f"Notice of a sale, {page.warrantor}, {case.job.job.address}", 160),
            head=head_of(case, "notice of a sale", run),
            pictures=logo_wanted(case.company),
            address=headline(case.job.job.address),
            sender=company_lines(case.company),
            on=write_date(sold.on),
            page=page,
            digest=sold.digest,
        )
    return tuple(found.items())


def _file_name(warrantor: str) -> str:
    """Return the name of a warrantor's notice; letters a file system may not hold are left out."""
    word = re.sub(r"[^a-z0-9]+", "-", warrantor.lower())[:_LONGEST_NAME].strip("-")
    return f"transfer-notice-{word}" if word else "transfer-notice"


def _page(case: Case, sold: Sold, group: Sequence[CoverageThen]) -> NoticePage:
    sheet = group[0].sheet
    if sheet is None:
        warrantor, to = case.company.name, company_lines(case.company)
    else:
        warrantor = sheet.maker
        to = desk_for_sales(sheet)
    asks = [
        one.coverage.transfer.asks_for
        for one in group
        if one.coverage.transfer is not None and one.coverage.transfer.asks_for
    ]
    return NoticePage(
        warrantor=warrantor,
        to=to or (warrantor,),
        deadline=" ".join(deadline_words(group)) or _no_deadline(group),
        form=_form(case, sold, sheet, group),
        asks_for=sentence("; ".join(dict.fromkeys(asks))) or "The sheet does not say.",
        coverages=coverage_tables(group),
    )


def deadline_words(group: Iterable[CoverageThen]) -> list[str]:
    """Return by when notice must be given for each coverage that is left, a sentence each."""
    found = []
    for one in group:
        transfer = one.coverage.transfer
        due = one.answer.notice_due_on
        if transfer is None or due is None or not passes_by_notice(one.coverage, one.answer):
            continue
        found.append(
            f"{one.title}: notice must {_MET[transfer.met_by]} by {write_date(due)}{in_clause(transfer.clause)}."
        )
    return found


def passing_words(group: Iterable[CoverageThen]) -> list[str]:
    """Return in a sentence for each coverage whether it passes, by the terms and this record."""
    found = []
    for one in group:
        held = {part.holding for part in one.answer.parts}
        if held == {Holding.ENDED}:
            says = "nothing of it is left after this sale"
        elif held <= {Holding.HOLDS, Holding.ENDED}:
            says = "passes on"
        elif Holding.CANNOT_TELL in held:
            says = f"cannot tell; ask {one.warrantor}"
        else:
            says = "passes on if notice comes in time"
        found.append(f"{one.title} ({one.basis.value}): {says}.")
    return found


def _no_deadline(group: Iterable[CoverageThen]) -> str:
    if all(nothing_left(one.answer) for one in group):
        return "By the printed terms and this record nothing of it is left to pass on; the warrantor decides."
    return "The terms as typed in here name no deadline."


def _asked_for(group: Sequence[CoverageThen]) -> str:
    """Return every coverage that this notice is given for, with what it rests on where that is open."""
    left = [one for one in group if not nothing_left(one.answer)] or group
    return "; ".join(
        one.title if one.basis is Basis.RECORD else f"{one.title}, {one.basis.value}"
        for one in left
    )


def _form(
    case: Case, sold: Sold, sheet: TermsSheet | None, group: Sequence[CoverageThen]
) -> tuple[Pair, ...]:
    """Return the lines to copy into the warrantor's form, in one order for all of them."""
    sale, buyer = sold.sale, sold.sale.buyer or Buyer()
    asked = [one for one in case.asked if sheet is not None and one.sheet is sheet]
    names = [owner.name for owner in case.job.owners if owner.name]
    shingles = case.materials_of(Role.FIELD_SHINGLE)
    products = [name_and_colour(m) for m in shingles]
    relation = {True: "spouse, heir or own trust", False: "no", None: NOT_ON_RECORD}[sale.in_family]
    # The company keeps its own promise without a registration.
    pairs = [Pair("Registration number", registration_numbers(asked))] if sheet else []
    pairs += [
        Pair("Property address", case.job.job.address),
        Pair("Owner when it was laid", listed(names) or NOT_ON_RECORD),
        Pair("Seller", said(sale.seller)),
        Pair("New owner", said(buyer.name)),
        Pair("New owner is", buyer.kind.value),
        Pair("Within the family", relation),
        Pair("Telephone", said(buyer.phone)),
        Pair("E-mail", said(buyer.email)),
        Pair("Mailing address", buyer.mailing_address or "as the property"),
        Pair("Closing", day(sale.closing_on)),
        Pair("Completion signed", day(case.job.job.completion_signed_on)),
        Pair("Field shingle", listed(products) or NOT_ON_RECORD),
        Pair("Quantity", listed([quantity_of(m) for m in shingles]) or NOT_ON_RECORD),
        Pair("Installed by", case.company.name),
        Pair("Coverage", _asked_for(group)),
        *edition_pairs(case),
    ]
    fees = [
        one.coverage.transfer.fee
        for one in group
        if one.coverage.transfer is not None and one.coverage.transfer.fee
    ]
    if fees or sale.fee_paid_on:
        paid = (
            f"paid {write_date(sale.fee_paid_on)}" if sale.fee_paid_on else "not on record as paid"
        )
        printed = f"{listed(list(dict.fromkeys(fees)))}; " if fees else ""
        pairs.append(Pair("Fee", f"{printed}{paid}; ask for today’s"))
    return tuple(pairs)
