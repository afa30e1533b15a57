"""Later entries added in processes of their own that are killed at a step or a moment; run by a test.

In: a JSON file of cases: the command line, where to stop. Out: how each ended, as JSON. Must not judge what is
left behind. One program for all cases, since only the first pays for the imports; each case is a fork of it. A few
bytes stand for each document, so that the moments fall into the reading and sealing.
"""

import json
import os
import signal
import sys
import time
from functools import partial
from pathlib import Path

import dossier.deeds.answering as answering
from dossier.cli import main
from dossier.press.printing import Printer
from tests.gather.killed import stopper


def _run(case: dict[str, object]) -> None:
    at = stopper(str(case.get("step", "")), int(str(case.get("nth", 1))))
    answering.add_supplement = partial(answering.add_supplement, at=at)  # type: ignore[assignment]
    sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115 - the fork ends here.
    words = case["words"]
    assert isinstance(words, list)
    os._exit(main(words))


def run_all() -> None:
    """Run every case of the file named on the command line, and print how each ended."""
    answering.Press.pdf = lambda *_, **__: b"%PDF-1.7 a slip" * 999  # type: ignore[method-assign]
    answering._resale = lambda *_: b"%PDF-1.7 a handover" * 9_999
    Printer.edition = lambda *_: b"%PDF-1.7 a handover" * 9_999  # type: ignore[method-assign]
    ends, whole_s = [], 0.0
    for case in json.loads(Path(sys.argv[1]).read_text()):
        began = time.monotonic()
        child = os.fork()
        if not child:
            try:
                _run(case)
            except BaseException as problem:
                print(repr(problem), file=sys.stderr, flush=True)
            os._exit(99)
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
    run_all()
