"""The documents of a checked job swapped in, and what a build is made from.

In: a `Checked`, its folder. Out: the documents on disk, whole or as they were, and a `Built`. Must not judge.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.case.as_built import as_built_files
from dossier.disk.outputs import OUT, WORK, refuse_foreign, refuse_inside_a_job, replace_folders
from dossier.disk.standing import LastBuild, Place, Said
from dossier.record.places import SEALED
from dossier.steps.checking import Checked, Unreadable
from dossier.terms.place import COMPANY_FILE

_OWN_OUT = "Move them away, or choose another place with --out FOLDER."
_OWN_AS_BUILT = (
    "Move them out of the job folder: build keeps a copy there of the sheets the job was built by, and "
    "--out does not move it."
)


@dataclass(frozen=True)
class Built:
    """What building one job came to. files: the names written, none where the record is unreadable.

    kept_as_built: whether an earlier `as-built/` was left alone, since today's sheets say something else.
    last: remembers what the build said, so that one with nothing to do is over at once.
    """

    checked: Checked | Unreadable
    files: tuple[str, ...]
    last: LastBuild
    kept_as_built: bool = False

    def remember(self, said: Said) -> None:
        """Keep what was said of this build, for as long as nothing it was made from changes."""
        if not self.files or not self.checked.readable:
            return
        run, case = self.checked.run, self.checked.case
        wrote = [
            Place(str(run.out_folder), True),
            Place(str(run.work_folder.parent / AS_BUILT), True),
        ]
        if case.company.logo:
            wrote.append(Place(str(run.office_folder / case.company.logo), False))
        zone = case.locality.time_zone
        self.last.remember(said, run.today, zone, wrote)


def write_documents(
    checked: Checked, folder: Path, fresh_sheets: bool
) -> tuple[Mapping[str, bytes], bool]:
    """Print a readable job and swap its documents in, and its sheets into `as-built/`; the lock is held.

    Returns the documents by name, and whether an earlier `as-built/` was left alone.
    """
    run = checked.run
    # Imported here, since check must not load what lays out documents.
    from dossier.press.printing import Printer

    number, built_by = checked.case.job.job.number, folder / AS_BUILT
    own = folder / OUT
    refuse_inside_a_job(run.out_folder, own)
    elsewhere = run.out_folder.resolve() != own.resolve()
    refuse_foreign(run.out_folder, _OWN_OUT, job=number if elsewhere else None)
    refuse_foreign(built_by, _OWN_AS_BUILT)
    sheets = checked.sheets_folder
    printer = Printer(
        checked.case, checked.facts, checked.assessment, checked.punch_list, run, sheets
    )
    files = printer.files()
    folders: dict[Path, Mapping[str, bytes]] = {run.out_folder: files}
    # What was promised counts: the sheets of the first build stay until somebody says otherwise.
    keep = bool(checked.as_built_differs) and not fresh_sheets
    if not keep and sheets != built_by and checked.since is None:
        folders[built_by] = as_built_files(checked.case, sheets)
    replace_folders(number, folders)
    return files, keep


def made_from(folder: Path, office: Path) -> tuple[Place, ...]:
    """Return every place a build of this job reads, but for a logo that lies elsewhere.

    That no nearer folder has become an office since is part of it.
    """
    above = [parent for parent in folder.parents if parent != office and office in parent.parents]
    return (
        Place(str(folder), True, (WORK, OUT, AS_BUILT, SEALED)),
        # Once a job is sealed, that is what it is built from.
        Place(str(folder / SEALED), True),
        *(Place(str(office / name), True) for name in ("terms", "localities", "templates")),
        *(Place(str(place / COMPANY_FILE), False) for place in (*above, office)),
    )
