"""What a coverage comes to after sales: worked examples, and what the record leaves open stays open."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.assess.passed_on import Holding, HouseSale, answer_on_day
from dossier.terms.coverage import Coverage
from dossier.words import OwnerKind

START = date(2025, 3, 14)
SOLD = date(2031, 6, 1)
DUE = date(2031, 7, 31)
"""60 calendar days, the day after the closing being day 1 (general trade practice, common practice)."""


def coverage(part: dict[str, object] | None = None, **transfer: object) -> Coverage:
    """Return a coverage with one part and one way to pass on, both with these fields changed."""
    one = {"part": "material", "full_pay_years": "10", "term_years": "25", **(part or {})}
    passing = {
        "clause": "5.1",
        "times": "1",
        "within_days": "60",
        "counted_from": "closing",
        "met_by": "received",
        **transfer,
    }
    return Coverage.model_validate(
        {
            "starts": "completion signed",
            "parts": [{name: value for name, value in one.items() if value is not None}],
            "transfer": {name: value for name, value in passing.items() if value is not None},
        }
    )


def held(terms: Coverage, *sales: HouseSale, on: date) -> Holding:
    return answer_on_day(terms, START, sales, on).parts[0].holding


@pytest.mark.parametrize(
    ("method", "months", "paid"),
    [
        ("whole term", 100, 9000),
        ("prorated part", 100, 9000),
        ("whole term", 180, 3600),
        ("prorated part", 180, 6000),
        ("whole term", 301, 0),
        ("prorated part", 301, 0),
    ],
)
def test_the_share_of_a_first_owner(method: str, months: int, paid: int) -> None:
    """Term 300 months, 120 in full, cost 9000. Source: general trade practice, both ways of prorating."""
    years, rest = divmod(months, 12)
    day = date(
        START.year + years + (START.month + rest - 1) // 12, (START.month + rest - 1) % 12 + 1, 14
    )
    answer = answer_on_day(coverage({"method": method}), START, (), day).parts[0]
    assert answer.share is not None
    assert answer.share * 9000 == paid
    assert (answer.holding is Holding.ENDED) == (paid == 0)


def test_notice_45_days_after_the_sale_is_in_time() -> None:
    """A window of 60 days, notice after 45, no transfer before. Source: general trade practice."""
    sale = HouseSale(SOLD, notice_received_on=SOLD + timedelta(days=45))
    answer = answer_on_day(coverage(), START, [sale], date(2032, 1, 1))
    assert answer.parts[0].holding is Holding.HOLDS
    assert answer.transfers == 1
    assert answer.notice_due_on == DUE


def test_notice_after_the_last_day_ends_it() -> None:
    late = HouseSale(SOLD, notice_received_on=DUE + timedelta(days=1))
    answer = answer_on_day(coverage(), START, [late], date(2032, 1, 1))
    assert answer.parts[0].holding is Holding.ENDED
    assert str(answer.because[-1]) == (
        "Notice of the sale reached the warrantor on 1 August 2031; the last day was 31 July 2031 (clause 5.1)."
    )


@pytest.mark.parametrize(
    ("sale", "day", "holding"),
    [
        (HouseSale(SOLD), DUE, Holding.OPEN),
        # A buyer may have written himself: the record's silence is not the end of the coverage.
        (HouseSale(SOLD), DUE + timedelta(days=1), Holding.CANNOT_TELL),
        (HouseSale(SOLD, notice_sent_on=SOLD), DUE, Holding.OPEN),
        (HouseSale(SOLD, notice_sent_on=SOLD), DUE + timedelta(days=1), Holding.CANNOT_TELL),
        # What was sent after the last day cannot have come in before it.
        (
            HouseSale(SOLD, notice_sent_on=DUE + timedelta(days=1)),
            DUE + timedelta(days=9),
            Holding.ENDED,
        ),
        (HouseSale(SOLD, notice_received_on=DUE), DUE, Holding.HOLDS),
        # What the warrantor has accepted was in time for him.
        (
            HouseSale(SOLD, notice_accepted_on=date(2031, 9, 1)),
            date(2032, 1, 1),
            Holding.HOLDS,
        ),
        (HouseSale(SOLD), SOLD - timedelta(days=1), Holding.HOLDS),
    ],
)
def test_what_meets_a_notice_that_must_be_received(
    sale: HouseSale, day: date, holding: Holding
) -> None:
    assert held(coverage(), sale, on=day) is holding


def test_what_meets_a_notice_that_must_be_sent() -> None:
    sale = HouseSale(SOLD, notice_sent_on=DUE)
    assert held(coverage(met_by="sent"), sale, on=date(2032, 1, 1)) is Holding.HOLDS


def test_a_second_sale_where_one_is_allowed_ends_it() -> None:
    first = HouseSale(SOLD, notice_received_on=SOLD)
    second = HouseSale(date(2035, 1, 1), notice_received_on=date(2035, 1, 2))
    answer = answer_on_day(coverage(), START, [second, first], date(2036, 1, 1))
    assert answer.parts[0].holding is Holding.ENDED
    assert (
        str(answer.because[-1]) == "By its terms it passes on 1 time; this is sale 2 (clause 5.1)."
    )
    assert held(coverage(times=None), first, second, on=date(2036, 1, 1)) is Holding.HOLDS


@pytest.mark.parametrize(
    ("sold", "holding"), [(date(2035, 3, 14), Holding.OPEN), (date(2035, 3, 15), Holding.ENDED)]
)
def test_a_sale_of_a_roof_past_its_age_passes_nothing_on(sold: date, holding: Holding) -> None:
    terms = coverage(roof_at_most_years="10")
    assert held(terms, HouseSale(sold), on=sold) is holding


@pytest.mark.parametrize(
    ("family_is_no_sale", "holding"),
    [("yes", Holding.HOLDS), ("no", Holding.OPEN), (None, Holding.CANNOT_TELL)],
)
def test_passing_within_the_family_is_what_the_terms_say(
    family_is_no_sale: str | None, holding: Holding
) -> None:
    terms = coverage(family_is_no_sale=family_is_no_sale, second_owner_years="20")
    sale = HouseSale(SOLD, in_family=True)
    assert held(terms, sale, on=SOLD) is holding


def test_terms_that_are_silent_on_a_sale_are_not_read_as_a_no() -> None:
    silent = coverage().model_copy(update={"transfer": None})
    answer = answer_on_day(silent, START, [HouseSale(SOLD)], date(2032, 1, 1))
    assert answer.parts[0].holding is Holding.CANNOT_TELL
    assert "say nothing of a sale" in str(answer.because[0])


def test_a_coverage_that_does_not_pass_ends_with_the_sale() -> None:
    answer = answer_on_day(coverage(allowed="no"), START, [HouseSale(SOLD)], SOLD)
    assert answer.parts[0].holding is Holding.ENDED


def test_a_lifetime_without_a_term_for_the_next_owner_cannot_be_told() -> None:
    lifetime = {"term_years": None, "lifetime": "yes", "full_pay_years": "50"}
    sale = HouseSale(SOLD, notice_received_on=SOLD)
    assert held(coverage(lifetime), sale, on=date(2032, 1, 1)) is Holding.CANNOT_TELL
    told = answer_on_day(
        coverage(lifetime, second_owner_years="20"), START, [sale], date(2032, 1, 1)
    ).parts[0]
    assert (told.holding, told.runs_to) == (Holding.HOLDS, date(2045, 3, 14))


def test_a_term_that_has_run_out_is_over_whoever_owns_the_house() -> None:
    """What the record leaves open of a notice no longer matters then."""
    answer = answer_on_day(coverage(), START, [HouseSale(SOLD)], date(2050, 3, 15)).parts[0]
    assert (answer.holding, answer.runs_to) == (Holding.ENDED, date(2050, 3, 14))


def test_days_that_count_from_something_else_than_the_closing_are_not_made_up() -> None:
    terms = coverage(counted_from="contract")
    answer = answer_on_day(terms, START, [HouseSale(SOLD)], date(2032, 1, 1))
    assert answer.parts[0].holding is Holding.CANNOT_TELL
    assert "not from the closing" in str(answer.because[-1])


def test_an_owner_of_another_kind_is_told_to_ask() -> None:
    terms = coverage().model_copy(update={"owner_kinds": (OwnerKind.LIVING_THERE,)})
    sale = HouseSale(SOLD, notice_received_on=SOLD, buyer_kind=OwnerKind.COMPANY)
    answer = answer_on_day(terms, START, [sale], SOLD + timedelta(days=1))
    assert "of the kind company" in str(answer.because[-1])


def test_before_its_start_and_without_one() -> None:
    before = answer_on_day(coverage(), START, (), START - timedelta(days=1)).parts[0]
    assert before.holding is Holding.NOT_STARTED
    unknown = answer_on_day(coverage(), None, (), START).parts[0]
    assert (unknown.holding, unknown.share) == (Holding.CANNOT_TELL, None)


days = st.dates(date(2025, 1, 1), date(2060, 12, 31))
maybe = st.none() | days
sales = st.builds(
    HouseSale,
    days,
    notice_sent_on=maybe,
    notice_received_on=maybe,
    notice_accepted_on=maybe,
    in_family=st.booleans(),
)
terms = st.builds(
    lambda part, transfer: coverage(part, **transfer),
    st.fixed_dictionaries({"method": st.sampled_from(["none", "whole term", "prorated part"])}),
    st.fixed_dictionaries(
        {
            "times": st.sampled_from([None, "0", "1", "2"]),
            "within_days": st.sampled_from([None, "0", "60"]),
            "met_by": st.sampled_from(["sent", "received", "accepted"]),
            "counted_from": st.sampled_from([None, "closing", "discovery"]),
            "roof_at_most_years": st.sampled_from([None, "5", "20"]),
            "second_owner_years": st.sampled_from([None, "10", "20"]),
            "family_is_no_sale": st.sampled_from([None, "yes", "no"]),
            "allowed": st.sampled_from(["yes", "no"]),
        }
    ),
)


@given(terms, st.lists(sales, max_size=3), days)
def test_every_chain_of_sales_has_an_answer_with_its_reason(
    one: Coverage, chain: list[HouseSale], day: date
) -> None:
    answer = answer_on_day(one, START, chain, day)
    assert answer.because
    if any(part.holding in (Holding.HOLDS, Holding.OPEN) for part in answer.parts):
        assert "does not pass to another owner" not in " ".join(map(str, answer.because))
    for part in answer.parts:
        assert (part.share is None) == (part.holding is Holding.CANNOT_TELL)
        assert part.share is None or 0 <= part.share <= 1
        if part.holding in (Holding.ENDED, Holding.NOT_STARTED):
            assert part.share == Fraction(0)


@given(terms, days, days)
def test_a_share_never_rises_with_time_for_one_owner(one: Coverage, day: date, other: date) -> None:
    early, late = sorted((max(day, START), max(other, START)))
    first, then = (answer_on_day(one, START, (), when).parts[0].share for when in (early, late))
    assert first is not None
    assert then is not None
    assert then <= first


def reason(terms: Coverage, *sales: HouseSale, on: date) -> str:
    return " ".join(map(str, answer_on_day(terms, START, sales, on).because))


FAMILY = HouseSale(date(2028, 1, 1), notice_received_on=date(2028, 1, 5), in_family=True)


def test_a_late_notice_after_a_sale_in_the_family_is_told_of_its_own_sale() -> None:
    """Where the terms do not say whether family counts, it is left out here as it is in the working."""
    late = HouseSale(SOLD, notice_received_on=date(2031, 9, 1))
    told = reason(coverage(), FAMILY, late, on=date(2032, 1, 1))
    assert "reached the warrantor on 1 September 2031; the last day was 31 July 2031" in told
    assert "5 January 2028" not in told
    silent = HouseSale(date(2028, 1, 1), in_family=True)
    assert "on 1 September 2031" in reason(coverage(), silent, late, on=date(2032, 1, 1))


def test_a_roof_too_old_after_a_sale_in_the_family() -> None:
    terms = coverage(roof_at_most_years="5", times=None)
    told = reason(terms, FAMILY, HouseSale(SOLD), on=date(2032, 1, 1))
    assert "only at a sale up to 14 March 2030" in told


@pytest.mark.parametrize("day", [date(2025, 3, 14), date(2032, 1, 1)])
def test_a_sale_before_the_terms_began_is_told_and_not_denied(day: date) -> None:
    answer = answer_on_day(coverage(), START, [HouseSale(date(2025, 3, 13))], day)
    assert answer.parts[0].holding is Holding.CANNOT_TELL
    assert [str(one) for one in answer.because] == [
        "The house changed hands on 13 March 2025, by this record, before these terms began on 14 March 2025. "
        "Whether they hold for the owner after that sale cannot be told; ask the warrantor.",
    ]
    # A term that has run out is over whoever owns the house.
    assert held(coverage(), HouseSale(date(2025, 3, 13)), on=date(2051, 1, 1)) is Holding.ENDED
    first_day = HouseSale(START, notice_received_on=START)
    assert held(coverage(), first_day, on=date(2032, 1, 1)) is Holding.HOLDS


@pytest.mark.parametrize(
    ("family_is_no_sale", "holding", "says"),
    [
        ("yes", Holding.HOLDS, "does not count as a sale"),
        ("no", Holding.ENDED, "does not pass to another owner"),
        (None, Holding.CANNOT_TELL, "cannot be told from the terms"),
    ],
)
def test_a_reason_agrees_with_its_parts_where_nothing_passes(
    family_is_no_sale: str | None, holding: Holding, says: str
) -> None:
    terms = coverage(allowed="no", family_is_no_sale=family_is_no_sale)
    told = reason(terms, FAMILY, on=date(2032, 1, 1))
    assert held(terms, FAMILY, on=date(2032, 1, 1)) is holding
    assert says in told
    assert ("does not pass to another owner" in told) == (holding is Holding.ENDED)


@pytest.mark.parametrize(
    "learnt", [{"notice_received_on": date(2031, 6, 20)}, {"notice_accepted_on": date(2031, 7, 2)}]
)
def test_what_came_after_the_day_asked_about_is_not_counted_on_it(learnt: dict[str, date]) -> None:
    sale = HouseSale(SOLD, **learnt)
    answer = answer_on_day(coverage(), START, [sale], date(2031, 6, 15))
    assert answer.parts[0].holding is Holding.OPEN
    assert "in time" not in " ".join(map(str, answer.because))
    assert str(answer.because[-1]).startswith("After that day, on ")
    later = answer_on_day(coverage(), START, [sale], date(2031, 7, 2))
    assert later.parts[0].holding is Holding.HOLDS
    assert "After that day" not in " ".join(map(str, later.because))


def test_what_follows_without_a_notice_is_said_only_as_typed() -> None:
    day = date(2032, 1, 1)
    silent = reason(coverage(), HouseSale(SOLD), on=day)
    assert "What then follows the terms as typed in here do not say; ask the warrantor." in silent
    assert "ended with the sale" not in silent
    typed = coverage(if_late="nothing; the coverage ends with the day of the sale")
    told = reason(typed, HouseSale(SOLD), on=day)
    assert "“nothing; the coverage ends with the day of the sale”" in told


def test_the_last_day_itself_is_a_day_on_which_notice_may_still_come() -> None:
    asked = "Notice must be received by 31 July 2031 (clause 5.1)."
    assert asked in reason(coverage(), HouseSale(SOLD), on=DUE)
    after = reason(coverage(), HouseSale(SOLD), on=DUE + timedelta(days=1))
    assert asked not in after
    assert "No notice that was received by 31 July 2031" in after


@pytest.mark.parametrize(("days", "holding"), [(0, Holding.CANNOT_TELL), (1, Holding.ENDED)])
def test_a_notice_sent_on_the_last_day_may_have_been_received_on_it(
    days: int, holding: Holding
) -> None:
    sale = HouseSale(SOLD, notice_sent_on=DUE + timedelta(days=days))
    assert held(coverage(), sale, on=date(2032, 1, 1)) is holding
