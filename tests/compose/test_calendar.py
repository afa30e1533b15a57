"""The calendar against RFC 5545 by way of icalendar, a library that did not write it."""

from datetime import date

import icalendar

from dossier.case.readers import for_reader
from dossier.compose.handover.calendar import calendar, events
from dossier.words import Edition
from tests.known_good import known_good


def _read(text: str) -> list[icalendar.cal.Component]:
    return list(icalendar.Calendar.from_ical(text).walk("VEVENT"))


def test_another_library_reads_every_entry() -> None:
    known = known_good()
    read = _read(calendar(known.case, known.assessment, known.run))
    mine = list(events(known.case, known.assessment, known.run))
    assert [str(event["SUMMARY"]) for event in read] == [event.title for event in mine]
    assert [event["DTSTART"].dt for event in read] == [event.on for event in mine]
    assert [str(event["DESCRIPTION"]) for event in read] == [event.text for event in mine]


def test_the_registration_deadline_is_a_whole_day() -> None:
    """60 days after 21 September 2026: 9 of September, 31 of October, 20 of November."""
    known = known_good()
    [entry] = [
        event
        for event in _read(calendar(known.case, known.assessment, known.run))
        if "Last day to register" in str(event["SUMMARY"])
    ]
    assert entry["DTSTART"].dt == date(2026, 11, 20)
    assert entry["DTEND"].dt == date(2026, 11, 21)
    assert entry["DTSTART"].params["VALUE"] == "DATE"


def test_a_registered_roof_has_no_such_deadline() -> None:
    days = ("submitted_on", "received_on", "accepted_on")
    known = known_good({f"job.warranties.0.{day}": "2026-10-01" for day in days})
    titles = [event.title for event in events(known.case, known.assessment, known.run)]
    assert not any("register" in title for title in titles)
    assert any("Full Assembly level" in title for title in titles)


def test_lines_fold_at_75_octets_and_end_in_crlf() -> None:
    known = known_good({"job.job.address": "118 Plöver Läne; flat 2, \\ Halvorsted " + "ä" * 90})
    text = calendar(known.case, known.assessment, known.run)
    assert text.endswith("\r\n")
    lines = text.removesuffix("\r\n").split("\r\n")
    assert max(len(line.encode()) for line in lines) == 75
    assert not any("\n" in line for line in lines)
    [first, *_] = _read(text)
    assert str(first["DESCRIPTION"]).startswith(known.case.job.job.address)


def test_names_of_entries_are_stable_and_differ() -> None:
    known = known_good()
    one = [str(e["UID"]) for e in _read(calendar(known.case, known.assessment, known.run))]
    later = known_good({"run.today": "2026-10-21"})
    two = [str(e["UID"]) for e in _read(calendar(later.case, later.assessment, later.run))]
    assert one == two
    assert len(set(one)) == len(one)


def test_care_comes_back_every_year_and_lies_ahead() -> None:
    for today in ("2026-01-01", "2026-04-15", "2026-10-14", "2026-10-15", "2026-12-31"):
        known = known_good({"run.today": today})
        yearly = [e for e in events(known.case, known.assessment, known.run) if e.yearly]
        assert [event.on.month for event in yearly] == [4, 10]
        assert all(known.run.today < event.on for event in yearly)


def test_a_buyer_s_calendar_has_his_own_last_days_and_nothing_to_register() -> None:
    known = known_good()
    case = for_reader(known.case, Edition.RESALE)
    text = calendar(case, known.assessment, known.run, Edition.RESALE)
    titles = {str(one["SUMMARY"]): one["DTSTART"].dt for one in _read(text)}
    assert not any(title.startswith("Last day to register") for title in titles)
    # Twenty years from the day completion was signed; a first owner's has no end at all.
    assert titles["Coverage ends: material, Shingle level"] == date(2046, 9, 21)


def test_the_last_day_of_a_sale_is_an_entry_where_the_coverage_outlasts_it() -> None:
    """The shingles are for the first owner's life; a buyer's 20 years end 2046 (clause 5.1). Work ends 2036."""
    known = known_good()
    found = [
        (event.title, event.on)
        for event in events(known.case, known.assessment, known.run)
        if event.title.startswith("Last day on which a sale")
    ]
    assert found == [
        (
            "Last day on which a sale passes coverage on: Shingle level",
            date(2046, 9, 21),
        )
    ]
