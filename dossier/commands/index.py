"""`dossier index`: every job folder of the office looked at, and the index brought up to date."""

import sqlite3
from pathlib import Path

from dossier.commands.tables import line
from dossier.errors import CannotWrite, ExitCode
from dossier.index.answer import Say
from dossier.index.keep import Kept, update_all
from dossier.index.store import Opened, index_path, is_busy, is_damage, open_index, replace
from dossier.values import Progress, plural, silent


def run_index(office: Path, anew: bool, say: Say, progress: Progress = silent) -> ExitCode:
    """Bring the index up to date and print what was found.

    Returns 3 where a folder could not be read, or not whole: a job is in the index all the same, as far as it
    could be, and one in a folder that cannot be looked into stays as it was last read.
    Raises CannotWrite where the index cannot be kept.
    """
    kept = _kept(office, anew, say, progress)
    print(
        f"{plural(kept.jobs, 'job')} in {index_path(office)}: {kept.read:,} read, {len(kept.gone):,} gone, "
        f"{kept.jobs - kept.read:,} unchanged."
    )
    for folder in kept.gone:
        print(f"  {line(folder)} is no longer there.")
    for folder, fault in kept.faults:
        print(f"  {line(folder)}: {line(fault)}")
    return ExitCode.UNREADABLE_INPUT if kept.faults else ExitCode.NOTHING_HELD_UP


def _kept(office: Path, anew: bool, say: Say, progress: Progress) -> Kept:
    for attempt in (1, 2):
        opened: Opened | None = None
        try:
            opened = open_index(office)
            if opened.in_memory or opened.read_only:
                raise _cannot_write(office, "this user may not write there")
            for sentence in opened.said:
                say(sentence)
            faults = opened.connection.execute("PRAGMA quick_check(1)").fetchone()[0]
            if faults != "ok":
                raise sqlite3.DatabaseError(str(faults).splitlines()[-1])
            return update_all(opened.connection, office, anew=anew, progress=progress)
        except sqlite3.DatabaseError as problem:
            if attempt == 2 or opened is None or not is_damage(problem):
                says = "another run is writing it" if is_busy(problem) else str(problem)
                raise _cannot_write(office, says) from problem
            say(f"The index was damaged ({problem}). It is made again from the folders.")
            opened.connection.close()
            replace(index_path(office))
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
