"""The punch list as build wrote it last: rows, days, and how it stands to the files of the job.

In: a job folder. Out: `Listed`. Must not know SQL, nor today. How it stands goes by times of files alone.
"""

import json
import os
from collections.abc import Set
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from dossier.index.card import Row
from dossier.index.scan import JOB_FILE, PHOTO_FILE, PUNCH_LIST, entry_times, open_times
from dossier.index.sheets import read_small
from dossier.values import clip

MOST_ITEMS = 2_000


@dataclass(frozen=True)
class Listed:
    """The rows of one list. standing: none, current, older than something, or unreadable."""

    standing: str
    items: tuple[Row, ...] = ()
    deadlines: tuple[Row, ...] = ()
    fault: str = ""


def punch_list(job: Path, known: Set[str], *, sealed: bool) -> Listed:
    """Return the list of a job. known: days that follow from the record, which is never older than the list."""
    data = read_small(f"{job}/{PUNCH_LIST}")
    if data is None:
        return Listed("none")
    try:
        rows = tuple(_item(item) for item in json.loads(data)["items"][:MOST_ITEMS])
        days = {row[5] for row in rows if row[5]}
        for day in days:
            date.fromisoformat(day)
        # Half a letter is no text, and nothing keeps it.
        str(rows).encode()
    except (ValueError, KeyError, TypeError, RecursionError):
        return Listed("unreadable", fault=f"{PUNCH_LIST} cannot be read; build the job again.")
    deadlines = tuple((day, "punch list", "") for day in sorted(days - known))
    return Listed(_standing(str(job), sealed), rows, deadlines)


def _standing(job: str, sealed: bool) -> str:
    """Return how the list stands to the record, by times of files; a closed job is compared with its entries."""
    try:
        built_ns = os.stat(f"{job}/{PUNCH_LIST}").st_mtime_ns  # noqa: PTH116
        if sealed:
            # What is typed after the seal does not count; an entry that came since does.
            later = max(entry_times(job), default=0)
            return "older than the record" if built_ns < later else "current"
        if built_ns < os.stat(f"{job}/{JOB_FILE}").st_mtime_ns:  # noqa: PTH116
            return "older than the record"
    except OSError:
        return "current"
    newer = [name for name, at_ns in open_times(job) if built_ns < at_ns]
    if PHOTO_FILE in newer:
        return "older than the record"
    return "older than the photos or papers" if newer else "current"


def _item(item: Any) -> Row:
    return (
        str(item["rule"]),
        str(item["weight"]),
        str(item["verdict"]),
        str(item["owed_by"]),
        ", ".join(str(held) for held in item["holds"]),
        str(item["due"] or ""),
        clip(str(item["says"]), 120),
        clip(str(item["remedy"]), 120),
    )
