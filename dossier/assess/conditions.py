"""A level's conditions, one by one: met, not met, cannot tell.

In: a case, facts, and figures already computed. Out: `ConditionResult`s. Must not know deadlines of other
levels nor print anything. A condition that lacks what it needs is “cannot tell” and names it.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from dossier.assess import proofs
from dossier.assess.backing import (
    RECORD,
    by_slope,
    good_photos,
)
from dossier.assess.given import (
    RECORD_SILENT,
    Given,
    Verdict,
    and_elsewhere,
    line_for,
    line_references,
    not_on_record,
    nowhere,
    of_record,
    of_role,
    photo_references,
    ticket_references,
    with_place,
)
from dossier.assess.results import (
    BySlope,
    ConditionResult,
    Met,
    Reference,
)
from dossier.case.case import Material
from dossier.said import NOT_ON_RECORD, Inches, Listed, Product, Said, joined, say
from dossier.terms.conditions import Condition
from dossier.terms.sheet import TermsSheet
from dossier.trade import deck
from dossier.words import Backing, DeckKind, EdgeKind, Phase, Role, Scope

_NOT_JUDGED = Said("that it is sound is not judged here")
"""What a deck of an accepted kind leaves open; every document says it where the condition is met."""


def judge(
    given: Given, conditions: tuple[Condition, ...], path: str
) -> tuple[ConditionResult, ...]:
    """Return the result of each condition in printed order. path: of the list in the sheet."""
    return tuple(
        _judge(given, condition, f"{path}.{number}") for number, condition in enumerate(conditions)
    )


def _judge(given: Given, condition: Condition, path: str) -> ConditionResult:
    if condition.unless is not None:
        lifted = _judge(given, condition.unless, f"{path}.unless")
        if lifted.met is Met.MET:
            because = say("falls away: {because}", because=lifted.because)
            reserve = because if condition.lots_of else lifted.reserve
            return ConditionResult(
                condition,
                Met.MET,
                because,
                None,
                path,
                lifted.references,
                by_slope=lifted.by_slope,
                reserve=reserve,
                in_part=lifted.in_part,
            )
        bare = condition.model_copy(update={"unless": None})
        result = replace(_judge(given, bare, path), condition=condition)
        if result.met is Met.NOT_MET and lifted.met is Met.CANNOT_TELL:
            return replace(result, met=Met.CANNOT_TELL, needs=lifted.needs)
        return result
    if condition.all_of or condition.any_of:
        return _group(given, condition, path)
    found = _TESTS[condition.test](given, condition)
    return ConditionResult(
        condition,
        found.met,
        found.because,
        found.needs,
        path,
        found.references,
        by_slope=found.by_slope,
        reserve=found.reserve,
        in_part=found.in_part,
    )


def _group(given: Given, condition: Condition, path: str) -> ConditionResult:
    if condition.any_of:
        parts = judge(given, condition.any_of.of, f"{path}.any_of.of")
        needed = condition.any_of.at_least
    else:
        parts = judge(given, condition.all_of, f"{path}.all_of")
        needed = len(parts)
    met = sum(part.met is Met.MET for part in parts)
    open_ = sum(part.met is Met.CANNOT_TELL for part in parts)
    verdict = (
        Met.MET if met >= needed else Met.CANNOT_TELL if met + open_ >= needed else Met.NOT_MET
    )
    wanted = [part for part in parts if part.met is not Met.MET]
    because = say("{met} of {all} met, {needed} needed", met=met, all=len(parts), needed=needed)
    if verdict is not Met.MET:
        reasons = Listed(tuple(part.because for part in wanted), "; ")
        because = say("{count}: {reasons}", count=because, reasons=reasons)
    lacking = tuple(part.needs for part in parts if part.needs)
    needs = say("{all}", all=Listed(lacking, "; ")) if lacking else None
    references = tuple(ref for part in parts for ref in part.references)
    return ConditionResult(condition, verdict, because, needs, path, references, parts)


def _same_maker(given: Given, condition: Condition) -> Verdict:
    wrong: list[Said] = []
    missing: list[Role] = []
    unknown: list[Said] = []
    found = [line for role in condition.same_maker for line in of_role(given, role)]
    references = (*line_references(given, found), *ticket_references(given, found))
    asked, elsewhere = with_place(given, condition, condition.same_maker)
    if not asked:
        return nowhere(elsewhere)
    for role in asked:
        lines = of_role(given, role)
        if not lines:
            missing.append(role)
        for line in lines:
            product = Product(line.name)
            if line.maker is None:
                unknown.append(say("the maker of {product}", product=product))
            elif line.maker != given.maker:
                text = "{role} is {product}, made by {maker}"
                wrong.append(say(text, role=role, product=product, maker=line.maker))
            elif cut_and_barred(given.asked.sheet, line):
                text = "{role} was cut from {product}, made as a field shingle"
                wrong.append(say(text, role=role, product=product))
    if wrong:
        return Verdict(Met.NOT_MET, joined(wrong, "; "), references)
    if missing or unknown:
        return not_on_record([*map(line_for, missing), *unknown], references)
    because = say("all made by {maker}", maker=given.maker)
    whole = and_elsewhere(because, elsewhere)
    return Verdict(Met.MET, whole, references, reserve=whole if elsewhere else None)


def cut_and_barred(sheet: TermsSheet, line: Material) -> bool:
    """Return whether a line was cut from field shingles, which this maker does not let stand for the role."""
    return line.is_cut and line.role not in sheet.cut_from_shingles


def _counted_accessories(given: Given, condition: Condition) -> Verdict:
    counted = condition.counted_accessories
    assert counted is not None
    own = [
        role for role in counted.of if any(_is_own(given, line) for line in of_role(given, role))
    ]
    lines = [line for role in counted.of for line in of_role(given, role) if _is_own(given, line)]
    references = (*line_references(given, lines), *ticket_references(given, lines))
    because = say(
        "{count} of {maker}’s own: {own}; {least} needed",
        count=len(own),
        maker=given.maker,
        own=Listed(tuple(own)) if own else "none",
        least=counted.at_least,
    )
    if len(own) >= counted.at_least:
        return Verdict(Met.MET, because, references)
    unknown = [line.name for role in counted.of for line in of_role(given, role) if not line.maker]
    absent = [role for role in counted.of if not of_role(given, role)]
    if len(own) + len(unknown) >= counted.at_least:
        needs = say("the maker of {products}", products=Listed(tuple(map(Product, unknown))))
        return Verdict(Met.CANNOT_TELL, because, references, needs)
    if len(own) + len(unknown) + len(absent) >= counted.at_least:
        needs = say("a material line for {roles}", roles=Listed(tuple(absent), "or"))
        return Verdict(Met.CANNOT_TELL, because, references, needs)
    return Verdict(Met.NOT_MET, because, references)


def _is_own(given: Given, line: Material) -> bool:
    return line.maker == given.maker and not cut_and_barred(given.asked.sheet, line)


def _certification(given: Given, condition: Condition) -> Verdict:
    wanted = condition.certification or ""
    first, last = given.case.first_day_of_work(), given.case.last_day_of_work()
    held = given.case.certification(given.maker, wanted, first, last)
    where = given.case.company_lines.where("certifications")
    reference = (Reference(RECORD, str(where), where),)
    if held is None:
        because = say(
            "the company file holds no certification “{wanted}” by {maker}",
            wanted=wanted,
            maker=given.maker,
        )
        return Verdict(Met.NOT_MET, because, reference)
    span = say("certified from {begins} to {ends}", begins=held.valid_from, ends=held.valid_to)
    if first is None or last is None:
        because = say("{span}; the work log is blank", span=span)
        return Verdict(Met.CANNOT_TELL, because, reference, Said("the days of the work"))
    if held.valid_from <= first and last <= held.valid_to:
        return Verdict(Met.MET, span, reference)
    text = "{span}; work ran from {first} to {last}"
    because = say(text, span=span, first=first, last=last)
    return Verdict(Met.NOT_MET, because, reference)


def _full_tear_off(given: Given, condition: Condition) -> Verdict:
    scope = given.case.job.job.scope
    reference = of_record(given, "job.scope")
    if scope is None:
        return Verdict(Met.CANNOT_TELL, RECORD_SILENT, reference, Said("the scope of the job"))
    if scope is Scope.FULL_TEAR_OFF:
        photos = photo_references(given, Phase.TEAR_OFF)
        slopes = _by_slope(given, proofs.torn_off(given.slopes, scope), Phase.TEAR_OFF)
        because = say("{scope}", scope=scope)
        return Verdict(Met.MET, because, (*reference, *photos), by_slope=slopes)
    return Verdict(Met.NOT_MET, say("the record says {scope}", scope=scope), reference)


def _deck(given: Given, condition: Condition) -> Verdict:
    wanted = condition.deck
    assert wanted is not None
    decks = given.case.job.decks
    if not decks:
        none, needed = Said("no deck on record"), Said("the kind of deck")
        return Verdict(Met.CANNOT_TELL, none, of_record(given, "decks"), needed)
    needs = [say("the deck of slope {slope}", slope=label) for label in _without_deck(given)]
    for one in decks:
        kind = one.kind_now
        if kind is None:
            needs.append(Said("the kind of deck that is there now"))
            continue
        if wanted.kinds and kind not in wanted.kinds:
            because = say("the deck is {kind}", kind=kind)
            return Verdict(Met.NOT_MET, because, of_record(given, "decks"))
        if kind is DeckKind.BOARD and wanted.largest_gap_in is not None:
            check = deck.check_gap(one.largest_gap_in, wanted.largest_gap_in)
            if check.verdict == "cannot tell":
                needs.append(Said("the largest gap between boards"))
            elif check.verdict != "accept":
                because = say(
                    "gaps of {gap}, at most {limit} accepted",
                    gap=Inches(one.largest_gap_in or wanted.largest_gap_in),
                    limit=Inches(wanted.largest_gap_in),
                )
                return Verdict(Met.NOT_MET, because, of_record(given, "decks"))
    if needs:
        lacking = say("{needs}", needs=Listed(tuple(needs)))
        return Verdict(Met.CANNOT_TELL, NOT_ON_RECORD, of_record(given, "decks"), lacking)
    kinds = [one.kind_now for one in decks]
    named = Listed(tuple(dict.fromkeys(kind for kind in kinds if kind)))
    because = say("{kinds}; {reserve}", kinds=named, reserve=_NOT_JUDGED)
    references = (*of_record(given, "decks"), *photo_references(given, Phase.DECK))
    labels = [slope.label for slope in given.slopes]
    return Verdict(
        Met.MET,
        because,
        references,
        reserve=_NOT_JUDGED,
        in_part=True,
        by_slope=_by_slope(given, labels, Phase.DECK),
    )


def _without_deck(given: Given) -> list[str]:
    """Return the slopes below which no deck on record lies; a deck that names none lies below all."""
    named = [set(one.slopes) for one in given.case.job.decks]
    if not all(named):
        return []
    return [slope.label for slope in given.slopes if all(slope.label not in some for some in named)]


def _by_slope(given: Given, labels: Sequence[str], phase: Phase, word: str = "") -> BySlope:
    """Return how far photos back something on each of these slopes: one of a slope says nothing of another.

    word: what a photo's name has to hold; empty for any.
    """
    photos = [
        one for one in good_photos(given.case, given.facts, phase) if word in one.file.lower()
    ]
    found = by_slope(given.facts, labels, photos, Backing.STATED)
    return found if len(found) > 1 else ()


def _ventilation(given: Given, condition: Condition) -> Verdict:
    reference = of_record(given, "building.attics")
    if not given.attics:
        reason = given.case.reason_not("building.attics")
        if reason:
            return Verdict(Met.MET, say("no attic to vent: {reason}", reason=reason), reference)
        needed = Said("the attic and its vents")
        return Verdict(Met.CANNOT_TELL, Said("no attic on record"), reference, needed)
    bad = [check for check in given.attics if check.verdict in ("short", "unbalanced")]
    if bad:
        faults = [say("attic {name} is {fault}", name=c.name, fault=c.verdict) for c in bad]
        return Verdict(Met.NOT_MET, joined(faults, "; "), reference)
    unknown = [check for check in given.attics if check.verdict == "cannot tell"]
    if unknown:
        needs = [
            say("for attic {name}: {needs}", name=c.name, needs=Listed(c.needs)) for c in unknown
        ]
        because = Said("the vents cannot be counted")
        return Verdict(Met.CANNOT_TELL, because, reference, joined(needs, "; "))
    return Verdict(Met.MET, Said("every attic space passes"), reference)


def _nails(given: Given, condition: Condition) -> Verdict:
    wanted = condition.nails_per_shingle or 0
    installation = given.case.job.installation
    nails = installation.nails_per_shingle if installation else None
    reference = of_record(given, "installation.nails_per_shingle")
    if nails is None:
        return Verdict(Met.CANNOT_TELL, RECORD_SILENT, reference, Said("nails in each shingle"))
    met = Met.MET if nails >= wanted else Met.NOT_MET
    because = say("{nails} nails in each shingle, {wanted} needed", nails=nails, wanted=wanted)
    references = (*reference, *photo_references(given, Phase.FIELD, "nail"))
    laid = proofs.slopes_to_show(given.case, given.slopes, Phase.FIELD)
    slopes = _by_slope(given, laid, Phase.FIELD, "nail") if met is Met.MET else ()
    return Verdict(met, because, references, by_slope=slopes)


def _starter(given: Given, condition: Condition) -> Verdict:
    installation = given.case.job.installation
    laid = installation.starter_at if installation else ()
    reference = of_record(given, "installation.starter_at")
    if not laid:
        return Verdict(Met.CANNOT_TELL, RECORD_SILENT, reference, Said("the edges with starter"))
    no_rakes = _has_no_rakes(given)
    asked = [e for e in condition.starter_at if not (e is EdgeKind.RAKES and no_rakes)]
    lacking = tuple(edge for edge in asked if edge not in laid)
    if lacking:
        return Verdict(Met.NOT_MET, say("no starter at {edges}", edges=Listed(lacking)), reference)
    text = "starter at {edges}"
    if no_rakes and EdgeKind.RAKES in condition.starter_at:
        text = "starter at {edges}; this roof has no rakes"
    references = (*reference, *photo_references(given, Phase.STARTER))
    slopes = _by_slope(given, proofs.with_eave(given.slopes), Phase.STARTER)
    return Verdict(Met.MET, say(text, edges=Listed(laid)), references, by_slope=slopes)


def _has_no_rakes(given: Given) -> bool:
    """Return whether this roof has no rakes: by its measures, and a blank counts only beside a hip.

    A gable whose rakes nobody typed has rakes all the same.
    """
    if not given.slopes or any(slope.rake_ft for slope in given.slopes):
        return False
    slopes = given.case.job.slopes
    return any(slope.hip_ft for slope in slopes) or all(slope.rake_ft == 0 for slope in slopes)


_TESTS: dict[str, Callable[[Given, Condition], Verdict]] = {
    "same_maker": _same_maker,
    "counted_accessories": _counted_accessories,
    "certification": _certification,
    "full_tear_off": _full_tear_off,
    "deck": _deck,
    "ventilation": _ventilation,
    "nails_per_shingle": _nails,
    "starter_at": _starter,
    "lots_of": proofs.lots,
    "photos_of": proofs.photos,
    "papers": proofs.papers,
    "permit_closed": proofs.permit_closed,
    "owner_signature": proofs.owner_signature,
    "completion_signed": proofs.completion_signed,
    "fee": proofs.fee,
    "paid_in_full": proofs.paid_in_full,
}
