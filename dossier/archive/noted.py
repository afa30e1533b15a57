"""What a digest that somebody wrote down says of the sealed folders as they are now.

In: sealed folders that were verified, a digest as typed. Out: sentences: what is the same, what differs, what
cannot be told. Must not read a file. Nothing in a folder says that a later one ever stood beside it, so only
something kept elsewhere can show that the newest was taken away.
"""

import re
from dataclasses import dataclass

from dossier.archive.verify import Verified
from dossier.errors import WrongCommand

_DIGEST = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True)
class Compared:
    """What comparing came to. same, differences, notes: sentences."""

    same: tuple[str, ...] = ()
    differences: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def digest_typed(text: str) -> str:
    """Return a digest as it is compared: 64 hexadecimal digits in lower case, without spaces.

    Raises WrongCommand for anything else: of a part of a digest it could not be said how much it covers.
    """
    found = "".join(text.split()).lower()
    if not _DIGEST.fullmatch(found):
        raise WrongCommand(
            f"The digest has {len(found)} characters, and 64 are needed, each 0 to 9 or a to f.",
            "Give the whole digest, as dossier seal or a later document printed it.",
        )
    return found


def compare_noted(found: Verified, digest: str) -> Compared:
    """Return how a digest that was kept elsewhere compares with the sealed folders.

    digest: as `digest_typed` returns it. The digest of an older folder is no difference: it was written down
    before the later ones were sealed.
    """
    newest = found.bags[-1] if found.bags else None
    if newest is None:
        return Compared(notes=("No sealed folder was there to compare the digest with.",))
    if newest.digest == digest:
        return Compared(
            (
                f"{newest.name}, the newest folder, has the digest given: none that was sealed up to then was "
                "taken away.",
            ),
            (),
            (
                "Whether a folder was sealed after the digest was written down and was then taken away cannot be "
                "told.",
            ),
        )
    older = next((bag for bag in found.bags if bag.digest == digest), None)
    if older is not None:
        return Compared(
            (f"{older.name} has the digest given.",),
            (),
            (
                f"{newest.name} was sealed after that digest was written down; whether one after it was taken "
                "away cannot be told. Its own digest is above.",
            ),
        )
    return Compared(
        (),
        (
            f"{newest.name}, the newest folder, has the digest {newest.digest[:16] or 'none'}…, and the digest "
            f"given is {digest[:16]}…; no folder here has it. The folder it was written down for was changed or "
            "taken away, or the digest is of another job.",
        ),
    )
