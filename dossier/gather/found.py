"""One value that a file seems to say, beside the words that say it: shown, and written once somebody agrees.

In: what a reader of papers or pictures made out. Out: `Found`. Must not know how it was read nor write anything.
"""

from dataclasses import dataclass

from dossier.hand.means import Change
from dossier.said import Said


@dataclass(frozen=True)
class Found:
    """A proposal of one value, with where it stands.

    file: the paper or photo in the job. page, line: from 1, 0 where there is none. stands: the line as it
    stands there, or the text of the mark. what: the fact in words, such as “lot of starter on ticket 55120”.
    changes: what agreeing would change in `job.yaml`. doubt: why it may be wrong, or None; a doubted one is
    agreed to by itself alone. known: whether the record says just this already.
    """

    file: str
    page: int
    line: int
    stands: str
    what: Said
    changes: tuple[Change, ...]
    doubt: Said | None = None
    known: bool = False
