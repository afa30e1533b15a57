"""Deadlines of sales and claims in the index: what the documents of a sale would print, and nothing more.

The sheets are the demo's: notice within 60 days of the closing, received; one transfer, within 20 years; family
is no sale (kestrelmoor-2026, clauses 5.1 to 5.3). Days were counted by a calendar.
"""

from datetime import date
from pathlib import Path

import pytest

from dossier.index.due import due_list
from tests.conftest import copy_office
from tests.index.test_lots_and_due import TODAY, WARRANTY, index_of, put, put_entry, signed

REGISTERED = "    received_on: 2020-09-30\n    confirmation: K-1\n"
FULL = "give notice of the sale, Full Assembly, kestrelmoor-2026"
EITHER = "give notice of the sale, Full Assembly or, where it was not registered, Shingle, kestrelmoor-2026"
OWN = "give notice of the sale, Ormskar workmanship coverage"


def rows(office: Path, kind: str = "transfer") -> list[tuple[str, str]]:
    """Return the deadlines of one kind, passed ones too."""
    found = due_list(index_of(office), TODAY, passed=True).rows
    return [(row.due_on.isoformat(), row.what) for row in found if row.kind == kind]


def sold(folder: Path, day: str, more: str = "", number: int = 2) -> None:
    """Note a sale."""
    lines = "".join(f"  {line}\n" for line in (f"closing_on: {day}", *more.split("; ")) if line)
    put_entry(folder, f"{number:04}-{day}-sold", "sold", f"sale:\n{lines}")


def test_a_sale_and_a_claim_start_deadlines_of_their_own(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    sheet = office / "terms" / "kestrelmoor-2026.yaml"
    text = sheet.read_text()
    assert "\nclaim:" in text
    folder = put(office, "a", signed("2020-09-01") + WARRANTY + "    received_on: 2020-09-30\n")
    put_entry(folder, "0002-2026-09-01-sold", "sold", "sale:\n  closing_on: 2026-09-01\n")
    put_entry(
        folder, "0003-2026-10-01-claim", "claim", "claim:\n  number: C-1\n  seen_on: 2026-10-01\n"
    )
    put_entry(folder, "0004-2026-10-02-claim", "claim", "claim:\n  number: C-1\n  seen: a ring\n")
    found = {
        (row.kind, row.due_on.isoformat(), row.what)
        for row in due_list(index_of(office), TODAY).rows
    }
    # 60 days from the closing by clause 5.3; 2026-09-01 and 60 days are 2026-10-31 (by a calendar).
    assert (
        "transfer",
        "2026-10-31",
        "give notice of the sale, Full Assembly or, where it was not registered, Shingle, kestrelmoor-2026",
    ) in found
    claims = [row for row in found if row[0] == "claim"]
    assert len(claims) == 1
    assert "claim C-1" in claims[0][2]
    put_entry(
        folder,
        "0005-2026-09-03-sold",
        "sold",
        "sale:\n  closing_on: 2026-09-01\n  notice_received_on: 2026-09-20\n",
    )
    kinds = {row.kind for row in due_list(index_of(office), TODAY).rows}
    assert kinds == {"claim"}
    # What a maker has confirmed it has also received.
    place = folder / "sealed" / "0005-2026-09-03-sold" / "data" / "entry.yaml"
    place.write_text(place.read_text().replace("notice_received_on", "notice_accepted_on"))
    assert {row.kind for row in due_list(index_of(office), TODAY).rows} == {"claim"}


@pytest.mark.parametrize("registered", [REGISTERED, "    certificate_file: papers/c.pdf\n"])
def test_a_level_that_is_confirmed_stands_alone(tmp_path: Path, registered: str) -> None:
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2020-09-01") + WARRANTY + registered)
    sold(folder, "2026-09-01")
    assert rows(office) == [("2026-10-31", FULL), ("2026-10-31", OWN)]


def test_a_level_without_a_confirmation_names_the_one_it_falls_to(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2020-09-01") + WARRANTY)
    sold(folder, "2026-09-01")
    assert rows(office) == [("2026-10-31", EITHER), ("2026-10-31", OWN)]
    put_entry(
        folder,
        "0003-2026-10-01-registration-confirmed",
        "registration confirmed",
        "registration:\n  confirmation: K-1\n",
    )
    assert rows(office) == [("2026-10-31", FULL), ("2026-10-31", OWN)]


def test_a_family_sale_needs_no_notice_where_the_terms_say_it_is_no_sale(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2020-09-01") + WARRANTY + REGISTERED)
    sold(folder, "2026-09-01", "in_family: yes")
    assert rows(office) == []
    # The one transfer that the terms allow is still there for the sale after it.
    sold(folder, "2026-09-15", number=3)
    assert rows(office) == [("2026-11-14", FULL), ("2026-11-14", OWN)]


def test_what_the_terms_do_not_say_of_family_is_asked_for(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    sheet = office / "terms" / "kestrelmoor-2026.yaml"
    sheet.write_text(sheet.read_text().replace("        family_is_no_sale: yes\n", ""))
    folder = put(office, "a", signed("2020-09-01") + WARRANTY + REGISTERED)
    sold(folder, "2026-09-01", "in_family: yes")
    assert rows(office) == [("2026-10-31", FULL)]


def test_a_sale_too_many_or_too_late_for_the_terms_needs_no_notice(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2020-09-01") + WARRANTY + REGISTERED)
    sold(folder, "2024-09-02", "notice_received_on: 2024-09-20")
    sold(folder, "2026-09-01", number=3)
    assert rows(office) == []
    # Twenty years after the completion is the last day on which a sale passes the maker's coverage on, and
    # ten years end the company's own.
    for name, done, due in (("b", "2006-09-01", ["2026-10-31"]), ("c", "2006-08-31", [])):
        other = put(office, name, signed(done) + WARRANTY + REGISTERED)
        sold(other, "2026-09-01")
        assert [row[0] for row in rows(office)] == due, name
        (other / "job.yaml").unlink()


def test_terms_that_forbid_a_transfer_ask_for_no_notice(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    for sheet in (office / "terms" / "kestrelmoor-2026.yaml", office / "company.yaml"):
        sheet.write_text(sheet.read_text().replace("allowed: yes", "allowed: no"))
    folder = put(office, "a", signed("2020-09-01") + WARRANTY)
    sold(folder, "2026-09-01")
    assert rows(office) == []


def test_a_sealed_job_counts_by_the_company_it_was_built_by(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2020-09-01") + WARRANTY + REGISTERED)
    (folder / "sealed" / "0001-closeout").mkdir(parents=True)
    (folder / "as-built").mkdir()
    text = (office / "company.yaml").read_text()
    (folder / "as-built" / "company.yaml").write_text(
        text.replace("within_days: 60", "within_days: 30")
    )
    sold(folder, "2026-09-01")
    assert rows(office) == [("2026-10-01", OWN), ("2026-10-31", FULL)]


def test_a_changed_promise_of_the_company_is_seen(tmp_path: Path) -> None:
    from dossier.index.scan import office_stamp

    office = copy_office(tmp_path / "office")
    before = office_stamp(office)
    company = office / "company.yaml"
    company.write_text(company.read_text().replace("within_days: 60", "within_days: 300"))
    assert office_stamp(office) != before


def test_the_index_asks_for_the_notices_that_transfer_prints(tmp_path: Path) -> None:
    """The other side is what `transfer` says of the same sale, from the whole job."""
    from dossier.assess.assess import assess
    from dossier.assess.claim import coverages_then
    from dossier.assess.passed_on import HouseSale
    from dossier.compose.years_after.transfer_notice import deadline_words
    from dossier.pipeline import check
    from dossier.steps.asked import Asked
    from dossier.values import write_date
    from tests.conftest import no_clock

    name = "2026-041-plover-lane"
    office = copy_office(tmp_path / "office", name)
    for day, more, sale in (
        ("2033-06-17", "", HouseSale(date(2033, 6, 17))),
        ("2033-06-17", "in_family: yes", HouseSale(date(2033, 6, 17), in_family=True)),
        ("2046-12-01", "", HouseSale(date(2046, 12, 1))),
    ):
        checked = check(Asked(office / name, today=TODAY), no_clock)
        assert checked.case is not None
        assert checked.facts is not None
        assessment = assess(checked.case, checked.facts, checked.run)
        said = deadline_words(coverages_then(checked.case, assessment, [sale], sale.closing_on))
        sold(office / name, day, more)
        mine = rows(office)
        assert len(said) == sum(1 + what.count("where it was not registered") for _, what in mine)
        for due, _ in mine:
            assert any(write_date(date.fromisoformat(due)) in one for one in said)
        (office / name / "sealed" / f"0002-{day}-sold" / "data" / "entry.yaml").unlink()
        (office / name / "sealed" / f"0002-{day}-sold" / "data").rmdir()
        (office / name / "sealed" / f"0002-{day}-sold").rmdir()


def test_a_claim_of_which_the_maker_was_told_is_no_longer_due(tmp_path: Path) -> None:
    office = copy_office(tmp_path / "office")
    folder = put(office, "a", signed("2020-09-01") + WARRANTY + REGISTERED)
    told = "0003-2026-10-05-claim"
    for name, number in (("0002-2026-10-01-claim", "C-1"), ("0004-2026-10-09-claim", "C-2")):
        more = f"claim:\n  number: {number}\n  seen_on: {name[5:15]}\n"
        put_entry(folder, name, "claim", more)
    what = "give notice of claim {}, Full Assembly, kestrelmoor-2026"
    # 30 days from the day it was seen (clause 7.1).
    first, second = ("2026-10-31", what.format("C-1")), ("2026-11-08", what.format("C-2"))
    assert rows(office, "claim") == [first, second]
    put_entry(folder, told, "claim", "claim:\n  number: C-1\n  maker_told_on: 2026-10-05\n")
    assert rows(office, "claim") == [second]
