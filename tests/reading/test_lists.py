"""A list where one value is read, and one line where several are: what is read, or what to write instead."""

import pytest

from dossier.reading.model import Model, Read, kind_in, read_model
from dossier.reading.nodes import parse_tree
from dossier.record.job import Job
from dossier.record.work import Installation
from dossier.terms.office import Crew, Locality
from dossier.terms.sheet import Catalogue


def reading(model: type[Model], text: str) -> Read[Model]:
    """Return what a text reads as."""
    tree = parse_tree(text.encode(), "job.yaml").tree
    assert tree is not None
    return read_model(tree, "job.yaml", model)


PRODUCT = (
    "maker: A\nedition: 2026\nproducts:\n  - product: F\n    role: starter\n    unit: bundle\n"
)


@pytest.mark.parametrize("written", ["Heather, Peat", "[Heather, Peat]", "Heather + Peat"])
def test_names_on_one_line_are_as_many_as_they_are_parted(written: str) -> None:
    read = reading(Catalogue, f"{PRODUCT}    colours: {written}\n")
    assert isinstance(read.model, Catalogue)
    assert read.model.products[0].colours == ("Heather", "Peat")


@pytest.mark.parametrize(("model", "name"), [(Locality, "inspections"), (Crew, "members")])
def test_names_of_people_and_inspections_are_parted_too(model: type[Model], name: str) -> None:
    kind = kind_in(model.model_fields[name])
    assert kind is not None
    assert kind.splits


ONE_VALUE = [
    (
        "nails_per_shingle: [4, 6]",
        "job.yaml line 1: “nails_per_shingle” found a list of 2, needed one value.",
        "Write one behind its name, such as nails_per_shingle: 6.",
    ),
    (
        "ice_barrier_courses: 1, 2",
        "job.yaml line 1: “ice_barrier_courses” found 2 values, “1, 2”, needed one value.",
        "Write one behind its name, such as ice_barrier_courses: 2.",
    ),
    (
        "flashing: replaced, reused",
        "job.yaml line 1: “flashing” found 2 values, “replaced, reused”, needed one value.",
        "Write one behind its name: flashing: replaced, reused or partly replaced.",
    ),
    (
        "flashing: replaced + renewed",
        "job.yaml line 1: “flashing” found “replaced + renewed”, needed replaced, reused or partly replaced.",
        "Correct the value.",
    ),
]


@pytest.mark.parametrize(("text", "says", "remedy"), ONE_VALUE)
def test_several_where_one_is_read_are_told_what_to_write(
    text: str, says: str, remedy: str
) -> None:
    (item,) = reading(Installation, f"{text}\n").items
    assert (str(item.says), str(item.remedy)) == (says, remedy)


def test_a_second_owner_on_the_line_of_the_first_is_no_telephone() -> None:
    head = "record: 1\njob: {number: 1, address: a, locality: l}\n"
    (item,) = reading(Job, f"{head}owners: Marit Ekdahl, Jens Ekdahl\n").items
    assert str(item.says) == (
        "job.yaml line 3: “owners 1” found “Jens Ekdahl” behind a name, needed a telephone number or an e-mail; "
        "a second owner stands on a line and a dash of his own."
    )


def test_a_text_where_a_group_stands_is_told_a_field_of_it() -> None:
    head = "record: 1\njob: {number: 1, address: a, locality: l}\n"
    (item,) = reading(Job, f"{head}permit: R-12\n").items
    assert str(item.says) == (
        "job.yaml line 3: “permit” found “R-12”, needed named fields below it, such as number."
    )
