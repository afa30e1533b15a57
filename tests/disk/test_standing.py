"""A build that would make the same again is not made again; any change at all makes it again."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import date, tzinfo
from pathlib import Path

import pytest

from dossier import cli
from dossier.cli import main
from dossier.disk import standing
from dossier.disk.standing import LastBuild, Place, Said, build_asked, still_stands
from dossier.press import press
from dossier.resources import resource
from dossier.steps.building import made_from
from tests.known_good import DEMO, GOOD_JOB

DAY = date(2026, 10, 20)
SAID = Said("Job 2026-041: 2 items.", "Office folder: …", 1)


def clock(_: tzinfo) -> date:
    return DAY


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a copied job in an office two folders up, all of it left alone for long enough."""
    # What has just been copied counts as unsettled, and no test may wait for it.
    monkeypatch.setattr(standing, "SETTLED_NS", -(10**18))
    left_out = shutil.ignore_patterns("out", "as-built", ".dossier", "2026-*")
    shutil.copytree(DEMO, tmp_path / "office", ignore=left_out)
    folder = tmp_path / "office" / "jobs" / "one"
    shutil.copytree(GOOD_JOB, folder, ignore=left_out)
    for name in ("out", "as-built", ".dossier"):
        (folder / name).mkdir()
        (folder / name / "made.pdf").write_bytes(b"made")
    return folder


def remembered(job: Path) -> bool:
    """Do as a build does, without building; return whether it was kept."""
    office = job.parent.parent
    last = LastBuild(job / ".dossier", build_asked(job, None, None), made_from(job, office))
    wrote = [Place(str(job / name), True) for name in ("out", "as-built")]
    wrote.append(Place(str(office / "logo.png"), False))
    return last.remember(SAID, DAY, "UTC", wrote)


def stands(job: Path, *, today: date | None = DAY, out: Path | None = None) -> Said | None:
    return still_stands(job / ".dossier", build_asked(job, None, out), today, clock)


def test_nothing_changed(job: Path) -> None:
    assert stands(job) is None
    assert remembered(job)
    assert stands(job) == SAID
    assert stands(job, today=None) == SAID


def rewrite_same_size(path: Path) -> None:
    """Swap two bytes and set the modification time back: only the change time tells."""
    before = path.stat()
    data = bytearray(path.read_bytes())
    data[0], data[1] = data[1], data[0]
    path.write_bytes(bytes(data))
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


CHANGES: dict[str, Callable[[Path], object]] = {
    "record": lambda job: rewrite_same_size(job / "job.yaml"),
    "new photo": lambda job: (job / "photos" / "x.jpg").write_bytes(b""),
    "photo gone": lambda job: next((job / "photos").rglob("*.jpg")).unlink(),
    "paper": lambda job: rewrite_same_size(next((job / "papers").rglob("*.pdf"))),
    "document gone": lambda job: (job / "out" / "made.pdf").unlink(),
    "document written over": lambda job: (job / "out" / "made.pdf").write_bytes(b"othr"),
    "something beside the documents": lambda job: (job / "out" / "x").write_bytes(b""),
    "as-built": lambda job: (job / "as-built" / "made.pdf").unlink(),
    "company": lambda job: rewrite_same_size(job.parent.parent / "company.yaml"),
    "logo": lambda job: rewrite_same_size(job.parent.parent / "logo.png"),
    "new sheet": lambda job: (job.parent.parent / "terms" / "x.catalogue.yaml").write_bytes(b""),
    "locality": lambda job: rewrite_same_size(
        next((job.parent.parent / "localities").glob("*.yaml"))
    ),
    "a nearer office": lambda job: (job.parent / "company.yaml").write_bytes(b"name: x"),
    "own template": lambda job: shutil.copytree(
        GOOD_JOB / "papers", job.parent.parent / "templates"
    ),
    "a folder renamed": lambda job: (job / "photos").rename(job / "pictures"),
    "a link for a file": lambda job: _link(job / "job.yaml"),
    "kept answer damaged": lambda job: (job / ".dossier" / "last-build.json").write_text("{"),
    "kept answer edited": lambda job: _edit_answer(job / ".dossier" / "last-build.json"),
    "kept answer nested": lambda job: (job / ".dossier" / "last-build.json").write_text(
        "[" * 100_000
    ),
    "kept answer empty": lambda job: (job / ".dossier" / "last-build.json").write_text("[]"),
}


def _link(path: Path) -> None:
    path.symlink_to(path.rename(path.with_name("was.yaml")))


def _edit_answer(path: Path) -> None:
    whole = json.loads(path.read_text())
    whole["kept"]["said"]["exit_code"] = 0
    path.write_text(json.dumps(whole))


@pytest.mark.parametrize("change", CHANGES)
def test_any_change_makes_it_again(job: Path, change: str) -> None:
    assert remembered(job)
    assert stands(job) == SAID
    CHANGES[change](job)
    assert stands(job) is None


def test_what_a_link_leads_to_is_looked_at(job: Path, tmp_path: Path) -> None:
    target = tmp_path / "kept elsewhere.yaml"
    (job / "job.yaml").rename(target)
    (job / "job.yaml").symlink_to(target)
    assert remembered(job)
    assert stands(job) == SAID
    rewrite_same_size(target)
    assert stands(job) is None


def test_another_day_or_place_makes_it_again(job: Path, tmp_path: Path) -> None:
    assert remembered(job)
    assert stands(job, today=date(2026, 10, 21)) is None
    assert stands(job, out=tmp_path / "elsewhere") is None


def test_another_library_or_program_makes_it_again(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert remembered(job)
    packages = tmp_path / "site-packages"
    packages.mkdir()
    monkeypatch.setattr(sys, "path", [*sys.path, str(packages)])
    assert stands(job) is None
    assert remembered(job)
    assert stands(job) == SAID
    (packages / "weasyprint-99.dist-info").mkdir()
    assert stands(job) is None


@pytest.mark.parametrize("file", [Path(cli.__file__), Path(press.__file__), resource("page.html")])
def test_every_room_and_every_template_is_of_the_program(file: Path) -> None:
    folders = [Path(place.path) for place in standing._program() if place.whole_folder]
    assert any(file.resolve().is_relative_to(folder) for folder in folders)


def test_what_changed_while_it_was_built_is_not_remembered(job: Path) -> None:
    last = LastBuild(job / ".dossier", {}, made_from(job, job.parent.parent))
    rewrite_same_size(job / "job.yaml")
    assert not last.remember(SAID, DAY, "UTC", [])


def test_what_has_only_just_been_written_is_not_remembered(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A file system notes times in steps, so a second change right behind this one might not show.
    monkeypatch.setattr(standing, "SETTLED_NS", 10**18)
    assert not remembered(job)
    assert stands(job) is None


def test_cache_lock_and_seal_are_no_part_of_it(job: Path) -> None:
    assert remembered(job)
    (job / ".dossier" / "facts-v1.json").write_text("{}")
    (job / "sealed").mkdir()
    assert stands(job) == SAID


def test_the_second_build_says_the_same_and_writes_nothing(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("out", "as-built"):
        shutil.rmtree(job / name)
    command = ["build", str(job), "--today", "2026-10-20"]
    first_code = main(command)
    first = capsys.readouterr()
    times_ns = {path: path.stat().st_mtime_ns for path in (job / "out").iterdir()}
    second_code = main(command)
    second = capsys.readouterr()
    assert second_code == first_code
    assert second.err == first.err
    assert second.out == first.out + (
        "Nothing has changed since; the documents were left as they are. To make them anew: --fresh\n"
    )
    assert times_ns == {path: path.stat().st_mtime_ns for path in times_ns}
    assert len(times_ns) > 5


def test_asking_loads_next_to_nothing() -> None:
    program = (
        "import sys; from dossier.disk.standing import still_stands; from pathlib import Path\n"
        "import dossier.cli, dossier.disk.outputs\n"
        "still_stands(Path('/nowhere'), {}, None, None)\n"
        "print(sorted({'weasyprint', 'pydantic', 'yaml', 'PIL', 'jinja2'} & set(sys.modules)))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    assert done.stdout.strip() == "[]"
