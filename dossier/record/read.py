"""A job folder's record files into a `Record`.

In: the job folder and the names of the files in it. Out: a `Read` of the job, its photo list and the
lines of both. Must not open a photo or a paper, nor know the office folder.
"""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from dossier.punchlist import Where
from dossier.reading.model import Lines, Model, Read, read_model
from dossier.reading.nodes import Mapping, Node, Reading, read_tree
from dossier.record.corrections import apply
from dossier.record.entry import Entry
from dossier.record.files import Paper, Photo, PhotoList, placed_paper, placed_photo
from dossier.record.job import Job
from dossier.record.migrations import JOB_MIGRATIONS, Migration, migrated
from dossier.record.trees import JOB_FILE, PHOTO_FILE

__all__ = ["JOB_FILE", "PHOTO_FILE"]

M = TypeVar("M", bound=Model)


@dataclass(frozen=True)
class Listed:
    """The photos and papers of a job, and for each file where its entry stands (if it has one).

    again: files that are listed more than once: the file, where it is listed first, and where again. The
    last listing holds.
    """

    photos: tuple[Photo, ...]
    papers: tuple[Paper, ...]
    photo_wheres: dict[str, Where]
    paper_wheres: dict[str, Where]
    again: tuple[tuple[str, Where, Where], ...] = ()


def read_job(
    folder: Path,
    newest_version: int,
    migrations: Sequence[Migration] = JOB_MIGRATIONS,
    entries: Sequence[Entry] = (),
) -> Read[Job]:
    """Return the job typed in `job.yaml`, or the items that say why it cannot be read.

    entries: of a sealed job, oldest first; the record is returned as they leave it.
    """
    return job_in(read_tree(folder / JOB_FILE, JOB_FILE), newest_version, migrations, entries)


def job_in(
    reading: Reading,
    newest_version: int,
    migrations: Sequence[Migration] = JOB_MIGRATIONS,
    entries: Sequence[Entry] = (),
) -> Read[Job]:
    """Return the job that the tree of a file holds, or the items that say why it holds none.

    A file of an earlier version is read by way of the migrations, and stays as it is.
    """
    newest = newest_tree(reading, newest_version, migrations)
    if newest.tree is None:
        return Read(None, newest.items, Lines(JOB_FILE))
    return _after(newest.tree, JOB_FILE, Job, entries)


def newest_tree(
    reading: Reading, newest_version: int, migrations: Sequence[Migration] = JOB_MIGRATIONS
) -> Reading:
    """Return the tree of `job.yaml` as of the newest version, or the items that say why there is none."""
    if reading.tree is None:
        return reading
    tree, too_new = migrated(reading.tree, JOB_FILE, "record", newest_version, migrations)
    return Reading(JOB_FILE, None, (too_new,)) if too_new else Reading(JOB_FILE, tree)


def _after(tree: Node, file: str, model: type[M], entries: Sequence[Entry]) -> Read[M]:
    applied = apply(tree, file, entries)
    if applied.items:
        return Read(None, applied.items, Lines(file))
    return read_model(applied.tree, file, model)


def read_photo_list(folder: Path, entries: Sequence[Entry] = ()) -> Read[PhotoList]:
    """Return the photo list; an empty one where the folder has no `photos.yaml`. entries: as for the job."""
    reading = photo_tree(folder)
    if reading.tree is None:
        return Read(None, reading.items, Lines(PHOTO_FILE))
    return _after(reading.tree, PHOTO_FILE, PhotoList, entries)


def photo_tree(folder: Path) -> Reading:
    """Return the tree of `photos.yaml`; an empty group where the folder has none."""
    path = folder / PHOTO_FILE
    try:
        os.lstat(path)
    except (FileNotFoundError, NotADirectoryError):
        return Reading(PHOTO_FILE, Mapping({}, 1, 1))
    except OSError:
        # It may well be there; reading it, below, says why it cannot be looked at.
        pass
    return read_tree(path, PHOTO_FILE)


def merge_files(
    job: Read[Job],
    photo_list: Read[PhotoList],
    photo_files: Sequence[str],
    paper_files: Sequence[str],
) -> Listed:
    """Return every photo and paper once: as listed where somebody listed it, else as placed.

    photo_files, paper_files: what lies below `photos/` and `papers/`. An entry's blank phase, slope and
    caption, or kind, are filled from the file's place. A photo that neither is listed nor lies in a
    phase's folder is left out; it is a stray.
    """
    assert job.model is not None
    assert photo_list.model is not None
    labels = [slope.label for slope in job.model.slopes]
    photos: dict[str, Photo] = {}
    photo_wheres: dict[str, Where] = {}
    again: list[tuple[str, Where, Where]] = []
    for number, photo in enumerate(photo_list.model.photos):
        placed = placed_photo(photo.file, labels)
        photos[photo.file] = photo.model_copy(
            update={
                "phase": photo.phase or placed.phase,
                "slope": photo.slope or placed.slope,
                "caption": photo.caption or placed.caption,
            }
        )
        where = photo_list.lines.where(f"photos.{number}.file")
        if photo.file in photo_wheres:
            again.append((photo.file, photo_wheres[photo.file], where))
        photo_wheres[photo.file] = where
    for file in photo_files:
        placed = placed_photo(file, labels)
        if file not in photos and placed.phase is not None:
            photos[file] = placed
    papers: dict[str, Paper] = {}
    paper_wheres: dict[str, Where] = {}
    for number, paper in enumerate(job.model.papers):
        kind = paper.kind or placed_paper(paper.file).kind
        papers[paper.file] = paper.model_copy(update={"kind": kind})
        where = job.lines.where(f"papers.{number}.file")
        if paper.file in paper_wheres:
            again.append((paper.file, paper_wheres[paper.file], where))
        paper_wheres[paper.file] = where
    for file in paper_files:
        if file not in papers and (placed_kind := placed_paper(file)).kind is not None:
            papers[file] = placed_kind
    return Listed(
        tuple(photos[file] for file in sorted(photos)),
        tuple(papers[file] for file in sorted(papers)),
        photo_wheres,
        paper_wheres,
        tuple(again),
    )
