"""`seal` from end to end: check a job, print it, and copy all of it into its first sealed bag.

In: what the command line was told. Out: a `Sealing`. The documents are printed anew from the very state
that is sealed, by the sheets in `as-built/` where today's differ from them: what was promised counts.
"""

import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from dossier import __version__
from dossier.archive.closeout import Listing, list_job, refuse_sealed, seal_closeout
from dossier.archive.keys import office_key, private_key
from dossier.archive.names import JOB_NUMBER
from dossier.archive.supplements import Step, digest_of, nowhere
from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.deeds.office_index import kept_current
from dossier.disk.outputs import MARKER, OUT, WORK, job_lock
from dossier.errors import CannotWrite, WrongCommand
from dossier.gather.filing import heal
from dossier.pipeline import check
from dossier.press.carried import record_digest
from dossier.punchlist import Holds, Item
from dossier.record.read import JOB_FILE, PHOTO_FILE
from dossier.steps.asked import Asked, job_folder_of
from dossier.steps.building import write_documents
from dossier.steps.checking import Checked, Unreadable
from dossier.terms.place import find_office
from dossier.values import Clock, plural

log = logging.getLogger("dossier")

INCOMPLETE = "Sealed-Incomplete"
HELD_BY = "Handover-Held-By"
RECORD_DIGEST = "Record-Digest"

_WRITTEN = (f"{OUT}/", f"{AS_BUILT}/")


@dataclass(frozen=True)
class Sealing:
    """What sealing came to. folder: None where nothing was sealed. held: what holds the handover.

    by_as_built: the sheets that say something else today than those the job was judged and printed by. signed:
    whether with a key. of_index: sentences on what could not be done to the index.
    """

    checked: Checked | Unreadable
    held: tuple[Item, ...]
    folder: Path | None = None
    digest: str = ""
    files: int = 0
    by_as_built: tuple[str, ...] = ()
    signed: bool = False
    of_index: Sequence[str] = ()


def seal_job(
    asked: Asked,
    clock: Clock,
    *,
    incomplete: bool = False,
    key_file: Path | None = None,
    unsigned: bool = False,
) -> Sealing:
    """Seal a job as an office asks for it, and keep its index up to date; see `seal`.

    key_file: to sign with; where None, the office's own key is taken if it has one. unsigned: without any.
    """
    if key_file is not None and unsigned:
        raise WrongCommand("Found both --sign and --unsigned.", "Give one of them.")
    if key_file is not None:
        key: Ed25519PrivateKey | None = private_key(key_file)
    else:
        key = None if unsigned else office_key(asked.office_folder or find_office(asked.job_folder))
    done = seal(asked, clock, incomplete=incomplete, key=key)
    if done.folder is None:
        return done
    job = done.checked.run.job_folder
    of_index = kept_current(asked.office_folder or find_office(job), job)
    return replace(done, signed=key is not None, of_index=of_index)


def seal(
    asked: Asked,
    clock: Clock,
    *,
    incomplete: bool = False,
    key: Ed25519PrivateKey | None = None,
    at: Step = nowhere,
) -> Sealing:
    """Seal a job, or return why not: an unreadable record, or items that hold the handover.

    incomplete: whether to seal in spite of such items, which the bag then says. Raises DossierError where
    another run has the job, it is sealed already, or something cannot be read or written.
    """
    folder = job_folder_of(asked.job_folder)
    with job_lock(folder / WORK, asked.holder):
        heal(folder)
        refuse_sealed(folder)
        looked_at = list_job(folder)
        typed = {
            name: _sha256(folder / name)
            for name in (JOB_FILE, PHOTO_FILE)
            if name in looked_at.files
        }
        # Bytes are read anew: a kept fact stands on size and time.
        checked = check(replace(asked, fresh=True), clock)
        differs = checked.as_built_differs if checked.readable and not asked.fresh_sheets else ()
        if differs:
            # Logo and templates stay the office's: as-built/ holds neither.
            checked = check(replace(asked, fresh=True, sheets_folder=folder / AS_BUILT), clock)
        held = checked.punch_list.holding(Holds.HANDOVER)
        if not checked.readable or (held and not incomplete):
            return Sealing(checked, held, by_as_built=differs)
        at("checked")
        log.info("step 6 of 6: printing")
        documents, _ = write_documents(checked, folder, asked.fresh_sheets)
        at("printed")
        expected = {**typed, **_measured(checked), **_printed(documents)}
        still = [file for file in looked_at.files if not file.startswith(_WRITTEN)]
        as_built = [file for file in list_job(folder).files if file.startswith(f"{AS_BUILT}/")]
        digest = _record_digest(checked)
        bag = seal_closeout(
            folder,
            Listing((*still, *as_built, f"{OUT}/{MARKER}"), ()),
            expected,
            lambda listing: _info(checked, held, digest, listing),
            key=key,
            progress=asked.progress,
            at=at,
        )
        files = sum(1 for path in (bag / "data").rglob("*") if path.is_file())
        return Sealing(checked, held, bag, digest_of(bag), files, differs)


def _measured(checked: Checked) -> Mapping[str, str]:
    shelves = (checked.facts.photos, checked.facts.papers)
    return {file: fact.sha256 for shelf in shelves for file, fact in shelf.items() if fact.sha256}


def _printed(documents: Mapping[str, bytes]) -> Mapping[str, str]:
    return {f"{OUT}/{name}": sha256(data).hexdigest() for name, data in documents.items()}


def _record_digest(checked: Checked) -> str:
    return record_digest(checked.case, checked.facts)


def _sha256(path: Path) -> str:
    try:
        return sha256(path.read_bytes()).hexdigest()
    except OSError as problem:
        raise CannotWrite(
            f"{path} cannot be read: {problem.strerror}.", "Give this user the right to read it."
        ) from problem


def _info(
    checked: Checked, held: Sequence[Item], digest: str, listing: Listing
) -> Sequence[tuple[str, str]]:
    company = checked.case.company.name
    said = f"yes, {plural(len(held), 'item')} held the handover" if held else "no"
    return [
        ("Source-Organization", company or "not on file"),
        (JOB_NUMBER, checked.number),
        (
            "External-Description",
            "A roofing job as it was closed: record, photos, papers, documents",
        ),
        ("Bagging-Date", checked.run.today.isoformat()),
        ("Bag-Software-Agent", f"dossier {__version__}"),
        (RECORD_DIGEST, digest),
        (INCOMPLETE, said),
        *((HELD_BY, f"{item.rule} {item.says}") for item in held),
        *(("Empty-Folder", folder) for folder in listing.empty),
    ]
