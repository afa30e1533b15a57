"""Deeds done in processes of their own that are killed at a step or a moment; a test runs this as a program.

In: a JSON file of cases: what to do, on what, where to stop. Out: how each ended, as JSON. Must not judge what is
left behind. One program for all cases, since only the first pays for the imports; each case is a fork of it. Where
a case is quick, a few bytes stand for each document, so that the moments of killing fall on reading and writing,
which is where a kill could do harm; `tests/soak` kills builds as they are.
"""

import hashlib
import io
import json
import logging
import os
import random
import signal
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from pypdf import PdfWriter

import dossier.press.printing as printing
from dossier import cli
from dossier.archive.supplements import add_supplement
from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.deeds import answering
from dossier.deeds.sealing import seal
from dossier.disk.outputs import OUT, heal, job_lock
from dossier.gather.filing import Filed, file_in, scratch_in, undo
from dossier.gather.heap import opener, read_heap
from dossier.gather.known import read_known, readable_job
from dossier.gather.proposal import propose
from dossier.pipeline import build
from dossier.render.engine import Rendered, _weasyprint
from dossier.steps.asked import Asked
from tests.archive.test_supplements import ENTRY
from tests.conftest import no_clock
from tests.known_good import DEMO, TODAY

Case = Mapping[str, Any]
At = Callable[[str], None]


def die() -> None:
    """End this process as a power cut would."""
    os.kill(os.getpid(), signal.SIGKILL)


def stopper(step: str, nth: int = 1) -> At:
    """Return a hook that kills its own process when a step is reached for the nth time."""
    seen = 0

    def at(reached: str) -> None:
        nonlocal seen
        seen += reached == step
        if reached == step and seen == nth:
            die()

    return at


# --- what is done ---------------------------------------------------------------------------------


def gather(job: Path, sources: Sequence[Path], at: At, today: date = TODAY) -> Filed:
    """File a heap into a job as proposed, as the command does with --yes."""
    with job_lock(job / ".dossier"), opener() as opened:
        heap = read_heap(sources, opened, scratch_in(job))
        proposal = propose(heap, read_known(job, readable_job(job)))
        return file_in(job, proposal, opened, today=today, received_from="crew phone 2", at=at)


def take_back(job: Path, at: At) -> None:
    """Undo the last gather of a job."""
    with job_lock(job / ".dossier"):
        undo(job, at=at)


def few_bytes(_: printing.Printer) -> dict[str, bytes]:
    """Return documents of which nobody will read a word."""
    return {"handover.pdf": b"%PDF-handover", "punch-list.pdf": b"%PDF-list"}


def close(job: Path, what: str, at: At) -> None:
    """Seal a job as incomplete, or add a note to one that is sealed."""
    if what == "seal":
        seal(Asked(job, today=TODAY), no_clock, incomplete=True, at=at)
    else:
        add_supplement(job, ENTRY, {"note.pdf": b"%PDF" * 999}, {}, at=at)


def _command(words: list[str], at: At) -> None:
    """Run a command that seals a later entry."""
    answering.Press.pdf = lambda *_, **__: b"%PDF-1.7 a slip" * 999  # type: ignore[method-assign]
    answering._resale = lambda *_: b"%PDF-1.7 a handover" * 9_999
    printing.Printer.edition = lambda *_: b"%PDF-1.7 a handover" * 9_999  # type: ignore[method-assign]
    answering.add_supplement = partial(answering.add_supplement, at=at)  # type: ignore[assignment]
    sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115 - the fork ends here.
    os._exit(cli.main(words))


class _AtLoggedStep(logging.Handler):
    def __init__(self, step: str) -> None:
        super().__init__(logging.INFO)
        self.step = step

    def emit(self, record: logging.LogRecord) -> None:
        if record.getMessage().startswith(self.step):
            die()


def _at_rename(nth: int) -> None:
    real, at = Path.rename, stopper("renamed", nth)

    def rename(self: Path, target: object) -> Path:
        at("renamed")
        return real(self, target)  # type: ignore[arg-type]

    Path.rename = rename  # type: ignore[assignment, method-assign]


def _stand_in(document: Any, *rest: Any, **_: object) -> Rendered:
    """Return one page that names the document and the day."""
    writer = PdfWriter()
    writer.add_blank_page(width=612, height=792)
    writer.metadata = {"/Title": document.title, "/CreationDate": f"D:{rest[-1]:%Y%m%d}"}
    target = io.BytesIO()
    writer.write(target)
    return Rendered(target.getvalue(), 1, {})


def _build(case: Case) -> None:
    log = logging.getLogger("dossier")
    log.setLevel(logging.INFO)
    if "step" in case:
        log.addHandler(_AtLoggedStep(case["step"]))
    if "rename" in case:
        _at_rename(case["rename"])
    build(Asked(Path(case["job"]), today=date.fromisoformat(case["day"])), no_clock)


def _do(case: Case) -> None:
    at = stopper(case.get("step", ""), case.get("nth", 1))
    match case["what"]:
        case "gather":
            gather(Path(case["job"]), [Path(source) for source in case["sources"]], at)
        case "undo":
            take_back(Path(case["job"]), at)
        case "command":
            _command(case["words"], at)
        case "build":
            _build(case)
        case what:
            printing.Printer.files = few_bytes  # type: ignore[method-assign]
            close(Path(case["job"]), what, at)


# --- forks ----------------------------------------------------------------------------------------


class Forks:
    """Does each case in a fork of this process; the last that ended by itself is what moments are shares of."""

    def __init__(self) -> None:
        self._whole_s = 0.0

    def end_of(self, case: Case) -> str:
        """Return how one case ended: killed, or with which code.

        after_share: kill it after this share of what a whole run took, in a fork like this one.
        """
        began = time.monotonic()
        child = os.fork()
        if not child:
            code = 99
            try:
                _do(case)
                code = 0
            except BaseException:
                traceback.print_exc()
            finally:
                sys.stderr.flush()
                os._exit(code)
        if "after_share" in case:
            time.sleep(self._whole_s * case["after_share"])
            # It may have ended by itself; its number is not given away before it is waited for.
            os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        if os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL:
            return "killed"
        if "after_share" not in case:
            self._whole_s = time.monotonic() - began
        return f"ended with {os.WEXITSTATUS(status)}"


def killed(cases: Iterable[Case], folder: Path) -> list[str]:
    """Return how each case ended, run one after another by a process of its own."""
    ends: list[str] = _asked_of_a_process({"cases": list(cases)}, folder)
    return ends


def killed_builds(
    job: Path, days: Sequence[str], cases: Iterable[Case], seed: int, *, quick: bool = True
) -> list[list[str]]:
    """Return how each build ended and which one was then found, run by a process of its own; see `_builds`."""
    asked = {"job": str(job), "days": days, "cases": list(cases), "seed": seed, "quick": quick}
    found: list[list[str]] = _asked_of_a_process(asked, job.parent)
    return found


def _asked_of_a_process(asked: Mapping[str, object], folder: Path) -> Any:
    path = folder / "cases.json"
    path.write_text(json.dumps(asked))
    done = subprocess.run(
        [sys.executable, "-m", "tests.kills", str(path)],
        cwd=DEMO.parent, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


# --- builds ---------------------------------------------------------------------------------------

BUILD_STEPS = tuple(f"step {number} of 6" for number in range(1, 7))
RENAMES = tuple(range(1, 7))
"""Two folders are swapped in, each by one or two renames, and two files are kept under `.dossier/`."""


def digest_of(folder: Path) -> str:
    """Return one digest over the names and bytes of all files of a folder."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            digest.update(f"{path.relative_to(folder)}\0".encode() + path.read_bytes() + b"\0")
    return digest.hexdigest()


def _builds(job: Path, days: Sequence[str], cases: Sequence[Case], seed: int) -> list[list[str]]:
    """Return how each case ended and which build stood in `out/` after the next run had healed it.

    The first two are the whole builds. A case is {"step": text}, {"rename": which} or {"random": True}; the
    moments come from the seed.
    """
    forks, chance = Forks(), random.Random(seed)
    whole: dict[str, str] = {}
    found: list[list[str]] = []

    def one(case: Case, day: str) -> str:
        return forks.end_of({**case, "what": "build", "job": str(job), "day": day})

    for name, day in zip(("first", "second"), days, strict=True):
        ended = one({}, day)
        whole[digest_of(job / OUT)] = name
        found.append([ended, name])
    now = "second"
    for case in cases:
        moment = {"after_share": chance.uniform(0.02, 1)} if case.get("random") else case
        ended = one(moment, days[0] if now == "second" else days[1])
        for name in (OUT, AS_BUILT):
            heal(job / name)
        now = whole.get(digest_of(job / OUT), "something else")
        found.append([ended, now])
        if now == "something else":
            break
    return found


def main(asked: Mapping[str, Any]) -> list[Any]:
    """Do what a file asks for, and return how it ended."""
    if "days" not in asked:
        forks = Forks()
        return [forks.end_of(case) for case in asked["cases"]]
    if asked["quick"]:
        printing.render_document = _stand_in
    else:
        _weasyprint()
    return _builds(Path(asked["job"]), asked["days"], asked["cases"], asked["seed"])


if __name__ == "__main__":
    print(json.dumps(main(json.loads(Path(sys.argv[1]).read_text()))))
