"""A new job folder to fill in, and an office folder where there is none.

In: the place of the new folder. Out: what was made. Nothing that is there is touched.
"""

from dataclasses import dataclass
from pathlib import Path

from dossier.deeds.taking_over import Like, taken_over_into
from dossier.disk.outputs import refuse_inside_a_job
from dossier.errors import CannotWrite
from dossier.hand.means import Change
from dossier.hand.text import with_changes
from dossier.record.job import Job
from dossier.record.read import JOB_FILE, PHOTO_FILE
from dossier.resources import resource
from dossier.terms.read import COMPANY_FILE, find_office
from dossier.words import Phase

_OFFICE_FILES = {
    COMPANY_FILE: "company.yaml",
    "localities/blank.yaml.txt": "locality.yaml",
    "terms/blank.yaml.txt": "terms.yaml",
    "terms/blank.catalogue.yaml.txt": "catalogue.yaml",
    "suppliers/blank.yaml.txt": "supplier.yaml",
}
"""Blank sheets end in .txt, so that nobody's job is judged by one before it is filled in."""


@dataclass(frozen=True)
class Started:
    """What was made. new_office: whether an office folder was made around the job."""

    made: tuple[Path, ...]
    new_office: bool


def start(folder: Path, like: Like | None = None, locality: str | None = None) -> Started:
    """Make a job folder; raises CannotWrite where something is in its place or nothing can be written.

    like: a job of which the new one takes over what repeats, each value marked. locality: the sheet of the permit
    office, where somebody names it.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CannotWrite(
            f"{folder} is there already and is not an empty folder.", "Name a new folder."
        )
    refuse_inside_a_job(folder, folder / "out")
    said = [Change(("job", "number"), folder.resolve().name)]
    if locality is not None:
        said.append(Change(("job", "locality"), locality))
    record = with_changes(_blank(JOB_FILE), JOB_FILE, Job, said)
    if like is not None:
        record = taken_over_into(record, like, [change.path for change in said])
    blanks = {JOB_FILE: record, PHOTO_FILE: _blank(PHOTO_FILE)}
    office_blanks = {name: _blank(blank) for name, blank in _OFFICE_FILES.items()}
    try:
        return _make(folder, blanks, office_blanks)
    except OSError as problem:
        raise CannotWrite(
            f"{folder} could not be made: {problem.strerror}.",
            "Give this user the right to write there, or name another folder.",
        ) from problem


def _make(folder: Path, blanks: dict[str, bytes], office_blanks: dict[str, bytes]) -> Started:
    folder.mkdir(parents=True, exist_ok=True)
    made: list[Path] = []
    new_office = find_office(folder) is None
    if new_office:
        office = folder.resolve().parent
        made += [_write(office / name, blank) for name, blank in office_blanks.items()]
    made += [_write(folder / name, blank) for name, blank in blanks.items()]
    for phase in Phase:
        (folder / "photos" / phase.slug).mkdir(parents=True)
    (folder / "papers").mkdir()
    return Started((*made, folder / "photos", folder / "papers"), new_office)


def _blank(name: str) -> bytes:
    return resource("start", name).read_bytes()


def _write(path: Path, data: bytes) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists():
        with path.open("xb") as file:
            file.write(data)
    return path
