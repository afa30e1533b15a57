"""The inspections that a card or a permit tells, line by line or by labels, and how sure each is.

In: a paper that was read. Out: inspections, each with its line and its doubt. Must not know the record. A result
is sure only where its words are one that is known and nothing else: “pass withheld” holds the word “pass”. The
wording is ordinary English of the trade: common practice, no published source.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import date

from dossier.evidence.text import TextLine
from dossier.gather.at_hand import ReadPaper
from dossier.gather.labels import (
    DAY,
    day_doubt,
    days_beside,
    month_first,
    name_in,
    valued,
    written_day,
)
from dossier.record.closing import Inspection
from dossier.said import Said, say
from dossier.values import clip
from dossier.words import InspectionResult, PaperKind

_INSPECTION = ("Inspection type", "Type of inspection", "Inspection requested", "Inspection")
_INSPECTED_ON = ("Inspection date", "Date of inspection", "Date inspected", "Inspected on", "Date")
_RESULT = ("Inspection result", "Result", "Results", "Disposition", "Status")
_INSPECTOR = ("Inspected by", "Inspector's name", "Inspector name", "Inspector")

_WHOLE_RESULTS = (
    (InspectionResult.PASSED, r"passed|pass|approved|accepted"),
    (
        InspectionResult.FAILED,
        r"(?:(?:did|does|has|was|is) )?not (?:pass(?:ed)?|approved|accepted)|disapproved|failed|fail|rejected",
    ),
    (InspectionResult.CORRECTIONS, r"corrections? (?:required|asked|needed|issued|noted)"),
)
"""Results that are nothing but these words."""

_WHOLE = "|".join(words for _, words in _WHOLE_RESULTS)

_RESULT_WORDS = re.compile(
    r"\b(?:pass(?:ed)?|(?:dis)?approv(?:ed|al)|accepted|fail(?:ed)?|rejected"
    r"|corrections? (?:required|asked|needed|issued|noted))\b",
    re.I,
)
"""Words that tell of a result, whatever they come to."""

_TAKEN_BACK = re.compile(
    r"\b(?:not?|yet|never|cannot|can't|unable|unless|until|if|when|once|only|but|except\w*|subject|pending|withheld|denied"
    r"|conditional\w*|conditions?|provided|partial\w*|corrections?|re-?inspect\w*|to be|will|shall|must|scheduled"
    r"|awaiting|hold|expired|incomplete|noted|next|with|as|under|part|again|redo\w*)\b|\[|☐|☑|☒|□|■|_{2,}",
    re.I,
)
"""Words, and boxes to tick, by which a result is not simply what its own words say."""

_TAKEN_BACK_BELOW = re.compile(
    r"\b(?:subject|correct\w*|except\w*|pending|condition\w*|re-?inspect\w*|withheld)\b", re.I
)
"""Words on another line by which it is not: fewer, since a form prints much else."""

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
"""Words by which a line tells an inspection, and by which it tells something else that was approved on a day."""

_KIND_WORD = re.compile(
    r"(?:and|of|the|re-?roof|building|residential|eaves?|water|[&/+,-])(?=\s|$)", re.I
)
"""What may stand among the words of an inspection besides."""

_PARTED = re.compile(r"\s[-–—]\s|[|;()\n]|\bby\b", re.I)
"""What parts the fields of a line, the pieces of which are joined by line breaks here."""

_LABELS_AROUND = re.compile(
    r"^(?:inspector|inspected|date|on|result|status|type)\b[\s:.]*"
    r"|[\s:,]*\b(?:on|date|result|status|inspector)[\s:.]*$",
    re.I,
)

_MOST_LINE_WORDS = 14
"""Words above which a line is a sentence about inspections and no inspection. Our habit."""

Read = tuple[Inspection, TextLine, Said | None]


def read_inspections(paper: ReadPaper, today: date) -> tuple[Read, ...]:
    """Return the inspections of a paper, each with its line and why it may be misread."""
    lines = paper.text.lines
    order = month_first(lines)
    read = [one for at in range(len(lines)) if (one := _one_line(lines, at, order, today))]
    if not read and paper.kind is PaperKind.INSPECTION_CARD:
        read = list(_labelled(paper, today))
    return tuple(read)


def bare_kind(text: str) -> str:
    """Return which inspection a text names, in small letters and without the word itself."""
    words = " ".join(re.sub(r"\binspections?\b", " ", text, flags=re.I).split()).strip(" :.-")
    return words.casefold() if any(map(str.isalpha, words)) and len(words) <= 60 else ""


# --- results ------------------------------------------------------------------------------------


def _whole_result(text: str) -> InspectionResult | None:
    """Return the result that a text is, where it is nothing else."""
    words = " ".join(text.split()).strip(" .!*:,")
    return next((one for one, form in _WHOLE_RESULTS if re.fullmatch(form, words, re.I)), None)


def _taken_back(text: str) -> Said | None:
    """Return that words beside a result take it back, or that a box beside it may not be ticked."""
    found = _TAKEN_BACK.search(re.sub(rf"\b(?:{_WHOLE})\b", " ", text, flags=re.I))
    return say("“{word}” stands beside its result", word=found[0]) if found else None


def _unsure(words: str) -> Said:
    return say("“{words}” is no result that is sure", words=clip(" ".join(words.split())))


# --- on one line --------------------------------------------------------------------------------


def _one_line(lines: Sequence[TextLine], at: int, order: bool | None, today: date) -> Read | None:
    """Return the inspection that a line tells whole: which, on what day, with what result, by whom."""
    line = lines[at]
    text = "\n".join(piece.text for piece in line.pieces)
    day = written_day(text, anywhere=True)
    if day is None or not _RESULT_WORDS.search(text) or len(line.words) > _MOST_LINE_WORDS:
        return None
    parts = _parts(text)
    kept = [bare for part in parts if (bare := _bare(part))]
    # “Final inspection passed” names the inspection in front of its result.
    told = [_begun(part) for part in kept if _RESULT_WORDS.search(part)]
    others = [part for part in kept if not _RESULT_WORDS.search(part)]
    kind = told[0][0] or (others.pop(0) if others else "")
    if not bare_kind(kind) or _NO_INSPECTION.search(f"{kind} {told[0][1]}"):
        return None
    if not _INSPECTED.search(f"{parts[0]} {kind}"):
        return None
    result = _whole_result(told[0][1]) if len(told) == 1 else None
    doubt = day_doubt(day, order, today)
    if len(told) > 1 or len(DAY.findall(text)) > 1:
        doubt = say("more than one day or result stands on the line")
    elif result is None:
        doubt = _unsure(told[0][1])
    elif back := _taken_back(text) or _below(lines, at):
        result, doubt = None, back
    elif len(others) > 1 or _begun(kind)[1] or not all(map(name_in, others)):
        doubt = say("what stands on the line beside which, day, result and name is not known")
    inspection = Inspection(
        kind=bare_kind(kind),
        on=day.day,
        result=result,
        by=name_in(others[0]) if others and result else None,
    )
    return inspection, line, doubt


def _parts(text: str) -> list[str]:
    """Return the fields of a line, its days taken out; a comma parts a result from what is beside it."""
    text = re.sub(rf"[,:]\s*(?=(?:{_WHOLE})\b)", "\n", DAY.sub("\n", text), flags=re.I)
    text = re.sub(rf"\b({_WHOLE})\s*[,:]", r"\1\n", text, flags=re.I)
    return _PARTED.split(text)


def _begun(text: str) -> tuple[str, str]:
    """Return the words of an inspection that a text begins with, and the rest of it."""
    rest = text
    while found := _INSPECTED.match(rest) or _KIND_WORD.match(rest):
        rest = rest[found.end() :].lstrip()
    return text[: len(text) - len(rest)].strip(), rest.strip(" .:")


def _below(lines: Sequence[TextLine], at: int) -> Said | None:
    """Return that the line below takes a result back."""
    below = [line.text for line in lines[at + 1 : at + 2] if not DAY.search(line.text)]
    found = _TAKEN_BACK_BELOW.search(below[0]) if below else None
    return say("the line below it says “{word}”", word=found[0]) if found else None


def _bare(part: str) -> str:
    words = re.sub(r"^[\W_]+|[\s\-–:,;|_(]+$", "", part)
    while words != (less := _LABELS_AROUND.sub("", words)):
        words = less
    return words


# --- by labels ----------------------------------------------------------------------------------


def _labelled(paper: ReadPaper, today: date) -> Iterator[Read]:
    """Yield the inspection that a paper tells by labels, one on a page; in doubt where it tells two."""
    for page in sorted({line.page for line in paper.text.lines}):
        lines = [line for line in paper.text.lines if line.page == page]
        kinds = valued(lines, _INSPECTION, _kind_in)
        results = valued(lines, _RESULT, _result_in)
        days = days_beside(lines, _INSPECTED_ON, paper.text.lines, today)
        if not kinds or not results:
            continue
        by = valued(lines, _INSPECTOR, name_in)
        result = _whole_result(results[0].value)
        doubt = days[0].doubt if days else say("no day of the inspection could be read")
        if max(len(kinds), len(results), len(days)) > 1:
            doubt = say("more than one inspection, day or result stands on the page")
        if result is None:
            doubt = _unsure(results[0].value)
        elif back := _taken_back(results[0].line.text) or _elsewhere(lines, results[0].line):
            result, doubt = None, back
        inspection = Inspection(
            kind=kinds[0].value,
            on=days[0].value if days else None,
            result=result,
            by=by[0].value if by else None,
        )
        yield inspection, results[0].line, doubt


def _elsewhere(lines: Sequence[TextLine], own: TextLine) -> Said | None:
    """Return that another line of the page tells of a result, or takes one back."""
    for line in lines:
        found = _RESULT_WORDS.search(line.text) or _TAKEN_BACK_BELOW.search(line.text)
        if found and line is not own:
            return say("line {line} says “{word}”", line=line.line, word=found[0])
    return None


def _kind_in(text: str) -> str | None:
    kind = bare_kind(text)
    words = kind.split()
    if not words or len(words) > 6 or DAY.search(text) or words[0] in _OF_THE_FORM:
        return None
    return kind


def _result_in(text: str) -> str | None:
    return text if _RESULT_WORDS.search(text) else None
