"""The job folders of an office, and a stamp for each that changes when its files do.

In: the office folder. Out: names of folders and stamps. Must not open a record. A stamp is made of sizes and
times only, so that looking at many folders stays cheap; it decides what is read again, never what is true.
"""

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from zlib import crc32

# The models know these names too; this module does not load them, so that a question is quickly answered.
JOB_FILE, PUNCH_LIST, SEALED = "job.yaml", "out/punch-list.json", "sealed"
PHOTO_FILE, FILE_FOLDERS, CLOSEOUT = "photos.yaml", ("photos", "papers"), "0001-closeout"
COMPANY, KEYS = "company.yaml", "keys"

MOST_LEVELS = 6
"""How far below the office folder a job may lie: by year, by town, and some room to spare."""


@dataclass(frozen=True)
class LookedThrough:
    """What a walk through an office came to. jobs: folders with a job.yaml, in order.

    unread: folder and reason, where there may be a job that this user cannot read.
    """

    jobs: tuple[str, ...]
    unread: tuple[tuple[str, str], ...]


def job_folders(office: Path) -> Iterator[str]:
    """Yield every job folder, from the office folder, in order: a folder with a job.yaml.

    Not one below another job, nor in a hidden folder, nor behind a link, nor deeper than six levels.
    """
    yield from look_through(office).jobs


def look_through(office: Path) -> LookedThrough:
    """Return every job folder of an office, and every folder in which there may be one that cannot be read."""
    jobs: list[str] = []
    unread: list[tuple[str, str]] = []
    _look_into(office, "", 0, jobs, unread)
    return LookedThrough(tuple(jobs), tuple(sorted(unread)))


def _look_into(
    folder: Path | str, prefix: str, level: int, jobs: list[str], unread: list[tuple[str, str]]
) -> None:
    here = prefix.removesuffix("/")
    try:
        with os.scandir(folder) as scan:
            entries = sorted(scan, key=lambda entry: entry.name)
        names = [e.name for e in entries if e.is_dir(follow_symlinks=False)]
    except OSError as problem:
        if here != KEYS:
            unread.append((_shown(here), f"cannot be looked into: {problem.strerror}"))
        return
    if prefix and any(entry.name == JOB_FILE for entry in entries):
        # Its name is seen, and the file could not be reached.
        unread.append((_shown(here), f"holds a {JOB_FILE} that this user may not reach"))
        return
    if prefix and SEALED in names and os.path.lexists(f"{os.fspath(folder)}/{SEALED}/{CLOSEOUT}"):
        # What is sealed in it must not pass for a job of its own.
        unread.append((_shown(here), f"holds {SEALED}/ and no {JOB_FILE}"))
        return
    for name in names:
        if name.startswith("."):
            continue
        inner = f"{prefix}{name}"
        path = os.path.join(folder, name)  # noqa: PTH118
        if os.path.lexists(os.path.join(path, JOB_FILE)):  # noqa: PTH118
            if _is_text(inner):
                jobs.append(inner)
            else:
                unread.append((_shown(inner), "has a name that is no text in UTF-8"))
        elif level + 1 < MOST_LEVELS:
            _look_into(path, f"{inner}/", level + 1, jobs, unread)


def _shown(folder: str) -> str:
    """Return a folder's path as text, whatever bytes it is made of; a full stop for the office itself."""
    return folder.encode("utf-8", "backslashreplace").decode() or "."


def _is_text(name: str) -> bool:
    """Return whether a name is text; one that is not cannot be kept in the index, nor typed."""
    try:
        name.encode()
    except UnicodeEncodeError:
        return False
    return True


def folder_of(office: Path, job: Path) -> str | None:
    """Return a job's path from the office folder; None where a scan would not come across it."""
    try:
        parts = job.resolve().relative_to(office.resolve()).parts
    except (ValueError, OSError):
        return None
    if not parts or len(parts) > MOST_LEVELS or any(part.startswith(".") for part in parts):
        return None
    above = [office.joinpath(*parts[:level]) for level in range(1, len(parts))]
    if any(os.path.lexists(folder / JOB_FILE) for folder in above):
        return None
    return "/".join(parts) if _is_text("/".join(parts)) else None


def stamp_of(job: Path | str, office_stamp: str) -> str:
    """Return the stamp of one job. office_stamp: of the sheets, which change what follows from a record.

    An entry is in it by itself, since one put back inside its folder changes no folder above. Of a job that
    is not closed yet photos and papers are in it too, since its punch list may be older than they are.
    """
    base = os.fspath(job)
    parts = [_stat(f"{base}/{name}") for name in (JOB_FILE, PUNCH_LIST)]
    names = _names(f"{base}/{SEALED}")
    if CLOSEOUT in names:
        # Of a closed job that record counts, and the other only where it is not there.
        parts.append(_stat(f"{base}/{SEALED}/{CLOSEOUT}/data/{JOB_FILE}"))
    for name in names:
        if name != CLOSEOUT:
            parts.append(_stat(f"{base}/{SEALED}/{name}/data/entry.yaml"))
    if CLOSEOUT not in names:
        parts += [f"{name} {time_ns}" for name, time_ns in open_times(base)]
    # Names may be long and many, and a stamp is kept for every job.
    told = crc32("\n".join(names + parts[2:]).encode("utf-8", "replace"))
    return f"{parts[0]} {parts[1]} {told:08x} {office_stamp}"


def open_times(job: str) -> list[tuple[str, int]]:
    """Return the times of what a punch list is made from beside job.yaml: names in the job → nanoseconds.

    photos.yaml, and the folders of photos and papers one level down, as phases lie. A file that is written
    over in place changes no folder, and is not seen.
    """
    found = []
    for name in (PHOTO_FILE, *FILE_FOLDERS):
        time_ns = _time_ns(f"{job}/{name}")
        if time_ns is None:
            continue
        found.append((name, time_ns))
        if name == PHOTO_FILE:
            continue
        try:
            with os.scandir(f"{job}/{name}") as scan:
                below = [entry for entry in scan if entry.is_dir(follow_symlinks=False)]
                found += sorted(
                    (f"{name}/{entry.name}", entry.stat(follow_symlinks=False).st_mtime_ns)
                    for entry in below
                )
        except OSError:
            continue
    return found


_CHANGING_KINDS = ("-correction", "-late-paper", "-late-photo", "-registration-confirmed")


def entry_times(job: str) -> list[int]:
    """Return the times in nanoseconds of the entries that change the record, by their folders' names."""
    found = []
    for name in _names(f"{job}/{SEALED}"):
        if name.endswith(_CHANGING_KINDS):
            time_ns = _time_ns(f"{job}/{SEALED}/{name}/data/entry.yaml")
            found += [] if time_ns is None else [time_ns]
    return found


def _names(folder: str) -> list[str]:
    try:
        return sorted(os.listdir(folder))  # noqa: PTH208
    except OSError:
        return []


def _time_ns(path: str) -> int | None:
    try:
        return os.stat(path).st_mtime_ns  # noqa: PTH116
    except OSError:
        return None


def office_stamp(office: Path) -> str:
    """Return the stamp of an office's terms sheets and catalogues, and of what it promises itself."""
    try:
        with os.scandir(office / "terms") as scan:
            parts = sorted(f"{entry.name} {_stat(entry.path)}" for entry in scan)
    except OSError:
        parts = []
    parts.append(_stat(os.path.join(office, COMPANY)))  # noqa: PTH118
    return f"{crc32(chr(10).join(parts).encode('utf-8', 'replace')):08x}"


@dataclass(frozen=True)
class Changes:
    """What a walk found against the index. stale: folders to read, with their new stamps. gone: no longer there.

    unread: folder and reason; jobs in one are neither stale nor gone, and stay in the index as last read.
    """

    there: tuple[str, ...]
    stale: tuple[tuple[str, str], ...]
    gone: tuple[str, ...]
    unread: tuple[tuple[str, str], ...]


def changed(office: Path, known: Mapping[str, str], *, anew: bool = False) -> Changes:
    """Return what changed since the index was made.

    known: stamps by folder, as the index has them. anew: whether every folder is to be read.
    """
    of_office = office_stamp(office)
    found = look_through(office)
    above = os.fspath(office)
    stale = []
    for folder in found.jobs:
        # Taken before the files are read: a change in between makes the next scan look again.
        stamp = stamp_of(f"{above}/{folder}", of_office)
        if anew or known.get(folder) != stamp:
            stale.append((folder, stamp))
    closed = [folder for folder, _ in found.unread]
    gone = [
        folder
        for folder in sorted(set(known) - set(found.jobs))
        if not any(one in (".", folder) or folder.startswith(f"{one}/") for one in closed)
    ]
    return Changes(found.jobs, tuple(stale), tuple(gone), found.unread)


def _stat(path: str) -> str:
    try:
        status = os.stat(path)  # noqa: PTH116
    except OSError:
        return "-"
    return f"{status.st_size}:{status.st_mtime_ns}"
