"""Words on registration forms, as ordinary English has them, and the field each means."""

from pathlib import Path

import pytest

from dossier.terms.form_words import FORM_FIELDS, _words, form_field


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("roof address", "property address"),
        ("Address of the property", "property address"),
        ("telephone", "owner phone"),
        ("Homeowner's telephone no.", "owner phone"),
        ("Permit date", None),
        ("Warranty date", None),
        ("Contractor's licence number", "installer licence"),
        ("Homeowner's telephone", "owner phone"),
        ("Contractor phone", "installer phone"),
        ("completed on", "completion date"),
        ("Date of completion", "completion date"),
        ("Date work completed", "completion date"),
        ("completion signed on", "completion signed"),
        ("shingle", "field shingle"),
        ("Shingle Color", "colour"),
        ("colour", "colour"),
        ("shingles & color", "field shingle and colour"),
        ("installer number", "certification number"),
        ("Certification No.", "certification number"),
        ("installer certification", "installer certification"),
        ("Name of owner", "owner name"),
        ("E-mail", "owner email"),
        ("Mailing address", "owner mailing address"),
        ("last day of work", "last day of work"),
        ("Owner's signature", "by hand"),
        ("roof age by hand", "by hand"),
        ("shoe size", None),
    ],
)
def test_a_form_s_words_mean_one_field(text: str, field: str | None) -> None:
    assert form_field(text) == field


def test_no_words_mean_two_fields() -> None:
    every = [
        (_words(name), field) for field, names in FORM_FIELDS.items() for name in (field, *names)
    ]
    found: dict[frozenset[str], set[str]] = {}
    for words, field in every:
        found.setdefault(words, set()).add(field)
    assert [fields for fields in found.values() if len(fields) > 1] == []


def test_the_guide_lists_every_field() -> None:
    guide = (Path(__file__).parents[2] / "docs/terms.md").read_text()
    assert [field for field in FORM_FIELDS if f"`{field}`" not in guide] == []
