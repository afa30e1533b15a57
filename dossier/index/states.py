"""The record of one job as it counts: the working one of an open job, the sealed one, as its entries leave it.

In: a record's file and the later entries. Out: the record after each, for marks that were corrected since, and
what could not be read. Must not apply a correction itself: `record/corrections.py` does, for every reader.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.reading.model import read_model
from dossier.reading.nodes import Mapping, Node, Text, read_tree
from dossier.reading.nodes import Sequence as Row
from dossier.record.corrections import apply, changes_record
from dossier.record.derived import said_once
from dossier.record.entry import Correction, Entry
from dossier.record.job import Job
from dossier.record.read import JOB_FILE, newest_tree

_MOST_ROUNDS = 8
"""How often a record is read with its faults taken out; mending one may show another."""


@dataclass(frozen=True)
class State:
    """The record after one entry, the first as it was typed or sealed. on: the day the entry was noted.

    job: None where it cannot be read.
    """

    job: Job | None
    on: date | None = None
    correction: Correction | None = None


def states_of(file: Path, entries: Sequence[Entry]) -> tuple[list[State], list[str]]:
    """Return the record as it stands and after each entry that changed it; and what cannot be read in the last.

    The last one counts. An entry that does not fit leaves the state before it.
    """
    reading = newest_tree(read_tree(file, JOB_FILE), RECORD_VERSION)
    if reading.tree is None:
        return [State(None)], [str(reading.items[0].says)]
    job, faults = _as_far_as_it_goes(reading.tree)
    states, misfits = [State(job)], []
    changing = [entry for entry in entries if changes_record(entry)]
    for count, entry in enumerate(changing, start=1):
        applied = apply(reading.tree, JOB_FILE, changing[:count])
        if applied.items:
            misfits.append(str(applied.items[0].says))
            break
        job, faults = _as_far_as_it_goes(applied.tree)
        states.append(State(job, entry.noted_on, entry.correction))
    return states, [*faults, *misfits]


def _as_far_as_it_goes(tree: Node) -> tuple[Job | None, list[str]]:
    """Return a record without what is at fault in it, and the faults; None where too little is left."""
    left: Node | None = tree
    faults: list[str] = []
    for _ in range(_MOST_ROUNDS):
        if left is None:
            break
        read = read_model(left, JOB_FILE, Job)
        faults += [str(item.says) for item in read.items]
        if read.model is not None:
            return said_once(read.model, read.lines).job, faults
        # The last row of a list first, so that the numbers of those before it stay.
        paths = [item.where.field.split(".") for item in read.items]
        for path in sorted(paths, key=_place, reverse=True):
            left = None if left is None else _without(left, path)
    return None, faults


def _place(path: Sequence[str]) -> list[tuple[int, str]]:
    return [(int(part) if part.isdecimal() else 0, part) for part in path]


def _without(node: Node, path: Sequence[str]) -> Node | None:
    """Return a node without the field at a path; without the group around it where it is not typed there."""
    name, *rest = path
    if isinstance(node, Text):
        return None
    if isinstance(node, Row):
        rows = [row for row in node.items if not (isinstance(row, Text) and row.blank)]
        at = int(name) if name.isdecimal() and int(name) < len(rows) else None
        if at is None:
            return None
        kept = _without(rows[at], rest) if rest else None
        return Row((*rows[:at], *([kept] if kept else []), *rows[at + 1 :]), node.line, node.column)
    if name not in node.entries:
        # A lone group in a list has no number of its own.
        return _without(node, rest) if name == "0" and rest else None
    entry = node.entries[name]
    inner = _without(entry.value, rest) if rest else None
    others = {key: one for key, one in node.entries.items() if key != name}
    if inner is not None:
        others[name] = type(entry)(inner, entry.line, entry.column)
    return Mapping(others, node.line, node.column)
