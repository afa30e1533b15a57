"""Folders are swapped in whole or not at all, and a job is built by one run at a time."""

import multiprocessing
from pathlib import Path

import pytest

from dossier.disk import outputs
from dossier.disk.outputs import MARKER, heal, job_lock, replace_folders
from dossier.errors import CannotWrite, JobTaken


def _names(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}


def test_a_new_folder_holds_exactly_the_files_and_the_marker(tmp_path: Path) -> None:
    replace_folders("7", {tmp_path / "out": {"a.txt": b"1", "deep/b.txt": b"2"}})
    assert _names(tmp_path) == {"out/a.txt", "out/deep/b.txt", f"out/{MARKER}"}


def test_an_earlier_folder_of_ours_is_replaced_whole(tmp_path: Path) -> None:
    replace_folders("7", {tmp_path / "out": {"old.txt": b"1"}})
    replace_folders("7", {tmp_path / "out": {"new.txt": b"2"}})
    assert _names(tmp_path / "out") == {"new.txt", MARKER}


def test_a_folder_with_other_peoples_files_is_left_alone(tmp_path: Path) -> None:
    theirs = tmp_path / "out" / "thesis.doc"
    theirs.parent.mkdir()
    theirs.write_bytes(b"mine")
    with pytest.raises(CannotWrite, match="did not write"):
        replace_folders("7", {tmp_path / "out": {"a.txt": b"1"}})
    assert theirs.read_bytes() == b"mine"


def test_an_empty_folder_may_be_used(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    replace_folders("7", {tmp_path / "out": {"a.txt": b"1"}})
    assert (tmp_path / "out" / "a.txt").exists()


def test_a_link_is_never_followed(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "real")
    with pytest.raises(CannotWrite, match="not a folder of its own"):
        replace_folders("7", {tmp_path / "out": {"a.txt": b"1"}})
    assert list((tmp_path / "real").iterdir()) == []


def test_a_full_disk_leaves_what_stood_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace_folders("7", {tmp_path / "out": {"old.txt": b"1"}})

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(outputs.os, "fsync", full)
    with pytest.raises(CannotWrite, match="No space left"):
        replace_folders("7", {tmp_path / "out": {"new.txt": b"2"}})
    assert _names(tmp_path) == {"out/old.txt", f"out/{MARKER}"}


@pytest.mark.parametrize("fails", ["out", "as-built"])
def test_when_one_folder_cannot_be_swapped_in_both_are_as_they_were(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: str
) -> None:
    folders = [tmp_path / "out", tmp_path / "as-built"]
    replace_folders("7", {folder: {"old.txt": b"1"} for folder in folders})
    real = Path.rename

    def rename(path: Path, target: Path) -> Path:
        if path.name == f".{fails}.dossier-new":
            raise OSError(5, "Input/output error")
        return real(path, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(CannotWrite, match="Nothing was changed"):
        replace_folders("7", {folder: {"new.txt": b"2"} for folder in folders})
    assert _names(tmp_path) == {f"{f.name}/{name}" for f in folders for name in ("old.txt", MARKER)}


def test_the_marker_names_the_job_on_one_line(tmp_path: Path) -> None:
    replace_folders("7\njob: 8", {tmp_path / "out": {}})
    lines = (tmp_path / "out" / MARKER).read_text().splitlines()
    assert lines[1:] == ["job: 7 job: 8"]


def test_a_folder_that_may_not_be_looked_into_is_refused_with_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "out").mkdir()

    def barred(_: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "iterdir", barred)
    with pytest.raises(CannotWrite, match="cannot be looked into: Permission denied"):
        replace_folders("7", {tmp_path / "out": {"a.txt": b"1"}})


@pytest.mark.parametrize("dies_at", ["write", "first rename", "second rename"])
def test_a_kill_at_any_step_is_healed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, dies_at: str
) -> None:
    """A run that vanishes between two steps leaves old or new whole; the next run clears the rest."""
    out = tmp_path / "out"
    replace_folders("7", {out: {"old.txt": b"1"}})
    new, old = tmp_path / ".out.dossier-new", tmp_path / ".out.dossier-old"
    new.mkdir()
    (new / "half.txt").write_bytes(b"half")
    if dies_at != "write":
        out.rename(old)
    if dies_at == "second rename":
        (new / MARKER).write_bytes(b"")
        new.rename(out)
    heal(out)
    kept = {"half.txt", MARKER} if dies_at == "second rename" else {"old.txt", MARKER}
    assert _names(tmp_path) == {f"out/{name}" for name in kept}


def _hold(work: str, held: "multiprocessing.synchronize.Event") -> None:
    with job_lock(Path(work)):
        held.set()
        held.wait(60)
        import time

        time.sleep(60)


def test_a_second_run_is_told_who_has_the_job(tmp_path: Path) -> None:
    with job_lock(tmp_path), pytest.raises(JobTaken), job_lock(tmp_path):
        raise AssertionError("the second run got the job")


def test_the_lock_of_a_killed_run_is_no_hindrance(tmp_path: Path) -> None:
    context = multiprocessing.get_context("spawn")
    held = context.Event()
    process = context.Process(target=_hold, args=(str(tmp_path), held))
    process.start()
    assert held.wait(30)
    with pytest.raises(JobTaken), job_lock(tmp_path):
        raise AssertionError("a second run got the job")
    process.kill()
    process.join()
    with job_lock(tmp_path):
        pass
