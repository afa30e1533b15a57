"""The card of a job: believed while it was made from what lies there, and else as good as none."""

import json
import os
import shutil
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest

from dossier.archive.closeout import list_job
from dossier.cli import main
from dossier.index import rows as rows_module
from dossier.index.card import FILE_NAME, MOST_BYTES, record_digests, standing_card
from dossier.index.rows import JobRows, leave_card, rows_of
from dossier.index.sheets import Sheets
from dossier.press.printing import Printer
from tests.conftest import DEMO_JOBS, copy_office
from tests.index.shared import dumped, filled, rebuilt
from tests.index.test_lots_and_due import WARRANTY, put, put_entry, signed
from tests.known_good import GOOD_JOB
from tests.sealed_jobs import seal_by_hand

CARD = f".dossier/{FILE_NAME}"


def rows(job: Path) -> JobRows:
    """Return the rows of a job in an office, by its card where it stands."""
    return rows_of(job, job.name, Sheets(job.parent))


def stands(job: Path) -> bool:
    return standing_card(job, Sheets(job.parent), record_digests(job)) is not None


def carded(job: Path) -> Path:
    """Return the job with a card that stands."""
    leave_card(job, Sheets(job.parent))
    assert stands(job)
    return job


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A sealed job with a sale, a claim and a mark put right after it; built by sheets of its own."""
    job = seal_by_hand(copy_office(tmp_path / "office", GOOD_JOB.name) / GOOD_JOB.name)
    number = "job: 2026-041"
    for name, kind, more in (
        (
            "0002-2027-01-01-correction",
            "correction",
            "correction:\n  field: deliveries.0.lines.0.lots.0.mark\n"
            "  was: '0012345'\n  right: '0012354'\n  why: copied wrong\n  found_by: Ida\n",
        ),
        (
            "0003-2033-06-17-sold",
            "sold",
            "sale:\n  closing_on: 2033-06-17\n  buyer:\n    name: Tore Lindahl\n",
        ),
        ("0004-2034-03-02-claim", "claim", "claim:\n  number: C-1\n  seen_on: 2034-03-02\n"),
    ):
        put_entry(job, name, kind, more)
        entry = job / "sealed" / name / "data" / "entry.yaml"
        entry.write_text(entry.read_text().replace("job: '7'", number))
    return carded(job)


@pytest.fixture
def unread(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The jobs whose records were read, since no card of theirs stood."""
    read: list[Path] = []
    whole = rows_module._read

    def noted(job: Path, *given: object) -> object:
        read.append(job)
        return whole(job, *given)  # type: ignore[arg-type]

    monkeypatch.setattr(rows_module, "_read", noted)
    return read


# --- equal rows -----------------------------------------------------------------------------------


def test_a_card_gives_the_rows_that_reading_gives(job: Path, unread: list[Path]) -> None:
    by_card = rows(job)
    assert unread == []
    (job / CARD).unlink()
    assert rows(job) == by_card
    assert unread == [job]
    # The corrected state counts, and a recall finds the mark that no longer stands too.
    lots = {(row[1], row[5]) for row in by_card.tables["lot"]}
    assert ("0012354", "0012345 until corrected 2027-01-01") in lots
    assert ("0012345", "corrected to 0012354 2027-01-01") in lots
    kinds = [row[1] for row in by_card.tables["deadline"]]
    assert {"transfer", "claim"} <= set(kinds)
    assert by_card.fault == ""


@pytest.mark.parametrize("name", DEMO_JOBS)
def test_the_demo_s_cards_give_the_rows_that_reading_gives(name: str, tmp_path: Path) -> None:
    job = copy_office(tmp_path / "office", name) / name
    read = rows(job)
    carded(job)
    assert rows(job) == read
    first = (job / CARD).read_bytes()
    (job / CARD).unlink()
    carded(job)
    assert (job / CARD).read_bytes() == first


def test_an_index_made_from_cards_equals_one_made_from_records(
    job: Path, unread: list[Path]
) -> None:
    office = job.parent
    filled(office).close()
    assert unread == []
    (job / CARD).unlink()
    assert dumped(office) == rebuilt(office)
    assert unread == [job]


def test_a_card_does_not_know_where_its_folder_lies(job: Path, unread: list[Path]) -> None:
    moved = job.rename(job.with_name("moved"))
    found = rows(moved)
    assert unread == []
    assert found.folder == "moved"
    assert found.said[0].endswith("moved")


# --- stale ----------------------------------------------------------------------------------------


def _kept_times(path: Path, data: bytes) -> None:
    """Write over a file and give it back its times, as a copy from elsewhere may."""
    was = path.stat()
    path.write_bytes(data)
    os.utime(path, ns=(was.st_atime_ns, was.st_mtime_ns))


_SEALED = "sealed/0001-closeout/data"
_CHANGES: dict[str, Callable[[Path], object]] = {
    "sealed record": lambda job: _kept_times(
        job / _SEALED / "job.yaml",
        (job / _SEALED / "job.yaml").read_bytes().replace(b"118 Plover", b"119 Plover"),
    ),
    "sealed record gone": lambda job: (job / _SEALED / "job.yaml").unlink(),
    "entry changed": lambda job: _kept_times(
        job / "sealed/0003-2033-06-17-sold/data/entry.yaml",
        (job / "sealed/0003-2033-06-17-sold/data/entry.yaml")
        .read_bytes()
        .replace(b"Tore", b"Tove"),
    ),
    "entry gone": lambda job: shutil.rmtree(job / "sealed/0004-2034-03-02-claim"),
    "entry came": lambda job: put_entry(job, "0005-2035-01-01-note", "note", "text: a ring\n"),
    "sheet built by": lambda job: _kept_times(
        job / _SEALED / "as-built/terms/kestrelmoor-2026.yaml",
        (job / _SEALED / "as-built/terms/kestrelmoor-2026.yaml")
        .read_bytes()
        .replace(b"within_days: 60", b"within_days: 61"),
    ),
    "catalogue came": lambda job: shutil.copy(
        job.parent / "terms/kestrelmoor.catalogue.yaml",
        job / _SEALED / "as-built/terms/a.catalogue.yaml",
    ),
    "own coverage": lambda job: (job / _SEALED / "as-built/company.yaml").unlink(),
}


@pytest.mark.parametrize("change", _CHANGES)
def test_a_card_made_from_other_bytes_is_not_believed(job: Path, change: str) -> None:
    _CHANGES[change](job)
    assert not stands(job)
    by_reading = rows(job)
    carded(job)
    assert rows(job) == by_reading


_NO_MATTER: dict[str, Callable[[Path], object]] = {
    "working record": lambda job: (job / "job.yaml").write_text("record: 1\n"),
    "another edition in the office": lambda job: shutil.copy(
        job.parent / "terms/kestrelmoor-2026.yaml", job.parent / "terms/kestrelmoor-2027.yaml"
    ),
    "today's sheet": lambda job: (job.parent / "terms/kestrelmoor-2026.yaml").write_text("x: 1\n"),
    "times alone": lambda job: [os.utime(path) for path in job.rglob("*")],
}


@pytest.mark.parametrize("change", _NO_MATTER)
def test_a_closed_job_s_card_outlives_what_it_does_not_rest_on(job: Path, change: str) -> None:
    _NO_MATTER[change](job)
    assert stands(job)


def test_an_open_job_s_card_rests_on_today_s_sheets(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    open_job = carded(put(office, "a", signed("2026-09-01") + WARRANTY))
    before = rows(open_job).tables["registration"][0][3]
    sheet = office / "terms" / "kestrelmoor-2026.yaml"
    _kept_times(sheet, sheet.read_bytes().replace(b"within_days: 60", b"within_days: 61"))
    assert not stands(open_job)
    # 2026-09-01 and 61 days are 2026-11-01 (by a calendar).
    assert (before, rows(open_job).tables["registration"][0][3]) == ("2026-10-31", "2026-11-01")


def test_a_change_while_a_record_is_read_makes_the_card_stale(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    office = copy_office(tmp_path / "office")
    job = put(office, "a", signed("2026-09-01") + WARRANTY)
    whole = rows_module._read

    def overtaken(*given: object) -> object:
        text = (job / "job.yaml").read_text()
        (job / "job.yaml").write_text(text.replace("1 Plover", "2 Plover"))
        made = whole(*given)  # type: ignore[arg-type]
        (job / "job.yaml").write_text(text.replace("1 Plover", "3 Plover"))
        return made

    with monkeypatch.context() as patch:
        patch.setattr(rows_module, "_read", overtaken)
        leave_card(job, Sheets(office))
    assert (job / CARD).is_file()
    assert rows(job).address.startswith("3 Plover")


# --- no card at all -------------------------------------------------------------------------------


def _linked(card: Path) -> None:
    shutil.move(card, card.with_name("elsewhere.json"))
    card.symlink_to(card.with_name("elsewhere.json"))


def _linked_folder(card: Path) -> None:
    shutil.move(card.parent, card.parent.with_name("elsewhere"))
    card.parent.symlink_to(card.parent.with_name("elsewhere"))


def _forged(card: Path) -> None:
    """Change a row and leave the digest of the card as it is."""
    card.write_bytes(card.read_bytes().replace(b"118 Plover", b"811 Plover"))


def _with(card: Path, body: bytes) -> None:
    """Put other text into a card, with its right digest."""
    card.write_bytes(b'{"check":"%b",\n%b' % (sha256(body).hexdigest().encode(), body))


def _another_form(card: Path) -> None:
    body = card.read_bytes().partition(b"\n")[2]
    assert body.startswith(b'"form":')
    _with(card, b'"form":2' + body[body.index(b",") :])


_SPOILT: dict[str, Callable[[Path], object]] = {
    "gone": lambda card: card.unlink(),
    "a link": _linked,
    "in a linked folder": _linked_folder,
    "a folder": lambda card: (card.unlink(), card.mkdir()),
    "a pipe": lambda card: (card.unlink(), os.mkfifo(card)),
    "empty": lambda card: card.write_bytes(b""),
    "cut off": lambda card: card.write_bytes(card.read_bytes()[:-20]),
    "no JSON": lambda card: _with(card, b"{{{"),
    "no card": lambda card: _with(card, b'"form":3,"card":{}}'),
    "a list": lambda card: card.write_bytes(b"[]"),
    "nested": lambda card: _with(card, b'"form":' + b"[" * 100_000),
    "forged": _forged,
    "too large": lambda card: _with(
        card, card.read_bytes().partition(b"\n")[2] + b" " * MOST_BYTES
    ),
    "of another form": _another_form,
}


@pytest.mark.parametrize("how", _SPOILT)
def test_a_card_that_is_none_is_taken_for_none(job: Path, how: str, unread: list[Path]) -> None:
    by_card = rows(job)
    _SPOILT[how](job / CARD)
    assert rows(job) == by_card
    assert unread == [job]


def test_a_card_is_json(job: Path) -> None:
    whole = json.loads((job / CARD).read_bytes())
    assert whole["card"]["head"][0] == "118 Plover Lane, Halvorsted"
    assert whole["card"]["sheets"][f"{_SEALED}/as-built/terms/kestrelmoor-2026.yaml"]


def test_no_card_is_left_through_a_link_nor_with_a_fault_in_it(tmp_path: Path) -> None:
    office, elsewhere = copy_office(tmp_path / "office"), tmp_path / "elsewhere"
    elsewhere.mkdir()
    job = put(office, "a", signed("2026-09-01") + WARRANTY)
    (job / ".dossier").symlink_to(elsewhere)
    leave_card(job, Sheets(office))
    assert list(elsewhere.iterdir()) == []
    (job / ".dossier").unlink()
    (job / "job.yaml").write_text(signed("soon"))
    leave_card(job, Sheets(office))
    assert not (job / CARD).exists()


def test_a_folder_that_takes_no_card_is_read_and_fails_nothing(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    by_card = rows(job)
    shutil.rmtree(job / ".dossier")

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "write_bytes", refused)
    leave_card(job, Sheets(job.parent))
    assert not (job / CARD).exists()
    assert rows(job) == by_card


# --- left by commands -----------------------------------------------------------------------------


def test_build_leaves_a_card_where_no_index_is_and_seals_none(
    job_of: Callable[[str], Path], capsys: pytest.CaptureFixture[str]
) -> None:
    job = job_of(GOOD_JOB.name)
    main(["build", str(job), "--today", "2026-10-20"])
    capsys.readouterr()
    assert stands(job)
    assert [path for path in (job / ".dossier").iterdir() if path.name.endswith(".tmp")] == []
    # What a run keeps for itself is no part of what is sealed.
    assert [file for file in list_job(job).files if file.startswith(".dossier/")] == []


def test_a_build_of_a_sealed_job_leaves_its_card_in_the_job_and_nothing_in_what_is_sealed(
    job_of: Callable[[str], Path],
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    job = seal_by_hand(job_of(GOOD_JOB.name))
    filled(job.parent).close()
    before = sorted((job / "sealed").rglob("*"))
    monkeypatch.setattr(Printer, "files", lambda _: {"punch-list.json": b'{"items": []}'})
    assert main(["build", str(job), "--today", "2026-10-20"]) in (0, 1)
    capsys.readouterr()
    assert sorted((job / "sealed").rglob("*")) == before
    assert stands(job)
    assert dumped(job.parent) == rebuilt(job.parent)
