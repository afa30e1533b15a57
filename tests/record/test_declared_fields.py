"""Every field says what it means, who may read it, an example and its unit; no needed one is hidden."""

import pytest

from dossier.reading.declared import readers_of, unit_of
from dossier.reading.kinds import Kind
from dossier.reading.model import ALL, Model, is_list, kind_in, model_in
from dossier.record.entry import Entry
from dossier.record.files import PhotoList
from dossier.record.job import Job
from dossier.terms.office import Company, Locality
from dossier.terms.sheet import Catalogue, TermsSheet
from dossier.words import Edition
from tests.record.strategies import models_below

RECORD = list(
    dict.fromkeys(group for file in (Job, PhotoList, Entry) for group in models_below(file))
)
SHEETS = list(
    dict.fromkeys(
        group for file in (Company, Locality, TermsSheet, Catalogue) for group in models_below(file)
    )
)
RECORD_FIELDS = [(model, name) for model in RECORD for name in model.model_fields]
ALL_FIELDS = [*RECORD_FIELDS, *((model, name) for model in SHEETS for name in model.model_fields)]

# The ending of a field's name says its unit; see "numbers carry units in names".
UNIT_BY_ENDING = {"ft": "ft", "in": "in", "sqft": "sq ft", "sqin": "sq in", "f": "°F", "mph": "mph"}
UNITS_BY_KIND = {
    "a length": {"ft", "in"},
    "an area": {"sq ft", "sq in"},
    "a temperature": {"°F"},
    "an amount": {"$"},
    "a date": {"date"},
    "a day or days": {"date"},
}


def named(field: tuple[type[Model], str]) -> str:
    """Return a field's name for the list of tests."""
    return f"{field[0].__name__}.{field[1]}"


def kind_of(model: type[Model], name: str) -> Kind | None:
    """Return the kind of value of a field that is no group."""
    info = model.model_fields[name]
    return None if model_in(info.annotation) else kind_in(info)


@pytest.mark.parametrize("field", RECORD_FIELDS, ids=named)
def test_a_record_field_says_who_may_read_it(field: tuple[type[Model], str]) -> None:
    model, name = field
    readers = readers_of(model.model_fields[name])
    assert readers is not None
    assert Edition.OFFICE in readers


@pytest.mark.parametrize("field", RECORD_FIELDS, ids=named)
def test_no_needed_field_is_withheld(field: tuple[type[Model], str]) -> None:
    # A withheld field is put back to its default, and a needed field has none.
    model, name = field
    info = model.model_fields[name]
    assert not info.is_required() or readers_of(info) == ALL


@pytest.mark.parametrize("field", ALL_FIELDS, ids=named)
def test_a_field_says_what_it_means(field: tuple[type[Model], str]) -> None:
    model, name = field
    meaning = model.model_fields[name].description
    assert meaning
    assert meaning.endswith(".")
    assert kind_of(model, name) or model_in(model.model_fields[name].annotation)


@pytest.mark.parametrize("field", RECORD_FIELDS, ids=named)
def test_the_example_of_a_leaf_reads(field: tuple[type[Model], str]) -> None:
    model, name = field
    info, kind = model.model_fields[name], kind_of(*field)
    if kind is None or is_list(info.annotation):
        assert not info.examples
        return
    assert info.examples
    for example in info.examples:
        kind.parse(example)


@pytest.mark.parametrize("field", ALL_FIELDS, ids=named)
def test_the_examples_of_a_sheet_read_too(field: tuple[type[Model], str]) -> None:
    info, kind = field[0].model_fields[field[1]], kind_of(*field)
    for example in info.examples or ():
        assert kind is not None
        kind.parse(example)


@pytest.mark.parametrize("field", ALL_FIELDS, ids=named)
def test_a_quantity_says_its_unit(field: tuple[type[Model], str]) -> None:
    model, name = field
    info, kind = model.model_fields[name], kind_of(*field)
    if kind is None:
        assert not unit_of(info)
        return
    if kind.name in UNITS_BY_KIND:
        assert unit_of(info) in UNITS_BY_KIND[kind.name]
    ending = name.rpartition("_")[2] if "_" in name else ""
    if ending in UNIT_BY_ENDING:
        assert unit_of(info) == UNIT_BY_ENDING[ending]


@pytest.mark.parametrize("model", [*RECORD, *SHEETS], ids=lambda model: model.__name__)
def test_a_group_says_what_it_is_and_its_line_reads(model: type[Model]) -> None:
    assert (model.__doc__ or "").strip()
    if model.short_form:
        read = model.model_validate(model.short_form)
        assert read == model.model_validate(model.from_text(model.short_form))


def test_the_walk_sees_the_whole_record() -> None:
    # Without this, a walk that finds nothing would pass every test above.
    names = {model.__name__ for model in RECORD}
    assert {"Job", "JobHead", "Slope", "Lot", "Signed", "Waiver", "Photo", "PlanSize"} <= names
    assert {"Condition", "Part", "Transfer", "Crew", "Product"} <= {m.__name__ for m in SHEETS}
