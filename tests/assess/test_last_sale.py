"""The last day on which a sale passes anything on, judged by what each sale leaves a buyer.

Judge: `answer_on_day`, which walks the sales themselves and knows no last day; worked examples by the calendar.
"""

from datetime import date, timedelta

import pytest

from dossier.assess.claim import coverages_then
from dossier.assess.passed_on import Holding, HouseSale
from tests.known_good import Known, known_good

OWN = "company.workmanship.coverage"
TEN = {"part": "workmanship", "full_pay_years": "10", "term_years": "10"}
FOUR = {"part": "labour", "full_pay_years": "4", "term_years": "4"}
LIFE = {"part": "material", "full_pay_years": "50", "lifetime": "yes"}


def known(parts: list[dict[str, str]], **transfer: str | None) -> Known:
    edits = {f"{OWN}.transfer.{name}": value for name, value in transfer.items()}
    return known_good({f"{OWN}.parts": parts, **edits})


def own_last_sale(job: Known) -> date | None:
    (own,) = {line.last_sale for line in job.assessment.coverages if "workmanship" in line.title}
    return own


EXAMPLES = [
    ([TEN], {"roof_at_most_years": "20", "second_owner_years": "5"}, 2031),
    ([TEN], {"roof_at_most_years": "3", "second_owner_years": "5"}, 2029),
    ([TEN], {"roof_at_most_years": "20", "second_owner_years": None}, 2036),
    ([FOUR, TEN], {"second_owner_years": "8"}, 2034),
    ([FOUR, TEN], {"second_owner_years": "25"}, 2036),
    ([LIFE], {"second_owner_years": "20"}, 2046),
    ([LIFE, TEN], {"roof_at_most_years": "15", "second_owner_years": None}, 2041),
]


@pytest.mark.parametrize(("parts", "transfer", "year"), EXAMPLES)
def test_a_sale_on_the_last_day_leaves_something_and_a_day_later_nothing(
    parts: list[dict[str, str]], transfer: dict[str, str | None], year: int
) -> None:
    job = known(parts, **transfer)
    last = own_last_sale(job)
    assert last == date(year, 9, 21)

    def left(closing: date) -> set[Holding]:
        sale = HouseSale(closing, notice_accepted_on=closing)
        then = coverages_then(job.case, job.assessment, [sale], closing)
        (own,) = [one for one in then if "workmanship" in one.title]
        return {part.holding for part in own.answer.parts}

    assert left(last) != {Holding.ENDED}
    assert left(last + timedelta(days=1)) == {Holding.ENDED}


@pytest.mark.parametrize(
    ("parts", "transfer"),
    [
        ([LIFE, TEN], {"second_owner_years": None}),
        ([TEN], {"times": "0"}),
        ([TEN], {"allowed": "no"}),
    ],
)
def test_where_no_last_day_follows_there_is_none(
    parts: list[dict[str, str]], transfer: dict[str, str | None]
) -> None:
    assert own_last_sale(known(parts, **transfer)) is None


def test_without_a_start_the_years_are_told_and_no_day() -> None:
    job = known_good({"job.job.completion_signed_on": None})
    (own,) = [line for line in job.assessment.coverages if "workmanship" in line.title]
    assert (own.last_sale, own.last_sale_years) == (None, 10)
