"""The bytes of papers into their text: lines of pieces, each word with its place on the page.

In: bytes of PDFs. Out: a `PaperText` each. Must not know what a paper is for, and opens none in this process: it
comes from outside, and may be made to harm. See `text_child.py`.
"""

import json
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

_RUN = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); "
    "from dossier.evidence.text_child import main; main()"
)
"""The child looks for modules where this process does, and nowhere the folder it stands in may lead."""

MOST_SECONDS = 20
"""Seconds for one paper; an ordinary one takes a hundredth of one."""

MOST_PAGES, MOST_LETTERS = 60, 200_000
"""Pages and letters of one paper that are read; a ticket has one to three pages."""

MEMORY_BYTES = 2 * 1024**3
"""Address space, of which a library takes most without using it."""

MOST_BYTES_AT_ONCE = 200_000_000
"""Bytes of papers handed over in one go."""

SCAN_LETTERS = 20
"""Letters below which a page with anything on it is a picture: a page number, a scanner's mark. Our habit."""

_FAULTS = {
    "password": "opens only with a password. Ask whoever sent it for a copy without one.",
    "damaged": "is damaged: its pages cannot be read. Ask whoever sent it to send it again.",
    "memory": "needs more memory to read than an ordinary paper. Print it to a new PDF.",
    "work": "asks for far more work to read than an ordinary paper. Print it to a new PDF.",
}


@dataclass(frozen=True)
class Word:
    """One word and where it stands, in points from the left. height: of its print, in points."""

    text: str
    left: float
    right: float
    height: float


@dataclass(frozen=True)
class Piece:
    """Words of one line that stand together, as a cell of a table does."""

    words: tuple[Word, ...]

    @cached_property
    def text(self) -> str:
        """Return the words with a space between them."""
        return " ".join(word.text for word in self.words)

    @property
    def left(self) -> float:
        """Return where it begins."""
        return self.words[0].left

    @property
    def right(self) -> float:
        """Return where it ends."""
        return self.words[-1].right


@dataclass(frozen=True)
class TextLine:
    """One printed line. page, line: from 1; only lines with print are counted. base: where it stands, in points
    upward from anywhere on its page.
    """

    page: int
    line: int
    pieces: tuple[Piece, ...]
    base: float = 0.0

    @cached_property
    def text(self) -> str:
        """Return the line as it stands, its pieces parted by two spaces."""
        return "  ".join(piece.text for piece in self.pieces)

    @property
    def words(self) -> tuple[Word, ...]:
        """Return all its words."""
        return tuple(word for piece in self.pieces for word in piece.words)


@dataclass(frozen=True)
class PaperText:
    """What can be read on a paper. fault: why nothing can, as the end of a sentence that begins with its name.

    scans: numbers of the pages that are pictures without text. unseen: whether text is taken that is not drawn, as
    a scanner's program puts behind its picture. across: what is stamped across a page. cut: pages beyond the
    limit were not read.
    """

    fault: str | None = None
    lines: tuple[TextLine, ...] = ()
    page_count: int = 0
    scans: tuple[int, ...] = ()
    unseen: bool = False
    across: str = ""
    cut: bool = False

    @property
    def is_scan(self) -> bool:
        """Return whether no page has text."""
        return self.fault is None and not self.lines


def read_texts(
    papers: Sequence[bytes], most_seconds: float = MOST_SECONDS
) -> tuple[PaperText, ...]:
    """Return the text of each paper, in their order; never raises for what is in one."""
    found: list[PaperText] = []
    while len(found) < len(papers):
        batch: list[bytes] = []
        for data in papers[len(found) :]:
            if batch and sum(map(len, batch)) + len(data) > MOST_BYTES_AT_ONCE:
                break
            batch.append(data)
        answers = _answers(batch, most_seconds)
        found += [_text(answer) for answer in answers]
        if len(answers) < len(batch):
            # The one that the process was reading when it ended; the rest are read by another.
            found.append(PaperText(_FAULTS["work"]))
    return tuple(found)


def _answers(batch: Sequence[bytes], most_seconds: float) -> list[dict[str, Any]]:
    """Return the answers that came before the process ended, one a paper."""
    asked = {
        "sizes": [len(data) for data in batch],
        "memory_bytes": MEMORY_BYTES,
        "most_pages": MOST_PAGES,
        "most_letters": MOST_LETTERS,
    }
    try:
        said = subprocess.run(
            [sys.executable, "-I", "-c", _RUN, json.dumps(sys.path)],
            input=json.dumps(asked).encode() + b"\n" + b"".join(batch),
            capture_output=True,
            timeout=most_seconds + len(batch),
            check=False,
        ).stdout
    except subprocess.TimeoutExpired as late:
        said = late.stdout or b""
    except BrokenPipeError:
        said = b""
    answers = []
    for line in said.split(b"\n")[: len(batch)]:
        try:
            answers.append(json.loads(line))
        except ValueError:
            break
    return answers


def _text(answer: dict[str, Any]) -> PaperText:
    if "fault" in answer:
        return PaperText(_FAULTS[answer["fault"]])
    pages = answer["pages"]
    lines, scans = [], []
    for page, read in enumerate(pages, start=1):
        letters = sum(len(word[0]) for _, line in read["lines"] for piece in line for word in piece)
        if letters < SCAN_LETTERS:
            scans.append(page)
            continue
        lines += [
            TextLine(page, number, tuple(_piece(words) for words in line), base)
            for number, (base, line) in enumerate(read["lines"], start=1)
        ]
    return PaperText(
        None,
        tuple(lines),
        answer["count"],
        tuple(scans),
        any(read["hidden"] or (read["picture"] and read["lines"]) for read in pages),
        " ".join(read["turned"] for read in pages if read["turned"]),
        answer["count"] > len(pages),
    )


def _piece(words: Sequence[Sequence[Any]]) -> Piece:
    return Piece(tuple(Word(str(text), left, right, height) for text, left, right, height in words))
