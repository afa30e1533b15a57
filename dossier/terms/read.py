"""An office folder's files into the company, localities, terms sheets and catalogues.

In: the office folder and the names a job gives. Out: `Read`s. Must not know what a job does with them.
"""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TypeVar

from dossier.errors import UnreadableInput
from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.model import Lines, Model, Read, read_model
from dossier.reading.nodes import read_tree
from dossier.terms.office import Company, Locality
from dossier.terms.sheet import Catalogue, TermsSheet
from dossier.values import clip, listed

COMPANY_FILE = "company.yaml"
CATALOGUE_ENDING = ".catalogue.yaml"
M = TypeVar("M", bound=Model)


def find_office(job_folder: Path) -> Path | None:
    """Return the nearest folder above the job that holds a `company.yaml`, or None.

    Stops at a folder of another owner or on another file system: a job on a shared disk must not pick
    up somebody else's company.
    """
    start = job_folder.resolve()
    first = start.stat()
    for folder in start.parents:
        status = folder.stat()
        if status.st_dev != first.st_dev or status.st_uid != first.st_uid:
            return None
        if (folder / COMPANY_FILE).is_file():
            return folder
    return None


def need_office(job_folder: Path, given: Path | None) -> Path:
    """Return the office folder; raises UnreadableInput where there is none."""
    if given is not None:
        if not (given / COMPANY_FILE).is_file():
            raise UnreadableInput(
                f"The office folder {given} holds no {COMPANY_FILE}.",
                "Name the folder that holds it, or make one with: dossier start FOLDER",
            )
        return given.resolve()
    found = find_office(job_folder)
    if found is None:
        raise UnreadableInput(
            f"No folder above {job_folder} holds a {COMPANY_FILE} of the same owner on this disk.",
            "Put the job inside the office folder, or name it with --office FOLDER.",
        )
    return found


def read_company(office: Path) -> Read[Company]:
    """Return the company."""
    return _read(office, COMPANY_FILE, Company)


def read_locality(office: Path, name: str, named_at: Where) -> Read[Locality]:
    """Return the locality sheet of that name; an item at `named_at` where there is none."""
    return _named(office, "localities", name, named_at, Locality, "locality sheet")


def read_sheet(office: Path, name: str, named_at: Where) -> Read[TermsSheet]:
    """Return the terms sheet of that name; an item at `named_at` where there is none."""
    return _named(office, "terms", name, named_at, TermsSheet, "terms sheet")


def read_catalogues(office: Path) -> tuple[Read[Catalogue], ...]:
    """Return every catalogue beside the terms sheets, in the order of their file names."""
    return tuple(
        _read(office, f"terms/{name}", Catalogue)
        for name in _names(office / "terms")
        if name.endswith(CATALOGUE_ENDING)
    )


def _named(
    office: Path, folder: str, name: str, named_at: Where, model: type[M], what: str
) -> Read[M]:
    known = [
        file.removesuffix(".yaml")
        for file in _names(office / folder)
        if file.endswith(".yaml") and not file.endswith(CATALOGUE_ENDING)
    ]
    if name not in known:
        there = f" It has {listed(known)}." if known else ""
        says = (
            f"{named_at} names the {what} “{clip(name)}”, "
            f"which the office folder does not have in {folder}/.{there}"
        )
        item: Item = shape.UNKNOWN_SHEET.at(named_at, says)
        return Read(None, (item,), Lines(f"{folder}/{clip(name)}.yaml"))
    return _read(office, f"{folder}/{name}.yaml", model)


def _read(office: Path, file: str, model: type[M]) -> Read[M]:
    reading = read_tree(office / file, file)
    if reading.tree is None:
        return Read(None, reading.items, Lines(file))
    return read_model(reading.tree, file, model)


def _names(folder: Path) -> list[str]:
    def entries() -> Iterator[str]:
        with os.scandir(folder) as scan:
            yield from (entry.name for entry in scan if entry.is_file())

    return sorted(entries()) if folder.is_dir() else []
