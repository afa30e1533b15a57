"""How a record of an earlier version opens in this one: the steps, in order, one version each.

In: the tree of a file, as it was typed. Out: the tree as this version would have typed it, or the item
that says why it cannot be read. Must not write: the file on disk stays as it was.
"""

from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.nodes import Mapping, Node, Text
from dossier.values import parse_count


def newer(tree: Node, file: str, field: str, newest: int) -> Item | None:
    """Return an item where a file's version is not one that this program reads.

    field: the name under which the file gives its version. None too where it gives none that can be read;
    the model then says so.
    """
    entry = tree.entries.get(field) if isinstance(tree, Mapping) else None
    if entry is None or not isinstance(entry.value, Text):
        return None
    try:
        version = parse_count(entry.value.text)
    except ValueError:
        return None
    if 1 <= version <= newest:
        return None
    where = Where(file, entry.line, field)
    found = f"{file} line {entry.line}: {field} version {version}"
    if version == 0:
        return shape.UNREADABLE_VALUE.at(where, f"{found} does not exist; 1 is the first.")
    return shape.NEWER_RECORD.at(
        where, f"{found} is newer than this tool, which reads up to version {newest}."
    )
