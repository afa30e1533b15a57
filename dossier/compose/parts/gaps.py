"""What does not fit, and what is not on file: for a reader outside the office.

In: a case filtered for its reader, facts, assessment, punch list. Out: plain sentences. Must not
accuse anybody, and must not print what the filter withheld: an item's sentence is taken over only from
the rules that say so, whose sentences hold nothing but fields that every reader may see, and loses the names
that the record lost for this reader.
"""

from dossier.assess.proofs import lots_in_part
from dossier.assess.results import Assessment, Statement
from dossier.case.case import Case
from dossier.case.private import without
from dossier.compose.parts.next_steps import registration_gaps, registration_losses
from dossier.compose.parts.photo_days import told_misfits
from dossier.compose.parts.photographs import photo_gaps
from dossier.compose.parts.products import need_words
from dossier.compose.parts.shared import plain_item, withheld_files
from dossier.evidence.facts import Facts
from dossier.punchlist import Item, PunchList, Verdict, Weight
from dossier.said import Count, Number, Product, Runs, Said, Slopes, as_said, over_slopes, say
from dossier.words import Backing


def not_fitting(
    case: Case, facts: Facts, assessment: Assessment, punch_list: PunchList
) -> tuple[str, ...]:
    """Return plain sentences on what is on record and falls short or does not agree, each once."""
    sentences = [
        _told(case, facts, item)
        for item in punch_list
        if _concerns_the_owner(item) and item.verdict is Verdict.WRONG
    ]
    sentences += map(as_said, registration_losses(assessment))
    sentences += _supply(assessment)
    sentences += map(as_said, told_misfits(case, facts))
    return tuple(map(str, over_slopes(sentences)))


def not_on_file(
    case: Case, facts: Facts, assessment: Assessment, punch_list: PunchList
) -> tuple[str, ...]:
    """Return plain sentences on what this record does not hold, each once."""
    absent = {one.id for one in assessment.statements if one.backing is Backing.ABSENT}
    sentences = [
        absent_sentence(case, statement)
        for statement in assessment.statements
        if statement.backing is Backing.ABSENT
    ]
    sentences += [
        _told(case, facts, item)
        for item in punch_list
        if _concerns_the_owner(item)
        and item.verdict is not Verdict.WRONG
        and item.manner.said_by not in absent
    ]
    sentences += [*map(as_said, registration_gaps(assessment)), *lot_gaps(case)]
    stated = sum(
        1 for one in assessment.statements if one.backing is Backing.STATED and not one.by_slope
    )
    if stated:
        text = (
            "{count} {count:rests|rest} on the record alone, with no photo or paper behind "
            "{count:it|them}."
        )
        sentences.append(say(text, count=Count(stated, "statement")))
    sentences += map(as_said, photo_gaps(case, facts))
    return tuple(map(str, over_slopes(sentences)))


def _told(case: Case, facts: Facts, item: Item) -> Said:
    """Return an item's sentence without what this reader may not see: files and names."""
    said = plain_item(item, withheld_files(case, facts.papers))
    return without(said, case.kept_from_reader, prose=True)


def _concerns_the_owner(item: Item) -> bool:
    """Return whether an owner's copy tells an item.

    What concerns registration, another maker's accessory and the days of photos is told in words of this room's
    own, since the items' sentences name clauses and files for the office.
    """
    return item.manner.tells_owner and item.weight is not Weight.NOTE


def _supply(assessment: Assessment) -> list[Said]:
    return [
        say(
            "The deliveries on record hold {supplied} of {role}; the measured roof takes {needed}. The record "
            "does not say where the rest came from.",
            supplied=Number(result.take_off.supplied, result.need.unit),
            role=result.role,
            needed=need_words(result),
        )
        for result in assessment.roles
        if result.take_off.verdict == "short" and result.take_off.supplied is not None
    ]


def statement_text(case: Case, statement: Statement) -> Said:
    """Return a statement's words; the day of an invoice only where the reader may see the money."""
    if statement.id == "invoice" and case.job.money is None:
        return say("Final invoice")
    return statement.text


def absent_sentence(case: Case, statement: Statement) -> Said:
    """Return a sentence on a statement that the record leaves blank; a photo that lies there is told beside it."""
    if statement.slope is None:
        return say("{statement}: not on record.", statement=statement_text(case, statement))
    slopes = Slopes((statement.slope,))
    if membrane_left(case, statement):
        text = "The deck of slope {slope} was not seen: the old membrane was left on it."
        return say(text, slope=statement.slope)
    found = [
        case.photo_numbers[ref.text]
        for ref in statement.references
        if ref.kind == "photo" and ref.text in case.photo_numbers
    ]
    if not found:
        return say(
            "Nobody on record saw the deck of {slopes} before it was covered.", slopes=slopes
        )
    return say(
        "Nobody on record saw the deck of {slopes} before it was covered; {photos:photo|photos} {photos} "
        "{photos:is|are} on file.",
        slopes=slopes,
        photos=Runs(tuple(found)),
    )


def membrane_left(case: Case, statement: Statement) -> bool:
    """Return whether the record says that old membrane stayed on the deck that a statement speaks of."""
    slope = case.slope(statement.slope) if statement.slope is not None else None
    return bool(slope and slope.old_membrane_left)


def lot_gaps(case: Case) -> list[Said]:
    """Return a sentence on every product without a lot, and on those of which some units have none."""
    found = []
    for material in case.materials:
        text = lots_in_part((material,))
        if text:
            found.append(say("{lots!c}.", lots=text))
            continue
        excused = case.reason_not(f"{material.path}.lots")
        if material.carries_lot and not material.line.lots and not excused:
            # In the words of the rule on lots, so that a document has one of the two.
            found.append(say("{product} has no lot on record.", product=Product(material.name)))
    return found
