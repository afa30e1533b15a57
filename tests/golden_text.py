"""The text of every page of a document, compared with the text it had when somebody last looked.

In: a PDF, and the file with its golden text. Out: nothing where both agree; else a failure with the
difference, and the actual text kept beside the golden one as NAME.txt.actual. Must not know how documents
are made.
"""

import difflib
import importlib.metadata
import re
from collections.abc import Iterable
from pathlib import Path

import pypdfium2

# The texts are read by a program that did not write the documents, so that what they hold is what
# anybody's reader finds. Its version is pinned, because readers part lines and place marks differently
# from one version to the next: without a pin, a fresh installation would report changes on every page.
READER, READER_VERSION = "pypdfium2", "5.15.2"

_MOST_LINES_SHOWN = 200


class GoldenMismatch(AssertionError):
    """A document's text differs from its golden text, or one of the two is missing."""


def page_texts(document: Path | bytes) -> list[str]:
    """Return the text of each page, lines parted by a line feed, without space at their ends."""
    with pypdfium2.PdfDocument(document) as pdf:
        texts = []
        for page in pdf:
            textpage = page.get_textpage()
            lines = str(textpage.get_text_range()).splitlines()
            texts.append("\n".join(line.rstrip() for line in lines).strip("\n"))
            textpage.close()
            page.close()
        return texts


def golden_form(pages: Iterable[str]) -> str:
    """Return the pages in one text, each under a line with its number."""
    pages = list(pages)
    parts = [
        f"---------------- page {number} of {len(pages)} ----------------\n{page}\n"
        for number, page in enumerate(pages, start=1)
    ]
    return "\n".join(parts)


_MARK = re.compile(r"-{16} page (\d+) of (\d+) -{16}")


def against(base: str, actual: str, name: str) -> str:
    """Return what a document says otherwise than the one it is made from, both in golden form.

    name: the base's. Lines of the base stand behind “-”, the document's own behind “+”, under the page of the
    document and the line on it. Pages are marked without their count, which would differ on every one of them.
    """
    before, after = _without_counts(base), _without_counts(actual)
    page, line, places = 0, 0, []
    for text in after:
        found = _PAGE.fullmatch(text)
        page, line = (page + 1, 0) if found else (page, line + 1)
        places.append(f"@@ page {page}, line {line}")
    lines = [f"{page} pages, where they differ from {name}"]
    matcher = difflib.SequenceMatcher(None, before, after, autojunk=False)
    for kind, first, last, start, end in matcher.get_opcodes():
        if kind != "equal":
            lines.append(places[start] if start < len(places) else "@@ at the end")
            lines += [f"-{text}" for text in before[first:last]]
            lines += [f"+{text}" for text in after[start:end]]
    return "\n".join([*lines, ""])


_PAGE = re.compile(r"-{16} page \d+ -{16}")


def _without_counts(text: str) -> list[str]:
    return _MARK.sub(r"---------------- page \1 ----------------", text).split("\n")


def compare(actual: str, golden: Path, *, update: bool = False) -> None:
    """Return nothing where the golden file holds exactly this text; else raise GoldenMismatch.

    The actual text is then kept beside it. update: write the golden file instead of comparing.
    """
    kept = golden.with_name(f"{golden.name}.actual")
    if update:
        golden.parent.mkdir(parents=True, exist_ok=True)
        golden.write_bytes(actual.encode())
        kept.unlink(missing_ok=True)
        return
    expected = golden.read_bytes().decode() if golden.is_file() else None
    if expected == actual:
        kept.unlink(missing_ok=True)
        return
    golden.parent.mkdir(parents=True, exist_ok=True)
    kept.write_bytes(actual.encode())
    if expected is None:
        raise GoldenMismatch(f"There is no golden text {golden}.\n{_next_step(kept)}")
    raise GoldenMismatch(f"{_difference(expected, actual, golden)}\n{_next_step(kept)}")


def stale(folder: Path, documents: Iterable[str]) -> list[Path]:
    """Return the golden files, sorted, that belong to none of these documents (as JOB/NAME)."""
    wanted = {folder / f"{document}.txt" for document in documents}
    return sorted(path for path in folder.rglob("*.txt") if path not in wanted)


def reader_changed() -> str | None:
    """Return a sentence where another version of the reader is installed, None where it is the pinned."""
    installed = importlib.metadata.version(READER)
    if installed == READER_VERSION:
        return None
    return (
        f"The golden texts were read by {READER} {READER_VERSION} and {installed} is installed. "
        f"Install the pinned one, or write all texts anew with both changed in one commit."
    )


def _difference(expected: str, actual: str, golden: Path) -> str:
    lines = list(
        difflib.unified_diff(
            expected.splitlines(),
            actual.splitlines(),
            fromfile=f"golden {golden.parent.name}/{golden.name}",
            tofile="actual",
            lineterm="",
        )
    )
    if not lines:
        return f"{golden} differs from the actual text in its line ends or at its end."
    more = len(lines) - _MOST_LINES_SHOWN
    shown = lines[:_MOST_LINES_SHOWN] + ([f"... and {more} lines more"] if more > 0 else [])
    return "\n".join(shown)


def _next_step(kept: Path) -> str:
    other_reader = reader_changed()
    return (
        f"The actual text is kept in {kept}. If it is right, run: "
        "pytest tests/test_golden.py --update-golden, and say in the commit why it changed."
        f"{f' {other_reader}' if other_reader else ''}"
    )
