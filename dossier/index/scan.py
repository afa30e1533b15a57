"""The job folders of an office, and a stamp for each that changes when its files do.

In: the office folder. Out: names of folders and stamps. Must not open a record. A stamp is made of sizes and
times only, so that looking at many folders stays cheap; it decides what is read again, never what is true.
"""

import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from zlib import crc32

# The models know these names too; this module does not load them, so that a question is quickly answered.
JOB_FILE, PUNCH_LIST, SEALED = "job.yaml", "out/punch-list.json", "sealed"
COMPANY = "company.yaml"

MOST_LEVELS = 6
"""How far below the office folder a job may lie: by year, by town, and some room to spare."""


def job_folders(office: Path) -> Iterator[str]:
    """Yield every job folder, from the office folder, in order: a folder with a job.yaml.

    Not one below another job, nor in a hidden folder, nor behind a link, nor deeper than six levels.
    """
    yield from _below(office, "", 0)


def _below(folder: Path | str, prefix: str, level: int) -> Iterator[str]:
    try:
        with os.scandir(folder) as scan:
            names = sorted(
                entry.name
                for entry in scan
                if not entry.name.startswith(".") and entry.is_dir(follow_symlinks=False)
            )
    except OSError:
        # A folder that may not be looked into holds no job for this user.
        return
    for name in names:
        inner = f"{prefix}{name}"
        path = os.path.join(folder, name)  # noqa: PTH118
        if os.path.lexists(os.path.join(path, JOB_FILE)):  # noqa: PTH118
            if _is_text(inner):
                yield inner
        elif level + 1 < MOST_LEVELS:
            yield from _below(path, f"{inner}/", level + 1)


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
    """Return the stamp of one job. office_stamp: of the sheets, which change what follows from a record."""
    parts = [_stat(os.path.join(job, name)) for name in (JOB_FILE, PUNCH_LIST, SEALED)]  # noqa: PTH118
    return f"{' '.join(parts)} {office_stamp}"


def office_stamp(office: Path) -> str:
    """Return the stamp of an office's terms sheets and catalogues, and of what it promises itself."""
    try:
        with os.scandir(office / "terms") as scan:
            parts = sorted(f"{entry.name} {_stat(entry.path)}" for entry in scan)
    except OSError:
        parts = []
    parts.append(_stat(os.path.join(office, COMPANY)))  # noqa: PTH118
    return f"{crc32(chr(10).join(parts).encode('utf-8', 'replace')):08x}"


def changed(
    office: Path, known: Mapping[str, str], *, anew: bool = False
) -> tuple[list[str], list[tuple[str, str]], list[str]]:
    """Return the folders that are there, those to read with their new stamps, and those that are gone.

    known: stamps by folder, as the index has them. anew: whether every folder is to be read.
    """
    of_office = office_stamp(office)
    there = list(job_folders(office))
    stale = []
    for folder in there:
        # Taken before the files are read: a change in between makes the next scan look again.
        found = stamp_of(office / folder, of_office)
        if anew or known.get(folder) != found:
            stale.append((folder, found))
    return there, stale, sorted(set(known) - set(there))


def _stat(path: str) -> str:
    try:
        status = os.stat(path)  # noqa: PTH116
    except OSError:
        return "-"
    return f"{status.st_size}:{status.st_mtime_ns}"
