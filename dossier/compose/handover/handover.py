"""The handover: what the homeowner keeps for the life of the roof, and hands to a buyer.

In: a case filtered for the homeowner or the resale reader, facts, assessment, punch list, run. Out: a
`Handover` of ready-to-print strings. Must not print a price, a count of days left, or a promise.
"""

from dataclasses import dataclass, replace

from dossier.assess.results import Assessment, Standing
from dossier.case.case import Case
from dossier.case.private import without
from dossier.compose.drawings import attic_air, time_lines
from dossier.compose.drawings.attic_air import AtticAir
from dossier.compose.drawings.edge_section import EdgeSection, edge_sections
from dossier.compose.drawings.roof_plan import RoofPlan, roof_plan
from dossier.compose.drawings.time_lines import TimeLine
from dossier.compose.handover import glossary, transfer_sheet
from dossier.compose.handover.transfer_sheet import TransferSheet
from dossier.compose.parts import (
    attic_words,
    care,
    claims_and_sales,
    coverage_pages,
    first_page,
    gaps,
    layers,
    next_steps,
    photo_days,
    roof_pages,
)
from dossier.compose.parts.care import Advice
from dossier.compose.parts.claims_and_sales import ClaimDesk, PassingOn
from dossier.compose.parts.coverage_pages import CoverageBlock, EndsGroup
from dossier.compose.parts.edition import EditionRow, edition_number, edition_rows, edition_since
from dossier.compose.parts.layers import Layer, Section
from dossier.compose.parts.levels import LevelWords, level_words
from dossier.compose.parts.photographs import Album, PhotoGroup, Shot
from dossier.compose.parts.references import Backed, Index, index
from dossier.compose.parts.roof_pages import InspectionRow, LogRow, RepairRow, SlopeRow
from dossier.compose.parts.shared import (
    NOT_ON_RECORD,
    NOT_SHOWN,
    Head,
    Label,
    Pair,
    PictureWanted,
    area,
    company_lines,
    day,
    edition_of,
    head_of,
    headline,
    logo_wanted,
    signed,
)
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, PunchList
from dossier.record.people import LeadDust
from dossier.values import Run, clip, listed, plural, write_area, write_date
from dossier.words import Edition, Phase, Role

_COVER_MM, _SMALL_COVER_MM = 62, 34
"""Widths of the photo on the first page; the small one leaves room for a caution, so that one page holds all."""

_SHOWING_THE_WHOLE = (Phase.FINISHED, Phase.CLEAN_UP)
"""Phases whose photos may stand on the first page, best first."""


COMPLETION = "Completion signed by the owner"

_LAID = {
    "Ice barrier": ("ice_barrier.reach",),
    "Starter at": ("starter.edges",),
    "Nails": ("nails",),
}
_FOUND = {"What came off": ("scope",)}
_PERMIT = {"Permit number": ("permit.number",), "Closed": ("permit.closed",)}
"""Rows on how the roof was laid, what lay below and the permit, by label, and the statements they repeat."""


@dataclass(frozen=True)
class Cover:
    """The first page, which can be copied by itself. caution: empty where a licensed person saw the flues."""

    edition: str
    address: str
    summary: tuple[Pair, ...]
    dates: tuple[Pair, ...]
    photo: Shot | None
    no_photo: str
    next_steps: tuple[str, ...]
    caution: str
    state: str
    contact: str


@dataclass(frozen=True)
class Handover:
    """The homeowner's document, page by page. transfer: the sheet to fill in, in a resale edition only."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    cover: Cover
    edges: tuple[EdgeSection, ...]
    section: Section
    layers: tuple[Layer, ...]
    laid: tuple[Pair, ...]
    attics: tuple[AtticAir, ...]
    attic_notes: tuple[str, ...]
    slopes: tuple[SlopeRow, ...]
    plan: RoofPlan | None
    who: tuple[Pair, ...]
    log: tuple[LogRow, ...]
    after_work: tuple[Pair, ...]
    found: tuple[Pair, ...]
    repairs: tuple[RepairRow, ...]
    permit: tuple[Pair, ...]
    inspections: tuple[InspectionRow, ...]
    levels: tuple[LevelWords, ...]
    coverages: tuple[CoverageBlock, ...]
    time_lines: tuple[TimeLine, ...]
    ends: tuple[EndsGroup, ...]
    claim_steps: tuple[str, ...]
    desks: tuple[ClaimDesk, ...]
    company_gone: tuple[str, ...]
    passing_on: tuple[PassingOn, ...]
    transfer: TransferSheet | None
    seasons: tuple[Advice, ...]
    cautions: tuple[Pair, ...]
    defers: str
    photo_groups: tuple[PhotoGroup, ...]
    photo_count: str
    unfit: tuple[str, ...]
    editions: tuple[EditionRow, ...]
    gaps: tuple[str, ...]
    backed: tuple[Backed, ...]
    worked_out: tuple[Backed, ...]
    words: tuple[Pair, ...]
    digest: str


def handover(
    case: Case,
    facts: Facts,
    assessment: Assessment,
    punch_list: PunchList,
    run: Run,
    *,
    edition: Edition | None = None,
    digest: str = "",
) -> Handover:
    """Return the handover of one job.

    case: already filtered for the edition. edition: homeowner or resale; seen from the case where None.
    digest: of record, photos and papers, taken before printing; empty where nobody took one.
    """
    edition = edition_of(case, edition)
    at_a_sale = edition is Edition.RESALE
    # It was made from the whole record, and loses the words that this reader's case has lost.
    assessment = without(assessment, case.kept_from_reader)
    album = Album(case, facts)
    numbers = index(case, assessment)
    levels = tuple(
        replace(level, refs=numbers.of(level.name)) for level in level_words(case, assessment)
    )
    cover = _cover(case, facts, assessment, punch_list, album, edition, run, levels)
    cover = replace(cover, dates=numbers.marked(cover.dates, {COMPLETION: ("completion",)}))
    # The album knows the pictures that are wanted only once all photos have been placed.
    repairs = roof_pages.repair_rows(case, album, edition)
    groups = album.groups((*Phase, None))
    composed = Handover(
        template="handover.html",
        title=f"Roof record, {clip(case.job.job.address, 120)}",
        head=head_of(case, f"{edition.value} edition{edition_number(case)}", run),
        pictures=(*logo_wanted(case.company), *album.wanted),
        cover=cover,
        edges=edge_sections(case, assessment),
        section=layers.section(case),
        layers=tuple(replace(row, refs=numbers.of(row.name)) for row in layers.layers(case)),
        laid=numbers.marked(roof_pages.how_laid(case), _LAID),
        attics=attic_air.attic_air(case, assessment, numbers),
        attic_notes=attic_words.NOTES,
        slopes=tuple(_numbered(row, numbers) for row in roof_pages.slope_rows(case, assessment)),
        plan=roof_plan(case, assessment, album),
        who=roof_pages.who(
            case, frozenset(result.asked.sheet.maker for result in assessment.asked)
        ),
        log=roof_pages.work_log(case),
        after_work=numbers.marked(roof_pages.after_work(case), {roof_pages.FLUES: ("flues",)}),
        found=numbers.marked((*roof_pages.found_below(case), *roof_pages.deck_pairs(case)), _FOUND),
        repairs=repairs,
        permit=numbers.marked(roof_pages.permit_pairs(case), _PERMIT),
        inspections=roof_pages.inspections(case),
        levels=levels,
        coverages=tuple(
            replace(block, refs=numbers.of(f"coverage.{block.title}.{block.document}"))
            for block in coverage_pages.blocks(assessment)
        ),
        time_lines=time_lines.time_lines(assessment),
        ends=coverage_pages.ends_coverage(case, assessment),
        claim_steps=claims_and_sales.claim_steps(assessment),
        desks=claims_and_sales.claim_desks(case, assessment),
        company_gone=claims_and_sales.company_gone(case),
        passing_on=claims_and_sales.passing_on(case, assessment),
        transfer=transfer_sheet.transfer_sheet(case, assessment) if at_a_sale else None,
        seasons=care.SEASONS,
        cautions=(*care.CAUTIONS, _old_paint(case)),
        defers=care.DEFERS,
        photo_groups=groups,
        photo_count=plural(sum(album.opens(photo.file) for photo in case.photos), "photo"),
        unfit=gaps.not_fitting(case, facts, assessment, punch_list),
        editions=edition_rows(case),
        gaps=gaps.not_on_file(case, facts, assessment, punch_list),
        backed=numbers.stated,
        worked_out=numbers.worked_out,
        words=(),
        digest=digest,
    )
    composed = replace(composed, gaps=(*composed.gaps, *_also_blank(composed)))
    return replace(composed, words=glossary.words_of(composed, "fingerprint" if digest else ""))


def _also_blank(pages: Handover) -> tuple[str, ...]:
    """Return in one sentence which rows these pages leave blank; one with a number stands in the index already."""
    groups = [
        ("", (*pages.laid, *pages.who, *pages.after_work, *pages.found, *pages.permit)),
        *((f"{row.title}: ", row.pairs) for row in pages.repairs),
        *((f"{desk.title}: ", desk.facts) for desk in pages.desks),
    ]
    rows = [
        f"{title}{listed([pair.label for pair in blank])}"
        for title, pairs in groups
        if (blank := [pair for pair in pairs if pair.is_blank and not pair.refs])
    ]
    return (
        (f"Blank on these pages, where they say “{NOT_ON_RECORD}”: {'; '.join(rows)}.",)
        if rows
        else ()
    )


def _old_paint(case: Case) -> Pair:
    building = case.job.building
    if building is None:
        return care.old_paint(None, "")
    lead = building.lead_dust
    painted = write_area(lead.painted_sqft) if lead and lead.painted_sqft else ""
    return care.old_paint(building.year_built, painted, _lead_record(lead))


def _lead_record(lead: LeadDust | None) -> tuple[str, ...]:
    """Return who saw to the old paint and on which days, as far as this reader may see it."""
    if lead is None:
        return ()
    found = []
    if lead.renovator:
        found.append(f"certified renovator assigned, {lead.renovator}")
    if lead.pamphlet:
        found.append(f"pamphlet received, {signed(lead.pamphlet)}")
    if lead.owner_copy_on:
        found.append(f"the owner was given the record on {write_date(lead.owner_copy_on)}")
    return tuple(found)


def _numbered(row: SlopeRow, numbers: Index) -> SlopeRow:
    """Return a slope's row with the numbers of the look at its deck and of its area."""
    figure = "roof.area" if row.whole else f"slope.{row.label}.area"
    return replace(row, seen=numbers.of(f"deck.{row.label}"), worked_out=numbers.of(figure))


def _cover(
    case: Case,
    facts: Facts,
    assessment: Assessment,
    punch_list: PunchList,
    album: Album,
    edition: Edition,
    run: Run,
    levels: tuple[LevelWords, ...],
) -> Cover:
    caution = next_steps.flue_caution(case, punch_list)
    photo = _whole_roof(case, facts, album, _SMALL_COVER_MM if caution else _COVER_MM)
    filed = any(
        album.opens(one.file) for phase in _SHOWING_THE_WHOLE for one in case.photos_of(phase)
    )
    no_photo = "No photo of the finished roof is on file."
    if filed:
        no_photo = "No photo of the finished roof is on file whose day fits the work log."
    open_items = punch_list.holding(Holds.HANDOVER)
    if open_items:
        state = (
            f"This record is not complete: {plural(len(open_items), 'matter')} still open on the day it "
            f"was printed. What is missing stands under “What is not on file”."
        )
    else:
        state = (
            "Everything that this record needs to be handed over was on file on the day it was printed. "
            "What it still does not show stands under “What is not on file”."
        )
    unfit = len(gaps.not_fitting(case, facts, assessment, punch_list))
    if unfit:
        points = plural(unfit, "point does", "points do")
        state = f"On record, {points} not fit or fall short: see “What does not fit”. {state}"
    return Cover(
        edition=edition_since(case),
        address=headline(case.job.job.address),
        summary=(
            *_summary(case, assessment, edition, levels),
            *first_page.coverage_left(case, assessment, edition, run.today),
            *first_page.if_damage_is_found(assessment),
            *first_page.at_a_sale(case, assessment, run.today),
        ),
        dates=_dates(case, assessment),
        photo=photo,
        no_photo="" if photo else no_photo,
        next_steps=next_steps.next_steps(case, assessment, edition, run),
        caution=caution,
        state=state,
        contact=", ".join(company_lines(case.company)),
    )


def _whole_roof(case: Case, facts: Facts, album: Album, width_mm: int) -> Shot | None:
    """Return a photo for the first page: one that opens, and whose day and phase nothing speaks against."""
    for phase in _SHOWING_THE_WHOLE:
        # The street side says more to a stranger than the garden side.
        ordered = sorted(case.photos_of(phase), key=lambda p: "front" not in (p.slope or ""))
        for photo in ordered:
            if album.opens(photo.file) and not photo_days.misfits(case, facts, photo):
                return album.shot(photo, width_mm)
    return None


def _summary(
    case: Case, assessment: Assessment, edition: Edition, levels: tuple[LevelWords, ...]
) -> tuple[Pair, ...]:
    shingles = case.materials_of(Role.FIELD_SHINGLE)
    roof = "product not on record"
    if shingles:
        first = shingles[0]
        maker = first.maker or "a maker not on record"
        roof = f"{layers.name_and_colour(first)}, by {maker}"
    size = "slopes not on record"
    if case.job.slopes:
        slopes = plural(len(case.job.slopes), "slope")
        size = f"area {area(assessment.totals.area_sqft)} on {slopes}"
    owners = [owner.name for owner in case.job.owners if owner.name]
    # The filter leaves an owner in the list without a name.
    withheld = edition is Edition.RESALE and bool(case.job.owners)
    named = listed(owners) or (NOT_SHOWN if withheld else NOT_ON_RECORD)
    permit = case.job.permit
    permit_text: str = NOT_ON_RECORD
    if permit and permit.number:
        closed = (
            f"closed {write_date(permit.closed_on)}" if permit.closed_on else "not closed on record"
        )
        permit_text = (
            f"{permit.number}, {case.locality.name}{roof_pages.unsure_place(case)}, {closed}"
        )
    whole = case.job.job.address
    pairs = [Pair("Address", whole)] if headline(whole) != whole else []
    pairs += [
        Pair("Roof", f"Asphalt shingles: {roof}; {size}"),
        Pair(
            "Laid by",
            f"{roof_pages.laid_by(case)}, job {case.job.job.number}; last day of work "
            f"{day(case.last_day_of_work())}",
        ),
        Pair("Owner when it was laid", named),
        Pair("Permit", permit_text),
    ]
    for level in levels:
        told = f"{level.maker}: {level.short}. {level.level} level: {level.registration}"
        pairs.append(Pair(Label.WARRANTY, told, level.refs))
    if not levels:
        pairs.append(Pair(Label.WARRANTY, "No maker’s warranty is asked for on record."))
    return tuple(pairs)


def _dates(case: Case, assessment: Assessment) -> tuple[Pair, ...]:
    pairs = [Pair(COMPLETION, day(case.job.job.completion_signed_on))]
    for result in assessment.asked:
        deadline = result.level.deadline
        if result.level.standing is not Standing.OPEN or deadline is None:
            continue
        if deadline.met_on is None and deadline.last_day is not None:
            word = f"{result.level.level.level} level: last day to register"
            pairs.append(Pair(word, write_date(deadline.last_day)))
    own = case.company.workmanship
    if own is not None:
        ends = [line.ends for line in assessment.coverages if line.title == own.title and line.ends]
        if ends:
            pairs.append(Pair(Label.OWN_RUNS_TO, write_date(max(ends))))
    return tuple(pairs)
