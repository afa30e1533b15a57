"""The registration packet's body: what a maker's clerk reads, ready or not ready first.

In: a case filtered for the maker, facts, assessment, punch list, run. Out: a `Registration` of
ready-to-print strings. Must not print a price of the job, nor name a paper that the maker is not sent.
Only its first page counts days, from the run's day.
"""

from dataclasses import dataclass

from dossier.assess.backing import paper_backing
from dossier.assess.results import AskedResult, Assessment, Met
from dossier.case.case import Case
from dossier.compose.packet import form as registration_form
from dossier.compose.packet.annex import AnnexRow, annex_rows
from dossier.compose.packet.condition_rows import (
    ConditionRow,
    asked_phases,
    condition_rows,
    resting_on_the_record,
)
from dossier.compose.packet.dividers import digest_of, kind_of, pages_of
from dossier.compose.packet.head import (
    NOT_READY,
    READY,
    head_facts,
    is_sent,
    more_facts,
    word_of,
)
from dossier.compose.parts import roof_pages
from dossier.compose.parts.attic_words import vent_words
from dossier.compose.parts.edition import edition_pairs
from dossier.compose.parts.gaps import absent_sentence, lot_gaps
from dossier.compose.parts.photo_days import told_misfits
from dossier.compose.parts.photographs import Album, PhotoGroup, photo_gaps
from dossier.compose.parts.places import references_text
from dossier.compose.parts.products import ProductRow, product_rows
from dossier.compose.parts.shared import (
    NOT_ON_RECORD,
    Head,
    Pair,
    PictureWanted,
    area,
    capital,
    head_of,
    headline,
    logo_wanted,
    plain_item,
    removed,
    said,
    sentence,
    withheld_files,
)
from dossier.evidence.facts import Facts
from dossier.punchlist import Holds, PunchList
from dossier.record.files import Paper
from dossier.record.people import Attic, Owner
from dossier.values import (
    Run,
    clip,
    listed,
    plural,
    write_area,
    write_number,
)
from dossier.words import Backing, Exposure, PaperKind

NOTHING = "NOTHING TO REGISTER"


@dataclass(frozen=True)
class AskedPage:
    """One warranty asked for: its first page with the form to copy across, then its conditions.

    ready: one word. stands: what the word rests on, in brackets beside it; empty where it needs nothing.
    backing: how far that is backed, where it is registered; else empty.
    facts: the few lines at the head of the first page; the only ones that count days. more: what stands
    above the conditions.
    """

    ready: str
    stands: str
    backing: str
    facts: tuple[Pair, ...]
    form: tuple[Pair, ...]
    level: str
    more: tuple[Pair, ...]
    checklist: tuple[ConditionRow, ...]
    conditions: tuple[ConditionRow, ...]


@dataclass(frozen=True)
class PaperRow:
    """One paper that goes with the packet."""

    kind: str
    file: str
    pages: str
    digest: str
    backing: str


@dataclass(frozen=True)
class Registration:
    """The maker's document, page by page. keeps: what keeps it from being ready."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    ready: str
    address: str
    asked: tuple[AskedPage, ...]
    keeps_title: str
    keeps: tuple[Pair, ...]
    registrant: tuple[Pair, ...]
    installer: tuple[Pair, ...]
    building: tuple[Pair, ...]
    repairs: tuple[roof_pages.RepairLine, ...]
    log: tuple[roof_pages.LogRow, ...]
    products: tuple[ProductRow, ...]
    photo_groups: tuple[PhotoGroup, ...]
    papers: tuple[PaperRow, ...]
    cannot_show: tuple[str, ...]
    signatures: tuple[str, ...]
    annex: tuple[AnnexRow, ...]


def registration(
    case: Case,
    facts: Facts,
    assessment: Assessment,
    punch_list: PunchList,
    run: Run,
    *,
    cleaned: frozenset[str] = frozenset(),
) -> Registration:
    """Return the registration packet's body for one job.

    case: already filtered for the maker. cleaned: the papers that travel as cleaned copies.
    """
    album = Album(case, facts)
    withheld = withheld_files(case, facts.papers)
    makers = frozenset(result.asked.sheet.maker for result in assessment.asked)
    groups = album.groups(asked_phases(assessment, case))
    sent = bool(assessment.asked) and all(is_sent(result) for result in assessment.asked)
    return Registration(
        template="registration.html",
        title=f"Warranty registration, {clip(case.job.job.address, 120)}",
        head=head_of(case, "maker edition", run),
        pictures=(*logo_wanted(case.company), *album.wanted),
        ready=_ready(punch_list, assessment),
        address=headline(case.job.job.address),
        asked=tuple(
            _asked(case, facts, assessment, result, punch_list, run) for result in assessment.asked
        ),
        keeps_title="What is still open" if sent else "What keeps it from being ready",
        keeps=tuple(
            Pair(item.owed_by.value, str(plain_item(item, withheld)))
            for item in punch_list.holding(Holds.REGISTRATION)
        ),
        registrant=_registrant(case),
        installer=roof_pages.who(case, makers),
        building=tuple(_building(case, assessment)),
        repairs=roof_pages.repair_lines(case),
        log=roof_pages.work_log(case),
        products=product_rows(case, assessment),
        photo_groups=groups,
        papers=tuple(
            PaperRow(
                kind_of(paper),
                f"{paper.file}{_stays(paper, facts, cleaned)}",
                pages_of(paper, facts),
                digest_of(paper, facts),
                paper_backing(paper, facts).value,
            )
            for kind in (*PaperKind, None)
            for paper in case.papers
            if paper.kind is kind
        ),
        cannot_show=_cannot_show(case, facts, assessment),
        signatures=_signatures(assessment),
        annex=annex_rows(assessment),
    )


def _signatures(assessment: Assessment) -> tuple[str, ...]:
    """Return who still has to sign for a level to be registered.

    The owner where no signature of his is on record, the company until the packet was sent.
    """
    wanted: list[str] = []
    for result in assessment.asked:
        warranty, level = result.asked.warranty, result.level.level
        if level.registration is None or result.asked.warranty.is_accepted:
            continue
        if warranty.owner_signed_on is None:
            wanted.append(f"Owner, for the {level.level} level")
        if not is_sent(result):
            wanted.append(f"Sent for the company, {level.level} level")
    return tuple(dict.fromkeys(wanted))


def _ready(punch_list: PunchList, assessment: Assessment) -> str:
    """Return the word; a job that says why it asks for no warranty is not ready to register anything."""
    if not punch_list.is_ready(Holds.REGISTRATION):
        return NOT_READY
    return READY if assessment.asked else NOTHING


def _stays(paper: Paper, facts: Facts, cleaned: frozenset[str]) -> str:
    """Return words where a paper does not travel with the packet as it lies on file; else nothing."""
    fact = facts.papers.get(paper.file)
    if paper_backing(paper, facts) is Backing.ABSENT or fact is None:
        return ", not attached: it cannot be opened"
    if paper.file in cleaned:
        return f", attached as a cleaned copy: the original holds {listed(fact.active_content)}"
    if fact.active_content:
        return f", not attached: it holds {listed(fact.active_content)}"
    return ", attached as it is, with the web links in it" if fact.web_links else ""


def _asked(
    case: Case,
    facts: Facts,
    assessment: Assessment,
    result: AskedResult,
    punch_list: PunchList,
    run: Run,
) -> AskedPage:
    rows = condition_rows(case, facts, result.level.conditions)
    word, stands = word_of(result, punch_list)
    registered = assessment.statement(f"registration.{result.asked.path}")
    more = list(more_facts(result))
    if registered is not None:
        proof = references_text(case, registered.references)
        more.insert(2, Pair("Proof of it", f"{registered.backing.value}; {proof}"))
    return AskedPage(
        ready=word,
        stands=stands,
        backing=registered.backing.value if registered else "",
        facts=head_facts(result, punch_list, run),
        form=registration_form.form(case, assessment, result),
        level=result.level.level.level,
        more=(*more, *edition_pairs(case)),
        checklist=rows,
        conditions=rows,
    )


def _registrant(case: Case) -> tuple[Pair, ...]:
    pairs: list[Pair] = []
    for owner in case.job.owners:
        pairs += _owner(owner)
    if not pairs:
        pairs.append(Pair("Owner", NOT_ON_RECORD))
    return (*pairs, Pair("House", case.job.job.address))


def _owner(owner: Owner) -> list[Pair]:
    reach = ", ".join(part for part in (owner.phone, owner.email) if part)
    pairs = [
        Pair("Owner", f"{said(owner.name, 'name not on record')} ({owner.kind.value})"),
        Pair("To reach", said(reach)),
    ]
    if owner.mailing_address:
        pairs.append(Pair("Post to", owner.mailing_address))
    return pairs


def _building(case: Case, assessment: Assessment) -> list[Pair]:
    building = case.job.building
    built = (
        NOT_ON_RECORD if building is None or building.year_built is None else building.year_built
    )
    dwellings = building.dwellings if building else 1
    typed = building.storeys if building else None
    storeys = [] if typed is None else [Pair("Storeys", write_number(typed))]
    pairs = [
        Pair("Year built", str(built)),
        Pair("Dwellings", str(dwellings)),
        *storeys,
        Pair(
            "Roof", f"{area(assessment.totals.area_sqft)}, {plural(len(case.job.slopes), 'slope')}"
        ),
        Pair("Old roof", capital(removed(case.job.job))),
        *roof_pages.deck_pairs(case),
        *roof_pages.how_laid(case),
    ]
    attics = building.attics if building else ()
    for attic, check in zip(attics, assessment.attics, strict=False):
        pairs.append(Pair(f"Attic {attic.space}", _attic(attic, check.verdict)))
    if not attics:
        reason = case.reason_not("building.attics")
        pairs.append(Pair("Attic", reason or NOT_ON_RECORD))
    wind = assessment.wind
    if wind is not None:
        design = case.design_wind_mph
        speed = f"design wind {design.value} mph, " if design else ""
        exposure = case.exposure.value
        told = f"{speed}exposure {exposure.value} ({_EXPOSURE[exposure]}): {wind.verdict}"
        pairs.append(Pair("Wind", f"{told}; {wind.because}" if wind.because else told))
    return pairs


_EXPOSURE = {
    Exposure.B: "among houses or trees",
    Exposure.C: "open country",
    Exposure.D: "open to wide water",
}
"""How open the ground lies to the wind. Source, from memory: ASCE 7-16, section 26.7.3."""


def _attic(attic: Attic, verdict: str) -> str:
    size = write_area(attic.floor_area_sqft) if attic.floor_area_sqft else "area not on record"
    return (
        f"{size}; intake {vent_words(attic.intake) or NOT_ON_RECORD}; "
        f"exhaust {vent_words(attic.exhaust) or NOT_ON_RECORD}; "
        f"against the code: {verdict}"
    )


def _cannot_show(case: Case, facts: Facts, assessment: Assessment) -> tuple[str, ...]:
    sentences = [
        sentence(
            f"{leaf.condition.words.rstrip('.')}: cannot be told, {leaf.needs or leaf.because}"
        )
        for result in assessment.asked
        for condition in result.level.conditions
        for leaf in condition.leaves
        if leaf.met is Met.CANNOT_TELL
    ]
    sentences += [
        str(absent_sentence(case, statement))
        for statement in assessment.statements
        if statement.backing is Backing.ABSENT
    ]
    for result in assessment.asked:
        rows = condition_rows(case, facts, result.level.conditions)
        resting = resting_on_the_record(rows)
        sentences += [resting] if resting else []
    sentences += map(str, lot_gaps(case))
    sentences += told_misfits(case, facts, asked_phases(assessment, case))
    sentences += photo_gaps(case, facts)
    return tuple(dict.fromkeys(sentences))
