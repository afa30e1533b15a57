"""Coverages of one roof on one day, and the notice of a claim: both ways where the record cannot tell."""

from datetime import date

import pytest

from dossier.assess.assess import assess
from dossier.assess.claim import Basis, CoverageThen, coverages_then, notices, roof_age_months
from dossier.assess.passed_on import Holding, HouseSale
from dossier.values import write_share
from tests.known_good import Known, known_good

YEAR_14 = "2040-03-02"
ACCEPTED = {
    "job.warranties.0.received_on": "2026-10-14",
    "job.warranties.0.accepted_on": "2026-10-15",
    "job.warranties.0.confirmation": "KM-1",
}


def then(known: Known) -> dict[str, CoverageThen]:
    found = coverages_then(known.case, known.assessment, (), known.run.today)
    assert len({one.title for one in found}) == len(found)
    return {one.title: one for one in found}


def test_an_unregistered_level_is_told_both_ways() -> None:
    found = then(known_good({"run.today": YEAR_14}))
    assert {title: one.basis for title, one in found.items()} == {
        "Full Assembly level": Basis.IF_REGISTERED,
        "Shingle level": Basis.IF_NOT_REGISTERED,
        "Ormskar workmanship coverage": Basis.RECORD,
    }
    assert "No confirmation by Kestrelmoor" in str(found["Full Assembly level"].notes[0])


def test_a_registered_level_stands_alone() -> None:
    found = then(known_good({"run.today": YEAR_14, **ACCEPTED}))
    assert found["Full Assembly level"].basis is Basis.RECORD
    assert "Shingle level" not in found
    assert "confirmation number KM-1" in str(found["Full Assembly level"].notes[0])


def test_a_late_registration_that_the_maker_accepted_holds() -> None:
    late = {"job.warranties.0.accepted_on": "2027-03-01"}
    found = then(known_good({"run.today": YEAR_14, **late}))
    assert found["Full Assembly level"].basis is Basis.RECORD


def test_a_level_the_roof_as_built_cannot_earn_is_not_held_out() -> None:
    """Four nails where six are asked for cannot be mended by a registration."""
    found = then(known_good({"run.today": YEAR_14, "job.installation.nails_per_shingle": "4"}))
    assert "Full Assembly level" not in found
    assert found["Shingle level"].basis is Basis.RECORD
    assert "3.10 (not met)" in " ".join(map(str, found["Shingle level"].not_shown))


@pytest.mark.parametrize("day", ["2026-09-21", "2027-01-01", YEAR_14, "2055-06-01", "2090-01-01"])
@pytest.mark.parametrize("registered", [False, True])
def test_the_shares_are_those_that_working_prints_for_the_day(day: str, registered: bool) -> None:
    """`dossier working --today` prints the figures of the same assessment."""
    known = known_good({"run.today": day, **(ACCEPTED if registered else {})})
    printed = {f.id: str(f.result) for f in assess(known.case, known.facts, known.run).figures}
    ends = {(line.title, line.part.part): line.ends for line in known.assessment.coverages}
    compared = 0
    for title, one in then(known).items():
        for answer in one.answer.parts:
            figure = f"coverage.{title} {answer.part.part.value}".lower().replace(" ", "_")
            if figure in printed:
                assert answer.share is not None
                assert printed[figure].startswith(f"{write_share(answer.share)}, "), figure
                # The calendar that rides in the handover is made from the same ends.
                assert answer.runs_to == ends[title, answer.part.part], figure
                compared += 1
    assert compared >= 5


def test_the_claim_s_notice_counts_from_the_day_the_damage_was_seen() -> None:
    """30 days from 2025-03-14 end on 2025-04-13. Source: general trade practice, date arithmetic."""
    known = known_good()
    (notice,) = notices(known.assessment, date(2025, 3, 14))
    assert (notice.within_days, notice.last_day) == (30, date(2025, 4, 13))
    assert notice.met_by is not None
    assert notice.met_by.value == "received"
    (unseen,) = notices(known.assessment, None)
    assert unseen.last_day is None


def test_a_sheet_that_does_not_say_how_to_claim_is_not_filled_in() -> None:
    known = known_good({"terms.kestrelmoor-2026.claim": None})
    (notice,) = notices(known.assessment, date(2040, 3, 1))
    assert (notice.last_day, notice.within_days, notice.met_by, notice.asks_for) == (
        None,
        None,
        None,
        "",
    )


def test_a_roof_without_its_start_on_record_cannot_be_told() -> None:
    known = known_good({"run.today": YEAR_14, "job.job.completion_signed_on": None})
    for one in then(known).values():
        assert {part.holding for part in one.answer.parts} == {Holding.CANNOT_TELL}


def test_the_age_of_the_roof_counts_from_the_last_shingle() -> None:
    known = known_good()
    # The caps went on last, on 2026-09-16.
    assert roof_age_months(known.assessment, date(2040, 3, 2)) == 13 * 12 + 5
    assert roof_age_months(known.assessment, date(2026, 9, 1)) is None


def test_a_certificate_on_file_is_a_registration_and_one_in_time_is_told() -> None:
    filed = {"job.warranties.0.certificate_file": "papers/completion.pdf"}
    found = then(known_good({"run.today": YEAR_14, **filed}))
    assert found["Full Assembly level"].basis is Basis.RECORD
    assert str(found["Full Assembly level"].notes[0]) == "A certificate of Kestrelmoor is on file."
    # Received before its last day, and nothing was confirmed: in time, and nobody said so.
    received = {"job.warranties.0.received_on": "2026-10-14"}
    found = then(known_good({"run.today": YEAR_14, **received}))
    assert found["Full Assembly level"].basis is Basis.RECORD
    assert str(found["Full Assembly level"].notes[0]).startswith(
        "The registration was in time by this"
    )
    assert "Shingle level" not in found


def test_what_cannot_be_told_of_a_condition_is_named_beside_what_is_not_met() -> None:
    blank = {"job.installation.nails_per_shingle": None}
    (lacking,) = then(known_good({**ACCEPTED, **blank}))["Full Assembly level"].not_shown
    assert "3.10 (cannot tell)" in str(lacking)
    assert then(known_good(ACCEPTED))["Full Assembly level"].not_shown == ()


def test_an_owner_of_another_kind_is_told_of_until_the_house_is_sold() -> None:
    """The terms write this level for owners who live there and for landlords."""
    company = known_good({**ACCEPTED, "run.today": YEAR_14, "job.owners.0": {"kind": "company"}})
    day = company.run.today
    sale = HouseSale(date(2031, 5, 15), notice_accepted_on=date(2031, 6, 1))
    said = {}
    for sales in ((), (sale,)):
        found = coverages_then(company.case, company.assessment, sales, day)
        (full,) = [one for one in found if one.title == "Full Assembly level"]
        said[sales] = " ".join(map(str, full.notes))
    assert "living there or landlord; the owner on record is of the kind company" in said[()]
    assert "the owner on record" not in said[(sale,)]
    landlord = known_good({**ACCEPTED, "job.owners.0": {"kind": "landlord"}})
    assert "kind" not in " ".join(map(str, then(landlord)["Full Assembly level"].notes))


def test_a_claim_may_count_from_another_event_than_the_day_of_the_damage() -> None:
    """30 days from 21 September 2026: 9 of September, 21 of October."""
    known = known_good({"terms.kestrelmoor-2026.claim.counted_from": "completion signed"})
    (notice,) = notices(known.assessment, date(2040, 3, 1))
    assert (notice.event_on, notice.last_day) == (date(2026, 9, 21), date(2026, 10, 21))


def test_two_levels_of_one_sheet_have_one_notice() -> None:
    row = {"sheet": "kestrelmoor-2026", "level": "Shingle"}
    known = known_good({"job.warranties.1": row})
    assert len(known.assessment.asked) == 2
    assert len(notices(known.assessment, date(2040, 3, 1))) == 1
