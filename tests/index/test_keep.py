"""The index is equal when it is made again, whatever happened to it or to the folders meanwhile."""

import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.cli import main
from dossier.deeds import answering
from dossier.index import answer, store
from dossier.index.answer import ask, keep_current
from dossier.index.card import record_digests, standing_card
from dossier.index.due import due_list
from dossier.index.find import find_jobs
from dossier.index.keep import update_all, update_one
from dossier.index.migrations import Step, form_of, migrate, schema_text, statements, steps
from dossier.index.scan import MOST_LEVELS, folder_of, job_folders
from dossier.index.sheets import Sheets
from dossier.index.store import index_path, open_index
from tests.bench.office import TODAY, jobs, write_job
from tests.index.conftest import MakeOffice
from tests.index.shared import dumped, filled, rebuilt
from tests.known_good import GOOD_JOB
from tests.sealed_jobs import seal_by_hand

ROOT = Path(__file__).parent.parent.parent


def count(connection: sqlite3.Connection) -> int:
    return int(connection.execute("SELECT count(*) FROM job").fetchone()[0])


def quiet(sentence: str) -> None:
    """Take a sentence and keep it to itself."""


# --- equal when rebuilt ---------------------------------------------------------------------------


def test_an_index_kept_through_many_changes_equals_one_made_anew(make_office: MakeOffice) -> None:
    office, chance = make_office(30), random.Random(30)
    made = {one.folder: one for one in jobs(30)}
    connection = filled(office)
    for turn in range(40):
        there = list(job_folders(office))
        folder = chance.choice(there)
        job = office / folder
        kind = turn % 5
        if kind == 0:
            text = (job / "job.yaml").read_text()
            (job / "job.yaml").write_text(text.replace("Full Assembly", "Assembly", 1) + "# seen\n")
        elif kind == 1:
            shutil.rmtree(job)
        elif kind == 2:
            job.rename(job.with_name(f"{job.name}-{turn}"))
        elif kind == 3:
            (job / "job.yaml").write_text("record: 1\njob: {number: \n")
        else:
            gone = sorted(set(made) - set(there))
            if gone:
                write_job(office, made[chance.choice(gone)])
        if kind in (0, 3) and chance.random() < 0.5:
            update_one(connection, office, folder)
        else:
            update_all(connection, office)
    kept = dumped(office)
    assert kept == rebuilt(office)
    assert len([row for row in kept if row.startswith("job ")]) == len(list(job_folders(office)))
    connection.execute("INSERT INTO said (said, rank) VALUES ('integrity-check', 1)")
    connection.close()


def test_a_rebuild_over_an_index_gives_the_same_rows(make_office: MakeOffice) -> None:
    office = make_office(12)
    filled(office).close()
    before = dumped(office)
    connection = open_index(office).connection
    assert update_all(connection, office).read == 0
    assert update_all(connection, office, anew=True).read == 12
    connection.close()
    assert dumped(office) == before == rebuilt(office)


def test_the_dump_tells_two_indexes_apart(make_office: MakeOffice) -> None:
    office = make_office(3)
    connection = filled(office)
    before = dumped(office)
    connection.execute("UPDATE lot SET quantity = quantity || '0' WHERE place = 0")
    assert dumped(office) != before
    connection.close()


def test_a_changed_terms_sheet_is_seen_by_every_job(make_office: MakeOffice) -> None:
    office = make_office(10)
    connection = filled(office)
    days = connection.execute("SELECT due_on FROM registration ORDER BY job").fetchall()
    sheet = office / "terms" / "kestrelmoor-2026.yaml"
    sheet.write_text(sheet.read_text().replace("within_days: 60", "within_days: 61"))
    assert update_all(connection, office).read == 10
    moved = connection.execute("SELECT due_on FROM registration ORDER BY job").fetchall()
    # Sealed jobs keep the sheet they were built by; these have no copy, so today's holds for them too.
    assert all(new > old for (new,), (old,) in zip(moved, days, strict=True) if old)
    connection.close()


def test_a_sealed_job_counts_by_the_sheet_it_was_built_by(make_office: MakeOffice) -> None:
    office = make_office(10)
    job = next(office / one.folder for one in jobs(10) if one.sealed)
    kept = job / "as-built" / "terms"
    kept.mkdir(parents=True)
    sheet = office / "terms" / "kestrelmoor-2026.yaml"
    (kept / sheet.name).write_text(sheet.read_text().replace("within_days: 60", "within_days: 10"))
    connection = filled(office)
    rows = connection.execute(
        "SELECT julianday(due_on) - julianday(completion_on), folder FROM registration "
        "JOIN job ON job.id = registration.job WHERE due_on <> ''"
    ).fetchall()
    # Ten days where the copy says ten, sixty by the office's sheet everywhere else.
    assert {folder for days, folder in rows if days == 10} == {job.relative_to(office).as_posix()}
    assert {days for days, _ in rows} == {10, 60}
    connection.close()


# --- which folders ----------------------------------------------------------------------------------


def test_jobs_are_found_where_an_office_puts_them_and_nowhere_else(tmp_path: Path) -> None:
    deep = "/".join("abcdefgh"[:MOST_LEVELS])
    for folder in (
        "one",
        "2026/two",
        "2026/two/inner",
        ".hidden/three",
        "out/.x/four",
        deep,
        f"{deep}x/y",
    ):
        (tmp_path / folder).mkdir(parents=True, exist_ok=True)
        (tmp_path / folder / "job.yaml").write_text("record: 1\n")
    (tmp_path / "linked").symlink_to(tmp_path / "one")
    (tmp_path / "round").symlink_to(tmp_path)
    found = list(job_folders(tmp_path))
    assert found == ["2026/two", deep, "one"]
    for folder in ("one", "2026/two", "2026/two/inner", ".hidden/three", deep, f"{deep}x/y"):
        # One job is brought up to date exactly where a scan would come across it.
        assert (folder_of(tmp_path, tmp_path / folder) in found) == (folder in found)
    assert folder_of(tmp_path, tmp_path) is None
    assert folder_of(tmp_path / "2026", tmp_path / "one") is None


def test_an_unreadable_job_is_in_the_index_with_its_fault(
    make_office: MakeOffice, capsys: pytest.CaptureFixture[str]
) -> None:
    office = make_office(2)
    (office / "broken-job").mkdir()
    (office / "broken-job" / "job.yaml").write_bytes(b"record: 1\njob: \xff\n")
    assert main(["index", "--office", str(office)]) == 3
    printed = capsys.readouterr().out
    assert "3 jobs in " in printed
    assert "broken-job: job.yaml line 2 holds the byte 0xff, which is not UTF-8." in printed
    assert main(["find", "broken", "--office", str(office)]) == 3
    assert "not read whole: job.yaml line 2" in capsys.readouterr().out


# --- kept current by commands -------------------------------------------------------------------------


def test_one_changed_job_is_brought_up_and_no_other(make_office: MakeOffice) -> None:
    office = make_office(5)
    filled(office).close()
    first, second = list(job_folders(office))[:2]
    for folder in (first, second):
        path = office / folder / "job.yaml"
        path.write_text(path.read_text().replace("address: ", "address: 9999 "))
    said: list[str] = []
    keep_current(office, office / first, said.append)
    connection = open_index(office).connection
    rows = dict(connection.execute("SELECT folder, address FROM job"))
    assert rows[first].startswith("9999 ")
    assert not rows[second].startswith("9999 ")
    assert said == []
    connection.close()


def test_keeping_current_never_makes_an_index_with_one_job_in_it(make_office: MakeOffice) -> None:
    office = make_office(5)
    folder = next(job_folders(office))
    keep_current(office, office / folder, quiet)
    assert not index_path(office).exists()
    filled(office).close()
    index_path(office).write_bytes(b"no database at all" * 500)
    said: list[str] = []
    keep_current(office, office / folder, said.append)
    assert "damaged" in " ".join(said)
    assert ask(office, count, quiet) == 5


def test_keeping_current_says_one_line_where_it_cannot(
    make_office: MakeOffice, monkeypatch: pytest.MonkeyPatch
) -> None:
    office = make_office(3)
    connection = filled(office)
    monkeypatch.setattr(store, "_WAIT_S", 0.05)
    connection.execute("BEGIN IMMEDIATE")
    said: list[str] = []
    keep_current(office, office / next(job_folders(office)), said.append)
    connection.execute("ROLLBACK")
    connection.close()
    assert len(said) == 1
    assert "locked" in said[0]


@pytest.mark.parametrize("command", [["build"], ["seal", "--incomplete"]], ids=lambda c: str(c[0]))
def test_a_command_brings_its_job_up_to_date(
    command: list[str], job_of: Callable[[str], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    job = job_of(GOOD_JOB.name)
    office = job.parent
    filled(office).close()
    main([*command, str(job), "--today", "2026-10-20"])
    capsys.readouterr()
    kept = dumped(office)
    assert kept == rebuilt(office)
    connection = open_index(office).connection
    has_list, is_sealed = connection.execute("SELECT punch_list, is_sealed FROM job").fetchone()
    connection.close()
    assert standing_card(job, Sheets(office), record_digests(job)) is not None
    # Sealing builds first, from the same state.
    assert (has_list, is_sealed) == ("current", int(command[0] == "seal"))


def test_a_claim_brings_its_job_up_to_date(
    job_of: Callable[[str], Path],
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    job = seal_by_hand(job_of(GOOD_JOB.name))
    office = job.parent
    filled(office).close()
    # Laying out is tested elsewhere; here only what is kept of the entry counts.
    monkeypatch.setattr(answering.Press, "pdf", lambda *_, **__: b"%PDF-")
    told = [
        "--on",
        "2040-03-02",
        "--slope",
        "front",
        "--seen",
        "a wet wall",
        "--number",
        "C-2040-17",
        "--today",
        "2040-03-04",
    ]
    main(
        [
            "claim",
            str(job),
            *told,
            "--seen-on",
            "2040-03-01",
            "--called-by",
            "Tore Lindahl",
            "--yes",
        ]
    )
    capsys.readouterr()
    assert standing_card(job, Sheets(office), record_digests(job)) is not None
    assert dumped(office) == rebuilt(office)
    main(["find", "C-2040-17", "--office", str(office)])
    assert GOOD_JOB.name in capsys.readouterr().out


# --- faults -------------------------------------------------------------------------------------------


def test_a_kill_while_indexing_leaves_a_whole_index(make_office: MakeOffice) -> None:
    office, chance = make_office(40), random.Random(9)
    whole = rebuilt(office)
    for after in [1, 7, 8, 40, *(chance.randrange(2, 40) for _ in range(6))]:
        if after % 2:
            shutil.rmtree(index_path(office).parent, ignore_errors=True)
        done = subprocess.run(
            [sys.executable, "-m", "tests.index.killed", str(office), str(after)],
            cwd=ROOT,
            check=False,
        )
        assert done.returncode == -signal.SIGKILL
        assert ask(office, count, quiet) == 40
        assert dumped(office) == whole


def test_a_first_scan_that_was_killed_is_never_taken_for_whole(
    make_office: MakeOffice, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A large office answers from the index as it stands; one that was never filled does not count as such.
    monkeypatch.setattr(answer, "MOST_LOOKED_AT", 5)
    office = make_office(30)
    command = [sys.executable, "-m", "tests.index.killed", str(office), "15"]
    assert subprocess.run(command, cwd=ROOT, check=False).returncode == -signal.SIGKILL
    found = open_index(office)
    assert 5 < count(found.connection) < 30
    found.connection.close()
    assert ask(office, count, quiet) == 30


def test_a_large_office_is_answered_from_the_index_as_it_stands(
    make_office: MakeOffice, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(answer, "MOST_LOOKED_AT", 5)
    office = make_office(8)
    filled(office).close()
    shutil.rmtree(office / next(job_folders(office)))
    said: list[str] = []
    assert ask(office, count, said.append) == 8
    assert said == [
        "8 jobs in the index as it stands; “dossier index” looks at every folder for changes."
    ]
    monkeypatch.setattr(answer, "MOST_LOOKED_AT", 8)
    assert ask(office, count, quiet) == 7


@pytest.mark.parametrize("place", [0, 20, 100, 4_096, 9_000, -1])
def test_a_damaged_index_is_made_again_and_says_so(make_office: MakeOffice, place: int) -> None:
    office = make_office(10)
    filled(office).close()
    whole, path = dumped(office), index_path(office)
    data = bytearray(path.read_bytes())
    if place == -1:
        del data[len(data) // 2 :]
    else:
        data[place : place + 3_000] = b"\xa5" * 3_000
    path.write_bytes(bytes(data))
    said: list[str] = []
    for query in ("fenwright", "plover lane", "halvorsted"):
        ask(office, lambda connection, query=query: find_jobs(connection, query), said.append)
    ask(office, lambda connection: due_list(connection, TODAY), said.append)
    main(["index", "--rebuild", "--office", str(office)])
    assert dumped(office) == whole
    if place in (0, 20, -1):
        assert "damaged" in " ".join(said)


def test_an_index_deleted_while_it_is_open_harms_nobody(make_office: MakeOffice) -> None:
    office = make_office(10)
    connection = filled(office)
    for path in index_path(office).parent.iterdir():
        path.unlink()
    assert find_jobs(connection, "fenwright").total == 10
    update_all(connection, office, anew=True)
    connection.close()
    said: list[str] = []
    assert ask(office, count, said.append) == 10
    assert "There was no index" in said[0]


def test_readers_go_on_while_one_writes(make_office: MakeOffice) -> None:
    office = make_office(30)
    filled(office).close()
    seen: list[int] = []
    faults: list[BaseException] = []
    stop = threading.Event()

    def read() -> None:
        connection = open_index(office).connection
        try:
            while not stop.is_set():
                seen.append(find_jobs(connection, "fenwright").total)
        except BaseException as fault:
            faults.append(fault)
        finally:
            connection.close()

    readers = [threading.Thread(target=read) for _ in range(3)]
    for reader in readers:
        reader.start()
    writer = open_index(office).connection
    for _ in range(60):
        update_all(writer, office, anew=True)
        if len(seen) > 60:
            break
    stop.set()
    for reader in readers:
        reader.join()
    writer.close()
    assert faults == []
    # A reader sees the index before a group of jobs or after it, and never in between.
    assert set(seen) == {30}


def test_two_writers_wait_for_each_other(make_office: MakeOffice) -> None:
    office = make_office(20)
    filled(office).close()
    command = [sys.executable, "-m", "dossier.cli", "index", "--rebuild", "--office", str(office)]
    both = [subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE) for _ in range(2)]
    assert [process.communicate() and process.returncode for process in both] == [0, 0]
    assert dumped(office) == rebuilt(office)


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only the superuser can be another user"
)
@pytest.mark.parametrize("kind", ["no index", "an index", "a changed job"])
def test_an_office_that_may_only_be_read_is_answered_all_the_same(kind: str) -> None:
    nobody = 65534
    with tempfile.TemporaryDirectory() as open_to_all:
        Path(open_to_all).chmod(0o755)
        office = Path(open_to_all) / "office"
        office.mkdir()
        shutil.copytree(GOOD_JOB.parent / "terms", office / "terms")
        shutil.copy(GOOD_JOB.parent / "company.yaml", office)
        for made in jobs(5):
            write_job(office, made)
        if kind != "no index":
            filled(office).close()
        if kind == "a changed job":
            path = office / next(job_folders(office)) / "job.yaml"
            path.write_text(path.read_text().replace("address: ", "address: 9999 "))
        script = (
            f"import os, sys; sys.path[:] = {sys.path!r}\n"
            "from dossier.cli import main\n"
            "import dossier.index.keep, dossier.index.record, dossier.deeds.office_index\n"
            "import locale, rapidfuzz.distance, encodings.idna\n"
            f"os.setgid({nobody}); os.setuid({nobody})\n"
            f"sys.exit(main(['find', 'fenwright', '--office', {str(office)!r}])\n"
            f"  or main(['find', '9999', '--office', {str(office)!r}])\n"
            f"  or main(['index', '--office', {str(office)!r}]))\n"
        )
        before = sorted(path.name for path in office.rglob("*"))
        done = subprocess.run(
            [sys.executable, "-c", script], capture_output=True, text=True, check=False
        )
        assert done.returncode == 4, done.stderr
        assert "5 jobs." in done.stdout
        assert ("1 job." in done.stdout) == (kind == "a changed job")
        assert "could not be written" in done.stderr
        assert "Traceback" not in done.stderr
        assert sorted(path.name for path in office.rglob("*")) == before


def test_a_full_disk_leaves_the_index_as_it_was(make_office: MakeOffice) -> None:
    office = make_office(10)
    connection = filled(office)
    before = dumped(office)
    # SQLite itself plays the full disk: no page more than the file has now.
    pages = connection.execute("PRAGMA page_count").fetchone()[0]
    connection.execute(f"PRAGMA max_page_count = {int(pages)}")
    for made in jobs(200):
        if not (office / made.folder).exists():
            write_job(office, made)
    with pytest.raises(sqlite3.OperationalError, match="full"):
        update_all(connection, office)
    assert list(dumped(office))[:1] == before[:1]
    assert count(connection) == 10
    connection.close()


def test_a_lock_that_is_never_let_go_is_said_and_nothing_is_thrown_away(
    make_office: MakeOffice, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    office = make_office(4)
    connection = filled(office)
    before = dumped(office)
    monkeypatch.setattr(store, "_WAIT_S", 0.05)
    connection.execute("BEGIN IMMEDIATE")
    (office / next(job_folders(office)) / "job.yaml").write_text("record: 1\n")
    said: list[str] = []
    # A question is answered from what was there; a scan says that it could not write.
    assert ask(office, count, said.append) == 4
    assert "as it stood before" in said[0]
    assert main(["index", "--office", str(office)]) == 4
    assert "another run is writing it" in capsys.readouterr().err
    connection.execute("ROLLBACK")
    assert dumped(office) == before
    connection.close()


# --- forms --------------------------------------------------------------------------------------------


def test_an_older_form_is_brought_up_and_every_job_read_anew(make_office: MakeOffice) -> None:
    office = make_office(4)
    filled(office).close()
    newer = (
        *steps(),
        Step(4, "a colour", "CREATE TABLE extra (job INTEGER);\nCREATE INDEX e ON extra (job);"),
    )
    found = open_index(office, newer)
    assert "older form" in found.said[0]
    connection = found.connection
    assert form_of(connection) == 4
    assert connection.execute("SELECT number, name FROM migration ORDER BY number").fetchall() == [
        (1, "the first form"),
        (2, "since when a lot's mark stands"),
        (3, "read by the record's own reader"),
        (4, "a colour"),
    ]
    assert update_all(connection, office).read == 4
    assert open_index(office, newer).said == ()
    connection.close()


def test_a_step_that_fails_leaves_the_form_before_it(make_office: MakeOffice) -> None:
    office = make_office(2)
    connection = filled(office)
    wrong = (
        *steps(),
        Step(4, "wrong", "CREATE TABLE extra (job INTEGER);\nCREATE TABLE job (id INTEGER);"),
    )
    with pytest.raises(sqlite3.OperationalError):
        migrate(connection, wrong)
    assert form_of(connection) == 3
    assert connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'extra'").fetchall() == []
    connection.close()


def test_a_newer_form_is_replaced_and_says_so(make_office: MakeOffice) -> None:
    office = make_office(2)
    connection = filled(office)
    connection.execute("PRAGMA user_version = 99")
    connection.close()
    said: list[str] = []
    assert ask(office, count, said.append) == 2
    assert "newer dossier" in said[0]


def test_another_program_s_database_under_our_name_is_replaced(make_office: MakeOffice) -> None:
    office = make_office(2)
    index_path(office).parent.mkdir()
    other = sqlite3.connect(index_path(office))
    other.execute("CREATE TABLE job (anything)")
    other.commit()
    other.close()
    assert ask(office, count, quiet) == 2


def test_the_schema_is_whole_statements_each_with_its_comment() -> None:
    parts = statements(schema_text())
    assert len(parts) > 10
    assert all(sqlite3.complete_statement(part) for part in parts)
    for part in parts:
        if "CREATE TABLE" in part or "said USING" in part:
            assert part.lstrip().startswith("--"), part
