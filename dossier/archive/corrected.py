"""What was sealed of a job and what entries after it changed, for everything that reads a sealed job.

In: a job folder. Out: a `Since`: the sealed record's folder, the entries, where late files lie, what was put
right; and how the working files differ from that. Must not judge, nor write. What is sealed counts, as the
entries leave it: a change made in the working `job.yaml` after the seal does not, and is named.
"""

import os
import shlex
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import NoReturn

from dossier import RECORD_VERSION
from dossier.archive.bags import INFO, info_values
from dossier.archive.names import CLOSEOUT
from dossier.case.case import Case, PutRight
from dossier.errors import UnreadableInput
from dossier.evidence import list_files
from dossier.evidence.logo import logo_fault
from dossier.punchlist import Item
from dossier.reading.nodes import Reading, read_tree
from dossier.record.corrections import Change, apply, changes_record, late_places
from dossier.record.entry import Entry, entries_of
from dossier.record.fields import differences
from dossier.record.files import placed_paper
from dossier.record.places import SEALED
from dossier.record.read import newest_tree, photo_tree
from dossier.record.trees import JOB_FILE, PHOTO_FILE
from dossier.terms.read import read_company
from dossier.values import clip, listed, plural, write_date
from dossier.words import Edition, EntryKind

_MOST_CHANGES = 12
"""Changes of the working record that are written out; a record typed anew would differ in every line."""


@dataclass(frozen=True)
class Since:
    """A sealed job. data: the folder of the sealed record. sealed_on: None where the seal does not say.

    folders: the names of the entries' folders, one each. places: late files, by their names in the record.
    changes: what the entries changed, oldest first.
    """

    job_folder: Path
    data: Path
    sealed_on: date | None
    folders: tuple[str, ...]
    entries: tuple[Entry, ...]
    places: Mapping[str, Path]
    changes: tuple[Change, ...]

    @property
    def edition(self) -> int:
        """Return the number of the handover that the newest entry leaves; the closing's own is 1."""
        return 1 + sum(changes_record(entry) for entry in self.entries)

    def tree(self, file: str) -> Reading:
        """Return one of the two files as it was sealed."""
        return _tree(self.data, file)


def since_sealing(job_folder: Path) -> Since | None:
    """Return what was sealed of a job and what came after it; None where nothing is sealed.

    Raises UnreadableInput where an entry cannot be read, or does not fit what was sealed.
    """
    bag = job_folder / SEALED / CLOSEOUT
    data = bag / "data"
    try:
        if bag.is_symlink() or not (data / JOB_FILE).is_file():
            return None
    except OSError as problem:
        if not os.access(job_folder, os.X_OK):
            # Whoever may not look into the job folder is told so of its record.
            return None
        raise UnreadableInput(
            f"What is sealed in {job_folder} cannot be looked at: {problem.strerror}.",
            "Give this user the right to read it and the folders above it.",
        ) from problem
    folders: list[str] = []
    entries: list[Entry] = []
    places: dict[str, Path] = {}
    for folder, read in entries_of(job_folder):
        if read.model is None:
            refuse("An entry sealed after close-out cannot be read", read.items)
        folders.append(folder.name)
        entries.append(read.model)
        for place, file in late_places(read.model).items():
            places.setdefault(place, folder / "data" / file)
    changes, misfits = all_changes(data, entries)
    if misfits:
        refuse("An entry does not fit what was sealed", misfits)
    on = _sealed_on(bag)
    return Since(job_folder, data, on, tuple(folders), tuple(entries), places, changes)


def all_changes(
    data: Path, entries: Sequence[Entry]
) -> tuple[tuple[Change, ...], tuple[Item, ...]]:
    """Return what the entries change in both files of a sealed record, oldest first; and why one does not fit."""
    changes: list[Change] = []
    for name in (JOB_FILE, PHOTO_FILE):
        tree = _tree(data, name).tree
        if tree is not None:
            applied = apply(tree, name, entries)
            if applied.items:
                return (), applied.items
            changes += applied.changes
    return tuple(sorted(changes, key=lambda change: change.edition)), ()


def _tree(folder: Path, file: str) -> Reading:
    if file == PHOTO_FILE:
        return photo_tree(folder)
    return newest_tree(read_tree(folder / JOB_FILE, JOB_FILE), RECORD_VERSION)


def _sealed_on(bag: Path) -> date | None:
    try:
        text = (bag / INFO).read_text(encoding="utf-8", errors="replace")
        return date.fromisoformat(info_values(text, "Bagging-Date")[0])
    except (OSError, ValueError, IndexError):
        return None


def refuse(what: str, items: Sequence[Item]) -> NoReturn:
    """Raise UnreadableInput for something sealed that cannot be read."""
    says = [str(item.says) for item in items[:3]]
    more = f" And {len(items) - 3} more." if len(items) > 3 else ""
    raise UnreadableInput(
        f"{what}: {' '.join(says) or 'it is not there.'}{more}",
        "Sealed files are never mended in place. dossier verify says whether they are as they were sealed; "
        "put a damaged one back from a copy.",
    )


def with_what_came_after(case: Case, since: Since, office: Path) -> Case:
    """Return the case with what was put right since, and with today's way to reach the company.

    The company's name and promises stay as built.
    """
    return with_changes(_letterhead(case, office), since)


def with_changes(case: Case, since: Since) -> Case:
    """Return the case with what the entries changed in it."""
    return replace(case, put_right=tuple(_put_right(since.changes, case)))


def _put_right(changes: Sequence[Change], case: Case) -> Iterator[PutRight]:
    kinds = {paper.file: paper for paper in case.papers}
    for change in changes:
        readers = change.readers
        file = change.words.partition(" ")[2]
        paper = kinds.get(file)
        if change.entry.kind is EntryKind.LATE_PAPER or paper is not None:
            paper = paper or placed_paper(file)
            # Who may have the paper itself may be told that it came.
            readers = frozenset(edition for edition in Edition if paper.is_for(edition))
        yield PutRight(
            change.edition,
            change.entry.noted_on,
            change.entry.kind,
            change.words,
            change.anybody,
            change.was,
            change.right,
            readers,
        )


def _letterhead(case: Case, office: Path) -> Case:
    company = case.company
    today = read_company(office).model
    if today is not None:
        logo = None if logo_fault(office, today.logo) else today.logo
        fields = ("address", "phone", "email", "colours", "paper")
        told = {name: getattr(today, name) for name in fields}
        company = company.model_copy(update={**told, "logo": logo})
    elif logo_fault(office, company.logo):
        company = company.model_copy(update={"logo": None})
    return replace(case, company=company)


# --- the working files against what is sealed ------------------------------------------------------


def what_counts(since: Since) -> Iterator[str]:
    """Yield, in sentences, that a job is sealed, and what became of each change in its working files."""
    when = f" on {write_date(since.sealed_on)}" if since.sealed_on else ""
    after = plural(len(since.entries), "later entry", "later entries")
    edition = f", which makes edition {since.edition}" if since.edition > 1 else ""
    yield (
        f"This job was sealed{when}, with {after} since. What is sealed counts, as the entries leave "
        f"it{edition}; the working files do not."
    )
    told = list(_typed_since(since))
    yield from told[:_MOST_CHANGES]
    if len(told) > _MOST_CHANGES:
        left = plural(len(told) - _MOST_CHANGES, "more change")
        yield f"And {left} of the working record that do not count."
    yield from _filed_since(since)


def _typed_since(since: Since) -> Iterator[str]:
    """Yield each field that the working record says otherwise, with the line that corrects what is sealed."""
    for name in (JOB_FILE, PHOTO_FILE):
        sealed = since.tree(name).tree
        working = _tree(since.job_folder, name)
        if sealed is None:
            continue
        if working.tree is None:
            yield f"{working.items[0].says} That changes nothing: the sealed record is whole."
            continue
        now = apply(sealed, name, since.entries).tree
        before = {(one.path, one.was) for one in since.changes if one.file == name}
        for spot, right in differences(now, working.tree, name):
            if (spot.dotted, right) in before:
                # As it was sealed, or before a later correction: nobody typed it since.
                continue
            typed, counts = clip(right) or "nothing", clip(spot.text) or "nothing"
            yield (
                f"{name} has “{typed}” for {spot.words}; what counts is “{counts}”. To correct it: "
                f"{_line(since.job_folder, spot.dotted, spot.text, right)}"
            )


def _line(job_folder: Path, path: str, was: str, right: str) -> str:
    return (
        f"dossier add correction {shlex.quote(str(job_folder))} --field {shlex.quote(path)} "
        f"--was {shlex.quote(was)} --is {shlex.quote(right)} --why WHY --found-by NAME"
    )


def _filed_since(since: Since) -> Iterator[str]:
    """Yield the photos and papers that lie in the working folder and were neither sealed nor added."""
    for below, command in (("papers", "late-paper"), ("photos", "late-photo")):
        sealed = {*list_files(since.data, below), *since.places}
        here = list_files(since.job_folder, below)
        late = [file for file in here if file not in sealed]
        if late:
            shown = listed([*late[:3], *([f"{len(late) - 3} more"] if len(late) > 3 else [])])
            count = plural(len(late), "file of", "files of")
            yield (
                f"Not counted, since the seal came before: {count} {below}/, {shown}. To add: dossier add "
                f"{command} {shlex.quote(str(since.job_folder))} FILE …"
            )
        gone = sorted(set(list_files(since.data, below)) - set(here))
        if gone:
            count = plural(len(gone), "sealed file is", "sealed files are")
            yield f"{count} no longer in {below}/; the sealed copy counts."
