"""Every finding that something is missing or cannot be told is asked for, or says what settles it instead.

The findings are those of the rules' own examples, which know nothing of questions.
"""

from datetime import date
from pathlib import Path

import pytest

from dossier.punchlist import Item, SettledBy, Verdict
from dossier.questions.ask import questions
from dossier.rules.book import rule_book
from dossier.rules.declare import Example, Rule
from tests import forty_jobs, held_out_jobs, jobs
from tests.blanks import said_by
from tests.jobs.made_up import loaded, made_up
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


_JOBS = [
    pytest.param(Path(folder.__file__).parent, path.parent.name, id=path.parent.name)
    for folder in (jobs, forty_jobs, held_out_jobs)
    for path in sorted(Path(folder.__file__).parent.glob("*/job.yaml"))
]


@pytest.mark.parametrize(("folder", "name"), _JOBS)
def test_so_it_is_in_jobs_that_were_written_for_other_ends(folder: Path, name: str) -> None:
    expected = loaded(name, "expected.yaml", folder)
    today = expected["days"][-1]["today"] if "days" in expected else expected["today"]
    known = made_up(name, date.fromisoformat(today), folder)
    assert [str(item.says) for item in known.punch_list if unsettled(item, known)] == []


def test_no_two_questions_ask_for_one_place() -> None:
    bare = {"job.permit": None, "job.deliveries": None, "job.work": None, "job.slopes": None}
    known = known_good(
        {**bare, "job.installation": None, "job.decks": None, "job.warranties": None}
    )
    places = [
        (one.file, field) for one in questions(known.punch_list, known.case) for field in one.fields
    ]
    assert len(places) > 10
    assert len(set(places)) == len(places)


def test_every_way_of_settling_is_declared_or_found() -> None:
    declared = {rule.settled_by for rule in rule_book()}
    assert declared | {SettledBy.SHEET} == set(SettledBy)
