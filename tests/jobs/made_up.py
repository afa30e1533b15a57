"""Made-up jobs, of this folder or another, worked out in memory without a photo or a paper on disk.

In: `NAME/job.yaml`, its own sheets where the demo office's do not fit, and `NAME/files.yaml`, from which facts
are made: every listed photo opens, has 1200 x 900 pixels and a camera time on its phase's day. Out: a
`Known`, as the edited known-good job gives one. Must not know what is expected of a job.
"""

from collections.abc import Mapping as MappingOf
from collections.abc import Sequence as SequenceOf
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

import yaml

from dossier import __version__
from dossier.assess.assess import assess
from dossier.case.case import Case
from dossier.case.read import Reads, fill_in
from dossier.evidence.facts import Facts, PaperFact, PhotoFact
from dossier.punchlist import Where
from dossier.reading.model import Read, read_model
from dossier.reading.nodes import Node, read_tree
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.record.read import read_photo_list
from dossier.terms.office import Company, Locality
from dossier.terms.read import (
    read_catalogues,
    read_company,
    read_locality,
    read_sheet,
)
from dossier.terms.sheet import TermsSheet
from dossier.values import Run
from dossier.words import Phase
from tests.known_good import DEMO, Known, Unreadable, measured_as_listed

JOBS = Path(__file__).parent
NAMES = tuple(sorted(path.parent.name for path in JOBS.glob("*/job.yaml")))


def loaded(name: str, file: str, jobs: Path = JOBS) -> Any:
    """Return one file beside a job, every scalar as the text that was typed."""
    return yaml.load((jobs / name / file).read_text("utf-8"), Loader=yaml.BaseLoader)


@cache
def job_tree(name: str, jobs: Path = JOBS) -> Node:
    """Return the tree of a job's record."""
    tree = read_tree(jobs / name / "job.yaml", "job.yaml").tree
    assert tree is not None
    return tree


@dataclass(frozen=True)
class Files:
    """What lies below photos/ and papers/ of a job that has no such folders, and what is said of it."""

    photos: tuple[str, ...]
    papers: tuple[str, ...]
    changes: MappingOf[str, MappingOf[str, str]]


@cache
def files(name: str, jobs: Path = JOBS) -> Files:
    """Return the files of a job, from its listing."""
    listing = loaded(name, "files.yaml", jobs)
    photos = [
        f"photos/{phase}/{photo}.jpg"
        for phase, line in listing["photos"].items()
        for photo in line.split(", ")
    ]
    papers = [f"papers/{paper}.pdf" for paper in listing["papers"]]
    changes = listing.get("facts", {})
    assert set(changes) <= {*photos, *papers}, "a change of a file that is not listed"
    return Files(tuple(photos), tuple(papers), changes)


@cache
def made_up(name: str, today: date, jobs: Path = JOBS) -> Known:
    """Return a job as it stands in its folder, worked out for a day."""
    return worked_out(name, today, job_tree(name, jobs), jobs=jobs)


def worked_out(
    name: str,
    today: date,
    tree: Node,
    photos: SequenceOf[str] | None = None,
    papers: SequenceOf[str] | None = None,
    jobs: Path = JOBS,
) -> Known:
    """Return the job that follows from this record; raises Unreadable where it cannot be read.

    photos, papers: the files as the disk lists them; as in the listing where None.
    jobs: the folder that holds the job's.
    """
    reads = _reads(jobs / name, tree)
    listing = files(name, jobs)
    listed = tuple(photos or listing.photos), tuple(papers or listing.papers)
    case, items = fill_in(reads, *listed)
    if case is None:
        raise Unreadable(items)
    run = Run(
        today=today,
        time_zone=UTC,
        version=__version__,
        job_folder=jobs / name,
        office_folder=DEMO,
        out_folder=jobs / name / "out",
        work_folder=jobs / name / ".dossier",
    )
    facts = _facts(name, jobs)
    if photos:
        facts = replace(facts, photos={file: facts.photos[file] for file in photos})
    facts = measured_as_listed(case, facts)
    return Known(case, facts, assess(case, facts, run), run, reads, listed)


def _reads(own: Path, tree: Node) -> Reads:
    job = read_model(tree, "job.yaml", Job)
    locality: Read[Locality] | None = None
    sheets: dict[str, Read[TermsSheet]] = {}
    if job.model is not None:
        place = job.model.job.locality
        locality = _locality(_office(own, f"localities/{place}.yaml"), place)
        for warranty in job.model.warranties:
            office = _office(own, f"terms/{warranty.sheet}.yaml")
            sheets[warranty.sheet] = _sheet(office, warranty.sheet)
    return Reads(
        job=job,
        photo_list=_photo_list(own),
        company=_company(_office(own, "company.yaml")),
        locality=locality,
        sheets=sheets,
        catalogues=(*_catalogues(DEMO), *_catalogues(own)),
    )


def _office(own: Path, file: str) -> Path:
    """Return the folder that has this sheet: the job's own where it has one, else the demo office."""
    return own if (own / file).is_file() else DEMO


# Sheets do not change while the tests run, and the changed records read them hundreds of times.
@cache
def _locality(office: Path, name: str) -> Read[Locality]:
    return read_locality(office, name, Where("job.yaml"))


@cache
def _sheet(office: Path, name: str) -> Read[TermsSheet]:
    return read_sheet(office, name, Where("job.yaml"))


@cache
def _company(office: Path) -> Read[Company]:
    return read_company(office)


@cache
def _catalogues(office: Path) -> tuple[Read[Any], ...]:
    return read_catalogues(office)


@cache
def _photo_list(own: Path) -> Read[PhotoList]:
    return read_photo_list(own)


@cache
def _facts(name: str, jobs: Path) -> Facts:
    """Return what the files of the unchanged job would say."""
    reads = _reads(jobs / name, job_tree(name, jobs))
    listing = files(name, jobs)
    case, items = fill_in(reads, listing.photos, listing.papers)
    assert case is not None, [str(item.says) for item in items]
    photos = {photo.file: _photo(photo.file, case, photo.phase) for photo in case.photos}
    papers = {file: _paper(file) for file in listing.papers}
    for file, changes in listing.changes.items():
        photos[file] = replace(photos[file], **{k: _value(k, v) for k, v in changes.items()})
    return Facts(photos, papers, ())


def _value(field: str, text: str) -> Any:
    if text == "none":
        return None
    if field == "taken_at_local":
        return datetime.fromisoformat(text)
    if field == "size_px":
        width, height = text.split(" x ")
        return int(width), int(height)
    return text


def _photo(file: str, case: Case, phase: Phase | None) -> PhotoFact:
    first, last = case.first_day_of_work(), case.last_day_of_work()
    assert first is not None
    assert last is not None
    logged = [work.first for work in case.work if work.phase is phase]
    day = first - timedelta(days=1) if phase is Phase.BEFORE else min(logged, default=last)
    return PhotoFact(
        file=file,
        exists=True,
        fault=None,
        size_bytes=200_000,
        sha256=sha256(file.encode()).hexdigest(),
        kind="jpeg",
        size_px=(1200, 900),
        taken_at_local=datetime.combine(day, time(10, 30)),
        taken_offset=None,
        place=None,
        camera=None,
        software=None,
    )


def _paper(file: str) -> PaperFact:
    return PaperFact(
        file=file,
        exists=True,
        fault=None,
        size_bytes=20_000,
        sha256=sha256(file.encode()).hexdigest(),
        kind="pdf",
        page_count=1,
        encrypted=False,
        active_content=(),
    )
