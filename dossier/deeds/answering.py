"""A sealed job and one new entry into the documents of a claim or a sale, and the entry sealed beside it.

In: a sealed job as it was read back, a new entry. Out: what would be sealed, to be shown first; and that as a
supplement in `sealed/`. Must not read a folder of its
own: all sums rest on the sealed job. Each document is composed from the case as its reader may see it.
"""

from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from hashlib import sha256
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from dossier.archive.keys import office_key
from dossier.archive.supplements import Sealing, add_supplement, newest_bag, refuse_again
from dossier.assess.assess import assess
from dossier.assess.claim import coverages_then, notices, roof_age_months, told_both_ways
from dossier.assess.look_first import look_first
from dossier.assess.place import PlaceAsked, place_answer
from dossier.assess.sale_notice import left_by, with_what_is_left
from dossier.assess.since import noted_since, sales_of, told_sales
from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.case.private import without
from dossier.case.readers import for_reader, private_of, visible
from dossier.compose.drawings.time_lines import time_lines
from dossier.compose.handover.transfer_sheet import transfer_sheet
from dossier.compose.parts.shared import Pair
from dossier.compose.years_after.after_sale import left_by_sale, left_of_each
from dossier.compose.years_after.claim_answer import Claimed, claim_answer
from dossier.compose.years_after.confirmations import needed_confirmations
from dossier.compose.years_after.inspection_sheet import inspection_sheet
from dossier.compose.years_after.maker_letter import SENT_KINDS, maker_letter
from dossier.compose.years_after.transfer_notice import (
    Sold,
    deadline_words,
    passing_words,
    transfer_notices,
    with_sale,
)
from dossier.deeds.sealed_job import SealedJob
from dossier.errors import CannotWrite, UnreadableInput
from dossier.press.papers import as_sent, papers_to_send
from dossier.press.press import Press, moment
from dossier.press.printing import Printer
from dossier.record.entry import FILES, Entry, Sale, days_in
from dossier.render.engine import Attached
from dossier.rules.book import punch_list
from dossier.values import clip, listed
from dossier.words import Edition, EntryKind

CLAIM_ANSWER, OWNER_ANSWER = "claim-answer.pdf", "claim-answer-homeowner.pdf"
INSPECTION, LETTER = "inspection-sheet.pdf", "maker-letter.pdf"
_MARK_HALF = 6
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
class Prepared:
    """What would be sealed, before a page of it is printed. documents: name → what prints it.

    said, held, lacking: as in `Answered`.
    """

    job: SealedJob
    new: NewEntry
    documents: Mapping[str, Callable[[], bytes]]
    said: tuple[str, ...] = ()
    held: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()

    @property
    def mark(self) -> str:
        """Return a short mark of what was shown: of the job up to its newest folder, then of the entry.

        Two runs give one mark where nothing was sealed between them and they would seal the same bytes.
        """
        digests = [sha256(data).hexdigest() for _, data in sorted(self.new.files.items())]
        entry = sha256("\n".join([sha256(self.new.data).hexdigest(), *digests]).encode())
        return f"{self.job.digest[:_MARK_HALF]}-{entry.hexdigest()[:_MARK_HALF]}"


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


def seal_prepared(
    prepared: Prepared, shown: str | None = None, key: Ed25519PrivateKey | None = None
) -> Answered:
    """Print what was prepared, and seal it beside the job.

    shown: the mark of what somebody saw, None where nobody says. key: to sign it with; the office's own
    where None. Raises CannotWrite where what would be sealed is not what was shown, or another entry came in
    meanwhile.
    """
    _refuse_another_mark(prepared, shown)
    job, new = prepared.job, prepared.new
    documents = {name: made() for name, made in prepared.documents.items()}
    sealing = Sealing(
        organization=job.case.company.name,
        bagged_on=job.run.today,
        previous=job.digest,
        key=office_key(job.run.office_folder) if key is None else key,
    )
    folder = add_supplement(job.folder, new.data, documents, new.files, sealing, holder=job.holder)
    return Answered(folder, tuple(documents), prepared.said, prepared.held, prepared.lacking)


def _refuse_another_mark(prepared: Prepared, shown: str | None) -> None:
    if shown is None or shown == prepared.mark:
        return
    if shown.partition("-")[0] != prepared.mark.partition("-")[0]:
        newest = prepared.job.since.folders[-1:] or ("the closing",)
        raise CannotWrite(
            f"Something was sealed since this was shown; the newest is {newest[0]}.",
            "Nothing was sealed. Run this without --yes, and look at it again.",
        )
    raise CannotWrite(
        "The entry is not the one that was shown: a word, a file, or the day of the run differs.",
        "Nothing was sealed. Run this without --yes, and look at it again.",
    )


def prepare_claim(job: SealedJob, new: NewEntry) -> Prepared:
    """Return the documents of a claim, with its entry.

    Raises UnreadableInput for an entry that is no claim of this job, or names a slope it has not.
    """
    entry, claim = new.entry, new.entry.claim
    refuse_misfit(job, new, {EntryKind.CLAIM})
    assert claim is not None
    refuse_unknown_slope(job, claim.slope, "claim")
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
    press = Press(job.case.company, job.facts, job.run)
    # After a sale the record's owner is no longer the one who asks, and is not shown to him.
    owners = Edition.RESALE if sold else Edition.HOMEOWNER
    private = private_of(job.case)
    case, facts, run = job.case, job.facts, job.run
    answer = claim_answer(case, facts, claimed, run, edition=Edition.OFFICE)
    sheet = inspection_sheet(for_reader(case, owners), claimed, run)
    documents = {
        CLAIM_ANSWER: partial(press.pdf, answer),
        INSPECTION: partial(press.pdf, sheet),
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
        documents[LETTER] = partial(press.pdf, letter, enclosed)
    if not missing:
        shown = [visible(one, owners) for one in job.entries]
        noted = noted_since(shown, entry.on, place.slopes, claim.number)
        seen = replace(
            claimed,
            claim=visible(claim, Edition.HOMEOWNER),
            looks=look_first(case, facts, assessment, place, noted),
        )
        doc = claim_answer(for_reader(case, owners), facts, seen, run, edition=owners)
        documents[OWNER_ANSWER] = partial(press.pdf, without(doc, private) if sold else doc)
    return Prepared(job, new, documents, held=missing)


def prepare_sale(job: SealedJob, new: NewEntry) -> Prepared:
    """Return the documents of a sale, with its entry.

    Raises UnreadableInput for an entry that is no sale of this job, or says no closing.
    """
    entry, sale = new.entry, new.entry.sale
    refuse_misfit(job, new, {EntryKind.SOLD})
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
    press = Press(job.case.company, job.facts, job.run)
    notices_of_sale = transfer_notices(for_reader(job.case, Edition.MAKER), sold, job.run)
    documents: dict[str, Callable[[], bytes]] = {
        name: partial(press.pdf, doc) for name, doc in notices_of_sale
    }
    documents[RESALE] = lambda: _resale(job, sold)
    lacking = () if then else (_NO_COVERAGE,)
    said = (*passing_words(then), *deadline_words(then))
    return Prepared(job, new, documents, said, lacking=lacking)


def _resale(job: SealedJob, sold: Sold) -> bytes:
    """Return the resale edition of the sealed record with this sale filled in."""
    assessment = assess(job.case, job.facts, job.run)
    items = punch_list(job.case, job.facts, assessment, job.run)
    assessment = with_what_is_left(
        told_both_ways(job.case, assessment),
        {(one.title, one.document): left_by(one.answer) for one in sold.coverages},
    )
    sheets = job.run.job_folder / AS_BUILT
    printer = Printer(job.case, job.facts, assessment, items, job.run, sheets)
    # The sheet is made anew for the reader of this edition, as of the closing.
    sheet = transfer_sheet(for_reader(job.case, Edition.RESALE), assessment, sold.sale.closing_on)
    assert sold.sale.closing_on is not None
    left = left_by_sale(assessment, sold.coverages, sold.sale.closing_on)
    drawn = time_lines(assessment, left)
    each = left_of_each(assessment, sold.coverages)
    return printer.edition(Edition.RESALE, lambda pages: with_sale(pages, sold, sheet, drawn, each))


def _enclosed(job: SealedJob, new: NewEntry) -> list[Attached]:
    """Return what goes with the letter to the maker: papers it may see, and pictures of the damage.

    Pictures are made anew, so that no place or serial number of a camera travels.
    """
    case = for_reader(job.case, Edition.MAKER)
    made_at = moment(job.run.today, job.run.time_zone)
    found = [
        one.attached
        for one in papers_to_send(case, job.facts, job.run.place, made_at)
        if one.paper.kind in SENT_KINDS
    ]
    claim = new.entry.claim
    for number, file in enumerate(claim.photos if claim else (), start=1):
        try:
            made = as_sent(new.files[file.removeprefix("files/")])
        except (OSError, ValueError) as problem:
            raise UnreadableInput(
                f"The picture {file} of the claim cannot be opened: {type(problem).__name__}.",
                "Put in a picture that opens, or take its name out of the claim and list it under files.",
            ) from problem
        name = f"damage-{number}.jpg"
        found.append(
            Attached(name, made, "image/jpeg", "Supplement", f"picture of the damage, {file}")
        )
    return found


def refuse_unknown_slope(job: SealedJob, slope: str | None, what: str) -> None:
    """Raise UnreadableInput for a slope that the record has not."""
    labels = [one.label for one in job.case.job.slopes]
    if slope is not None and slope not in labels:
        raise UnreadableInput(
            f"The {what} names slope “{clip(slope)}”; the record has {listed(labels) or 'no slope'}.",
            "Name one of them, or leave the slope blank where nobody can tell.",
        )


def refuse_misfit(job: SealedJob, new: NewEntry, kinds: Set[EntryKind]) -> None:
    """Raise UnreadableInput for an entry of another kind or job, or of a day that has not come.

    Raises CannotWrite for one that the newest entry says already.
    """
    entry, number = new.entry, job.case.job.job.number
    payload = {f"{FILES}{name}": data for name, data in new.files.items()}
    refuse_again(newest_bag(job.folder), entry, payload)
    if entry.kind not in kinds:
        wanted = listed([f"“{kind.value}”" for kind in EntryKind if kind in kinds], "or")
        raise UnreadableInput(
            f"The entry is of the kind “{entry.kind.value}”; {wanted} is needed here.",
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
