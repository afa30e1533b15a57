"""Conditions of proof: lots, photos, papers, permit, signatures, fee and payment.

In: what a condition is judged from. Out: a `Verdict` each. Must not know what is asked of the roof itself.
"""

from collections.abc import Sequence

from dossier.assess.backing import (
    good_papers,
    good_photos,
    paper_reference,
    photo_reference,
)
from dossier.assess.calendar import blank_in_payments, paid_in_full_on
from dossier.assess.given import (
    NOT_SIGNED,
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
    paper_references,
    ticket_references,
    with_place,
)
from dossier.assess.has_place import is_membrane, why_no_place
from dossier.assess.results import (
    PHASES_PER_SLOPE,
    Met,
    Reference,
    SlopeResult,
)
from dossier.case.case import Case, Material
from dossier.said import Count, Listed, Number, Product, Said, Value, joined, say
from dossier.terms.conditions import Condition
from dossier.values import unit_for
from dossier.words import PaperKind, Phase, Scope

_LOTS_SEEN = Said("lots on record")
"""Said where nothing speaks against it: every counted lot adds up to its line, or nobody counted."""


def lots(given: Given, condition: Condition) -> Verdict:
    needs: list[Said] = []
    found = [line for role in condition.lots_of for line in of_role(given, role)]
    references = (*line_references(given, found), *ticket_references(given, found))
    asked, elsewhere = with_place(given, condition, condition.lots_of)
    if not asked:
        return nowhere(elsewhere)
    for role in asked:
        lines = of_role(given, role)
        if not lines:
            needs.append(line_for(role))
        for line in lines:
            # What a clause asks for is asked for, whatever the catalogue says of the wrapper.
            if not line.line.lots:
                needs.append(say("the lots of {product}", product=Product(line.name)))
    part = lots_in_part(found)
    if needs:
        return not_on_record(needs, references)
    because = and_elsewhere(part or _LOTS_SEEN, elsewhere)
    return Verdict(
        Met.MET,
        because,
        references,
        reserve=because if part or elsewhere else None,
        in_part=part is not None,
    )


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
                    all=Number(line.line.quantity, unit_for(line.line.quantity, line.line.unit)),
                )
            )
    return joined(parts, "; ") if parts else None


def photos(given: Given, condition: Condition) -> Verdict:
    missing: list[Value] = []
    references: list[Reference] = []
    asked, elsewhere = with_place(given, condition, condition.photos_of)
    if not asked:
        return nowhere(elsewhere)
    for phase in asked:
        for slope in _slopes_asked(given, phase):
            found = good_photos(given.case, given.facts, phase, slope)
            if not found:
                on = say("{phase} on {slope}", phase=phase, slope=slope) if slope else phase
                missing.append(on)
            references += [photo_reference(given.case, photo) for photo in found[:1]]
    if missing:
        because = say("no photo on file of {missing}", missing=Listed(tuple(missing)))
        return Verdict(Met.NOT_MET, because, tuple(references))
    because = Said("no slope where it could be seen")
    if references:
        because = say("{photos} on file", photos=Count(len(references), "photo"))
    whole = and_elsewhere(because, elsewhere)
    return Verdict(Met.MET, whole, tuple(references), reserve=whole if elsewhere else None)


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


def torn_off(slopes: tuple[SlopeResult, ...], scope: Scope | None) -> tuple[str, ...]:
    """Return the slopes that a tear-off was of; of a part of the roof nobody can tell which."""
    return tuple(one.label for one in slopes) if scope is Scope.FULL_TEAR_OFF else ()


def with_eave(slopes: tuple[SlopeResult, ...]) -> tuple[str, ...]:
    """Return the slopes at whose edges starter lies; those whose eave nobody measured among them."""
    return tuple(one.label for one in slopes if one.eave_ft != 0)


def papers(given: Given, condition: Condition) -> Verdict:
    missing: list[PaperKind] = []
    references: list[Reference] = []
    for kind in condition.papers:
        found = good_papers(given.case, given.facts, kind)
        if not found:
            missing.append(kind)
        references += [paper_reference(given.case, paper) for paper in found[:1]]
    if missing:
        because = say("not on file: {papers}", papers=Listed(tuple(missing)))
        return Verdict(Met.NOT_MET, because, tuple(references))
    return Verdict(Met.MET, Said("on file"), tuple(references))


def permit_closed(given: Given, condition: Condition) -> Verdict:
    permit = given.case.job.permit
    reference = of_record(given, "permit.closed_on")
    if not given.case.locality.permit_needed:
        because = say("{locality} asks for no permit", locality=given.case.locality.name)
        return Verdict(Met.MET, because, reference)
    if permit is None or permit.closed_on is None:
        return Verdict(Met.NOT_MET, Said("no closing day on record"), reference)
    cards = paper_references(given, PaperKind.INSPECTION_CARD)
    return Verdict(Met.MET, say("closed on {day}", day=permit.closed_on), (*reference, *cards))


def owner_signature(given: Given, condition: Condition) -> Verdict:
    path = f"{given.asked.path}.owner_signed_on"
    signed = given.asked.warranty.owner_signed_on
    if signed is None:
        return Verdict(Met.NOT_MET, NOT_SIGNED, of_record(given, path))
    return Verdict(Met.MET, say("signed on {day}", day=signed), of_record(given, path))


def completion_signed(given: Given, condition: Condition) -> Verdict:
    signed = given.case.job.job.completion_signed_on
    reference = of_record(given, "job.completion_signed_on")
    if signed is None:
        return Verdict(Met.NOT_MET, NOT_SIGNED, reference)
    papers = paper_references(given, PaperKind.COMPLETION)
    return Verdict(Met.MET, say("signed on {day}", day=signed), (*reference, *papers))


def fee(given: Given, condition: Condition) -> Verdict:
    path = f"{given.asked.path}.fee_paid_on"
    paid = given.asked.warranty.fee_paid_on
    if paid is None:
        return Verdict(Met.NOT_MET, Said("no payment of the fee on record"), of_record(given, path))
    return Verdict(Met.MET, say("paid on {day}", day=paid), of_record(given, path))


def paid_in_full(given: Given, condition: Condition) -> Verdict:
    reference = of_record(given, "money.payments")
    if given.case.job.money is None:
        needed = Said("invoices and payments")
        return Verdict(Met.CANNOT_TELL, Said("no money on record"), reference, needed)
    paid = paid_in_full_on(given.case)
    blank = blank_in_payments(given.case.job.money)
    if paid is None and blank:
        return Verdict(Met.CANNOT_TELL, RECORD_SILENT, reference, Said(blank))
    if paid is None:
        because = Said("the payments on record do not reach the invoice")
        return Verdict(Met.NOT_MET, because, reference)
    return Verdict(Met.MET, say("paid in full on {day}", day=paid), reference)
