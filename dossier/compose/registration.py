"""The registration packet's body: what a maker's clerk reads, ready or not ready first.

In: a case filtered for the maker, facts, assessment, punch list, run. Out: a `Registration` of
ready-to-print strings. Must not print a price of the job, nor name a paper that the maker is not sent.
Only its first page counts days, from the run's day.
"""

from dataclasses import dataclass

from dossier.assess.backing import paper_backing
from dossier.assess.results import (
    PHASES_PER_SLOPE,
    AskedResult,
    Assessment,
    ConditionResult,
    Met,
    RoleResult,
)
from dossier.case.case import Case, Material
from dossier.compose import coverage_pages, layers, registration_form, roof_pages
from dossier.compose.annex import AnnexRow, annex_rows
from dossier.compose.dividers import digest_of, kind_of, pages_of
from dossier.compose.gaps import references_text, statement_text
from dossier.compose.photographs import (
    Album,
    PhotoGroup,
    phases_of,
    unreadable,
    without_camera_day,
)
from dossier.compose.shared import (
    NOT_ON_RECORD,
    Head,
    Pair,
    PictureWanted,
    area,
    capital,
    contact_lines,
    day,
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
from dossier.punchlist import Holds, Party, PunchList
from dossier.record.files import Paper
from dossier.record.people import Attic, Owner, Vent
from dossier.terms.sheet import TermsSheet
from dossier.values import (
    Run,
    clip,
    days_between,
    listed,
    plural,
    write_area,
    write_date,
    write_feet,
    write_number,
)
from dossier.words import Backing, PaperKind, Phase

READY, NOT_READY = "READY", "NOT READY"

_BACKING_ORDER = list(Backing)

_NOT_MET_BY_A_BLANK = frozenset(
    {
        "photos_of",
        "papers",
        "owner_signature",
        "completion_signed",
        "permit_closed",
        "fee",
        "paid_in_full",
    }
)
"""Tests that fail because something is not there, so that nothing backs them."""


@dataclass(frozen=True)
class ConditionRow:
    """One condition, or a member of a group. depth: “0” for a condition, “1” and more for members."""

    clause: str
    says: str
    met: str
    backing: str
    because: str
    proof: str
    depth: str


@dataclass(frozen=True)
class AskedPage:
    """One warranty asked for: its first page, its conditions, its form."""

    ready: str
    facts: tuple[Pair, ...]
    checklist: tuple[ConditionRow, ...]
    conditions: tuple[ConditionRow, ...]
    form: tuple[Pair, ...]
    send_to: tuple[str, ...]


@dataclass(frozen=True)
class ProductRow:
    """One material line against what the roof needs."""

    role: str
    product: str
    made_by: str
    quantity: str
    lots: str
    covers: str
    needs: str
    verdict: str


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
    keeps: tuple[Pair, ...]
    registrant: tuple[Pair, ...]
    installer: tuple[Pair, ...]
    building: tuple[Pair, ...]
    log: tuple[roof_pages.LogRow, ...]
    products: tuple[ProductRow, ...]
    photo_groups: tuple[PhotoGroup, ...]
    papers: tuple[PaperRow, ...]
    cannot_show: tuple[str, ...]
    signatures: tuple[str, ...]
    annex: tuple[AnnexRow, ...]


def registration(
    case: Case, facts: Facts, assessment: Assessment, punch_list: PunchList, run: Run
) -> Registration:
    """Return the registration packet's body for one job. case: already filtered for the maker."""
    album = Album(case, facts)
    withheld = withheld_files(case, facts.papers)
    makers = {result.asked.sheet.maker for result in assessment.asked}
    maker = makers.pop() if len(makers) == 1 else None
    groups = album.groups(_asked_phases(assessment))
    return Registration(
        template="registration.html",
        title=f"Warranty registration, {clip(case.job.job.address, 120)}",
        head=head_of(case, "maker edition", run),
        pictures=(*logo_wanted(case.company), *album.wanted),
        ready=_ready(punch_list),
        address=headline(case.job.job.address),
        asked=tuple(
            _asked(case, facts, assessment, result, punch_list, run) for result in assessment.asked
        ),
        keeps=tuple(
            Pair(item.owed_by.value, plain_item(item, withheld))
            for item in punch_list.holding(Holds.REGISTRATION)
        ),
        registrant=_registrant(case),
        installer=roof_pages.who(case, maker),
        building=tuple(_building(case, assessment)),
        log=roof_pages.work_log(case),
        products=_products(case, assessment),
        photo_groups=groups,
        papers=tuple(
            PaperRow(
                kind_of(paper),
                f"{paper.file}{_stays(paper, facts)}",
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
    """Return who still has to sign: the owner where a condition asks for it, the sender before sending."""
    wanted: list[str] = []
    for result in assessment.asked:
        level = result.level.level.level
        leaves = [leaf for condition in result.level.conditions for leaf in condition.leaves]
        if any(leaf.condition.owner_signature and leaf.met is not Met.MET for leaf in leaves):
            wanted.append(f"Owner, for the {level} level")
        if result.asked.warranty.submitted_on is None and result.level.level.registration:
            wanted.append(f"Sent for the company, {level} level")
    return tuple(dict.fromkeys(wanted))


def _ready(punch_list: PunchList) -> str:
    return READY if punch_list.is_ready(Holds.REGISTRATION) else NOT_READY


def _stays(paper: Paper, facts: Facts) -> str:
    """Return words where a paper is listed here and does not travel with the packet; else nothing."""
    fact = facts.papers.get(paper.file)
    if paper_backing(paper, facts) is Backing.ABSENT or fact is None:
        return ", not attached: it cannot be opened"
    if fact.active_content:
        return f", not attached: it holds {listed(fact.active_content)}"
    return ""


def _asked(
    case: Case,
    facts: Facts,
    assessment: Assessment,
    result: AskedResult,
    punch_list: PunchList,
    run: Run,
) -> AskedPage:
    sheet = result.asked.sheet
    rows = tuple(
        row for condition in result.level.conditions for row in _rows(case, facts, condition, 0)
    )
    return AskedPage(
        ready=_ready(punch_list),
        facts=_asked_facts(result, punch_list, run),
        checklist=rows,
        conditions=rows,
        form=registration_form.form(case, assessment, result),
        send_to=contact_lines(sheet.registration_desk),
    )


def _asked_facts(result: AskedResult, punch_list: PunchList, run: Run) -> tuple[Pair, ...]:
    sheet, deadline = result.asked.sheet, result.level.deadline
    clause = f", clause {deadline.clause}" if deadline and deadline.clause else ""
    pairs = [
        Pair("Level asked for", f"{result.level.level.level}, by {sheet.maker}"),
        Pair("Terms", _terms(sheet)),
        Pair("Where it stands", coverage_pages.registration_words(result)),
        Pair("What keeps it", _keeping(punch_list)),
    ]
    best = result.best
    if best is not None and best.level is not result.level.level:
        pairs.append(Pair("Highest level still open", f"{best.level.level}, by this record"))
    if deadline is None:
        return (*pairs, Pair("Last day", "The terms ask for no registration of this level."))
    counted = (
        f"{deadline.within_days} days from {coverage_pages.event_words(deadline.event.event)}"
        f" ({day(deadline.event.day)}){clause}"
    )
    if deadline.last_day is None:
        return (*pairs, Pair("Last day", f"cannot be told: {counted}"))
    left = days_between(run.today, deadline.last_day)
    if deadline.met_on is not None:
        kept = "kept" if deadline.met_on <= deadline.last_day else "not kept"
        text = f"{write_date(deadline.last_day)}, {kept} on {write_date(deadline.met_on)}"
    elif left < 0:
        text = f"{write_date(deadline.last_day)}, passed {plural(-left, 'day')} before {write_date(run.today)}"
    else:
        text = f"{write_date(deadline.last_day)}, {plural(left, 'day')} left on {write_date(run.today)}"
    return (*pairs, Pair("Last day", text), Pair("Counted", counted))


def _keeping(punch_list: PunchList) -> str:
    items = punch_list.holding(Holds.REGISTRATION)
    if not items:
        return "Nothing on the punch list holds the registration."
    owed = [(party, sum(item.owed_by is party for item in items)) for party in Party]
    parts = listed([f"{count} by the {party.value}" for party, count in owed if count])
    return f"{plural(len(items), 'item')}, owed {parts}; listed below the conditions."


def _terms(sheet: TermsSheet) -> str:
    number = f", document {sheet.document}" if sheet.document else ""
    return f"{sheet.title}{number}, edition {sheet.edition}"


def _rows(case: Case, facts: Facts, result: ConditionResult, depth: int) -> list[ConditionRow]:
    condition = result.condition
    because = result.because
    if condition.paid_in_full and case.job.money is None and result.met is Met.MET:
        # The day of payment is not for this reader; that it was paid is what the terms ask.
        because = "paid in full by the office's books"
    if result.needs and result.met is Met.CANNOT_TELL:
        because = f"{because}; needed: {result.needs}"
    rows = [
        ConditionRow(
            clause=condition.clause or "not named",
            says=sentence(condition.says or condition.test.replace("_", " ")),
            met=result.met.value,
            backing=_backing(case, facts, result).value,
            because=sentence(because),
            proof=_proof(case, result),
            depth=str(depth),
        )
    ]
    for part in result.parts:
        rows += _rows(case, facts, part, depth + 1)
    return rows


def _proof(case: Case, result: ConditionResult) -> str:
    if result.parts:
        return "see its parts below"
    return references_text(case, result.references) or "nothing on file"


def _backing(case: Case, facts: Facts, result: ConditionResult) -> Backing:
    """Return the weakest backing among a condition's files; stated where only the record speaks."""
    if result.met is Met.CANNOT_TELL or not result.references:
        return Backing.ABSENT
    if result.met is Met.NOT_MET and result.condition.test in _NOT_MET_BY_A_BLANK:
        return Backing.ABSENT
    if result.parts:
        return max((_backing(case, facts, part) for part in result.parts), key=_BACKING_ORDER.index)
    album = Album(case, facts)
    reviewed = {p.file for p in case.photos if p.reviewed and p.reviewed.by and p.reviewed.on}
    reviewed |= {p.file for p in case.papers if p.reviewed and p.reviewed.by and p.reviewed.on}
    found = []
    for reference in result.references:
        if reference.kind == "record":
            continue
        paper = facts.papers.get(reference.text)
        opens = album.opens(reference.text) or (
            paper is not None and paper.exists and paper.fault is None and not paper.encrypted
        )
        if not opens:
            found.append(Backing.ABSENT)
        else:
            found.append(Backing.REVIEWED if reference.text in reviewed else Backing.ON_FILE)
    return max(found, key=_BACKING_ORDER.index, default=Backing.STATED)


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
    pairs = [
        Pair("Year built", str(built)),
        Pair("Dwellings", str(dwellings)),
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
        pairs.append(
            Pair("Wind", f"{speed}exposure {case.exposure.value.value}: {wind.check.verdict}")
        )
    return pairs


def _attic(attic: Attic, verdict: str) -> str:
    size = write_area(attic.floor_area_sqft) if attic.floor_area_sqft else "area not on record"
    return (
        f"{size}; intake {_vents(attic.intake)}; exhaust {_vents(attic.exhaust)}; "
        f"against the code: {verdict}"
    )


def _vents(vents: tuple[Vent, ...]) -> str:
    parts = []
    for vent in vents:
        if vent.length_ft is not None:
            parts.append(f"{write_feet(vent.length_ft)} {vent.product}")
        elif vent.count is not None:
            parts.append(f"{vent.count} {vent.product}")
        else:
            parts.append(vent.product)
    return listed(parts) or NOT_ON_RECORD


def _products(case: Case, assessment: Assessment) -> tuple[ProductRow, ...]:
    rows: list[ProductRow] = []
    for role, _ in layers.LAYERS:
        need = assessment.role(role)
        materials = case.materials_of(role)
        for number, material in enumerate(materials):
            rows.append(_product(material, capital(role.value), need, number))
        if not materials and need is not None:
            needs, verdict = _needed(need)
            missing = "no product on record"
            rows.append(ProductRow(capital(role.value), missing, "", "", "", "", needs, verdict))
    rows += [
        _product(material, "Use not on record", None, 0)
        for material in case.materials
        if material.role is None
    ]
    return tuple(rows)


def _product(material: Material, role: str, need: RoleResult | None, number: int) -> ProductRow:
    maker = f"by {material.maker}" if material.maker else "maker not on record"
    colour = f", {material.line.colour}" if material.line.colour else ""
    covers = "not on record"
    if material.covers_sqft is not None:
        covers = f"{write_number(material.covers_sqft, 2)} sq ft"
    elif material.covers_ft is not None:
        covers = write_feet(material.covers_ft)
    elif material.product is not None and material.product.pieces_per_unit:
        covers = f"{material.product.pieces_per_unit:,} pieces"
    elif need is None:
        covers = "not counted"
    needs, verdict = _needed(need)
    if number and need is not None:
        needs = verdict = "with the line above"
    source = " (own stock)" if material.is_stock else ""
    return ProductRow(
        role=role,
        product=material.name,
        made_by=f"{maker}{colour}",
        quantity=f"{layers.quantity_of(material)}{source}",
        lots=layers.lots_of(material) or "carries none",
        covers=covers,
        needs=needs,
        verdict=verdict,
    )


def _needed(need: RoleResult | None) -> tuple[str, str]:
    if need is None:
        return "not counted", "not counted"
    return (
        f"{write_number(need.need.at_zero_waste)} {need.need.unit}",
        need.take_off.verdict,
    )


def _asked_phases(assessment: Assessment) -> tuple[Phase, ...]:
    asked = [
        phase
        for result in assessment.asked
        for condition in result.level.conditions
        for leaf in condition.leaves
        for phase in leaf.condition.photos_of
    ]
    return phases_of(asked or PHASES_PER_SLOPE)


def _cannot_show(case: Case, facts: Facts, assessment: Assessment) -> tuple[str, ...]:
    sentences = [
        sentence(f"{leaf.condition.says.rstrip('.')}: cannot be told, {leaf.needs or leaf.because}")
        for result in assessment.asked
        for condition in result.level.conditions
        for leaf in condition.leaves
        if leaf.met is Met.CANNOT_TELL
    ]
    sentences += [
        f"{statement_text(case, statement)}: not on record."
        for statement in assessment.statements
        if statement.backing is Backing.ABSENT
    ]
    stated = sum(1 for statement in assessment.statements if statement.backing is Backing.STATED)
    if stated:
        count = plural(stated, "statement rests", "statements rest")
        sentences.append(f"{count} on the record alone, with no photo or paper behind it.")
    broken = unreadable(case, facts)
    if broken:
        count = plural(len(broken), "listed photo is", "listed photos are")
        sentences.append(f"{count} not there or cannot be opened.")
    dateless = without_camera_day(case, facts)
    if dateless:
        count = plural(dateless, "photo carries", "photos carry")
        sentences.append(f"{count} no day from the camera.")
    return tuple(dict.fromkeys(sentences))
