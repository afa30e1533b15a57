"""What the papers say about this roof, statement by statement, with its backing.

In: a case, facts, figures. Out: `Statement`s. Must not word a document. Nothing is said that the record
does not say: a statement the record leaves blank is absent, whatever photos lie in its folder.
"""

from collections.abc import Iterator

from dossier.assess.backing import good_papers, good_photos, names_ticket, statement
from dossier.assess.barrier import barrier_words, laid_all_over
from dossier.assess.conditions import slopes_to_show
from dossier.assess.results import PHASES_PER_SLOPE, SlopeResult, Statement
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.record.files import Paper
from dossier.values import listed, plural, write_date
from dossier.words import PaperKind, Phase, Role, Scope

_ROLE_PHASE = (
    (Role.ICE_BARRIER, Phase.ICE_BARRIER),
    (Role.UNDERLAYMENT, Phase.UNDERLAYMENT),
    (Role.DRIP_EDGE, Phase.DRIP_EDGE),
    (Role.STARTER, Phase.STARTER),
    (Role.FIELD_SHINGLE, Phase.FIELD),
    (Role.HIP_AND_RIDGE, Phase.HIP_AND_RIDGE),
    (Role.EXHAUST_VENT, Phase.VENTILATION),
)


def statements(case: Case, facts: Facts, slopes: tuple[SlopeResult, ...]) -> tuple[Statement, ...]:
    """Return the statements in the order in which a roof is built and closed out."""
    return tuple(_statements(case, facts, slopes))


def _statements(case: Case, facts: Facts, slopes: tuple[SlopeResult, ...]) -> Iterator[Statement]:
    head = case.job.job
    scope = head.scope.value if head.scope else "scope of the job"
    layers = f", {plural(head.layers_removed, 'layer')} removed" if head.layers_removed else ""
    yield statement(
        case,
        facts,
        "scope",
        f"{scope.capitalize()}{layers if head.scope is not Scope.RECOVER else ''}",
        path="job.scope" if head.scope else None,
        photos=good_photos(case, facts, Phase.TEAR_OFF),
    )
    for slope in case.job.slopes:
        looked = case.work_on(Phase.DECK, slope.label)
        by = next((work.checked_by for work in looked if work.checked_by), None)
        yield statement(
            case,
            facts,
            f"deck.{slope.label}",
            f"Deck of slope {slope.label} seen before it was covered",
            path=looked[0].path if by is not None and not slope.old_membrane_left else None,
            photos=good_photos(case, facts, Phase.DECK, slope.label),
        )
    for role, phase in _ROLE_PHASE:
        lines = case.materials_of(role)
        names = listed(list(dict.fromkeys(line.name for line in lines)))
        path = lines[0].path if lines else "deliveries"
        if role is Role.EXHAUST_VENT and not lines and case.job.building:
            # Vents that are counted in the attic are stated, though no ticket shows them.
            vents = [v.product for attic in case.job.building.attics for v in attic.exhaust]
            names = listed(list(dict.fromkeys(vents)))
            path = "building.attics"
        yield statement(
            case,
            facts,
            f"role.{role.value}",
            f"{role.value.capitalize()}: {names}" if names else role.value.capitalize(),
            path=path if names else None,
            photos=good_photos(case, facts, phase),
            papers=_tickets(case, facts, role),
            slopes=slopes_to_show(case, slopes, phase) if phase in PHASES_PER_SLOPE else (),
        )
    yield from _installation(case, facts, slopes)
    yield from _closing(case, facts)
    yield from _registered(case, facts)


def _tickets(case: Case, facts: Facts, role: Role) -> list[Paper]:
    numbers = {m.delivery.ticket for m in case.materials_of(role) if m.delivery.ticket}
    return [
        paper
        for paper in good_papers(case, facts, PaperKind.TICKET)
        if any(names_ticket(paper.file, number) for number in numbers)
    ]


def _reach(case: Case, facts: Facts, slopes: tuple[SlopeResult, ...]) -> Statement:
    """Return the statement on the reach named for all slopes, and on those covered whole.

    Of a slope with courses or a reach of its own it does not speak.
    """
    courses, reach = laid_all_over(case)
    whole = [one for one in slopes if one.barrier.whole]
    covered = [
        one.label
        for one in slopes
        if one.barrier.whole
        or (
            (courses is not None or reach is not None)
            and one.eave_ft != 0
            and one.barrier.field.startswith("installation.")
        )
    ]
    text = barrier_words(case).replace(" up the slope from the eave", " up the slope")
    path = "installation.ice_barrier_reach_in"
    if reach is None and courses is not None:
        path = "installation.ice_barrier_courses"
    elif reach is None and whole:
        path = whole[0].barrier.field
    return statement(
        case,
        facts,
        "ice_barrier.reach",
        f"Ice barrier at the eaves, {text}" if text else "Ice barrier at the eaves",
        path=path if text else None,
        photos=[
            photo
            for photo in good_photos(case, facts, Phase.ICE_BARRIER)
            if photo.slope is None or photo.slope in covered
        ],
        slopes=covered,
    )


def _installation(case: Case, facts: Facts, slopes: tuple[SlopeResult, ...]) -> Iterator[Statement]:
    installation = case.job.installation
    nails = installation.nails_per_shingle if installation else None
    yield statement(
        case,
        facts,
        "nails",
        f"{nails} nails in each shingle" if nails is not None else "Nails in each shingle",
        path="installation.nails_per_shingle" if nails is not None else None,
        photos=[p for p in good_photos(case, facts, Phase.FIELD) if "nail" in p.file.lower()],
    )
    yield _reach(case, facts, slopes)
    edges = installation.starter_at if installation else ()
    yield statement(
        case,
        facts,
        "starter.edges",
        f"Starter at {listed([e.value for e in edges])}" if edges else "Starter at the edges",
        path="installation.starter_at" if edges else None,
        photos=good_photos(case, facts, Phase.STARTER),
    )


def _closing(case: Case, facts: Facts) -> Iterator[Statement]:
    permit = case.job.permit
    number = permit.number if permit else None
    yield statement(
        case,
        facts,
        "permit.number",
        f"Permit {number}" if number else "Permit",
        path="permit.number" if number is not None else None,
        papers=good_papers(case, facts, PaperKind.PERMIT),
    )
    closed = permit.closed_on if permit else None
    yield statement(
        case,
        facts,
        "permit.closed",
        f"Permit closed on {write_date(closed)}" if closed else "Permit closed",
        path="permit.closed_on" if closed else None,
        papers=good_papers(case, facts, PaperKind.INSPECTION_CARD),
    )
    signed = case.job.job.completion_signed_on
    yield statement(
        case,
        facts,
        "completion",
        f"Completion signed by the owner on {write_date(signed)}"
        if signed
        else "Completion signed",
        path="job.completion_signed_on" if signed else None,
        papers=good_papers(case, facts, PaperKind.COMPLETION),
    )
    final = case.job.money.final_invoice() if case.job.money else None
    yield statement(
        case,
        facts,
        "invoice",
        f"Final invoice of {write_date(final.on)}" if final and final.on else "Final invoice",
        path="money.invoices" if final else None,
        papers=good_papers(case, facts, PaperKind.INVOICE),
    )
    after = case.job.after_work
    flues = after.flues if after else None
    yield statement(
        case,
        facts,
        "flues",
        "Flues and combustion vents seen connected, upright and open after the work"
        + (f", by {flues.by}" if flues and flues.by else ""),
        path="after_work.flues" if flues and flues.by else None,
        papers=good_papers(case, facts, PaperKind.VENT_CHECK),
    )


def _registered(case: Case, facts: Facts) -> Iterator[Statement]:
    """Yield a statement for every level that the record says is registered; of the others nothing is stated."""
    registered = [
        asked for asked in case.asked if asked.warranty.accepted_on or asked.warranty.confirmation
    ]
    for asked in registered:
        number = asked.warranty.confirmation
        confirmed = f", confirmation {number}" if number else ""
        papers = [
            paper
            for kind in (PaperKind.REGISTRATION_CONFIRMATION, PaperKind.CERTIFICATE)
            for paper in good_papers(case, facts, kind)
            # Of two makers' letters each backs its own level; which one it is, only its name can tell.
            if len(registered) == 1 or (number and names_ticket(paper.file, number))
        ]
        level = asked.level.level if asked.level else asked.warranty.level
        yield statement(
            case,
            facts,
            f"registration.{asked.path}",
            f"{level} level registered with {asked.sheet.maker}{confirmed}",
            path=f"{asked.path}.{'confirmation' if number else 'accepted_on'}",
            papers=papers,
        )
