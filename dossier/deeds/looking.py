"""Which files wait for a look, and looks noted in the record.

In: a job as it was checked, and notes of who saw what. Out: what waits; the files as they would be with the
notes, to be shown; and then the files on disk. A photo under a phase shows only that a file exists; a named
person's dated note makes it reviewed.
"""

import shlex
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.assess.backing import PAPER, PHOTO, is_reviewed, paper_backing, photo_backing
from dossier.assess.results import Assessment, Reference
from dossier.case.case import Case
from dossier.disk.outputs import Holder
from dossier.errors import CannotWrite, UnreadableInput, WrongCommand
from dossier.evidence import Facts
from dossier.hand.file import Draft, Shown, draft, look, write
from dossier.hand.means import Change
from dossier.reading.kinds import Day, Line
from dossier.reading.model import Model, is_not_applicable, needed, told
from dossier.reading.nodes import parse_tree, read_tree
from dossier.reading.typed import Value, block, quoted
from dossier.record.files import Paper, Photo
from dossier.record.trees import JOB_FILE, MODELS, PHOTO_FILE
from dossier.steps.checking import Checked
from dossier.values import write_date
from dossier.words import Backing

_FIELD = "reviewed"


@dataclass(frozen=True)
class Note:
    """That somebody looked at a file on a day, and what it shows. shows: empty where nothing was said."""

    file: str
    by: str
    on: date
    shows: str = ""

    @property
    def group(self) -> dict[str, Value]:
        """Return the note's fields as they are typed."""
        fields: dict[str, Value] = {"by": self.by, "on": self.on.isoformat()}
        return {**fields, "note": self.shows} if self.shows else fields


@dataclass(frozen=True)
class Waiting:
    """What waits for a look. files: those on file only that back something, each with what it backs, by file."""

    number: str
    today: date
    files: Mapping[str, tuple[str, ...]]
    reviewed: int


class Look(Model):
    """One file of an edited list."""

    file: Line = told("The file.", example="photos/field/front-nails.jpg", default=...)
    backs: tuple[Line, ...] = told("What it is on file for.", default=())
    shows: Line | None = told("What it shows.", example="six nails in each shingle")
    by: Line | None = told("Who looked at it.", example="Ida Torvik")
    on: Day | None = told("On which day.", example="2026-09-20", unit="date")


class Looks(Model):
    """A list of files that wait for a look, as a person filled it in."""

    by: Line | None = told("Who looked at all of them.", example="Ida Torvik")
    on: Day | None = told("On which day.", example="2026-09-20", unit="date")
    files: tuple[Look, ...] = told("The files.", default=())


# --- what waits ----------------------------------------------------------------------------------


def waiting(checked: Checked) -> Waiting:
    """Return what waits for a look in a job whose record could be read."""
    case = checked.case
    filed: dict[str, Photo | Paper] = {photo.file: photo for photo in case.photos}
    filed.update({paper.file: paper for paper in case.papers})
    backs: dict[str, list[str]] = {}
    for reference, text in _references(checked.assessment):
        one = filed.get(reference.text)
        if one is not None and _backing(one, checked.facts) is Backing.ON_FILE:
            backs.setdefault(one.file, []).append(text)
    return Waiting(
        checked.number,
        checked.run.today,
        {file: tuple(dict.fromkeys(backs[file])) for file in sorted(backs)},
        sum(map(is_reviewed, case.photos)) + sum(map(is_reviewed, case.papers)),
    )


def _references(assessment: Assessment) -> Iterator[tuple[Reference, str]]:
    for said in assessment.statements:
        for reference in said.references:
            if reference.kind in (PHOTO, PAPER):
                yield reference, str(said.text)
    for result in assessment.asked:
        for condition in result.level.conditions:
            for leaf in condition.leaves:
                for reference in leaf.references:
                    if reference.kind in (PHOTO, PAPER):
                        clause = f" (clause {leaf.condition.clause})"
                        yield (
                            reference,
                            leaf.condition.words + (clause if leaf.condition.clause else ""),
                        )


def _backing(one: Photo | Paper, facts: Facts) -> Backing:
    return photo_backing(one, facts) if isinstance(one, Photo) else paper_backing(one, facts)


def list_text(waits: Waiting) -> str:
    """Return what waits for a look as YAML to be filled in and read by `notes_in`."""
    lines = [
        f"# What waits for a look in job {waits.number}. Open each file and look.",
        "# shows: what you see in it; a file where this stays blank is passed over.",
        "# by, on: who looked and when, YYYY-MM-DD; once up here, or at a file of its own.",
        "# Then: dossier review JOB --take THIS-FILE, and with --yes to write it down.",
        "by:",
        "on:",
        "files:" if waits.files else "files: []",
    ]
    for file, backs in waits.files.items():
        lines += [f"  - file: {quoted(file)}", "    backs:"]
        lines += [f"      {row}" for row in block(backs, quoted)]
        lines.append("    shows:")
    return "\n".join(lines) + "\n"


# --- the notes -----------------------------------------------------------------------------------


def notes_in(path: Path) -> tuple[Note, ...]:
    """Return the notes of an edited list; raises UnreadableInput for a fault in it."""
    looks = needed(read_tree(path, path.name), Looks)
    notes = []
    for look_ in looks.files:
        if look_.shows is None:
            continue
        by, on = look_.by or looks.by, look_.on or looks.on
        if by is None or on is None:
            raise UnreadableInput(
                f"{path.name} says what {look_.file} shows, and not who looked or when.",
                "Fill in by and on, at the top for all files or at the file itself.",
            )
        notes.append(Note(look_.file, by, on, look_.shows))
    return tuple(notes)


def _refuse_unfit(note: Note, case: Case, facts: Facts, today: date) -> None:
    """Raise DossierError for a note on a file nobody filed, or one that the record could not hold."""
    photo = next((one for one in case.photos if one.file == note.file), None)
    paper = next((one for one in case.papers if one.file == note.file), None)
    fact = facts.photos.get(note.file) or facts.papers.get(note.file)
    if fact is None or (photo is None and paper is None):
        raise WrongCommand(
            f"{note.file} is neither a photo nor a paper of this job.",
            "Write its path in the job folder, as dossier review prints it. A file that lies there and "
            "is not filed under a phase or a kind has to be filed first.",
        )
    if not fact.exists or fact.fault is not None:
        raise WrongCommand(
            f"{note.file} {fact.fault or 'is not there.'}", "Nobody can have seen what it shows."
        )
    if note.on > today:
        raise WrongCommand(
            f"The look is dated {write_date(note.on)}, which is after today, {write_date(today)}.",
            "Write the day on which somebody looked.",
        )
    for name, text in (("by", note.by), ("shows", note.shows)):
        if not text.isprintable() or is_not_applicable(text) or (name == "by" and not text):
            raise WrongCommand(
                f"What was given for {name} cannot be kept as a line of text.",
                "Write a name, or what is to be seen, in a few words on one line.",
            )


# --- into the record -----------------------------------------------------------------------------


def drafted(checked: Checked, notes: Sequence[Note]) -> tuple[Draft, ...]:
    """Return the files of the record that the notes change, as they would be.

    Raises DossierError for a note on a file nobody filed, one that the record could not hold, or any in a sealed
    job.
    """
    for note in notes:
        _refuse_unfit(note, checked.case, checked.facts, checked.run.today)
    if checked.since is not None and notes:
        _refuse_sealed(checked.since.job_folder, notes[0])
    photos = {photo.file for photo in checked.case.photos}
    of_photos = [note for note in notes if note.file in photos]
    of_papers = [note for note in notes if note.file not in photos]
    drafts = (
        _draft(checked.run.job_folder, PHOTO_FILE, "photos", of_photos),
        _draft(checked.run.job_folder, JOB_FILE, "papers", of_papers),
    )
    return tuple(one for one in drafts if one is not None and one.changes)


def note_looks(drafts: Sequence[Draft], holder: Holder | None = None) -> None:
    """Write the files as they were shown; raises CannotWrite where one was changed since."""
    write(drafts, holder)


def _draft(folder: Path, file: str, in_list: str, notes: Sequence[Note]) -> Draft | None:
    if not notes:
        return None
    shown = look(folder, file)
    files = _listed(shown, in_list)
    numbers = {one: number for number, one in enumerate(files)}
    # Where a file is listed twice the reader takes the later entry, and where it is noted twice the later note.
    latest = {note.file: note for note in notes}.values()
    changes = [
        Change((in_list, str(numbers[note.file]), _FIELD), note.group)
        for note in latest
        if note.file in numbers
    ]
    new: list[Value] = [
        {"file": note.file, _FIELD: note.group} for note in latest if note.file not in numbers
    ]
    if new:
        changes.append(Change((in_list, str(len(files))), new[0], tuple(new[1:])))
    return draft(shown, MODELS[file], changes)


def _listed(shown: Shown, in_list: str) -> list[str]:
    """Return the files in a list of the record, as the reader counts them."""
    if shown.data is None:
        return []
    record = needed(parse_tree(shown.data, shown.file), MODELS[shown.file])
    return [one.file for one in getattr(record, in_list)]


def _refuse_sealed(job: Path, first: Note) -> None:
    """Raise CannotWrite where looks would be noted in the working record of a sealed job."""
    kind = "papers" if first.file.startswith("papers/") else "photos"
    told = shlex.quote(f"{first.by}, {first.on.isoformat()}")
    raise CannotWrite(
        "This job is sealed: a look noted in its working record does not count, and nothing was written.",
        f"Note each look beside the seal: dossier add correction {shlex.quote(str(job))} --field "
        f"{shlex.quote(f'{kind}.{first.file}.{_FIELD}')} --is {told} --why WHY --found-by NAME",
    )
