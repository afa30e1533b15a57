"""The papers of a job read, what they seem to say shown, and what somebody agrees to written in the record.

In: a job folder, papers; then numbers that somebody agreed to, with the digest of what was shown. Out:
`Proposals`; then the record on disk. Nothing is written that was not shown.
"""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from dossier.archive.closeout import refuse_sealed
from dossier.deeds.marking import found_by_marks
from dossier.deeds.papers_at_hand import PapersAsked, at_hand, bytes_outside
from dossier.deeds.photo_facts import photo_facts
from dossier.disk.outputs import WORK, Holder, job_lock, refuse_link, write_new_file
from dossier.disk.whole import bytes_of
from dossier.disk.whole import replace as put
from dossier.errors import CannotWrite, DossierError, WrongCommand
from dossier.evidence.files import list_files
from dossier.gather.agreed import together
from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.doubts import doubted
from dossier.gather.found import Found
from dossier.gather.found_closing import found_on_closing_papers
from dossier.gather.found_kinds import found_kinds
from dossier.gather.found_money import found_on_money_papers
from dossier.gather.found_tickets import found_on_tickets
from dossier.gather.known import readable_job
from dossier.hand.file import Draft, Move, Shown, draft, write_locked
from dossier.hand.means import Form, meaning
from dossier.reading.nodes import parse_tree
from dossier.record.files import placed_paper
from dossier.record.job import Job
from dossier.record.read import JOB_FILE
from dossier.values import Clock, clip, plural
from dossier.words import PaperKind

FINDERS: tuple[Callable[[AtHand], tuple[Found, ...]], ...] = (
    found_kinds,
    found_on_tickets,
    found_on_closing_papers,
    found_on_money_papers,
)
"""What looks for facts; each gets all that is at hand. A new one is a line here."""

_SHOWN = "read-shown.txt"


@dataclass(frozen=True)
class Proposals:
    """What the papers of a job seem to say.

    found: what can be agreed to, numbered from 1 in this order. known: what the record says already.
    """

    at: AtHand
    shown: Shown
    found: tuple[Found, ...]
    known: tuple[Found, ...]

    @property
    def digest(self) -> str:
        """Return what tells these proposals from any others, the record beneath them included."""
        papers = [(paper.file, paper.sha256) for paper in self.at.papers]
        whole = repr((self.shown.digest, papers, self.found))
        return hashlib.sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()

    @property
    def undoubted(self) -> tuple[int, ...]:
        """Return the numbers of those in which nothing is in doubt."""
        return tuple(n for n, found in enumerate(self.found, start=1) if found.doubt is None)


@dataclass(frozen=True)
class Agreed:
    """What agreeing came to. filed: papers that were copied into the job; moved: within it, from and to."""

    draft: Draft
    filed: tuple[str, ...]
    moved: tuple[Move, ...] = ()


def read_papers(asked: PapersAsked, clock: Clock) -> Proposals:
    """Return what the papers of a job seem to say; nothing is written.

    Raises DossierError where the record or the office cannot be read, or a file named is not there.
    """
    at, shown = at_hand(asked, clock)
    order = {paper.file: number for number, paper in enumerate(at.papers)}
    found = sorted(
        doubted(at, [*(one for finder in FINDERS for one in finder(at)), *_on_photos(asked)]),
        key=lambda one: order.get(one.file, len(order)),
    )
    return Proposals(
        at,
        shown,
        tuple(one for one in found if not one.known),
        tuple(one for one in found if one.known),
    )


def _on_photos(asked: PapersAsked) -> tuple[Found, ...]:
    """Return what the photos seem to say, where somebody asked for it; bar codes take a second a photo."""
    if not asked.photos:
        return ()
    folder = asked.job.resolve()
    papers = (placed_paper(file) for file in list_files(folder, "papers"))
    wrappers = [one.file for one in papers if one.kind is PaperKind.WRAPPER]
    files = [*wrappers, *list_files(folder, "photos")]
    marks = found_by_marks(readable_job(folder), folder, files, asked.office)
    return (*photo_facts(folder).found, *marks)


def drafted(shown: Proposals, numbers: Sequence[int]) -> Draft:
    """Return the record as it would be with the facts of these numbers; raises DossierError."""
    for number in numbers:
        if not 1 <= number <= len(shown.found):
            raise WrongCommand(
                f"There is no number {number}; {plural(len(shown.found), 'fact is', 'facts are')} proposed.",
                "Name numbers that were shown.",
            )
    facts = [shown.found[number - 1] for number in dict.fromkeys(numbers)]
    tree = parse_tree(shown.shown.data or b"", JOB_FILE).tree
    assert tree is not None
    return draft(shown.shown, Job, together(meaning(tree, Form(Job)), facts))


def agree(
    asked: PapersAsked,
    clock: Clock,
    digest: str,
    numbers: Sequence[int],
    holder: Holder | None = None,
) -> Agreed:
    """Write the facts of these numbers, as they were shown by this digest, whole or not at all.

    A paper from outside the job is copied into it where one of its facts is agreed to, and an unsorted one moved
    to where its kind is read. Raises CannotWrite, with
    the job as it was, where something else would be shown by now, or the job is sealed.
    """
    with job_lock(asked.job.resolve() / WORK, holder):
        refuse_sealed(asked.job.resolve())
        now = read_papers(asked, clock)
        if now.digest != digest:
            raise CannotWrite(
                "The papers or the record are no longer what was shown.",
                "Nothing was written. Look at them again.",
            )
        made = drafted(now, numbers)
        agreed_to = {now.found[number - 1].file for number in numbers}
        filed: list[str] = []
        moved: list[Move] = []
        try:
            for paper in now.at.papers:
                if paper.source is None or paper.file not in agreed_to:
                    continue
                if (was := now.at.unsorted(paper)) is not None:
                    moved.append((was, paper.file))
                else:
                    _file(now.at.folder, paper)
                    filed.append(paper.file)
            # What changes nothing is not written, and moves nothing.
            moved = moved if made.changes else []
            write_locked([made], moved)
        except DossierError:
            for file in filed:
                (now.at.folder / file).unlink(missing_ok=True)
            raise
    return Agreed(made, tuple(filed), tuple(moved))


def keep_shown(shown: Proposals) -> None:
    """Keep which proposals were shown, so that numbers named later with the same papers mean these."""
    work = shown.at.folder / WORK
    before = (bytes_of(work / _SHOWN) or b"").decode("ascii", "replace").split()
    digests = [*(one for one in before if one != shown.digest), shown.digest][-_MOST_SHOWN:]
    refuse_link(work)
    work.mkdir(exist_ok=True)
    try:
        put(work / _SHOWN, "\n".join(digests).encode("ascii", "replace"), work / f"{_SHOWN}.new")
    except OSError as problem:
        raise CannotWrite(
            f"{work / _SHOWN} could not be written: {problem.strerror or problem}.",
            "Give this user the right to write there.",
        ) from problem


_MOST_SHOWN = 20


def were_shown(folder: Path) -> list[str]:
    """Return the digests of proposals that were shown, newest last; raises WrongCommand where none were."""
    data = bytes_of(folder.resolve() / WORK / _SHOWN)
    if data is None:
        raise WrongCommand(
            "Nothing was shown of this job's papers yet.", "Look first: dossier read JOB"
        )
    return data.decode("ascii", "replace").split()


# --- filing -------------------------------------------------------------------------------------


def _file(folder: Path, paper: ReadPaper) -> None:
    assert paper.source is not None
    data = bytes_outside(paper.source)
    if data is None or hashlib.sha256(data).hexdigest() != paper.sha256:
        raise CannotWrite(
            f"{clip(paper.source.name)} was changed since it was shown.",
            "Nothing was written. Look at it again.",
        )
    (folder / paper.file).parent.mkdir(exist_ok=True)
    write_new_file(folder / paper.file, data)
