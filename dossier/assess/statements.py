"""What the papers say about this roof, statement by statement, with its backing.

In: a case, facts, figures. Out: `Statement`s. Must not word a document. Nothing is said that the record
does not say: a statement the record leaves blank is absent, whatever photos lie in its folder.
"""

from collections.abc import Iterator

from dossier.assess.backing import good_papers, good_photos, names_ticket, statement
from dossier.assess.barrier import barrier_words, laid_all_over
from dossier.assess.proofs import slopes_to_show, torn_off, with_eave
from dossier.assess.results import PHASES_PER_SLOPE, SlopeResult, Statement
from dossier.case.case import Case
from dossier.evidence.facts import Facts
from dossier.record.files import Paper
from dossier.said import Count, Listed, Person, Product, say
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

_FLUES_SEEN = say("Flues and combustion vents seen connected, upright and open after the work")


def statements(case: Case, facts: Facts, slopes: tuple[SlopeResult, ...]) -> tuple[Statement, ...]:
    """Return the statements in the order in which a roof is built and closed out."""
    return tuple(_statements(case, facts, slopes))


def _statements(case: Case, facts: Facts, slopes: tuple[SlopeResult, ...]) -> Iterator[Statement]:
    head = case.job.job
    scope = say("{scope!c}", scope=head.scope) if head.scope else say("Scope of the job")
    if head.layers_removed and head.scope is not Scope.RECOVER:
        layers = Count(head.layers_removed, "layer")
        scope = say("{scope}, {layers} removed", scope=scope, layers=layers)
    yield statement(
        case,
        facts,
        "scope",
        scope,
        path="job.scope" if head.scope else None,
        photos=good_photos(case, facts, Phase.TEAR_OFF),
        slopes=torn_off(slopes, head.scope),
    )
    for slope in case.job.slopes:
        looked = case.work_on(Phase.DECK, slope.label)
        by = next((work.checked_by for work in looked if work.checked_by), None)
        yield statement(
            case,
            facts,
            f"deck.{slope.label}",
            say("Deck of slope {slope} seen before it was covered", slope=slope.label),
            slope=slope.label,
            path=looked[0].path if by is not None and not slope.old_membrane_left else None,
            photos=good_photos(case, facts, Phase.DECK, slope.label),
        )
    for role, phase in _ROLE_PHASE:
        lines = case.materials_of(role)
        names = dict.fromkeys(line.name for line in lines)
        path = lines[0].path if lines else "deliveries"
        if role is Role.EXHAUST_VENT and not lines and case.job.building:
            # Vents that are counted in the attic are stated, though no ticket shows them.
            vents = [v.product for attic in case.job.building.attics for v in attic.exhaust]
            names = dict.fromkeys(vents)
            path = "building.attics"
        yield statement(
            case,
            facts,
            f"role.{role.value}",
            say("{role!c}: {names}", role=role, names=Listed(tuple(map(Product, names))))
            if names
            else say("{role!c}", role=role),
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
    laid = barrier_words(case, from_eave=False)
    path = "installation.ice_barrier_reach_in"
    if reach is None and courses is not None:
        path = "installation.ice_barrier_courses"
    elif reach is None and whole:
        path = whole[0].barrier.field
    return statement(
        case,
        facts,
        "ice_barrier.reach",
        say("Ice barrier at the eaves, {laid}", laid=laid)
        if laid
        else say("Ice barrier at the eaves"),
        path=path if laid else None,
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
        say("{nails} nails in each shingle", nails=nails)
        if nails is not None
        else say("Nails in each shingle"),
        path="installation.nails_per_shingle" if nails is not None else None,
        photos=[p for p in good_photos(case, facts, Phase.FIELD) if "nail" in p.file.lower()],
        slopes=slopes_to_show(case, slopes, Phase.FIELD),
    )
    yield _reach(case, facts, slopes)
    edges = installation.starter_at if installation else ()
    yield statement(
        case,
        facts,
        "starter.edges",
        say("Starter at {edges}", edges=Listed(edges)) if edges else say("Starter at the edges"),
        path="installation.starter_at" if edges else None,
        photos=good_photos(case, facts, Phase.STARTER),
        slopes=with_eave(slopes),
    )


def _closing(case: Case, facts: Facts) -> Iterator[Statement]:
    permit = case.job.permit
    number = permit.number if permit else None
    yield statement(
        case,
        facts,
        "permit.number",
        say("Permit {number}", number=number) if number else say("Permit"),
        path="permit.number" if number is not None else None,
        papers=good_papers(case, facts, PaperKind.PERMIT),
    )
    closed = permit.closed_on if permit else None
    yield statement(
        case,
        facts,
        "permit.closed",
        say("Permit closed on {day}", day=closed) if closed else say("Permit closed"),
        path="permit.closed_on" if closed else None,
        papers=good_papers(case, facts, PaperKind.INSPECTION_CARD),
    )
    signed = case.job.job.completion_signed_on
    yield statement(
        case,
        facts,
        "completion",
        say("Completion signed by the owner on {day}", day=signed)
        if signed
        else say("Completion signed"),
        path="job.completion_signed_on" if signed else None,
        papers=good_papers(case, facts, PaperKind.COMPLETION),
    )
    final = case.job.money.final_invoice() if case.job.money else None
    yield statement(
        case,
        facts,
        "invoice",
        say("Final invoice of {day}", day=final.on) if final and final.on else say("Final invoice"),
        path="money.invoices" if final else None,
        papers=good_papers(case, facts, PaperKind.INVOICE),
    )
    after = case.job.after_work
    flues = after.flues if after else None
    yield statement(
        case,
        facts,
        "flues",
        say("{seen}, by {name}", seen=_FLUES_SEEN, name=Person(flues.by))
        if flues and flues.by
        else _FLUES_SEEN,
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
            say(
                "{level} level registered with {maker}, confirmation {number}",
                level=level,
                maker=asked.sheet.maker,
                number=number,
            )
            if number
            else say("{level} level registered with {maker}", level=level, maker=asked.sheet.maker),
            path=f"{asked.path}.{'confirmation' if number else 'accepted_on'}",
            papers=papers,
        )
