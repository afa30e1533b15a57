"""Other jobs of the office that carry the number or the permit of one job.

In: the office folder, one job and its numbers. Out: the other folders. Must not make or mend an index: where none
is there to be read, nothing is known. What it says is read again in the other record, which may have changed.
"""

import sqlite3
from dataclasses import dataclass
from pathlib import Path

from dossier.index.scan import JOB_FILE, folder_of
from dossier.index.states import states_of
from dossier.index.store import as_it_is


@dataclass(frozen=True)
class Same:
    """Another job with the same numbers. folder: from the office folder."""

    folder: str
    number: bool
    permit: bool


def same_numbers(
    office: Path, job: Path, number: str, permit: str | None, locality: str
) -> tuple[Same, ...]:
    """Return the other jobs with this job's number, or with its permit of the same locality, by folder."""
    folder = folder_of(office, job)
    connection = as_it_is(office) if folder is not None else None
    if connection is None:
        return ()
    try:
        rows = connection.execute(
            "SELECT folder FROM job WHERE folder <> ? AND (number = ? OR (permit = ? AND permit <> ''))"
            " ORDER BY folder",
            (folder, number, permit or ""),
        ).fetchall()
    except sqlite3.Error:
        return ()
    finally:
        connection.close()
    found = (_compared(office, other, number, permit, locality) for (other,) in rows)
    return tuple(same for same in found if same.number or same.permit)


def _compared(office: Path, folder: str, number: str, permit: str | None, locality: str) -> Same:
    other = states_of(office / folder / JOB_FILE, ())[0][0].job
    its_permit = other.permit.number if other and other.permit else None
    return Same(
        folder,
        number=other is not None and other.job.number == number,
        permit=other is not None
        and permit is not None
        and its_permit == permit
        and other.job.locality == locality,
    )
