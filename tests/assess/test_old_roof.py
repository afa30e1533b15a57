"""What stayed of the old roof, against IRC R908.3.1.1 and plain counting."""

import pytest

from dossier.assess.old_roof import old_roof
from dossier.words import OldCovering
from tests.known_good import known_good

OVER = {"job.job.scope": "recover", "job.job.layers_removed": "0", "job.job.layers_found": "1"}


@pytest.mark.parametrize(
    ("edits", "stays", "left", "fewer"),
    [
        ({}, False, 0, False),
        ({"job.job.layers_found": "2"}, False, 1, True),
        ({"job.job.layers_found": None}, False, None, None),
        (OVER, True, 1, True),
        # Of a recover none came off, whether or not somebody wrote the nought.
        ({**OVER, "job.job.layers_removed": None}, True, 1, None),
        ({"job.job.scope": "partial tear-off", "job.job.layers_found": "2"}, True, 1, True),
        ({"job.job.scope": "partial tear-off"}, False, 0, False),
        ({"job.job.scope": "partial tear-off", "job.job.layers_removed": None}, None, None, None),
    ],
)
def test_what_stayed(
    edits: dict[str, object], stays: bool | None, left: int | None, fewer: bool | None
) -> None:
    found = old_roof(known_good(edits).case)
    assert (found.stays, found.layers_left, found.fewer_removed) == (stays, left, fewer)


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("three-tab shingles over boards", OldCovering.ASPHALT),
        ("one layer of cedar shakes", OldCovering.WOOD_SHAKES),
        ("slate", OldCovering.SLATE),
        ("slate-grey laminated shingles", OldCovering.ASPHALT),
        ("asbestos-cement shingles", OldCovering.ASBESTOS_CEMENT),
        # What names two kinds, none, or denies one is for a person to say.
        ("asphalt shingles over wood shakes", None),
        ("old shingles", None),
        ("cement shingles, no asbestos", None),
    ],
)
def test_the_kind_by_its_words(words: str, kind: OldCovering | None) -> None:
    assert old_roof(known_good({"job.job.old_covering": words}).case).kind is kind


def test_a_typed_kind_counts_for_more_than_words() -> None:
    edits = {"job.job.old_covering": "slate", "job.job.old_covering_kind": "metal"}
    assert old_roof(known_good(edits).case).kind is OldCovering.METAL


@pytest.mark.parametrize(
    ("edits", "heavy"),
    [
        ({"job.job.old_covering_kind": "asphalt shingles"}, False),
        ({"job.job.old_covering_kind": "metal"}, None),
        ({"job.job.old_covering_kind": "metal", "job.job.old_covering_psf": "3"}, False),
        ({"job.job.old_covering_kind": "metal", "job.job.old_covering_psf": "3.1"}, True),
    ],
)
def test_weight(edits: dict[str, object], heavy: bool | None) -> None:
    # International Existing Building Code 2018, 706.2, exception 2: up to 3 psf is a light layer.
    assert old_roof(known_good({**OVER, **edits}).case).heavy is heavy


def test_a_nail_of_a_recover_passes_the_old_layer_too() -> None:
    # IRC R905.2.5: through roofing and a deck under 3/4 in. 0.35 in new (practice) + 0.35 in old + 1/2 in deck.
    stripped, over = known_good().assessment.nail_length, known_good(OVER).assessment.nail_length
    assert stripped is not None
    assert over is not None
    assert "0.85 in" in str(stripped.working.with_numbers)
    assert str(over.working.with_numbers).endswith("against 1.2 in")
