"""Each place of a good job left blank: what the list then lacks is asked for, and the old text puts it right."""

from functools import cache

import pytest

from dossier.punchlist import Item, SettledBy, Verdict
from dossier.questions.ask import questions
from dossier.questions.question import Question
from dossier.reading.model import is_list, kind_in, model_in
from dossier.record.fields import find
from dossier.record.trees import JOB_FILE
from dossier.rules.facts import address_of
from tests.blanks import places
from tests.known_good import GOOD_JOB, known_good
from tests.questions.answered import Typed, answer_all, tree_of

_OTHERWISE = {
    "slopes.1.plan": "Its area is asked for, which the old record does not say.",
    "repairs": "Who agreed to the change order is asked for, which the old record says at the repair.",
    "work.3.checked_by": "Who saw boots and ground is asked for, which the old record does not say apart.",
}
"""Blanks for which another fact is asked than stood there, with the reason."""


@cache
def whole() -> Typed:
    """Return the known-good job as it is typed."""
    return Typed(known_good(), (GOOD_JOB / JOB_FILE).read_bytes()).changed([])


@cache
def asked_anyway() -> tuple[Question, ...]:
    """Return the questions of the job with nothing left blank."""
    return whole().asked


_SHEETS = ("locality.", "company.", "photos")
PLACES = tuple(
    {
        address_of(path): path for path in places(known_good()) if not path.startswith(_SHEETS)
    }.values()
)
"""One place of each address."""


@pytest.mark.parametrize("path", PLACES)
def test_what_a_blank_makes_the_list_lack_is_asked_for_and_answered(path: str) -> None:
    blank = whole().without(path)
    assert [str(item.says) for item in blank.known.punch_list if _unasked(item, blank)] == []
    new = [one for one in blank.asked if one.fields not in {q.fields for q in asked_anyway()}]
    if not new or path in _OTHERWISE:
        return
    for one in new:
        assert_answered_as_declared(one)
    after, given = answer_all(blank, whole(), asked_anyway())
    assert given
    assert after.said == whole().said
    if given.keys() == {path}:
        assert after.job == whole().job


def _unasked(item: Item, job: Typed) -> bool:
    to_ask = item.verdict is not Verdict.WRONG and item.settled_by is SettledBy.FACT
    return to_ask and not questions([item], job.known.case)


def assert_answered_as_declared(one: Question) -> None:
    """Hold a question to what its field declares, found by the walk that corrections take."""
    spot = find(tree_of(whole().data), JOB_FILE, one.fields[0])
    kind, model = kind_in(spot.info), model_in(spot.info.annotation)
    assert one.meaning == spot.info.description
    if model is not None:
        assert (one.kind, one.example) == ("one line", model.short_form)
        assert one.takes_more is is_list(spot.info.annotation)
    else:
        assert kind is not None
        assert one.kind == kind.name
        assert one.choices == (("yes", "no") if kind.name == "yes or no" else kind.choices)
        assert one.several is is_list(spot.info.annotation)
        assert not one.takes_more
