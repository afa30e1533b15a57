"""No job is dropped in silence: what could not be read is named in every answer that it could change."""

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.index import scan
from dossier.index.store import index_path
from tests.bench.office import jobs
from tests.index.conftest import MakeOffice
from tests.index.shared import dumped

ANSWERS = (
    ["find", "tarnstone"],
    ["lots", "0000001"],
    ["lots", "0000001", "--csv"],
    ["due", "--today", "2026-10-20"],
    ["office", "--today", "2026-10-20"],
    ["office", "--today", "2026-10-20", "--csv"],
    ["index"],
)


def barred(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    """Bar a folder by hand, since the tests may run as a user who may look everywhere."""
    scandir, lexists = os.scandir, os.path.lexists

    def looked_into(path: str | Path) -> object:
        if Path(path) == folder:
            raise PermissionError(13, "Permission denied")
        return scandir(path)

    def there(path: str | Path) -> bool:
        return folder not in Path(path).parents and lexists(path)

    monkeypatch.setattr(scan.os, "scandir", looked_into)
    monkeypatch.setattr(scan.os.path, "lexists", there)


def no_record(job: Path) -> None:
    (job / "job.yaml").write_bytes(b"record: 1\njob: \xff\n")


def only_sealed(job: Path) -> None:
    (job / "sealed" / "0001-closeout" / "data").mkdir(parents=True, exist_ok=True)
    shutil.move(job / "job.yaml", job / "sealed" / "0001-closeout" / "data" / "job.yaml")


def no_text(job: Path) -> None:
    job.rename(os.fsdecode(os.fsencode(job.parent) + b"/\xff-job"))


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (no_record, "which is not UTF-8"),
        (only_sealed, "holds sealed/ and no job.yaml"),
        (no_text, "has a name that is no text in UTF-8"),
        (None, "cannot be looked into: Permission denied"),
    ],
)
def test_every_answer_names_a_folder_that_could_not_be_read(
    make_office: MakeOffice,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    spoil: Callable[[Path], None] | None,
    says: str,
) -> None:
    office = make_office(4)
    assert main(["index", "--office", str(office)]) == 0
    job = office / list(jobs(4))[1].folder
    if spoil is None:
        barred(monkeypatch, job)
    else:
        spoil(job)
    capsys.readouterr()
    for words in ANSWERS:
        # 3 as docs/exit-codes.md has it; the answer itself is printed all the same.
        assert main([*words, "--office", str(office)]) == 3, words
        told = capsys.readouterr()
        assert says in told.out + told.err, words


def test_a_job_in_a_barred_folder_stays_as_it_was_last_read(
    make_office: MakeOffice, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    office = make_office(4)
    assert main(["index", "--office", str(office)]) == 0
    before = dumped(office)
    with monkeypatch.context() as patch:
        barred(patch, office / next(iter(jobs(4))).folder.split("/")[0])
        assert main(["find", "shingle", "--office", str(office)]) == 3
        assert dumped(office) == before
    capsys.readouterr()
    # Once it can be looked into again nothing is said of it any more.
    assert main(["find", "shingle", "--office", str(office)]) == 0
    assert "could not be read" not in capsys.readouterr().out


def test_a_job_that_is_gone_is_named_once(
    make_office: MakeOffice, capsys: pytest.CaptureFixture[str]
) -> None:
    office = make_office(3)
    assert main(["index", "--office", str(office)]) == 0
    folder = list(jobs(3))[2].folder
    shutil.rmtree(office / folder)
    capsys.readouterr()
    says = f"{folder} is no longer there, and was taken out of the index."
    for turn in (1, 2):
        assert main(["find", "shingle", "--office", str(office)]) == 0
        assert (says in capsys.readouterr().err) == (turn == 1)


def test_a_folder_of_keys_that_is_another_user_s_is_no_job(
    make_office: MakeOffice, monkeypatch: pytest.MonkeyPatch
) -> None:
    office = make_office(1)
    (office / "keys").mkdir()
    barred(monkeypatch, office / "keys")
    assert main(["find", "shingle", "--office", str(office)]) == 0
    assert index_path(office).is_file()


def test_the_index_is_not_kept_through_a_link(make_office: MakeOffice, tmp_path: Path) -> None:
    office = make_office(2)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    shutil.rmtree(office / ".dossier", ignore_errors=True)
    (office / ".dossier").symlink_to(elsewhere)
    assert main(["find", "shingle", "--office", str(office)]) == 0
    assert list(elsewhere.iterdir()) == []
