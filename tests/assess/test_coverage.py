"""What each part of a coverage comes to on a day, for the first owner and after sales.

Judges: general trade practice for prorating and for notice of a sale (60 days, counted from the closing, the
last day counts; notice 45 days after a sale is in time). Common practice. Dates by the calendar.
"""

from datetime import date
from fractions import Fraction

import pytest

from dossier.assess.coverage import coverage_figures, coverage_on_day, owner_terms, transfer_rule
from dossier.terms.coverage import Coverage
from dossier.trade.owners import Sale
from tests.known_good import known_good

START, SOLD = date(2026, 9, 21), date(2031, 5, 15)
IN_TIME, LATE = date(2031, 7, 14), date(2031, 7, 15)
"""60 days from 15 May: 16 of May, 30 of June, 14 of July."""

TEN_OF_25 = {
    **{"part": "material", "full_pay_years": "10", "term_years": "25"},
    "method": "prorated part",
}
LIFE = {"part": "material", "full_pay_years": "50", "lifetime": "yes"}
PASSES = {"allowed": "yes", "times": "1", "within_days": "60", "second_owner_years": "15"}


def coverage(part: dict[str, str] = TEN_OF_25, **transfer: str | None) -> Coverage:
    told = {name: value for name, value in {**PASSES, **transfer}.items() if value is not None}
    return Coverage.model_validate(
        {"starts": "completion signed", "parts": [part], "transfer": told}
    )


def share(one: Coverage, day: date, *sales: Sale) -> Fraction:
    (found,) = coverage_on_day(one, START, sales, day)
    return found.share


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        (START, Fraction(1)),
        (date(2036, 9, 21), Fraction(1)),
        # 180 of 300 months: 1 - (180 - 120)/(300 - 120).
        (date(2041, 9, 21), Fraction(2, 3)),
        (date(2051, 9, 21), Fraction(0)),
    ],
)
def test_the_first_owner_s_share(day: date, expected: Fraction) -> None:
    assert share(coverage(), day) == expected


@pytest.mark.parametrize(
    ("sale", "expected"),
    [
        (Sale(SOLD, IN_TIME), Fraction(11, 12)),
        (Sale(SOLD, LATE), Fraction(0)),
        (Sale(SOLD, None), Fraction(0)),
        (Sale(SOLD, None, exempt=True), Fraction(11, 12)),
    ],
)
def test_after_one_sale_it_holds_with_a_notice_in_time(sale: Sale, expected: Fraction) -> None:
    """21 December 2037 is 135 months on: 1 - 15/180; a second owner's 15 years run to 2041."""
    assert share(coverage(), date(2037, 12, 21), sale) == expected


def test_a_second_owner_s_fixed_term_counts_from_the_original_day() -> None:
    one, sale = coverage(), Sale(SOLD, IN_TIME)
    assert share(one, date(2041, 9, 21), sale) == Fraction(2, 3)
    assert share(one, date(2041, 9, 22), sale) == 0
    # The first owner would have had it to 2051.
    assert share(one, date(2041, 9, 22)) > 0


def test_a_fixed_term_never_outlasts_the_first_owner_s() -> None:
    terms = owner_terms(coverage(second_owner_years="30"), coverage().parts[0])
    assert terms.later is None
    same = owner_terms(coverage(second_owner_years="25"), coverage().parts[0])
    assert same.later is None
    shorter = owner_terms(coverage(second_owner_years="24"), coverage().parts[0])
    assert shorter.later is not None
    assert shorter.later.term_months == 24 * 12


def test_a_lifetime_becomes_a_fixed_term_where_the_terms_name_one() -> None:
    life = coverage(LIFE)
    later = owner_terms(life, life.parts[0]).later
    assert later is not None
    assert later.term_months == 15 * 12
    blank = coverage(LIFE, second_owner_years=None)
    assert owner_terms(blank, blank.parts[0]).later is None


@pytest.mark.parametrize(
    ("transfer", "times", "days", "months"),
    [
        ({}, 1, 60, None),
        ({"roof_at_most_years": "20"}, 1, 60, 240),
        ({"times": None, "within_days": None}, None, None, None),
        ({"times": "0"}, 0, 60, None),
        ({"allowed": "no"}, 0, None, None),
    ],
)
def test_how_a_coverage_passes_on(
    transfer: dict[str, str | None], times: int | None, days: int | None, months: int | None
) -> None:
    rule = transfer_rule(coverage(**transfer))
    assert (rule.max_transfers, rule.notice_days, rule.within_roof_age_months) == (
        *(times, days),
        months,
    )


def test_terms_that_say_nothing_of_a_sale_pass_to_nobody() -> None:
    silent = coverage().model_copy(update={"transfer": None})
    assert transfer_rule(silent).max_transfers == 0
    assert share(silent, date(2032, 1, 1), Sale(SOLD, IN_TIME)) == 0


def test_every_part_has_its_own_share_and_says_who_promises_it() -> None:
    two = Coverage.model_validate(
        {
            "promised_by": "Ormskar Roofing",
            "starts": "completion signed",
            "parts": [TEN_OF_25, {"part": "labour", "full_pay_years": "4", "term_years": "4"}],
        }
    )
    found = coverage_on_day(two, START, (), date(2031, 1, 1))
    assert [(one.part.part.value, one.share) for one in found] == [("material", 1), ("labour", 0)]
    assert {one.promised_by for one in found} == {"Ormskar Roofing"}


# The figures that `working` prints: for the first owner, on the run's day.


def figures(edits: dict[str, object]) -> dict[str, str]:
    known = known_good(edits)
    return {
        str(figure.title): str(figure.result)
        for figure in coverage_figures(known.case, known.assessment.coverages, known.run.today)
    }


def test_no_figure_before_the_terms_begin_and_one_from_the_very_day() -> None:
    assert figures({"run.today": "2026-09-20"}) == {}
    assert figures({"run.today": "2026-09-21"}) != {}
    # The maker's terms, too, count from the day that is blank here.
    assert figures({"job.job.completion_signed_on": None}) == {}


def test_a_figure_says_whose_it_is_on_which_day_and_what_it_waits_for() -> None:
    found = figures({"run.today": "2060-04-10"})
    ours = "Ormskar workmanship coverage: workmanship, first owner, on 10 April 2060"
    assert found[ours] == "0 %, ended"
    today = figures({})
    assert any("once the maker confirms it: material" in title for title in today)
    assert set(today.values()) == {"100 %, full pay"}


def test_a_rounding_that_nobody_typed_is_named_where_months_are_counted() -> None:
    known = known_good()
    lines = known.assessment.coverages
    named = {
        (line.title, line.part.part.value)
        for line, figure in zip(
            lines, coverage_figures(known.case, lines, known.run.today), strict=True
        )
        if any(name == "months" for name, *_ in figure.inputs)
    }
    by_months = {
        (line.title, line.part.part.value)
        for line in lines
        if line.part.method.value in ("whole term", "prorated part")
    }
    assert named == by_months
    assert by_months

    typed = {
        f"company.workmanship.coverage.parts.0.{name}": value
        for name, value in {
            "term_years": "12",
            "method": "prorated part",
            "rounding": "started month counts",
        }.items()
    }
    again = known_good(typed)
    (own,) = [
        figure
        for figure in coverage_figures(again.case, again.assessment.coverages, again.run.today)
        if "workmanship coverage" in str(figure.title)
    ]
    assert [name for name, *_ in own.inputs] == ["start", "clause"]


@pytest.mark.parametrize(
    ("event", "field"),
    [
        ("completion signed", "job.completion_signed_on"),
        ("contract", "job.contract_on"),
        ("last shingle", "work"),
    ],
)
def test_a_figure_names_the_field_of_its_start(event: str, field: str) -> None:
    known = known_good({"company.workmanship.coverage.starts": event})
    (own,) = [
        figure
        for figure in coverage_figures(known.case, known.assessment.coverages, known.run.today)
        if "workmanship coverage" in str(figure.title)
    ]
    assert own.inputs[0][2].field == field
