"""The slip of one later entry: one page to keep with the handover.

In: a case filtered for the slip's reader, the entry as he may see it, what it changed, run. Out: one page of plain
strings. Must not send anybody up a roof, nor promise: it says what was noted, by whom, and where it is sealed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from dossier.case.case import Case, PutRight
from dossier.compose.parts.shared import (
    Head,
    Pair,
    PictureWanted,
    capital,
    company_lines,
    day,
    feet,
    head_of,
    headline,
    logo_wanted,
    said,
)
from dossier.record.entry import Entry, LaterWork, MakersVisit, Registration
from dossier.values import Run, clip, plural, write_date
from dossier.words import Edition, EntryKind

_VALUE_LETTERS, _TEXT_LETTERS, _NAME_LETTERS = 160, 300, 80
"""Longer texts are clipped, so that one page holds all; the sealed entry has them whole."""

_MOST_ROWS = 6
_TITLES = {
    EntryKind.CORRECTION: "A correction of the roof record",
    EntryKind.LATE_PAPER: "A paper added to the roof record",
    EntryKind.LATE_PHOTO: "A photo added to the roof record",
    EntryKind.REGISTRATION_CONFIRMED: "A registration confirmed by the maker",
    EntryKind.WORK_BY_OTHERS: "Work on the roof by others",
    EntryKind.REPAIR: "A repair of the roof",
    EntryKind.MAKERS_INSPECTION: "An inspection by the maker",
    EntryKind.NOTE: "A note for the office",
}
CAUTION = (
    "Nothing on this sheet is a reason to climb the roof or enter the attic: that is for trained, equipped and "
    "insured people."
)
_KEPT_BACK = "kept at the office"


@dataclass(frozen=True)
class SlipRow:
    """One thing that the entry changed in the record."""

    where: str
    was: str
    right: str


@dataclass(frozen=True)
class Slip:
    """The slip. office: whether it is for the company alone. goes_with: what to do with the page."""

    template: str
    title: str
    head: Head
    pictures: tuple[PictureWanted, ...]
    office: bool
    address: str
    kind: str
    rows: tuple[SlipRow, ...]
    pairs: tuple[Pair, ...]
    goes_with: tuple[str, ...]
    contact: str
    digest: str


def slip(
    case: Case,
    entry: Entry,
    changed: Sequence[PutRight],
    run: Run,
    *,
    edition: Edition,
    digest: str,
) -> Slip:
    """Return the slip of one entry.

    case, entry: as this edition's reader may see them. changed: what the entry changed, for the same reader.
    digest: of the sealed folder before this entry.
    """
    number = changed[0].edition if changed else 0
    office = edition is Edition.OFFICE
    return Slip(
        template="slip.html",
        title=f"{_TITLES[entry.kind]}, {clip(case.job.job.address, 120)}",
        head=head_of(case, f"{entry.kind.value}, {edition.value} edition", run),
        pictures=logo_wanted(case.company),
        office=office,
        address=headline(case.job.job.address),
        kind=_TITLES[entry.kind],
        rows=tuple(_rows(entry, changed)),
        pairs=tuple(_clipped(pair) for pair in _pairs(entry, len(changed))),
        goes_with=tuple(_goes_with(number, office=office)),
        contact=", ".join(company_lines(case.company)),
        digest=digest,
    )


def _rows(entry: Entry, changed: Sequence[PutRight]) -> Iterator[SlipRow]:
    # What other entries change is what they say themselves, further down.
    for one in changed if entry.correction is not None else ():
        yield SlipRow(clip(one.where, _VALUE_LETTERS), _value(one.was), _value(one.right))


def _value(text: str | None) -> str:
    if text is None:
        return _KEPT_BACK
    return clip(text, _VALUE_LETTERS) if text else "blank"


def _clipped(pair: Pair) -> Pair:
    return Pair(pair.label, clip(pair.text, _TEXT_LETTERS))


def _pairs(entry: Entry, changed: int) -> Iterator[Pair]:
    yield Pair("Day", write_date(entry.on))
    if entry.correction is not None:
        yield Pair("Why", said(entry.correction.why))
        yield Pair("Found by", clip(said(entry.correction.found_by), _NAME_LETTERS))
        if entry.correction.paper:
            yield Pair("Shown by", entry.correction.paper)
    yield from _late(entry)
    if entry.registration is not None:
        yield from _registered(entry.registration, changed)
    if entry.work is not None:
        yield from _work(entry.work)
    if entry.inspection is not None:
        yield from _visit(entry.inspection)
    if entry.text is not None:
        yield Pair("Note for the office", entry.text)
    who = clip(entry.noted_by, _NAME_LETTERS)
    yield Pair("Noted by", f"{who}, {write_date(entry.noted_on)}")


def _late(entry: Entry) -> Iterator[Pair]:
    for paper in entry.papers[:_MOST_ROWS]:
        kind = paper.kind.value if paper.kind else "paper"
        of = f", of {write_date(paper.on)}" if paper.on else ""
        backs = f", on file for: {paper.backs}" if paper.backs else ""
        yield Pair(capital(kind), clip(f"{paper.file.removeprefix('files/')}{of}{backs}", 160))
    for photo in entry.photos[:_MOST_ROWS]:
        slope = f", slope {photo.slope}" if photo.slope else ""
        shows = f": {photo.caption}" if photo.caption else ""
        words = f"{photo.file.removeprefix('files/')}, {photo.phase.value}{slope}{shows}"
        yield Pair("Photo", clip(words, 160))
    more = max(len(entry.papers), len(entry.photos)) - _MOST_ROWS
    if more > 0:
        yield Pair("And", f"{plural(more, 'more file')}, listed in the sealed entry")


def _registered(one: Registration, changed: int) -> Iterator[Pair]:
    if one.level or one.sheet:
        yield Pair("Level", ", ".join(part for part in (one.level, one.sheet) if part))
    yield Pair("Confirmed on", day(one.confirmed_on))
    yield Pair("Confirmation number", said(one.confirmation))
    if one.by:
        yield Pair("Confirmed by", one.by)
    if one.certificate_file:
        yield Pair("Certificate", one.certificate_file.removeprefix("files/"))
    if not changed:
        yield Pair("In the record", "it was there already; nothing in it changes")


def _work(work: LaterWork) -> Iterator[Pair]:
    yield Pair("What was done", said(work.what))
    yield Pair("Done by", clip(said(work.by), _NAME_LETTERS))
    where = [f"slope {work.slope}" if work.slope else "slope not on record"]
    where += (
        [f"{feet(work.from_eave_ft)} up from the eave"] if work.from_eave_ft is not None else []
    )
    where += (
        [f"{feet(work.from_rake_ft)} from the left rake"] if work.from_rake_ft is not None else []
    )
    yield Pair("Where", ", ".join(where))
    if work.claim:
        yield Pair("Claim", work.claim)
    if work.photos:
        yield Pair("Pictures", f"{plural(len(work.photos), 'picture')}, sealed with this entry")


def _visit(visit: MakersVisit) -> Iterator[Pair]:
    yield Pair("Looked at by", clip(said(visit.by), _NAME_LETTERS))
    if visit.sheet:
        yield Pair("Terms sheet", visit.sheet)
    yield Pair("What was found", said(visit.found))
    decided = f", {write_date(visit.decided_on)}" if visit.decided_on else ""
    yield Pair("What the maker decided", f"{said(visit.decision)}{decided}")
    if visit.claim:
        yield Pair("Claim", visit.claim)


def _goes_with(number: int, *, office: bool) -> Iterator[str]:
    if office:
        yield "For the company alone: it goes to nobody else."
    else:
        yield "Keep this sheet with the roof record."
    if number > 1:
        yield (
            f"With this entry the record is edition {number}; a handover printed before it still shows what stood "
            "there before."
        )
    yield (
        "What was sealed before stays as it was: this stands beside it, and a wrong entry is answered by a "
        "later one."
    )
    yield CAUTION
