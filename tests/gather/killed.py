"""Gathers in processes of its own that are killed at a step or a moment; run as a program by a test.

In: a JSON file of cases: the job folder, the sources, and where to stop. Out: how many were killed before
they ended by themselves, as JSON. Must not judge what is left behind. One program for all cases, since
only the first pays for the imports; each case is a fork of it.
"""

import json
import os
import signal
import sys
import time
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

from dossier.disk.outputs import job_lock
from dossier.gather.filing import Filed, file_in, scratch_in, undo
from dossier.gather.heap import opener, read_heap
from dossier.gather.known import read_known, readable_job
from dossier.gather.proposal import propose


def gather(
    job: Path, sources: Sequence[Path], at: Callable[[str], None], today: date = date(2026, 10, 20)
) -> Filed:
    """File a heap into a job as proposed, as the command does with --yes."""
    with job_lock(job / ".dossier"), opener() as opened:
        heap = read_heap(sources, opened, scratch_in(job))
        proposal = propose(heap, read_known(job, readable_job(job)))
        return file_in(job, proposal, opened, today=today, received_from="crew phone 2", at=at)


def stopper(step: str, nth: int) -> Callable[[str], None]:
    """Return a hook that kills its own process when a step is reached for the nth time."""
    seen = 0

    def at(reached: str) -> None:
        nonlocal seen
        seen += reached == step
        if reached == step and seen == nth:
            os.kill(os.getpid(), signal.SIGKILL)

    return at


def _run(case: dict[str, object]) -> None:
    job = Path(str(case["job"]))
    at = stopper(str(case.get("step", "")), int(str(case.get("nth", 1))))
    if case.get("undo"):
        with job_lock(job / ".dossier"):
            undo(job, at=at)
    else:
        gather(job, [Path(str(source)) for source in case["sources"]], at)  # type: ignore[attr-defined]


def main() -> None:
    """Run every case of the file named on the command line, and print how each ended."""
    ends = []
    whole_s = 0.0
    for case in json.loads(Path(sys.argv[1]).read_text()):
        child = os.fork()
        if not child:
            try:
                _run(case)
            except BaseException as problem:
                print(repr(problem), file=sys.stderr, flush=True)
                os._exit(1)
            os._exit(0)
        began = time.monotonic()
        if "after_share" in case:
            # A share of what the last run took that ended by itself, in a fork like this one.
            time.sleep(whole_s * float(case["after_share"]))
            # The child may have ended by itself; its number is not given away before it is waited for.
            os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        whole_s = whole_s if "after_share" in case else time.monotonic() - began
        killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL
        ends.append("killed" if killed else f"ended with {os.WEXITSTATUS(status)}")
    print(json.dumps(ends))


if __name__ == "__main__":
    main()
