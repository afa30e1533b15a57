"""Seals and supplements in processes of their own that are killed at a step or a moment; run by a test.

In: a JSON file of cases: the job folder, what to do, where to stop. Out: how each ended, as JSON. Must not
judge what is left behind. One program for all cases, since only the first pays for the imports; each case
is a fork of it. Documents of a few bytes are printed, so that the moments fall into the sealing itself.
"""

import json
import os
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from dossier.archive.supplements import add_supplement
from dossier.deeds.sealing import seal
from dossier.press.printing import Printer
from dossier.steps.asked import Asked
from dossier.words import EntryKind
from tests.archive.test_supplements import DAY, ENTRY
from tests.conftest import no_clock
from tests.gather.killed import stopper
from tests.known_good import TODAY


def few_bytes(_: Printer) -> dict[str, bytes]:
    """Return documents of which nobody will read a word."""
    return {"handover.pdf": b"%PDF-handover", "punch-list.pdf": b"%PDF-list"}


def run(job: Path, what: str, at: Callable[[str], None]) -> None:
    """Seal a job as incomplete, or add a note to one that is sealed."""
    if what == "seal":
        seal(Asked(job, today=TODAY), no_clock, incomplete=True, at=at)
    else:
        add_supplement(job, ENTRY, {"note.pdf": b"%PDF" * 999}, {}, DAY, EntryKind.NOTE, at=at)


def main() -> None:
    """Run every case of the file named on the command line, and print how each ended."""
    Printer.files = few_bytes  # type: ignore[method-assign]
    ends = []
    whole_s = 0.0
    for case in json.loads(Path(sys.argv[1]).read_text()):
        child = os.fork()
        if not child:
            try:
                at = stopper(str(case.get("step", "")), int(case.get("nth", 1)))
                run(Path(case["job"]), case["what"], at)
            except BaseException as problem:
                print(repr(problem), file=sys.stderr, flush=True)
                os._exit(1)
            os._exit(0)
        began = time.monotonic()
        if "after_share" in case:
            # A share of what the last run took that ended by itself, in a fork like this one.
            time.sleep(whole_s * float(case["after_share"]))
            os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        ended = os.WIFEXITED(status)
        whole_s = time.monotonic() - began if ended and "after_share" not in case else whole_s
        killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL
        ends.append("killed" if killed else f"ended with {os.WEXITSTATUS(status)}")
    print(json.dumps(ends))


if __name__ == "__main__":
    main()
