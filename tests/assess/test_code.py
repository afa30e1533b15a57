"""Wind, nails and their sizes, as a case gives them, against the code's figures worked out by hand."""

from fractions import Fraction

import pytest

from dossier.assess.code import nail_in
from dossier.assess.results import WindResult
from tests.known_good import known_good

SHINGLE = {"product": "Fenwright 40", "quantity": "42", "lots": "0012345 x 42"}


def wind(edits: dict[str, object]) -> WindResult:
    result = known_good(edits).assessment.wind
    assert result is not None
    return result


@pytest.mark.parametrize(
    ("edits", "verdict"),
    [
        # ASTM D7158/D7158M-24a, section 6.3: exposure B or C, mean roof height to 60 ft, no topographic speed-up.
        ({}, "enough"),
        ({"job.building.exposure": "D"}, "cannot tell"),
        ({"job.building.mean_roof_height_ft": "61"}, "cannot tell"),
        ({"job.building.hill_crest": "yes"}, "cannot tell"),
        # What is too low within the conditions is too low outside them.
        (
            {
                "job.building.exposure": "D",
                "job.building.design_wind_mph": "120",
                "job.deliveries.0.lines.0": {**SHINGLE, "wind_class": "D7158 D"},
            },
            "too low",
        ),
    ],
)
def test_a_class_says_nothing_outside_its_test(edits: dict[str, object], verdict: str) -> None:
    result = wind(edits)
    assert result.verdict == verdict
    assert bool(result.because) == (verdict == "cannot tell")


@pytest.mark.parametrize(
    ("label", "verdict", "needs"),
    [
        # IRC R905.2.4.1: D7158; D3161 only for shingles outside its scope (those that do not seal themselves).
        ("D7158 H, D3161 F", "enough", ()),
        ("D3161 F", "cannot tell", ("the D7158 class on the wrapper",)),
        ("D3161 A", "cannot tell", ("the D7158 class on the wrapper",)),
    ],
)
def test_a_shingle_that_may_seal_itself_is_judged_by_d7158(
    label: str, verdict: str, needs: tuple[str, ...]
) -> None:
    check = wind({"job.deliveries.0.lines.0": {**SHINGLE, "wind_class": label}}).check
    assert (check.verdict, check.needs) == (verdict, needs)


def test_of_two_field_shingles_the_weaker_counts() -> None:
    # Table R905.2.4.1, from memory: at 120 mph D7158 D is too low and H is enough.
    weak = {**SHINGLE, "quantity": "1", "wind_class": "D7158 D", "lots": "9 x 1"}
    result = wind({"job.deliveries.0.lines.10": weak, "job.building.design_wind_mph": "120"})
    assert result.check.verdict == "too low"


@pytest.mark.parametrize(
    ("deck", "nail", "verdict"),
    [
        # IRC R905.2.5: through a deck below 3/4 in, 3/4 in into a thicker one; 1/4 in of roofing above it.
        ("plywood 1/2 in", "3/4", "short"),
        ("plywood 1/2 in", "7/8", "enough"),
        ("plywood 3/4 in", "1.25", "enough"),
        ("plywood 3/4 in", "15/16", "short"),
        # 1.1 in is the most that any deck asks for, so its thickness need not be known.
        ("plywood", "1.25", "enough"),
        ("plywood", "15/16", "cannot tell"),
        # A deck laid over another is as thick as both: 3/8 + 1/2.
        (
            {
                "kind": "plywood",
                "thickness_in": "3/8",
                "redecked": "overlaid",
                "new_kind": "OSB",
                "new_thickness_in": "1/2",
            },
            "15/16",
            "short",
        ),
    ],
)
def test_nails_against_the_deck(deck: object, nail: str, verdict: str) -> None:
    known = known_good({"job.decks": [deck], "job.installation.fastener_length_in": nail})
    assert known.assessment.nail_length.verdict == verdict


def test_a_recover_is_nailed_through_the_old_layer_too() -> None:
    # 0.35 in of roofing, 0.35 in of old shingles, through 1/2 in of plywood: more than 1 in.
    edits = {
        "job.job.scope": "recover",
        "job.decks": "plywood 1/2 in",
        "job.installation.fastener_length_in": "1",
    }
    assert known_good(edits).assessment.nail_length.verdict == "short"
    assert known_good(
        {**edits, "job.job.scope": "full tear-off"}
    ).assessment.nail_length.verdict == ("enough")


def test_the_nail_s_length_comes_from_the_record_before_the_catalogue() -> None:
    assert nail_in(known_good().case) == Fraction(5, 4)
    typed = known_good({"job.installation.fastener_length_in": "1 1/2"})
    assert nail_in(typed.case) == Fraction(3, 2)
