"""`dossier review`: what waits for a look, and a look written into a record typed by hand."""

import shutil
from collections.abc import Sequence
from datetime import date
from pathlib import Path

import pytest

from dossier import RECORD_VERSION
from dossier.cli import main
from dossier.commands import review
from dossier.disk.outputs import job_lock
from dossier.errors import ExitCode
from dossier.hand.file import Draft
from dossier.record.read import read_job, read_photo_list
from dossier.record.signed import Signed
from dossier.words import Backing
from tests.known_good import DEMO, GOOD_JOB, Known, known_good

TODAY = ["--today", "2026-10-20"]
NAILS = "photos/field/front-nails.jpg"
TICKET = "papers/ticket-55120.pdf"
LOOK = ["--by", "Ida Torvik", "--on", "2026-09-20", "--shows", "six nails in each shingle"]
BY_HAND = """\
# Photos about which there is something to say.
photos:
  - file: photos/starter/front.jpg
    caption: 0012345      # the mark on the wrapper
    received_from: 1E5

  # Jens will send another one.
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return the known-good job in an office of its own, with a photo list typed by hand."""
    for name in ("terms", "localities"):
        shutil.copytree(DEMO / name, tmp_path / name)
    shutil.copy(DEMO / "company.yaml", tmp_path)
    made = tmp_path / "job"
    made.mkdir()
    shutil.copy(GOOD_JOB / "job.yaml", made)
    for name in ("photos", "papers"):
        shutil.copytree(GOOD_JOB / name, made / name)
    (made / "photos.yaml").write_text(BY_HAND)
    return made


def run(job: Path, *arguments: str) -> int:
    return main(["review", str(job), *TODAY, *arguments])


def test_what_waits_is_on_file_and_backs_something(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(job) == 0
    said = capsys.readouterr().out
    assert said.startswith("Job 2026-041: 24 files wait for a look, 0 files are reviewed.")
    paragraphs = {part.split("\n")[0]: part.split("\n")[1:] for part in said.split("\n\n")[1:]}
    assert "  6 nails in each shingle" in paragraphs[NAILS]
    assert "  Underlayment: Dryfell underlayment" in paragraphs[TICKET]
    # Views of the roof before the work back no statement.
    assert "photos/before/front.jpg" not in paragraphs
    statements = {str(one.text) for one in known_good().assessment.statements}
    assert statements & {line.strip() for lines in paragraphs.values() for line in lines}


def test_a_look_is_shown_and_not_written_without_yes(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(job, "--file", NAILS, *LOOK) == 0
    said = capsys.readouterr().out
    assert f"+  - file: {NAILS}" in said
    assert "Nothing is written yet." in said
    assert (job / "photos.yaml").read_text() == BY_HAND


def test_a_look_is_written_with_yes_and_counts(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (job / "photos.yaml").chmod(0o640)
    assert run(job, "--file", NAILS, *LOOK, "--yes") == 0
    written = (job / "photos.yaml").read_text()
    head, tail = BY_HAND.split("\n\n")
    assert written == (
        f"{head}\n  - file: {NAILS}\n    reviewed:\n      by: Ida Torvik\n      on: 2026-09-20\n"
        f"      note: six nails in each shingle\n\n{tail}"
    )
    assert (job / "photos.yaml").stat().st_mode & 0o777 == 0o640
    assert [path for path in job.rglob("*") if path.name == "hand-new"] == []
    listed = read_photo_list(job).model
    assert listed is not None
    assert listed.photos[1].reviewed == Signed(
        by="Ida Torvik", on=date(2026, 9, 20), note="six nails in each shingle"
    )
    assert (listed.photos[0].caption, listed.photos[0].received_from) == ("0012345", "1E5")
    capsys.readouterr()
    assert run(job) == 0
    said = capsys.readouterr().out
    assert said.startswith("Job 2026-041: 23 files wait for a look, 1 file is reviewed.")
    assert NAILS not in said
    assert main(["check", str(job), *TODAY]) == 0


def test_a_second_time_changes_nothing(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(job, "--file", NAILS, *LOOK, "--yes")
    before = (job / "photos.yaml").stat()
    capsys.readouterr()
    assert run(job, "--file", NAILS, *LOOK, "--yes") == 0
    assert capsys.readouterr().out == "The record says so already; nothing to write.\n"
    after = (job / "photos.yaml").stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_another_look_takes_the_place_of_the_first_and_is_shown(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(job, "--file", NAILS, *LOOK, "--yes")
    run(job, "--file", NAILS, "--by", "Piet Halden", "--on", "2026-09-22", "--yes")
    assert "-      by: Ida Torvik" in capsys.readouterr().out
    listed = read_photo_list(job).model
    assert listed is not None
    assert [photo.reviewed for photo in listed.photos] == [
        None,
        Signed(by="Piet Halden", on=date(2026, 9, 22)),
    ]


def test_a_look_at_a_paper_goes_into_the_job(job: Path) -> None:
    before = (job / "job.yaml").read_text()
    assert run(job, "--file", TICKET, *LOOK, "--yes") == 0
    after = (job / "job.yaml").read_text()
    assert after.startswith(before)
    assert after.removeprefix(before).startswith(f"papers:\n  - file: {TICKET}\n    reviewed:\n")
    assert "lots 0012345 x 30" in after
    assert "lot 1E5 x 3" in after
    read = read_job(job, RECORD_VERSION).model
    assert read is not None
    assert [paper.reviewed is not None for paper in read.papers] == [True]
    assert (job / "photos.yaml").read_text() == BY_HAND


def test_a_record_with_carriage_returns_and_a_mark_keeps_both(job: Path) -> None:
    for name in ("job.yaml", "photos.yaml"):
        data = (job / name).read_bytes()
        (job / name).write_bytes(b"\xef\xbb\xbf" + data.replace(b"\n", b"\r\n"))
    before = {name: (job / name).read_bytes() for name in ("job.yaml", "photos.yaml")}
    for file in (NAILS, TICKET):
        assert run(job, "--file", file, *LOOK, "--yes") == 0
    for name, old in before.items():
        new = (job / name).read_bytes()
        assert new.startswith(b"\xef\xbb\xbf")
        assert new.count(b"\xef\xbb\xbf") == 1
        assert new.count(b"\n") == new.count(b"\r\n") > old.count(b"\n")
        assert all(line in new.split(b"\r\n") for line in old.split(b"\r\n"))


def test_a_job_without_a_photo_list_gets_one(job: Path) -> None:
    (job / "photos.yaml").unlink()
    assert run(job, "--file", NAILS, *LOOK) == 0
    assert not (job / "photos.yaml").exists()
    assert run(job, "--file", NAILS, *LOOK, "--yes") == 0
    assert (job / "photos.yaml").read_text().startswith(f"photos:\n  - file: {NAILS}\n")


def test_a_list_is_filled_in_and_taken(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(job, "--list") == 0
    text = capsys.readouterr().out
    taken = job.parent / "review.yaml"
    # Untouched, it notes nothing.
    taken.write_text(text)
    assert run(job, "--take", str(taken), "--yes") == 0
    assert "nothing to note" in capsys.readouterr().out
    filled = text.replace("by:\n", "by: Ida Torvik\n", 1).replace("on:\n", "on: 2026-09-20\n", 1)
    for file, shows in ((NAILS, "six nails"), (TICKET, "lot 0012345, as on the wrapper")):
        at = filled.index(f'  - file: "{file}"')
        filled = filled[:at] + filled[at:].replace("    shows:\n", f"    shows: {shows}\n", 1)
    other = '  - file: "photos/deck/back.jpg"'
    at = filled.index(other)
    filled = filled[:at] + filled[at:].replace(
        "    shows:\n", "    shows: dry boards\n    by: Piet Halden\n    on: 2026-09-21\n", 1
    )
    taken.write_text(filled)
    assert run(job, "--take", str(taken), "--yes") == 0
    assert "Noted 3 looks in photos.yaml and job.yaml." in capsys.readouterr().out
    listed, read = read_photo_list(job).model, read_job(job, RECORD_VERSION).model
    assert listed is not None
    assert read is not None
    noted = {one.file: one.reviewed for one in (*listed.photos, *read.papers) if one.reviewed}
    ida = {"by": "Ida Torvik", "on": date(2026, 9, 20)}
    assert noted == {
        NAILS: Signed(**ida, note="six nails"),
        TICKET: Signed(**ida, note="lot 0012345, as on the wrapper"),
        "photos/deck/back.jpg": Signed(
            by="Piet Halden", on=date(2026, 9, 21), note="dry boards"
        ),
    }  # fmt: skip
    taken.write_text(filled)
    run(job, "--take", str(taken), "--yes")
    assert "The record says so already" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("change", "code", "says"),
    [
        (("by: Ida", "bye: Ida"), 3, "not a known field"),
        (("by: Ida\n", "by:\n"), 3, "and not who looked or when"),
        (("2026-09-20", "20.9.2026"), 3, "needed a date written YYYY-MM-DD"),
        (("2026-09-20", "2026-12-20"), 2, "which is after today, 20 October 2026"),
        (("front-nails", "front-nail"), 2, "neither a photo nor a paper of this job"),
        (("files:", "files: ["), 3, "does not parse as YAML"),
    ],
)
def test_a_list_that_does_not_fit_is_refused_whole(
    job: Path,
    capsys: pytest.CaptureFixture[str],
    change: tuple[str, str],
    code: int,
    says: str,
) -> None:
    good = (
        "by: Ida\non: 2026-09-20\nfiles:\n"
        "  - file: photos/starter/front.jpg\n    shows: one\n"
        f"  - file: {NAILS}\n    shows: two\n"
    )
    (job.parent / "r.yaml").write_text(good.replace(*change))
    assert good != good.replace(*change)
    assert run(job, "--take", str(job.parent / "r.yaml"), "--yes") == code
    assert says in capsys.readouterr().err
    assert (job / "photos.yaml").read_text() == BY_HAND


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--file", "photos/field/none.jpg", *LOOK], "neither a photo nor a paper"),
        (["--file", "../other/photos/field/front.jpg", *LOOK], "neither a photo nor a paper"),
        (["--file", str(GOOD_JOB / NAILS), *LOOK], "neither a photo nor a paper"),
        (["--file", "photos/field/cut.jpg", *LOOK], "is empty"),
        (["--file", NAILS, "--by", "Ida Torvik"], "needs who and when"),
        (["--file", NAILS, "--on", "2026-09-20"], "needs who and when"),
        (["--file", NAILS, "--by", " ", "--on", "2026-09-20"], "cannot be kept"),
        (["--file", NAILS, "--by", "n/a, nobody", "--on", "2026-09-20"], "cannot be kept"),
        (["--file", NAILS, "--by", "A\nB", "--on", "2026-09-20"], "cannot be kept"),
        (["--file", NAILS, *LOOK[:4], "--shows", "a\x1b[2J"], "cannot be kept"),
        (["--file", NAILS, "--by", "A", "--on", "2026-10-21"], "is after today"),
        (["--by", "Ida Torvik"], "Add --file"),
        (["--list", "--file", NAILS, *LOOK], "three ways"),
    ],
)
def test_a_look_that_does_not_fit_is_refused(
    job: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], says: str
) -> None:
    (job / "photos/field/cut.jpg").touch()
    assert run(job, *arguments, "--yes") == ExitCode.WRONG_COMMAND
    assert says in capsys.readouterr().err
    assert (job / "photos.yaml").read_text() == BY_HAND


def test_a_look_dated_today_is_taken(job: Path) -> None:
    assert run(job, "--file", NAILS, "--by", "A", "--on", "2026-10-20", "--yes") == 0


def test_a_list_changed_meanwhile_is_left(
    job: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    really = review._show

    def edited_meanwhile(drafts: Sequence[Draft]) -> None:
        (job / "photos.yaml").write_text(BY_HAND + "# typed just now\n")
        really(drafts)

    monkeypatch.setattr(review, "_show", edited_meanwhile)
    assert run(job, "--file", NAILS, *LOOK, "--yes") == ExitCode.CANNOT_WRITE
    assert "was changed since it was shown" in capsys.readouterr().err
    assert (job / "photos.yaml").read_text().endswith("# typed just now\n")
    assert [path.name for path in job.rglob("*") if "hand" in path.name] == []


def test_a_link_in_place_of_the_list_is_not_written_through(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (job / "photos.yaml").rename(job.parent / "elsewhere.yaml")
    (job / "photos.yaml").symlink_to(job.parent / "elsewhere.yaml")
    assert run(job, "--file", NAILS, *LOOK, "--yes") == ExitCode.CANNOT_WRITE
    assert "is a link" in capsys.readouterr().err
    assert (job.parent / "elsewhere.yaml").read_text() == BY_HAND


def test_another_run_that_has_the_job_is_not_disturbed(job: Path) -> None:
    pytest.importorskip("fcntl")
    with job_lock(job / ".dossier"):
        assert run(job, "--file", NAILS, *LOOK, "--yes") == ExitCode.JOB_TAKEN
    assert (job / "photos.yaml").read_text() == BY_HAND


def test_an_unreadable_record_says_so(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (job / "photos.yaml").write_text("photos:\n  - fiel: x\n")
    assert run(job) == ExitCode.UNREADABLE_INPUT
    assert "not a known field" in capsys.readouterr().out


def test_a_photo_in_which_somebody_saw_something_counts_again() -> None:
    dark = {f"facts.{NAILS}.dark_share": 1}
    known = known_good(dark)
    assert _nails(known) is Backing.STATED
    seen = known_good({**dark, "photos.0": {"file": NAILS, "reviewed": "Ida Torvik, 2026-09-20"}})
    assert _nails(seen) is Backing.REVIEWED
    assert _nails(known_good()) is Backing.ON_FILE


def _nails(known: Known) -> Backing:
    statements = {one.id: one for one in known.assessment.statements}
    return statements["nails"].on("front")
