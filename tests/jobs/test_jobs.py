"""Ten made-up jobs against what was worked out by hand for each.

Beside each figure in `NAME/expected.yaml` stands its working and its source. The punch list must hold those
items and no others: a job that is good but for one thing shows a false alarm as plainly as a missed fault.
"""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from dossier.assess.coverage import coverage_on_day
from dossier.trade.deadlines import recoverable_depreciation
from dossier.trade.owners import Sale
from tests.jobs.made_up import NAMES, loaded, made_up
from tests.known_good import Known

EXPECTED = {name: loaded(name, "expected.yaml") for name in NAMES}
_DAYS = [
    pytest.param(name, day, id=f"{name}-{day['today']}")
    for name in NAMES
    for day in EXPECTED[name]["days"]
]
HALF_A_HUNDREDTH = Fraction(1, 200)


def pairs(known: Known) -> list[str]:
    """Return rule and place of every item, a photo folder standing for the field where there is none."""
    return sorted(f"{item.rule} {item.where.field or item.where.file}" for item in known.punch_list)


@pytest.mark.parametrize(("name", "day"), _DAYS)
def test_the_punch_list_holds_these_items_and_no_others(name: str, day: dict[str, Any]) -> None:
    assert pairs(made_up(name, _day(day["today"]))) == sorted(day["items"])


@pytest.mark.parametrize(("name", "day"), _DAYS)
def test_the_best_level_that_can_still_be_earned(name: str, day: dict[str, Any]) -> None:
    expected = day.get("best_level", EXPECTED[name]["figures"].get("best_level"))
    best = made_up(name, _day(day["today"])).assessment.asked[0].best
    assert best is not None
    assert best.level.level == expected


_NUMBERS: dict[str, Callable[[Known], dict[str, Fraction | None]]] = {
    "slope_area_sqft": lambda known: {s.label: s.area_sqft for s in known.assessment.slopes},
    "ice_barrier_required_in": lambda known: {
        s.label: s.reach.required_in if s.reach else None for s in known.assessment.slopes
    },
    "attic_required_sqin": lambda known: {a.name: a.required_sqin for a in known.assessment.attics},
}
_WORDS: dict[str, Callable[[Known], dict[str, str]]] = {
    "attic_verdict": lambda known: {a.name: a.verdict for a in known.assessment.attics},
    "take_off": lambda known: {
        str(r.role.value): r.take_off.verdict for r in known.assessment.roles
    },
    "underlayment_layers": lambda known: {
        s.label: str(s.underlayment.layers) for s in known.assessment.slopes if s.underlayment
    },
}
_SINGLE_NUMBERS: dict[str, Callable[[Known], Fraction | Decimal | None]] = {
    "roof_area_sqft": lambda known: known.assessment.totals.area_sqft,
    "valley_ft": lambda known: known.assessment.totals.valley_ft,
    "ridge_ft": lambda known: known.assessment.totals.ridge_ft,
    "recoverable": lambda known: _recoverable(known),
}
_SINGLE_WORDS: dict[str, Callable[[Known], str]] = {
    "roof_kind": lambda known: known.assessment.roof_kind,
    "level_in_force": lambda known: known.assessment.asked[0].in_force.level,
    "registration_last_day": lambda known: str(_last_day(known)),
}
_ELSEWHERE = ("best_level", "coverage", "spoiled_by")


def _cases(table: dict[str, Any]) -> list[Any]:
    return [
        pytest.param(name, what, id=f"{name}-{what}")
        for name in NAMES
        for what in EXPECTED[name]["figures"]
        if what in table
    ]


def test_every_expected_figure_is_looked_at() -> None:
    known = {*_NUMBERS, *_WORDS, *_SINGLE_NUMBERS, *_SINGLE_WORDS, *_ELSEWHERE}
    for name in NAMES:
        assert set(EXPECTED[name]["figures"]) <= known


@pytest.mark.parametrize(("name", "what"), _cases(_NUMBERS))
def test_figures_to_the_hundredth(name: str, what: str) -> None:
    found = _NUMBERS[what](_last(name))
    for label, expected in EXPECTED[name]["figures"][what].items():
        figure = found[label]
        assert figure is not None, label
        assert abs(figure - Fraction(expected)) <= HALF_A_HUNDREDTH, (label, float(figure))


@pytest.mark.parametrize(("name", "what"), _cases(_WORDS))
def test_verdicts(name: str, what: str) -> None:
    expected = EXPECTED[name]["figures"][what]
    found = _WORDS[what](_last(name))
    assert {label: found.get(label) for label in expected} == expected


@pytest.mark.parametrize("name", NAMES)
def test_no_take_off_is_short_or_over_on_these_jobs(name: str) -> None:
    # Quantities were chosen to fit, down to the nails: any other verdict would be a false alarm.
    found = _WORDS["take_off"](_last(name))
    assert {role: verdict for role, verdict in found.items() if verdict in ("short", "over")} == {}


@pytest.mark.parametrize(("name", "what"), _cases(_SINGLE_NUMBERS))
def test_single_figures_to_the_hundredth(name: str, what: str) -> None:
    figure = _SINGLE_NUMBERS[what](_last(name))
    assert figure is not None
    expected = Fraction(EXPECTED[name]["figures"][what])
    assert abs(Fraction(figure) - expected) <= HALF_A_HUNDREDTH, float(figure)


@pytest.mark.parametrize(("name", "what"), _cases(_SINGLE_WORDS))
def test_single_words(name: str, what: str) -> None:
    assert _SINGLE_WORDS[what](_last(name)) == EXPECTED[name]["figures"][what]


@pytest.mark.parametrize(("name", "what"), _cases({"spoiled_by": None}))
def test_the_products_that_spoil_the_level(name: str, what: str) -> None:
    spoilers = _last(name).assessment.asked[0].level.spoiled_by
    assert [material.name for material in spoilers] == EXPECTED[name]["figures"][what]


_COVERAGE = [
    pytest.param(name, line, id=f"{name}-{number}-{line['part']}-{line['on']}")
    for name in NAMES
    for number, line in enumerate(EXPECTED[name]["figures"].get("coverage", []))
]


@pytest.mark.parametrize(("name", "line"), _COVERAGE)
def test_who_has_what_on_a_day(name: str, line: dict[str, Any]) -> None:
    known = _last(name)
    asked = known.assessment.asked[0]
    levels = {result.level.level: result.level for result in (asked.level, *asked.others)}
    coverage = levels[line["level"]].coverage
    start = known.assessment.events[coverage.starts].day
    assert start is not None
    sales = [
        Sale(
            _day(sale["sold"]),
            _day(sale["notice"]) if "notice" in sale else None,
            exempt=sale.get("exempt") == "yes",
        )
        for sale in line.get("sales", [])
    ]
    parts = coverage_on_day(coverage, start, sales, _day(line["on"]))
    part = next(found for found in parts if found.part.part.value == line["part"])
    assert (part.share, part.standing.status) == (Fraction(line["share"]), line["standing"])


def _day(text: str) -> date:
    return date.fromisoformat(text)


def _last(name: str) -> Known:
    """Return the job on the last of its days."""
    return made_up(name, _day(EXPECTED[name]["days"][-1]["today"]))


def _last_day(known: Known) -> date | None:
    deadline = known.assessment.asked[0].level.deadline
    return deadline.last_day if deadline else None


def _recoverable(known: Known) -> Decimal:
    insurance, money = known.case.job.insurance, known.case.job.money
    assert insurance is not None
    assert money is not None
    cost = sum((invoice.amount for invoice in money.invoices if invoice.amount), Decimal(0))
    assert insurance.replacement_value is not None
    assert insurance.deductible is not None
    assert insurance.first_payment is not None
    return recoverable_depreciation(
        cost, insurance.replacement_value, insurance.deductible, insurance.first_payment
    ).amount
