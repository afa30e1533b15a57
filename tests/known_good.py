"""The known-good job of the demo, edited in memory, so that a test shows only its edit.

An edit is a dotted address and a new value; None takes the field, list entry or file away. Addresses begin
with job., photos., facts., terms.SHEET., locality., company. or are run.today. Values are what a person
would type. The files on disk are read and measured once.
"""

from collections.abc import Mapping as MappingOf
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cache
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from dossier import __version__
from dossier.assess.assess import assess
from dossier.assess.results import Assessment
from dossier.case.case import Case
from dossier.case.read import Reads, fill_in
from dossier.evidence import Facts, list_files, measure
from dossier.evidence.facts import PaperFact, PhotoFact
from dossier.punchlist import Item, PunchList
from dossier.reading.model import Read, read_model
from dossier.reading.nodes import Entry, Mapping, Node, Sequence, Text, read_tree
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.rules.book import punch_list
from dossier.terms.office import Company, Locality
from dossier.terms.read import read_catalogues
from dossier.terms.sheet import TermsSheet
from dossier.values import Run, parse_date

DEMO = Path(__file__).parent.parent / "demo_jobs"
GOOD_JOB = DEMO / "2026-041-plover-lane"
TODAY = date(2026, 10, 20)
_FILES = {
    "job": (GOOD_JOB, "job.yaml"),
    "locality": (DEMO, "localities/vintermark-2026.yaml"),
    "company": (DEMO, "company.yaml"),
    "terms.kestrelmoor-2026": (DEMO, "terms/kestrelmoor-2026.yaml"),
}


@dataclass(frozen=True)
class Known:
    """A job made from the known-good one, worked out. reads, files: what it was filled in from."""

    case: Case
    facts: Facts
    assessment: Assessment
    run: Run
    reads: Reads
    files: tuple[tuple[str, ...], tuple[str, ...]]

    @property
    def punch_list(self) -> PunchList:
        """Return the punch list by the whole rule book."""
        return punch_list(self.case, self.facts, self.assessment, self.run)


class Unreadable(Exception):
    """The edited record cannot be read; items say why."""

    def __init__(self, items: tuple[Item, ...]) -> None:
        super().__init__("; ".join(str(item.says) for item in items))
        self.items = items


@cache
def _tree(name: str) -> Node:
    folder, file = _FILES[name]
    tree = read_tree(folder / file, file).tree
    assert tree is not None
    return tree


@cache
def _measured() -> tuple[tuple[str, ...], tuple[str, ...], Facts]:
    photos, papers = list_files(GOOD_JOB, "photos"), list_files(GOOD_JOB, "papers")
    return photos, papers, measure(GOOD_JOB, photos, papers)


def known_good(edits: MappingOf[str, object] | None = None) -> Known:
    """Return the known-good job with these edits; raises Unreadable where it cannot be read."""
    trees: dict[str, Node] = {name: _tree(name) for name in _FILES}
    trees["photos"] = _node({"photos": []}, 1)
    facts_edits: dict[str, object] = {}
    today = TODAY
    for address, value in (edits or {}).items():
        if address == "run.today":
            today = parse_date(str(value))
        elif address.startswith("facts."):
            facts_edits[address.removeprefix("facts.")] = value
        else:
            name, path = _split(address, trees)
            path = f"photos.{path}" if name == "photos" else path
            trees[name] = edited(trees[name], path.split("."), value)
    reads = Reads(
        job=read_model(trees["job"], "job.yaml", Job),
        photo_list=read_model(trees["photos"], "photos.yaml", PhotoList),
        company=read_model(trees["company"], "company.yaml", Company),
        locality=read_model(trees["locality"], _FILES["locality"][1], Locality),
        sheets={
            "kestrelmoor-2026": read_model(
                trees["terms.kestrelmoor-2026"],
                _FILES["terms.kestrelmoor-2026"][1],
                TermsSheet,
            )
        },
        catalogues=read_catalogues(DEMO),
    )
    return worked_out(reads, facts_edits, today)


def worked_out(reads: Reads, facts_edits: MappingOf[str, object], today: date) -> Known:
    """Return the job that follows from these readings and edited facts."""
    photo_files, paper_files, facts = _measured()
    gone = {
        name
        for name, value in facts_edits.items()
        if value is None and "/" in name and name.rpartition(".")[2] in ("jpg", "pdf")
    }
    photo_files = tuple(file for file in photo_files if file not in gone)
    paper_files = tuple(file for file in paper_files if file not in gone)
    case, items = fill_in(reads, photo_files, paper_files)
    if case is None:
        raise Unreadable(items)
    facts = measured_as_listed(case, edited_facts(facts, facts_edits, gone))
    run = Run(
        today=today,
        time_zone=ZoneInfo("America/New_York"),
        version=__version__,
        job_folder=GOOD_JOB,
        office_folder=DEMO,
        out_folder=GOOD_JOB / "out",
        work_folder=GOOD_JOB / ".dossier",
    )
    return Known(case, facts, assess(case, facts, run), run, reads, (photo_files, paper_files))


_NOT_THERE = "is not there. Put the file in, or correct its name in the listing."


def measured_as_listed(case: Case, facts: Facts) -> Facts:
    """Return the facts with one for every file that the case lists, as `measure` gives them.

    A listed file that is nowhere is one that does not exist; a photo listed as a paper is a paper of one page,
    and a paper listed as a photo a photo that does not open.
    """
    photos, papers = dict(facts.photos), dict(facts.papers)
    for file in (photo.file for photo in case.photos if photo.file not in photos):
        paper = facts.papers.get(file)
        size, sha, kind = (paper.size_bytes, paper.sha256, paper.kind) if paper else (None,) * 3
        fault = (
            "is a PDF and not a picture. List it under papers, or put the picture itself there."
            if paper
            else _NOT_THERE
        )
        rest = (None,) * 6
        photos[file] = PhotoFact(file, paper is not None, fault, size, sha, kind, *rest)
    for file in (paper.file for paper in case.papers if paper.file not in papers):
        photo = facts.photos.get(file)
        if photo is None:
            papers[file] = PaperFact(file, False, _NOT_THERE, *(None,) * 4, False, ())
        else:
            known = (photo.fault, photo.size_bytes, photo.sha256, photo.kind)
            papers[file] = PaperFact(file, photo.exists, *known, 1, False, (), photo.size_px)
    return replace(facts, photos=photos, papers=papers)


def _split(address: str, trees: MappingOf[str, Node]) -> tuple[str, str]:
    for name in sorted(trees, key=len, reverse=True):
        if address.startswith(f"{name}."):
            return name, address.removeprefix(f"{name}.")
    raise KeyError(address)


def edited_facts(facts: Facts, edits: MappingOf[str, object], gone: set[str]) -> Facts:
    """Return the facts without the files that are gone, and with single facts changed."""
    photos = {file: fact for file, fact in facts.photos.items() if file not in gone}
    papers = {file: fact for file, fact in facts.papers.items() if file not in gone}
    strays, elsewhere = facts.strays, facts.elsewhere
    for address, value in edits.items():
        if address in gone:
            continue
        if address == "strays":
            strays = tuple(value)  # type: ignore[arg-type]
            continue
        if address == "elsewhere":
            elsewhere = tuple(value)  # type: ignore[arg-type]
            continue
        file, _, field = address.rpartition(".")
        shelf: dict[str, Any] = photos if file in photos else papers
        if field == "taken_at_local" and isinstance(value, str):
            value = datetime.fromisoformat(value)
        shelf[file] = replace(shelf[file], **{field: value})
    return Facts(photos, papers, strays, elsewhere)


def edited(node: Node, path: list[str], value: object) -> Node:
    """Return the tree with one place changed; None takes it away."""
    name, rest = path[0], path[1:]
    if isinstance(node, Mapping):
        entries = dict(node.entries)
        old = entries.get(name)
        line = old.line if old else node.line
        if rest:
            inner: Node = old.value if old else Mapping({}, line, 1)
            if isinstance(inner, Text):
                # A one-line form with an edited field stands for a list or group of its own.
                inner = Sequence((inner,), line, 1)
            entries[name] = Entry(edited(inner, rest, value), line, 1)
        elif value is None:
            entries.pop(name)
        else:
            entries[name] = Entry(_node(value, line), line, 1)
        return Mapping(entries, node.line, node.column)
    assert isinstance(node, Sequence), f"nothing to edit at {'.'.join(path)}"
    items = list(node.items)
    number = int(name)
    if rest:
        items[number] = edited(items[number], rest, value)
    elif value is None:
        items.pop(number)
    elif number == len(items):
        items.append(_node(value, node.line))
    else:
        items[number] = _node(value, items[number].line)
    return Sequence(tuple(items), node.line, node.column)


def _node(value: object, line: int) -> Node:
    if isinstance(value, Mapping | Sequence | Text):
        return value
    if isinstance(value, dict):
        return Mapping({k: Entry(_node(v, line), line, 1) for k, v in value.items()}, line, 1)
    if isinstance(value, list):
        return Sequence(tuple(_node(v, line) for v in value), line, 1)
    return Text(str(value), line, 1)


__all__ = [
    "DEMO",
    "GOOD_JOB",
    "TODAY",
    "Known",
    "Read",
    "Unreadable",
    "edited",
    "known_good",
    "measured_as_listed",
]
