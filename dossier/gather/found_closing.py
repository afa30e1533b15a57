"""What permits, inspection cards, and makers' confirmations and certificates say, as facts to agree to.

In: what is at hand. Out: `Found`. Must not write. The wording of labels is ordinary English of the trade: common
practice, no published source.
"""

import re
from collections.abc import Iterator
from dataclasses import replace

from dossier.evidence.text import TextLine
from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.found import Found
from dossier.gather.inspections import bare_kind, read_inspections
from dossier.gather.labels import Beside, days_beside, number_in, valued
from dossier.gather.letters import ACCEPTED, RECEIVED, certificate_told, days_told
from dossier.gather.settling import fact, settled
from dossier.gather.ticket_rows import key_of
from dossier.hand.means import Change
from dossier.record.closing import Inspection, Permit, inspection_asked, which_inspection
from dossier.said import Said, say
from dossier.words import PaperKind

_PERMIT_NUMBER = ("Permit No", "Permit Number", "Permit ID", "Building permit", "Permit")
_ISSUED = ("Date issued", "Issue date", "Date of issue", "Issued on", "Permit date", "Issued")
_CLOSED = (
    "Date closed",
    "Closed on",
    "Permit closed",
    "Date finaled",
    "Finaled on",
    "Finaled",
    "Closed",
)
_CONFIRMATION = (
    "Confirmation number", "Confirmation No", "Registration number", "Registration No", "Registration ID",
    "Warranty registration number", "Confirmation", "Registration",
)  # fmt: skip
_CERTIFICATE_NUMBER = ("Certificate number", "Certificate No", "Warranty number", "Warranty No")
_ACCEPTED = (
    "Registration confirmed on", "Confirmed on", "Registered on", "Registration date", "Date registered",
    "Date of registration", "Accepted on", "Date accepted",
)  # fmt: skip
_GIVEN = ("Given on", "Date issued", "Issue date", "Date of issue", "Issued on", "Issued")


def found_on_closing_papers(at: AtHand) -> tuple[Found, ...]:
    """Return what these papers say, in their order."""
    found: list[Found] = []
    for paper in at.papers:
        if paper.kind in (PaperKind.PERMIT, PaperKind.INSPECTION_CARD):
            found += _permit(at, paper)
            found += _inspections(at, paper)
        elif paper.kind in (PaperKind.REGISTRATION_CONFIRMATION, PaperKind.CERTIFICATE):
            found += _warranty(at, paper)
    return tuple(found)


# --- permit -------------------------------------------------------------------------------------


def _permit(at: AtHand, paper: ReadPaper) -> Iterator[Found]:
    had = at.job.permit or Permit()
    lines = paper.text.lines
    numbers = valued(lines, _PERMIT_NUMBER, number_in, within=True)
    yield from settled(paper, ("permit", "number"), "permit number", numbers, had.number)
    issued = days_beside(lines, _ISSUED, lines, at.today)
    yield from settled(paper, ("permit", "issued"), "permit issued", issued, had.issued)
    closed = days_beside(lines, _CLOSED, lines, at.today)
    yield from settled(paper, ("permit", "closed_on"), "permit closed", closed, had.closed_on)


def _inspections(at: AtHand, paper: ReadPaper) -> Iterator[Found]:
    had = list((at.job.permit or Permit()).inspections)
    new = len(had)
    seen: list[Inspection] = []
    for inspection, line, doubt in read_inspections(paper, at.today):
        if inspection in seen:
            continue
        seen.append(inspection)
        inspection = _as_asked(inspection, at)
        place = _in_record(inspection, [_as_asked(one, at) for one in had])
        said = say("inspection: {line}", line=_words(inspection))
        if place is None:
            path = ("permit", "inspections", str(new))
            new += 1
            yield fact(paper, line, said, (Change(path, _typed(inspection)),), doubt)
        else:
            yield _against(paper, line, inspection, (place, had[place]), said, doubt)


def _in_record(inspection: Inspection, had: list[Inspection]) -> int | None:
    """Return the place of the same inspection in the record: of its kind, on its day or on none."""
    alike = [n for n, one in enumerate(had) if bare_kind(one.kind) == bare_kind(inspection.kind)]
    same = [n for n in alike if had[n].on == inspection.on or inspection.on is None]
    undated = [n for n in alike if had[n].on is None]
    words = which_inspection(inspection.kind)
    that_day = [
        n
        for n, one in enumerate(had)
        if inspection.on is not None
        and one.on == inspection.on
        and (both := words & which_inspection(one.kind))
        and both in (words, which_inspection(one.kind))
    ]
    return next(iter(same or undated or that_day), None)


def _as_asked(inspection: Inspection, at: AtHand) -> Inspection:
    """Return an inspection by the name that the locality asks for it by: a card's “FINAL ROOF” is its final."""
    kind = inspection_asked(inspection.kind, at.inspections)
    return inspection.model_copy(update={"kind": kind}) if kind else inspection


def _against(
    paper: ReadPaper,
    line: TextLine,
    inspection: Inspection,
    old: tuple[int, Inspection],
    said: Said,
    doubt: Said | None,
) -> Found:
    """Return what a paper says beyond or against an inspection of the record."""
    place, had = old
    changes = []
    for name, value in _typed(inspection).items():
        was = _typed(had).get(name)
        if name == "kind" or (was is not None and key_of(was) == key_of(value)):
            continue
        changes.append(Change(("permit", "inspections", str(place), name), value))
        if was is not None:
            doubt = say("the record has {was}", was=_words(had))
    if not changes:
        if doubt is not None:
            doubt = say("{doubt}; the record has {was}", doubt=doubt, was=_words(had))
        return fact(paper, line, said, (), doubt, known=doubt is None)
    return fact(paper, line, said, tuple(changes), doubt)


def _typed(inspection: Inspection) -> dict[str, str]:
    fields = {
        "kind": inspection.kind,
        "on": inspection.on.isoformat() if inspection.on else None,
        "result": inspection.result.value if inspection.result else None,
        "by": inspection.by,
    }
    return {name: value for name, value in fields.items() if value is not None}


def _words(inspection: Inspection) -> str:
    return ", ".join(_typed(inspection).values())


# --- warranty -----------------------------------------------------------------------------------


def _warranty(at: AtHand, paper: ReadPaper) -> Iterator[Found]:
    place = which_warranty(at, paper)
    if place is None:
        return
    had = at.job.warranties[place]
    path = ("warranties", str(place))
    lines = paper.text.lines
    numbers = valued(lines, _CONFIRMATION, number_in, within=True)
    if not numbers:
        named = say("it is called the number of a certificate, not of a registration")
        numbers = [
            Beside(one.value, one.line, named)
            for one in valued(lines, _CERTIFICATE_NUMBER, number_in, within=True)
            or valued(lines, ("Certificate",), number_in)
        ]
    name = "confirmation number"
    doubt = _whose(at, paper, place)
    numbers = [replace(one, doubt=one.doubt or doubt) for one in numbers]
    yield from settled(paper, (*path, "confirmation"), name, numbers, had.confirmation)
    accepted = [
        replace(one, doubt=one.doubt or doubt)
        for one in (
            *days_beside(lines, _ACCEPTED, lines, at.today),
            *days_told(lines, ACCEPTED, at.today),
        )
    ]
    if paper.kind is PaperKind.CERTIFICATE and not accepted:
        given = say("it is the day of the certificate; nothing says that it was accepted then")
        days = days_beside(lines, _GIVEN, lines, at.today)
        accepted = [replace(one, doubt=given) for one in days]
    received = [
        replace(one, doubt=one.doubt or doubt) for one in days_told(lines, RECEIVED, at.today)
    ]
    name = "registration received by the maker"
    yield from settled(paper, (*path, "received_on"), name, received, had.received_on)
    name = "registration accepted"
    yield from settled(paper, (*path, "accepted_on"), name, accepted, had.accepted_on)
    here = certificate_told(lines, paper.file)
    if paper.kind is PaperKind.CERTIFICATE and lines:
        here = [Beside(paper.file, lines[0])]
    if here:
        here = [replace(one, doubt=one.doubt or doubt) for one in here]
        name = "certificate on file"
        yield from settled(paper, (*path, "certificate_file"), name, here, had.certificate_file)


def _whose(at: AtHand, paper: ReadPaper, place: int) -> Said | None:
    """Return that a paper names neither the level nor the maker of the warranty that it is taken for."""
    warranty = at.job.warranties[place]
    text = " ".join(key_of(line.text) for line in paper.text.lines)
    # A sheet of terms is named for its maker.
    makers = re.findall(r"[^\W\d_]{4,}", key_of(warranty.sheet))
    names = [key_of(warranty.level), *makers]
    if any(re.search(rf"\b{re.escape(name)}\b", text) for name in names):
        return None
    return say("it names neither the level {level} nor its maker", level=warranty.level)


def which_warranty(at: AtHand, paper: ReadPaper) -> int | None:
    """Return which warranty of the record a paper is about: the only one, or the one whose level it prints."""
    text = " ".join(key_of(line.text) for line in paper.text.lines)
    named = [n for n, one in enumerate(at.job.warranties) if key_of(one.level) in text]
    if len(at.job.warranties) == 1:
        return 0
    return named[0] if len(named) == 1 else None
