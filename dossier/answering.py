"""A sealed job and one new entry into the documents of a claim or a sale, and the entry sealed beside it.

In: a sealed job as it was read back, a new entry. Out: a supplement in `sealed/`. Must not read a folder of its
own: all sums rest on the sealed job. Each document is composed from the case as its reader may see it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time
from hashlib import sha256
from pathlib import Path

from dossier.archive.keys import office_key
from dossier.archive.supplements import add_supplement
from dossier.as_built import FOLDER as AS_BUILT
from dossier.assess.assess import assess
from dossier.assess.claim import coverages_then, notices, roof_age_months, told_both_ways
from dossier.assess.look_first import look_first
from dossier.assess.place import PlaceAsked, place_answer
from dossier.assess.since import noted_since, sales_of, told_sales
from dossier.bind.conformance import conform
from dossier.case.private import private_words, without
from dossier.case.readers import for_reader, visible
from dossier.compose.after_sale import left_by_sale
from dossier.compose.claim_answer import Claimed, claim_answer
from dossier.compose.confirmations import needed_confirmations
from dossier.compose.inspection_sheet import inspection_sheet
from dossier.compose.maker_letter import SENT_KINDS, maker_letter
from dossier.compose.shared import Pair, PictureWanted, look_of
from dossier.compose.time_lines import time_lines
from dossier.compose.transfer_notice import (
    Sold,
    deadline_words,
    passing_words,
    transfer_notices,
    with_sale,
)
from dossier.compose.transfer_sheet import transfer_sheet
from dossier.errors import UnreadableInput
from dossier.printing import OWN_TEMPLATES, PICTURES, Printer, papers_to_send
from dossier.record.entry import Entry, Sale, days_in
from dossier.render.content_store import ContentStore
from dossier.render.document import Document, render_document
from dossier.render.engine import Attached
from dossier.render.picture_stage import PictureStage, Wanted
from dossier.render.pictures import reduce
from dossier.rules.book import punch_list
from dossier.sealed_job import SealedJob
from dossier.values import clip, listed
from dossier.words import Edition, EntryKind

CLAIM_ANSWER, OWNER_ANSWER = "claim-answer.pdf", "claim-answer-homeowner.pdf"
INSPECTION, LETTER = "inspection-sheet.pdf", "maker-letter.pdf"
_MIME = {"pdf": "application/pdf", "jpeg": "image/jpeg"}
RESALE = "handover-resale.pdf"
_NO_COVERAGE = (
    "What passes cannot be told: what was sealed names no warranty with a terms sheet, nor a promise of the "
    "company's own. No notice of the sale was written. The sale itself is on record; ask the makers named in "
    "the old papers whether they hold this address, and by when they want to hear of the sale."
)


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

    folder: the supplement. held: what keeps the homeowner's edition from being issued. lacking: sentences on
    what was asked for and could not be written.
    """

    folder: Path
    documents: tuple[str, ...]
    said: tuple[str, ...]
    held: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()


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
        enclosed = _enclosed(job, new)
        letter = maker_letter(
            for_reader(case, Edition.MAKER),
            facts,
            claimed,
            run,
            sale=_newest_sale(job.entries, entry.on),
            enclosures=tuple(Pair(one.name, one.description) for one in enclosed),
        )
        documents[LETTER] = printer.pdf(letter, enclosed)
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
    _refuse_a_correction_of_nothing(job, sale)
    sales = sales_of((*job.entries, entry))
    # What earlier entries told of this sale need not be typed again.
    sale = told_sales((*job.entries, entry))[sale.closing_on]
    # A notice given between the closing and the day this was noted counts, and one that is overdue shows.
    assert sale.closing_on is not None
    on = max(sale.closing_on, entry.noted_on)
    assessment = assess(job.case, job.facts, replace(job.run, today=on))
    then = coverages_then(job.case, assessment, sales, on)
    sold = Sold(entry, sale, then, on, job.printed_digest)
    printer = _Printer(job)
    notices_of_sale = transfer_notices(for_reader(job.case, Edition.MAKER), sold, job.run)
    documents = {name: printer.pdf(doc) for name, doc in notices_of_sale}
    documents[RESALE] = _resale(job, sold)
    folder = _seal(job, new, documents)
    lacking = () if then else (_NO_COVERAGE,)
    said = (*passing_words(then), *deadline_words(then))
    return Answered(folder, tuple(documents), said, lacking=lacking)


def _resale(job: SealedJob, sold: Sold) -> bytes:
    """Return the resale edition of the sealed record with this sale filled in."""
    assessment = assess(job.case, job.facts, job.run)
    items = punch_list(job.case, job.facts, assessment, job.run)
    assessment = told_both_ways(job.case, assessment)
    sheets = job.run.job_folder / AS_BUILT
    printer = Printer(job.case, job.facts, assessment, items, job.run, sheets)
    # The sheet is made anew for the reader of this edition, as of the closing.
    sheet = transfer_sheet(for_reader(job.case, Edition.RESALE), assessment, sold.sale.closing_on)
    assert sold.sale.closing_on is not None
    left = left_by_sale(assessment, sold.coverages, sold.sale.closing_on)
    drawn = time_lines(assessment, left)
    return printer.resale(lambda pages: with_sale(pages, sold, sheet, drawn))


def _enclosed(job: SealedJob, new: NewEntry) -> list[Attached]:
    """Return what goes with the letter to the maker: papers it may see, and pictures of the damage.

    Pictures are made anew, so that no place or serial number of a camera travels.
    """
    case = for_reader(job.case, Edition.MAKER)
    made_at = datetime.combine(job.run.today, time(12), tzinfo=job.run.time_zone)
    found = [
        Attached(
            name=name,
            data=data,
            mime=_MIME[kind],
            relationship="Supplement",
            description=f"{paper.kind.value if paper.kind else 'paper'}, {paper.file}",
        )
        for paper, name, data, kind in papers_to_send(case, job.facts, job.run.job_folder, made_at)
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
    for name, day in days_in(entry):
        if day > job.run.today:
            raise UnreadableInput(
                f"The entry gives {name} as {day.isoformat()}, which is after {job.run.today.isoformat()}, the "
                "day of this run. An entry tells what has happened.",
                "Correct that day, or wait until it has come; another day of the run is given by --today.",
            )


def _refuse_a_correction_of_nothing(job: SealedJob, sale: Sale) -> None:
    """Raise UnreadableInput where a sale corrects a closing day that no earlier entry tells."""
    known = told_sales(job.entries)
    if sale.corrects is None or sale.corrects in known:
        return
    days = listed([day.isoformat() for day in known]) or "no sale"
    raise UnreadableInput(
        f"The entry corrects a sale of {sale.corrects.isoformat()}; the entries before it tell of {days}.",
        "Give the closing day as the earlier entry has it, or leave corrects blank.",
    )


def _newest_sale(entries: Sequence[Entry], until: date) -> Sale | None:
    """Return the newest sale up to a day, None where none is on record."""
    found = [sale for day, sale in told_sales(entries).items() if day <= until]
    return found[-1] if found else None


def _seal(job: SealedJob, new: NewEntry, documents: Mapping[str, bytes]) -> Path:
    return add_supplement(
        job.folder,
        new.data,
        documents,
        new.files,
        new.entry.on,
        new.entry.kind,
        bagged_on=job.run.today,
        organization=job.case.company.name,
        previous=job.digest,
        holder=job.holder,
        key=office_key(job.run.office_folder),
    )


class _Printer:
    """Prints documents of one sealed job; each photo is reduced once a width."""

    def __init__(self, job: SealedJob) -> None:
        self.job = job
        self.look = look_of(job.case.company)
        self.made_at = datetime.combine(job.run.today, time(12), tzinfo=job.run.time_zone)
        store = ContentStore(job.run.work_folder / PICTURES)
        self._stage = PictureStage(store, progress=job.run.progress)

    def pdf(self, pages: Document, attached: Sequence[Attached] = ()) -> bytes:
        """Return one document as a conforming PDF."""
        pictures = self._stage.pictures([self._wanted(picture) for picture in pages.pictures])
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

    def _wanted(self, picture: PictureWanted) -> Wanted:
        run = self.job.run
        fact = None if picture.from_office else self.job.facts.photos.get(picture.file)
        home = run.office_folder if picture.from_office else run.job_folder
        sha256_ = fact.sha256 if fact else None
        return Wanted(picture.name, home / picture.file, picture.width_mm, sha256_, picture.file)
