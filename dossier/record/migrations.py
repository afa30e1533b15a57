"""How a record of an earlier version opens in this one: the steps, in order, one version each.

In: the tree of a file, as it was typed. Out: the tree as this version would have typed it, or the item
that says why it cannot be read. Must not write: the file on disk, sealed or not, stays as it was, and every
line number is still that of the line somebody typed. A step is never changed once a version that has it
was given out, since files of the version before it are sealed for decades.

There is one version of each form so far, and no step. A form's first change brings its first step here,
raises the version, and adds a file of the version before to the tests, which have to read it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.nodes import Entry, Mapping, Node, Text
from dossier.values import parse_count


@dataclass(frozen=True)
class Migration:
    """The step to one version from the one before it.

    to_version: the version it makes. change: the outermost group of the older file → that of the newer one;
    it gets what a person typed, which may be anything, and must leave alone what it does not know.
    """

    to_version: int
    change: Callable[[Mapping], Mapping]


JOB_MIGRATIONS: tuple[Migration, ...] = ()
"""The steps of `job.yaml`; the last makes the version that this program writes."""

ENTRY_MIGRATIONS: tuple[Migration, ...] = ()
"""The steps of `entry.yaml`."""


def migrated(
    tree: Node, file: str, field: str, newest: int, migrations: Sequence[Migration]
) -> tuple[Node, Item | None]:
    """Return a file's tree as of the newest version, or an item where its version is not one that is read.

    field: the name under which the file gives its version; where it gives none that can be read, the tree
    comes back as it is, and the model says so. Raises ValueError where the steps do not lead from version 1
    to the newest, one by one.
    """
    if [step.to_version for step in migrations] != list(range(2, newest + 1)):
        raise ValueError(f"the steps of {file} do not lead from version 1 to {newest} one by one")
    entry = tree.entries.get(field) if isinstance(tree, Mapping) else None
    if not isinstance(tree, Mapping) or entry is None or not isinstance(entry.value, Text):
        return tree, None
    try:
        version = parse_count(entry.value.text)
    except ValueError:
        return tree, None
    where = Where(file, entry.line, field)
    found = f"{file} line {entry.line}: {field} version {version}"
    if version == 0:
        return tree, shape.UNREADABLE_VALUE.at(where, f"{found} does not exist; 1 is the first.")
    if version > newest:
        says = f"{found} is newer than this tool, which reads up to version {newest}."
        return tree, shape.NEWER_RECORD.at(where, says)
    for step in migrations[version - 1 :]:
        tree = step.change(tree)
    if version < newest:
        now = Entry(replace(entry.value, text=str(newest)), entry.line, entry.column)
        tree = replace(tree, entries={**tree.entries, field: now})
    return tree, None


def renamed(group: Mapping, old: str, new: str) -> Mapping:
    """Return a group with one field under another name, in its old place.

    The same group where it has no such field, or has one of the new name as well: the reader then says that
    the old name is not known.
    """
    if old not in group.entries or new in group.entries:
        return group
    entries = {new if name == old else name: entry for name, entry in group.entries.items()}
    return replace(group, entries=entries)
