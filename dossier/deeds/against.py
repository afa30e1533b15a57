"""A document that somebody else holds against what was sealed: the whole of it, then what it says of the record.

In: a PDF, and the sealed bags. Out: sentences: what is the same, what differs, what cannot be compared. Must not
write, nor open the document in this process. It is held against the sealed document of which it is a copy, bytes
first. A handover also prints one digest over record, photos and papers, and carries the record as its reader may
see it; where the digest is not the same, the parts tell where.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from dossier import RECORD_VERSION
from dossier.alike.ask import Alike, compare_with
from dossier.archive.noted import Compared
from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.case.case import Case
from dossier.case.read import fill_in, read_all
from dossier.case.readers import for_reader
from dossier.deeds.editions import SealedEdition, editions_of
from dossier.errors import UnreadableInput
from dossier.evidence import list_files, measure
from dossier.press.carried import (
    PAPER_DIGESTS,
    PHOTO_DIGESTS,
    RECORD,
    WITHHELD,
    digests_in,
    printed_digest,
    record_digest,
)
from dossier.reading.nodes import parse_tree
from dossier.reading.typed import without_comments
from dossier.record.job import Job
from dossier.record.places import SEALED
from dossier.record.read import job_in
from dossier.record.write import to_yaml
from dossier.values import clip, listed, plural
from dossier.words import Edition

_SHEET = "as-built--"
_EDITIONS = (Edition.HOMEOWNER, Edition.RESALE)


@dataclass(frozen=True)
class SealedFile:
    """One file of the payload of a sealed folder that is as it was sealed. name: from `sealed/` on."""

    name: str
    path: Path
    sha256: str

    @property
    def bag(self) -> str:
        """Return the name of the sealed folder."""
        return self.name.partition("/")[0]


@dataclass(frozen=True)
class Held:
    """A document held against all that is sealed. whole: what comparing all of it came to.

    like: the sealed file of which it is a copy, None where it is none. carried, printed: what it carries and the
    digest over the record that it prints, None for none; digests: all that it prints.
    """

    whole: Compared
    like: SealedFile | None
    carried: Mapping[str, bytes]
    printed: str | None
    digests: tuple[str, ...]


def hold_against(document: Path, sealed: Sequence[SealedFile]) -> Held:
    """Return how the whole of a document compares with the sealed one of which it is a copy.

    sealed: every file of the folders that are as they were sealed, the oldest folder first. Raises
    UnreadableInput where the document cannot be read, or has nothing that could be compared.
    """
    digest = _digest_of(document)
    name = document.name
    like = next((one for one in sealed if one.sha256 == digest), None)
    candidates = [one for one in sealed if one.name.lower().endswith(".pdf")]
    if like is not None:
        same = (f"{name} is, byte for byte, {like.name} as it was sealed.",)
        whole = Compared(same, (), tuple(_older_edition(like, candidates)))
        if not like.name.lower().endswith(".pdf"):
            return Held(whole, like, {}, None, ())
        found = compare_with(document, ())
    else:
        found = compare_with(document, [one.path for one in candidates])
        like = None if found.which is None else candidates[found.which]
        whole = _whole(found, name, like, candidates)
    return Held(
        whole, like, found.attached, printed_digest(found.printed), digests_in(found.printed)
    )


def _whole(
    found: Alike, name: str, like: SealedFile | None, candidates: Sequence[SealedFile]
) -> Compared:
    """Return in sentences how a document that is no sealed one byte for byte compares."""
    if found.scanned or not (found.lines or found.attached):
        with_which = f" with {like.name}" if like else ""
        raise UnreadableInput(
            f"The pages of {name} are pictures, as a scanner makes them, or empty: they carry no text of their "
            "own, so that nothing can be compared with it.",
            f"Compare it by eye{with_which}, or use the file as it was handed over; a scan or a printed page "
            "loses what the original carries.",
        )
    if like is None:
        many = plural(len(candidates), "document")
        says = f"{name} is none of the {many} sealed here, nor a changed copy of one."
        return Compared((), (says,), ())
    notes = [*found.notes, *_older_edition(like, candidates)]
    if found.behind > 0:
        notes.append(
            f"It holds all of {like.name} and {found.behind:,} bytes behind it, as where a program saved changes."
        )
    if found.producer and len(found.differences) > 1:
        notes.append(
            f"{name} was saved by another program, {clip(found.producer, 60)}, which may draw a page in its own "
            "way and leave attachments, links and bookmarks out. Whether that is all cannot be told from this "
            "copy: compare the file as it was handed over."
        )
    if found.saved_anew:
        says = (
            f"{name} was saved anew by a program, and is {like.name} as it was sealed in all that it says, shows "
            "and carries."
        )
        return Compared((says,), (), tuple(notes))
    if found.cut_short and not found.differences:
        raise UnreadableInput(
            f"{name} could not be compared to its end: {' '.join(notes)}",
            "Use the file as it was handed over, which is compared byte for byte.",
        )
    notes.insert(0, f"{name} was compared with {like.name}, of which it is a changed copy.")
    return Compared((), tuple(f"{name}: {says}" for says in found.differences), tuple(notes))


def _older_edition(like: SealedFile, candidates: Sequence[SealedFile]) -> Iterator[str]:
    """Yield that a handover is not the newest one; a letter of a claim has no editions."""
    file = like.name.rpartition("/")[2]
    later = [
        one for one in candidates if one.name.rpartition("/")[2] == file and one.bag > like.bag
    ]
    if later and file.startswith("handover"):
        yield f"A newer edition of {file} was sealed after it: {later[-1].name}."


def _digest_of(document: Path) -> str:
    digest = sha256()
    try:
        with document.open("rb") as file:
            while chunk := file.read(1024 * 1024):
                digest.update(chunk)
    except FileNotFoundError:
        raise UnreadableInput(f"{document} is not there.", "Name the PDF.") from None
    except OSError as problem:
        raise UnreadableInput(
            f"{document} cannot be read: {problem.strerror}.", "Name the PDF."
        ) from problem
    return digest.hexdigest()


def compare_digests(
    name: str, printed: Sequence[str], bags: Mapping[str, str], newest: str | None = None
) -> Compared:
    """Return how the digests that a later document prints compare with the sealed folders.

    name: of the document. bags: digest → name, of those folders that are as they were sealed. newest: the digest
    of the last folder there is, None where not all were looked at: a document is sealed in the folder after the
    one whose digest it prints, so that behind the newest its own is missing.
    """
    same = tuple(
        f"{name} prints the digest of {bags[digest]}, which is that of the folder as it is now."
        for digest in printed
        if digest in bags
    )
    if same and newest is not None and newest in printed and newest in bags:
        gone = (
            f"{name} was sealed in the folder after {bags[newest]}, and none is there: it was taken away, or "
            "this is a copy from before."
        )
        return Compared(same, (gone,), ())
    if same or not printed:
        return Compared(same, (), ())
    return Compared(
        (),
        (
            f"{name} prints the digest {printed[0][:16]}…, and none of the folders looked at has it.",
        ),
        (),
    )


def compare(held: Held, name: str, bag: Path, sealed: Mapping[str, str]) -> Compared:
    """Return how the record that a document carries compares with the bag of a job's closing.

    name: of the document. sealed: file below `data/` → sha256, as it is now. Raises UnreadableInput where the
    sealed record cannot be read.
    """
    carried, printed = held.carried, held.printed
    data = bag / "data"
    case, digest, edition, later = _edition(bag, printed)
    if edition is not None:
        sealed = {**sealed, **{f"data/{file}": digest for file, digest in edition.late.items()}}
    if printed == digest and held.whole.differences:
        note = (
            f"{name} prints the fingerprint of the sealed record all the same; that says nothing of what was "
            "changed in this copy."
        )
        return Compared((), (), (note,))
    if RECORD not in carried:
        says = (
            f"{name} prints a fingerprint that is not that of the sealed record, photos and papers."
        )
        return Compared((), (says,), ())
    sheets = _sheets_part(carried, data, name)
    if printed == digest:
        whole = (
            f"The fingerprint that {name} prints is that of the sealed record, photos and papers, fields that "
            "the document leaves out included."
        )
        if edition is not None and (edition.number > 1 or later):
            whole += f" It is {edition.words}."
        return Compared(
            (whole, *([] if sheets.differs else [sheets.says])),
            (sheets.says,) if sheets.differs else (),
            ("The fingerprint does not cover files that no record lists.", *later),
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
    theirs = to_yaml(read.model, read.lines)
    best: list[str] | None = None
    for edition in _EDITIONS:
        seen = for_reader(case, edition)
        if to_yaml(seen.as_typed, seen.lines) == theirs:
            return _Part(False, "The record is the same, in every field that the document shows.")
        groups = list(_groups_that_differ(read.model, seen.as_typed))
        best = groups if best is None or len(groups) < len(best) else best
    where = listed(best) if best else _NOT_IN_MODELS
    return _Part(True, f"The record differs from the one that {name} carries, in: {where}.")


_NOT_IN_MODELS = "reasons why fields do not apply, or what was taken over from another job"


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
