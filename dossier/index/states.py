"""The record of one job as it counts: the working one of an open job, the sealed one as its entries leave it.

In: a job folder and its later entries. Out: plain fields, and those before each correction, for marks that were
corrected since. Must not apply a correction itself: `record/corrections.py` does, for every reader.
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.index.entries import Noted
from dossier.index.fields import Reader
from dossier.index.plain import NotPlain, Plain, plain_fields, plain_of
from dossier.index.scan import CLOSEOUT, JOB_FILE
from dossier.index.sheets import read_small
from dossier.reading.nodes import MOST_BYTES, parse_tree
from dossier.record.corrections import CHANGING, apply
from dossier.record.entry import ENTRY_FILE, SEALED, Correction, Entry, entry_in
from dossier.record.read import newest_tree

_CHANGING = {kind.value for kind in CHANGING}


@dataclass(frozen=True)
class State:
    """The record after one entry, the first as it was typed or sealed. on: the day the entry was noted."""

    record: Plain
    on: date | None = None
    correction: Correction | None = None


def states_of(job: Path, noted: tuple[Noted, ...], reader: Reader) -> list[State]:
    """Return the record as it was sealed and after each entry that changed it; the last one counts.

    What cannot be read is a fault of the reader, and leaves the state before it.
    """
    sealed = f"{SEALED}/{CLOSEOUT}/data/{JOB_FILE}"
    data = read_small(f"{job}/{sealed}")
    name = sealed
    if data is None:
        data, name = read_small(f"{job}/{JOB_FILE}"), JOB_FILE
    try:
        if data is None:
            raise NotPlain(f"{JOB_FILE} cannot be opened, or is larger than {MOST_BYTES:,} bytes.")
        entries = _changing(job, noted, reader) if name == sealed else []
        return _after(data, entries, reader) if entries else [State(plain_fields(data, JOB_FILE))]
    except NotPlain as problem:
        reader.faults.append(str(problem))
        return [State({})]


def _changing(job: Path, noted: tuple[Noted, ...], reader: Reader) -> list[Entry]:
    found = []
    for one in noted:
        if str(one.fields.get("kind", "")).strip().lower() not in _CHANGING:
            continue
        shown = f"{SEALED}/{one.folder}/{ENTRY_FILE}"
        data = read_small(job / SEALED / one.folder / ENTRY_FILE)
        read = entry_in(parse_tree(data or b"", shown))
        if read.model is None:
            reader.faults.append(str(read.items[0].says))
            continue
        found.append(read.model)
    return found


def _after(data: bytes, entries: list[Entry], reader: Reader) -> list[State]:
    reading = newest_tree(parse_tree(data, JOB_FILE), RECORD_VERSION)
    if reading.tree is None:
        raise NotPlain(reading.items[0].says)
    states = [State(plain_of(reading.tree, JOB_FILE))]
    for count, entry in enumerate(entries, start=1):
        applied = apply(reading.tree, JOB_FILE, entries[:count])
        if applied.items:
            reader.faults.append(str(applied.items[0].says))
            break
        record = plain_of(applied.tree, JOB_FILE)
        states.append(State(record, entry.noted_on, entry.correction))
    return states
