"""`dossier read JOB [FILE…]`: what the papers of a job seem to say, and the numbers somebody agrees to written."""

import argparse
import json
import shlex
import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dossier.commands.given import Here, add_job, add_office, add_today, add_wait
from dossier.errors import ExitCode, WrongCommand
from dossier.values import clip, plural

if TYPE_CHECKING:
    from dossier.deeds.papers_at_hand import PapersAsked
    from dossier.deeds.reading_papers import Proposals
    from dossier.gather.at_hand import ReadPaper
    from dossier.gather.found import Found

SAYS = "read tickets, permits, invoices and other papers, and agree by number to what they say"
EXAMPLE = (
    "dossier read my-office/2026-061-birch-road\n"
    "  dossier read my-office/2026-061-birch-road --agree 1,3-5\n"
    "  dossier read my-office/2026-061-birch-road ticket.pdf --supplier fjordgate --agree all"
)

_MOST_ASIDE, _MOST_LETTERS = 6, 110

_NOT_PLACED = (
    "Put what the supplier calls them into its sheet, under products or units, "
    "and read the ticket again."
)


def add_arguments(command: argparse.ArgumentParser) -> None:
    """Add the job, the papers, and what is agreed to."""
    add_job(command)
    command.add_argument(
        "files",
        type=Path,
        nargs="*",
        metavar="FILE",
        help="a paper; all of the job where none is named",
    )
    command.add_argument(
        "--agree",
        metavar="NUMBERS",
        help="write these, as they were last shown: 1,3-5; or all, which leaves out what is in doubt",
    )
    command.add_argument("--ask", action="store_true", help="go through the papers one by one")
    command.add_argument("--json", action="store_true", help="print the same as data")
    command.add_argument(
        "--photos",
        action="store_true",
        help="look also at the job's photos: bar codes on wrappers, the two photos of a repair, the house's place",
    )
    command.add_argument(
        "--supplier", metavar="NAME", help="read tickets by suppliers/NAME.yaml of the office"
    )
    add_office(command)
    add_today(
        command, "no day on a paper lies after it; without it today in the locality's time zone"
    )
    add_wait(command)


def run(given: argparse.Namespace, here: Here) -> ExitCode:
    """Show what papers say, or write what is agreed to, and return the exit code it means."""
    from dossier.deeds.papers_at_hand import PapersAsked
    from dossier.deeds.reading_papers import keep_shown, read_papers, were_shown
    from dossier.gather.codes import why_not_read

    if given.ask and (given.agree or given.json):
        raise WrongCommand("--ask asks by itself.", "Leave --agree and --json away.")
    asked = PapersAsked(
        given.job, tuple(given.files), given.supplier, given.office, given.today, given.photos
    )
    if given.photos and (lacks := why_not_read()) is not None:
        print(lacks, file=sys.stderr)
    if given.agree is not None:
        return _agree(given, here, asked, were_shown(given.job))
    shown = read_papers(asked, here.clock)
    keep_shown(shown)
    if given.json:
        print(json.dumps(as_data(shown), indent=2, ensure_ascii=False))
    elif given.ask:
        return _ask(given, here, asked, shown)
    else:
        print("\n".join(_lines(shown, _again(given))))
    held = any(paper.items for paper in shown.at.papers)
    return ExitCode.ITEMS_HOLD if held else ExitCode.NOTHING_HELD_UP


def _agree(
    given: argparse.Namespace, here: Here, asked: "PapersAsked", digests: list[str]
) -> ExitCode:
    from dossier.deeds.reading_papers import read_papers

    text = given.agree.strip().lower()
    shown = read_papers(asked, here.clock)
    numbers = shown.undoubted if text == "all" else numbers_in(text)
    # Other papers may have been shown in between; what is read now tells which showing the numbers are of.
    digest = shown.digest if shown.digest in digests else digests[-1]
    return _write(given, here, asked, digest, numbers)


def _write(
    given: argparse.Namespace,
    here: Here,
    asked: "PapersAsked",
    digest: str,
    numbers: Sequence[int],
) -> ExitCode:
    from dossier.deeds.office_index import kept_current
    from dossier.deeds.reading_papers import agree
    from dossier.terms.place import find_office

    if not numbers:
        print("Nothing was agreed to; nothing was written.")
        return ExitCode.NOTHING_HELD_UP
    done = agree(asked, here.clock, digest, numbers, here.holder)
    if given.json:
        print(json.dumps({"agreed": list(numbers), "filed": list(done.filed), "moved": done.moved}))
    else:
        print("\n".join(done.draft.difference(f"{done.draft.shown.file}, as agreed")))
        for file in done.filed:
            print(f"Filed {file}.")
        for was, now in done.moved:
            print(f"Moved {was} to {now}.")
        wrote = f"Wrote {plural(len(numbers), 'fact')} in {done.draft.shown.file}."
        print(wrote if done.draft.changes else "Nothing of it changes the record.")
    folder = given.job.resolve()
    for sentence in kept_current(given.office or find_office(folder), folder):
        print(sentence, file=sys.stderr)
    return ExitCode.NOTHING_HELD_UP


def numbers_in(text: str) -> tuple[int, ...]:
    """Return the numbers in a text such as 1,3-5; raises WrongCommand."""
    numbers: list[int] = []
    for part in text.replace(" ", ",").split(","):
        first, dash, last = part.partition("-")
        if not part:
            continue
        if not (first.isascii() and first.isdigit() and len(first) < 6) or (
            dash and not (last.isascii() and last.isdigit() and len(last) < 6)
        ):
            raise WrongCommand(f"found “{clip(text)}”, needed numbers.", "Write them as 1,3-5.")
        numbers += range(int(first), int(last if dash else first) + 1)
    return tuple(dict.fromkeys(numbers))


def _ask(
    given: argparse.Namespace, here: Here, asked: "PapersAsked", shown: "Proposals"
) -> ExitCode:
    agreed: list[int] = []
    for paper, numbered in by_paper(shown):
        lines = list(_paper(shown, paper, numbered))
        print("\n".join(lines if len(lines) > 1 else ()))
        if not numbered:
            continue
        numbers = {number for number, _ in numbered}
        while True:
            try:
                text = input("Agree to which numbers? (enter: none) ")
            except EOFError:
                print()
                break
            try:
                chosen = numbers_in(text)
            except WrongCommand as problem:
                print(problem)
                continue
            if set(chosen) <= numbers:
                agreed += chosen
                break
            print(f"Only numbers of this paper: {min(numbers)} to {max(numbers)}.")
    return _write(given, here, asked, shown.digest, agreed)


# --- as text ------------------------------------------------------------------------------------

Numbered = list[tuple[int, "Found"]]


def by_paper(shown: "Proposals") -> Iterator[tuple["ReadPaper | str", Numbered]]:
    """Yield each paper, or the name of another file, with its numbered facts."""
    numbered = list(enumerate(shown.found, start=1))
    papers: dict[str, ReadPaper | str] = {paper.file: paper for paper in shown.at.papers}
    for _, found in numbered:
        papers.setdefault(found.file, found.file)
    for file, paper in papers.items():
        yield paper, [(number, found) for number, found in numbered if found.file == file]


def _again(given: argparse.Namespace) -> str:
    """Return the same command, to which what is agreed to can be added."""
    words = ["dossier", "read", str(given.job), *map(str, given.files)]
    if given.photos:
        words.append("--photos")
    if given.supplier:
        words += ["--supplier", given.supplier]
    if given.office:
        words += ["--office", str(given.office)]
    if given.today:
        words += ["--today", given.today.isoformat()]
    return shlex.join(words)


def _lines(shown: "Proposals", again: str) -> Iterator[str]:
    from dossier.deeds.reading_papers import drafted

    silent = []
    for paper, numbered in by_paper(shown):
        lines = list(_paper(shown, paper, numbered))
        if len(lines) > 1:
            yield from lines
            yield ""
        else:
            silent.append(
                paper if isinstance(paper, str) else (paper.source or Path(paper.file)).name
            )
    if silent:
        yield f"Nothing is read from {', '.join(silent)}.\n"
    if not shown.found:
        yield "Nothing to agree to."
        return
    if shown.undoubted:
        yield "What agreeing to all that is not in doubt changes:"
        try:
            yield from drafted(shown, shown.undoubted).difference("job.yaml, agreed")
        except WrongCommand as problem:
            # What cannot be agreed to together is shown all the same.
            yield str(problem)
    yield ""
    yield f"Nothing was written. Agree by number:  {again} --agree 1,3-5"
    yield f"Or to all that is not in doubt:        {again} --agree all"


def ended(text: str) -> str:
    """Return a sentence with one stop at its end."""
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."


def _paper(shown: "Proposals", paper: "ReadPaper | str", numbered: Numbered) -> Iterator[str]:
    from dossier.reading.shape import TICKET_LINE

    if isinstance(paper, str):
        yield paper
    else:
        kind = f": {paper.kind.value}" if paper.kind else ""
        why = f", {paper.kind_by}" if paper.kind_by else ""
        yield f"{shown.at.unsorted(paper) or paper.source or paper.file}{kind}{why}"
        if paper.text.fault:
            yield f"  It {paper.text.fault}"
        yield from (
            f"  {ended(str(remark)[:1].upper() + str(remark)[1:])}" for remark in paper.remarks
        )
    for number, found in numbered:
        at, *more = found.stands.splitlines()
        yield f"  {number:>3}{' ?' if found.doubt else '  '} {found.what}"
        yield f"         {_at(found)}“{at[:_MOST_LETTERS]}”"
        yield from (f"         and below: “{row[:_MOST_LETTERS]}”" for row in more)
        if found.doubt:
            yield f"         In doubt: {ended(str(found.doubt))}"
    if isinstance(paper, str):
        return
    known = [found for found in shown.known if found.file == paper.file]
    if known:
        yield f"  The record says already: {_some(str(one.what) for one in known)}."
    yield from (f"  Not placed: {item.says}" for item in paper.items)
    asks = dict.fromkeys(str(item.remedy) for item in paper.items)
    yield from (f"  {_NOT_PLACED if ask == TICKET_LINE.remedy else ask}" for ask in asks)
    if paper.sheet:
        yield "  A sheet to correct and keep as suppliers/NAME.yaml:"
        yield from (f"    {row}" for row in paper.sheet.splitlines())
    aside = paper.ticket.aside if paper.ticket else ()
    if aside:
        yield f"  Lines taken for no goods: {_some(f'“{clip(one.words, 40)}”' for one in aside)}"


def _some(texts: Iterable[str]) -> str:
    each = list(texts)
    more = f" and {len(each) - _MOST_ASIDE} more" if len(each) > _MOST_ASIDE else ""
    return ", ".join(each[:_MOST_ASIDE]) + more


def _at(found: "Found") -> str:
    if found.page:
        return f"page {found.page} line {found.line}: "
    return f"line {found.line}: " if found.line else ""


# --- as data ------------------------------------------------------------------------------------


def as_data(shown: "Proposals") -> dict[str, Any]:
    """Return the proposals for JSON."""
    numbers = {id(found): number for number, found in enumerate(shown.found, start=1)}
    return {
        "shown": shown.digest,
        "papers": [
            {
                "file": paper.file,
                "source": str(paper.source) if paper.source else None,
                "kind": paper.kind.value if paper.kind else None,
                "kind_by": str(paper.kind_by) if paper.kind_by else None,
                "fault": paper.text.fault,
                "remarks": [remark.data for remark in paper.remarks],
                "sheet": paper.sheet,
                "not_placed": [item.says.data for item in paper.items],
                "aside": [
                    {"page": one.page, "line": one.line, "stands": one.words}
                    for one in (paper.ticket.aside if paper.ticket else ())
                ],
            }
            for paper in shown.at.papers
        ],
        "found": [
            {
                "number": numbers.get(id(found)),
                "file": found.file,
                "page": found.page,
                "line": found.line,
                "stands": found.stands,
                "what": found.what.data,
                "changes": [
                    {"path": ".".join(change.path), "value": change.value}
                    for change in found.changes
                ],
                "doubt": found.doubt.data if found.doubt else None,
                "known": found.known,
            }
            for found in (*shown.found, *shown.known)
        ],
    }
