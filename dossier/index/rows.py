"""One job folder into the rows that the index keeps of it.

In: a job folder and the office's sheets. Out: `JobRows`, plain text in the order of the schema's columns. Must not
know SQL, nor today. What build or a later entry judged is on the job's card; where no card stands, the record is
read by its own reader. A job is never left out, and never taken in silence.
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from zlib import crc32

from dossier.index.card import Card, Row, record_digests, standing_card, write_card
from dossier.index.punch import punch_list
from dossier.index.sheets import Sheets


@dataclass(frozen=True)
class JobRows:
    """Every row of one job, each without the job's id, in the order of the schema's columns."""

    id: int
    folder: str
    job: Row
    tables: dict[str, list[Row]]
    said: Row
    fault: str

    @property
    def address(self) -> str:
        """Return the address, for the table of streets."""
        return str(self.said[1])


def rows_of(job: Path, folder: str, sheets: Sheets) -> JobRows:
    """Return the rows of one job. folder: its path from the office folder. Never raises for what it holds."""
    record = record_digests(job)
    card = standing_card(job, sheets, record) or _read(job, sheets, record)
    known = {str(row[3]) for row in card.tables["registration"]}
    listed = punch_list(job, known, sealed=card.is_sealed)
    fault = " ".join(dict.fromkeys((*card.faults, *([listed.fault] if listed.fault else []))))
    name = folder.rpartition("/")[2]
    return JobRows(
        id=id_of(folder, str(card.head[3])),
        folder=folder,
        job=(
            card.number or name,
            *card.head,
            int(card.is_sealed),
            listed.standing,
            card.spare,
            fault[:4_000],
        ),
        tables={
            **card.tables,
            "item": list(listed.items),
            "deadline": [*card.tables["deadline"], *listed.deadlines],
        },
        said=(both(card.number, name), *card.said),
        fault=fault,
    )


def leave_card(job: Path, sheets: Sheets) -> None:
    """Leave the card of a job, after a command has changed it; never raises for what it holds."""
    record = record_digests(job)
    if standing_card(job, sheets, record) is None:
        write_card(job, _read(job, sheets, record))


def _read(job: Path, sheets: Sheets, record: dict[str, str]) -> Card:
    # Loaded here, since an index is made again from cards without any model.
    from dossier.index.record import card_of

    return card_of(job, sheets, record)


def id_of(folder: str, contract_on: str) -> int:
    """Return the number a job goes by in the index: later contracts come later, and it is always the same."""
    day = date.fromisoformat(contract_on).toordinal() if contract_on else 0
    return day << 32 | crc32(folder.encode("utf-8", "replace"))


def both(*texts: str) -> str:
    """Return texts as typed, and each that has signs in it once more without them: 555-0141 5550141."""
    parts = []
    for text in texts:
        bare = "".join(letter for letter in text if letter.isalnum())
        parts.append(f"{text} {bare}" if bare != text else text)
    return " ".join(parts).strip()
