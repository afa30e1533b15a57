"""What entries after close-out change in the record: corrections, late papers and photos, confirmations.

In: the tree of `job.yaml` or `photos.yaml` as it was sealed, and the entries, oldest first. Out: the tree as they
leave it, and what each changed. This is the one place where a correction is applied, before any model is read,
so that everything reads the corrected state by the record's own reader. Must not write: what was sealed stays.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.declared import readers_of
from dossier.reading.model import model_in
from dossier.reading.nodes import Node, Text
from dossier.reading.typed import group_of
from dossier.record.entry import Correction, Entry, Registration
from dossier.record.fields import NoSuchField, Spot, file_of, find, stands
from dossier.record.job import Job
from dossier.record.trees import (
    JOB_FILE,
    MODELS,
    as_group,
    flat,
    put,
    rows_of,
    text_node,
)
from dossier.values import clip
from dossier.words import Edition, EntryKind, PaperKind

CHANGING = frozenset(
    {
        EntryKind.CORRECTION,
        EntryKind.LATE_PAPER,
        EntryKind.LATE_PHOTO,
        EntryKind.REGISTRATION_CONFIRMED,
    }
)
"""The kinds of entry that change what the record says; each makes a new edition of the handover."""


@dataclass(frozen=True)
class Change:
    """What one entry changed. edition: the number of the handover after it; the closing's own is 1.

    was, right: one line each, blank for nothing. readers: who may see those two.
    """

    edition: int
    entry: Entry
    file: str
    path: str
    words: str
    anybody: str
    was: str
    right: str
    readers: frozenset[Edition]


@dataclass(frozen=True)
class Applied:
    """The tree after the entries. items: why an entry does not fit what was sealed; the tree is then not used."""

    tree: Node
    changes: tuple[Change, ...] = ()
    items: tuple[Item, ...] = ()


def changes_record(entry: Entry) -> bool:
    """Return whether an entry changes what the record says."""
    return entry.kind in CHANGING


def late_places(entry: Entry) -> dict[str, str]:
    """Return where in the record the late files of an entry stand, each with its name beside the entry."""
    found = {f"papers/{_name(paper.file)}": paper.file for paper in entry.papers}
    found |= {
        f"photos/{photo.phase.slug}/{_name(photo.file)}": photo.file for photo in entry.photos
    }
    if entry.registration and entry.registration.certificate_file:
        file = entry.registration.certificate_file
        found[f"papers/{_name(file)}"] = file
    return found


def _name(file: str) -> str:
    return file.removeprefix("files/").replace("/", "-")


def apply(tree: Node, file: str, entries: Sequence[Entry]) -> Applied:
    """Return the tree of one of the two files as the entries leave it, and what each changed in it.

    entries: all of the job, oldest first, since editions are counted over both files.
    """
    changes: list[Change] = []
    edition = 1
    for entry in entries:
        if not changes_record(entry):
            continue
        edition += 1
        try:
            for spot, right in _puts(tree, file, entry):
                if spot.new_file:
                    tree = put(tree, file, spot.path[:2], group_of({"file": spot.new_file}))
                tree = put(tree, file, spot.path, right)
                said = flat(right)
                changes.append(
                    Change(
                        edition,
                        entry,
                        file,
                        ".".join(spot.path),
                        spot.words,
                        spot.anybody,
                        spot.text,
                        said,
                        spot.readers,
                    )
                )
        except NoSuchField as problem:
            name = f"the entry of {entry.noted_on.isoformat()} ({entry.kind})"
            where, says = Where(name, 1, ""), f"In {name}: {problem}"
            remedy = (
                "What is sealed was changed since, or the entry was not made by dossier add; dossier verify says "
                "which. Put a changed folder back from a copy."
            )
            return Applied(tree, tuple(changes), (shape.UNREADABLE_VALUE.at(where, says, remedy),))
    return Applied(tree, tuple(changes))


def _puts(tree: Node, file: str, entry: Entry) -> Iterator[tuple[Spot, Node | None]]:
    """Yield what an entry sets in this file; each is looked up in the tree as the ones before left it."""
    if entry.correction is not None and file_of(entry.correction.field) == file:
        yield _corrected(tree, file, entry.correction)
    if file == JOB_FILE:
        papers = [
            {
                "file": f"papers/{_name(paper.file)}",
                "kind": paper.kind.value if paper.kind else "",
                "on": paper.on.isoformat() if paper.on else "",
                "backs": paper.backs or "",
            }
            for paper in entry.papers
        ]
        if entry.registration is not None:
            yield from _confirmed(tree, entry.registration)
            if entry.registration.certificate_file:
                name = _name(entry.registration.certificate_file)
                kind = PaperKind.CERTIFICATE.value
                papers.append({"file": f"papers/{name}", "kind": kind})
        yield from _added(tree, file, "papers", papers)
    else:
        photos = [
            {
                "file": place,
                "phase": photo.phase.value,
                "slope": photo.slope or "",
                "caption": photo.caption or "",
                "received_from": photo.received_from or "",
                "received_on": entry.noted_on.isoformat(),
            }
            for photo, place in zip(entry.photos, late_places(entry), strict=False)
        ]
        yield from _added(tree, file, "photos", photos)


def _corrected(tree: Node, file: str, said: Correction) -> tuple[Spot, Node | None]:
    spot = find(tree, file, said.field, None)
    if not stands(spot, said.was):
        raise NoSuchField(
            f"it says that {spot.words} was “{clip(said.was or 'blank')}”, and there stands "
            f"“{clip(spot.text or 'nothing')}”"
        )
    return replace(spot, node=spot.node or text_node(said.was)), text_node(said.right)


def _added(
    tree: Node, file: str, name: str, rows: Sequence[Mapping[str, str]]
) -> Iterator[tuple[Spot, Node | None]]:
    count = len(rows_of(as_group(tree, MODELS[file]), name, MODELS[file]))
    for number, row in enumerate(rows, start=count):
        words = f"{name[:-1]} {row['file']}"
        info = MODELS[file].model_fields[name]
        readers = readers_of(info) or frozenset()
        yield (
            Spot(file, (name, str(number)), None, words, words, readers, info),
            group_of({key: value for key, value in row.items() if value}),
        )


def _confirmed(tree: Node, one: Registration) -> Iterator[tuple[Spot, Node | None]]:
    """Yield what a maker's confirmation fills in, where it can be of one warranty alone.

    A confirmation that fits several says of none of them that it was registered.
    """
    group = as_group(tree, Job)
    rows = rows_of(group, "warranties", Job)
    model = model_in(Job.model_fields["warranties"].annotation)
    assert model is not None
    fits = []
    for number, row in enumerate(rows):
        fields = {name: flat(field.value) for name, field in as_group(row, model).entries.items()}
        same_sheet = one.sheet is None or one.sheet == fields.get("sheet", "")
        level = one.level
        if same_sheet and (level is None or level.lower() == fields.get("level", "").lower()):
            fits.append((number, fields))
    if len(fits) != 1:
        return
    number, fields = fits[0]
    certificate = one.certificate_file and f"papers/{_name(one.certificate_file)}"
    told = {
        "accepted_on": one.confirmed_on.isoformat() if one.confirmed_on else None,
        "confirmation": one.confirmation,
        "certificate_file": certificate,
    }
    for name, value in told.items():
        if value and not fields.get(name):
            yield find(tree, JOB_FILE, f"warranties.{number}.{name}"), Text(value, 1, 1)
