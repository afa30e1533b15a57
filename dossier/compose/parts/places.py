"""Where something stands on record, in words for a reader outside the office.

In: places and references. Out: words. Must not print a line of a file: the lines are those of the office's
own file, and the record that rides inside a document is written anew. Papers that the reader may not see
are told by kind and number; their files are never named.
"""

import re
from collections import Counter
from collections.abc import Iterable

from dossier.assess.results import BySlope, Reference
from dossier.case.case import Case
from dossier.punchlist import Where
from dossier.values import listed, plural
from dossier.words import Backing

FILES_NAMED = 3
"""Files that are named one by one; of more, the rest are counted."""

_RECORD = "job.yaml"


def place_words(where: Where) -> str:
    """Return a place as its file and field: record: job.scope; company.yaml: certifications."""
    return record_words((where,))


def record_words(places: Iterable[Where]) -> str:
    """Return several places, a file once, its fields joined, entries of one list counted together."""
    by_file: dict[str, list[str]] = {}
    for where in places:
        name = "record" if where.file == _RECORD else where.file
        by_file.setdefault(name, []).extend([where.field] if where.field else [])
    return "; ".join(
        f"{name}: {_fields(fields)}" if fields else name for name, fields in by_file.items()
    )


def _fields(fields: Iterable[str]) -> str:
    """Return dotted fields in words, as a person counts: deliveries.0.lines.2 is deliveries 1, lines 3.

    A field's own name is for whoever types it: installation.starter_at is installation, starter. Fields of one
    entry stand together: slopes 1, pitch and plan.
    """
    groups: dict[str, list[str]] = {}
    for field in dict.fromkeys(fields):
        words = ""
        for part in field.split("."):
            if part.isdigit():
                words += f" {int(part) + 1}"
            elif words:
                words += f", {_plain(part)}"
            else:
                words = _plain(part)
        stem, _, number = words.rpartition(" ")
        entry, _, name = words.rpartition(", ")
        if number.isdigit():
            groups.setdefault(stem, []).append(number)
        elif entry:
            groups.setdefault(f"{entry},", []).append(name)
        else:
            groups.setdefault(words, [])
    return "; ".join(
        f"{stem} {listed(numbers)}" if numbers else stem for stem, numbers in groups.items()
    )


_ENDING = re.compile(r"_(?:ft|in|sqft|sqin|mph|psf|pct|f|on|at)$")
"""How a field's name ends in its unit, or in what asks for a day or a place."""


def _plain(name: str) -> str:
    return _ENDING.sub("", name).replace("_", " ")


def references_text(case: Case, references: tuple[Reference, ...]) -> str:
    """Return where a statement's backing lies: field of the record, photos, papers.

    A photo is named by its number in this document and its file. Of a withheld paper the kind is told, never
    its file; a withheld photo is passed over.
    """
    shown = {paper.file for paper in case.papers}
    records = [ref.where for ref in references if ref.kind == "record"]
    numbers = {
        case.photo_numbers[ref.text]: ref.text.removeprefix("photos/")
        for ref in references
        if ref.kind == "photo" and ref.text in case.photo_numbers
    }
    photos = [f"{number} ({file})" for number, file in sorted(numbers.items())]
    papers = [ref.text.removeprefix("papers/") for ref in references if ref.text in shown]
    kept = {
        ref.text: ref.paper for ref in references if ref.kind == "paper" and ref.text not in shown
    }
    parts = [record_words(records)] if records else []
    parts += [_files("photo", photos)] if photos else []
    parts += [_files("paper", papers)] if papers else []
    counted = Counter(kind or "paper" for kind in kept.values())
    parts += [
        f"{kind if count == 1 else plural(count, kind)}, kept at the office"
        for kind, count in counted.items()
    ]
    return "; ".join(parts)


IN_PART = "on file in part"
"""The word for what a photo or paper backs in part: on some slopes, or some of what a condition asks for."""


def backing_word(backing: Backing, by_slope: BySlope) -> str:
    """Return how far something is backed as its mark says it; by_slope: of the assessment."""
    return IN_PART if by_slope and backing is Backing.STATED else backing.value


def slopes_words(by_slope: BySlope) -> str:
    """Return how far something is backed on which slopes: reviewed on front; on file on back."""
    return "; ".join(f"{one.value} on {listed(slopes)}" for one, slopes in by_slope)


def _files(kind: str, files: list[str]) -> str:
    files = list(dict.fromkeys(files))
    named = files[:FILES_NAMED]
    more = len(files) - len(named)
    label = kind if len(files) == 1 else f"{kind}s"
    colon = "" if kind == "photo" else ":"
    return f"{label}{colon} {', '.join(named)}" + (f" and {more} more" if more else "")
