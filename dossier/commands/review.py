"""`dossier review JOB`: which files wait for a look, and a look noted in the record.

A photo under a phase shows only that a file exists; a named person's dated note makes it reviewed. The
note is written into the hand-written `photos.yaml` or `job.yaml` with every other line kept, is shown
before it is written, and is read back by the record's own reader before anything is replaced.
"""

import json
import os
import secrets
import shlex
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from difflib import unified_diff
from pathlib import Path

from dossier.archive.corrected import what_counts
from dossier.assess.backing import (
    PAPER,
    PHOTO,
    is_reviewed,
    paper_backing,
    photo_backing,
)
from dossier.assess.results import Assessment, Reference
from dossier.case.case import Case
from dossier.commands.show import items_text, summary, to_stderr
from dossier.disk.outputs import WORK, Holder, job_lock
from dossier.errors import CannotWrite, ExitCode, UnreadableInput, WrongCommand
from dossier.evidence import Facts
from dossier.pipeline import check
from dossier.reading.edit import Put, put_in_list
from dossier.reading.kinds import Day, Line
from dossier.reading.model import Model, Read, is_not_applicable, read_model, told
from dossier.reading.nodes import parse_tree, read_tree
from dossier.record.files import Paper, Photo, PhotoList
from dossier.record.job import Job
from dossier.record.read import JOB_FILE, PHOTO_FILE
from dossier.record.signed import Signed
from dossier.steps.asked import Asked
from dossier.steps.checking import Checked
from dossier.values import Clock, listed, plural, write_date
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
    def signed(self) -> Signed:
        """Return the note as the record holds it."""
        return Signed(by=self.by, on=self.on, note=self.shows or None)

    @property
    def group(self) -> dict[str, str]:
        """Return the note's fields as they are typed."""
        fields = {"by": self.by, "on": self.on.isoformat()}
        return {**fields, "note": self.shows} if self.shows else fields


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


@dataclass(frozen=True)
class ReviewAsked:
    """What the command line was told. note, take: at most one of them; write: whether to write at all."""

    job: Asked
    as_list: bool = False
    file: str | None = None
    by: str | None = None
    on: date | None = None
    shows: str | None = None
    take: Path | None = None
    write: bool = False


def run_review(asked: ReviewAsked, clock: Clock) -> ExitCode:
    """List what waits for a look, or note looks; raises DossierError where a note does not fit."""
    _refuse_mixed(asked)
    checked = check(asked.job, clock)
    to_stderr(f"Office folder: {checked.run.office_folder}")
    for sentence in what_counts(checked.since) if checked.since else ():
        to_stderr(sentence)
    if checked.case is None or checked.facts is None or checked.assessment is None:
        print(items_text(checked.punch_list))
        print(summary(checked.number, checked.punch_list, checked.readable))
        return ExitCode.UNREADABLE_INPUT
    if asked.file is None and asked.take is None:
        waits = waiting(checked.case, checked.facts, checked.assessment)
        text = list_text if asked.as_list else waiting_text
        print(text(checked, waits), end="")
        return ExitCode.NOTHING_HELD_UP
    notes = list(_notes(asked))
    for note in notes:
        _refuse_unfit(note, checked.case, checked.facts, checked.run.today)
    if checked.since is not None:
        _refuse_sealed(checked.since.job_folder, notes)
    _note_all(checked, notes, asked.write, asked.job.holder)
    return ExitCode.NOTHING_HELD_UP


def _refuse_sealed(job: Path, notes: Sequence[Note]) -> None:
    """Raise CannotWrite where looks would be noted in the working record of a sealed job."""
    if not notes:
        return
    first = notes[0]
    kind = "papers" if first.file.startswith("papers/") else "photos"
    told = shlex.quote(f"{first.by}, {first.on.isoformat()}")
    raise CannotWrite(
        "This job is sealed: a look noted in its working record does not count, and nothing was written.",
        f"Note each look beside the seal: dossier add correction {shlex.quote(str(job))} --field "
        f"{shlex.quote(f'{kind}.{first.file}.{_FIELD}')} --is {told} --why WHY --found-by NAME",
    )


def _refuse_mixed(asked: ReviewAsked) -> None:
    ways = [asked.as_list, asked.file is not None, asked.take is not None]
    if sum(ways) > 1:
        raise WrongCommand(
            "--list, --file and --take are three ways to go about it.", "Give one of them."
        )
    if asked.file is not None and (not asked.by or asked.on is None):
        raise WrongCommand(
            "A look needs who and when.", 'Add --by "NAME" --on YYYY-MM-DD to --file.'
        )
    if asked.file is None and (asked.by or asked.on or asked.shows):
        raise WrongCommand("--by, --on and --shows say how a file was looked at.", "Add --file.")


# --- what waits ----------------------------------------------------------------------------------


def waiting(case: Case, facts: Facts, assessment: Assessment) -> dict[str, tuple[str, ...]]:
    """Return the files that back something and are on file only, each with what it backs, by file."""
    filed: dict[str, Photo | Paper] = {photo.file: photo for photo in case.photos}
    filed.update({paper.file: paper for paper in case.papers})
    backs: dict[str, list[str]] = {}
    for reference, text in _references(assessment):
        one = filed.get(reference.text)
        if one is not None and _backing(one, facts) is Backing.ON_FILE:
            backs.setdefault(one.file, []).append(text)
    return {file: tuple(dict.fromkeys(backs[file])) for file in sorted(backs)}


def _references(assessment: Assessment) -> Iterator[tuple[Reference, str]]:
    for said in assessment.statements:
        for reference in said.references:
            if reference.kind in (PHOTO, PAPER):
                yield reference, said.text
    for result in assessment.asked:
        for condition in result.level.conditions:
            for leaf in condition.leaves:
                for reference in leaf.references:
                    if reference.kind in (PHOTO, PAPER):
                        clause = f" (clause {leaf.condition.clause})"
                        yield (
                            reference,
                            leaf.condition.says + (clause if leaf.condition.clause else ""),
                        )


def _backing(one: Photo | Paper, facts: Facts) -> Backing:
    return photo_backing(one, facts) if isinstance(one, Photo) else paper_backing(one, facts)


def waiting_text(checked: Checked, waits: dict[str, tuple[str, ...]]) -> str:
    """Return what waits for a look as text for a terminal."""
    assert checked.case is not None
    filed: list[Photo | Paper] = [*checked.case.photos, *checked.case.papers]
    reviewed = sum(is_reviewed(one) for one in filed)
    lines = [
        f"Job {checked.number}: {plural(len(waits), 'file waits', 'files wait')} for a look, "
        f"{plural(reviewed, 'file is', 'files are')} reviewed."
    ]
    for file, backs in waits.items():
        lines.append(f"\n{file}")
        lines += [f"  {text}" for text in backs]
    if waits:
        example = next(iter(waits))
        lines.append(
            f"\nOpen a file, look, and note who saw what:\n"
            f'  dossier review JOB --file {shlex.quote(example)} --by "NAME" '
            f'--on {checked.run.today.isoformat()} --shows "WHAT IT SHOWS"\n'
            "For many files: --list prints them to be filled in, --take reads that back."
        )
    return "\n".join(lines) + "\n"


def list_text(checked: Checked, waits: dict[str, tuple[str, ...]]) -> str:
    """Return what waits for a look as YAML to be filled in and given to --take."""
    lines = [
        f"# What waits for a look in job {checked.number}. Open each file and look.",
        "# shows: what you see in it; a file where this stays blank is passed over.",
        "# by, on: who looked and when, YYYY-MM-DD; once up here, or at a file of its own.",
        "# Then: dossier review JOB --take THIS-FILE, and with --yes to write it down.",
        "by:",
        "on:",
        "files:" if waits else "files: []",
    ]
    for file, backs in waits.items():
        lines += [f"  - file: {_quoted(file)}", "    backs:"]
        lines += [f"      - {_quoted(text)}" for text in backs]
        lines.append("    shows:")
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    # A JSON text is a double-quoted YAML text (YAML 1.2.2, section 1.3).
    return json.dumps(text, ensure_ascii=False)


# --- the notes -----------------------------------------------------------------------------------


def _notes(asked: ReviewAsked) -> Iterator[Note]:
    if asked.file is not None:
        assert asked.by is not None
        assert asked.on is not None
        yield Note(asked.file.strip(), asked.by.strip(), asked.on, (asked.shows or "").strip())
        return
    assert asked.take is not None
    looks = _read_looks(asked.take)
    for look in looks.files:
        if look.shows is None:
            continue
        by, on = look.by or looks.by, look.on or looks.on
        if by is None or on is None:
            raise UnreadableInput(
                f"{asked.take.name} says what {look.file} shows, and not who looked or when.",
                "Fill in by and on, at the top for all files or at the file itself.",
            )
        yield Note(look.file, by, on, look.shows)


def _read_looks(path: Path) -> Looks:
    reading = read_tree(path, path.name)
    items = reading.items
    if reading.tree is not None:
        read = read_model(reading.tree, path.name, Looks)
        if read.model is not None:
            return read.model
        items = read.items
    raise UnreadableInput(items[0].says, items[0].remedy)


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


@dataclass(frozen=True)
class _Change:
    """One file of the record before and after. before: None where it is not there yet."""

    name: str
    before: bytes | None
    after: bytes


def _note_all(
    checked: Checked, notes: Sequence[Note], write: bool, holder: Holder | None = None
) -> None:
    """Show what the notes change, and write it where that was asked for."""
    folder = checked.run.job_folder
    assert checked.case is not None
    photos = {photo.file for photo in checked.case.photos}
    of_photos = [note for note in notes if note.file in photos]
    of_papers = [note for note in notes if note.file not in photos]
    changes = [
        change
        for change in (
            _change(folder, PHOTO_FILE, "photos", of_photos),
            _change(folder, JOB_FILE, "papers", of_papers),
        )
        if change is not None
    ]
    if not notes:
        print("No file says what it shows; nothing to note.")
        return
    if not changes:
        print("The record says so already; nothing to write.")
        return
    for change in changes:
        print("\n".join(_difference(change)))
    count = plural(len(notes), "look")
    names = listed([change.name for change in changes])
    if not write:
        print(f"\nNothing is written yet. Run this again with --yes to note {count} in {names}.")
        return
    with job_lock(folder / WORK, holder):
        for change in changes:
            _replace(folder / change.name, change)
    print(f"\nNoted {count} in {names}.")


def _change(folder: Path, name: str, in_list: str, notes: Sequence[Note]) -> _Change | None:
    """Return what the notes make of one file of the record, None where they change nothing.

    Raises UnreadableInput where the new text would not be read as the old one with the notes.
    """
    if not notes:
        return None
    path = folder / name
    if path.is_symlink():
        raise CannotWrite(f"{path} is a link.", "Put the file itself there in place of the link.")
    before = path.read_bytes() if path.exists() else None
    puts = [Put("file", note.file, _FIELD, note.group) for note in notes]
    after = put_in_list(before, name, in_list, puts)
    if after == before:
        return None
    old = f"{in_list}:\n".encode() if before is None else before
    if not _reads_as_noted(old, after, name, in_list, notes):
        raise UnreadableInput(
            f"{name} would not be read back as it is with {plural(len(notes), 'look')} added.",
            f"Nothing was written. Add the lines under “{in_list}” by hand.",
        )
    return _Change(name, before, after)


def _reads_as_noted(
    before: bytes, after: bytes, name: str, in_list: str, notes: Sequence[Note]
) -> bool:
    """Return whether the new text is read as the old one with the notes, and nothing else changed."""
    whole: type[Model] = PhotoList if name == PHOTO_FILE else Job
    old, new = _read(before, name, whole), _read(after, name, whole)
    if old is None or new is None or old.model is None or new.model is None:
        return False
    entries = list(getattr(old.model, in_list))
    for note in notes:
        at = max((n for n, one in enumerate(entries) if one.file == note.file), default=None)
        if at is None:
            entry = Photo if whole is PhotoList else Paper
            entries.append(entry(file=note.file, reviewed=note.signed))
        else:
            entries[at] = entries[at].model_copy(update={_FIELD: note.signed})
    wanted = old.model.model_copy(update={in_list: tuple(entries)})
    return new.model == wanted and new.lines.not_applicable == old.lines.not_applicable


def _read(data: bytes, name: str, model: type[Model]) -> Read[Model] | None:
    tree = parse_tree(data, name).tree
    return None if tree is None else read_model(tree, name, model)


def _difference(change: _Change) -> Iterator[str]:
    """Yield the lines that change, each with a few around it."""
    before, after = (
        (data or b"").decode("utf-8").removeprefix("\ufeff").replace("\r\n", "\n").splitlines()
        for data in (change.before, change.after)
    )
    return unified_diff(before, after, change.name, f"{change.name}, noted", lineterm="")


def _replace(path: Path, change: _Change) -> None:
    """Put the new file in place of the old in one step; raises CannotWrite, leaving the old one."""
    fresh = path.with_name(f".{path.name}.{secrets.token_hex(8)}.tmp")
    try:
        now = path.read_bytes() if path.exists() else None
        if now != change.before:
            raise CannotWrite(
                f"{path.name} was changed while the looks were being noted.",
                "Nothing was written into it. Run this again.",
            )
        with fresh.open("xb") as file:
            file.write(change.after)
            file.flush()
            os.fsync(file.fileno())
        if change.before is not None:
            fresh.chmod(path.stat().st_mode & 0o7777)
        os.replace(fresh, path)  # noqa: PTH105 - the name says what it does.
    except OSError as problem:
        raise CannotWrite(
            f"{path} could not be written: {problem.strerror or problem}.",
            "Free some space or give this user the right to write there, and run this again.",
        ) from problem
    finally:
        with suppress(OSError):
            fresh.unlink(missing_ok=True)
