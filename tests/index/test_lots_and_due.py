"""A recall, and the deadlines of an office, on jobs made up for the purpose."""

import json
import sqlite3
from datetime import date
from pathlib import Path

from dossier.commands.due import due_text
from dossier.commands.lots import COLUMNS, csv_row, lots_text
from dossier.index.due import due_list
from dossier.index.keep import update_all
from dossier.index.lots import MOST_BEGINNING, find_lots
from dossier.index.store import in_memory
from tests.conftest import copy_office
from tests.index.test_find import job

TODAY = date(2026, 10, 20)


def index_of(office: Path) -> sqlite3.Connection:
    connection = in_memory().connection
    update_all(connection, office)
    return connection


def put(office: Path, name: str, text: str, items: list[dict[str, object]] | None = None) -> Path:
    folder = office / name
    (folder / "out").mkdir(parents=True)
    (folder / "job.yaml").write_text(text)
    if items is not None:
        (folder / "out" / "punch-list.json").write_text(json.dumps({"items": items}))
    return folder


def item(
    rule: str, says: str, due: str | None, *holds: str, weight: str = "holds"
) -> dict[str, object]:
    return {
        "rule": rule,
        "weight": weight,
        "verdict": "missing",
        "says": says,
        "owed_by": "office",
        "remedy": "mend it",
        "holds": list(holds),
        "due": due,
    }


def lines(*of: str) -> str:
    return "deliveries:\n  - lines:\n" + "".join(f"      - {line}\n" for line in of)


# --- lots ---------------------------------------------------------------------------------------------


def test_a_recall_names_every_job_slope_and_quantity_and_whom_to_call(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    put(
        office,
        "a",
        job(
            "1 Plover Lane",
            "owners: Marit Ekdahl, 555-0141, m@example.com\n"
            + lines(
                "42 bundles Fenwright 40, colour Fog, lots 0012 x 30 on front + back; 00123 x 12"
            ),
        ),
    )
    put(
        office,
        "b",
        job(
            "2 Plover Lane",
            contract_on="2026-02-01",
            more=lines("20 bundles Fenwright 40, lot 0012"),
        ),
    )
    put(office, "c", job("3 Plover Lane", lines("20 bundles Fenwright 40, lot 12 x 20")))
    put(office, "d", job("4 Plover Lane", lines("20 bundles Fenwright 40")))
    found = find_lots(index_of(office), "0012")
    assert [(r.folder, r.is_exact, r.mark, r.quantity, r.slopes) for r in found.rows] == [
        ("b", True, "0012", "", ""),
        ("a", True, "0012", "30", "front, back"),
        ("a", False, "00123", "12", ""),
    ]
    assert found.jobs == 2
    # Job b says no count and d has no lot at all: neither can be ruled out, nor counted in.
    assert found.unmarked == (("Fenwright 40", 2),)
    text = lots_text(found, "0012")
    assert "Lot “0012”: 2 jobs." in text
    assert "The records cannot tell for 2 jobs with Fenwright 40" in text
    assert "Marit Ekdahl" in text
    row = next(csv_row(r) for r in found.rows if r.quantity == "30")
    assert tuple(row) == COLUMNS
    assert (row["phone"], row["email"], row["role"]) == (
        "555-0141",
        "m@example.com",
        "field shingle",
    )


def test_a_mark_on_no_job_says_so(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    put(office, "a", job("1 Plover Lane", lines("20 bundles Fenwright 40, lot 0012 x 20")))
    assert lots_text(find_lots(index_of(office), "012"), "012") == "No job has lot “012” on record."


def test_a_mark_on_no_job_may_be_on_every_job_whose_lots_are_not_on_record(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    whole = "20 bundles Fenwright 40, lot 0012 x 20"
    put(office, "a", job("1 Plover Lane", lines(whole)))
    put(office, "b", job("2 Plover Lane", lines(whole, "3 rolls Something unheard of")))
    put(office, "c", job("3 Plover Lane", lines("20 bundles Fenwright 40, lot 0013 x 12")))
    put(office, "d", job("4 Plover Lane", lines("20 bundles Fenwright 40", "1 roll Nameless")))
    put(office, "e", job("5 Plover Lane"))
    found = find_lots(index_of(office), "0009999")
    assert found.untold is not None
    assert (found.untold.jobs, found.untold.of, found.untold.bare) == (4, 5, 1)
    assert lots_text(found, "0009999").splitlines() == [
        "No job has lot “0009999” on record.",
        "The records cannot tell for 4 of 5 jobs: not every unit on them has a lot on record.",
        "Jobs by what the product is for: no role known 2, field shingle 2.",
        "No product at all is on record on 1 of them.",
    ]
    # With the mark on record its product is known, and only that one is asked about.
    assert find_lots(index_of(office), "0012").untold is None


def test_marks_that_only_begin_so_are_bounded_and_counted(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    put(
        office,
        "a",
        job("1 P", lines(*(f"1 bundles Fenwright 40, lot K{n:03} x 1" for n in range(130)))),
    )
    found = find_lots(index_of(office), "k")
    assert (len(found.rows), found.beginning) == (MOST_BEGINNING, 130)
    assert "130 marks only begin so; the first 100 are shown." in lots_text(found, "k")


# --- due ----------------------------------------------------------------------------------------------

WARRANTY = "warranties:\n  - sheet: kestrelmoor-2026\n    level: Full Assembly\n"


def signed(day: str) -> str:
    return job("1 Plover Lane").replace("  locality", f"  completion_signed_on: {day}\n  locality")


def test_deadlines_come_soonest_first_with_what_is_missing(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    # The sheet gives 60 days from the completion: 2026-09-01 and 60 days are 2026-10-31 (by a calendar).
    put(
        office,
        "a",
        signed("2026-09-01") + WARRANTY,
        [
            item("REG-002", "The packet was not sent.", "2026-10-31", "registration"),
            item("PHO-001", "No photo of the deck.", None, "registration"),
            item("SAF-004", "The owner lacks the dust record.", "2026-10-25", weight="weakens"),
            item("X-1", "A note.", "2026-10-25", weight="note"),
        ],
    )
    put(office, "b", signed("2026-08-25") + WARRANTY)
    put(office, "c", signed("2026-08-25") + WARRANTY + "    received_on: 2026-09-30\n")
    put(office, "d", job("4 Plover Lane") + WARRANTY)
    put(office, "e", signed("2020-08-25") + WARRANTY)
    put(office, "f", signed("2026-08-10") + WARRANTY)
    connection = index_of(office)
    found = due_list(connection, TODAY)
    assert [
        (row.folder, row.due_on.isoformat(), row.days_left, row.missing) for row in found.rows
    ] == [
        ("f", "2026-10-09", -11, ()),
        ("b", "2026-10-24", 4, ()),
        ("a", "2026-10-25", 5, ("The owner lacks the dust record.",)),
        ("a", "2026-10-31", 11, ("The packet was not sent.", "No photo of the deck.")),
    ]
    assert found.passed == 1
    assert [(u.folder, u.level) for u in found.undated] == [("d", "Full Assembly")]
    text = due_text(found, TODAY, None)
    assert "4 deadlines to meet, counted from 2026-10-20." in text
    assert "no punch list was built yet" in text
    assert "1 deadline passed more than 30 days ago" in text
    assert "No day can be told for 1 registration" in text
    until = due_list(connection, TODAY, date(2026, 10, 24))
    assert [row.folder for row in until.rows] == ["f", "b"]
    assert [row.folder for row in due_list(connection, TODAY, passed=True).rows][:1] == ["e"]
    on_the_day = due_list(connection, date(2026, 10, 24)).rows
    assert "today is the last day" in due_text(
        due_list(connection, date(2026, 10, 24)), TODAY, None
    )
    assert [row.days_left for row in on_the_day if row.folder == "b"] == [0]


def test_a_closing_day_put_right_is_no_second_sale(tmp_path: Path) -> None:
    """The last day is 60 days from the right closing, by clause 5.3; more of sales is in test_later.py."""
    folder = put(copy_office(tmp_path / "office"), "a", signed("2020-09-01") + WARRANTY)
    put_entry(folder, "0002-2026-09-01-sold", "sold", "sale:\n  closing_on: 2026-09-01\n")
    right = "sale:\n  closing_on: 2026-09-02\n  corrects: 2026-09-01\n"
    put_entry(folder, "0003-2026-09-04-sold", "sold", right)

    def last_days() -> set[str]:
        rows = due_list(index_of(folder.parent), TODAY).rows
        return {row.due_on.isoformat() for row in rows if row.kind == "transfer"}

    assert last_days() == {"2026-11-01"}
    mended = folder / "sealed" / "0003-2026-09-04-sold" / "data" / "entry.yaml"
    mended.write_text(mended.read_text().replace("  corrects: 2026-09-01\n", ""))
    # The terms let it pass on once, so that a second sale asks for no notice of its own.
    assert last_days() == {"2026-10-31"}


def put_entry(folder: Path, name: str, kind: str, more: str) -> None:
    place = folder / "sealed" / name / "data"
    place.mkdir(parents=True)
    day = name[5:15]
    (place / "entry.yaml").write_text(
        f"entry: 1\njob: '7'\nkind: {kind}\non: {day}\nnoted_by: I\nnoted_on: {day}\n{more}"
    )


def test_a_confirmation_noted_later_meets_the_deadline(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2026-09-01") + WARRANTY)
    assert [row.kind for row in due_list(index_of(office), TODAY).rows] == ["registration"]
    put_entry(
        folder,
        "0002-2026-10-01-registration-confirmed",
        "registration confirmed",
        "registration:\n  level: Full Assembly\n  confirmed_on: 2026-10-01\n  confirmation: K-1\n",
    )
    connection = index_of(office)
    assert due_list(connection, TODAY).rows == ()
    assert connection.execute(
        "SELECT registered_on, confirmation FROM registration"
    ).fetchall() == [("2026-10-01", "K-1")]


def test_a_list_older_than_the_record_is_called_so(tmp_path: Path) -> None:
    import os

    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2026-09-01") + WARRANTY, [])
    os.utime(folder / "out" / "punch-list.json", ns=(1, 1))
    assert "older than the record" in due_text(due_list(index_of(office), TODAY), TODAY, None)


def test_a_punch_list_that_is_no_list_is_a_fault_and_no_traceback(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2026-09-01") + WARRANTY)
    for text in (
        "",
        "[]",
        "{",
        '{"items": 3}',
        '{"items": [{}]}',
        '{"items": [1]}',
        "[" * 100_000,
        '{"items": [{"rule": 1, "weight": 1, "verdict": 1, "owed_by": 1, "remedy": 1, "says": 1, '
        '"holds": [], "due": "soon"}]}',
    ):
        (folder / "out" / "punch-list.json").write_text(text)
        connection = index_of(office)
        assert connection.execute("SELECT punch_list FROM job").fetchone() == ("unreadable",), text[
            :40
        ]
        assert "cannot be read" in connection.execute("SELECT fault FROM job").fetchone()[0]
        connection.close()
