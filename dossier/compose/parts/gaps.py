"""What does not fit, and what is not on file: for a reader outside the office.

In: a case filtered for its reader, facts, assessment, punch list. Out: plain sentences. Must not
accuse anybody, and must not print what the filter withheld: an item's sentence is taken over only from
the rules that say so, whose sentences hold nothing but fields that every reader may see, and loses the names
that the record lost for this reader.
"""

import re
from collections.abc import Iterable

from dossier.assess.conditions import lots_in_part
from dossier.assess.results import Assessment, Statement
from dossier.case.case import Case
from dossier.compose.parts.next_steps import registration_gaps, registration_losses
from dossier.compose.parts.photo_days import told_misfits
from dossier.compose.parts.photographs import photo_gaps
from dossier.compose.parts.products import need_words
from dossier.compose.parts.shared import plain_item, sentence, withheld_files
from dossier.evidence.facts import Facts
from dossier.punchlist import Item, PunchList, Verdict, Weight
from dossier.values import listed, plural, write_number, write_runs
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
    sentences += registration_losses(assessment)
    sentences += _supply(assessment)
    sentences += told_misfits(case, facts)
    return _one_for_all_slopes(case, sentences)


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
    sentences += registration_gaps(assessment)
    sentences += lot_gaps(case)
    stated = sum(
        1 for one in assessment.statements if one.backing is Backing.STATED and not one.by_slope
    )
    if stated:
        count = plural(stated, "statement rests", "statements rest")
        behind = "it" if stated == 1 else "them"
        sentences.append(f"{count} on the record alone, with no photo or paper behind {behind}.")
    sentences += photo_gaps(case, facts)
    return _one_for_all_slopes(case, sentences)


def _told(case: Case, facts: Facts, item: Item) -> str:
    """Return an item's sentence without what this reader may not see: files and names."""
    said = plain_item(item, withheld_files(case, facts.papers))
    return case.kept_from_reader.out_of(said, prose=True)


def _one_for_all_slopes(case: Case, sentences: Iterable[str]) -> tuple[str, ...]:
    """Return the sentences, each once; those alike but for the slope as one that names the slopes."""
    labels = sorted((slope.label for slope in case.job.slopes), key=len, reverse=True)
    some = "|".join(re.escape(label) for label in labels)
    # A sentence on the one chimney or eave of a slope keeps its own place: it counts things, not slopes.
    about = re.compile(rf"^(?!The |An )(.*)\bslope ({some})(?![\w-])(.*)$", re.DOTALL)
    told: dict[tuple[str, str], list[str]] = {}
    for text in sentences:
        found = about.match(text) if labels else None
        key = (found[1], found[3]) if found else (text, "")
        named = told.setdefault(key, [])
        if found and found[2] not in named:
            named.append(found[2])
    return tuple(
        f"{before}{'slope' if len(named) == 1 else 'slopes'} {listed(named)}{after}"
        if named
        else before
        for (before, after), named in told.items()
    )


def _concerns_the_owner(item: Item) -> bool:
    """Return whether an owner's copy tells an item.

    What concerns registration, another maker's accessory and the days of photos is told in words of this room's
    own, since the items' sentences name clauses and files for the office.
    """
    return item.manner.tells_owner and item.weight is not Weight.NOTE


def _supply(assessment: Assessment) -> list[str]:
    return [
        f"The deliveries on record hold {write_number(result.take_off.supplied)} {result.need.unit} of "
        f"{result.role.value}; the measured roof takes {need_words(result)}. "
        "The record does not say where the rest came from."
        for result in assessment.roles
        if result.take_off.verdict == "short" and result.take_off.supplied is not None
    ]


def statement_text(case: Case, statement: Statement) -> str:
    """Return a statement's words; the day of an invoice only where the reader may see the money."""
    if statement.id == "invoice" and case.job.money is None:
        return "Final invoice"
    return statement.text


def absent_sentence(case: Case, statement: Statement) -> str:
    """Return a sentence on a statement that the record leaves blank; a photo that lies there is told beside it."""
    if not statement.id.startswith("deck."):
        return f"{statement_text(case, statement)}: not on record."
    slope = statement.id.removeprefix("deck.")
    if membrane_left(case, statement):
        return f"The deck of slope {slope} was not seen: the old membrane was left on it."
    found = [
        case.photo_numbers[ref.text]
        for ref in statement.references
        if ref.kind == "photo" and ref.text in case.photo_numbers
    ]
    blank = f"Nobody on record saw the deck of slope {slope} before it was covered"
    if not found:
        return f"{blank}."
    photos, are = ("photo", "is") if len(set(found)) == 1 else ("photos", "are")
    return f"{blank}; {photos} {write_runs(found)} {are} on file."


def membrane_left(case: Case, statement: Statement) -> bool:
    """Return whether the record says that old membrane stayed on the deck that a statement speaks of."""
    slope = case.slope(statement.id.removeprefix("deck."))
    return bool(slope and slope.old_membrane_left)


def lot_gaps(case: Case) -> list[str]:
    """Return a sentence on every product without a lot, and on those of which some units have none."""
    found = []
    for material in case.materials:
        text = lots_in_part((material,))
        if text:
            found.append(sentence(text))
            continue
        excused = case.reason_not(f"{material.path}.lots")
        if material.carries_lot and not material.line.lots and not excused:
            # In the words of the rule on lots, so that a document has one of the two.
            found.append(f"{material.name} has no lot on record.")
    return found
