"""What makes a job be read again, and what makes its punch list older than what it was made from."""

import os
from pathlib import Path

import pytest

from dossier.commands.due import due_text
from dossier.index.due import due_list
from dossier.index.keep import dump, update_all
from dossier.index.store import in_memory
from tests.conftest import copy_office
from tests.index.test_lots_and_due import TODAY, WARRANTY, index_of, put, put_entry, signed

LONG_AGO = (1_000_000_000 * 10**9, 1_000_000_000 * 10**9)


def aged(job: Path) -> None:
    """Make all of a job old, and its punch list a little younger than the rest."""
    for path in (job, *job.rglob("*")):
        os.utime(path, ns=LONG_AGO)
    os.utime(job / "out" / "punch-list.json", ns=(LONG_AGO[0] + 1, LONG_AGO[1] + 1))


@pytest.fixture
def job_built(tmp_path: Path) -> Path:
    """A job whose punch list is younger than all it was made from."""
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2026-09-01") + WARRANTY, [])
    for name in ("photos/deck", "photos/field", "papers"):
        (folder / name).mkdir(parents=True)
    (folder / "photos.yaml").write_text("photos: []\n")
    aged(folder)
    return folder


def standing(folder: Path) -> str:
    """Return how the punch list stands to the record."""
    found = index_of(folder.parent).execute("SELECT punch_list FROM job").fetchone()
    return str(found[0])


def test_an_entry_put_back_inside_its_folder_is_read_again(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2020-09-01") + WARRANTY)
    put_entry(folder, "0002-2026-09-01-note", "note", "text: first\n")
    connection = in_memory().connection
    update_all(connection, office)
    entry = folder / "sealed" / "0002-2026-09-01-note" / "data" / "entry.yaml"
    entry.write_text(entry.read_text().replace("first", "second"))
    assert update_all(connection, office).read == 1
    assert connection.execute("SELECT says FROM entry").fetchall() == [("second",)]
    assert list(dump(connection)) == list(dump(index_of(office)))
    assert update_all(connection, office).read == 0


@pytest.mark.parametrize("closed", [False, True])
def test_a_closing_that_comes_or_goes_is_read_again(job_built: Path, closed: bool) -> None:
    office = job_built.parent
    closing = job_built / "sealed" / "0001-closeout"
    (job_built / "sealed").mkdir()
    if closed:
        closing.mkdir()
    connection = in_memory().connection
    update_all(connection, office)
    if closed:
        closing.rmdir()
    else:
        closing.mkdir()
    assert update_all(connection, office).read == 1


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("photos/deck/front-late.jpg", "older than the photos or papers"),
        ("photos/flashing/front.jpg", "older than the photos or papers"),
        ("photos/front.jpg", "older than the photos or papers"),
        ("papers/ticket.pdf", "older than the photos or papers"),
        ("photos.yaml", "older than the record"),
        ("job.yaml", "older than the record"),
        ("out/other.txt", "current"),
        ("notes.txt", "current"),
    ],
)
def test_whatever_came_since_the_last_build_makes_the_list_older(
    job_built: Path, name: str, says: str
) -> None:
    assert standing(job_built) == "current"
    connection = in_memory().connection
    update_all(connection, job_built.parent)
    place = job_built / name
    place.parent.mkdir(exist_ok=True)
    place.write_bytes(place.read_bytes() + b"\n" if place.exists() else b"x")
    # What is kept through the change says the same as what is made anew.
    update_all(connection, job_built.parent)
    assert connection.execute("SELECT punch_list FROM job").fetchone() == (says,)
    assert standing(job_built) == says
    told = due_text(due_list(connection, TODAY), TODAY, None)
    assert ("dossier build a" in told) is (says != "current")


def test_a_closed_job_is_compared_with_its_record_alone(job_built: Path) -> None:
    (job_built / "sealed" / "0001-closeout").mkdir(parents=True)
    (job_built / "photos" / "deck" / "late.jpg").write_bytes(b"x")
    assert standing(job_built) == "current"
