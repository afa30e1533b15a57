"""Pages sent to those who owe something: each rule has words for them, and amounts go to the owner alone."""

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from dossier.compose.punch_list.pages import punch_list_pages
from dossier.compose.punch_list.tear_off import CAUTION, OLD_PAINT, TearOff, _row
from dossier.rules.book import rule_book
from dossier.said import Inches, Money, say
from tests.compose.made import everything, made
from tests.known_good import known_good

MESSY: dict[str, object] = {
    "job.after_work.flues": None,
    "job.repairs.0.approved": None,
    "job.repairs.0.cause": None,
    "job.permit.closed_on": None,
    "job.money.waivers": None,
    "job.money.payments": None,
    "job.deliveries.0.lines.1": "2 bundles Firstrow starter",
    "job.deliveries.0.ticket": "99999",
    "job.building.year_built": "1962",
    "facts.papers/inspection-card.pdf": None,
    "facts.photos/field/front.jpg": None,
    "job.warranties.0.owner_signed_on": None,
}
ASKS = {rule.id: rule.asks for rule in rule_book() if rule.asks}


def pages_of(edits: dict[str, object]) -> dict[str, TearOff]:
    return {page.to: page for page in made(edits).punch_list.tear_offs}


@pytest.mark.parametrize("rule", sorted(ASKS))
def test_a_request_is_plain_and_speaks_to_its_reader(rule: str) -> None:
    """No field of the record, no folder of the office, no word on who pays what."""
    text = ASKS[rule]
    assert text.endswith(".")
    assert not re.search(r"[a-z]_[a-z]|\w+\.\w+_|/|\.yaml|the owner|\$", text), text


def test_each_party_has_one_page_and_the_office_none() -> None:
    pages = pages_of(MESSY)
    assert {"the crew", "the homeowner", "the supplier", "the permit office"} <= set(pages)
    assert "the office" not in pages
    assert pages_of({}).get("the crew") is None


def test_the_soonest_comes_first_and_every_request_has_a_reason() -> None:
    page = pages_of(MESSY)["the permit office"]
    dated = [row.by != "as soon as you can" for row in page.rows]
    assert dated == sorted(dated, reverse=True)
    assert all(row.why.endswith(".") for row in page.rows)
    assert "118 Plover Lane" in page.house
    assert "555-0110" in page.office


def test_only_the_owner_s_page_tells_an_amount_and_none_how_to_reach_the_owner() -> None:
    edits = {**MESSY, "job.repairs.0.price": "7,391.55", "job.money.contract": "41,207.33"}
    pages = pages_of(edits)
    for page in pages.values():
        text = everything(page)
        assert not re.search(r"555-0141|m\.ekdahl|[A-Z]{3}-\d{3}", text), page.to
        assert page.to == "the homeowner" or not re.search(r"\$|7,391|41,207", text), page.to


def test_the_owner_is_asked_to_agree_to_work_that_is_named() -> None:
    [row] = [row for row in pages_of(MESSY)["the homeowner"].rows if row.ask == ASKS["DEC-005"]]
    assert row.found == (
        "Deck repair 1 on slope back, sheets replaced, 2 sheets of 4 ft by 8 ft, $192.00, was not approved by "
        "the owner on record.",
    )


@pytest.mark.parametrize(
    ("edits", "waits"),
    [
        ({}, ()),
        (
            {"job.after_work.flues": None},
            (
                "Nobody is on record as having looked at the flues and combustion vents after the work.",
            ),
        ),
        ({"job.permit.closed_on": None}, ("The permit is not closed on record.",)),
        # Closed by its day, and an inspection that the place asks for is not on record all the same.
        (
            {"job.permit.inspections": "deck and ice barrier, 2026-09-14, passed, R. Lindmark"},
            ("The final inspection is not on record; Vintermark County asks for it.",),
        ),
    ],
)
def test_no_owner_signs_while_somebody_is_in_danger_or_the_permit_is_open(
    edits: dict[str, object], waits: tuple[str, ...]
) -> None:
    """A signature that the work is complete starts terms and releases money."""
    page = pages_of({"job.job.completion_signed_on": None, **edits})["the homeowner"]
    assert page.waits == waits
    assert (ASKS["MON-001"] in {row.ask for row in page.rows}) == (not waits)


def test_a_measure_is_no_amount() -> None:
    edits: dict[str, object] = {"job.installation.ice_barrier_reach_in": "30"}
    [row] = [row for row in pages_of(edits)["the crew"].rows if row.ask == ASKS["COD-002"]]
    assert "40.25 in" in row.found[0]


def test_a_page_that_may_send_somebody_up_says_how_not_to() -> None:
    pages = pages_of(MESSY)
    assert pages["the crew"].cautions == (CAUTION, OLD_PAINT)
    assert pages["the supplier"].cautions == ()


def test_an_unreadable_record_has_no_page_to_send() -> None:
    known = known_good()
    assert punch_list_pages(None, "2026-041", known.punch_list, known.run).tear_offs == ()


def test_an_amount_is_seen_as_a_value_and_in_somebodys_words() -> None:
    item = next(one for one in known_good({"job.repairs.0.approved": None}).punch_list if one.asks)
    words = {
        "a price": Money(Decimal("7391.55")),
        "typed": "we said $90",
        "a length": Inches(Fraction(9)),
    }
    told = {
        what: [
            bool(_row([replace(item, says=say("It is {it}.", it=value))], amounts=amounts).found)
            for amounts in (False, True)
        ]
        for what, value in words.items()
    }
    assert told == {"a price": [False, True], "typed": [False, False], "a length": [True, True]}
