"""What the punch list says of each job of this folder beside what had to be found.

`python -m tests.forty_jobs.compare [NAME …]` prints, job by job, what was matched, what was missed, and which
items nobody expected. Notes are left out: they accuse nobody. An item matches where its field or file begins with
one of the expected places (`*` stands for a list's number), its verdict is among those allowed, it holds at least
what is expected, and its sentences have one of the words, where some are given.
"""

import re
import sys
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from dossier.punchlist import Item, Weight
from tests.jobs.made_up import loaded, made_up
from tests.known_good import Unreadable

FIRST = Path(__file__).parent
HELD_OUT = FIRST.parent / "held_out_jobs"


def names(folder: Path) -> tuple[str, ...]:
    """Return the jobs of a folder."""
    return tuple(sorted(path.parent.name for path in folder.glob("*/job.yaml")))


@dataclass(frozen=True)
class Compared:
    """One job's outcome.

    unreadable: why the record could not be read, else empty. missed: each with what was said of the same thing
    at the same place by another verdict, with another hold or as a note.
    """

    name: str
    clean: bool
    unreadable: tuple[str, ...]
    matched: tuple[tuple[Mapping[str, Any], Item], ...]
    missed: tuple[tuple[Mapping[str, Any], tuple[Item, ...]], ...]
    tolerated: tuple[Item, ...]
    extra: tuple[Item, ...]
    notes: tuple[Item, ...]


def compared(name: str, folder: Path = FIRST) -> Compared:
    """Return what the punch list of one job has, lacks and has too much."""
    expected = loaded(name, "expected.yaml", folder)
    findings = expected["findings"]
    clean = expected["clean"] == "yes"
    try:
        items = made_up(name, date.fromisoformat(expected["today"]), folder).punch_list
    except Unreadable as error:
        reasons = tuple(f"{item.where}: {str(item.says)!s}" for item in error.items)
        return Compared(
            name, clean, reasons, (), tuple((finding, ()) for finding in findings), (), (), ()
        )
    notes = tuple(item for item in items if item.weight is Weight.NOTE)
    said = [item for item in items if item.weight is not Weight.NOTE]
    matched = tuple(
        (finding, item) for finding in findings for item in said if _matches(finding, item)
    )
    found = [id(finding) for finding, _ in matched]
    missed = tuple(
        (finding, tuple(item for item in items if _is_said_otherwise(finding, item)))
        for finding in findings
        if id(finding) not in found
    )
    spoken_for = [item for _, item in matched] + [item for _, instead in missed for item in instead]
    rest = [item for item in said if item not in spoken_for]
    places = [place["at"] for place in expected.get("tolerated", [])]
    tolerated = tuple(item for item in rest if _is_at(places, item))
    extra = tuple(item for item in rest if item not in tolerated)
    return Compared(name, clean, (), matched, missed, tolerated, extra, notes)


def _matches(finding: Mapping[str, Any], item: Item) -> bool:
    return (
        _is_about(finding, item)
        and item.verdict.value in _listed(finding["verdict"])
        and set(_listed(finding.get("holds", []))) <= {hold.value for hold in item.holds}
    )


def _is_said_otherwise(finding: Mapping[str, Any], item: Item) -> bool:
    # Without words to go by, a note at the same place is mostly about something else.
    return _is_about(finding, item) and ("words" in finding or item.weight is not Weight.NOTE)


def _is_about(finding: Mapping[str, Any], item: Item) -> bool:
    text = f"{str(item.says)!s} {item.why} {item.remedy}".lower()
    words = finding.get("words", [""])
    return _is_at(finding["at"], item) and any(word.lower() in text for word in words)


def _listed(value: str | Sequence[str]) -> Sequence[str]:
    return [value] if isinstance(value, str) else value


def _is_at(places: Sequence[str], item: Item) -> bool:
    return any(_begins(where, place) for place in places for where in _wheres(item))


def _wheres(item: Item) -> tuple[str, ...]:
    """Return the field and the file; the record's own file says nothing, so it is left out."""
    file = "" if item.where.file == "job.yaml" else item.where.file
    return tuple(where for where in (item.where.field, file) if where)


def _begins(where: str, place: str) -> bool:
    pattern = re.escape(place).replace(r"\*", r"\d+")
    return re.match(rf"{pattern}(?:$|[./\[-])", where) is not None


def _line(item: Item) -> str:
    holds = ", ".join(sorted(hold.value for hold in item.holds)) or "nothing"
    place = item.where.field or item.where.file
    return f"{item.rule} {item.verdict.value} at {place}, holds {holds}: {str(item.says)!s}"


def main(wanted: Sequence[str]) -> None:
    """Print the comparison of these jobs, all where none is named, and the totals."""
    total: Counter[str] = Counter()
    folders = {name: folder for folder in (FIRST, HELD_OUT) for name in names(folder)}
    for name in wanted or folders:
        outcome = compared(name, folders[name])
        kind = "clean" if outcome.clean else "faults"
        print(f"\n## {name} ({kind})")
        for reason in outcome.unreadable:
            print(f"  UNREADABLE {reason}")
        for finding, item in outcome.matched:
            print(f"  matched: {finding['about']}\n      {_line(item)}")
        for finding, instead in outcome.missed:
            print(f"  MISSED: {finding['about']}")
            for item in instead:
                print(f"      said otherwise: {_line(item)}")
        for word, items in (
            ("tolerated", outcome.tolerated),
            ("EXTRA", outcome.extra),
            ("note", outcome.notes),
        ):
            for item in items:
                print(f"  {word}: {_line(item)}")
        total[f"{kind}: jobs"] += 1
        total[f"{kind}: jobs with items nobody expected"] += bool(outcome.extra)
        total[f"{kind}: items nobody expected"] += len(outcome.extra)
        total["unreadable jobs"] += bool(outcome.unreadable)
        total["findings expected"] += len(outcome.missed) + len(
            {id(finding) for finding, _ in outcome.matched}
        )
        total["findings missed"] += len(outcome.missed)
        total["findings missed, but said otherwise"] += sum(
            bool(said) for _, said in outcome.missed
        )
    print("\n## Totals")
    for what, number in sorted(total.items()):
        print(f"  {what}: {number}")


if __name__ == "__main__":
    main(sys.argv[1:])
