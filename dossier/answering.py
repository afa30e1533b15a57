"""A sealed job and one new entry into the documents of a claim or a sale, and the entry sealed beside it.

In: a job folder with its closing sealed, an entry, the run's day. Out: a supplement in `sealed/`. Must not
read today's record or sheets: what was promised is what counts, so all sums rest on the folder sealed at
close-out, with its as-built sheets, and on the entries after it. Of today's office only the letterhead is
taken. Nothing that was sealed is written to.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from hashlib import sha256
from pathlib import Path
from zoneinfo import ZoneInfo

from dossier import __version__
from dossier.archive.supplements import CLOSEOUT, WORK, add_supplement, previous_digest
from dossier.archive.verify import verify
from dossier.as_built import FOLDER as AS_BUILT
from dossier.assess.assess import assess
from dossier.assess.claim import coverages_then, notices, roof_age_months
from dossier.assess.look_first import look_first
from dossier.assess.place import PlaceAsked, place_answer
from dossier.assess.since import noted_since, registered_since, sales_of
from dossier.bind.conformance import conform
from dossier.case.case import Case
from dossier.case.private import private_words, without
from dossier.case.readers import for_reader, visible
from dossier.compose.claim_answer import Claimed, claim_answer, needed_confirmations
from dossier.compose.inspection_sheet import inspection_sheet
from dossier.compose.maker_letter import SENT_KINDS, maker_letter
from dossier.compose.shared import look_of
from dossier.compose.transfer_notice import (
    Sold,
    deadline_words,
    passing_words,
    transfer_notice,
    with_sale,
)
from dossier.errors import UnreadableInput
from dossier.evidence import Facts, list_files, measure
from dossier.evidence.logo import logo_fault
from dossier.outputs import Holder
from dossier.pipeline import Clock, fill_in, read_all
from dossier.printing import OWN_TEMPLATES, Printer, papers_to_send
from dossier.punchlist import Item
from dossier.record.entry import SEALED, Buyer, Entry, entries_of
from dossier.render.document import Document, render_document
from dossier.render.engine import Asset, Attached
from dossier.render.pictures import reduce
from dossier.rules.book import punch_list
from dossier.terms.read import find_office, read_company
from dossier.values import Progress, Run, clip, listed, silent
from dossier.words import Edition, EntryKind

CLAIM_ANSWER, OWNER_ANSWER = "claim-answer.pdf", "claim-answer-homeowner.pdf"
INSPECTION, LETTER = "inspection-sheet.pdf", "maker-letter.pdf"
_DIFFERENCES_SHOWN = 3
_MIME = {"pdf": "application/pdf", "jpeg": "image/jpeg"}
NOTICE, RESALE = "transfer-notice.pdf", "handover-resale.pdf"


@dataclass(frozen=True)
class SealedJob:
    """A job as it was sealed, with the entries after it.

    digest: of the newest sealed folder. seal: sentences on whether anything sealed was changed since.
    changed: whether it was.
    """

    folder: Path
    case: Case
    facts: Facts
    entries: tuple[Entry, ...]
    run: Run
    digest: str
    seal: tuple[str, ...] = ()
    changed: bool = False
    holder: Holder | None = None

    @property
    def printed_digest(self) -> str:
        """Return the digest as documents print it, with a word where what is sealed was changed since."""
        return f"{self.digest}; what is sealed was changed since" if self.changed else self.digest


@dataclass(frozen=True)
class NewEntry:
    """An entry to be sealed. data: its bytes as they are kept. files: what lies beside it, by name.

    excused: fields of the claim said not to apply, with a reason.
    """

    entry: Entry
    data: bytes
    files: Mapping[str, bytes]
    excused: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Answered:
    """What answering one claim or sale came to. said: sentences for whoever asked.

    folder: the supplement. held: what keeps the homeowner's edition from being issued.
    """

    folder: Path
    documents: tuple[str, ...]
    said: tuple[str, ...]
    held: tuple[str, ...] = ()


def open_sealed(
    job_folder: Path,
    clock: Clock,
    today: date | None,
    *,
    as_found: bool = False,
    holder: Holder | None = None,
    progress: Progress = silent,
) -> SealedJob:
    """Return a job as it was sealed at close-out.

    as_found: whether to go on where something sealed was changed since, which the documents then say.
    holder: who takes the job in hand while the entry is sealed. Raises UnreadableInput where nothing is
    sealed, it was changed since, or it cannot be read.
    """
    data = job_folder / SEALED / CLOSEOUT / "data"
    digest = previous_digest(job_folder) if data.is_dir() else None
    if digest is None:
        raise UnreadableInput(
            f"{job_folder} holds no {SEALED}/{CLOSEOUT}: a claim or a sale is answered from what was sealed.",
            "Seal the job first: dossier seal JOB",
        )
    seal, changed = _as_sealed(job_folder, as_found)
    office = data / AS_BUILT
    reads = read_all(data, office)
    case, items = fill_in(reads, list_files(data, "photos"), list_files(data, "papers"))
    if case is None:
        _refuse(f"The record sealed in {data} cannot be read", items)
        raise AssertionError
    entries = _entries(job_folder)
    zone = ZoneInfo(case.locality.time_zone)
    run = Run(
        today=today or clock(zone),
        time_zone=zone,
        version=__version__,
        job_folder=data,
        office_folder=find_office(job_folder) or office,
        out_folder=job_folder / SEALED,
        work_folder=job_folder / WORK,
        progress=progress,
    )
    facts = measure(
        data,
        [photo.file for photo in case.photos],
        [paper.file for paper in case.papers],
        progress=progress,
    )
    case = registered_since(_letterhead(case, run.office_folder), entries)
    return SealedJob(job_folder, case, facts, entries, run, digest, seal, changed, holder)


def _as_sealed(job_folder: Path, as_found: bool) -> tuple[tuple[str, ...], bool]:
    """Return in sentences whether what is sealed is as it was, and whether it was changed.

    Every byte is read for it.
    """
    found = verify(job_folder)
    if not found.differences:
        whole = "Every sealed file was read on the day this was printed and is as it was sealed."
        return (whole, *found.notes), False
    shown = found.differences[:_DIFFERENCES_SHOWN]
    more = len(found.differences) - len(shown)
    says = f"{' '.join(shown)}{f' And {more} more.' if more else ''}"
    if not as_found:
        raise UnreadableInput(
            f"What is sealed in {job_folder} was changed since: {says}",
            "Put the sealed folder back from a copy; dossier verify names every difference. To answer from it "
            "as it is found, which the documents then say: --as-found",
        )
    return (f"What is sealed was changed since it was sealed: {says}",), True


def _entries(job_folder: Path) -> tuple[Entry, ...]:
    found = []
    for _, read in entries_of(job_folder):
        if read.model is None:
            _refuse("An entry sealed after close-out cannot be read", read.items)
            raise AssertionError
        found.append(read.model)
    return tuple(found)


def _refuse(what: str, items: Sequence[Item]) -> None:
    says = [item.says for item in items][:3]
    more = f" And {len(items) - 3} more." if len(items) > 3 else ""
    raise UnreadableInput(
        f"{what}: {' '.join(says) or 'it is not there.'}{more}",
        "Sealed files are never mended in place. dossier verify says whether they are as they were sealed; "
        "put a damaged one back from a copy.",
    )


def _letterhead(case: Case, office: Path) -> Case:
    """Return the case with today's way to reach the company; its name and promises stay as built."""
    company = case.company
    today = read_company(office).model
    if today is not None:
        logo = None if logo_fault(office, today.logo) else today.logo
        fields = ("address", "phone", "email", "colours", "paper")
        told = {name: getattr(today, name) for name in fields}
        company = company.model_copy(update={**told, "logo": logo})
    elif logo_fault(office, company.logo):
        company = company.model_copy(update={"logo": None})
    return replace(case, company=company)


def answer_claim(job: SealedJob, new: NewEntry) -> Answered:
    """Write the documents of a claim, and seal them with its entry beside the job.

    Raises UnreadableInput for an entry that is no claim of this job, or names a slope it has not.
    """
    entry, claim = new.entry, new.entry.claim
    _refuse_misfit(job, entry, EntryKind.CLAIM)
    assert claim is not None
    labels = [slope.label for slope in job.case.job.slopes]
    if claim.slope is not None and claim.slope not in labels:
        raise UnreadableInput(
            f"The claim names slope “{clip(claim.slope)}”; the record has {listed(labels) or 'no slope'}.",
            "Name one of them, or leave the slope blank where nobody can tell.",
        )
    day_run = replace(job.run, today=entry.on)
    assessment = assess(job.case, job.facts, day_run)
    sales = sales_of(job.entries)
    asked = PlaceAsked(claim.slope, claim.from_eave_ft, claim.from_rake_ft, claim.room_below)
    place = place_answer(job.case, assessment, asked)
    later = noted_since(job.entries, entry.on, place.slopes, claim.number)
    claimed = Claimed(
        entry=entry,
        claim=claim,
        coverages=coverages_then(job.case, assessment, sales, entry.on),
        place=place,
        looks=look_first(job.case, job.facts, assessment, place, later),
        notices=notices(assessment, claim.seen_on),
        digest=job.printed_digest,
        seal=job.seal,
        age_months=roof_age_months(assessment, entry.on),
        with_the_call=tuple(
            (name, sha256(data).hexdigest()) for name, data in sorted(new.files.items())
        ),
    )
    sold = any(sale.closing_on <= entry.on and not sale.in_family for sale in sales)
    missing = needed_confirmations(job.case, claim, new.excused)
    printer = _Printer(job)
    # After a sale the record's owner is no longer the one who asks, and is not shown to him.
    owners = Edition.RESALE if sold else Edition.HOMEOWNER
    private = private_words(job.case.job)
    case, facts, run = job.case, job.facts, job.run
    documents = {
        CLAIM_ANSWER: printer.pdf(claim_answer(case, facts, claimed, run, edition=Edition.OFFICE)),
        INSPECTION: printer.pdf(inspection_sheet(for_reader(case, owners), claimed, run)),
    }
    if job.case.asked:
        letter = maker_letter(
            for_reader(case, Edition.MAKER),
            facts,
            claimed,
            run,
            owner=_buyer(job.entries, entry.on),
        )
        documents[LETTER] = printer.pdf(letter, _enclosed(job, new))
    if not missing:
        shown = [visible(one, owners) for one in job.entries]
        noted = noted_since(shown, entry.on, place.slopes, claim.number)
        seen = replace(
            claimed,
            claim=visible(claim, Edition.HOMEOWNER),
            looks=look_first(case, facts, assessment, place, noted),
        )
        doc = claim_answer(for_reader(case, owners), facts, seen, run, edition=owners)
        documents[OWNER_ANSWER] = printer.pdf(without(doc, private) if sold else doc)
    folder = _seal(job, new, documents)
    return Answered(folder, tuple(documents), (), missing)


def answer_sale(job: SealedJob, new: NewEntry) -> Answered:
    """Write the documents of a sale, and seal them with its entry beside the job.

    Raises UnreadableInput for an entry that is no sale of this job, or says no closing.
    """
    entry, sale = new.entry, new.entry.sale
    _refuse_misfit(job, entry, EntryKind.SOLD)
    assert sale is not None
    if sale.closing_on is None:
        raise UnreadableInput(
            "The sale says no closing day, and every deadline of it counts from that day.",
            "Put in closing_on, or give --closing.",
        )
    sales = sales_of((*job.entries, entry))
    # A notice given between the closing and the day this was noted counts, and one that is overdue shows.
    on = max(sale.closing_on, entry.noted_on)
    assessment = assess(job.case, job.facts, replace(job.run, today=on))
    then = coverages_then(job.case, assessment, sales, on)
    sold = Sold(entry, sale, then, on, job.printed_digest)
    printer = _Printer(job)
    documents = {
        NOTICE: printer.pdf(transfer_notice(for_reader(job.case, Edition.MAKER), sold, job.run)),
        RESALE: _resale(job, sold),
    }
    folder = _seal(job, new, documents)
    return Answered(folder, tuple(documents), (*passing_words(then), *deadline_words(then)))


def _resale(job: SealedJob, sold: Sold) -> bytes:
    """Return the resale edition of the sealed record with this sale filled in."""
    assessment = assess(job.case, job.facts, job.run)
    items = punch_list(job.case, job.facts, assessment, job.run)
    sheets = job.run.job_folder / AS_BUILT
    printer = Printer(job.case, job.facts, assessment, items, job.run, sheets)
    return printer.resale(lambda pages: with_sale(pages, sold))


def _enclosed(job: SealedJob, new: NewEntry) -> list[Attached]:
    """Return what goes with the letter to the maker: papers it may see, and pictures of the damage.

    Pictures are made anew, so that no place or serial number of a camera travels.
    """
    case = for_reader(job.case, Edition.MAKER)
    found = [
        Attached(
            name=name,
            data=data,
            mime=_MIME[kind],
            relationship="Supplement",
            description=f"{paper.kind.value if paper.kind else 'paper'}, {paper.file}",
        )
        for paper, name, data, kind in papers_to_send(case, job.facts, job.run.job_folder)
        if paper.kind in SENT_KINDS
    ]
    claim = new.entry.claim
    for number, file in enumerate(claim.photos if claim else (), start=1):
        try:
            made = reduce(new.files[file.removeprefix("files/")], width_mm=180, dpi=200)
        except (OSError, ValueError) as problem:
            raise UnreadableInput(
                f"The picture {file} of the claim cannot be opened: {type(problem).__name__}.",
                "Put in a picture that opens, or take its name out of the claim and list it under files.",
            ) from problem
        name = f"damage-{number}.jpg"
        found.append(
            Attached(name, made.data, "image/jpeg", "Supplement", f"picture of the damage, {file}")
        )
    return found


def _refuse_misfit(job: SealedJob, entry: Entry, kind: EntryKind) -> None:
    number = job.case.job.job.number
    if entry.kind is not kind:
        raise UnreadableInput(
            f"The entry is of the kind “{entry.kind.value}”; “{kind.value}” is needed here.",
            "Use the command for its kind, or change the entry.",
        )
    if entry.job != number:
        raise UnreadableInput(
            f"The entry is for job {clip(entry.job)}, and {job.folder} is job {clip(number)}.",
            "Put the right job number in, or name the other job's folder.",
        )


def _buyer(entries: Sequence[Entry], until: date) -> Buyer | None:
    """Return who bought the house by the newest sale up to a day, None where none is on record."""
    found = [
        entry.sale
        for entry in entries
        if entry.sale is not None
        and entry.sale.closing_on is not None
        and entry.sale.closing_on <= until
    ]
    newest = max(found, key=lambda sale: sale.closing_on or date.min, default=None)
    return None if newest is None else newest.buyer or Buyer()


def _seal(job: SealedJob, new: NewEntry, documents: Mapping[str, bytes]) -> Path:
    return add_supplement(
        job.folder,
        new.data,
        documents,
        new.files,
        new.entry.on,
        new.entry.kind,
        previous=job.digest,
        holder=job.holder,
    )


class _Printer:
    """Prints documents of one sealed job; each photo is reduced once a width."""

    def __init__(self, job: SealedJob) -> None:
        self.job = job
        self.look = look_of(job.case.company)
        self.made_at = datetime.combine(job.run.today, time(12), tzinfo=job.run.time_zone)
        self._pictures: dict[tuple[str, int, bool], Asset] = {}

    def pdf(self, pages: Document, attached: Sequence[Attached] = ()) -> bytes:
        """Return one document as a conforming PDF."""
        pictures: dict[str, Asset] = {}
        for wanted in pages.pictures:
            key = (wanted.file, wanted.width_mm, wanted.from_office)
            if key not in self._pictures:
                run = self.job.run
                home = run.office_folder if wanted.from_office else run.job_folder
                data = (home / wanted.file).read_bytes()
                self._pictures[key] = reduce(data, width_mm=wanted.width_mm)
            pictures[wanted.name] = self._pictures[key]
        own = self.job.run.office_folder / OWN_TEMPLATES
        return render_document(
            pages,
            self.look,
            pictures,
            attached,
            self.made_at,
            finisher=conform,
            overrides=own if own.is_dir() else None,
        ).data
