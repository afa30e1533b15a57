"""What photos and whole builds cost, as ratios to floors measured in the same run.

In: nothing; jobs are made in a temporary folder. Out: a table. Run by hand: `python -m tests.bench.evidence_table`
(about five minutes on two cores; `--quick` leaves out 500 photos and growth). It is no test, since times depend on
the machine; the ratios travel, because each floor is measured beside what it is the floor of. Each measure runs in
a process of its own; every one is taken several times in turn and the least is kept.
"""

import contextlib
import hashlib
import io
import json
import os
import pickle
import platform
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, date, datetime
from importlib.metadata import version
from pathlib import Path
from typing import Any

from tests.bench.made_job import PHOTOS, make_job, megabytes, photos_of

ROUNDS = 3
_ITSELF = "tests.bench.evidence_table"
_TODAY = date(2026, 10, 20)
_LYING_MM, _UPRIGHT_MM = 80, 60
_SCALE = 8
"""80 mm at 150 dpi are 472 pixels, so that a photo of 4000 is decoded at an eighth, 500 wide; so is one of 3000 at
60 mm, which is as wide as the documents print an upright one beside it."""

Figures = dict[str, float]


@contextlib.contextmanager
def _spent(into: Figures) -> Iterator[None]:
    """Note processor time and wall time of a block, in seconds."""
    cpu, wall = time.process_time(), time.perf_counter()
    yield
    into["cpu_s"] = time.process_time() - cpu
    into["wall_s"] = time.perf_counter() - wall


def measure_decoding(job: Path) -> Figures:
    """Decode every photo at the scale the photo stage takes, and do nothing else."""
    from PIL import Image

    found: Figures = {}
    with _spent(found):
        for path in photos_of(job):
            with Image.open(path) as photo:
                photo.draft(None, (photo.width // _SCALE, photo.height // _SCALE))
                photo.load()
    return found


def measure_hashing(job: Path) -> Figures:
    """Read and digest every photo."""
    found: Figures = {}
    with _spent(found):
        for path in photos_of(job):
            hashlib.sha256(path.read_bytes()).digest()
    return found


def measure_sharpness(job: Path) -> Figures:
    """Measure the facts of every photo, none kept: hash, header, camera, sharpness, exposure."""
    from dossier.evidence import measure

    names = [path.relative_to(job).as_posix() for path in photos_of(job)]
    found: Figures = {}
    with _spent(found):
        measure(job, names, [])
    return found


def _check(job: Path) -> Figures:
    import pypdf  # noqa: F401 - loaded when the first paper is opened, and importing is not counted.

    import dossier.rules.book  # noqa: F401
    from dossier.cli import system_clock
    from dossier.pipeline import check
    from dossier.steps.asked import Asked

    found: Figures = {}
    with _spent(found):
        checked = check(Asked(job, today=_TODAY), system_clock)
    assert checked.facts is not None
    good = [fact for fact in checked.facts.photos.values() if fact.fault is None]
    assert len(good) == len(photos_of(job)), "not quick because its photos do not open"
    return found


def measure_first_check(job: Path) -> Figures:
    """Check a job of which no facts are kept, over importing."""
    shutil.rmtree(job / ".dossier", ignore_errors=True)
    return _check(job)


def measure_later_check(job: Path) -> Figures:
    """Check a job whose facts are kept, over importing."""
    return _check(job)


def measure_stage(job: Path, workers: int) -> Figures:
    """Reduce every photo and keep it. The digests, measured apart, are taken before."""
    from dossier.render.content_store import ContentStore
    from dossier.render.picture_stage import PictureStage, Wanted

    store = job / ".dossier" / f"pictures-{workers}"
    shutil.rmtree(store, ignore_errors=True)
    wanted = [
        Wanted(
            path.name,
            path,
            _width_mm(path),
            hashlib.sha256(path.read_bytes()).hexdigest(),
            path.name,
        )
        for path in photos_of(job)
    ]
    stage = PictureStage(ContentStore(store), workers=workers)
    found: Figures = {}
    with _spent(found):
        pictures = stage.pictures(wanted)
    assert len(pictures) == len(wanted)
    return found


def _width_mm(path: Path) -> int:
    from PIL import Image

    with Image.open(path) as photo:
        return _UPRIGHT_MM if photo.getexif().get(0x0112) == 6 else _LYING_MM


def measure_stage_one(job: Path) -> Figures:
    """Reduce with one worker."""
    return measure_stage(job, 1)


def measure_stage_two(job: Path) -> Figures:
    """Reduce with two workers."""
    return measure_stage(job, 2)


def _build(job: Path, *, fresh: bool = False) -> Figures:
    import pypdf  # noqa: F401 - loaded when the first paper is opened, and importing is not counted.

    import dossier.press.printing  # noqa: F401
    from dossier.cli import system_clock
    from dossier.pipeline import build
    from dossier.render.engine import _weasyprint
    from dossier.steps.asked import Asked

    _weasyprint()
    found: Figures = {}
    with _spent(found):
        built = build(Asked(job, today=_TODAY, fresh=fresh), system_clock)
    assert "handover.pdf" in built.files
    return found


def measure_cold(job: Path) -> Figures:
    """Build everything with nothing kept, over importing."""
    shutil.rmtree(job / ".dossier", ignore_errors=True)
    shutil.rmtree(job / "out", ignore_errors=True)
    found = _build(job)
    found["handover_mb"] = megabytes([job / "out" / "handover.pdf"])
    return found


def measure_rebuild(job: Path) -> Figures:
    """Build again after the permit number was changed."""
    record = job / "job.yaml"
    text = record.read_text()
    assert "R-2026-1187" in text
    record.write_text(text.replace("R-2026-1187", "R-2026-1188"))
    try:
        return _build(job)
    finally:
        record.write_text(text)


def _caught(job: Path) -> Path:
    return job / ".dossier" / "bench.pickle"


def measure_catching(job: Path) -> Figures:
    """Build once, keeping every document's finished HTML and ready pictures; return what the handover took.

    The papers' divider pages are no document of their own and are left out.
    """
    import dossier.press.printing
    from dossier.cli import system_clock
    from dossier.pipeline import build
    from dossier.render import document, engine
    from dossier.steps.asked import Asked

    kept: dict[str, tuple[str, dict[str, Any]]] = {}
    took: dict[str, Figures] = {}
    template = ""
    real_render, real_document = document.render, document.render_document

    def catching(html: str, **how: Any) -> Any:
        if template != "divider.html":
            kept[f"{template} {len(kept)}"] = (html, dict(how["assets"].items()))
        return real_render(html, **how)

    def timed(doc: Any, *rest: Any, **how: Any) -> Any:
        nonlocal template
        template = doc.template
        with _spent(took.setdefault(template, {})):
            return real_document(doc, *rest, **how)

    # Pictures stay ready; the documents themselves have to be laid out.
    shutil.rmtree(job / ".dossier" / "documents", ignore_errors=True)
    document.render = catching
    dossier.press.printing.render_document = timed
    engine._weasyprint()
    build(Asked(job, today=_TODAY), system_clock)
    _caught(job).write_bytes(pickle.dumps(kept))
    return took["handover.html"]


def measure_bare(job: Path) -> Figures:
    """Lay out each of those documents by the layout program alone."""
    from dossier.render import engine

    kept = pickle.loads(_caught(job).read_bytes())
    weasyprint = engine._weasyprint()
    each: dict[str, Figures] = {}
    for name, (html, assets) in kept.items():
        with _spent(each.setdefault(name, {})):
            _bare(weasyprint, engine, html, assets)
    handover = next(one for name, one in each.items() if name.startswith("handover.html"))
    return {
        "handover_cpu_s": handover["cpu_s"],
        "documents_cpu_s": sum(one["cpu_s"] for one in each.values()),
    }


def _bare(weasyprint: Any, engine: Any, html: str, assets: Mapping[str, Any]) -> None:
    fonts = weasyprint.text.fonts.FontConfiguration()
    fetcher = engine._fetcher(assets)
    base = weasyprint.CSS(
        string=engine.resource("fonts.css").read_text("utf-8"),
        font_config=fonts,
        url_fetcher=fetcher,
    )
    made = weasyprint.HTML(string=html, url_fetcher=fetcher).render(
        font_config=fonts, stylesheets=[base], pdf_variant="pdf/a-3a", pdf_tags=True
    )
    made.metadata.created = datetime(2026, 10, 20, tzinfo=UTC).isoformat()
    made.write_pdf(io.BytesIO(), pdf_variant="pdf/a-3a", pdf_tags=True)


_MEASURES: dict[str, Callable[[Path], Figures]] = {
    name.removeprefix("measure_"): what
    for name, what in list(globals().items())
    if name.startswith("measure_") and name != "measure_stage"
}


def once(what: str, job: Path) -> Figures:
    """Return what one measure found in a new process, with its peak of memory."""
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-m", _ITSELF, what, str(job)],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    found: Figures = json.loads(done.stdout.splitlines()[-1])
    return found


def _peak_mib() -> float:
    """Return the most memory this process has held. Linux counts what it held before its program began, too, in
    the usual figure, so that a child of a large bench would look large; VmHWM counts this program alone."""
    status = Path("/proc/self/status")
    if status.exists():
        lines = status.read_text().splitlines()
        return int(next(line for line in lines if line.startswith("VmHWM")).split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def least(job: Path, *what: str, rounds: int = ROUNDS) -> dict[str, Figures]:
    """Return the least of several rounds of these measures, taken in turn."""
    found: dict[str, Figures] = {}
    for _ in range(rounds):
        for name in what:
            new = once(name, job)
            old = found.setdefault(name, new)
            found[name] = {key: min(old[key], value) for key, value in new.items()}
    return found


def command_wall_s(job: Path) -> float:
    """Return the least wall time of the command `build` when nothing has changed, all included."""
    command = [sys.executable, "-m", "dossier.cli", "build", str(job), "--today", str(_TODAY)]
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    subprocess.run(command, capture_output=True, env=env, check=False)
    times_s = []
    for _ in range(5):
        began = time.perf_counter()
        done = subprocess.run(command, capture_output=True, text=True, env=env, check=False)
        times_s.append(time.perf_counter() - began)
        assert "Nothing has changed since" in done.stdout
    return min(times_s)


def row(what: str, value: str, reach: str) -> None:
    """Print one line of the table, as Markdown."""
    print(f"| {what} | {value} | {reach} |", flush=True)


def table(job: Path) -> None:
    """Print the table for one job of 60 photos."""
    parts = least(job, "decoding", "hashing", "sharpness", "stage_one", "stage_two")
    floor = parts["decoding"]
    one, two = parts["stage_one"], parts["stage_two"]
    # The stage reads and digests each photo again, to be sure that it prints the one that was measured.
    stage_cpu_s = one["cpu_s"] - parts["hashing"]["cpu_s"]
    print("| measure | found | reach |\n|---|---|---|")
    row(
        "photo stage, CPU, against decoding alone at the same scale",
        f"{stage_cpu_s / floor['cpu_s']:.2f} ({stage_cpu_s:.2f} s to {floor['cpu_s']:.2f} s; "
        f"reading and hashing {parts['hashing']['cpu_s']:.2f} s, facts {parts['sharpness']['cpu_s']:.2f} s)",
        "1.25",
    )
    row(
        "photo stage, wall, two workers against one",
        f"{two['wall_s'] / one['wall_s']:.2f} ({two['wall_s']:.2f} s to {one['wall_s']:.2f} s)",
        "0.65",
    )
    checks = least(job, "first_check", "later_check")
    row(
        "check, facts kept, CPU over importing",
        f"{checks['later_check']['cpu_s']:.2f} s (no facts kept: {checks['first_check']['cpu_s']:.2f} s)",
        "0.5 s",
    )
    builds = least(job, "cold", "rebuild", "catching", "bare")
    cold, rebuild, bare = builds["cold"], builds["rebuild"], builds["bare"]
    ours_s = builds["catching"]["cpu_s"]
    row(
        "handover against the bare layout program, CPU",
        f"{ours_s / bare['handover_cpu_s']:.2f} ({ours_s:.2f} s to {bare['handover_cpu_s']:.2f} s)",
        "1.25",
    )
    least_s = floor["cpu_s"] + bare["documents_cpu_s"]
    row(
        "cold build, CPU, against photo floor and one bare layout of each document",
        f"{cold['cpu_s'] / least_s:.2f} ({cold['cpu_s']:.2f} s to {least_s:.2f} s)",
        "1.5",
    )
    row(
        "rebuild after the permit number changed, against cold: CPU, wall",
        f"{rebuild['cpu_s'] / cold['cpu_s']:.2f}, {rebuild['wall_s'] / cold['wall_s']:.2f} "
        f"({rebuild['wall_s']:.2f} s to {cold['wall_s']:.2f} s)",
        "0.6, 0.75",
    )
    row("nothing changed, the whole command", f"{command_wall_s(job):.2f} s", "0.4 s")
    row(
        "peak memory, photo stage",
        f"{two['peak_mib']:.0f} MiB",
        "150 MiB",
    )
    row("peak memory, build", f"{cold['peak_mib']:.0f} MiB", f"{120 + PHOTOS} MiB")
    row("handover of 60 photos", f"{cold['handover_mb']:.1f} MB", "10 MB")


def growth(folder: Path) -> None:
    """Print cold builds of five sizes."""
    print(
        "\n| photos | cold build, CPU s | a photo, ms | peak, MiB | reach, MiB | photo stage, peak MiB |"
    )
    print("|---|---|---|---|---|---|")
    for photos in (10, 60, 125, 250, 500):
        home = folder / f"job-of-{photos}"
        job = make_job(home, photos)
        cold, stage = once("cold", job), once("stage_two", job)
        print(
            f"| {photos} | {cold['cpu_s']:.1f} | {cold['cpu_s'] / photos * 1000:.0f} | "
            f"{cold['peak_mib']:.0f} | {120 + photos} | {stage['peak_mib']:.0f} |",
            flush=True,
        )
        shutil.rmtree(home)


def main() -> None:
    """Print everything."""
    libraries = ", ".join(f"{name} {version(name)}" for name in ("weasyprint", "pillow", "pypdf"))
    with tempfile.TemporaryDirectory(prefix="dossier-bench-") as name:
        job = make_job(Path(name) / "sixty")
        size = megabytes(photos_of(job))
        print(
            f"{PHOTOS} photos of 12 megapixels, {size:.0f} MB; {os.cpu_count()} cores, "
            f"Python {platform.python_version()}, {libraries}; least of {ROUNDS}\n"
        )
        table(job)
        if "--quick" not in sys.argv:
            growth(Path(name))


if __name__ == "__main__":
    if len(sys.argv) == 3:
        figures = _MEASURES[sys.argv[1]](Path(sys.argv[2]))
        figures["peak_mib"] = _peak_mib()
        print(json.dumps(figures))
    else:
        main()
