"""Two people at one job: the second waits or is told who has it, and nothing stale stands in the way."""

import multiprocessing
import os
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.disk import outputs
from dossier.disk.outputs import Holder, job_lock
from dossier.errors import JobTaken
from tests.known_good import GOOD_JOB

IDA = Holder(user="ida", host="yard", command="dossier build", since="2026-10-20 14:03:00+00:00")


def test_the_second_run_is_told_who_has_the_job_since_when(tmp_path: Path) -> None:
    said = (
        rf"^ida on yard \(process {os.getpid()}\): dossier build, since 2026-10-20 14:03:00\+00:00 has this "
        r"job in hand at this moment\."
    )
    with job_lock(tmp_path, IDA), pytest.raises(JobTaken, match=said), job_lock(tmp_path):
        raise AssertionError("the second run got the job")


def test_a_run_waits_until_the_job_is_free(tmp_path: Path) -> None:
    free, waiting = threading.Event(), threading.Event()

    def hold() -> None:
        with job_lock(tmp_path, IDA):
            free.set()
            assert waiting.wait(30)

    def told(sentence: str) -> None:
        assert "waiting for up to 30 s" in sentence
        waiting.set()

    thread = threading.Thread(target=hold)
    thread.start()
    assert free.wait(30)
    with job_lock(tmp_path, Holder(wait_s=30, said=told)):
        pass
    thread.join()
    assert waiting.is_set()


def test_a_wait_has_an_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    naps: list[float] = []
    monkeypatch.setattr(outputs.time, "sleep", naps.append)
    with job_lock(tmp_path), pytest.raises(JobTaken), job_lock(tmp_path, Holder(wait_s=1)):
        raise AssertionError("the second run got the job")
    assert sum(naps) == pytest.approx(1)


def test_nobody_is_named_once_the_job_is_free(tmp_path: Path) -> None:
    with job_lock(tmp_path, IDA):
        assert (tmp_path / "lock").read_text().startswith("ida on yard")
    assert (tmp_path / "lock").read_text() == ""


def _die_with_the_lock(work: str, held: "multiprocessing.synchronize.Event") -> None:
    with job_lock(Path(work), IDA):
        held.set()
        threading.Event().wait(60)


def test_what_a_killed_run_left_in_the_lock_is_written_over(tmp_path: Path) -> None:
    context = multiprocessing.get_context("spawn")
    held = context.Event()
    process = context.Process(target=_die_with_the_lock, args=(str(tmp_path), held))
    process.start()
    assert held.wait(30)
    process.kill()
    process.join()
    assert (tmp_path / "lock").read_text().startswith("ida on yard")
    with job_lock(tmp_path, Holder(user="jens")):
        assert (tmp_path / "lock").read_text().startswith("jens (process")


@pytest.mark.parametrize("holds", [b"\xff\xfe\x00" * 10, b"", b"x" * 5000, b"a\nb\x1b[31m"])
def test_a_lock_file_that_holds_anything_is_no_hindrance(tmp_path: Path, holds: bytes) -> None:
    (tmp_path / "lock").write_bytes(holds)
    with job_lock(tmp_path):
        (tmp_path / "lock").write_bytes(holds)
        with pytest.raises(JobTaken) as taken, job_lock(tmp_path):
            raise AssertionError("the second run got the job")
    assert taken.value.message.isprintable()
    assert len(taken.value.message) < 1100


def test_a_lock_file_that_is_a_link_is_refused(tmp_path: Path) -> None:
    from dossier.errors import CannotWrite

    (tmp_path / "theirs").write_text("precious")
    (tmp_path / "work").mkdir()
    (tmp_path / "work" / "lock").symlink_to(tmp_path / "theirs")
    with pytest.raises(CannotWrite), job_lock(tmp_path / "work"):
        raise AssertionError("the link was followed")
    assert (tmp_path / "theirs").read_text() == "precious"


Command = Callable[[str], list[str]]


@pytest.mark.parametrize(
    "command",
    [
        lambda job: ["build", job],
        lambda job: ["seal", job, "--incomplete"],
        lambda job: ["gather", job, job + "/photos", "--yes"],
        lambda job: [
            *(
                "review",
                job,
                "--file",
                "photos/field/front.jpg",
                "--by",
                "Ida",
                "--on",
                "2026-10-01",
            ),
            *("--shows", "nails", "--yes"),
        ],
    ],
    ids=["build", "seal", "gather", "review"],
)
def test_each_writing_command_says_who_has_the_job(
    job_of: Callable[[str], Path], capsys: pytest.CaptureFixture[str], command: Command
) -> None:
    job = job_of(GOOD_JOB.name)
    more = ["--today", "2026-10-20", "--wait", "0"]
    with job_lock(job / ".dossier", IDA):
        assert main([*command(str(job)), *more]) == 6
    assert "ida on yard" in capsys.readouterr().err


def test_a_check_is_never_kept_waiting(job_of: Callable[[str], Path]) -> None:
    job = job_of(GOOD_JOB.name)
    with job_lock(job / ".dossier", IDA):
        assert main(["check", str(job), "--today", "2026-10-20"]) == 0
