"""The card of one job: the plain rows of its record, kept beside it with the digests of what they were made from.

In: a job folder. Out: a `Card`, read or written. Must not read a record. A card is a convenience: one that is not
there, is a link, too large, damaged, of another form, or made from other bytes than lie there now is as good as
none, and the record is read anew.
"""

import contextlib
import json
import os
import secrets
from dataclasses import asdict, dataclass, replace
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any

from dossier.index.migrations import steps
from dossier.index.scan import CLOSEOUT, JOB_FILE, SEALED
from dossier.index.sheets import Sheets, digest, names_in, read_small
from dossier.index.store import WORK
from dossier.record.places import ENTRY_FILE

FILE_NAME = "card.json"
MOST_BYTES = 4_000_000
SEALED_PLACE = f"{SEALED}/{CLOSEOUT}"
_SEALED_RECORD = f"{SEALED_PLACE}/data/{JOB_FILE}"

TABLES = ("owner", "product", "lot", "registration", "deadline", "entry")
"""The tables of which a card holds rows."""

Row = tuple[Any, ...]


@dataclass(frozen=True)
class Card:
    """What the index keeps of one record, without what depends on the folder's place or on times of files.

    record, sheets: place → digest, blank for what was looked for and not there. head: the columns of `job` from
    address to redecked. said: the columns of `said` from address on.
    """

    record: dict[str, str]
    sheets: dict[str, str]
    number: str
    head: Row
    spare: str
    tables: dict[str, list[Row]]
    said: Row
    faults: list[str]

    @property
    def is_sealed(self) -> bool:
        """Return whether the job is closed out."""
        return SEALED_PLACE in self.record


def record_digests(job: Path | str) -> dict[str, str]:
    """Return the record that counts, then every folder in `sealed/`, each with the digest of what it says."""
    found = {}
    for name in names_in(f"{job}/{SEALED}"):
        place = f"{SEALED}/{name}"
        # An entry is not read through a link.
        is_link = os.path.islink(f"{job}/{place}")  # noqa: PTH114
        found[place] = "" if is_link else digest(read_small(f"{job}/{place}/{ENTRY_FILE}"))
    data = read_small(f"{job}/{_SEALED_RECORD}") if SEALED_PLACE in found else None
    if data is not None:
        return {_SEALED_RECORD: digest(data), **found}
    return {JOB_FILE: digest(read_small(f"{job}/{JOB_FILE}")), **found}


def standing_card(job: Path, sheets: Sheets, record: dict[str, str]) -> Card | None:
    """Return the card of a job that was made from what lies there now; None where there is none.

    record: as `record_digests` has it at this moment.
    """
    if os.path.islink(f"{job}/{WORK}"):  # noqa: PTH114
        return None
    data = read_small(f"{job}/{WORK}/{FILE_NAME}", MOST_BYTES, getattr(os, "O_NOFOLLOW", 0))
    head, _, body = (data or b"").partition(b"\n")
    if head != _head(body):
        return None
    try:
        whole = json.loads(b"%b\n%b" % (head, body))
        if whole["form"] != _form() or whole["card"]["record"] != record:
            return None
        card = Card(**whole["card"])
        if any(sheets.look(job, place)[1] != told for place, told in card.sheets.items()):
            return None
        tables = {name: [tuple(row) for row in rows] for name, rows in card.tables.items()}
        read = replace(card, tables=tables, head=tuple(card.head), said=tuple(card.said))
        return read if _could_be_made(read) else None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _could_be_made(card: Card) -> bool:
    """Return whether a card has the shape of one; raises ValueError for text that is none.

    Its check is no secret: anybody may write one that it fits.
    """
    json.dumps(asdict(card), ensure_ascii=False).encode()
    if set(card.tables) != set(TABLES) or (len(card.head), len(card.said)) != (7, 8):
        return False
    date.fromisoformat(card.head[3] or "2000-01-01")
    rows = (card.head, *(row for table in card.tables.values() for row in table))
    texts = (card.number, card.spare, *card.head, *card.said, *card.faults)
    return all(isinstance(cell, str | int | None) for row in rows for cell in row) and all(
        isinstance(text, str) for text in texts
    )


def write_card(job: Path, card: Card) -> None:
    """Leave the card of a job whole, or not at all; never raises. One with a fault in it is not kept."""
    body = json.dumps({"form": _form(), "card": asdict(card)}, separators=(",", ":"))[1:].encode()
    data = b"%b\n%b" % (_head(body), body)
    folder = job / WORK
    if card.faults or len(data) > MOST_BYTES or folder.is_symlink():
        return
    temporary = folder / f"{FILE_NAME}.{secrets.token_hex(8)}.tmp"
    with contextlib.suppress(OSError):
        try:
            folder.mkdir(exist_ok=True)
            temporary.write_bytes(data)
            temporary.replace(folder / FILE_NAME)
        except OSError:
            temporary.unlink(missing_ok=True)


def _head(body: bytes) -> bytes:
    return b'{"check":"%b",' % sha256(body).hexdigest().encode()


def _form() -> int:
    """Return the form of rows, which is that of the index: what changes them is a step there."""
    return steps()[-1].number
