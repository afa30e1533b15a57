"""Every rule's own examples, run against the known-good job."""

import pytest

from dossier.rules.book import rule_book
from dossier.rules.declare import Example, Rule
from tests.known_good import known_good

_CASES = [
    pytest.param(rule, example, id=f"{rule.id}-{number}")
    for rule in rule_book()
    for number, example in enumerate(rule.examples)
]


@pytest.mark.parametrize(("rule", "example"), _CASES)
def test_example_of_a_rule(rule: Rule, example: Example) -> None:
    known = known_good(example.edits)
    items = list(rule.items(known.case, known.facts, known.assessment, known.run))
    found = [str(item.says) for item in items]
    if example.finds is None:
        assert found == []
    else:
        assert example.finds in found


def test_the_known_good_job_has_nothing_heavy_but_its_registration() -> None:
    heavy = [item.rule for item in known_good().punch_list if item.weight != "note"]
    assert heavy == ["REG-002"]
    assert not known_good().punch_list.holds_anything
