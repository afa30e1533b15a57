"""What any test may ask for: the demo jobs built once, copies of the demo office, outside judges.

In: `demo_jobs/`. Out: folders under pytest's own temporary folder; the checkout is never written. Must not
judge anything itself.
"""

import fcntl
import importlib.util
import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, tzinfo
from pathlib import Path

import pytest

from dossier.pipeline import build
from dossier.steps.asked import Asked
from tests.known_good import DEMO, GOOD_JOB, TODAY
from tests.sealed_jobs import seal_by_hand

DEMO_JOBS = tuple(sorted(path.parent.name for path in DEMO.glob("*/job.yaml")))
DOCUMENTS = ("handover", "handover-resale", "punch-list", "registration", "registration-print")
"""The documents of every job."""

DEMO_DOCUMENTS = (
    *((job, document) for job in DEMO_JOBS for document in DOCUMENTS),
    # The only demo job with an insurer, and so the only one with lines to compare.
    ("2026-047-cinder-street", "scope-comparison"),
)
"""Every PDF of the demo, as job and name."""

LATER_ANSWERS = (
    ("2026-041-plover-lane", "0002", "claim-answer"),
    ("2026-041-plover-lane", "0002", "claim-answer-homeowner"),
    ("2026-041-plover-lane", "0002", "inspection-sheet"),
    ("2026-041-plover-lane", "0002", "maker-letter"),
    ("2026-052-mill-race-road", "0002", "transfer-notice-tarnholt"),
    ("2026-052-mill-race-road", "0002", "transfer-notice-ormskar-roofing"),
    ("2026-052-mill-race-road", "0002", "handover-resale"),
    ("2026-052-mill-race-road", "0003", "claim-answer-homeowner"),
    ("2026-052-mill-race-road", "0003", "maker-letter"),
)
"""Documents of entries after close-out whose text is kept: the job, the entry's number, the name."""

MADE_FROM = {
    "registration-print": "registration",
    "handover-resale": "handover",
    "entry-0002-handover-resale": "handover-resale",
}
"""Documents that say most of what another says: their golden texts hold where they differ from it."""

LATER_DOCUMENTS = tuple((job, f"entry-{entry}-{name}") for job, entry, name in LATER_ANSWERS)

_WRITTEN_BY_A_RUN = shutil.ignore_patterns("out", "as-built", ".dossier", "__pycache__")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that writes the golden texts anew instead of comparing with them."""
    parser.addoption(
        "--update-golden",
        action="store_true",
        help="write the texts in tests/golden anew, and take away those of documents that are gone",
    )


@pytest.fixture
def update_golden(request: pytest.FixtureRequest) -> bool:
    """Return whether golden texts are to be written anew."""
    return bool(request.config.getoption("--update-golden"))


def missing(what: str) -> None:
    """Skip this test because a judge is missing, in plain sight; where CI=true, fail it."""
    if os.environ.get("CI") == "true":
        pytest.fail(f"{what} is not installed, and it judges this test")
    pytest.skip(f"{what} is not installed, and it judges this test")


def outside(tool: str) -> str:
    """Return the path of an outside program; a missing one skips here and fails where CI=true."""
    path = shutil.which(tool)
    if path is None:
        missing(tool)
    assert path is not None
    return path


def outside_module(name: str, package: str) -> None:
    """Go on only where an outside library is there; see `missing`."""
    if importlib.util.find_spec(name) is None:
        missing(package)


def judged(
    tool: str, *arguments: str | Path, cwd: Path | None = None, good: tuple[int, ...] = (0,)
) -> str:
    """Return what an outside program printed; the test fails where it ends with a code that is not good."""
    command = [outside(tool), *map(str, arguments)]
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)
    assert done.returncode in good, f"{' '.join(command)}\n{done.stdout}{done.stderr}"
    return done.stdout


def copy_office(to: Path, *jobs: str) -> Path:
    """Return `to`, made a copy of the demo office with these of its jobs, as nobody has built them."""
    to.mkdir(parents=True, exist_ok=True)
    for name in ("terms", "localities"):
        shutil.copytree(DEMO / name, to / name)
    for name in ("company.yaml", "logo.png"):
        shutil.copy(DEMO / name, to / name)
    for job in jobs:
        shutil.copytree(DEMO / job, to / job, ignore=_WRITTEN_BY_A_RUN)
    return to


def bare_job(office: Path, name: str = "job") -> Path:
    """Return the known-good record without photos and papers, in a copy of the demo office."""
    job = copy_office(office) / name
    job.mkdir()
    shutil.copy(GOOD_JOB / "job.yaml", job / "job.yaml")
    return job


def with_one_photo(job: Path) -> Path:
    """Return a bare job with the front slope's field of shingles on a photo."""
    photo = Path("photos", "field", "front.jpg")
    (job / photo).parent.mkdir(parents=True)
    shutil.copy(GOOD_JOB / photo, job / photo)
    return job


def no_clock(zone: tzinfo) -> date:
    """Fail: a build that was told the day has no business with the clock."""
    raise AssertionError(f"the clock was read for {zone}")


def build_on_the_day(job_folder: Path) -> Path:
    """Return the out folder of a job built in this process as of the tests' own today."""
    built = build(Asked(job_folder, today=TODAY), no_clock)
    assert built.files, [str(item.says) for item in built.checked.punch_list]
    return job_folder / "out"


Once = Callable[[str, Callable[[Path], None]], Path]
"""Returns a folder of that name, filled by whichever test first asks for it."""


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory) -> Once:
    """Return a maker of folders that are filled once a session, whichever process asks first."""
    own = tmp_path_factory.getbasetemp()
    # The workers of one parallel run have folders of their own beside each other. Without workers the
    # folder above belongs to every run there ever was, and would bring back an older build.
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own
    home = shared / "made-once"
    home.mkdir(exist_ok=True)

    def make(name: str, fill: Callable[[Path], None]) -> Path:
        whole, fresh = home / name, home / f"{name}.unfinished"
        with _held(home / f"{name}.lock"):
            if not whole.exists():
                shutil.rmtree(fresh, ignore_errors=True)
                fresh.mkdir()
                fill(fresh)
                # The name tells that all is there: a run that failed half-way is made again.
                fresh.rename(whole)
        return whole

    return make


@contextmanager
def _held(path: Path) -> Iterator[None]:
    """Hold a lock file while the block runs, waiting for it; a process that dies lets go of it."""
    with path.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield


@pytest.fixture(scope="session")
def built(once: Once) -> Callable[[str], Path]:
    """Return what gives a demo job's out folder, built once a session in a copy of the office."""

    def of(job: str) -> Path:
        def fill(folder: Path) -> None:
            build_on_the_day(copy_office(folder, job) / job)

        return once(f"demo-{job}", fill) / job / "out"

    return of


@pytest.fixture
def job_of(tmp_path: Path) -> Callable[[str], Path]:
    """Return what gives a demo job's folder in an office of this test's own, to be spoilt."""

    def of(job: str) -> Path:
        return copy_office(tmp_path / "office", job) / job

    return of


@pytest.fixture
def sealed(job_of: Callable[[str], Path]) -> Path:
    """Return the known-good job, its closing sealed, in an office of this test's own."""
    return seal_by_hand(job_of(GOOD_JOB.name))


def pdf_with_text(*lines: str, catalogue: bytes = b"") -> bytes:
    """Return a PDF of one page with these lines, put together by hand; letters of ASCII only.

    catalogue: more entries for the document's catalogue, such as an action to run on opening.
    Source of the form: ISO 32000-1:2008, annex H.3 (simple text string example).
    """
    shown = b"".join(
        b"(%s) Tj 0 -14 Td " % line.encode("ascii").translate(None, b"()\\") for line in lines
    )
    content = b"BT /F1 11 Tf 40 760 Td " + shown + b"ET"
    objects = (
        b"<</Type/Catalog/Pages 2 0 R%s>>" % catalogue,
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/Contents 4 0 R"
        b"/Resources<</Font<</F1<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>>>>>>>",
        b"<</Length %d>>stream\n%s\nendstream" % (len(content), content),
    )
    whole, starts = bytearray(b"%PDF-1.7\n"), []
    for number, written in enumerate(objects, start=1):
        starts.append(len(whole))
        whole += b"%d 0 obj\n%s\nendobj\n" % (number, written)
    table_at = len(whole)
    whole += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    whole += b"".join(b"%010d 00000 n \n" % start for start in starts)
    whole += b"trailer\n<</Size %d/Root 1 0 R>>\n" % (len(objects) + 1)
    whole += b"startxref\n%d\n%%%%EOF\n" % table_at
    return bytes(whole)
