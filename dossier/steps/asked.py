"""What is asked of one job, by a command or by any other front.

In: folders and words. Out: an `Asked`. Must load next to nothing, since it is filled in before it is known
whether anything is to be done.
"""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.disk.outputs import Holder
from dossier.errors import UnreadableInput
from dossier.values import Progress, silent


@dataclass(frozen=True)
class Asked:
    """What is asked of one job.

    today: None where the clock decides. fresh_sheets: whether build copies today's sheets into `as-built/`
    even where they say something else than those the job was built by. holder: who takes the job in hand.
    sheets_folder: where the sheets are read; the office folder where None. Logo and templates are the
    office's own in either case.
    """

    job_folder: Path
    office_folder: Path | None = None
    out_folder: Path | None = None
    today: date | None = None
    fresh: bool = False
    fresh_sheets: bool = False
    progress: Progress = silent
    holder: Holder | None = None
    sheets_folder: Path | None = None


def job_folder_of(path: Path) -> Path:
    """Return a job folder's own place; raises UnreadableInput where there is none."""
    try:
        found = "" if path.is_dir() else "is a file" if path.exists() else "is not there"
    except OSError as problem:
        raise UnreadableInput(
            f"The job folder {path} cannot be looked at: {problem.strerror}.",
            "Give this user the right to read it and the folders above it.",
        ) from problem
    if found:
        raise UnreadableInput(
            f"The job folder {path} {found}.",
            "Name the folder that holds job.yaml, or make one with: dossier start FOLDER",
        )
    return path.resolve()
