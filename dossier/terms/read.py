"""An office folder's files into the company, localities, terms sheets and catalogues.

In: the office folder and the names a job gives. Out: `Read`s. Must not know what a job does with them.
"""

import os
from pathlib import Path
from typing import TypeVar

from dossier.punchlist import Item, Where
from dossier.reading import shape
from dossier.reading.model import Lines, Model, Read, read_model
from dossier.reading.nodes import read_tree
from dossier.terms.office import Company, Locality
from dossier.terms.place import COMPANY_FILE, find_office, need_office
from dossier.terms.sheet import Catalogue, TermsSheet
from dossier.values import clip, listed

__all__ = [
    "COMPANY_FILE",
    "find_office",
    "levels_offered",
    "localities_offered",
    "need_office",
    "read_catalogues",
    "read_company",
    "read_locality",
    "read_sheet",
]

CATALOGUE_ENDING = ".catalogue.yaml"
M = TypeVar("M", bound=Model)


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
    names, closed = _names(office, "terms")
    if closed is not None:
        return (Read(None, (closed,), Lines("terms")),)
    return tuple(
        _read(office, f"terms/{name}", Catalogue)
        for name in names
        if name.endswith(CATALOGUE_ENDING)
    )


def localities_offered(office: Path) -> tuple[str, ...]:
    """Return the localities by the names of their sheets, as a job names them."""
    names, _ = _names(office, "localities")
    return tuple(name.removesuffix(".yaml") for name in names if name.endswith(".yaml"))


def levels_offered(office: Path) -> tuple[str, ...]:
    """Return every level of every terms sheet that can be read, as a job asks for it: `SHEET, LEVEL`."""
    files = [name for name in _names(office, "terms")[0] if name.endswith(".yaml")]
    sheets = {
        name.removesuffix(".yaml"): _read(office, f"terms/{name}", TermsSheet).model
        for name in files
        if not name.endswith(CATALOGUE_ENDING)
    }
    return tuple(
        f"{name}, {level.level}"
        for name, sheet in sheets.items()
        if sheet
        for level in sheet.levels
    )


def _named(
    office: Path, folder: str, name: str, named_at: Where, model: type[M], what: str
) -> Read[M]:
    names, closed = _names(office, folder)
    if closed is not None:
        return Read(None, (closed,), Lines(folder))
    known = [
        file.removesuffix(".yaml")
        for file in names
        if file.endswith(".yaml") and not file.endswith(CATALOGUE_ENDING)
    ]
    if name not in known:
        shown = [_shown(file) for file in known]
        there = f" It has {listed(shown)}." if known else ""
        says = (
            f"{named_at} names the {what} “{clip(name)}”, "
            f"which the office folder does not have in {folder}/.{there}"
        )
        item: Item = shape.UNKNOWN_SHEET.at(named_at, says)
        return Read(None, (item,), Lines(f"{folder}/{clip(name)}.yaml"))
    return _read(office, f"{folder}/{name}.yaml", model)


def _read(office: Path, file: str, model: type[M]) -> Read[M]:
    try:
        file.encode()
    except UnicodeEncodeError:
        shown = _shown(file)
        says = f"{shown} has a name that is not UTF-8."
        item = shape.CANNOT_OPEN.at(Where(shown), says, "Rename the file.")
        return Read(None, (item,), Lines(shown))
    reading = read_tree(office / file, file)
    if reading.tree is None:
        return Read(None, reading.items, Lines(file))
    return read_model(reading.tree, file, model)


def _names(office: Path, folder: str) -> tuple[list[str], Item | None]:
    """Return the files in a folder of the office, sorted; none, and an item, where it cannot be read."""
    try:
        with os.scandir(office / folder) as scan:
            return sorted(entry.name for entry in scan if entry.is_file()), None
    except (FileNotFoundError, NotADirectoryError):
        return [], None
    except PermissionError:
        says = f"The folder {folder}/ of the office may not be read by this user."
    except OSError as problem:
        says = f"The folder {folder}/ of the office cannot be read: {problem.strerror}."
    remedy = "Give this user the right to read the folder and what is in it."
    return [], shape.CANNOT_OPEN.at(Where(folder), says, remedy)


def _shown(name: str) -> str:
    """Return a file's name as it can be printed; one that is no text with its characters as codes."""
    return name if name.isprintable() else ascii(name)[1:-1]
