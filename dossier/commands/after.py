"""What `claim` and `transfer` share: an entry from flags or a file, and the printed result.

In: what the command line was told. Out: a `NewEntry`. Every fault is a sentence with the place it stands at.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import NoReturn

from dossier.answering import Answered, NewEntry
from dossier.commands.show import to_stderr
from dossier.errors import ExitCode, UnreadableInput, WrongCommand
from dossier.evidence.files import read as read_file
from dossier.index.answer import keep_current
from dossier.outputs import Holder
from dossier.punchlist import Item
from dossier.reading.model import Read
from dossier.reading.nodes import Entry as Field
from dossier.reading.nodes import Mapping as Group
from dossier.reading.nodes import Node, Reading, Text, parse_tree
from dossier.record.entry import ENTRY_VERSION, Entry, entry_in
from dossier.record.write import to_yaml
from dossier.resources import resource
from dossier.sealed_job import SealedJob, open_sealed
from dossier.terms.place import find_office
from dossier.values import Clock, Progress, silent
from dossier.words import EntryKind

MOST_FILE_BYTES = 100_000_000
"""Most that one picture or paper beside an entry may hold, as for photos and papers of a job."""


@dataclass(frozen=True)
class AfterAsked:
    """What the command line was told of one entry.

    take: an entry file; None where it is given by flags. head, group: fields given by flags, by name.
    as_found: answer even where something sealed was changed since. holder: who takes the job in hand.
    """

    job_folder: Path
    take: Path | None = None
    today: date | None = None
    head: Mapping[str, str] = field(default_factory=dict)
    group: Mapping[str, str | Mapping[str, str]] = field(default_factory=dict)
    as_found: bool = False
    holder: Holder | None = None
    progress: Progress = silent


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


def new_entry(asked: AfterAsked, job: SealedJob, kind: EntryKind, group: str) -> NewEntry:
    """Return the entry that a file holds, or that flags tell.

    Raises WrongCommand where both or neither are given, UnreadableInput for a fault in either.
    """
    given = {name: value for name, value in asked.group.items() if value}
    if asked.take is not None:
        if given or asked.head:
            raise WrongCommand(
                "Found both --take and single values of the entry.",
                "Put everything into the file, or give everything on the command line.",
            )
        return _from_file(asked.take)
    if not given:
        raise WrongCommand(
            "Nothing is said of what happened.",
            "Give it on the command line (see --help), or print a blank with --blank, fill it in, and give "
            "it with --take.",
        )
    head = {
        "entry": str(ENTRY_VERSION),
        "job": job.case.job.job.number,
        "kind": kind.value,
        "noted_by": "the office",
        "noted_on": job.run.today.isoformat(),
        **asked.head,
    }
    tree = _group({**head, group: given})
    read = entry_in(Reading("the command line", tree))
    if read.model is None:
        _refuse("The entry cannot be made", read.items)
    return NewEntry(
        read.model, to_yaml(read.model, read.lines.not_applicable).encode(), {}, _excused(read)
    )


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
    named = list(entry.files)
    named += entry.claim.photos if entry.claim else ()
    named += entry.sale.papers if entry.sale else ()
    found: dict[str, bytes] = {}
    for file in dict.fromkeys(named):
        if not file.startswith("files/"):
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
        found[file.removeprefix("files/")] = contents.data
    return found


def _group(fields: Mapping[str, object]) -> Group:
    return Group({name: Field(_node(value), 1, 1) for name, value in fields.items()}, 1, 1)


def _node(value: object) -> Node:
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
