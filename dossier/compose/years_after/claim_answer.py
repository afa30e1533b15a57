"""The claim answer: what the record shows of one place on one day, for the company or for the homeowner.

In: a case filtered for its reader, facts, what was worked out of the claim, run. Out: pages of plain strings.
Must not name a cause, admit, blame or promise. The homeowner's edition carries facts alone, in the same
fixed order, and nobody's telephone but the company's and the claims desks'.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from dossier.assess.claim import CoverageThen, Notice
from dossier.assess.look_first import Look
from dossier.assess.place import PlaceAnswer, PlaceAsked, Tie
from dossier.case.case import Case
from dossier.compose.parts import roof_pages
from dossier.compose.parts.edition import edition_pairs
from dossier.compose.parts.levels import unsure
from dossier.compose.parts.photographs import Album, PhotoGroup, photo_gaps
from dossier.compose.parts.roof_pages import RepairRow
from dossier.compose.parts.shared import (
    NOT_ON_RECORD,
    Head,
    Pair,
    PictureWanted,
    company_lines,
    day,
    feet,
    head_of,
    headline,
    logo_wanted,
    said,
    sentence,
)
from dossier.compose.years_after import claim_place, claim_words
from dossier.compose.years_after.claim_place import LayerRow, WorkRow
from dossier.compose.years_after.confirmations import confirmations
from dossier.compose.years_after.coverage_then import (
    CoverageTable,
    NoticeRow,
    coverage_tables,
    coverage_words,
    notice_rows,
)
from dossier.evidence.facts import Facts
from dossier.record.entry import Claim, Entry
from dossier.values import Run, clip, listed, plural, write_date
from dossier.words import Edition, Phase, Role

NO_NUMBER = "no number given"
"""Of a claim that the office has not numbered."""


@dataclass(frozen=True)
class Claimed:
    """What was worked out of one claim. digest: of the sealed folder before this entry.

    seal: whether anything sealed was changed since. age_months: of the roof, None where not on record.

    with_the_call: pictures that came with it, each with the digest it is sealed under.
    """

    entry: Entry
    claim: Claim
    coverages: tuple[CoverageThen, ...]
    place: PlaceAnswer
    looks: tuple[Look, ...]
    notices: tuple[Notice, ...]
    digest: str
    seal: tuple[str, ...]
    age_months: int | None
    with_the_call: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Shown:
    """One thing the record shows. mark: its backing."""

    text: str
    mark: str


@dataclass(frozen=True)
class LookRow:
    """One place to look. on_site: empty in the homeowner's edition."""

    number: str
    title: str
    shows: tuple[Shown, ...]
    on_site: str


@dataclass(frozen=True)
class ClaimAnswer:
    """The claim answer, page by page."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    office: bool
    address: str
    called: tuple[Pair, ...]
    decides: str
    owner_first: tuple[str, ...]
    in_short: tuple[Pair, ...]
    coverages: tuple[CoverageTable, ...]
    notices: tuple[NoticeRow, ...]
    place: tuple[Pair, ...]
    layers: tuple[LayerRow, ...]
    work: tuple[WorkRow, ...]
    who: tuple[Pair, ...]
    deck: tuple[Pair, ...]
    repairs: tuple[RepairRow, ...]
    no_repair: str
    looks: tuple[LookRow, ...]
    cannot_show: tuple[str, ...]
    confirmations: tuple[Pair, ...]
    photo_groups: tuple[PhotoGroup, ...]
    no_photo: str
    with_the_call: tuple[Pair, ...]
    cautions: tuple[Pair, ...]
    contact: str
    seal: tuple[str, ...]
    digest: str


def claim_answer(
    case: Case, facts: Facts, claimed: Claimed, run: Run, *, edition: Edition
) -> ClaimAnswer:
    """Return the claim answer. case: filtered for the edition. edition: office, or the homeowner's."""
    office = edition is Edition.OFFICE
    shown = _of_place(case, claimed.place)
    album = Album(shown, facts)
    repairs = roof_pages.repair_rows(claim_place.with_repairs(shown, claimed.place), album, edition)
    groups = album.groups((*Phase, None))
    tables = coverage_tables(claimed.coverages, office=office)
    address = case.job.job.address
    own = case.company.workmanship
    built = case.job.building.year_built if case.job.building else None
    return ClaimAnswer(
        template="claim-answer.html",
        title=f"Claim answer, {clip(address, 120)}",
        head=head_of(case, "claim answer, company" if office else "claim answer, homeowner", run),
        pictures=(*logo_wanted(case.company), *album.wanted),
        office=office,
        address=headline(address),
        called=(*_called(claimed, office), *edition_pairs(case)),
        decides=claim_words.DECIDES,
        owner_first=claim_words.OWNER_FIRST,
        in_short=(*_taken_over(case), *_in_short(claimed, tables)),
        coverages=tables,
        notices=notice_rows(claimed.notices, Pair(own.title, sentence(own.claim)) if own else None),
        place=_place(claimed.place),
        layers=claim_place.layer_rows(case, claimed.place),
        work=tuple(claim_place.work_row(one) for one in claimed.place.work),
        who=_who(case),
        deck=claim_place.deck_pairs(case, claimed.place),
        repairs=repairs,
        no_repair="" if repairs else "No repair of the deck on this slope is on record.",
        looks=tuple(
            LookRow(
                number=str(number),
                title=claim_words.SPOT_TITLES[look.spot],
                shows=tuple(
                    Shown(str(one.text), one.backing.value)
                    for one in look.findings
                    if office or not one.judges
                ),
                on_site=claim_words.ON_SITE[look.spot] if office else "",
            )
            for number, look in enumerate(claimed.looks, start=1)
        ),
        cannot_show=_cannot_show(shown, facts, claimed),
        confirmations=confirmations(case, claimed.claim) if office else (),
        photo_groups=groups,
        no_photo="" if groups else "No photo of this slope that opens is on file.",
        with_the_call=tuple(Pair(file, f"SHA-256 {sum_}") for file, sum_ in claimed.with_the_call),
        cautions=(
            *(claim_words.CAUTIONS if office else claim_words.CAUTIONS_OWNER),
            claim_words.old_paint_caution(built),
        ),
        contact=", ".join(company_lines(case.company)),
        seal=claimed.seal,
        digest=claimed.digest,
    )


def _of_place(case: Case, place: PlaceAnswer) -> Case:
    """Return the case with the photos of this slope alone, and those that name none."""
    if place.asked.slope is None:
        return case
    photos = tuple(photo for photo in case.photos if photo.slope in (None, place.asked.slope))
    return replace(case, photos=photos)


def _called(claimed: Claimed, office: bool) -> tuple[Pair, ...]:
    claim, entry = claimed.claim, claimed.entry
    pairs = [Pair("Claim number", claim.number or NO_NUMBER)] if claim.number or office else []
    pairs += [
        Pair("Day of the claim", write_date(entry.on)),
        Pair("Age of the roof", _age(claimed.age_months)),
        Pair("What was seen", said(claim.seen)),
        Pair("First seen on", day(claim.seen_on)),
        Pair("Where, as reported", place_words(claimed.place.asked)),
    ]
    if office:
        caller = [text for text in (claim.called_by, claim.phone) if text]
        pairs.append(Pair("Called by", ", ".join(caller) or NOT_ON_RECORD))
        pairs.append(Pair("Noted by", f"{entry.noted_by}, {write_date(entry.noted_on)}"))
    return tuple(pairs)


def _age(months: int | None) -> str:
    if months is None:
        return NOT_ON_RECORD
    return (
        f"{plural(months // 12, 'year')} and {plural(months % 12, 'month')}, from the last shingle"
    )


def place_words(asked: PlaceAsked) -> str:
    """Return a place as it was reported."""
    parts = [f"slope {asked.slope}" if asked.slope else "slope not known"]
    if asked.from_eave_ft is not None:
        parts.append(f"{feet(asked.from_eave_ft)} up from the eave")
    if asked.from_rake_ft is not None:
        parts.append(f"{feet(asked.from_rake_ft)} from the left rake, seen from the ground")
    if asked.room:
        parts.append(f"above {asked.room}")
    return "; ".join(parts)


def _taken_over(case: Case) -> tuple[Pair, ...]:
    """Return the terms and levels that nobody has said to hold on this roof."""
    return tuple(
        Pair("Terms asked for", f"{one.sheet.title}, {one.warranty.level} level{unsure(one)}")
        for one in case.asked
        if one.taken_over
    )


def _in_short(claimed: Claimed, tables: Sequence[CoverageTable]) -> tuple[Pair, ...]:
    pairs = [
        Pair(
            f"{table.title} ({table.basis.lower()})",
            f"On that day{table.if_so}: {coverage_words(table)}.",
        )
        for table in tables
    ]
    for one in claimed.notices:
        if one.last_day is not None:
            told = claimed.claim.maker_told_on
            noted = f"; noted as given on {write_date(told)}" if told else ""
            pairs.append(Pair(f"Notice to {one.maker}", f"by {write_date(one.last_day)}{noted}"))
    return tuple(pairs)


def _place(place: PlaceAnswer) -> tuple[Pair, ...]:
    return (
        Pair("Place", place_words(place.asked)),
        Pair("Ice barrier there", str(place.barrier_because)),
    )


def _who(case: Case) -> tuple[Pair, ...]:
    return (
        Pair("Roofing company", case.company.name),
        Pair("Laid by", roof_pages.laid_by(case)),
        Pair("Supervised by", case.supervised_by.value if case.supervised_by else NOT_ON_RECORD),
        Pair("Crew lead", case.crew_lead.value if case.crew_lead else NOT_ON_RECORD),
    )


def _cannot_show(case: Case, facts: Facts, claimed: Claimed) -> tuple[str, ...]:
    place = claimed.place
    found = list(claim_words.CANNOT_SHOW)
    if place.asked.slope is None:
        found.append("Which slope the place lies on is not known, so all slopes are shown.")
    if place.asked.from_eave_ft is None or place.asked.from_rake_ft is None:
        found.append("How far from eave and rake the place lies was not reported in full.")
    loose = [
        one.material.name
        for one in place.layers
        if one.tie is Tie.ROOF and one.role is Role.FIELD_SHINGLE
    ]
    if loose:
        names = listed(list(dict.fromkeys(loose)))
        found.append(f"Which lot of {names} lies at this place is not on record.")
    photographed = {photo.phase for photo in case.photos}
    lacking = [
        phase.value
        for phase in (
            Phase.DECK,
            Phase.ICE_BARRIER,
            Phase.UNDERLAYMENT,
            Phase.FIELD,
            Phase.FLASHING,
        )
        if phase not in photographed
    ]
    if lacking:
        found.append(f"No photo on this slope of: {listed(lacking)}.")
    if place.repairs:
        found.append(
            "How far a repair of the deck lies from the place reported: both are told in words only."
        )
    found += photo_gaps(case, facts)
    return tuple(found)
