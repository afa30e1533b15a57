"""A level's conditions as a maker's clerk reads them: result, backing, proof.

In: a case filtered for the maker, facts, results of conditions. Out: rows of ready-to-print strings. Must
not judge a condition, and must not count a photo that the document does not print.
"""

from dataclasses import dataclass

from dossier.assess.backing import paper_backing, photo_backing
from dossier.assess.results import PHASES_PER_SLOPE, Assessment, ConditionResult, Met, Reference
from dossier.case.case import Case
from dossier.compose.parts.photographs import Album, phases_of
from dossier.compose.parts.places import (
    FILES_NAMED,
    IN_PART,
    backing_word,
    references_text,
    slopes_words,
)
from dossier.compose.parts.shared import sentence
from dossier.evidence.facts import Facts
from dossier.said import Count, Said, say
from dossier.values import listed, plural, write_runs
from dossier.words import Backing, Phase

_BACKING_ORDER = list(Backing)

_WORDS = [
    Backing.REVIEWED.value,
    Backing.ON_FILE.value,
    IN_PART,
    Backing.STATED.value,
    Backing.ABSENT.value,
]
"""The words of a condition's backing, strongest first."""

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

MET_IN_PART = "met in part"
"""Of a condition that is met as far as it was judged, or for a part of what it asks for."""

_EACH_MUST_SHOW = ("photos_of", "papers")
"""Tests that ask for every one of their files, so that the weakest of them decides the backing."""


@dataclass(frozen=True)
class ConditionRow:
    """One condition, or a member of a group. depth: “0” for a condition, “1” and more for members.

    reserve: what its result leaves open, for where the row stands without `because`; empty for nothing.
    """

    clause: str
    says: str
    met: str
    backing: str
    because: str
    reserve: str
    proof: str
    depth: str
    said: Said


def condition_rows(
    case: Case, facts: Facts, conditions: tuple[ConditionResult, ...]
) -> tuple[ConditionRow, ...]:
    """Return a row for every condition and every member of a group, in printed order."""
    return tuple(row for one in conditions for row in _rows(case, facts, one, 0))


def _rows(case: Case, facts: Facts, result: ConditionResult, depth: int) -> list[ConditionRow]:
    condition = result.condition
    because = result.because
    if condition.paid_in_full and case.job.money is None and result.met is Met.MET:
        # The day of payment is not for this reader; that it was paid is what the terms ask.
        because = Said("paid in full by the office's books")
    if condition.photos_of and result.met is Met.MET:
        # The condition looks at one photo a slope; the document prints all, and numbers must agree.
        printed = sum(len(_printed(case, facts, phase)) for phase in condition.photos_of)
        because = say("{photos} on file", photos=Count(printed, "photo"))
    if result.needs and result.met is Met.CANNOT_TELL:
        because = say("{because}; needed: {needs}", because=because, needs=result.needs)
    rows = [
        ConditionRow(
            clause=condition.clause or "not named",
            says=sentence(condition.words),
            met=MET_IN_PART if result.in_part else result.met.value,
            backing=word_of(case, facts, result),
            because=sentence(str(because)),
            reserve=sentence(str(result.reserve)) if result.reserve else "",
            proof=_proof(case, facts, result),
            depth=str(depth),
            said=because,
        )
    ]
    for part in result.parts:
        rows += _rows(case, facts, part, depth + 1)
    return rows


def _printed(case: Case, facts: Facts, phase: Phase) -> list[int]:
    """Return the numbers of a phase's photos that the document prints."""
    album = Album(case, facts)
    return [
        case.photo_numbers[photo.file]
        for photo in case.photos
        if photo.phase is phase and album.opens(photo.file)
    ]


def _proof(case: Case, facts: Facts, result: ConditionResult) -> str:
    if result.parts:
        return "see its parts below"
    photos = tuple(ref for ref in result.references if ref.kind == "photo")
    others = tuple(ref for ref in result.references if ref.kind != "photo")
    # With photos or papers there to see, the record's own word adds nothing.
    rest = tuple(ref for ref in others if ref.kind != "record") if len(others) > 1 else others
    parts = [references_text(case, rest if photos else others)]
    numbers = [case.photo_numbers[ref.text] for ref in photos if ref.text in case.photo_numbers]
    if result.condition.photos_of:
        shown = [
            f"{phase.value} {write_runs(numbers)}"
            for phase in result.condition.photos_of
            if (numbers := _printed(case, facts, phase))
        ]
        parts.append(f"photos printed below: {'; '.join(shown)}" if shown else "")
    elif len(set(numbers)) > FILES_NAMED:
        parts.append(f"photos {write_runs(numbers)}, printed below")
    elif numbers:
        parts.append(f"{references_text(case, photos)}, printed below")
    elif photos:
        # A photo whose name gives away an owner is kept from this reader; that there is one is still told.
        count = len({ref.text for ref in photos})
        parts.append(f"{plural(count, 'photo')}, not shown in this document")
    parts.append(slopes_words(result.by_slope))
    return "; ".join(part for part in parts if part) or "nothing on file"


def word_of(case: Case, facts: Facts, result: ConditionResult) -> str:
    """Return the word and mark of a condition's backing; of a group that of its weakest member."""
    if result.met is Met.CANNOT_TELL or not result.references:
        return Backing.ABSENT.value
    blank = result.met is Met.NOT_MET and result.condition.test in _NOT_MET_BY_A_BLANK
    if result.parts and not blank:
        words = [word_of(case, facts, part) for part in result.parts]
        return max(words, key=_WORDS.index)
    if blank and result.condition.test in _EACH_MUST_SHOW:
        # Some of what is asked for lies there: not enough, and not nothing.
        found = {_of_file(case, facts, reference) for reference in result.references}
        return IN_PART if found - {None, Backing.ABSENT} else Backing.ABSENT.value
    return backing_word(_backing_of(case, facts, result), result.by_slope)


def _backing_of(case: Case, facts: Facts, result: ConditionResult) -> Backing:
    """Return how far a condition is backed by what it refers to; stated where only the record speaks.

    Where every file is asked for, the weakest decides; else the strongest, as for every statement.
    """
    if result.met is Met.NOT_MET and result.condition.test in _NOT_MET_BY_A_BLANK:
        return Backing.ABSENT
    if result.by_slope:
        return result.by_slope[-1][0]
    found = [
        backing
        for reference in result.references
        if (backing := _of_file(case, facts, reference)) is not None
    ]
    if not found:
        return Backing.STATED
    weakest = result.condition.test in _EACH_MUST_SHOW
    pick = max if weakest else min
    best = pick(found, key=_BACKING_ORDER.index)
    return Backing.STATED if best is Backing.ABSENT and not weakest else best


def _of_file(case: Case, facts: Facts, reference: Reference) -> Backing | None:
    """Return how far one photo or paper backs it; None for a place of the record.

    A paper that this reader is not sent backs it all the same: that it is kept at the office is said.
    """
    if reference.kind == "photo":
        photo = next((one for one in case.photos if one.file == reference.text), None)
        return photo_backing(photo, facts) if photo else Backing.ABSENT
    if reference.kind == "paper":
        paper = next((one for one in case.papers if one.file == reference.text), None)
        if paper is not None:
            return paper_backing(paper, facts)
        fact = facts.papers.get(reference.text)
        opens = fact is not None and fact.exists and fact.fault is None
        return Backing.ON_FILE if opens else Backing.ABSENT
    return None


def resting_on_the_record(rows: tuple[ConditionRow, ...]) -> str:
    """Return how many conditions the record alone backs, with their clauses; empty where none.

    rows: as printed, so that the sentence agrees with the marks. A group is not counted with its members.
    """
    stated = [
        row.clause
        for row in rows
        if row.backing == Backing.STATED.value and row.proof != "see its parts below"
    ]
    if not stated:
        return ""
    count = plural(len(stated), "condition rests", "conditions rest")
    clauses = "clause" if len(stated) == 1 else "clauses"
    return (
        f"{count} on the record alone, with no photo or paper behind it: {clauses} {listed(stated)}."
        if len(stated) == 1
        else f"{count} on the record alone, with no photo or paper behind them: {clauses} {listed(stated)}."
    )


def asked_phases(assessment: Assessment, case: Case) -> tuple[Phase, ...]:
    """Return the phases whose photos the terms ask for, and those that any condition rests on."""
    leaves = [
        leaf
        for result in assessment.asked
        for condition in result.level.conditions
        for leaf in condition.leaves
    ]
    asked = [phase for leaf in leaves for phase in leaf.condition.photos_of]
    phase_of = {photo.file: photo.phase for photo in case.photos}
    shown = [
        phase
        for leaf in leaves
        for reference in leaf.references
        if reference.kind == "photo" and (phase := phase_of.get(reference.text)) is not None
    ]
    return phases_of([*(asked or PHASES_PER_SLOPE), *shown])
