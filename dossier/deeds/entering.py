"""A later entry as an office asks for it: from single values or a file, held against the sealed job, then sealed.

In: an `EntryAsked`. Out: a `Prepared`, to be shown first; then what was sealed. Every fault is a sentence with the
place it stands at.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import NoReturn

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from dossier.deeds.adding import field_named, fields_saying, prepare_addition
from dossier.deeds.answering import (
    Answered,
    NewEntry,
    Prepared,
    prepare_claim,
    prepare_sale,
    seal_prepared,
)
from dossier.deeds.office_index import kept_current
from dossier.deeds.sealed_job import SealedJob, open_sealed
from dossier.disk.outputs import Holder
from dossier.errors import UnreadableInput, WrongCommand
from dossier.evidence.files import read as read_file
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
    Entry,
    entry_in,
    files_of,
)
from dossier.record.write import to_yaml
from dossier.terms.place import find_office
from dossier.values import Clock, Progress, clip, plural, silent
from dossier.words import EntryKind

_MARK = re.compile(r"[0-9a-f]{6}-[0-9a-f]{6}")
LIST = ""
"""Where the group of an entry is a list, its rows stand under this name."""

MOST_FILE_BYTES = 100_000_000
"""Most that one picture or paper beside an entry may hold, as for photos and papers of a job."""

_MOST_FIELDS = 8


@dataclass(frozen=True)
class EntryAsked:
    """What an office tells of one entry.

    take: an entry file; None where it is given by single values. head, group: fields of the entry, by name.
    as_found: answer even where something sealed was changed since. holder: who takes the job in hand.
    files: on this disk or in the job folder, to be sealed beside the entry. on_today: whether it happened on
    the day of the run where no day is given. shown: the mark of what was shown, None where nobody says.
    """

    job_folder: Path
    kind: EntryKind
    take: Path | None = None
    today: date | None = None
    head: Mapping[str, str] = field(default_factory=dict)
    group: Mapping[str, object] = field(default_factory=dict)
    as_found: bool = False
    holder: Holder | None = None
    progress: Progress = silent
    files: Sequence[Path] = ()
    on_today: bool = False
    shown: str | None = None


@dataclass(frozen=True)
class Entered:
    """What was sealed. of_index: sentences on what could not be done to the index."""

    answered: Answered
    of_index: Sequence[str]


_PREPARE: Mapping[EntryKind, Callable[[SealedJob, NewEntry], Prepared]] = MappingProxyType(
    {EntryKind.CLAIM: prepare_claim, EntryKind.SOLD: prepare_sale}
)


def prepare_entry(asked: EntryAsked, clock: Clock) -> Prepared:
    """Return one entry whole, as it would be sealed, to be shown first."""
    # What is no mark is said before a byte of the sealed job is read.
    _refuse_no_mark(asked.shown)
    attach = _attached(asked)
    if asked.kind is not EntryKind.CORRECTION:
        asked = replace(asked, group=_named(asked, attach))
    job = open_sealed(
        asked.job_folder,
        clock,
        asked.today,
        as_found=asked.as_found,
        holder=asked.holder,
        progress=asked.progress,
    )
    if asked.kind is EntryKind.CORRECTION:
        asked, attach = _field_found(asked, job)
    return _PREPARE.get(asked.kind, prepare_addition)(job, new_entry(asked, job, attach))


def seal_entry(
    prepared: Prepared, shown: str | None = None, key: Ed25519PrivateKey | None = None
) -> Entered:
    """Seal what was prepared, and keep the index of the office up to date; see `seal_prepared`."""
    done = seal_prepared(prepared, shown, key)
    job = prepared.job.folder.resolve()
    return Entered(done, kept_current(find_office(job), job))


def _refuse_no_mark(shown: str | None) -> None:
    if shown and not _MARK.fullmatch(shown):
        raise WrongCommand(
            f"“{clip(shown)}” behind --yes is not the mark of something that was shown.",
            "Give the mark as it was printed, such as --yes 3fa9c1-07be52, or --yes alone as the last word.",
        )


def _attached(asked: EntryAsked) -> dict[str, Path]:
    """Return the files to be sealed beside an entry, by their names there."""
    found: dict[str, Path] = {}
    for given in asked.files:
        # A name may be that of a file in the job folder, as check prints it.
        there = given.exists() or given.is_absolute()
        path = given if there else asked.job_folder / given
        if path.name in found:
            raise WrongCommand(
                f"Two of the files have the name {clip(path.name)}.", "Give each a name of its own."
            )
        found[path.name] = path
    return found


def _named(asked: EntryAsked, attach: Mapping[str, Path]) -> Mapping[str, object]:
    """Return the fields of the entry's group with the files that were named."""
    kind, names = asked.kind, [f"{FILES}{name}" for name in attach]
    if kind in (EntryKind.LATE_PAPER, EntryKind.LATE_PHOTO):
        return {LIST: [{**asked.group, "file": name} for name in names]} if names else {}
    if not names:
        return asked.group
    if kind is EntryKind.REGISTRATION_CONFIRMED:
        return {**asked.group, "certificate_file": names[0]}
    field = "papers" if kind is EntryKind.MAKERS_INSPECTION else "photos"
    return {**asked.group, field: names}


def _field_found(asked: EntryAsked, job: SealedJob) -> tuple[EntryAsked, dict[str, Path]]:
    """Return what was asked with the field by its path in numbers, and the paper sealed or attached."""
    if asked.take is not None:
        return asked, {}
    group = dict(asked.group)
    field, was = str(group.get("field", "")), str(group.get("was", ""))
    group["field"] = field_named(job, field).dotted if field else _only_field_saying(job, was)
    attach: dict[str, Path] = {}
    paper = str(group.get("paper", ""))
    filed = {*(one.file for one in job.case.papers), *(one.file for one in job.case.photos)}
    if paper and paper not in filed:
        path = Path(paper)
        if path.exists():
            attach[path.name] = path
            group["paper"] = f"{FILES}{path.name}"
    return replace(asked, group=group), attach


def _only_field_saying(job: SealedJob, was: str) -> str:
    """Return the one field in which this stands. Raises WrongCommand where it is not just one."""
    found = fields_saying(job, was) if was else ()
    if len(found) == 1:
        return found[0].dotted
    if not found:
        what = f"“{clip(was)}” stands in no field of the record." if was else "No field is named."
        raise UnreadableInput(
            what,
            "Name the field with --field, such as slopes.front.pitch, and what stands there with --was.",
        )
    shown = "\n".join(f"  --field {one.dotted}   {one.words}" for one in found[:_MOST_FIELDS])
    more = f"\n  and {len(found) - _MOST_FIELDS} more" if len(found) > _MOST_FIELDS else ""
    raise WrongCommand(
        f"“{clip(was)}” stands in {plural(len(found), 'field')}:\n{shown}{more}",
        "Say which with --field.",
    )


def new_entry(
    asked: EntryAsked, job: SealedJob, attach: Mapping[str, Path] = MappingProxyType({})
) -> NewEntry:
    """Return the entry that a file holds, or that single values tell.

    attach: files on this disk to seal beside it, by their names there. Raises WrongCommand where both or neither
    are given, UnreadableInput for a fault in either.
    """
    kind, group = asked.kind, GROUP_OF[asked.kind]
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
    files = {name: _on_disk(path) for name, path in attach.items()}
    data = to_yaml(read.model, read.lines).encode()
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
