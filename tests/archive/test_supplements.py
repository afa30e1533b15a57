"""A supplement is a valid bag, tied to the one before, and comes whole or not at all."""

from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path

import bagit
import pytest

from dossier.archive import bags as bags_module
from dossier.archive.bags import Bag
from dossier.archive.supplements import (
    CLOSEOUT,
    Sealing,
    add_supplement,
    previous_digest,
    sealed_folders,
)
from dossier.disk.outputs import job_lock
from dossier.errors import CannotWrite, JobTaken, UnreadableInput
from dossier.record.entry import entries_of
from tests.conftest import judged

ENTRY = (
    b"entry: 1\njob: 2026-041\nkind: note\non: 2031-06-23\nnoted_by: Ida Torvik\n"
    b"noted_on: 2031-06-23\ntext: the owner asks for a copy\n"
)


def sealed_job(folder: Path) -> Path:
    """Return a job folder in which only the closing is sealed, with one file in it."""
    bag = Bag(folder / "sealed" / CLOSEOUT)
    bag.add_bytes("job.yaml", b"record: 1\n")
    bag.finish([("Bagging-Date", "2026-10-20")])
    return folder


def add(job: Path, documents: Mapping[str, bytes] | None = None) -> Path:
    """Add a note to a job."""
    return add_supplement(job, ENTRY, documents or {}, {})


def tree(folder: Path) -> dict[str, bytes | None]:
    """Return everything below a folder except its working folder: names, and bytes of files."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else None
        for path in folder.rglob("*")
        if ".dossier" not in path.relative_to(folder).parts
    }


def test_a_supplement_is_a_bag_by_the_outside_judges(tmp_path: Path) -> None:
    job = sealed_job(tmp_path)
    made = add_supplement(job, ENTRY, {"answer.pdf": b"%PDF"}, {"deed.pdf": b"%PDF-"})
    assert made.name == "0002-2031-06-23-note"
    bagit.Bag(str(made)).validate()
    judged("sha256sum", "--strict", "-c", "manifest-sha256.txt", cwd=made)
    judged("sha256sum", "--strict", "-c", "tagmanifest-sha256.txt", cwd=made)
    assert {name for name, data in tree(made).items() if "/" in name and data is not None} == {
        "data/entry.yaml",
        "data/documents/answer.pdf",
        "data/files/deed.pdf",
    }


def test_each_supplement_carries_the_digest_of_the_one_before(tmp_path: Path) -> None:
    job = sealed_job(tmp_path)
    for number in (2, 3, 4):
        before = previous_digest(job)
        last = sealed_folders(job / "sealed")[-1]
        assert before == sha256((last / "tagmanifest-sha256.txt").read_bytes()).hexdigest()
        made = add(job)
        assert made.name.startswith(f"{number:04}-")
        assert bagit.Bag(str(made)).info["Digest-Of-Entry-Before"] == before
    assert len(entries_of(job)) == 3


def test_what_was_sealed_is_not_touched(tmp_path: Path) -> None:
    job = sealed_job(tmp_path)
    before = tree(job)
    made = add(job)
    assert {name: data for name, data in tree(job).items() if made.name not in name} == before


def test_a_job_that_is_not_sealed_takes_no_supplement(tmp_path: Path) -> None:
    assert previous_digest(tmp_path) is None
    with pytest.raises(CannotWrite, match="the job is not sealed"):
        add(tmp_path)
    assert tree(tmp_path) == {}


def test_a_gap_in_the_numbers_is_refused(tmp_path: Path) -> None:
    job = sealed_job(tmp_path)
    add(job)
    last = add(job)
    (job / "sealed" / "0002-2031-06-23-note").rename(tmp_path / "elsewhere")
    with pytest.raises(CannotWrite, match=f"holds {last.name} where 0002 would be next"):
        add(job)


def test_documents_that_print_an_older_digest_are_refused(tmp_path: Path) -> None:
    job = sealed_job(tmp_path)
    asked = previous_digest(job)
    add(job)
    before = tree(job)
    with pytest.raises(CannotWrite, match="Another entry was sealed meanwhile"):
        add_supplement(job, ENTRY, {}, {}, Sealing(previous=asked))
    assert tree(job) == before


def test_an_entry_that_would_not_be_read_back_is_refused(tmp_path: Path) -> None:
    job = sealed_job(tmp_path)
    with pytest.raises(UnreadableInput, match="“on” found “soon”"):
        add_supplement(job, ENTRY.replace(b"\non: 2031-06-23", b"\non: soon"), {}, {})
    assert len(sealed_folders(job / "sealed")) == 1


def test_an_entry_of_another_job_is_refused(tmp_path: Path) -> None:
    bag = Bag(tmp_path / "sealed" / CLOSEOUT)
    bag.add_bytes("job.yaml", b"record: 1\n")
    bag.finish([("External-Identifier", "2026-047")])
    with pytest.raises(UnreadableInput, match=r"of job 2026-041, and .*sealed is of job 2026-047"):
        add(tmp_path)
    assert len(sealed_folders(tmp_path / "sealed")) == 1


def test_a_job_in_another_hand_takes_no_supplement(tmp_path: Path) -> None:
    job = sealed_job(tmp_path)
    with job_lock(job / ".dossier"), pytest.raises(JobTaken):
        add(job)


def test_a_full_disk_adds_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = sealed_job(tmp_path)
    before = tree(job)

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(bags_module.os, "fsync", full)
    with pytest.raises(CannotWrite, match="No space left on device"):
        add(job)
    assert tree(job) == before


def test_a_folder_that_may_not_be_written_adds_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = sealed_job(tmp_path)
    before = tree(job)
    real = Path.mkdir

    def barred(path: Path, *args: object, **more: object) -> None:
        # By hand, since the tests may run as a user who may write everywhere.
        if "sealed" in path.parts:
            raise PermissionError(13, "Permission denied")
        real(path, *args, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(Path, "mkdir", barred)
    with pytest.raises(CannotWrite, match=r"Permission denied\..*Nothing was added"):
        add(job)
    assert tree(job) == before


@pytest.mark.parametrize("name", ["../out.pdf", "/etc/x", "a//b", "", "a\0b", "\udcff.pdf"])
def test_a_name_that_leads_out_of_the_bag_is_refused(tmp_path: Path, name: str) -> None:
    job = sealed_job(tmp_path)
    before = tree(job)
    with pytest.raises(CannotWrite):
        add(job, {name: b""})
    assert tree(job) == before
