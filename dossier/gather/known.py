"""What a job already has, before a heap is looked at.

In: the job folder. Out: its record, its photos as listed or placed, and the facts of every photo and
paper in it, unsorted ones included. Must not know any heap.
"""

from collections.abc import Mapping
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.errors import UnreadableInput
from dossier.evidence import list_files, measure
from dossier.gather.proposal import Known
from dossier.reading.model import Read
from dossier.record.job import Job
from dossier.record.read import merge_files, read_job, read_photo_list
from dossier.values import Progress, silent
from dossier.words import Phase


def readable_job(folder: Path) -> Read[Job]:
    """Return the job's record; raises UnreadableInput with its first fault where it has one."""
    job = read_job(folder, RECORD_VERSION)
    if job.model is None:
        raise UnreadableInput(job.items[0].says, job.items[0].remedy)
    return job


def read_known(
    folder: Path,
    job: Read[Job],
    progress: Progress = silent,
    phase_words: Mapping[str, Phase] | None = None,
    slope_words: Mapping[str, str] | None = None,
) -> Known:
    """Return what the job has; raises UnreadableInput where `photos.yaml` cannot be read.

    phase_words, slope_words: the office's own words.
    """
    assert job.model is not None
    photo_list = read_photo_list(folder)
    if photo_list.model is None:
        raise UnreadableInput(photo_list.items[0].says, photo_list.items[0].remedy)
    photos, papers = list_files(folder, "photos"), list_files(folder, "papers")
    listed = merge_files(job, photo_list, photos, papers)
    facts = measure(
        folder,
        (*(photo.file for photo in listed.photos), *photos),
        (*(paper.file for paper in listed.papers), *papers),
        # The cache keeps what the job lists; measured with its unsorted photos it would be written
        # anew by every command in turn.
        cache_folder=None,
        progress=progress,
    )
    return Known(job.model, listed.photos, facts, phase_words or {}, slope_words or {})
