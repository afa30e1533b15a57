"""What permits, inspection cards, and makers' confirmations and certificates say, as facts to agree to.

In: what is at hand. Out: `Found`. Must not write. The wording of labels is ordinary English of the trade: common
practice, no published source.
"""

import re
from collections.abc import Iterator
from datetime import date

from dossier.evidence.text import TextLine
from dossier.gather.at_hand import AtHand, ReadPaper
from dossier.gather.found import Found
from dossier.gather.labels import (
    DAY,
    Beside,
    day_doubt,
    days_beside,
    month_first,
    name_in,
    number_in,
    valued,
    written_day,
)
from dossier.gather.settling import fact, settled
from dossier.gather.ticket_rows import key_of
from dossier.hand.means import Change
from dossier.record.closing import Inspection, Permit, inspection_asked, which_inspection
from dossier.said import Said, say
from dossier.words import InspectionResult, PaperKind

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
_INSPECTION = ("Inspection type", "Type of inspection", "Inspection requested", "Inspection")
_INSPECTED_ON = ("Inspection date", "Date of inspection", "Date inspected", "Inspected on", "Date")
_RESULT = ("Inspection result", "Result", "Results", "Disposition", "Status")
_INSPECTOR = ("Inspected by", "Inspector's name", "Inspector name", "Inspector")
_CONFIRMATION = (
    "Confirmation number", "Confirmation No", "Registration number", "Registration No", "Registration ID",
    "Warranty registration number", "Confirmation", "Registration",
)  # fmt: skip
_CERTIFICATE_NUMBER = ("Certificate number", "Certificate No", "Warranty number", "Warranty No")
_ACCEPTED = (
    "Registration confirmed on", "Confirmed on", "Registered on", "Registration date", "Date registered",
    "Date of registration", "Accepted on", "Date accepted",
)  # fmt: skip

_RESULTS = (
    (InspectionResult.FAILED, r"not approved|disapproved|failed|fail|rejected|not passed"),
    (InspectionResult.CORRECTIONS, r"corrections? (?:required|asked|needed|issued|noted)|partial\w* approv\w+"),
    (InspectionResult.PASSED, r"passed|pass|approved|accepted"),
)  # fmt: skip
_RESULT_WORDS = re.compile(
    "|".join(f"(?P<r{n}>\\b(?:{p})\\b)" for n, (_, p) in enumerate(_RESULTS)), re.I
)

_OF_THE_FORM = frozenset(
    (
        "card", "record", "report", "notice", "ticket", "date", "result", "results", "type", "no", "number",
        "status", "by",
    )
)  # fmt: skip
"""Words behind “inspection” that name a form or another of its fields."""

_INSPECTED = re.compile(
    r"\b(?:inspections?|final|deck(?:ing)?|sheathing|ice|barrier|underlayment|dry.?in|in.?progress|mid.?roof|rough"
    r"|tear.?off|flashing|nailing|framing|roof(?:ing)?|cover|ventilation|completion)\b",
    re.I,
)
_NO_INSPECTION = re.compile(
    r"\b(?:permit|plans?|application|review|fees?|drawings?|submittal|signature|payment)\b", re.I
)
"""Words by which a line tells an inspection, and by which it tells something else that was approved on a day.
Common practice, no published source."""

_LABELS_AROUND = re.compile(
    r"^(?:inspector|inspected|by|date|on|result|status|type)\b[\s:.]*"
    r"|[\s:,]*\b(?:by|on|date|result|status|inspector)[\s:.]*$",
    re.I,
)

_MOST_LINE_WORDS = 14
"""Words above which a line is a sentence about inspections and no inspection. Our habit."""


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
    order = month_first(paper.text.lines)
    read = [one for line in paper.text.lines if (one := _one_line(line, order, at.today))]
    if not read and paper.kind is PaperKind.INSPECTION_CARD:
        read = list(_labelled(paper, at.today))
    new = len(had)
    seen: set[tuple[str, date | None]] = set()
    for inspection, line, doubt in read:
        which = (key_of(inspection.kind), inspection.on)
        if which in seen:
            continue
        seen.add(which)
        inspection = _as_asked(inspection, at)
        place = _in_record(inspection, [_as_asked(one, at) for one in had])
        said = say("inspection: {line}", line=_words(inspection))
        if place is None:
            path = ("permit", "inspections", str(new))
            new += 1
            yield fact(paper, line, said, (Change(path, _typed(inspection)),), doubt)
        else:
            yield _against(paper, line, inspection, (place, had[place]), said, doubt)


Read = tuple[Inspection, TextLine, Said | None]


def _one_line(line: TextLine, order: bool | None, today: date) -> Read | None:
    """Return the inspection that a line tells whole: which, on what day, with what result, by whom."""
    text = line.text
    day = written_day(text, anywhere=True)
    results = list(_RESULT_WORDS.finditer(text))
    if day is None or not results or len(line.words) > _MOST_LINE_WORDS:
        return None
    spans = [(found.start(), found.end()) for found in (*DAY.finditer(text), *results)]
    parts, at = [], 0
    for start, end in sorted(spans):
        parts.append(text[at:start])
        at = end
    parts.append(text[at:])
    kept = [words for part in parts if (words := _bare(part))]
    if not kept or not _bare_kind(kept[0]) or _NO_INSPECTION.search(kept[0]):
        return None
    if not _INSPECTED.search(parts[0] + kept[0]):
        return None
    said = {_result(found) for found in results}
    doubt = day_doubt(day, order, today)
    if len(said) > 1 or len(DAY.findall(text)) > 1:
        doubt = say("more than one day or result stands on the line")
    elif len(kept) > 2:
        doubt = say("what stands on the line beside which, day, result and name is not known")
    inspection = Inspection(
        kind=_bare_kind(kept[0]),
        on=day.day,
        result=said.pop() if len(said) == 1 else None,
        by=name_in(kept[1]) if len(kept) > 1 else None,
    )
    return inspection, line, doubt


def _labelled(paper: ReadPaper, today: date) -> Iterator[Read]:
    """Yield the inspection that a paper tells by labels, one on a page; nothing where it tells two."""
    for page in sorted({line.page for line in paper.text.lines}):
        lines = [line for line in paper.text.lines if line.page == page]
        kinds = valued(lines, _INSPECTION, _kind_in)
        results = valued(lines, _RESULT, _result_in)
        days = days_beside(lines, _INSPECTED_ON, paper.text.lines, today)
        if not kinds or not results:
            continue
        by = valued(lines, _INSPECTOR, name_in)
        doubt = days[0].doubt if days else say("no day of the inspection could be read")
        if max(len(kinds), len(results), len(days)) > 1:
            doubt = say("more than one inspection, day or result stands on the page")
        inspection = Inspection(
            kind=kinds[0].value,
            on=days[0].value if days else None,
            result=results[0].value,
            by=by[0].value if by else None,
        )
        yield inspection, results[0].line, doubt


def _kind_in(text: str) -> str | None:
    kind = _bare_kind(text)
    words = kind.split()
    if not words or len(words) > 6 or DAY.search(text) or words[0] in _OF_THE_FORM:
        return None
    return kind


def _result_in(text: str) -> InspectionResult | None:
    found = {_result(one) for one in _RESULT_WORDS.finditer(text)}
    return found.pop() if len(found) == 1 and len(text.split()) <= 6 else None


def _result(found: re.Match[str]) -> InspectionResult:
    return next(word for n, (word, _) in enumerate(_RESULTS) if found[f"r{n}"])


def _bare(part: str) -> str:
    words = re.sub(r"^[\W_]+|[\s\-–:,;|_(]+$", "", part)
    while words != (less := _LABELS_AROUND.sub("", words)):
        words = less
    return words


def _bare_kind(text: str) -> str:
    """Return which inspection a text names, in small letters and without the word itself."""
    words = " ".join(re.sub(r"\binspections?\b", " ", text, flags=re.I).split()).strip(" :.-")
    return words.casefold() if any(map(str.isalpha, words)) and len(words) <= 60 else ""


def _in_record(inspection: Inspection, had: list[Inspection]) -> int | None:
    """Return the place of the same inspection in the record: of its kind, on its day or on none."""
    alike = [n for n, one in enumerate(had) if _bare_kind(one.kind) == _bare_kind(inspection.kind)]
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
        return fact(paper, line, said, (), known=True)
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
        ]
    name = "confirmation number"
    yield from settled(paper, (*path, "confirmation"), name, numbers, had.confirmation)
    accepted = days_beside(lines, _ACCEPTED, lines, at.today)
    name = "registration accepted"
    yield from settled(paper, (*path, "accepted_on"), name, accepted, had.accepted_on)
    if paper.kind is PaperKind.CERTIFICATE and lines:
        here = [Beside(paper.file, lines[0])]
        name = "certificate on file"
        yield from settled(paper, (*path, "certificate_file"), name, here, had.certificate_file)


def which_warranty(at: AtHand, paper: ReadPaper) -> int | None:
    """Return which warranty of the record a paper is about: the only one, or the one whose level it prints."""
    text = " ".join(key_of(line.text) for line in paper.text.lines)
    named = [n for n, one in enumerate(at.job.warranties) if key_of(one.level) in text]
    if len(at.job.warranties) == 1:
        return 0
    return named[0] if len(named) == 1 else None
