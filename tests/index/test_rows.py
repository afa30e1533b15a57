"""The rows of a job: of any record, by its card or without one, and of records with faults in them."""

import random
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from dossier import RECORD_VERSION
from dossier.index.card import record_digests, standing_card
from dossier.index.lots import mark_key
from dossier.index.rows import leave_card, rows_of
from dossier.index.scan import JOB_FILE, SEALED
from dossier.index.sheets import Sheets
from dossier.pipeline import check
from dossier.record import entry, read
from dossier.record.job import Job
from dossier.record.read import read_job
from dossier.record.write import to_yaml
from dossier.steps.asked import Asked
from tests.conftest import DEMO_JOBS, copy_office, no_clock
from tests.known_good import DEMO, GOOD_JOB, TODAY
from tests.record.strategies import of_model


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
@given(job=of_model(Job))
def test_any_record_that_reads_gives_the_same_rows_by_its_card(job: Job, tmp_path: Path) -> None:
    text = to_yaml(job.model_copy(update={"record": RECORD_VERSION}))
    (tmp_path / JOB_FILE).write_text(text, encoding="utf-8")
    read = rows_of(tmp_path, "job", Sheets(DEMO))
    leave_card(tmp_path, Sheets(DEMO))
    assert standing_card(tmp_path, Sheets(DEMO), record_digests(tmp_path)) is not None
    assert rows_of(tmp_path, "job", Sheets(DEMO)) == read
    assert read.fault == ""
    assert len(read.tables["owner"]) == len(job.owners)
    assert len(read.tables["registration"]) == len(job.warranties)


def test_a_lot_keeps_its_leading_zeros_and_its_slopes() -> None:
    lots = rows_of(GOOD_JOB, "x", Sheets(DEMO)).tables["lot"]
    assert ("0012345", "0012345", "30", "", "") in [row[1:] for row in lots]
    assert mark_key(" 001 2345x ") == "0012345x"


@pytest.mark.parametrize("name", DEMO_JOBS)
def test_the_last_day_to_register_is_the_one_that_working_prints(name: str, tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office", name)
    assessment = check(Asked(office / name, today=TODAY), no_clock).assessment
    assert assessment is not None
    printed = sorted(
        str(figure.working.with_numbers).rpartition(" = ")[2]
        for figure in assessment.figures
        if figure.id.startswith("deadline.")
    )
    rows = rows_of(office / name, name, Sheets(office)).tables["registration"]
    assert sorted(row[3] for row in rows if row[3]) == printed


def spoilt(good: bytes, chance: random.Random) -> bytes:
    """Return a file with a few bytes changed, cut out, put in, or lines doubled."""
    data = bytearray(good)
    for _ in range(chance.randrange(1, 8)):
        at = chance.randrange(len(data))
        kind = chance.randrange(4)
        if kind == 0:
            data[at] = chance.randrange(256)
        elif kind == 1:
            del data[at : min(at + chance.randrange(1, 40), len(data) - 1)]
        elif kind == 2:
            data[at:at] = bytes(chance.choices(b"&*!:-[]{}\"'#|>%@`\n\t ,0aZ\\", k=3))
        else:
            line = data.rfind(b"\n", 0, at) + 1
            data[line:line] = data[line : data.find(b"\n", at) + 1]
    return bytes(data)


def test_of_two_hundred_spoilt_records_each_fault_is_named(tmp_path: Path) -> None:
    chance = random.Random(200)
    good = (GOOD_JOB / JOB_FILE).read_bytes()
    whole = partly = 0
    for _ in range(200):
        (tmp_path / JOB_FILE).write_bytes(spoilt(good, chance))
        rows = rows_of(tmp_path, "job", Sheets(DEMO))
        is_whole = read_job(tmp_path, RECORD_VERSION).model is not None
        assert is_whole == (rows.fault == "")
        whole += is_whole
        partly += bool(rows.fault and rows.address)
    # Most of what is spoilt is no YAML any more; where it is, the house is found all the same.
    assert min(whole, partly) > 10


def test_names_that_the_index_does_not_load_are_the_record_s_own() -> None:
    assert (JOB_FILE, SEALED) == (read.JOB_FILE, entry.SEALED)


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("contract_on", "2026-02-30", "no calendar has"),
        ("completion_signed_on", "soon", "needed a date"),
        ("contract_on", "[2026-01-01]", "found a list of 1, needed one value"),
    ],
)
def test_a_day_that_cannot_be_read_is_blank_and_named(
    field: str, value: str, says: str, tmp_path: Path
) -> None:
    (tmp_path / JOB_FILE).write_text(
        f"record: 1\njob:\n  number: 1\n  address: a\n  locality: b\n  {field}: {value}\n"
    )
    rows = rows_of(tmp_path, "job", Sheets(DEMO))
    assert f"“job.{field}”" in rows.fault
    assert says in rows.fault
    assert rows.job[4] == ""
    # All else is in the index, so that the house is found.
    assert rows.job[1] == "a"


def test_units_without_a_lot_are_known(tmp_path: Path) -> None:
    (tmp_path / JOB_FILE).write_text(
        "record: 1\njob: {number: 1, address: a, locality: b}\ndeliveries:\n  - lines:\n"
        "      - 42 bundles A, returned 2, lots 1 x 30; 2 x 10\n"
        "      - 42 bundles B, lots 1 x 30\n"
        "      - 42 bundles C\n"
        "      - 42 bundles D, lot 9\n"
    )
    rows = rows_of(tmp_path, "job", Sheets(DEMO)).tables["product"]
    # 42 less 2 returned is 40, and 30 and 10 are 40; one mark with no count may be on any of 42.
    assert [row[-1] for row in rows] == ["all", "some", "none", "some"]
    assert Fraction(rows[0][5]) - Fraction(rows[0][6]) == 40


def test_spoilt_entries_sheets_and_lists_raise_nothing(tmp_path: Path) -> None:
    chance = random.Random(100)
    office = copy_office(tmp_path / "office", GOOD_JOB.name)
    job, sheet = office / GOOD_JOB.name, office / "terms" / "kestrelmoor-2026.yaml"
    place = job / SEALED / "0002-2027-01-01-sold" / "data" / "entry.yaml"
    place.parent.mkdir(parents=True)
    (job / "out").mkdir()
    entry_text = (
        b"entry: 1\njob: 2026-041\nkind: sold\non: 2027-01-01\nnoted_by: Ida\nnoted_on: 2027-01-02\n"
        b"sale:\n  closing_on: 2027-01-01\n  seller: Marit\n  buyer:\n    name: Tore\n    phone: 555-0177\n"
        b"  notice_sent_on: 2027-01-20\nclaim:\n  number: C-1\n  seen_on: 2027-02-01\n  seen: a ring\n"
        b"registration:\n  confirmed_on: 2027-01-01\n  level: Full Assembly\n"
    )
    listed = (
        b'{"items": [{"rule": "A-1", "weight": "holds", "verdict": "missing", "owed_by": "office", '
    )
    listed += b'"holds": ["permit"], "due": "2026-11-20", "says": "x", "remedy": "y"}]}'
    whole = sheet.read_bytes()
    faults = 0
    for turn in range(100):
        place.write_bytes(spoilt(entry_text, chance))
        (job / "out" / "punch-list.json").write_bytes(spoilt(listed, chance))
        if turn % 4 == 0:
            sheet.write_bytes(spoilt(whole, chance))
        rows = rows_of(job, GOOD_JOB.name, Sheets(office))
        assert rows.job[1] == "118 Plover Lane, Halvorsted"
        faults += bool(rows.fault)
    assert faults > 50
