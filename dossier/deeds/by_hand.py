"""Any value of a typed file changed: shown as it would be, then written, and taken back once.

In: a job's or an office's folder, the name of a file in it, what was shown of it, and changes. Out: the lines
that change, and then the file on disk. A front end calls `shown`, `drafted` and `change`, each time with the
digest of what it showed.
"""

from collections.abc import Mapping, Sequence
from fnmatch import fnmatchcase
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.archive.closeout import refuse_sealed
from dossier.disk.outputs import WORK, Holder, job_lock
from dossier.errors import UnreadableInput, WrongCommand
from dossier.hand.file import Draft, Shown, draft, look, look_again, undo_locked, write_locked
from dossier.hand.means import Change
from dossier.reading.model import Model
from dossier.reading.nodes import parse_tree
from dossier.record.read import newest_tree
from dossier.record.trees import JOB_FILE, MODELS, PHOTO_FILE
from dossier.terms.office import Company, Locality
from dossier.terms.own_words import WORDS_FILE, OwnWords
from dossier.terms.read import CATALOGUE_ENDING, COMPANY_FILE
from dossier.terms.sheet import Catalogue, TermsSheet
from dossier.terms.suppliers import FOLDER as SUPPLIERS
from dossier.terms.suppliers import Supplier

TYPED: Mapping[str, type[Model]] = {
    **MODELS,
    COMPANY_FILE: Company,
    "localities/*.yaml": Locality,
    f"terms/*{CATALOGUE_ENDING}": Catalogue,
    "terms/*.yaml": TermsSheet,
    f"{SUPPLIERS}/*.yaml": Supplier,
    WORDS_FILE: OwnWords,
}
"""The files that people type, by their names in a job or office folder, and what each is read as."""


def shown(folder: Path, file: str) -> Shown:
    """Return a file as it is now, to be shown; raises WrongCommand for one that nobody types."""
    _model(file)
    return look(folder.resolve(), file)


def drafted(folder: Path, file: str, digest: str, changes: Sequence[Change]) -> Draft:
    """Return a file as it would be with these changes, to be shown.

    digest: of the file as it was shown; raises CannotWrite where it is another by now.
    """
    made = draft(look_again(folder.resolve(), file, digest), _model(file), changes)
    if file == JOB_FILE:
        too_new = newest_tree(parse_tree(made.after, JOB_FILE), RECORD_VERSION).items
        if too_new:
            raise UnreadableInput(str(too_new[0].says), f"Nothing was written. {too_new[0].remedy}")
    return made


def change(
    folder: Path,
    file: str,
    digest: str,
    changes: Sequence[Change],
    holder: Holder | None = None,
) -> Draft:
    """Change a file that is still the one that was shown by this digest, whole or not at all.

    Raises DossierError, with the file as it was, where it is another by now, a value does not read, the job is
    sealed or another run has the folder in hand.
    """
    folder = folder.resolve()
    with job_lock(folder / WORK, holder):
        if file in (JOB_FILE, PHOTO_FILE):
            refuse_sealed(folder)
        made = drafted(folder, file, digest, changes)
        write_locked([made])
    return made


def undo_change(folder: Path, holder: Holder | None = None) -> tuple[str, ...]:
    """Put back what stood before the last writing in a folder; returns the names of the files.

    Raises as `change` does, and CannotWrite where there is nothing to undo.
    """
    folder = folder.resolve()

    def refuse(file: str) -> None:
        if file in (JOB_FILE, PHOTO_FILE):
            refuse_sealed(folder)

    with job_lock(folder / WORK, holder):
        return undo_locked(folder, refuse)


def _model(file: str) -> type[Model]:
    parts = Path(file).parts
    for name, model in TYPED.items():
        if len(parts) == name.count("/") + 1 and ".." not in parts and fnmatchcase(file, name):
            return model
    raise WrongCommand(
        f"{file} is not a file that people type.", "docs/record.md and docs/sheets.md list them."
    )
