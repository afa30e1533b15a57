"""What `add`, `claim` and `transfer` share: an entry from flags or a file, shown whole, then sealed.

In: what the command line was told. Out: the entry on the screen, or sealed. Every fault is a sentence with the
place it stands at.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import NoReturn

from dossier.archive.keys import private_key
from dossier.archive.supplements import next_name
from dossier.commands.show import to_stderr
from dossier.deeds.answering import Answered, NewEntry, Prepared, seal_prepared
from dossier.deeds.sealed_job import SealedJob, open_sealed
from dossier.disk.outputs import Holder
from dossier.errors import ExitCode, UnreadableInput, WrongCommand
from dossier.evidence.files import read as read_file
from dossier.index.answer import keep_current
from dossier.punchlist import Item
from dossier.reading.model import Read
from dossier.reading.nodes import Entry as Field
from dossier.reading.nodes import Mapping as Group
from dossier.reading.nodes import Node, Reading, Text, parse_tree
from dossier.reading.nodes import Sequence as Row
from dossier.record.entry import (
    ENTRY_VERSION,
    FILES,
    GROUP_OF,
    SEALED,
    Entry,
    entry_in,
    files_of,
)
from dossier.record.write import to_yaml
from dossier.resources import resource
from dossier.terms.place import find_office
from dossier.values import Clock, Progress, clip, silent
from dossier.words import EntryKind

_MARK = re.compile(r"[0-9a-f]{6}-[0-9a-f]{6}")
LIST = ""
"""Where the group of an entry is a list, its rows stand under this name."""

MOST_FILE_BYTES = 100_000_000
"""Most that one picture or paper beside an entry may hold, as for photos and papers of a job."""


@dataclass(frozen=True)
class AfterAsked:
    """What the command line was told of one entry.

    take: an entry file; None where it is given by flags. head, group: fields given by flags, by name.
    as_found: answer even where something sealed was changed since. holder: who takes the job in hand.
    attach: files on this disk to seal beside the entry, by their names there. on_today: whether it happened on
    the day of the run where no day is given. write: whether to seal, or only to
    show. shown: the mark of what was shown. key_file: the office's private key.
    """

    job_folder: Path
    take: Path | None = None
    today: date | None = None
    head: Mapping[str, str] = field(default_factory=dict)
    group: Mapping[str, object] = field(default_factory=dict)
    as_found: bool = False
    holder: Holder | None = None
    progress: Progress = silent
    attach: Mapping[str, Path] = field(default_factory=dict)
    on_today: bool = False
    write: bool = False
    shown: str | None = None
    key_file: Path | None = None


Prepare = Callable[[SealedJob, NewEntry], Prepared]
"""Returns what an entry would be sealed with."""


def _as_asked(asked: AfterAsked, job: SealedJob) -> AfterAsked:
    return asked


def show_then_seal(
    asked: AfterAsked,
    clock: Clock,
    kind: EntryKind,
    prepare: Prepare,
    looked_up: Callable[[AfterAsked, SealedJob], AfterAsked] = _as_asked,
) -> ExitCode:
    """Show one entry whole, and seal it where that was asked for; return the exit code it means.

    looked_up: returns what was asked with what has to be looked up in the sealed job.
    """
    # What cannot be read, or is no mark, is said before a byte of the sealed job is.
    key = private_key(asked.key_file) if asked.key_file is not None else None
    _refuse_no_mark(asked.shown)
    job = sealed_job(asked, clock)
    asked = looked_up(asked, job)
    prepared = prepare(job, new_entry(asked, job, kind))
    if not asked.shown:
        print(entry_text(prepared))
    if not asked.write:
        print(
            "\nNothing is sealed yet. To seal it as it is shown, the same line again with: "
            f"--yes {prepared.mark}"
        )
        return ExitCode.NOTHING_HELD_UP
    return print_answered(asked, seal_prepared(prepared, asked.shown, key))


def _refuse_no_mark(shown: str | None) -> None:
    if shown and not _MARK.fullmatch(shown):
        raise WrongCommand(
            f"“{clip(shown)}” behind --yes is not the mark of something that was shown.",
            "Give the mark as it was printed, such as --yes 3fa9c1-07be52, or --yes alone as the last word.",
        )


def entry_text(prepared: Prepared) -> str:
    """Return the whole of an entry as it would be sealed, for a terminal."""
    job, new = prepared.job, prepared.new
    place = f"{job.folder}/{SEALED}/{next_name(job.folder, new.entry.on, new.entry.kind)}"
    lines = [f"To be sealed in {place}:", "  entry.yaml"]
    lines += [f"    {line}" for line in new.data.decode("utf-8", "replace").splitlines()]
    lines += [f"  {FILES}{name}, {len(data):,} bytes" for name, data in sorted(new.files.items())]
    lines += [f"  documents/{name}" for name in prepared.documents]
    lines += [*prepared.said, *prepared.lacking]
    if prepared.held:
        lines.append("The homeowner's edition cannot be written yet. Before it, the office has to:")
        lines += [f"  - {what}" for what in prepared.held]
    return "\n".join(lines)


def print_blank(name: str) -> ExitCode:
    """Print a commented blank entry."""
    print(resource("start", name).read_text(encoding="utf-8"), end="")
    return ExitCode.NOTHING_HELD_UP


def sealed_job(asked: AfterAsked, clock: Clock) -> SealedJob:
    """Return the sealed job that a command names."""
    return open_sealed(
        asked.job_folder,
        clock,
        asked.today,
        as_found=asked.as_found,
        holder=asked.holder,
        progress=asked.progress,
    )


def new_entry(asked: AfterAsked, job: SealedJob, kind: EntryKind) -> NewEntry:
    """Return the entry that a file holds, or that flags tell.

    Raises WrongCommand where both or neither are given, UnreadableInput for a fault in either.
    """
    group = GROUP_OF[kind]
    given = {name: value for name, value in asked.group.items() if value}
    if asked.take is not None:
        if given or asked.head:
            raise WrongCommand(
                "Found both --take and single values of the entry.",
                "Put everything into the file, or give everything on the command line.",
            )
        return _from_file(asked.take)
    if not given and group not in asked.head:
        raise WrongCommand(
            "Nothing is said of what happened.",
            "Give it on the command line (see --help), or fill in a file and give it with --take.",
        )
    head = {
        "entry": str(ENTRY_VERSION),
        "job": job.case.job.job.number,
        "kind": kind.value,
        "noted_by": "the office",
        "noted_on": job.run.today.isoformat(),
        **({"on": job.run.today.isoformat()} if asked.on_today else {}),
        **asked.head,
    }
    # The papers and photos of an entry are a list, the note is the text at its head.
    own = given.get(LIST, given) if given else {}
    tree = _group({**head, **({group: own} if own else {})})
    read = entry_in(Reading("the command line", tree))
    if read.model is None:
        _refuse("The entry cannot be made", read.items)
    files = {name: _on_disk(path) for name, path in asked.attach.items()}
    data = to_yaml(read.model, read.lines.not_applicable).encode()
    return NewEntry(read.model, data, files, _excused(read))


def _on_disk(path: Path) -> bytes:
    # No link is followed: an entry seals the file that was named and nothing from elsewhere.
    contents = read_file(path.absolute().parent, path.name, MOST_FILE_BYTES)
    if not contents.look.exists:
        raise UnreadableInput(f"{path} is not there.", "Name the file as it lies on this computer.")
    if contents.data is None:
        raise UnreadableInput(
            f"{path} {contents.look.fault or 'cannot be read.'}", "Name a file that opens."
        )
    return contents.data


def _from_file(path: Path) -> NewEntry:
    try:
        data = path.read_bytes()
    except OSError as problem:
        raise UnreadableInput(
            f"{path} cannot be read: {problem.strerror}.", "Name the file of the entry."
        ) from problem
    read = entry_in(parse_tree(data, path.name))
    if read.model is None:
        _refuse(f"The entry in {path} cannot be read", read.items)
    return NewEntry(read.model, data, _files(path.parent, read.model), _excused(read))


def _excused(read: Read[Entry]) -> frozenset[str]:
    return frozenset(read.lines.not_applicable)


def _files(beside: Path, entry: Entry) -> dict[str, bytes]:
    """Return the files that an entry names, by their names below `files/`."""
    found: dict[str, bytes] = {}
    for file in files_of(entry):
        if not file.startswith(FILES):
            raise UnreadableInput(
                f"The entry names the file {file}, and files beside an entry lie in files/.",
                f"Put it into {beside / 'files'} and name it files/….",
            )
        # No link on the way is followed: an entry seals what lies beside it and nothing from elsewhere.
        contents = read_file(beside, file, MOST_FILE_BYTES)
        if contents.data is None:
            raise UnreadableInput(
                f"The entry names {file}, which {contents.look.fault or 'cannot be read.'}",
                f"Put it into {beside / 'files'}, or take its name out of the entry.",
            )
        found[file.removeprefix(FILES)] = contents.data
    return found


def _group(fields: Mapping[str, object]) -> Group:
    return Group({name: Field(_node(value), 1, 1) for name, value in fields.items()}, 1, 1)


def _node(value: object) -> Node:
    if isinstance(value, list):
        return Row(tuple(_node(part) for part in value), 1, 1)
    return _group(value) if isinstance(value, Mapping) else Text(str(value), 1, 1)


def _refuse(what: str, items: Sequence[Item]) -> NoReturn:
    first = items[0]
    more = f" And {len(items) - 1} more." if len(items) > 1 else ""
    raise UnreadableInput(f"{what}: {first.says}{more}", first.remedy)


def print_answered(asked: AfterAsked, done: Answered) -> ExitCode:
    """Print what was written and what is held; 1 where something asked for could not be written yet.

    The index of the office, if the job lies in one, is brought up to date.
    """
    job = asked.job_folder.resolve()
    keep_current(find_office(job), job, to_stderr)
    print(f"Sealed in {done.folder}:")
    for name in done.documents:
        print(f"  data/documents/{name}")
    for says in (*done.said, *done.lacking):
        print(says)
    if done.lacking:
        return ExitCode.ITEMS_HOLD
    if not done.held:
        return ExitCode.NOTHING_HELD_UP
    print("The homeowner's edition is not written yet. Before it, the office has to:")
    for what in done.held:
        print(f"  - {what}")
    print("Then answer again with the days of each; dossier claim --help names the flag of each.")
    to_stderr(
        "Nothing is decided here: by the printed terms and this record; the warrantor decides."
    )
    return ExitCode.ITEMS_HOLD
