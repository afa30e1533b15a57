"""Every finding that something is missing or cannot be told is asked for, or says what settles it instead.

The findings are those of the rules' own examples, which know nothing of questions.
"""

import pytest

from dossier.punchlist import Item, SettledBy, Verdict
from dossier.questions.ask import questions
from dossier.rules.book import rule_book
from dossier.rules.declare import Example, Rule
from tests.blanks import said_by
from tests.known_good import Known, known_good

_FOUND = [
    pytest.param(rule, example, id=f"{rule.id}-{number}")
    for rule in rule_book()
    for number, example in enumerate(rule.examples)
    if example.finds is not None
]


def unsettled(item: Item, known: Known) -> bool:
    """Return whether an item neither is asked for nor says what settles it; both is as bad as neither."""
    asked = bool(questions([item], known.case))
    if item.verdict is Verdict.WRONG:
        return asked
    return asked is not (item.settled_by is SettledBy.FACT)


@pytest.mark.parametrize(("rule", "example"), _FOUND)
def test_what_is_missing_is_asked_for_or_settled_by_something_else(
    rule: Rule, example: Example
) -> None:
    known = known_good(example.edits)
    assert [str(item.says) for item in said_by(rule, known) if unsettled(item, known)] == []


def test_every_way_in_which_an_item_is_settled_is_one_that_some_rule_finds() -> None:
    found = {rule.settled_by for rule in rule_book()} | {
        item.settled_by
        for rule in rule_book()
        for example in rule.examples
        if example.finds is not None
        for item in said_by(rule, known_good(example.edits))
        if item.verdict is not Verdict.WRONG
    }
    assert found == set(SettledBy)
