"""`dossier start FOLDER`: a new job folder to fill in, and an office folder where there is none."""

import argparse
from pathlib import Path

from dossier.commands.given import Here, new_place
from dossier.errors import CannotWrite, ExitCode
from dossier.resources import resource
from dossier.terms.place import COMPANY_FILE, find_office
from dossier.words import Phase

SAYS = "make a new job folder with a commented record to fill in; an office folder too if there is none"
EXAMPLE = "dossier start my-office/2026-061-birch-road"

_OFFICE_FILES = {
    COMPANY_FILE: "company.yaml",
    "localities/blank.yaml.txt": "locality.yaml",
    "terms/blank.yaml.txt": "terms.yaml",
    "terms/blank.catalogue.yaml.txt": "catalogue.yaml",
    "suppliers/blank.yaml.txt": "supplier.yaml",
}
"""Blank sheets end in .txt, so that nobody's job is judged by one before it is filled in."""


_FOR_THE_OFFICE = (
    "First, once for the office, since no job can be judged before:",
    "  1. company.yaml: your name, telephone, crews and certifications",
    "  2. localities/: copy blank.yaml.txt to NAME-YEAR.yaml and fill in what the permit office asks",
    "  3. terms/: copy blank.yaml.txt to MAKER-YEAR.yaml and blank.catalogue.yaml.txt to MAKER.catalogue.yaml,",
    "     and type in the maker's terms and products; docs/terms.md walks through them",
    "  4. suppliers/: only where a supplier's tickets come as CSV",
    "Then the job:",
)
"""In the order in which the office needs them: a check without a locality sheet judges nothing."""

_FOR_THE_JOB = (
    "Fill in job.yaml, its slopes before you gather photos, put photos and papers in, then run:",
    "  dossier check {folder}",
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the folder."""
    command.add_argument("folder", type=new_place, metavar="FOLDER", help="the job folder to make")


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Make the folder; see `run_start`."""
    return run_start(given.folder)


def run_start(folder: Path) -> ExitCode:
    """Make the folder and print what was made; nothing that is there is touched."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CannotWrite(
            f"{folder} is there already and is not an empty folder.", "Name a new folder."
        )
    blanks = {name: _blank(name) for name in (*_OFFICE_FILES.values(), "job.yaml", "photos.yaml")}
    try:
        made = _make(folder, blanks)
    except OSError as problem:
        raise CannotWrite(
            f"{folder} could not be made: {problem.strerror}.",
            "Give this user the right to write there, or name another folder.",
        ) from problem
    print("Made:")
    for path in made:
        print(f"  {path}")
    new_office = any(path.name == COMPANY_FILE for path in made)
    for line in (*(_FOR_THE_OFFICE if new_office else ()), *_FOR_THE_JOB):
        print(line.format(folder=folder))
    return ExitCode.NOTHING_HELD_UP


def _make(folder: Path, blanks: dict[str, str]) -> list[Path]:
    made: list[Path] = []
    folder.mkdir(parents=True, exist_ok=True)
    if find_office(folder) is None:
        office = folder.resolve().parent
        for name, blank in _OFFICE_FILES.items():
            made.append(_write(office / name, blanks[blank]))
    number = folder.resolve().name
    made.append(_write(folder / "job.yaml", blanks["job.yaml"].replace("{number}", number)))
    made.append(_write(folder / "photos.yaml", blanks["photos.yaml"]))
    for phase in Phase:
        (folder / "photos" / phase.slug).mkdir(parents=True)
    (folder / "papers").mkdir()
    return [*made, folder / "photos", folder / "papers"]


def _blank(name: str) -> str:
    return resource("start", name).read_text("utf-8")


def _write(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists():
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    return path
