"""The sheets of the first build stay with the job; what is built over, and what is refused, is said."""

import json
import os
import shutil
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from dossier.case.as_built import as_built_differs, as_built_files, sheets_used
from dossier.cli import main
from dossier.disk import outputs
from dossier.disk.outputs import MARKER
from dossier.pipeline import check
from dossier.steps.asked import Asked
from dossier.steps.checking import Checked
from tests.conftest import bare_job, no_clock
from tests.known_good import DEMO, TODAY, known_good

DAY = ["--today", TODAY.isoformat()]
SHEET = "terms/kestrelmoor-2026.yaml"
Out = Callable[[], str]


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the known-good record in an office of its own, where build prints one short file."""
    monkeypatch.setattr("dossier.press.printing.Printer.files", lambda _: {"made.txt": b"made"})
    return bare_job(tmp_path / "office")


def _build(job: Path, *more: str | Path) -> int:
    return main(["build", str(job), *DAY, *map(str, more)])


def _change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def _names(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}


def _checked(job: Path) -> Checked:
    return check(Asked(job, today=TODAY), no_clock)


def test_the_first_build_keeps_the_sheets_with_their_digests(job: Path) -> None:
    """The digests are those of sha256 over the bytes, as any tool computes them."""
    _build(job)
    kept = job / "as-built"
    manifest = json.loads((kept / "as-built.json").read_text())
    assert _names(kept) == {*manifest["sha256"], "as-built.json", MARKER}
    assert SHEET in manifest["sha256"]
    for name, digest in manifest["sha256"].items():
        data = (job.parent / name).read_bytes()
        assert (kept / name).read_bytes() == data
        assert sha256(data).hexdigest() == digest
    assert _checked(job).as_built_differs == ()


def test_a_later_build_leaves_them_and_says_which_differ(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = _build(job)
    promised = (job / "as-built" / SHEET).read_bytes()
    _change(job.parent / SHEET, "document: ", "document: X-")
    capsys.readouterr()
    assert _build(job) == code
    out, err = capsys.readouterr()
    assert f"as-built/ was left as it is: {SHEET} says something else today" in out
    assert f"Not the same today: {SHEET}." in err
    assert (job / "as-built" / SHEET).read_bytes() == promised
    assert main(["check", str(job), *DAY]) == code
    assert f"Not the same today: {SHEET}." in capsys.readouterr().err
    assert _build(job, "--fresh-sheets") == code
    assert (job / "as-built" / SHEET).read_bytes() != promised
    capsys.readouterr()
    main(["check", str(job), *DAY])
    assert "as-built" not in capsys.readouterr().err


def test_a_comment_is_no_difference(job: Path) -> None:
    _build(job)
    with (job.parent / "company.yaml").open("a") as file:
        file.write("\n# call before ten\n")
    assert _checked(job).as_built_differs == ()


def test_a_sheet_that_only_one_side_has_differs(job: Path) -> None:
    _build(job)
    (job / "as-built" / SHEET).unlink()
    shutil.copy(job.parent / "company.yaml", job / "as-built" / "terms" / "gone.yaml")
    assert _checked(job).as_built_differs == ("terms/gone.yaml", SHEET)


def test_a_copy_that_no_longer_parses_differs(job: Path) -> None:
    _build(job)
    (job / "as-built" / "company.yaml").write_bytes(b"name: [")
    assert _checked(job).as_built_differs == ("company.yaml",)


def test_only_catalogues_whose_products_are_used_are_kept(job: Path) -> None:
    """Another supplier's catalogue beside them is nobody's business who reads this job's papers."""
    (job.parent / "terms" / "aaa.catalogue.yaml").write_text(
        "maker: Elsewhere\nedition: 1\nproducts:\n  - product: Nothing here\n    role: starter\n"
        "    unit: box\n"
    )
    case = known_good().case
    used = sheets_used(case, job.parent)
    assert "terms/aaa.catalogue.yaml" not in used
    assert any(name.endswith(".catalogue.yaml") for name in used)
    assert set(as_built_files(case, job.parent)) == {*used, "as-built.json"}
    held = "".join(data.decode() for name, data in used.items() if name.endswith(".catalogue.yaml"))
    for material in case.materials:
        assert material.product is None or material.product.product in held
    assert as_built_differs(case, job.parent, job) == ()


def test_a_folder_of_somebody_elses_is_refused_before_anything_is_printed(
    job: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def printed(_: object) -> dict[str, bytes]:
        raise AssertionError("printed before looking")

    monkeypatch.setattr("dossier.press.printing.Printer.files", printed)
    (job / "as-built").mkdir()
    (job / "as-built" / "mine.txt").write_text("mine")
    assert _build(job) == 4
    err = capsys.readouterr().err
    assert "did not write" in err
    assert "choose another place with --out" not in err.lower()
    assert "Move them out of the job folder" in err
    assert _names(job / "as-built") == {"mine.txt"}


@pytest.mark.parametrize("place", ["as-built", "papers/new", "out/deep", ".", ".dossier/x"])
def test_out_inside_a_job_folder_is_refused(
    job: Path, place: str, capsys: pytest.CaptureFixture[str]
) -> None:
    before = _names(job)
    assert _build(job, "--out", job / place) == 4
    assert "lies in the job folder" in capsys.readouterr().err
    assert {name for name in _names(job) if not name.startswith(".dossier/")} == before


def test_the_out_folder_of_another_job_is_refused(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = job.parent / "other"
    shutil.copytree(job, other)
    _build(other)
    assert _build(job, "--out", other / "out") == 4
    link = job.parent / "link"
    link.symlink_to(other)
    assert _build(job, "--out", link / "out") == 4
    assert capsys.readouterr().err.count("lies in the job folder") == 2


def test_the_own_out_folder_may_be_named(job: Path) -> None:
    assert _build(job, "--out", job / "out") in (0, 1)
    assert _names(job / "out") == {"made.txt", MARKER}


def test_a_folder_built_for_another_job_is_refused(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = tmp_path / "for-the-maker"
    assert _build(job, "--out", place) in (0, 1)
    assert _build(job, "--out", place) in (0, 1)
    _change(job / "job.yaml", "2026-041", "2026-042")
    assert _build(job, "--out", place) == 4
    assert "holds the papers of job 2026-041, and this is job 2026-042" in capsys.readouterr().err
    (place / MARKER).write_text("dossier wrote this\n")
    assert _build(job, "--out", place) == 4
    assert "papers that name no job" in capsys.readouterr().err
    # The job's own folders say by their place whose they are, also once its number is corrected.
    assert _build(job) in (0, 1)
    assert _build(job) in (0, 1)


def test_a_full_disk_leaves_both_folders_as_they_were(
    job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The disk of --out is full; that of the job is not."""
    place = tmp_path / "full"
    _build(job, "--out", place)
    (job / "as-built" / "company.yaml").write_text("name: as it was\n")
    (place / "made.txt").write_text("as it was")
    monkeypatch.setattr("dossier.press.printing.Printer.files", lambda _: {"made.txt": b"x" * 9})
    real = os.fsync

    def full(handle: int) -> None:
        # Only the file of the output folder has this size.
        if os.fstat(handle).st_size == 9:
            raise OSError(28, "No space left on device")
        real(handle)

    monkeypatch.setattr(outputs.os, "fsync", full)
    assert _build(job, "--out", place, "--fresh-sheets") == 4
    assert "Nothing was changed." in capsys.readouterr().err
    assert (job / "as-built" / "company.yaml").read_text() == "name: as it was\n"
    assert (place / "made.txt").read_text() == "as it was"
    assert not list(job.glob(".*-new"))
    assert not list(tmp_path.glob(".*-new"))


def test_the_demo_is_built_by_what_its_own_office_holds() -> None:
    case = known_good().case
    assert set(sheets_used(case, DEMO)) >= {"company.yaml", SHEET}
