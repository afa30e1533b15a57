"""A document held against sealed ones by a process of its own, with bounds on its time and memory.

In: a document, the sealed PDFs it may be. Out: `Alike`. Must not open a PDF in this process: a document comes
from outside, and may be made to harm.
"""

import json
import subprocess
import sys
from base64 import b64decode
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from dossier.errors import UnreadableInput

_RUN = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); "
    "from dossier.alike.child import main; main()"
)
"""The child looks for modules where this process does, and nowhere the folder it stands in may lead."""

MOST_BYTES = 200_000_000
MOST_SECONDS, DRAWING_SECONDS = 150, 90
MEMORY_BYTES = 3 * 1024**3
"""Address space, of which a library takes most without using it; a handover takes some 300 MB."""


@dataclass(frozen=True)
class Alike:
    """What comparing came to. which: the sealed document it is most like, None where it is like none.

    scanned: whether its pages are pictures. lines: how many different lines of text it has. saved_anew: nothing
    differs but the way the file is written down. behind: bytes that were added behind the whole sealed file.
    producer: the program that saved it, where it is another one. printed: the text of each page that prints a
    sha256, without its spaces. attached: the files it carries, by name, as far as they are small.
    """

    which: int | None
    scanned: bool
    lines: int
    differences: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    saved_anew: bool = False
    cut_short: bool = False
    behind: int = 0
    producer: str = ""
    printed: tuple[str, ...] = ()
    attached: Mapping[str, bytes] = field(default_factory=dict)


def compare_with(
    document: Path,
    candidates: Sequence[Path],
    *,
    most_seconds: float = MOST_SECONDS,
    drawing_seconds: float = DRAWING_SECONDS,
    memory_bytes: int = MEMORY_BYTES,
) -> Alike:
    """Return how a document compares with the one of these it is most like.

    Raises UnreadableInput where it cannot be read as a PDF within the bounds.
    """
    try:
        size_bytes = document.stat().st_size
    except OSError:
        raise UnreadableInput(f"{document} is not there.", "Name the PDF.") from None
    if size_bytes > MOST_BYTES:
        raise _unreadable(document, f"it is larger than {MOST_BYTES:,} bytes")
    asked = {
        "document": str(document.resolve()),
        "candidates": [str(path.resolve()) for path in candidates],
        "seconds": drawing_seconds,
        "memory_bytes": memory_bytes,
    }
    try:
        done = subprocess.run(
            [sys.executable, "-I", "-c", _RUN, json.dumps(sys.path)],
            input=json.dumps(asked).encode(),
            capture_output=True,
            timeout=most_seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise _unreadable(document, f"it could not be compared within {most_seconds:g} s") from None
    try:
        answer: dict[str, Any] = json.loads(done.stdout)
    except ValueError:
        raise _unreadable(document, "reading it ended in the middle") from None
    if "fault" in answer:
        raise _unreadable(document, str(answer["fault"]))
    return Alike(
        which=answer.get("candidate"),
        scanned=bool(answer["scanned"]),
        lines=int(answer["lines"]),
        differences=tuple(answer.get("differences", ())),
        notes=tuple(answer.get("notes", ())),
        saved_anew=bool(answer.get("saved_anew", False)),
        cut_short=bool(answer.get("cut_short", False)),
        behind=int(answer.get("behind", 0)),
        producer=str(answer.get("producer", "")),
        printed=tuple(answer["printed"]),
        attached={name: b64decode(text) for name, text in answer["attached"].items()},
    )


def _unreadable(document: Path, why: str) -> UnreadableInput:
    return UnreadableInput(
        f"{document} cannot be read as a PDF: {why}.",
        "Use the original file as it was handed over.",
    )
