"""The letter to a maker's claims desk: notice of what was reported, and what its terms ask for.

In: a case filtered for the maker, facts, what was worked out of the claim, run. Out: a letter for each
terms sheet. Must not admit, blame, name a cause or give legal advice; it says what is enclosed and what is
missing. Where the sheet does not say what a claim needs, the letter says so and asks.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from dossier.assess.backing import good_papers, good_photos
from dossier.assess.claim import Basis, CoverageThen, Notice
from dossier.case.case import Case
from dossier.compose.parts.edition import edition_pairs
from dossier.compose.parts.layers import lots_of, name_and_colour, quantity_of
from dossier.compose.parts.levels import registration_numbers, sheet_words, unsure
from dossier.compose.parts.shared import (
    NOT_ON_RECORD,
    Head,
    Pair,
    PictureWanted,
    capital,
    company_lines,
    contact_lines,
    day,
    head_of,
    in_clause,
    logo_wanted,
    said,
    sentence,
)
from dossier.compose.years_after.claim_answer import NO_NUMBER, Claimed, place_words
from dossier.evidence.facts import Facts
from dossier.record.entry import Buyer, Sale
from dossier.terms.sheet import TermsSheet
from dossier.values import Run, clip, listed, plural, write_date
from dossier.words import ClaimNeed, PaperKind, Phase, Role

ENCLOSED, MISSING, TO_ADD = "enclosed", "missing", "by hand"

SENT_KINDS = (
    PaperKind.TICKET,
    PaperKind.REGISTRATION_CONFIRMATION,
    PaperKind.CERTIFICATE,
    PaperKind.COMPLETION,
)
"""Papers that go with a claim, where the maker may see them."""


@dataclass(frozen=True)
class NeedRow:
    """One thing the terms ask for. mark: enclosed, missing, or to be marked by hand."""

    what: str
    mark: str
    says: str


@dataclass(frozen=True)
class Letter:
    """One letter to one claims desk."""

    maker: str
    to: tuple[str, ...]
    subject: tuple[Pair, ...]
    asks_for: str
    needs: tuple[NeedRow, ...]
    needs_note: str
    missing: tuple[str, ...]
    deadline: str
    enclosures: tuple[Pair, ...]


@dataclass(frozen=True)
class MakerLetter:
    """The letters, each on a page of its own."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    sender: tuple[str, ...]
    on: str
    letters: tuple[Letter, ...]
    digest: str


def maker_letter(
    case: Case,
    facts: Facts,
    claimed: Claimed,
    run: Run,
    *,
    sale: Sale | None,
    enclosures: tuple[Pair, ...] = (),
) -> MakerLetter:
    """Return the letters to the claims desks, one for each terms sheet of this roof.

    case: filtered for the maker. sale: the newest up to the claim, as all entries tell it; None where the
    house was not sold by this record. enclosures: each attached file, and what it is.
    """
    sheets: dict[str, tuple[TermsSheet, list[CoverageThen]]] = {}
    for one in claimed.coverages:
        if one.sheet is not None:
            sheets.setdefault(one.sheet.title, (one.sheet, []))[1].append(one)
    notices = {notice.document: notice for notice in claimed.notices}
    return MakerLetter(
        template="maker-letter.html",
        title=f"Notice of a claim, {clip(case.job.job.address, 120)}",
        head=head_of(case, "notice to the maker", run),
        pictures=logo_wanted(case.company),
        sender=company_lines(case.company),
        on=write_date(run.today),
        letters=tuple(
            _letter(case, facts, claimed, sheet, notices[title], sale, enclosures)
            for title, (sheet, _) in sheets.items()
        ),
        digest=claimed.digest,
    )


def _letter(
    case: Case,
    facts: Facts,
    claimed: Claimed,
    sheet: TermsSheet,
    notice: Notice,
    sale: Sale | None,
    enclosures: tuple[Pair, ...],
) -> Letter:
    needs = tuple(_needs(case, facts, claimed, sheet))
    missing = tuple(row.what for row in needs if row.mark == MISSING)
    note = "" if needs else "The sheet does not say what a claim needs; please tell us."
    if sheet.claim is not None and not sheet.claim.needs and sheet.claim.asks_for:
        note = "Which of these are enclosed is to be marked by hand; the sheet names them in words only."
    deadline = "The terms as we hold them name no deadline for notice."
    if notice.last_day is not None:
        deadline = (
            f"By your terms notice is due within {notice.within_days} days{in_clause(notice.clause)}, that is by "
            f"{write_date(notice.last_day)}."
        )
    return Letter(
        maker=sheet.maker,
        to=contact_lines(sheet.claims_desk) or (sheet.maker,),
        subject=_subject(case, claimed, sheet, sale),
        asks_for=sentence(sheet.claim.asks_for) if sheet.claim else "",
        needs=needs,
        needs_note=note,
        missing=missing,
        deadline=deadline,
        enclosures=enclosures,
    )


def _subject(
    case: Case, claimed: Claimed, sheet: TermsSheet, sale: Sale | None
) -> tuple[Pair, ...]:
    claim = claimed.claim
    asked = [asked for asked in case.asked if asked.sheet is sheet]
    levels = [f"{_level_words(claimed, sheet, one.warranty.level)}{unsure(one)}" for one in asked]
    # A sale without a named buyer leaves nobody to name: the owner before it holds the house no more.
    owner = None if sale is None else sale.buyer or Buyer()
    names = [one.name for one in case.job.owners if one.name]
    now = owner.name if owner else listed(names)
    shingles = case.materials_of(Role.FIELD_SHINGLE)
    products = [name_and_colour(m) for m in shingles if m.maker in (None, sheet.maker)]
    lots = [text for m in shingles if (text := lots_of(m)) and m.line.lots]
    pairs = [
        Pair("Property", case.job.job.address),
        Pair("Owner", now or NOT_ON_RECORD),
    ]
    if owner is not None and names:
        pairs.append(Pair("Owner when it was laid", listed(names)))
    if sale is not None:
        pairs.append(Pair("Closing", day(sale.closing_on)))
        pairs.append(Pair("Notice of the sale", _notice_words(sale)))
    pairs += [
        Pair(
            "Terms", f"{sheet_words(sheet)}{next((w for one in asked if (w := unsure(one))), '')}"
        ),
        Pair("Level asked for", listed(levels) or NOT_ON_RECORD),
        Pair("Registration number", registration_numbers(asked)),
        Pair("Completion signed", day(case.job.job.completion_signed_on)),
        Pair("Last shingle laid", day(case.last_day_of(Phase.FIELD))),
        Pair("Field shingle", listed(products) or NOT_ON_RECORD),
        Pair("Quantity", listed([quantity_of(m) for m in shingles]) or NOT_ON_RECORD),
        Pair("Lots", "; ".join(lots) or NOT_ON_RECORD),
        *edition_pairs(case),
        Pair("Our claim number", claim.number or NO_NUMBER),
        Pair("First seen on", day(claim.seen_on)),
        Pair("What was reported", said(claim.seen)),
        Pair("Where, as reported", place_words(claimed.place.asked)),
    ]
    return tuple(pairs)


def _notice_words(sale: Sale) -> str:
    told = [
        f"{word} {write_date(on)}"
        for word, on in (
            ("sent", sale.notice_sent_on),
            ("received", sale.notice_received_on),
            ("transfer accepted", sale.notice_accepted_on),
        )
        if on is not None
    ]
    return ", ".join(told) or NOT_ON_RECORD


def _level_words(claimed: Claimed, sheet: TermsSheet, level: str) -> str:
    """Return the level asked for, both ways where no confirmation of it is on record."""
    of_sheet = [one for one in claimed.coverages if one.sheet is not None]
    of_sheet = [one for one in of_sheet if one.document == sheet.title]
    if not any(
        one.basis is Basis.IF_REGISTERED and one.title.lower() == f"{level} level".lower()
        for one in of_sheet
    ):
        return level
    others = [one.title for one in of_sheet if one.basis is Basis.IF_NOT_REGISTERED]
    other = f"; else {listed([one.removesuffix(' level') for one in others])}" if others else ""
    return f"{level}, if registered{other}"


def _needs(case: Case, facts: Facts, claimed: Claimed, sheet: TermsSheet) -> Iterator[NeedRow]:
    """Yield what the terms ask for, each with whether it goes with this letter."""
    if sheet.claim is None:
        return
    if not sheet.claim.needs:
        for part in sheet.claim.asks_for.split(","):
            text = part.strip().removeprefix("and ").strip()
            if text:
                yield NeedRow(capital(text), TO_ADD, "to be marked by hand")
        return
    for need in sheet.claim.needs:
        mark, says = _state(case, facts, claimed, sheet, need)
        yield NeedRow(capital(need.value), mark, says)


def _state(
    case: Case, facts: Facts, claimed: Claimed, sheet: TermsSheet, need: ClaimNeed
) -> tuple[str, str]:
    asked = [one for one in case.asked if one.sheet is sheet]
    if need is ClaimNeed.PROOF_OF_PURCHASE:
        tickets = [paper.file for paper in good_papers(case, facts, PaperKind.TICKET)]
        if tickets:
            names = listed([file.removeprefix("papers/") for file in tickets])
            return ENCLOSED, f"supplier’s ticket, attached to this file: {names}"
        return MISSING, "no ticket that opens is on file; the owner may hold the invoice"
    if need is ClaimNeed.REGISTRATION_NUMBER:
        numbers = registration_numbers(asked)
        return (MISSING if numbers == NOT_ON_RECORD else ENCLOSED), numbers
    if need is ClaimNeed.INSTALLATION_DATE:
        last = case.last_day_of(Phase.FIELD)
        return (ENCLOSED, write_date(last)) if last else (MISSING, NOT_ON_RECORD)
    if need is ClaimNeed.LOTS:
        lots = [lot.mark for m in case.materials_of(Role.FIELD_SHINGLE) for lot in m.line.lots]
        return (ENCLOSED, listed(lots)) if lots else (MISSING, NOT_ON_RECORD)
    if need is ClaimNeed.DESCRIPTION:
        seen = claimed.claim.seen
        return (ENCLOSED, "above, as reported") if seen else (MISSING, NOT_ON_RECORD)
    if need is ClaimNeed.DATED_PHOTOS:
        sent = len(claimed.claim.photos)
        field = len(good_photos(case, facts, Phase.FIELD))
        if sent:
            return (
                ENCLOSED,
                f"{plural(sent, 'picture')} that came with the call, attached to this file",
            )
        return MISSING, (
            f"none of the damage is on file; {plural(field, 'photo')} of the laying can be sent on request"
        )
    if need is ClaimNeed.SAMPLES:
        return MISSING, "none on record with us; tell us what you need, and where to send it"
    return MISSING, "not on file here; the owner may have it"
