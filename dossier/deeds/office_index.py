"""Questions about a whole office, each answered from its index; and the index kept up to date.

In: an office folder and a question. Out: the answer, with the folders that could not be read and may change it.
Must load no model, since a question is to be answered at once. Whatever had to be done to the index, or could not
be, is said to `say`, one sentence a call.
"""

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Generic, TypeVar

from dossier.errors import CannotWrite
from dossier.index.answer import Say, ask, keep_current
from dossier.index.due import DueList, due_list
from dossier.index.figures import OfficeFigures, office_figures
from dossier.index.find import Answer, find_jobs
from dossier.index.lots import LotsFound, find_lots
from dossier.index.store import Opened, index_path, is_busy, is_damage, open_index, replace
from dossier.index.unread import not_read
from dossier.values import Progress, silent

if TYPE_CHECKING:
    from dossier.index.keep import Kept

T = TypeVar("T")


@dataclass(frozen=True)
class Told(Generic[T]):
    """An answer. unread: the folders that could not be read, or not whole, each with the reason."""

    answer: T
    unread: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class OfficeAsked:
    """An office that is asked. say: is told what was done to its index."""

    folder: Path
    say: Say
    progress: Progress = silent

    def told(self, question: Callable[[sqlite3.Connection], T]) -> Told[T]:
        """Return the answer to a question. Raises UnreadableInput where no index can be had at all."""
        both = ask(
            self.folder, lambda rows: (question(rows), not_read(rows)), self.say, self.progress
        )
        return Told(*both)


def jobs_with(office: OfficeAsked, words: str) -> Told[Answer]:
    """Return the jobs that carry every word."""
    return office.told(lambda rows: find_jobs(rows, words))


def lots_marked(office: OfficeAsked, mark: str) -> Told[LotsFound]:
    """Return every job, slope and quantity that carries a lot."""
    return office.told(lambda rows: find_lots(rows, mark))


def deadlines(
    office: OfficeAsked, today: date, until: date | None, *, passed: bool
) -> Told[DueList]:
    """Return every deadline that is not met, soonest first. passed: those long over as well."""
    return office.told(lambda rows: due_list(rows, today, until, passed=passed))


def figures(office: OfficeAsked, today: date) -> Told[OfficeFigures]:
    """Return the figures that an owner of the company looks at."""
    return office.told(lambda rows: office_figures(rows, today))


def bring_up_to_date(office: OfficeAsked, *, anew: bool) -> "Kept":
    """Look at every job folder and return what was found. anew: read every job, changed or not.

    Raises CannotWrite where the index cannot be kept.
    """
    from dossier.index.keep import update_all

    folder = office.folder
    for attempt in (1, 2):
        opened: Opened | None = None
        try:
            opened = open_index(folder)
            if opened.in_memory or opened.read_only:
                raise _cannot_write(folder, "this user may not write there")
            for sentence in opened.said:
                office.say(sentence)
            faults = opened.connection.execute("PRAGMA quick_check(1)").fetchone()[0]
            if faults != "ok":
                raise sqlite3.DatabaseError(str(faults).splitlines()[-1])
            return update_all(opened.connection, folder, anew=anew, progress=office.progress)
        except sqlite3.DatabaseError as problem:
            if attempt == 2 or opened is None or not is_damage(problem):
                says = "another run is writing it" if is_busy(problem) else str(problem)
                raise _cannot_write(folder, says) from problem
            office.say(f"The index was damaged ({problem}). It is made again from the folders.")
            opened.connection.close()
            replace(index_path(folder))
        finally:
            if opened is not None:
                opened.connection.close()
    raise AssertionError("the second attempt returns or raises")


def _cannot_write(office: Path, says: str) -> CannotWrite:
    return CannotWrite(
        f"The index {index_path(office)} could not be written: {says}.",
        "Free some space, wait for the other run, or give this user the right to write in the office folder. "
        "The folders themselves were not touched.",
    )


def kept_current(office: Path | None, job: Path) -> Sequence[str]:
    """Bring one job of an index up to its folder after a deed, and return what is to be said of it."""
    said: list[str] = []
    keep_current(office, job, said.append)
    return said
