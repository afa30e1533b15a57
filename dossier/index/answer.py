"""A question put to the index of an office, with the index brought up to date first as far as that is cheap.

In: the office folder and a question. Out: its answer. Must not know a command line. Whatever had to be done to
the index, or could not be, is said to the caller's `say`, one sentence a call.
"""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from dossier.errors import UnreadableInput
from dossier.index.scan import changed, folder_of
from dossier.index.store import Opened, in_memory, index_path, is_damage, open_index, replace
from dossier.index.unread import closed
from dossier.values import Progress, plural, silent

T = TypeVar("T")
Say = Callable[[str], None]

MOST_LOOKED_AT = 2_000
"""Jobs whose folders are looked at before each answer: some 15 microseconds each, some 60 where a job is not
closed and has a dozen folders of photos. Above it only `dossier index` looks at every folder."""

MOST_GONE_NAMED = 20


def ask(
    office: Path, question: Callable[[sqlite3.Connection], T], say: Say, progress: Progress = silent
) -> T:
    """Return the answer to a question. Raises UnreadableInput where no index can be had at all."""
    for attempt in (1, 2):
        opened: Opened | None = None
        try:
            opened = open_index(office)
            for sentence in opened.said:
                say(sentence)
            opened = _brought_up(opened, office, say, progress)
            return question(opened.connection)
        except sqlite3.DatabaseError as problem:
            if attempt == 2 or not is_damage(problem) or opened is None or opened.read_only:
                raise UnreadableInput(
                    f"The index {index_path(office)} cannot be read: {problem}.",
                    "Another run may be writing it: try again. If that does not help, run: "
                    "dossier index --rebuild",
                ) from problem
            say(f"The index was damaged ({problem}). It is made again from the folders.")
            opened.connection.close()
            replace(index_path(office))
        finally:
            if opened is not None:
                opened.connection.close()
    raise AssertionError("the second attempt returns or raises")


def _brought_up(opened: Opened, office: Path, say: Say, progress: Progress) -> Opened:
    connection = opened.connection
    complete = connection.execute("SELECT 1 FROM about WHERE name = 'complete'").fetchone()
    jobs = connection.execute("SELECT count(*) FROM job").fetchone()[0]
    if complete and jobs > MOST_LOOKED_AT:
        say(
            f"{plural(jobs, 'job')} in the index as it stands; "
            "“dossier index” looks at every folder for changes."
        )
        return opened
    known = dict(connection.execute("SELECT folder, stamp FROM job"))
    found = changed(office, known)
    if complete and not (found.stale or found.gone) and found.unread == closed(connection):
        return opened
    # Loaded only where a record has to be read.
    from dossier.index.keep import update_all

    if opened.read_only:
        say("The index cannot be written here, so changed folders are read for this one question.")
        connection.close()
        opened = in_memory()
    try:
        kept = update_all(opened.connection, office, progress=progress)
    except sqlite3.OperationalError as problem:
        say(
            f"The index could not be brought up to date ({problem}); it answers as it stood before."
        )
        return opened
    for folder in kept.gone[:MOST_GONE_NAMED]:
        say(f"{folder} is no longer there, and was taken out of the index.")
    if len(kept.gone) > MOST_GONE_NAMED:
        say(f"And {len(kept.gone) - MOST_GONE_NAMED:,} more.")
    return opened


def keep_current(office: Path | None, job: Path, say: Say) -> None:
    """Leave the card of a job, and bring the index up to it, after a command has changed it. Never raises.

    Does nothing where the job does not lie in the office folder. Where there is no index yet, none is made: the
    first question makes one from all folders.
    """
    # Loaded here, since a question seldom needs them.
    from dossier.index.rows import leave_card
    from dossier.index.sheets import Sheets

    try:
        # What lies inside another job, as what is sealed does, is none of the office's jobs.
        folder = folder_of(office, job) if office is not None else None
        if office is None or folder is None:
            return
        leave_card(job, Sheets(office))
        if not index_path(office).is_file():
            return
        opened = open_index(office)
        try:
            # What was made anew is empty, and filled whole by the next question.
            if opened.said or opened.in_memory or opened.read_only:
                for sentence in opened.said:
                    say(sentence)
                return
            from dossier.index.keep import update_one

            update_one(opened.connection, office, folder)
        finally:
            opened.connection.close()
    except (sqlite3.Error, OSError, ValueError) as problem:
        say(f"The index was not brought up to date: {problem}. “dossier index” does it later.")
