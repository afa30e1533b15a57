"""What rides inside a document, so that the record can be got back out of it with no folder left.

In: a case as one edition's reader may see it, facts, the sheets it was built by. Out: named text files, and
back from a PDF into a new folder. Must not know a page. Only names this module knows are ever written.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from dossier.case.case import Case
from dossier.errors import CannotWrite, UnreadableInput
from dossier.evidence import Facts
from dossier.reading.declared import readers_of
from dossier.reading.model import Model
from dossier.record.files import PhotoList
from dossier.record.write import to_yaml
from dossier.words import Edition

MOST_BYTES = 4 * 1024 * 1024
"""Most that one carried file may hold when it is taken out again; a record is at most 2 MB."""

ABOUT, RECORD, PHOTOS, WITHHELD = "about.txt", "job.yaml", "photos.yaml", "withheld.txt"
PHOTO_DIGESTS, PAPER_DIGESTS, CALENDAR = "photos.sha256", "papers.sha256", "calendar.ics"
_AS_BUILT = re.compile(
    r"as-built--(company\.yaml|(?:localities|terms)--[A-Za-z0-9][A-Za-z0-9._ -]{0,100}\.yaml)"
)
# The sentence stands in templates/handover.html; a test prints it and finds it again.
_PRINTED = re.compile(r"Fingerprint\(SHA-256\).{0,100}?printedfrom:([0-9a-f]{64})(?![0-9a-f])")
_PLAIN = (ABOUT, RECORD, PHOTOS, WITHHELD, PHOTO_DIGESTS, PAPER_DIGESTS, CALENDAR)

_ABOUT_TEXT = """This document carries the record it was printed from, as plain text.

job.yaml, photos.yaml   the record, as far as this edition's reader may see it
as-built--...           the company, permit office, terms and catalogues as they were when it was built
photos.sha256           the checksum of every photo; check with: sha256sum -c photos.sha256
papers.sha256           the same for the papers this edition may name
calendar.ics            dates of this roof, for any calendar program
withheld.txt            the fields that were left out for this edition's reader, by name

Any program that lists the attachments of a PDF can save them. No software of ours is needed.
"""


def carried_files(
    case: Case, facts: Facts, edition: Edition, whole: Case, as_built: Mapping[str, bytes], ics: str
) -> dict[str, bytes]:
    """Return every file to attach, by name. case: filtered for the edition; whole: before that."""
    photos = PhotoList(photos=case.photos)
    files = {
        ABOUT: _ABOUT_TEXT,
        RECORD: to_yaml(case.as_typed, case.lines),
        PHOTOS: to_yaml(photos),
        PHOTO_DIGESTS: _digests({photo.file: facts.photos for photo in case.photos}),
        PAPER_DIGESTS: _digests({paper.file: facts.papers for paper in case.papers}),
        CALENDAR: ics,
        WITHHELD: "".join(f"{name}\n" for name in withheld(whole.job, edition)),
    }
    sheets = {
        f"as-built--{name.replace('/', '--')}": data
        for name, data in as_built.items()
        if _AS_BUILT.fullmatch(f"as-built--{name.replace('/', '--')}")
    }
    return {**{name: text.encode() for name, text in files.items()}, **sheets}


def _digests(files: Mapping[str, Mapping[str, Any]]) -> str:
    lines = []
    for file, shelf in sorted(files.items()):
        fact = shelf.get(file)
        if fact is not None and fact.sha256:
            lines.append(f"{fact.sha256}  {file}\n")
    return "".join(lines)


def withheld(job: Model, edition: Edition) -> tuple[str, ...]:
    """Return the dotted names of fields that hold something and that this edition may not show."""
    return tuple(dict.fromkeys(_withheld(job, edition, "")))


def _withheld(model: Model, edition: Edition, path: str) -> Iterator[str]:
    for name, info in type(model).model_fields.items():
        value = getattr(model, name)
        inner = f"{path}.{name}".lstrip(".")
        if value in (None, (), info.default):
            continue
        if edition not in (readers_of(info) or ()):
            yield inner
        elif isinstance(value, Model):
            yield from _withheld(value, edition, inner)
        elif isinstance(value, tuple):
            for part in value:
                if isinstance(part, Model):
                    yield from _withheld(part, edition, inner)


def printed_digest(texts: Sequence[str]) -> str | None:
    """Return the digest over record, photos and papers that a document prints, None where it prints none.

    texts: of its pages, without their spaces. It is looked for from the last page on.
    """
    for text in reversed(texts):
        found = _PRINTED.search(text)
        if found:
            return found[1]
    return None


def digests_in(texts: Sequence[str]) -> tuple[str, ...]:
    """Return every sha256 that the pages of a document print whole, each once, in their order."""
    found: list[str] = []
    for text in texts:
        # A word that begins with such a letter may follow at once, since the spaces are gone.
        found += re.findall(r"(?<![0-9a-f])[0-9a-f]{64}", text)
    return tuple(dict.fromkeys(found))


def record_digest(case: Case, facts: Facts) -> str:
    """Return one digest over the record, the photos and the papers, as printed in the documents.

    It is the sha256 of the lines `DIGEST  FILE` of the written-out record and of every photo and paper that
    could be read, sorted by file.
    """
    record = sha256(to_yaml(case.as_typed, case.lines).encode()).hexdigest()
    listed = sha256(to_yaml(PhotoList(photos=case.photos)).encode()).hexdigest()
    lines = {RECORD: record, PHOTOS: listed}
    for shelf in (facts.photos, facts.papers):
        lines |= {file: fact.sha256 for file, fact in shelf.items() if fact.sha256}
    text = "".join(f"{digest}  {file}\n" for file, digest in sorted(lines.items()))
    return sha256(text.encode()).hexdigest()


@dataclass(frozen=True)
class Recovered:
    """What came out of a document. left: attachments whose names are not ours, left where they are."""

    folder: Path
    files: tuple[str, ...]
    withheld: tuple[str, ...]
    left: tuple[str, ...]


def recover(document: Path, folder: Path) -> Recovered:
    """Write the record carried in a PDF into a new folder.

    Raises UnreadableInput for a file that is not such a PDF and CannotWrite where the folder is there
    already. Attachments under other names, or larger than 4 MB, are not written.
    """
    attached = attachments(document)
    if RECORD not in attached:
        raise UnreadableInput(
            f"{document} carries no record.",
            "Use a handover document that dossier printed; a scan or a copy made by another program "
            "loses what the original carries.",
        )
    if folder.exists():
        raise CannotWrite(f"{folder} is there already.", "Name a new folder.")
    files: dict[str, bytes] = {}
    left: list[str] = []
    for name, data in sorted(attached.items()):
        place = _place(name)
        if place is None or len(data) > MOST_BYTES:
            left.append(name)
        else:
            files[place] = data
    try:
        folder.mkdir(parents=True)
        for place, data in files.items():
            path = folder / place
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("xb") as file:
                file.write(data)
    except OSError as problem:
        raise CannotWrite(
            f"{folder} could not be written: {problem.strerror}.", "Name another folder."
        ) from problem
    names = files.get(WITHHELD, b"").decode("utf-8", "replace").splitlines()
    return Recovered(folder, tuple(sorted(files)), tuple(names), tuple(left))


def _place(name: str) -> str | None:
    """Return where a carried file belongs in the new folder, or None for a name that is not ours."""
    if name in _PLAIN:
        return name
    match = _AS_BUILT.fullmatch(name)
    if match is None:
        return None
    return f"as-built/{match[1].replace('--', '/')}"


def attachments(document: Path) -> dict[str, bytes]:
    """Return the files attached to a PDF, by name; raises UnreadableInput where it is no PDF."""
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        reader = PdfReader(document)
        found: dict[str, bytes] = {}
        for name, contents in reader.attachments.items():
            found[name] = contents[0] if contents else b""
    except FileNotFoundError:
        raise UnreadableInput(f"{document} is not there.", "Name the PDF.") from None
    except (PyPdfError, OSError, ValueError, KeyError, TypeError, AttributeError) as problem:
        raise UnreadableInput(
            f"{document} cannot be read as a PDF: {type(problem).__name__}.",
            "Use the original file as it was handed over.",
        ) from problem
    return found
