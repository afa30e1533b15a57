"""Where the office folder of a job lies.

In: a job folder or any folder, and what the command line was told. Out: the office folder. Must not read a
sheet, and loads no model, so that a question to the index is quickly answered.
"""

from pathlib import Path

from dossier.errors import UnreadableInput

COMPANY_FILE = "company.yaml"


def find_office(job_folder: Path) -> Path | None:
    """Return the nearest folder above the job that holds a `company.yaml`, or None.

    Stops at a folder of another owner or on another file system: a job on a shared disk must not pick
    up somebody else's company.
    """
    start = job_folder.resolve()
    try:
        first = start.stat()
        for folder in start.parents:
            status = folder.stat()
            if status.st_dev != first.st_dev or status.st_uid != first.st_uid:
                return None
            if (folder / COMPANY_FILE).is_file():
                return folder
    except PermissionError:
        # What this user may not look into is as good as another's.
        return None
    return None


def need_office(job_folder: Path, given: Path | None) -> Path:
    """Return the office folder; raises UnreadableInput where there is none."""
    if given is not None:
        try:
            there = (given / COMPANY_FILE).is_file()
        except OSError as problem:
            raise UnreadableInput(
                f"The office folder {given} cannot be looked at: {problem.strerror}.",
                "Give this user the right to read it and the folders above it.",
            ) from problem
        if not there:
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


def need_office_around(folder: Path, given: Path | None) -> Path:
    """Return the office folder that a folder is, or lies in; raises UnreadableInput where there is none."""
    if given is not None:
        return need_office(folder, given)
    try:
        if (folder / COMPANY_FILE).is_file():
            return folder.resolve()
    except OSError as problem:
        raise UnreadableInput(
            f"The folder {folder} cannot be looked at: {problem.strerror}.",
            "Give this user the right to read it, or name the office with --office FOLDER.",
        ) from problem
    found = find_office(folder)
    if found is None:
        raise UnreadableInput(
            f"Neither {folder} nor a folder above it holds a {COMPANY_FILE} of the same owner on this disk.",
            "Go to the office folder, or name it with --office FOLDER.",
        )
    return found
