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
from dossier.index import rows as making
from dossier.index.card import FILE_NAME, MOST_BYTES, record_digests, standing_card
from dossier.index.rows import JobRows, leave_card, rows_of
from dossier.index.sheets import Sheets
from dossier.press.printing import Printer
from tests.conftest import DEMO_JOBS, copy_office
from tests.index.shared import dumped, filled, rebuilt
from tests.index.test_lots_and_due import WARRANTY, put, put_entry, signed
from tests.known_good import GOOD_JOB
from tests.sealed_jobs import seal_by_hand

CARD, DATA = f".dossier/{FILE_NAME}", "sealed/0001-closeout/data"
SOLD, SHEET = "sealed/0003-2033-06-17-sold", "terms/kestrelmoor-2026.yaml"
RIGHT = (
    "correction:\n  field: deliveries.0.lines.0.lots.0.mark\n  was: '0012345'\n  right: '0012354'\n"
    "  why: copied wrong\n  found_by: Ida\n"
)
Change = Callable[[Path], object]


def rows(job: Path) -> JobRows:
    return rows_of(job, job.name, Sheets(job.parent))


def stands(job: Path) -> bool:
    return standing_card(job, Sheets(job.parent), record_digests(job)) is not None


def carded(job: Path) -> Path:
    leave_card(job, Sheets(job.parent))
    assert stands(job)
    return job


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A sealed job with a card; after its closing a mark was put right, it was sold, and a claim came."""
    job = seal_by_hand(copy_office(tmp_path / "office", GOOD_JOB.name) / GOOD_JOB.name)
    sold = "sale:\n  closing_on: 2033-06-17\n  buyer:\n    name: Tore Lindahl\n"
    put_entry(job, "0002-2027-01-01-correction", "correction", RIGHT)
    put_entry(job, "0003-2033-06-17-sold", "sold", sold)
    put_entry(job, "0004-2034-03-02-claim", "claim", "claim:\n  seen_on: 2034-03-02\n")
    return carded(job)


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The jobs whose records were read, since no card of theirs stood."""
    found: list[Path] = []
    whole = making._read
    monkeypatch.setattr(
        making, "_read", lambda job, *more: (found.append(job), whole(job, *more))[1]
    )
    return found


def test_a_card_gives_the_rows_that_reading_gives(job: Path, read: list[Path]) -> None:
    by_card = rows(job)
    filled(job.parent).close()
    assert read == []
    (job / CARD).unlink()
    assert rows(job) == by_card
    assert dumped(job.parent) == rebuilt(job.parent)
    assert read == [job, job]
    # The corrected state counts, and a recall finds the mark that no longer stands too.
    lots = {(row[1], row[5]) for row in by_card.tables["lot"]}
    assert ("0012354", "0012345 until corrected 2027-01-01") in lots
    assert ("0012345", "corrected to 0012354 2027-01-01") in lots
    assert {"transfer", "claim"} <= {row[1] for row in by_card.tables["deadline"]}


@pytest.mark.parametrize("name", DEMO_JOBS)
def test_the_demo_s_cards_give_the_rows_that_reading_gives(name: str, tmp_path: Path) -> None:
    job = copy_office(tmp_path / "office", name) / name
    by_reading = rows(job)
    first = (carded(job) / CARD).read_bytes()
    assert rows(job) == by_reading
    (job / CARD).unlink()
    assert (carded(job) / CARD).read_bytes() == first


def test_a_card_does_not_know_where_its_folder_lies(job: Path, read: list[Path]) -> None:
    found = rows(job.rename(job.with_name("moved")))
    assert (found.folder, read) == ("moved", [])
    assert found.said[0].endswith("moved")


# --- stale ----------------------------------------------------------------------------------------


def edited(name: str, was: bytes, becomes: bytes) -> Change:
    """Return what changes a file and gives it back its size and times, as a copy from elsewhere may."""

    def edit(job: Path) -> None:
        path, times = job / name, (job / name).stat()
        assert was in path.read_bytes()
        path.write_bytes(path.read_bytes().replace(was, becomes))
        os.utime(path, ns=(times.st_atime_ns, times.st_mtime_ns))

    return edit


_STALE: dict[str, Change] = {
    "record": edited(f"{DATA}/job.yaml", b"118 Plover", b"119 Plover"),
    "record gone": lambda job: (job / DATA / "job.yaml").unlink(),
    "entry": edited(f"{SOLD}/data/entry.yaml", b"Tore", b"Tove"),
    "entry gone": lambda job: shutil.rmtree(job / SOLD),
    "entry came": lambda job: put_entry(job, "0005-2035-01-01-note", "note", "text: a ring\n"),
    "sheet": edited(f"{DATA}/as-built/{SHEET}", b"within_days: 60", b"within_days: 61"),
    "catalogue came": lambda job: (job / DATA / "as-built/terms/a.catalogue.yaml").write_text("x"),
    "own coverage gone": lambda job: (job / DATA / "as-built/company.yaml").unlink(),
}


@pytest.mark.parametrize("change", _STALE)
def test_a_card_made_from_other_bytes_is_not_believed(job: Path, change: str) -> None:
    _STALE[change](job)
    assert not stands(job)
    by_reading = rows(job)
    assert rows(carded(job)) == by_reading


_NO_MATTER: dict[str, Change] = {
    "working record": lambda job: (job / "job.yaml").write_text("record: 1\n"),
    "another edition": lambda job: (job.parent / "terms/kestrelmoor-2027.yaml").write_text("x"),
    "today's sheet": lambda job: (job.parent / SHEET).write_text("x: 1\n"),
    "times alone": lambda job: [os.utime(path) for path in job.rglob("*")],
}


@pytest.mark.parametrize("change", _NO_MATTER)
def test_a_closed_job_s_card_outlives_what_it_does_not_rest_on(job: Path, change: str) -> None:
    _NO_MATTER[change](job)
    assert stands(job)


def test_an_open_job_s_card_rests_on_today_s_sheets(tmp_path: Path) -> None:
    job = carded(put(copy_office(tmp_path / "office"), "a", signed("2026-09-01") + WARRANTY))
    edited(SHEET, b"within_days: 60", b"within_days: 61")(job.parent)
    assert not stands(job)
    # 2026-09-01 and 61 days are 2026-11-01 (by a calendar).
    assert rows(job).tables["registration"][0][3] == "2026-11-01"


def test_a_change_while_a_record_is_read_makes_the_card_stale(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = put(copy_office(tmp_path / "office"), "a", signed("2026-09-01") + WARRANTY)
    whole = making._read

    def overtaken(*given: object) -> object:
        edited("job.yaml", b"1 Plover", b"2 Plover")(job)
        return whole(*given)  # type: ignore[arg-type]

    with monkeypatch.context() as patch:
        patch.setattr(making, "_read", overtaken)
        leave_card(job, Sheets(job.parent))
    assert (job / CARD).is_file()
    assert not stands(job)


# --- no card at all -------------------------------------------------------------------------------


def _linked(path: Path) -> None:
    shutil.move(path, path.with_name("elsewhere"))
    path.symlink_to(path.with_name("elsewhere"))


def _body(card: Path) -> bytes:
    return card.read_bytes().partition(b"\n")[2]


def _with(card: Path, body: bytes) -> None:
    """Put other text into a card, with its right digest."""
    card.write_bytes(b'{"check":"%b",\n%b' % (sha256(body).hexdigest().encode(), body))


def _listed(card: Path) -> bytes:
    whole = json.loads(card.read_bytes())
    return b'"form":3,"card":%b}' % json.dumps({**whole["card"], "sheets": [1]}).encode()


def _card_with(**parts: object) -> "Change":
    """Return what puts other parts into a card, with its right digest."""

    def put(card: Path) -> None:
        whole = json.loads(card.read_bytes())["card"]
        _with(card, b'"form":3,"card":%b}' % json.dumps({**whole, **parts}).encode())

    return put


_SPOILT: dict[str, Change] = {
    "without tables": _card_with(tables={}),
    "faults that are numbers": _card_with(faults=[1]),
    "half a letter": _card_with(head=["\ud800", *[""] * 6]),
    "no day": _card_with(head=["", "", "", "someday", "", "", ""]),
    "a short head": _card_with(head=[]),
    "a number that is a group": _card_with(number={"a": 1}),
    "gone": lambda card: card.unlink(),
    "a link": _linked,
    "in a linked folder": lambda card: _linked(card.parent),
    "a pipe": lambda card: (card.unlink(), os.mkfifo(card)),
    "cut off": lambda card: card.write_bytes(card.read_bytes()[:-20]),
    "forged": lambda card: card.write_bytes(card.read_bytes().replace(b"118 P", b"811 P")),
    "no JSON": lambda card: _with(card, b"{{{"),
    "no card": lambda card: _with(card, b'"form":3,"card":{}}'),
    "sheets that are a list": lambda card: _with(card, _listed(card)),
    "nested": lambda card: _with(card, b'"form":' + b"[" * 100_000),
    "too large": lambda card: _with(card, _body(card) + b" " * MOST_BYTES),
    "of another form": lambda card: _with(card, _body(card).replace(b'"form":3', b'"form":2', 1)),
}


@pytest.mark.parametrize("how", _SPOILT)
def test_a_card_that_is_none_is_taken_for_none(job: Path, how: str, read: list[Path]) -> None:
    by_card = rows(job)
    assert json.loads((job / CARD).read_bytes())["form"] == 3
    _SPOILT[how](job / CARD)
    assert rows(job) == by_card
    assert read == [job]


def test_no_card_is_left_through_a_link_nor_with_a_fault_in_it(tmp_path: Path) -> None:
    job = put(copy_office(tmp_path / "office"), "a", signed("2026-09-01") + WARRANTY)
    (tmp_path / "elsewhere").mkdir()
    (job / ".dossier").symlink_to(tmp_path / "elsewhere")
    leave_card(job, Sheets(job.parent))
    assert list((tmp_path / "elsewhere").iterdir()) == []
    (job / ".dossier").unlink()
    (job / "job.yaml").write_text(signed("soon"))
    leave_card(job, Sheets(job.parent))
    assert not (job / CARD).exists()


def test_a_folder_that_takes_no_card_fails_nothing(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    by_card = rows(job)
    shutil.rmtree(job / ".dossier")
    monkeypatch.setattr(Path, "write_bytes", refused)
    leave_card(job, Sheets(job.parent))
    assert not (job / CARD).exists()
    assert rows(job) == by_card


# --- left by commands; those of seal and of later entries are in test_keep.py ----------------------


@pytest.mark.parametrize("sealed", [False, True])
def test_a_build_leaves_a_card_in_the_job_and_nothing_in_what_is_sealed(
    sealed: bool, job_of: Callable[[str], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    job = job_of(GOOD_JOB.name)
    if sealed:
        seal_by_hand(job)
        filled(job.parent).close()
    before = sorted((job / "sealed").rglob("*"))
    monkeypatch.setattr(Printer, "files", lambda _: {"punch-list.json": b'{"items": []}'})
    assert main(["build", str(job), "--today", "2026-10-20"]) in (0, 1)
    assert stands(job)
    assert sorted((job / "sealed").rglob("*")) == before
    assert not [path for path in (job / ".dossier").iterdir() if path.name.endswith(".tmp")]
    # What a run keeps for itself is no part of what is sealed.
    assert not [file for file in list_job(job).files if file.startswith(".dossier/")]
    if sealed:
        assert dumped(job.parent) == rebuilt(job.parent)
