"""The sheets a job was built by: which they are, the copy of them in `as-built/`, and how it differs.

In: a case, the office folder, the job folder. Out: named bytes, and the names of sheets that are no longer
as they were. Must not write to disk, nor know a document. What was promised is what counts: the copy is
made by the first build, and a later one leaves it alone where today's sheets say something else.
"""

import json
from hashlib import sha256
from pathlib import Path

from dossier.case.case import Case
from dossier.errors import UnreadableInput
from dossier.evidence.files import list_files, read
from dossier.reading.nodes import MOST_BYTES
from dossier.reading.typed import without_comments
from dossier.terms.read import read_catalogues
from dossier.values import spelt

FOLDER = "as-built"
MANIFEST = "as-built.json"


def sheets_used(case: Case, office_folder: Path) -> dict[str, bytes]:
    """Return the sheets this job names, as they are today: name in the office folder → bytes.

    The company, the locality, each terms sheet asked for, and the catalogues that hold a product on the
    job's tickets or among its vents. Raises UnreadableInput where one has gone since it was read.
    """
    names = [case.company_lines.file, case.locality_lines.file]
    names += [asked.file for asked in case.asked]
    names += _catalogues_used(case, office_folder)
    try:
        return {name: (office_folder / name).read_bytes() for name in dict.fromkeys(names)}
    except OSError as problem:
        raise UnreadableInput(
            f"A sheet cannot be read any more: {problem.strerror}: {problem.filename}.",
            "Put it back, and run this again.",
        ) from problem


def as_built_files(case: Case, office_folder: Path) -> dict[str, bytes]:
    """Return the files of `as-built/`: the sheets this job is built by today, and their digests."""
    sheets = sheets_used(case, office_folder)
    digests = {name: sha256(data).hexdigest() for name, data in sheets.items()}
    manifest = {"format": 1, "job": case.job.job.number, "sha256": digests}
    return {**sheets, MANIFEST: (json.dumps(manifest, indent=2) + "\n").encode()}


def as_built_differs(case: Case, office_folder: Path, job_folder: Path) -> tuple[str, ...]:
    """Return the sheets that are not today what `as-built/` holds, sorted; none where it holds none.

    A sheet differs too where only one of the two has it. Comments and layout do not count.
    """
    kept = {
        file.removeprefix(f"{FOLDER}/")
        for file in list_files(job_folder, FOLDER)
        if file.endswith(".yaml")
    }
    if not kept:
        return ()
    today = sheets_used(case, office_folder)
    return tuple(
        sorted(
            name
            for name in kept | set(today)
            if name not in kept or not _same(_kept(job_folder, name), today.get(name), name)
        )
    )


def _kept(job_folder: Path, name: str) -> bytes | None:
    return read(job_folder, f"{FOLDER}/{name}", MOST_BYTES).data


def _same(one: bytes | None, other: bytes | None, name: str) -> bool:
    if one is None or other is None or one == other:
        return one == other and one is not None
    try:
        return without_comments(one, name) == without_comments(other, name)
    except ValueError:
        return False


def _catalogues_used(case: Case, office_folder: Path) -> list[str]:
    """Return the catalogues that hold a product this job names, in the order of their names."""
    named = {spelt(material.line.product) for material in case.materials}
    attics = case.job.building.attics if case.job.building else ()
    named |= {spelt(vent.product) for attic in attics for vent in (*attic.intake, *attic.exhaust)}
    files: dict[str, str] = {}
    for catalogue in read_catalogues(office_folder):
        for product in catalogue.model.products if catalogue.model else ():
            # Where two catalogues have a product of one name, the case takes the first.
            files.setdefault(spelt(product.product), catalogue.lines.file)
    return sorted({file for product, file in files.items() if product in named})
