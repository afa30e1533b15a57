"""A level's conditions, one by one: met, not met, cannot tell.

In: a case, facts, and figures already computed. Out: `ConditionResult`s. Must not know deadlines of other
levels nor print anything. A condition that lacks what it needs is “cannot tell” and names it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from dossier.assess.backing import (
    RECORD,
    by_slope,
    good_papers,
    good_photos,
    names_ticket,
    paper_reference,
    photo_reference,
)
from dossier.assess.calendar import blank_in_payments, paid_in_full_on
from dossier.assess.has_place import is_membrane, why_no_place
from dossier.assess.results import (
    PHASES_PER_SLOPE,
    BySlope,
    ConditionResult,
    Met,
    Reference,
    SlopeResult,
)
from dossier.case.case import AskedWarranty, Case, Material
from dossier.evidence.facts import Facts
from dossier.record.roof import Deck
from dossier.said import Count, Inches, Listed, Number, Product, Said, Value, joined, say
from dossier.terms.conditions import Condition
from dossier.terms.sheet import TermsSheet
from dossier.trade import deck
from dossier.trade.ventilation import SpaceCheck
from dossier.words import Backing, DeckKind, EdgeKind, PaperKind, Phase, Redecked, Role, Scope

_NOT_JUDGED = Said("that it is sound is not judged here")
"""What a deck of an accepted kind leaves open; every document says it where the condition is met."""

_LOTS_SEEN = Said("lots on record")
"""Said where nothing speaks against it: every counted lot adds up to its line, or nobody counted."""

_RECORD_SILENT, _NOT_SIGNED = Said("the record does not say"), Said("no day of signature on record")


@dataclass(frozen=True)
class Given:
    """What a condition is judged from. maker: of the sheet."""

    case: Case
    facts: Facts
    asked: AskedWarranty
    maker: str
    slopes: tuple[SlopeResult, ...]
    attics: tuple[SpaceCheck, ...]


@dataclass(frozen=True)
class _Verdict:
    """What a condition came to. reserve: what it leaves open, though it is met."""

    met: Met
    because: Said
    references: tuple[Reference, ...]
    needs: Said | None = None
    reserve: Said | None = None


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
                condition, Met.MET, because, None, path, lifted.references, reserve=reserve
            )
        bare = condition.model_copy(update={"unless": None})
        result = replace(_judge(given, bare, path), condition=condition)
        if result.met is Met.NOT_MET and lifted.met is Met.CANNOT_TELL:
            return replace(result, met=Met.CANNOT_TELL, needs=lifted.needs)
        return result
    if condition.all_of or condition.any_of:
        return _group(given, condition, path)
    found = _TESTS[condition.test](given, condition)
    slopes = _deck_by_slope(given) if condition.test == "deck" and found.met is Met.MET else ()
    return ConditionResult(
        condition,
        found.met,
        found.because,
        found.needs,
        path,
        found.references,
        by_slope=slopes,
        reserve=found.reserve,
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


def _record(given: Given, path: str) -> tuple[Reference, ...]:
    where = given.case.where(path)
    return (Reference(RECORD, str(where), where),)


def _of_role(given: Given, role: Role) -> tuple[Material, ...]:
    return given.case.materials_of(role)


def _same_maker(given: Given, condition: Condition) -> _Verdict:
    wrong: list[Said] = []
    missing: list[Role] = []
    unknown: list[Said] = []
    found = [line for role in condition.same_maker for line in _of_role(given, role)]
    references = (*_line_references(given, found), *_ticket_references(given, found))
    asked, elsewhere = _with_place(given, condition, condition.same_maker)
    if not asked:
        return _nowhere(elsewhere)
    for role in asked:
        lines = _of_role(given, role)
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
        return _Verdict(Met.NOT_MET, joined(wrong, "; "), references)
    if missing or unknown:
        return _not_on_record([*map(_line_for, missing), *unknown], references)
    because = say("all made by {maker}", maker=given.maker)
    whole = _and(because, elsewhere)
    return _Verdict(Met.MET, whole, references, reserve=whole if elsewhere else None)


def _line_for(role: Role) -> Said:
    return say("a material line for {role}", role=role)


def _not_on_record(needs: Sequence[Said], references: tuple[Reference, ...]) -> _Verdict:
    lacking = say("{needs}", needs=Listed(tuple(needs)))
    because = say("not on record: {needs}", needs=Listed(tuple(needs)))
    return _Verdict(Met.CANNOT_TELL, because, references, lacking)


_Thing = TypeVar("_Thing", Role, Phase)


def _with_place(
    given: Given, condition: Condition, things: Sequence[_Thing]
) -> tuple[list[_Thing], Said | None]:
    """Return the things that this roof has a place for, and of the others why it has none; None for none such.

    All of them where the sheet says that the clause holds wherever.
    """
    why = {} if condition.wherever else {one: why_no_place(given.case, one) for one in things}
    none = {one: reason for one, reason in why.items() if reason}
    left = [one for one in things if one not in none]
    told = [
        say("{thing} is not asked for: {reason}", thing=one, reason=reason)
        for one, reason in none.items()
    ]
    return left, joined(told, "; ") if told else None


def _and(because: Said, elsewhere: Said | None) -> Said:
    return because if elsewhere is None else joined((because, elsewhere), "; ")


def _nowhere(elsewhere: Said | None) -> _Verdict:
    """Return that a clause is met where it asks for nothing that this roof has a place for."""
    because = elsewhere or Said("it asks for nothing")
    return _Verdict(Met.MET, because, (), reserve=elsewhere)


def cut_and_barred(sheet: TermsSheet, line: Material) -> bool:
    """Return whether a line was cut from field shingles, which this maker does not let stand for the role."""
    return line.is_cut and line.role not in sheet.cut_from_shingles


def _counted_accessories(given: Given, condition: Condition) -> _Verdict:
    counted = condition.counted_accessories
    assert counted is not None
    own = [
        role for role in counted.of if any(_is_own(given, line) for line in _of_role(given, role))
    ]
    lines = [line for role in counted.of for line in _of_role(given, role) if _is_own(given, line)]
    references = (*_line_references(given, lines), *_ticket_references(given, lines))
    because = say(
        "{count} of {maker}’s own: {own}; {least} needed",
        count=len(own),
        maker=given.maker,
        own=Listed(tuple(own)) if own else "none",
        least=counted.at_least,
    )
    if len(own) >= counted.at_least:
        return _Verdict(Met.MET, because, references)
    unknown = [line.name for role in counted.of for line in _of_role(given, role) if not line.maker]
    absent = [role for role in counted.of if not _of_role(given, role)]
    if len(own) + len(unknown) >= counted.at_least:
        needs = say("the maker of {products}", products=Listed(tuple(map(Product, unknown))))
        return _Verdict(Met.CANNOT_TELL, because, references, needs)
    if len(own) + len(unknown) + len(absent) >= counted.at_least:
        needs = say("a material line for {roles}", roles=Listed(tuple(absent), "or"))
        return _Verdict(Met.CANNOT_TELL, because, references, needs)
    return _Verdict(Met.NOT_MET, because, references)


def _is_own(given: Given, line: Material) -> bool:
    return line.maker == given.maker and not cut_and_barred(given.asked.sheet, line)


def _certification(given: Given, condition: Condition) -> _Verdict:
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
        return _Verdict(Met.NOT_MET, because, reference)
    span = say("certified from {begins} to {ends}", begins=held.valid_from, ends=held.valid_to)
    if first is None or last is None:
        because = say("{span}; the work log is blank", span=span)
        return _Verdict(Met.CANNOT_TELL, because, reference, Said("the days of the work"))
    if held.valid_from <= first and last <= held.valid_to:
        return _Verdict(Met.MET, span, reference)
    text = "{span}; work ran from {first} to {last}"
    because = say(text, span=span, first=first, last=last)
    return _Verdict(Met.NOT_MET, because, reference)


def _full_tear_off(given: Given, condition: Condition) -> _Verdict:
    scope = given.case.job.job.scope
    reference = _record(given, "job.scope")
    if scope is None:
        return _Verdict(Met.CANNOT_TELL, _RECORD_SILENT, reference, Said("the scope of the job"))
    if scope is Scope.FULL_TEAR_OFF:
        photos = _photo_references(given, Phase.TEAR_OFF)
        return _Verdict(Met.MET, say("{scope}", scope=scope), (*reference, *photos))
    return _Verdict(Met.NOT_MET, say("the record says {scope}", scope=scope), reference)


def _deck(given: Given, condition: Condition) -> _Verdict:
    wanted = condition.deck
    assert wanted is not None
    decks = given.case.job.decks
    if not decks:
        none, needed = Said("no deck on record"), Said("the kind of deck")
        return _Verdict(Met.CANNOT_TELL, none, _record(given, "decks"), needed)
    needs = [say("the deck of slope {slope}", slope=label) for label in _without_deck(given)]
    for one in decks:
        kind = one.new_kind if _renewed(one) else one.kind
        if kind is None:
            needs.append(Said("the kind of deck that is there now"))
            continue
        if wanted.kinds and kind not in wanted.kinds:
            because = say("the deck is {kind}", kind=kind)
            return _Verdict(Met.NOT_MET, because, _record(given, "decks"))
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
                return _Verdict(Met.NOT_MET, because, _record(given, "decks"))
    if needs:
        lacking = say("{needs}", needs=Listed(tuple(needs)))
        return _Verdict(Met.CANNOT_TELL, Said("not on record"), _record(given, "decks"), lacking)
    kinds = [(one.new_kind if _renewed(one) else one.kind) for one in decks]
    named = Listed(tuple(dict.fromkeys(kind for kind in kinds if kind)))
    because = say("{kinds}; {reserve}", kinds=named, reserve=_NOT_JUDGED)
    references = (*_record(given, "decks"), *_photo_references(given, Phase.DECK))
    return _Verdict(Met.MET, because, references, reserve=_NOT_JUDGED)


def _without_deck(given: Given) -> list[str]:
    """Return the slopes below which no deck on record lies; a deck that names none lies below all."""
    named = [set(one.slopes) for one in given.case.job.decks]
    if not all(named):
        return []
    return [slope.label for slope in given.slopes if all(slope.label not in some for some in named)]


def _deck_by_slope(given: Given) -> BySlope:
    """Return how far the kind of deck is backed on each slope: a photo of one deck says nothing of another."""
    photos = good_photos(given.case, given.facts, Phase.DECK)
    labels = [slope.label for slope in given.slopes]
    found = by_slope(given.facts, labels, photos, Backing.STATED)
    return found if len(found) > 1 else ()


def _renewed(one: Deck) -> bool:
    return one.redecked in (Redecked.WHOLE, Redecked.OVERLAID)


def _ventilation(given: Given, condition: Condition) -> _Verdict:
    reference = _record(given, "building.attics")
    if not given.attics:
        reason = given.case.reason_not("building.attics")
        if reason:
            return _Verdict(Met.MET, say("no attic to vent: {reason}", reason=reason), reference)
        needed = Said("the attic and its vents")
        return _Verdict(Met.CANNOT_TELL, Said("no attic on record"), reference, needed)
    bad = [check for check in given.attics if check.verdict in ("short", "unbalanced")]
    if bad:
        faults = [say("attic {name} is {fault}", name=c.name, fault=c.verdict) for c in bad]
        return _Verdict(Met.NOT_MET, joined(faults, "; "), reference)
    unknown = [check for check in given.attics if check.verdict == "cannot tell"]
    if unknown:
        needs = [
            say("for attic {name}: {needs}", name=c.name, needs=Listed(c.needs)) for c in unknown
        ]
        because = Said("the vents cannot be counted")
        return _Verdict(Met.CANNOT_TELL, because, reference, joined(needs, "; "))
    return _Verdict(Met.MET, Said("every attic space passes"), reference)


def _nails(given: Given, condition: Condition) -> _Verdict:
    wanted = condition.nails_per_shingle or 0
    installation = given.case.job.installation
    nails = installation.nails_per_shingle if installation else None
    reference = _record(given, "installation.nails_per_shingle")
    if nails is None:
        return _Verdict(Met.CANNOT_TELL, _RECORD_SILENT, reference, Said("nails in each shingle"))
    met = Met.MET if nails >= wanted else Met.NOT_MET
    because = say("{nails} nails in each shingle, {wanted} needed", nails=nails, wanted=wanted)
    return _Verdict(met, because, (*reference, *_photo_references(given, Phase.FIELD, "nail")))


def _starter(given: Given, condition: Condition) -> _Verdict:
    installation = given.case.job.installation
    laid = installation.starter_at if installation else ()
    reference = _record(given, "installation.starter_at")
    if not laid:
        return _Verdict(Met.CANNOT_TELL, _RECORD_SILENT, reference, Said("the edges with starter"))
    no_rakes = _has_no_rakes(given)
    asked = [e for e in condition.starter_at if not (e is EdgeKind.RAKES and no_rakes)]
    lacking = tuple(edge for edge in asked if edge not in laid)
    if lacking:
        return _Verdict(Met.NOT_MET, say("no starter at {edges}", edges=Listed(lacking)), reference)
    text = "starter at {edges}"
    if no_rakes and EdgeKind.RAKES in condition.starter_at:
        text = "starter at {edges}; this roof has no rakes"
    references = (*reference, *_photo_references(given, Phase.STARTER))
    return _Verdict(Met.MET, say(text, edges=Listed(laid)), references)


def _has_no_rakes(given: Given) -> bool:
    """Return whether this roof has no rakes: by its measures, and a blank counts only beside a hip.

    A gable whose rakes nobody typed has rakes all the same.
    """
    if not given.slopes or any(slope.rake_ft for slope in given.slopes):
        return False
    slopes = given.case.job.slopes
    return any(slope.hip_ft for slope in slopes) or all(slope.rake_ft == 0 for slope in slopes)


def _lots(given: Given, condition: Condition) -> _Verdict:
    needs: list[Said] = []
    found = [line for role in condition.lots_of for line in _of_role(given, role)]
    references = (*_line_references(given, found), *_ticket_references(given, found))
    asked, elsewhere = _with_place(given, condition, condition.lots_of)
    if not asked:
        return _nowhere(elsewhere)
    for role in asked:
        lines = _of_role(given, role)
        if not lines:
            needs.append(_line_for(role))
        for line in lines:
            # What a clause asks for is asked for, whatever the catalogue says of the wrapper.
            if not line.line.lots:
                needs.append(say("the lots of {product}", product=Product(line.name)))
    part = lots_in_part(found)
    if needs:
        return _not_on_record(needs, references)
    because = _and(part or _LOTS_SEEN, elsewhere)
    return _Verdict(Met.MET, because, references, reserve=because if part or elsewhere else None)


def lots_in_part(lines: Sequence[Material]) -> Said | None:
    """Return of which lines only some units have a lot on record, and how many; None where of none.

    A line whose lots nobody counted is passed over. No fault of the job: wrappers go with the first skip.
    """
    parts: list[Said] = []
    for line in lines:
        counted = line.line.lots and all(lot.quantity is not None for lot in line.line.lots)
        if counted and line.line.quantity is not None and line.lot_quantity < line.line.quantity:
            parts.append(
                say(
                    "lots of {product} are on record for {seen} of {all}",
                    product=Product(line.name),
                    seen=Number(line.lot_quantity),
                    all=Number(line.line.quantity, line.line.unit or ""),
                )
            )
    return joined(parts, "; ") if parts else None


def _line_references(given: Given, lines: Sequence[Material]) -> tuple[Reference, ...]:
    """Return where these material lines stand on record."""
    wheres = [given.case.where(line.path) for line in lines]
    return tuple(Reference(RECORD, str(where), where) for where in wheres)


def _photo_references(given: Given, phase: Phase, word: str = "") -> tuple[Reference, ...]:
    """Return the photos of a phase that open, those whose name holds the word where one is given."""
    return tuple(
        photo_reference(given.case, photo)
        for photo in good_photos(given.case, given.facts, phase)
        if word in photo.file.lower()
    )


def _paper_references(given: Given, kind: PaperKind) -> tuple[Reference, ...]:
    """Return the papers of a kind that open."""
    return tuple(
        paper_reference(given.case, paper) for paper in good_papers(given.case, given.facts, kind)
    )


def _ticket_references(given: Given, lines: Sequence[Material]) -> tuple[Reference, ...]:
    """Return the tickets on file by which these lines came."""
    numbers = {line.delivery.ticket for line in lines if line.delivery.ticket}
    tickets = _paper_references(given, PaperKind.TICKET)
    return tuple(
        ref for ref in tickets if any(names_ticket(ref.text, number) for number in numbers)
    )


def _photos(given: Given, condition: Condition) -> _Verdict:
    missing: list[Value] = []
    references: list[Reference] = []
    asked, elsewhere = _with_place(given, condition, condition.photos_of)
    if not asked:
        return _nowhere(elsewhere)
    for phase in asked:
        for slope in _slopes_asked(given, phase):
            found = good_photos(given.case, given.facts, phase, slope)
            if not found:
                on = say("{phase} on {slope}", phase=phase, slope=slope) if slope else phase
                missing.append(on)
            references += [photo_reference(given.case, photo) for photo in found[:1]]
    if missing:
        because = say("no photo on file of {missing}", missing=Listed(tuple(missing)))
        return _Verdict(Met.NOT_MET, because, tuple(references))
    because = Said("no slope where it could be seen")
    if references:
        because = say("{photos} on file", photos=Count(len(references), "photo"))
    whole = _and(because, elsewhere)
    return _Verdict(Met.MET, whole, tuple(references), reserve=whole if elsewhere else None)


def _slopes_asked(given: Given, phase: Phase) -> list[str | None]:
    if phase not in PHASES_PER_SLOPE:
        return [None]
    asked = slopes_to_show(given.case, given.slopes, phase)
    # Barrier that was laid where nobody asks for it is shown by one photo; what no photo can show by none.
    nothing_to_show = given.slopes and phase is not Phase.ICE_BARRIER
    return list(asked) or ([] if nothing_to_show else [None])


def slopes_to_show(case: Case, slopes: tuple[SlopeResult, ...], phase: Phase) -> tuple[str, ...]:
    """Return the slopes of which a photo of this phase is asked for.

    Ice barrier only where there is an eave or a valley; deck only where no old membrane hid it;
    underlayment only where ice barrier does not cover the slope whole. Of a recover only the field.
    """
    found: list[str] = []
    if case.is_recover and phase is not Phase.FIELD:
        return ()
    for slope, result in zip(case.job.slopes, slopes, strict=True):
        if phase is Phase.DECK and slope.old_membrane_left:
            continue
        if phase is Phase.ICE_BARRIER and not (result.eave_ft or slope.valley_ft):
            continue
        # Of a barrier that the record says was never laid there is nothing to photograph: its reach is asked for.
        unasked = result.reach is not None and result.reach.status == "not required"
        if phase is Phase.ICE_BARRIER and (
            why_no_place(case, phase) or result.barrier.reach_in == 0 or unasked
        ):
            continue
        if phase is not Phase.DECK and is_membrane(case, slope):
            continue
        if phase is Phase.UNDERLAYMENT and slope.ice_barrier_whole:
            continue
        found.append(slope.label)
    return tuple(found)


def _papers(given: Given, condition: Condition) -> _Verdict:
    missing: list[PaperKind] = []
    references: list[Reference] = []
    for kind in condition.papers:
        found = good_papers(given.case, given.facts, kind)
        if not found:
            missing.append(kind)
        references += [paper_reference(given.case, paper) for paper in found[:1]]
    if missing:
        because = say("not on file: {papers}", papers=Listed(tuple(missing)))
        return _Verdict(Met.NOT_MET, because, tuple(references))
    return _Verdict(Met.MET, Said("on file"), tuple(references))


def _permit_closed(given: Given, condition: Condition) -> _Verdict:
    permit = given.case.job.permit
    reference = _record(given, "permit.closed_on")
    if not given.case.locality.permit_needed:
        because = say("{locality} asks for no permit", locality=given.case.locality.name)
        return _Verdict(Met.MET, because, reference)
    if permit is None or permit.closed_on is None:
        return _Verdict(Met.NOT_MET, Said("no closing day on record"), reference)
    cards = _paper_references(given, PaperKind.INSPECTION_CARD)
    return _Verdict(Met.MET, say("closed on {day}", day=permit.closed_on), (*reference, *cards))


def _owner_signature(given: Given, condition: Condition) -> _Verdict:
    path = f"{given.asked.path}.owner_signed_on"
    signed = given.asked.warranty.owner_signed_on
    if signed is None:
        return _Verdict(Met.NOT_MET, _NOT_SIGNED, _record(given, path))
    return _Verdict(Met.MET, say("signed on {day}", day=signed), _record(given, path))


def _completion_signed(given: Given, condition: Condition) -> _Verdict:
    signed = given.case.job.job.completion_signed_on
    reference = _record(given, "job.completion_signed_on")
    if signed is None:
        return _Verdict(Met.NOT_MET, _NOT_SIGNED, reference)
    papers = _paper_references(given, PaperKind.COMPLETION)
    return _Verdict(Met.MET, say("signed on {day}", day=signed), (*reference, *papers))


def _fee(given: Given, condition: Condition) -> _Verdict:
    path = f"{given.asked.path}.fee_paid_on"
    paid = given.asked.warranty.fee_paid_on
    if paid is None:
        return _Verdict(Met.NOT_MET, Said("no payment of the fee on record"), _record(given, path))
    return _Verdict(Met.MET, say("paid on {day}", day=paid), _record(given, path))


def _paid_in_full(given: Given, condition: Condition) -> _Verdict:
    reference = _record(given, "money.payments")
    if given.case.job.money is None:
        needed = Said("invoices and payments")
        return _Verdict(Met.CANNOT_TELL, Said("no money on record"), reference, needed)
    paid = paid_in_full_on(given.case)
    blank = blank_in_payments(given.case.job.money)
    if paid is None and blank:
        return _Verdict(Met.CANNOT_TELL, _RECORD_SILENT, reference, Said(blank))
    if paid is None:
        because = Said("the payments on record do not reach the invoice")
        return _Verdict(Met.NOT_MET, because, reference)
    return _Verdict(Met.MET, say("paid in full on {day}", day=paid), reference)


_TESTS: dict[str, Callable[[Given, Condition], _Verdict]] = {
    "same_maker": _same_maker,
    "counted_accessories": _counted_accessories,
    "certification": _certification,
    "full_tear_off": _full_tear_off,
    "deck": _deck,
    "ventilation": _ventilation,
    "nails_per_shingle": _nails,
    "starter_at": _starter,
    "lots_of": _lots,
    "photos_of": _photos,
    "papers": _papers,
    "permit_closed": _permit_closed,
    "owner_signature": _owner_signature,
    "completion_signed": _completion_signed,
    "fee": _fee,
    "paid_in_full": _paid_in_full,
}
