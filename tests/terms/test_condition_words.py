"""A condition whose sheet has no words of its own is told in a whole sentence."""

import pytest

from dossier.terms.conditions import TESTS, Condition

TOLD = {
    "same_maker": (["starter", "hip and ridge"], "The maker’s own starter and hip and ridge."),
    "counted_accessories": (
        {"at_least": "2", "of": ["starter", "hip and ridge", "ice barrier"]},
        "At least 2 of the maker’s own starter, hip and ridge and ice barrier.",
    ),
    "certification": ("Assembly Installer", "Installed by a holder of Assembly Installer."),
    "full_tear_off": ("yes", "Old roof off down to the deck."),
    "deck": (
        {"kinds": ["plywood", "OSB"], "largest_gap_in": "1/4 in"},
        "The deck is plywood or OSB, with no gap above 1/4 in.",
    ),
    "ventilation": ("yes", "The attic’s vents meet the code’s required area."),
    "nails_per_shingle": ("6", "At least 6 nails in each shingle."),
    "starter_at": (["eaves", "rakes"], "Starter at eaves and rakes."),
    "lots_of": (["field shingle", "starter"], "Lots of field shingle and starter on record."),
    "photos_of": (["deck"], "Photos of deck on file."),
    "papers": (["permit"], "On file: permit."),
    "permit_closed": ("yes", "The permit is closed."),
    "owner_signature": ("yes", "The owner signed the registration."),
    "completion_signed": ("yes", "The owner signed the completion."),
    "fee": ("75.00", "A registration fee of $75.00 is paid."),
    "paid_in_full": ("yes", "The job is paid in full."),
    "all_of": ([{"fee": "75.00"}, {"paid_in_full": "yes"}], "All 2 of these."),
    "any_of": (
        {"at_least": "1", "of": [{"fee": "75.00"}, {"paid_in_full": "yes"}]},
        "At least 1 of these 2.",
    ),
}


def test_every_test_has_words() -> None:
    assert set(TOLD) == set(TESTS)


@pytest.mark.parametrize("test", TESTS)
def test_without_words_of_the_sheet_a_condition_is_a_whole_sentence(test: str) -> None:
    given, words = TOLD[test]
    assert Condition.model_validate({test: given}).words == words


def test_words_of_the_sheet_are_kept() -> None:
    assert Condition.model_validate({"fee": "75.00", "says": "Fee sent."}).words == "Fee sent."
