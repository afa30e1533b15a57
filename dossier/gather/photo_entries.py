"""The entries of a gather in `photos.yaml`: added at its end, and taken out again.

In: the bytes of the photo list, and entries. Out: its new bytes, by the one hand that writes. Must not touch the
disk.
"""

from collections.abc import Sequence

from dossier.gather.journal import Journal
from dossier.hand.means import Change
from dossier.hand.text import with_changes
from dossier.reading.model import needed
from dossier.reading.nodes import parse_tree
from dossier.reading.typed import Value
from dossier.record.files import PhotoList
from dossier.record.read import PHOTO_FILE

_LIST = "photos"


def photo_list(data: bytes | None) -> PhotoList:
    """Return the photo list these bytes hold; raises UnreadableInput with the first fault."""
    return PhotoList() if data is None else needed(parse_tree(data, PHOTO_FILE), PhotoList)


def with_entries(before: bytes | None, entries: Sequence[dict[str, Value]]) -> bytes:
    """Return the photo list with these entries at its end; raises UnreadableInput where it cannot take them."""
    first, *more = entries
    path = (_LIST, str(len(photo_list(before).photos)))
    return with_changes(before, PHOTO_FILE, PhotoList, [Change(path, first, tuple(more))])


def without_entries(now: bytes | None, journal: Journal) -> bytes | None:
    """Return the photo list without the entries of a gather, None for no file.

    The very list from before where nobody has touched it since. Entries that somebody has edited stay.
    """
    if now == journal.after or now is None or journal.before == journal.after:
        return journal.before if now == journal.after else now
    listed = photo_list(now).photos
    ours = [PhotoList.model_validate({_LIST: [entry]}).photos[0] for entry in journal.entries]
    numbers = [number for number, photo in enumerate(listed) if photo in ours]
    # From the end upward, so that the numbers of the entries above stay right.
    changes = [Change((_LIST, str(number)), None) for number in reversed(numbers)]
    return with_changes(now, PHOTO_FILE, PhotoList, changes)


def is_listed(now: bytes | None, journal: Journal) -> bool:
    """Return whether the list with the new entries was put in place, even if somebody edited it since."""
    if now in (journal.before, journal.after):
        return now != journal.before
    ours = {entry["file"] for entry in journal.entries}
    return any(photo.file in ours for photo in photo_list(now).photos)
