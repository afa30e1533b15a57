"""A typed file replaced only where it is the one that was shown, whole or not at all, and put back once."""

import hashlib
import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.deeds.by_hand import change, drafted, shown, undo_change
from dossier.disk.outputs import job_lock
from dossier.errors import CannotWrite, DossierError, JobTaken, UnreadableInput, WrongCommand
from dossier.hand import file as hand_file
from dossier.hand.file import Draft, draft, look, undo, write
from dossier.hand.means import Change
from dossier.record.files import PhotoList
from dossier.record.job import Job
from tests.conftest import copy_office
from tests.known_good import DEMO, GOOD_JOB

SIGNED = Change(("job", "completion_signed_on"), "2026-09-22")
PHOTO = Change(("photos", "0", "file"), "photos/field/a.jpg")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """Return the known-good job in an office of its own."""
    return copy_office(tmp_path / "office", GOOD_JOB.name) / GOOD_JOB.name


def two(job: Path) -> list[Draft]:
    """Return both files of a record with one change each."""
    return [
        draft(look(job, "photos.yaml"), PhotoList, [PHOTO]),
        draft(look(job, "job.yaml"), Job, [SIGNED]),
    ]


def test_one_day_is_one_line_and_is_taken_back_once(job: Path) -> None:
    path = job / "job.yaml"
    path.chmod(0o640)
    before = path.read_bytes()
    digest = shown(job, "job.yaml").digest
    assert digest == hashlib.sha256(before).hexdigest()
    made = drafted(job, "job.yaml", digest, [SIGNED])
    assert path.read_bytes() == before
    assert [line for line in made.difference("new") if line[:1] in "+-"][2:] == [
        "-  completion_signed_on: 2026-09-21",
        "+  completion_signed_on: 2026-09-22",
    ]
    assert change(job, "job.yaml", digest, [SIGNED]) == made
    assert path.read_bytes() == before.replace(
        b"completion_signed_on: 2026-09-21", b"completion_signed_on: 2026-09-22"
    )
    assert path.stat().st_mode & 0o777 == 0o640
    assert undo_change(job) == ("job.yaml",)
    assert path.read_bytes() == before
    with pytest.raises(CannotWrite, match="nothing to undo"):
        undo_change(job)


def test_a_file_changed_since_it_was_shown_is_left_alone(job: Path) -> None:
    digest = shown(job, "job.yaml").digest
    theirs = (job / "job.yaml").read_bytes() + b"# typed just now\n"
    (job / "job.yaml").write_bytes(theirs)
    for deed in (drafted, change):
        with pytest.raises(CannotWrite, match="was changed since it was shown"):
            deed(job, "job.yaml", digest, [SIGNED])
    assert (job / "job.yaml").read_bytes() == theirs
    assert not (job / ".dossier" / "hand-last.json").exists()


def test_a_file_that_came_since_none_was_shown_is_left_alone(job: Path) -> None:
    (job / "photos.yaml").unlink()
    digest = shown(job, "photos.yaml").digest
    assert digest == ""
    (job / "photos.yaml").touch()
    with pytest.raises(CannotWrite, match="was changed since it was shown"):
        change(job, "photos.yaml", digest, [PHOTO])


def test_a_file_that_was_not_there_is_made_and_taken_away_again(job: Path) -> None:
    (job / "photos.yaml").unlink()
    change(job, "photos.yaml", "", [PHOTO])
    assert (job / "photos.yaml").read_text() == "photos:\n  - file: photos/field/a.jpg\n"
    undo_change(job)
    assert not (job / "photos.yaml").exists()


def test_two_files_are_written_and_undone_together(job: Path) -> None:
    before = [(job / name).read_bytes() for name in ("photos.yaml", "job.yaml")]
    write(two(job))
    assert [(job / name).read_bytes() for name in ("photos.yaml", "job.yaml")] != before
    assert undo(job) == ("photos.yaml", "job.yaml")
    assert [(job / name).read_bytes() for name in ("photos.yaml", "job.yaml")] == before


def test_where_the_second_of_two_files_cannot_be_written_the_first_is_put_back(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = [(job / name).read_bytes() for name in ("photos.yaml", "job.yaml")]
    really: Callable[..., None] = hand_file.replace

    def full(path: Path, data: bytes | None, by_way_of: Path) -> None:
        if path.name == "job.yaml":
            raise OSError(28, "No space left on device")
        really(path, data, by_way_of)

    monkeypatch.setattr(hand_file, "replace", full)
    with pytest.raises(CannotWrite, match="could not be written: No space left"):
        write(two(job))
    assert [(job / name).read_bytes() for name in ("photos.yaml", "job.yaml")] == before


def test_a_writing_that_failed_leaves_the_undo_of_the_one_before(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = (job / "photos.yaml").read_bytes()
    write(two(job)[:1])
    really: Callable[..., None] = hand_file.replace

    def full(path: Path, data: bytes | None, by_way_of: Path) -> None:
        if path.name == "job.yaml":
            raise OSError(28, "No space left on device")
        really(path, data, by_way_of)

    with monkeypatch.context() as patch:
        patch.setattr(hand_file, "replace", full)
        with pytest.raises(CannotWrite):
            write(two(job)[1:])
    assert undo(job) == ("photos.yaml",)
    assert (job / "photos.yaml").read_bytes() == before


def test_an_undo_that_would_change_nothing_says_so(job: Path) -> None:
    before = (job / "job.yaml").read_bytes()
    write(two(job)[1:])
    (job / "job.yaml").write_bytes(before)
    with pytest.raises(CannotWrite, match="stands as it did before"):
        undo(job)


def test_a_record_newer_than_this_tool_is_not_made(job: Path) -> None:
    before = (job / "job.yaml").read_bytes()
    digest = shown(job, "job.yaml").digest
    with pytest.raises(UnreadableInput, match="newer than this tool"):
        change(job, "job.yaml", digest, [Change(("record",), "2")])
    assert (job / "job.yaml").read_bytes() == before


def test_a_writing_that_was_killed_between_two_files_can_be_undone(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = [(job / name).read_bytes() for name in ("photos.yaml", "job.yaml")]
    really: Callable[..., None] = hand_file.replace

    def killed(path: Path, data: bytes | None, by_way_of: Path) -> None:
        if path.name == "job.yaml":
            raise KeyboardInterrupt
        really(path, data, by_way_of)

    with monkeypatch.context() as patched:
        patched.setattr(hand_file, "replace", killed)
        with pytest.raises(KeyboardInterrupt):
            write(two(job))
    assert (job / "photos.yaml").read_bytes() != before[0]
    assert undo(job) == ("photos.yaml",)
    assert [(job / name).read_bytes() for name in ("photos.yaml", "job.yaml")] == before


def test_an_undo_leaves_what_somebody_typed_since(job: Path) -> None:
    change(job, "job.yaml", shown(job, "job.yaml").digest, [SIGNED])
    with (job / "job.yaml").open("a") as record:
        record.write("# mine\n")
    with pytest.raises(CannotWrite, match="was changed since it was last written here"):
        undo_change(job)
    assert (job / "job.yaml").read_text().endswith("# mine\n")


@pytest.mark.parametrize("name", ["../job.yaml", "/etc/job.yaml", "lock"])
def test_what_is_kept_for_the_undo_leads_nowhere_else(job: Path, name: str) -> None:
    (job / ".dossier").mkdir(exist_ok=True)
    kept = {"format": 1, "files": [{"file": name, "before": "x", "after": ""}]}
    (job / ".dossier" / "hand-last.json").write_text(json.dumps(kept))
    with pytest.raises(CannotWrite, match="is not what was written there"):
        undo_change(job)


def test_a_link_is_not_written_through(job: Path, tmp_path: Path) -> None:
    (job / "job.yaml").rename(tmp_path / "elsewhere.yaml")
    (job / "job.yaml").symlink_to(tmp_path / "elsewhere.yaml")
    with pytest.raises(CannotWrite, match="is a link"):
        shown(job, "job.yaml")
    office = job.parent
    (office / "terms").rename(tmp_path / "terms")
    (office / "terms").symlink_to(tmp_path / "terms")
    with pytest.raises(CannotWrite, match="is a link"):
        shown(office, "terms/kestrelmoor-2026.yaml")


def test_a_pipe_under_the_name_of_a_record_is_not_waited_for(job: Path) -> None:
    (job / "job.yaml").unlink()
    os.mkfifo(job / "job.yaml")
    with pytest.raises(UnreadableInput, match="not an ordinary file"):
        shown(job, "job.yaml")


def test_a_job_in_other_hands_is_left_alone(job: Path) -> None:
    pytest.importorskip("fcntl")
    digest = shown(job, "job.yaml").digest
    with job_lock(job / ".dossier"), pytest.raises(JobTaken):
        change(job, "job.yaml", digest, [SIGNED])


def test_a_sealed_job_is_left_alone(job: Path) -> None:
    (job / "sealed" / "0001-2026-10-20-closeout").mkdir(parents=True)
    digest = shown(job, "job.yaml").digest
    with pytest.raises(DossierError, match="sealed"):
        change(job, "job.yaml", digest, [SIGNED])


def test_nothing_is_taken_back_from_a_job_that_was_sealed_since(job: Path) -> None:
    change(job, "job.yaml", shown(job, "job.yaml").digest, [SIGNED])
    written = (job / "job.yaml").read_bytes()
    (job / "sealed" / "0001-2026-10-20-closeout").mkdir(parents=True)
    with pytest.raises(DossierError, match="sealed"):
        undo_change(job)
    assert (job / "job.yaml").read_bytes() == written


@pytest.mark.parametrize(
    "name", ["notes.yaml", "../job.yaml", "terms/../job.yaml", "terms/a/b.yaml", "entry.yaml", ""]
)
def test_only_what_people_type_is_changed(job: Path, name: str) -> None:
    with pytest.raises(WrongCommand, match="is not a file that people type"):
        shown(job, name)


SHEETS = (
    ("company.yaml", "licence.valid_to", "2027-07-01"),
    ("localities/vintermark-2026.yaml", "permit_office.phone", "555-0112"),
    ("terms/kestrelmoor-2026.yaml", "title", "Another title: of the sheet"),
    ("terms/kestrelmoor.catalogue.yaml", "products.0.wind_class", "D7158 G, D3161 F"),
    ("suppliers/fjordgate.yaml", "dates", "DD/MM/YYYY"),
)


@pytest.mark.parametrize(("file", "path", "value"), SHEETS, ids=[file for file, _, _ in SHEETS])
def test_every_sheet_of_an_office_takes_a_changed_line(
    job: Path, file: str, path: str, value: str
) -> None:
    office = job.parent
    shutil.copytree(DEMO / "suppliers", office / "suppliers")
    before = (office / file).read_bytes().splitlines()
    change(office, file, shown(office, file).digest, [Change(tuple(path.split(".")), value)])
    after = (office / file).read_bytes().splitlines()
    assert len(after) == len(before)
    assert sum(a != b for a, b in zip(before, after, strict=True)) == 1


def test_a_value_that_a_sheet_does_not_take_is_refused(job: Path) -> None:
    digest = shown(job.parent, "company.yaml").digest
    changes = [Change(("licence", "valid_to"), "next summer")]
    with pytest.raises(UnreadableInput, match="needed a date"):
        change(job.parent, "company.yaml", digest, changes)
