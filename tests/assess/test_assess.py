"""Case, facts and day into the one assessment: every part is there, from the same case, on the same day.

Judge: the rooms' own results, each judged in its own test; here only that none is left out, swapped or made
of another day.
"""

from dataclasses import replace
from datetime import date

from dossier.assess.assess import assess
from dossier.trade.roof import roof_kind
from dossier.words import Role
from tests.jobs.made_up import made_up
from tests.known_good import Known, known_good

FAMILIES = {
    *("slope", "roof", "need", "supply", "attic", "wind", "deck", "nails", "deadline", "permit"),
    "coverage",
}


def families(known: Known) -> set[str]:
    return {figure.id.partition(".")[0] for figure in known.assessment.figures}


def test_every_family_of_figures_is_there_and_no_figure_twice() -> None:
    found = known_good().assessment.figures
    assert families(known_good()) == FAMILIES
    assert len({(figure.id, figure.title) for figure in found}) == len(found)


def test_a_figure_goes_with_what_it_is_of() -> None:
    whole = {figure.id for figure in known_good().assessment.figures}
    for gone, figure in (
        ("job.slopes", "roof.area"),
        ("job.decks", "deck.0.span"),
        ("job.repairs", "deck.price"),
        ("job.building.attics", "attic.0"),
        ("job.warranties", "deadline.warranties.0"),
    ):
        assert figure in whole
        assert figure not in {one.id for one in known_good({gone: None}).assessment.figures}, gone


def test_a_roof_without_slopes_has_no_take_off_and_no_kind() -> None:
    done = known_good({"job.slopes": None}).assessment
    assert (done.slopes, done.roles, done.roof_kind) == ((), (), "cannot tell")


def test_the_roof_s_kind_decides_its_waste() -> None:
    """Two planes with one ridge are a gable; a cape with four dormer planes is more cut up."""
    assert known_good().assessment.roof_kind == "gable"
    assert roof_kind([]) != "gable"
    assert made_up("cape-with-dormers", date(2026, 10, 5)).assessment.roof_kind != "gable"


def test_a_day_later_is_a_day_later_everywhere() -> None:
    """On 20 November the packet may still be received, on the 21st not (60 days from 21 September)."""
    known = known_good({"run.today": "2026-11-20"})
    late = assess(known.case, known.facts, replace(known.run, today=date(2026, 11, 21)))
    for done, passed in ((known.assessment, False), (late, True)):
        (asked,) = done.asked
        assert asked.level.deadline is not None
        assert asked.level.deadline.passed is passed
        titles = [str(figure.title) for figure in done.figures if figure.id.startswith("coverage.")]
        assert titles
        day = "21 November 2026" if passed else "20 November 2026"
        assert all(title.endswith(day) for title in titles)


def test_all_of_one_case_agrees() -> None:
    done = known_good().assessment
    assert [slope.label for slope in done.slopes] == ["front", "back"]
    assert {Role.FIELD_SHINGLE, Role.STARTER, Role.HIP_AND_RIDGE} <= {r.role for r in done.roles}
    assert [attic.name for attic in done.attics] == ["main"]
    assert len(done.decks) == 1
    assert done.wind is not None
    assert done.nail_length is not None
    assert done.prices is not None
    assert done.nailing.verdict != "cannot tell"
