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

NUMBERED = re.compile(r"(?P<number>\d{4})-.+", re.S)
"""How the folder of the closing and of every entry is named."""

_UNFINISHED = ".dossier-new"


def unfinished(name: str) -> str:
    """Return the name under which a bag is written before it is whole."""
    return f".{name}{_UNFINISHED}"


def is_unfinished(name: str) -> bool:
    """Return whether this is the name under which a bag is written before it is whole."""
    return name.startswith(".") and name.endswith(_UNFINISHED)
