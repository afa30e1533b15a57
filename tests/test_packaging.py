"""What is shipped: both wheels hold every template and font, and what is installed builds from anywhere.

A wheel comes to a user by two ways, built from the checkout or from the source archive; each is a list of
files of its own that can forget one.
"""

import importlib.metadata
import json
import os
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.resources import resource
from tests.conftest import Once, copy_office, outside_module
from tests.known_good import DEMO, GOOD_JOB

CHECKOUT = DEMO.parent
FROM_CHECKOUT, FROM_ARCHIVE = "wheel of the checkout", "wheel of the source archive"


def run(*command: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Return a finished command, run in a folder without the checkout on its path."""
    surroundings = {k: v for k, v in os.environ.items() if not k.startswith("PYTHON")}
    return subprocess.run(
        [str(word) for word in command],
        cwd=cwd,
        env=surroundings,
        capture_output=True,
        text=True,
        check=False,
    )


def succeed(*command: str | Path, cwd: Path) -> str:
    """Return what a command printed; the test fails where the command does."""
    done = run(*command, cwd=cwd)
    assert done.returncode == 0, f"{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.fixture
def packages(once: Once) -> Path:
    """Return a folder with the source archive and, each in its own folder, the two wheels."""
    # Built without a private environment, so that no test reaches for the network.
    outside_module("hatchling", "hatchling")
    builder = (sys.executable, "-m", "build", "--no-isolation")

    def fill(folder: Path) -> None:
        succeed(*builder, "--outdir", folder / FROM_ARCHIVE, CHECKOUT, cwd=folder)
        succeed(*builder, "--wheel", "--outdir", folder / FROM_CHECKOUT, CHECKOUT, cwd=folder)

    return once("packages", fill)


def wheel_in(packages: Path, way: str) -> Path:
    """Return the one wheel made that way."""
    [wheel] = (packages / way).glob("dossier-*.whl")
    return wheel


def files_below(folder: Path, *patterns: str) -> set[str]:
    """Return the files below a folder that fit a pattern, by their path in it."""
    return {
        path.relative_to(folder).as_posix()
        for pattern in patterns
        for path in folder.glob(pattern)
        if path.is_file()
    }


@pytest.mark.parametrize("way", [FROM_CHECKOUT, FROM_ARCHIVE])
def test_a_wheel_holds_every_template_font_and_module(packages: Path, way: str) -> None:
    with zipfile.ZipFile(wheel_in(packages, way)) as wheel:
        held = set(wheel.namelist())
    templates = files_below(CHECKOUT / "templates", "**/*")
    # The patterns are written out as well, so that a checkout that lost a file does not pass.
    for pattern, least in (("fonts/*.ttf", 10), ("*.html", 4), ("start/*.yaml", 6)):
        assert len(files_below(CHECKOUT / "templates", pattern)) >= least, pattern
    modules = files_below(CHECKOUT / "dossier", "**/*.py", "index/schema.sql")
    assert "index/schema.sql" in modules
    assert {f"dossier/templates/{name}" for name in templates} | {
        f"dossier/{name}" for name in modules
    } == {name for name in held if name.startswith("dossier/")}


@pytest.mark.parametrize("way", [FROM_CHECKOUT, FROM_ARCHIVE])
def test_a_wheel_carries_both_licences(packages: Path, way: str) -> None:
    with zipfile.ZipFile(wheel_in(packages, way)) as wheel:
        licences = {name.partition("/licenses/")[2] for name in wheel.namelist()}
        [metadata] = [name for name in wheel.namelist() if name.endswith(".dist-info/METADATA")]
        said = wheel.read(metadata).decode()
    assert licences >= {"LICENSE", "templates/fonts/OFL.txt"}
    assert "\nLicense-Expression: MIT\n" in said


def test_both_wheels_hold_the_same(packages: Path) -> None:
    held = []
    for way in (FROM_CHECKOUT, FROM_ARCHIVE):
        with zipfile.ZipFile(wheel_in(packages, way)) as wheel:
            held.append({name: wheel.read(name) for name in wheel.namelist()})
    assert held[0] == held[1]


def test_the_source_archive_holds_what_its_tests_need_and_nothing_that_a_run_wrote(
    packages: Path,
) -> None:
    [archive] = (packages / FROM_ARCHIVE).glob("dossier-*.tar.gz")
    with tarfile.open(archive) as opened:
        held = {name.partition("/")[2] for name in opened.getnames()}
    needed = {"pyproject.toml", "README.md", "DEVELOPERS.md", "docs/record.md"}
    needed |= {"tests/conftest.py", "demo_jobs/company.yaml", "demo_jobs/logo.png"}
    needed |= {f"demo_jobs/{name}" for name in files_below(DEMO, "*/job.yaml", "*/papers/*.pdf")}
    assert needed <= held
    written = {"out", "as-built", ".dossier", "__pycache__"}
    assert [name for name in held if written & set(name.split("/"))] == []


class Environment:
    """A new virtual environment whose dependencies are those of the test run, without this project."""

    def __init__(self, home: Path) -> None:
        venv.create(home, with_pip=False, symlinks=True)
        self.python = home / "bin" / "python"
        self.program = home / "bin" / "dossier"
        own = succeed(
            self.python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=home
        )
        self.packages = Path(own.strip())
        # A path in a .pth file comes after the environment's own packages, and the .pth files that
        # lie there are not read: an editable installation of the checkout is out of reach.
        known = {sysconfig.get_path("purelib"), sysconfig.get_path("platlib")}
        (self.packages / "dependencies.pth").write_text("\n".join(sorted(known)) + "\n")

    def install(self, wheel: Path) -> None:
        """Install a wheel, and nothing else."""
        pip = (sys.executable, "-m", "pip", "--python", self.python, "install")
        alone = ("--no-deps", "--no-index", "--ignore-installed", "--disable-pip-version-check")
        succeed(*pip, *alone, "-q", wheel, cwd=self.packages)

    def home_of_templates(self, cwd: Path) -> Path:
        """Return where the installed copy finds its templates."""
        code = "from dossier.resources import resource; print(resource())"
        return Path(succeed(self.python, "-c", code, cwd=cwd).strip())


@pytest.fixture
def environment(tmp_path: Path) -> Environment:
    """Return an environment of this test's own."""
    return Environment(tmp_path / "environment")


@pytest.fixture
def empty(tmp_path: Path) -> Path:
    """Return an empty folder to run in."""
    folder = tmp_path / "empty"
    folder.mkdir()
    return folder


# The slow one of this file: a whole job is built. One wheel is enough, since both hold the same.
def test_an_installed_wheel_builds_from_an_empty_folder(
    packages: Path,
    environment: Environment,
    empty: Path,
    tmp_path: Path,
    built: Callable[[str], Path],
) -> None:
    environment.install(wheel_in(packages, FROM_ARCHIVE))
    assert environment.home_of_templates(empty).is_relative_to(environment.packages)
    job = copy_office(tmp_path / "office", GOOD_JOB.name) / GOOD_JOB.name
    told = succeed(environment.program, "build", job, "--today", "2026-10-20", cwd=empty)
    assert "Written to" in told
    for path in built(GOOD_JOB.name).iterdir():
        assert (job / "out" / path.name).read_bytes() == path.read_bytes(), path.name
    assert list(empty.iterdir()) == [], "a run leaves nothing where it was started"


def test_an_installed_wheel_makes_a_new_job_from_its_own_blanks(
    packages: Path, environment: Environment, empty: Path
) -> None:
    environment.install(wheel_in(packages, FROM_CHECKOUT))
    succeed(environment.program, "start", "office/2026-061-birch-road", cwd=empty)
    assert (empty / "office" / "2026-061-birch-road" / "job.yaml").is_file()
    done = run(environment.program, "check", "office/2026-061-birch-road", cwd=empty)
    assert done.returncode == 3, done.stderr


def test_a_wheel_that_lost_a_blank_fails_as_a_fault_of_its_own(
    packages: Path, environment: Environment, empty: Path
) -> None:
    """An incomplete installation is nothing that the office could mend in a folder's rights."""
    environment.install(wheel_in(packages, FROM_CHECKOUT))
    (environment.home_of_templates(empty) / "start" / "job.yaml").unlink()
    done = run(environment.program, "start", "office/2026-061-birch-road", cwd=empty)
    assert "the shipped file is missing" in done.stderr
    assert done.returncode == 70


def test_a_checkout_on_the_path_takes_its_own_templates(
    environment: Environment, empty: Path
) -> None:
    """An editable installation is one .pth file that names the checkout."""
    (environment.packages / "editable.pth").write_text(f"{CHECKOUT}\n")
    assert environment.home_of_templates(empty) == CHECKOUT / "templates"


def test_the_editable_installation_of_this_run_takes_the_templates_of_the_checkout() -> None:
    told = importlib.metadata.distribution("dossier").read_text("direct_url.json") or "{}"
    if not json.loads(told).get("dir_info", {}).get("editable"):
        pytest.skip("this run is not from an editable installation")
    assert resource() == CHECKOUT / "templates"
