"""The few words that results give of themselves: which verdict holds here, which slope, which leaf.

Judge: ASTM D7158, section 6.3: its classes hold in exposures B and C, to 60 ft of mean roof height, with no
speed-up over a hill; beside those conditions a class says nothing. That an insufficient class stays so is sense: a
harsher site helps no shingle.
"""

from dataclasses import replace

import pytest

from dossier.assess.results import ConditionResult, CoverageLine, Met, Statement, WindResult
from dossier.terms.conditions import Condition
from dossier.trade.wind import Conditions, WindCheck
from dossier.words import Backing, Role
from tests.known_good import known_good


def wind(edits: dict[str, object]) -> WindResult:
    found = known_good(edits).assessment.wind
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("edits", "verdict", "because"),
    [
        ({}, "enough", ""),
        ({"job.building.exposure": "C"}, "enough", ""),
        ({"job.building.exposure": "D"}, "cannot tell", "exposure D"),
        ({"job.building.hill_crest": "yes"}, "cannot tell", "hill"),
        ({"job.building.mean_roof_height_ft": "60"}, "enough", ""),
        ({"job.building.mean_roof_height_ft": "61"}, "cannot tell", "61"),
        # Above the last row of the code's table even the highest class is not enough, wherever it stands.
        ({"job.building.design_wind_mph": "300", "job.building.exposure": "D"}, None, ""),
    ],
)
def test_a_class_holds_only_within_the_test_s_conditions(
    edits: dict[str, object], verdict: str | None, because: str
) -> None:
    found = wind(edits)
    if verdict is None:
        assert found.verdict == found.check.verdict
        assert found.verdict != "enough"
    else:
        assert found.verdict == verdict
    assert because in str(found.because)
    assert bool(found.because) is (found.verdict != found.check.verdict)


def test_outside_the_conditions_a_low_class_is_still_too_low() -> None:
    base = wind({"job.building.exposure": "D"})
    assert isinstance(base.check, WindCheck)
    assert isinstance(base.conditions, Conditions)
    low = replace(base, check=replace(base.check, verdict="too low"))
    assert (low.verdict, low.because) == ("too low", None)


def test_leaves_of_a_group_are_its_members_and_their_members() -> None:
    def one(clause: str, *parts: ConditionResult) -> ConditionResult:
        condition = Condition.model_validate(
            {"clause": clause, "says": "Something.", "full_tear_off": "yes"}
        )
        return ConditionResult(condition, Met.MET, "", "", "", (), parts)

    def clauses(result: ConditionResult) -> list[str]:
        return [leaf.condition.clause for leaf in result.leaves]

    assert clauses(one("1")) == ["1"]
    assert clauses(one("1", one("1 a"), one("1 b", one("1 b i"), one("1 b ii")))) == [
        *("1 a", "1 b i", "1 b ii")
    ]


def test_a_statement_on_a_slope_and_as_a_whole() -> None:
    by_slope = ((Backing.REVIEWED, ("front",)), (Backing.STATED, ("back", "porch")))
    one = Statement("x", "X", Backing.STATED, (), by_slope)
    assert [one.on(label) for label in ("front", "back", "porch", "garage", None)] == [
        *(Backing.REVIEWED, Backing.STATED, Backing.STATED, Backing.STATED, Backing.STATED)
    ]
    assert Statement("x", "X", Backing.ON_FILE, ()).on("front") is Backing.ON_FILE


def test_what_is_asked_for_by_name_is_that_or_nothing() -> None:
    done = known_good().assessment
    front = done.slope("front")
    assert front is not None
    assert front.label == "front"
    assert done.slope("garage") is None
    starter = done.role(Role.STARTER)
    assert starter is not None
    assert starter.role is Role.STARTER
    assert done.role(Role.VALLEY) is None
    nails = done.statement("nails")
    assert nails is not None
    assert nails.id == "nails"
    assert done.statement("nail") is None


def test_coverages_of_one_name_in_two_documents_are_two() -> None:
    line: CoverageLine = known_good().assessment.coverages[0]
    other = replace(line, document="Another document")
    renamed = replace(line, title="Another level")
    assert len({line.title_key, other.title_key, renamed.title_key}) == 3
    assert replace(line, promised_by="somebody else").title_key == line.title_key
