"""The comparison in a process of its own: one question in on standard input as JSON, one answer out.

In: {document, candidates, seconds, memory_bytes}. Out: an answer as `ask.py` reads it. Must not print anything
else. A document may be made to use up memory or time, or to bring down a library; then only this process ends.
"""

import json
import logging
import os
import re
import sys
from base64 import b64encode
from contextlib import suppress
from pathlib import Path
from typing import Any

MOST_PAGES_KNOWN = 100
"""Pages of which the lines are taken, to find which sealed document one is."""

MOST_PAGES_READ, MOST_PRINTED = 3_000, 200
"""Pages that are looked through for a printed digest, and pages with one that are handed back."""

MOST_CARRIED_BYTES, MOST_CARRIED = 4 * 1024 * 1024, 60
"""Most that one attached file may hold to be handed back, as `dossier recover` takes it; and how many."""

LEAST_ALIKE = 0.05
"""Share of lines in common below which a document is none of the sealed ones. Our habit."""

_DIGEST = re.compile(r"(?<![0-9a-f])[0-9a-f]{64}")


def main() -> None:
    """Answer one question."""
    asked = json.load(sys.stdin)
    _bounded(int(asked["memory_bytes"]))
    sys.setrecursionlimit(5_000)
    logging.disable(logging.CRITICAL)
    # Whatever a library prints must not stand in the answer.
    out = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    try:
        answer = _answer(asked)
    except MemoryError:
        answer = {"fault": "it needs more memory than there is for it"}
    except RecursionError:
        answer = {"fault": "it is nested too deep"}
    json.dump(answer, out)
    out.flush()
    # Nothing is left to be tidied up, and a library brought to its knees may not end by itself.
    os._exit(0)


def _bounded(memory_bytes: int) -> None:
    with suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))


def _answer(asked: dict[str, Any]) -> dict[str, Any]:
    from dossier.alike.compare import compare_parts
    from dossier.alike.parts import Parts

    try:
        theirs = Parts(Path(asked["document"]))
        lines = theirs.lines(MOST_PAGES_KNOWN)
    except (MemoryError, RecursionError):
        raise
    except Exception as problem:
        # A library may raise anything at bytes that are no PDF.
        return {"fault": f"it is none, or it is damaged ({type(problem).__name__})"}
    told: dict[str, Any] = {
        "lines": len(lines),
        "scanned": _is_scanned(theirs),
        "printed": _printed(theirs),
        "attached": _contents(theirs),
    }
    which = _nearest(theirs, lines, asked["candidates"])
    if which is None:
        return told
    told["candidate"] = which
    sealed = Parts(Path(asked["candidates"][which]))
    if told["scanned"] and not _is_scanned(sealed):
        return told
    try:
        found = compare_parts(theirs, sealed, float(asked["seconds"]))
    except (MemoryError, RecursionError):
        raise
    except Exception as problem:
        return {"fault": f"its pages could not be compared ({type(problem).__name__})"}
    behind = len(theirs.data) - len(sealed.data) if theirs.data.startswith(sealed.data) else 0
    return {
        **told,
        "scanned": False,
        "differences": found.differences,
        "notes": found.notes,
        "saved_anew": found.saved_anew,
        "cut_short": found.cut_short,
        "behind": behind,
        "producer": theirs.producer if theirs.producer != sealed.producer else "",
    }


def _printed(parts: Any) -> list[str]:
    """Return the text, without its spaces, of each page that prints a whole sha256."""
    texts = (
        "".join(parts.text(number).split()) for number in range(min(parts.count, MOST_PAGES_READ))
    )
    return [text for text in texts if _DIGEST.search(text)][-MOST_PRINTED:]


def _contents(parts: Any) -> dict[str, str]:
    """Return the files that are attached, in base 64, as far as they are small."""
    try:
        found = parts.contents
    except (MemoryError, RecursionError):
        raise
    except Exception:
        return {}
    small = [(name, data) for name, data in found.items() if len(data) <= MOST_CARRIED_BYTES]
    return {name: b64encode(data).decode() for name, data in small[:MOST_CARRIED]}


def _nearest(theirs: Any, lines: frozenset[str], candidates: list[str]) -> int | None:
    """Return which sealed document shares most, by its lines of text and by what is attached to it."""
    from dossier.alike.parts import Parts

    attached = _attached(theirs)
    best, which = LEAST_ALIKE, None
    for number, path in enumerate(candidates):
        try:
            sealed = Parts(Path(path))
            of = sealed.lines(MOST_PAGES_KNOWN)
        except (MemoryError, RecursionError):
            raise
        except Exception:
            # A paper that was sealed and is no PDF that can be read is none of those looked for.
            continue
        alike = _share(lines, of) + _share(attached, _attached(sealed))
        if alike > best:
            best, which = alike, number
    return which


def _share(one: frozenset[str], other: frozenset[str]) -> float:
    """Return how much of two sets is in both, from 0 to 1."""
    return len(one & other) / max(len(one | other), 1)


def _attached(parts: Any) -> frozenset[str]:
    try:
        return frozenset(digest for digests in parts.attached.values() for digest in digests)
    except (MemoryError, RecursionError):
        raise
    except Exception:
        return frozenset()


def _is_scanned(parts: Any) -> bool:
    from dossier.alike.compare import MOST_MORE_PAGES

    pages = [parts.scanned(number) for number in range(min(parts.count, MOST_MORE_PAGES))]
    return bool(pages) and sum(pages) * 2 > len(pages)


if __name__ == "__main__":
    main()
