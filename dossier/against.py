"""A document that somebody else holds against the sealed folder it should have been printed from.

In: a handover as a PDF, and the first sealed bag. Out: sentences: what is the same, what differs, what
cannot be compared. Must not write. The document prints one digest over record, photos and papers, and
carries the record as its reader may see it; where the digest is not the same, the parts tell where.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.as_built import FOLDER as AS_BUILT
from dossier.carried import (
    PAPER_DIGESTS,
    PHOTO_DIGESTS,
    RECORD,
    WITHHELD,
    attachments,
    digests_in,
    printed_digest,
    record_digest,
)
from dossier.case.case import Case
from dossier.case.readers import for_reader
from dossier.editions import SealedEdition, editions_of
from dossier.errors import UnreadableInput
from dossier.evidence import list_files, measure
from dossier.pipeline import fill_in, read_all
from dossier.reading.nodes import parse_tree
from dossier.reading.plain import without_comments
from dossier.record.job import Job
from dossier.record.places import SEALED
from dossier.record.read import job_in
from dossier.record.write import to_yaml
from dossier.values import listed, plural
from dossier.words import Edition

_SHEET = "as-built--"
_EDITIONS = (Edition.HOMEOWNER, Edition.RESALE)


@dataclass(frozen=True)
class Compared:
    """What comparing came to. same, differences, notes: sentences."""

    same: tuple[str, ...]
    differences: tuple[str, ...]
    notes: tuple[str, ...]


def carries_record(document: Path) -> bool:
    """Return whether a document carries the record; raises UnreadableInput where it is no PDF."""
    return RECORD in attachments(document)


def compare_digests(document: Path, bags: Mapping[str, str], newest: str | None = None) -> Compared:
    """Return how the digests that a later document prints compare with the sealed folders.

    bags: digest → name, of those folders that are as they were sealed. newest: the digest of the last folder
    there is, None where not all were looked at: a document is sealed in the folder after the one whose digest
    it prints, so that behind the newest its own is missing. Raises UnreadableInput where the document prints
    no digest.
    """
    printed = digests_in(document)
    name = document.name
    if not printed:
        raise UnreadableInput(
            f"{document} carries no record and prints no digest, so that nothing can be compared with it.",
            "Use the handover, or a document of a later entry, as the file that dossier printed; a scan or a copy "
            "made by another program loses what the original carries.",
        )
    same = tuple(
        f"{name} prints the digest of {bags[digest]}, which is that of the folder as it is now."
        for digest in printed
        if digest in bags
    )
    if same and newest in printed and newest in bags:
        gone = (
            f"{name} was sealed in the folder after {bags[newest]}, and none is there: it was taken away, or "
            "this is a copy from before."
        )
        return Compared(same, (gone,), ())
    if same:
        return Compared(same, (), ())
    return Compared(
        (),
        (
            f"{name} prints the digest {printed[0][:16]}…, and none of the folders looked at has it.",
        ),
        (),
    )


def compare(document: Path, bag: Path, sealed: Mapping[str, str]) -> Compared:
    """Return how a document compares with the bag of a job's closing.

    document: one that carries the record. sealed: file below `data/` → sha256, as it is now. Raises
    UnreadableInput where the sealed record cannot be read.
    """
    carried = attachments(document)
    data = bag / "data"
    printed = printed_digest(document)
    name = document.name
    case, digest, edition, later = _edition(bag, printed)
    if edition is not None:
        sealed = {**sealed, **{f"data/{file}": digest for file, digest in edition.late.items()}}
    sheets = _sheets_part(carried, data, name)
    if printed == digest:
        whole = (
            f"The fingerprint that {name} prints is that of the sealed record, photos and papers, fields that "
            "the document leaves out included."
        )
        if edition is not None and (edition.number > 1 or later):
            whole += f" It is {edition.words}."
        note = "The fingerprint does not cover the sealed documents themselves, nor files that no record lists."
        return Compared(
            (whole, *([] if sheets.differs else [sheets.says])),
            (sheets.says,) if sheets.differs else (),
            (note, *later),
        )
    same: list[str] = []
    differences: list[str] = []
    for part in (
        sheets,
        _record_part(carried, case, name),
        _files_part(carried, PHOTO_DIGESTS, "photos", sealed, name),
        _files_part(carried, PAPER_DIGESTS, "papers", sealed, name),
    ):
        (differences if part.differs else same).append(part.says)
    withheld = carried.get(WITHHELD, b"").decode("utf-8", "replace").split()
    cannot = (
        f"{plural(len(withheld), 'field')} that {name} leaves out, and papers that it does not name, cannot be "
        "compared part by part."
    )
    if printed is None:
        return Compared(
            tuple(same), tuple(differences), (f"{name} prints no fingerprint. {cannot}",)
        )
    what = (
        f"{name} prints the fingerprint {printed[:16]}…, and what is sealed gives {digest[:16]}…."
    )
    if not differences:
        what += (
            " All that the document carries is the same: the difference lies in what it leaves out, or "
            "another version of dossier wrote the record down in another way."
        )
    return Compared(
        tuple(same),
        (what, *differences),
        (
            cannot,
            "A document that was printed before the record was finished differs too. The one that was sealed "
            f"with this record is {bag.name}/data/out/handover.pdf.",
        ),
    )


def _edition(
    bag: Path, printed: str | None
) -> tuple[Case, str, SealedEdition | None, tuple[str, ...]]:
    """Return the record that a document is to be compared with, its fingerprint, and which edition it is.

    That whose fingerprint it prints, else the newest; with a sentence where a newer one was sealed.
    """
    known = editions_of(bag.parent.parent) if bag.parent.name == SEALED else ()
    if not known:
        return (*_sealed_case(bag / "data"), None, ())
    mine = next((one for one in known if one.fingerprint == printed), known[-1])
    newest = known[-1]
    later = (f"The record was put right since: the newest is {newest.words}.",)
    return mine.case, mine.fingerprint, mine, () if mine is newest else later


def _sealed_case(data: Path) -> tuple[Case, str]:
    """Return the sealed case and the digest over its record, photos and papers."""
    reads = read_all(data, data / AS_BUILT)
    case, items = fill_in(reads, list_files(data, "photos"), list_files(data, "papers"))
    if case is None:
        says = items[0].says if items else "It names no permit office."
        raise UnreadableInput(
            f"The sealed record in {data} cannot be read: {says}",
            "Run dossier verify without --against to see what was changed.",
        )
    photos = [photo.file for photo in case.photos]
    facts = measure(data, photos, [paper.file for paper in case.papers])
    return case, record_digest(case, facts)


@dataclass(frozen=True)
class _Part:
    differs: bool
    says: str


def _record_part(carried: Mapping[str, bytes], case: Case, name: str) -> _Part:
    read = job_in(parse_tree(carried[RECORD], RECORD), RECORD_VERSION)
    if read.model is None:
        return _Part(True, f"The record that {name} carries cannot be read: {read.items[0].says}")
    theirs = to_yaml(read.model, read.lines.not_applicable)
    best: list[str] | None = None
    for edition in _EDITIONS:
        seen = for_reader(case, edition)
        if to_yaml(seen.job, seen.lines.not_applicable) == theirs:
            return _Part(False, "The record is the same, in every field that the document shows.")
        groups = list(_groups_that_differ(read.model, seen.job))
        best = groups if best is None or len(groups) < len(best) else best
    where = listed(best) if best else "reasons why fields do not apply"
    return _Part(True, f"The record differs from the one that {name} carries, in: {where}.")


def _groups_that_differ(one: Job, other: Job) -> Iterator[str]:
    for field in Job.model_fields:
        if getattr(one, field) != getattr(other, field):
            yield field


def _sheets_part(carried: Mapping[str, bytes], data: Path, name: str) -> _Part:
    """Return how the sheets in `as-built/` compare with those the document carries, comments left aside."""
    theirs = {
        file.removeprefix(_SHEET).replace("--", "/"): text
        for file, text in carried.items()
        if file.startswith(_SHEET)
    }
    differ = [
        file for file, text in sorted(theirs.items()) if _sheet(data / AS_BUILT / file) != text
    ]
    if differ:
        return _Part(True, f"The sheets are not those that {name} carries: {listed(differ)}.")
    return _Part(
        False, f"The {plural(len(theirs), 'sheet')} that the document carries are the same."
    )


def _sheet(path: Path) -> bytes | None:
    try:
        return without_comments(path.read_bytes(), path.name)
    except (OSError, ValueError):
        return None


def _files_part(
    carried: Mapping[str, bytes], list_name: str, what: str, sealed: Mapping[str, str], name: str
) -> _Part:
    wanted: dict[str, str] = {}
    for line in carried.get(list_name, b"").decode("utf-8", "replace").splitlines():
        digest, _, file = line.partition("  ")
        wanted[file] = digest
    changed = [file for file, digest in wanted.items() if sealed.get(f"data/{file}") != digest]
    if changed:
        return _Part(
            True,
            f"{plural(len(changed), 'file')} of the {len(wanted)} {what} that {name} lists "
            f"{'is' if len(changed) == 1 else 'are'} not the same, or not there: {listed(changed)}.",
        )
    return _Part(
        False, f"The {len(wanted)} {what} that the document lists are the same, byte for byte."
    )
