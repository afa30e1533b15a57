"""What is not on file, and how far each statement is backed: for a reader outside the office.

In: a case filtered for its reader, facts, assessment, punch list. Out: plain sentences and rows. Must not
accuse anybody, and must not print what the filter withheld: an item's sentence is taken over only from
the rules named here, whose sentences hold nothing but fields that every reader may see.
"""

from dataclasses import dataclass

from dossier.assess.results import Assessment, Reference, Statement
from dossier.case.case import Case
from dossier.compose.photographs import unreadable, without_camera_day
from dossier.compose.shared import plain_item, withheld_files
from dossier.evidence.facts import Facts
from dossier.punchlist import Item, PunchList, Weight
from dossier.values import listed, plural, write_number
from dossier.words import Backing

_FOR_OWNERS = frozenset(
    (
        *("COD-001", "COD-002", "COD-003", "COD-005", "COD-006", "COD-007", "COD-008"),
        *("COD-009", "COD-010", "COD-011", "COD-012"),
        *("DEC-001", "DEC-002", "DEC-003", "DEC-004", "DEC-006", "DEC-007", "DEC-008"),
        *("IDN-002", "MAT-001"),
        *("ORD-001", "ORD-002", "ORD-003", "ORD-004", "ORD-005"),
        *("PER-001", "PER-002", "PER-003", "PER-004", "PER-005"),
        *("PHO-001", "PHO-002", "REG-009", "SAF-001", "SAF-002", "SAF-003", "SAF-005"),
    )
)
"""Rules whose items concern the record that the owner keeps. Money, names, file keeping and the maker's
conditions stay out: the first are withheld, the last are told in the coverage section."""

_SAID_BY = {"PER-001": "permit.number", "PER-003": "permit.closed", "SAF-001": "flues"}
"""Rules that say the same as a statement does when it is absent."""

_FILES_NAMED = 3


@dataclass(frozen=True)
class Backed:
    """One statement, its backing word, and where that backing lies."""

    text: str
    backing: str
    where: str


def not_on_file(
    case: Case, facts: Facts, assessment: Assessment, punch_list: PunchList
) -> tuple[str, ...]:
    """Return plain sentences on what this record does not hold, each once."""
    withheld = withheld_files(case, facts.papers)
    absent = {one.id for one in assessment.statements if one.backing is Backing.ABSENT}
    sentences = [
        f"{statement_text(case, statement)}: not on record."
        for statement in assessment.statements
        if statement.backing is Backing.ABSENT
    ]
    sentences += [
        plain_item(item, withheld)
        for item in punch_list
        if _concerns_the_owner(item) and _SAID_BY.get(item.rule) not in absent
    ]
    sentences += _supply(assessment)
    stated = sum(1 for one in assessment.statements if one.backing is Backing.STATED)
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
        sentences.append(f"{count} no day from the camera, so their day rests on the record alone.")
    return tuple(dict.fromkeys(sentences))


def _concerns_the_owner(item: Item) -> bool:
    return item.rule in _FOR_OWNERS and item.weight is not Weight.NOTE


def _supply(assessment: Assessment) -> list[str]:
    return [
        f"The deliveries on record hold {write_number(result.take_off.supplied)} {result.need.unit} of "
        f"{result.role.value}; the measured roof takes {write_number(result.need.at_zero_waste)} "
        f"{result.need.unit}. The record does not say where the rest came from."
        for result in assessment.roles
        if result.take_off.verdict == "short" and result.take_off.supplied is not None
    ]


def statement_text(case: Case, statement: Statement) -> str:
    """Return a statement's words; the day of an invoice only where the reader may see the money."""
    if statement.id == "invoice" and case.job.money is None:
        return "Final invoice"
    return statement.text


def backed(case: Case, assessment: Assessment) -> tuple[Backed, ...]:
    """Return every statement with its backing word and where that lies."""
    return tuple(
        Backed(
            statement_text(case, statement),
            statement.backing.value,
            references_text(case, statement.references) or "nothing on file",
        )
        for statement in assessment.statements
    )


def references_text(case: Case, references: tuple[Reference, ...]) -> str:
    """Return where a statement's backing lies: record line, photos, papers; withheld papers unnamed."""
    shown = {paper.file for paper in case.papers}
    records = [ref.text for ref in references if ref.kind == "record"]
    photos = [ref.text.removeprefix("photos/") for ref in references if ref.kind == "photo"]
    papers = [ref.text.removeprefix("papers/") for ref in references if ref.text in shown]
    kept = sum(1 for ref in references if ref.kind == "paper" and ref.text not in shown)
    parts = []
    if records:
        parts.append(f"record: {_lines(records)}")
    parts += [_files("photo", photos)] if photos else []
    parts += [_files("paper", papers)] if papers else []
    if kept:
        parts.append(f"{plural(kept, 'paper')} kept at the office")
    return "; ".join(parts)


def _lines(places: list[str]) -> str:
    """Return places such as job.yaml:41 and job.yaml:42 as job.yaml, lines 41 and 42."""
    by_file: dict[str, list[str]] = {}
    for place in dict.fromkeys(places):
        file, _, line = place.partition(":")
        by_file.setdefault(file, []).extend([line] if line else [])
    parts = []
    for file, lines in by_file.items():
        word = "line" if len(lines) == 1 else "lines"
        parts.append(f"{file}, {word} {listed(lines)}" if lines else file)
    return "; ".join(parts)


def _files(kind: str, files: list[str]) -> str:
    files = list(dict.fromkeys(files))
    named = files[:_FILES_NAMED]
    more = len(files) - len(named)
    label = kind if len(files) == 1 else f"{kind}s"
    return f"{label}: {', '.join(named)}" + (f" and {more} more" if more else "")
