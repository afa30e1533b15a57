"""The names that sealed folders go by.

In: a name. Out: what it is the name of. Must not open anything, so that verifying loads little.
"""

import re

CLOSEOUT = "0001-closeout"
"""The first sealed folder of a job: the job as it was closed."""

BEFORE = "Digest-Of-Entry-Before"
"""The label in `bag-info.txt` that ties an entry to the one before it."""

JOB_NUMBER = "External-Identifier"
"""The label in `bag-info.txt` for the office's number of the job."""

SIGNATURE = "signature.ed25519"
"""The 64 bytes of the signature, in the bag; no manifest lists it, since it is made after them."""

NUMBERED = re.compile(r"(?P<number>[0-9]{4})-.+", re.S)
"""How the folder of the closing and of every entry is named; digits of other scripts only look alike."""

EVENT_DATE, DESCRIPTION, CAME_AFTER = "Event-Date", "External-Description", "What came after: "
"""The labels in `bag-info.txt` that say an entry's day and kind, of which its folder's name is made."""

_UNFINISHED = ".dossier-new"


def unfinished(name: str) -> str:
    """Return the name under which a bag is written before it is whole."""
    return f".{name}{_UNFINISHED}"


def own_name(name: str) -> str:
    """Return the name that a bag gets once it is whole. name: one that `is_unfinished`."""
    return name[1:].removesuffix(_UNFINISHED)


def is_unfinished(name: str) -> bool:
    """Return whether this is the name under which a bag is written before it is whole."""
    return name.startswith(".") and name.endswith(_UNFINISHED)


def shown(name: str) -> str:
    """Return a name on one line of text, whatever it holds."""
    return "".join(letter if letter.isprintable() else f"[U+{ord(letter):04X}]" for letter in name)


def told_apart(name: str) -> str:
    """Return a name that should be of plain letters with every other sign told by its number as well.

    A letter of another script may look the same, and some signs cannot be seen at all.
    """
    return "".join(
        letter
        if letter.isascii() and letter.isprintable()
        else f"{letter if letter.isprintable() else ''}[U+{ord(letter):04X}]"
        for letter in name
    )
