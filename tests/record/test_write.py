"""A record written and read again is the same, whatever it holds and in whatever order it stands."""

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dossier.reading.kinds import Kind
from dossier.reading.model import Model, read_model
from dossier.reading.nodes import Entry, Mapping, Node, Sequence, parse_tree
from dossier.record import entry as after_closing
from dossier.record.files import PhotoList
from dossier.record.job import Job, JobHead
from dossier.record.materials import Delivery
from dossier.record.people import Owner
from dossier.record.work import Installation
from dossier.record.write import to_yaml
from dossier.terms.office import Company, Locality
from dossier.terms.sheet import Catalogue, TermsSheet
from tests.record.strategies import kinds_below, of_kind, of_model

DEMO_JOB = Path(__file__).parents[2] / "demo_jobs" / "2026-041-plover-lane" / "job.yaml"
KINDS = kinds_below(Job, PhotoList, after_closing.Entry, Company, Locality, TermsSheet, Catalogue)
JOBS, PHOTO_LISTS, ENTRIES = of_model(Job), of_model(PhotoList), of_model(after_closing.Entry)
CALM = settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
HEAD = JobHead(number="1", address="a", locality="b")


def tree_of(text: str) -> Node:
    """Return the tree of a text that must read."""
    reading = parse_tree(text.encode(), "job.yaml")
    assert reading.tree is not None, reading.items
    return reading.tree


def read_again(text: str, model: type[Model]) -> Model:
    """Return the record in a text that must read."""
    got = read_model(tree_of(text), "job.yaml", model)
    assert got.model is not None, [str(item.says) for item in got.items]
    return got.model


@CALM
@given(JOBS)
def test_a_job_written_and_read_is_the_same(job: Job) -> None:
    assert read_again(to_yaml(job), Job) == job


@CALM
@given(PHOTO_LISTS)
def test_a_photo_list_written_and_read_is_the_same(photo_list: PhotoList) -> None:
    assert read_again(to_yaml(photo_list), PhotoList) == photo_list


@CALM
@given(ENTRIES)
def test_an_entry_written_and_read_is_the_same(entry: after_closing.Entry) -> None:
    assert read_again(to_yaml(entry), after_closing.Entry) == entry


@CALM
@given(JOBS, st.data())
def test_the_order_of_fields_never_matters(job: Job, data: st.DataObject) -> None:
    def shuffled(node: Node) -> Node:
        if isinstance(node, Mapping):
            names = data.draw(st.permutations(list(node.entries)))
            entries = {
                name: Entry(shuffled(entry.value), entry.line, entry.column)
                for name in names
                for entry in [node.entries[name]]
            }
            return Mapping(entries, node.line, node.column)
        if isinstance(node, Sequence):
            return Sequence(tuple(map(shuffled, node.items)), node.line, node.column)
        return node

    assert read_model(shuffled(tree_of(to_yaml(job))), "job.yaml", Job).model == job


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: f"{kind.name}, {kind.example}")
def test_a_value_written_and_parsed_is_the_same(kind: Kind) -> None:
    @settings(max_examples=40, deadline=None)
    @given(of_kind(kind))
    def same(value: Any) -> None:
        assert kind.parse(kind.write(value)) == value

    same()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: f"{kind.name}, {kind.example}")
def test_the_example_of_every_kind_reads(kind: Kind) -> None:
    value = kind.parse(kind.example)
    assert isinstance(value, kind.type)
    assert kind.read(value) == value


@CALM
@given(JOBS)
def test_another_reader_finds_only_quoted_text(job: Job) -> None:
    # PyYAML's safe loader follows YAML 1.1, where an unquoted NO or 4:12 would not be text.
    def leaves(value: Any) -> list[Any]:
        if isinstance(value, dict):
            return [leaf for part in value.values() for leaf in leaves(part)]
        if isinstance(value, list):
            return [leaf for part in value for leaf in leaves(part)]
        return [value]

    assert all(isinstance(leaf, str) for leaf in leaves(yaml.safe_load(to_yaml(job))))


def test_the_written_form_is_plain_block_yaml() -> None:
    job = Job(
        record=1,
        job=HEAD,
        owners=(Owner(name="Marit"), Owner()),
        installation=Installation(),
        notes=("one: two", "NO"),
    )
    assert to_yaml(job) == (
        'record: "1"\n'
        "job:\n"
        '  number: "1"\n'
        '  address: "a"\n'
        '  locality: "b"\n'
        "owners:\n"
        '  - name: "Marit"\n'
        '    kind: "living there"\n'
        '  - kind: "living there"\n'
        "installation: {}\n"
        "notes:\n"
        '  - "one: two"\n'
        '  - "NO"\n'
    )


def test_a_group_with_nothing_in_it_is_not_a_blank() -> None:
    with_group = Job(record=1, job=HEAD, installation=Installation())
    assert read_again(to_yaml(with_group), Job) == with_group
    assert with_group != Job(record=1, job=HEAD)


def test_the_demo_job_written_and_read_is_the_same() -> None:
    job = read_again(DEMO_JOB.read_text(encoding="utf-8"), Job)
    assert read_again(to_yaml(job), Job) == job


def test_a_text_that_would_read_as_not_applicable_is_refused() -> None:
    job = Job(record=1, job=HEAD, deliveries=(Delivery(supplier="n/a, own stock"),))
    with pytest.raises(ValueError, match="supplier holds “n/a, own stock”"):
        to_yaml(job)


def test_a_number_without_an_exact_written_form_is_refused() -> None:
    job = Job(record=1, job=HEAD, installation=Installation(lowest_air_f=Fraction(1, 3)))
    with pytest.raises(ValueError, match="1/3 has no exact decimal"):
        to_yaml(job)


MARKED = """record: 1
job:
  number: a
  address: b
  locality: vintermark-2026, as on 2026-035
  crew: north, as on 2026-035
installation:
  starter_at: eaves, rakes, as on 2026-035
warranties:
  sheet: kestrelmoor-2026, as on 2026-035
  level: Full Assembly
  submitted_on: n/a, the owner sends it
"""


def test_marks_of_another_job_and_the_reasons_of_a_lone_row_are_written_back() -> None:
    """A copy without its marks would say of this roof what nobody has said of it."""
    read = read_model(tree_of(MARKED), "job.yaml", Job)
    again = read_model(tree_of(to_yaml(read.needed, read.lines)), "job.yaml", Job)
    assert again.needed == read.needed
    assert again.lines.taken_over == read.lines.taken_over
    assert len(read.lines.taken_over) == 4
    assert again.lines.reason_not("warranties.0.submitted_on") == "the owner sends it"
