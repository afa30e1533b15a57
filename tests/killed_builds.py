"""Builds in processes of their own that are killed at a step or a moment; run as a program by a test.

In: a JSON file with a job folder, two days and cases. Out, as JSON: for each case how it ended and what was found
in `out/` after the next run had healed it: the build of the first day, of the second, or something else. Must not
judge. One program for all cases, since only the first pays for the imports; each case is a fork of it. Where it is
asked to be quick, a stand-in lays out one page that names the document and the day, so that the moments of killing
fall on reading and writing, which is where a kill could do harm; the soak kills builds as they are.
"""

import hashlib
import io
import json
import logging
import os
import random
import signal
import sys
import time
import traceback
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from pypdf import PdfWriter

import dossier.press.printing
from dossier.case.as_built import FOLDER as AS_BUILT
from dossier.disk.outputs import OUT, heal
from dossier.pipeline import build
from dossier.render.engine import Rendered, _weasyprint
from dossier.steps.asked import Asked
from tests.conftest import no_clock

STEPS = tuple(f"step {number} of 6" for number in range(1, 7))
RENAMES = tuple(range(1, 7))
"""Two folders are swapped in, each by one or two renames, and two files are kept under `.dossier/`."""


class _Stopper(logging.Handler):
    def __init__(self, step: str) -> None:
        super().__init__(logging.INFO)
        self.step = step

    def emit(self, record: logging.LogRecord) -> None:
        if record.getMessage().startswith(self.step):
            os.kill(os.getpid(), signal.SIGKILL)


def _stop_at_rename(nth: int) -> None:
    real, seen = Path.rename, 0

    def rename(self: Path, target: object) -> Path:
        nonlocal seen
        seen += 1
        if seen == nth:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(self, target)  # type: ignore[arg-type]

    Path.rename = rename  # type: ignore[assignment, method-assign]


def _build(job: Path, day: date, case: Mapping[str, object]) -> None:
    log = logging.getLogger("dossier")
    log.setLevel(logging.INFO)
    if "step" in case:
        log.addHandler(_Stopper(str(case["step"])))
    if "rename" in case:
        _stop_at_rename(int(str(case["rename"])))
    build(Asked(job, today=day), no_clock)


def _forked(job: Path, day: date, case: Mapping[str, object]) -> str:
    child = os.fork()
    if child == 0:
        code = 1
        try:
            _build(job, day, case)
            code = 0
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stderr.flush()
            os._exit(code)
    if "after_s" in case:
        time.sleep(float(str(case["after_s"])))
        os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL
    return "killed" if killed else f"ended with {os.WEXITSTATUS(status)}"


def digest_of(folder: Path) -> str:
    """Return one digest over the names and bytes of all files of a folder."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            digest.update(f"{path.relative_to(folder)}\0".encode() + path.read_bytes() + b"\0")
    return digest.hexdigest()


def _stand_in(document: Any, *rest: Any, **_: object) -> Rendered:
    writer = PdfWriter()
    writer.add_blank_page(width=612, height=792)
    writer.metadata = {"/Title": document.title, "/CreationDate": f"D:{rest[-1]:%Y%m%d}"}
    target = io.BytesIO()
    writer.write(target)
    return Rendered(target.getvalue(), 1, {})


def run(
    job: Path,
    days: tuple[date, date],
    cases: list[dict[str, object]],
    seed: int,
    *,
    quick: bool = True,
) -> list[list[str]]:
    """Return how each case ended and which build was then found. The first two are the whole builds.

    A case is {"step": text}, {"rename": which} or {"random": True}; the moments come from the seed.
    """
    if quick:
        dossier.press.printing.render_document = _stand_in
    else:
        _weasyprint()
    whole, took_s = {}, 0.0
    found: list[list[str]] = []
    for name, day in zip(("first", "second"), days, strict=True):
        began = time.monotonic()
        ended = _forked(job, day, {})
        took_s = time.monotonic() - began
        whole[digest_of(job / OUT)] = name
        found.append([ended, name])
    chance = random.Random(seed)
    now = "second"
    for case in cases:
        if case.get("random"):
            case = {"after_s": chance.uniform(0.02, took_s)}
        day = days[0] if now == "second" else days[1]
        ended = _forked(job, day, case)
        for name in (OUT, AS_BUILT):
            heal(job / name)
        now = whole.get(digest_of(job / OUT), "something else")
        found.append([ended, now])
        if now == "something else":
            break
    return found


if __name__ == "__main__":
    asked = json.loads(Path(sys.argv[1]).read_text())
    given_days = tuple(map(date.fromisoformat, asked["days"]))
    print(
        json.dumps(
            run(Path(asked["job"]), (given_days[0], given_days[1]), asked["cases"], asked["seed"])
        )
    )
