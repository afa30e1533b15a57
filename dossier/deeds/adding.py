"""A later entry of every kind but a claim and a sale: held against the sealed record, with its slip.

In: a sealed job and a new entry. Out: what would be sealed, to be shown first. Must not seal by itself: that is
`answering.seal_prepared`, as for a claim. An entry that changes the record is tried out whole, by the record's own
reader, before anything is shown; it is sealed with the next edition of the handover.
"""

import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from dossier.archive.corrected import Since, all_changes, with_what_came_after
from dossier.assess.assess import assess
from dossier.assess.results import Assessment
from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.case.case import Case, PutRight
from dossier.case.readers import for_reader, visible
from dossier.compose.parts.edition import put_right_words
from dossier.compose.years_after.slip import slip
from dossier.deeds.answering import NewEntry, Prepared, refuse_misfit, refuse_unknown_slope
from dossier.deeds.sealed_job import SealedJob, read_sealed
from dossier.disk.outputs import job_lock
from dossier.errors import CannotWrite, UnreadableInput
from dossier.evidence import Facts, list_files, measure
from dossier.press.press import Press
from dossier.press.printing import Printer
from dossier.punchlist import PunchList
from dossier.record.corrections import apply, changes_record, late_places
from dossier.record.entry import FILES, Correction, Entry, LatePaper, Registration
from dossier.record.fields import NoSuchField, Spot, file_of, find, leaves, stands
from dossier.record.files import Paper, placed_paper
from dossier.rules.book import punch_list
from dossier.values import clip, listed, plural
from dossier.words import Edition, EntryKind

SLIP, HANDOVER, RESALE = "slip.pdf", "handover.pdf", "handover-resale.pdf"
ADDED = frozenset(EntryKind) - {EntryKind.CLAIM, EntryKind.SOLD}
"""The kinds of entry that are added here."""

_SCRATCH = "late-files"
_MOST_ITEMS = 5


@dataclass(frozen=True)
class _After:
    """The job as the new entry leaves it."""

    since: Since
    case: Case
    facts: Facts
    assessment: Assessment
    items: PunchList


def prepare_addition(job: SealedJob, new: NewEntry) -> Prepared:
    """Return what an entry would be sealed with: its slip, and the next edition where it changes the record.

    Raises UnreadableInput for an entry that does not fit the record: a field that is none, what stood there and
    does not, a value that the record's own reader does not take, a file of that name that is there already, a
    file that does not open, a slope or a warranty that is none.
    """
    entry = new.entry
    refuse_misfit(job, new, ADDED)
    if entry.correction is not None:
        _refuse_unfit_correction(job, entry.correction, new.files)
    if entry.registration is not None:
        _refuse_unfit_registration(job.case, entry.registration)
    slopes = [photo.slope for photo in entry.photos]
    for slope in (*slopes, entry.work.slope if entry.work else None):
        refuse_unknown_slope(job, slope, "entry")
    _refuse_taken_names(job, entry)
    with _after(job, new) as after:
        _refuse_unopened(after, entry)
        said = tuple(_what_follows(job, after)) if changes_record(entry) else ()
        changed = [one for one in after.case.put_right if one not in job.case.put_right]
    documents: dict[str, Callable[[], bytes]] = {SLIP: partial(_slip, job, entry, changed)}
    if changes_record(entry):
        documents[HANDOVER] = partial(_handover, job, new, Edition.HOMEOWNER)
        documents[RESALE] = partial(_handover, job, new, Edition.RESALE)
    return Prepared(job, new, documents, said)


# --- what does not fit ---------------------------------------------------------------------------


def field_named(job: SealedJob, text: str) -> Spot:
    """Return the field of the record, as it counts today, that a path names; raises UnreadableInput."""
    name = file_of(text)
    sealed = job.since.tree(name)
    if sealed.tree is None:
        raise UnreadableInput(sealed.items[0].says, sealed.items[0].remedy)
    files = [photo.file for photo in job.case.photos] + [paper.file for paper in job.case.papers]
    try:
        return find(apply(sealed.tree, name, job.since.entries).tree, name, text, files)
    except NoSuchField as problem:
        raise UnreadableInput(
            str(problem),
            "Name the field by its path, such as slopes.front.pitch; or leave --field away and give --was, and "
            "the fields in which that stands are named. docs/record.md lists every field.",
        ) from None


def fields_saying(job: SealedJob, text: str) -> tuple[Spot, ...]:
    """Return every field of the record in which just this text stands."""
    found: list[Spot] = []
    for name in ("job.yaml", "photos.yaml"):
        tree = job.since.tree(name).tree
        if tree is not None:
            now = apply(tree, name, job.since.entries).tree
            found += [spot for spot in leaves(now, name) if spot.text == " ".join(text.split())]
    return tuple(found)


def _refuse_unfit_correction(job: SealedJob, said: Correction, files: Mapping[str, bytes]) -> None:
    spot = field_named(job, said.field)
    if not stands(spot, said.was):
        raise UnreadableInput(
            f"{spot.words}: there stands {_quoted(spot.text)}, and the entry says that {_quoted(said.was)} "
            "stood there.",
            "Look at the field again, and give what stands there now; nothing was sealed.",
        )
    if stands(spot, said.right):
        raise UnreadableInput(
            f"{spot.words}: {_quoted(said.right)} stands there already.",
            "There is nothing to correct; nothing was sealed.",
        )
    paper = said.paper
    if paper is None or paper.removeprefix(FILES) in files:
        return
    known = {*(one.file for one in job.case.papers), *(one.file for one in job.case.photos)}
    known |= set(list_files(job.since.data, "papers")) | set(list_files(job.since.data, "photos"))
    if paper not in known:
        raise UnreadableInput(
            f"The paper {paper} is not among what was sealed, nor beside the entry.",
            "Name a paper or photo of the sealed job, or a file on this disk, which is then sealed too.",
        )


def _quoted(text: str | None) -> str:
    return f"“{clip(text)}”" if text else "nothing"


def _refuse_unfit_registration(case: Case, one: Registration) -> None:
    asked = [f"{w.warranty.level}, {w.warranty.sheet}" for w in case.asked]
    fits = [
        w
        for w in case.asked
        if (one.sheet is None or one.sheet == w.warranty.sheet)
        and (one.level is None or one.level.lower() == w.warranty.level.lower())
    ]
    if len(fits) == 1:
        return
    what = "fits more than one warranty" if fits else "is of no warranty on record"
    raise UnreadableInput(
        f"The confirmation {what}; on record {'is' if len(asked) == 1 else 'are'} {listed(asked) or 'none'}.",
        "Name the sheet and the level as they stand there: --sheet and --level.",
    )


def _refuse_taken_names(job: SealedJob, entry: Entry) -> None:
    """Raise UnreadableInput where a late file would stand in the place of one that was sealed."""
    taken = {*list_files(job.since.data, "photos"), *list_files(job.since.data, "papers")}
    taken = {file.lower() for file in (*taken, *job.since.places)}
    for place in late_places(entry):
        if place.lower() in taken:
            raise UnreadableInput(
                f"{place} is there already, and what was sealed is never written over.",
                "Give the file another name, and add it again.",
            )
    names = [place.lower() for place in late_places(entry)]
    count = len(entry.papers) + len(entry.photos)
    if count > len(set(names)):
        raise UnreadableInput(
            "Two of the files have one name.", "Give each a name of its own, and add them again."
        )


def _refuse_unopened(after: _After, entry: Entry) -> None:
    for place in late_places(entry):
        fact = after.facts.photos.get(place) or after.facts.papers.get(place)
        if fact is not None and fact.fault is not None:
            raise UnreadableInput(
                f"{place.rpartition('/')[2]} {fact.fault}",
                "Nothing was sealed. Add a file that opens.",
            )


# --- the job as the entry leaves it ----------------------------------------------------------------


@contextmanager
def _after(job: SealedJob, new: NewEntry) -> Iterator[_After]:
    """Give the job as the new entry leaves it, its late files laid out for as long as the block runs.

    With late files the job is in hand meanwhile, so that what a kill left of an earlier run can be cleared.
    """
    if not late_places(new.entry):
        yield _tried(job, new, job.run.work_folder)
        return
    with job_lock(job.run.work_folder, job.holder):
        scratch = job.run.work_folder / _SCRATCH
        try:
            shutil.rmtree(scratch, ignore_errors=True)
            scratch.mkdir()
            yield _tried(job, new, scratch)
        except OSError as problem:
            raise CannotWrite(
                f"{scratch} could not be written: {problem.strerror or problem}.",
                "Nothing was sealed. Free some space, or give this user the right to write there.",
            ) from problem
        finally:
            shutil.rmtree(scratch, ignore_errors=True)


def _tried(job: SealedJob, new: NewEntry, scratch: Path) -> _After:
    entry = new.entry
    places: dict[str, Path] = {}
    for number, (place, file) in enumerate(late_places(entry).items()):
        path = scratch / str(number) / Path(place).name
        path.parent.mkdir()
        path.write_bytes(new.files[file.removeprefix(FILES)])
        places[place] = path
    entries = (*job.since.entries, entry)
    changes, misfits = all_changes(job.since.data, entries)
    since = replace(
        job.since, entries=entries, places={**job.since.places, **places}, changes=changes
    )
    case, items = (None, misfits) if misfits else read_sealed(since)
    if case is None:
        first = items[0] if items else None
        raise UnreadableInput(
            f"The record could not be read with this entry: {first.says if first else 'a sheet is missing.'}",
            first.remedy if first else "Give a value that leads to a sheet the job was built by.",
        )
    case = with_what_came_after(case, since, job.run.office_folder)
    fresh = measure(
        job.since.data,
        [photo.file for photo in case.photos if photo.file not in job.facts.photos],
        [paper.file for paper in case.papers if paper.file not in job.facts.papers],
        places=since.places,
    )
    facts = Facts(
        {**job.facts.photos, **fresh.photos}, {**job.facts.papers, **fresh.papers}, job.facts.strays
    )
    run = replace(job.run, places=since.places)
    assessment = assess(case, facts, run)
    return _After(since, case, facts, assessment, punch_list(case, facts, assessment, run))


def _what_follows(job: SealedJob, after: _After) -> Iterator[str]:
    """Yield what the entry changes in the record, and which items come and go by it."""
    for one in after.case.put_right:
        if one not in job.case.put_right:
            yield f"In the record: {put_right_words(one)}."
    before = punch_list(job.case, job.facts, assess(job.case, job.facts, job.run), job.run)
    old, now = {(i.rule, i.says) for i in before}, {(i.rule, i.says) for i in after.items}
    come = [item for item in after.items if (item.rule, item.says) not in old]
    gone = sum((item.rule, item.says) not in now for item in before)
    for item in come[:_MOST_ITEMS]:
        yield f"New on the punch list: {item.rule} {item.says}"
    if len(come) > _MOST_ITEMS:
        yield f"And {plural(len(come) - _MOST_ITEMS, 'more new item')}."
    if gone:
        yield f"{plural(gone, 'item')} of the punch list no longer {'stands' if gone == 1 else 'stand'}."
    if not come and not gone:
        yield "The punch list stays as it is."


def _handover(job: SealedJob, new: NewEntry, edition: Edition) -> bytes:
    """Return the next edition of the handover."""
    with _after(job, new) as after:
        run = replace(job.run, places=after.since.places)
        sheets = job.since.data / AS_BUILT
        printer = Printer(after.case, after.facts, after.assessment, after.items, run, sheets)
        return printer.edition(edition)


def _slip(job: SealedJob, entry: Entry, changed: list[PutRight]) -> bytes:
    edition = _slip_reader(entry, changed)
    case = for_reader(replace(job.case, put_right=tuple(changed)), edition)
    shown = entry if edition is Edition.OFFICE else _seen_by_owner(job.case, entry)
    pages = slip(case, shown, case.put_right, job.run, edition=edition, digest=job.printed_digest)
    return Press(job.case.company, job.facts, job.run).pdf(pages)


def _seen_by_owner(case: Case, entry: Entry) -> Entry:
    """Return the entry as the homeowner may see it, with the papers that he may have."""
    shown = visible(entry, Edition.HOMEOWNER)
    late = [placed_late(paper) for paper in entry.papers]
    papers = [p for p, of in zip(shown.papers, late, strict=True) if of.is_for(Edition.HOMEOWNER)]
    shown = shown.model_copy(update={"papers": tuple(papers)})
    if entry.correction is None or entry.correction.paper is None or shown.correction is None:
        return shown
    files = {paper.file for paper in case.papers if paper.is_for(Edition.HOMEOWNER)}
    files |= {photo.file for photo in case.photos}
    if entry.correction.paper not in files:
        return shown
    told = shown.correction.model_copy(update={"paper": entry.correction.paper})
    return shown.model_copy(update={"correction": told})


def placed_late(paper: LatePaper) -> Paper:
    """Return a late paper as the record lists it: its kind as typed, or as the file's name says."""
    placed = placed_paper(paper.file)
    return placed.model_copy(update={"kind": paper.kind or placed.kind})


def _slip_reader(entry: Entry, changed: list[PutRight]) -> Edition:
    """Return whose slip it is: the homeowner's, but for what he may see nothing of."""
    kept_back = bool(changed) and all(Edition.HOMEOWNER not in one.readers for one in changed)
    return Edition.OFFICE if entry.kind is EntryKind.NOTE or kept_back else Edition.HOMEOWNER


__all__ = ["ADDED", "SLIP", "field_named", "fields_saying", "prepare_addition"]
